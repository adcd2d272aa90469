//! Every rule, one a file, and the table that lists them.

use crate::checks::Rule;
#[cfg(test)]
use crate::testing::Case;

mod prelude;

mod curb_mass_and_gvwr;
mod key_distance;
mod storage_distance;

/// Every rule, file by file.
pub(crate) static RULES: &[&[Rule]] = &[
    curb_mass_and_gvwr::RULES,
    key_distance::RULES,
    storage_distance::RULES,
];

/// The rows that every rule is tested by.
#[cfg(test)]
pub(crate) static CASES: &[&[Case]] = &[
    curb_mass_and_gvwr::CASES,
    key_distance::CASES,
    storage_distance::CASES,
];

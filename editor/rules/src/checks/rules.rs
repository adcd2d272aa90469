//! Every rule, one a file, and the table that lists them.

use crate::checks::Rule;
#[cfg(test)]
use crate::testing::Case;

mod prelude;

mod alert_symbol;
mod all_orange;
mod curb_mass_and_gvwr;
mod few_disconnects;
mod glove_class_text;
mod hazard_message;
mod insulation;
mod key_distance;
mod loop_wording;
mod post_crash_limits;
mod restraint_wait;
mod salt_water;
mod signal_words;
mod signs;
mod storage_distance;
mod storage_inside;
mod voltage_class;

/// Every rule, file by file.
pub(crate) static RULES: &[&[Rule]] = &[
    alert_symbol::RULES,
    all_orange::RULES,
    curb_mass_and_gvwr::RULES,
    few_disconnects::RULES,
    glove_class_text::RULES,
    hazard_message::RULES,
    insulation::RULES,
    key_distance::RULES,
    loop_wording::RULES,
    post_crash_limits::RULES,
    restraint_wait::RULES,
    salt_water::RULES,
    signal_words::RULES,
    signs::RULES,
    storage_distance::RULES,
    storage_inside::RULES,
    voltage_class::RULES,
];

/// The rows that every rule is tested by.
#[cfg(test)]
pub(crate) static CASES: &[&[Case]] = &[
    alert_symbol::CASES,
    all_orange::CASES,
    curb_mass_and_gvwr::CASES,
    few_disconnects::CASES,
    glove_class_text::CASES,
    hazard_message::CASES,
    insulation::CASES,
    key_distance::CASES,
    loop_wording::CASES,
    post_crash_limits::CASES,
    restraint_wait::CASES,
    salt_water::CASES,
    signal_words::CASES,
    signs::CASES,
    storage_distance::CASES,
    storage_inside::CASES,
    voltage_class::CASES,
];

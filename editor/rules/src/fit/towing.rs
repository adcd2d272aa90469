//! Wheel lift and dollies.

use chockstone_schema::report::TowingResult;

use super::Job;

/// The vehicle behind each wrecker given, by either end, with and without each set of dollies given.
pub(crate) fn fit(_job: &mut Job<'_>) -> Vec<TowingResult> {
    Vec::new()
}

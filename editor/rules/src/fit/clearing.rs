//! Clearance over ramp, hinge and deck.

use chockstone_schema::report::ClearingResult;

use super::Job;

/// The vehicle over the ramp of each deck given, both ways round.
pub(crate) fn fit(_job: &mut Job<'_>) -> Vec<ClearingResult> {
    Vec::new()
}

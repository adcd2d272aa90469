//! Tie-downs on a deck.

use chockstone_schema::report::{CarryingResult, SecuringResult};

use super::Job;

/// The vehicle tied down on each deck given, standing where `carrying` put it.
pub(crate) fn fit(_job: &mut Job<'_>, _carrying: &[CarryingResult]) -> Vec<SecuringResult> {
    Vec::new()
}

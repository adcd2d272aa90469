//! The vehicle on a carrier's deck.

use chockstone_schema::report::{CarrierNeed, CarryingResult};

use super::Job;

/// The vehicle on each carrier given, both ways round.
pub(crate) fn fit(_job: &mut Job<'_>) -> Vec<CarryingResult> {
    Vec::new()
}

/// What the vehicle asks of a carrier, by planning proportions.
pub(crate) fn need(_job: &mut Job<'_>) -> CarrierNeed {
    CarrierNeed {
        least_gvwr: None,
        answer: String::new(),
        proportions: String::new(),
        rows: Vec::new(),
    }
}

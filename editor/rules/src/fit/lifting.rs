//! Lift and jack loads, and what tips the vehicle.

use chockstone_schema::report::LiftingResult;

use super::Job;

/// Loads of every way of lifting, against the lifts, jacks and stands given.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<LiftingResult> {
    general(job)
}

/// Loads of every way of lifting without any equipment.
pub(crate) fn general(_job: &mut Job<'_>) -> Vec<LiftingResult> {
    Vec::new()
}

//! Shared by the tests of this module.

#![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

use super::layout::Leg;
use crate::propagation::{Inputs, Tracked};
use crate::uncertain::Uncertain;

/// Kilograms in a pound, exact by definition.
pub(super) const POUND: f64 = 0.453_592_37;
/// Newtons in a decanewton.
pub(super) const DECANEWTON: f64 = 10.0;

#[track_caller]
pub(super) fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} within {tolerance}"
    );
}

pub(super) fn exact(value: f64) -> Tracked {
    Tracked::exact(value)
}

/// One uncertain number by itself.
pub(super) fn input(value: f64, u: f64) -> Tracked {
    Inputs::new().add((), Uncertain::new(value, u)).unwrap()
}

pub(super) fn leg(from: [f64; 3], to: [f64; 3], limit: f64) -> Leg {
    Leg {
        from: from.map(exact),
        to: to.map(exact),
        limit: exact(limit),
    }
}

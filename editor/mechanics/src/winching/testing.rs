//! Shared by the tests of this module.

#![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

use crate::propagation::{Inputs, Tracked};
use crate::uncertain::Uncertain;

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

pub(super) fn degrees(value: f64) -> Tracked {
    Tracked::exact(value.to_radians())
}

/// One uncertain number by itself.
pub(super) fn input(value: f64, u: f64) -> Tracked {
    Inputs::new().add((), Uncertain::new(value, u)).unwrap()
}

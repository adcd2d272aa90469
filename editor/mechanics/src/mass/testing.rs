//! Shared by the tests of this module.

#![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

use crate::propagation::{Inputs, Tracked};
use crate::uncertain::Uncertain;

/// Kilograms in a pound, exact by definition.
pub(super) const POUND: f64 = 0.453_592_37;
/// Metres in an inch, exact by definition.
pub(super) const INCH: f64 = 0.0254;

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

/// Hands out inputs that are valid by construction, labelled by their order.
#[derive(Default)]
pub(super) struct Bench {
    inputs: Inputs<usize>,
    count: usize,
}

impl Bench {
    pub(super) fn input(&mut self, value: f64, u: f64) -> Tracked {
        self.count += 1;
        self.inputs
            .add(self.count - 1, Uncertain::new(value, u))
            .unwrap()
    }

    /// Returns what the n-th input adds to a result, signed.
    pub(super) fn amount(&self, result: &Tracked, n: usize) -> f64 {
        self.inputs
            .contributions(result)
            .into_iter()
            .find(|(label, _)| **label == n)
            .map_or(0.0, |(_, part)| part.amount)
    }
}

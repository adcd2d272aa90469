//! Shared by the tests of this module.

#![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

use super::{LiftError, Spot, SupportLoad, support_loads};
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

    pub(super) fn spot(&mut self, (x, y): (f64, f64), u: f64) -> Spot {
        Spot::new(self.input(x, u), self.input(y, u))
    }
}

pub(super) fn spots(places: &[(f64, f64)]) -> Vec<Spot> {
    places.iter().map(|&(x, y)| Spot::exact(x, y)).collect()
}

/// Loads of exactly known places.
pub(super) fn plain_loads(
    mass: f64,
    (x, y): (f64, f64),
    places: &[(f64, f64)],
) -> Result<Vec<SupportLoad>, LiftError> {
    support_loads(&exact(mass), &Spot::exact(x, y), &spots(places))
}

pub(super) fn shares(loads: &[SupportLoad]) -> Vec<f64> {
    loads.iter().map(|load| load.equal_share.value()).collect()
}

pub(super) fn bounds(loads: &[SupportLoad]) -> Vec<(f64, f64)> {
    loads
        .iter()
        .map(|load| (load.low.value(), load.high.value()))
        .collect()
}

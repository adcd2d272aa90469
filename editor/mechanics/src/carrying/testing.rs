//! Shared by the tests of this module.

#![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

use super::{Chassis, Deck, Vehicle};
use crate::propagation::{Inputs, Tracked};
use crate::uncertain::Uncertain;

/// Kilograms in a pound, exact by definition.
pub(crate) const POUND: f64 = 0.453_592_37;
/// Metres in an inch, exact by definition.
pub(crate) const INCH: f64 = 0.0254;

#[track_caller]
pub(crate) fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} within {tolerance}"
    );
}

pub(crate) fn exact(value: f64) -> Tracked {
    Tracked::exact(value)
}

/// Hands out inputs that are valid by construction.
#[derive(Default)]
pub(crate) struct Bench {
    inputs: Inputs<()>,
}

impl Bench {
    pub(crate) fn input(&mut self, value: f64, u: f64) -> Tracked {
        self.inputs.add((), Uncertain::new(value, u)).unwrap()
    }
}

/// An invented two-axle carrier of 22,000 lb: wheelbase, empty axles, ratings; inches and pounds.
pub(crate) fn carrier(bench: &mut Bench) -> (Chassis, Deck) {
    let chassis = Chassis {
        wheelbase: Some(bench.input(190.0 * INCH, 0.25 * INCH)),
        front_empty: Some(bench.input(6400.0 * POUND, 20.0 * POUND)),
        rear_empty: Some(bench.input(8320.0 * POUND, 20.0 * POUND)),
        front_rating: Some(exact(8500.0 * POUND)),
        rear_rating: Some(exact(13_800.0 * POUND)),
        gross_rating: Some(exact(22_000.0 * POUND)),
        steering_share: Some(exact(0.5)),
    };
    let deck = Deck {
        front_edge: Some(bench.input(74.0 * INCH, 0.25 * INCH)),
        length: Some(bench.input(240.0 * INCH, 0.25 * INCH)),
        overhang_allowed: Some(exact(36.0 * INCH)),
        capacity: Some(exact(12_000.0 * POUND)),
    };
    (chassis, deck)
}

/// An invented vehicle of this mass in pounds, its centre 49.5 % of its 145 in wheelbase back.
pub(crate) fn vehicle(bench: &mut Bench, pounds: f64) -> Vehicle {
    Vehicle {
        mass: bench.input(pounds * POUND, 8.0 * POUND),
        centre: bench.input(0.495 * 145.0 * INCH, 0.2 * INCH),
        wheelbase: bench.input(145.0 * INCH, 0.125 * INCH),
        front: bench.input(-38.0 * INCH, 0.25 * INCH),
        rear: bench.input(194.0 * INCH, 0.25 * INCH),
    }
}

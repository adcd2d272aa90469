//! Checks of the clearance against published values, a slow sweep, and properties.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

mod oracle;
mod properties;
mod references;
mod uncertainty;
mod ways;

use super::*;
use crate::propagation::Tracked;

fn exact(value: f64) -> Tracked {
    Tracked::exact(value)
}

#[track_caller]
fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} within {tolerance}"
    );
}

fn wheel(x: f64, radius: f64) -> Wheel {
    Wheel {
        x: exact(x),
        radius: exact(radius),
        raise: exact(0.0),
    }
}

fn vehicle(outline: &[[f64; 2]], wheelbase: f64, radius: f64) -> Vehicle {
    Vehicle {
        outline: outline.to_vec(),
        outline_error: exact(0.0),
        front: wheel(0.0, radius),
        rear: wheel(wheelbase, radius),
    }
}

/// A box with a flat belly.
fn crate_on_wheels(front: f64, rear: f64, clearance: f64, wheelbase: f64) -> Vehicle {
    let (from, to) = (-front, wheelbase + rear);
    let outline = [[from, clearance], [to, clearance], [to, 1.5], [from, 1.5]];
    vehicle(&outline, wheelbase, 0.32)
}

fn degrees(angle: f64) -> f64 {
    angle.to_radians()
}

/// A deck of `tilt` degrees from level ground.
fn deck(tilt: f64) -> Way {
    Way {
        laid: None,
        tail: None,
        tilt: exact(degrees(tilt)),
        deck_length: None,
        level_after: None,
    }
}

/// A ramp of `tilt` degrees, `length` metres long, with a level deck behind it.
fn ramp_and_level(tilt: f64, length: f64) -> Way {
    Way {
        deck_length: Some(length),
        level_after: Some(30.0),
        ..deck(tilt)
    }
}

fn with_tail(way: Way, length: f64, angle: f64) -> Way {
    Way {
        tail: Some(Tail {
            length: exact(length),
            angle: exact(degrees(angle)),
        }),
        ..way
    }
}

#[track_caller]
fn least(vehicle: &Vehicle, way: &Way, direction: Direction) -> f64 {
    let clearing = clear(vehicle, way, direction).unwrap();
    clearing.tightest().unwrap().clearance.value()
}

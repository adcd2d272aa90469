//! Places seen in plan, with and without uncertainty.

use super::error::{LiftError, LiftQuantity, check_place};
use crate::propagation::Tracked;

/// A place seen from above, with its uncertainty.
///
/// Any right-handed plan frame will do, as long as all places of one computation share it; in the
/// vehicle's frame x points rearward and y to the right.
#[derive(Debug, Clone, PartialEq)]
pub struct Spot {
    /// Metres along the vehicle.
    pub x: Tracked,
    /// Metres across the vehicle.
    pub y: Tracked,
}

impl Spot {
    /// Pairs two coordinates, metres.
    pub const fn new(x: Tracked, y: Tracked) -> Self {
        Self { x, y }
    }

    /// Takes a place as exactly known, metres.
    pub const fn exact(x: f64, y: f64) -> Self {
        Self::new(Tracked::exact(x), Tracked::exact(y))
    }

    pub(super) fn flat(&self) -> Flat {
        Flat {
            x: self.x.value(),
            y: self.y.value(),
        }
    }

    pub(super) fn check(&self, quantity: LiftQuantity) -> Result<(), LiftError> {
        check_place(&self.x, quantity)?;
        check_place(&self.y, quantity)
    }
}

/// A place without its uncertainty, for searches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Flat {
    pub(super) x: f64,
    pub(super) y: f64,
}

impl Flat {
    pub(super) fn distance(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }
}

/// Returns twice the area of the triangle a, b, c: positive where c lies left of the way from a to b.
pub(super) fn turn(a: Flat, b: Flat, c: Flat) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// The line through two places, which has a left and a right.
#[derive(Clone, Copy)]
pub(super) struct Line {
    start: Flat,
    /// Unit vector across, to the left.
    across: Flat,
    length: f64,
}

impl Line {
    /// Draws the line from a to b, two different places.
    pub(super) fn through(a: Flat, b: Flat) -> Self {
        let length = a.distance(b);
        let across = Flat {
            x: (a.y - b.y) / length,
            y: (b.x - a.x) / length,
        };
        Self {
            start: a,
            across,
            length,
        }
    }

    /// Returns how far a spot lies left of the line, metres; negative to its right.
    pub(super) fn offset(&self, spot: Flat) -> f64 {
        self.across.x * (spot.x - self.start.x) + self.across.y * (spot.y - self.start.y)
    }

    /// Returns how far along the way from a (0) to b (1) a spot lies.
    pub(super) fn part(&self, spot: Flat) -> f64 {
        let (x, y) = (spot.x - self.start.x, spot.y - self.start.y);
        (self.across.y * x - self.across.x * y) / self.length
    }

    /// Lists what a step of a place across the line changes, given the change per metre of step.
    pub(super) fn across<'a>(&self, spot: &'a Spot, change: f64) -> [(f64, &'a Tracked); 2] {
        [
            (change * self.across.x, &spot.x),
            (change * self.across.y, &spot.y),
        ]
    }
}

/// Returns how far `spot` lies left of the way from a to b, metres; negative to its right.
///
/// The ends of the line move it like a lever: by the part of the way at which the spot lies.
pub(super) fn offset(a: &Spot, b: &Spot, spot: &Spot) -> Tracked {
    let line = Line::through(a.flat(), b.flat());
    let part = line.part(spot.flat());
    let slopes = [
        line.across(spot, 1.0),
        line.across(a, part - 1.0),
        line.across(b, -part),
    ];
    Tracked::from_slopes(line.offset(spot.flat()), slopes.into_iter().flatten())
}

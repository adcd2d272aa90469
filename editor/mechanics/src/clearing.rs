//! A vehicle driven over ramp, hinge and deck: the smallest clearance, and where.
//!
//! # The drawing in words
//! Seen from the side: level ground, then a slope, or several, that lead up a deck. A vehicle comes
//! from the level, nose first or tail first. Its wheels are rigid discs of the static loaded radius
//! r, and what raises a wheel (a skate) adds to the radius. Each wheel's centre keeps a distance r
//! from the ground: over a straight piece on a parallel line, round a crest on an arc, in a dip
//! where two parallel lines cross. The two centres stay a wheelbase apart, and with them the body
//! is placed: for every position of the leading wheel there is one attitude. Springs and tyres keep
//! their length.
//!
//! *Clearance* is the smallest distance between outline and ground in an attitude, the wheels left
//! out; below zero it is how deep the one is in the other, square to the surface. *Travel* is the
//! path of the leading wheel's centre, in metres, zero where it stands over the foot of the first
//! slope. The smallest clearance over all travel is searched with a bound that is certain, not by
//! samples: see `clearing/search.rs`.
//!
//! # Symbols
//! r wheel radius, L wheelbase, GC ground clearance, d and z distance and height of a point seen
//! from a wheel's centre and the ground; metres and radians throughout.
//!
//! # Valid for
//! Two axles; of more, the first and the last, which is exact on straight pieces and near enough
//! where the springs of the axles between give way. Slopes that do not overhang, less than 80
//! degrees between the steepest up and the steepest down. The body meets the ground over its whole
//! width: what lies between the wheel tracks only is not told apart.
//!
//! # Uncertainty
//! By central differences: each uncertain input is moved a little both ways, and the clearance of
//! the same spot is taken at the same share of the same stretch of the path. That this is the
//! derivative of the *smallest* clearance follows from the envelope theorem: inside a stretch the
//! smallest does not change with the place, and at its end the end moves along.

mod angles;
mod body;
mod course;
mod envelope;
mod error;
mod ground;
mod motion;
mod plane;
mod ride;
mod search;
mod sensitivity;
mod steepest;
#[cfg(test)]
mod tests;

pub use angles::{
    AngleAt, approach_angle, bed_angle, breakover_angle, crest_intrusion, departure_angle,
    point_breakover, tyre_tangent,
};
pub use body::BodyPart;
pub use course::{Against, Course, Place, Pose, Standing, Tightest};
pub use error::ClearingError;
pub use ground::{LaidRamp, Surface};
pub use steepest::{Steepest, steepest_tilt};

use crate::propagation::Tracked;

/// Which end of the vehicle goes up first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// The front of the vehicle leads.
    NoseFirst,
    /// The rear of the vehicle leads.
    TailFirst,
}

impl Direction {
    /// Both directions.
    pub const BOTH: [Self; 2] = [Self::NoseFirst, Self::TailFirst];

    /// Turns an x of the vehicle into one along the travel, or back.
    fn along(self, x: f64) -> f64 {
        match self {
            Self::NoseFirst => -x,
            Self::TailFirst => x,
        }
    }
}

/// The wheels of one axle.
#[derive(Debug, Clone, PartialEq)]
pub struct Wheel {
    /// Metres behind the front axle.
    pub x: Tracked,
    /// Static loaded radius, metres.
    pub radius: Tracked,
    /// How much higher the wheel stands on a skate, metres.
    pub raise: Tracked,
}

/// A vehicle seen from the side.
#[derive(Debug, Clone, PartialEq)]
pub struct Vehicle {
    /// Corners of body and underbody without the wheels, x rearward and z up from level ground, the
    /// last joined to the first. Only what is seen from below counts.
    pub outline: Vec<[f64; 2]>,
    /// How much further out the body is than its outline: zero, with the outline's uncertainty.
    pub outline_error: Tracked,
    /// The first axle.
    pub front: Wheel,
    /// The last axle.
    pub rear: Wheel,
}

/// A ramp at the end of a deck.
#[derive(Debug, Clone, PartialEq)]
pub struct Tail {
    /// Along its surface, metres.
    pub length: Tracked,
    /// To the level, radians.
    pub angle: Tracked,
}

/// What the vehicle goes up, from the level ground on.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// A ramp or blocks laid before the foot.
    pub laid: Option<LaidRamp>,
    /// The deck's own tail ramp.
    pub tail: Option<Tail>,
    /// Angle of the deck to the level, radians.
    pub tilt: Tracked,
    /// Length of the deck, metres; without it the deck goes on until the whole vehicle is on it.
    pub deck_length: Option<f64>,
    /// Length of what lies level behind the deck, as behind a loading ramp.
    pub level_after: Option<f64>,
}

/// The smallest clearance in one direction.
#[derive(Debug, Clone, PartialEq)]
pub struct Clearing {
    /// Which end went first.
    pub direction: Direction,
    /// The tightest place of each part of the body, from the front; a part that is not there is
    /// missing.
    pub parts: Vec<Tightest>,
    /// The path, for drawing and for single places.
    pub course: Course,
}

impl Clearing {
    /// Returns the tightest place of all.
    pub fn tightest(&self) -> Option<&Tightest> {
        self.parts
            .iter()
            .min_by(|a, b| a.clearance.value().total_cmp(&b.clearance.value()))
    }
}

/// Drives a vehicle up and finds its smallest clearance over the whole path.
///
/// # Errors
/// [`ClearingError`] for numbers that are not finite or not possible, an outline without extent, and
/// slopes that are too steep.
pub fn clear(
    vehicle: &Vehicle,
    way: &Way,
    direction: Direction,
) -> Result<Clearing, ClearingError> {
    let course = Course::new(vehicle, way, direction)?;
    let parts = sensitivity::tightest(vehicle, way, &course);
    if parts.is_empty() {
        return Err(ClearingError::NoOutline);
    }
    Ok(Clearing {
        direction,
        parts,
        course,
    })
}

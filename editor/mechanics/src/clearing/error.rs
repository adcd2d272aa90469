//! What the functions of this module refuse.

use std::fmt;

/// Why a computation was refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ClearingError {
    /// A number is NaN or infinite.
    NotFinite {
        /// Which number.
        what: &'static str,
    },
    /// A length or angle is zero, negative or far beyond any vehicle.
    OutOfRange {
        /// Which number.
        what: &'static str,
        /// What was given, metres or radians.
        value: f64,
    },
    /// The outline has fewer than three corners, no length, or a corner that is no number.
    NoOutline,
    /// The rear axle is not behind the front axle.
    AxlesReversed,
    /// A slope, or the change between two slopes, is too steep for this computation.
    TooSteep {
        /// The angle, radians.
        angle: f64,
    },
    /// The way goes on level behind a deck whose length is not given.
    LevelDeckWithoutLength,
    /// The laid ramp is higher than what it leads to.
    LaidRampTooHigh {
        /// Its height, metres.
        height: f64,
    },
    /// The laid ramp is steeper than the slope it leads to and does not reach out before it.
    LaidRampHidden,
    /// The way ends before the leading wheel could leave the level ground.
    WayTooShort,
    /// A point lies within the wheel, so that no tangent passes it.
    PointInWheel {
        /// Distance from the wheel's centre, metres.
        distance: f64,
        /// The wheel's radius, metres.
        radius: f64,
    },
    /// No point of the outline lies where an angle could be measured.
    NoPoint,
}

impl fmt::Display for ClearingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { what } => write!(f, "the {what} is not a finite number"),
            Self::OutOfRange { what, value } => write!(
                f,
                "the {what} is {value}, which cannot be; check the number and its unit"
            ),
            Self::NoOutline => f.write_str(
                "the side outline needs three or more corners and a length; draw the underside",
            ),
            Self::AxlesReversed => f.write_str(
                "the last axle does not lie behind the first; list the axles from front to rear",
            ),
            Self::TooSteep { angle } => write!(
                f,
                "an angle of {:.1} degrees between two surfaces is too steep to drive over; check \
                 the angles of deck, tail and laid ramp",
                angle.to_degrees()
            ),
            Self::LevelDeckWithoutLength => {
                f.write_str("what lies level behind the deck needs the deck's length")
            }
            Self::LaidRampTooHigh { height } => write!(
                f,
                "the laid ramp is {height} m high, but the slope behind it does not rise so far"
            ),
            Self::LaidRampHidden => f.write_str(
                "the laid ramp is steeper than the slope behind it and does not reach out before \
                 it; give its top a length",
            ),
            Self::WayTooShort => f.write_str("the way ends before a wheel could go up"),
            Self::PointInWheel { distance, radius } => write!(
                f,
                "the point is {distance} m from the wheel's centre, inside the wheel of radius \
                 {radius} m"
            ),
            Self::NoPoint => f.write_str("no point of the side outline lies there"),
        }
    }
}

impl std::error::Error for ClearingError {}

//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::propagation::Tracked;
use std::fmt;

/// Which number an error is about. Indices count from zero; the text counts from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Mass of the vehicle or article.
    Mass,
    /// Length of the article.
    Length,
    /// Working load limit of a leg or tie-down.
    Limit(usize),
    /// A place that a leg runs from or to.
    LegPlace(usize),
    /// Limit of one part of a tie-down.
    PartLimit(usize),
    /// Friction factor.
    Friction,
    /// Angle of a lashing to the deck.
    LashingAngle,
    /// Tension that a tensioner gives.
    Tension,
    /// Height of the centre of gravity.
    Height,
    /// Distance from the centre of gravity to the edge that it would tip over.
    TippingDistance,
    /// Radius of a wheel.
    WheelRadius,
    /// Distance from a wheel to an anchor of its strap.
    StrapReach,
    /// What a set of legs holds.
    Capacity,
    /// A number of the search for a set of straps.
    Search,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Limit(i) => return write!(f, "limit of leg {}", i + 1),
            Self::LegPlace(i) => return write!(f, "place of leg {}", i + 1),
            Self::PartLimit(i) => return write!(f, "limit of part {}", i + 1),
            Self::Mass => "mass",
            Self::Length => "length",
            Self::Friction => "friction factor",
            Self::LashingAngle => "angle of the lashing",
            Self::Tension => "tension of the lashing",
            Self::Height => "height of the centre of gravity",
            Self::TippingDistance => "distance to the tipping edge",
            Self::WheelRadius => "wheel radius",
            Self::StrapReach => "distance from the wheel to the anchor of its strap",
            Self::Capacity => "capacity of the legs",
            Self::Search => "need, capacity or count of the search",
        })
    }
}

/// Why a computation was refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SecuringError {
    /// A number is NaN or infinite, or a result went out of the range of numbers.
    NotFinite {
        /// Which number.
        quantity: Quantity,
    },
    /// A number is zero or negative where that is impossible.
    NotPositive {
        /// Which number.
        quantity: Quantity,
        /// What was given or came out.
        value: f64,
    },
    /// A number lies outside the range that it can have, in SI units.
    OutOfRange {
        /// Which number.
        quantity: Quantity,
        /// What was given.
        value: f64,
        /// Least allowed.
        low: f64,
        /// Most allowed.
        high: f64,
    },
    /// A leg begins and ends at the same place.
    LegWithoutLength {
        /// Index of the leg.
        leg: usize,
    },
    /// A tie-down without any part.
    NoParts,
    /// A strap's anchor lies under or inside its tyre.
    AnchorInsideTyre {
        /// Distance from the wheel's centre, metres.
        distance: f64,
        /// The wheel's radius, metres.
        radius: f64,
    },
    /// A candidate of the search does not have one figure for each requirement.
    UnevenCandidate {
        /// Index of the candidate.
        candidate: usize,
    },
}

impl fmt::Display for SecuringError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { quantity } => write!(f, "the {quantity} is not a finite number"),
            Self::NotPositive { quantity, value } => {
                write!(f, "the {quantity} is {value} but must be more than zero")
            }
            Self::OutOfRange {
                quantity,
                value,
                low,
                high,
            } => write!(
                f,
                "the {quantity} is {value} but must lie from {low} to {high}; check its unit"
            ),
            Self::LegWithoutLength { leg } => write!(
                f,
                "leg {} begins and ends at the same place; give two different places",
                leg + 1
            ),
            Self::NoParts => f.write_str("the tie-down has no part; give at least one limit"),
            Self::AnchorInsideTyre { distance, radius } => write!(
                f,
                "an anchor {distance} m from the wheel's centre lies within the tyre's {radius} m; \
                 take an anchor further from the wheel"
            ),
            Self::UnevenCandidate { candidate } => write!(
                f,
                "candidate {} does not have one figure for each requirement",
                candidate + 1
            ),
        }
    }
}

impl std::error::Error for SecuringError {}

/// Refuses an input that is not finite.
pub(super) fn check_finite(number: &Tracked, quantity: Quantity) -> Result<(), SecuringError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(SecuringError::NotFinite { quantity })
    }
}

/// Refuses an input that is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, quantity: Quantity) -> Result<(), SecuringError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if value > 0.0 {
        Ok(())
    } else {
        Err(SecuringError::NotPositive { quantity, value })
    }
}

/// Refuses an input that is not finite, or lies outside a range (ends allowed).
pub(super) fn check_range(
    number: &Tracked,
    quantity: Quantity,
    low: f64,
    high: f64,
) -> Result<(), SecuringError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(SecuringError::OutOfRange {
            quantity,
            value,
            low,
            high,
        })
    }
}

/// Passes a result on if it came out finite.
pub(super) fn finite(result: Tracked, quantity: Quantity) -> Result<Tracked, SecuringError> {
    check_finite(&result, quantity)?;
    Ok(result)
}

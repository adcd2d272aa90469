//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::propagation::Tracked;
use std::fmt;

/// Which number an error is about. Indices count from zero; the text counts from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LiftQuantity {
    /// Mass of the vehicle.
    Mass,
    /// Place of the centre of gravity in plan.
    Centre,
    /// Place of a support in plan.
    Support(usize),
    /// Load of a support.
    Load(usize),
    /// Distance of the centre of gravity inside an edge of the support polygon.
    Margin,
    /// Height above the supports.
    Height,
    /// Corner of a region or outline seen in plan.
    Corner(usize),
    /// Place of a pad in plan.
    PadPlace,
    /// Diameter of a pad.
    PadDiameter,
    /// Distance of a pad from a region.
    PadDistance,
    /// Distance between front and rear axle.
    Wheelbase,
    /// Track of the front axle.
    FrontTrack,
    /// Track of the rear axle.
    RearTrack,
}

impl fmt::Display for LiftQuantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mass => f.write_str("mass"),
            Self::Centre => f.write_str("place of the centre of gravity"),
            Self::Support(i) => write!(f, "place of support {}", i + 1),
            Self::Load(i) => write!(f, "load of support {}", i + 1),
            Self::Margin => f.write_str("distance of the centre of gravity inside the edge"),
            Self::Height => f.write_str("height above the supports"),
            Self::Corner(i) => write!(f, "place of corner {}", i + 1),
            Self::PadPlace => f.write_str("place of the pad"),
            Self::PadDiameter => f.write_str("diameter of the pad"),
            Self::PadDistance => f.write_str("distance of the pad from the region"),
            Self::Wheelbase => f.write_str("wheelbase"),
            Self::FrontTrack => f.write_str("track of the front axle"),
            Self::RearTrack => f.write_str("track of the rear axle"),
        }
    }
}

/// Why a computation about a lifted vehicle was refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LiftError {
    /// A number is NaN or infinite, or a result went out of the range of numbers.
    NotFinite {
        /// Which number.
        quantity: LiftQuantity,
    },
    /// A place is so far off that squares of lengths would leave the range of numbers.
    TooFar {
        /// Which place.
        quantity: LiftQuantity,
        /// What was given, metres.
        value: f64,
    },
    /// All supports lie within a millionth of a metre, where rounding decides.
    TooSmall {
        /// The longer side of the box around them, metres.
        size: f64,
    },
    /// A number is zero or negative where that is impossible.
    NotPositive {
        /// Which number.
        quantity: LiftQuantity,
        /// What was given.
        value: f64,
    },
    /// Fewer than three supports hold nothing level.
    TooFewSupports {
        /// How many there are.
        given: usize,
    },
    /// More supports than this module solves for.
    TooManySupports {
        /// How many there are.
        given: usize,
    },
    /// Two supports are at the same place.
    SupportsCoincide {
        /// Index of the one.
        first: usize,
        /// Index of the other.
        second: usize,
    },
    /// All supports lie on one line, about which the vehicle would roll.
    SupportsInLine,
    /// The centre of gravity lies outside the support polygon, so that the vehicle tips.
    CentreOutside {
        /// Index of the support where the edge starts that it lies outside of.
        from: usize,
        /// Index of the support where that edge ends.
        to: usize,
        /// How far inside the edge it lies, metres; negative, since it lies outside.
        margin: f64,
    },
    /// A region or outline with fewer than three corners.
    TooFewCorners {
        /// How many there are.
        given: usize,
    },
    /// An edge of another polygon, or of more supports than were given.
    NoSuchSupport {
        /// Index of the support that is missing.
        support: usize,
    },
    /// A raised vehicle without a jack or stand under it.
    NoJack,
}

impl fmt::Display for LiftError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { quantity } => write!(f, "the {quantity} is not a finite number"),
            Self::TooFar { quantity, value } => write!(
                f,
                "the {quantity} is at {value:e} m, more than a million metres off; check its unit"
            ),
            Self::TooSmall { size } => write!(
                f,
                "the supports all lie within {size:e} m, less than a millionth of a metre; check their unit"
            ),
            Self::NotPositive { quantity, value } => {
                write!(f, "the {quantity} is {value} but must be more than zero")
            }
            Self::TooFewSupports { given } => write!(
                f,
                "a vehicle needs three or more supports to stay level, but there are {given}"
            ),
            Self::TooManySupports { given } => write!(
                f,
                "loads are computed for at most {} supports, but there are {given}; leave out \
                 those that lie between others",
                super::MAX_SUPPORTS
            ),
            Self::SupportsCoincide { first, second } => write!(
                f,
                "supports {} and {} are at the same place; count them as one",
                first + 1,
                second + 1
            ),
            Self::SupportsInLine => {
                f.write_str("all supports lie on one line, so the vehicle would roll about it")
            }
            Self::CentreOutside { from, to, margin } => write!(
                f,
                "the centre of gravity lies {:.0} mm outside the line from support {} to support \
                 {}, so the vehicle tips over it",
                -margin * 1000.0,
                from + 1,
                to + 1
            ),
            Self::TooFewCorners { given } => write!(
                f,
                "a region seen from above needs three or more corners, but there are {given}"
            ),
            Self::NoSuchSupport { support } => write!(
                f,
                "there is no support {}; give the supports that the stability was computed for",
                support + 1
            ),
            Self::NoJack => f.write_str("nothing holds what is raised; give the place of the jack"),
        }
    }
}

impl std::error::Error for LiftError {}

/// Refuses what is not finite.
pub(super) fn check_finite(number: &Tracked, quantity: LiftQuantity) -> Result<(), LiftError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(LiftError::NotFinite { quantity })
    }
}

/// Farther off than this no vehicle reaches, metres.
const FARTHEST: f64 = 1e6;

/// Refuses a coordinate that is not finite, or farther off than any vehicle reaches.
pub(super) fn check_place(number: &Tracked, quantity: LiftQuantity) -> Result<(), LiftError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if value.abs() <= FARTHEST {
        Ok(())
    } else {
        Err(LiftError::TooFar { quantity, value })
    }
}

/// Refuses what is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, quantity: LiftQuantity) -> Result<(), LiftError> {
    check_finite(number, quantity)?;
    if number.value() > 0.0 {
        Ok(())
    } else {
        let value = number.value();
        Err(LiftError::NotPositive { quantity, value })
    }
}

/// Passes a result on if it came out finite.
pub(super) fn finite(result: Tracked, quantity: LiftQuantity) -> Result<Tracked, LiftError> {
    check_finite(&result, quantity)?;
    Ok(result)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_count_from_one_and_say_what_to_do() {
        let cases = [
            (
                LiftError::NotFinite {
                    quantity: LiftQuantity::Support(1),
                },
                "the place of support 2 is not a finite number",
            ),
            (
                LiftError::CentreOutside {
                    from: 2,
                    to: 0,
                    margin: -0.1308,
                },
                "the centre of gravity lies 131 mm outside the line from support 3 to support 1, \
                 so the vehicle tips over it",
            ),
            (
                LiftError::TooManySupports { given: 9 },
                "loads are computed for at most 8 supports, but there are 9; leave out those that \
                 lie between others",
            ),
        ];
        for (error, text) in cases {
            assert_eq!(error.to_string(), text);
        }
    }
}

//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::carrying::{CarryingError, Field};
use crate::propagation::Tracked;
use std::fmt;

/// Which number of a wrecker, a towed vehicle or a dolly set is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TowingField {
    /// A number of the truck itself.
    Truck(Field),
    /// Reach of the lift behind the rear axle.
    Reach,
    /// Rating of the lift.
    LiftRating,
    /// The heaviest vehicle that the lift may tow.
    TowRating,
    /// The load on the lift.
    LiftLoad,
    /// The load on one axle of the combination.
    AxleLoad,
    /// Gross rating of the towed vehicle.
    TowedRating,
    /// Rating of the combination, or of a unit of it.
    CombinationRating,
    /// Mass of the towed vehicle.
    TowedMass,
    /// Centre of gravity of the towed vehicle.
    TowedCentre,
    /// Wheelbase of the towed vehicle.
    TowedWheelbase,
    /// Height of the towed vehicle's centre of gravity.
    CentreHeight,
    /// Height of the point at which it is lifted.
    LiftPointHeight,
    /// Height to which it is lifted.
    LiftHeight,
    /// Rating of the dolly set.
    DollyRating,
    /// Rating of a dolly tyre.
    DollyTyreRating,
    /// Number of dolly tyres.
    DollyTyres,
    /// Mass of the dolly set itself.
    DollyMass,
    /// Load on the dollies.
    DollyLoad,
}

impl fmt::Display for TowingField {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Truck(field) => return field.fmt(f),
            Self::Reach => "reach of the wheel lift",
            Self::LiftRating => "rating of the wheel lift",
            Self::TowRating => "tow rating of the wheel lift",
            Self::LiftLoad => "load on the wheel lift",
            Self::AxleLoad => "load on an axle",
            Self::TowedRating => "gross rating of the towed vehicle",
            Self::CombinationRating => "rating of the combination or of a unit of it",
            Self::TowedMass => "mass of the towed vehicle",
            Self::TowedCentre => "centre of gravity of the towed vehicle",
            Self::TowedWheelbase => "wheelbase of the towed vehicle",
            Self::CentreHeight => "height of the centre of gravity",
            Self::LiftPointHeight => "height of the lift point",
            Self::LiftHeight => "lift height",
            Self::DollyRating => "rating of the dolly set",
            Self::DollyTyreRating => "rating of a dolly tyre",
            Self::DollyTyres => "number of dolly tyres",
            Self::DollyMass => "mass of the dolly set",
            Self::DollyLoad => "load on the dollies",
        })
    }
}

/// Why a computation was refused.
#[derive(Debug, Clone, PartialEq)]
pub enum TowingError {
    /// A number is NaN or infinite, or a result went out of the range of numbers.
    NotFinite {
        /// Which number.
        field: TowingField,
    },
    /// A number is zero or negative where that is impossible.
    NotPositive {
        /// Which number.
        field: TowingField,
        /// What was given.
        value: f64,
    },
    /// A number is negative where only zero and more are possible.
    Negative {
        /// Which number.
        field: TowingField,
        /// What was given.
        value: f64,
    },
    /// Numbers without which nothing can be computed are missing.
    Missing {
        /// Which numbers.
        fields: Vec<TowingField>,
    },
    /// The towed vehicle's centre of gravity does not lie between its axles.
    CentreOutsideAxles {
        /// Metres behind its front axle.
        centre: f64,
        /// Its wheelbase, metres.
        wheelbase: f64,
    },
    /// The wheels would be lifted by as much as the wheelbase or more.
    LiftBeyondWheelbase {
        /// Difference in height of the axles, metres.
        rise: f64,
        /// Its wheelbase, metres.
        wheelbase: f64,
    },
    /// Lifted that far, the vehicle would tip over the axle that stays down.
    WouldTip {
        /// Lift angle, radians.
        angle: f64,
    },
    /// An axle group needs two axles or more, at different places in ascending order.
    NoAxleGroup,
    /// Places and loads of axles do not come in pairs.
    AxlesNotPaired {
        /// How many places.
        places: usize,
        /// How many loads.
        loads: usize,
    },
}

impl fmt::Display for TowingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { field } => write!(f, "the {field} is not a finite number"),
            Self::NotPositive { field, value } => {
                write!(f, "the {field} is {value} but must be more than zero")
            }
            Self::Negative { field, value } => {
                write!(f, "the {field} is {value} but must not be below zero")
            }
            Self::Missing { fields } => {
                let names: Vec<_> = fields.iter().map(ToString::to_string).collect();
                write!(f, "not known without the {}", names.join(", the "))
            }
            Self::CentreOutsideAxles { centre, wheelbase } => write!(
                f,
                "the towed vehicle's centre of gravity is {centre:.3} m behind its front axle, outside \
                 its wheelbase of {wheelbase:.3} m; check the axle readings"
            ),
            Self::LiftBeyondWheelbase { rise, wheelbase } => write!(
                f,
                "one axle is lifted {rise:.3} m above the other, which is not less than the wheelbase of \
                 {wheelbase:.3} m; check the lift height"
            ),
            Self::WouldTip { angle } => write!(
                f,
                "lifted by {:.1} degrees the vehicle would tip over the axle that stays down",
                angle.to_degrees()
            ),
            Self::NoAxleGroup => f.write_str(
                "an axle group needs two or more axles at different places, from front to rear",
            ),
            Self::AxlesNotPaired { places, loads } => write!(
                f,
                "there are {places} axle places but {loads} axle loads; give one load for each axle"
            ),
        }
    }
}

impl std::error::Error for TowingError {}

impl From<CarryingError> for TowingError {
    /// Passes on what is wrong with the truck itself.
    fn from(error: CarryingError) -> Self {
        match error {
            CarryingError::NotFinite { field } => Self::NotFinite {
                field: TowingField::Truck(field),
            },
            CarryingError::NotPositive { field, value } => Self::NotPositive {
                field: TowingField::Truck(field),
                value,
            },
            CarryingError::Missing { fields } => Self::Missing {
                fields: fields.into_iter().map(TowingField::Truck).collect(),
            },
            CarryingError::CentreOutsideAxles { centre, wheelbase } => {
                Self::CentreOutsideAxles { centre, wheelbase }
            }
            CarryingError::EdgesInsideAxles { .. }
            | CarryingError::DeckShorterThanWheelbase { .. }
            | CarryingError::AxlesNotApart => Self::NoAxleGroup,
        }
    }
}

/// Refuses a number that is not finite.
pub(super) fn check_finite(number: &Tracked, field: TowingField) -> Result<(), TowingError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(TowingError::NotFinite { field })
    }
}

/// Refuses a number that is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, field: TowingField) -> Result<(), TowingError> {
    check_finite(number, field)?;
    let value = number.value();
    if value > 0.0 {
        Ok(())
    } else {
        Err(TowingError::NotPositive { field, value })
    }
}

/// Refuses a number that is not finite, or below zero.
pub(super) fn check_not_negative(number: &Tracked, field: TowingField) -> Result<(), TowingError> {
    check_finite(number, field)?;
    let value = number.value();
    if value >= 0.0 {
        Ok(())
    } else {
        Err(TowingError::Negative { field, value })
    }
}

/// Refuses a number that is given and is not finite, or is zero or less.
pub(super) fn check_given(number: Option<&Tracked>, field: TowingField) -> Result<(), TowingError> {
    number.map_or(Ok(()), |number| check_positive(number, field))
}

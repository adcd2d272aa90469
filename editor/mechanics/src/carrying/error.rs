//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::propagation::Tracked;
use std::fmt;

/// Which number of a truck, a deck or a load is meant. Indices count from zero; the text counts
/// from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Field {
    /// Wheelbase of the truck.
    Wheelbase,
    /// Empty load of the truck's front axle.
    FrontEmpty,
    /// Empty load of the truck's rear axle or tandem.
    RearEmpty,
    /// Rating of the truck's front axle.
    FrontRating,
    /// Rating of the truck's rear axle or tandem.
    RearRating,
    /// Gross rating of the truck.
    GrossRating,
    /// Least share of its empty load that the front axle keeps.
    SteeringShare,
    /// Place of the deck's front edge.
    DeckFront,
    /// Length of the deck.
    DeckLength,
    /// Allowed overhang behind the deck.
    OverhangAllowed,
    /// Capacity of the deck.
    DeckCapacity,
    /// Height of the deck.
    DeckHeight,
    /// Mass of a load.
    LoadMass(usize),
    /// Place of a load.
    LoadPlace(usize),
    /// Stiffness of an axle's springs.
    SpringStiffness(usize),
    /// Mass of the vehicle.
    VehicleMass,
    /// Centre of gravity of the vehicle.
    VehicleCentre,
    /// Wheelbase of the vehicle.
    VehicleWheelbase,
    /// Foremost edge of the vehicle.
    VehicleFront,
    /// Rearmost edge of the vehicle.
    VehicleRear,
    /// Height of the vehicle.
    VehicleHeight,
    /// Edge of another vehicle on the deck.
    NeighbourEdge(usize),
    /// Mass or place of another vehicle on the deck.
    NeighbourLoad(usize),
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = match self {
            Self::Wheelbase => "wheelbase of the truck",
            Self::FrontEmpty => "empty front axle load of the truck",
            Self::RearEmpty => "empty rear axle load of the truck",
            Self::FrontRating => "front axle rating of the truck",
            Self::RearRating => "rear axle rating of the truck",
            Self::GrossRating => "gross rating of the truck",
            Self::SteeringShare => "least share of load kept for steering",
            Self::DeckFront => "front edge of the deck",
            Self::DeckLength => "length of the deck",
            Self::OverhangAllowed => "allowed overhang behind the deck",
            Self::DeckCapacity => "capacity of the deck",
            Self::DeckHeight => "height of the deck",
            Self::LoadMass(i) => return write!(f, "mass of load {}", i + 1),
            Self::LoadPlace(i) => return write!(f, "place of load {}", i + 1),
            Self::SpringStiffness(i) => return write!(f, "spring stiffness of axle {}", i + 1),
            Self::VehicleMass => "mass of the vehicle",
            Self::VehicleCentre => "centre of gravity of the vehicle",
            Self::VehicleWheelbase => "wheelbase of the vehicle",
            Self::VehicleFront => "foremost edge of the vehicle",
            Self::VehicleRear => "rearmost edge of the vehicle",
            Self::VehicleHeight => "height of the vehicle",
            Self::NeighbourEdge(i) => return write!(f, "edge of other vehicle {}", i + 1),
            Self::NeighbourLoad(i) => return write!(f, "mass or place of other vehicle {}", i + 1),
        };
        f.write_str(words)
    }
}

/// Why a computation was refused.
#[derive(Debug, Clone, PartialEq)]
pub enum CarryingError {
    /// A number is NaN or infinite, or a result went out of the range of numbers.
    NotFinite {
        /// Which number.
        field: Field,
    },
    /// A number is zero or negative where that is impossible.
    NotPositive {
        /// Which number.
        field: Field,
        /// What was given.
        value: f64,
    },
    /// Numbers without which nothing can be computed are missing.
    Missing {
        /// Which numbers.
        fields: Vec<Field>,
    },
    /// The vehicle's centre of gravity does not lie between its axles.
    CentreOutsideAxles {
        /// Metres behind its front axle.
        centre: f64,
        /// Its wheelbase, metres.
        wheelbase: f64,
    },
    /// The vehicle's edges do not enclose its axles.
    EdgesInsideAxles {
        /// Foremost edge, metres behind the front axle; must not be more than zero.
        front: f64,
        /// Rearmost edge, metres behind the front axle; must not be less than the wheelbase.
        rear: f64,
        /// Its wheelbase, metres.
        wheelbase: f64,
    },
    /// The vehicle's wheelbase is longer than the deck.
    DeckShorterThanWheelbase {
        /// Length of the deck, metres.
        deck: f64,
        /// Distance between the vehicle's axles, metres.
        wheelbase: f64,
    },
    /// Fewer than two axles, or two at the same place.
    AxlesNotApart,
}

impl fmt::Display for CarryingError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { field } => write!(f, "the {field} is not a finite number"),
            Self::NotPositive { field, value } => {
                write!(f, "the {field} is {value} but must be more than zero")
            }
            Self::Missing { fields } => {
                let names: Vec<_> = fields.iter().map(ToString::to_string).collect();
                write!(f, "not known without the {}", names.join(", the "))
            }
            Self::CentreOutsideAxles { centre, wheelbase } => write!(
                f,
                "the vehicle's centre of gravity is {centre:.3} m behind its front axle, outside its \
                 wheelbase of {wheelbase:.3} m; check the axle readings"
            ),
            Self::EdgesInsideAxles {
                front,
                rear,
                wheelbase,
            } => write!(
                f,
                "the vehicle reaches from {front:.3} m to {rear:.3} m behind its front axle, which does \
                 not enclose its axles at 0 and {wheelbase:.3} m; check the overhangs"
            ),
            Self::DeckShorterThanWheelbase { deck, wheelbase } => write!(
                f,
                "the deck is {deck:.3} m long, shorter than the vehicle's wheelbase of {wheelbase:.3} m, \
                 so its wheels cannot all stand on it"
            ),
            Self::AxlesNotApart => f.write_str("two or more axles at different places are needed"),
        }
    }
}

impl std::error::Error for CarryingError {}

/// Refuses a number that is not finite.
pub(super) fn check_finite(number: &Tracked, field: Field) -> Result<(), CarryingError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(CarryingError::NotFinite { field })
    }
}

/// Refuses a number that is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, field: Field) -> Result<(), CarryingError> {
    check_finite(number, field)?;
    let value = number.value();
    if value > 0.0 {
        Ok(())
    } else {
        Err(CarryingError::NotPositive { field, value })
    }
}

/// Refuses a number that is not finite, or below zero.
pub(super) fn check_not_negative(number: &Tracked, field: Field) -> Result<(), CarryingError> {
    check_finite(number, field)?;
    let value = number.value();
    if value >= 0.0 {
        Ok(())
    } else {
        Err(CarryingError::NotPositive { field, value })
    }
}

/// Returns a number that is there, or the name of what is missing.
pub(super) fn need(field: Field, number: Option<&Tracked>) -> Result<&Tracked, Vec<Field>> {
    number.ok_or_else(|| vec![field])
}

/// Joins two parts of a formula, or the names of everything that either lacks.
pub(super) fn both<A, B>(
    a: Result<A, Vec<Field>>,
    b: Result<B, Vec<Field>>,
) -> Result<(A, B), Vec<Field>> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(missing), Ok(_)) | (Ok(_), Err(missing)) => Err(missing),
        (Err(mut missing), Err(more)) => {
            missing.extend(more);
            missing.sort_unstable();
            missing.dedup();
            Err(missing)
        }
    }
}

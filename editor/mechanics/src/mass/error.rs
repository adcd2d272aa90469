//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::propagation::Tracked;
use std::fmt;

/// One of the two axles of a two-axle vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Axle {
    /// The front axle, at x = 0.
    Front,
    /// The rear axle, at x = wheelbase.
    Rear,
}

impl fmt::Display for Axle {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Front => "front",
            Self::Rear => "rear",
        })
    }
}

/// Which number an error is about. Indices count from zero; the text counts from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Position of an axle along the vehicle.
    AxlePosition(usize),
    /// Load of a whole axle.
    AxleLoad(usize),
    /// Load of the wheels on the left end of an axle.
    LeftLoad(usize),
    /// Load of the wheels on the right end of an axle.
    RightLoad(usize),
    /// Distance between the left and right tyre centrelines of an axle.
    Track(usize),
    /// Load of all wheels on one side of the vehicle.
    SideLoad,
    /// Track width of the whole vehicle.
    VehicleTrack,
    /// Distance between front and rear axle.
    Wheelbase,
    /// Total mass.
    TotalMass,
    /// Distance of the centre of gravity behind the front axle.
    DistanceBehindFrontAxle,
    /// Distance of the centre of gravity ahead of the rear axle.
    DistanceAheadOfRearAxle,
    /// Offset of the centre of gravity to the vehicle's right.
    LateralOffset,
    /// Height of the centre of gravity above the ground.
    Height,
    /// Level load of one of two axles.
    LevelLoad(Axle),
    /// Static loaded radius of the wheels of one of two axles.
    WheelRadius(Axle),
    /// Load on the axle left down, in one step of a lift.
    TiltedLoad(usize),
    /// Angle of one step of a lift.
    LiftAngle(usize),
    /// Elevation of the raised wheels in one step of a lift.
    WheelElevation(usize),
    /// One of several readings of a quantity.
    Reading(usize),
    /// Mass of a fitted or removed item.
    ItemMass(usize),
    /// Place of a fitted or removed item.
    ItemPlace(usize),
    /// Static stability factor.
    StabilityFactor,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AxlePosition(i) => write!(f, "position of axle {}", i + 1),
            Self::AxleLoad(i) => write!(f, "load of axle {}", i + 1),
            Self::LeftLoad(i) => write!(f, "left wheel load of axle {}", i + 1),
            Self::RightLoad(i) => write!(f, "right wheel load of axle {}", i + 1),
            Self::Track(i) => write!(f, "track of axle {}", i + 1),
            Self::SideLoad => f.write_str("load of one side"),
            Self::VehicleTrack => f.write_str("track"),
            Self::Wheelbase => f.write_str("wheelbase"),
            Self::TotalMass => f.write_str("total mass"),
            Self::DistanceBehindFrontAxle => {
                f.write_str("distance of the centre of gravity behind the front axle")
            }
            Self::DistanceAheadOfRearAxle => {
                f.write_str("distance of the centre of gravity ahead of the rear axle")
            }
            Self::LateralOffset => f.write_str("lateral offset of the centre of gravity"),
            Self::Height => f.write_str("height of the centre of gravity"),
            Self::LevelLoad(axle) => write!(f, "level load of the {axle} axle"),
            Self::WheelRadius(axle) => write!(f, "wheel radius of the {axle} axle"),
            Self::TiltedLoad(i) => write!(f, "load on the axle left down in lift step {}", i + 1),
            Self::LiftAngle(i) => write!(f, "angle of lift step {}", i + 1),
            Self::WheelElevation(i) => write!(f, "wheel elevation of lift step {}", i + 1),
            Self::Reading(i) => write!(f, "reading {}", i + 1),
            Self::ItemMass(i) => write!(f, "mass of item {}", i + 1),
            Self::ItemPlace(i) => write!(f, "place of item {}", i + 1),
            Self::StabilityFactor => f.write_str("static stability factor"),
        }
    }
}

/// Why a computation was refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum MassError {
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
    /// Fewer than two axles have readings.
    TooFewAxles {
        /// How many have.
        given: usize,
    },
    /// An axle does not lie behind the one before it.
    AxlesOutOfOrder {
        /// Index of the axle.
        axle: usize,
    },
    /// A lift without any step.
    NoLiftSteps,
    /// A lift angle of 90 degrees or more.
    AngleTooSteep {
        /// Index of the step.
        step: usize,
        /// The angle in radians.
        angle: f64,
    },
    /// The wheels were raised by as much as the wheelbase or more.
    ElevationBeyondWheelbase {
        /// Index of the step.
        step: usize,
        /// The elevation in metres.
        elevation: f64,
    },
    /// The axle left down carries as much as the whole vehicle weighs, or more.
    TiltedLoadAboveTotal {
        /// Index of the step.
        step: usize,
        /// Load on the axle left down, kilograms.
        load: f64,
        /// Total mass, kilograms.
        total: f64,
    },
    /// The distances from the centre of gravity to the axles do not add up to the wheelbase.
    DistancesMissWheelbase {
        /// Sum of the two distances, metres.
        sum: f64,
        /// The wheelbase, metres.
        wheelbase: f64,
    },
    /// Nothing to combine.
    NoReadings,
    /// A reading without uncertainty cannot be weighed against others.
    ReadingWithoutUncertainty {
        /// Index of the reading.
        reading: usize,
    },
    /// More mass would be removed than there is.
    RemovesTooMuch {
        /// What would be left, kilograms.
        left: f64,
    },
    /// The centre of gravity lies outside the wheelbase, so that one axle would lift off.
    AxleWouldLift {
        /// The axle that would lift.
        axle: Axle,
    },
    /// The centre of gravity lies outside the track, so that one side would lift off.
    SideWouldLift {
        /// The lateral offset, metres to the right.
        offset: f64,
    },
}

impl fmt::Display for MassError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::NotFinite { quantity } => write!(f, "the {quantity} is not a finite number"),
            Self::NotPositive { quantity, value } => {
                write!(f, "the {quantity} is {value} but must be more than zero")
            }
            Self::TooFewAxles { given } => write!(
                f,
                "readings of two or more axles are needed, but there are {given}"
            ),
            Self::AxlesOutOfOrder { axle } => write!(
                f,
                "axle {} does not lie behind the axle before it; list the axles from front to \
                 rear",
                axle + 1
            ),
            Self::NoLiftSteps => f.write_str("the axle lift has no step; give at least one"),
            Self::AngleTooSteep { step, angle } => write!(
                f,
                "lift step {} is at {:.1} degrees but must be below 90; check the unit of the \
                 angle",
                step + 1,
                angle.to_degrees()
            ),
            Self::ElevationBeyondWheelbase { step, elevation } => write!(
                f,
                "lift step {} raises the wheels by {elevation} m, which is not less than the \
                 wheelbase",
                step + 1
            ),
            Self::TiltedLoadAboveTotal { step, load, total } => write!(
                f,
                "in lift step {} the axle left down carries {load} kg of a vehicle of {total} kg; \
                 it must carry less than the whole",
                step + 1
            ),
            Self::DistancesMissWheelbase { sum, wheelbase } => write!(
                f,
                "the distances from the centre of gravity to the two axles add up to {sum} m but \
                 the wheelbase is {wheelbase} m"
            ),
            Self::NoReadings => f.write_str("there is no reading to combine"),
            Self::ReadingWithoutUncertainty { reading } => write!(
                f,
                "reading {} has no uncertainty, so it cannot be weighed against others; give the \
                 scale's division or tolerance",
                reading + 1
            ),
            Self::RemovesTooMuch { left } => write!(
                f,
                "the removed items weigh more than the vehicle: {left} kg would be left"
            ),
            Self::AxleWouldLift { axle } => write!(
                f,
                "the centre of gravity lies outside the wheelbase, so the {axle} axle would lift"
            ),
            Self::SideWouldLift { offset } => write!(
                f,
                "the centre of gravity lies {offset} m off centre, outside the track, so the other \
                 side would lift"
            ),
        }
    }
}

impl std::error::Error for MassError {}

/// Refuses an input that is not finite.
pub(super) fn check_finite(number: &Tracked, quantity: Quantity) -> Result<(), MassError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(MassError::NotFinite { quantity })
    }
}

/// Refuses an input that is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, quantity: Quantity) -> Result<(), MassError> {
    check_finite(number, quantity)?;
    if number.value() > 0.0 {
        Ok(())
    } else {
        let value = number.value();
        Err(MassError::NotPositive { quantity, value })
    }
}

/// Passes a result on if it came out finite.
pub(super) fn finite(result: Tracked, quantity: Quantity) -> Result<Tracked, MassError> {
    check_finite(&result, quantity)?;
    Ok(result)
}

/// Passes a result on if it came out finite and more than zero.
pub(super) fn positive(result: Tracked, quantity: Quantity) -> Result<Tracked, MassError> {
    check_positive(&result, quantity)?;
    Ok(result)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn messages_count_from_one_and_say_what_to_do() {
        let cases = [
            (
                MassError::NotPositive {
                    quantity: Quantity::AxleLoad(1),
                    value: -3.0,
                },
                "the load of axle 2 is -3 but must be more than zero",
            ),
            (
                MassError::AxlesOutOfOrder { axle: 1 },
                "axle 2 does not lie behind the axle before it; list the axles from front to rear",
            ),
            (
                MassError::AngleTooSteep {
                    step: 0,
                    angle: 15.0,
                },
                "lift step 1 is at 859.4 degrees but must be below 90; check the unit of the angle",
            ),
        ];
        for (error, text) in cases {
            assert_eq!(error.to_string(), text);
        }
    }
}

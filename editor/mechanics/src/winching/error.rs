//! What the functions of this module refuse, said so that the wrong field can be found.

use crate::propagation::Tracked;
use std::fmt;

/// Which number an error is about. Indices count from zero; the text counts from one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Mass of the vehicle.
    Mass,
    /// Weight or resistance of a load.
    Resistance,
    /// Factor by which a weight becomes a resistance.
    ResistanceFactor,
    /// Level load of an axle.
    AxleLoad(usize),
    /// Resistance coefficient of the wheels of an axle.
    AxleCoefficient(usize),
    /// Angle of the slope to the level.
    Slope,
    /// Pull of a line or at a hook.
    Pull,
    /// What the winch can pull.
    WinchCapacity,
    /// Angle between the two lines at a block.
    LineAngle,
    /// Share of the pull that a block passes on.
    BlockEfficiency,
    /// Share of the load that each sheave adds.
    SheaveLoss,
    /// Diameter of the bare drum.
    DrumDiameter,
    /// Width of the drum between its flanges.
    DrumWidth,
    /// Diameter of the line.
    LineDiameter,
    /// Length of the line.
    LineLength,
    /// Length of line off the drum.
    LineOut,
    /// Packing factor of the line on the drum.
    Packing,
    /// Number of a layer on the drum, from one.
    Layer,
    /// Distance between the two points of a bridle.
    Spread,
    /// Length of a leg of a bridle or sling.
    LegLength,
    /// Angle of a leg to the line between its points.
    LegAngle,
    /// Height of the hook over the points of a sling.
    SlingHeight,
    /// Angle of the pull to the middle of a bridle.
    OffCentre,
    /// Angle of the pull above the level.
    Elevation,
    /// A direction or a place.
    Direction,
    /// Half angle of a cone of allowed directions.
    ConeAngle,
    /// Diameter of a wire rope.
    RopeDiameter,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::AxleLoad(i) => return write!(f, "load of axle {}", i + 1),
            Self::AxleCoefficient(i) => {
                return write!(f, "resistance coefficient of axle {}", i + 1);
            }
            Self::Mass => "mass",
            Self::Resistance => "resistance of the load",
            Self::ResistanceFactor => "resistance factor",
            Self::Slope => "slope",
            Self::Pull => "pull",
            Self::WinchCapacity => "line pull of the winch",
            Self::LineAngle => "angle between the lines",
            Self::BlockEfficiency => "efficiency of the block",
            Self::SheaveLoss => "loss at each sheave",
            Self::DrumDiameter => "drum diameter",
            Self::DrumWidth => "drum width",
            Self::LineDiameter => "line diameter",
            Self::LineLength => "line length",
            Self::LineOut => "length of line out",
            Self::Packing => "packing factor",
            Self::Layer => "layer on the drum",
            Self::Spread => "distance between the points",
            Self::LegLength => "length of the leg",
            Self::LegAngle => "angle of the leg",
            Self::SlingHeight => "height of the sling",
            Self::OffCentre => "angle of the pull to the middle",
            Self::Elevation => "angle of the pull above the level",
            Self::Direction => "direction",
            Self::ConeAngle => "half angle of the allowed directions",
            Self::RopeDiameter => "diameter of the wire rope",
        })
    }
}

/// Why a computation was refused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WinchingError {
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
    /// There is no axle.
    NoAxles,
    /// The legs of a bridle are too short to meet.
    LegsDoNotMeet {
        /// Length of a leg, metres.
        leg: f64,
        /// Distance between the points, metres.
        spread: f64,
    },
    /// More line is needed than there is.
    LineTooShort {
        /// Line needed off the drum, metres.
        out: f64,
        /// Line there is, metres.
        length: f64,
    },
    /// No sensible number of parts of line brings the load down to what the winch can pull.
    NoTackleHolds {
        /// Resistance of the load, newtons.
        resistance: f64,
        /// What the winch can pull, newtons.
        capacity: f64,
    },
}

impl fmt::Display for WinchingError {
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
            Self::NoAxles => f.write_str("there is no axle; give at least one"),
            Self::LegsDoNotMeet { leg, spread } => write!(
                f,
                "bridle legs of {leg} m do not meet over points that are {spread} m apart; take \
                 longer legs"
            ),
            Self::LineTooShort { out, length } => write!(
                f,
                "{out} m of line are needed but the line is {length} m long"
            ),
            Self::NoTackleHolds {
                resistance,
                capacity,
            } => write!(
                f,
                "no tackle of up to 20 parts brings a load of {resistance} N down to the winch's \
                 {capacity} N; take a stronger winch"
            ),
        }
    }
}

impl std::error::Error for WinchingError {}

/// Refuses an input that is not finite.
pub(super) fn check_finite(number: &Tracked, quantity: Quantity) -> Result<(), WinchingError> {
    if number.is_finite() {
        Ok(())
    } else {
        Err(WinchingError::NotFinite { quantity })
    }
}

/// Refuses an input that is not finite, or is zero or less.
pub(super) fn check_positive(number: &Tracked, quantity: Quantity) -> Result<(), WinchingError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if value > 0.0 {
        Ok(())
    } else {
        Err(WinchingError::NotPositive { quantity, value })
    }
}

/// Refuses an input that is not finite, or lies outside a range (ends allowed).
pub(super) fn check_range(
    number: &Tracked,
    quantity: Quantity,
    low: f64,
    high: f64,
) -> Result<(), WinchingError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if (low..=high).contains(&value) {
        Ok(())
    } else {
        Err(WinchingError::OutOfRange {
            quantity,
            value,
            low,
            high,
        })
    }
}

/// Passes a result on if it came out finite.
pub(super) fn finite(result: Tracked, quantity: Quantity) -> Result<Tracked, WinchingError> {
    check_finite(&result, quantity)?;
    Ok(result)
}

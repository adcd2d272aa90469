//! Mass and centre of gravity from what a scale, a lift and a tape can tell.
//!
//! All functions take [`Tracked`](crate::propagation::Tracked) numbers of one
//! [`Inputs`](crate::propagation::Inputs), so that results can be chained (readings → centre of
//! gravity → height → fitted items → axle loads) and an input that enters several times is still
//! counted once. "Load" is a scale reading in kilograms, lengths are in metres, angles in radians.
//! Frame: origin on the ground under the centre of the front axle, x rearward, y to the vehicle's
//! right, z up.
//!
//! Every function refuses what is not finite and what cannot be zero or less, and never returns
//! NaN: a result that does not come out finite is an error.
//!
//! | function | answers |
//! | --- | --- |
//! | [`from_axle_readings`] | total mass, centre of gravity along and across, axle shares |
//! | [`height_by_axle_lift`] | height of the centre of gravity |
//! | [`weighted_mean`], [`disagreements`] | several readings of one quantity, and which disagree |
//! | [`with_items`] | mass and centre of gravity after fitting or removing something |
//! | [`axle_loads`], [`side_loads`] | loads from mass and centre of gravity |
//! | [`static_stability_factor`] | T / 2h, the angle at which a rigid body tips, usual values |
//! | [`Scale`] | readings of one scale with its division and tolerance |

mod axle_loads;
mod chi_square;
mod combine;
mod error;
mod height;
mod horizontal;
mod items;
mod scale;
mod stability;

#[cfg(test)]
mod chained;
#[cfg(test)]
mod measured_vehicles;
#[cfg(test)]
mod testing;

pub use axle_loads::{AxleLoads, SideLoads, axle_loads, side_loads};
pub use combine::{
    Combined, Consistency, Disagreement, disagreements, normalised_difference, weighted_mean,
};
pub use error::{Axle, MassError, Quantity};
pub use height::{
    AxleLift, HeightFlag, LevelSplit, LiftAngle, LiftStep, LiftedHeight, SHALLOW_LIFT_ANGLE,
    StepCombination, StepResult, height_by_axle_lift,
};
pub use horizontal::{AxleLoad, AxleReading, HorizontalMass, from_axle_readings};
pub use items::{Body, Change, Item, with_items};
pub use scale::{Scale, ScaleError, acceptance_tolerance, maintenance_tolerance};
pub use stability::{
    CAR_HEIGHT, CAR_STABILITY, LIGHT_TRUCK_HEIGHT, LIGHT_TRUCK_STABILITY, LIGHT_VEHICLE_HEIGHT,
    LIGHT_VEHICLE_STABILITY, LightVehicle, PlausibleRange, expected_height,
    static_stability_factor, tip_angle,
};

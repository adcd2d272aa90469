//! Axles: what is fixed to them and what turning them does.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sourced;
use crate::{id::*, quantity::*, text::*};

/// One axle, from the front.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Axle {
    /// The axle's id.
    pub id: Id,
    /// What it is called.
    pub name: Option<Text>,
    /// How far it is behind the front axle; zero for the front axle itself.
    pub position: Sourced<CoordinateKind>,
    /// Between the tyre centre planes of its left and right wheels.
    pub track: Option<Sourced<SizeKind>>,
    /// Gross axle weight rating: the most that the axle may carry.
    pub gawr: Option<Sourced<MassKind>>,
    /// The tyres on it.
    pub tyre: Option<Tyre>,
    /// Whether its wheels steer.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub steered: bool,
    /// Whether and when the steering locks, and what frees it.
    pub steering_lock: Option<Text>,
    /// Whether a service brake acts on it.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub braked: bool,
    /// What holds it when the vehicle is parked.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<Hold>,
    /// What carries the body on it.
    pub suspension: Option<Suspension>,
    /// The drive motor on it; without this the axle has none stated.
    pub motor: Option<Motor>,
    /// What turning its wheels without power does.
    pub turning: Option<Turning>,
}

/// The tyres of one axle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Tyre {
    /// The size marking on the sidewall.
    pub size: Label,
    /// From the wheel centre to the ground at curb mass.
    pub static_loaded_radius: Option<Sourced<SizeKind>>,
    /// The cold inflation pressure.
    pub pressure: Option<Sourced<PressureKind>>,
    /// One, or two for twin tyres.
    #[schemars(range(min = 1, max = 2))]
    pub wheels_per_side: Option<u8>,
}

/// What holds an axle when parked.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Hold {
    /// A parking brake worked by lever or pedal.
    ParkingBrake,
    /// A parking brake set and released by motors, which needs low voltage to change.
    ElectricParkingBrake,
    /// A pawl in the drive unit.
    ParkPawl,
}

/// What carries the body.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Suspension {
    /// Steel springs.
    Steel,
    /// Air springs, which can level or settle by themselves.
    Air,
    /// Gas springs with fluid.
    Hydropneumatic,
    /// No springs.
    Rigid,
}

/// The drive motor of an axle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Motor {
    /// Whether there is one and whether it can be disconnected.
    pub kind: MotorKind,
    /// How many motors drive the axle.
    #[schemars(range(min = 1, max = 4))]
    pub count: Option<u8>,
    /// How it is disconnected, and how a crew can tell that it is.
    pub how: Option<Text>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// Whether an axle has a drive motor.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MotorKind {
    /// The axle has no drive motor.
    None,
    /// A motor turns whenever the wheels turn.
    Fixed,
    /// A motor that can be disconnected from the wheels.
    Disconnectable,
}

/// What turning the wheels of an axle without power does, and what a source allows.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Turning {
    /// What happens.
    pub effect: TurningEffect,
    /// What happens, in words.
    pub explanation: Option<Text>,
    /// The highest speed that a source allows.
    pub max_speed: Option<Sourced<SpeedKind>>,
    /// The longest distance that a source allows.
    pub max_distance: Option<Sourced<WayKind>>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// What turning an axle unpowered does.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum TurningEffect {
    /// It rolls freely and nothing is harmed.
    Free,
    /// A motor makes voltage and heat: it must not turn on the road.
    Generates,
    /// It turns against a resistance and may overheat.
    Drags,
    /// It does not turn.
    Locked,
    /// No source says.
    NotKnown,
}

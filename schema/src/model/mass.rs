//! Mass: what scales showed, what is declared, and where the centre of gravity is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Sourced, geometry::Place};
use crate::{date::*, id::*, quantity::*, text::*};

/// Mass and centre of gravity: what is declared, what was weighed, and what comes on or off.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassData {
    /// The declared curb mass.
    pub curb_mass: Option<Sourced<MassKind>>,
    /// What the declared curb mass includes.
    pub curb_mass_basis: Option<MassBasis>,
    /// Gross vehicle weight rating.
    pub gvwr: Option<Sourced<MassKind>>,
    /// What scales showed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 50))]
    pub readings: Vec<ScaleReading>,
    /// Heavy things that are fitted, or can be taken out.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub items: Vec<Item>,
    /// How high the centre of gravity is.
    pub centre_height: Option<CentreHeight>,
}

/// What a stated mass includes.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MassBasis {
    /// Full fluids, no cargo and no occupants (unloaded vehicle weight, 49 CFR 571.3; from memory).
    UnloadedUs,
    /// With driver, liquids and at least 90 % of fuel (mass in running order, Regulation (EU) 1230/2012 article 2).
    RunningOrderEu,
    /// Mass in running order and the optional equipment fitted (actual mass, Regulation (EU) 1230/2012 article 2).
    ActualEu,
    /// As it stood on the scale.
    AsWeighed,
    /// The source does not say.
    NotStated,
}

/// One weighing: what the scale showed under each axle or wheel, and what was on board.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ScaleReading {
    /// The reading's id.
    pub id: Id,
    /// The variant that was weighed; without it, any.
    pub variant: Option<VariantRef>,
    /// When.
    pub date: Option<Date>,
    /// What is known of the scale.
    pub scale: Option<Scale>,
    /// What it showed under each axle.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1, max = 8))]
    pub loads: Vec<AxleLoad>,
    /// People and things on board that do not belong to the vehicle.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub on_board: Vec<OnBoard>,
    /// Where the reading comes from.
    pub source: Option<SourceRef>,
    /// How it was done: level ground, brakes free, wheels straight.
    pub note: Option<Text>,
}

/// What is known of a scale.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Scale {
    /// The smallest step that it shows.
    pub division: Option<MassSpread>,
    /// The ± error allowed for it at this load.
    pub tolerance: Option<MassSpread>,
    /// Its kind, number or place.
    pub name: Option<Label>,
}

/// What the scale showed under one axle: the whole axle, or left and right.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleLoad {
    /// The axle.
    pub axle: AxleRef,
    /// The whole axle.
    pub total: Option<MassReading>,
    /// Its left wheel or wheels.
    pub left: Option<MassReading>,
    /// Its right wheel or wheels.
    pub right: Option<MassReading>,
}

/// Something on board while weighing that does not belong to the vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OnBoard {
    /// What it was.
    pub what: Text,
    /// Its mass.
    pub mass: MassReading,
    /// Where it was.
    pub place: Option<Place>,
}

/// A heavy thing that is fitted, or can be taken out.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Item {
    /// The item's id.
    pub id: Id,
    /// What it is.
    pub name: Text,
    /// Its mass.
    pub mass: Sourced<MassKind>,
    /// The place of its own centre of gravity.
    pub place: Option<Place>,
    /// Whether the vehicle's mass includes it.
    pub state: ItemState,
    /// The variants that have it; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
}

/// Whether an item is part of the vehicle's mass.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ItemState {
    /// Part of the vehicle's mass; it can be taken out.
    Included,
    /// Not part of the vehicle's mass; it comes on top where fitted.
    Added,
}

/// The height of the centre of gravity above the ground.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CentreHeight {
    /// How it is known.
    pub method: HeightMethod,
    /// The height, where a source declares it.
    pub declared: Option<Sourced<SizeKind>>,
    /// The steps of an axle lift, with every input kept (ISO 10392).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 50))]
    pub lifts: Vec<AxleLift>,
}

/// How the height of the centre of gravity is known.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum HeightMethod {
    /// It is not known.
    NotKnown,
    /// A source declares it.
    Declared,
    /// From lifting one axle and reading the load on the other.
    AxleLift,
}

/// One step of an axle lift: one axle raised, the load on the other one read.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleLift {
    /// The step's id.
    pub id: Id,
    /// The variants that the step holds for; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// The axle that was raised.
    pub raised: AxleRef,
    /// How far its wheels were raised.
    pub elevation: Option<Sourced<SizeKind>>,
    /// The vehicle's inclination, where it was measured instead.
    pub angle: Option<Sourced<AngleSpreadKind>>,
    /// The load on the other axle with the vehicle level.
    pub level_load: MassReading,
    /// The load on the other axle with the axle raised.
    pub raised_load: MassReading,
    /// The whole vehicle's mass on the same scale; without it the mass from the readings is used.
    pub total: Option<MassReading>,
    /// What is known of the scale.
    pub scale: Option<Scale>,
    /// Whether the suspension was blocked.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub suspension_blocked: bool,
    /// Where the step comes from.
    pub source: Option<SourceRef>,
}

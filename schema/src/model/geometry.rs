//! Dimensions, places and zones.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Sourced;
use crate::{id::*, outline::*, quantity::*, text::*};

/// The outer dimensions, unladen at curb mass, and the two outlines in the vehicle's frame.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Dimensions {
    /// From the front axle to the rear axle, or to the middle of the rear axles.
    pub wheelbase: Option<Sourced<SizeKind>>,
    /// Overall length.
    pub length: Option<Sourced<SizeKind>>,
    /// Overall width without mirrors.
    pub width: Option<Sourced<SizeKind>>,
    /// Overall width with the mirrors out.
    pub width_with_mirrors: Option<Sourced<SizeKind>>,
    /// Overall height, at the suspension's lowest normal level if it can change.
    pub height: Option<Sourced<SizeKind>>,
    /// From the front axle to the foremost point.
    pub front_overhang: Option<Sourced<DistanceKind>>,
    /// From the rear axle to the rearmost point.
    pub rear_overhang: Option<Sourced<DistanceKind>>,
    /// From the ground to the lowest point between the axles.
    pub ground_clearance: Option<Sourced<DistanceKind>>,
    /// The steepest ramp that the front clears, where given.
    pub approach_angle: Option<Sourced<AngleSpreadKind>>,
    /// The steepest ramp that the rear clears, where given.
    pub departure_angle: Option<Sourced<AngleSpreadKind>>,
    /// The sharpest crest that the underside clears, where given.
    pub breakover_angle: Option<Sourced<AngleSpreadKind>>,
    /// The outline of body and underbody seen from the side, without the wheels.
    pub side_outline: Option<SideOutline>,
    /// The outline of the body seen from above.
    pub plan_outline: Option<PlanOutline>,
    /// Where the outlines come from.
    pub outline_source: Option<SourceRef>,
}

/// A place in the vehicle's frame: origin on the ground under the centre of the front axle, on the centre plane.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// Rearward from the front axle.
    pub x: Coordinate,
    /// To the vehicle's right of the centre plane; negative to its left.
    pub y: Coordinate,
    /// Up from the ground.
    pub z: Option<Coordinate>,
}

/// A region of the vehicle that must not carry load, be cut or be reached into.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Zone {
    /// The zone's id.
    pub id: Id,
    /// What the zone is called.
    pub name: Text,
    /// What must not be done there, or what is there.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 1))]
    pub kinds: Vec<ZoneKind>,
    /// The region seen from the side.
    pub side: Option<SideOutline>,
    /// The region seen from above.
    pub plan: Option<PlanOutline>,
    /// The region's lower end above the ground.
    pub bottom: Option<Coordinate>,
    /// The region's upper end above the ground.
    pub top: Option<Coordinate>,
    /// Whether the same region lies on the other side of the centre plane too.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub mirrored: bool,
    /// What to do, and what not.
    pub advice: Option<Text>,
    /// Hazard messages that belong to the zone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<HazardRef>,
    /// The variants that have it; none named means all.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantRef>,
    /// Where this comes from.
    pub source: Option<SourceRef>,
}

/// What a zone forbids or holds.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ZoneKind {
    /// No lift pad, jack or stand may press here.
    NoLifting,
    /// Nothing may be cut or spread here.
    NoCutting,
    /// Nobody may reach in here.
    NoReaching,
    /// High-voltage parts lie here.
    HighVoltage,
    /// High-strength structure that tools may fail on.
    HighStrength,
    /// A stored-gas inflator or gas strut lies here.
    Inflator,
}

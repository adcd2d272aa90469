//! Equipment: what a crew brings, with ratings.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Sourced, record::*};
use crate::{codes::*, date::*, id::*, quantity::*, text::*};

/// One file: a piece of a crew's equipment with its ratings. A carrier with a winch and a wheel lift has all three
/// parts.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Equipment {
    /// The version of the format that this file is written in.
    pub format: FormatVersion,
    /// The equipment's id.
    pub id: Id,
    /// The base language of its texts.
    pub language: Language,
    /// What it is called.
    pub name: Text,
    /// Whose it is.
    pub owner: Option<Label>,
    /// The truck under it.
    pub chassis: Option<Chassis>,
    /// A carrier's deck.
    pub deck: Option<Deck>,
    /// A wheel lift.
    pub wheel_lift: Option<WheelLift>,
    /// A winch.
    pub winch: Option<Winch>,
    /// A set of tow dollies.
    pub dollies: Option<DollySet>,
    /// A two-post or four-post lift.
    pub vehicle_lift: Option<VehicleLift>,
    /// A jack.
    pub jack: Option<Jack>,
    /// Safety stands.
    pub stands: Option<Stands>,
    /// Tie-down straps, all alike.
    pub straps: Option<Straps>,
    /// Tie-down chains, all alike.
    pub chains: Option<Chains>,
    /// A winching bridle.
    pub bridle: Option<Bridle>,
    /// A snatch block.
    pub snatch_block: Option<SnatchBlock>,
    /// Skates for wheels that do not turn.
    pub skates: Option<Skates>,
    /// Insulating gloves.
    pub gloves: Option<Gloves>,
    /// Where the values come from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<Source>,
    /// Files kept with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attachments: Vec<Attachment>,
    /// Anything else a user must know.
    pub note: Option<Text>,
}

/// A truck's axles and ratings, standing empty with its equipment.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Chassis {
    /// From the front axle to the rear axle, or to the middle of a tandem.
    pub wheelbase: Option<Sourced<SizeKind>>,
    /// What the front axle carries, empty.
    pub front_axle_mass: Option<Sourced<MassKind>>,
    /// What the rear axle or tandem carries, empty.
    pub rear_axle_mass: Option<Sourced<MassKind>>,
    /// Gross axle weight rating of the front axle.
    pub front_gawr: Option<Sourced<MassKind>>,
    /// Gross axle weight rating of the rear axle or tandem.
    pub rear_gawr: Option<Sourced<MassKind>>,
    /// Gross vehicle weight rating.
    pub gvwr: Option<Sourced<MassKind>>,
    /// One rear axle or a tandem.
    pub rear_axles: Option<RearAxles>,
    /// The least share of its empty load that the front axle must keep for steering.
    pub steering_share: Option<Sourced<ShareKind>>,
    /// From the front axle to the front of the truck.
    pub front_overhang: Option<Sourced<DistanceKind>>,
    /// Overall height, empty.
    pub overall_height: Option<Sourced<SizeKind>>,
}

/// The rear axles of a truck.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum RearAxles {
    /// One axle.
    Single,
    /// Two axles that share their load.
    Tandem,
}

/// A carrier's deck. Its frame: x rearward from the deck's front edge, y to the right, z up from its surface.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Deck {
    /// The deck's front edge, behind the truck's front axle, in the travelling position.
    pub front_edge: Option<Sourced<CoordinateKind>>,
    /// Usable length.
    pub length: Option<Sourced<SizeKind>>,
    /// Usable width.
    pub width: Option<Sourced<SizeKind>>,
    /// The surface above the ground, travelling and loaded.
    pub height: Option<Sourced<SizeKind>>,
    /// The most that it may carry.
    pub capacity: Option<Sourced<MassKind>>,
    /// How far a load may stand out behind the deck.
    pub rear_overhang_allowed: Option<Sourced<DistanceKind>>,
    /// The deck's angle when it is tilted to the ground for loading.
    pub tilt_angle: Option<Sourced<AngleSpreadKind>>,
    /// The length of a tail ramp that meets the ground, if any.
    pub tail_length: Option<Sourced<DistanceKind>>,
    /// The tail ramp's own angle to the ground when loading.
    pub tail_angle: Option<Sourced<AngleSpreadKind>>,
    /// What the surface is made of.
    pub surface: Option<DeckSurface>,
    /// Anchor points for tie-downs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub anchors: Vec<Anchor>,
}

/// What a deck is made of.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum DeckSurface {
    /// Steel.
    Steel,
    /// Aluminium.
    Aluminium,
    /// Wood.
    Wood,
}

/// An anchor point of a deck.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Anchor {
    /// The anchor's id.
    pub id: Id,
    /// What it is called.
    pub name: Option<Text>,
    /// Rearward from the deck's front edge.
    pub x: Coordinate,
    /// To the right of the deck's middle.
    pub y: Coordinate,
    /// Up from the deck's surface.
    pub z: Coordinate,
    /// Whether the same anchor lies on the other side too.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub mirrored: bool,
    /// Its working load limit.
    pub working_load_limit: Option<Sourced<LoadKind>>,
}

/// A wheel lift behind the truck's rear axle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WheelLift {
    /// From the rear axle, or the middle of a tandem, to the lifted wheels' centre in the travelling position.
    pub reach: Option<Sourced<SizeKind>>,
    /// The most that it may lift at that reach.
    pub rating: Option<Sourced<MassKind>>,
    /// The heaviest vehicle that it may tow.
    pub tow_rating: Option<Sourced<MassKind>>,
    /// How high it carries the lifted wheels above the ground.
    pub lift_height: Option<Sourced<SizeKind>>,
    /// The widest tyre that its cradle takes.
    pub tyre_width: Option<Sourced<SizeKind>>,
}

/// A winch.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Winch {
    /// The rated line pull on the first layer.
    pub line_pull: Option<Sourced<LoadKind>>,
    /// The bare drum's diameter.
    pub drum_diameter: Option<Sourced<SizeKind>>,
    /// The drum's width between the flanges.
    pub drum_width: Option<Sourced<SizeKind>>,
    /// The line's diameter.
    pub line_diameter: Option<Sourced<SizeKind>>,
    /// The line's length.
    pub line_length: Option<Sourced<WayKind>>,
    /// The line's working load limit.
    pub line_rating: Option<Sourced<LoadKind>>,
    /// What the line is made of.
    pub line_kind: Option<LineKind>,
    /// The fairlead above the deck's surface.
    pub height: Option<Sourced<CoordinateKind>>,
}

/// What a line is made of.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LineKind {
    /// Wire rope.
    WireRope,
    /// Synthetic rope.
    Synthetic,
    /// Chain.
    Chain,
}

/// A set of tow dollies for one axle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DollySet {
    /// The most that the set may carry.
    pub rating: Option<Sourced<MassKind>>,
    /// The most that each of its tyres may carry.
    pub tyre_rating: Option<Sourced<MassKind>>,
    /// How many tyres the set has.
    #[schemars(range(min = 2, max = 8))]
    pub tyres: Option<u8>,
    /// What the set itself weighs.
    pub own_mass: Option<Sourced<MassKind>>,
    /// The narrowest track that it takes.
    pub min_track: Option<Sourced<SizeKind>>,
    /// The widest track that it takes.
    pub max_track: Option<Sourced<SizeKind>>,
    /// The widest tyre that it takes.
    pub max_tyre_width: Option<Sourced<SizeKind>>,
    /// How high it carries the wheels above the ground.
    pub raise: Option<Sourced<SizeKind>>,
    /// The highest speed that it is rated for.
    pub max_speed: Option<Sourced<SpeedKind>>,
}

/// A lift for whole vehicles.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VehicleLift {
    /// What carries the vehicle.
    pub kind: LiftKind,
    /// The most that it may lift.
    pub capacity: Option<Sourced<MassKind>>,
    /// The most that each arm may carry.
    pub arm_capacity: Option<Sourced<MassKind>>,
    /// The shortest reach of an arm.
    pub shortest_reach: Option<Sourced<SizeKind>>,
    /// The longest reach of an arm.
    pub longest_reach: Option<Sourced<SizeKind>>,
    /// The clear width between the posts.
    pub between_posts: Option<Sourced<SizeKind>>,
    /// The pads' lowest height.
    pub pad_height: Option<Sourced<SizeKind>>,
    /// The diameter of a pad.
    pub pad_diameter: Option<Sourced<SizeKind>>,
}

/// What carries the vehicle on a lift.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LiftKind {
    /// Arms under lift points.
    TwoPost,
    /// Runways under the wheels.
    FourPost,
    /// A platform.
    Scissor,
}

/// A jack.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Jack {
    /// What kind of jack it is.
    pub kind: JackKind,
    /// The most that it may raise.
    pub capacity: Option<Sourced<MassKind>>,
    /// Its lowest height.
    pub lowest: Option<Sourced<SizeKind>>,
    /// Its highest height.
    pub highest: Option<Sourced<SizeKind>>,
}

/// What kind of jack it is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum JackKind {
    /// A rolling floor jack.
    Floor,
    /// A bottle jack.
    Bottle,
    /// A scissor jack.
    Scissor,
    /// An air bag.
    AirBag,
}

/// Safety stands, all alike.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stands {
    /// How many.
    #[schemars(range(min = 1, max = 12))]
    pub count: u8,
    /// The most that each may carry.
    pub capacity: Option<Sourced<MassKind>>,
    /// Their lowest height.
    pub lowest: Option<Sourced<SizeKind>>,
    /// Their highest height.
    pub highest: Option<Sourced<SizeKind>>,
}

/// Tie-down straps, all alike.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Straps {
    /// How many.
    #[schemars(range(min = 1, max = 40))]
    pub count: u8,
    /// How they hold.
    pub kind: StrapKind,
    /// The working load limit of each, with its fittings.
    pub working_load_limit: Option<Sourced<LoadKind>>,
    /// The webbing's width.
    pub width: Option<Sourced<SizeKind>>,
    /// The length of each.
    pub length: Option<Sourced<WayKind>>,
    /// The fittings on them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fittings: Vec<super::point::Fitting>,
}

/// How a strap holds.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum StrapKind {
    /// Over the tyre.
    Wheel,
    /// Around a structure of the vehicle.
    Soft,
    /// Around an axle or arm.
    Axle,
    /// Hooked to a point.
    Direct,
}

/// Tie-down chains, all alike.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Chains {
    /// How many.
    #[schemars(range(min = 1, max = 40))]
    pub count: u8,
    /// The grade marked on them.
    pub grade: Option<Label>,
    /// The nominal size.
    pub size: Option<Sourced<SizeKind>>,
    /// The working load limit of each, with its fittings.
    pub working_load_limit: Option<Sourced<LoadKind>>,
    /// The length of each.
    pub length: Option<Sourced<WayKind>>,
    /// The fittings on them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fittings: Vec<super::point::Fitting>,
}

/// A winching bridle of two legs.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bridle {
    /// The length of each leg.
    pub leg_length: Option<Sourced<SizeKind>>,
    /// The working load limit of each leg.
    pub leg_rating: Option<Sourced<LoadKind>>,
    /// The fittings on its legs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fittings: Vec<super::point::Fitting>,
}

/// A snatch block.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SnatchBlock {
    /// Its working load limit.
    pub rating: Option<Sourced<LoadKind>>,
    /// The share of the pull that it passes on.
    pub efficiency: Option<Sourced<ShareKind>>,
}

/// Skates for wheels that do not turn.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Skates {
    /// How many.
    #[schemars(range(min = 1, max = 8))]
    pub count: u8,
    /// The most that each may carry.
    pub rating: Option<Sourced<MassKind>>,
    /// The pull that they need on a level deck, as a share of the weight on them.
    pub resistance: Option<Sourced<ShareKind>>,
    /// How much they raise the wheel.
    pub thickness: Option<Sourced<DistanceKind>>,
}

/// Insulating gloves for electrical work (29 CFR 1910.137, ASTM D120).
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Gloves {
    /// Their class.
    pub class: GloveClass,
    /// When they were last tested electrically.
    pub tested: Option<Date>,
    /// When they were first issued after a test.
    pub issued: Option<Date>,
}

/// The class of insulating gloves (ASTM D120).
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum GloveClass {
    /// Up to 500 V alternating current.
    #[serde(rename = "class_00")]
    Class00,
    /// Up to 1,000 V alternating current.
    #[serde(rename = "class_0")]
    Class0,
    /// Up to 7,500 V alternating current.
    #[serde(rename = "class_1")]
    Class1,
    /// Up to 17,000 V alternating current.
    #[serde(rename = "class_2")]
    Class2,
    /// Up to 26,500 V alternating current.
    #[serde(rename = "class_3")]
    Class3,
    /// Up to 36,000 V alternating current.
    #[serde(rename = "class_4")]
    Class4,
}

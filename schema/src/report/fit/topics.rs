//! The result of each topic of a fit.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Facing, Judged, Side, TransportMethod, Verdict, Words};
use crate::report::Trust;

/// How a vehicle is lifted.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum LiftWay {
    /// At its lift points, all at once.
    LiftPoints,
    /// On its wheels, on the runways or the platform of a lift.
    Runways,
    /// On stands, no wheel on the ground.
    Stands,
    /// One side, by one jack, the wheels of the other side on the ground.
    LeftSide,
    /// One side, by one jack, the wheels of the other side on the ground.
    RightSide,
    /// The front end, the rear wheels on the ground.
    FrontEnd,
    /// The rear end, the front wheels on the ground.
    RearEnd,
    /// One corner by a jack, the three other wheels on the ground.
    FrontLeft,
    /// One corner by a jack, the three other wheels on the ground.
    FrontRight,
    /// One corner by a jack, the three other wheels on the ground.
    RearLeft,
    /// One corner by a jack, the three other wheels on the ground.
    RearRight,
}

/// What one support carries.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SupportLoad {
    /// What it is: a point or a wheel, in words.
    pub support: String,
    /// The id of the point or axle.
    pub id: String,
    /// Its side.
    pub side: Side,
    /// Its place behind the front axle in m.
    pub x: f64,
    /// Its place to the right of the middle in m.
    pub y: f64,
    /// The load in kg: the figure is for equally stiff supports, low and high are what statics allow.
    pub load: Judged,
}

/// Loads and steadiness of one way of lifting.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LiftingResult {
    /// The way, in English words.
    pub title: String,
    /// The way.
    pub way: LiftWay,
    /// The id of the lift or jack; absent for the vehicle alone.
    pub equipment: Option<String>,
    /// The ids of the items that were taken out before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub taken_out: Vec<String>,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// What each support carries.
    pub supports: Vec<SupportLoad>,
    /// Margin to the nearest edge, pushes that tip, capacities, distances to zones.
    pub rows: Vec<Judged>,
}

/// A span of placements, in m behind the deck's front edge.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlacementWindow {
    /// The foremost placement.
    pub from: f64,
    /// The rearmost placement.
    pub to: f64,
    /// The name of the row whose rating sets the front end.
    pub from_set_by: Words,
    /// The name of the row whose rating sets the rear end.
    pub to_set_by: Words,
}

/// One line of the chart of use over placement: straight between its ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChartLine {
    /// The name of the row.
    pub name: Words,
    /// What it is.
    pub label: Words,
    /// Load over rating at the chart's first placement.
    pub at_from: f64,
    /// Load over rating at the chart's last placement.
    pub at_to: f64,
}

/// Use of every rating over the placement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlacementChart {
    /// The first placement in m.
    pub from: f64,
    /// The last placement in m.
    pub to: f64,
    /// One line a rating; 1 is the rating.
    pub lines: Vec<ChartLine>,
}

/// The vehicle on one carrier, one way round.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CarryingResult {
    /// In English words.
    pub title: String,
    /// The carrier's id.
    pub carrier: String,
    /// Which way round.
    pub facing: Facing,
    /// The placement that the rows are for, in m behind the deck's front edge.
    pub placement: Option<f64>,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// Axles, gross, steering, capacity, overhang, height.
    pub rows: Vec<Judged>,
    /// The placements where every rating holds by the middle values.
    pub window: Option<PlacementWindow>,
    /// The placements where every verdict is within.
    pub sure_window: Option<PlacementWindow>,
    /// Why there is no window, as a sentence.
    pub no_window: Option<String>,
    /// Use of every rating over the placement.
    pub chart: Option<PlacementChart>,
}

/// What a vehicle asks of a carrier, by planning proportions that stand in for a truck not yet known.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CarrierNeed {
    /// The least gross vehicle weight rating, in kg, of those looked at; absent when none does or the mass is not known.
    pub least_gvwr: Option<f64>,
    /// The answer, as a sentence.
    pub answer: String,
    /// The proportions that were taken, as a sentence.
    pub proportions: String,
    /// One row a size of carrier: its rear axle with the load.
    pub rows: Vec<Judged>,
}

/// Which end of a vehicle is lifted.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum VehicleEnd {
    /// The front end.
    Front,
    /// The rear end.
    Rear,
}

/// What happens to one axle while a vehicle is towed.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleTurning {
    /// The axle's id.
    pub axle: String,
    /// Whether its wheels turn on the road.
    pub turns: bool,
    /// Whether it may.
    pub verdict: Verdict,
    /// Why, as a sentence.
    pub reason: String,
    /// The pointer of what says so.
    pub place: Option<String>,
}

/// The vehicle behind one wrecker, by one end, with or without dollies.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TowingResult {
    /// In English words.
    pub title: String,
    /// The wrecker's id.
    pub wrecker: String,
    /// Which end is lifted.
    pub end: VehicleEnd,
    /// The id of the dollies under the other end.
    pub dollies: Option<String>,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// Lift load, wrecker axles, steering, gross, dollies.
    pub rows: Vec<Judged>,
    /// What happens to each axle.
    pub turning: Vec<AxleTurning>,
    /// The highest speed in m/s that anything in it allows, where one is stated.
    pub max_speed: Option<f64>,
    /// The longest distance in m that anything in it allows, where one is stated.
    pub max_distance: Option<f64>,
    /// What must be done first: brakes, pawl, steering, order of setting dollies. One sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub before: Vec<String>,
}

/// Whether a method of moving the vehicle may be used.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum MethodAnswer {
    /// Allowed.
    Allowed,
    /// Allowed within limits of speed, distance or purpose.
    Limited,
    /// Not by itself; allowed with dollies under the other end.
    OnlyWithDollies,
    /// Not allowed.
    NotAllowed,
    /// Nothing says that it may be used: do not.
    NotKnown,
}

/// One reason for an answer.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MethodReason {
    /// The reason, as a sentence.
    pub reason: String,
    /// The pointer of what says so.
    pub place: Option<String>,
    /// What it rests on.
    pub reference: Words,
    /// How far that may be trusted.
    pub trust: Trust,
}

/// One row of the table of methods.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MethodResult {
    /// The method.
    pub method: TransportMethod,
    /// The answer.
    pub answer: MethodAnswer,
    /// The highest speed in m/s, where one is stated.
    pub max_speed: Option<f64>,
    /// The longest distance in m, where one is stated.
    pub max_distance: Option<f64>,
    /// Why.
    pub reasons: Vec<MethodReason>,
}

/// One case of winching: what the wheels do, and which way it goes.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WinchingResult {
    /// In English words.
    pub title: String,
    /// The id of what has the winch.
    pub winch: String,
    /// Whether it is held back on the way down, and not pulled up.
    pub holding_back: bool,
    /// Whether this is the case that was chosen.
    pub chosen: bool,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// Pull, winch, line, block, bridle legs, points.
    pub rows: Vec<Judged>,
}

/// One tie-down of a layout.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TieDownLeg {
    /// The point's id, or the axle's for a strap over its tyre.
    pub from: String,
    /// The vehicle's side.
    pub from_side: Side,
    /// The anchor's id.
    pub to: String,
    /// The deck's side.
    pub to_side: Side,
    /// The id of the strap or chain.
    pub with: String,
    /// The end at the vehicle: rearward from the deck's front edge, right of its middle, above its surface, in m.
    pub from_place: [f64; 3],
    /// The end at the anchor, in the same frame.
    pub to_place: [f64; 3],
    /// The weakest part: strap, point or anchor, with its place.
    pub weakest_part: String,
    /// The working load limit of the whole in N.
    pub limit: Judged,
    /// Its force in N in the governing direction, against its limit.
    pub force: Judged,
    /// Whether it is the most used of the layout.
    pub weakest: bool,
}

/// The vehicle tied down on one deck.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SecuringResult {
    /// In English words.
    pub title: String,
    /// The carrier's id.
    pub carrier: String,
    /// Whether the program proposed the layout.
    pub proposed: bool,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// The tie-downs.
    pub legs: Vec<TieDownLeg>,
    /// Directions, sum, number.
    pub rows: Vec<Judged>,
    /// What the layout is, or why no set holds, as a sentence.
    pub answer: String,
}

/// Where the clearance is smallest.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TightestSpot {
    /// The place on the body behind the front axle, in m.
    pub x: f64,
    /// The place on the body above the ground on which the vehicle stands level, in m.
    pub z: f64,
    /// How far the leading axle has come along the path from the foot of the ramp, in m.
    pub along: f64,
    /// What meets what, in words.
    pub what: String,
    /// The vehicle's outline at that moment: x toward the cab, z up, origin at the foot of the ramp, in m.
    pub outline: Vec<[f64; 2]>,
    /// Its wheels: centre x, centre z, radius.
    pub wheels: Vec<[f64; 3]>,
    /// The ground, ramp and deck as a line in the same frame.
    pub ground: Vec<[f64; 2]>,
    /// The spot in the same frame.
    pub spot: [f64; 2],
}

/// The vehicle driven or winched up one deck, one way round.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ClearingResult {
    /// In English words.
    pub title: String,
    /// The carrier's id.
    pub carrier: String,
    /// Which way round.
    pub facing: Facing,
    /// What raises the vehicle or eases the ramp: nothing, skates, blocks. In words.
    pub with: Option<String>,
    /// The worst of its verdicts.
    pub verdict: Verdict,
    /// Smallest clearance, steepest deck.
    pub rows: Vec<Judged>,
    /// Where it is tightest.
    pub tightest: Option<TightestSpot>,
}

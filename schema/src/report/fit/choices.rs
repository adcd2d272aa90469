//! What a person chooses before a fit is computed.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Everything that a person chooses. Lengths in metres, angles in radians.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct FitChoices {
    /// Which way round the vehicle stands on the deck.
    pub facing: Facing,
    /// The vehicle's foremost place on the truck, behind the deck's front edge, in m; without it the program takes the
    /// middle of the window where every rating holds.
    pub placement: Option<f64>,
    /// What the vehicle's wheels do while it is winched.
    pub wheels: WheelState,
    /// What it is winched over; without it a clean, hard deck.
    pub surface: Option<Surface>,
    /// The slope that it is winched up where no deck is given, in rad.
    pub slope: Option<f64>,
    /// How much line is off the drum, in m; without it none, the outermost layer.
    pub line_out: Option<f64>,
    /// Friction between tyre and deck that is counted on for securing; without it none is.
    pub friction: Option<f64>,
    /// The height of blocks or a ramp laid at the foot of the deck, in m.
    pub block_height: Option<f64>,
    /// The tie-downs, where the crew chose them; empty lets the program propose the smallest set.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub tie_downs: Vec<TieDownChoice>,
    /// Other vehicles on the same deck.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub also: Vec<AlsoCarried>,
    /// The rule sets where published ones disagree.
    pub rules: RuleChoices,
}

/// Which way round a vehicle stands on a deck, or goes up it.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Facing {
    /// Its front toward the truck's cab.
    #[default]
    NoseFirst,
    /// Its rear toward the truck's cab.
    TailFirst,
}

/// What the wheels do while a vehicle is winched.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum WheelState {
    /// All wheels roll.
    #[default]
    Rolling,
    /// The front wheels do not turn.
    FrontLocked,
    /// The rear wheels do not turn.
    RearLocked,
    /// No wheel turns.
    AllLocked,
    /// No wheel turns, and every wheel is on a skate.
    OnSkates,
}

/// What a vehicle is winched over.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Surface {
    /// A hard road or a clean deck.
    Hard,
    /// Grass.
    Grass,
    /// Gravel.
    Gravel,
    /// Soil, medium hard.
    Soil,
    /// Sand, hard and wet.
    SandHardWet,
    /// Sand, soft and wet.
    SandSoftWet,
    /// Sand, soft and dry.
    SandSoftDry,
    /// Shallow mud.
    ShallowMud,
    /// Bog or marsh.
    Bog,
    /// Clay.
    Clay,
    /// Mire to the wheels.
    MireToWheels,
    /// Mire to the fenders.
    MireToFenders,
    /// Mire to the cab.
    MireToCab,
}

/// One tie-down from the vehicle to the deck.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TieDownChoice {
    /// A point's id, or an axle's id for a strap over its tyre.
    pub from: String,
    /// The vehicle's side that the point or wheel is on.
    pub from_side: Side,
    /// The id of the deck's anchor.
    pub to: String,
    /// The deck's side that the anchor is on, seen toward the cab.
    pub to_side: Side,
    /// The id of the straps or chains.
    pub with: String,
}

/// A side of a vehicle or of a deck.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Side {
    /// The left side.
    Left,
    /// The middle.
    Middle,
    /// The right side.
    Right,
}

/// Another vehicle on the same deck.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AlsoCarried {
    /// The profile's id.
    pub profile: String,
    /// Its variant.
    pub variant: Option<String>,
    /// Which way round it stands.
    #[serde(default)]
    pub facing: Facing,
    /// Its foremost place on the truck, behind the deck's front edge, in m.
    pub placement: f64,
}

/// The rule set of each question on which published sets disagree.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct RuleChoices {
    /// What tie-downs must withstand.
    pub balance: BalanceRules,
    /// How much of a tie-down's limit counts toward the sum.
    pub counting: CountingRules,
    /// How many tie-downs there must be at least.
    pub number: NumberRules,
    /// How hard surfaces resist.
    pub resistance: ResistanceRules,
    /// How a slope is counted.
    pub grade: GradeRules,
}

/// What tie-downs must withstand.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum BalanceRules {
    /// 49 CFR 393.102(a)(2): 0.435 g forward, 0.5 g rearward, 0.25 g sideways against working load limits; and
    /// (a)(1), 0.8, 0.5 and 0.5 g against breaking strengths.
    #[default]
    UsRegulation,
    /// Quebec, Cargo Securement Standards Regulation: 0.8, 0.5, 0.5 g and 20 % down against working load limits.
    Quebec,
    /// EN 12195-1:2010: 0.8, 0.5, 0.5 with three quarters of the friction against lashing capacities.
    #[serde(rename = "en_12195")]
    En12195,
}

/// How much of a tie-down's working load limit counts toward the sum.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum CountingRules {
    /// 49 CFR 393.106(d): half for a direct tie-down.
    #[default]
    UsRegulation,
    /// NSC Standard 10: half for each end section on an anchor point of the truck.
    CanadaStandard,
    /// An older FMCSA handbook: half for each end, the cargo's ends too.
    UsHandbook,
}

/// How many tie-downs there must be at least.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum NumberRules {
    /// FMCSA Driver's Handbook, chapter 9: two at the front and two at the rear.
    #[default]
    UsHandbook,
    /// 49 CFR 393.128(b): two in all, front and rear restrained.
    UsRegulation,
    /// California Vehicle Code 29004(a)(3): four.
    California,
}

/// How hard surfaces resist.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ResistanceRules {
    /// Army recovery doctrine: a tenth of the weight on a hard surface, two thirds with every wheel locked.
    #[default]
    ArmyDoctrine,
    /// A winch maker's brochure: 0.04 on a hard road.
    WinchMaker,
    /// An engineer's handbook: 0.01 to 0.02 on a hard road.
    EngineersHandbook,
}

/// How a slope is counted.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum GradeRules {
    /// Weight times the sine of the slope.
    #[default]
    Exact,
    /// A sixtieth of the weight for each degree.
    SixtiethPerDegree,
}

//! What `plan --json` prints: the ways from situations to goals, or why there is none.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Reference, Verdict};
use crate::text::Text;

/// What a crew wants to reach.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Goal {
    /// A door is open.
    Opened,
    /// The vehicle's screens are on.
    Awake,
    /// No charging cord is in the inlet.
    CordFree,
    /// In neutral, held by a taut line or chocks.
    InNeutral,
    /// All wheels stand on the deck.
    Loaded,
    /// Tied down on the deck.
    Secured,
    /// Ready to drive, on the ground, and nothing left open or removed.
    ReturnedToService,
}

impl Goal {
    /// Every goal, in the order of the work.
    pub const ALL: [Self; 7] = [
        Self::Opened,
        Self::Awake,
        Self::CordFree,
        Self::InNeutral,
        Self::Loaded,
        Self::Secured,
        Self::ReturnedToService,
    ];
}

/// Which of two ways is the better one.
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
pub enum Least {
    /// The quicker one; of two as quick, the one with fewer hazard messages.
    #[default]
    Time,
    /// The one with fewer danger messages, then fewer warnings, then fewer cautions; of two alike, the quicker one.
    Hazard,
}

/// What the asker chose.
#[serde_with::skip_serializing_none]
#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanChoices {
    /// Which of two ways is the better one.
    pub least: Least,
    /// How long winching up takes at this scene, in seconds, where that is longer than the steps say.
    pub load_up: Option<f64>,
    /// How long it takes to have the key brought, in seconds; 15 minutes when not given.
    pub fetch_key: Option<f64>,
}

/// What `plan --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The variant, when one was chosen.
    pub variant: Option<String>,
    /// What the asker chose.
    pub choices: PlanChoices,
    /// The rules that no way breaks, built-in ones first.
    pub rules: Vec<PlanRule>,
    /// Procedures that no way uses, and why.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// One a situation.
    pub rows: Vec<PlanRow>,
}

/// A rule that no way breaks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanRule {
    /// The rule's id.
    pub id: String,
    /// Whether the profile's author added it.
    pub own: bool,
    /// The rule.
    pub text: Text,
    /// Why.
    pub why: Text,
    /// What it rests on.
    pub reference: Reference,
}

/// A procedure that no way uses.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LeftOut {
    /// The procedure's id.
    pub procedure: String,
    /// RFC 6901 pointer to what is wrong with it.
    pub place: String,
    /// Why it is left out, as a sentence.
    pub why: String,
}

/// A situation and the ways from it to each goal asked for.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanRow {
    /// The situation's id, when it is one of the named ones.
    pub situation: Option<String>,
    /// What it is called.
    pub name: Text,
    /// The conditions that hold at the start; all others do not.
    pub given: Vec<String>,
    /// One a goal asked for.
    pub cells: Vec<PlanCell>,
}

/// Whether there is a way.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PlanAnswer {
    /// The goal is reached already.
    Holds,
    /// There is a way.
    Way,
    /// There is a way if the facts in `missing` are brought about from outside.
    WayIf,
    /// There is none.
    NoWay,
    /// Too many states would have to be looked at: whether there is a way was not worked out.
    NotWorkedOut,
}

/// The answer for one situation and one goal.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PlanCell {
    /// The goal.
    pub goal: Goal,
    /// Whether there is a way.
    pub answer: PlanAnswer,
    /// The best way; with `way_if` it counts on the facts in `missing`.
    pub way: Option<Way>,
    /// The fewest facts that would make a way.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<MissingFact>,
    /// Why there is no way, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reasons: Vec<String>,
    /// Procedures for smoke, heat, fire or water that come before anything else in this situation.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub first: Vec<String>,
    /// How to move the vehicle with its wheels off the ground instead.
    pub fallback: Option<Fallback>,
}

/// A fact that would have to be otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MissingFact {
    /// The condition.
    pub condition: String,
    /// Whether it would have to hold; if not, it would have to be over.
    pub must_hold: bool,
    /// What that means, in words.
    pub text: Text,
}

/// Moving the vehicle with no wheel turning.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fallback {
    /// The fewest facts that it counts on.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<MissingFact>,
    /// The way.
    pub way: Way,
}

/// A way: what is done, in order, with its times, hazards and debts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Way {
    /// How long the steps take, in seconds; steps without a time count as nothing.
    pub seconds: f64,
    /// The same when every step takes as long as its uncertainty allows.
    pub slowest: f64,
    /// How many steps state no time.
    pub untimed_steps: usize,
    /// The number of steps.
    pub steps: usize,
    /// The hazard messages that are met on the way.
    pub hazards: HazardCount,
    /// What is done, in order.
    pub parts: Vec<WayPart>,
    /// Conditions that hold only for a time, against what needs them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub holds: Vec<HoldLine>,
    /// Debts still open at the end, by id.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub debts: Vec<String>,
    /// The conditions that hold at the end.
    pub end: Vec<String>,
}

/// How many hazard messages of each signal word a way meets; one that comes twice counts twice.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HazardCount {
    /// Danger.
    pub danger: usize,
    /// Warning.
    pub warning: usize,
    /// Caution.
    pub caution: usize,
    /// Notice.
    pub notice: usize,
}

/// What kind of thing is done.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PartKind {
    /// A procedure of the profile.
    Procedure,
    /// Something that every crew can do.
    GeneralAct,
    /// A fact that is brought about from outside.
    Fact,
}

/// One procedure, general act or fact of a way.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayPart {
    /// What kind of thing it is.
    pub kind: PartKind,
    /// The id of the procedure, general act or condition.
    pub id: String,
    /// What it is called.
    pub name: Text,
    /// RFC 6901 pointer to the procedure.
    pub place: Option<String>,
    /// Whether the procedure is a starting text that nobody has yet confirmed against the maker's instructions.
    pub to_confirm: bool,
    /// Ids of the hazard messages of the whole procedure.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<String>,
    /// The steps; a fact has none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<WayStep>,
}

/// One step of a way.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayStep {
    /// The step's id.
    pub id: String,
    /// RFC 6901 pointer to the step; absent for a general act.
    pub place: Option<String>,
    /// What to do.
    pub text: Text,
    /// When it begins, in seconds from the start.
    pub start: f64,
    /// How long it takes, in seconds; absent when not stated.
    pub seconds: Option<f64>,
    /// When it begins if every step before takes as long as its uncertainty allows.
    pub slowest_start: f64,
    /// How long it takes at most by its uncertainty, in seconds; absent when not stated.
    pub slowest: Option<f64>,
    /// Tools that it needs.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub tools: Vec<Text>,
    /// Ids of the points where it is done.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<String>,
    /// What to beware of.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cautions: Vec<Text>,
    /// Ids of hazard messages.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<String>,
    /// Conditions that hold after it and did not before.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub now_holds: Vec<String>,
    /// Conditions that held before it and do not after.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ended: Vec<String>,
    /// Conditions that can no longer be counted on, because a time ran out or what they depend on is gone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubtful: Vec<String>,
    /// Debts that it opens.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opens: Vec<String>,
    /// Debts that it settles.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub settles: Vec<String>,
}

/// A condition that holds for a time only, on the clock of the slowest crew.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct HoldLine {
    /// The condition.
    pub condition: String,
    /// RFC 6901 pointer to the statement of how long it holds.
    pub place: String,
    /// When it begins, in seconds from the start of the way.
    pub from: f64,
    /// When it runs out at the earliest.
    pub until: f64,
    /// When the last step that needs it ends, if one does.
    pub needed_until: Option<f64>,
    /// When a step ends or renews it, if one does.
    pub ended: Option<f64>,
    /// Whether it lasts as long as it is needed; not known when a step in between states no time.
    pub verdict: Verdict,
    /// What happens afterwards.
    pub then: Option<Text>,
}

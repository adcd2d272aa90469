//! What `fit --json` prints, and `results.json` in a bundle: whether a vehicle loads, lifts, tows and holds.
//!
//! With equipment the command prints [`FitReports`]; without, and in a bundle, it is [`ResultsReport`].

use std::{borrow::Cow, sync::Arc};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Finding, MassResult, Trust};
use crate::model::advice::TransportMethod;

mod choices;
mod topics;

pub use choices::*;
pub use topics::*;

/// A word or sentence that mostly comes from the program itself.
pub type Words = Cow<'static, str>;

/// The answer to "does it keep to the limit", from the whole interval and never from the middle value alone.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The whole interval keeps to the limit.
    Within,
    /// The limit lies inside the interval: measure better, or take the cautious side.
    TooCloseToCall,
    /// An input is missing.
    NotKnown,
    /// The whole interval breaks the limit.
    Beyond,
}

/// One input of a figure.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FigureInput {
    /// The place of the input: an RFC 6901 pointer into the profile, or an equipment's id, `#` and a pointer into its
    /// file, or words for what is neither.
    pub input: Arc<str>,
    /// The value in SI units.
    pub value: f64,
    /// The ± half-width at about 95 % in SI units; absent when none is stated.
    pub plus_minus: Option<f64>,
    /// The SI unit.
    pub unit: Words,
    /// Its part of the variance of the figure, from 0 to 1; absent when it has none.
    pub part: Option<f64>,
}

/// A computed figure in SI units, and how it was worked out.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Figure {
    /// The value.
    pub value: f64,
    /// The ± half-width at about 95 % (two standard uncertainties); absent when no input states its own.
    pub plus_minus: Option<f64>,
    /// The least that it can be where statics alone leave it open, its uncertainty included.
    pub low: Option<f64>,
    /// The most that it can be where statics alone leave it open, its uncertainty included.
    pub high: Option<f64>,
    /// The unit: kg, m, N, rad, m/s, V, 1 for a share, or nothing for a number of things.
    pub unit: Words,
    /// The formula, in words or symbols.
    pub formula: Words,
    /// What it was computed from, strongest part of the uncertainty first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inputs: Vec<FigureInput>,
    /// The title and clause of the formula's source.
    pub reference: Words,
    /// How far that source may be trusted.
    pub trust: Trust,
}

/// A limit in the unit of the figure that is held against it.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FitLimit {
    /// The figure may not fall below this.
    pub at_least: Option<f64>,
    /// The figure may not exceed this.
    pub at_most: Option<f64>,
    /// The ± half-width of the limit itself.
    pub plus_minus: Option<f64>,
    /// Where the limit comes from: a place as in `FigureInput`, or the title of a rule.
    pub from: Words,
}

/// A figure, what it is, and whether it keeps to its limit.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Judged {
    /// A name that never changes its meaning: lower-case words with hyphens.
    pub name: Words,
    /// What it is, in English words.
    pub label: Words,
    /// The figure, when it could be computed.
    pub figure: Option<Figure>,
    /// The limit, when there is one and it is known.
    pub limit: Option<FitLimit>,
    /// The verdict; absent for a figure that has no limit.
    pub verdict: Option<Verdict>,
    /// What is missing or impossible, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_known: Vec<String>,
}

/// What a fit answers.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum FitTopic {
    /// Lift and jack loads, and what tips the vehicle.
    Lifting,
    /// A carrier's axles with the vehicle on its deck.
    Carrying,
    /// Wheel lift and dollies.
    Towing,
    /// Line pull up the deck and holding back.
    Winching,
    /// Tie-downs.
    Securing,
    /// Clearance over ramp, hinge and deck.
    Clearing,
    /// Protective equipment.
    Protection,
}

/// One topic's answer for the equipment given: the best of its ways.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TopicAnswer {
    /// The topic.
    pub topic: FitTopic,
    /// Whether one of the ways keeps to every limit.
    pub verdict: Verdict,
    /// The answer, as a sentence.
    pub answer: String,
}

/// What `fit --json` prints when equipment is given.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FitReports {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// One report a variant, or the one that was asked for.
    pub reports: Vec<FitReport>,
}

/// One variant of a vehicle held against equipment.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FitReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The variant; absent for a profile without variants.
    pub variant: Option<String>,
    /// The ids of the equipment, in the order given.
    pub equipment: Vec<String>,
    /// What was chosen, the rule sets among it.
    pub choices: FitChoices,
    /// The worst answer of the topics: beyond when one topic has no way that keeps to its limits.
    pub verdict: Verdict,
    /// The answer to each topic that the equipment is for.
    pub topics: Vec<TopicAnswer>,
    /// Lifting and jacking.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lifting: Vec<LiftingResult>,
    /// On a carrier's deck.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub carrying: Vec<CarryingResult>,
    /// On a wheel lift, with and without dollies.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub towing: Vec<TowingResult>,
    /// Every method of moving the vehicle.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub methods: Vec<MethodResult>,
    /// Winching onto the deck and holding back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub winching: Vec<WinchingResult>,
    /// Tied down on the deck.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub securing: Vec<SecuringResult>,
    /// Over ramp, hinge and deck.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub clearing: Vec<ClearingResult>,
    /// Insulating gloves and the like.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub protection: Vec<Judged>,
    /// What is beyond a limit, too close to call, not known or contradictory, worst first.
    pub findings: Vec<Finding>,
}

/// What is computed for one variant without any equipment.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GeneralResult {
    /// The variant; absent for a profile without variants.
    pub variant: Option<String>,
    /// Mass and centre of gravity.
    pub mass: MassResult,
    /// Loads on lift and jack points and what tips the vehicle.
    pub lifting: Vec<LiftingResult>,
    /// Every method of moving the vehicle.
    pub methods: Vec<MethodResult>,
    /// What it asks of a carrier, by planning proportions.
    pub carrier: CarrierNeed,
}

/// `results.json` in a bundle, and what `fit --json` prints without equipment: what the program computed from the
/// profile alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ResultsReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The rule sets that were used.
    pub rules: RuleChoices,
    /// One result a variant.
    pub variants: Vec<GeneralResult>,
}

//! What the program prints with `--json` and puts in bundles: findings, masses, outcomes.
//!
//! These types are the contract with other software; `schema/*.schema.json` holds their schemas.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

mod catalogue;
mod difference;
mod fit;
mod library;
mod merge;
mod plan;

pub use catalogue::*;
pub use difference::*;
pub use fit::*;
pub use library::*;
pub use merge::*;
pub use plan::*;

/// How much a finding matters.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// Wrong, or likely to hurt somebody: no release until it is settled.
    Blocking,
    /// Risky, unusual or missing: a reviewer should know why it is so.
    Warning,
    /// Worth knowing.
    Note,
}

/// How far the reference behind a check may be trusted.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Trust {
    /// Read in the primary text or the issuing body's own page.
    Primary,
    /// Read second-hand, in a page that quotes or summarises the primary text.
    SecondHand,
    /// Computed from an open data file.
    Computed,
    /// Arithmetic from the formula named.
    Arithmetic,
    /// From memory.
    Memory,
    /// Common practice, no source.
    Practice,
    /// Plain logic: no source is needed.
    Logic,
}

/// What a check rests on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Reference {
    /// The title and clause of the source.
    pub title: String,
    /// How far it may be trusted.
    pub trust: Trust,
}

/// What a check says about one place.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Finding {
    /// The check's name: lower-case words with hyphens. It never changes its meaning.
    pub check: String,
    /// How much it matters.
    pub severity: Severity,
    /// RFC 6901 pointer to the place in the file.
    pub place: String,
    /// What is wrong, risky or missing, as a sentence.
    pub message: String,
    /// What was computed or found, with its unit, where there is a figure.
    pub computed: Option<String>,
    /// The limit that it was held against, with its unit, where there is one.
    pub limit: Option<String>,
    /// What the check rests on.
    pub reference: Reference,
    /// What would settle it.
    pub settle: String,
}

/// The findings of one file.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckedFile {
    /// The file's name as it was given; absent inside a bundle.
    pub file: Option<String>,
    /// The id inside the file, if it could be read.
    pub id: Option<String>,
    /// Why it could not be read, one sentence a fault; empty when it could.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unreadable: Vec<String>,
    /// The findings, worst first.
    pub findings: Vec<Finding>,
}

/// What `check --json` prints, and `findings.json` in a bundle.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CheckReport {
    /// The program and its version.
    pub program: String,
    /// The files, in the order checked.
    pub files: Vec<CheckedFile>,
}

/// A computed figure with its uncertainty, in SI units.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// The ± half-width at about 95 % (two standard uncertainties); absent when no input states its own.
    pub plus_minus: Option<f64>,
    /// The unit: kg, m or 1.
    pub unit: String,
    /// The formula, in words or symbols.
    pub formula: String,
    /// What the uncertainty comes from, largest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubt_from: Vec<Share>,
}

/// One input's part in the uncertainty of a result.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Share {
    /// The input, by its pointer or name.
    pub input: String,
    /// Its part of the variance, from 0 to 1.
    pub part: f64,
}

/// What one axle carries.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AxleShare {
    /// The axle's id.
    pub axle: String,
    /// Its load in kg.
    pub load: Estimate,
    /// Its part of the whole, from 0 to 1.
    pub part: Estimate,
}

/// Mass and centre of gravity of one variant.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassResult {
    /// The variant; absent for a profile without variants.
    pub variant: Option<String>,
    /// What the result was computed from, in words.
    pub basis: String,
    /// Whole mass in kg.
    pub mass: Option<Estimate>,
    /// Centre of gravity behind the front axle in m.
    pub centre_x: Option<Estimate>,
    /// Centre of gravity to the right of the centre plane in m.
    pub centre_y: Option<Estimate>,
    /// Centre of gravity above the ground in m.
    pub centre_z: Option<Estimate>,
    /// What each axle carries.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub axles: Vec<AxleShare>,
    /// What could not be computed and which input is missing, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_known: Vec<String>,
}

/// What `mass --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MassReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// One result a variant asked for.
    pub results: Vec<MassResult>,
}

/// What `publish --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PublishReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The release number, when it was published.
    pub release: Option<String>,
    /// The bundle's file, when it was published.
    pub bundle: Option<String>,
    /// The SHA-256 of the bundle's bytes, when it was published.
    pub sha256: Option<String>,
    /// The bundle's file, when it waits for signatures: nothing is published until they are there.
    pub in_review: Option<String>,
    /// The signatures that the library's rules still ask for, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
    /// The number of the catalogue's snapshot that lists it, where the library has a catalogue.
    pub catalogue: Option<u64>,
    /// Why it was not published, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub blocked_by: Vec<String>,
}

/// One thing that verifying looked at.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VerifyStep {
    /// What was looked at: bag, schema, canonical form, attachments, findings, signature, policy, catalogue.
    pub step: String,
    /// Whether it is good; absent when there was nothing to look at.
    pub good: Option<bool>,
    /// What was seen, as a sentence.
    pub message: String,
}

/// What `verify --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VerifyReport {
    /// The program and its version.
    pub program: String,
    /// The bundle's file.
    pub bundle: String,
    /// Whether everything that must be good is.
    pub good: bool,
    /// The profile's id, when it could be read.
    pub profile: Option<String>,
    /// The release number, when it could be read.
    pub release: Option<String>,
    /// What was looked at, in order.
    pub steps: Vec<VerifyStep>,
    /// Each signature, where it is known who may sign.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signatures: Vec<JudgedSignature>,
    /// What the library's rules still ask for, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
}

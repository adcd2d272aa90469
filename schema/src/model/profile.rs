//! The whole profile.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{
    advice::*, axle::*, energy::*, geometry::*, identity::*, mass::*, point::*, procedure::*,
    record::*,
};
use crate::{codes::*, id::*, text::*};

/// A vehicle handling profile: what crews must know to open, wake, shift, lift, winch, load, secure and store one
/// model of vehicle. Trained people only; the maker's instructions and local law come first.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Profile {
    /// The version of the format that this file is written in.
    pub format: FormatVersion,
    /// The profile's id, the same over all its releases.
    pub id: Id,
    /// The release that these contents are, once released.
    pub release: Option<ReleaseNumber>,
    /// The base language: every text has a string in it.
    pub language: Language,
    /// Other languages in which the profile is meant to be complete.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 50))]
    pub languages: Vec<Language>,
    /// Which vehicle the profile is about.
    pub identity: Identity,
    /// Versions of the vehicle and what differs in each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 50))]
    pub variants: Vec<Variant>,
    /// The outer dimensions and outlines.
    pub dimensions: Dimensions,
    /// The axles, from the front.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(min = 2, max = 8))]
    pub axles: Vec<Axle>,
    /// Mass and centre of gravity.
    pub mass: MassData,
    /// Places with a use.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub points: Vec<Point>,
    /// Regions that must not carry load, be cut or be reached into.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub zones: Vec<Zone>,
    /// Stored energy and how it is shut off.
    pub energy: Energy,
    /// Conditions beyond the built-in set.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub conditions: Vec<ConditionDefinition>,
    /// Things opened or removed that must be closed or put back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub debts: Vec<Debt>,
    /// The procedures.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 200))]
    pub procedures: Vec<Procedure>,
    /// Rules that no way through the procedures may break, beyond the built-in ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub safety_rules: Vec<SafetyRule>,
    /// The hazard messages.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hazards: Vec<Hazard>,
    /// Fire, water and storage.
    pub emergency: Emergency,
    /// What the author states about moving the vehicle.
    pub transport: Transport,
    /// Where values and statements come from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub sources: Vec<Source>,
    /// Files kept with the profile.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attachments: Vec<Attachment>,
    /// What reviewers decided.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reviews: Vec<Review>,
    /// What changed in each release, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub changes: Vec<ChangeNote>,
    /// What a merge left to be chosen. A profile with a conflict is not released.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub conflicts: Vec<Conflict>,
    /// Data of other programs, by a reverse domain name; readers keep it and check nothing in it.
    #[serde(default, skip_serializing_if = "Extensions::is_empty")]
    pub extensions: Extensions,
}

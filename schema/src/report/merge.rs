//! What `merge --json` prints: what a merge left to be chosen.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::model::record::Conflict;

/// What `merge --json` prints.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MergeReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The file that was written, as it was given.
    pub file: String,
    /// Every conflict of the file that was written, those of earlier merges first.
    pub conflicts: Vec<Conflict>,
}

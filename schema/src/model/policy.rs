//! The rules of a library: who may sign, what a release needs, and how long things stay good.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{codes::FormatVersion, text::Label};

/// The file `library.ron` at the top of a library.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Policy {
    /// The version of the format that this file is written in.
    pub format: FormatVersion,
    /// What the library is called.
    pub name: Label,
    /// Who may sign releases as their author: lines as in a file of allowed signers (`ssh-keygen(1)`).
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub authors: Vec<String>,
    /// Who may sign releases as their reviewer, likewise.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub reviewers: Vec<String>,
    /// Who may sign the catalogue, likewise.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub keepers: Vec<String>,
    /// Public keys that are accepted from nobody any more, such as lost ones.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub revoked: Vec<String>,
    /// How many reviewers must sign a release besides its author.
    pub reviews: ReviewsNeeded,
    /// Months after which evidence counts as stale.
    #[schemars(range(min = 1, max = 600))]
    pub stale_after_months: Option<u16>,
    /// Days for which a catalogue is good after it was signed; a reader takes an older one for frozen.
    #[schemars(range(min = 1, max = 3660))]
    pub catalogue_days: Option<u16>,
}

/// How many reviewers must sign, by the worst change since the release before.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReviewsNeeded {
    /// For the first release of a vehicle.
    #[schemars(range(max = 20))]
    pub first_release: u8,
    /// Where something changed that can hurt.
    #[schemars(range(max = 20))]
    pub can_hurt: u8,
    /// Where there is something new to know.
    #[schemars(range(max = 20))]
    pub new_to_know: u8,
    /// Where only wording changed.
    #[schemars(range(max = 20))]
    pub wording: u8,
}

//! What `diff --json` prints and `difference.json` in a bundle holds: what changed, and whether it can hurt somebody.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::text::Text;

/// How much a change matters, worst first. It decides which part of the release number grows.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Grade {
    /// Somebody who acts on the older contents could be hurt or do damage, or the newer contents could hurt somebody
    /// if the change is wrong.
    CanHurt,
    /// Something new to know; what was known before may still be acted on.
    NewToKnow,
    /// Wording, drawing, sources and records.
    Wording,
}

impl Grade {
    /// Every grade, worst first.
    pub const ALL: [Self; 3] = [Self::CanHurt, Self::NewToKnow, Self::Wording];

    /// The milder of two grades.
    #[must_use]
    pub fn milder(self, other: Self) -> Self {
        self.max(other)
    }

    /// The worse of two grades.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        self.min(other)
    }
}

/// What happened to a part.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ChangeKind {
    /// It is only in the newer contents.
    Added,
    /// It is only in the older contents.
    Removed,
    /// It is in both, with another value.
    Changed,
    /// It is in both, at another place of a list whose order matters.
    Moved,
    /// It is in both, under another id.
    Renamed,
}

/// How far a place moved in the vehicle's frame, in millimetres.
#[serde_with::skip_serializing_none]
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shift {
    /// Rearward; forward when negative.
    pub x: f64,
    /// To the vehicle's right; to its left when negative. Absent in a side view.
    pub y: Option<f64>,
    /// Up; down when negative. Absent in a plan view, and where a height is not stated on both sides.
    pub z: Option<f64>,
}

/// What happened to a piece of a string.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum PieceKind {
    /// It is in both strings.
    Same,
    /// It is only in the older string.
    Removed,
    /// It is only in the newer string.
    Added,
}

/// A piece of a string. All pieces but the added ones make the older string, all but the removed ones the newer one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Piece {
    /// What happened to it.
    pub kind: PieceKind,
    /// Its words, with the blanks between them.
    pub text: String,
}

/// What changed in one language's string of a text, word by word.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WordChange {
    /// The language by its BCP 47 tag.
    pub language: String,
    /// The pieces, in order.
    pub pieces: Vec<Piece>,
}

/// One change: where, what, how much it matters and why.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Change {
    /// What happened.
    pub kind: ChangeKind,
    /// How much it matters.
    pub grade: Grade,
    /// RFC 6901 pointer in the older contents; absent for what was added.
    pub before_place: Option<String>,
    /// RFC 6901 pointer in the newer contents; absent for what was removed.
    pub after_place: Option<String>,
    /// The row of the grading table, as struct and field: `Point.rating`.
    pub row: String,
    /// What changed, as a sentence.
    pub sentence: Text,
    /// Why it has its grade, as a sentence.
    pub reason: Text,
    /// The older value, as entered.
    pub before: Option<Value>,
    /// The newer value, as entered.
    pub after: Option<Value>,
    /// How far a place moved; of an outline or a path, its corner that moved farthest.
    pub shift: Option<Shift>,
    /// What changed in a text, one entry for each language.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub words: Vec<WordChange>,
}

impl Change {
    /// Where to look for it: in the newer contents where it is there, else in the older ones.
    pub fn place(&self) -> &str {
        let place = self.after_place.as_deref();
        place.or(self.before_place.as_deref()).unwrap_or_default()
    }
}

/// Everything that changed from one profile to another, worst first, then in the order of the profile.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Difference {
    /// The changes.
    pub changes: Vec<Change>,
}

impl Difference {
    /// The worst grade of any change; `None` when nothing changed.
    pub fn worst(&self) -> Option<Grade> {
        self.changes.iter().map(|c| c.grade).min()
    }

    /// How many changes have a grade.
    pub fn count(&self, grade: Grade) -> usize {
        self.changes.iter().filter(|c| c.grade == grade).count()
    }

    /// Whether nothing changed in meaning.
    pub fn is_empty(&self) -> bool {
        self.changes.is_empty()
    }
}

/// Which results an effect is about.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum EffectTopic {
    /// Mass, centre of gravity and axle loads.
    Mass,
    /// The ways of moving the vehicle with a piece of equipment.
    Methods,
    /// The ways from situations to goals.
    Situations,
    /// What the checks say.
    Findings,
}

/// A computed result that is not the same for both.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Effect {
    /// What kind of result it is.
    pub topic: EffectTopic,
    /// What it is, such as a method, the equipment and the variant.
    pub what: String,
    /// The older result; absent where there was none.
    pub before: Option<String>,
    /// The newer result; absent where there is none.
    pub after: Option<String>,
    /// Whether something that was possible or within limits is no longer so, or a check blocks that did not.
    pub worse: bool,
}

/// One of the two things compared.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ComparedSide {
    /// The file's name as it was given; absent inside a bundle.
    pub file: Option<String>,
    /// The profile's id.
    pub profile: String,
    /// The release number, where the profile has one.
    pub release: Option<String>,
    /// The SHA-256 of the profile's canonical JSON.
    pub sha256: String,
}

/// What `diff --json` prints, and `difference.json` in a bundle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DifferenceReport {
    /// The program and its version.
    pub program: String,
    /// The older side.
    pub before: ComparedSide,
    /// The newer side.
    pub after: ComparedSide,
    /// The worst grade of any change; absent when nothing changed in meaning.
    pub worst: Option<Grade>,
    /// The least number that a release of the newer side may have after the older one; absent where that has none.
    pub least_release: Option<String>,
    /// The changes, worst first.
    pub changes: Vec<Change>,
    /// Computed results that are not the same, worse ones first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub effects: Vec<Effect>,
}

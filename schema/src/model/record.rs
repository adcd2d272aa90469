//! Sources, attachments, reviews and change notes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{codes::*, date::*, id::*, text::*};

/// Where values and statements come from.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Source {
    /// The source's id.
    pub id: Id,
    /// What kind of source it is.
    pub kind: SourceKind,
    /// What it is: the document's title, or what was measured.
    pub title: Text,
    /// The day of the measurement, or of the edition.
    pub date: Option<Date>,
    /// Who vouches for it: a role, or a person that the author enters.
    pub who: Option<Label>,
    /// The page, section or ticket number.
    pub locator: Option<Label>,
    /// Where a document can be had.
    pub address: Option<Label>,
    /// Copies kept with the profile.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub attachments: Vec<AttachmentRef>,
    /// How it was measured, or how far it may be trusted.
    pub note: Option<Text>,
}

/// What kind of source it is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SourceKind {
    /// Measured on a vehicle.
    Measured,
    /// A document of the vehicle's maker.
    MakersDocument,
    /// A law, a regulation or a standard.
    Regulation,
    /// Published guidance of an authority.
    Guidance,
    /// An estimate: the note says how.
    Estimate,
    /// A report from the field.
    FieldReport,
}

/// A file kept with the profile, named by its content.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Attachment {
    /// The attachment's id.
    pub id: Id,
    /// What it shows.
    pub title: Text,
    /// The SHA-256 of its bytes.
    pub sha256: Sha256Hex,
    /// Its size in bytes.
    #[schemars(range(min = 1, max = 50_000_000))]
    pub size: u64,
    /// Its media type.
    pub media_type: MediaType,
    /// When it was made.
    pub made: Option<Date>,
}

/// What a reviewer decided over exact bytes.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Review {
    /// The review's id.
    pub id: Id,
    /// Who reviewed it.
    pub who: Label,
    /// In which role.
    pub role: Label,
    /// When.
    pub at: Moment,
    /// The SHA-256 of the canonical profile without its release number and reviews.
    pub over: Sha256Hex,
    /// The same of the older contents that it was compared with.
    pub against: Option<Sha256Hex>,
    /// What was decided.
    pub decision: Decision,
    /// Why, or what is asked.
    pub comment: Option<Text>,
    /// The answer to what is asked.
    pub answer: Option<Answer>,
    /// What was decided on single changes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub remarks: Vec<Remark>,
}

/// What a reviewer decided on one change.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Remark {
    /// The part that changed.
    pub part: PartPath,
    /// What was decided.
    pub decision: Decision,
    /// Why, or what is asked.
    pub comment: Option<Text>,
    /// The answer to what is asked.
    pub answer: Option<Answer>,
}

/// The answer to a reviewer's question; with it the question is no longer open.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Answer {
    /// Who answered.
    pub who: Label,
    /// When.
    pub at: Moment,
    /// The answer.
    pub text: Text,
}

/// A part that two people changed in two ways since the version that both began with. Until one of the values is chosen the
/// part stands as it was in that version, or as the conflict's own value says where it was not in it.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Conflict {
    /// The part.
    pub part: PartPath,
    /// What the two changed.
    pub about: ConflictAbout,
    /// What it was in the version that both began with; absent where it was not there.
    pub base: Option<KeptValue>,
    /// What it is on the one side; absent where it is gone.
    pub ours: Option<KeptValue>,
    /// What it is on the other side; absent where it is gone.
    pub theirs: Option<KeptValue>,
}

/// What two people changed in two ways.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ConflictAbout {
    /// The value, or whether it is there at all.
    Value,
    /// The order of a list; the values are the keys of its elements in order.
    Order,
}

/// What a reviewer decided.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Decision {
    /// Accepted.
    Accept,
    /// A question that must be answered first.
    Question,
}

/// What changed in a release, in words.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ChangeNote {
    /// The release.
    pub release: ReleaseNumber,
    /// The day.
    pub date: Option<Date>,
    /// What changed and why.
    pub text: Text,
}

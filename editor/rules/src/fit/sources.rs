//! Where the inputs of a figure come from, for whoever opens it.

use std::borrow::Cow;

use chockstone_schema::{
    Equipment, Profile,
    id::SourceRef,
    model::record::{Source, SourceKind},
    report::Trust,
    text::Language,
};
use serde_json::Value;

/// An input's source.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputSource {
    /// The title in the file's base language.
    pub title: String,
    /// The day, when it is stated.
    pub date: Option<String>,
}

/// The source that the field of an input names: a pointer into the profile, or equipment's id, `#` and a pointer.
///
/// `None` when the input is no field of a file, or the field names no source.
pub fn source_of(input: &str, profile: &Profile, equipment: &[&Equipment]) -> Option<InputSource> {
    if let Some((id, pointer)) = input.split_once('#') {
        let equipment = equipment.iter().find(|e| e.id.as_str() == id)?;
        let document = serde_json::to_value(equipment).ok()?;
        named(&document, pointer, &equipment.sources, &equipment.language)
    } else {
        let document = serde_json::to_value(profile).ok()?;
        named(&document, input, &profile.sources, &profile.language)
    }
}

/// The title of the source of a rule that the author states, and how far it may be trusted.
pub(crate) fn rule_source(
    profile: &Profile,
    source: Option<&SourceRef>,
) -> (Cow<'static, str>, Trust) {
    let sources = &profile.sources;
    let found = source.and_then(|id| sources.iter().find(|s| s.id.as_str() == id.as_str()));
    match found {
        None => (
            Cow::Borrowed("The author's rule names no source"),
            Trust::Practice,
        ),
        Some(source) => {
            let title = source.title.pick([&profile.language]).to_owned();
            let trust = match source.kind {
                SourceKind::MakersDocument | SourceKind::Regulation | SourceKind::Measured => {
                    Trust::Primary
                }
                SourceKind::Guidance => Trust::SecondHand,
                SourceKind::Estimate | SourceKind::FieldReport => Trust::Practice,
            };
            (Cow::Owned(title), trust)
        }
    }
}

/// The source of the field, or of the nearest part around it that names one.
fn named(
    document: &Value,
    pointer: &str,
    sources: &[Source],
    language: &Language,
) -> Option<InputSource> {
    let mut pointer = pointer.split(' ').next()?;
    loop {
        let part = document.pointer(pointer)?;
        if let Some(id) = part.get("source").and_then(Value::as_str) {
            let source = sources.iter().find(|s| s.id.as_str() == id)?;
            return Some(InputSource {
                title: source.title.get(language).unwrap_or(id).to_owned(),
                date: source.date.as_ref().map(ToString::to_string),
            });
        }
        pointer = pointer.rsplit_once('/')?.0;
    }
}

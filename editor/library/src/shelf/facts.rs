//! What is asked of a profile when a whole library is looked at.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_rules::check_profile;
use chockstone_schema::{
    Profile, date::Date, model::record::SourceKind, read::to_value, report::Finding,
};
use serde_json::Value;

use super::coverage::covers;

/// What is asked of a profile.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Facts {
    /// What it covers, by topic.
    pub covers: BTreeMap<String, bool>,
    /// Its sources that have a date.
    pub sources: Vec<DatedSource>,
    /// Pointers to values and statements without a source.
    pub unsourced: Vec<String>,
    /// Pointers to texts without a string in a language that the profile promises.
    pub untranslated: Vec<String>,
    /// Every word of its texts once, as [`words`] tells them, parted by blanks.
    pub(super) words: String,
}

/// A source that has a date.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DatedSource {
    /// The source's id.
    pub id: String,
    /// Its date.
    pub date: Date,
    /// What kind of source it is.
    pub kind: SourceKind,
    /// How many values and statements rest on it.
    pub rests_on_it: usize,
}

impl Facts {
    /// The facts of a profile.
    pub fn of(profile: &Profile) -> Self {
        let mut seen = Seen::default();
        seen.value(&to_value(profile));
        let findings = check_profile(profile);
        let places = |checks: [&str; 2]| {
            let of_these = |f: &&Finding| checks.contains(&f.check.as_str());
            let places = findings.iter().filter(of_these);
            places.map(|f| f.place.clone()).collect()
        };
        Self {
            covers: covers(profile),
            sources: seen.sources(profile),
            unsourced: places(["value-without-source", "statement-without-source"]),
            untranslated: places(["text-untranslated", "text-without-base-language"]),
            words: seen.words.into_iter().collect::<Vec<_>>().join(" "),
        }
    }
}

/// The words of a text in small letters: letters, digits and hyphens, at least two of them.
pub(super) fn words(text: &str) -> impl Iterator<Item = String> {
    let words = text.split(|c: char| !c.is_alphanumeric() && c != '-');
    words.filter(|word| word.len() > 1).map(str::to_lowercase)
}

/// What was seen in a profile's JSON value.
#[derive(Default)]
struct Seen {
    words: BTreeSet<String>,
    /// How often each source is named.
    uses: BTreeMap<String, usize>,
}

impl Seen {
    fn value(&mut self, value: &Value) {
        match value {
            Value::String(text) => self.words.extend(words(text)),
            Value::Array(items) => items.iter().for_each(|item| self.value(item)),
            Value::Object(object) => {
                for (key, part) in object {
                    if let (Value::String(source), "source") = (part, key.as_str()) {
                        *self.uses.entry(source.clone()).or_default() += 1;
                    }
                    self.value(part);
                }
            }
            _ => {}
        }
    }

    fn sources(&self, profile: &Profile) -> Vec<DatedSource> {
        let dated = profile.sources.iter().filter_map(|source| {
            Some(DatedSource {
                id: source.id.to_string(),
                date: source.date?,
                kind: source.kind,
                rests_on_it: self
                    .uses
                    .get(source.id.as_str())
                    .copied()
                    .unwrap_or_default(),
            })
        });
        dated.collect()
    }
}

//! Conflicts in words.

use chockstone_schema::{codes::KeptValue, model::record::Conflict};
use serde_json::Value;

use super::sides::Three;
use crate::{
    difference::{
        sentence,
        shape::{Shape, member},
    },
    part::shape_at,
};

/// Longer writings of a value are cut, in characters.
const LONGEST_WRITING: usize = 400;

/// The three values of a conflict as a person would write them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Told {
    /// What it was in the version that both began with.
    pub base: String,
    /// What it is on the one side.
    pub ours: String,
    /// What it is on the other side.
    pub theirs: String,
}

/// The three values of a conflict as a person would write them, texts in this language where they have it. Two values that
/// are not the same are told apart, if need be in the notation of JSON.
pub fn told(conflict: &Conflict, language: &str) -> Told {
    let shape = shape_at(&conflict.part.to_string());
    let values = Three {
        base: conflict.base.as_ref(),
        ours: conflict.ours.as_ref(),
        theirs: conflict.theirs.as_ref(),
    };
    let in_words = values.map(|kept| kept.map(|kept| one(shape, kept.value(), language)));
    let alike = |a: &Option<String>, b: &Option<String>, same: bool| a == b && !same;
    let hidden = alike(&in_words.base, &in_words.ours, values.base == values.ours)
        || alike(
            &in_words.base,
            &in_words.theirs,
            values.base == values.theirs,
        )
        || alike(
            &in_words.ours,
            &in_words.theirs,
            values.ours == values.theirs,
        );
    let [base, ours, theirs] = if hidden {
        [values.base, values.ours, values.theirs].map(|kept| kept.map(written))
    } else {
        [in_words.base, in_words.ours, in_words.theirs]
    }
    .map(|told| told.unwrap_or_else(|| "not there".to_owned()));
    Told { base, ours, theirs }
}

fn one(shape: Option<&Shape>, value: &Value, language: &str) -> String {
    match (shape, value) {
        (Some(Shape::Struct(part)), value) if part.sourced => sourced(value),
        (Some(Shape::List(_)) | None, Value::Array(items)) => {
            let told = items.iter().map(|item| match item {
                Value::String(string) => string.clone(),
                other => sentence_of(shape, other, language),
            });
            told.collect::<Vec<_>>().join(", ")
        }
        (None, Value::String(string)) => format!("“{string}”"),
        (Some(shape), value) => sentence::value(shape, value, language),
        (None, value) => value.to_string(),
    }
}

/// An element of a list.
fn sentence_of(list: Option<&Shape>, item: &Value, language: &str) -> String {
    match list {
        Some(Shape::List(list)) => sentence::value(&list.item, item, language),
        _ => item.to_string(),
    }
}

/// A value with its uncertainty and its source.
fn sourced(value: &Value) -> String {
    let quantity = |name: &str| {
        let pair = member(Some(value), name)?.as_array()?;
        Some(format!("{} {}", pair.first()?, pair.get(1)?.as_str()?))
    };
    let mut told = quantity("value").unwrap_or_default();
    if let Some(uncertainty) = quantity("plus_minus") {
        told.push_str(" ± ");
        told.push_str(&uncertainty);
    }
    if let Some(source) = member(Some(value), "source").and_then(Value::as_str) {
        told.push_str(", source ");
        told.push_str(source);
    }
    told
}

fn written(kept: &KeptValue) -> String {
    let text = kept.value().to_string();
    if text.chars().count() <= LONGEST_WRITING {
        return text;
    }
    let kept: String = text.chars().take(LONGEST_WRITING).collect();
    format!("{kept}…")
}

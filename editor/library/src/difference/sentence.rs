//! What is said of a change: plain sentences of our own.

use std::sync::LazyLock;

use chockstone_schema::{
    quantity::Dimension,
    report::{PieceKind, WordChange},
    text::{LONGEST_TEXT, Language, Text},
};
use serde_json::Value;

use super::{
    shape::{Shape, Struct, elements, member},
    values::{Written, apart},
};

/// Longer strings of the profile are cut in a sentence, in characters.
const LONGEST_QUOTE: usize = 80;
/// So many words are told on either side of a changed one.
const WORDS_AROUND: usize = 3;

static ENGLISH: LazyLock<Option<Language>> = LazyLock::new(|| Language::new("en").ok());
static SPANISH: LazyLock<Option<Language>> = LazyLock::new(|| Language::new("es").ok());

/// A text in English and, where there is one, in Spanish. Control characters become blanks, and what is too long is cut.
pub(crate) fn text(english: &str, spanish: Option<&str>) -> Text {
    let clean = |string: &str| -> String {
        let characters = string.chars().map(|c| if c.is_control() { ' ' } else { c });
        characters.take(LONGEST_TEXT).collect()
    };
    let first = ENGLISH
        .as_ref()
        .and_then(|l| Text::new(l, &clean(english)).ok());
    let mut text = first.unwrap_or_else(blank);
    if let (Some(spanish), Some(language)) = (spanish, SPANISH.as_ref()) {
        // A sentence of our own is never blank; where it cannot be added, English remains.
        let _ = text.set(language, &clean(spanish));
    }
    text
}

#[expect(
    clippy::unreachable,
    reason = "a sentence of our own is never blank, and en is a language"
)]
fn blank() -> Text {
    unreachable!("a sentence of our own is never blank, and en is a language")
}

/// A sentence that begins with a capital.
pub(super) fn capital(sentence: &str) -> String {
    let mut characters = sentence.chars();
    characters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(characters).collect()
    })
}

fn cut(string: &str) -> String {
    if string.chars().count() <= LONGEST_QUOTE {
        return string.to_owned();
    }
    let kept: String = string.chars().take(LONGEST_QUOTE).collect();
    format!("{}…", kept.trim_end())
}

/// The string of a text in a language, or in any other.
fn string<'v>(text: &'v Value, language: &str) -> Option<&'v str> {
    let strings = text.as_object()?;
    strings
        .get(language)
        .or_else(|| strings.values().next())?
        .as_str()
}

/// What an element of a list is called: its name and id.
pub(super) fn element(part: &Struct, item: &Value, key: Option<&str>, language: &str) -> String {
    let name = ["name", "title", "what"]
        .iter()
        .find_map(|field| string(member(Some(item), field)?, language));
    let key = key.and_then(|key| member(Some(item), key)?.as_str());
    match (name, key) {
        (Some(name), Some(key)) => format!("{} “{}” ({key})", part.noun, cut(name)),
        (Some(name), None) => format!("{} “{}”", part.noun, cut(name)),
        (None, Some(key)) => format!("{} {key}", part.noun),
        (None, None) => part.noun.clone(),
    }
}

/// A value as a person would write it.
pub(crate) fn value(shape: &Shape, value: &Value, language: &str) -> String {
    match shape {
        Shape::Quantity(_) => quantity(value),
        Shape::Text => format!("“{}”", cut(string(value, language).unwrap_or_default())),
        Shape::Struct(part) if part.sourced => {
            member(Some(value), "value").map_or_else(String::new, quantity)
        }
        Shape::Struct(part) => structure(part, value, language),
        Shape::Outline(_) => {
            let corners = elements(member(Some(value), "corners")).len();
            format!("an outline with {corners} corners")
        }
        Shape::List(_) => format!("a line with {} corners", elements(Some(value)).len()),
        Shape::Place => place(value),
        Shape::Word => value.as_str().unwrap_or_default().replace('_', " "),
        Shape::Extensions => "data".to_owned(),
        Shape::Flag | Shape::Leaf | Shape::Reference(_) => plain(value),
    }
}

/// What a struct says first of all: its kind, or that it is there.
fn structure(part: &Struct, value_of: &Value, language: &str) -> String {
    let told = part.fields.iter().find_map(|field| {
        let inner = member(Some(value_of), field.name)?;
        matches!(field.shape, Shape::Word | Shape::Text)
            .then(|| value(&field.shape, inner, language))
    });
    told.unwrap_or_else(|| "a statement".to_owned())
}

fn plain(value: &Value) -> String {
    match value {
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::String(string) => cut(string),
        other => cut(&other.to_string()),
    }
}

fn quantity(value: &Value) -> String {
    Written::of(value).map_or_else(
        || plain(value),
        |written| format!("{} {}", written.number, written.unit),
    )
}

fn place(value: &Value) -> String {
    let told = ["x", "y", "z"].iter().filter_map(|axis| {
        let coordinate = member(Some(value), axis)?;
        Some(format!("{axis} {}", quantity(coordinate)))
    });
    told.collect::<Vec<_>>().join(", ")
}

/// How far apart two quantities are, in brackets.
pub(super) fn apart_in_brackets(dimension: Dimension, a: &Value, b: &Value) -> String {
    let told = Written::of(a)
        .zip(Written::of(b))
        .and_then(|(a, b)| apart(dimension, a, b));
    told.map_or_else(String::new, |apart| format!(" ({apart})"))
}

/// What changed in a string, with a few words around each change: `… Select [park] → [neutral] now.`
pub(super) fn words(change: &WordChange) -> String {
    let mut told = String::new();
    let last = change.pieces.len().saturating_sub(1);
    for (i, piece) in change.pieces.iter().enumerate() {
        match piece.kind {
            PieceKind::Same => told.push_str(&around(&piece.text, i > 0, i < last)),
            PieceKind::Removed => told.extend(["[-", &piece.text, "-]"]),
            PieceKind::Added => told.extend(["[+", &piece.text, "+]"]),
        }
    }
    told.trim().to_owned()
}

/// The ends of an unchanged piece that touch a change.
fn around(text: &str, after_change: bool, before_change: bool) -> String {
    let words: Vec<&str> = text.split_inclusive(' ').collect();
    let wanted = WORDS_AROUND * (usize::from(after_change) + usize::from(before_change)) + 1;
    if words.len() <= wanted {
        return text.to_owned();
    }
    let head: String = words
        .iter()
        .take(if after_change { WORDS_AROUND } else { 0 })
        .copied()
        .collect();
    let tail_at = words.len() - if before_change { WORDS_AROUND } else { 0 };
    let tail: String = words.iter().skip(tail_at).copied().collect();
    format!("{head}… {tail}")
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::{super::words::change, *};

    #[test]
    fn a_changed_word_is_told_with_a_few_words_around_it() {
        let a = "With the line taut and both rear wheels chocked, select park and leave the vehicle by the left door.";
        let b = a.replace("park", "neutral");
        assert_eq!(
            words(&change("en", a, &b)),
            "… wheels chocked, select [-park-][+neutral+] and leave …"
        );
    }

    #[test]
    fn values_are_told_as_they_were_written() {
        let told = |shape: &Shape, v: Value| value(shape, &v, "en");
        assert_eq!(
            told(&Shape::Quantity(Dimension::Mass), json!([7120.5, "lb"])),
            "7120.5 lb"
        );
        assert_eq!(
            told(&Shape::Word, json!("tie_down_long_haul")),
            "tie down long haul"
        );
        assert_eq!(told(&Shape::Flag, json!(true)), "yes");
        assert_eq!(
            told(&Shape::Text, json!({"de": "Eins", "en": "One"})),
            "“One”"
        );
        let place = json!({"x": [1, "mm"], "y": [-2, "in"]});
        assert_eq!(told(&Shape::Place, place), "x 1 mm, y -2 in");
    }
}

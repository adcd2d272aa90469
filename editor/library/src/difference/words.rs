//! Texts compared word by word, one language at a time.

use chockstone_schema::report::{Piece, PieceKind, WordChange};
use serde_json::Value;
use similar::{ChangeTag, TextDiff};

/// A language of a text that is not the same in both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Language<'v> {
    /// Newly told in it.
    Added(&'v str),
    /// No longer told in it.
    Removed(&'v str),
    /// Capitals, blanks or punctuation beside words differ.
    Typography(&'v str),
    /// Words differ.
    Words(&'v str),
}

/// The languages of two texts that are not the same, by tag.
pub(super) fn languages<'v>(a: &'v Value, b: &'v Value) -> Vec<Language<'v>> {
    let strings = |text: &'v Value| text.as_object().into_iter().flatten();
    let mut found: Vec<(&str, Language<'v>)> = Vec::new();
    for (tag, old) in strings(a) {
        let old = old.as_str().unwrap_or_default();
        match b.get(tag).and_then(Value::as_str) {
            None => found.push((tag, Language::Removed(tag))),
            Some(new) if new == old => {}
            Some(new) if is_typography(old, new) => found.push((tag, Language::Typography(tag))),
            Some(_) => found.push((tag, Language::Words(tag))),
        }
    }
    for (tag, _) in strings(b).filter(|(tag, _)| a.get(tag.as_str()).is_none()) {
        found.push((tag, Language::Added(tag)));
    }
    found.sort_by_key(|(tag, _)| *tag);
    found.into_iter().map(|(_, language)| language).collect()
}

/// Whether two strings differ in nothing but capitals, blanks and punctuation beside words.
///
/// Punctuation beside a digit counts as words: it can part numbers, and 1.5 is not 15.
fn is_typography(a: &str, b: &str) -> bool {
    plain(a) == plain(b)
}

fn plain(text: &str) -> Vec<String> {
    let characters: Vec<char> = text.chars().collect();
    let is_digit = |at: Option<usize>| {
        at.and_then(|i| characters.get(i))
            .is_some_and(char::is_ascii_digit)
    };
    let kept = characters.iter().enumerate().filter(|(i, c)| {
        let beside_digit = is_digit(i.checked_sub(1)) || is_digit(Some(i + 1));
        beside_digit
            || !matches!(
                c,
                '.' | ',' | ';' | ':' | '!' | '¡' | '"' | '“' | '”' | '«' | '»' | '(' | ')'
            )
    });
    let text: String = kept.flat_map(|(_, c)| c.to_lowercase()).collect();
    // A full stop at the end of a number ends the sentence, not the number.
    text.split_whitespace()
        .map(|word| word.trim_end_matches(['.', ',', ';', ':']).to_owned())
        .collect()
}

/// What changed in one language's string.
pub(super) fn change(language: &str, a: &str, b: &str) -> WordChange {
    let mut pieces: Vec<Piece> = Vec::new();
    let difference = TextDiff::from_words(a, b);
    for change in difference.iter_all_changes() {
        let kind = match change.tag() {
            ChangeTag::Equal => PieceKind::Same,
            ChangeTag::Delete => PieceKind::Removed,
            ChangeTag::Insert => PieceKind::Added,
        };
        match pieces.last_mut() {
            Some(last) if last.kind == kind => last.text.push_str(change.value()),
            _ => pieces.push(Piece {
                kind,
                text: change.value().to_owned(),
            }),
        }
    }
    WordChange {
        language: language.to_owned(),
        pieces,
    }
}

/// How alike two texts are in the language in which they are most alike, from 0 to 1.
pub(super) fn likeness(a: &Value, b: &Value) -> f64 {
    let strings = a.as_object().into_iter().flatten();
    let in_each = strings.filter_map(|(tag, old)| {
        let (old, new) = (old.as_str()?, b.get(tag)?.as_str()?);
        Some(f64::from(TextDiff::from_words(old, new).ratio()))
    });
    in_each.fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use serde_json::json;

    use super::*;

    #[test]
    fn a_word_that_changed_is_told_between_those_that_did_not() {
        let change = change("en", "Select park now.", "Select neutral now.");
        let told: Vec<(PieceKind, &str)> = change
            .pieces
            .iter()
            .map(|p| (p.kind, p.text.as_str()))
            .collect();
        assert_eq!(
            told,
            [
                (PieceKind::Same, "Select "),
                (PieceKind::Removed, "park"),
                (PieceKind::Added, "neutral"),
                (PieceKind::Same, " now."),
            ]
        );
    }

    #[test]
    fn the_pieces_make_both_strings() {
        let (a, b) = (
            "Chock both rear wheels, then wait.",
            "Chock all wheels then wait 10 min.",
        );
        let change = change("en", a, b);
        let without = |kind| -> String {
            let kept = change.pieces.iter().filter(|p| p.kind != kind);
            kept.map(|p| p.text.as_str()).collect()
        };
        assert_eq!(without(PieceKind::Added), a);
        assert_eq!(without(PieceKind::Removed), b);
    }

    #[test]
    fn capitals_blanks_and_punctuation_are_typography_and_numbers_are_not() {
        let check = |a, b, expected| assert_eq!(is_typography(a, b), expected, "{a:?} {b:?}");
        check("Chock the wheels", "Chock the wheels.", true);
        check("Chock  the wheels", "chock the wheels", true);
        check("Wait 10 min, then look", "Wait 10 min then look", true);
        check("Do not lift", "Do lift", false);
        check("1.5 m", "15 m", false);
        check("-5 degrees", "5 degrees", false);
        check("can't", "cant", false);
        check("stop 5.", "stop 5", true);
    }

    #[test]
    fn each_language_is_told_by_itself() {
        let a = json!({"en": "One", "es": "Uno", "fr": "Un"});
        let b = json!({"de": "Eins", "en": "One.", "es": "Dos"});
        assert_eq!(
            languages(&a, &b),
            [
                Language::Added("de"),
                Language::Typography("en"),
                Language::Words("es"),
                Language::Removed("fr"),
            ]
        );
    }
}

//! The walk against the document as a JSON value.

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use chockstone_schema::read;
use serde_json::Value;

use super::Walk;
use crate::testing::sound_profile;

/// Counts objects that a test accepts.
fn count(value: &Value, accept: &impl Fn(&serde_json::Map<String, Value>) -> bool) -> usize {
    match value {
        Value::Object(map) => {
            usize::from(accept(map)) + map.values().map(|v| count(v, accept)).sum::<usize>()
        }
        Value::Array(items) => items.iter().map(|v| count(v, accept)).sum(),
        _ => 0,
    }
}

#[test]
fn the_walk_meets_every_text_and_every_value() {
    let profile = sound_profile();
    let value = read::to_value(&profile);
    let walk = Walk::profile(&profile);
    assert_eq!(
        walk.texts.len(),
        count(&value, &|m| m.get("en").is_some_and(Value::is_string))
    );
    assert_eq!(
        walk.values.len(),
        count(&value, &|m| m.get("value").is_some_and(Value::is_array))
    );
    for entry in walk.values.iter().chain(&walk.statements) {
        let own = value.pointer(&entry.place).unwrap();
        if let Some(source) = own.get("source").and_then(Value::as_str) {
            assert_eq!(entry.source.as_deref(), Some(source), "{}", entry.place);
        }
        assert_eq!(
            entry.doubt,
            own.get("plus_minus").is_some(),
            "{}",
            entry.place
        );
    }
    assert!(
        walk.is_used("source", "tape")
            && walk.is_used("debt", "flap")
            && !walk.is_used("source", "nobody")
    );
}

#[test]
fn words_are_found_in_lower_case_with_their_place() {
    let walk = Walk::profile(&sound_profile());
    let found = walk.texts.mentioning(&["silence"]);
    assert_eq!(
        found,
        [(
            "/identity/recognition",
            "lettering e on both sides and the rear. silence does not mean off."
        )]
    );
    assert!(walk.texts.mentioning(&["no such word"]).is_empty());
    assert_eq!(walk.texts.counts(), [("en", walk.texts.len())]);
    assert_eq!(walk.texts.without("es").count(), walk.texts.len());
}

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use std::collections::BTreeSet;

use chockstone_schema::json_schema;
use serde_json::Value;

use super::*;

/// Every field of the model, as struct and field; all kinds of sourced values are one struct.
fn fields_of_the_model() -> BTreeSet<(String, String)> {
    let schema = &json_schema::profile().published;
    let definitions = schema["$defs"].as_object().unwrap().iter();
    let parts = definitions.map(|(name, part)| (name.as_str(), part));
    let mut found = BTreeSet::new();
    for (name, part) in parts.chain([("Profile", schema)]) {
        let name = if name.starts_with("sourced_") {
            "sourced"
        } else {
            name
        };
        let properties = part.get("properties").and_then(Value::as_object);
        for field in properties.into_iter().flatten().map(|(field, _)| field) {
            found.insert((name.to_owned(), field.clone()));
        }
    }
    found
}

#[test]
fn every_field_of_the_model_has_one_row_and_every_row_a_field() {
    let fields = fields_of_the_model();
    let mut rows = BTreeSet::new();
    for row in ROWS {
        let key = (row.part.to_owned(), row.field.to_owned());
        assert!(rows.insert(key), "{} stands twice", row.name());
    }
    let missing: Vec<_> = fields.difference(&rows).collect();
    assert!(
        missing.is_empty(),
        "these fields have no grade: {missing:?}"
    );
    let extra: Vec<_> = rows.difference(&fields).collect();
    assert!(extra.is_empty(), "these rows name no field: {extra:?}");
    assert!(fields.len() > 380, "the model was not walked");
}

#[test]
fn what_the_trade_calls_dangerous_can_hurt() {
    // The kinds of change that a reviewer must never miss, by the field that carries them (common practice, no source).
    for (part, field) in [
        ("Profile", "hazards"),
        ("Point", "cautions"),
        ("Step", "cautions"),
        ("Point", "rating"),
        ("Axle", "gawr"),
        ("MassData", "gvwr"),
        ("Turning", "max_speed"),
        ("Point", "place"),
        ("Point", "uses"),
        ("Point", "forbidden"),
        ("Procedure", "steps"),
        ("TransportRule", "method"),
        ("TransportRule", "permission"),
        ("Profile", "safety_rules"),
        ("Waits", "discharge"),
        ("Step", "requires"),
        ("sourced", "plus_minus"),
        ("Source", "kind"),
    ] {
        let row = row(part, field).unwrap();
        assert_eq!(row.changed, Grade::CanHurt, "{part}.{field}");
        assert_eq!(row.removed, Grade::CanHurt, "{part}.{field}");
    }
}

#[test]
fn every_reason_is_a_sentence_in_both_languages() {
    for row in ROWS {
        for sentence in row.why.sentence() {
            assert!(
                sentence.ends_with('.') && sentence.len() > 5,
                "{}",
                row.name()
            );
        }
    }
}

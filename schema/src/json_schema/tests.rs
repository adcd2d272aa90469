#![expect(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests state facts"
)]

use super::*;

fn every_property(schema: &Value, visit: &mut impl FnMut(&str, &str, &Value)) {
    for (name, definition) in schema["$defs"]
        .as_object()
        .unwrap()
        .iter()
        .chain([(&"root".to_owned(), schema)])
    {
        for (field, property) in definition
            .get("properties")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            visit(name, field, property);
        }
    }
}

#[test]
fn every_property_is_described_and_labelled() {
    for schema in [profile(), equipment()] {
        every_property(&schema.published, &mut |name, field, property| {
            assert!(
                property["title"].as_str().is_some_and(|t| !t.is_empty()),
                "{name}.{field}"
            );
            assert!(
                property["description"]
                    .as_str()
                    .is_some_and(|t| t.ends_with('.')),
                "{name}.{field}: {property}"
            );
        });
    }
}

#[test]
fn every_struct_tells_the_order_of_all_its_fields() {
    for schema in [profile(), equipment()] {
        for (name, definition) in schema.annotated["$defs"].as_object().unwrap() {
            let Some(properties) = definition.get("properties").and_then(Value::as_object) else {
                continue;
            };
            let order: Vec<&str> = definition["x-order"]
                .as_array()
                .unwrap_or_else(|| panic!("{name} has no order"))
                .iter()
                .map(|f| f.as_str().unwrap())
                .collect();
            assert_eq!(order.len(), properties.len(), "{name}");
            assert!(order.iter().all(|f| properties.contains_key(*f)), "{name}");
            assert_eq!(
                definition["additionalProperties"], false,
                "{name} accepts unknown fields"
            );
        }
        assert!(schema.annotated["x-order"].is_array());
    }
}

#[test]
fn the_published_form_has_no_words_of_our_own_and_no_nulls() {
    for text in published_files().values() {
        assert!(!text.contains("\"x-"));
        assert!(
            !text.contains("\"null\""),
            "a null would be accepted for an absent part"
        );
        assert!(
            !text.contains("\"uint"),
            "other validators do not know this format"
        );
    }
}

#[test]
fn every_reference_points_into_a_list_of_the_profile() {
    let annotated = &profile().annotated;
    for (key, list) in crate::id::LISTS {
        let mut schema = annotated;
        for segment in list.split('/').skip(1) {
            schema = &schema["properties"][segment];
            if let Some(target) = schema.get("$ref").and_then(Value::as_str) {
                schema = annotated.pointer(target.trim_start_matches('#')).unwrap();
            }
        }
        assert_eq!(schema["type"], "array", "{key}");
    }
}

#[test]
fn the_checked_in_schemas_are_current() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    for (name, expected) in published_files() {
        if std::env::var_os("UPDATE_SCHEMAS").is_some() {
            std::fs::write(folder.join(name), &expected).unwrap();
        }
        let found = std::fs::read_to_string(folder.join(name)).unwrap_or_default();
        assert!(
            found == expected,
            "{name} is not current: run the tests with UPDATE_SCHEMAS=1 and look at the difference"
        );
    }
}

#[test]
fn an_unknown_word_is_told_with_the_words_that_fit() {
    let mut value: Value = serde_json::from_str(crate::read::tests::SMALL_JSON).unwrap();
    value["identity"]["body_style"] = "boat".into();
    let faults = crate::read::from_value::<Profile>(&value).unwrap_err();
    let fault = faults.first().expect("a fault");
    assert_eq!(fault.pointer, "/identity/body_style");
    assert!(fault.message.contains("pickup"), "{}", fault.message);
}

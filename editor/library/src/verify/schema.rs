//! Whether a bundle's schema is that of its format.

use chockstone_schema::{
    bundle::{OpenBundle, PROFILE_SCHEMA},
    codes::CURRENT_FORMAT,
    report::VerifyStep,
};
use serde_json::{Map, Value};

use super::{bad, file, good};
use crate::contents;

/// The schema in the bundle must ask no less than the published one of its format version: another one could let anything
/// pass. Its descriptions may be worded otherwise by another version of the program, and it may know less: a format gets
/// further fields and codes without a new number, and a bundle keeps the schema of its day.
pub(super) fn look(bundle: &OpenBundle) -> VerifyStep {
    let asked = |bytes: &[u8]| {
        let mut schema: Value = serde_json::from_slice(bytes).unwrap_or_default();
        drop_wording(&mut schema);
        schema
    };
    let shipped = asked(file(bundle, PROFILE_SCHEMA));
    let published = asked(&contents::schema());
    if shipped == published {
        return good(
            "shipped schema",
            "It is the published schema of format 1.0.",
        );
    }
    if asks_no_less(&shipped, &published) {
        let message = "It is an earlier schema of format 1.0, which knows fewer fields or codes and asks no less of the others.";
        return good("shipped schema", message);
    }
    let message =
        format!("{PROFILE_SCHEMA} is not the published schema of format {CURRENT_FORMAT}.");
    bad("shipped schema", message)
}

/// Takes titles and descriptions out of a schema. A property that is called so is an object and stays.
fn drop_wording(schema: &mut Value) {
    match schema {
        Value::Object(object) => {
            object.retain(|key, value| {
                !(matches!(key.as_str(), "title" | "description") && value.is_string())
            });
            object.values_mut().for_each(drop_wording);
        }
        Value::Array(items) => items.iter_mut().for_each(drop_wording),
        _ => {}
    }
}

/// Whether every document that the first schema accepts is accepted by the second, as far as this can be told part by part.
fn asks_no_less(shipped: &Value, published: &Value) -> bool {
    match (shipped, published) {
        (Value::Object(shipped), Value::Object(published)) => {
            shipped.len() == published.len()
                && published.iter().all(|(keyword, published)| {
                    let shipped = shipped.get(keyword);
                    shipped.is_some_and(|shipped| keyword_asks_no_less(keyword, shipped, published))
                })
        }
        (Value::Array(shipped), Value::Array(published)) => {
            shipped.len() == published.len()
                && shipped
                    .iter()
                    .zip(published)
                    .all(|(s, p)| asks_no_less(s, p))
        }
        (shipped, published) => shipped == published,
    }
}

fn keyword_asks_no_less(keyword: &str, shipped: &Value, published: &Value) -> bool {
    match (keyword, shipped, published) {
        // What a schema does not name is refused, as `additionalProperties` is false wherever `properties` stands.
        ("properties" | "$defs", Value::Object(shipped), Value::Object(published)) => {
            fewer(shipped, published)
        }
        ("enum" | "oneOf" | "anyOf", Value::Array(shipped), Value::Array(published)) => {
            let known = |s: &Value| published.iter().any(|p| asks_no_less(s, p));
            !shipped.is_empty() && shipped.iter().all(known)
        }
        ("required", Value::Array(shipped), Value::Array(published)) => {
            published.iter().all(|p| shipped.contains(p))
        }
        _ => asks_no_less(shipped, published),
    }
}

fn fewer(shipped: &Map<String, Value>, published: &Map<String, Value>) -> bool {
    !shipped.is_empty()
        && shipped.iter().all(|(name, shipped)| {
            let published = published.get(name);
            published.is_some_and(|published| asks_no_less(shipped, published))
        })
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use serde_json::json;

    use super::*;
    use crate::{
        testing::{attachments, day, number, small},
        verify::verify,
    };

    /// The step after one change of the good bag's schema.
    #[track_caller]
    fn after(change: impl FnOnce(&mut Value)) -> VerifyStep {
        let mut bag = contents::bag(&small(), &number("1.0.0"), day(), &attachments(), None);
        let mut schema = serde_json::from_slice(&bag.payload[PROFILE_SCHEMA]).unwrap();
        change(&mut schema);
        let text = serde_json::to_vec(&schema).unwrap();
        bag.payload.insert(PROFILE_SCHEMA.into(), text);
        let report = verify("x.zip", &bag.to_zip().unwrap()).unwrap();
        let mut steps = report.steps.into_iter();
        steps.find(|s| s.step == "shipped schema").unwrap()
    }

    fn field<'s>(schema: &'s mut Value, name: &str) -> &'s mut Value {
        &mut schema["$defs"]["Point"][name]
    }

    #[test]
    fn other_wording_is_the_same_schema() {
        let step = after(|schema| field(schema, "properties")["torque"]["title"] = json!("Pull"));
        assert_eq!(step.good, Some(true));
        assert!(
            step.message.contains("the published schema"),
            "{}",
            step.message
        );
    }

    #[test]
    fn an_earlier_schema_that_knows_less_is_good_and_told() {
        let step = after(|schema| {
            let fields = field(schema, "properties").as_object_mut().unwrap();
            fields.remove("torque").unwrap();
            fields.remove("mirror_of").unwrap();
        });
        assert_eq!(step.good, Some(true), "{}", step.message);
        assert!(
            step.message.contains("an earlier schema"),
            "{}",
            step.message
        );
    }

    #[test]
    fn a_schema_that_lets_more_pass_is_told() {
        let changes: [fn(&mut Value); 7] = [
            |schema| *schema = json!({}),
            |schema| *schema = json!(true),
            |schema| drop(schema.as_object_mut().unwrap().remove("required")),
            |schema| *field(schema, "additionalProperties") = json!(true),
            |schema| field(schema, "properties")["more"] = json!({"type": "string"}),
            |schema| field(schema, "properties")["torque"] = json!({}),
            |schema| *field(schema, "required") = json!(["id"]),
        ];
        for (number, change) in changes.into_iter().enumerate() {
            assert_eq!(after(change).good, Some(false), "change {number}");
        }
    }
}

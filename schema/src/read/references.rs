//! Ids: none twice in one list, and no reference to one that does not exist.
//!
//! The annotated schema knows which parts are ids and references, so no list of fields is kept here that could fall
//! behind the model.

use std::collections::BTreeSet;

use serde_json::Value;

use super::{Document, Fault, push_key};
use crate::id::LISTS;

/// Where ids and references are inside a document; parts without any are left out.
#[derive(Debug)]
pub(crate) enum Shape {
    /// A struct: the fields that hold something of interest.
    Struct {
        fields: Vec<(String, Shape)>,
        has_id: bool,
    },
    /// A list of alike parts.
    List(Box<Shape>),
    /// A reference, by its key.
    Reference(String),
    /// Nothing of interest.
    Plain,
}

impl Shape {
    /// Compiles the shape of a document from its annotated schema.
    pub(crate) fn compile(root: &Value) -> Self {
        compile(root, root)
    }
}

fn compile(root: &Value, schema: &Value) -> Shape {
    let schema = match schema
        .get("$ref")
        .and_then(Value::as_str)
        .and_then(|r| root.pointer(r.trim_start_matches('#')))
    {
        Some(target) => target,
        None => schema,
    };
    if schema.get("x-kind").and_then(Value::as_str) == Some("reference") {
        return Shape::Reference(
            schema
                .get("x-of")
                .and_then(Value::as_str)
                .unwrap_or_default()
                .to_owned(),
        );
    }
    if let Some(items) = schema.get("items").filter(|i| i.is_object()) {
        return match compile(root, items) {
            Shape::Plain => Shape::Plain,
            inner => Shape::List(Box::new(inner)),
        };
    }
    let Some(properties) = schema.get("properties").and_then(Value::as_object) else {
        return Shape::Plain;
    };
    let fields: Vec<(String, Shape)> = properties
        .iter()
        .map(|(name, property)| (name.clone(), compile(root, property)))
        .filter(|(_, shape)| !matches!(shape, Shape::Plain))
        .collect();
    let has_id = properties.contains_key("id");
    if fields.is_empty() && !has_id {
        Shape::Plain
    } else {
        Shape::Struct { fields, has_id }
    }
}

/// Every duplicate id and dangling reference of a document.
pub(super) fn faults<T: Document>(value: &Value) -> Vec<Fault> {
    let known: Vec<(&str, BTreeSet<&str>)> = LISTS
        .iter()
        .map(|(key, list)| (*key, ids_at(value, list)))
        .collect();
    let mut walk = Walk {
        known,
        faults: Vec::new(),
        built_in: T::built_in,
    };
    walk.visit(&T::schema().shape, value, &mut String::new());
    walk.built_in_repeated(value);
    walk.faults
}

fn ids_at<'v>(value: &'v Value, list: &str) -> BTreeSet<&'v str> {
    let items = value
        .pointer(list)
        .and_then(Value::as_array)
        .map(Vec::as_slice)
        .unwrap_or_default();
    items.iter().filter_map(|i| i.get("id")?.as_str()).collect()
}

struct Walk<'v> {
    known: Vec<(&'static str, BTreeSet<&'v str>)>,
    faults: Vec<Fault>,
    built_in: fn(&str, &str) -> bool,
}

impl Walk<'_> {
    fn visit(&mut self, shape: &Shape, value: &Value, pointer: &mut String) {
        let length = pointer.len();
        match (shape, value) {
            (Shape::Struct { fields, .. }, Value::Object(map)) => {
                for (name, shape) in fields {
                    if let Some(inner) = map.get(name) {
                        push_key(pointer, name);
                        self.visit(shape, inner, pointer);
                        pointer.truncate(length);
                    }
                }
            }
            (Shape::List(inner), Value::Array(items)) => {
                if matches!(**inner, Shape::Struct { has_id: true, .. }) {
                    self.duplicates(items, pointer);
                }
                for (i, item) in items.iter().enumerate() {
                    push_key(pointer, &i.to_string());
                    self.visit(inner, item, pointer);
                    pointer.truncate(length);
                }
            }
            (Shape::Reference(key), Value::String(id)) => self.reference(key, id, pointer),
            _ => {}
        }
    }

    fn duplicates(&mut self, items: &[Value], pointer: &str) {
        let mut seen = BTreeSet::new();
        for (i, item) in items.iter().enumerate() {
            let Some(id) = item.get("id").and_then(Value::as_str) else {
                continue;
            };
            if !seen.insert(id) {
                let message =
                    format!("the id {id:?} is used twice in this list: give each part its own id");
                self.faults
                    .push(Fault::new(format!("{pointer}/{i}/id"), message));
            }
        }
    }

    fn reference(&mut self, key: &str, id: &str, pointer: &str) {
        let known = self
            .known
            .iter()
            .any(|(k, ids)| *k == key && ids.contains(id));
        if !known && !(self.built_in)(key, id) {
            let message = format!("there is no {key} with the id {id:?}");
            self.faults.push(Fault::new(pointer, message));
        }
    }

    fn built_in_repeated(&mut self, value: &Value) {
        let conditions = value
            .get("conditions")
            .and_then(Value::as_array)
            .map(Vec::as_slice)
            .unwrap_or_default();
        for (i, condition) in conditions.iter().enumerate() {
            let Some(id) = condition.get("id").and_then(Value::as_str) else {
                continue;
            };
            if (self.built_in)("condition", id) {
                let message =
                    format!("the id {id:?} belongs to the built-in conditions: choose another");
                self.faults
                    .push(Fault::new(format!("/conditions/{i}/id"), message));
            }
        }
    }
}

//! New parts: what can be filled in without inventing a fact, and what is still needed.

use std::collections::BTreeSet;

use serde_json::{Map, Value, json};

use super::{
    schema::{Kind, Node},
    words,
};

/// Makes a new value that holds nothing but what follows from the model: groups, and nothing in them.
///
/// No number, text or choice is made up; [`missing`] tells what a person must still enter.
pub(super) fn blank(node: Node<'_>) -> Value {
    match node.kind() {
        Kind::Struct | Kind::Place => {
            let mut fields = Map::new();
            for name in node.fields().into_iter().filter(|f| node.requires(f)) {
                if let Some(field) = node.property(name)
                    && matches!(field.kind(), Kind::Struct | Kind::Place | Kind::List)
                {
                    fields.insert(name.to_owned(), blank(field));
                }
            }
            Value::Object(fields)
        }
        Kind::List => Value::Array(Vec::new()),
        Kind::Polygon(_) => json!({"corners": [[null, null], [null, null], [null, null]]}),
        Kind::Sourced | Kind::Text => Value::Object(Map::new()),
        _ => Value::Null,
    }
}

/// Makes a new list item; its id, if it has one, is the first free one of its kind.
pub(super) fn blank_item(node: Node<'_>, list_label: &str, siblings: &[Value]) -> Value {
    let mut item = blank(node);
    let has_id = node.property("id").is_some_and(|id| id.kind() == Kind::Id);
    if let (true, Some(fields)) = (has_id, item.as_object_mut()) {
        let stem = words::slug(&words::singular(list_label).unwrap_or_default());
        fields.insert("id".to_owned(), free_id(&stem, siblings).into());
    }
    item
}

/// Finds an id that none of the items has: `point-1`, `point-2`, ….
pub(crate) fn free_id(stem: &str, items: &[Value]) -> String {
    let taken: BTreeSet<&str> = items
        .iter()
        .filter_map(|item| item.get("id").and_then(Value::as_str))
        .collect();
    let mut number = 1;
    loop {
        let id = format!("{stem}-{number}");
        if !taken.contains(id.as_str()) {
            return id;
        }
        number += 1;
    }
}

/// Makes a copy of a list item with a free id.
pub(super) fn duplicate(item: &Value, items: &[Value]) -> Value {
    let mut copy = item.clone();
    let stem = item.get("id").and_then(Value::as_str).map(without_number);
    if let (Some(stem), Some(fields)) = (stem, copy.as_object_mut()) {
        fields.insert("id".to_owned(), free_id(stem, items).into());
    }
    copy
}

fn without_number(id: &str) -> &str {
    let stem = id.trim_end_matches(|c: char| c.is_ascii_digit());
    match stem.strip_suffix('-') {
        Some(stem) if stem.len() < id.len() && !stem.is_empty() => stem,
        _ => id,
    }
}

/// Lists what must still be entered, by the labels of the fields, before the value can stand in a file.
pub(super) fn missing(node: Node<'_>, value: &Value) -> Vec<String> {
    match node.kind() {
        Kind::Struct | Kind::Place => missing_fields(node, value),
        Kind::Sourced if value.get("value").is_none() => vec!["Value".to_owned()],
        Kind::Text if value.as_object().is_none_or(Map::is_empty) => vec!["Text".to_owned()],
        Kind::Polygon(_) => missing_corners(value),
        Kind::List => missing_items(node, value),
        _ if value.is_null() => vec![node.title().to_owned()],
        _ => Vec::new(),
    }
}

fn missing_fields(node: Node<'_>, value: &Value) -> Vec<String> {
    let mut names = Vec::new();
    for name in node.fields() {
        let Some(field) = node.property(name) else {
            continue;
        };
        let label = || field.title().to_owned();
        match value.get(name) {
            None if node.requires(name) => names.push(label()),
            None => {}
            Some(inner) => {
                let within = missing(field, inner);
                let is_group = matches!(field.kind(), Kind::Struct | Kind::Place | Kind::List);
                match within.as_slice() {
                    [] => {}
                    _ if is_group => names.extend(within),
                    _ => names.push(label()),
                }
            }
        }
    }
    names
}

fn missing_corners(value: &Value) -> Vec<String> {
    let corners = value.get("corners").and_then(Value::as_array);
    let complete = corners.is_some_and(|corners| {
        let whole = |c: &Value| {
            c.as_array()
                .is_some_and(|pair| pair.iter().all(Value::is_number))
        };
        corners.len() >= 3 && corners.iter().all(whole)
    });
    let mut names = Vec::new();
    if value.get("unit").is_none() {
        names.push("Unit".to_owned());
    }
    if !complete {
        names.push("Three corners or more".to_owned());
    }
    names
}

fn missing_items(node: Node<'_>, value: &Value) -> Vec<String> {
    let items = value.as_array().map(Vec::as_slice).unwrap_or_default();
    if node.requires_items() && items.is_empty() {
        return vec![node.title().to_owned()];
    }
    let Some(item_node) = node.items() else {
        return Vec::new();
    };
    items
        .iter()
        .flat_map(|item| missing(item_node, item))
        .collect()
}

impl Node<'_> {
    fn requires_items(self) -> bool {
        self.least_items() > 0
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;

    fn at(pointer: &str) -> Node<'static> {
        let profile = Node::root(&chockstone_schema::json_schema::profile().annotated);
        profile.follow(pointer).unwrap()
    }

    #[test]
    fn a_new_point_invents_nothing_but_its_id() {
        let siblings = [json!({"id": "point-1"})];
        let point = blank_item(at("/points/0"), "Points", &siblings);
        assert_eq!(point, json!({"id": "point-2", "place": {}}));
        assert_eq!(
            missing(at("/points/0"), &point),
            ["Name", "Kind", "x, rearward", "y, to the right"]
        );
    }

    #[test]
    fn a_part_is_complete_when_nothing_is_missing() {
        let point = json!({
            "id": "p", "name": {"en": "Post"}, "kind": "battery_positive",
            "place": {"x": [1, "m"], "y": [0, "m"]}
        });
        assert!(missing(at("/points/0"), &point).is_empty());
        assert!(missing(at("/points/0"), &json!({"id": "p"})).contains(&"Name".to_owned()));
    }

    #[test]
    fn an_outline_needs_three_whole_corners_and_a_unit() {
        let node = at("/dimensions/side_outline");
        assert_eq!(
            missing(node, &blank(node)),
            ["Unit", "Three corners or more"]
        );
        let two = json!({"unit": "mm", "corners": [[0, 0], [1, 1], [1, null]]});
        assert_eq!(missing(node, &two), ["Three corners or more"]);
        let three = json!({"unit": "mm", "corners": [[0, 0], [1, 1], [1, 0]]});
        assert!(missing(node, &three).is_empty());
    }

    #[test]
    fn a_copy_takes_the_next_free_id() {
        let items = [
            json!({"id": "lift-1", "x": 1}),
            json!({"id": "lift-2"}),
            json!({"id": "eye"}),
        ];
        assert_eq!(
            duplicate(&items[0], &items),
            json!({"id": "lift-3", "x": 1})
        );
        assert_eq!(duplicate(&items[2], &items), json!({"id": "eye-1"}));
    }
}

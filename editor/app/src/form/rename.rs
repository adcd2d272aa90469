//! Renaming a part: every reference to it is renamed in the same step.

use serde_json::Value;

use super::schema::{Kind, Node};
use crate::{document::Op, pointer};

/// Lists the pointers of the references that name an item of a list by its id.
pub(super) fn references_to(root: Node<'_>, value: &Value, list: &str, id: &str) -> Vec<String> {
    let mut found = Vec::new();
    collect(root, value, "", &mut |node, at, text| {
        if let Kind::Reference { list: into, .. } = node.kind()
            && into == list
            && text == id
        {
            found.push(at.to_owned());
        }
    });
    found
}

/// Makes the changes that give an item a new id and keep every reference to it.
pub(super) fn rename(
    root: Node<'_>,
    value: &Value,
    id_pointer: &str,
    old: &str,
    new: &str,
) -> Vec<Op> {
    let set = |pointer: String| Op::Set {
        pointer,
        value: new.into(),
    };
    let mut ops = vec![set(id_pointer.to_owned())];
    if let Some(list) = list_of(id_pointer) {
        ops.extend(references_to(root, value, list, old).into_iter().map(set));
    }
    ops
}

/// The list whose item an id names: `/points` for `/points/3/id`.
fn list_of(id_pointer: &str) -> Option<&str> {
    let (item, _) = pointer::split(id_pointer)?;
    let (list, _) = pointer::split(item)?;
    (!list.is_empty()).then_some(list)
}

fn collect(node: Node<'_>, value: &Value, at: &str, seen: &mut impl FnMut(Node<'_>, &str, &str)) {
    match value {
        Value::Object(fields) => {
            for (name, inner) in fields {
                if let Some(field) = node.property(name) {
                    collect(field, inner, &pointer::join(at, name), seen);
                }
            }
        }
        Value::Array(items) => {
            if let Some(item_node) = node.items() {
                for (i, item) in items.iter().enumerate() {
                    collect(item_node, item, &pointer::join_index(at, i), seen);
                }
            }
        }
        Value::String(text) => seen(node, at, text),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn a_source_is_renamed_together_with_what_names_it() {
        let root = Node::root(&chockstone_schema::json_schema::profile().annotated);
        let value = json!({
            "sources": [{"id": "scale"}, {"id": "tape"}],
            "dimensions": {"wheelbase": {"value": [1, "m"], "source": "tape"}},
            "points": [{"id": "tape", "source": "tape"}],
        });
        let ops = rename(root, &value, "/sources/1/id", "tape", "steel-tape");
        let places: Vec<&str> = ops.iter().map(Op::pointer).collect();
        assert_eq!(
            places,
            [
                "/sources/1/id",
                "/dimensions/wheelbase/source",
                "/points/0/source"
            ]
        );
    }

    #[test]
    fn the_documents_own_id_is_named_by_nothing() {
        let root = Node::root(&chockstone_schema::json_schema::profile().annotated);
        let ops = rename(root, &json!({"id": "a"}), "/id", "a", "b");
        assert_eq!(ops.len(), 1);
    }
}

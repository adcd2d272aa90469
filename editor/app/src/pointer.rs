//! Reading and changing a tree of values by JSON pointer (RFC 6901).

use serde_json::Value;

/// Says why a change at a pointer could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoSuchPlace {
    /// The pointer that leads nowhere.
    pub pointer: String,
}

impl std::fmt::Display for NoSuchPlace {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "there is no place {} to change", self.pointer)
    }
}

/// Appends one segment, escaping `~` and `/`.
pub fn join(pointer: &str, segment: &str) -> String {
    format!(
        "{pointer}/{}",
        segment.replace('~', "~0").replace('/', "~1")
    )
}

/// Appends the position of a list item.
pub fn join_index(pointer: &str, index: usize) -> String {
    format!("{pointer}/{index}")
}

/// Splits a pointer into the container's pointer and the last segment, unescaped. The root has no parent.
pub fn split(pointer: &str) -> Option<(&str, String)> {
    let (parent, last) = pointer.rsplit_once('/')?;
    Some((parent, unescape(last)))
}

/// Lists the segments of a pointer, unescaped.
pub fn segments(pointer: &str) -> Vec<String> {
    pointer.split('/').skip(1).map(unescape).collect()
}

/// Tells whether `inner` is `outer` itself or lies below it.
pub fn is_within(inner: &str, outer: &str) -> bool {
    inner
        .strip_prefix(outer)
        .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

/// Replaces the leading `from` of a pointer by `to`; a pointer elsewhere gives none.
pub fn rebase(pointer: &str, from: &str, to: &str) -> Option<String> {
    is_within(pointer, from).then(|| format!("{to}{}", &pointer[from.len()..]))
}

fn unescape(segment: &str) -> String {
    segment.replace("~1", "/").replace("~0", "~")
}

fn missing(pointer: &str) -> NoSuchPlace {
    NoSuchPlace {
        pointer: pointer.to_owned(),
    }
}

fn container<'v>(
    root: &'v mut Value,
    pointer: &str,
) -> Result<(&'v mut Value, String), NoSuchPlace> {
    let (parent, last) = split(pointer).ok_or_else(|| missing(pointer))?;
    let container = root.pointer_mut(parent).ok_or_else(|| missing(pointer))?;
    Ok((container, last))
}

/// Sets the value at a pointer. A field of an object may be new; a list item must exist.
pub fn set(root: &mut Value, pointer: &str, value: Value) -> Result<(), NoSuchPlace> {
    if pointer.is_empty() {
        *root = value;
        return Ok(());
    }
    match container(root, pointer)? {
        (Value::Object(fields), key) => {
            fields.insert(key, value);
            Ok(())
        }
        (Value::Array(items), index) => {
            let item = index.parse().ok().and_then(|i: usize| items.get_mut(i));
            *item.ok_or_else(|| missing(pointer))? = value;
            Ok(())
        }
        _ => Err(missing(pointer)),
    }
}

/// Inserts before a list position (`-` is the end, as in RFC 6902) or adds a field to an object.
///
/// An absent list is an empty one, so the first item inserted makes the list.
pub fn insert(root: &mut Value, pointer: &str, value: Value) -> Result<(), NoSuchPlace> {
    make_list(root, pointer);
    match container(root, pointer)? {
        (Value::Object(fields), key) => {
            fields.insert(key, value);
            Ok(())
        }
        (Value::Array(items), index) => {
            let at = if index == "-" {
                Some(items.len())
            } else {
                index.parse().ok()
            };
            let at = at
                .filter(|&i| i <= items.len())
                .ok_or_else(|| missing(pointer))?;
            items.insert(at, value);
            Ok(())
        }
        _ => Err(missing(pointer)),
    }
}

fn make_list(root: &mut Value, pointer: &str) {
    let Some((list, position)) = split(pointer) else {
        return;
    };
    let at_start = position == "-" || position == "0";
    let Some((owner, field)) = split(list) else {
        return;
    };
    if at_start
        && root.pointer(list).is_none()
        && let Some(Value::Object(fields)) = root.pointer_mut(owner)
    {
        fields.insert(field, Value::Array(Vec::new()));
    }
}

/// Removes a list item or a field and returns what was there. A list goes with its last item.
pub fn remove(root: &mut Value, pointer: &str) -> Result<Value, NoSuchPlace> {
    let (removed, emptied) = match container(root, pointer)? {
        (Value::Object(fields), key) => {
            (fields.remove(&key).ok_or_else(|| missing(pointer))?, false)
        }
        (Value::Array(items), index) => {
            let at = index.parse().ok().filter(|&i: &usize| i < items.len());
            let removed = items.remove(at.ok_or_else(|| missing(pointer))?);
            (removed, items.is_empty())
        }
        _ => return Err(missing(pointer)),
    };
    if emptied {
        drop_field(root, pointer);
    }
    Ok(removed)
}

fn drop_field(root: &mut Value, pointer: &str) {
    if let Some((list, _)) = split(pointer)
        && let Some((owner, field)) = split(list)
        && let Some(Value::Object(fields)) = root.pointer_mut(owner)
    {
        fields.remove(&field);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;
    use serde_json::json;

    #[test]
    fn segments_are_escaped_and_unescaped_as_rfc_6901_says() {
        // RFC 6901 section 5: "/a~1b" is the field "a/b", "/m~0n" is "m~n".
        assert_eq!(join("", "a/b"), "/a~1b");
        assert_eq!(join("", "m~n"), "/m~0n");
        assert_eq!(segments("/a~1b/m~0n/0"), ["a/b", "m~n", "0"]);
        assert_eq!(split("/a~1b"), Some(("", "a/b".to_owned())));
    }

    #[test]
    fn a_pointer_lies_within_another_only_at_a_segment_border() {
        assert!(is_within("/points/1/place", "/points/1"));
        assert!(is_within("/points/1", "/points/1"));
        assert!(!is_within("/points/12", "/points/1"));
        assert_eq!(
            rebase("/points/-/id", "/points/-", "/points/3").unwrap(),
            "/points/3/id"
        );
    }

    #[test]
    fn a_list_takes_an_item_at_a_position_and_at_its_end() {
        let mut root = json!({"a": [1, 3]});
        insert(&mut root, "/a/1", json!(2)).unwrap();
        insert(&mut root, "/a/-", json!(4)).unwrap();
        assert_eq!(root, json!({"a": [1, 2, 3, 4]}));
        assert_eq!(remove(&mut root, "/a/0").unwrap(), json!(1));
        set(&mut root, "/a/0", json!(9)).unwrap();
        assert_eq!(root, json!({"a": [9, 3, 4]}));
    }

    #[test]
    fn a_list_comes_with_its_first_item_and_goes_with_its_last() {
        let mut root = json!({});
        insert(&mut root, "/points/-", json!("a")).unwrap();
        assert_eq!(root, json!({"points": ["a"]}));
        remove(&mut root, "/points/0").unwrap();
        assert_eq!(root, json!({}));
    }

    #[test]
    fn a_place_that_does_not_exist_is_refused_by_name() {
        let mut root = json!({"a": [1]});
        for result in [
            set(&mut root, "/a/7", json!(0)),
            insert(&mut root, "/b/1", json!(0)),
            remove(&mut root, "/a/x").map(|_| ()),
            set(&mut root, "/a/0/deeper", json!(0)),
        ] {
            assert!(
                result
                    .unwrap_err()
                    .to_string()
                    .starts_with("there is no place /")
            );
        }
        assert_eq!(root, json!({"a": [1]}));
    }
}

//! The two ways to point at a part: a JSON pointer counts the elements of lists, a part path names them.
//!
//! A pointer (`/points/3/rating`, RFC 6901) says where a part stands now. A path (`/points/front-eye/rating`) says which part
//! is meant and still does when others were added, removed or moved before it. An element is named by what it is recognised
//! by when profiles are compared: its id, or else the field that says what it is about. Elements of other lists, and those
//! that share a name with another one, are counted from 0 in paths too.

use chockstone_schema::codes::PartPath;
use serde_json::Value;

use crate::difference::{
    matching::key,
    shape::{self, By, List, Shape, Struct},
};

/// The JSON pointer of the part that a path names; `None` where the profile has no such part.
///
/// The profile is a JSON value as [`to_value`](chockstone_schema::read::to_value) gives it.
pub fn pointer_of(profile: &Value, part: &PartPath) -> Option<String> {
    let (pointer, found) = follow(profile, &part.segments());
    found.then_some(pointer)
}

/// The JSON pointer of the part that a path names, or of the nearest part around it where there is no such part (any more):
/// empty for the whole profile.
pub fn nearest_pointer_of(profile: &Value, part: &PartPath) -> String {
    follow(profile, &part.segments()).0
}

/// The path of the part at a JSON pointer; `None` where there is no part, for the whole profile, and for the rare part that a
/// path cannot name: inside other programs' data with an empty name, or beside another one with the same name.
pub fn path_of(profile: &Value, pointer: &str) -> Option<PartPath> {
    let mut path = String::new();
    let mut step = Step::root(profile);
    for segment in segments(pointer) {
        let (name, inner) = match step.value {
            Value::Array(items) => {
                let index: usize = segment.parse().ok()?;
                (step.name(items, index), step.inner(&segment)?)
            }
            _ => (segment.clone(), step.inner(&segment)?),
        };
        push(&mut path, &name);
        step = inner;
    }
    let path = PartPath::new(&path).ok()?;
    (pointer_of(profile, &path)? == pointer).then_some(path)
}

/// The pointer as far as the path leads, and whether it leads to its end.
fn follow(profile: &Value, path: &[String]) -> (String, bool) {
    let mut pointer = String::new();
    let mut step = Step::root(profile);
    for segment in path {
        let key = match step.value {
            Value::Array(items) => {
                let named = step.number(items, segment);
                named.map_or_else(|| segment.clone(), |index| index.to_string())
            }
            _ => segment.clone(),
        };
        let Some(inner) = step.inner(&key) else {
            return (pointer, false);
        };
        push(&mut pointer, &key);
        step = inner;
    }
    (pointer, true)
}

/// The segments of a JSON pointer, unescaped.
pub(crate) fn segments(pointer: &str) -> Vec<String> {
    let segments = pointer.split('/').skip(1);
    segments
        .map(|s| s.replace("~1", "/").replace("~0", "~"))
        .collect()
}

/// Appends a segment to a pointer or a path, escaped.
pub(crate) fn push(place: &mut String, segment: &str) {
    place.push('/');
    place.push_str(&segment.replace('~', "~0").replace('/', "~1"));
}

/// What the model says is at a pointer or a path, whatever the elements of lists are called; `None` for the whole profile and
/// inside what is kept as one.
pub(crate) fn shape_at(place: &str) -> Option<&'static Shape> {
    let mut found = None;
    let mut kind = Kind::Struct(shape::profile());
    for segment in segments(place) {
        let inner = match kind {
            Kind::Struct(part) => &part.field(&segment)?.shape,
            Kind::List(list) => list.item.as_ref(),
            Kind::Whole => return None,
        };
        (found, kind) = (Some(inner), Kind::of(inner));
    }
    found
}

/// A part of a profile and what the model says it is.
#[derive(Clone, Copy)]
struct Step<'v> {
    value: &'v Value,
    kind: Kind,
}

#[derive(Clone, Copy)]
enum Kind {
    Struct(&'static Struct),
    List(&'static List),
    /// Kept as one, or other programs' data.
    Whole,
}

impl Kind {
    fn of(shape: &'static Shape) -> Self {
        match shape {
            Shape::Struct(part) => Self::Struct(part),
            Shape::List(list) => Self::List(list),
            _ => Self::Whole,
        }
    }
}

impl<'v> Step<'v> {
    fn root(profile: &'v Value) -> Self {
        Self {
            value: profile,
            kind: Kind::Struct(shape::profile()),
        }
    }

    /// The part under a segment of a JSON pointer.
    fn inner(self, segment: &str) -> Option<Self> {
        let (value, kind) = match (self.value, self.kind) {
            (Value::Object(fields), Kind::Struct(part)) => {
                let shape = part.field(segment).map(|field| &field.shape);
                (fields.get(segment)?, shape.map_or(Kind::Whole, Kind::of))
            }
            (Value::Object(fields), _) => (fields.get(segment)?, Kind::Whole),
            (Value::Array(items), kind) => {
                let index: usize = segment.parse().ok()?;
                // A number has one writing: "+1" and "01" are none.
                let value = items.get(index).filter(|_| index.to_string() == segment)?;
                let kind = match kind {
                    Kind::List(list) => Kind::of(&list.item),
                    _ => Kind::Whole,
                };
                (value, kind)
            }
            _ => return None,
        };
        Some(Self { value, kind })
    }

    /// What an element of this list is called in paths.
    fn name(self, items: &[Value], index: usize) -> String {
        let named = match self.kind {
            Kind::List(list) => name(list, items, index),
            _ => None,
        };
        named.unwrap_or_else(|| index.to_string())
    }

    /// The number of the element that a path calls so.
    fn number(self, items: &[Value], called: &str) -> Option<usize> {
        let Kind::List(list) = self.kind else {
            return None;
        };
        let by_name =
            |item: &Value| matches!(list.by, By::Field(_)) && key(list, item, None) == called;
        let index = items.iter().position(by_name)?;
        (name(list, items, index)? == called).then_some(index)
    }
}

/// What an element of a list is called in paths; `None` where it is counted: it is recognised by all that it says, or another
/// one is called alike.
pub(crate) fn name(list: &List, items: &[Value], index: usize) -> Option<String> {
    let By::Field(_) = list.by else {
        return None;
    };
    let name = key(list, items.get(index)?, None);
    let alike = items.iter().filter(|item| key(list, item, None) == name);
    (!name.is_empty() && alike.count() == 1).then_some(name)
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::indexing_slicing,
        clippy::panic,
        clippy::unwrap_used,
        reason = "a panic is a failed test"
    )]

    use serde_json::json;

    use super::*;
    use crate::testing::demo_values;

    fn every_part(value: &Value, pointer: &mut String, visit: &mut impl FnMut(&str)) {
        if !pointer.is_empty() {
            visit(pointer);
        }
        let length = pointer.len();
        let inner: Vec<(String, &Value)> = match value {
            Value::Object(fields) => fields.iter().map(|(k, v)| (k.clone(), v)).collect(),
            Value::Array(items) => {
                let counted = items.iter().enumerate();
                counted.map(|(i, v)| (i.to_string(), v)).collect()
            }
            _ => Vec::new(),
        };
        for (segment, value) in inner {
            push(pointer, &segment);
            every_part(value, pointer, visit);
            pointer.truncate(length);
        }
    }

    #[test]
    fn every_part_of_the_demo_profiles_has_one_path_that_leads_back_to_it() {
        for (name, profile) in demo_values() {
            let mut paths = std::collections::BTreeSet::new();
            let mut parts = 0;
            every_part(&profile, &mut String::new(), &mut |pointer| {
                let path = path_of(&profile, pointer);
                let path = path.unwrap_or_else(|| panic!("{name}: {pointer} has no path"));
                assert_eq!(
                    pointer_of(&profile, &path).as_deref(),
                    Some(pointer),
                    "{name}: {path}"
                );
                assert!(paths.insert(path.to_string()), "{name}: {path} names two");
                parts += 1;
            });
            assert!(parts > 500, "{name}: {parts} parts");
        }
    }

    fn path(text: &str) -> PartPath {
        PartPath::new(text).unwrap()
    }

    #[test]
    fn an_element_is_named_by_what_it_is_recognised_by() {
        let profile = json!({
            "points": [{"id": "eye"}, {"id": "hook", "uses": ["recover", "winch"], "pull": [{"toward": "front"}]}],
            "reviews": [{"id": "first", "remarks": [{"part": "/points/eye"}]}],
        });
        let check = |pointer: &str, expected: &str| {
            assert_eq!(path_of(&profile, pointer), Some(path(expected)));
            assert_eq!(
                pointer_of(&profile, &path(expected)).as_deref(),
                Some(pointer)
            );
        };
        check("/points/1/uses/1", "/points/hook/uses/1");
        check(
            "/reviews/0/remarks/0",
            "/reviews/first/remarks/~1points~1eye",
        );
        assert_eq!(path_of(&profile, "/points/2"), None);
        assert_eq!(path_of(&profile, ""), None);
        assert_eq!(pointer_of(&profile, &path("/points/ring")), None);
        assert_eq!(pointer_of(&profile, &path("/points/01")), None);
    }

    #[test]
    fn elements_with_the_same_name_are_counted() {
        let profile = json!({"points": [{"id": "eye"}, {"id": "hook"}, {"id": "eye"}]});
        assert_eq!(path_of(&profile, "/points/2"), Some(path("/points/2")));
        assert_eq!(path_of(&profile, "/points/1"), Some(path("/points/hook")));
        assert_eq!(pointer_of(&profile, &path("/points/eye")), None);
    }

    #[test]
    fn a_path_still_names_the_part_after_others_moved() {
        let before = json!({"points": [{"id": "eye"}, {"id": "hook"}]});
        let after = json!({"points": [{"id": "ring"}, {"id": "hook"}, {"id": "eye"}]});
        let path = path_of(&before, "/points/0/id").unwrap();
        assert_eq!(pointer_of(&after, &path).as_deref(), Some("/points/2/id"));
    }

    #[test]
    fn where_the_part_is_gone_the_nearest_one_around_it_is_found() {
        let profile = json!({"points": [{"id": "eye", "place": {"x": [1, "mm"]}}]});
        let check = |part: &str, expected: &str| {
            assert_eq!(
                nearest_pointer_of(&profile, &path(part)),
                expected,
                "{part}"
            );
        };
        check("/points/eye/place", "/points/0/place");
        check("/points/eye/rating/value", "/points/0");
        check("/points/hook/place", "/points");
        check("/zones/cab", "");
    }
}

//! What a gesture on the diagram changes in the file.
//!
//! Each function makes one [`Edit`], which the document records as one step. Nothing here reads the screen.

use chockstone_schema::{
    Profile,
    model::point::{Point, PointKind},
    outline::OutlineUnit,
    quantity::{Kind, Quantity},
    read,
};
use serde_json::{Value, json};

use super::{
    glyph,
    projection::View,
    rounding::{self, Entry},
    ticks::Measure,
};
use crate::{
    document::{Edit, Op},
    pointer,
};

fn set(pointer: String, value: Value) -> Op {
    Op::Set { pointer, value }
}

fn insert(pointer: String, value: Value) -> Op {
    Op::Insert { pointer, value }
}

fn remove(pointer: String) -> Op {
    Op::Remove { pointer }
}

/// The number of the point that a pointer leads to or into.
pub fn point_index(pointer: &str) -> Option<usize> {
    let segments = pointer::segments(pointer);
    let (first, second) = (segments.first()?, segments.get(1)?);
    (first == "points").then(|| second.parse().ok()).flatten()
}

/// The outline and the corner's number of a pointer to a corner.
pub fn corner_index(pointer: &str) -> Option<(&str, usize)> {
    let (outline, index) = pointer.rsplit_once("/corners/")?;
    Some((outline, index.parse().ok()?))
}

fn entry<K: Kind>(quantity: Quantity<K>) -> Entry {
    Entry {
        value: quantity.value(),
        unit: quantity.unit(),
    }
}

fn point_name(profile: &Profile, point: &Point) -> String {
    point.name.pick([&profile.language]).to_owned()
}

fn set_coordinate(index: usize, axis: &str, entry: Entry) -> Op {
    set(format!("/points/{index}/place/{axis}"), entry.to_json())
}

/// Sets one coordinate of a point as it was typed.
pub fn set_coordinate_of(
    profile: &Profile,
    index: usize,
    axis: &str,
    entry: Entry,
) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let description = format!("move {}", point_name(profile, point));
    Some(Edit::new(
        description,
        vec![set_coordinate(index, axis, entry)],
    ))
}

/// The coordinates of a point as entered. A height that is not stated is zero in the unit of x.
fn entries(point: &Point) -> [Entry; 3] {
    let place = &point.place;
    let ground = Entry {
        value: 0.0,
        unit: place.x.unit(),
    };
    [
        entry(place.x),
        entry(place.y),
        place.z.map_or(ground, entry),
    ]
}

/// The two coordinates that a view shows, by their keys and their position in a place.
fn shown(view: View) -> [(&'static str, usize); 2] {
    match view {
        View::Side => [("x", 0), ("z", 2)],
        View::Plan => [("x", 0), ("y", 1)],
    }
}

/// Moves a point to a place seen in a view, rounded in the units that its coordinates were entered in.
pub fn move_point(profile: &Profile, index: usize, view: View, place: [f64; 3]) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let before = entries(point);
    let ops = shown(view)
        .into_iter()
        .filter_map(|(axis, position)| {
            let (old, metres) = (before.get(position)?, place.get(position)?);
            let new = Entry::near(*metres, old.unit);
            (new != *old && (new.metres() - old.metres()).abs() > 1e-9)
                .then(|| set_coordinate(index, axis, new))
        })
        .collect();
    Some(Edit::new(
        format!("move {}", point_name(profile, point)),
        ops,
    ))
}

/// Where [`move_point`] would put a point: the place dragged to, after rounding.
pub fn rounded_place(point: &Point, view: View, place: [f64; 3]) -> [f64; 3] {
    let mut rounded = super::scene::metres(&point.place);
    let before = entries(point);
    for (_, position) in shown(view) {
        if let (Some(slot), Some(old), Some(metres)) = (
            rounded.get_mut(position),
            before.get(position),
            place.get(position),
        ) {
            *slot = Entry::near(*metres, old.unit).metres();
        }
    }
    rounded
}

/// Moves a point by presses of the arrow keys, across and up a view.
pub fn nudge_point(profile: &Profile, index: usize, view: View, presses: [f64; 2]) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let before = entries(point);
    let ops = shown(view)
        .into_iter()
        .zip(presses)
        .filter(|(_, presses)| *presses != 0.0)
        .filter_map(|((axis, position), presses)| {
            let moved = before.get(position)?.nudged(presses);
            Some(set_coordinate(index, axis, moved))
        })
        .collect();
    let edit = Edit::new(format!("nudge {}", point_name(profile, point)), ops);
    Some(edit.merging(format!("nudge /points/{index}")))
}

/// Puts a point on the other side of the centre plane.
pub fn swap_side(profile: &Profile, index: usize) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let op = set_coordinate(index, "y", entry(point.place.y).negated());
    Some(Edit::new(
        format!("swap side of {}", point_name(profile, point)),
        vec![op],
    ))
}

/// Makes a point one of a mirrored pair, or single again. The place kept for a pair is the one on the right.
pub fn set_mirrored(profile: &Profile, index: usize, mirrored: bool) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let name = point_name(profile, point);
    let flag = format!("/points/{index}/mirrored");
    if !mirrored {
        let ops = if point.mirrored {
            vec![remove(flag)]
        } else {
            Vec::new()
        };
        return Some(Edit::new(format!("make {name} single"), ops));
    }
    let y = entry(point.place.y);
    let mut ops = vec![set(flag, json!(true))];
    if y.value < 0.0 {
        ops.push(set_coordinate(index, "y", y.negated()));
    }
    Some(Edit::new(format!("mirror {name}"), ops))
}

/// Splits a mirrored pair into two points that name each other, so that each can be measured by itself.
pub fn split_pair(profile: &Profile, index: usize) -> Option<Edit> {
    let point = profile.points.get(index)?;
    if !point.mirrored {
        return None;
    }
    let id = free_id(profile, &format!("{}-left", point.id));
    let mut twin = serde_json::to_value(point).ok()?;
    let fields = twin.as_object_mut()?;
    fields.remove("mirrored");
    fields.insert("id".to_owned(), json!(id));
    fields.insert("mirror_of".to_owned(), json!(point.id));
    pointer::set(
        &mut twin,
        "/place/y",
        entry(point.place.y).negated().to_json(),
    )
    .ok()?;
    let ops = vec![
        remove(format!("/points/{index}/mirrored")),
        insert("/points/-".to_owned(), twin),
        set(format!("/points/{index}/mirror_of"), json!(id)),
    ];
    Some(Edit::new(
        format!("split {}", point_name(profile, point)),
        ops,
    ))
}

/// A new point at a place seen in a view, with the pointer that it will have.
///
/// Seen from the side, nothing tells how far out the point is, so it starts on the centre plane; seen from above its
/// height stays unstated.
pub fn add_point(
    profile: &Profile,
    kind: PointKind,
    mirrored: bool,
    (view, flat): (View, [f64; 2]),
    measure: Measure,
) -> Option<(Edit, String)> {
    let unit = match measure {
        Measure::Si => "mm",
        Measure::UsCustomary => "in",
    };
    let [x, y, z] = view.unflatten(flat, [0.0; 3]);
    // The place of a mirrored point is the one on the vehicle's right.
    let y = if mirrored { y.abs() } else { y };
    let key = serde_json::to_value(kind).ok()?;
    let id = free_id(profile, &key.as_str()?.replace('_', "-"));
    let alike = profile.points.iter().filter(|p| p.kind == kind).count();
    let name = match alike {
        0 => glyph::name(kind).to_owned(),
        _ => format!("{} {}", glyph::name(kind), alike + 1),
    };
    let mut point = json!({
        "id": id, "name": {profile.language.as_str(): name}, "kind": key,
        "place": {"x": Entry::near(x, unit).to_json(), "y": Entry::near(y, unit).to_json()},
    });
    if view == View::Side {
        pointer::set(&mut point, "/place/z", Entry::near(z, unit).to_json()).ok()?;
    }
    if mirrored {
        pointer::set(&mut point, "/mirrored", json!(true)).ok()?;
    }
    let change = Edit::new(format!("add {name}"), vec![append_point(profile, point)]);
    Some((change, format!("/points/{}", profile.points.len())))
}

/// A copy of a point a hand's breadth behind it, with the pointer that it will have.
pub fn duplicate_point(profile: &Profile, index: usize) -> Option<(Edit, String)> {
    let point = profile.points.get(index)?;
    let name = point_name(profile, point);
    let mut copy = serde_json::to_value(point).ok()?;
    let x = entry(point.place.x);
    let moved = Entry::near(x.metres() + 0.1, x.unit);
    pointer::set(&mut copy, "/id", json!(free_id(profile, point.id.as_str()))).ok()?;
    pointer::set(&mut copy, "/place/x", moved.to_json()).ok()?;
    copy.as_object_mut()?.remove("mirror_of");
    let change = Edit::new(
        format!("duplicate {name}"),
        vec![append_point(profile, copy)],
    );
    Some((change, format!("/points/{}", profile.points.len())))
}

/// An absent list is not in the file at all, so its first item brings the list along.
fn append_point(profile: &Profile, point: Value) -> Op {
    if profile.points.is_empty() {
        insert("/points".to_owned(), json!([point]))
    } else {
        insert("/points/-".to_owned(), point)
    }
}

/// An id that no point has: the wish itself, or with a number behind it.
fn free_id(profile: &Profile, wish: &str) -> String {
    let taken = |id: &str| profile.points.iter().any(|p| p.id.as_str() == id);
    let stem: String = wish.chars().take(58).collect();
    let numbered = (2..).map(|n| format!("{stem}-{n}"));
    let mut wishes = std::iter::once(stem.clone()).chain(numbered);
    wishes.find(|id| !taken(id)).unwrap_or(stem)
}

/// Deletes a point with every reference to it, which would lead nowhere.
pub fn delete_point(profile: &Profile, index: usize) -> Option<Edit> {
    let point = profile.points.get(index)?;
    let mut ops = references(&read::to_value(profile), point.id.as_str());
    let count = ops.len();
    ops.push(remove(if profile.points.len() == 1 {
        "/points".to_owned()
    } else {
        format!("/points/{index}")
    }));
    let name = point_name(profile, point);
    let description = match count {
        0 => format!("delete {name}"),
        1 => format!("delete {name} and a reference to it"),
        _ => format!("delete {name} and {count} references to it"),
    };
    Some(Edit::new(description, ops))
}

/// Removals of every reference to a point, the last of a list first so that the others keep their places.
fn references(root: &Value, id: &str) -> Vec<Op> {
    let mut found = Vec::new();
    walk(root, "", &mut |pointer, key, value| {
        let single = matches!(key, "point" | "mirror_of") && value == id;
        if single {
            found.push(remove(pointer.to_owned()));
        }
        if let (("points", Some(items)), false) = ((key, value.as_array()), pointer == "/points") {
            let count = items.iter().filter(|i| *i == id).count();
            // A list that would be empty is left out as a whole.
            if count > 0 && count == items.len() {
                found.push(remove(pointer.to_owned()));
            } else {
                let at = items.iter().enumerate().rev().filter(|(_, i)| *i == id);
                found.extend(at.map(|(i, _)| remove(format!("{pointer}/{i}"))));
            }
        }
    });
    found
}

/// Shows every field of every object to `visit`, with its pointer and its key. Other programs' data is passed over.
fn walk(value: &Value, at: &str, visit: &mut impl FnMut(&str, &str, &Value)) {
    match value {
        Value::Object(fields) => {
            for (key, inner) in fields {
                let place = pointer::join(at, key);
                if place != "/extensions" {
                    visit(&place, key, inner);
                    walk(inner, &place, visit);
                }
            }
        }
        Value::Array(items) => {
            for (index, inner) in items.iter().enumerate() {
                walk(inner, &pointer::join_index(at, index), visit);
            }
        }
        _ => {}
    }
}

fn corner_value([across, up]: [f64; 2]) -> Value {
    json!([rounding::number(across), rounding::number(up)])
}

/// Moves a corner of an outline to a place in metres.
pub fn move_corner(outline: &str, index: usize, flat: [f64; 2], unit: OutlineUnit) -> Edit {
    set_corner(outline, index, rounding::corner_near(flat, unit))
}

/// Sets a corner of an outline, in the outline's unit.
pub fn set_corner(outline: &str, index: usize, corner: [f64; 2]) -> Edit {
    let op = set(format!("{outline}/corners/{index}"), corner_value(corner));
    Edit::new("move corner".to_owned(), vec![op])
}

/// Moves a corner, given in metres, by presses of the arrow keys.
pub fn nudge_corner(
    outline: &str,
    index: usize,
    flat: [f64; 2],
    unit: OutlineUnit,
    presses: [f64; 2],
) -> Edit {
    let in_unit = flat.map(|c| (c / unit.metres() * 1e6).round() / 1e6);
    let mut edit = set_corner(
        outline,
        index,
        rounding::corner_nudged(in_unit, unit, presses),
    );
    "nudge corner".clone_into(&mut edit.description);
    edit.merging(format!("nudge {outline}/corners/{index}"))
}

/// Adds a corner before the one with this number.
pub fn insert_corner(outline: &str, index: usize, flat: [f64; 2], unit: OutlineUnit) -> Edit {
    let value = corner_value(rounding::corner_near(flat, unit));
    Edit::new(
        "add corner".to_owned(),
        vec![insert(format!("{outline}/corners/{index}"), value)],
    )
}

/// Deletes a corner; an outline keeps at least three.
pub fn delete_corner(outline: &str, index: usize, corners: usize) -> Option<Edit> {
    (corners > 3).then(|| {
        Edit::new(
            "delete corner".to_owned(),
            vec![remove(format!("{outline}/corners/{index}"))],
        )
    })
}

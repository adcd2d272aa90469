//! How places, polygons and lines moved, in the vehicle's frame: x rearward, y to the vehicle's right, z up.

use chockstone_schema::{quantity::Dimension, report::Shift};
use serde_json::Value;

use super::{
    shape::{Seen, elements},
    values::{Written, rounded, same},
};

/// More corners than this are compared one by one, as they are listed: nobody draws so many by hand.
const MOST_TURNED: usize = 200;

/// Three coordinates as they are written; a place may state no height.
type Corner<'v> = [Option<Written<'v>>; 3];

/// How a place, a polygon or a line moved.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Move {
    /// How far, or how far its corner that moved farthest; absent when corners cannot be told apart.
    pub(crate) shift: Option<Shift>,
    /// The largest move along any axis, in metres; infinite where it cannot be told.
    pub(crate) farthest: f64,
    /// In words, as the end of a sentence.
    pub(crate) words: String,
}

/// How a place moved; `None` when it did not.
pub(crate) fn place(a: &Value, b: &Value) -> Option<Move> {
    let (old, new) = (corner_of_place(a), corner_of_place(b));
    if same_corner(&old, &new) {
        return None;
    }
    let shift = shift(&old, &new);
    let height = match (old[2], new[2]) {
        (None, Some(z)) => Some(format!("has the height {} {}", z.number, z.unit)),
        (Some(_), None) => Some("has no height any more".to_owned()),
        _ => None,
    };
    let moved = largest(&shift) > 0.0;
    let told = moved.then(|| format!("moved {}", directions(&shift)));
    Some(Move {
        farthest: if height.is_some() {
            f64::INFINITY
        } else {
            largest(&shift) / 1000.0
        },
        words: told
            .into_iter()
            .chain(height)
            .collect::<Vec<_>>()
            .join(" and "),
        shift: moved.then_some(shift),
    })
}

/// How a polygon changed; `None` when it is the same, whatever corner it begins with and whichever way round it goes.
pub(crate) fn outline(seen: Seen, a: &Value, b: &Value) -> Option<Move> {
    let (old, new) = (corners_of_outline(seen, a), corners_of_outline(seen, b));
    let aligned = aligned(&old, &new);
    corners(&old, &aligned)
}

/// How a line changed; `None` when it did not.
pub(crate) fn line(a: &Value, b: &Value) -> Option<Move> {
    let corners_of =
        |value| -> Vec<Corner<'_>> { elements(Some(value)).iter().map(corner_of_place).collect() };
    corners(&corners_of(a), &corners_of(b))
}

fn corners(old: &[Corner<'_>], new: &[Corner<'_>]) -> Option<Move> {
    if old.len() != new.len() {
        return Some(Move {
            shift: None,
            farthest: f64::INFINITY,
            words: format!("has {} corners instead of {}", new.len(), old.len()),
        });
    }
    let pairs = || old.iter().zip(new);
    let moved: Vec<(usize, Shift)> = pairs()
        .enumerate()
        .filter(|(_, (old, new))| !same_corner(old, new))
        .map(|(i, (old, new))| (i, shift(old, new)))
        .collect();
    let farthest = moved
        .iter()
        .max_by(|(_, a), (_, b)| largest(a).total_cmp(&largest(b)));
    let (index, shift) = *farthest?;
    let words = if moved.len() == 1 {
        format!("has corner {} moved {}", index + 1, directions(&shift))
    } else {
        let count = moved.len();
        let which = index + 1;
        format!(
            "has {count} of {} corners moved; corner {which} the farthest, {}",
            old.len(),
            directions(&shift)
        )
    };
    // A height that is stated on one side only is no move along an axis.
    let unlike = pairs().any(|(old, new)| old[2].is_some() != new[2].is_some());
    let farthest = if unlike {
        f64::INFINITY
    } else {
        largest(&shift) / 1000.0
    };
    Some(Move {
        shift: Some(shift),
        farthest,
        words,
    })
}

fn corner_of_place(place: &Value) -> Corner<'_> {
    ["x", "y", "z"].map(|axis| place.get(axis).and_then(Written::of))
}

fn corners_of_outline(seen: Seen, outline: &Value) -> Vec<Corner<'_>> {
    let unit = outline.get("unit").and_then(Value::as_str).unwrap_or("mm");
    let written = |number: Option<&Value>| {
        Some(Written {
            number: number?.as_f64()?,
            unit,
        })
    };
    let corner = |corner: &Value| {
        let (first, second) = (written(corner.get(0)), written(corner.get(1)));
        match seen {
            Seen::Side => (first, None, second),
            Seen::Above => (first, second, None),
        }
    };
    let found = elements(outline.get("corners")).iter().map(corner);
    // Numbers of corners point into the JSON, so their lifetimes are the outline's.
    found.map(|(x, y, z)| [x, y, z]).collect()
}

/// The corners of the newer polygon from the one and in the direction that fit the older polygon best.
fn aligned<'v>(old: &[Corner<'_>], new: &[Corner<'v>]) -> Vec<Corner<'v>> {
    let as_listed = || new.to_vec();
    if old.len() != new.len() || new.len() > MOST_TURNED {
        return as_listed();
    }
    let distance = |candidate: &[Corner<'_>]| -> f64 {
        old.iter()
            .zip(candidate)
            .map(|(old, new)| length(&shift(old, new)))
            .sum()
    };
    let mut best = (distance(new), as_listed());
    let reversed: Vec<Corner<'v>> = new.iter().rev().copied().collect();
    for listed in [new, reversed.as_slice()] {
        for turn in 0..listed.len() {
            let mut candidate = listed.to_vec();
            candidate.rotate_left(turn);
            let distance = distance(&candidate);
            if distance < best.0 {
                best = (distance, candidate);
            }
        }
    }
    best.1
}

fn same_corner(a: &Corner<'_>, b: &Corner<'_>) -> bool {
    a.iter().zip(b).all(|(a, b)| match (a, b) {
        (Some(a), Some(b)) => same(Dimension::Length, *a, *b),
        (a, b) => a.is_none() == b.is_none(),
    })
}

/// From one corner to another, in millimetres, to a tenth. A coordinate that is only written in another unit did not move.
fn shift(a: &Corner<'_>, b: &Corner<'_>) -> Shift {
    let along = |axis: usize| {
        let (a, b) = (
            a.get(axis).copied().flatten()?,
            b.get(axis).copied().flatten()?,
        );
        if same(Dimension::Length, a, b) {
            return Some(0.0);
        }
        let metres = b.si(Dimension::Length)? - a.si(Dimension::Length)?;
        let tenths = (metres * 10_000.0).round() / 10.0;
        // A move below a tenth of a millimetre is still a move.
        Some(if tenths == 0.0 {
            metres * 1000.0
        } else {
            tenths
        })
    };
    Shift {
        x: along(0).unwrap_or_default(),
        y: along(1),
        z: along(2),
    }
}

fn largest(shift: &Shift) -> f64 {
    let along = [Some(shift.x), shift.y, shift.z];
    along.iter().flatten().map(|v| v.abs()).fold(0.0, f64::max)
}

fn length(shift: &Shift) -> f64 {
    let along = [Some(shift.x), shift.y, shift.z];
    along.iter().flatten().map(|v| v * v).sum::<f64>().sqrt()
}

/// A shift in words: `40 mm rearward and 12 mm up`.
pub(crate) fn directions(shift: &Shift) -> String {
    let axes = [
        (Some(shift.x), ["rearward", "forward"]),
        (shift.y, ["to the right", "to the left"]),
        (shift.z, ["up", "down"]),
    ];
    let told: Vec<String> = axes
        .iter()
        .filter_map(|(along, [more, less])| {
            let along = along.filter(|along| *along != 0.0)?;
            let word = if along > 0.0 { more } else { less };
            Some(format!("{} mm {word}", rounded(along.abs())))
        })
        .collect();
    match told.as_slice() {
        [] => "not at all".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use serde_json::json;

    use super::*;

    #[test]
    fn a_place_moves_in_millimetres_and_in_words() {
        let a = json!({"x": [1200, "mm"], "y": [400, "mm"], "z": [250, "mm"]});
        let b = json!({"x": [1240, "mm"], "y": [395, "mm"], "z": [250, "mm"]});
        let found = place(&a, &b).unwrap();
        assert_eq!(found.words, "moved 40 mm rearward and 5 mm to the left");
        assert_eq!(
            found.shift,
            Some(Shift {
                x: 40.0,
                y: Some(-5.0),
                z: Some(0.0)
            })
        );
        assert!((found.farthest - 0.04).abs() < 1e-9);
    }

    #[test]
    fn a_place_in_another_unit_did_not_move() {
        let a = json!({"x": [1200, "mm"], "y": [400, "mm"], "z": [250, "mm"]});
        let b = json!({"x": [47.24, "in"], "y": [15.75, "in"], "z": [25, "cm"]});
        assert_eq!(place(&a, &b), None);
    }

    #[test]
    fn a_height_that_is_newly_stated_is_told() {
        let a = json!({"x": [1200, "mm"], "y": [400, "mm"]});
        let b = json!({"x": [1200, "mm"], "y": [400, "mm"], "z": [250, "mm"]});
        let found = place(&a, &b).unwrap();
        assert_eq!(found.words, "has the height 250 mm");
        assert_eq!(found.shift, None);
    }

    #[test]
    fn a_polygon_is_the_same_from_any_corner_and_either_way_round() {
        let a = json!({"unit": "mm", "corners": [[0, 0], [100, 0], [100, 50], [0, 50]]});
        let turned = json!({"unit": "cm", "corners": [[10, 5], [10, 0], [0, 0], [0, 5]]});
        assert_eq!(outline(Seen::Side, &a, &turned), None);
        let moved = json!({"unit": "cm", "corners": [[10, 5], [14, 0], [0, 0], [0, 5]]});
        let found = outline(Seen::Side, &a, &moved).unwrap();
        assert_eq!(found.words, "has corner 2 moved 40 mm rearward");
    }

    #[test]
    fn corners_seen_from_above_move_to_the_side_and_seen_from_the_side_up() {
        let a = json!({"unit": "mm", "corners": [[0, 0], [100, 0], [100, 50]]});
        let b = json!({"unit": "mm", "corners": [[0, 0], [100, 0], [100, 57]]});
        let words = |seen| outline(seen, &a, &b).unwrap().words;
        assert_eq!(words(Seen::Side), "has corner 3 moved 7 mm up");
        assert_eq!(words(Seen::Above), "has corner 3 moved 7 mm to the right");
    }

    #[test]
    fn a_line_with_more_corners_is_told() {
        let a = json!([{"x": [0, "mm"], "y": [0, "mm"]}, {"x": [900, "mm"], "y": [0, "mm"]}]);
        let b = json!([{"x": [0, "mm"], "y": [0, "mm"]}, {"x": [9, "mm"], "y": [9, "mm"]}, {"x": [900, "mm"], "y": [0, "mm"]}]);
        assert_eq!(line(&a, &b).unwrap().words, "has 3 corners instead of 2");
        assert_eq!(line(&a, &a), None);
    }
}

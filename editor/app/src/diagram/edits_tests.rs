#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    clippy::float_cmp,
    reason = "a failed unwrap is the failed test, and what a person would have typed is exact"
)]

use chockstone_schema::read;
use serde_json::json;

use super::{edits::*, fixture, projection::View, ticks::Measure};
use crate::document::Edit;
use chockstone_schema::{Profile, model::point::PointKind, outline::OutlineUnit};

/// Applies a change as the document does and reads the result, which must be a profile without faults.
#[track_caller]
fn after(profile: &Profile, change: &Edit) -> Profile {
    let mut root = read::to_value(profile);
    for op in &change.ops {
        op.apply(&mut root).unwrap();
    }
    read::from_value(&root).unwrap_or_else(|faults| panic!("{faults:?}"))
}

fn place_text(profile: &Profile, index: usize) -> String {
    let place = &profile.points[index].place;
    format!(
        "{} / {} / {}",
        place.x,
        place.y,
        place.z.map_or("-".to_owned(), |z| z.to_string())
    )
}

#[test]
fn a_dragged_point_keeps_the_units_it_was_entered_in() {
    let profile = fixture::pickup();
    let change = move_point(&profile, 1, View::Plan, [3.0004, 0.7003, 9.0]).unwrap();
    let moved = after(&profile, &change);
    assert_eq!(place_text(&moved, 1), "118.1 in / 27.6 in / 13 in");
    let change = move_point(&profile, 0, View::Side, [0.6506, 9.0, 0.3311]).unwrap();
    assert_eq!(
        place_text(&after(&profile, &change), 0),
        "651 mm / 760 mm / 331 mm"
    );
    assert_eq!(change.description, "move Front lift point");
}

#[test]
fn a_point_dragged_to_where_it_was_changes_nothing() {
    let profile = fixture::pickup();
    let change = move_point(&profile, 1, View::Plan, [121.5 * 0.0254, 0.762, 0.0]).unwrap();
    assert!(change.ops.is_empty());
}

#[test]
fn the_preview_shows_what_the_drop_will_write() {
    let profile = fixture::pickup();
    let wish = [3.0004, 0.7003, 9.0];
    let preview = rounded_place(&profile.points[1], View::Plan, wish);
    let moved = after(
        &profile,
        &move_point(&profile, 1, View::Plan, wish).unwrap(),
    );
    let written = super::scene::metres(&moved.points[1].place);
    assert!(
        preview
            .iter()
            .zip(written)
            .all(|(a, b)| (a - b).abs() < 1e-12)
    );
}

#[test]
fn a_height_that_was_not_stated_is_stated_by_dragging_in_the_side_view() {
    let profile = fixture::pickup();
    let change = move_point(&profile, 5, View::Side, [4.56, 0.0, 0.61]).unwrap();
    assert_eq!(
        place_text(&after(&profile, &change), 5),
        "4560 mm / 520 mm / 610 mm"
    );
}

#[test]
fn nudges_of_one_point_share_a_key_and_keep_the_unit() {
    let profile = fixture::pickup();
    let right = nudge_point(&profile, 1, View::Plan, [1.0, 0.0]).unwrap();
    assert_eq!(
        place_text(&after(&profile, &right), 1),
        "121.625 in / 30 in / 13 in"
    );
    let up = nudge_point(&profile, 0, View::Side, [0.0, 10.0]).unwrap();
    assert_eq!(
        place_text(&after(&profile, &up), 0),
        "640 mm / 760 mm / 340 mm"
    );
    assert_eq!(
        right.merge_key,
        nudge_point(&profile, 1, View::Side, [0.0, 1.0])
            .unwrap()
            .merge_key
    );
    assert_ne!(right.merge_key, up.merge_key);
}

#[test]
fn swapping_sides_twice_gives_the_same_profile() {
    let profile = fixture::pickup();
    let swapped = after(&profile, &swap_side(&profile, 2).unwrap());
    assert_eq!(place_text(&swapped, 2), "-860 mm / 380 mm / 560 mm");
    assert_eq!(after(&swapped, &swap_side(&swapped, 2).unwrap()), profile);
}

#[test]
fn a_pair_is_kept_by_its_place_on_the_right() {
    let profile = fixture::pickup();
    let pair = after(&profile, &set_mirrored(&profile, 2, true).unwrap());
    assert!(pair.points[2].mirrored);
    assert_eq!(place_text(&pair, 2), "-860 mm / 380 mm / 560 mm");
    let single = after(&pair, &set_mirrored(&pair, 2, false).unwrap());
    assert!(!single.points[2].mirrored);
}

#[test]
fn a_split_pair_is_two_points_that_name_each_other() {
    let profile = fixture::pickup();
    let split = after(&profile, &split_pair(&profile, 0).unwrap());
    let (right, left) = (&split.points[0], split.points.last().unwrap());
    assert_eq!(place_text(&split, 6), "640 mm / -760 mm / 330 mm");
    assert!(!right.mirrored && !left.mirrored);
    assert_eq!(right.mirror_of.as_ref().unwrap().as_str(), left.id.as_str());
    assert_eq!(left.mirror_of.as_ref().unwrap().as_str(), right.id.as_str());
    assert!(
        split_pair(&profile, 2).is_none(),
        "a single point has nothing to split"
    );
}

#[test]
fn a_new_point_gets_a_free_id_a_name_and_the_chosen_unit() {
    let profile = fixture::pickup();
    let at = (View::Plan, [4.2004, -0.5]);
    let (change, pointer) =
        add_point(&profile, PointKind::TieDown, true, at, Measure::UsCustomary).unwrap();
    let added = after(&profile, &change);
    assert_eq!(pointer, "/points/6");
    let point = &added.points[6];
    assert_eq!(point.id.as_str(), "tie-down");
    assert_eq!(json!(point.name), json!({"en": "Tie-down 2"}));
    assert_eq!(place_text(&added, 6), "165.4 in / 19.7 in / -");
    let (again, _) = add_point(&added, PointKind::TieDown, false, at, Measure::Si).unwrap();
    let again = after(&added, &again);
    assert_eq!(again.points[7].id.as_str(), "tie-down-2");
    assert_eq!(place_text(&again, 7), "4200 mm / -500 mm / -");
}

#[test]
fn the_first_point_brings_its_list_and_the_last_takes_it_away() {
    let mut profile = fixture::pickup();
    profile.energy.disconnects.clear();
    profile.points.clear();
    let at = (View::Side, [1.0, 0.4]);
    let (change, pointer) = add_point(&profile, PointKind::Jack, false, at, Measure::Si).unwrap();
    let one = after(&profile, &change);
    assert_eq!((pointer.as_str(), one.points.len()), ("/points/0", 1));
    assert_eq!(after(&one, &delete_point(&one, 0).unwrap()), profile);
}

#[test]
fn a_copy_stands_beside_its_original_under_its_own_id() {
    let profile = fixture::pickup();
    let (change, pointer) = duplicate_point(&profile, 1).unwrap();
    let copied = after(&profile, &change);
    assert_eq!(pointer, "/points/6");
    assert_eq!(copied.points[6].id.as_str(), "lift-rear-2");
    assert_eq!(place_text(&copied, 6), "125.4 in / 30 in / 13 in");
}

#[test]
fn deleting_a_point_takes_the_references_to_it_along() {
    let profile = fixture::pickup();
    let change = delete_point(&profile, 3).unwrap();
    assert_eq!(
        change.description,
        "delete Front cut loop and a reference to it"
    );
    let deleted = after(&profile, &change);
    assert_eq!(deleted.points.len(), 5);
    assert_eq!(deleted.energy.disconnects[0].point, None);
}

#[test]
fn corners_are_moved_added_and_deleted_in_the_outlines_unit() {
    let profile = fixture::pickup();
    let outline = "/dimensions/side_outline";
    let moved = after(
        &profile,
        &move_corner(outline, 0, [-0.8812, 0.5004], OutlineUnit::Mm),
    );
    let corner = |profile: &Profile, index: usize| {
        let (x, z) = profile.dimensions.side_outline.as_ref().unwrap().corners[index];
        [x.get(), z.get()]
    };
    assert_eq!(corner(&moved, 0), [-881.0, 500.0]);
    let added = after(
        &moved,
        &insert_corner(outline, 1, [-0.95, 0.7], OutlineUnit::Mm),
    );
    assert_eq!(corner(&added, 1), [-950.0, 700.0]);
    assert_eq!(corner(&added, 2), [-900.0, 900.0]);
    let back = after(&added, &delete_corner(outline, 1, 20).unwrap());
    assert_eq!(back, moved);
    assert!(delete_corner(outline, 1, 3).is_none());
    let nudged = after(
        &profile,
        &nudge_corner(outline, 0, [-0.88, 0.52], OutlineUnit::Mm, [-1.0, 10.0]),
    );
    assert_eq!(corner(&nudged, 0), [-881.0, 530.0]);
}

#[test]
fn pointers_to_points_and_corners_are_told_apart() {
    assert_eq!(point_index("/points/12/place/x"), Some(12));
    assert_eq!(point_index("/points"), None);
    assert_eq!(point_index("/axles/1"), None);
    assert_eq!(
        corner_index("/zones/0/side/corners/3"),
        Some(("/zones/0/side", 3))
    );
    assert_eq!(corner_index("/zones/0/side"), None);
}

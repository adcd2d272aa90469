#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use std::path::Path;

use chockstone_schema::{
    Profile,
    read::{from_value, read_file, to_value},
    report::{Change, ChangeKind, Grade},
};
use serde_json::{Value, json};

use super::*;

mod every_leaf;

/// The largest profile of the demo library.
fn pickup() -> Value {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let profile: Profile = read_file(&folder.join("brackwater-tolliver-crew.profile.ron")).unwrap();
    to_value(&profile)
}

/// The pointer of the element with an id in a list.
fn at(profile: &Value, list: &str, id: &str) -> String {
    let items = profile.pointer(list).unwrap().as_array().unwrap();
    let index = items.iter().position(|item| item["id"] == id);
    format!(
        "{list}/{}",
        index.unwrap_or_else(|| panic!("{list} has no {id}"))
    )
}

/// What an edit of the pickup changes; the edited profile must still read.
fn changes(edit: impl FnOnce(&mut Value)) -> Vec<Change> {
    let before = pickup();
    let mut after = before.clone();
    edit(&mut after);
    let a: Profile = from_value(&before).unwrap();
    let b: Profile = from_value(&after).unwrap_or_else(|faults| panic!("{faults:?}"));
    difference(&a, &b).changes
}

/// The only change of an edit.
#[track_caller]
fn only(edit: impl FnOnce(&mut Value)) -> Change {
    let changes = changes(edit);
    assert_eq!(changes.len(), 1, "{changes:#?}");
    changes.into_iter().next().unwrap()
}

fn english(text: &chockstone_schema::text::Text) -> &str {
    text.iter().find(|(l, _)| l.as_str() == "en").unwrap().1
}

fn set(profile: &mut Value, pointer: &str, value: Value) {
    *profile
        .pointer_mut(pointer)
        .unwrap_or_else(|| panic!("no {pointer}")) = value;
}

fn list<'v>(profile: &'v mut Value, pointer: &str) -> &'v mut Vec<Value> {
    profile
        .pointer_mut(pointer)
        .unwrap()
        .as_array_mut()
        .unwrap()
}

#[test]
fn the_same_profile_has_no_difference() {
    let profile: Profile = from_value(&pickup()).unwrap();
    assert!(difference(&profile, &profile).is_empty());
}

#[test]
fn a_rewritten_unit_is_no_change() {
    let found = changes(|p| {
        set(p, "/variants/1/curb_mass/value", json!([3230, "kg"]));
        set(p, "/variants/1/curb_mass/plus_minus", json!([27, "kg"]));
        set(p, "/dimensions/wheelbase/value", json!([3683, "mm"]));
    });
    let wheelbase = pickup()["dimensions"]["wheelbase"]["value"].clone();
    assert_eq!(wheelbase, json!([145, "in"]), "145 in is 3683 mm exactly");
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn a_lower_rating_can_hurt_and_is_told_in_its_unit() {
    let place = at(&pickup(), "/points", "lift-front");
    let change = only(|p| set(p, &format!("{place}/rating/value"), json!([3500, "lb"])));
    assert_eq!(change.kind, ChangeKind::Changed);
    assert_eq!(change.grade, Grade::CanHurt);
    assert_eq!(change.row, "Point.rating");
    assert_eq!(change.after_place, Some(format!("{place}/rating/value")));
    assert_eq!(
        (change.before, change.after),
        (Some(json!([4000, "lb"])), Some(json!([3500, "lb"])))
    );
    assert_eq!(
        english(&change.sentence),
        "Point “Front lift point” (lift-front), rating: was 4000 lb, is now 3500 lb (500 lb less)."
    );
}

#[test]
fn a_point_that_moved_beyond_its_uncertainty_can_hurt_and_within_it_is_new_to_know() {
    let place = at(&pickup(), "/points", "lift-front");
    let moved = |inches: f64| only(|p| set(p, &format!("{place}/place/x/0"), json!(inches)));
    let far = moved(25.0);
    assert_eq!(
        (far.grade, far.row.as_str()),
        (Grade::CanHurt, "Point.place")
    );
    assert_eq!(far.after_place, Some(format!("{place}/place")));
    assert_eq!(
        english(&far.sentence),
        "Point “Front lift point” (lift-front), place moved 25.4 mm rearward."
    );
    let near = moved(24.4);
    assert_eq!(near.grade, Grade::NewToKnow);
    assert_eq!(
        english(&near.reason),
        "It moved by no more than its stated uncertainty."
    );
}

#[test]
fn a_caution_that_disappeared_can_hurt() {
    let place = at(&pickup(), "/points", "lift-rear");
    let change = only(|p| {
        drop(
            p.pointer_mut(&place)
                .unwrap()
                .as_object_mut()
                .unwrap()
                .remove("cautions"),
        );
    });
    assert_eq!(
        (change.kind, change.grade),
        (ChangeKind::Removed, Grade::CanHurt)
    );
    assert_eq!(change.before_place, Some(format!("{place}/cautions/0")));
    assert_eq!(change.after_place, None);
}

#[test]
fn steps_in_another_order_can_hurt_and_points_in_another_order_are_no_change() {
    let moved = only(|p| list(p, "/procedures/0/steps").swap(1, 2));
    assert_eq!(
        (moved.kind, moved.grade),
        (ChangeKind::Moved, Grade::CanHurt)
    );
    assert!(
        english(&moved.sentence).contains("moved from number"),
        "{moved:?}"
    );
    let none = changes(|p| {
        list(p, "/points").reverse();
        list(p, "/hazards").reverse();
        list(p, "/points/0/uses").reverse();
    });
    assert!(none.is_empty(), "{none:#?}");
}

#[test]
fn a_new_id_is_a_rename_and_references_follow_it() {
    let change = only(|p| {
        let text = p.to_string().replace("\"lift-front\"", "\"lift-forward\"");
        *p = serde_json::from_str(&text).unwrap();
    });
    assert_eq!(
        (change.kind, change.grade),
        (ChangeKind::Renamed, Grade::Wording)
    );
    assert_eq!(change.row, "Point.id");
}

#[test]
fn a_word_of_a_step_can_hurt_and_a_full_stop_is_wording() {
    let text = "/procedures/0/steps/0/text/en";
    let words = only(|p| set(p, text, "Chock both sides of a rear wheel.".into()));
    assert_eq!(words.grade, Grade::CanHurt);
    assert_eq!(
        words.after_place.as_deref(),
        Some("/procedures/0/steps/0/text")
    );
    assert!(
        english(&words.sentence).contains("[-front-][+rear+]"),
        "{words:?}"
    );
    let stop = only(|p| set(p, text, "Chock both sides of a front wheel".into()));
    assert_eq!(stop.grade, Grade::Wording);
}

#[test]
fn a_language_more_is_wording_and_a_language_less_can_hurt() {
    let more = only(|p| {
        set(p, "/procedures/0/steps/0/text", {
            let mut text = p["procedures"][0]["steps"][0]["text"].clone();
            text["fr"] = "Calez une roue avant des deux côtés.".into();
            text
        });
    });
    assert_eq!(more.grade, Grade::Wording);
    let less = only(|p| {
        drop(
            p["procedures"][0]["steps"][0]["text"]
                .as_object_mut()
                .unwrap()
                .remove("es"),
        );
    });
    assert_eq!(less.grade, Grade::CanHurt);
}

#[test]
fn less_certainty_can_hurt_and_more_is_new_to_know() {
    let half = "/variants/1/curb_mass/plus_minus";
    let wider = only(|p| set(p, half, json!([90, "lb"])));
    assert_eq!(
        (wider.grade, wider.row.as_str()),
        (Grade::CanHurt, "sourced.plus_minus")
    );
    let narrower = only(|p| set(p, half, json!([40, "lb"])));
    assert_eq!(narrower.grade, Grade::NewToKnow);
    let kind = format!("{}/kind", at(&pickup(), "/sources", "tape"));
    let estimate = only(|p| set(p, &kind, "estimate".into()));
    assert_eq!(
        (estimate.grade, estimate.row.as_str()),
        (Grade::CanHurt, "Source.kind")
    );
    let document = only(|p| set(p, &kind, "makers_document".into()));
    assert_eq!(document.grade, Grade::NewToKnow);
}

#[test]
fn another_source_is_wording_unless_it_is_weaker() {
    let weak = pickup()["sources"]
        .as_array()
        .unwrap()
        .iter()
        .position(|s| s["kind"] == "estimate");
    let weak = pickup()["sources"][weak.unwrap()]["id"].clone();
    let place = at(&pickup(), "/points", "lift-front");
    let to = |id: Value| only(|p| set(p, &format!("{place}/rating/source"), id));
    assert_eq!(to("tape".into()).grade, Grade::Wording);
    assert_eq!(to(weak).grade, Grade::CanHurt);
}

#[test]
fn an_uncertainty_weighs_no_more_than_its_value() {
    // The capacity of the pack is new to know however it changes, so its uncertainty is no more than that.
    let capacity = "/variants/0/energy/capacity";
    let found = only(|p| {
        set(
            p,
            capacity,
            json!({"value": [98, "kWh"], "plus_minus": [9, "kWh"], "source": "handbook"}),
        );
    });
    assert_eq!(
        (found.kind, found.grade),
        (ChangeKind::Added, Grade::NewToKnow)
    );
}

#[test]
fn a_yes_that_is_no_when_absent_is_told_as_changed() {
    let place = at(&pickup(), "/points", "lift-front");
    let change = only(|p| {
        drop(
            p.pointer_mut(&place)
                .unwrap()
                .as_object_mut()
                .unwrap()
                .remove("mirrored"),
        );
    });
    assert_eq!(change.kind, ChangeKind::Changed);
    assert_eq!(
        (change.before, change.after),
        (Some(json!(true)), Some(json!(false)))
    );
    assert_eq!(change.after_place, None);
    assert!(english(&change.sentence).ends_with("mirrored: was yes, is now no."));
}

#[test]
fn what_is_added_and_what_is_removed_change_places() {
    let before = pickup();
    let mut after = before.clone();
    list(&mut after, "/points").remove(0);
    list(&mut after, "/procedures/0/steps").pop();
    set(&mut after, "/dimensions/height/value", json!([80, "in"]));
    let there = of_values(&before, &after);
    let back = of_values(&after, &before);
    let turned = |kind| match kind {
        ChangeKind::Added => ChangeKind::Removed,
        ChangeKind::Removed => ChangeKind::Added,
        other => other,
    };
    assert!(there.changes.len() >= 3);
    let mut there: Vec<_> = there
        .changes
        .iter()
        .map(|c| (turned(c.kind), &c.after_place, &c.before_place))
        .collect();
    let mut back: Vec<_> = back
        .changes
        .iter()
        .map(|c| (c.kind, &c.before_place, &c.after_place))
        .collect();
    there.sort();
    back.sort();
    assert_eq!(there, back);
}

#[test]
fn data_of_other_programs_is_told_by_name() {
    let change = only(|p| p["extensions"] = json!({"org.example.shop": {"stock": 3}}));
    assert_eq!(
        change.after_place.as_deref(),
        Some("/extensions/org.example.shop")
    );
    assert_eq!(change.kind, ChangeKind::Added);
}

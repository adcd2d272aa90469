//! Single merges by the rules, and the laws.

#![allow(
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a panic is a failed test"
)]

use std::collections::BTreeSet;

use chockstone_schema::model::record::ConflictAbout;
use serde_json::json;

use super::*;

mod laws;

fn base() -> Value {
    let place = |x: i32| json!({"x": [x, "mm"], "y": [0, "mm"]});
    let step = |id: &str, text: &str| json!({"id": id, "text": {"en": text}});
    json!({
        "format": "1.0", "id": "small", "language": "en",
        "identity": {"maker": "Example Works", "model": "One", "body_style": "van", "propulsion": "electric"},
        "dimensions": {},
        "axles": [
            {"id": "front", "position": {"value": [0, "mm"]}},
            {"id": "rear", "position": {"value": [3300, "mm"]}},
        ],
        "mass": {
            "curb_mass": {"value": [7120, "lb"], "plus_minus": [20, "lb"], "source": "ticket"},
        },
        "points": [
            {"id": "front-eye", "name": {"en": "Front eye", "es": "Ojo delantero"}, "kind": "recovery_eye",
                "marking": {"en": "Orange cap"}, "place": place(-800), "place_plus_minus": [5, "mm"],
                "uses": ["winch", "recover"], "cautions": [{"en": "Mind the hot brake disc."}]},
            {"id": "rear-eye", "name": {"en": "Rear eye"}, "kind": "recovery_eye", "tool": {"en": "Flat blade"},
                "marking": {"en": "Blue cap"}, "place": place(4100), "uses": ["winch"]},
        ],
        "energy": {}, "emergency": {},
        "procedures": [{"id": "wake", "name": {"en": "Wake it"}, "purpose": "wake", "steps": [
            step("chock", "Chock the wheels."),
            step("pull", "Pull the eye's cap."),
            step("press", "Press the button."),
        ]}],
        "hazards": [{"id": "crush", "signal": "danger", "harm": "death_or_serious_injury", "hazard": {"en": "It can roll."}}],
        "transport": {"securing": {"rule_set": "other", "front_tiedowns": 2, "rear_tiedowns": 2, "points": ["rear-eye"]}},
        "sources": [{"id": "ticket", "kind": "measured", "title": {"en": "Scale ticket"}}],
    })
}

/// The base after a change.
fn changed(change: impl FnOnce(&mut Value)) -> Value {
    let mut value = base();
    change(&mut value);
    value
}

fn set(place: &'static str, new: Value) -> impl FnOnce(&mut Value) {
    move |value| *value.pointer_mut(place).unwrap() = new
}

fn remove(list: &'static str, index: usize) -> impl FnOnce(&mut Value) {
    move |value| {
        let items = value.pointer_mut(list).unwrap().as_array_mut().unwrap();
        items.remove(index);
    }
}

fn insert(list: &'static str, index: usize, new: Value) -> impl FnOnce(&mut Value) {
    move |value| {
        let items = value.pointer_mut(list).unwrap().as_array_mut().unwrap();
        items.insert(index, new);
    }
}

#[track_caller]
fn read(value: &Value) -> Profile {
    from_value(value).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The merged profile and its conflicts; swapped sides give the same but for the labels.
#[track_caller]
fn merged(ours: &Value, theirs: &Value) -> (Value, Vec<Conflict>) {
    let (base, ours, theirs) = (read(&base()), read(ours), read(theirs));
    let merged = merge(&base, &ours, &theirs);
    let swapped = merge(&base, &theirs, &ours);
    let relabelled = swapped.conflicts.into_iter().map(|mut conflict| {
        std::mem::swap(&mut conflict.ours, &mut conflict.theirs);
        conflict
    });
    assert_eq!(merged.conflicts, relabelled.collect::<Vec<_>>());
    assert_eq!(merged.profile.conflicts, merged.conflicts);
    let without = |profile: &Profile| {
        let mut value = to_value(profile);
        value.as_object_mut().unwrap().remove("conflicts");
        value
    };
    assert_eq!(without(&merged.profile), without(&swapped.profile));
    (without(&merged.profile), merged.conflicts)
}

#[track_caller]
fn no_conflict(ours: &Value, theirs: &Value, expected: &Value) {
    let (value, conflicts) = merged(ours, theirs);
    assert_eq!(conflicts, [], "{conflicts:?}");
    assert_eq!(value, *expected);
}

/// Merges and gives the one conflict with the profile as it stands.
#[track_caller]
fn one_conflict(ours: &Value, theirs: &Value) -> (Value, Value) {
    let (value, conflicts) = merged(ours, theirs);
    assert_eq!(conflicts.len(), 1, "{conflicts:#?}");
    (value, serde_json::to_value(&conflicts[0]).unwrap())
}

#[test]
fn changes_of_different_parts_come_together() {
    let weight = json!({"value": [7150, "lb"], "plus_minus": [20, "lb"], "source": "ticket"});
    let ours = changed(set("/mass/curb_mass", weight.clone()));
    let theirs = changed(set("/points/0/place/x/0", json!(-790)));
    let expected = changed(|value| {
        set("/mass/curb_mass", weight)(value);
        set("/points/0/place/x/0", json!(-790))(value);
    });
    no_conflict(&ours, &theirs, &expected);
}

#[test]
fn one_part_changed_in_two_ways_keeps_both_and_stands_as_it_was() {
    let ours = changed(set("/mass/curb_mass/value/0", json!(7150)));
    let theirs = changed(set("/mass/curb_mass/value/0", json!(7180)));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, base());
    assert_eq!(conflict["part"], "/mass/curb_mass");
    assert_eq!(conflict["base"], base()["mass"]["curb_mass"]);
    assert_eq!(conflict["ours"]["value"], json!([7150, "lb"]));
    assert_eq!(conflict["theirs"]["value"], json!([7180, "lb"]));
}

#[test]
fn the_uncertainty_of_one_value_is_not_put_beside_another_one() {
    let ours = changed(set("/mass/curb_mass/value/0", json!(7150)));
    let theirs = changed(set("/mass/curb_mass/plus_minus/0", json!(5)));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(
        (value, &conflict["part"]),
        (base(), &json!("/mass/curb_mass"))
    );
    let ours = changed(set("/points/0/place/x/0", json!(-700)));
    let theirs = changed(set("/points/0/place_plus_minus/0", json!(1)));
    let (value, conflicts) = merged(&ours, &theirs);
    assert_eq!(value, base());
    let parts: Vec<String> = conflicts.iter().map(|c| c.part.to_string()).collect();
    assert_eq!(
        parts,
        [
            "/points/front-eye/place",
            "/points/front-eye/place_plus_minus"
        ]
    );
}

#[test]
fn the_same_value_in_two_units_is_no_conflict() {
    // International yard and pound agreement of 1959: 7120 lb = 3229.6 kg.
    let kilograms = json!({"value": [3230, "kg"], "plus_minus": [20, "lb"], "source": "ticket"});
    let ours = changed(set("/mass/curb_mass", kilograms.clone()));
    let theirs = changed(set("/mass/curb_mass/value/0", json!(7200)));
    no_conflict(&ours, &theirs, &theirs);
    let (more, as_much) = (json!([7200, "lb"]), json!([3266, "kg"]));
    let pounds = changed(set("/mass/curb_mass/value", more));
    let kilograms = changed(set("/mass/curb_mass/value", as_much));
    no_conflict(&pounds, &kilograms, &kilograms);
}

#[test]
fn each_language_of_a_text_is_merged_by_itself() {
    let ours = changed(set("/points/0/name/en", json!("Front recovery eye")));
    let theirs = changed(set("/points/0/name/es", json!("Ojo de rescate")));
    let both = json!({"en": "Front recovery eye", "es": "Ojo de rescate"});
    no_conflict(&ours, &theirs, &changed(set("/points/0/name", both)));
    let theirs = changed(set("/points/0/name/en", json!("Eye in front")));
    let (_, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(conflict["part"], "/points/front-eye/name/en");
}

#[test]
fn a_part_removed_here_and_changed_there_stands_and_is_asked_about() {
    let ours = changed(remove("/hazards", 0));
    let theirs = changed(set("/hazards/0/signal", json!("warning")));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, base());
    assert_eq!(conflict["part"], "/hazards/crush");
    assert_eq!(
        (conflict.get("ours"), &conflict["theirs"]["signal"]),
        (None, &json!("warning"))
    );
}

#[test]
fn one_id_that_both_added_for_two_things_is_one_conflict() {
    let hazard = |harm: &str| json!({"id": "hot", "signal": "warning", "harm": harm, "hazard": {"en": "Hot."}});
    let ours = changed(insert("/hazards", 0, hazard("minor_or_moderate_injury")));
    let theirs = changed(insert("/hazards", 1, hazard("property")));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(
        (&conflict["part"], conflict.get("base")),
        (&json!("/hazards/hot"), None)
    );
    assert_eq!(value["hazards"].as_array().unwrap().len(), 2);
}

#[test]
fn sets_are_merged_element_by_element() {
    let ours = changed(set("/points/0/uses", json!(["winch", "recover", "lift"])));
    let theirs = changed(set("/points/0/uses", json!(["recover", "tie_down"])));
    let uses = json!(["recover", "lift", "tie_down"]);
    no_conflict(&ours, &theirs, &changed(set("/points/0/uses", uses)));
}

#[test]
fn cautions_of_both_sides_are_kept_and_one_changed_twice_is_asked_about() {
    let caution = |text: &str| json!({"en": text});
    let first = caution("Mind the hot brake disc.");
    let ours = changed(insert("/points/0/cautions", 1, caution("Wear gloves.")));
    let theirs = changed(insert(
        "/points/0/cautions",
        1,
        caution("Keep out of the line."),
    ));
    let all = json!([
        first,
        caution("Keep out of the line."),
        caution("Wear gloves.")
    ]);
    no_conflict(&ours, &theirs, &changed(set("/points/0/cautions", all)));
    let ours = changed(set(
        "/points/0/cautions/0/en",
        json!("Mind the very hot brake disc."),
    ));
    let theirs = changed(set(
        "/points/0/cautions/0/en",
        json!("Mind the cold brake disc."),
    ));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(
        (value, &conflict["part"]),
        (base(), &json!("/points/front-eye/cautions"))
    );
}

fn steps(value: &Value) -> Vec<&str> {
    let steps = value["procedures"][0]["steps"].as_array().unwrap();
    steps
        .iter()
        .map(|step| step["id"].as_str().unwrap())
        .collect()
}

fn order(order: [usize; 3]) -> impl FnOnce(&mut Value) {
    move |value| {
        let steps = value.pointer_mut("/procedures/0/steps").unwrap();
        *steps = order.iter().map(|i| steps[*i].clone()).collect();
    }
}

#[test]
fn steps_are_inserted_beside_their_neighbours_in_the_order_of_the_side_that_changed_it() {
    let step = |id: &str| json!({"id": id, "text": {"en": format!("Then {id}.")}});
    let ours = changed(order([0, 2, 1]));
    let theirs = changed(insert("/procedures/0/steps", 1, step("wait")));
    let (value, conflicts) = merged(&ours, &theirs);
    assert_eq!(conflicts, []);
    assert_eq!(steps(&value), ["chock", "wait", "press", "pull"]);
}

#[test]
fn two_new_orders_of_steps_are_a_conflict_about_the_order() {
    let ours = changed(order([0, 2, 1]));
    let theirs = changed(order([1, 0, 2]));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, base());
    assert_eq!(
        (&conflict["part"], &conflict["about"]),
        (&json!("/procedures/wake/steps"), &json!("order"))
    );
    assert_eq!(conflict["ours"], json!(["chock", "press", "pull"]));
    assert_eq!(conflict["theirs"], json!(["pull", "chock", "press"]));
}

fn rename(id: &'static str) -> impl FnOnce(&mut Value) {
    move |value| {
        set("/points/1/id", json!(id))(value);
        set("/transport/securing/points/0", json!(id))(value);
    }
}

#[test]
fn references_follow_a_part_that_the_other_side_renamed() {
    let ours = changed(rename("tow-eye"));
    let theirs = changed(|value| {
        set("/points/1/marking/en", json!("Green cap"))(value);
        value["procedures"][0]["steps"][1]["points"] = json!(["rear-eye"]);
    });
    let (value, conflicts) = merged(&ours, &theirs);
    assert_eq!(conflicts, []);
    assert_eq!(value["points"][1]["id"], "tow-eye");
    assert_eq!(value["points"][1]["marking"]["en"], "Green cap");
    assert_eq!(
        value["procedures"][0]["steps"][1]["points"],
        json!(["tow-eye"])
    );
}

#[test]
fn two_new_ids_for_one_part_are_a_conflict_and_choosing_one_renames_it_everywhere() {
    let (ours, theirs) = (changed(rename("tow-eye")), changed(rename("back-eye")));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, base());
    assert_eq!(conflict["part"], "/points/rear-eye/id");
    let merged = merge(&read(&base()), &read(&ours), &read(&theirs));
    let chosen = resolve(&merged.profile, 0, Choice::Ours).unwrap();
    assert_eq!(to_value(&chosen), ours);
}

#[test]
fn a_part_with_a_new_id_is_kept_where_the_other_side_put_two_in_its_place() {
    let ours = changed(rename("tow-eye"));
    let theirs = changed(|value| {
        rename("left-eye")(value);
        let mut copy = value["points"][1].clone();
        copy["id"] = json!("right-eye");
        insert("/points", 2, copy)(value);
    });
    let (value, conflict) = one_conflict(&ours, &theirs);
    let ids = value["points"].as_array().unwrap().iter();
    let ids: BTreeSet<&str> = ids.map(|point| point["id"].as_str().unwrap()).collect();
    let all = BTreeSet::from(["front-eye", "tow-eye", "left-eye", "right-eye"]);
    assert_eq!(ids, all);
    assert_eq!(conflict["part"], "/points/tow-eye");
}

#[test]
fn a_part_renamed_here_and_removed_there_stands_and_is_asked_about() {
    let ours = changed(|value| value["hazards"][0]["id"] = json!("rolling"));
    let theirs = changed(remove("/hazards", 0));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value["hazards"][0]["id"], "rolling");
    assert_eq!(conflict["part"], "/hazards/rolling");
    assert_eq!(conflict.get("theirs"), None);
}

#[test]
fn a_new_id_that_the_other_side_gave_to_another_part_is_a_conflict() {
    let other = json!({"id": "tow-eye", "name": {"en": "Hook"}, "kind": "tie_down", "place": {"x": [1, "mm"], "y": [2, "mm"]}});
    let ours = changed(rename("tow-eye"));
    let theirs = changed(insert("/points", 2, other));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, theirs);
    assert_eq!(conflict["part"], "/points/rear-eye/id");
}

#[test]
fn what_the_other_side_refers_to_is_not_removed_without_a_question() {
    let ours = changed(remove("/hazards", 0));
    let theirs = changed(|value| value["points"][1]["hazards"] = json!(["crush"]));
    let (value, conflict) = one_conflict(&ours, &theirs);
    assert_eq!(value, theirs);
    assert_eq!(
        (&conflict["part"], conflict.get("ours")),
        (&json!("/hazards/crush"), None)
    );
}

#[test]
fn what_would_not_read_stands_as_it_was() {
    let years = |first: i32, last: i32| json!({"first": first, "last": last});
    let mut started = base();
    started["identity"]["model_years"] = years(2024, 2026);
    let (mut ours, mut theirs) = (started.clone(), started.clone());
    ours["identity"]["model_years"] = years(2026, 2026);
    theirs["identity"]["model_years"] = years(2024, 2025);
    let merged = merge(&read(&started), &read(&ours), &read(&theirs));
    let parts: Vec<String> = merged
        .conflicts
        .iter()
        .map(|c| c.part.to_string())
        .collect();
    assert_eq!(parts, ["/identity/model_years/last"]);
    assert_eq!(
        to_value(&merged.profile)["identity"]["model_years"],
        years(2026, 2026)
    );
}

#[test]
fn axles_moved_past_each_other_stand_as_they_were() {
    let axle = |id: &str, x: i32| json!({"id": id, "position": {"value": [x, "mm"]}});
    let mut started = base();
    started["axles"] = json!([axle("front", 0), axle("middle", 3000), axle("rear", 4000)]);
    let (mut ours, mut theirs) = (started.clone(), started.clone());
    ours["axles"][1]["position"]["value"][0] = json!(3800);
    theirs["axles"][2]["position"]["value"][0] = json!(3500);
    let merged = merge(&read(&started), &read(&ours), &read(&theirs));
    assert_eq!(merged.conflicts.len(), 1, "{:#?}", merged.conflicts);
    assert_eq!(merged.conflicts[0].part.to_string(), "/axles/rear/position");
}

#[test]
fn conflicts_of_earlier_merges_stay_until_a_side_takes_them_away() {
    let conflict = |part: &str| json!({"part": part, "about": "value", "ours": "a", "theirs": "b"});
    let (old, new) = (conflict("/mass/gvwr"), conflict("/hazards/crush/sign"));
    let mut started = base();
    started["conflicts"] = json!([old, conflict("/identity/note")]);
    let mut ours = started.clone();
    ours["conflicts"] = json!([old, conflict("/identity/note"), new]);
    let mut theirs = started.clone();
    theirs["conflicts"] = json!([old]);
    let merged = merge(&read(&started), &read(&ours), &read(&theirs));
    assert_eq!(merged.conflicts, []);
    assert_eq!(to_value(&merged.profile)["conflicts"], json!([old, new]));
}

#[test]
fn more_conflicts_than_a_file_may_hold_become_fewer_larger_ones() {
    let point = |number: usize| {
        json!({"id": format!("p{number}"), "name": {"en": "Eye"}, "kind": "tie_down",
        "place": {"x": [number, "mm"], "y": [0, "mm"]}, "marking": {"en": "Red"}, "tool": {"en": "Blade"}})
    };
    let mut started = base();
    started["points"] = (0..400).map(point).collect();
    started["transport"] = json!({});
    let side = |word: &str| {
        let mut side = started.clone();
        for point in side["points"].as_array_mut().unwrap() {
            point["marking"]["en"] = json!(word);
            point["tool"]["en"] = json!(word);
        }
        read(&side)
    };
    let merged = merge(&read(&started), &side("Blue"), &side("Green"));
    let parts: Vec<String> = merged
        .conflicts
        .iter()
        .map(|c| c.part.to_string())
        .collect();
    assert_eq!(parts, ["/points"]);
}

#[test]
fn a_full_list_of_earlier_conflicts_is_kept_in_one() {
    let mut started = base();
    let conflict = |n: usize| json!({"part": format!("/points/p{n}"), "about": "value", "ours": n});
    started["conflicts"] = (0..500).map(conflict).collect();
    let (mut ours, mut theirs) = (started.clone(), started.clone());
    ours["hazards"][0]["signal"] = json!("warning");
    theirs["hazards"][0]["signal"] = json!("caution");
    let merged = merge(&read(&started), &read(&ours), &read(&theirs));
    let again: Profile = read(&to_value(&merged.profile));
    let parts: Vec<String> = again.conflicts.iter().map(|c| c.part.to_string()).collect();
    assert_eq!(parts, ["/hazards", "/conflicts"]);
    assert_eq!(
        to_value(&again)["conflicts"][1]["base"]
            .as_array()
            .unwrap()
            .len(),
        500
    );
}

#[track_caller]
fn chosen(ours: &Value, theirs: &Value, choice: Choice) -> Value {
    let merged = merge(&read(&base()), &read(ours), &read(theirs));
    let mut profile = merged.profile;
    while !profile.conflicts.is_empty() {
        profile = resolve(&profile, 0, choice).unwrap_or_else(|error| panic!("{error}"));
    }
    to_value(&profile)
}

#[test]
fn choosing_puts_the_value_of_the_side_in_its_place() {
    let ours = changed(|value| {
        order([0, 2, 1])(value);
        remove("/hazards", 0)(value);
        set("/points/0/name/en", json!("Front recovery eye"))(value);
    });
    let theirs = changed(|value| {
        order([1, 0, 2])(value);
        set("/hazards/0/signal", json!("warning"))(value);
        value["points"][0]["name"] = json!({"es": "Ojo"});
    });
    let mut expected = ours.clone();
    expected["points"][0]["name"]["es"] = json!("Ojo");
    expected
        .as_object_mut()
        .unwrap()
        .retain(|_, part| *part != json!([]));
    assert_eq!(chosen(&ours, &theirs, Choice::Ours), expected);
    assert_eq!(chosen(&ours, &theirs, Choice::Theirs), theirs);
    let mut as_before = base();
    as_before["points"][0]["name"]["es"] = json!("Ojo");
    assert_eq!(chosen(&ours, &theirs, Choice::Base), as_before);
    assert_eq!(chosen(&ours, &theirs, Choice::Standing), as_before);
}

#[test]
fn a_choice_that_would_not_read_is_refused_with_its_reason() {
    let ours = changed(remove("/hazards", 0));
    let theirs = changed(|value| value["points"][1]["hazards"] = json!(["crush"]));
    let merged = merge(&read(&base()), &read(&ours), &read(&theirs));
    let refused = resolve(&merged.profile, 0, Choice::Ours).unwrap_err();
    assert!(
        refused.to_string().contains("there is no hazard"),
        "{refused}"
    );
    assert_eq!(
        resolve(&merged.profile, 7, Choice::Ours),
        Err(Unresolved::NoConflict(7))
    );
}

#[test]
fn the_order_of_a_conflict_is_about_what_the_merged_list_holds() {
    let ours = changed(|value| {
        order([2, 1, 0])(value);
        insert(
            "/procedures/0/steps",
            1,
            json!({"id": "wait", "text": {"en": "Wait."}}),
        )(value);
    });
    let theirs = changed(order([1, 0, 2]));
    let merged = merge(&read(&base()), &read(&ours), &read(&theirs));
    assert_eq!(merged.conflicts[0].about, ConflictAbout::Order);
    let chosen = resolve(&merged.profile, 0, Choice::Ours).unwrap();
    assert_eq!(to_value(&chosen), ours);
}

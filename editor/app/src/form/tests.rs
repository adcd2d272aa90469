#![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
use chockstone_schema::{
    Profile,
    read::{Notation, read},
    report::{Reference, Severity, Trust},
};
use egui::{Key, accesskit::Role};
use egui_kittest::{Harness, kittest::Queryable as _};
use serde_json::json;

use super::*;
use crate::document::Document;

const TEXT: &str = r#"(
    format: "1.0", id: "example", language: "en",
    identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
    dimensions: (wheelbase: (value: (131, "in"), source: "tape")),
    axles: [
        (id: "front", position: (value: (0, "mm"))),
        (id: "rear", position: (value: (131, "in"))),
    ],
    mass: (), energy: (), emergency: (), transport: (),
    points: [
        (id: "lift-1", name: {"en": "Front lift point"}, kind: lift, place: (x: (400, "mm"), y: (650, "mm"))),
        (id: "eye", name: {"en": "Recovery eye"}, kind: recovery_eye, place: (x: (-700, "mm"), y: (0, "mm"))),
    ],
    hazards: [
        (id: "burn", signal: warning, harm: death_or_serious_injury, hazard: {"en": "Hot parts"}),
    ],
    sources: [
        (id: "tape", kind: measured, title: {"en": "Steel tape, level floor"}),
        (id: "plate", kind: makers_document, title: {"en": "Rating plate"}),
    ],
)"#;

struct Desk {
    document: Document<Profile>,
    state: FormState,
    fields: Vec<&'static str>,
    languages: Vec<String>,
    findings: Vec<Finding>,
    went_to: Vec<String>,
}

impl Desk {
    fn value(&self, pointer: &str) -> Value {
        self.document
            .value()
            .pointer(pointer)
            .cloned()
            .unwrap_or_default()
    }
}

fn harness(fields: &[&'static str]) -> Harness<'static, Desk> {
    let profile = read("example.profile.ron", TEXT.as_bytes(), Notation::Ron).unwrap();
    let desk = Desk {
        document: Document::opened(profile),
        state: FormState::default(),
        fields: fields.to_vec(),
        languages: vec!["en".to_owned()],
        findings: Vec::new(),
        went_to: Vec::new(),
    };
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1000.0, 900.0))
        .with_max_steps(12)
        .build_ui_state(desk_ui, desk);
    harness.run();
    harness
}

fn desk_ui(ui: &mut Ui, desk: &mut Desk) {
    let context = FormContext {
        schema: Node::root(&chockstone_schema::json_schema::profile().annotated),
        document: desk.document.value(),
        revision: desk.document.revision(),
        system: UnitSystem::AsEntered,
        languages: &desk.languages,
        findings: &desk.findings,
    };
    let commands = egui::ScrollArea::vertical()
        .show(ui, |ui| {
            fields_ui(ui, &context, &mut desk.state, &desk.fields)
        })
        .inner;
    for command in commands {
        match command {
            Command::Form(edit) => {
                let outcome = desk.document.apply(edit.edit.clone());
                desk.state.settle(ui.ctx(), &edit, &outcome);
            }
            Command::GoTo(place) => desk.went_to.push(place),
            other => unreachable!("a form sends no {other:?}"),
        }
    }
}

fn click(harness: &mut Harness<'_, Desk>, label: &str) {
    harness.get_by_label(label).scroll_to_me();
    harness.run();
    harness.get_by_label(label).click();
    harness.run();
}

/// Types into a field and presses Enter.
fn enter(harness: &mut Harness<'_, Desk>, label: &str, text: &str) {
    write_in(harness, label, text);
    harness.key_press(Key::Enter);
    harness.run();
}

fn write_in(harness: &mut Harness<'_, Desk>, label: &str, text: &str) {
    harness.get_by_label(label).focus();
    harness.run();
    harness.get_by_label(label).type_text(text);
    harness.run();
}

fn choose(harness: &mut Harness<'_, Desk>, label: &str, row: &str) {
    click(harness, label);
    harness.get_by_label(row).click();
    harness.run();
}

#[test]
fn a_number_typed_in_a_form_is_one_named_step() {
    let mut harness = harness(&["dimensions"]);
    enter(&mut harness, "Wheelbase", "3.4 m");
    let desk = harness.state();
    assert_eq!(
        desk.value("/dimensions/wheelbase"),
        json!({"value": [3.4, "m"], "source": "tape"})
    );
    assert_eq!(desk.document.undo_name(), Some("change wheelbase"));
}

#[test]
fn an_empty_value_is_made_by_typing_and_taken_away_by_clearing() {
    let mut harness = harness(&["dimensions"]);
    enter(&mut harness, "Height", "1.9 m");
    assert_eq!(
        harness.state().value("/dimensions/height"),
        json!({"value": [1.9, "m"]})
    );
    harness.get_by_label("Height").focus();
    harness.run();
    harness.key_press(Key::Backspace);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value("/dimensions/height"), Value::Null);
    assert_eq!(harness.state().document.undo_name(), Some("clear height"));
}

#[test]
fn a_half_width_and_a_source_are_given_on_the_same_row() {
    let mut harness = harness(&["dimensions"]);
    enter(&mut harness, "Wheelbase ±", "0.5");
    choose(&mut harness, "Wheelbase source", "plate — Rating plate");
    assert_eq!(
        harness.state().value("/dimensions/wheelbase"),
        json!({"value": [131, "in"], "plus_minus": [0.5, "in"], "source": "plate"})
    );
}

#[test]
fn the_source_list_leads_to_the_sources() {
    let mut harness = harness(&["dimensions"]);
    choose(&mut harness, "Wheelbase source", "Edit the sources…");
    assert_eq!(harness.state().went_to, ["/sources"]);
}

#[test]
fn what_the_document_refuses_stays_in_the_field_with_the_reason() {
    let mut harness = harness(&["dimensions"]);
    enter(&mut harness, "Wheelbase", "0");
    harness.get_by_label_contains("Not taken over");
    assert_eq!(
        harness.get_by_label("Wheelbase").value().as_deref(),
        Some("0 in")
    );
    assert_eq!(
        harness.state().value("/dimensions/wheelbase/value"),
        json!([131, "in"])
    );
}

#[test]
fn a_new_item_waits_until_nothing_is_missing_and_then_joins_by_itself() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "Add point");
    harness.get_by_label_contains("Still needed: name; kind; x, rearward; y, to the right");
    assert_eq!(harness.state().document.undo_name(), None);
    enter(&mut harness, "point-1, Name", "Tie-down slot");
    choose(&mut harness, "point-1, Kind", "Tie down");
    enter(&mut harness, "point-1, Place x", "900 mm");
    assert_eq!(harness.state().value("/points/2"), Value::Null);
    enter(&mut harness, "point-1, Place y", "600 mm");
    assert_eq!(
        harness.state().value("/points/2"),
        json!({
            "id": "point-1", "kind": "tie_down", "name": {"en": "Tie-down slot"},
            "place": {"x": [900, "mm"], "y": [600, "mm"]}
        })
    );
    assert_eq!(harness.state().document.undo_name(), Some("add point"));
    assert!(!harness.state().state.has_drafts());
    click(&mut harness, "point-1, Mirrored");
    assert_eq!(harness.state().value("/points/2/mirrored"), json!(true));
}

#[test]
fn a_new_item_is_shown_and_its_first_field_takes_the_focus() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "Add point");
    assert!(harness.get_by_label("point-1, Name").is_focused());
}

#[test]
fn tabbing_on_goes_on_when_a_new_item_joins_the_list() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "Add point");
    enter(&mut harness, "point-1, Name", "Slot");
    choose(&mut harness, "point-1, Kind", "Tie down");
    enter(&mut harness, "point-1, Place x", "1 m");
    write_in(&mut harness, "point-1, Place y", "1 m");
    harness.key_press(Key::Tab);
    harness.run();
    assert_eq!(harness.state().document.undo_name(), Some("add point"));
    assert!(harness.get_by_label("point-1, Place z").is_focused());
}

#[test]
fn an_unfinished_item_can_be_discarded() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "Add point");
    assert!(harness.state().state.has_drafts());
    click(&mut harness, "Discard the new point");
    assert!(!harness.state().state.has_drafts());
    assert_eq!(harness.state().document.undo_name(), None);
}

#[test]
fn items_are_duplicated_moved_and_deleted() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "Duplicate lift-1");
    let ids = |harness: &Harness<'_, Desk>| -> Vec<String> {
        let points = &harness.state().document.typed().points;
        points.iter().map(|p| p.id.to_string()).collect()
    };
    assert_eq!(ids(&harness), ["lift-1", "lift-2", "eye"]);
    assert_eq!(
        harness.state().document.undo_name(),
        Some("duplicate point lift-1")
    );
    click(&mut harness, "Move down lift-1");
    assert_eq!(ids(&harness), ["lift-2", "lift-1", "eye"]);
    assert_eq!(
        harness.state().document.undo_name(),
        Some("move point lift-1")
    );
    click(&mut harness, "Delete lift-2");
    assert_eq!(ids(&harness), ["lift-1", "eye"]);
    assert_eq!(
        harness.state().document.undo_name(),
        Some("delete point lift-2")
    );
}

#[test]
fn a_part_that_is_still_named_is_not_deleted() {
    let mut harness = harness(&["sources"]);
    click(&mut harness, "Delete tape");
    harness.get_by_label_contains("still names it: Dimensions, wheelbase, source");
    assert_eq!(harness.state().document.typed().sources.len(), 2);
}

#[test]
fn a_new_id_is_given_to_everything_that_names_the_part() {
    let mut harness = harness(&["sources"]);
    click(&mut harness, "tape — Steel tape, level floor");
    enter(&mut harness, "tape, Id", "steel-tape");
    assert_eq!(
        harness.state().value("/dimensions/wheelbase/source"),
        json!("steel-tape")
    );
    assert_eq!(
        harness.state().document.undo_name(),
        Some("rename tape to steel-tape")
    );
}

#[test]
fn an_id_with_capitals_is_refused_in_its_field() {
    let mut harness = harness(&["sources"]);
    click(&mut harness, "tape — Steel tape, level floor");
    enter(&mut harness, "tape, Id", "Steel Tape");
    harness.get_by_label_contains("Not taken over");
    assert_eq!(
        harness.get_by_label("tape, Id").value().as_deref(),
        Some("Steel Tape")
    );
}

#[test]
fn texts_are_written_in_two_languages_side_by_side() {
    let mut harness = harness(&["points"]);
    harness.state_mut().languages = vec!["en".to_owned(), "es".to_owned()];
    harness.run();
    click(&mut harness, "eye — Recovery eye");
    enter(&mut harness, "eye, Name (es)", "Ojal de rescate");
    assert_eq!(
        harness.state().value("/points/1/name"),
        json!({"en": "Recovery eye", "es": "Ojal de rescate"})
    );
}

#[test]
fn short_things_are_added_and_taken_away_side_by_side() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "lift-1 — Front lift point");
    choose(&mut harness, "lift-1, Hazards: add", "burn — Hot parts");
    assert_eq!(harness.state().value("/points/0/hazards"), json!(["burn"]));
    click(&mut harness, "lift-1, Hazards: take burn away");
    assert_eq!(harness.state().value("/points/0/hazards"), Value::Null);
}

#[test]
fn cautions_are_added_by_typing_and_reordered() {
    let mut harness = harness(&["points"]);
    click(&mut harness, "lift-1 — Front lift point");
    enter(&mut harness, "lift-1, Add caution", "Use a pad.");
    enter(&mut harness, "lift-1, Add caution", "Mind the cable.");
    click(&mut harness, "Move up lift-1, Caution 2");
    assert_eq!(
        harness.state().value("/points/0/cautions"),
        json!([{"en": "Mind the cable."}, {"en": "Use a pad."}])
    );
}

#[test]
fn an_optional_group_is_added_and_taken_away() {
    let mut harness = harness(&["energy"]);
    click(&mut harness, "Add high voltage");
    harness.get_by_label_contains("Still needed: current");
    choose(&mut harness, "High voltage, Current", "DC");
    assert_eq!(
        harness.state().value("/energy/high_voltage"),
        json!({"current": "dc"})
    );
    assert_eq!(
        harness.state().document.undo_name(),
        Some("add high voltage")
    );
    click(&mut harness, "Take away high voltage");
    assert_eq!(harness.state().value("/energy"), json!({}));
}

#[test]
fn lists_within_an_unfinished_part_can_be_filled() {
    let mut harness = harness(&["procedures"]);
    click(&mut harness, "Add procedure");
    click(&mut harness, "procedure-1, Add step");
    enter(
        &mut harness,
        "procedure-1, step-1, Text",
        "Chock the wheels.",
    );
    enter(&mut harness, "procedure-1, Name", "Winch up");
    choose(&mut harness, "procedure-1, Purpose", "Winch");
    assert_eq!(
        harness.state().value("/procedures/0"),
        json!({
            "id": "procedure-1", "name": {"en": "Winch up"}, "purpose": "winch",
            "steps": [{"id": "step-1", "text": {"en": "Chock the wheels."}}]
        })
    );
}

#[test]
fn an_outline_is_entered_corner_by_corner() {
    let mut harness = harness(&["dimensions"]);
    click(&mut harness, "Add side outline");
    for (corner, x, z) in [(1, "-900", "300"), (2, "4200", "300"), (3, "4200", "1900")] {
        enter(&mut harness, &format!("Side outline, corner {corner} x"), x);
        enter(&mut harness, &format!("Side outline, corner {corner} z"), z);
    }
    assert_eq!(
        harness.state().value("/dimensions/side_outline"),
        json!({"unit": "mm", "corners": [[-900, 300], [4200, 300], [4200, 1900]]})
    );
    click(&mut harness, "Insert a corner after 1 of Side outline");
    assert_eq!(
        harness.state().value("/dimensions/side_outline/corners/1"),
        json!([1650, 300])
    );
    choose(&mut harness, "Side outline unit", "m");
    assert_eq!(
        harness.state().value("/dimensions/side_outline/corners/0"),
        json!([-0.9, 0.3])
    );
}

#[test]
fn a_finding_stands_under_its_field_and_a_person_can_be_led_to_it() {
    let mut harness = harness(&["points"]);
    harness.state_mut().findings = vec![Finding {
        check: "missing-rating".to_owned(),
        severity: Severity::Warning,
        place: "/points/1/rating".to_owned(),
        message: "The recovery eye has no rating".to_owned(),
        computed: None,
        limit: None,
        reference: Reference {
            title: "plain logic".to_owned(),
            trust: Trust::Logic,
        },
        settle: "Enter the rating from the maker's document".to_owned(),
    }];
    harness.run();
    harness.get_by_label("1 warning");
    harness.state_mut().state.focus("/points/1/rating");
    harness.run_steps(20);
    harness.get_by_label("Warning: The recovery eye has no rating");
    assert!(harness.get_by_label("eye, Rating").is_focused());
}

#[test]
fn a_date_and_a_whole_number_are_refused_when_they_are_none() {
    let mut harness = harness(&["sources"]);
    click(&mut harness, "tape — Steel tape, level floor");
    enter(&mut harness, "tape, Date", "2024-02-31");
    harness.get_by_label_contains("Not taken over");
    enter(&mut harness, "tape, Date", "2024-02-29");
    assert_eq!(
        harness.state().value("/sources/0/date"),
        json!("2024-02-29")
    );
}

#[test]
fn every_page_draws_with_every_input_named() {
    let root = Node::root(&chockstone_schema::json_schema::profile().annotated);
    let mut harness = harness(&root.fields());
    for list in ["/points", "/sources", "/axles", "/hazards"] {
        for index in 0..2 {
            harness
                .state_mut()
                .state
                .unfold(&pointer::join_index(list, index), true);
        }
    }
    harness.run();
    assert!(harness.get_all_by_role(Role::TextInput).count() > 50);
}

#[test]
fn looking_at_every_page_changes_nothing() {
    let root = Node::root(&chockstone_schema::json_schema::profile().annotated);
    let harness = harness(&root.fields());
    assert_eq!(harness.state().document.undo_name(), None);
    assert!(!harness.state().document.is_modified());
}

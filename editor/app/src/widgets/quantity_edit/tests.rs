#![allow(clippy::float_cmp, reason = "what is typed is kept exactly")]
use egui::Key;
use egui_kittest::{
    Harness,
    kittest::{NodeT as _, Queryable as _},
};

use super::*;

struct Desk {
    value: Option<(f64, &'static str)>,
    system: UnitSystem,
    optional: bool,
    commits: usize,
}

const LENGTH: FieldUnits = FieldUnits {
    dimension: Dimension::Length,
    si: "mm",
    us: "in",
};

fn harness(value: Option<(f64, &'static str)>, system: UnitSystem) -> Harness<'static, Desk> {
    let desk = Desk {
        value,
        system,
        optional: false,
        commits: 0,
    };
    let mut harness = Harness::builder()
        .with_size(egui::vec2(500.0, 200.0))
        .build_ui_state(desk_ui, desk);
    harness.run();
    harness
}

fn desk_ui(ui: &mut Ui, desk: &mut Desk) {
    let mut edit = QuantityEdit::new(Id::unique("wheelbase"), "Wheelbase", LENGTH, desk.system);
    edit.value = desk.value;
    edit.optional = desk.optional;
    let outcome = ui.horizontal(|ui| edit.show(ui).1).inner;
    edit.refusal_ui(ui);
    let _ = ui.button("Elsewhere");
    match outcome {
        QuantityOutcome::Unchanged => return,
        QuantityOutcome::Entered(value, unit) => desk.value = Some((value, unit)),
        QuantityOutcome::Cleared => desk.value = None,
    }
    desk.commits += 1;
}

fn type_in(harness: &mut Harness<'_, Desk>, text: &str) {
    harness.get_by_label("Wheelbase").focus();
    harness.run();
    harness.get_by_label("Wheelbase").type_text(text);
    harness.run();
}

#[track_caller]
fn check_typed(system: UnitSystem, text: &str, expected: (f64, &str)) {
    let mut harness = harness(Some((131.0, "in")), system);
    type_in(&mut harness, text);
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, Some(expected), "{text}");
    assert_eq!(harness.state().commits, 1, "{text}");
}

#[track_caller]
fn check_refused(text: &str, reason: &str) {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    type_in(&mut harness, text);
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, Some((131.0, "in")), "{text}");
    assert_eq!(harness.state().commits, 0, "{text}");
    harness.get_by_label_contains(reason);
    // The refused text stays to be mended.
    assert_eq!(
        harness.get_by_label("Wheelbase").value().as_deref(),
        Some(text)
    );
}

#[test]
fn tabbing_through_keeps_the_exact_value() {
    let exact = (1_500.432_109_876_543, "mm");
    for system in UnitSystem::ALL {
        let mut harness = harness(Some(exact), system);
        harness.get_by_label("Wheelbase").focus();
        harness.run();
        harness.key_press(Key::Tab);
        harness.run();
        assert!(!harness.get_by_label("Wheelbase").is_focused());
        assert_eq!(harness.state().value, Some(exact));
        assert_eq!(harness.state().commits, 0);
    }
}

#[test]
fn enter_hands_over_once() {
    check_typed(UnitSystem::AsEntered, "132", (132.0, "in"));
}

#[test]
fn leaving_the_field_hands_over_once() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    type_in(&mut harness, "3.4 m");
    harness.key_press(Key::Tab);
    harness.run();
    harness.run();
    assert_eq!(harness.state().value, Some((3.4, "m")));
    assert_eq!(harness.state().commits, 1);
}

#[test]
fn clicking_elsewhere_hands_over_once() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    type_in(&mut harness, "3.4 m");
    harness.get_by_label("Elsewhere").click();
    harness.run();
    assert_eq!(harness.state().value, Some((3.4, "m")));
    assert_eq!(harness.state().commits, 1);
}

#[test]
fn escape_drops_what_was_typed() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    type_in(&mut harness, "5");
    harness.key_press(Key::Escape);
    harness.run();
    assert_eq!(harness.state().value, Some((131.0, "in")));
    assert_eq!(harness.state().commits, 0);
    assert_eq!(
        harness.get_by_label("Wheelbase").value().as_deref(),
        Some("131 in")
    );
}

#[test]
fn a_bare_number_takes_the_unit_that_is_shown() {
    check_typed(UnitSystem::AsEntered, "132", (132.0, "in"));
    check_typed(UnitSystem::Si, "3300", (3300.0, "mm"));
    check_typed(UnitSystem::UsCustomary, "132", (132.0, "in"));
}

#[test]
fn a_typed_unit_is_kept_whatever_unit_is_shown() {
    check_typed(UnitSystem::Si, "24.5 in", (24.5, "in"));
    check_typed(UnitSystem::UsCustomary, "1,8 m", (1.8, "m"));
    check_typed(UnitSystem::AsEntered, "1,8 m", (1.8, "m"));
}

#[test]
fn a_value_is_shown_in_the_chosen_units_and_kept_as_entered() {
    // International yard and pound agreement of 1959: 1 in = 25.4 mm exactly.
    let harness = harness(Some((24.5, "in")), UnitSystem::Si);
    assert_eq!(
        harness.get_by_label("Wheelbase").value().as_deref(),
        Some("622.3 mm")
    );
    assert_eq!(harness.state().value, Some((24.5, "in")));
}

#[test]
fn what_is_no_finite_number_of_this_kind_is_refused_with_a_reason() {
    check_refused("NaN", "not a finite number");
    check_refused("inf", "not a finite number");
    check_refused("12 parsec", "not a known unit");
    check_refused("5 kg", "unit of mass; a length is wanted here");
    check_refused("long", "not a number");
    check_refused("7,120", "can be read in two ways");
    check_refused(" ", "a value is needed here");
}

#[test]
fn a_refused_text_can_be_dropped_with_escape() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    type_in(&mut harness, "12 parsec");
    harness.key_press(Key::Enter);
    harness.run();
    harness.get_by_label("Wheelbase").focus();
    harness.run();
    harness.key_press(Key::Escape);
    harness.run();
    assert!(harness.query_by_label_contains("Not taken over").is_none());
    assert_eq!(
        harness.get_by_label("Wheelbase").value().as_deref(),
        Some("131 in")
    );
}

#[test]
fn an_optional_value_can_be_taken_away() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    harness.state_mut().optional = true;
    harness.get_by_label("Wheelbase").focus();
    harness.run();
    harness.key_press(Key::Backspace);
    harness.run();
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, None);
}

#[test]
fn the_unit_list_shows_the_value_in_every_unit_and_keeps_the_chosen_one() {
    let mut harness = harness(Some((24.5, "in")), UnitSystem::AsEntered);
    harness.get_by_label("Wheelbase unit").click();
    harness.run();
    harness.get_by_label("2.0417 ft");
    harness.get_by_label("622.3 mm").click();
    harness.run();
    assert_eq!(harness.state().value, Some((622.3, "mm")));
}

#[test]
fn an_empty_field_takes_the_unit_that_was_chosen_for_it() {
    let mut harness = harness(None, UnitSystem::Si);
    harness.get_by_label("Wheelbase unit").click();
    harness.run();
    harness.get_by_label("ft").click();
    harness.run();
    type_in(&mut harness, "11");
    harness.key_press(Key::Enter);
    harness.run();
    assert_eq!(harness.state().value, Some((11.0, "ft")));
}

#[test]
fn an_assistive_program_can_set_the_text_without_the_focus() {
    let mut harness = harness(Some((131.0, "in")), UnitSystem::AsEntered);
    harness
        .get_by_label("Wheelbase")
        .set_text_value_accesskit("3.5 m");
    harness.run();
    assert_eq!(harness.state().value, Some((3.5, "m")));
    assert_eq!(harness.state().commits, 1);
    assert!(
        harness
            .get_by_label("Wheelbase")
            .accesskit_node()
            .is_text_input()
    );
}

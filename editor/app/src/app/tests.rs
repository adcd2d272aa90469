#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a failed unwrap is the failed test"
)]
use std::{
    fs,
    path::{Path, PathBuf},
};

use chockstone_schema::{date::Moment, report::Severity};
use egui::{Key, Modifiers, accesskit::Role};
use egui_kittest::{Harness, kittest::Queryable as _};
use serde_json::{Value, json};

use super::*;
use crate::ports::scripted::{ScriptedPicker, StillClock};

const PROFILE: &str = r#"(
    format: "1.0", id: "example", language: "en", languages: ["es"],
    identity: (maker: "Example Works", model: "One", body_style: van, propulsion: electric),
    dimensions: (wheelbase: (value: (131, "in"))),
    axles: [
        (id: "front", position: (value: (0, "mm"))),
        (id: "rear", position: (value: (131, "in"))),
    ],
    mass: (), energy: (), emergency: (), transport: (),
    points: [
        (id: "lift-1", name: {"en": "Front lift point"}, kind: lift, place: (x: (400, "mm"), y: (650, "mm"))),
    ],
)
"#;

const STRAPS: &str = r#"(
    format: "1.0", id: "straps", language: "en", name: {"en": "Wheel straps"},
    straps: (count: 4, kind: wheel),
)
"#;

struct Desk {
    folder: tempfile::TempDir,
}

impl Desk {
    fn new() -> Self {
        let desk = Self {
            folder: tempfile::tempdir().unwrap(),
        };
        fs::write(desk.path("one.profile.ron"), PROFILE).unwrap();
        fs::write(desk.path("straps.equipment.ron"), STRAPS).unwrap();
        desk
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    fn window(&self, start: &str, answers: &[&str]) -> Window {
        let answers: Vec<PathBuf> = answers.iter().map(|name| self.path(name)).collect();
        window(&self.path(start), answers)
    }
}

type Window = Harness<'static, App>;

fn window(start: &Path, answers: Vec<PathBuf>) -> Window {
    let start = start.to_owned();
    let mut harness = Harness::builder()
        .with_size(egui::vec2(1280.0, 900.0))
        .with_max_steps(24)
        .build_eframe(move |creation| {
            let clock = StillClock(Moment::new("2026-03-14T09:30:00Z").unwrap());
            let picker = Box::new(ScriptedPicker::new(answers));
            let preferences = Preferences::default();
            let mut app = App::new(&creation.egui_ctx, preferences, picker, Box::new(clock));
            app.start_with(&start);
            app
        });
    settle(&mut harness);
    harness
}

/// Draws until what was begun is done. A message in the status bar asks for a late frame, so there is no rest to wait
/// for.
fn settle(window: &mut Window) {
    window.run_steps(6);
}

fn click(window: &mut Window, label: &str) {
    window.get_by_label(label).click();
    settle(window);
}

/// Shows a page by the list at the left.
fn show(window: &mut Window, page: &str) {
    let row = window
        .get_all_by_role_and_label(Role::Button, page)
        .next()
        .unwrap();
    row.click();
    settle(window);
}

fn press(window: &mut Window, modifiers: Modifiers, key: Key) {
    window.key_press_modifiers(modifiers, key);
    settle(window);
}

fn enter(window: &mut Window, label: &str, text: &str) {
    write_in(window, label, text);
    window.key_press(Key::Enter);
    settle(window);
}

fn write_in(window: &mut Window, label: &str, text: &str) {
    window.get_by_label(label).focus();
    settle(window);
    window.get_by_label(label).type_text(text);
    settle(window);
}

fn menu(window: &mut Window, menu: &str, act: &str) {
    click(window, menu);
    let row = window.get_all_by_label_contains(act).next().unwrap();
    row.click();
    settle(window);
}

fn value(window: &Window, pointer: &str) -> Value {
    let file = window.state().open().unwrap();
    file.contents
        .value()
        .pointer(pointer)
        .cloned()
        .unwrap_or_default()
}

fn modified(window: &Window) -> bool {
    window.state().open().unwrap().is_unsaved()
}

#[test]
fn a_folder_shows_its_files_and_a_click_opens_one() {
    let desk = Desk::new();
    let mut window = desk.window("", &[]);
    assert_eq!(window.state().page(), Page::Library);
    let row = window
        .get_all_by_label_contains("Example Works One")
        .next()
        .unwrap();
    row.click();
    settle(&mut window);
    assert_eq!(window.state().page(), Page::Identity);
    assert_eq!(
        window.get_by_label("Maker").value().as_deref(),
        Some("Example Works")
    );
}

#[test]
fn the_caution_stands_in_the_window_on_every_page() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    for _ in 0..20 {
        window.get_by_label(chockstone_schema::CAUTIONS[0]);
        press(&mut window, Modifiers::COMMAND, Key::PageDown);
        if window.state().page() == Page::Publish {
            // That page writes the caution once more.
            break;
        }
    }
}

#[test]
fn every_page_can_be_shown_and_names_all_its_inputs() {
    let desk = Desk::new();
    for file in ["one.profile.ron", "straps.equipment.ron"] {
        let mut window = desk.window(file, &[]);
        let first = window.state().page();
        loop {
            press(&mut window, Modifiers::COMMAND, Key::PageDown);
            let unnamed = window.unnamed_widgets();
            assert!(
                unnamed.is_empty(),
                "{:?}: {unnamed:?}",
                window.state().page()
            );
            if window.state().page() == first {
                break;
            }
        }
        assert!(!modified(&window));
    }
}

#[test]
fn an_edit_is_saved_whole_and_can_be_taken_back() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    enter(&mut window, "Wheelbase", "3.4 m");
    assert!(modified(&window));
    window.get_by_label("Not saved");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(!modified(&window));
    assert!(desk.text("one.profile.ron").contains("(3.4, \"m\")"));
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([131, "in"])
    );
    assert!(modified(&window));
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([3.4, "m"])
    );
    assert!(!modified(&window));
}

#[test]
fn the_menu_names_the_step_that_is_taken_back() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    enter(&mut window, "Wheelbase", "3.4 m");
    menu(&mut window, "Edit", "Undo change wheelbase");
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([131, "in"])
    );
    click(&mut window, "Edit");
    window.get_by_label_contains("Redo change wheelbase");
}

#[test]
fn saving_while_typing_saves_what_was_typed() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    write_in(&mut window, "Wheelbase", "3.4 m");
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(desk.text("one.profile.ron").contains("(3.4, \"m\")"));
    assert!(!modified(&window));
}

#[test]
fn undo_while_typing_belongs_to_the_field() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    enter(&mut window, "Wheelbase", "3.4 m");
    write_in(&mut window, "Height", "2 m");
    press(&mut window, Modifiers::COMMAND, Key::Z);
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([3.4, "m"])
    );
}

#[test]
fn showing_another_page_while_typing_keeps_what_was_typed() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    write_in(&mut window, "Wheelbase", "3.4 m");
    press(&mut window, Modifiers::COMMAND, Key::PageDown);
    assert_eq!(window.state().page(), Page::Axles);
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([3.4, "m"])
    );
    show(&mut window, "Dimensions");
    write_in(&mut window, "Wheelbase", "3.5 m");
    show(&mut window, "Mass");
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([3.5, "m"])
    );
}

#[test]
fn closing_with_changes_asks_and_every_answer_is_kept_to() {
    let desk = Desk::new();
    let changed = |answer: &str| {
        let mut window = desk.window("one.profile.ron", &[]);
        enter(&mut window, "Model", "Two");
        press(&mut window, Modifiers::COMMAND, Key::W);
        window.get_by_label("one.profile.ron has changes that are not saved.");
        click(&mut window, answer);
        window
    };
    let window = changed("Cancel");
    assert_eq!(value(&window, "/identity/model"), json!("Two"));
    assert!(window.state().dialog().is_none());
    let window = changed("Do not save");
    assert!(window.state().open().is_none());
    assert!(desk.text("one.profile.ron").contains("\"One\""));
    let window = changed("Save");
    assert!(window.state().open().is_none());
    assert!(desk.text("one.profile.ron").contains("\"Two\""));
}

#[test]
fn escape_cancels_a_question() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    enter(&mut window, "Model", "Two");
    press(&mut window, Modifiers::COMMAND, Key::W);
    press(&mut window, Modifiers::NONE, Key::Escape);
    assert!(window.state().dialog().is_none());
    assert!(modified(&window));
}

#[test]
fn opening_another_file_asks_first_when_a_part_is_not_finished() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &["straps.equipment.ron"]);
    show(&mut window, "Points");
    click(&mut window, "Add point");
    press(&mut window, Modifiers::COMMAND, Key::O);
    window.get_by_label_contains("Parts that are not finished are not saved in any case: point.");
    click(&mut window, "Do not save");
    assert_eq!(window.state().page(), Page::EquipmentGeneral);
    assert_eq!(window.state().open().unwrap().title(), "Wheel straps");
}

#[test]
fn a_window_that_is_closed_with_changes_stays_until_the_question_is_answered() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    enter(&mut window, "Model", "Two");
    let viewport = egui::ViewportId::ROOT;
    let close = egui::ViewportEvent::Close;
    window
        .input_mut()
        .viewports
        .entry(viewport)
        .or_default()
        .events
        .push(close);
    window.step();
    window
        .input_mut()
        .viewports
        .entry(viewport)
        .or_default()
        .events
        .clear();
    settle(&mut window);
    assert!(matches!(
        window.state().dialog(),
        Some(Dialog::Unsaved(After::Quit))
    ));
}

#[test]
fn a_file_with_faults_is_refused_with_every_place() {
    let desk = Desk::new();
    let bad = PROFILE.replace("\"in\"", "\"lb\"");
    fs::write(desk.path("bad.profile.ron"), bad).unwrap();
    let mut window = desk.window("one.profile.ron", &["bad.profile.ron"]);
    press(&mut window, Modifiers::COMMAND, Key::O);
    window.get_by_label_contains("bad.profile.ron cannot be opened");
    window.get_all_by_label_contains("line 4").next().unwrap();
    click(&mut window, "Close");
    // The open file stays open.
    assert_eq!(window.state().open().unwrap().name(), "one.profile.ron");
}

#[test]
fn a_file_changed_by_another_program_is_not_written_over_unasked() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &["mine.profile.ron"]);
    enter(&mut window, "Model", "Two");
    fs::write(
        desk.path("one.profile.ron"),
        PROFILE.replace("One", "Other"),
    )
    .unwrap();
    press(&mut window, Modifiers::COMMAND, Key::S);
    window.get_by_label_contains("Another program has written one.profile.ron");
    click(&mut window, "Save as…");
    assert!(desk.text("one.profile.ron").contains("Other"));
    assert!(desk.text("mine.profile.ron").contains("Two"));
    assert!(!modified(&window));
}

#[test]
fn a_click_on_a_finding_goes_to_its_field_and_settling_it_takes_it_away() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    let place = "/points/0/place";
    let finding = {
        let app = window.state_mut();
        let findings = app.findings();
        findings
            .into_iter()
            .find(|f| f.place.starts_with("/points/0"))
            .unwrap()
    };
    let word = crate::widgets::severity::word(finding.severity);
    let label = format!("{word}: {}", finding.message);
    let row = window
        .get_all_by_role_and_label(Role::Button, &label)
        .next()
        .unwrap();
    row.scroll_to_me();
    settle(&mut window);
    let row = window
        .get_all_by_role_and_label(Role::Button, &label)
        .next()
        .unwrap();
    row.click();
    settle(&mut window);
    assert_eq!(window.state().page(), Page::Points);
    let focused = window
        .state()
        .open()
        .unwrap()
        .form
        .focused()
        .map(str::to_owned);
    assert!(
        focused.is_some_and(|at| at.starts_with("/points/0")),
        "{place}"
    );
}

#[test]
fn keys_go_from_finding_to_finding() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    let findings = window.state_mut().findings();
    assert!(findings.len() > 2 && findings.iter().any(|f| f.severity == Severity::Blocking));
    press(&mut window, Modifiers::NONE, Key::F8);
    assert_eq!(window.state().chosen_finding, Some(0));
    press(&mut window, Modifiers::NONE, Key::F8);
    assert_eq!(window.state().chosen_finding, Some(1));
    press(&mut window, Modifiers::SHIFT, Key::F8);
    assert_eq!(window.state().chosen_finding, Some(0));
    press(&mut window, Modifiers::NONE, Key::F9);
    assert!(!window.state().preferences().findings_shown);
}

#[test]
fn units_and_colours_are_chosen_and_nothing_in_the_file_moves() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Dimensions");
    menu(&mut window, "View", "Metric units");
    assert_eq!(
        window.get_by_label("Wheelbase").value().as_deref(),
        Some("3327.4 mm")
    );
    menu(&mut window, "View", "Light colours");
    assert_eq!(window.state().preferences().theme, ThemeChoice::Light);
    assert!(!modified(&window));
    assert_eq!(
        value(&window, "/dimensions/wheelbase/value"),
        json!([131, "in"])
    );
}

#[test]
fn texts_are_shown_in_a_second_language() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    click(&mut window, "Second language");
    click(&mut window, "es");
    show(&mut window, "Points");
    click(&mut window, "lift-1 — Front lift point");
    enter(&mut window, "lift-1, Name (es)", "Punto de elevación");
    assert_eq!(
        value(&window, "/points/0/name/es"),
        json!("Punto de elevación")
    );
}

#[test]
fn new_equipment_is_made_and_saved_under_its_id() {
    let desk = Desk::new();
    let mut window = desk.window("", &["skates.equipment.ron"]);
    menu(&mut window, "File", "New equipment…");
    click(&mut window, "Make equipment");
    window.get_by_label("Say what the equipment is called");
    write_in(&mut window, "Name", "Yard skates");
    click(&mut window, "Make equipment");
    assert_eq!(
        window.state().open().unwrap().proposed_name(),
        "yard-skates.equipment.ron"
    );
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(desk.text("skates.equipment.ron").contains("Yard skates"));
}

#[test]
fn a_new_profile_is_made_edited_saved_and_listed() {
    let desk = Desk::new();
    let mut window = desk.window("", &["made.profile.ron"]);
    press(&mut window, Modifiers::COMMAND, Key::N);
    for (label, text) in [
        ("Maker", "Trial Works"),
        ("Model", "Two"),
        ("Wheelbase", "2.8 m"),
        ("Length", "4.6 m"),
        ("Width", "1.9 m"),
        ("Height", "1.6 m"),
    ] {
        write_in(&mut window, label, text);
    }
    click(&mut window, "Make profile");
    assert_eq!(window.state().open().unwrap().title(), "Trial Works Two");
    assert!(modified(&window));
    press(&mut window, Modifiers::COMMAND, Key::S);
    assert!(!modified(&window));
    show(&mut window, "Library");
    window
        .get_all_by_label_contains("Trial Works Two")
        .next()
        .unwrap();
}

#[test]
fn recent_files_can_be_opened_again() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &["straps.equipment.ron"]);
    press(&mut window, Modifiers::COMMAND, Key::O);
    let recent = &window.state().preferences().recent;
    let names: Vec<_> = recent.iter().filter_map(|p| p.file_name()).collect();
    assert_eq!(names, ["straps.equipment.ron", "one.profile.ron"]);
    click(&mut window, "File");
    window.get_by_label_contains("Recent files").hover();
    settle(&mut window);
    window.get_by_label_contains("Recent files").click();
    settle(&mut window);
    click(&mut window, "one.profile.ron");
    assert_eq!(window.state().open().unwrap().name(), "one.profile.ron");
}

#[test]
fn help_lists_the_keys_and_the_cautions() {
    let desk = Desk::new();
    let mut window = desk.window("", &[]);
    press(&mut window, Modifiers::NONE, Key::F1);
    window.get_by_label("Ctrl+Shift+S");
    click(&mut window, "Close");
    menu(&mut window, "Help", "About and cautions…");
    window.get_by_label(chockstone_schema::CAUTIONS[1]);
}

#[test]
fn saving_tells_what_is_not_finished() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &[]);
    show(&mut window, "Points");
    click(&mut window, "Add point");
    press(&mut window, Modifiers::COMMAND, Key::S);
    window.get_by_label("Saved one.profile.ron, without what is not finished: point");
    window.get_by_label("Not saved");
}

#[test]
fn a_file_that_cannot_be_written_is_told_and_stays_unsaved() {
    let desk = Desk::new();
    let mut window = desk.window("one.profile.ron", &["missing/folder/x.profile.ron"]);
    enter(&mut window, "Model", "Two");
    press(&mut window, Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    window.get_by_label_contains("cannot be written");
    assert!(modified(&window));
}

mod compare;
mod fit;
mod procedures;
mod situations;
mod story;
mod unsaved;

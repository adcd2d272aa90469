//! The page as a person works in it, found by accessible names: with a made-up answer, and with a real one.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use chockstone_schema::{Profile, report::*};
use egui::{Key, Modifiers, Theme, Vec2, vec2};
use egui_kittest::{Harness, kittest::Queryable as _};
use serde_json::Value;

use super::{
    Answer, FitInput, Section, ShownParts, chart, choices, deck::Scene, fixture, path, sections,
    summary, supports, tie_downs, worked::Worked,
};
use crate::{command::Command, theme, widgets::UnitSystem};

/// A window with nothing but the answer.
struct Bench {
    profile: Profile,
    document: Value,
    worked: Worked,
    choices: FitChoices,
    shown: ShownParts,
    system: UnitSystem,
    commands: Vec<Command>,
    /// Whether only the drawings of the section are shown.
    drawing: bool,
}

impl Bench {
    fn new(section: Section) -> Self {
        let profile = fixture::profile();
        let choices = FitChoices::default();
        Self {
            document: serde_json::to_value(&profile).unwrap(),
            worked: fixture::worked(&profile, &choices),
            profile,
            choices,
            shown: ShownParts {
                section,
                ..ShownParts::default()
            },
            system: UnitSystem::Si,
            commands: Vec::new(),
            drawing: false,
        }
    }

    fn ui(&mut self, ui: &mut egui::Ui) {
        let languages = ["en".to_owned()];
        let input = FitInput {
            profile: &self.profile,
            document: &self.document,
            file: "demo",
            revision: 0,
            system: self.system,
            languages: &languages,
            folder: None,
        };
        // The answer follows what was chosen, as the rules would.
        self.worked.report = fixture::report(&self.choices);
        let answer = Answer {
            input: &input,
            worked: &self.worked,
        };
        if self.drawing {
            drawing_ui(ui, &answer, &mut self.choices, &mut self.shown);
            return;
        }
        egui::ScrollArea::vertical().show(ui, |ui| {
            summary::show(ui, &answer, &mut self.shown);
            let (choices, shown) = (&mut self.choices, &mut self.shown);
            sections::show(ui, &answer, choices, shown, &mut self.commands);
        });
    }
}

fn drawing_ui(
    ui: &mut egui::Ui,
    answer: &Answer<'_>,
    choices: &mut FitChoices,
    shown: &mut ShownParts,
) {
    let report = &answer.worked.report;
    let truck = answer.truck(fixture::CARRIER).unwrap();
    let index = usize::from(choices.facing == Facing::TailFirst);
    let result = &report.carrying[index];
    match shown.section {
        Section::Deck => Scene {
            answer,
            result,
            truck,
        }
        .show(ui, choices, shown),
        Section::Path => path::draw(
            ui,
            answer,
            &report.clearing[0],
            report.clearing[0].tightest.as_ref().unwrap(),
        ),
        Section::TieDowns => tie_downs::plan_ui(ui, answer, truck, &report.securing[0], choices),
        Section::Lifting => supports::show(ui, answer, &report.lifting[0]),
        // The chart has no part of its own.
        _ => chart::show(ui, answer, result, result.chart.as_ref().unwrap(), choices),
    }
}

type Window = Harness<'static, Bench>;

fn window_of(bench: Bench, size: Vec2, theme: Theme) -> Window {
    let mut window = Harness::builder()
        .with_size(size)
        .with_theme(theme)
        .with_max_steps(20)
        .wgpu()
        .with_context_setup(theme::install)
        .build_ui_state(|ui, bench| bench.ui(ui), bench);
    window.run();
    window
}

fn window(section: Section) -> Window {
    window_of(Bench::new(section), vec2(760.0, 1400.0), Theme::Light)
}

fn placement(window: &Window) -> Option<f64> {
    window.state().choices.placement
}

const VEHICLE: &str = "Vehicle on the deck";

/// Whether a label that begins so is there.
fn shows(window: &Window, text: &str) -> bool {
    window.query_all_by_label_contains(text).next().is_some()
}

#[test]
fn an_arrow_key_moves_the_vehicle_a_centimetre_and_with_shift_ten() {
    let mut window = window(Section::Deck);
    assert_eq!(placement(&window), None);
    window.get_by_label_contains(VEHICLE).focus();
    window.run();
    window.key_press(Key::ArrowRight);
    window.run();
    assert_eq!(placement(&window), Some(0.56));
    window.key_press_modifiers(Modifiers::SHIFT, Key::ArrowLeft);
    window.run();
    assert_eq!(placement(&window), Some(0.46));
    assert!(shows(&window, "Vehicle on the deck, 460 mm"));
}

#[test]
fn dragging_the_vehicle_places_it_in_proportion_to_the_drawing() {
    let mut window = window(Section::Deck);
    let from = window.get_by_label_contains(VEHICLE).rect().center();
    window.hover_at(from);
    window.run();
    window.drag_at(from);
    window.run();
    for by in [10.0, 20.0] {
        window.hover_at(from + vec2(by, 0.0));
        window.run();
    }
    let twenty = placement(&window).unwrap();
    window.hover_at(from + vec2(40.0, 0.0));
    window.run();
    let forty = placement(&window).unwrap();
    window.drop_at(from + vec2(40.0, 0.0));
    window.run();
    assert!(twenty > 0.55, "to the right is rearward");
    assert!(((forty - 0.55) - 2.0 * (twenty - 0.55)).abs() < 0.002);
    window.hover_at(from + vec2(2000.0, 0.0));
    window.run();
    assert_eq!(placement(&window), Some(forty), "the button is up");
}

#[test]
fn a_placement_can_be_typed_and_given_back() {
    let mut window = window(Section::Deck);
    window.get_by_label("Placement").focus();
    window.run();
    window.get_by_label("Placement").type_text("24 in");
    window.run();
    window.key_press(Key::Enter);
    window.run();
    // 1 in = 25.4 mm (international yard and pound agreement of 1959).
    assert!((placement(&window).unwrap() - 0.6096).abs() < 1e-12);
    window.get_by_label("Proposed placement").click();
    window.run();
    assert_eq!(placement(&window), None);
}

#[test]
fn a_row_opens_to_its_formula_inputs_and_source() {
    let mut window = window(Section::Deck);
    assert!(!shows(&window, "Formula"));
    let row = "Rear axle of the truck, 6240 ± 62 kg, at most 6259.6 kg, too close to call";
    window.get_by_label(row).click();
    window.run();
    for text in [
        "Formula: load = mass × share",
        "Rests on: Moments about an axle (arithmetic from the formula)",
        "Limit from: carrier-22000: Chassis, rear",
        "80 % of the uncertainty",
        "4826 ± 13 mm · 20 % of the uncertainty · from Tape and angle gauge on level ground, 2026-02-10",
        "standard gravity",
    ] {
        assert!(shows(&window, text), "{text}");
    }
    window.get_by_label(row).focus();
    window.key_press(Key::Enter);
    window.run();
    assert!(!shows(&window, "Formula"), "Enter closes it");
}

#[test]
fn a_field_that_a_figure_rests_on_can_be_gone_to() {
    let mut window = window(Section::Deck);
    window
        .get_by_label_contains("Front axle of the truck, 3400")
        .click();
    window.run();
    window.get_by_label_contains("Axles, ").click();
    window.run();
    let place = Command::GoTo("/axles/1/position".to_owned());
    assert!(window.state().commands.contains(&place));
}

#[test]
fn what_is_missing_is_said_where_the_figure_would_stand() {
    let window = window(Section::Deck);
    window.get_by_label("Load on the deck, not known");
    assert!(shows(&window, "Not known: The deck’s capacity"));
}

#[test]
fn a_topic_leads_to_its_part() {
    let mut window = window(Section::Deck);
    window
        .get_by_label("Towing, beyond: Every axle has a motor, so dollies are needed.")
        .click();
    window.run();
    assert_eq!(window.state().shown.section, Section::Towing);
    for text in [
        "No faster than 80 km/h.",
        "No farther than 80.5 km.",
        "Axle front turns: beyond",
        "1. Release the parking brake.",
    ] {
        assert!(shows(&window, text), "{text}");
    }
}

#[test]
fn picking_the_other_way_round_chooses_it() {
    let mut window = window(Section::Deck);
    window
        .get_by_label("On carrier 22,000, tail first: beyond")
        .click();
    window.run();
    assert_eq!(window.state().choices.facing, Facing::TailFirst);
    assert!(shows(&window, "No placement keeps to every rating."));
}

#[test]
fn the_weakest_tie_down_and_every_method_are_told_in_words() {
    let window = window(Section::TieDowns);
    assert!(shows(
        &window,
        "B. rear (left) to pair-1 (left) with Wheel straps"
    ));
    let window = super::tests::window(Section::Methods);
    assert!(shows(&window, "only with dollies"));
    assert!(shows(&window, "not allowed"));
}

#[test]
fn every_part_can_be_drawn_in_little_room_and_names_its_inputs() {
    for section in [
        Section::Deck,
        Section::Path,
        Section::TieDowns,
        Section::Lifting,
        Section::Towing,
        Section::Winching,
        Section::Gloves,
        Section::Methods,
    ] {
        for size in [vec2(420.0, 400.0), vec2(240.0, 300.0), vec2(60.0, 60.0)] {
            let window = window_of(Bench::new(section), size, Theme::Dark);
            let unnamed = window.unnamed_widgets();
            assert!(unnamed.is_empty(), "{}: {unnamed:?}", section.label());
        }
    }
}

#[test]
fn friction_is_a_plain_number() {
    assert_eq!(choices::friction_from(" 0,3 "), Ok(Some(0.3)));
    assert_eq!(choices::friction_from(""), Ok(None));
    for text in ["-0.1", "2.5", "much", "NaN", "inf"] {
        assert!(choices::friction_from(text).is_err(), "{text}");
    }
}

/// The drawings themselves, in both sets of colours and both families of units; small, since the images are kept.
#[test]
fn the_drawings_look_as_they_did() {
    let mut results = egui_kittest::SnapshotResults::new();
    for (section, facing, name, [width, height]) in [
        (
            Section::Deck,
            Facing::NoseFirst,
            "deck_nose_first",
            [260.0, 150.0],
        ),
        (
            Section::Deck,
            Facing::TailFirst,
            "deck_tail_first",
            [260.0, 150.0],
        ),
        (Section::Methods, Facing::NoseFirst, "chart", [240.0, 205.0]),
        (
            Section::TieDowns,
            Facing::NoseFirst,
            "tie_downs",
            [280.0, 160.0],
        ),
        (
            Section::Lifting,
            Facing::NoseFirst,
            "supports",
            [270.0, 150.0],
        ),
        (
            Section::Path,
            Facing::NoseFirst,
            "loading_path",
            [280.0, 160.0],
        ),
    ] {
        let dark = facing == Facing::TailFirst || section == Section::Path;
        let mut bench = Bench::new(section);
        bench.drawing = true;
        bench.choices.facing = facing;
        let theme = if dark {
            bench.system = UnitSystem::UsCustomary;
            Theme::Dark
        } else {
            Theme::Light
        };
        let mut window = window_of(bench, vec2(width, height), theme);
        results.add(window.try_snapshot(format!("fit_{name}")));
    }
}

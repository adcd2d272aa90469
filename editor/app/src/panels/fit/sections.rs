//! The parts of the answer, one at a time.

use chockstone_schema::report::{
    AxleTurning, FitChoices, Judged, LiftingResult, MethodResult, TowingResult, Verdict,
};
use egui::{Button, CollapsingHeader, Label, RichText, Ui};

use super::{Answer, ShownParts, deck, path, pick, rows::Table, supports, tie_downs, words};
use crate::{command::Command, figures, theme::Tokens, widgets::verdict};

/// A part of the answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(super) enum Section {
    /// The vehicle on a carrier's deck.
    #[default]
    Deck,
    /// Over ramp, hinge and deck.
    Path,
    /// Tied down on the deck.
    TieDowns,
    /// On lifts, jacks and stands.
    Lifting,
    /// Behind a wrecker.
    Towing,
    /// Winched.
    Winching,
    /// Insulating gloves.
    Gloves,
    /// Every method of moving it.
    Methods,
}

impl Section {
    const ALL: [Self; 8] = [
        Self::Deck,
        Self::Path,
        Self::TieDowns,
        Self::Lifting,
        Self::Towing,
        Self::Winching,
        Self::Gloves,
        Self::Methods,
    ];

    pub(super) fn label(self) -> &'static str {
        match self {
            Self::Deck => "On the deck",
            Self::Path => "Loading path",
            Self::TieDowns => "Tie-downs",
            Self::Lifting => "Lifting",
            Self::Towing => "Towing",
            Self::Winching => "Winching",
            Self::Gloves => "Gloves",
            Self::Methods => "All methods",
        }
    }
}

/// Draws the row of parts and the one that is shown.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    choices: &mut FitChoices,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = egui::vec2(4.0, 4.0);
        for section in Section::ALL {
            let button = Button::selectable(shown.section == section, section.label());
            if ui.add(button).clicked() {
                shown.section = section;
            }
        }
    });
    ui.separator();
    match shown.section {
        Section::Deck => deck::show(ui, answer, choices, shown, commands),
        Section::Path => path::show(ui, answer, choices, shown, commands),
        Section::TieDowns => tie_downs::show(ui, answer, choices, shown, commands),
        Section::Lifting => lifting_ui(ui, answer, shown, commands),
        Section::Towing => towing_ui(ui, answer, shown, commands),
        Section::Winching => winching_ui(ui, answer, shown, commands),
        Section::Gloves => gloves_ui(ui, answer, shown, commands),
        Section::Methods => methods_ui(ui, answer, commands),
    }
}

/// Lists results and remembers which one is shown.
pub(super) fn picked<'t>(
    ui: &mut Ui,
    section: Section,
    results: impl Iterator<Item = (&'t str, Verdict)>,
    shown: &mut ShownParts,
    usual: usize,
) -> usize {
    let current = shown.picked.get(&section).copied().unwrap_or(usual);
    match pick::results_ui(ui, results, current) {
        Some(index) => {
            shown.picked.insert(section, index);
            index
        }
        None => current,
    }
}

/// A table of rows under a title.
pub(super) fn table_ui<'r>(
    ui: &mut Ui,
    answer: &Answer<'_>,
    of: &str,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
    rows: impl IntoIterator<Item = &'r Judged>,
) {
    let mut table = Table {
        answer,
        of,
        open: &mut shown.open,
        commands,
    };
    table.rows_ui(ui, rows);
}

fn lifting_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.lifting;
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let index = picked(ui, Section::Lifting, titles, shown, 0);
    let Some(result) = results.get(index).or(results.first()) else {
        pick::line(ui, "There is nothing to show about lifting.");
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    if !result.taken_out.is_empty() {
        pick::soft(
            ui,
            &format!("Taken out before: {}.", result.taken_out.join(", ")),
        );
    }
    supports::show(ui, answer, result);
    support_rows_ui(ui, answer, result, shown, commands);
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
}

fn support_rows_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    result: &LiftingResult,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let mut table = Table {
        answer,
        of: &result.title,
        open: &mut shown.open,
        commands,
    };
    for (index, support) in result.supports.iter().enumerate() {
        let label = format!(
            "{}. {}",
            supports::letter(index),
            words::headed(&support.load.label)
        );
        table.row_ui(ui, index + 1000, &label, &support.load);
    }
}

fn towing_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.towing;
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let index = picked(ui, Section::Towing, titles, shown, 0);
    let Some(result) = results.get(index).or(results.first()) else {
        pick::line(
            ui,
            "Choose a wrecker, and dollies, to see the vehicle behind it.",
        );
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    limits_ui(ui, answer, result.max_speed, result.max_distance);
    before_ui(ui, result);
    if !result.turning.is_empty() {
        pick::heading(ui, "Axles");
        for axle in &result.turning {
            axle_ui(ui, axle, commands);
        }
    }
    pick::heading(ui, "Loads");
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
}

fn before_ui(ui: &mut Ui, result: &TowingResult) {
    if result.before.is_empty() {
        return;
    }
    pick::heading(ui, "First");
    for (index, sentence) in result.before.iter().enumerate() {
        pick::line(ui, &format!("{}. {sentence}", index + 1));
    }
}

fn limits_ui(ui: &mut Ui, answer: &Answer<'_>, speed: Option<f64>, distance: Option<f64>) {
    let system = answer.input.system;
    if let Some(speed) = speed {
        let text = figures::text(speed, None, "m/s", system);
        pick::line(ui, &format!("No faster than {text}."));
    }
    if let Some(distance) = distance {
        let text = figures::text(distance, None, "m", system);
        pick::line(ui, &format!("No farther than {text}."));
    }
}

fn axle_ui(ui: &mut Ui, axle: &AxleTurning, commands: &mut Vec<Command>) {
    let turns = if axle.turns { "turns" } else { "does not turn" };
    ui.horizontal_top(|ui| {
        verdict::mark(ui, axle.verdict);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            let word = verdict::word(axle.verdict).to_lowercase();
            pick::line(ui, &format!("Axle {} {turns}: {word}", axle.axle));
            pick::soft(ui, &axle.reason);
            place_ui(ui, axle.place.as_deref(), commands);
        });
    });
}

/// A way to the field that says so.
fn place_ui(ui: &mut Ui, place: Option<&str>, commands: &mut Vec<Command>) {
    let Some(place) = place.filter(|p| p.starts_with('/')) else {
        return;
    };
    if ui.link("Show in form").clicked() {
        commands.push(Command::GoTo(place.to_owned()));
    }
}

fn winching_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.winching;
    let usual = results.iter().position(|r| r.chosen).unwrap_or(0);
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let index = picked(ui, Section::Winching, titles, shown, usual);
    let Some(result) = results.get(index).or(results.first()) else {
        pick::line(
            ui,
            "Choose a winch, or a carrier that has one, to see what it must pull.",
        );
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    if result.chosen {
        pick::soft(ui, "This is the case that was chosen.");
    }
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
}

fn gloves_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let rows = &answer.worked.report.protection;
    if rows.is_empty() {
        pick::line(
            ui,
            "Choose gloves to hold them against the vehicle’s voltage.",
        );
        return;
    }
    table_ui(ui, answer, "Gloves", shown, commands, rows);
}

fn methods_ui(ui: &mut Ui, answer: &Answer<'_>, commands: &mut Vec<Command>) {
    let methods = &answer.worked.report.methods;
    if methods.is_empty() {
        pick::line(ui, "There is nothing to show about methods.");
    }
    for method in methods {
        method_ui(ui, answer, method, commands);
    }
}

fn method_ui(ui: &mut Ui, answer: &Answer<'_>, method: &MethodResult, commands: &mut Vec<Command>) {
    let name = words::method(method.method);
    let mark = words::verdict_of(method.answer);
    ui.horizontal_wrapped(|ui| {
        verdict::mark(ui, mark);
        ui.add(Label::new(RichText::new(name).strong()).wrap());
        let color = verdict::color(Tokens::of(ui), mark);
        ui.label(
            RichText::new(words::answer(method.answer))
                .color(color)
                .strong(),
        );
    });
    limits_ui(ui, answer, method.max_speed, method.max_distance);
    for reason in &method.reasons {
        pick::soft(ui, &reason.reason);
    }
    let title = RichText::new("What that rests on").color(Tokens::of(ui).text_soft);
    CollapsingHeader::new(title)
        .id_salt(("method", name))
        .show(ui, |ui| {
            for reason in &method.reasons {
                pick::line(ui, &reason.reason);
                let rests_on = figures::reference(&reason.reference, reason.trust);
                pick::soft(ui, &format!("Rests on: {rests_on}"));
                place_ui(ui, reason.place.as_deref(), commands);
            }
        })
        .header_response
        .accessible_name(format!("{name}: what that rests on"));
    ui.add_space(6.0);
}

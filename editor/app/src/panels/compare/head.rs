//! The head of the page: the two sides, and in one line what came out.

use chockstone_schema::{
    codes::ReleaseNumber,
    report::{DifferenceReport, Grade},
};
use egui::{Button, ComboBox, RichText, Ui};

use super::{
    Answer, CompareInput, Plan, effects,
    sides::{self, Side},
    words,
};
use crate::{
    command::{ChangeNoteFile, Command, Which},
    theme::Tokens,
    widgets::grade,
};

/// Draws the choice of both sides; tells whether files shall be read again.
pub(super) fn show(
    ui: &mut Ui,
    input: &CompareInput<'_>,
    releases: &Result<Vec<ReleaseNumber>, String>,
    sides: &[Side; 2],
    plan: &mut Plan,
    commands: &mut Vec<Command>,
) -> bool {
    let known = releases.as_ref().map_or(&[][..], Vec::as_slice);
    let mut again = false;
    ui.horizontal_wrapped(|ui| {
        let [older, newer] = sides;
        side_ui(ui, input, known, (Which::Older, older), plan, commands);
        ui.label("→");
        side_ui(ui, input, known, (Which::Newer, newer), plan, commands);
        let help = "Reads releases and other files from the disk again.";
        again = ui.button("Read again").on_hover_text(help).clicked();
    });
    match releases {
        Err(trouble) => {
            let text = RichText::new(trouble).color(Tokens::of(ui).blocking);
            ui.add(egui::Label::new(text).wrap());
        }
        Ok(releases) if releases.is_empty() => {
            let text = "This profile has no release in the library yet, so it is held against what was saved last.";
            let text = RichText::new(text).color(Tokens::of(ui).text_soft);
            ui.add(egui::Label::new(text).wrap());
        }
        Ok(_) => {}
    }
    again
}

fn side_ui(
    ui: &mut Ui,
    input: &CompareInput<'_>,
    releases: &[ReleaseNumber],
    (which, shown): (Which, &Side),
    plan: &mut Plan,
    commands: &mut Vec<Command>,
) {
    let name = match which {
        Which::Older => "Older",
        Which::Newer => "Newer",
    };
    ui.label(RichText::new(name).color(Tokens::of(ui).text_soft));
    let combo = ComboBox::from_id_salt(("compared", name))
        .selected_text(shown.label())
        .width(150.0)
        .show_ui(ui, |ui| {
            for side in sides::choices(input, releases) {
                if ui.selectable_label(*shown == side, side.label()).clicked() {
                    plan.sides.insert(which, side);
                }
            }
            ui.separator();
            if ui.button("Another file…").clicked() {
                commands.push(Command::PickCompared(which));
            }
        });
    let response = combo.response.accessible_name(format!("{name} side"));
    if let Side::File(path) = shown {
        response.on_hover_text(path.display().to_string());
    }
}

/// Draws the counts, the least release number, and what else must be known before the list.
pub(super) fn summary_ui(ui: &mut Ui, answer: &Answer<'_>, commands: &mut Vec<Command>) {
    let compared = answer.compared;
    other_vehicle_ui(ui, answer);
    if compared.difference.is_empty() {
        ui.add_space(6.0);
        let text = RichText::new("Nothing changed in meaning between the two.").strong();
        ui.label(text.color(Tokens::of(ui).good));
        let [older, newer] = answer.sides;
        if older == newer {
            ui.label("Both sides are the same: choose another one above.");
        }
        return;
    }
    ui.horizontal_wrapped(|ui| {
        let number = compared.difference.changes.len();
        ui.label(RichText::new(format!("{}:", words::changes(number))).strong());
        for of in Grade::ALL {
            let count = compared.difference.count(of);
            if count > 0 {
                grade::mark(ui, of);
                let color = grade::color(Tokens::of(ui), of);
                ui.label(RichText::new(grade::count(of, count)).color(color).strong());
            }
        }
        if let Some(least) = &compared.report.least_release {
            ui.label(format!("Least release number: {least}"))
                .on_hover_text(
                    "The first number grows when something can hurt somebody, the second for what is new to know, the \
                     third for wording.",
                );
        }
        effects::in_short_ui(ui, answer.effects);
        note_ui(ui, answer, commands);
    });
}

/// The button that saves a change note.
fn note_ui(ui: &mut Ui, answer: &Answer<'_>, commands: &mut Vec<Command>) {
    let button = Button::new("Save change note…");
    let button = ui.add_enabled(answer.effects.is_some(), button);
    let help = "Writes what changed, and what it does, as a page that can be printed.";
    let clicked = button
        .on_hover_text(help)
        .on_disabled_hover_text("What the changes do is still being worked out.")
        .clicked();
    let Some(effects) = answer.effects.filter(|_| clicked) else {
        return;
    };
    let [_, newer] = &answer.compared.profiles;
    let report = DifferenceReport {
        effects: effects.found.clone(),
        ..answer.compared.report.clone()
    };
    commands.push(Command::SaveNote(ChangeNoteFile {
        name: format!("{}-changes.html", newer.id),
        html: chockstone_library::note::html(&words::vehicle(newer), &report),
    }));
}

fn other_vehicle_ui(ui: &mut Ui, answer: &Answer<'_>) {
    let [older, newer] = &answer.compared.profiles;
    if older.id == newer.id {
        return;
    }
    let text = format!(
        "These are profiles of two vehicles: {} ({}) and {} ({}). What differs is listed all the same.",
        older.id,
        words::vehicle(older),
        newer.id,
        words::vehicle(newer)
    );
    let text = RichText::new(text).color(Tokens::of(ui).warning);
    ui.add(egui::Label::new(text).wrap());
}

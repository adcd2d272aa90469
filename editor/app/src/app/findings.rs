//! The list of findings at the right.

use chockstone_schema::report::Finding;
use egui::{Button, Frame, Label, Margin, Panel, RichText, ScrollArea, Stroke, Ui, vec2};

use super::{App, page};
use crate::{command::Command, figures, form, theme::Tokens, widgets::severity};

/// Draws the list, if it is shown and a file is open.
pub(super) fn panel_ui(
    ui: &mut Ui,
    app: &mut App,
    findings: &[Finding],
    commands: &mut Vec<Command>,
) {
    if app.open.is_none() {
        return;
    }
    let mut shown = app.preferences.findings_shown;
    Panel::right("findings")
        .default_size(300.0)
        .size_range(220.0..=520.0)
        .show_collapsible(ui, &mut shown, |ui| {
            head_ui(ui, findings);
            ScrollArea::vertical().auto_shrink(false).show(ui, |ui| {
                for (index, finding) in findings.iter().enumerate() {
                    finding_ui(ui, app, index, finding, commands);
                }
            });
        });
    app.preferences.findings_shown = shown;
}

fn head_ui(ui: &mut Ui, findings: &[Finding]) {
    ui.add_space(8.0);
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Findings").strong().size(15.5));
        ui.add_space(4.0);
        for (kind, number) in form::counts(findings) {
            severity::labelled(ui, kind, &severity::count(kind, number));
        }
    });
    if findings.is_empty() {
        let good = Tokens::of(ui).good;
        ui.label(RichText::new("The checks have nothing to say.").color(good));
    }
    ui.add_space(6.0);
}

fn finding_ui(
    ui: &mut Ui,
    app: &mut App,
    index: usize,
    finding: &Finding,
    commands: &mut Vec<Command>,
) {
    let tokens = Tokens::of(ui);
    let chosen = app.chosen_finding == Some(index);
    let frame = Frame::NONE
        .fill(if chosen { tokens.chosen } else { tokens.card })
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(5)
        .inner_margin(Margin::symmetric(8, 6));
    let place = place_words(app, finding);
    frame.show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.spacing_mut().item_spacing.y = 2.0;
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 6.0;
            ui.add_space(0.0);
            severity::mark(ui, finding.severity).on_hover_text(severity::word(finding.severity));
            ui.vertical(|ui| {
                if title_ui(ui, finding) {
                    app.chosen_finding = Some(index);
                    commands.push(Command::Reveal(finding.place.clone()));
                }
                if let Some(figures) = severity::figures(finding) {
                    ui.add(Label::new(RichText::new(figures).small()).wrap());
                }
                soft(ui, &place);
                if chosen {
                    details_ui(ui, finding);
                }
            });
        });
    });
}

/// The sentence; a click goes to the place.
fn title_ui(ui: &mut Ui, finding: &Finding) -> bool {
    let word = severity::word(finding.severity);
    ui.scope(|ui| {
        ui.spacing_mut().interact_size.y = 0.0;
        ui.spacing_mut().button_padding = vec2(0.0, 0.0);
        let text = RichText::new(&finding.message).color(Tokens::of(ui).text);
        let button = Button::new(text)
            .frame(false)
            .wrap()
            .min_size(vec2(ui.available_width(), 0.0));
        ui.add(button)
            .accessible_name(format!("{word}: {}", finding.message))
            .clicked()
    })
    .inner
}

fn details_ui(ui: &mut Ui, finding: &Finding) {
    ui.add_space(2.0);
    let settle = RichText::new(format!("To settle it: {}", finding.settle));
    ui.add(Label::new(settle).wrap());
    let reference = &finding.reference;
    let rests_on = figures::reference(&reference.title, reference.trust);
    soft(ui, &format!("Rests on: {rests_on}"));
}

fn soft(ui: &mut Ui, text: &str) {
    let text = RichText::new(text).color(Tokens::of(ui).text_soft).small();
    ui.add(Label::new(text).wrap());
}

fn place_words(app: &App, finding: &Finding) -> String {
    let Some(file) = &app.open else {
        return String::new();
    };
    let languages = page::languages(app);
    let languages: Vec<&str> = languages.iter().map(String::as_str).collect();
    let contents = &file.contents;
    if finding.place.is_empty() {
        return format!("The {} as a whole", file.noun());
    }
    form::place_in_words(
        contents.schema(),
        contents.value(),
        &finding.place,
        &languages,
    )
}

//! Small parts that the page is put together from: chips, links, cards, hazard messages.

use chockstone_schema::{
    model::advice::{Hazard, SignalWord},
    report::{PlanAnswer, Severity, Verdict},
};
use egui::{
    Button, Color32, Frame, Label, Margin, Response, RichText, Role, Sense, Stroke, TextFormat, Ui,
    WidgetInfo, text::LayoutJob, vec2,
};

use super::Answer;
use crate::{theme::Tokens, widgets::severity};

/// How round chips are.
const ROUND: u8 = 10;

/// A condition that a person makes true or not. Tells whether it was clicked.
pub(super) fn toggle_chip(
    ui: &mut Ui,
    name: &str,
    meaning: &str,
    [on, changed]: [bool; 2],
) -> bool {
    let tokens = Tokens::of(ui);
    // Room for the tick, which the fonts do not have.
    let text = if on {
        format!("      {name}")
    } else {
        name.to_owned()
    };
    let (color, width) = match (changed, on) {
        (true, _) => (tokens.warning, 2.0),
        (false, true) => (tokens.accent, 1.0),
        (false, false) => (tokens.line, 1.0),
    };
    let fill = if on { tokens.chosen } else { tokens.card };
    let button = Button::new(RichText::new(&text).size(13.0))
        .fill(fill)
        .stroke(Stroke::new(width, color));
    let response = chip(ui, &text, button);
    if on {
        tick(ui, response.rect, color);
    }
    response.widget_info(|| WidgetInfo::selected(Role::CheckBox, true, on, name));
    let note = if changed {
        "\nChanged against the situation."
    } else {
        ""
    };
    let clicked = response.clicked();
    response.on_hover_text(format!("{meaning}{note}"));
    clicked
}

/// Draws a tick at the left end of a chip.
fn tick(ui: &Ui, chip: egui::Rect, color: Color32) {
    let at = chip.left_center() + vec2(15.0, 0.0);
    let path = [vec2(-5.0, 0.0), vec2(-1.5, 3.5), vec2(5.0, -4.0)].map(|c| at + c);
    ui.painter()
        .add(egui::Shape::line(path.to_vec(), Stroke::new(2.0, color)));
}

/// A short fact to read.
pub(super) fn fact_chip(ui: &mut Ui, text: &str, color: Color32) -> Response {
    let fill = Tokens::of(ui).card;
    let button = Button::new(RichText::new(text).size(13.0).color(color))
        .fill(fill)
        .stroke(Stroke::new(1.0, color))
        .sense(Sense::hover());
    let response = chip(ui, text, button);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text));
    response
}

/// Adds a chip to a row that wraps; one that is longer than a whole row gets a row of its own and wraps inside.
fn chip(ui: &mut Ui, text: &str, button: Button<'_>) -> Response {
    let font = egui::FontId::proportional(13.0);
    let galley = ui
        .painter()
        .layout_no_wrap(text.to_owned(), font, Color32::PLACEHOLDER);
    let padding = ui.spacing().button_padding.x * 2.0;
    let button = button.corner_radius(ROUND).min_size(vec2(0.0, 22.0));
    if galley.size().x + padding <= ui.max_rect().width() {
        return ui.add(button);
    }
    ui.end_row();
    let response = ui.add(button.wrap());
    ui.end_row();
    response
}

/// A row of chips that wraps.
pub(super) fn chips_ui(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(5.0, 5.0);
        ui.spacing_mut().button_padding = vec2(7.0, 2.0);
        ui.spacing_mut().interact_size.y = 22.0;
        add(ui);
    });
}

/// A small button that leads to a place.
pub(super) fn link(ui: &mut Ui, text: &str, name: &str) -> bool {
    let text = RichText::new(text).color(Tokens::of(ui).accent);
    let button = Button::new(text).small();
    ui.add(button).accessible_name(name).clicked()
}

/// A raised card.
pub(super) fn card(ui: &mut Ui, add: impl FnOnce(&mut Ui)) {
    let tokens = Tokens::of(ui);
    Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::same(10))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.spacing_mut().item_spacing.y = 4.0;
            add(ui);
        });
}

/// A mark and beside it a text that wraps.
pub(super) fn marked(ui: &mut Ui, mark: impl FnOnce(&mut Ui), text: LayoutJob) {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.spacing_mut().interact_size.y = 0.0;
        ui.vertical(|ui| {
            ui.add_space(2.0);
            mark(ui);
        });
        ui.vertical(|ui| ui.add(Label::new(text).wrap()));
    });
}

/// A text with a head in a colour of its own.
pub(super) fn headed(ui: &Ui, head: &str, color: Color32, text: &str) -> LayoutJob {
    let font = egui::TextStyle::Body.resolve(ui.style());
    let mut job = LayoutJob::default();
    let strong = TextFormat::simple(font.clone(), color);
    if !head.is_empty() {
        job.append(&format!("{head} "), 0.0, strong);
    }
    job.append(text, 0.0, TextFormat::simple(font, Tokens::of(ui).text));
    job
}

/// A hazard message: signal word, hazard, consequence, how to avoid it.
pub(super) fn hazard_ui(ui: &mut Ui, answer: &Answer<'_>, id: &str) {
    let mut hazards = answer.profile().hazards.iter();
    let Some(hazard) = hazards.find(|hazard| hazard.id.as_str() == id) else {
        return;
    };
    let tokens = Tokens::of(ui);
    let mark = match hazard.signal {
        SignalWord::Danger => Severity::Blocking,
        SignalWord::Warning | SignalWord::Caution => Severity::Warning,
        SignalWord::Notice => Severity::Note,
    };
    let color = severity::color(tokens, mark);
    let text = words_of(answer, hazard);
    let word = answer.reader.signal(hazard.signal);
    Frame::NONE
        .stroke(Stroke::new(1.2, color))
        .corner_radius(4)
        .inner_margin(Margin::symmetric(8, 5))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let job = headed(ui, word, color, &text);
            marked(
                ui,
                |ui| {
                    severity::mark(ui, mark);
                },
                job,
            );
        });
}

fn words_of(answer: &Answer<'_>, hazard: &Hazard) -> String {
    let parts = [
        Some(&hazard.hazard),
        hazard.consequence.as_ref(),
        hazard.avoidance.as_ref(),
    ];
    let parts = parts.into_iter().flatten().map(|t| answer.reader.text(t));
    parts.collect::<Vec<_>>().join(" ")
}

/// Something to beware of that has no signal word.
pub(super) fn caution_ui(ui: &mut Ui, text: &str) {
    let color = Tokens::of(ui).warning;
    let job = headed(ui, "Beware:", color, text);
    marked(
        ui,
        |ui| {
            severity::mark(ui, Severity::Warning);
        },
        job,
    );
}

/// The mark of a starting text.
pub(super) fn to_confirm_ui(ui: &mut Ui) {
    let color = Tokens::of(ui).note;
    let job = headed(
        ui,
        "A starting text:",
        color,
        "to be confirmed against the maker’s instructions.",
    );
    marked(
        ui,
        |ui| {
            severity::mark(ui, Severity::Note);
        },
        job,
    );
}

/// The mark that goes with an answer; the words beside it say the same.
pub(super) fn verdict_of(answer: PlanAnswer) -> Verdict {
    match answer {
        PlanAnswer::Holds | PlanAnswer::Way => Verdict::Within,
        PlanAnswer::WayIf => Verdict::TooCloseToCall,
        PlanAnswer::NoWay => Verdict::Beyond,
        PlanAnswer::NotWorkedOut => Verdict::NotKnown,
    }
}

/// A line of a name and what it holds, left out where that is nothing.
pub(super) fn named_line(ui: &mut Ui, name: &str, text: &str) {
    if text.is_empty() {
        return;
    }
    let job = headed(ui, name, Tokens::of(ui).text_soft, text);
    ui.add(Label::new(job).wrap());
}

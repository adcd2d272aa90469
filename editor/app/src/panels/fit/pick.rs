//! Small parts that the page is put together from: lists of results, choices, plain lines.

use chockstone_schema::report::Verdict;
use egui::{Button, ComboBox, Label, RichText, Ui, vec2};

use super::words::Choice;
use crate::{figures, theme::Tokens, widgets::verdict};

/// Lists results with their verdicts; tells which one a person picked.
pub(super) fn results_ui<'t>(
    ui: &mut Ui,
    results: impl Iterator<Item = (&'t str, Verdict)>,
    shown: usize,
) -> Option<usize> {
    let results: Vec<(&str, Verdict)> = results.collect();
    let mut picked = None;
    if results.len() > 1 {
        ui.spacing_mut().item_spacing.y = 2.0;
        for (index, (title, answer)) in results.iter().enumerate() {
            if result_ui(ui, title, *answer, index == shown) {
                picked = Some(index);
            }
        }
        ui.spacing_mut().item_spacing.y = 6.0;
        ui.add_space(4.0);
    }
    picked
}

fn result_ui(ui: &mut Ui, title: &str, answer: Verdict, shown: bool) -> bool {
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        ui.vertical(|ui| {
            ui.add_space(5.0);
            verdict::mark(ui, answer);
        });
        ui.vertical(|ui| {
            let width = ui.available_width();
            let button = Button::selectable(shown, title)
                .wrap()
                .min_size(vec2(width, 24.0));
            ui.add(button)
                .accessible_name(format!("{title}: {}", figures::verdict(answer)))
                .clicked()
        })
        .inner
    })
    .inner
}

/// A choice among a few, with what each rests on as its tooltip. Tells whether it was changed.
pub(in crate::panels) fn choice_ui<T: Copy + PartialEq>(
    ui: &mut Ui,
    name: &str,
    chosen: &mut T,
    choices: &[Choice<T>],
) -> bool {
    ui.label(RichText::new(name).color(Tokens::of(ui).text_soft));
    let current = choices.iter().find(|(value, ..)| value == chosen);
    let (text, source) = current.map_or(("", ""), |(_, text, source)| (*text, *source));
    let before = *chosen;
    let response = ComboBox::from_id_salt(name)
        .selected_text(text)
        .width(ui.available_width().min(204.0))
        .show_ui(ui, |ui| {
            for (value, text, source) in choices {
                let row = ui.selectable_value(chosen, *value, *text);
                if !source.is_empty() {
                    row.on_hover_text(*source);
                }
            }
        })
        .response
        .accessible_name(name);
    if !source.is_empty() {
        response.on_hover_text(source);
    }
    *chosen != before
}

/// A heading inside the answer.
pub(in crate::panels) fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(4.0);
    ui.label(RichText::new(text).strong().size(15.5));
}

/// A result's title with its verdict.
pub(super) fn title_ui(ui: &mut Ui, title: &str, answer: Verdict) {
    ui.add_space(4.0);
    ui.horizontal_wrapped(|ui| {
        verdict::mark(ui, answer);
        ui.add(Label::new(RichText::new(title).strong().size(15.5)).wrap());
        let color = verdict::color(Tokens::of(ui), answer);
        ui.label(RichText::new(verdict::word(answer)).color(color).strong());
    });
}

/// A line of secondary text that wraps.
pub(in crate::panels) fn soft(ui: &mut Ui, text: &str) {
    let text = RichText::new(text).color(Tokens::of(ui).text_soft);
    ui.add(Label::new(text).wrap());
}

/// A line of text that wraps.
pub(in crate::panels) fn line(ui: &mut Ui, text: &str) {
    ui.add(Label::new(text).wrap());
}

//! Tables of rows: what it is, the figure, the limit and the verdict; a row opens to show how it was worked out.

use std::collections::BTreeSet;

use chockstone_schema::report::{Figure, FigureInput, Judged};
use egui::{Align, Button, Frame, Label, Layout, Margin, Rect, RichText, Ui, Vec2, vec2};

use super::{Answer, pick, words};
use crate::{
    command::Command,
    figures,
    theme::Tokens,
    widgets::{
        icon::{self, Icon},
        verdict,
    },
};

/// Below this width the parts of a row stand under each other.
const LEAST_WIDTH_FOR_COLUMNS: f32 = 430.0;
/// The room of the sign that says whether a row is open.
const SIGN: f32 = 16.0;

/// The rows of one table, being drawn.
pub(super) struct Table<'a> {
    pub(super) answer: &'a Answer<'a>,
    /// What the table is of: two tables with rows of the same name are kept apart by it.
    pub(super) of: &'a str,
    pub(super) open: &'a mut BTreeSet<String>,
    pub(super) commands: &'a mut Vec<Command>,
}

impl Table<'_> {
    /// Draws rows with their own labels.
    pub(super) fn rows_ui<'r>(&mut self, ui: &mut Ui, rows: impl IntoIterator<Item = &'r Judged>) {
        for (index, row) in rows.into_iter().enumerate() {
            self.row_ui(ui, index, &words::headed(&row.label), row);
        }
    }

    /// Draws one row under a label of its own.
    pub(super) fn row_ui(&mut self, ui: &mut Ui, index: usize, label: &str, row: &Judged) {
        let key = format!("{}, {}, {index}", self.of, row.name);
        let is_open = self.open.contains(&key);
        let frame = Frame::NONE.inner_margin(Margin::symmetric(0, 3));
        let clicked = frame
            .show(ui, |ui| {
                ui.spacing_mut().item_spacing = vec2(8.0, 2.0);
                self.line_ui(ui, label, row, is_open)
            })
            .inner;
        if clicked {
            if is_open {
                self.open.remove(&key);
            } else {
                self.open.insert(key);
            }
        }
        if is_open {
            self.details_ui(ui, row);
        }
        let line = Tokens::of(ui).line_soft;
        let y = ui.cursor().top() - 3.0;
        ui.painter()
            .hline(ui.max_rect().x_range(), y, egui::Stroke::new(1.0, line));
    }

    /// Draws the row itself; tells whether it is to be opened or closed.
    fn line_ui(&self, ui: &mut Ui, label: &str, row: &Judged, is_open: bool) -> bool {
        let texts = self.texts(row);
        let width = ui.available_width();
        let in_columns = width >= LEAST_WIDTH_FOR_COLUMNS;
        let clicked = ui
            .horizontal_top(|ui| {
                let parts = if in_columns {
                    [0.34, 0.25, 0.23, 0.18]
                } else {
                    [1.0, 0.0, 0.0, 0.0]
                };
                let room = width - 3.0 * 8.0;
                let mut column = parts.iter().map(|part| part * room);
                let label_width = column.next().unwrap_or(room);
                let clicked = label_ui(ui, label_width, label, &texts, row, is_open);
                if in_columns {
                    let [figure_width, limit_width, verdict_width] =
                        [(); 3].map(|()| column.next().unwrap_or(0.0));
                    cell(ui, figure_width, |ui| {
                        figure_ui(ui, &under_each_other(&texts.figure));
                    });
                    cell(ui, limit_width, |ui| {
                        pick::soft(ui, &under_each_other(&texts.limit));
                    });
                    cell(ui, verdict_width, |ui| verdict_ui(ui, row));
                }
                clicked
            })
            .inner;
        if !in_columns {
            stacked_ui(ui, &texts, row);
        }
        for sentence in &row.not_known {
            let text = RichText::new(format!("Not known: {sentence}")).color(Tokens::of(ui).note);
            ui.horizontal_top(|ui| {
                ui.add_space(SIGN);
                ui.add(Label::new(text).wrap());
            });
        }
        clicked
    }

    fn texts(&self, row: &Judged) -> Texts {
        let system = self.answer.input.system;
        let unit = row.figure.as_ref().map_or("", |f| f.unit.as_ref());
        Texts {
            figure: row
                .figure
                .as_ref()
                .map_or_else(String::new, |f| figures::figure(f, system)),
            limit: row
                .limit
                .as_ref()
                .map_or_else(String::new, |l| figures::limit(l, unit, system)),
        }
    }

    /// How the figure was worked out: formula, reference, where the limit is from, every input with its source.
    fn details_ui(&mut self, ui: &mut Ui, row: &Judged) {
        let tokens = Tokens::of(ui);
        Frame::NONE
            .fill(tokens.card)
            .stroke(egui::Stroke::new(1.0, tokens.line_soft))
            .corner_radius(5)
            .inner_margin(Margin::symmetric(10, 8))
            .outer_margin(Margin {
                left: 16,
                bottom: 6,
                ..Margin::ZERO
            })
            .show(ui, |ui| {
                ui.set_width(ui.available_width());
                ui.spacing_mut().item_spacing.y = 3.0;
                if let Some(limit) = &row.limit {
                    let from = self
                        .answer
                        .worked
                        .place_in_words(self.answer.input, &limit.from);
                    pick::line(ui, &format!("Limit from: {from}"));
                }
                match &row.figure {
                    Some(figure) => self.figure_details_ui(ui, figure),
                    None => pick::line(ui, "Nothing was worked out here."),
                }
            });
    }

    fn figure_details_ui(&mut self, ui: &mut Ui, figure: &Figure) {
        pick::line(ui, &format!("Formula: {}", figure.formula));
        let rests_on = figures::reference(&figure.reference, figure.trust);
        pick::line(ui, &format!("Rests on: {rests_on}"));
        if figure.plus_minus.is_none() {
            pick::soft(ui, "No input states its uncertainty.");
        }
        if figure.inputs.is_empty() {
            return;
        }
        ui.add_space(3.0);
        ui.label(RichText::new("Inputs, largest part of the uncertainty first").strong());
        for input in &figure.inputs {
            self.input_ui(ui, input);
        }
    }

    fn input_ui(&mut self, ui: &mut Ui, input: &FigureInput) {
        let (answer, system) = (self.answer, self.answer.input.system);
        let words = answer.worked.place_in_words(answer.input, &input.input);
        if input.input.starts_with('/') {
            let pointer = input.input.split(' ').next().unwrap_or_default();
            let link = ui
                .add(
                    Button::new(RichText::new(&words).color(Tokens::of(ui).accent))
                        .frame(false)
                        .wrap(),
                )
                .on_hover_text("Shows the field in its form");
            if link.clicked() {
                self.commands.push(Command::GoTo(pointer.to_owned()));
            }
        } else {
            pick::line(ui, &words);
        }
        let mut parts = vec![figures::text(
            input.value,
            input.plus_minus,
            &input.unit,
            system,
        )];
        if let Some(part) = input.part {
            parts.push(format!("{:.0} % of the uncertainty", part * 100.0));
        }
        if let Some(source) = answer.worked.source_of(answer.input, &input.input) {
            let date = source.date.map_or_else(String::new, |d| format!(", {d}"));
            parts.push(format!("from {}{date}", source.title));
        }
        ui.horizontal_top(|ui| {
            ui.add_space(12.0);
            pick::soft(ui, &parts.join(" · "));
        });
    }
}

/// The figure and the limit of a row, in words.
struct Texts {
    figure: String,
    limit: String,
}

/// The label, which opens and closes the row.
fn label_ui(
    ui: &mut Ui,
    width: f32,
    label: &str,
    texts: &Texts,
    row: &Judged,
    is_open: bool,
) -> bool {
    let mut name = vec![label.to_owned()];
    name.extend(
        [&texts.figure, &texts.limit]
            .into_iter()
            .filter(|t| !t.is_empty())
            .cloned(),
    );
    name.extend(row.verdict.map(|v| figures::verdict(v).to_owned()));
    let response = cell(ui, width, |ui| {
        ui.spacing_mut().interact_size.y = 0.0;
        ui.spacing_mut().button_padding = vec2(0.0, 1.0);
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            ui.add_space(SIGN);
            ui.vertical(|ui| {
                let button = Button::new(RichText::new(label).color(Tokens::of(ui).text))
                    .frame(false)
                    .wrap()
                    .min_size(vec2(ui.available_width(), 0.0));
                ui.add(button)
            })
            .inner
        })
        .inner
    });
    let sign = if is_open { Icon::Below } else { Icon::Folded };
    let corner = response.rect.left_top() - vec2(SIGN, -1.0);
    let area = Rect::from_min_size(corner, Vec2::splat(SIGN));
    icon::paint(ui.painter(), sign, area, Tokens::of(ui).text_soft);
    response
        .accessible_name(name.join(", "))
        .on_hover_text("How it was worked out")
        .clicked()
}

fn cell<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let layout = Layout::top_down(Align::Min);
    ui.allocate_ui_with_layout(vec2(width, 0.0), layout, |ui| {
        ui.set_width(width);
        add(ui)
    })
    .inner
}

fn figure_ui(ui: &mut Ui, text: &str) {
    ui.add(Label::new(RichText::new(text).strong()).wrap());
}

/// A text whose families of units stand under each other.
fn under_each_other(text: &str) -> String {
    text.replace("  =  ", "\n")
}

fn verdict_ui(ui: &mut Ui, row: &Judged) {
    if let Some(answer) = row.verdict {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 5.0;
            verdict::mark(ui, answer);
            let color = verdict::color(Tokens::of(ui), answer);
            let text = RichText::new(verdict::word(answer)).color(color);
            ui.add(Label::new(text).wrap());
        });
    }
}

/// Figure, limit and verdict under the label.
fn stacked_ui(ui: &mut Ui, texts: &Texts, row: &Judged) {
    ui.horizontal_wrapped(|ui| {
        ui.add_space(SIGN);
        if let Some(answer) = row.verdict {
            verdict::labelled(ui, answer, verdict::word(answer));
        }
        if !texts.figure.is_empty() {
            figure_ui(ui, &texts.figure);
        }
        if !texts.limit.is_empty() {
            pick::soft(ui, &texts.limit);
        }
    });
}

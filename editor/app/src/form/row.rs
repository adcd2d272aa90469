//! One row of a form: label, field, and under it what was refused and what the checks say.

use chockstone_schema::report::Finding;
use egui::{Align, Layout, Rect, Response, RichText, Sense, Shape, Ui, vec2};

use super::{Field, Form};
use crate::{
    pointer,
    theme::{GAP, LABEL_WIDTH, ROW_HEIGHT, Tokens},
    widgets::severity,
};

/// Draws a row. The body is drawn from left to right; what it returns is given the focus when a person is led here.
pub(crate) fn row(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    body: impl FnOnce(&mut Ui, &mut Form<'_>) -> Option<Response>,
) {
    let background = ui.painter().add(Shape::Noop);
    let drawn = ui.horizontal_top(|ui| {
        label(ui, form.field_x, field);
        ui.vertical(|ui| {
            let main = ui.horizontal_wrapped(|ui| body(ui, form)).inner;
            below(ui, form, field, true);
            main
        })
        .inner
    });
    lead_here(
        ui,
        form,
        field,
        drawn.response.rect,
        drawn.inner,
        Some(background),
    );
}

/// Draws what stands under a field: the reason of a refusal and the findings about it.
pub(crate) fn below(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, within: bool) {
    if let Some(message) = form.state.refusal(&field.pointer) {
        refusal(ui, message);
    }
    for message in form.state.draft_faults(&field.pointer, within) {
        refusal(ui, message);
    }
    let found: Vec<&Finding> = form.findings(&field.pointer, within).collect();
    for finding in found {
        finding_ui(ui, finding);
    }
}

fn refusal(ui: &mut Ui, message: &str) {
    let color = Tokens::of(ui).blocking;
    ui.label(RichText::new(format!("Not taken over: {message}")).color(color));
}

/// Draws a finding in the form: mark, word, sentence, and what would settle it.
pub(crate) fn finding_ui(ui: &mut Ui, finding: &Finding) {
    let tokens = Tokens::of(ui);
    ui.horizontal_top(|ui| {
        ui.spacing_mut().item_spacing.x = 6.0;
        severity::mark(ui, finding.severity);
        let word = severity::word(finding.severity);
        let color = severity::color(tokens, finding.severity);
        let text = format!("{word}: {}", finding.message);
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
            if let Some(figures) = severity::figures(finding) {
                ui.add(egui::Label::new(RichText::new(figures).color(color)).wrap());
            }
            let settle = RichText::new(&finding.settle).color(tokens.text_soft);
            ui.add(egui::Label::new(settle).wrap());
        });
    });
}

/// Draws the label in its column. The field carries its own name, so the label is painted and adds no second one.
fn label(ui: &mut Ui, field_x: f32, field: &Field<'_>) {
    let (rect, response) = label_cell(ui, field_x, &field.label);
    let hover = ui.interact(rect, response.id.with("label"), Sense::hover());
    if !field.node.description().is_empty() {
        hover.on_hover_text(field.node.description());
    }
}

/// Paints a text in the column of labels, over several lines where it must. The fields of all groups stand under one
/// another, so within a group the column is narrower.
fn label_cell(ui: &mut Ui, field_x: f32, text: &str) -> (Rect, Response) {
    let color = Tokens::of(ui).text;
    let font = egui::TextStyle::Body.resolve(ui.style());
    let width = label_width(ui, field_x);
    let galley = ui
        .painter()
        .layout(text.to_owned(), font, color, width - GAP);
    let height = galley.size().y.max(ROW_HEIGHT);
    let (rect, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
    let top = rect.top() + ((ROW_HEIGHT - galley.size().y) / 2.0).max(0.0);
    ui.painter()
        .galley(egui::pos2(rect.left(), top), galley, color);
    (rect, response)
}

fn label_width(ui: &Ui, field_x: f32) -> f32 {
    (field_x - ui.cursor().left() - GAP).max(LABEL_WIDTH * 0.5)
}

/// Leaves the column of labels empty.
pub(super) fn indented(ui: &mut Ui, field_x: f32, body: impl FnOnce(&mut Ui)) {
    let width = label_width(ui, field_x);
    ui.horizontal_top(|ui| {
        ui.add_space(width + GAP);
        ui.vertical(body);
    });
}

/// Marks the field and moves the view to it when a person was led to it.
pub(crate) fn lead_here(
    ui: &Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    rect: Rect,
    main: Option<Response>,
    background: Option<egui::layers::ShapeIdx>,
) {
    let Some(spotlight) = &mut form.state.spotlight else {
        return;
    };
    if !pointer::is_within(&spotlight.pointer, &field.pointer) {
        return;
    }
    if let Some(background) = background {
        let tokens = Tokens::of(ui);
        let around = rect.expand2(vec2(6.0, 3.0));
        let fill = Shape::rect_filled(around, 4.0, tokens.spotlight);
        ui.painter().set(background, fill);
    }
    if !spotlight.reached {
        spotlight.reached = true;
        spotlight.pointer.clone_from(&field.pointer);
        // What is too tall to be shown whole is shown from its top.
        let fits = rect.height() < ui.clip_rect().height() * 0.6;
        let align = if fits { Align::Center } else { Align::TOP };
        ui.scroll_to_rect(rect.expand(8.0), Some(align));
        if let Some(main) = main {
            main.request_focus();
        }
        ui.ctx().request_repaint();
    }
}

/// Draws the head of a group or list: its title, and what stands before and after it.
pub(super) fn heading(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    before: impl FnOnce(&mut Ui, &mut Form<'_>),
    after: impl FnOnce(&mut Ui, &mut Form<'_>),
) {
    ui.add_space(6.0);
    let background = ui.painter().add(Shape::Noop);
    let drawn = ui.horizontal(|ui| {
        before(ui, form);
        let title = RichText::new(&field.label).strong().size(15.5);
        ui.label(title).on_hover_text(field.node.description());
        after(ui, form);
    });
    lead_to_group(ui, form, field, drawn.response.rect, background);
    below(ui, form, field, false);
}

/// Like [`lead_here`], but only for the group itself, not for what is within it.
pub(crate) fn lead_to_group(
    ui: &Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    rect: Rect,
    background: egui::layers::ShapeIdx,
) {
    let here = form
        .state
        .spotlight
        .as_ref()
        .is_some_and(|s| s.pointer == field.pointer);
    if here {
        lead_here(ui, form, field, rect, None, Some(background));
    }
}

/// Draws a soft remark.
pub(crate) fn remark(ui: &mut Ui, text: &str) {
    let color = Tokens::of(ui).text_soft;
    ui.add(egui::Label::new(RichText::new(text).color(color)).wrap());
}

/// Draws a soft remark in what is left of the line; the whole of it is told under the pointer.
pub(super) fn short_remark(ui: &mut Ui, text: &str) {
    let color = Tokens::of(ui).text_soft;
    let room = ui.available_size_before_wrap().x;
    if room > ROW_HEIGHT && !text.is_empty() {
        let size = vec2(room, ROW_HEIGHT);
        let layout = Layout::left_to_right(Align::Center);
        ui.allocate_ui_with_layout(size, layout, |ui| {
            ui.add(egui::Label::new(RichText::new(text).color(color)).truncate());
        });
    }
}

/// Right-aligns what is drawn in the rest of the line.
pub(super) fn at_right(ui: &mut Ui, body: impl FnOnce(&mut Ui)) {
    ui.with_layout(Layout::right_to_left(Align::Center), body);
}

//! The chosen procedure: its name, what it is for, and what must hold before and after it.

use egui::{Frame, Label, Margin, RichText, Ui};
use serde_json::Value;

use super::{LIST, ProceduresState, chips, items, rest, texts, words};
use crate::{
    form::{self, Field, Form},
    pointer,
    theme::Tokens,
    widgets::icon::{self, Icon},
};

/// The fields shown, in order.
const FIELDS: [&str; 11] = [
    "name",
    "purpose",
    "to_confirm",
    "summary",
    "starts_with",
    "never_with",
    "ends_with",
    "hazards",
    "variants",
    "source",
    "id",
];

/// Draws the head of a procedure.
pub(super) fn show(ui: &mut Ui, form: &mut Form<'_>, state: &mut ProceduresState, index: usize) {
    let all = items(form.value, LIST);
    let Some(item) = all.get(index) else {
        return;
    };
    let label = item.get("id").and_then(Value::as_str).unwrap_or_default();
    let Some(field) = form.field(&super::at(index), label) else {
        return;
    };
    form.align_fields(ui, super::LABELS);
    let behind = form::reserve(ui);
    let drawn = ui.vertical(|ui| title_ui(ui, form, state, &field, index, all));
    form::lead_to_group(ui, form, &field, drawn.response.rect, behind);
    to_confirm_ui(ui, item);
    form::below(ui, form, &field, false);
    if form.state.draft(LIST).is_some() && index + 1 == all.len() {
        form::unfinished_ui(ui, form, &field, LIST);
    }
    let folded = state.about_folded && !led_within(form, &field);
    let drawn = if folded {
        Vec::new()
    } else {
        members_ui(ui, form, &field)
    };
    let steps = pointer::join(&field.pointer, "steps");
    rest::show(ui, form, &field.pointer, &[drawn, vec![steps]].concat());
}

/// Whether a person was led to one of the fields of the head.
fn led_within(form: &Form<'_>, field: &Field<'_>) -> bool {
    let led = form.state.focused();
    led.is_some_and(|place| {
        FIELDS
            .iter()
            .any(|name| pointer::is_within(place, &pointer::join(&field.pointer, name)))
    })
}

/// The name, what folds the head, and what a person can do with the whole procedure.
fn title_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    field: &Field<'_>,
    index: usize,
    all: &[Value],
) {
    let name = all
        .get(index)
        .map_or("", |item| words::name_of(item, &form.languages()));
    ui.horizontal_top(|ui| {
        let what = "what the procedure is for";
        if form::fold_button(ui, what, !state.about_folded) {
            state.about_folded = !state.about_folded;
        }
        let room = (ui.available_width() - 4.0 * 26.0).max(80.0);
        ui.allocate_ui(egui::vec2(room, 0.0), |ui| {
            ui.set_min_width(room);
            let text = RichText::new(name).strong().size(16.5);
            ui.add(Label::new(text).wrap());
        });
        tools_ui(ui, form, state, field, index, all);
    });
}

fn tools_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    field: &Field<'_>,
    index: usize,
    all: &[Value],
) {
    let Some(list) = form.field(LIST, "Procedures") else {
        return;
    };
    // An unfinished one is no part of the list yet.
    let finished = items(form.context.document, LIST).len();
    let is_finished = index < finished;
    ui.spacing_mut().item_spacing.x = 3.0;
    let press = |ui: &mut Ui, icon, verb: &str, enabled| {
        icon::button(ui, icon, &format!("Procedure: {verb}"), enabled).clicked()
    };
    if press(ui, Icon::Up, "move up", is_finished && index > 0) {
        form::move_item(form, &list, field, index, index.saturating_sub(1));
    }
    if press(ui, Icon::Down, "move down", index + 1 < finished) {
        form::move_item(form, &list, field, index, index + 1);
    }
    if press(ui, Icon::Duplicate, "duplicate", is_finished) {
        form::duplicate(form, &list, field, index, all);
        state.choose(index + 1);
    }
    if press(ui, Icon::Delete, "remove", is_finished) {
        form::delete(form, &list, field, index, all);
    }
}

/// A band over a starting text that nobody has confirmed.
fn to_confirm_ui(ui: &mut Ui, item: &Value) {
    if item.get("to_confirm").and_then(Value::as_bool) != Some(true) {
        return;
    }
    let tokens = Tokens::of(ui);
    Frame::NONE
        .fill(tokens.spotlight)
        .corner_radius(4)
        .inner_margin(Margin::symmetric(10, 5))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let text = "To be confirmed: nobody has yet held this text against the maker's instructions for this vehicle.";
            ui.add(Label::new(RichText::new(text).color(tokens.text)).wrap());
        });
}

/// Draws the fields and tells where they are.
fn members_ui(ui: &mut Ui, form: &mut Form<'_>, procedure: &Field<'_>) -> Vec<String> {
    let has_variants = !items(form.context.document, "/variants").is_empty();
    let mut drawn = Vec::new();
    for name in FIELDS {
        let Some(field) = procedure.child(name, "Procedure") else {
            continue;
        };
        match name {
            "name" | "summary" => texts::text_row_ui(ui, form, &field),
            "to_confirm" => confirm_ui(ui, form, &field),
            "starts_with" | "never_with" | "ends_with" | "hazards" => {
                chips::row_ui(ui, form, &field);
            }
            "variants" if !has_variants && form.value_of(&field).is_none() => continue,
            "variants" => chips::row_ui(ui, form, &field),
            _ => form::field_ui(ui, form, &field),
        }
        drawn.push(field.pointer);
    }
    drawn
}

/// The switch of a text that is still to be confirmed.
fn confirm_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let mut open = form.value_of(field) == Some(&Value::Bool(true));
    form::row(ui, form, field, |ui, form| {
        let text = "Still to be confirmed against the maker's instructions";
        let response = ui.checkbox(&mut open, text);
        if response.changed() {
            if open {
                form.set(field, true.into());
            } else {
                form.clear(field);
            }
        }
        Some(response)
    });
}

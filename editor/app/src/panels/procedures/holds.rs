//! Conditions that a step holds for a time only.

use egui::{Frame, Label, Margin, RichText, Stroke, Ui};
use serde_json::{Value, json};

use super::{
    chips::{self, Picked},
    items, targets, texts,
};
use crate::{
    command::Command,
    document::Edit,
    form::{self, Draft, Field, Form},
    pointer,
    theme::Tokens,
    widgets::icon::{self, Icon},
};

const CONDITIONS: &str = "/conditions";

/// Draws the holds of a step on a row of their own.
pub(super) fn row_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>) {
    let holds = items(form.value, &list.pointer);
    let present: Vec<&str> = holds
        .iter()
        .filter_map(|hold| hold.get("condition")?.as_str())
        .collect();
    form::row(ui, form, list, |ui, form| {
        let body = |ui: &mut Ui| {
            for index in 0..holds.len() {
                hold_ui(ui, form, list, index, holds);
            }
            let (button, picked) = chips::picker_ui(ui, form, list, CONDITIONS, &present);
            match picked {
                Some(Picked::Part(id)) => begin(form, list, &id, holds.len()),
                Some(Picked::TheirList) => form.commands.push(Command::GoTo(CONDITIONS.to_owned())),
                None => {}
            }
            button
        };
        Some(ui.vertical(body).inner)
    });
}

/// A hold needs a time, so it joins the file once that is entered.
fn begin(form: &mut Form<'_>, list: &Field<'_>, condition: &str, index: usize) {
    let value = json!({ "condition": condition });
    let time = format!("{}/time", pointer::join_index(&list.pointer, index));
    form.state.focus(&time);
    let around = form
        .state
        .draft_around(&list.pointer, form.context.document);
    if around.is_some() {
        let place = pointer::join(&list.pointer, "-");
        form.send(list, Edit::insert("add", place, value), None);
        return;
    }
    let draft = Draft {
        value,
        is_item: true,
        noun: "condition that holds for a time".to_owned(),
        faults: Vec::new(),
    };
    form.begin(&list.pointer, draft);
}

fn hold_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>, index: usize, holds: &[Value]) {
    let (Some(node), Some(hold)) = (list.node.items(), holds.get(index)) else {
        return;
    };
    let id = hold.get("condition").and_then(Value::as_str);
    let target = targets::find(form, CONDITIONS, id.unwrap_or_default());
    let field = Field {
        node,
        pointer: pointer::join_index(&list.pointer, index),
        label: target.name.clone(),
        prefix: list.prefix.clone(),
        required: true,
    };
    let is_draft = form.state.draft(&list.pointer).is_some_and(|d| d.is_item);
    let is_unfinished = is_draft && index + 1 == holds.len();
    let tokens = Tokens::of(ui);
    Frame::NONE
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(5)
        .inner_margin(Margin::symmetric(8, 4))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.horizontal(|ui| {
                let name = Label::new(RichText::new(&target.name).strong());
                ui.add(name).on_hover_text(target.tooltip());
                let name = format!("{}: remove", field.name());
                if !is_unfinished && icon::button(ui, Icon::Delete, &name, true).clicked() {
                    form::delete(form, list, &field, index, holds);
                }
            });
            if is_unfinished {
                form::unfinished_ui(ui, form, &field, &list.pointer);
            }
            members_ui(ui, form, &field);
        });
}

fn members_ui(ui: &mut Ui, form: &mut Form<'_>, hold: &Field<'_>) {
    let prefix = hold.name();
    if let Some(time) = hold.child("time", &prefix) {
        form::field_ui(ui, form, &time);
    }
    if let Some(then) = hold.child("then", &prefix) {
        texts::text_row_ui(ui, form, &then);
    }
}

//! Fields for places: two or three coordinates in the vehicle's frame, on one row.

use egui::Ui;
use serde_json::{Value, json};

use super::{
    Field, Form,
    quantity::{Width, clear_button, number_ui},
    row::{remark, row},
    section,
};

/// Draws a place. The coordinates of a place that is not there yet are kept until x and y are both entered.
pub(super) fn place_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    row(ui, form, field, |ui, form| {
        let mut main = None;
        for axis in ["x", "y", "z"] {
            let Some(mut part) = field.child(axis, &field.prefix) else {
                continue;
            };
            part.label = format!("{} {axis}", field.label);
            remark(ui, axis);
            let response =
                coordinate_ui(ui, form, field, &part).on_hover_text(part.node.description());
            main.get_or_insert(response);
        }
        let stated = form.value_of(field).is_some() && !section::is_draft(form, field);
        if stated && !field.required && clear_button(ui, field) {
            form.clear(field);
        }
        main
    });
    section::draft_line(ui, form, field);
}

fn coordinate_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    place: &Field<'_>,
    part: &Field<'_>,
) -> egui::Response {
    if form.value_of(place).is_some() {
        return number_ui(ui, form, part, &part.name(), Width::Narrow);
    }
    // The first coordinate begins the place: what is sent for the coordinate is caught and put into it.
    let before = form.commands.len();
    let response = number_ui(ui, form, part, &part.name(), Width::Narrow);
    if form.commands.len() > before
        && let Some(value) = caught(form, before)
    {
        begin(form, place, part, &value);
    }
    response
}

fn caught(form: &mut Form<'_>, from: usize) -> Option<Value> {
    let sent = form.commands.split_off(from);
    sent.into_iter().find_map(|command| match command {
        crate::command::Command::Form(sent) => match sent.edit.ops.into_iter().next()? {
            crate::document::Op::Set { value, .. } => Some(value),
            _ => None,
        },
        _ => None,
    })
}

fn begin(form: &mut Form<'_>, place: &Field<'_>, part: &Field<'_>, value: &Value) {
    let axis = crate::pointer::split(&part.pointer).map(|(_, axis)| axis);
    if let Some(axis) = axis {
        section::begin_field(form, place, json!({ axis: value }));
    }
}

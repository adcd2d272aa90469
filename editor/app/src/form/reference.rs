//! Fields that name another part.

use egui::{ComboBox, Response, Ui};
use serde_json::Value;

use super::{Field, Form, row::row, summary};
use crate::command::Command;

/// A part that can be named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Target {
    pub id: String,
    /// The id with the part's name.
    pub line: String,
}

/// Lists the parts that a reference may name: those of its list, then those built in.
pub(super) fn targets(form: &Form<'_>, list: &str) -> Vec<Target> {
    let items = form
        .context
        .document
        .pointer(list)
        .and_then(Value::as_array);
    let languages = form.languages();
    let own = items.into_iter().flatten().filter_map(|item| {
        let id = item.get("id")?.as_str()?.to_owned();
        let line = summary::of(item, 0, "", &languages).line();
        Some(Target { id, line })
    });
    own.chain(built_in(list, &languages)).collect()
}

/// The conditions that every profile may name.
fn built_in<'l>(list: &str, languages: &'l [&str]) -> impl Iterator<Item = Target> + use<'l> {
    let spanish = languages.first() == Some(&"es");
    let conditions: &[_] = if list == "/conditions" {
        chockstone_schema::conditions::BUILT_IN
    } else {
        &[]
    };
    conditions.iter().map(move |condition| {
        let [english, in_spanish] = condition.name;
        let name = if spanish { in_spanish } else { english };
        Target {
            id: condition.id.to_owned(),
            line: format!("{} — {name}", condition.id),
        }
    })
}

/// Draws a reference on a row of its own.
pub(super) fn reference_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, list: &str) {
    row(ui, form, field, |ui, form| {
        Some(picker_ui(ui, form, field, list, &field.name()))
    });
}

/// Draws a box that lists the parts that can be named.
pub(super) fn picker_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    list: &str,
    name: &str,
) -> Response {
    let chosen = form.value_of(field).and_then(Value::as_str);
    let none = none_text(field, list);
    let shown = chosen.unwrap_or(none);
    let width = if list == "/sources" { 150.0 } else { 190.0 };
    let response = ComboBox::from_id_salt(field.id())
        .selected_text(shown)
        .width(width)
        .height(360.0)
        .truncate()
        .show_ui(ui, |ui| {
            ui.set_min_width(300.0);
            rows_ui(ui, form, field, list, chosen, none);
        })
        .response
        .accessible_name(name);
    // The line is only made while it is shown: pages hold many of these boxes.
    response.on_hover_ui(|ui| {
        let target = targets(form, list)
            .into_iter()
            .find(|t| Some(t.id.as_str()) == chosen);
        ui.label(target.map_or_else(|| field.node.description().to_owned(), |t| t.line));
    })
}

fn none_text(field: &Field<'_>, list: &str) -> &'static str {
    match (list, field.required) {
        ("/sources", _) => "No source",
        (_, true) => "Choose…",
        (_, false) => "None",
    }
}

fn rows_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    list: &str,
    chosen: Option<&str>,
    none: &str,
) {
    if !field.required && ui.selectable_label(chosen.is_none(), none).clicked() {
        form.clear(field);
    }
    for target in targets(form, list) {
        let is_chosen = chosen == Some(&target.id);
        if ui.selectable_label(is_chosen, &target.line).clicked() {
            form.set(field, target.id.as_str().into());
        }
    }
    ui.separator();
    if ui.button(edit_list_text(list)).clicked() {
        form.commands.push(Command::GoTo(list.to_owned()));
    }
}

fn edit_list_text(list: &str) -> String {
    let name = list.rsplit('/').next().unwrap_or_default();
    format!("Edit the {}…", name.replace('_', " "))
}

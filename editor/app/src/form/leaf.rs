//! Fields of one value: lines, ids, whole numbers, choices, yes and no.

use egui::{ComboBox, Response, RichText, Ui};
use serde_json::Value;

use super::{
    Field, Form, rename,
    row::{self, row},
    schema::Choice,
};
use crate::{
    document::Edit,
    theme::{NUMBER_WIDTH, TEXT_WIDTH, Tokens},
    widgets::entry::{self, Entry, EntryOutcome},
};

/// Draws a line of text that is the same in every language.
pub(super) fn line_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let shown = form
        .value_of(field)
        .and_then(Value::as_str)
        .unwrap_or_default();
    let width = if field.node.has_pattern() {
        NUMBER_WIDTH * 1.6
    } else {
        TEXT_WIDTH
    };
    row(ui, form, field, |ui, form| {
        Some(typed_ui(ui, form, field, shown, width, |text| {
            Ok(Value::from(text))
        }))
    });
}

/// Draws a field for a typed text that `parse` makes a value of.
fn typed_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    shown: &str,
    width: f32,
    parse: impl FnOnce(&str) -> Result<Value, String>,
) -> Response {
    let (id, name) = (field.id(), field.name());
    let hint = hint(field);
    let (response, outcome) = Entry::new(id, &name, shown)
        .width(width)
        .hint(hint)
        .show(ui);
    if let EntryOutcome::Entered(text) = outcome {
        let trimmed = text.trim();
        let typed = (id, shown.to_owned(), text.clone());
        match (trimmed.is_empty(), field.required) {
            (true, false) => form.clear(field),
            (true, true) => entry::refuse(ui.ctx(), id, shown, text, "it cannot be left empty"),
            (false, _) => match parse(trimmed) {
                Ok(value) => form.set_typed(field, value, typed),
                Err(message) => entry::refuse(ui.ctx(), id, shown, text, message),
            },
        }
    }
    entry::refusal_ui(ui, id, shown);
    response
}

fn hint(field: &Field<'_>) -> &'static str {
    let description = field.node.definition();
    if description.contains("YYYY-MM-DDThh") {
        "YYYY-MM-DDThh:mm:ssZ"
    } else if description.contains("YYYY-MM-DD") {
        "YYYY-MM-DD"
    } else {
        ""
    }
}

/// Draws a part's own id. A new id is given to every reference in the same step.
pub(super) fn id_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let shown = form
        .value_of(field)
        .and_then(Value::as_str)
        .unwrap_or_default();
    row(ui, form, field, |ui, form| {
        let (id, name) = (field.id(), field.name());
        let (response, outcome) = Entry::new(id, &name, shown)
            .width(NUMBER_WIDTH * 2.0)
            .show(ui);
        if let EntryOutcome::Entered(text) = outcome {
            let new = text.trim();
            let root = form.context.schema;
            let ops = rename::rename(root, form.context.document, &field.pointer, shown, new);
            let edit = Edit::new(format!("rename {shown} to {new}"), ops);
            form.send(field, edit, Some((id, shown.to_owned(), text)));
        }
        entry::refusal_ui(ui, id, shown);
        Some(response)
    });
}

/// Draws a whole number.
pub(super) fn integer_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let shown = form
        .value_of(field)
        .map(Value::to_string)
        .unwrap_or_default();
    row(ui, form, field, |ui, form| {
        Some(typed_ui(ui, form, field, &shown, NUMBER_WIDTH, |text| {
            let number: i64 = text
                .parse()
                .map_err(|_| format!("“{text}” is not a whole number"))?;
            Ok(number.into())
        }))
    });
}

/// Draws one of a few strings.
pub(super) fn choice_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let chosen = form.value_of(field).and_then(Value::as_str);
    let choices = field.node.choices();
    row(ui, form, field, |ui, form| {
        let none = none_text(field);
        let (response, picked) = choose_ui(ui, field, chosen, &choices, none);
        match picked {
            Picked::Choice(value) => form.set(field, value.into()),
            Picked::NotStated => form.clear(field),
            Picked::Nothing => {}
        }
        let description = choices
            .iter()
            .find(|c| Some(c.value) == chosen)
            .map_or("", |c| c.description);
        row::short_remark(ui, description);
        Some(response)
    });
}

fn none_text(field: &Field<'_>) -> &'static str {
    if field.required {
        "Choose…"
    } else {
        "Not stated"
    }
}

/// What a person picked in a box of choices.
enum Picked<'c> {
    /// Nothing.
    Nothing,
    /// That it is not stated.
    NotStated,
    /// One of the strings.
    Choice(&'c str),
}

/// Draws a box that lists choices.
fn choose_ui<'c>(
    ui: &mut Ui,
    field: &Field<'_>,
    chosen: Option<&str>,
    choices: &[Choice<'c>],
    none: &str,
) -> (Response, Picked<'c>) {
    let shown = choices.iter().find(|c| Some(c.value) == chosen);
    let text = shown.map_or(none, |c| c.title.as_str());
    let mut picked = Picked::Nothing;
    let inner = ComboBox::from_id_salt(field.id())
        .selected_text(text)
        .width(190.0)
        .height(360.0)
        .show_ui(ui, |ui| {
            ui.set_min_width(420.0);
            if !field.required && ui.selectable_label(chosen.is_none(), none).clicked() {
                picked = Picked::NotStated;
            }
            for choice in choices {
                if choice_row(ui, choice, Some(choice.value) == chosen).clicked() {
                    picked = Picked::Choice(choice.value);
                }
            }
        });
    (inner.response.accessible_name(field.name()), picked)
}

/// Draws one choice with what it means.
fn choice_row(ui: &mut Ui, choice: &Choice<'_>, chosen: bool) -> Response {
    let soft = Tokens::of(ui).text_soft;
    let button = egui::Button::selectable(chosen, choice.title.as_str())
        .right_text(RichText::new(choice.description).color(soft).small());
    ui.add(button).accessible_name(&choice.title)
}

/// Draws a fact that holds or does not.
pub(super) fn flag_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let mut holds = form.value_of(field) == Some(&Value::Bool(true));
    row(ui, form, field, |ui, form| {
        let response = ui.checkbox(&mut holds, "").accessible_name(field.name());
        if response.changed() {
            form.set(field, holds.into());
        }
        row::short_remark(ui, field.node.description());
        Some(response)
    });
}

/// Draws an answer that may be left out.
pub(super) fn yes_no_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let answer = form.value_of(field).and_then(Value::as_bool);
    let chosen = answer.map(|yes| if yes { "yes" } else { "no" });
    let choices = [("yes", "Yes"), ("no", "No")].map(|(value, title)| Choice {
        value,
        title: title.to_owned(),
        description: "",
    });
    row(ui, form, field, |ui, form| {
        let (response, picked) = choose_ui(ui, field, chosen, &choices, "Not stated");
        match picked {
            Picked::Choice(value) => form.set(field, (value == "yes").into()),
            Picked::NotStated => form.clear(field),
            Picked::Nothing => {}
        }
        row::short_remark(ui, field.node.description());
        Some(response)
    });
}

/// Shows data of other programs, which is kept and never changed here.
pub(super) fn extensions_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let data = form.value_of(field).and_then(Value::as_object);
    row(ui, form, field, |ui, _| {
        match data {
            None => row::remark(ui, "No data of other programs."),
            Some(data) => {
                let names: Vec<&str> = data.keys().map(String::as_str).collect();
                row::remark(ui, &format!("Kept as it is: {}", names.join(", ")));
            }
        }
        None
    });
}

/// Shows a value that waits to be chosen.
pub(super) fn kept_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let told = form
        .value_of(field)
        .map_or_else(|| "not there".to_owned(), Value::to_string);
    row(ui, form, field, |ui, _| {
        row::remark(ui, &told);
        None
    });
}

/// Shows what the program itself writes.
pub(super) fn read_only_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let text = form
        .value_of(field)
        .and_then(Value::as_str)
        .unwrap_or("none yet");
    row(ui, form, field, |ui, _| {
        ui.label(text);
        row::remark(ui, field.node.description());
        None
    });
}

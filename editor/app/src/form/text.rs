//! Fields for texts in several languages: the base language, and one other beside it.

use egui::{Response, Ui};
use serde_json::{Map, Value};

use super::{Field, Form, row::row};
use crate::{
    theme::TEXT_WIDTH,
    widgets::entry::{self, Entry, EntryOutcome},
};

/// Draws a text on a row of its own.
pub(super) fn text_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    row(ui, form, field, |ui, form| {
        strings_ui(ui, form, field, &field.name())
    });
}

/// Draws the strings of a text side by side.
pub(super) fn strings_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    name: &str,
) -> Option<Response> {
    let languages = form.languages();
    let shown = languages.len().max(1);
    let room = ui.available_width();
    let gaps = ui.spacing().item_spacing.x * (shown - 1) as f32;
    let width = ((room - gaps) / shown as f32).clamp(160.0, TEXT_WIDTH);
    let mut main = None;
    for (i, language) in languages.iter().enumerate() {
        let name = if i == 0 {
            name.to_owned()
        } else {
            format!("{name} ({language})")
        };
        let hint = if shown > 1 { *language } else { "" };
        let response = string_ui(ui, form, field, (language, hint), &name, width);
        main.get_or_insert(response);
    }
    main
}

/// Draws the string of a text in one language; `hint` is written in the empty field.
pub(crate) fn string_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    (language, hint): (&str, &str),
    name: &str,
    width: f32,
) -> Response {
    let text = form.value_of(field).and_then(Value::as_object);
    let shown = text
        .and_then(|t| t.get(language))
        .and_then(Value::as_str)
        .unwrap_or_default();
    let id = field.id().with(language);
    ui.vertical(|ui| {
        ui.set_width(width);
        let (response, outcome) = Entry::new(id, name, shown)
            .hint(hint)
            .width(width)
            .wrapping()
            .show(ui);
        if let EntryOutcome::Entered(typed) = outcome {
            take(ui, form, field, language, (id, shown.to_owned(), typed));
        }
        entry::refusal_ui(ui, id, shown);
        response
    })
    .inner
}

fn take(
    ui: &Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    language: &str,
    typed: (egui::Id, String, String),
) {
    let mut strings = form
        .value_of(field)
        .and_then(Value::as_object)
        .cloned()
        .unwrap_or_else(Map::new);
    let string = typed.2.trim();
    if string.is_empty() {
        strings.remove(language);
    } else {
        strings.insert(language.to_owned(), string.into());
    }
    match (strings.is_empty(), field.required) {
        (true, true) => {
            let (id, shown, text) = typed;
            entry::refuse(ui.ctx(), id, &shown, text, "it cannot be left empty");
        }
        (true, false) => form.clear(field),
        (false, _) => form.set_typed(field, Value::Object(strings), typed),
    }
}

//! Texts with all languages of the profile side by side, or under one another where there is no room.

use egui::{Label, Response, RichText, Ui};
use serde_json::{Value, json};

use super::words;
use crate::{
    document::Edit,
    form::{self, Field, Form, delete},
    pointer,
    theme::Tokens,
    widgets::{
        entry::{self, Entry, EntryOutcome},
        icon::{self, Icon},
    },
};

/// Below this width of a column the languages stand under one another.
const LEAST_COLUMN: f32 = 190.0;

/// Draws a text on a row of its own.
pub(super) fn text_row_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    form::row(ui, form, field, |ui, form| {
        strings_ui(ui, form, field, &field.name())
    });
}

/// Draws the strings of a text, each under the name of its language; one that is missing is called missing.
pub(super) fn strings_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    name: &str,
) -> Option<Response> {
    let languages = form.languages();
    let room = ui.available_width();
    let gap = ui.spacing().item_spacing.x;
    let columns = columns(room, languages.len(), gap);
    let width = (room - gap * (columns as f32 - 1.0)) / columns as f32;
    let mut main = None;
    ui.vertical(|ui| {
        for line in languages.chunks(columns) {
            ui.horizontal_top(|ui| {
                for language in line {
                    let response = string_ui(ui, form, field, language, name, width);
                    main.get_or_insert(response);
                }
            });
        }
    });
    main
}

fn columns(room: f32, languages: usize, gap: f32) -> usize {
    let fits = |n: &usize| room >= *n as f32 * (LEAST_COLUMN + gap) - gap;
    (1..=languages).rev().find(fits).unwrap_or(1)
}

fn string_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    language: &str,
    name: &str,
    width: f32,
) -> Response {
    let languages = form.languages();
    let is_base = languages.first() == Some(&language);
    let missing = is_missing(form.value_of(field), language, is_base && field.required);
    let name = if is_base {
        name.to_owned()
    } else {
        format!("{name} ({language})")
    };
    ui.vertical(|ui| {
        ui.set_width(width);
        ui.spacing_mut().item_spacing.y = 1.0;
        if languages.len() > 1 {
            caption_ui(ui, language, missing);
        }
        let hint = if missing { "Missing" } else { "" };
        form::string_ui(ui, form, field, (language, hint), &name, width)
    })
    .inner
}

/// A string is missing where the text has others, or where there must be a text.
fn is_missing(text: Option<&Value>, language: &str, needed: bool) -> bool {
    match text.and_then(Value::as_object) {
        Some(strings) if !strings.is_empty() => !strings.contains_key(language),
        _ => needed,
    }
}

fn caption_ui(ui: &mut Ui, language: &str, missing: bool) {
    let tokens = Tokens::of(ui);
    let text = words::language(language);
    let text = if missing {
        RichText::new(format!("{text}: missing"))
            .color(tokens.warning)
            .strong()
    } else {
        RichText::new(text).color(tokens.text_soft)
    };
    ui.add(Label::new(text.small()).wrap());
}

/// Draws a list of texts on one row, each with what takes it away, and the empty field that adds one.
pub(super) fn list_row_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>) {
    let Some(node) = list.node.items() else {
        return;
    };
    let items = super::items(form.value, &list.pointer);
    form::row(ui, form, list, |ui, form| {
        let body = |ui: &mut Ui| {
            for index in 0..items.len() {
                let field = Field {
                    node,
                    pointer: pointer::join_index(&list.pointer, index),
                    label: format!("{} {}", list.label, index + 1),
                    prefix: list.prefix.clone(),
                    required: true,
                };
                item_ui(ui, form, list, &field, index, items);
            }
            add_ui(ui, form, list)
        };
        Some(ui.vertical(body).inner)
    });
}

fn item_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    list: &Field<'_>,
    field: &Field<'_>,
    index: usize,
    items: &[Value],
) {
    ui.horizontal_top(|ui| {
        let room = ui.available_width() - 30.0;
        ui.scope(|ui| {
            ui.set_max_width(room);
            strings_ui(ui, form, field, &field.name());
        });
        let name = format!("{}: remove", field.name());
        if icon::button(ui, Icon::Delete, &name, true).clicked() {
            delete(form, list, field, index, items);
        }
    });
}

fn add_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>) -> Response {
    let id = list.id().with("new");
    let name = format!("{}: add", list.name());
    let width = ui.available_width().min(300.0);
    let entry = Entry::new(id, &name, "").hint("Add…").width(width);
    let (response, outcome) = entry.wrapping().show(ui);
    if let EntryOutcome::Entered(typed) = outcome
        && !typed.trim().is_empty()
    {
        let language = form.languages().first().copied().unwrap_or("en");
        let value = json!({ language: typed.trim() });
        let place = pointer::join(&list.pointer, "-");
        let edit = Edit::insert(format!("add to {}", list.phrase()), place, value);
        form.send(list, edit, Some((id, String::new(), typed)));
    }
    entry::refusal_ui(ui, id, "");
    response
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn languages_stand_side_by_side_while_there_is_room() {
        assert_eq!(columns(400.0, 2, 8.0), 2);
        assert_eq!(columns(380.0, 2, 8.0), 1);
        assert_eq!(columns(600.0, 3, 8.0), 3);
        assert_eq!(columns(500.0, 3, 8.0), 2);
        assert_eq!(columns(50.0, 3, 8.0), 1);
    }

    #[test]
    fn a_string_is_missing_where_the_text_has_others() {
        let text = json!({"en": "Chock."});
        assert!(is_missing(Some(&text), "es", false));
        assert!(!is_missing(Some(&text), "en", true));
        assert!(!is_missing(None, "es", false));
        assert!(is_missing(None, "en", true));
    }
}

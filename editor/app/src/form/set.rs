//! Lists of short things, shown side by side: uses, fittings, references, languages, codes.

use egui::{Button, ComboBox, Ui};
use serde_json::Value;

use super::{
    Field, Form, reference,
    row::row,
    schema::{Kind, Node},
    words,
};
use crate::{
    document::{Edit, Op},
    pointer,
    theme::NUMBER_WIDTH,
    widgets::{
        entry::{self, Entry, EntryOutcome},
        icon::{self, Icon},
    },
};

/// Whether the items of a list are short things.
pub(super) fn is_set(list: Node<'_>) -> bool {
    list.items().is_some_and(|item| {
        matches!(
            item.kind(),
            Kind::Choice | Kind::Reference { .. } | Kind::Line
        )
    })
}

/// Draws the items side by side, each with a sign that takes it away, and what adds another.
pub(super) fn set_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let Some(item_node) = field.node.items() else {
        return;
    };
    let items: Vec<&str> = form
        .value_of(field)
        .and_then(Value::as_array)
        .map(|items| items.iter().filter_map(Value::as_str).collect())
        .unwrap_or_default();
    row(ui, form, field, |ui, form| {
        for (i, item) in items.iter().enumerate() {
            chip_ui(ui, form, field, item_node, i, item);
        }
        Some(match item_node.kind() {
            Kind::Line => add_line_ui(ui, form, field),
            kind => add_choice_ui(ui, form, field, item_node, kind, &items),
        })
    });
}

fn chip_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    node: Node<'_>,
    index: usize,
    item: &str,
) {
    let title = title_of(node, item);
    let name = format!("{}: take {title} away", field.name());
    let text = egui::RichText::new(&title);
    let chip = ui
        .add(Button::new(text).right_text("   "))
        .on_hover_text("Click to take it away");
    let sign = chip.rect.with_min_x(chip.rect.right() - 20.0);
    icon::paint(
        ui.painter(),
        Icon::Delete,
        sign,
        ui.visuals().weak_text_color(),
    );
    if chip.accessible_name(name).clicked() {
        let at = pointer::join_index(&field.pointer, index);
        form.send(
            field,
            Edit::remove(format!("take {title} away from {}", field.phrase()), at),
            None,
        );
    }
}

fn title_of(node: Node<'_>, item: &str) -> String {
    match node.kind() {
        Kind::Choice => words::choice_title(item),
        _ => item.to_owned(),
    }
}

fn add_choice_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    node: Node<'_>,
    kind: Kind<'_>,
    present: &[&str],
) -> egui::Response {
    let name = format!("{}: add", field.name());
    ComboBox::from_id_salt(field.id())
        .selected_text("Add…")
        .width(80.0)
        .height(360.0)
        .show_ui(ui, |ui| {
            ui.set_min_width(240.0);
            let mut any = false;
            for (value, line) in &options(form, node, kind) {
                if present.contains(&value.as_str()) {
                    continue;
                }
                any = true;
                if ui.selectable_label(false, line).clicked() {
                    add(form, field, value, None);
                }
            }
            if !any {
                super::row::remark(ui, "Nothing more to add.");
            }
        })
        .response
        .accessible_name(name)
}

/// What can be added, by its string in the file and its line in the list.
fn options(form: &Form<'_>, node: Node<'_>, kind: Kind<'_>) -> Vec<(String, String)> {
    match kind {
        Kind::Reference { list, .. } => reference::targets(form, list)
            .into_iter()
            .map(|t| (t.id, t.line))
            .collect(),
        _ => node
            .choices()
            .into_iter()
            .map(|c| (c.value.to_owned(), c.title))
            .collect(),
    }
}

fn add_line_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) -> egui::Response {
    let name = format!("{}: add", field.name());
    let (response, outcome) = Entry::new(field.id(), &name, "")
        .hint("Add…")
        .width(NUMBER_WIDTH)
        .show(ui);
    if let EntryOutcome::Entered(text) = outcome {
        let typed = (field.id(), String::new(), text.clone());
        add(form, field, text.trim(), Some(typed));
    }
    entry::refusal_ui(ui, field.id(), "");
    response
}

fn add(
    form: &mut Form<'_>,
    field: &Field<'_>,
    value: &str,
    typed: Option<(egui::Id, String, String)>,
) {
    let op = Op::Insert {
        pointer: pointer::join(&field.pointer, "-"),
        value: value.into(),
    };
    let edit = Edit::new(format!("add {value} to {}", field.phrase()), vec![op]);
    form.send(field, edit, typed);
}

//! Groups of fields.

use chockstone_schema::read::Fault;
use egui::{RichText, Shape, Ui};
use serde_json::Value;

use super::{
    Field, Form,
    blank::{blank, missing},
    joined, leaf, list, outline, place,
    quantity::{self, clear_button},
    reference,
    row::{self, below, heading},
    schema::Kind,
    set,
    state::Draft,
    text, words,
};
use crate::{
    pointer,
    theme::Tokens,
    widgets::{
        icon::{self, Icon},
        severity,
    },
};

/// What the program itself writes: the format it knows, and the number of a release.
const READ_ONLY: [&str; 2] = ["/format", "/release"];

/// Draws the fields of the document's top level that a page shows. A single group is the page itself and has no
/// heading of its own.
pub(super) fn top_ui(ui: &mut Ui, form: &mut Form<'_>, fields: &[&str]) {
    let root = Field {
        node: form.context.schema,
        pointer: String::new(),
        label: String::new(),
        prefix: String::new(),
        required: true,
    };
    let fields: Vec<Field<'_>> = fields
        .iter()
        .filter_map(|name| root.child(name, ""))
        .collect();
    let groups = fields
        .iter()
        .filter(|f| f.node.kind() == Kind::Struct)
        .count();
    for field in &fields {
        if READ_ONLY.contains(&field.pointer.as_str()) {
            leaf::read_only_ui(ui, form, field);
            continue;
        }
        let is_group = field.node.kind() == Kind::Struct;
        if is_group && groups == 1 && form.value_of(field).is_some() {
            below(ui, form, field, false);
            members_ui(ui, form, field, "");
        } else {
            field_ui(ui, form, field);
        }
    }
}

/// Draws one field, whatever it holds.
pub(crate) fn field_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    match field.node.kind() {
        Kind::Quantity(_) => quantity::quantity_ui(ui, form, field),
        Kind::Sourced => quantity::sourced_ui(ui, form, field),
        Kind::Text => text::text_ui(ui, form, field),
        Kind::Id => leaf::id_ui(ui, form, field),
        Kind::Reference { list, .. } => reference::reference_ui(ui, form, field, list),
        Kind::Place => place::place_ui(ui, form, field),
        Kind::Polygon(second) => outline::outline_ui(ui, form, field, second),
        Kind::Choice => leaf::choice_ui(ui, form, field),
        Kind::Flag => leaf::flag_ui(ui, form, field),
        Kind::YesNo => leaf::yes_no_ui(ui, form, field),
        Kind::Integer => leaf::integer_ui(ui, form, field),
        Kind::Line => leaf::line_ui(ui, form, field),
        Kind::Extensions => leaf::extensions_ui(ui, form, field),
        Kind::Kept => leaf::kept_ui(ui, form, field),
        Kind::List if set::is_set(field.node) => set::set_ui(ui, form, field),
        Kind::List => list::list_ui(ui, form, field),
        Kind::Struct => group_ui(ui, form, field),
    }
}

/// Draws the fields of a group. `prefix` tells the group from others on the page.
pub(super) fn members_ui(ui: &mut Ui, form: &mut Form<'_>, group: &Field<'_>, prefix: &str) {
    for name in group.node.fields() {
        if let Some(field) = group.child(name, prefix) {
            field_ui(ui, form, &field);
        }
    }
}

/// Draws a group within a page: a heading that folds it, and its fields.
fn group_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    if form.value_of(field).is_none() {
        absent_group_ui(ui, form, field);
        return;
    }
    let unfolded = form.state.is_unfolded(&field.pointer, true);
    let mut fold = false;
    heading(
        ui,
        form,
        field,
        |ui, _| fold = fold_button(ui, &field.name(), unfolded),
        |ui, form| {
            if !unfolded {
                finding_counts(ui, form, field);
            }
            if !field.required && !is_draft(form, field) && clear_button(ui, field) {
                form.clear(field);
            }
        },
    );
    if fold {
        form.state.unfold(&field.pointer, !unfolded);
    }
    draft_line(ui, form, field);
    if unfolded {
        ui.indent(field.id(), |ui| {
            members_ui(ui, form, field, &joined(&field.prefix, &field.label));
        });
    }
}

fn absent_group_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    row::row(ui, form, field, |ui, form| {
        let button = ui
            .button("Add")
            .accessible_name(joined(
                &field.prefix,
                &format!("Add {}", words::in_sentence(&field.label)),
            ))
            .on_hover_text(field.node.description());
        if button.clicked() {
            form.state.unfold(&field.pointer, true);
            begin_field(form, field, blank(field.node));
        }
        row::remark(ui, "not stated");
        Some(button)
    });
}

/// Begins a field that has no value yet; the value joins the document once nothing is missing in it.
pub(super) fn begin_field(form: &mut Form<'_>, field: &Field<'_>, value: Value) {
    let around = form
        .state
        .draft_around(&field.pointer, form.context.document);
    if around.is_some() {
        form.set(field, value);
        return;
    }
    let draft = Draft {
        value,
        is_item: false,
        noun: field.phrase(),
        faults: Vec::new(),
    };
    form.begin(&field.pointer, draft);
}

/// Whether the field itself is an unfinished part.
pub(super) fn is_draft(form: &Form<'_>, field: &Field<'_>) -> bool {
    form.state.draft(&field.pointer).is_some_and(|d| !d.is_item)
}

/// Under an unfinished part: what is still needed, what the document said, and how to drop it.
pub(super) fn draft_line(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    if is_draft(form, field) {
        unfinished_ui(ui, form, field, &field.pointer);
    }
}

/// Draws the line about the unfinished part with this key.
pub(crate) fn unfinished_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, key: &str) {
    let Some(draft) = form.state.draft(key).cloned() else {
        return;
    };
    let needed = missing(field.node, &draft.value);
    let tokens = Tokens::of(ui);
    ui.horizontal_wrapped(|ui| {
        let text = if needed.is_empty() {
            format!("This {} is not part of the file yet.", draft.noun)
        } else {
            let list: Vec<String> = needed.iter().map(|n| words::in_sentence(n)).collect();
            format!(
                "Not part of the file yet. Still needed: {}",
                list.join("; ")
            )
        };
        ui.label(RichText::new(text).color(tokens.warning));
        let name = format!("Discard the new {}", draft.noun);
        if ui.button("Discard").accessible_name(name).clicked() {
            form.state.drop_draft(key);
        }
    });
    let elsewhere = |fault: &&Fault| !pointer::is_within(&fault.pointer, &field.pointer);
    for fault in draft.faults.iter().filter(elsewhere) {
        let text = format!("Not taken over: {} (at {})", fault.message, fault.pointer);
        ui.label(RichText::new(text).color(tokens.blocking));
    }
}

/// A small button that folds or unfolds; says whether it was pressed.
pub(crate) fn fold_button(ui: &mut Ui, name: &str, unfolded: bool) -> bool {
    let (icon, verb) = if unfolded {
        (Icon::Below, "Fold")
    } else {
        (Icon::Folded, "Unfold")
    };
    icon::button(
        ui,
        icon,
        &format!("{verb} {}", words::in_sentence(name)),
        true,
    )
    .clicked()
}

/// Draws how many findings lie within a folded part, by severity.
pub(crate) fn finding_counts(ui: &mut Ui, form: &Form<'_>, field: &Field<'_>) {
    for (kind, number) in super::counts(form.findings(&field.pointer, true)) {
        severity::labelled(ui, kind, &severity::count(kind, number));
    }
}

/// Reserves the place behind a card, for the marking of the part that a person was led to.
pub(crate) fn reserve(ui: &Ui) -> egui::layers::ShapeIdx {
    ui.painter().add(Shape::Noop)
}

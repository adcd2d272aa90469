//! Fields for quantities, and for quantities with ±, source and note.

use egui::{Response, Ui};
use serde_json::{Value, json};

use super::{
    Field, Form, reference,
    row::{remark, row},
    schema::Kind,
    text, words,
};
use crate::{
    pointer,
    theme::NUMBER_WIDTH,
    widgets::{
        entry,
        icon::{self, Icon},
        quantity_edit::{FieldUnits, QuantityEdit, QuantityOutcome, pair},
    },
};

/// Draws a bare quantity.
pub(super) fn quantity_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    row(ui, form, field, |ui, form| {
        Some(number_ui(ui, form, field, &field.name(), Width::Usual))
    });
}

/// How much room a number takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Width {
    /// With a button that lists the units.
    Usual,
    /// Without it.
    Narrow,
}

/// Draws the number of a quantity and sends what a person made of it.
pub(super) fn number_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    name: &str,
    width: Width,
) -> Response {
    let Kind::Quantity(units) = field.node.kind() else {
        return ui.label("");
    };
    let mut edit = edit_of(form, field, name, units);
    if width == Width::Narrow {
        edit.unit_button = false;
        edit.width = NUMBER_WIDTH * 0.86;
    }
    let (response, outcome) = edit.show(ui);
    send(ui, form, field, &edit, &outcome);
    response
}

fn edit_of<'n>(
    form: &Form<'_>,
    field: &Field<'_>,
    name: &'n str,
    units: FieldUnits,
) -> QuantityEdit<'n> {
    let mut edit = QuantityEdit::new(field.id(), name, units, form.context.system);
    edit.value = form.value_of(field).and_then(|v| pair(units.dimension, v));
    edit.optional = !field.required;
    edit
}

fn send(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    edit: &QuantityEdit<'_>,
    outcome: &QuantityOutcome,
) {
    match *outcome {
        QuantityOutcome::Unchanged => {}
        QuantityOutcome::Cleared => form.clear(field),
        QuantityOutcome::Entered(number, unit) => {
            let text = format!("{} {unit}", chockstone_schema::quantity::shortest(number));
            form.set_typed(field, json!([number, unit]), (edit.id, edit.shown(), text));
        }
    }
    edit.refusal_ui(ui);
}

/// Draws value, ±, source and note on one row.
pub(super) fn sourced_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let stated = form.value_of(field).is_some();
    row(ui, form, field, |ui, form| {
        let main = value_ui(ui, form, field);
        if stated {
            spread_ui(ui, form, field);
            if let Some(source) = part(field, "source") {
                let name = format!("{} source", field.name());
                reference::picker_ui(ui, form, &source, "/sources", &name);
            }
            note_button(ui, form, field);
        }
        if let Some(value) = part(field, "value") {
            entry_refusal(ui, form, &value);
        }
        Some(main)
    });
    let note_shown = form
        .state
        .is_unfolded(&pointer::join(&field.pointer, "note"), false);
    if let Some(note) = part(field, "note")
        && stated
        && (note_shown || form.value_of(&note).is_some())
    {
        let mut note = note;
        note.label = format!("{} note", field.label);
        text::text_ui(ui, form, &note);
    }
}

fn part<'a>(field: &Field<'a>, name: &str) -> Option<Field<'a>> {
    field.child(name, &field.prefix)
}

/// The value itself: the first number typed makes the whole group, and clearing it takes the group away.
fn value_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) -> Response {
    let Some(value) = part(field, "value") else {
        return ui.label("");
    };
    let Kind::Quantity(units) = value.node.kind() else {
        return ui.label("");
    };
    let name = field.name();
    let mut edit = edit_of(form, &value, &name, units);
    edit.optional = !field.required;
    let (response, outcome) = edit.show(ui);
    match outcome {
        QuantityOutcome::Unchanged => {}
        QuantityOutcome::Cleared => form.clear(field),
        QuantityOutcome::Entered(number, unit) => {
            let text = format!("{} {unit}", chockstone_schema::quantity::shortest(number));
            let typed = (edit.id, edit.shown(), text);
            let whole = with_value(form.value_of(field), json!([number, unit]));
            form.set_typed(field, whole, typed);
        }
    }
    response
}

fn with_value(present: Option<&Value>, value: Value) -> Value {
    let mut whole = present.cloned().unwrap_or_else(|| json!({}));
    if let Some(fields) = whole.as_object_mut() {
        fields.insert("value".to_owned(), value);
    }
    whole
}

/// The refusal stands in the body of the row, under all its parts.
fn entry_refusal(ui: &mut Ui, form: &Form<'_>, value: &Field<'_>) {
    if let Kind::Quantity(units) = value.node.kind() {
        let shown = edit_of(form, value, "", units).shown();
        if entry::is_refused(ui.ctx(), value.id(), &shown) {
            ui.end_row();
            entry::refusal_ui(ui, value.id(), &shown);
        }
    }
}

fn spread_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let (Some(spread), Some(value)) = (part(field, "plus_minus"), part(field, "value")) else {
        return;
    };
    let Kind::Quantity(units) = spread.node.kind() else {
        return;
    };
    remark(ui, "±");
    let name = format!("{} ±", field.name());
    let mut edit = edit_of(form, &spread, &name, units);
    let entered = form.value_of(&value).and_then(|v| pair(units.dimension, v));
    edit.bare_unit = entered.map(|(_, unit)| units.shown(form.context.system, Some(unit)));
    edit.unit_button = false;
    edit.figures = 3;
    edit.width = NUMBER_WIDTH * 0.72;
    let (response, outcome) = edit.show(ui);
    response.on_hover_text(spread.node.description());
    send(ui, form, &spread, &edit, &outcome);
}

fn note_button(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    let at = pointer::join(&field.pointer, "note");
    if form.value.pointer(&at).is_some() || form.state.is_unfolded(&at, false) {
        return;
    }
    let name = format!("Add a note to {}", words::in_sentence(&field.name()));
    let button = ui.button("Note…").accessible_name(&name);
    if button.on_hover_text(name).clicked() {
        form.state.unfold(&at, true);
    }
}

/// Draws the sign that takes an optional part away; says whether it was pressed.
pub(super) fn clear_button(ui: &mut Ui, field: &Field<'_>) -> bool {
    let name = format!("Take away {}", words::in_sentence(&field.name()));
    icon::button(ui, Icon::Delete, &name, true).clicked()
}

//! Outlines as a table of corners.

use chockstone_schema::quantity::{Dimension, convert, find_unit};
use egui::{ComboBox, Grid, ScrollArea, Ui};
use serde_json::{Value, json};

use super::{
    Field, Form,
    blank::blank,
    row::{self, remark, row},
    section, words,
};
use crate::{
    document::{Edit, Op},
    pointer,
    theme::NUMBER_WIDTH,
    widgets::{
        UnitSystem,
        icon::{self, Icon},
        quantity_edit::{FieldUnits, QuantityEdit, QuantityOutcome},
    },
};

const UNITS: [&str; 5] = ["mm", "cm", "m", "in", "ft"];

/// Draws an outline: how many corners it has, and the table of them where it is unfolded.
pub(super) fn outline_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, second: &str) {
    let Some(outline) = form.value_of(field) else {
        absent_ui(ui, form, field);
        return;
    };
    let corners = outline.get("corners").and_then(Value::as_array);
    let corners = corners.map(Vec::as_slice).unwrap_or_default();
    let unfolded = form.state.is_unfolded(&field.pointer, false);
    let mut toggle = false;
    row(ui, form, field, |ui, form| {
        toggle = section::fold_button(ui, &field.name(), unfolded);
        remark(ui, &format!("{} corners in", corners.len()));
        unit_ui(ui, form, field, outline);
        if !field.required
            && !section::is_draft(form, field)
            && super::quantity::clear_button(ui, field)
        {
            form.clear(field);
        }
        None
    });
    section::draft_line(ui, form, field);
    if toggle {
        form.state.unfold(&field.pointer, !unfolded);
    }
    if unfolded {
        row::indented(ui, form.field_x, |ui| {
            table_ui(ui, form, field, second, outline, corners);
        });
    }
}

fn absent_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>) {
    row(ui, form, field, |ui, form| {
        let name = format!("Add {}", words::in_sentence(&field.name()));
        let button = ui.button("Add").accessible_name(name);
        if button.clicked() {
            let unit = match form.context.system {
                UnitSystem::UsCustomary => "in",
                _ => "mm",
            };
            let mut outline = blank(field.node);
            let _ = pointer::set(&mut outline, "/unit", unit.into());
            form.state.unfold(&field.pointer, true);
            section::begin_field(form, field, outline);
        }
        remark(ui, "not stated; it can also be drawn in the diagram");
        Some(button)
    });
}

/// The unit of all corners. Another unit converts every corner, so that the shape stays.
fn unit_ui(ui: &mut Ui, form: &mut Form<'_>, field: &Field<'_>, outline: &Value) {
    let unit = unit_of(outline);
    let mut picked = None;
    ComboBox::from_id_salt(field.id())
        .selected_text(unit)
        .width(60.0)
        .show_ui(ui, |ui| {
            for candidate in UNITS {
                if ui.selectable_label(candidate == unit, candidate).clicked() {
                    picked = Some(candidate);
                }
            }
        })
        .response
        .accessible_name(format!("{} unit", field.name()));
    if let Some(to) = picked.filter(|to| *to != unit) {
        form.set(field, in_unit(outline, unit, to));
    }
}

fn unit_of(outline: &Value) -> &str {
    outline.get("unit").and_then(Value::as_str).unwrap_or("mm")
}

fn in_unit(outline: &Value, from: &str, to: &str) -> Value {
    let converted = |number: &Value| {
        let value = number.as_f64()?;
        let value = convert(value, Dimension::Length, from, to)?;
        Some(json!(to_nine_places(value)))
    };
    let corners = outline.get("corners").and_then(Value::as_array);
    let corners: Vec<Value> = corners
        .into_iter()
        .flatten()
        .map(|corner| {
            let pair = corner.as_array().map(Vec::as_slice).unwrap_or_default();
            pair.iter()
                .map(|n| converted(n).unwrap_or(Value::Null))
                .collect()
        })
        .collect();
    json!({"unit": to, "corners": corners})
}

/// Drops what the conversion of a decimal number added behind its last place.
fn to_nine_places(value: f64) -> f64 {
    (value * 1e9).round() / 1e9
}

fn table_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    second: &str,
    outline: &Value,
    corners: &[Value],
) {
    let unit = find_unit(Dimension::Length, unit_of(outline)).map_or("mm", |u| u.symbol);
    ScrollArea::vertical()
        .id_salt(field.id())
        .max_height(280.0)
        .auto_shrink([true, true])
        .show(ui, |ui| {
            Grid::new(field.id()).num_columns(4).show(ui, |ui| {
                remark(ui, "Corner");
                remark(ui, "x, rearward");
                remark(
                    ui,
                    if second == "z" {
                        "z, up"
                    } else {
                        "y, to the right"
                    },
                );
                ui.end_row();
                for index in 0..corners.len() {
                    corner_ui(ui, form, field, ["x", second], unit, index, corners);
                    ui.end_row();
                }
            });
        });
}

fn corner_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    axes: [&str; 2],
    unit: &'static str,
    index: usize,
    corners: &[Value],
) {
    let at = pointer::join_index(&pointer::join(&field.pointer, "corners"), index);
    remark(ui, &format!("{}", index + 1));
    for (axis, axis_name) in axes.into_iter().enumerate() {
        let name = format!("{}, corner {} {axis_name}", field.name(), index + 1);
        let number = corners
            .get(index)
            .and_then(|c| c.get(axis))
            .and_then(Value::as_f64);
        number_ui(
            ui,
            form,
            field,
            &pointer::join_index(&at, axis),
            &name,
            unit,
            number,
        );
    }
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 3.0;
        let name = format!("Insert a corner after {} of {}", index + 1, field.name());
        if icon::button(ui, Icon::Duplicate, &name, true).clicked() {
            insert_after(form, field, index, corners);
        }
        let name = format!("Delete corner {} of {}", index + 1, field.name());
        if icon::button(ui, Icon::Delete, &name, corners.len() > 3).clicked() {
            let name = format!("delete corner of {}", field.phrase());
            form.send(field, Edit::remove(name, at.clone()), None);
        }
    });
}

fn number_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    field: &Field<'_>,
    at: &str,
    name: &str,
    unit: &'static str,
    number: Option<f64>,
) {
    let units = FieldUnits {
        dimension: Dimension::Length,
        si: unit,
        us: unit,
    };
    let id = egui::Id::unique(("form field", at));
    let mut edit = QuantityEdit::new(id, name, units, UnitSystem::AsEntered);
    edit.value = number.map(|n| (n, unit));
    edit.unit_button = false;
    edit.width = NUMBER_WIDTH * 0.9;
    ui.vertical(|ui| {
        let (_, outcome) = edit.show(ui);
        edit.refusal_ui(ui);
        if let QuantityOutcome::Entered(value, entered) = outcome
            && let Some(converted) = convert(value, Dimension::Length, entered, unit)
        {
            let kept = if entered == unit {
                value
            } else {
                to_nine_places(converted)
            };
            let op = Op::Set {
                pointer: at.to_owned(),
                value: json!(kept),
            };
            let name = format!("move corner of {}", field.phrase());
            form.send(field, Edit::new(name, vec![op]), None);
        }
    });
}

/// Puts a corner in the middle of the side that begins here, so that the shape stays as it is.
fn insert_after(form: &mut Form<'_>, field: &Field<'_>, index: usize, corners: &[Value]) {
    let at = |i: usize, axis: usize| corners.get(i)?.get(axis)?.as_f64();
    let next = if index + 1 < corners.len() {
        index + 1
    } else {
        0
    };
    let middle = |axis: usize| {
        let (from, to) = (at(index, axis)?, at(next, axis)?);
        Some(to_nine_places(f64::midpoint(from, to)))
    };
    let corner = json!([middle(0), middle(1)]);
    let list = pointer::join(&field.pointer, "corners");
    let edit = Edit::insert(
        format!("add corner to {}", field.phrase()),
        pointer::join_index(&list, index + 1),
        corner,
    );
    form.send(field, edit, None);
}

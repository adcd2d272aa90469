//! Exact numbers and acts for what is selected.

use chockstone_schema::quantity::Dimension;
use egui::{Id, Ui};

use super::{
    edits, glyph, keys,
    rounding::Entry,
    scene::{Outline, Scene},
    state::{DiagramInput, DiagramOutput, DiagramState},
};
use crate::{
    document::{Edit, Op},
    theme::Tokens,
    widgets::{QuantityEdit, QuantityOutcome, quantity_edit::FieldUnits},
};

const LENGTH: FieldUnits = FieldUnits {
    dimension: Dimension::Length,
    si: "mm",
    us: "in",
};

/// Shows the selected point or corner; nothing when neither is selected.
pub(super) fn inspector_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    scene: &Scene,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    if let Some(index) = state.selected_point() {
        point_ui(ui, input, index, state, output);
    } else if let Some((outline, index)) = state.selected_corner() {
        let found = scene
            .editable_outlines()
            .find(|o| o.pointer.as_deref() == Some(outline));
        if let Some(found) = found {
            corner_ui(ui, input, (found, index), scene, state, output);
        }
    } else if let Some(outline) = selected_outline(scene, state) {
        ui.strong("Outline");
        soft(
            ui,
            &format!(
                "{} corners. Click a corner to move it; double-click an edge to add one.",
                outline.corners.len()
            ),
        );
        ui.separator();
    }
}

fn selected_outline<'s>(scene: &'s Scene, state: &DiagramState) -> Option<&'s Outline> {
    scene
        .editable_outlines()
        .find(|o| o.pointer == state.selection)
}

fn soft(ui: &mut Ui, text: &str) {
    let color = Tokens::of(ui).text_soft;
    ui.label(egui::RichText::new(text).color(color).small());
}

fn point_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    index: usize,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let profile = input.profile;
    let Some(point) = profile.points.get(index) else {
        return;
    };
    ui.strong(point.name.pick([&profile.language]));
    soft(ui, glyph::name(point.kind));
    let place = &point.place;
    let entry = |value: f64, unit: &'static str| Some(Entry { value, unit });
    let values = [
        (
            "x",
            "Point x",
            "rearward",
            entry(place.x.value(), place.x.unit()),
        ),
        (
            "y",
            "Point y",
            "to the right",
            entry(place.y.value(), place.y.unit()),
        ),
        (
            "z",
            "Point z",
            "up",
            place.z.and_then(|z| entry(z.value(), z.unit())),
        ),
    ];
    for (axis, name, direction, value) in values {
        let field = Field {
            id: Id::unique(("diagram point", index, axis)),
            name,
            axis,
            direction,
            value,
        };
        let optional = axis == "z";
        match field_ui(ui, input, &field, optional) {
            QuantityOutcome::Unchanged => {}
            QuantityOutcome::Entered(value, unit) => {
                output.edits.extend(edits::set_coordinate_of(
                    profile,
                    index,
                    axis,
                    Entry { value, unit },
                ));
            }
            QuantityOutcome::Cleared => {
                output.edits.push(Edit::new(
                    "clear height",
                    vec![Op::Remove {
                        pointer: format!("/points/{index}/place/{axis}"),
                    }],
                ));
            }
        }
    }
    point_acts_ui(ui, input, index, state, output);
    ui.separator();
}

fn point_acts_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    index: usize,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let profile = input.profile;
    let mut mirrored = profile.points.get(index).is_some_and(|p| p.mirrored);
    let pair = ui.checkbox(&mut mirrored, "Mirrored pair");
    if pair
        .on_hover_text("The same point lies on the other side of the centre plane too.")
        .changed()
    {
        output
            .edits
            .extend(edits::set_mirrored(profile, index, mirrored));
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Show in form").clicked() {
            output.open_form = Some(format!("/points/{index}"));
        }
        if ui.button("Swap side").clicked() {
            output.edits.extend(edits::swap_side(profile, index));
        }
        let split = ui.add_enabled(mirrored, egui::Button::new("Split pair"));
        if split
            .on_hover_text("Make two points of the pair, each with a place of its own.")
            .clicked()
        {
            output.edits.extend(edits::split_pair(profile, index));
        }
        if ui.button("Duplicate point").clicked()
            && let Some((edit, pointer)) = edits::duplicate_point(profile, index)
        {
            output.edits.push(edit);
            output.went_to = Some(pointer.clone());
            state.selection = Some(pointer);
        }
        if ui.button("Delete point").clicked() {
            output.edits.extend(edits::delete_point(profile, index));
            state.selection = None;
        }
    });
}

/// One coordinate in the column.
struct Field<'a> {
    id: Id,
    name: &'a str,
    axis: &'a str,
    direction: &'a str,
    value: Option<Entry>,
}

fn field_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    field: &Field<'_>,
    optional: bool,
) -> QuantityOutcome {
    let mut edit = QuantityEdit::new(field.id, field.name, LENGTH, input.system);
    edit.value = field.value.map(|e| (e.value, e.unit));
    edit.optional = optional;
    edit.unit_button = false;
    edit.width = 96.0;
    let outcome = ui
        .horizontal(|ui| {
            ui.monospace(field.axis);
            let (_, outcome) = edit.show(ui);
            soft(ui, field.direction);
            outcome
        })
        .inner;
    edit.refusal_ui(ui);
    outcome
}

fn corner_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    (outline, index): (&Outline, usize),
    scene: &Scene,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let (Some(pointer), Some(flat)) = (outline.pointer.as_deref(), outline.corners.get(index))
    else {
        return;
    };
    ui.strong(format!("Corner {} of {}", index + 1, outline.corners.len()));
    let unit = outline.unit.symbol();
    let corner = flat.map(|c| (c / outline.unit.metres() * 1e6).round() / 1e6);
    let up = outline.view.up_axis();
    for (position, (axis, name)) in [("x", "Corner x"), (up, "Corner height or side")]
        .into_iter()
        .enumerate()
    {
        let value = corner.get(position).map(|value| Entry {
            value: *value,
            unit,
        });
        let id = Id::unique(("diagram corner", pointer, index, axis));
        let field = Field {
            id,
            name,
            axis,
            direction: "",
            value,
        };
        if let QuantityOutcome::Entered(value, typed) = field_ui(ui, input, &field, false) {
            let mut changed = corner;
            if let Some(slot) = changed.get_mut(position) {
                let metres = Entry { value, unit: typed }.metres();
                *slot = if typed == unit {
                    value
                } else {
                    (metres / outline.unit.metres() * 1e6).round() / 1e6
                };
            }
            output
                .edits
                .push(edits::set_corner(pointer, index, changed));
        }
    }
    ui.horizontal_wrapped(|ui| {
        if ui.button("Add corner after").clicked() {
            let next = outline
                .corners
                .get(index + 1)
                .or(outline.corners.first())
                .unwrap_or(flat);
            let ([x, v], [next_x, next_v]) = (*flat, *next);
            let middle = [x.midpoint(next_x), v.midpoint(next_v)];
            output.edits.push(edits::insert_corner(
                pointer,
                index + 1,
                middle,
                outline.unit,
            ));
            state.selection = Some(format!("{pointer}/corners/{}", index + 1));
        }
        if ui.button("Delete corner").clicked() {
            keys::delete_corner(scene, state, output);
        }
    });
    ui.separator();
}

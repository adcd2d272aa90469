//! The side view and the plan view of a vehicle, drawn to scale from the profile.
//!
//! The vehicle faces left. Both views share x and the scale, so what stands above one another belongs together.
//! [`show`] draws what a [`DiagramInput`] holds and returns what a person did as edits; it changes nothing itself.
//! A drag lives in [`DiagramState`] until the drop, which is one edit; Escape forgets it.

use egui::{Rect, Ui, UiBuilder, pos2, vec2};

pub mod edits;
pub mod glyph;
pub mod hit;
pub mod labels;
pub mod palette;
pub mod polygon;
pub mod projection;
pub mod rounding;
pub mod scene;
pub mod snap;
pub mod ticks;
pub mod tyre;
pub mod wheels;

mod drag;
mod gather;
mod inspector;
mod keys;
mod legend;
mod nodes;
mod overlay;
mod paint;
mod state;
mod still;
mod toolbar;
mod view;

pub use overlay::{Overlay, OverlayPart, drawn_part, overlay_legend_ui, overlay_ui};
pub use state::{DiagramInput, DiagramOutput, DiagramState, Layers, Placing, Shown, ShownVariant};
pub use still::{Still, still_ui};

pub(crate) use paint::{centre_symbol, dashed, fill, label_font, text_on};

use projection::{Projection, View};
use scene::Scene;
use view::Frame;

#[cfg(test)]
mod edits_tests;
#[cfg(test)]
mod fixture;
#[cfg(test)]
mod tests;

/// The width of the column beside the views.
const COLUMN: f32 = 208.0;
/// Below this width there is room for the views alone.
const LEAST_WIDTH_WITH_COLUMN: f32 = 560.0;

/// Draws the diagram in the room that is left and returns what a person did in it.
pub fn show(ui: &mut Ui, input: &DiagramInput<'_>, state: &mut DiagramState) -> DiagramOutput {
    let asked = toolbar::toolbar_ui(ui, input.profile, state);
    room_ui(ui, input, asked, state)
}

/// The views and the column beside them, in the room that the toolbar left.
fn room_ui(
    ui: &mut Ui,
    input: &DiagramInput<'_>,
    asked: toolbar::Asked,
    state: &mut DiagramState,
) -> DiagramOutput {
    let mut output = DiagramOutput::default();
    let variant = state.variant_id(input.profile);
    let mass = input.mass(variant.as_deref());
    let scene = Scene::new(input.profile, variant.as_deref(), mass);
    let room = ui.available_rect_before_wrap();
    ui.advance_cursor_after_rect(room);
    let (views_room, column) = split(room, state);
    let areas = view_areas(views_room, state.shown);
    if areas
        .iter()
        .any(|(_, area)| area.width() < 60.0 || area.height() < 40.0)
    {
        return output;
    }
    if std::mem::take(&mut state.fit_wanted) {
        let sizes: Vec<_> = areas
            .iter()
            .map(|(view, area)| (*view, area.size()))
            .collect();
        state.camera.fit(scene.bounds(), &sizes);
    }
    state.hovered = None;
    state.focused_view = None;
    let mut projections = Vec::new();
    for (view, area) in areas {
        let projection = Projection {
            view,
            area,
            camera: state.camera,
        };
        projections.push(projection);
        view::show(
            ui,
            &Frame {
                input,
                scene: &scene,
                projection,
            },
            state,
            &mut output,
        );
    }
    if asked.zoom != 0
        && let Some(first) = projections.first()
    {
        let factor = if asked.zoom > 0 { 1.25 } else { 0.8 };
        state.camera = first.zoomed(first.area.center(), factor);
    }
    let focused = state.focused_view.map(|(view, _)| view);
    let focused = projections.iter().find(|p| Some(p.view) == focused);
    keys::act(ui, input, &scene, focused, state, &mut output);
    if let Some(column) = column {
        column_ui(ui, column, input, &scene, state, &mut output);
    }
    output
}

/// Parts the room into the views' and the column's, which is there when it has something to show.
fn split(room: Rect, state: &DiagramState) -> (Rect, Option<Rect>) {
    let wanted = state.layers.legend || state.selection.is_some();
    if !wanted || room.width() < LEAST_WIDTH_WITH_COLUMN {
        return (room, None);
    }
    let border = room.right() - COLUMN;
    let views = Rect::from_min_max(room.min, pos2(border - 8.0, room.bottom()));
    (
        views,
        Some(Rect::from_min_max(pos2(border, room.top()), room.max)),
    )
}

/// The area of each view inside its rulers.
fn view_areas(room: Rect, shown: Shown) -> Vec<(View, Rect)> {
    let views = shown.views();
    let gap = 6.0;
    let count = if views.len() > 1 { 2.0 } else { 1.0 };
    let height = (room.height() - gap * (count - 1.0)) / count;
    views
        .iter()
        .enumerate()
        .map(|(index, view)| {
            let top = room.top() + if index > 0 { height + gap } else { 0.0 };
            let inner = pos2(room.left() + paint::RULER_WIDTH, top + paint::RULER_HEIGHT);
            (
                *view,
                Rect::from_min_max(inner, pos2(room.right(), top + height)),
            )
        })
        .collect()
}

fn column_ui(
    ui: &mut Ui,
    column: Rect,
    input: &DiagramInput<'_>,
    scene: &Scene,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let builder = UiBuilder::new().id_salt("diagram column").max_rect(column);
    let mut ui = ui.new_child(builder);
    egui::ScrollArea::vertical()
        .auto_shrink(false)
        .show(&mut ui, |ui| {
            ui.spacing_mut().item_spacing = vec2(6.0, 3.0);
            inspector::inspector_ui(ui, input, scene, state, output);
            if state.layers.legend {
                legend::legend_ui(ui, scene, state.layers);
            }
        });
}

//! Pointer, focus and selection in one view.

use egui::{
    Event, Id, Key, PointerButton, Pos2, Rect, Response, Role, Sense, Ui, Vec2, WidgetInfo,
};

use super::{
    drag, edits, hit, keys,
    nodes::{Node, centre_text, nodes, point_text},
    paint::{self, Canvas},
    palette::Palette,
    polygon,
    projection::{Projection, View},
    scene::Scene,
    state::{DiagramInput, DiagramOutput, DiagramState, Held},
};

/// What a frame of one view works on.
pub(super) struct Frame<'a> {
    pub(super) input: &'a DiagramInput<'a>,
    pub(super) scene: &'a Scene,
    pub(super) projection: Projection,
}

/// The id of a thing in a view.
fn node_id(view: View, pointer: &str, twin: bool) -> Id {
    Id::unique(("diagram", view, pointer, twin))
}

/// Shows one view with its rulers and lets a person work in it.
pub(super) fn show(
    ui: &Ui,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let (view, area) = (frame.projection.view, frame.projection.area);
    let background = ui.interact(area, node_id(view, "", false), Sense::click_and_drag());
    let label = match view {
        View::Side => "Side view",
        View::Plan => "Plan view",
    };
    background.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, label));
    navigate(ui, &background, frame, state);
    find_hovered(ui, frame, state);
    keys::keep_focus(ui, &background, view, false, state);
    if state.placing.is_some() {
        place(ui, &background, frame, state, output);
    } else {
        select(ui, &background, frame, state, output);
        if !ui.input(|i| i.key_down(Key::Space)) {
            things(ui, frame, state, output);
        }
    }
    draw(ui, frame, state);
}

fn draw(ui: &Ui, frame: &Frame<'_>, state: &DiagramState) {
    // What a drag holds is drawn where the drop would put it.
    let mut scene = frame.scene.clone();
    if let Some(held) = &state.drag {
        drag::preview(&mut scene, frame.input.profile, held);
    }
    let canvas = Canvas {
        painter: ui.painter_at(frame.projection.area),
        projection: frame.projection,
        palette: Palette::of(ui),
        measure: frame.input.measure(),
        input: frame.input,
        scene: &scene,
        state,
    };
    canvas.draw(ui.painter());
    if let (Some(placing), Some(at)) = (state.placing, ui.ctx().pointer_latest_pos())
        && frame.projection.area.contains(at)
    {
        paint::glyph(&canvas.painter, at, 7.5, placing.kind, canvas.palette);
    }
}

/// Dragging the empty drawing or with the middle button pans; the wheel and pinching zoom at the pointer.
fn navigate(ui: &Ui, background: &Response, frame: &Frame<'_>, state: &mut DiagramState) {
    let view = frame.projection.view;
    let pans = background.dragged_by(PointerButton::Primary)
        || background.dragged_by(PointerButton::Middle);
    if pans {
        state.camera.pan(view, background.drag_delta());
        ui.set_cursor_icon(egui::CursorIcon::Grabbing);
    }
    let Some(at) = hover_position(ui, frame.projection.area) else {
        return;
    };
    let (scroll, pinch) = ui.input(|i| (i.smooth_scroll_delta(), i.zoom_delta()));
    let wheel = f64::from(scroll.y / 240.0).exp2();
    let factor = f64::from(pinch) * wheel;
    if (factor - 1.0).abs() > 1e-6 {
        state.camera = frame.projection.zoomed(at, factor);
    }
    if scroll.x != 0.0 {
        state.camera.pan(view, Vec2::new(scroll.x, 0.0));
    }
}

/// Where the pointer is, if it is over this area and nothing covers it.
fn hover_position(ui: &Ui, area: Rect) -> Option<Pos2> {
    ui.rect_contains_pointer(area)
        .then(|| ui.input(|i| i.pointer.latest_pos()))?
}

fn find_hovered(ui: &Ui, frame: &Frame<'_>, state: &mut DiagramState) {
    let Some(at) = hover_position(ui, frame.projection.area) else {
        return;
    };
    if state.drag.is_some() {
        return;
    }
    let near_centre = centre_place(frame).is_some_and(|c| c.distance(at) < hit::REACH);
    state.hovered = if near_centre && state.layers.centre {
        Some(paint::CENTRE.to_owned())
    } else {
        let hits = hit::under(frame.scene, &frame.projection, state.layers, at);
        hits.first().map(|h| h.pointer.clone())
    };
}

/// Where the centre of gravity is on the screen, if this view can show it.
fn centre_place(frame: &Frame<'_>) -> Option<Pos2> {
    let centre = frame.scene.centre?;
    let up = match frame.projection.view {
        View::Side => centre.z,
        View::Plan => centre.y,
    };
    Some(frame.projection.screen_from_flat([centre.x.0, up?.0]))
}

fn place(
    ui: &Ui,
    background: &Response,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    ui.set_cursor_icon(egui::CursorIcon::Crosshair);
    let (Some(placing), true) = (state.placing, background.clicked()) else {
        return;
    };
    // Pressing Enter on the focused view places in its middle.
    let at = background
        .interact_pointer_pos()
        .unwrap_or(frame.projection.area.center());
    let flat = drag::snapped(frame, state, at, None).flat;
    let view = frame.projection.view;
    let made = edits::add_point(
        frame.input.profile,
        placing.kind,
        placing.mirrored,
        (view, flat),
        frame.input.measure(),
    );
    if let Some((edit, pointer)) = made {
        output.edits.push(edit);
        output.went_to = Some(pointer.clone());
        state.selection = Some(pointer);
        state.placing = None;
        state.focus_wanted = true;
        state.hint = Some(match view {
            View::Side => "Placed. Move it out from the centre plane in the plan view.".to_owned(),
            View::Plan => "Placed. Give its height in the side view or beside.".to_owned(),
        });
    }
}

/// Clicks on the empty drawing and on what has no name of its own, such as the outlines.
fn select(
    ui: &Ui,
    background: &Response,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    offer_menu(background, frame, state, output);
    let Some(at) = background.interact_pointer_pos() else {
        return;
    };
    if background.double_clicked() && insert_corner(frame, state, output, at) {
        return;
    }
    if background.clicked() {
        background.request_focus();
        click(ui, frame, state, output, at);
    }
}

/// Selects what lies under a click; clicking again goes on to what lies beneath.
fn click(
    ui: &Ui,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
    at: Pos2,
) {
    let hits = hit::under(frame.scene, &frame.projection, state.layers, at);
    let chosen = hit::choose(&hits, state.selection.as_deref());
    state.hint = (hits.len() > 1).then(|| {
        let names: Vec<&str> = hits.iter().map(|h| h.name.as_str()).collect();
        format!(
            "{} here: {}. Click again for the next.",
            hits.len(),
            names.join(", ")
        )
    });
    state.selection = chosen.map(|h| h.pointer.clone());
    output.went_to.clone_from(&state.selection);
    if let Some(pointer) = &state.selection {
        let id = node_id(frame.projection.view, pointer, false);
        ui.memory_mut(|m| m.request_focus(id));
    }
}

/// The things under the pointer, by name, to select any of them.
fn offer_menu(
    response: &Response,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    if response.secondary_clicked()
        && let Some(at) = response.interact_pointer_pos()
    {
        state.menu = hit::under(frame.scene, &frame.projection, state.layers, at);
    }
    if state.menu.is_empty() {
        return;
    }
    response.context_menu(|ui| {
        for hit in state.menu.clone() {
            if ui.button(format!("Select {}", hit.name)).clicked() {
                state.selection = Some(hit.pointer.clone());
                output.went_to = Some(hit.pointer);
                ui.close();
            }
        }
    });
}

/// A double click on an edge of the selected outline puts a corner there.
fn insert_corner(
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
    at: Pos2,
) -> bool {
    let view = frame.projection.view;
    let selected = frame
        .scene
        .editable_outlines()
        .find(|o| o.view == view && o.pointer.as_deref().is_some_and(|p| state.is_selected(p)));
    let Some((outline, pointer)) = selected.and_then(|o| Some((o, o.pointer.as_deref()?))) else {
        return false;
    };
    let corners = hit::on_screen(&outline.corners, &frame.projection);
    let Some((edge, distance)) = polygon::nearest_edge(&corners, at) else {
        return false;
    };
    if distance > 7.0 {
        return false;
    }
    let flat = frame.projection.flat_from_screen(at);
    output
        .edits
        .push(edits::insert_corner(pointer, edge + 1, flat, outline.unit));
    state.selection = Some(format!("{pointer}/corners/{}", edge + 1));
    true
}

/// Everything with a name, from the back to the front.
fn things(ui: &Ui, frame: &Frame<'_>, state: &mut DiagramState, output: &mut DiagramOutput) {
    let area = frame.projection.area;
    for node in nodes(frame, state) {
        let seen = node.area.intersect(area);
        if !seen.is_positive() {
            continue;
        }
        thing(ui, frame, state, output, &node, seen);
    }
    if let Some(at) = centre_place(frame).filter(|at| area.contains(*at) && state.layers.centre) {
        let place = Rect::from_center_size(at, Vec2::splat(hit::REACH * 2.0));
        let id = node_id(frame.projection.view, paint::CENTRE, false);
        let response = ui.interact(place, id, Sense::hover());
        let text = centre_text(frame);
        response.widget_info(|| WidgetInfo::labeled(Role::Label, true, &text));
        response.on_hover_text_at_pointer(text);
    }
}

fn thing(
    ui: &Ui,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
    node: &Node,
    seen: Rect,
) {
    let view = frame.projection.view;
    let sense = if node.held.is_some() {
        Sense::click_and_drag()
    } else {
        Sense::click()
    };
    let response = ui.interact(seen, node_id(view, &node.pointer, node.twin), sense);
    let selected = state.selection.as_deref() == Some(node.pointer.as_str());
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, selected, &node.label));
    if state.focus_wanted && selected && !node.twin && node.held.is_some() {
        response.request_focus();
        state.focus_wanted = false;
    }
    keys::keep_focus(ui, &response, view, node.twin, state);
    if response.gained_focus() && !selected && !response.clicked() {
        state.selection = Some(node.pointer.clone());
        output.went_to = Some(node.pointer.clone());
    }
    offer_menu(&response, frame, state, output);
    if response.dragged_by(PointerButton::Middle) {
        state.camera.pan(view, response.drag_delta());
    }
    if let Some(held) = &node.held {
        drag::follow(ui, &response, (frame, held, &node.pointer), state, output);
    }
    clicked(ui, &response, frame, state, output, node);
    let point = frame
        .scene
        .points
        .iter()
        .find(|p| p.pointer == node.pointer);
    if let Some(point) = point.filter(|_| state.drag.is_none()) {
        response.on_hover_text_at_pointer(point_text(frame, point));
    }
}

fn clicked(
    ui: &Ui,
    response: &Response,
    frame: &Frame<'_>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
    node: &Node,
) {
    let at = response.interact_pointer_pos();
    if response.double_clicked()
        && let Some(at) = at
        && insert_corner(frame, state, output, at)
    {
        return;
    }
    if !response.clicked() {
        return;
    }
    match at {
        // A corner's handle is small and on top: it is meant itself.
        Some(at) if !matches!(node.held, Some(Held::Corner { .. })) => {
            click(ui, frame, state, output, at);
        }
        // Clicked by keyboard or by assistive software: no place, so the thing itself is meant.
        _ => {
            state.selection = Some(node.pointer.clone());
            output.went_to = Some(node.pointer.clone());
            response.request_focus();
        }
    }
}

/// Whether Escape was pressed in this frame, read from the events so that it is seen before anything consumes it.
pub(super) fn escape_pressed(ui: &Ui) -> bool {
    ui.input(|i| {
        let is_escape = |e: &Event| {
            matches!(
                e,
                Event::Key {
                    key: Key::Escape,
                    pressed: true,
                    ..
                }
            )
        };
        i.events.iter().any(is_escape)
    })
}

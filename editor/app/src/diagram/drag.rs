//! Dragging points and corners: nothing is changed until the drop, which is one edit.

use chockstone_schema::Profile;
use egui::{PointerButton, Pos2, Response, Ui};

use super::{
    edits,
    projection::View,
    rounding,
    scene::{Outline, Scene},
    snap::{self, Line, Snapped},
    state::{DiagramOutput, DiagramState, Drag, Held},
    view::{Frame, escape_pressed},
};

/// How far on the screen a line pulls.
const PULL: f32 = 6.0;

/// Begins, follows and ends a drag of one thing.
pub(super) fn follow(
    ui: &Ui,
    response: &Response,
    (frame, held, pointer): (&Frame<'_>, &Held, &str),
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    if escape_pressed(ui) {
        state.drag = None;
        return;
    }
    if response.drag_started_by(PointerButton::Primary) {
        begin(ui, frame, held, state);
        state.selection = Some(pointer.to_owned());
        output.went_to = Some(pointer.to_owned());
        response.request_focus();
    }
    let mine = state
        .drag
        .as_ref()
        .is_some_and(|d| d.held == *held && d.view == frame.projection.view);
    if !mine {
        return;
    }
    if let Some(at) = response.interact_pointer_pos() {
        ui.set_cursor_icon(egui::CursorIcon::Grabbing);
        move_to(ui, frame, state, at);
    }
    if response.drag_stopped()
        && let Some(drag) = state.drag.take()
    {
        output
            .edits
            .extend(drop_edit(frame, &drag).filter(|edit| !edit.ops.is_empty()));
    }
}

fn begin(ui: &Ui, frame: &Frame<'_>, held: &Held, state: &mut DiagramState) {
    let Some(press) = ui.input(|i| i.pointer.press_origin()) else {
        return;
    };
    let Some([across, up]) = place_of(frame, held) else {
        return;
    };
    let [from_across, from_up] = frame.projection.flat_from_screen(press);
    state.hint = None;
    state.drag = Some(Drag {
        held: held.clone(),
        view: frame.projection.view,
        grip: [across - from_across, up - from_up],
        flat: original(held, [across, up]),
        lines: Vec::new(),
    });
}

/// A twin's coordinates as those of its original, and the other way round.
fn original(held: &Held, [across, up]: [f64; 2]) -> [f64; 2] {
    match held {
        Held::Point { twin: true, .. } => [across, -up],
        _ => [across, up],
    }
}

fn outline_at<'s>(scene: &'s Scene, pointer: &str) -> Option<&'s Outline> {
    scene
        .editable_outlines()
        .find(|o| o.pointer.as_deref() == Some(pointer))
}

/// Where a thing is drawn, in the view's two coordinates.
fn place_of(frame: &Frame<'_>, held: &Held) -> Option<[f64; 2]> {
    match held {
        Held::Point { index, .. } => {
            let point = frame.scene.point(&format!("/points/{index}"))?;
            Some(original(held, frame.projection.view.flatten(point.place)))
        }
        Held::Corner { outline, index } => outline_at(frame.scene, outline)?
            .corners
            .get(*index)
            .copied(),
    }
}

fn move_to(ui: &Ui, frame: &Frame<'_>, state: &mut DiagramState, at: Pos2) {
    let Some(drag) = state.drag.clone() else {
        return;
    };
    let [across, up] = frame.projection.flat_from_screen(at);
    let [grip_across, grip_up] = drag.grip;
    let wish = [across + grip_across, up + grip_up];
    // Holding Alt lets the thing go where the pointer goes.
    let free = !state.snap || ui.input(|i| i.modifiers.alt);
    let snapped = if free {
        Snapped {
            flat: wish,
            lines: Vec::new(),
        }
    } else {
        snap_flat(frame, wish, Some(&drag.held))
    };
    if let Some(drag) = &mut state.drag {
        drag.flat = original(&drag.held, snapped.flat);
        drag.lines = snapped.lines;
    }
}

/// Where a place on the screen is, pulled onto lines that matter.
pub(super) fn snapped(
    frame: &Frame<'_>,
    state: &DiagramState,
    at: Pos2,
    held: Option<&Held>,
) -> Snapped {
    let flat = frame.projection.flat_from_screen(at);
    if state.snap {
        snap_flat(frame, flat, held)
    } else {
        Snapped {
            flat,
            lines: Vec::new(),
        }
    }
}

fn snap_flat(frame: &Frame<'_>, flat: [f64; 2], held: Option<&Held>) -> Snapped {
    let reach = f64::from(PULL) / frame.projection.camera.scale;
    snap::snap(flat, &lines(frame, held), reach)
}

/// The ground or the centre plane, the axles, and the coordinates of other points, on both sides.
fn lines(frame: &Frame<'_>, held: Option<&Held>) -> Vec<Line> {
    let view = frame.projection.view;
    let mut lines = vec![Line {
        across: false,
        at: 0.0,
    }];
    lines.extend(frame.scene.axles.iter().map(|a| Line {
        across: true,
        at: a.x,
    }));
    let own = match held {
        Some(Held::Point { index, .. }) => Some(format!("/points/{index}")),
        _ => None,
    };
    let others = frame
        .scene
        .points
        .iter()
        .filter(|p| Some(&p.pointer) != own.as_ref());
    for point in others {
        let [across, up] = view.flatten(point.place);
        lines.push(Line {
            across: true,
            at: across,
        });
        if view == View::Plan {
            lines.extend([up, -up].map(|at| Line { across: false, at }));
        } else if point.height_known {
            lines.push(Line {
                across: false,
                at: up,
            });
        }
    }
    lines
}

/// The place of the point as the drop will write it.
fn point_place(profile: &Profile, index: usize, drag: &Drag) -> Option<[f64; 3]> {
    let point = profile.points.get(index)?;
    let place = drag
        .view
        .unflatten(drag.flat, super::scene::metres(&point.place));
    Some(edits::rounded_place(point, drag.view, place))
}

/// Puts what is dragged into a scene, where the drop would put it.
pub(super) fn preview(scene: &mut Scene, profile: &Profile, drag: &Drag) {
    match &drag.held {
        Held::Point { index, .. } => {
            let pointer = format!("/points/{index}");
            if let Some(place) = point_place(profile, *index, drag) {
                scene.preview_point(&pointer, place, drag.view == View::Side);
            }
        }
        Held::Corner { outline, index } => {
            let Some(unit) = outline_at(scene, outline).map(|o| o.unit) else {
                return;
            };
            let corner = rounding::corner_near(drag.flat, unit).map(|c| c * unit.metres());
            scene.preview_corner(outline, *index, corner);
        }
    }
}

fn drop_edit(frame: &Frame<'_>, drag: &Drag) -> Option<crate::document::Edit> {
    let profile = frame.input.profile;
    match &drag.held {
        Held::Point { index, .. } => {
            let point = profile.points.get(*index)?;
            let place = drag
                .view
                .unflatten(drag.flat, super::scene::metres(&point.place));
            edits::move_point(profile, *index, drag.view, place)
        }
        Held::Corner { outline, index } => {
            let unit = outline_at(frame.scene, outline)?.unit;
            Some(edits::move_corner(outline, *index, drag.flat, unit))
        }
    }
}

//! The diagram's keyboard: it works while a view or a thing in it has the focus.

use egui::{EventFilter, Key, Modifiers, Response, Ui, vec2};

use super::{
    edits,
    projection::{Projection, View},
    scene::Scene,
    state::{DiagramInput, DiagramOutput, DiagramState},
};

/// What the keys do, for the help text.
pub(super) const HELP: &str = "Arrow keys move the selected point by 1 mm or 1/8 in, ten times that with Shift. \
    Plus and minus zoom, 0 shows everything. Delete deletes, D duplicates, M mirrors, \
    Escape gives a drag up. Drag the empty drawing, or anything with the middle button or the space bar held, to pan.";

/// Notes that something in a view has the focus and keeps the arrow keys and Escape for it.
pub(super) fn keep_focus(
    ui: &Ui,
    response: &Response,
    view: View,
    twin: bool,
    state: &mut DiagramState,
) {
    if !response.has_focus() {
        return;
    }
    let filter = EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: true,
        escape: true,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
    state.focused_view = Some((view, twin));
}

fn pressed(ui: &Ui, modifiers: Modifiers, key: Key) -> bool {
    ui.input_mut(|i| i.consume_key(modifiers, key))
}

/// Does what the keys of this frame say.
pub(super) fn act(
    ui: &Ui,
    input: &DiagramInput<'_>,
    scene: &Scene,
    projection: Option<&Projection>,
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    let Some((view, twin)) = state.focused_view else {
        return;
    };
    if pressed(ui, Modifiers::NONE, Key::Escape) {
        escape(state);
    }
    if let Some(presses) = arrows(ui) {
        move_by_keys((input, scene), (view, twin), presses, state, output);
    }
    if let Some(projection) = projection {
        zoom(ui, projection, state);
    }
    let Some(index) = state.selected_point() else {
        if pressed(ui, Modifiers::NONE, Key::Delete) {
            delete_corner(scene, state, output);
        }
        return;
    };
    let profile = input.profile;
    if pressed(ui, Modifiers::NONE, Key::D)
        && let Some((edit, pointer)) = edits::duplicate_point(profile, index)
    {
        output.edits.push(edit);
        output.went_to = Some(pointer.clone());
        state.selection = Some(pointer);
        state.focus_wanted = true;
    }
    if pressed(ui, Modifiers::NONE, Key::M) {
        let mirrored = profile.points.get(index).is_some_and(|p| p.mirrored);
        output
            .edits
            .extend(edits::set_mirrored(profile, index, !mirrored));
    }
    if pressed(ui, Modifiers::NONE, Key::Delete) {
        output.edits.extend(edits::delete_point(profile, index));
        state.selection = None;
    }
}

/// Gives up what is under way, else the selection.
fn escape(state: &mut DiagramState) {
    if state.drag.take().is_some() || state.placing.take().is_some() {
        return;
    }
    state.selection = None;
    state.hint = None;
}

/// The arrow keys of this frame as steps across and up the view.
fn arrows(ui: &Ui) -> Option<[f64; 2]> {
    let (mut across, mut up) = (0.0, 0.0);
    // Shift first: without it a key matches with any Shift.
    for (modifiers, size) in [(Modifiers::SHIFT, 10.0), (Modifiers::NONE, 1.0)] {
        let take = |key, axis: &mut f64, step: f64| {
            if pressed(ui, modifiers, key) {
                *axis += step;
            }
        };
        take(Key::ArrowRight, &mut across, size);
        take(Key::ArrowLeft, &mut across, -size);
        take(Key::ArrowUp, &mut up, size);
        take(Key::ArrowDown, &mut up, -size);
    }
    let steps = [across, up];
    (steps != [0.0, 0.0]).then_some(steps)
}

fn move_by_keys(
    (input, scene): (&DiagramInput<'_>, &Scene),
    (view, twin): (View, bool),
    [across, up]: [f64; 2],
    state: &mut DiagramState,
    output: &mut DiagramOutput,
) {
    if let Some(index) = state.selected_point() {
        // The twin's left is the original's right.
        let up = if twin && view == View::Plan { -up } else { up };
        output
            .edits
            .extend(edits::nudge_point(input.profile, index, view, [across, up]));
    } else if let Some((outline, index)) = state.selected_corner() {
        let found = scene
            .editable_outlines()
            .find(|o| o.pointer.as_deref() == Some(outline));
        let corner = found.and_then(|o| Some((o.unit, *o.corners.get(index)?)));
        output.edits.extend(
            corner
                .map(|(unit, flat)| edits::nudge_corner(outline, index, flat, unit, [across, up])),
        );
    } else {
        #[expect(clippy::cast_possible_truncation, reason = "a few presses")]
        state
            .camera
            .pan(view, vec2(-across as f32, up as f32) * 20.0);
    }
}

fn zoom(ui: &Ui, projection: &Projection, state: &mut DiagramState) {
    let middle = projection.area.center();
    if pressed(ui, Modifiers::NONE, Key::Plus) || pressed(ui, Modifiers::NONE, Key::Equals) {
        state.camera = projection.zoomed(middle, 1.25);
    }
    if pressed(ui, Modifiers::NONE, Key::Minus) {
        state.camera = projection.zoomed(middle, 0.8);
    }
    if pressed(ui, Modifiers::NONE, Key::Num0) || pressed(ui, Modifiers::NONE, Key::Home) {
        state.fit_wanted = true;
    }
}

/// Deletes the selected corner; an outline keeps at least three.
pub(super) fn delete_corner(scene: &Scene, state: &mut DiagramState, output: &mut DiagramOutput) {
    let Some((outline, index)) = state.selected_corner() else {
        return;
    };
    let found = scene
        .editable_outlines()
        .find(|o| o.pointer.as_deref() == Some(outline));
    let Some(edit) = found.and_then(|o| edits::delete_corner(outline, index, o.corners.len()))
    else {
        state.hint = Some("An outline needs at least three corners.".to_owned());
        return;
    };
    output.edits.push(edit);
    state.selection = Some(outline.to_owned());
}

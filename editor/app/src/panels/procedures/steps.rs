//! The steps of the chosen procedure: their cards in order, and the ways to bring them into another.

use egui::{
    Align, DragAndDrop, Frame, Id, Key, Margin, Modifiers, Rect, RichText, Stroke, Ui, vec2,
};
use serde_json::{Value, json};

use super::{
    Inserting, ProceduresState,
    card::{self, Card, Dragged, StepAct},
    items,
};
use crate::{
    document::Edit,
    form::{self, Field, Form},
    pointer,
    theme::Tokens,
    widgets::entry::{self, Entry, EntryOutcome},
};

/// How near the pointer comes to an edge before the view follows a dragged card.
const EDGE: f32 = 36.0;
/// How far the view then goes in one frame.
const SCROLL: f32 = 9.0;

/// Draws the steps of a procedure.
pub(super) fn show(ui: &mut Ui, form: &mut Form<'_>, state: &mut ProceduresState, index: usize) {
    let place = pointer::join(&super::at(index), "steps");
    let Some(list) = form.field(&place, "Steps") else {
        return;
    };
    let steps = items(form.value, &place);
    heading_ui(ui, form, state, &list, steps);
    let mut asked = state
        .waiting
        .take()
        .map(|(from, to)| (from, StepAct::MoveTo(to)));
    asked = asked.or_else(|| by_key(ui, state, steps.len()));
    if steps.is_empty() {
        card::none_ui(ui);
    } else if let Some(told) = state.told(index).filter(|_| !state.states_hidden) {
        told.start_ui(ui);
    }
    asked = cards_ui(ui, form, state, &list, index).or(asked);
    asked = dropped(ui, &state.cards).or(asked);
    if state.inserting.is_none() {
        add_button_ui(ui, state, steps.len());
    }
    if let Some((from, act)) = asked {
        carry_out(ui, form, state, &list, (from, act));
    }
}

fn heading_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    steps: &[Value],
) {
    ui.add_space(8.0);
    let behind = form::reserve(ui);
    let drawn = ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("Steps").strong().size(15.5));
        form::remark(ui, &steps.len().to_string());
        fold_all_ui(ui, form, list, steps.len());
        let mut shown = !state.states_hidden;
        if ui.checkbox(&mut shown, "State between the steps").changed() {
            state.states_hidden = !shown;
        }
    });
    form::lead_to_group(ui, form, list, drawn.response.rect, behind);
    form::below(ui, form, list, false);
}

fn fold_all_ui(ui: &mut Ui, form: &mut Form<'_>, list: &Field<'_>, count: usize) {
    if count < 2 {
        return;
    }
    let place = |index| card::at(&list.pointer, index);
    let any_open = (0..count).any(|i| form.state.is_unfolded(&place(i), true));
    let text = if any_open { "Fold all" } else { "Unfold all" };
    let name = format!("{text} steps");
    if ui.button(text).accessible_name(name).clicked() {
        for index in 0..count {
            form.state.unfold(&place(index), !any_open);
        }
    }
}

/// Draws the cards and what stands between them; tells what a person asks of one.
fn cards_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    procedure: usize,
) -> Option<(usize, StepAct)> {
    let steps = items(form.value, &list.pointer);
    let node = list.node.items()?;
    let dragged = DragAndDrop::payload::<Dragged>(ui.ctx()).map(|d| d.0);
    let mut asked = None;
    state.cards.clear();
    for (index, step) in steps.iter().enumerate() {
        insert_ui(ui, form, state, list, index);
        let id = step.get("id").and_then(Value::as_str);
        let card = Card {
            field: Field {
                node,
                pointer: card::at(&list.pointer, index),
                label: id.unwrap_or_default().to_owned(),
                prefix: String::new(),
                required: true,
            },
            step,
            index,
            count: steps.len(),
            is_dragged: dragged == Some(index),
        };
        let (rect, act) = card.show(ui, form);
        asked = act.map(|act| (index, act)).or(asked);
        reveal(ui, state, index, rect);
        state.cards.push(rect);
        if let Some(told) = state.told(procedure).filter(|_| !state.states_hidden) {
            told.after_ui(ui, index);
        }
    }
    insert_ui(ui, form, state, list, steps.len());
    asked
}

fn reveal(ui: &Ui, state: &mut ProceduresState, index: usize, rect: Rect) {
    if state.reveal == Some(index) {
        state.reveal = None;
        let top = rect.with_max_y(rect.top() + rect.height().min(160.0));
        ui.scroll_to_rect(top.expand(8.0), None);
    }
}

/// Moves the step in which the focus is, on Alt with an arrow key.
fn by_key(ui: &Ui, state: &mut ProceduresState, count: usize) -> Option<(usize, StepAct)> {
    let focused = ui.memory(egui::Memory::focused)?;
    let response = ui.ctx().read_response(focused)?;
    if response.layer_id != ui.layer_id() {
        return None;
    }
    let here = response.rect.center();
    let from = state.cards.iter().position(|card| card.contains(here))?;
    let pressed = |key| ui.input_mut(|i| i.consume_key(Modifiers::ALT, key));
    let to = if pressed(Key::ArrowUp) {
        from.checked_sub(1)?
    } else if pressed(Key::ArrowDown) {
        Some(from + 1).filter(|to| *to < count)?
    } else {
        return None;
    };
    if entry::finish_editing(ui.ctx()) {
        // The field hands over its text in this frame, and the step moves in the next.
        state.waiting = Some((from, to));
        return None;
    }
    Some((from, StepAct::MoveTo(to)))
}

/// Shows where a dragged card would go, and moves it there when it is let go.
fn dropped(ui: &Ui, cards: &[Rect]) -> Option<(usize, StepAct)> {
    let from = DragAndDrop::payload::<Dragged>(ui.ctx())?.0;
    let pointer = ui.ctx().pointer_interact_pos()?;
    let gap = cards
        .iter()
        .filter(|card| card.center().y < pointer.y)
        .count();
    let first = cards.first()?;
    let y = match gap.checked_sub(1).and_then(|above| cards.get(above)) {
        Some(above) => above.bottom() + 3.0,
        None => first.top() - 3.0,
    };
    let stroke = Stroke::new(3.0, Tokens::of(ui).accent);
    ui.painter().hline(first.x_range(), y, stroke);
    follow(ui, pointer.y);
    if !ui.input(|i| i.pointer.any_released()) {
        return None;
    }
    DragAndDrop::clear_payload(ui.ctx());
    let to = if gap > from { gap - 1 } else { gap };
    (to != from).then_some((from, StepAct::MoveTo(to)))
}

/// Moves the view while a card is held near its upper or lower edge.
fn follow(ui: &Ui, y: f32) {
    let view = ui.clip_rect();
    let by = if y < view.top() + EDGE {
        SCROLL
    } else if y > view.bottom() - EDGE {
        -SCROLL
    } else {
        return;
    };
    ui.scroll_with_delta(vec2(0.0, by));
    ui.ctx().request_repaint();
}

fn carry_out(
    ui: &Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    (index, act): (usize, StepAct),
) {
    let steps = items(form.value, &list.pointer);
    let place = card::at(&list.pointer, index);
    let id = steps.get(index).and_then(|step| step.get("id")?.as_str());
    let Some(field) = form.field(&place, id.unwrap_or_default()) else {
        return;
    };
    match act {
        StepAct::MoveTo(to) => {
            form::move_item(form, list, &field, index, to);
            let handle = card::handle_id(&card::at(&list.pointer, to));
            ui.memory_mut(|memory| memory.request_focus(handle));
            state.reveal = Some(to);
        }
        StepAct::Duplicate => {
            form::duplicate(form, list, &field, index, steps);
            state.reveal = Some(index + 1);
        }
        StepAct::Remove => form::delete(form, list, &field, index, steps),
        StepAct::InsertAfter => {
            state.inserting = Some(Inserting {
                at: index + 1,
                fresh: true,
            });
        }
    }
}

fn add_button_ui(ui: &mut Ui, state: &mut ProceduresState, count: usize) {
    ui.add_space(4.0);
    if ui.button("Add a step…").clicked() {
        state.inserting = Some(Inserting {
            at: count,
            fresh: true,
        });
    }
}

/// Draws the empty line whose text becomes a step, if it is open here.
fn insert_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    at: usize,
) {
    let Some(inserting) = state.inserting.filter(|i| i.at == at) else {
        return;
    };
    let tokens = Tokens::of(ui);
    let id = Id::unique(("new step", &list.pointer, at));
    Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.accent))
        .corner_radius(6)
        .inner_margin(Margin::symmetric(8, 6))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let name = format!("New step {}: what to do", at + 1);
            let width = ui.available_width() - 16.0;
            let entry = Entry::new(id, &name, "").hint("What to do").width(width);
            let (response, outcome) = entry.wrapping().show(ui);
            if inserting.fresh {
                response.request_focus();
                response.scroll_to_me(Some(Align::Center));
                state.inserting = Some(Inserting { at, fresh: false });
            } else if let EntryOutcome::Entered(typed) = outcome {
                insert(ui, form, state, list, at, (id, typed));
            } else if !response.has_focus() && !entry::is_refused(ui.ctx(), id, "") {
                state.inserting = None;
            }
            entry::refusal_ui(ui, id, "");
        });
}

fn insert(
    ui: &Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    list: &Field<'_>,
    at: usize,
    (id, typed): (Id, String),
) {
    let text = typed.trim();
    if text.is_empty() {
        state.inserting = None;
        return;
    }
    let steps = items(form.value, &list.pointer);
    let language = form.languages().first().copied().unwrap_or("en");
    let value = json!({ "id": form::free_id("step", steps), "text": { language: text } });
    let place = card::at(&list.pointer, at);
    form.state
        .follow(&list.pointer, |i| Some(if i >= at { i + 1 } else { i }));
    form.state.unfold(&place, true);
    let edit = Edit::insert("add step", place, value);
    form.send(list, edit, Some((id, String::new(), typed.clone())));
    // After Enter a further step may follow; after a click or a tab elsewhere none is wanted.
    let by_pointer = ui.input(|i| i.pointer.any_pressed() || i.pointer.any_released());
    let goes_on = !by_pointer && ui.memory(egui::Memory::focused).is_none();
    state.inserting = goes_on.then_some(Inserting {
        at: at + 1,
        fresh: true,
    });
}

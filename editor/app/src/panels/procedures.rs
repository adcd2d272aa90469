//! The page that edits procedures: the list of them, what the chosen one is for, its steps in order, and what holds
//! between them.
//!
//! Fields are those of the generic form, so every change is a named step that can be taken back. What holds after each
//! step and what is wrong with it comes from `chockstone_rules::plan::walk`, worked out once for each change of the document.

use std::sync::Arc;

use chockstone_schema::{Profile, report::Finding};
use egui::{Rect, ScrollArea, Ui};
use serde_json::Value;

use crate::{
    command::Command,
    form::{self, Form, FormContext, FormState},
    pointer,
};

mod between;
mod card;
mod chips;
mod head;
mod holds;
mod list;
mod rest;
mod steps;
mod targets;
mod texts;
mod words;
mod worked;

use between::Told;
use worked::Worked;

/// Where the procedures are.
const LIST: &str = "/procedures";
/// Below this width the list of procedures stands above the chosen one and not beside it.
const LEAST_WIDTH_FOR_TWO_COLUMNS: f32 = 700.0;
/// The width of the column of procedures.
const LIST_WIDTH: f32 = 212.0;
/// The width of the column of labels.
const LABELS: f32 = 118.0;

/// What the page is shown.
pub struct ProceduresInput<'a> {
    /// The profile; no part of it is unfinished.
    pub profile: &'a Profile,
    /// What forms read, with every language of the profile.
    pub form: FormContext<'a>,
}

/// The page between frames.
#[derive(Debug, Default)]
pub struct ProceduresState {
    /// The id of the chosen procedure, and where it stood last.
    chosen: (String, usize),
    /// The procedure that the list was last moved to.
    listed: Option<usize>,
    /// Whether what the procedure is for is folded away.
    about_folded: bool,
    /// Whether the state between the steps is left out.
    states_hidden: bool,
    worked: Option<Worked>,
    /// Where the cards of the steps were drawn last.
    cards: Vec<Rect>,
    /// The empty line that becomes a step, if one is open.
    inserting: Option<Inserting>,
    /// A move by key that waits until a field has handed over its text.
    waiting: Option<(usize, usize)>,
    /// The step that the view is moved to once it is drawn.
    reveal: Option<usize>,
}

/// An empty line between steps.
#[derive(Debug, Clone, Copy)]
struct Inserting {
    /// The place that the new step takes.
    at: usize,
    /// Whether it still has to be given the focus.
    fresh: bool,
}

/// Draws the page and returns what a person asks of the window.
pub fn show(
    ui: &mut Ui,
    input: &ProceduresInput<'_>,
    state: &mut ProceduresState,
    form_state: &mut FormState,
) -> Vec<Command> {
    let findings = state.bring_up_to_date(input);
    let context = FormContext {
        findings: &findings,
        ..input.form
    };
    let draw = |ui: &mut Ui, form: &mut Form<'_>| {
        state.settle(form);
        if ui.available_width() >= LEAST_WIDTH_FOR_TWO_COLUMNS {
            two_columns_ui(ui, form, state, input.profile);
        } else {
            list::picker_ui(ui, form, state, input.profile);
            chosen_ui(ui, form, state);
        }
    };
    form::with_form(ui, &context, form_state, draw).1
}

fn two_columns_ui(
    ui: &mut Ui,
    form: &mut Form<'_>,
    state: &mut ProceduresState,
    profile: &Profile,
) {
    let room = ui.available_size();
    ui.horizontal_top(|ui| {
        let size = egui::vec2(LIST_WIDTH, room.y);
        ui.allocate_ui_with_layout(size, egui::Layout::default(), |ui| {
            list::add_menu_ui(ui, form, state, profile);
            ScrollArea::vertical()
                .id_salt("list of procedures")
                .auto_shrink(false)
                .show(ui, |ui| list::column_ui(ui, form, state));
        });
        let size = egui::vec2(ui.available_width(), room.y);
        ui.allocate_ui_with_layout(size, egui::Layout::default(), |ui| {
            chosen_ui(ui, form, state);
        });
    });
}

/// Draws the chosen procedure.
fn chosen_ui(ui: &mut Ui, form: &mut Form<'_>, state: &mut ProceduresState) {
    let index = state.chosen.1;
    ScrollArea::vertical()
        .id_salt(("procedure", index))
        .auto_shrink(false)
        .show(ui, |ui| {
            if items(form.value, LIST).is_empty() {
                list::nothing_ui(ui);
                return;
            }
            head::show(ui, form, state, index);
            steps::show(ui, form, state, index);
            ui.add_space(48.0);
        });
}

/// The items of a list, with unfinished ones.
fn items<'v>(value: &'v Value, list: &str) -> &'v [Value] {
    let items = value.pointer(list).and_then(Value::as_array);
    items.map(Vec::as_slice).unwrap_or_default()
}

/// The position of the procedure in which a place lies.
fn procedure_of(place: &str) -> Option<usize> {
    let rest = place.strip_prefix(LIST)?.strip_prefix('/')?;
    rest.split('/').next()?.parse().ok()
}

impl ProceduresState {
    /// Works out what the steps come to, when the document has changed; gives everything that is said of the profile.
    fn bring_up_to_date(&mut self, input: &ProceduresInput<'_>) -> Arc<[Finding]> {
        let revision = input.form.revision;
        match &self.worked {
            Some(worked) if worked.revision == revision => Arc::clone(&worked.findings),
            _ => {
                let worked = Worked::of(input.profile, revision, input.form.findings);
                let findings = Arc::clone(&worked.findings);
                self.worked = Some(worked);
                findings
            }
        }
    }

    /// What a procedure comes to; an unfinished one comes to nothing yet.
    fn told(&self, index: usize) -> Option<&Told> {
        self.worked.as_ref()?.told.get(index)
    }

    /// Follows the chosen procedure where it went, or goes where a person was led.
    fn settle(&mut self, form: &Form<'_>) {
        let spotlight = form.state.spotlight.as_ref();
        let led = spotlight.filter(|s| !s.reached);
        let procedures = items(form.value, LIST);
        if let Some(index) = led.and_then(|s| procedure_of(&s.pointer)) {
            self.choose(index.min(procedures.len().saturating_sub(1)));
        }
        let id_at = |index: usize| procedures.get(index)?.get("id")?.as_str();
        let (id, index) = &mut self.chosen;
        if id_at(*index) != Some(id) {
            let moved = procedures
                .iter()
                .position(|p| p.get("id").and_then(Value::as_str) == Some(id));
            *index = moved.unwrap_or((*index).min(procedures.len().saturating_sub(1)));
            id_at(*index).unwrap_or_default().clone_into(id);
        }
    }

    /// Shows another procedure.
    fn choose(&mut self, index: usize) {
        if self.chosen.1 != index {
            self.chosen = (String::new(), index);
            self.cards.clear();
            self.inserting = None;
            self.waiting = None;
            self.reveal = None;
        }
    }
}

/// The pointer of a procedure.
fn at(index: usize) -> String {
    pointer::join_index(LIST, index)
}

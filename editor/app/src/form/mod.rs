//! Forms drawn from the annotated schema: one for every part of the model, without a line of code for any of them.
//!
//! A form reads the document's values and never changes them. What a person does becomes an [`Edit`] that the window
//! applies; what the document refuses stays in its field with the reason.

use std::collections::BTreeMap;

use chockstone_schema::report::Finding;
use egui::{Context, Id, Ui};
use serde_json::Value;

use crate::{
    command::Command,
    document::{Edit, Op},
    pointer,
    theme::{GAP, LABEL_WIDTH},
    widgets::quantity_edit::UnitSystem,
};

mod blank;
mod leaf;
mod list;
mod outline;
mod place;
mod quantity;
mod reference;
mod rename;
mod row;
mod schema;
mod section;
mod set;
mod state;
mod summary;
mod text;
mod words;

pub(crate) use blank::free_id;
pub(crate) use list::{add_item, delete, duplicate, move_item};
pub(crate) use row::{below, finding_ui, lead_here, lead_to_group, remark, row};
pub use schema::{Choice, Kind, Node};
pub(crate) use section::{field_ui, finding_counts, fold_button, reserve, unfinished_ui};
pub(crate) use state::Draft;
pub use state::FormState;
pub use summary::Summary;
pub(crate) use summary::text_in;
pub(crate) use text::string_ui;
pub(crate) use words::choice_title;
pub use words::slug;

/// What forms read.
#[derive(Debug)]
pub struct FormContext<'a> {
    /// The annotated schema of the document.
    pub schema: Node<'a>,
    /// The document's values.
    pub document: &'a Value,
    /// The document's revision.
    pub revision: u64,
    /// In which units values are shown.
    pub system: UnitSystem,
    /// The languages whose texts are shown side by side, the base language first.
    pub languages: &'a [String],
    /// What the checks say.
    pub findings: &'a [Finding],
}

/// An edit from a form, with what the form must know when it is refused.
#[derive(Debug, Clone, PartialEq)]
pub struct FormEdit {
    /// The edit.
    pub edit: Edit,
    /// The field that it comes from.
    pub pointer: String,
    /// The draft that it would turn into a part of the document.
    pub draft: Option<String>,
    /// The text that was typed, if it was: which field, what that field showed, and the text.
    pub typed: Option<(Id, String, String)>,
}

impl FormState {
    /// Takes note of what the document made of an edit, so that a refusal is told beside its field.
    pub fn settle(
        &mut self,
        context: &Context,
        edit: &FormEdit,
        outcome: &Result<(), crate::document::Refusal>,
    ) {
        let draft = edit.draft.as_deref();
        match (outcome, &edit.typed) {
            (Ok(()), _) => self.accepted(draft),
            (Err(refusal), Some((id, shown, text))) if draft.is_none() => {
                let message = refusal.message();
                crate::widgets::entry::refuse(context, *id, shown, text.clone(), message);
            }
            (Err(refusal), _) => self.refused(&edit.pointer, draft, refusal),
        }
    }
}

/// Draws the form of some fields of the document's top level and says what a person did.
pub fn fields_ui(
    ui: &mut Ui,
    context: &FormContext<'_>,
    state: &mut FormState,
    fields: &[&str],
) -> Vec<Command> {
    let draw = |ui: &mut Ui, form: &mut Form<'_>| section::top_ui(ui, form, fields);
    with_form(ui, context, state, draw).1
}

/// Lets a page draw parts of a form in its own order; tells what the page answered and what a person did.
pub(crate) fn with_form<R>(
    ui: &mut Ui,
    context: &FormContext<'_>,
    state: &mut FormState,
    draw: impl FnOnce(&mut Ui, &mut Form<'_>) -> R,
) -> (R, Vec<Command>) {
    let value = state.overlay(context.document, context.revision);
    let mut commands = Vec::new();
    let mut form = Form {
        context,
        value: &value,
        state,
        commands: &mut commands,
        field_x: 0.0,
    };
    form.align_fields(ui, LABEL_WIDTH);
    let answer = draw(ui, &mut form);
    let reached = form.state.spotlight.as_mut().filter(|s| !s.reached);
    if let Some(spotlight) = reached {
        give_up_a_step(spotlight);
        ui.ctx().request_repaint();
    }
    (answer, commands)
}

/// A place that is not drawn (an absent field of an absent group) is looked for at the part that would hold it.
fn give_up_a_step(spotlight: &mut state::Spotlight) {
    spotlight.patience = spotlight.patience.saturating_sub(1);
    if spotlight.patience > 0 {
        return;
    }
    match spotlight.pointer.rsplit_once('/') {
        Some((parent, _)) if !parent.is_empty() => {
            spotlight.pointer = parent.to_owned();
            spotlight.patience = 2;
        }
        _ => spotlight.reached = true,
    }
}

/// A form while it is drawn.
pub(crate) struct Form<'a> {
    pub(crate) context: &'a FormContext<'a>,
    /// The document's values with unfinished parts in their places.
    pub(crate) value: &'a Value,
    pub(crate) state: &'a mut FormState,
    pub(crate) commands: &'a mut Vec<Command>,
    /// Where the column of fields begins, on the screen.
    field_x: f32,
}

/// One field while it is drawn.
#[derive(Debug, Clone)]
pub(crate) struct Field<'a> {
    pub(crate) node: Node<'a>,
    pub(crate) pointer: String,
    /// What stands beside it.
    pub(crate) label: String,
    /// What tells its list item or group from others on the page; empty at the top.
    pub(crate) prefix: String,
    pub(crate) required: bool,
}

impl<'a> Field<'a> {
    /// The field's accessible name.
    pub(crate) fn name(&self) -> String {
        joined(&self.prefix, &self.label)
    }

    /// The field's fixed identity.
    pub(crate) fn id(&self) -> Id {
        Id::unique(("form field", &self.pointer))
    }

    /// A field of this group. `prefix` tells the group from others.
    pub(crate) fn child(&self, name: &str, prefix: &str) -> Option<Field<'a>> {
        let node = self.node.property(name)?;
        Some(Field {
            node,
            pointer: pointer::join(&self.pointer, name),
            label: node.title().to_owned(),
            prefix: prefix.to_owned(),
            required: self.node.requires(name),
        })
    }

    /// What the field is called in a sentence, with its group.
    pub(crate) fn phrase(&self) -> String {
        let label = words::in_sentence(&self.label);
        if self.prefix.is_empty() {
            label
        } else {
            format!("{label} of {}", words::in_sentence(&self.prefix))
        }
    }
}

fn joined(prefix: &str, label: &str) -> String {
    if prefix.is_empty() {
        label.to_owned()
    } else {
        format!("{prefix}, {label}")
    }
}

impl<'a> Form<'a> {
    /// Lets the columns of labels, at most so wide, and of fields begin where drawing goes on. In a narrow window the
    /// labels give way to the fields.
    pub(crate) fn align_fields(&mut self, ui: &Ui, widest: f32) {
        let least = LABEL_WIDTH * 0.5;
        let labels = (ui.available_width() * 0.3).clamp(least, widest.max(least));
        self.field_x = ui.cursor().left() + labels + GAP;
    }

    /// The field at a place, under another label than its own.
    pub(crate) fn field(&self, place: &str, label: &str) -> Option<Field<'a>> {
        Some(Field {
            node: self.context.schema.follow(place)?,
            pointer: place.to_owned(),
            label: label.to_owned(),
            prefix: String::new(),
            required: true,
        })
    }

    pub(crate) fn value_of(&self, field: &Field<'_>) -> Option<&'a Value> {
        self.value.pointer(&field.pointer).filter(|v| !v.is_null())
    }

    pub(crate) fn languages(&self) -> Vec<&'a str> {
        self.context.languages.iter().map(String::as_str).collect()
    }

    /// Sets a field. Part of a group that is not there yet begins a draft of the group.
    pub(crate) fn set(&mut self, field: &Field<'_>, value: Value) {
        let op = Op::Set {
            pointer: field.pointer.clone(),
            value,
        };
        self.send(
            field,
            Edit::new(format!("change {}", field.phrase()), vec![op]),
            None,
        );
    }

    /// Sets a field to what was typed; a refusal leaves the text in its field.
    fn set_typed(&mut self, field: &Field<'_>, value: Value, typed: (Id, String, String)) {
        let op = Op::Set {
            pointer: field.pointer.clone(),
            value,
        };
        let edit = Edit::new(format!("change {}", field.phrase()), vec![op]);
        self.send(field, edit, Some(typed));
    }

    /// Takes a field's value away.
    pub(crate) fn clear(&mut self, field: &Field<'_>) {
        if self.value_of(field).is_some() {
            let edit = Edit::remove(format!("clear {}", field.phrase()), field.pointer.clone());
            self.send(field, edit, None);
        }
    }

    /// Sends an edit to the draft in which it lies, else to the document.
    pub(crate) fn send(
        &mut self,
        field: &Field<'_>,
        edit: Edit,
        typed: Option<(Id, String, String)>,
    ) {
        let place = edit.ops.first().map(|op| op.pointer().to_owned());
        let around = place.and_then(|p| self.state.draft_around(&p, self.context.document));
        match around {
            Some((key, at)) => {
                self.state.change_draft(&key, &at, &edit.ops);
                self.finish_draft(&key);
            }
            None => self.commands.push(Command::Form(FormEdit {
                edit,
                pointer: field.pointer.clone(),
                draft: None,
                typed,
            })),
        }
    }

    /// Begins a part that is not complete, or adds it at once when it is.
    pub(crate) fn begin(&mut self, key: &str, draft: state::Draft) {
        self.state.start_draft(key, draft);
        self.finish_draft(key);
    }

    /// Sends a draft to the document once nothing is missing in it.
    fn finish_draft(&mut self, key: &str) {
        let is_item = self.state.draft(key).is_some_and(|draft| draft.is_item);
        let node = self.context.schema.follow(key);
        let node = if is_item {
            node.and_then(Node::items)
        } else {
            node
        };
        let edit = node.and_then(|node| self.state.finished(key, node, self.context.document));
        if let Some(edit) = edit {
            self.commands.push(Command::Form(FormEdit {
                edit,
                pointer: key.to_owned(),
                draft: Some(key.to_owned()),
                typed: None,
            }));
        }
    }

    /// The findings about a place itself, or about anything within it.
    pub(crate) fn findings(&self, place: &str, within: bool) -> impl Iterator<Item = &'a Finding> {
        let place = place.to_owned();
        self.context.findings.iter().filter(move |finding| {
            finding.place == place || (within && pointer::is_within(&finding.place, &place))
        })
    }
}

/// Says in words where a pointer leads: "Dimensions, wheelbase" or "Points, lift-1, rating".
pub fn place_in_words(schema: Node<'_>, value: &Value, place: &str, languages: &[&str]) -> String {
    let mut words = Vec::new();
    let mut at = String::new();
    let mut node = Some(schema);
    let mut list_label = String::new();
    for segment in pointer::segments(place) {
        at = pointer::join(&at, &segment);
        let inner = node.and_then(|n| n.property(&segment));
        if let Some(field) = inner {
            field.title().clone_into(&mut list_label);
            words.push(words_for_field(&list_label, words.is_empty()));
            node = Some(field);
        } else {
            let position = segment.parse().unwrap_or(0);
            let item = value.pointer(&at).unwrap_or(&Value::Null);
            words.push(summary::of(item, position, &list_label, languages).key);
            node = node.and_then(Node::items);
        }
    }
    words.join(", ")
}

fn words_for_field(label: &str, first: bool) -> String {
    if first {
        label.to_owned()
    } else {
        words::in_sentence(label)
    }
}

/// Counts findings by severity, blocking ones first; severities without any are left out.
pub fn counts<'f>(
    findings: impl IntoIterator<Item = &'f Finding>,
) -> Vec<(chockstone_schema::report::Severity, usize)> {
    let mut counts = BTreeMap::new();
    for finding in findings {
        *counts.entry(finding.severity).or_insert(0) += 1;
    }
    counts.into_iter().collect()
}

#[cfg(test)]
mod tests;

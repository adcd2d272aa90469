//! The parts that two people changed in two ways, each with its three values to choose from.

use chockstone_library::merge::{Choice, resolve};
use chockstone_schema::{codes::KeptValue, model::record::Conflict, read::to_value};
use egui::{Frame, Label, Margin, RichText, ScrollArea, Stroke, Ui};
use serde_json::Value;

use super::{CompareInput, values};
use crate::{
    command::Command,
    document::{Edit, Op},
    form::Node,
    theme::Tokens,
};

/// More room than this is not taken from the page.
const MOST_HEIGHT: f32 = 260.0;

/// Draws the conflicts, where there are any.
pub(super) fn show(
    ui: &mut Ui,
    input: &CompareInput<'_>,
    refused: &mut Option<String>,
    commands: &mut Vec<Command>,
) {
    let conflicts = &input.profile.conflicts;
    if conflicts.is_empty() {
        return;
    }
    let tokens = Tokens::of(ui);
    let head = match conflicts.len() {
        1 => "1 part was changed by two people in two ways. Choose before a release.".to_owned(),
        n => format!("{n} parts were changed by two people in two ways. Choose before a release."),
    };
    let text = RichText::new(head).color(tokens.blocking).strong();
    ui.add(Label::new(text).wrap());
    if let Some(why) = refused.as_ref() {
        let text = RichText::new(format!("Not taken over: {why}")).color(tokens.blocking);
        ui.add(Label::new(text).wrap());
    }
    ScrollArea::vertical()
        .id_salt("conflicts")
        .max_height(MOST_HEIGHT)
        .show(ui, |ui| {
            for (index, conflict) in conflicts.iter().enumerate() {
                if let Some(choice) = conflict_ui(ui, index, conflict) {
                    match edit(input, index, conflict, choice) {
                        Ok(edit) => {
                            *refused = None;
                            commands.push(Command::Edit(edit));
                        }
                        Err(why) => *refused = Some(why),
                    }
                }
            }
        });
    ui.separator();
}

fn conflict_ui(ui: &mut Ui, index: usize, conflict: &Conflict) -> Option<Choice> {
    let tokens = Tokens::of(ui);
    let schema = Node::root(&chockstone_schema::json_schema::profile().annotated);
    let node = schema.follow(conflict.part.as_str());
    let mut chosen = None;
    Frame::NONE
        .fill(tokens.card)
        .stroke(Stroke::new(1.0, tokens.line_soft))
        .corner_radius(6)
        .inner_margin(Margin::same(8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.add(Label::new(RichText::new(conflict.part.as_str()).strong()).wrap());
            for (name, act, choice, kept) in [
                ("Base", "Keep base", Choice::Base, &conflict.base),
                ("Ours", "Take ours", Choice::Ours, &conflict.ours),
                ("Theirs", "Take theirs", Choice::Theirs, &conflict.theirs),
            ] {
                ui.horizontal_wrapped(|ui| {
                    let label = format!("{act}, conflict {}", index + 1);
                    if ui.button(act).accessible_name(label).clicked() {
                        chosen = Some(choice);
                    }
                    ui.add(Label::new(format!("{name}: {}", told(node, kept.as_ref()))).wrap());
                });
            }
        });
    chosen
}

fn told(node: Option<Node<'_>>, kept: Option<&KeptValue>) -> String {
    kept.map_or_else(
        || "not there".to_owned(),
        |kept| values::line(node, kept.value()),
    )
}

/// The choice as one step that can be taken back, or why it cannot be made.
fn edit(
    input: &CompareInput<'_>,
    index: usize,
    conflict: &Conflict,
    choice: Choice,
) -> Result<Edit, String> {
    let resolved = resolve(input.profile, index, choice).map_err(|why| why.to_string())?;
    let value: Value = to_value(&resolved);
    let whole = Op::Set {
        pointer: String::new(),
        value,
    };
    Ok(Edit::new(
        format!("choose for {}", conflict.part),
        vec![whole],
    ))
}

//! The change that is looked at: the sentence, the values on both sides, the words in every language.

use chockstone_schema::report::Change;
use egui::{Button, Label, RichText, Ui};
use serde_json::Value;

use super::{Answer, changes, pieces, values, words};
use crate::{command::Command, form::Node, theme::Tokens, widgets::grade};

/// Draws the change.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, change: &Change, commands: &mut Vec<Command>) {
    ui.horizontal_top(|ui| {
        grade::mark(ui, change.grade);
        ui.vertical(|ui| {
            let text = RichText::new(words::english(&change.sentence)).strong();
            ui.add(Label::new(text).wrap());
        });
    });
    let reason = words::english(&change.reason);
    let color = grade::color(Tokens::of(ui), change.grade);
    let why = format!("{}: {reason}", grade::word(change.grade));
    ui.add(Label::new(RichText::new(why).color(color)).wrap());
    ui.horizontal_wrapped(|ui| {
        let text = RichText::new(changes::place_words(answer, change)).small();
        ui.label(text.color(Tokens::of(ui).text_soft));
        go_to_ui(ui, answer, change, commands);
    });
    if change.words.is_empty() {
        both_ui(ui, change);
    } else {
        pieces::show(ui, &change.words, change.after.as_ref());
    }
    if let Some(shift) = change.shift {
        let moved = words::shift_words(shift, answer.input.system);
        if !moved.is_empty() {
            ui.label(format!("Moved {moved}."));
        }
    }
}

fn go_to_ui(ui: &mut Ui, answer: &Answer<'_>, change: &Change, commands: &mut Vec<Command>) {
    let place = answer.place_to_open(change);
    let button = ui.add_enabled(place.is_some(), Button::new("Go to").small());
    let button = button
        .on_hover_text("Opens the page and the field.")
        .on_disabled_hover_text("Neither side is the file being edited.");
    if let (true, Some(place)) = (button.clicked(), place) {
        commands.push(Command::GoTo(place));
    }
}

/// The values before and after, beside one another.
fn both_ui(ui: &mut Ui, change: &Change) {
    let schema = Node::root(&chockstone_schema::json_schema::profile().annotated);
    let node = schema.follow(change.place());
    let draw = |ui: &mut Ui, name: &str, value: Option<&Value>| {
        ui.label(RichText::new(name).strong().small());
        if let Some(value) = value {
            values::show(ui, node, value);
        } else {
            let soft = Tokens::of(ui).text_soft;
            ui.label(RichText::new("not there").color(soft));
        }
    };
    ui.columns(2, |columns| {
        if let [before, after] = columns {
            draw(before, "Before", change.before.as_ref());
            draw(after, "After", change.after.as_ref());
        }
    });
}

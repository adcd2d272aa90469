//! What no way uses, and the rules that no way breaks.

use chockstone_schema::report::PlanRule;
use egui::{CollapsingHeader, Label, RichText, Ui};

use super::{Answer, parts, words};
use crate::{command::Command, figures, panels::fit::pick, theme::Tokens};

/// Draws both, folded.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, commands: &mut Vec<Command>) {
    ui.add_space(8.0);
    left_out_ui(ui, answer, commands);
    rules_ui(ui, answer);
}

fn left_out_ui(ui: &mut Ui, answer: &Answer<'_>, commands: &mut Vec<Command>) {
    let left_out = &answer.worked.left_out;
    if left_out.is_empty() {
        return;
    }
    let title = format!("{} left out", words::count(left_out.len(), "procedure"));
    CollapsingHeader::new(RichText::new(title).strong().color(Tokens::of(ui).warning))
        .id_salt("situations left out")
        .default_open(true)
        .show_unindented(ui, |ui| {
            pick::soft(
                ui,
                "No way uses these procedures, because what they say cannot be done safely as it stands.",
            );
            for left in left_out {
                let name = answer.procedure(&left.procedure);
                let name = name.map_or(left.procedure.as_str(), |(_, name)| name);
                ui.horizontal_wrapped(|ui| {
                    ui.add(Label::new(RichText::new(name).strong()).wrap());
                    if parts::link(ui, "Open", &format!("Open what is wrong in {name}")) {
                        commands.push(Command::GoTo(left.place.clone()));
                    }
                });
                pick::line(ui, &left.why);
            }
        });
}

fn rules_ui(ui: &mut Ui, answer: &Answer<'_>) {
    let rules = &answer.worked.rules;
    let title = format!(
        "The {} that no way breaks",
        words::count(rules.len(), "rule")
    );
    CollapsingHeader::new(RichText::new(title).strong())
        .id_salt("situations rules")
        .show_unindented(ui, |ui| {
            for rule in rules {
                rule_ui(ui, answer, rule);
            }
        });
}

fn rule_ui(ui: &mut Ui, answer: &Answer<'_>, rule: &PlanRule) {
    ui.add(Label::new(RichText::new(answer.reader.text(&rule.text)).strong()).wrap());
    pick::line(ui, answer.reader.text(&rule.why));
    let whose = if rule.own {
        "This profile’s own rule. "
    } else {
        ""
    };
    let reference = figures::reference(&rule.reference.title, rule.reference.trust);
    pick::soft(ui, &format!("{whose}{reference}"));
    ui.add_space(4.0);
}

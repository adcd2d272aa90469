//! What a reviewer says to each change, and the record of it.

use chockstone_library::review::{self, Progress, Reviewer, Verdict};
use chockstone_schema::{
    model::record::Decision,
    report::{Change, Grade},
};
use egui::{Button, Grid, Label, RichText, ScrollArea, TextEdit, Ui};

use super::{Answer, Plan, View, words};
use crate::{command::Command, document::Edit, panels::fit::pick, theme::Tokens, widgets::grade};

fn progress(answer: &Answer<'_>, plan: &Plan) -> Progress {
    review::progress(&answer.compared.difference.changes, &plan.verdicts)
}

/// "12 of 20 changes looked at".
pub(super) fn progress_words(answer: &Answer<'_>, plan: &Plan) -> String {
    let progress = progress(answer, plan);
    let changes = words::changes(progress.changes);
    format!("{} of {changes} looked at", progress.decided)
}

/// Accepts or asks about the change that is looked at.
pub(super) fn decision_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, change: &Change) {
    if !review::is_about(change) {
        pick::soft(
            ui,
            "A review is over everything but the release number and the reviews.",
        );
        return;
    }
    if !answer.is_about_open_file() {
        return;
    }
    let said = plan.verdict(change).cloned();
    ui.horizontal_wrapped(|ui| {
        let decision = said.as_ref().map(|v| v.decision);
        let accepted = decision == Some(Decision::Accept);
        let accept = ui.add(Button::selectable(accepted, "Accept"));
        if accept
            .on_hover_text("Says that this change is right.")
            .clicked()
        {
            let verdict = (!accepted).then(|| verdict(change, Decision::Accept, ""));
            plan.say(change, verdict);
            plan.asking = None;
        }
        let asked = decision == Some(Decision::Question);
        let ask = ui.add(Button::selectable(asked, "Ask…"));
        if ask
            .on_hover_text("Asks something that must be answered before a release.")
            .clicked()
        {
            let comment = said.as_ref().map_or("", |v| v.comment.as_str());
            plan.asking = Some((change.clone(), comment.to_owned()));
        }
        if said.is_some() && ui.button("Take back").clicked() {
            plan.say(change, None);
        }
    });
    if let Some(verdict) = said.filter(|v| !v.comment.is_empty()) {
        pick::line(ui, &format!("Asked: {}", verdict.comment));
    }
    asking_ui(ui, plan, change);
}

fn verdict(change: &Change, decision: Decision, comment: &str) -> Verdict {
    Verdict {
        change: change.clone(),
        decision,
        comment: comment.to_owned(),
    }
}

/// The question that is being written.
fn asking_ui(ui: &mut Ui, plan: &mut Plan, change: &Change) {
    let Some((of, text)) = &mut plan.asking else {
        return;
    };
    if of != change {
        return;
    }
    let label = ui.label("Question");
    ui.add(
        TextEdit::multiline(text)
            .desired_rows(2)
            .desired_width(f32::INFINITY),
    )
    .labelled_by(label.id);
    let (mut done, mut given_up) = (false, false);
    ui.horizontal(|ui| {
        let ready = !text.trim().is_empty();
        let button = ui.add_enabled(ready, Button::new("Ask this"));
        done = button
            .on_disabled_hover_text("Say what is asked.")
            .clicked();
        given_up = ui.button("Cancel").clicked();
    });
    let text = text.trim().to_owned();
    if done {
        plan.say(change, Some(verdict(change, Decision::Question, &text)));
    }
    if done || given_up {
        plan.asking = None;
    }
}

/// Draws who reviews, how far it has come, and the record of it.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    if !answer.is_about_open_file() {
        pick::line(
            ui,
            "A review is kept with the profile that it is about. Choose “This file, now” as the newer side to record one.",
        );
        return;
    }
    ScrollArea::vertical()
        .id_salt("review")
        .auto_shrink(false)
        .show(ui, |ui| {
            reviewer_ui(ui, answer, plan, commands);
            accept_ui(ui, answer, plan);
            let progress = progress(answer, plan);
            told_ui(ui, progress);
            record_ui(ui, answer, plan, commands);
            left_ui(ui, answer, plan);
            ui.add_space(24.0);
        });
}

fn reviewer_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let input = answer.input;
    let known = || [input.reviewer.to_owned(), input.role.to_owned()];
    let [who, role] = plan.reviewer.get_or_insert_with(known);
    let mut left = false;
    Grid::new("reviewer").num_columns(2).show(ui, |ui| {
        for (name, text) in [("Reviewer", &mut *who), ("Role", &mut *role)] {
            let label = ui.label(name);
            let field = TextEdit::singleline(text).desired_width(240.0);
            left |= ui.add(field).labelled_by(label.id).lost_focus();
            ui.end_row();
        }
    });
    if left {
        commands.push(Command::Reviewer(who.clone(), role.clone()));
    }
}

/// Accepts what is listed, has no decision yet and cannot hurt: a change that can is looked at by itself.
fn accept_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let listed = plan.listed(answer.compared);
    let left: Vec<Change> = listed
        .into_iter()
        .filter(|change| change.grade != Grade::CanHurt)
        .filter(|change| review::is_about(change) && plan.verdict(change).is_none())
        .cloned()
        .collect();
    ui.add_space(4.0);
    let text = format!("Accept all shown that cannot hurt ({})", left.len());
    let button = ui.add_enabled(!left.is_empty(), Button::new(text));
    let help = "Accepts every change that the list shows with its present filter, that cannot hurt and has no decision yet. \
                What can hurt is accepted one by one.";
    if button.on_hover_text(help).clicked() {
        for change in &left {
            plan.say(change, Some(verdict(change, Decision::Accept, "")));
        }
    }
}

/// What recording would say now.
fn told_ui(ui: &mut Ui, progress: Progress) {
    let tokens = Tokens::of(ui);
    let changes = words::changes(progress.changes);
    let looked = format!("{} of {changes} looked at", progress.decided);
    ui.label(RichText::new(looked).strong());
    if progress.hurting_left > 0 {
        let text = format!(
            "{} that can hurt somebody without a decision: the review will not count as an acceptance.",
            progress.hurting_left
        );
        ui.add(Label::new(RichText::new(text).color(tokens.warning)).wrap());
    }
    if progress.asked > 0 {
        let questions = match progress.asked {
            1 => "1 question".to_owned(),
            number => format!("{number} questions"),
        };
        let text = format!("{questions} asked: no release until each is answered.");
        ui.add(Label::new(RichText::new(text).color(tokens.warning)).wrap());
    }
    if progress.decided > 0 && progress.decision() == Decision::Accept {
        let text = "Everything that can hurt was accepted and nothing is asked: the review will accept the whole.";
        ui.add(Label::new(RichText::new(text).color(tokens.good)).wrap());
    }
}

fn record_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let ready = progress(answer, plan).decided > 0;
    let button = ui.add_enabled(ready, Button::new("Record review"));
    let button = button
        .on_hover_text("Keeps the review with the profile, over exactly these contents.")
        .on_disabled_hover_text("No change has a decision yet.");
    if button.clicked() {
        let [who, role] = plan.reviewer.clone().unwrap_or_default();
        let [older, newer] = &answer.compared.profiles;
        let reviewer = Reviewer {
            who: &who,
            role: &role,
            at: answer.input.now,
        };
        let changes = &answer.compared.difference.changes;
        match review::record((older, newer), changes, &plan.verdicts, reviewer) {
            Ok(review) => {
                plan.refused = None;
                let value = serde_json::to_value(&review).unwrap_or_default();
                commands.push(Command::Reviewer(who, role));
                commands.push(Command::Edit(Edit::insert(
                    "record review",
                    "/reviews/-",
                    value,
                )));
                commands.push(Command::Say(
                    "Review recorded. Save the file to keep it.".to_owned(),
                ));
            }
            Err(why) => plan.refused = Some(why),
        }
    }
    if let Some(why) = &plan.refused {
        ui.label(RichText::new(why).color(Tokens::of(ui).blocking));
    }
}

/// The changes without a decision; a click looks at one.
fn left_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let changes = answer.compared.difference.changes.iter();
    let left: Vec<Change> = changes
        .filter(|change| review::is_about(change) && plan.verdict(change).is_none())
        .cloned()
        .collect();
    if left.is_empty() {
        return;
    }
    pick::heading(ui, &format!("Without a decision ({})", left.len()));
    for change in &left {
        ui.horizontal_top(|ui| {
            // The button is as high as its words, so that the mark stands beside their first line.
            ui.spacing_mut().interact_size.y = 0.0;
            ui.spacing_mut().button_padding.y = 0.0;
            grade::mark(ui, change.grade);
            ui.vertical(|ui| {
                let text = words::english(&change.sentence);
                let button = Button::new(text).frame(false).wrap();
                let name = format!("Look at {text}");
                if ui.add(button).accessible_name(name).clicked() {
                    plan.view = View::Changes;
                    plan.select(change);
                }
            });
        });
        ui.add_space(2.0);
    }
}

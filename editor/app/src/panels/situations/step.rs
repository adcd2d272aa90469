//! The stage that is looked at, large, and beside it where on the vehicle it is done.

use chockstone_schema::report::WayStep;
use egui::{Button, EventFilter, Key, Label, Modifiers, Popup, Response, RichText, Ui};

use super::{Answer, Plan, parts, stages::Stage, words};
use crate::{
    command::Command,
    diagram::{DiagramInput, Still, still_ui},
    panels::fit::pick,
    theme::Tokens,
};

/// Below this width the drawing stands under the step and not beside it.
const LEAST_WIDTH_FOR_DRAWING_BESIDE: f32 = 560.0;
/// The height that both views may take.
const MOST_HEIGHT: f32 = 420.0;

/// Takes the arrow keys while nothing else has a use for them.
pub(super) fn keys(ui: &Ui, plan: &mut Plan, last: usize) {
    let unused = ui.memory(|m| m.focused().is_none()) && !Popup::is_any_open(ui.ctx());
    if !(unused || plan.on_stages) {
        return;
    }
    let pressed = |key| ui.input_mut(|i| i.count_and_consume_key(Modifiers::NONE, key));
    let (back, on) = (pressed(Key::ArrowLeft), pressed(Key::ArrowRight));
    plan.at = (plan.at + on).saturating_sub(back).min(last);
}

/// Keeps the arrow keys for going through the stages while a widget of theirs has the focus.
pub(super) fn keep_keys(ui: &Ui, plan: &mut Plan, response: &Response) {
    if !response.has_focus() {
        return;
    }
    plan.on_stages = true;
    let filter = EventFilter {
        tab: false,
        horizontal_arrows: true,
        vertical_arrows: false,
        escape: false,
    };
    ui.memory_mut(|m| m.set_focus_lock_filter(response.id, filter));
}

/// Draws the stage that is looked at.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &mut Plan,
    stages: &[Stage<'_>],
    commands: &mut Vec<Command>,
) {
    let at = plan.at;
    let Some(stage) = stages.get(at) else {
        return;
    };
    walk_ui(ui, plan, stage, stages);
    if ui.available_width() >= LEAST_WIDTH_FOR_DRAWING_BESIDE {
        ui.columns_const(|[left, right]| {
            // Columns would spread the words of a line over its width.
            left.vertical(|ui| card_ui(ui, answer, stage, commands));
            right.vertical(|ui| drawing_ui(ui, answer, plan, stage, commands));
        });
    } else {
        card_ui(ui, answer, stage, commands);
        drawing_ui(ui, answer, plan, stage, commands);
    }
}

/// The buttons that go back and on.
fn walk_ui(ui: &mut Ui, plan: &mut Plan, stage: &Stage<'_>, stages: &[Stage<'_>]) {
    ui.horizontal_wrapped(|ui| {
        let (first, last) = (plan.at == 0, plan.at + 1 >= stages.len());
        let back = ui.add_enabled(!first, Button::new("Previous"));
        let on = ui.add_enabled(!last, Button::new("Next"));
        if back.clicked() {
            plan.at = plan.at.saturating_sub(1);
        }
        if on.clicked() {
            plan.at += 1;
        }
        for response in [back, on] {
            let response = response.on_hover_text("The arrow keys do the same");
            keep_keys(ui, plan, &response);
        }
        ui.label(RichText::new(position(stage, stages)).strong());
        ui.label(RichText::new(when(stage)).color(Tokens::of(ui).text_soft));
    });
}

fn position(stage: &Stage<'_>, stages: &[Stage<'_>]) -> String {
    let steps = stages.iter().filter(|s| s.step.is_some()).count();
    match stage.number {
        Some(number) => format!("Step {number} of {steps}"),
        None => words::part(stage.part.kind).to_owned(),
    }
}

/// When a stage begins and how long it takes.
pub(super) fn when(stage: &Stage<'_>) -> String {
    let [begins, slowest] = stage.begins;
    let from = format!("from {}", words::span(begins, slowest));
    let Some(step) = stage.step else {
        return from;
    };
    match step.seconds {
        Some(seconds) => {
            let slowest = step.slowest.unwrap_or(seconds);
            format!("{from}; takes {}", words::span(seconds, slowest))
        }
        None => format!("{from}; states no time"),
    }
}

fn card_ui(ui: &mut Ui, answer: &Answer<'_>, stage: &Stage<'_>, commands: &mut Vec<Command>) {
    parts::card(ui, |ui| {
        let name = answer.reader.text(&stage.part.name);
        let kind = words::part(stage.part.kind);
        let head = match stage.step {
            Some(_) => format!("{kind}: {name}"),
            None => format!("{kind}:"),
        };
        pick::soft(ui, &head);
        if stage.part.to_confirm {
            parts::to_confirm_ui(ui);
        }
        match stage.step {
            Some(step) => step_ui(ui, answer, stage, step, commands),
            None => {
                ui.add(Label::new(RichText::new(name).size(19.0)).wrap());
            }
        }
        ui.separator();
        holding_ui(ui, answer, stage);
    });
}

fn step_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    stage: &Stage<'_>,
    step: &WayStep,
    commands: &mut Vec<Command>,
) {
    if stage.is_first {
        before_ui(ui, answer, &stage.part.hazards, &[]);
    }
    before_ui(ui, answer, &own_hazards(stage, step), &step.cautions);
    ui.add_space(2.0);
    let text = RichText::new(answer.reader.text(&step.text)).size(19.0);
    ui.add(Label::new(text).wrap());
    ui.add_space(2.0);
    points_ui(ui, answer, step, commands);
    outcome_ui(ui, answer, step);
    if let Some(place) = &step.place {
        ui.horizontal(|ui| {
            let text = "Open in Procedures";
            if parts::link(ui, text, "Open this step in Procedures") {
                commands.push(Command::GoTo(place.clone()));
            }
        });
    }
}

/// The hazard messages of a step that were not told just before, at the head of its procedure.
pub(super) fn own_hazards(stage: &Stage<'_>, step: &WayStep) -> Vec<String> {
    let told = |id: &&String| stage.is_first && stage.part.hazards.contains(id);
    step.hazards
        .iter()
        .filter(|id| !told(id))
        .cloned()
        .collect()
}

/// What is told before the words of a step.
pub(super) fn before_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    hazards: &[String],
    cautions: &[chockstone_schema::text::Text],
) {
    for id in hazards {
        parts::hazard_ui(ui, answer, id);
    }
    for caution in cautions {
        parts::caution_ui(ui, answer.reader.text(caution));
    }
}

/// Tools and what the step changes.
pub(super) fn outcome_ui(ui: &mut Ui, answer: &Answer<'_>, step: &WayStep) {
    let (reader, profile) = (answer.reader, answer.profile());
    let tools = step.tools.iter().map(|tool| reader.text(tool));
    let tools = tools.collect::<Vec<_>>().join(", ");
    parts::named_line(ui, "Tools:", &tools);
    for (name, conditions) in [
        ("Now holds:", &step.now_holds),
        ("Ended:", &step.ended),
        ("No longer to be counted on:", &step.doubtful),
    ] {
        parts::named_line(ui, name, &reader.conditions(profile, conditions));
    }
    for (name, debts) in [
        ("To settle later:", &step.opens),
        ("Settled:", &step.settles),
    ] {
        parts::named_line(ui, name, &reader.debts(profile, debts));
    }
}

fn points_ui(ui: &mut Ui, answer: &Answer<'_>, step: &WayStep, commands: &mut Vec<Command>) {
    let points: Vec<_> = step
        .points
        .iter()
        .filter_map(|id| answer.point(id))
        .collect();
    if points.is_empty() {
        return;
    }
    ui.horizontal_wrapped(|ui| {
        ui.label(RichText::new("At:").color(Tokens::of(ui).text_soft));
        for (place, name) in points {
            if parts::link(ui, name, &format!("Open point {name}")) {
                commands.push(Command::GoTo(place));
            }
        }
    });
}

/// What holds and what is owed as the stage begins.
fn holding_ui(ui: &mut Ui, answer: &Answer<'_>, stage: &Stage<'_>) {
    let tokens = Tokens::of(ui);
    pick::soft(ui, "As it begins, this holds:");
    parts::chips_ui(ui, |ui| {
        // In the order of the page, and not of the ids.
        for (id, name) in &answer.worked.conditions {
            let name = answer.reader.text(name);
            if stage.holds.contains(id.as_str()) {
                parts::fact_chip(ui, name, tokens.text);
            } else if stage.uncertain.contains(id.as_str()) {
                parts::fact_chip(ui, &format!("{name}: uncertain"), tokens.warning);
            }
        }
    });
    let debts: Vec<String> = stage.debts.iter().map(|id| (*id).to_owned()).collect();
    let debts = answer.reader.debts(answer.profile(), &debts);
    if debts.is_empty() {
        pick::soft(ui, "Nothing is left to settle so far.");
    } else {
        parts::named_line(ui, "To settle so far:", &debts);
    }
}

fn drawing_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &Plan,
    stage: &Stage<'_>,
    commands: &mut Vec<Command>,
) {
    let profile = answer.profile();
    let points = stage.step.iter().flat_map(|step| &step.points);
    let marked: Vec<String> = points
        .filter_map(|id| answer.point(id))
        .map(|(place, _)| place)
        .collect();
    let name = |index: usize| {
        let point = profile.points.get(index)?;
        Some(answer.reader.text(&point.name).to_owned())
    };
    let still = Still {
        input: DiagramInput {
            profile,
            masses: &[],
            findings: &[],
            system: answer.input.system,
        },
        variant: plan.variant.as_deref(),
        marked: &marked,
        name: &name,
        most_height: MOST_HEIGHT,
    };
    if let Some(place) = still_ui(ui, &still) {
        commands.push(Command::GoTo(place));
    }
    if marked.is_empty() && stage.step.is_some() {
        pick::soft(ui, "This step names no point of the vehicle.");
    }
}

//! The answer for one start and one goal: how long, what is missing, why not, and the way itself.

use chockstone_rules::plan::{goal_meaning, goal_name};
use chockstone_schema::report::{MissingFact, PlanAnswer, PlanCell, Way};
use egui::{Button, CollapsingHeader, Label, RichText, Ui};

use super::{Answer, Plan, Route, list, parts, stages, step, timeline, words};
use crate::{command::Command, panels::fit::pick, theme::Tokens, widgets::verdict};

/// With more reasons than this they are folded, so that the way itself stays in sight.
const MOST_REASONS: usize = 3;

/// Draws the answer.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, commands: &mut Vec<Command>) {
    let Some(cell) = answer.cell(plan) else {
        return;
    };
    if cell.way.is_none() && cell.fallback.is_some() {
        plan.route = Route::Fallback;
    } else if cell.fallback.is_none() {
        plan.route = Route::Way;
    }
    ui.add_space(4.0);
    parts::card(ui, |ui| {
        title_ui(ui, answer, cell);
        first_ui(ui, answer, cell, commands);
        why_ui(ui, answer, plan, cell);
        route_ui(ui, answer, plan, cell);
    });
    let (way, missing) = match (plan.route, &cell.fallback) {
        (Route::Fallback, Some(fallback)) => (Some(&fallback.way), &fallback.missing),
        _ => (cell.way.as_ref(), &cell.missing),
    };
    if let Some(way) = way.filter(|way| !way.parts.is_empty()) {
        walk_ui(ui, answer, plan, (way, missing), commands);
    }
}

fn title_ui(ui: &mut Ui, answer: &Answer<'_>, cell: &PlanCell) {
    let name = answer.reader.pair(goal_name(cell.goal));
    let tokens = Tokens::of(ui);
    let mark = parts::verdict_of(cell.answer);
    let word = match cell.answer {
        PlanAnswer::Holds => "Holds already",
        PlanAnswer::Way => "There is a way",
        PlanAnswer::WayIf => "There is a way if something changes first",
        PlanAnswer::NoWay => "No way",
        PlanAnswer::NotWorkedOut => "Not worked out: too many states to look at",
    };
    ui.horizontal_wrapped(|ui| {
        let (rect, _) = ui.allocate_exact_size(egui::Vec2::splat(14.0), egui::Sense::hover());
        verdict::paint(ui.painter(), rect, mark, tokens);
        ui.label(RichText::new(name).strong().size(15.5));
        ui.label(
            RichText::new(word)
                .color(verdict::color(tokens, mark))
                .strong(),
        );
    });
    pick::soft(ui, answer.reader.pair(goal_meaning(cell.goal)));
}

/// Procedures that come before anything else.
fn first_ui(ui: &mut Ui, answer: &Answer<'_>, cell: &PlanCell, commands: &mut Vec<Command>) {
    if cell.first.is_empty() {
        return;
    }
    let color = Tokens::of(ui).blocking;
    ui.label(RichText::new("Before anything else:").color(color).strong());
    ui.horizontal_wrapped(|ui| {
        for id in &cell.first {
            if let Some((place, name)) = answer.procedure(id)
                && parts::link(ui, name, &format!("Open procedure {name}"))
            {
                commands.push(Command::GoTo(place));
            }
        }
    });
}

/// What would make a way, and why there is none without it.
fn why_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, cell: &PlanCell) {
    if !cell.missing.is_empty() {
        let head = match cell.answer {
            PlanAnswer::NoWay => "This would make a way:",
            _ => "The way counts on this:",
        };
        pick::soft(ui, head);
        facts_ui(ui, answer, plan, &cell.missing);
    }
    if cell.reasons.len() <= MOST_REASONS {
        reasons_ui(ui, cell);
        return;
    }
    let title = format!("Why: {}", words::count(cell.reasons.len(), "reason"));
    CollapsingHeader::new(title)
        .id_salt("situations reasons")
        .default_open(cell.answer == PlanAnswer::NoWay)
        .show_unindented(ui, |ui| reasons_ui(ui, cell));
}

fn reasons_ui(ui: &mut Ui, cell: &PlanCell) {
    for reason in &cell.reasons {
        ui.add(Label::new(reason).wrap());
    }
}

/// Missing facts, each with a button that makes it part of the start.
fn facts_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, missing: &[MissingFact]) {
    for fact in missing {
        let name = answer.reader.condition(answer.profile(), &fact.condition);
        ui.horizontal_wrapped(|ui| {
            let label = if fact.must_hold {
                format!("Assume: {name}")
            } else {
                format!("Assume not: {name}")
            };
            let button = Button::new(&label).wrap();
            let help = "Makes it part of what is true now";
            if ui.add(button).on_hover_text(help).clicked() {
                plan.set(&fact.condition, fact.must_hold);
            }
            ui.add(Label::new(answer.reader.text(&fact.text)).wrap());
        });
    }
}

/// Chooses between the way and moving with the wheels off the ground; sums up the one that is shown.
fn route_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, cell: &PlanCell) {
    if let Some(fallback) = &cell.fallback {
        if cell.way.is_some() {
            ui.horizontal_wrapped(|ui| {
                ui.spacing_mut().item_spacing.x = 4.0;
                for (route, label) in [
                    (Route::Way, "The way to the goal"),
                    (Route::Fallback, "Wheels off the ground instead"),
                ] {
                    let button = Button::selectable(plan.route == route, label);
                    if ui.add(button).clicked() {
                        plan.route = route;
                        plan.at = 0;
                    }
                }
            });
        } else {
            let text = "Instead: move it with its wheels off the ground.";
            ui.label(RichText::new(text).strong());
        }
        if plan.route == Route::Fallback {
            if !fallback.missing.is_empty() {
                pick::soft(ui, "That counts on this:");
                facts_ui(ui, answer, plan, &fallback.missing);
            }
            sum_ui(ui, answer, &fallback.way);
            return;
        }
    }
    if let Some(way) = &cell.way
        && cell.answer != PlanAnswer::Holds
    {
        sum_ui(ui, answer, way);
    }
}

fn sum_ui(ui: &mut Ui, answer: &Answer<'_>, way: &Way) {
    pick::line(ui, &format!("{}.", words::outline(way)));
    let debts = answer.reader.debts(answer.profile(), &way.debts);
    if debts.is_empty() {
        pick::line(ui, "Nothing is left to settle at its end.");
    } else {
        parts::named_line(ui, "Left to settle at its end:", &debts);
    }
}

/// The way: the stage that is looked at, the line of time, and every step.
fn walk_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    plan: &mut Plan,
    (way, missing): (&Way, &[MissingFact]),
    commands: &mut Vec<Command>,
) {
    let stages = stages::stages(way, &answer.worked.given, missing);
    let Some(last) = stages.len().checked_sub(1) else {
        return;
    };
    plan.at = plan.at.min(last);
    step::keys(ui, plan, last);
    plan.on_stages = false;
    ui.add_space(6.0);
    step::show(ui, answer, plan, &stages, commands);
    ui.add_space(6.0);
    timeline::show(ui, answer, plan, way, &stages);
    list::show(ui, answer, plan, &stages, commands);
}

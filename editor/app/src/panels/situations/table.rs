//! The table: situations by goals, each cell its short answer.

use chockstone_rules::plan::{self, goal_meaning, goal_name};
use chockstone_schema::report::{Goal, PlanCell, PlanRow};
use egui::{Button, Label, Rect, Response, RichText, ScrollArea, Ui, Vec2, text::LayoutJob, vec2};

use super::{Answer, Plan, View, goals, parts};
use crate::{panels::fit::pick, theme::Tokens, widgets::verdict};

/// The width of the column of situations.
const NAMES: f32 = 160.0;
/// The least width of a column of a goal.
const LEAST: f32 = 72.0;
/// The height of a row.
const HEIGHT: f32 = 42.0;
/// Between cells.
const GAP: f32 = 4.0;
/// The side of the mark in a cell.
const MARK: f32 = 11.0;

/// Draws the table; a click on a cell shows that way.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    if let Some(trouble) = &answer.worked.trouble {
        let text = RichText::new(trouble).color(Tokens::of(ui).blocking);
        ui.add(Label::new(text).wrap());
        return;
    }
    let help =
        "Every combination of six troubles on the usual start, instead of the named situations";
    ui.checkbox(&mut plan.all, "All 64 combinations")
        .on_hover_text(help);
    pick::soft(
        ui,
        "Each cell is the time of the best way, or what is missing. Click one to see its way.",
    );
    let goals = Goal::ALL.len() as f32;
    // The scroll bar at the right takes some room of its own.
    let free = ui.available_width() - NAMES - goals * GAP - 18.0;
    let width = (free / goals).clamp(LEAST, 130.0);
    ScrollArea::horizontal()
        .id_salt("situations table")
        .auto_shrink(false)
        .show(ui, |ui| {
            ui.spacing_mut().item_spacing = Vec2::splat(GAP);
            head_ui(ui, answer, width);
            let rows = answer.worked.rows(plan.all);
            ScrollArea::vertical()
                .id_salt(("situations rows", plan.all))
                .auto_shrink([true, false])
                .show_rows(ui, HEIGHT, rows.len(), |ui, shown| {
                    for row in rows.get(shown).unwrap_or(&[]) {
                        row_ui(ui, answer, plan, row, width);
                    }
                });
        });
}

fn head_ui(ui: &mut Ui, answer: &Answer<'_>, width: f32) {
    ui.horizontal(|ui| {
        sized(ui, NAMES, |ui| {
            ui.label(RichText::new("Situation").strong())
        });
        for goal in Goal::ALL {
            sized(ui, width, |ui| {
                let name = RichText::new(answer.reader.pair(goal_name(goal))).strong();
                ui.add(Label::new(name).wrap())
                    .on_hover_text(answer.reader.pair(goal_meaning(goal)))
            });
        }
    });
}

/// A part of a row that is as wide as its column and as high as the row.
fn sized<R>(ui: &mut Ui, width: f32, add: impl FnOnce(&mut Ui) -> R) -> R {
    let size = vec2(width, HEIGHT);
    let (area, _) = ui.allocate_exact_size(size, egui::Sense::hover());
    let layout = egui::Layout::left_to_right(egui::Align::Center);
    let builder = egui::UiBuilder::new().max_rect(area).layout(layout);
    let mut inside = ui.new_child(builder);
    inside.set_clip_rect(area.intersect(ui.clip_rect()));
    inside.set_max_width(width - 4.0);
    add(&mut inside)
}

fn row_ui(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan, row: &PlanRow, width: f32) {
    let name = answer.reader.text(&row.name);
    ui.horizontal(|ui| {
        sized(ui, NAMES, |ui| {
            let given = answer.reader.conditions(answer.profile(), &row.given);
            ui.add(Label::new(name).wrap())
                .on_hover_text(format!("{name}\n\nTrue at the start: {given}"))
        });
        for cell in &row.cells {
            if cell_ui(ui, answer, name, cell, width).clicked() {
                open(plan, row, cell.goal);
            }
        }
    });
}

fn cell_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    situation: &str,
    cell: &PlanCell,
    width: f32,
) -> Response {
    let tokens = Tokens::of(ui);
    let short = answer.reader.short(answer.profile(), cell);
    let button = Button::new("").min_size(vec2(width, HEIGHT));
    let response = ui.add(button);
    let font = egui::FontId::proportional(12.5);
    let mut job = LayoutJob::simple(short.clone(), font, tokens.text, width - MARK - 14.0);
    job.wrap.max_rows = 2;
    let galley = ui.painter().layout_job(job);
    let beside = response.rect.left_center() + vec2(MARK + 9.0, -galley.size().y / 2.0);
    ui.painter().galley(beside, galley, tokens.text);
    let goal = answer.reader.pair(goal_name(cell.goal));
    let mark = response.rect.left_center() + vec2(5.0, -MARK / 2.0);
    let mark = Rect::from_min_size(mark, Vec2::splat(MARK));
    verdict::paint(ui.painter(), mark, parts::verdict_of(cell.answer), tokens);
    response
        .accessible_name(format!("{situation}, {goal}: {short}"))
        .on_hover_text(format!(
            "{situation}\n{goal}\n{}",
            goals::hover(answer, cell)
        ))
}

/// Shows the way of a cell.
fn open(plan: &mut Plan, row: &PlanRow, goal: Goal) {
    let named = row.situation.as_deref();
    let situation = plan::situations().iter().find(|s| Some(s.id) == named);
    if let Some(situation) = situation.or(plan::situations().first()) {
        plan.situation = situation.id;
    }
    plan.give(row.given.iter().cloned().collect());
    plan.aim_at(goal);
    plan.view = View::Way;
    plan.from_top = true;
}

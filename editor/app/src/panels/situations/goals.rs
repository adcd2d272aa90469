//! The goals, each with its short answer for the start.

use chockstone_rules::plan::{goal_meaning, goal_name};
use chockstone_schema::report::{Goal, PlanCell};
use egui::{
    Button, Color32, Pos2, Rect, Response, Ui, Vec2,
    text::{LayoutJob, TextWrapping},
    vec2,
};

use super::{Answer, Plan, parts, words};
use crate::{panels::fit::words::shortened, theme::Tokens, widgets::verdict};

/// The least width of a goal's button.
const WIDTH: f32 = 128.0;
/// The height of a goal's button.
const HEIGHT: f32 = 46.0;
/// The side of the mark in a button.
const MARK: f32 = 12.0;

/// How many reasons a tooltip tells, and how many letters of each; the answer itself has them all.
const MOST_REASONS: usize = 2;
const LONGEST_REASON: usize = 160;

/// Draws the goals and lets a person choose one.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, plan: &mut Plan) {
    let free = ui.available_width();
    let gap = 6.0;
    let columns = ((free + gap) / (WIDTH + gap)).floor().clamp(1.0, 7.0);
    // A point less, so that rounding never sends the last one of a row to the next.
    let width = ((free + gap) / columns - gap - 1.0).floor().min(170.0);
    ui.horizontal_wrapped(|ui| {
        ui.spacing_mut().item_spacing = vec2(gap, gap);
        for goal in Goal::ALL {
            let Some(cell) = answer.worked.cell(goal) else {
                continue;
            };
            if goal_ui(ui, answer, cell, goal == plan.goal, width).clicked() {
                plan.aim_at(goal);
            }
        }
    });
}

fn goal_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    cell: &PlanCell,
    chosen: bool,
    width: f32,
) -> Response {
    let name = answer.reader.pair(goal_name(cell.goal));
    let short = answer.reader.short(answer.profile(), cell);
    let button = Button::selectable(chosen, "")
        .frame_when_inactive(true)
        .min_size(vec2(width, HEIGHT));
    let response = ui
        .add(button)
        .accessible_name(format!("Goal {name}: {short}"));
    let tokens = Tokens::of(ui);
    let inside = response.rect.shrink2(vec2(8.0, 5.0));
    text(
        ui,
        inside.left_top(),
        inside.width() - MARK - 4.0,
        name,
        [14.0, 0.0],
        tokens.text,
    );
    text(
        ui,
        inside.left_top(),
        inside.width(),
        &short,
        [13.0, 19.0],
        tokens.text,
    );
    let mark = Rect::from_min_size(inside.right_top() - vec2(MARK, -2.0), Vec2::splat(MARK));
    let verdict = parts::verdict_of(cell.answer);
    verdict::paint(ui.painter(), mark, verdict, tokens);
    let help = hover(answer, cell);
    response.on_hover_text(help)
}

/// Writes a line on a button, cut where it is longer than there is room.
fn text(ui: &Ui, at: Pos2, width: f32, text: &str, [size, down]: [f32; 2], color: Color32) {
    let font = egui::FontId::proportional(size);
    let mut job = LayoutJob::simple_singleline(text.to_owned(), font, color);
    job.wrap = TextWrapping::truncate_at_width(width);
    let galley = ui.painter().layout_job(job);
    ui.painter().galley(at + vec2(0.0, down), galley, color);
}

/// What a cell says, in full.
pub(super) fn hover(answer: &Answer<'_>, cell: &PlanCell) -> String {
    let mut lines = vec![answer.reader.pair(goal_meaning(cell.goal)).to_owned()];
    lines.push(answer.reader.short(answer.profile(), cell));
    if let Some(way) = &cell.way {
        lines.push(words::outline(way));
        if !way.debts.is_empty() {
            let debts = answer.reader.debts(answer.profile(), &way.debts);
            lines.push(format!("Left to settle: {debts}"));
        }
    }
    let facts = cell.missing.iter().map(|fact| &fact.text);
    lines.extend(facts.map(|text| answer.reader.text(text).to_owned()));
    let reasons = cell.reasons.iter().take(MOST_REASONS);
    lines.extend(reasons.map(|reason| shortened(reason, LONGEST_REASON)));
    lines.join("\n")
}

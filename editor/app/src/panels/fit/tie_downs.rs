//! The layout of tie-downs, seen from above.

use chockstone_rules::fit::drawing::{Standing, Truck, share_used};
use chockstone_schema::report::{CarryingResult, FitChoices, SecuringResult, TieDownLeg};
use egui::{Align2, Rect, Shape, Stroke, StrokeKind, Ui, Vec2, vec2};

use super::{
    Answer, ShownParts, pick,
    rows::Table,
    sections::{Section, picked, table_ui},
    sheet::{Room, Sheet, bounds_of},
    supports::letter,
    words,
};
use crate::command::Command;

/// Draws the part of the answer about tie-downs.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    choices: &FitChoices,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.securing;
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let index = picked(ui, Section::TieDowns, titles, shown, 0);
    let Some(result) = results.get(index).or(results.first()) else {
        pick::line(
            ui,
            "Choose a carrier, and straps or chains, to see the vehicle tied down.",
        );
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    pick::line(ui, &result.answer);
    if result.proposed && !result.legs.is_empty() {
        pick::soft(ui, "The program proposes this layout.");
    }
    match answer.truck(&result.carrier) {
        Some(truck) => plan_ui(ui, answer, truck, result, choices),
        None => pick::line(
            ui,
            "The drawing needs the deck’s length, which its file does not state.",
        ),
    }
    pick::heading(ui, "The whole layout");
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
    legs_ui(ui, answer, result, shown, commands);
}

pub(super) fn plan_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    truck: &Truck,
    result: &SecuringResult,
    choices: &FitChoices,
) {
    let on_deck = answer.worked.report.carrying.iter();
    let on_deck = on_deck
        .filter(|c| c.carrier == result.carrier)
        .find(|c| c.facing == choices.facing);
    let outline = outline_of(answer, on_deck, choices);
    let half = truck.width / 2.0;
    let deck = [[0.0, -half], [truck.length, half]];
    let ends = result.legs.iter().flat_map(|l| [l.from_place, l.to_place]);
    let ends = ends.map(|[x, y, _]| [x, y]);
    let bounds = bounds_of(deck.into_iter().chain(outline.iter().copied()).chain(ends));
    let label = format!("{}, plan view", result.title);
    let sheet = Sheet::new(ui, &label, bounds, Room([16.0, 26.0, 16.0, 22.0]), 290.0);
    draw_deck(&sheet, truck, half);
    let palette = sheet.palette;
    if !outline.is_empty() {
        let corners = sheet.all(&outline);
        sheet.polygon(&corners, palette.body, Stroke::new(1.4, palette.outline));
    }
    draw_anchors(&sheet, truck);
    for (index, leg) in result.legs.iter().enumerate() {
        draw_leg(&sheet, index, leg);
    }
    sheet.cab_arrow("Cab");
    let right = sheet.area.right_top() + vec2(-8.0, 6.0);
    sheet.text(right, Align2::RIGHT_TOP, "Deck’s right", palette.soft);
    pick::soft(
        ui,
        "Squares are anchors. Each line is a tie-down with the share of its limit that it uses; the thick one is the \
         weakest.",
    );
}

/// The vehicle's outline where it stands on the deck.
fn outline_of(
    answer: &Answer<'_>,
    on_deck: Option<&CarryingResult>,
    choices: &FitChoices,
) -> Vec<[f64; 2]> {
    let placement = on_deck.and_then(|c| c.placement).or(choices.placement);
    let Some(placement) = placement else {
        return Vec::new();
    };
    let shape = &answer.worked.shape;
    let standing = Standing::new(shape, choices.facing, placement);
    shape.plan.iter().map(|p| standing.plan(*p)).collect()
}

fn draw_deck(sheet: &Sheet, truck: &Truck, half: f64) {
    let area = Rect::from_two_pos(sheet.at([0.0, -half]), sheet.at([truck.length, half]));
    let palette = sheet.palette;
    sheet.painter.rect_filled(area, 0.0, palette.ruler);
    let stroke = Stroke::new(2.0, palette.outline);
    sheet
        .painter
        .rect_stroke(area, 0.0, stroke, StrokeKind::Inside);
}

fn draw_anchors(sheet: &Sheet, truck: &Truck) {
    let palette = sheet.palette;
    for anchor in &truck.anchors {
        let area = Rect::from_center_size(sheet.at(anchor.place), Vec2::splat(7.0));
        sheet.painter.rect_filled(area, 1.0, palette.paper);
        let stroke = Stroke::new(1.5, palette.pull);
        sheet
            .painter
            .rect_stroke(area, 1.0, stroke, StrokeKind::Middle);
    }
}

fn draw_leg(sheet: &Sheet, index: usize, leg: &TieDownLeg) {
    let flat = |[x, y, _]: [f64; 3]| sheet.at([x, y]);
    let (from, to) = (flat(leg.from_place), flat(leg.to_place));
    let palette = sheet.palette;
    let (width, color) = if leg.weakest {
        (4.5, palette.forbid)
    } else {
        (2.0, palette.pull)
    };
    sheet.line(&[from, to], Stroke::new(width + 2.0, palette.paper));
    sheet.line(&[from, to], Stroke::new(width, color));
    sheet.painter.add(Shape::circle_filled(from, 3.5, color));
    let used = share_used(&leg.force).map(|share| format!(" {:.0} %", share * 100.0));
    let weakest = if leg.weakest { ", weakest" } else { "" };
    let text = format!("{}{}{weakest}", letter(index), used.unwrap_or_default());
    // Pairs lie close together at the middle of the deck, so the label stands near the anchor.
    let at = from.lerp(to, 0.62);
    let is_up = to.y < sheet.at([0.0, 0.0]).y;
    let (beside, align) = if is_up {
        (at - vec2(0.0, 4.0), Align2::CENTER_BOTTOM)
    } else {
        (at + vec2(0.0, 4.0), Align2::CENTER_TOP)
    };
    sheet.text(beside, align, &text, palette.text);
}

/// Every tie-down: where from and to, and its two rows.
fn legs_ui(
    ui: &mut Ui,
    answer: &Answer<'_>,
    result: &SecuringResult,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    if result.legs.is_empty() {
        return;
    }
    pick::heading(ui, "Each tie-down");
    for (index, leg) in result.legs.iter().enumerate() {
        let of = format!("{}, {}", result.title, letter(index));
        let mut table = Table {
            answer,
            of: &of,
            open: &mut shown.open,
            commands: &mut *commands,
        };
        let text = format!(
            "{}. {} ({}) to {} ({}) with {}; weakest part: {}",
            letter(index),
            leg.from,
            words::side(leg.from_side),
            leg.to,
            words::side(leg.to_side),
            answer.name_of(&leg.with),
            answer
                .worked
                .place_in_words(answer.input, &leg.weakest_part)
        );
        pick::soft(ui, &text);
        table.rows_ui(ui, [&leg.force, &leg.limit]);
    }
}

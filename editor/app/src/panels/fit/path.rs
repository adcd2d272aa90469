//! The vehicle on its way over ramp, hinge and deck, at the spot where it is tightest.

use chockstone_schema::report::{ClearingResult, FitChoices, TightestSpot};
use egui::{Align2, Stroke, Ui, pos2, vec2};

use super::{
    Answer, ShownParts, pick,
    sections::{Section, picked, table_ui},
    sheet::{Room, Sheet, bounds_of},
};
use crate::{command::Command, figures, widgets::UnitSystem};

/// Draws the part of the answer about the loading path.
pub(super) fn show(
    ui: &mut Ui,
    answer: &Answer<'_>,
    choices: &FitChoices,
    shown: &mut ShownParts,
    commands: &mut Vec<Command>,
) {
    let results = &answer.worked.report.clearing;
    let usual = results.iter().position(|r| r.facing == choices.facing);
    let titles = results.iter().map(|r| (r.title.as_str(), r.verdict));
    let index = picked(ui, Section::Path, titles, shown, usual.unwrap_or(0));
    let Some(result) = results.get(index).or(results.first()) else {
        pick::line(
            ui,
            "Choose a carrier to see the vehicle’s way onto its deck.",
        );
        return;
    };
    pick::title_ui(ui, &result.title, result.verdict);
    if let Some(with) = &result.with {
        pick::soft(ui, &format!("With {with}."));
    }
    match &result.tightest {
        Some(spot) => {
            draw(ui, answer, result, spot);
            let along = figures::text(spot.along, None, "m", answer.input.system);
            let text = format!(
                "Tightest with the leading axle {along} from the foot of the ramp: {}.",
                spot.what.trim_end_matches('.')
            );
            pick::line(ui, &text);
        }
        None => pick::soft(ui, "There is no pose to draw."),
    }
    table_ui(ui, answer, &result.title, shown, commands, &result.rows);
}

/// Draws the pose. The report's frame runs toward the cab, which is at the left of every drawing here.
pub(super) fn draw(ui: &mut Ui, answer: &Answer<'_>, result: &ClearingResult, spot: &TightestSpot) {
    let turned = |[x, z]: [f64; 2]| [-x, z];
    let outline: Vec<[f64; 2]> = spot.outline.iter().copied().map(turned).collect();
    let ground: Vec<[f64; 2]> = spot.ground.iter().copied().map(turned).collect();
    let wheels = spot.wheels.iter().map(|[x, z, r]| ([-x, *z], *r));
    let wheels: Vec<([f64; 2], f64)> = wheels.collect();
    let extents = wheels.iter().map(|([x, z], r)| [*x, z - r]);
    let [[x0, z0], [x1, z1]] = bounds_of(outline.iter().copied().chain(extents));
    // The ground is shown some way before and behind the vehicle, not the whole of a long deck.
    let margin = (x1 - x0) * 0.2;
    let bounds = [[x0 - margin, z0.min(0.0)], [x1 + margin, z1]];
    let label = format!("{}, side view at the tightest spot", result.title);
    let sheet = Sheet::new(ui, &label, bounds, Room([12.0, 28.0, 12.0, 26.0]), 290.0);
    let palette = sheet.palette;
    let corners = sheet.all(&outline);
    sheet.polygon(&corners, palette.body, Stroke::new(1.6, palette.outline));
    for (hub, radius) in wheels {
        sheet.wheel(sheet.at(hub), sheet.points(radius), true);
    }
    sheet.line(&sheet.all(&ground), Stroke::new(3.0, palette.ground));
    spot_mark(&sheet, answer, result, turned(spot.spot));
    sheet.cab_arrow("Cab");
}

fn spot_mark(sheet: &Sheet, answer: &Answer<'_>, result: &ClearingResult, spot: [f64; 2]) {
    let at = sheet.at(spot);
    let palette = sheet.palette;
    let stroke = Stroke::new(2.2, palette.selected);
    sheet.painter.circle_stroke(at, 8.0, stroke);
    for arm in [vec2(13.0, 0.0), vec2(0.0, 13.0)] {
        sheet.line(&[at - arm, at - arm * 0.62], stroke);
        sheet.line(&[at + arm * 0.62, at + arm], stroke);
    }
    let system = match answer.input.system {
        UnitSystem::AsEntered => UnitSystem::Si,
        chosen => chosen,
    };
    let row = result
        .rows
        .iter()
        .find(|row| row.name.contains("clearance"));
    let row = row.or(result.rows.first());
    let clearance = row.and_then(|row| row.figure.as_ref());
    let text = clearance.map_or_else(
        || "tightest".to_owned(),
        |figure| format!("tightest: {}", figures::figure(figure, system)),
    );
    let below = pos2(at.x, at.y + 15.0);
    sheet.text(below, Align2::CENTER_TOP, &text, palette.selected);
}

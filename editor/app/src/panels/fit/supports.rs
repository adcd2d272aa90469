//! The places that carry a lifted vehicle, seen from above.

use chockstone_schema::report::{LiftingResult, SupportLoad};
use egui::{Align2, Shape, Stroke, Ui, pos2, vec2};

use super::{
    Answer, pick,
    sheet::{Room, Sheet, bounds_of},
};
use crate::{diagram, figures, widgets::UnitSystem};

/// The height of a line of text in a drawing.
const LINE: f32 = 13.0;

/// The letter of a thing in a drawing: A, B … Z, A2.
pub(super) fn letter(index: usize) -> String {
    let letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    let own = letters.chars().nth(index % 26).unwrap_or('A');
    match index / 26 {
        0 => own.to_string(),
        round => format!("{own}{}", round + 1),
    }
}

/// Draws the plan: outline, supports with their loads, and the centre of gravity.
pub(super) fn show(ui: &mut Ui, answer: &Answer<'_>, result: &LiftingResult) {
    if result.supports.is_empty() {
        return;
    }
    let shape = &answer.worked.shape;
    let supports = result.supports.iter().map(|s| [s.x, s.y]);
    let bounds = bounds_of(shape.plan.iter().copied().chain(supports));
    let room = Room([16.0, 50.0, 16.0, 30.0]);
    let label = format!("{}, plan view", result.title);
    let sheet = Sheet::new(ui, &label, bounds, room, 240.0);
    let palette = sheet.palette;
    let outline = sheet.all(&shape.plan);
    sheet.polygon(&outline, palette.body, Stroke::new(1.4, palette.outline));
    polygon_of(&sheet, &result.supports);
    if let Some(centre) = shape.centre {
        let (x, _) = centre.x;
        let (y, _) = centre.y.unwrap_or((0.0, None));
        diagram::centre_symbol(&sheet.painter, sheet.at([x, y]), palette);
    }
    for (index, support) in result.supports.iter().enumerate() {
        support_mark(&sheet, index, support, answer.input.system);
    }
    sheet.cab_arrow("Front");
    let right = sheet.area.right_top() + vec2(-8.0, 6.0);
    sheet.text(right, Align2::RIGHT_TOP, "Vehicle’s right", palette.soft);
    pick::soft(
        ui,
        "Loads are for equally stiff supports; under them the least and the most that statics allow. The centre mark \
         is the vehicle as it stands.",
    );
}

/// The polygon of support: a dashed line around the supports.
fn polygon_of(sheet: &Sheet, supports: &[SupportLoad]) {
    let mut places: Vec<[f64; 2]> = supports.iter().map(|s| [s.x, s.y]).collect();
    let count = places.len().max(1) as f64;
    let middle = places
        .iter()
        .fold([0.0, 0.0], |[a, b], [x, y]| [a + x / count, b + y / count]);
    let [x0, y0] = middle;
    places.sort_by(|[ax, ay], [bx, by]| {
        let angle = |x: f64, y: f64| (y - y0).atan2(x - x0);
        angle(*ax, *ay).total_cmp(&angle(*bx, *by))
    });
    let corners = sheet.all(&places);
    let stroke = Stroke::new(1.3, sheet.palette.support);
    diagram::dashed(&sheet.painter, &corners, stroke, 5.0, 3.0);
}

fn support_mark(sheet: &Sheet, index: usize, support: &SupportLoad, system: UnitSystem) {
    let at = sheet.at([support.x, support.y]);
    let palette = sheet.palette;
    let corners = [(-6.0, 5.0), (6.0, 5.0), (0.0, -6.0)].map(|(x, y)| at + vec2(x, y));
    let mark = Shape::convex_polygon(corners.to_vec(), palette.support, Stroke::NONE);
    sheet.painter.add(mark);
    let lines = load_lines(index, support, system);
    let is_up = at.y < sheet.at([support.x, 0.0]).y;
    let ordered: Vec<&String> = if is_up {
        lines.iter().rev().collect()
    } else {
        lines.iter().collect()
    };
    let (align, direction) = if is_up {
        (Align2::CENTER_BOTTOM, -1.0)
    } else {
        (Align2::CENTER_TOP, 1.0)
    };
    let mut y = at.y + 8.0 * direction;
    for text in ordered {
        sheet.text(pos2(at.x, y), align, text, palette.text);
        y += LINE * direction;
    }
}

/// The load of a support, and under it what statics leave open, in one family of units: there is little room.
fn load_lines(index: usize, support: &SupportLoad, system: UnitSystem) -> Vec<String> {
    let letter = letter(index);
    let Some(figure) = &support.load.figure else {
        return vec![format!("{letter} not known")];
    };
    let system = match system {
        UnitSystem::AsEntered => UnitSystem::Si,
        chosen => chosen,
    };
    let unit = figure.unit.as_ref();
    let load = figures::text(figure.value, figure.plus_minus, unit, system);
    let open = figure.low.zip(figure.high);
    let open = open.map(|(low, high)| figures::span(low, high, unit, system));
    [Some(format!("{letter} {load}")), open]
        .into_iter()
        .flatten()
        .collect()
}

//! Marks of findings: a shape and a word, so that colour only repeats what they say.

use chockstone_schema::report::{Finding, Severity};
use egui::{Color32, Pos2, Rect, Response, RichText, Sense, Shape, Stroke, Ui, Vec2, pos2};

use crate::theme::Tokens;

/// The word for a severity.
pub fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Blocking => "Blocking",
        Severity::Warning => "Warning",
        Severity::Note => "Note",
    }
}

/// The word for a number of findings of one severity: "1 warning", "3 blocking".
pub fn count(severity: Severity, number: usize) -> String {
    match severity {
        Severity::Blocking => format!("{number} blocking"),
        Severity::Warning if number == 1 => "1 warning".to_owned(),
        Severity::Warning => format!("{number} warnings"),
        Severity::Note if number == 1 => "1 note".to_owned(),
        Severity::Note => format!("{number} notes"),
    }
}

/// What a finding computed and held it against, in one line.
pub fn figures(finding: &Finding) -> Option<String> {
    match (&finding.computed, &finding.limit) {
        (Some(computed), Some(limit)) => Some(format!("Found: {computed}. Held against: {limit}.")),
        (Some(computed), None) => Some(format!("Found: {computed}.")),
        (None, Some(limit)) => Some(format!("Held against: {limit}.")),
        (None, None) => None,
    }
}

/// The colour of a severity.
pub fn color(tokens: &Tokens, severity: Severity) -> Color32 {
    match severity {
        Severity::Blocking => tokens.blocking,
        Severity::Warning => tokens.warning,
        Severity::Note => tokens.note,
    }
}

/// Draws the mark alone: a filled square with a bar, a triangle, a ring.
pub fn mark(ui: &mut Ui, severity: Severity) -> Response {
    let side = 14.0;
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
    let color = color(Tokens::of(ui), severity);
    let painter = ui.painter();
    match severity {
        Severity::Blocking => {
            painter.rect_filled(rect.shrink(1.0), 1.0, color);
            let bar = Rect::from_center_size(rect.center(), Vec2::new(side * 0.55, 2.5));
            painter.rect_filled(bar, 0.0, Tokens::of(ui).page);
        }
        Severity::Warning => {
            painter.add(triangle(rect, color));
        }
        Severity::Note => {
            painter.circle_stroke(rect.center(), side * 0.36, Stroke::new(2.0, color));
        }
    }
    response
}

fn triangle(rect: Rect, color: Color32) -> Shape {
    let corners: Vec<Pos2> = vec![
        pos2(rect.center().x, rect.top() + 1.0),
        pos2(rect.right() - 0.5, rect.bottom() - 1.5),
        pos2(rect.left() + 0.5, rect.bottom() - 1.5),
    ];
    Shape::convex_polygon(corners, color, Stroke::NONE)
}

/// Draws the mark and the word.
pub fn labelled(ui: &mut Ui, severity: Severity, text: &str) -> Response {
    let color = color(Tokens::of(ui), severity);
    mark(ui, severity);
    ui.label(RichText::new(text).color(color).strong())
}

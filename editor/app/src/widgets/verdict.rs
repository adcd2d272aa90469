//! Marks of verdicts: a shape and a word, so that colour only repeats what they say.

use chockstone_schema::report::Verdict;
use egui::{
    Color32, Painter, Rect, Response, RichText, Sense, Shape, Stroke, Ui, Vec2, pos2, vec2,
};

use crate::{figures, theme::Tokens};

/// The side of a mark.
const SIDE: f32 = 14.0;

/// The colour of a verdict.
pub fn color(tokens: &Tokens, verdict: Verdict) -> Color32 {
    match verdict {
        Verdict::Within => tokens.good,
        Verdict::TooCloseToCall => tokens.warning,
        Verdict::NotKnown => tokens.note,
        Verdict::Beyond => tokens.blocking,
    }
}

/// The word at the head of a line.
pub fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "Within",
        Verdict::TooCloseToCall => "Too close to call",
        Verdict::NotKnown => "Not known",
        Verdict::Beyond => "Beyond",
    }
}

/// Draws the mark alone: a disc with a tick, a triangle with a bar, a ring with a dot, a square with a cross.
pub fn mark(ui: &mut Ui, verdict: Verdict) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(SIDE), Sense::hover());
    paint(ui.painter(), rect, verdict, Tokens::of(ui));
    response.on_hover_text(figures::verdict(verdict))
}

/// Draws the mark in a square.
pub fn paint(painter: &Painter, rect: Rect, verdict: Verdict, tokens: &Tokens) {
    let color = color(tokens, verdict);
    let on = Stroke::new(1.8, tokens.page);
    let at = |x: f32, y: f32| rect.center() + vec2(x, y) * (rect.width() / SIDE);
    let line = |points: &[egui::Pos2], stroke| painter.add(Shape::line(points.to_vec(), stroke));
    match verdict {
        Verdict::Within => {
            painter.circle_filled(rect.center(), rect.width() * 0.47, color);
            line(&[at(-3.2, 0.2), at(-0.8, 2.8), at(3.4, -2.6)], on);
        }
        Verdict::TooCloseToCall => {
            let corners = vec![
                pos2(rect.center().x, rect.top() + 0.5),
                pos2(rect.right(), rect.bottom() - 1.0),
                pos2(rect.left(), rect.bottom() - 1.0),
            ];
            painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
            line(&[at(0.0, -2.0), at(0.0, 2.2)], on);
            painter.circle_filled(at(0.0, 4.2), 1.0, tokens.page);
        }
        Verdict::NotKnown => {
            painter.circle_stroke(rect.center(), rect.width() * 0.4, Stroke::new(1.8, color));
            painter.circle_filled(rect.center(), 1.6, color);
        }
        Verdict::Beyond => {
            painter.rect_filled(rect.shrink(0.8), 1.0, color);
            line(&[at(-3.0, -3.0), at(3.0, 3.0)], on);
            line(&[at(-3.0, 3.0), at(3.0, -3.0)], on);
        }
    }
}

/// Draws the mark and a text in its colour.
pub fn labelled(ui: &mut Ui, verdict: Verdict, text: &str) -> Response {
    let color = color(Tokens::of(ui), verdict);
    mark(ui, verdict);
    ui.label(RichText::new(text).color(color).strong())
}

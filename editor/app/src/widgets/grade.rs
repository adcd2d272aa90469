//! Marks of grades: a shape and a word, so that colour only repeats what they say.

use chockstone_schema::report::Grade;
use egui::{Color32, Response, Sense, Shape, Stroke, Ui, Vec2, vec2};

use crate::theme::Tokens;

/// The word for a grade.
pub fn word(grade: Grade) -> &'static str {
    chockstone_library::note::grade(grade)
}

/// A number of changes of one grade, in a sentence: "3 can hurt".
pub fn count(grade: Grade, number: usize) -> String {
    match grade {
        Grade::CanHurt => format!("{number} can hurt"),
        Grade::NewToKnow => format!("{number} new to know"),
        Grade::Wording => format!("{number} wording"),
    }
}

/// The colour of a grade.
pub fn color(tokens: &Tokens, grade: Grade) -> Color32 {
    match grade {
        Grade::CanHurt => tokens.blocking,
        Grade::NewToKnow => tokens.note,
        Grade::Wording => tokens.text_soft,
    }
}

/// Draws the mark alone: a diamond with a bar, a square with a plus, two lines as of writing.
pub fn mark(ui: &mut Ui, grade: Grade) -> Response {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
    let tokens = Tokens::of(ui);
    let (painter, middle) = (ui.painter(), rect.center());
    let color = color(tokens, grade);
    let line = |a: Vec2, b: Vec2, color| {
        painter.line_segment([middle + a, middle + b], Stroke::new(1.8, color));
    };
    match grade {
        Grade::CanHurt => {
            let arms = [
                vec2(0.0, -7.0),
                vec2(7.0, 0.0),
                vec2(0.0, 7.0),
                vec2(-7.0, 0.0),
            ];
            let corners = arms.map(|arm| middle + arm).to_vec();
            painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
            line(vec2(0.0, -3.5), vec2(0.0, 1.0), tokens.page);
            painter.circle_filled(middle + vec2(0.0, 3.4), 1.1, tokens.page);
        }
        Grade::NewToKnow => {
            painter.rect_filled(rect.shrink(1.5), 1.0, color);
            line(vec2(-3.0, 0.0), vec2(3.0, 0.0), tokens.page);
            line(vec2(0.0, -3.0), vec2(0.0, 3.0), tokens.page);
        }
        Grade::Wording => {
            line(vec2(-5.5, -2.5), vec2(5.5, -2.5), color);
            line(vec2(-5.5, 2.5), vec2(2.0, 2.5), color);
        }
    }
    response.on_hover_text(word(grade))
}

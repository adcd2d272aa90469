//! Small buttons with a drawn sign and a name.

use egui::{Button, Color32, Painter, Pos2, Rect, Response, Shape, Stroke, Ui, Vec2, vec2};

/// What a small button shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Icon {
    /// A list opens below.
    Below,
    /// Something is folded away.
    Folded,
    /// Towards the start of the list.
    Up,
    /// Towards the end of the list.
    Down,
    /// One more like this.
    Duplicate,
    /// A new one.
    Add,
    /// Away with it.
    Delete,
}

const SIDE: f32 = 22.0;

/// Draws a small button. `name` is its accessible name and its tooltip.
pub fn button(ui: &mut Ui, icon: Icon, name: &str, enabled: bool) -> Response {
    let button = Button::new("").min_size(Vec2::splat(SIDE));
    let response = ui.add_enabled(enabled, button);
    paint_on(ui, icon, &response, enabled);
    response.accessible_name(name).on_hover_text(name)
}

/// Draws the sign on a button that was drawn without text.
pub fn paint_on(ui: &Ui, icon: Icon, response: &Response, enabled: bool) {
    let color = if enabled {
        ui.style().interact(response).fg_stroke.color
    } else {
        ui.visuals().weak_text_color()
    };
    paint(ui.painter(), icon, response.rect, color);
}

/// Draws the sign in the middle of a rectangle.
pub fn paint(painter: &Painter, icon: Icon, rect: Rect, color: Color32) {
    let at = |x: f32, y: f32| rect.center() + vec2(x, y);
    let stroke = Stroke::new(1.5, color);
    match icon {
        Icon::Below => line(
            painter,
            stroke,
            &[at(-3.5, -1.5), at(0.0, 2.5), at(3.5, -1.5)],
        ),
        Icon::Folded => line(
            painter,
            stroke,
            &[at(-1.5, -3.5), at(2.5, 0.0), at(-1.5, 3.5)],
        ),
        Icon::Up => {
            line(
                painter,
                stroke,
                &[at(-4.0, -0.5), at(0.0, -4.5), at(4.0, -0.5)],
            );
            line(painter, stroke, &[at(0.0, -4.0), at(0.0, 5.0)]);
        }
        Icon::Down => {
            line(
                painter,
                stroke,
                &[at(-4.0, 0.5), at(0.0, 4.5), at(4.0, 0.5)],
            );
            line(painter, stroke, &[at(0.0, 4.0), at(0.0, -5.0)]);
        }
        Icon::Duplicate => {
            let sheet = |x: f32, y: f32| Rect::from_min_size(at(x, y), vec2(7.0, 7.0));
            painter.rect_stroke(sheet(-4.5, -4.5), 1.0, stroke, egui::StrokeKind::Middle);
            painter.rect_stroke(sheet(-1.5, -1.5), 1.0, stroke, egui::StrokeKind::Middle);
        }
        Icon::Add => {
            line(painter, stroke, &[at(-4.5, 0.0), at(4.5, 0.0)]);
            line(painter, stroke, &[at(0.0, -4.5), at(0.0, 4.5)]);
        }
        Icon::Delete => {
            line(painter, stroke, &[at(-3.5, -3.5), at(3.5, 3.5)]);
            line(painter, stroke, &[at(-3.5, 3.5), at(3.5, -3.5)]);
        }
    }
}

fn line(painter: &Painter, stroke: Stroke, points: &[Pos2]) {
    painter.add(Shape::line(points.to_vec(), stroke));
}

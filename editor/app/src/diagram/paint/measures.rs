//! The centre of gravity with its doubt, and what each axle carries.

use egui::{Align2, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::{Canvas, box_corners, centre_symbol, dashed};
use crate::diagram::{
    projection::View,
    scene::{Centre, SceneAxle},
    ticks, wheels,
};

type Figure = (f64, Option<f64>);

impl Canvas<'_> {
    /// Draws both and returns the areas that no label may cover.
    pub(super) fn measures(&self) -> Vec<Rect> {
        let mut taken = Vec::new();
        if self.state.layers.loads {
            taken.extend(self.scene.axles.iter().filter_map(|axle| self.load(axle)));
        }
        if let (true, Some(centre)) = (self.state.layers.centre, self.scene.centre) {
            taken.extend(self.centre(centre));
        }
        taken
    }

    /// An arrow up from the ground under the axle with what the ground carries there; from above, the figure alone.
    fn load(&self, axle: &SceneAxle) -> Option<Rect> {
        let (kilograms, doubt) = axle.load?;
        let text = ticks::mass_with_doubt(self.measure, kilograms, doubt);
        let color = self.palette.text;
        Some(match self.projection.view {
            View::Side => {
                let ground = self.projection.screen_from_flat([axle.x, 0.0]);
                let foot = ground + vec2(0.0, 24.0);
                self.painter
                    .line_segment([foot, ground + vec2(0.0, 6.0)], Stroke::new(2.0, color));
                let tip = [
                    ground + vec2(0.0, 1.0),
                    ground + vec2(5.0, 9.0),
                    ground + vec2(-5.0, 9.0),
                ];
                self.painter
                    .add(Shape::convex_polygon(tip.to_vec(), color, Stroke::NONE));
                self.text(foot + vec2(0.0, 2.0), Align2::CENTER_TOP, &text, color)
            }
            View::Plan => {
                let areas = wheels::on_screen(axle, &self.projection);
                let lowest = areas
                    .iter()
                    .map(|w| w.area.bottom())
                    .fold(f32::NEG_INFINITY, f32::max);
                let on_axle = self.projection.screen_from_vehicle([axle.x, 0.0, 0.0]);
                let at = pos2(
                    on_axle.x,
                    if lowest.is_finite() {
                        lowest
                    } else {
                        on_axle.y
                    } + 8.0,
                );
                self.text(at, Align2::CENTER_TOP, &text, color)
            }
        })
    }

    fn centre(&self, centre: Centre) -> Option<Rect> {
        let up = match self.projection.view {
            View::Side => centre.z,
            View::Plan => centre.y,
        };
        if up.is_none() {
            self.centre_line(centre.x);
        }
        up.map(|up| self.known_centre(centre.x, up))
    }

    /// The mark, and a dashed box of the ± half-widths.
    fn known_centre(&self, x: Figure, up: Figure) -> Rect {
        let at = self.projection.screen_from_flat([x.0, up.0]);
        let half = |figure: Figure| self.projection.points(figure.1.unwrap_or(0.0));
        let doubt = Rect::from_center_size(at, vec2(half(x), half(up)) * 2.0);
        if x.1.is_some() || up.1.is_some() {
            let corners = box_corners(doubt);
            super::fill(
                &self.painter,
                &corners,
                self.palette.text.gamma_multiply(0.1),
            );
            dashed(
                &self.painter,
                &corners,
                Stroke::new(1.2, self.palette.text),
                4.0,
                3.0,
            );
        }
        centre_symbol(&self.painter, at, self.palette);
        let mark = Rect::from_center_size(at, Vec2::splat(26.0));
        mark.union(doubt)
    }

    /// The figures in words and where the mark is, if they are shown.
    pub(in crate::diagram) fn centre_words(&self) -> Option<(Pos2, String)> {
        let centre = self.scene.centre?;
        let up = match self.projection.view {
            View::Side => centre.z?,
            View::Plan => centre.y?,
        };
        let layers = self.state.layers;
        let hovered = self.state.hovered.as_deref() == Some(CENTRE);
        if !layers.centre || !(layers.labels || hovered) {
            return None;
        }
        let show = |f: Figure| ticks::length_with_doubt(self.measure, f.0, f.1);
        let axis = self.projection.view.up_axis();
        let text = format!(
            "Centre of gravity\nx {}, {axis} {}",
            show(centre.x),
            show(up)
        );
        let at = self.projection.screen_from_flat([centre.x.0, up.0]);
        Some((at, text))
    }

    /// Where only x is known: a line across with its band.
    fn centre_line(&self, x: Figure) {
        let area = self.projection.area;
        let at = self.projection.screen_from_flat([x.0, 0.0]);
        let bottom = if self.projection.view == View::Side {
            at.y
        } else {
            area.bottom() - 30.0
        };
        let column = |x: f32| [pos2(x, area.top() + 30.0), pos2(x, bottom)];
        let stroke = Stroke::new(1.4, self.palette.text);
        self.painter.extend(Shape::dashed_line_with_offset(
            &column(at.x),
            stroke,
            &[12.0, 3.0],
            &[4.0, 4.0],
            0.0,
        ));
        if let Some(half) = x.1.map(|h| self.projection.points(h)) {
            let band = Rect::from_x_y_ranges(at.x - half..=at.x + half, area.top() + 30.0..=bottom);
            self.painter
                .rect_filled(band, 0.0, self.palette.text.gamma_multiply(0.08));
        }
        let missing = match self.projection.view {
            View::Side => "Centre of gravity: height not known",
            View::Plan => "Centre of gravity: side not known",
        };
        let place = pos2(at.x + 5.0, area.top() + 32.0);
        self.text(place, Align2::LEFT_TOP, missing, self.palette.text);
    }
}

/// What stands for the centre of gravity among pointers: the part of the file that it is computed from.
pub(in crate::diagram) const CENTRE: &str = "/mass";

//! What lies behind and around the vehicle: grid, ground, rulers, the front mark and the scale bar.

use egui::{Align2, FontId, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::{Canvas, RULER_HEIGHT, RULER_WIDTH};
use crate::diagram::{projection::View, ticks::Ticks};

/// The least distance of labelled ruler marks on the screen.
const SPACING: f64 = 62.0;

impl Canvas<'_> {
    fn ticks(&self) -> Ticks {
        Ticks::new(self.measure, self.projection.camera.scale, SPACING)
    }

    /// The least and the greatest coordinates shown: across, then up.
    fn range(&self) -> ([f64; 2], [f64; 2]) {
        let area = self.projection.area;
        let [left, bottom] = self.projection.flat_from_screen(area.left_bottom());
        let [right, top] = self.projection.flat_from_screen(area.right_top());
        ([left, right], [bottom, top])
    }

    pub(super) fn grid(&self) {
        let (ticks, area) = (self.ticks(), self.projection.area);
        let ([left, right], [bottom, top]) = self.range();
        let labelled = |from, to| {
            ticks
                .labelled(from, to)
                .into_iter()
                .map(|(at, _)| at)
                .collect()
        };
        let fine = Stroke::new(1.0, self.palette.grid);
        let strong = Stroke::new(1.0, self.palette.grid_strong);
        let sets: [(Vec<f64>, Vec<f64>, Stroke); 2] = [
            (ticks.all(left, right), ticks.all(bottom, top), fine),
            (labelled(left, right), labelled(bottom, top), strong),
        ];
        for (columns, rows, stroke) in sets {
            for x in columns {
                self.painter.vline(
                    self.projection.screen_from_flat([x, 0.0]).x,
                    area.y_range(),
                    stroke,
                );
            }
            for up in rows {
                self.painter.hline(
                    area.x_range(),
                    self.projection.screen_from_flat([0.0, up]).y,
                    stroke,
                );
            }
        }
    }

    /// The ground from the side, the centre plane from above.
    pub(super) fn ground(&self) {
        let area = self.projection.area;
        let y = self.projection.screen_from_flat([0.0, 0.0]).y;
        if !area.y_range().contains(y) {
            return;
        }
        let stroke = Stroke::new(1.2, self.palette.ground);
        match self.projection.view {
            View::Side => {
                self.painter.hline(area.x_range(), y, stroke);
                self.earth(y);
            }
            View::Plan => {
                let path = [pos2(area.left(), y), pos2(area.right(), y)];
                // Long, short: a centre line as engineering drawings draw it (ISO 128, from memory).
                self.painter.extend(Shape::dashed_line_with_offset(
                    &path,
                    Stroke::new(1.0, self.palette.ground),
                    &[14.0, 3.0],
                    &[4.0, 4.0],
                    0.0,
                ));
            }
        }
    }

    /// Short strokes under the ground line.
    fn earth(&self, y: f32) {
        let area = self.projection.area;
        let stroke = Stroke::new(1.0, self.palette.ground.gamma_multiply(0.55));
        // Bound to the vehicle, so that the strokes move with it.
        let start = self
            .projection
            .screen_from_flat([0.0, 0.0])
            .x
            .rem_euclid(12.0);
        let mut x = area.left() - area.left().rem_euclid(12.0) + start - 12.0;
        while x < area.right() + 12.0 {
            self.painter
                .line_segment([pos2(x, y + 1.0), pos2(x - 5.0, y + 6.0)], stroke);
            x += 12.0;
        }
    }

    /// An arrow to the front, and which side of the vehicle is where; returns the areas that no label may cover.
    pub(super) fn orientation(&self) -> Vec<Rect> {
        let area = self.projection.area;
        let at = area.left_top() + vec2(14.0, 18.0);
        let color = self.palette.text;
        let tip = [at, at + vec2(11.0, -6.0), at + vec2(11.0, 6.0)];
        self.painter
            .add(Shape::convex_polygon(tip.to_vec(), color, Stroke::NONE));
        self.painter.line_segment(
            [at + vec2(10.0, 0.0), at + vec2(24.0, 0.0)],
            Stroke::new(2.0, color),
        );
        let front = self.text(at + vec2(30.0, 0.0), Align2::LEFT_CENTER, "Front", color);
        let mut taken = vec![front.union(Rect::from_center_size(at, Vec2::splat(12.0)))];
        let soft = self.palette.soft;
        let right = area.right_top() + vec2(-8.0, 8.0);
        let title = match self.projection.view {
            View::Side => "Side view, from the vehicle’s left",
            View::Plan => "Plan view, from above",
        };
        if area.width() > 420.0 {
            taken.push(self.text(right, Align2::RIGHT_TOP, title, soft));
        }
        if self.projection.view == View::Plan {
            let (top, bottom) = (
                area.center_top() + vec2(0.0, 8.0),
                area.center_bottom() - vec2(0.0, 8.0),
            );
            taken.push(self.text(top, Align2::CENTER_TOP, "Vehicle’s right", soft));
            taken.push(self.text(bottom, Align2::CENTER_BOTTOM, "Vehicle’s left", soft));
        }
        taken
    }

    pub(super) fn scale_bar(&self) {
        let area = self.projection.area;
        let most = f64::from((area.width() * 0.25).min(130.0));
        let (metres, label) = Ticks::scale_bar(self.measure, self.projection.camera.scale, most);
        let length = self.projection.points(metres);
        let end = area.right_bottom() + vec2(-14.0, -12.0);
        let stroke = Stroke::new(1.5, self.palette.text);
        let start = end - vec2(length, 0.0);
        let back = Rect::from_two_pos(start - vec2(4.0, 20.0), end + vec2(4.0, 5.0));
        self.painter
            .rect_filled(back, 3.0, self.palette.paper.gamma_multiply(0.8));
        self.painter.line_segment([start, end], stroke);
        for tip in [start, start + vec2(length / 2.0, 0.0), end] {
            self.painter
                .line_segment([tip - vec2(0.0, 4.0), tip], stroke);
        }
        let middle = start + vec2(length / 2.0, -5.0);
        let font = super::label_font();
        self.painter.text(
            middle,
            Align2::CENTER_BOTTOM,
            label,
            font,
            self.palette.text,
        );
    }

    /// The rulers along the top and the left edge.
    pub(super) fn rulers(&self, painter: &Painter) {
        let area = self.projection.area;
        let top = Rect::from_min_max(area.left_top() - vec2(0.0, RULER_HEIGHT), area.right_top());
        let left = Rect::from_min_max(area.left_top() - vec2(RULER_WIDTH, 0.0), area.left_bottom());
        let corner = Rect::from_min_max(left.left_top() - vec2(0.0, RULER_HEIGHT), area.left_top());
        for part in [top, left, corner] {
            painter.rect_filled(part, 0.0, self.palette.ruler);
        }
        self.top_ruler(&painter.with_clip_rect(top), top);
        self.left_ruler(&painter.with_clip_rect(left), left);
        let unit = format!("{}, {}", self.projection.view.up_axis(), self.ticks().unit);
        let font = FontId::proportional(10.5);
        painter.text(
            corner.center(),
            Align2::CENTER_CENTER,
            unit,
            font,
            self.palette.soft,
        );
        let edge = Stroke::new(1.0, self.palette.grid_strong);
        painter.hline(corner.left()..=area.right(), area.top(), edge);
        painter.vline(area.left(), corner.top()..=area.bottom(), edge);
    }

    fn top_ruler(&self, painter: &Painter, strip: Rect) {
        let ([left, right], _) = self.range();
        let ticks = self.ticks();
        let at = |x: f64| self.projection.screen_from_flat([x, 0.0]).x;
        let stroke = Stroke::new(1.0, self.palette.soft);
        for x in ticks.all(left, right) {
            painter.vline(at(x), strip.bottom() - 3.0..=strip.bottom(), stroke);
        }
        for (x, label) in ticks.labelled(left, right) {
            painter.vline(at(x), strip.bottom() - 6.0..=strip.bottom(), stroke);
            let place = pos2(at(x), strip.bottom() - 6.0);
            self.ruler_text(painter, place, Align2::CENTER_BOTTOM, label);
        }
        self.follow(painter, strip, |at| {
            [pos2(at.x, strip.top()), pos2(at.x, strip.bottom())]
        });
    }

    fn left_ruler(&self, painter: &Painter, strip: Rect) {
        let (_, [bottom, top]) = self.range();
        let ticks = self.ticks();
        let at = |up: f64| self.projection.screen_from_flat([0.0, up]).y;
        let stroke = Stroke::new(1.0, self.palette.soft);
        for up in ticks.all(bottom, top) {
            painter.hline(strip.right() - 3.0..=strip.right(), at(up), stroke);
        }
        for (up, label) in ticks.labelled(bottom, top) {
            painter.hline(strip.right() - 6.0..=strip.right(), at(up), stroke);
            let place = pos2(strip.right() - 8.0, at(up));
            self.ruler_text(painter, place, Align2::RIGHT_CENTER, label);
        }
        self.follow(painter, strip, |at| {
            [pos2(strip.left(), at.y), pos2(strip.right(), at.y)]
        });
    }

    fn ruler_text(&self, painter: &Painter, at: Pos2, align: Align2, label: String) {
        painter.text(
            at,
            align,
            label,
            FontId::proportional(10.5),
            self.palette.soft,
        );
    }

    /// A line on a ruler that follows the pointer.
    fn follow(&self, painter: &Painter, strip: Rect, line: impl Fn(Pos2) -> [Pos2; 2]) {
        let latest = painter.ctx().pointer_latest_pos();
        let reach = self.projection.area.expand2(Vec2::splat(1.0));
        if let Some(at) = latest.filter(|at| reach.contains(*at))
            && strip.is_positive()
        {
            painter.line_segment(line(at), Stroke::new(1.0, self.palette.selected));
        }
    }
}

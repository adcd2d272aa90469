//! A sheet to draw on: lengths in metres to places on the screen, one scale both ways.

use egui::{
    Align2, Color32, Painter, Pos2, Rect, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo, pos2,
    vec2,
};

use crate::diagram::{self, palette::Palette};

/// One drawing on the screen. The first coordinate runs to the right, the second up.
pub(super) struct Sheet {
    pub(super) painter: Painter,
    pub(super) area: Rect,
    pub(super) palette: &'static Palette,
    /// Points on the screen a metre.
    scale: f64,
    middle: [f64; 2],
    centre: Pos2,
}

/// Room kept free at the edges of a sheet: left, top, right, bottom, in points.
#[derive(Clone, Copy)]
pub(super) struct Room(pub(super) [f32; 4]);

impl Sheet {
    /// A sheet as wide as there is room, high enough for what is within `bounds`, and no higher than `most`.
    pub(super) fn new(
        ui: &mut Ui,
        label: &str,
        bounds: [[f64; 2]; 2],
        room: Room,
        most: f32,
    ) -> Self {
        let Room([left, top, right, bottom]) = room;
        let [[x0, y0], [x1, y1]] = bounds;
        let [across, up] = [(x1 - x0).max(0.1), (y1 - y0).max(0.1)];
        let width = ui.available_width();
        let free = vec2(
            (width - left - right).max(20.0),
            (most - top - bottom).max(20.0),
        );
        let scale = (f64::from(free.x) / across).min(f64::from(free.y) / up);
        let height = points(up * scale) + top + bottom;
        let (area, response) = ui.allocate_exact_size(vec2(width, height), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, label));
        let palette = Palette::of(ui);
        let painter = ui.painter_at(area);
        painter.rect_filled(area, 4.0, palette.paper);
        Self {
            painter,
            area,
            palette,
            scale,
            middle: [x0.midpoint(x1), y0.midpoint(y1)],
            centre: pos2(
                area.center().x + (left - right) / 2.0,
                area.center().y + (top - bottom) / 2.0,
            ),
        }
    }

    /// Where a place is on the screen.
    pub(super) fn at(&self, [x, y]: [f64; 2]) -> Pos2 {
        let [x0, y0] = self.middle;
        self.centre + vec2(self.points(x - x0), -self.points(y - y0))
    }

    /// A length on the screen.
    pub(super) fn points(&self, metres: f64) -> f32 {
        points(metres * self.scale)
    }

    /// A length on the screen in metres.
    pub(super) fn metres(&self, points: f32) -> f64 {
        f64::from(points) / self.scale
    }

    pub(super) fn all(&self, places: &[[f64; 2]]) -> Vec<Pos2> {
        places.iter().map(|p| self.at(*p)).collect()
    }

    pub(super) fn polygon(&self, corners: &[Pos2], fill: Color32, stroke: Stroke) {
        diagram::fill(&self.painter, corners, fill);
        self.painter
            .add(Shape::closed_line(corners.to_vec(), stroke));
    }

    pub(super) fn line(&self, path: &[Pos2], stroke: Stroke) {
        self.painter.add(Shape::line(path.to_vec(), stroke));
    }

    pub(super) fn dashes(&self, path: &[Pos2], stroke: Stroke, dash: f32, gap: f32) {
        self.painter
            .extend(Shape::dashed_line(path, stroke, dash, gap));
    }

    /// A wheel from the side; dashed where its size is assumed.
    pub(super) fn wheel(&self, hub: Pos2, radius: f32, stated: bool) {
        let stroke = Stroke::new(1.4, self.palette.wheel);
        self.painter.circle_filled(hub, radius, self.palette.tyre);
        self.painter
            .circle_filled(hub, radius * 0.6, self.palette.body);
        if stated {
            self.painter.circle_stroke(hub, radius, stroke);
        } else {
            let turn = |i: u8| f32::from(i) / 40.0 * std::f32::consts::TAU;
            let ring: Vec<Pos2> = (0..40_u8)
                .map(|i| hub + radius * Vec2::angled(turn(i)))
                .collect();
            diagram::dashed(&self.painter, &ring, stroke, 4.0, 3.0);
        }
        self.painter.circle_filled(hub, 1.8, self.palette.wheel);
    }

    /// Text on a halo, kept inside the sheet.
    pub(super) fn text(&self, at: Pos2, align: Align2, text: &str, color: Color32) -> Rect {
        let font = diagram::label_font();
        let size = self
            .painter
            .layout_no_wrap(text.to_owned(), font, color)
            .size();
        let wanted = align.anchor_size(at, size);
        let inside = self.area.shrink(3.0);
        let shift = vec2(
            (inside.left() - wanted.left()).max(0.0) + (inside.right() - wanted.right()).min(0.0),
            (inside.top() - wanted.top()).max(0.0) + (inside.bottom() - wanted.bottom()).min(0.0),
        );
        let paper = self.palette.paper;
        diagram::text_on(&self.painter, (at + shift, align), text, color, paper)
    }

    /// An arrow to where the truck's cab is, at the left of every drawing of a deck.
    pub(super) fn cab_arrow(&self, text: &str) {
        let at = self.area.left_top() + vec2(12.0, 14.0);
        let color = self.palette.soft;
        let tip = [at, at + vec2(9.0, -5.0), at + vec2(9.0, 5.0)];
        self.painter
            .add(Shape::convex_polygon(tip.to_vec(), color, Stroke::NONE));
        self.line(
            &[at + vec2(8.0, 0.0), at + vec2(20.0, 0.0)],
            Stroke::new(2.0, color),
        );
        self.text(at + vec2(26.0, 0.0), Align2::LEFT_CENTER, text, color);
    }
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "screen points need no more than f32"
)]
fn points(value: f64) -> f32 {
    value as f32
}

/// The bounds of places, empty ones at the origin.
pub(super) fn bounds_of(places: impl IntoIterator<Item = [f64; 2]>) -> [[f64; 2]; 2] {
    let mut places = places.into_iter();
    let Some(first) = places.next() else {
        return [[0.0, 0.0], [1.0, 1.0]];
    };
    places.fold([first, first], |[[x0, y0], [x1, y1]], [x, y]| {
        [[x0.min(x), y0.min(y)], [x1.max(x), y1.max(y)]]
    })
}

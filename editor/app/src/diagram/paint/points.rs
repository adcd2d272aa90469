//! Points and their names.

use chockstone_schema::{model::point::PointKind, report::Severity};
use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, vec2};

use super::Canvas;
use crate::diagram::{
    glyph::{self, Part},
    labels::Wanted,
    palette::Palette,
    projection::View,
    scene::ScenePoint,
};

/// Half the width of a point's shape on the screen.
pub(in crate::diagram) const RADIUS: f32 = 7.5;

/// Draws the shape of a kind of point.
pub(in crate::diagram) fn glyph(
    painter: &Painter,
    at: Pos2,
    radius: f32,
    kind: PointKind,
    palette: &Palette,
) {
    let color = palette.group(glyph::group(kind));
    painter.circle_filled(at, radius * 1.35, palette.paper.gamma_multiply(0.75));
    for part in glyph::parts(kind) {
        painter.add(shape(*part, at, radius, color, palette.paper));
    }
}

fn shape(part: Part, at: Pos2, radius: f32, color: Color32, paper: Color32) -> Shape {
    let place = |c: &[f32; 2]| at + Vec2::from(*c) * radius;
    let all = |corners: &[[f32; 2]]| corners.iter().map(place).collect::<Vec<Pos2>>();
    let stroke = Stroke::new(1.5, color);
    match part {
        Part::Solid(corners) => Shape::convex_polygon(all(corners), color, Stroke::NONE),
        Part::Frame(corners) => Shape::convex_polygon(all(corners), paper, stroke),
        Part::Stroke(corners) => Shape::line(all(corners), Stroke::new(1.8, color)),
        Part::Ring(middle, r) => Shape::Circle(egui::epaint::CircleShape {
            center: place(&middle),
            radius: r * radius,
            fill: paper,
            stroke,
        }),
        Part::Disc(middle, r) => Shape::circle_filled(place(&middle), r * radius, color),
    }
}

impl Canvas<'_> {
    /// Draws every point, then the names that find room.
    pub(super) fn points(&self, mut taken: Vec<Rect>) {
        self.corner_handles();
        if !self.state.layers.points {
            return;
        }
        for point in &self.scene.points {
            self.pair_line(point);
        }
        for point in &self.scene.points {
            for (place, twin) in self.places(point) {
                taken.push(Rect::from_center_size(place, Vec2::splat(RADIUS * 2.2)));
                self.point(point, place, twin);
            }
        }
        self.names(&taken);
    }

    /// Where a point and its twin are on the screen. From the side they coincide.
    fn places(&self, point: &ScenePoint) -> Vec<(Pos2, bool)> {
        let own = (self.projection.screen_from_vehicle(point.place), false);
        let twin = point.twin().filter(|_| self.projection.view == View::Plan);
        let twin = twin.map(|place| (self.projection.screen_from_vehicle(place), true));
        std::iter::once(own).chain(twin).collect()
    }

    fn point(&self, point: &ScenePoint, at: Pos2, twin: bool) {
        let lit = self.is_lit(&point.pointer);
        if let Some(color) = lit {
            self.painter
                .circle_filled(at, RADIUS + 6.0, color.gamma_multiply(0.22));
            self.painter
                .circle_stroke(at, RADIUS + 6.0, Stroke::new(2.0, color));
        }
        if let (Some(doubt), Some(color)) = (point.doubt, lit) {
            let half = Vec2::splat(self.projection.points(doubt));
            let corners = super::box_corners(Rect::from_center_size(at, half * 2.0));
            super::dashed(&self.painter, &corners, Stroke::new(1.0, color), 4.0, 3.0);
        }
        glyph(&self.painter, at, RADIUS, point.kind, self.palette);
        if let Some(severity) = self.input.worst(&point.pointer).filter(|_| !twin) {
            self.finding(at + vec2(RADIUS + 2.0, -RADIUS - 2.0), severity);
        }
        let height_missing = self.projection.view == View::Side && !point.height_known;
        if twin || height_missing {
            // A dashed ring says that this mark is not a stated place of its own.
            let color = self.palette.group(glyph::group(point.kind));
            let turn = |i: u8| f32::from(i) / 32.0 * std::f32::consts::TAU;
            let ring: Vec<Pos2> = (0..32_u8)
                .map(|i| at + (RADIUS + 3.5) * Vec2::angled(turn(i)))
                .collect();
            super::dashed(&self.painter, &ring, Stroke::new(1.0, color), 3.0, 3.0);
        }
    }

    /// The mark of a finding, of the same form as in the list of findings, small.
    fn finding(&self, at: Pos2, severity: Severity) {
        let color = match severity {
            Severity::Blocking => self.palette.forbid,
            Severity::Warning => self.palette.danger,
            Severity::Note => return,
        };
        self.painter.circle_filled(at, 6.5, self.palette.paper);
        if severity == Severity::Blocking {
            self.painter
                .rect_filled(Rect::from_center_size(at, Vec2::splat(9.0)), 1.0, color);
            let bar = Rect::from_center_size(at, vec2(5.5, 2.0));
            self.painter.rect_filled(bar, 0.0, self.palette.paper);
        } else {
            let corners = [vec2(0.0, -5.5), vec2(5.5, 4.5), vec2(-5.5, 4.5)].map(|c| at + c);
            self.painter
                .add(Shape::convex_polygon(corners.to_vec(), color, Stroke::NONE));
        }
    }

    /// From a selected point to its twin.
    fn pair_line(&self, point: &ScenePoint) {
        let Some(color) = self.is_lit(&point.pointer) else {
            return;
        };
        if let [(own, _), (twin, _)] = self.places(point).as_slice() {
            self.painter.extend(Shape::dashed_line(
                &[*own, *twin],
                Stroke::new(1.0, color),
                5.0,
                4.0,
            ));
        }
    }

    fn names(&self, taken: &[Rect]) {
        let mut wanted = Vec::new();
        let mut galleys = Vec::new();
        let mut want = |text: String, anchor: Pos2, gap: f32, always: bool| {
            let font = super::label_font();
            let galley = self.painter.layout_no_wrap(text, font, self.palette.text);
            let size = galley.size();
            wanted.push(Wanted {
                anchor,
                gap,
                size,
                always,
            });
            galleys.push(galley);
        };
        if let Some((anchor, text)) = self.centre_words() {
            want(text, anchor, 13.0, true);
        }
        for point in &self.scene.points {
            let always = self.is_lit(&point.pointer).is_some();
            if always || self.state.layers.labels {
                let anchor = self.projection.screen_from_vehicle(point.place);
                want(point.name.clone(), anchor, RADIUS + 4.0, always);
            }
        }
        let paper = self.palette.paper.gamma_multiply(0.8);
        for (area, galley) in self.place_labels(&wanted, taken).into_iter().zip(galleys) {
            if let Some(area) = area {
                let back = area.expand2(vec2(2.0, 0.0));
                self.painter.rect_filled(back, 2.0, paper);
                self.painter.galley(area.min, galley, self.palette.text);
            }
        }
    }

    /// Squares on the corners of the selected outline.
    fn corner_handles(&self) {
        let selected = self.state.selected_corner();
        for outline in self
            .scene
            .editable_outlines()
            .filter(|o| o.view == self.projection.view)
        {
            let Some(pointer) = outline
                .pointer
                .as_deref()
                .filter(|p| self.state.is_selected(p))
            else {
                continue;
            };
            for (index, at) in self.to_screen(outline).into_iter().enumerate() {
                let chosen = selected == Some((pointer, index));
                let size = if chosen { 11.0 } else { 8.0 };
                let area = Rect::from_center_size(at, Vec2::splat(size));
                let fill = if chosen {
                    self.palette.selected
                } else {
                    self.palette.paper
                };
                self.painter.rect_filled(area, 1.0, fill);
                let stroke = Stroke::new(1.6, self.palette.selected);
                self.painter
                    .rect_stroke(area, 1.0, stroke, egui::StrokeKind::Middle);
            }
        }
    }
}

//! The vehicle itself: body, wheels, motors, packs, cables and zones.

use chockstone_schema::model::{axle::MotorKind, geometry::ZoneKind};
use egui::{Align2, FontId, Painter, Pos2, Rect, Shape, Stroke, StrokeKind, Vec2, pos2, vec2};

use super::{Canvas, box_corners, dashed, fill};
use crate::diagram::{
    palette::Palette,
    polygon,
    projection::View,
    scene::SceneAxle,
    wheels::{self, Wheel},
};

/// The direction of the hatching of a kind of zone, and its spacing: no two kinds share both.
fn hatch(kind: ZoneKind) -> &'static [(Vec2, f32)] {
    const RISING: Vec2 = vec2(1.0, -1.0);
    const FALLING: Vec2 = vec2(1.0, 1.0);
    const LEVEL: Vec2 = vec2(1.0, 0.0);
    const UPRIGHT: Vec2 = vec2(0.0, 1.0);
    match kind {
        ZoneKind::NoLifting => &[(RISING, 7.0)],
        ZoneKind::NoCutting => &[(FALLING, 7.0)],
        ZoneKind::NoReaching => &[(RISING, 9.0), (FALLING, 9.0)],
        ZoneKind::HighVoltage => &[(LEVEL, 5.0)],
        ZoneKind::HighStrength => &[(UPRIGHT, 5.0)],
        ZoneKind::Inflator => &[(LEVEL, 8.0), (UPRIGHT, 8.0)],
    }
}

fn hatched(painter: &Painter, corners: &[Pos2], kind: ZoneKind, palette: &Palette) {
    let stroke = Stroke::new(1.0, palette.zone(kind).gamma_multiply(0.5));
    for (along, spacing) in hatch(kind) {
        for line in polygon::hatching(corners, *along, *spacing) {
            painter.line_segment(line, stroke);
        }
    }
}

/// A sample of a kind of zone for the legend.
pub(in crate::diagram) fn zone_swatch(
    painter: &Painter,
    area: Rect,
    kind: ZoneKind,
    palette: &Palette,
) {
    let corners = box_corners(area);
    hatched(painter, &corners, kind, palette);
    painter.rect_stroke(
        area,
        0.0,
        Stroke::new(1.2, palette.zone(kind)),
        StrokeKind::Inside,
    );
}

/// The mark of a drive motor: M in a circle, as circuit diagrams mark a motor; broken where it can be disconnected.
pub(in crate::diagram) fn motor_symbol(
    painter: &Painter,
    at: Pos2,
    kind: MotorKind,
    palette: &Palette,
) {
    if kind == MotorKind::None {
        return;
    }
    let stroke = Stroke::new(1.6, palette.pack_line);
    painter.circle_filled(at, 9.0, palette.paper);
    if kind == MotorKind::Disconnectable {
        let turn = |i: u8| f32::from(i) / 32.0 * std::f32::consts::TAU;
        let ring: Vec<Pos2> = (0..=32_u8)
            .map(|i| at + 9.0 * Vec2::angled(turn(i)))
            .collect();
        painter.extend(Shape::dashed_line(&ring, stroke, 4.5, 3.5));
    } else {
        painter.circle_stroke(at, 9.0, stroke);
    }
    painter.text(
        at,
        Align2::CENTER_CENTER,
        "M",
        FontId::proportional(12.0),
        palette.pack_line,
    );
}

/// The mark of the centre of gravity: a circle in quarters, two of them filled, as drawings mark it, over a cross.
pub(crate) fn centre_symbol(painter: &Painter, at: Pos2, palette: &Palette) {
    let radius = 6.0;
    let stroke = Stroke::new(1.5, palette.text);
    for arm in [vec2(11.0, 0.0), vec2(0.0, 11.0)] {
        painter.line_segment([at - arm, at + arm], stroke);
    }
    painter.circle_filled(at, radius, palette.paper);
    let quarter = |start: f32| {
        let arc = (0..=6_u8).map(|i| {
            let angle = start + f32::from(i) / 6.0 * std::f32::consts::FRAC_PI_2;
            at + radius * Vec2::angled(angle)
        });
        std::iter::once(at).chain(arc).collect::<Vec<Pos2>>()
    };
    for start in [0.0, std::f32::consts::PI] {
        painter.add(Shape::convex_polygon(
            quarter(start),
            palette.text,
            Stroke::NONE,
        ));
    }
    painter.circle_stroke(at, radius, stroke);
}

impl Canvas<'_> {
    pub(super) fn bodies(&self) {
        for outline in self.shown(&self.scene.outlines) {
            fill(&self.painter, &self.to_screen(outline), self.palette.body);
        }
    }

    pub(super) fn outlines(&self) {
        for outline in self.shown(&self.scene.outlines) {
            let lit = outline.pointer.as_deref().and_then(|p| self.is_lit(p));
            let stroke = match lit {
                Some(color) => Stroke::new(2.4, color),
                None => Stroke::new(1.6, self.palette.outline),
            };
            self.painter
                .add(Shape::closed_line(self.to_screen(outline), stroke));
        }
    }

    pub(super) fn packs(&self) {
        for pack in &self.scene.packs {
            let color = self.is_lit(&pack.pointer).unwrap_or(self.palette.pack_line);
            for polygon in self.shown(&pack.polygons) {
                let corners = self.to_screen(polygon);
                fill(
                    &self.painter,
                    &corners,
                    self.palette.pack.gamma_multiply(0.85),
                );
                self.painter
                    .add(Shape::closed_line(corners.clone(), Stroke::new(1.6, color)));
                self.cells(&corners);
            }
        }
    }

    /// Cell marks in a pack, so that it is told from a zone without colour.
    fn cells(&self, corners: &[Pos2]) {
        let area = polygon::bounds(corners).shrink(5.0);
        if area.width() < 24.0 || area.height() < 8.0 {
            return;
        }
        // Toward the front end: the middle is where the centre of gravity tends to be.
        let middle = pos2(area.left() + area.width().min(80.0) * 0.5, area.center().y);
        let stroke = Stroke::new(1.0, self.palette.pack_line);
        // Long and short strokes in turn, as circuit diagrams draw a battery.
        for (step, long) in [(-9.0, true), (-3.0, false), (3.0, true), (9.0, false)] {
            let half = if long { 7.0_f32 } else { 4.0 }.min(area.height() / 2.0);
            let x = middle.x + step;
            self.painter
                .vline(x, middle.y - half..=middle.y + half, stroke);
        }
    }

    pub(super) fn cables(&self) {
        for cable in &self.scene.cables {
            let path: Vec<Pos2> = cable
                .path
                .iter()
                .map(|p| self.projection.screen_from_vehicle(*p))
                .collect();
            let color = self.is_lit(&cable.pointer).unwrap_or(self.palette.cable);
            self.painter.add(Shape::line(
                path.clone(),
                Stroke::new(3.5, self.palette.paper),
            ));
            self.painter
                .add(Shape::line(path.clone(), Stroke::new(2.2, color)));
            for end in path.first().into_iter().chain(path.last()) {
                self.painter.circle_filled(*end, 3.0, color);
            }
        }
    }

    pub(super) fn zones(&self) {
        for zone in &self.scene.zones {
            let lit = self.is_lit(&zone.pointer);
            for polygon in self.shown(&zone.polygons) {
                let corners = self.to_screen(polygon);
                for kind in &zone.kinds {
                    hatched(&self.painter, &corners, *kind, self.palette);
                }
                let own = zone
                    .kinds
                    .first()
                    .map_or(self.palette.soft, |k| self.palette.zone(*k));
                let stroke = lit.map_or(Stroke::new(1.3, own), |color| Stroke::new(2.4, color));
                if polygon.pointer.is_some() {
                    self.painter.add(Shape::closed_line(corners, stroke));
                } else {
                    dashed(&self.painter, &corners, stroke, 6.0, 3.0);
                }
            }
        }
    }

    pub(super) fn wheels(&self) {
        for axle in &self.scene.axles {
            let lit = self.is_lit(&axle.pointer);
            let color = lit.unwrap_or(self.palette.wheel);
            let stroke = Stroke::new(if lit.is_some() { 2.4 } else { 1.5 }, color);
            if self.projection.view == View::Plan {
                self.axle_line(axle, stroke);
            }
            for wheel in wheels::on_screen(axle, &self.projection) {
                match self.projection.view {
                    View::Side => self.round_wheel(&wheel, stroke),
                    View::Plan => self.flat_wheel(&wheel, axle.steered, stroke),
                }
            }
        }
    }

    /// Draws the marks of drive motors, above cables that end there, and returns their areas.
    pub(in crate::diagram) fn motors(&self) -> Vec<Rect> {
        let marked = self
            .scene
            .axles
            .iter()
            .filter_map(|axle| Some((axle, axle.motor?)));
        marked
            .map(|(axle, kind)| {
                let at = wheels::motor_mark(axle, &self.projection);
                motor_symbol(&self.painter, at, kind, self.palette);
                Rect::from_center_size(at, Vec2::splat(20.0))
            })
            .collect()
    }

    fn axle_line(&self, axle: &SceneAxle, stroke: Stroke) {
        let half = axle.track.unwrap_or(1.6) / 2.0;
        let end = |y: f64| self.projection.screen_from_vehicle([axle.x, y, 0.0]);
        let path = [end(half), end(-half)];
        if axle.track.is_some() {
            self.painter.line_segment(path, stroke);
        } else {
            // Nobody stated how wide it is.
            self.painter
                .extend(Shape::dashed_line(&path, stroke, 6.0, 4.0));
        }
    }

    fn round_wheel(&self, wheel: &Wheel, stroke: Stroke) {
        let (hub, radius) = (wheel.area.center(), wheel.area.width() / 2.0);
        self.painter.circle_filled(hub, radius, self.palette.tyre);
        let rim = wheel.rim.unwrap_or(radius * 0.6);
        self.painter.circle_filled(hub, rim, self.palette.body);
        self.painter
            .circle_stroke(hub, rim, Stroke::new(1.0, stroke.color));
        if wheel.stated {
            self.painter.circle_stroke(hub, radius, stroke);
        } else {
            let turn = |i: u8| f32::from(i) / 48.0 * std::f32::consts::TAU;
            let ring: Vec<Pos2> = (0..48_u8)
                .map(|i| hub + radius * Vec2::angled(turn(i)))
                .collect();
            dashed(&self.painter, &ring, stroke, 5.0, 4.0);
        }
        self.painter.circle_filled(hub, 2.0, stroke.color);
    }

    fn flat_wheel(&self, wheel: &Wheel, steered: bool, stroke: Stroke) {
        self.painter.rect_filled(wheel.area, 3.0, self.palette.tyre);
        if wheel.stated {
            self.painter
                .rect_stroke(wheel.area, 3.0, stroke, StrokeKind::Middle);
        } else {
            dashed(&self.painter, &box_corners(wheel.area), stroke, 5.0, 4.0);
        }
        if steered {
            // The wheel turned by a few degrees.
            let turn = egui::emath::Rot2::from_angle(0.3);
            let middle = wheel.area.center();
            let turned = box_corners(wheel.area).map(|c| middle + turn * (c - middle));
            dashed(
                &self.painter,
                &turned,
                Stroke::new(1.0, stroke.color),
                3.0,
                3.0,
            );
        }
    }
}

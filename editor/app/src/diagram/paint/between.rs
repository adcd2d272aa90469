//! What is drawn of one part of two versions: the older shape, the newer one, and what became of it.

use egui::{Color32, Painter, Pos2, Rect, Shape, Stroke, Vec2, pos2, vec2};

use super::{Canvas, box_corners, dashed, points::RADIUS};
use crate::diagram::{
    hit,
    palette::Palette,
    projection::{Projection, View},
    scene::{Outline, Region, Run, Scene, SceneAxle, ScenePoint},
    wheels,
};

/// An arrow is never shorter than this, in screen points, so that a move of a few millimetres can be seen.
const SHORTEST_ARROW: f32 = 24.0;
/// Moves below this are none, in metres: a tenth of a millimetre.
const LEAST_MOVE: f64 = 1e-4;

/// What is drawn of a part of a profile.
#[derive(Clone, Copy)]
pub(in crate::diagram) enum Drawn<'s> {
    Point(&'s ScenePoint),
    Region(&'s Region),
    Outline(&'s Outline),
    Axle(&'s SceneAxle),
    Run(&'s Run),
}

/// What the legend explains.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(in crate::diagram) enum Sample {
    Before,
    Now,
    Moved,
    Added,
    Gone,
    Other,
}

/// The legend's samples and their words.
pub(in crate::diagram) const SAMPLES: &[(Sample, &str)] = &[
    (Sample::Before, "before"),
    (Sample::Now, "now"),
    (Sample::Moved, "moved (short moves drawn longer)"),
    (Sample::Added, "added"),
    (Sample::Gone, "gone"),
    (Sample::Other, "changed in place"),
];

impl<'s> Drawn<'s> {
    /// What a scene draws for a pointer.
    pub(in crate::diagram) fn find(scene: &'s Scene, pointer: &str) -> Option<Self> {
        let point = scene.points.iter().find(|p| p.pointer == pointer);
        let mut regions = scene.packs.iter().chain(&scene.zones);
        let region = regions.find(|r| r.pointer == pointer);
        let mut outlines = scene.outlines.iter();
        let outline = outlines.find(|o| o.pointer.as_deref() == Some(pointer));
        let axle = scene.axles.iter().find(|a| a.pointer == pointer);
        let run = scene.cables.iter().find(|c| c.pointer == pointer);
        point
            .map(Self::Point)
            .or(region.map(Self::Region))
            .or(outline.map(Self::Outline))
            .or(axle.map(Self::Axle))
            .or(run.map(Self::Run))
    }

    /// What it is called.
    pub(in crate::diagram) fn name(&self) -> &'s str {
        match self {
            Self::Point(point) => &point.name,
            Self::Region(region) => &region.name,
            Self::Outline(_) => "Outline",
            Self::Axle(axle) => &axle.name,
            Self::Run(run) => &run.name,
        }
    }

    /// The places that it goes through, in metres; a coordinate that nothing tells is none.
    pub(in crate::diagram) fn places(&self) -> Vec<[Option<f64>; 3]> {
        let all = |[x, y, z]: [f64; 3]| [Some(x), Some(y), Some(z)];
        let of = |outline: &Outline| {
            let corners = outline.corners.iter();
            let place = |[u, v]: &[f64; 2]| match outline.view {
                View::Side => [Some(*u), None, Some(*v)],
                View::Plan => [Some(*u), Some(*v), None],
            };
            corners.map(place).collect::<Vec<_>>()
        };
        match self {
            Self::Point(point) => vec![all(point.place)],
            Self::Region(region) => region.polygons.iter().flat_map(of).collect(),
            Self::Outline(outline) => of(outline),
            Self::Axle(axle) => {
                let (radius, _) = axle.drawn_radius();
                let ends = [axle.x - radius, axle.x + radius];
                let height = [Some(0.0), Some(radius * 2.0)];
                let ends = ends.into_iter().zip(height);
                ends.map(|(x, z)| [Some(x), None, z]).collect()
            }
            Self::Run(run) => run.path.iter().copied().map(all).collect(),
        }
    }

    /// The places that may have moved, in the view's two coordinates, in an order that both versions share.
    fn corners(&self, view: View) -> Vec<[f64; 2]> {
        match self {
            Self::Point(point) => vec![view.flatten(point.place)],
            Self::Region(region) => {
                let mut shown = region.polygons.iter().filter(|p| p.view == view);
                shown.next().map_or_else(Vec::new, |p| p.corners.clone())
            }
            Self::Outline(outline) if outline.view == view => outline.corners.clone(),
            Self::Outline(_) => Vec::new(),
            Self::Axle(axle) => {
                let (radius, _) = axle.drawn_radius();
                vec![view.flatten([axle.x, 0.0, radius])]
            }
            Self::Run(run) => run.path.iter().map(|p| view.flatten(*p)).collect(),
        }
    }

    /// Its lines on the screen, and whether each is closed.
    fn lines(&self, projection: &Projection) -> Vec<(Vec<Pos2>, bool)> {
        let of = |outline: &Outline| (hit::on_screen(&outline.corners, projection), true);
        match self {
            Self::Point(point) => {
                let twin = point.twin().filter(|_| projection.view == View::Plan);
                let places = [point.place].into_iter().chain(twin);
                let ring = |place| {
                    (
                        ring(projection.screen_from_vehicle(place), RADIUS + 3.0),
                        true,
                    )
                };
                places.map(ring).collect()
            }
            Self::Region(region) => {
                let shown = region.polygons.iter().filter(|p| p.view == projection.view);
                shown.map(of).collect()
            }
            Self::Outline(outline) if outline.view == projection.view => vec![of(outline)],
            Self::Outline(_) => Vec::new(),
            Self::Axle(axle) => {
                let wheels = wheels::on_screen(axle, projection).into_iter();
                let line = |area: Rect| match projection.view {
                    View::Side => ring(area.center(), area.width() / 2.0),
                    View::Plan => box_corners(area).to_vec(),
                };
                wheels.map(|w| (line(w.area), true)).collect()
            }
            Self::Run(run) => {
                let path = run.path.iter();
                let path = path.map(|p| projection.screen_from_vehicle(*p)).collect();
                vec![(path, false)]
            }
        }
    }
}

fn ring(middle: Pos2, radius: f32) -> Vec<Pos2> {
    let turn = |i: u8| f32::from(i) / 40.0 * std::f32::consts::TAU;
    (0..40_u8)
        .map(|i| middle + radius * Vec2::angled(turn(i)))
        .collect()
}

impl Canvas<'_> {
    /// Draws a part of both versions; tells the area that it takes in this view, if any.
    pub(in crate::diagram) fn change(
        &self,
        sides: &[Option<Drawn<'_>>; 2],
        chosen: bool,
    ) -> Option<Rect> {
        let [older, newer] = sides;
        let color = if chosen {
            self.palette.selected
        } else {
            self.palette.text
        };
        let width = if chosen { 2.4 } else { 1.6 };
        let lines_of = |side: &Option<Drawn<'_>>| {
            side.as_ref()
                .map_or_else(Vec::new, |drawn| drawn.lines(&self.projection))
        };
        let (old_lines, new_lines) = (lines_of(older), lines_of(newer));
        if new_lines != old_lines {
            for (line, closed) in &old_lines {
                hollow(&self.painter, line, *closed, Stroke::new(width, color));
            }
        }
        for (line, closed) in &new_lines {
            let stroke = Stroke::new(width, color);
            let shape = if *closed {
                Shape::closed_line(line.clone(), stroke)
            } else {
                Shape::line(line.clone(), stroke)
            };
            self.painter.add(shape);
        }
        let all = old_lines
            .iter()
            .chain(&new_lines)
            .flat_map(|(line, _)| line);
        let area = all.fold(Rect::NOTHING, |mut area, at| {
            area.extend_with(*at);
            area
        });
        if !area.is_finite() {
            return None;
        }
        self.fate(sides, area, color);
        Some(area.expand(4.0))
    }

    /// Marks what became of a part: it moved, is new, is gone, or something else of it changed.
    fn fate(&self, sides: &[Option<Drawn<'_>>; 2], area: Rect, color: Color32) {
        let corner = area.right_top() + vec2(3.0, -3.0);
        let mark = match sides {
            [None, Some(_)] => Sample::Added,
            [Some(_), None] => Sample::Gone,
            _ => match self.arrow(sides) {
                Some([from, to]) => return arrow(&self.painter, from, to, color),
                None => Sample::Other,
            },
        };
        badge(&self.painter, corner, mark, color, self.palette.paper);
    }

    /// The way of the corner that moved farthest in this view, on the screen; none where nothing moved in it.
    pub(in crate::diagram) fn arrow(&self, sides: &[Option<Drawn<'_>>; 2]) -> Option<[Pos2; 2]> {
        let [Some(older), Some(newer)] = sides else {
            return None;
        };
        let view = self.projection.view;
        let (old, new) = (older.corners(view), newer.corners(view));
        if old.len() != new.len() {
            return None;
        }
        let moved = old.into_iter().zip(new).map(|(from, to)| {
            let ([u, v], [w, x]) = (from, to);
            ((w - u).hypot(x - v), from, to)
        });
        let (length, from, to) = moved.max_by(|(a, ..), (b, ..)| a.total_cmp(b))?;
        let on_screen = |at| self.projection.screen_from_flat(at);
        (length > LEAST_MOVE).then(|| [on_screen(from), on_screen(to)])
    }
}

/// The line of what was before.
fn hollow(painter: &Painter, line: &[Pos2], closed: bool, stroke: Stroke) {
    if closed {
        dashed(painter, line, stroke, 5.0, 3.5);
    } else {
        painter.extend(Shape::dashed_line(line, stroke, 5.0, 3.5));
    }
}

/// An arrow that ends where the part is now; a short one begins farther back, so that it can be seen.
fn arrow(painter: &Painter, from: Pos2, to: Pos2, color: Color32) {
    let way = to - from;
    let along = if way.length() > 1e-3 {
        way.normalized()
    } else {
        Vec2::RIGHT
    };
    let tail = to - along * way.length().max(SHORTEST_ARROW);
    let across = along.rot90();
    painter.line_segment([tail, to - along * 6.0], Stroke::new(2.2, color));
    let head = vec![
        to,
        to - along * 9.0 + across * 4.5,
        to - along * 9.0 - across * 4.5,
    ];
    painter.add(Shape::convex_polygon(head, color, Stroke::NONE));
}

/// A small mark: a plus, a cross, a diamond.
fn badge(painter: &Painter, at: Pos2, mark: Sample, color: Color32, paper: Color32) {
    let arm = 4.5;
    painter.circle_filled(at, 7.0, paper);
    let stroke = Stroke::new(2.2, color);
    let line = |a: Vec2, b: Vec2| painter.line_segment([at + a, at + b], stroke);
    match mark {
        Sample::Added => {
            line(vec2(-arm, 0.0), vec2(arm, 0.0));
            line(vec2(0.0, -arm), vec2(0.0, arm));
        }
        Sample::Gone => {
            line(vec2(-arm, -arm), vec2(arm, arm));
            line(vec2(-arm, arm), vec2(arm, -arm));
        }
        _ => {
            let corners = [
                vec2(0.0, -5.0),
                vec2(5.0, 0.0),
                vec2(0.0, 5.0),
                vec2(-5.0, 0.0),
            ];
            let corners = corners.map(|c| at + c).to_vec();
            painter.add(Shape::convex_polygon(corners, color, Stroke::NONE));
        }
    }
}

/// One sample of the legend.
pub(in crate::diagram) fn sample(painter: &Painter, area: Rect, sample: Sample, palette: &Palette) {
    let color = palette.text;
    let inner = area.shrink2(vec2(3.0, 3.0));
    let corners = box_corners(inner);
    match sample {
        Sample::Before => dashed(painter, &corners, Stroke::new(1.6, color), 5.0, 3.5),
        Sample::Now => {
            painter.rect_filled(inner, 0.0, palette.body);
            let line = Shape::closed_line(corners.to_vec(), Stroke::new(1.6, color));
            painter.add(line);
        }
        Sample::Moved => {
            let y = inner.center().y;
            arrow(
                painter,
                pos2(inner.left(), y),
                pos2(inner.right(), y),
                color,
            );
        }
        _ => badge(painter, area.center(), sample, color, palette.paper),
    }
}

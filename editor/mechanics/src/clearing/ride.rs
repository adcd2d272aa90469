//! The line on which a wheel's centre rides: everywhere one radius from the ground.
//!
//! Over a straight piece it is a parallel line. Round a crest it is an arc. In a dip the wheel
//! touches both pieces at once, where the two parallel lines cross.

use super::plane::{Chain, Vector};

/// What a wheel touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Touch {
    /// A piece of the ground.
    Piece(usize),
    /// The corner at the end of a piece of the ground.
    CornerAfter(usize),
}

/// One part of the line, a straight or an arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    pub(super) touch: Touch,
    /// Path distance at which it begins; zero is where the centre stands over the foot.
    pub(super) from: f64,
    pub(super) length: f64,
    shape: Shape,
}

#[derive(Debug, Clone, Copy)]
enum Shape {
    Line {
        start: Vector,
        along: Vector,
    },
    /// The angle is that of the radius, from upright to the right.
    Arc {
        centre: Vector,
        radius: f64,
        angle: f64,
    },
}

impl Part {
    pub(super) fn to(&self) -> f64 {
        self.from + self.length
    }

    /// The wheel's centre after `s` of path.
    pub(super) fn at(&self, s: f64) -> Vector {
        let gone = s - self.from;
        match self.shape {
            Shape::Line { start, along } => start + along * gone,
            Shape::Arc {
                centre,
                radius,
                angle,
            } => on_circle(centre, radius, angle + gone / radius),
        }
    }

    pub(super) fn curvature(&self) -> f64 {
        match self.shape {
            Shape::Line { .. } => 0.0,
            Shape::Arc { radius, .. } => radius.recip(),
        }
    }

    /// The direction of a straight part.
    pub(super) fn direction(&self) -> Option<Vector> {
        match self.shape {
            Shape::Line { along, .. } => Some(along),
            Shape::Arc { .. } => None,
        }
    }

    /// Where the part is `distance` from a point, ahead of it or behind it; kept inside the part.
    pub(super) fn at_distance(&self, point: Vector, distance: f64, ahead: bool) -> f64 {
        let side = if ahead { 1.0 } else { -1.0 };
        let gone = match self.shape {
            Shape::Line { start, along } => {
                let apart = start - point;
                let middle = -along.dot(apart);
                let square = middle * middle - (apart.dot(apart) - distance * distance);
                middle + side * square.max(0.0).sqrt()
            }
            Shape::Arc {
                centre,
                radius,
                angle,
            } => {
                let apart = point - centre;
                let to_point = apart.length();
                let toward = apart.x.atan2(apart.z);
                let cosine = (to_point * to_point + radius * radius - distance * distance)
                    / (2.0 * to_point * radius);
                let opening = cosine.clamp(-1.0, 1.0).acos();
                radius * (toward + side * opening - angle)
            }
        };
        self.from + gone.clamp(0.0, self.length)
    }
}

fn on_circle(centre: Vector, radius: f64, angle: f64) -> Vector {
    centre + Vector::new(angle.sin(), angle.cos()) * radius
}

/// The whole line, from far on level ground to far along the last piece.
#[derive(Debug, Clone)]
pub(super) struct Ride {
    pub(super) parts: Vec<Part>,
}

impl Ride {
    /// Rolls a wheel of `radius` over the ground.
    pub(super) fn new(ground: &Chain, radius: f64, foot: Vector) -> Self {
        let shapes =
            joined(ground, radius).unwrap_or_else(|| super::envelope::rolled(ground, radius));
        Self::from_shapes(shapes, foot)
    }

    fn from_shapes(shapes: Vec<(Touch, Span)>, foot: Vector) -> Self {
        let mut parts: Vec<Part> = Vec::with_capacity(shapes.len());
        for (touch, span) in shapes {
            let (shape, length, start) = span.shape();
            let from = parts.last().map_or(start.x - foot.x, Part::to);
            parts.push(Part {
                touch,
                from,
                length,
                shape,
            });
        }
        Self { parts }
    }
}

/// A stretch of the line, before it knows its path distance.
#[derive(Debug, Clone, Copy)]
pub(super) enum Span {
    Line {
        start: Vector,
        end: Vector,
    },
    Arc {
        centre: Vector,
        radius: f64,
        angles: [f64; 2],
    },
}

impl Span {
    #[cfg(test)]
    pub(super) fn start(self) -> Vector {
        self.shape().2
    }

    #[cfg(test)]
    pub(super) fn extent(self) -> f64 {
        self.shape().1
    }

    fn shape(self) -> (Shape, f64, Vector) {
        match self {
            Self::Line { start, end } => {
                let along = (end - start).unit();
                (Shape::Line { start, along }, (end - start).length(), start)
            }
            Self::Arc {
                centre,
                radius,
                angles: [angle, to],
            } => {
                let shape = Shape::Arc {
                    centre,
                    radius,
                    angle,
                };
                (
                    shape,
                    radius * (to - angle),
                    on_circle(centre, radius, angle),
                )
            }
        }
    }
}

/// Joins the parallels of neighbouring pieces; `None` where a piece is too short between two dips
/// for the wheel to touch it alone.
pub(super) fn joined(ground: &Chain, radius: f64) -> Option<Vec<(Touch, Span)>> {
    let mut spans = Vec::with_capacity(2 * ground.pieces.len());
    let mut cut = 0.0;
    let mut pieces = ground.pieces.iter().enumerate().peekable();
    while let Some((index, piece)) = pieces.next() {
        let next = pieces.peek().map(|(_, next)| next.along);
        // The tangent of half the turn: positive in a dip, negative at a crest.
        let half_turn = next.map_or(0.0, |n| piece.along.cross(n) / (1.0 + piece.along.dot(n)));
        let cut_after = radius * half_turn.max(0.0);
        let length = (piece.end - piece.start).length();
        if length - cut - cut_after <= 1e-9 {
            return None;
        }
        let lifted = piece.normal * radius;
        let start = piece.start + piece.along * cut + lifted;
        let end = piece.end - piece.along * cut_after + lifted;
        spans.push((Touch::Piece(index), Span::Line { start, end }));
        if let Some(next) = next.filter(|_| half_turn < -1e-12) {
            let angle = |along: Vector| (-along.z).atan2(along.x);
            let span = Span::Arc {
                centre: piece.end,
                radius,
                angles: [angle(piece.along), angle(next)],
            };
            spans.push((Touch::CornerAfter(index), span));
        }
        cut = cut_after;
    }
    Some(spans)
}

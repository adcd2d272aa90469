//! Points, and a chain of straight pieces with solid below it and free space above.
//!
//! The ground is such a chain. The underside of a vehicle is one too, looked at upside down: solid
//! where the body is. So one piece of code measures corners of the body over the ground, and edges
//! of the ground under the body.

use std::ops::{Add, Mul, Sub};

/// Stands for "without end", in metres: chains run on this far, and no wheel ever gets there.
pub(super) const FAR: f64 = 1000.0;

/// A point or a direction of the side view: `x` along the travel, `z` up, in metres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Vector {
    pub(super) x: f64,
    pub(super) z: f64,
}

impl Vector {
    pub(super) const fn new(x: f64, z: f64) -> Self {
        Self { x, z }
    }

    /// The unit vector at `angle` above the level, radians.
    pub(super) fn at_angle(angle: f64) -> Self {
        Self::new(angle.cos(), angle.sin())
    }

    pub(super) fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.z * other.z
    }

    /// Positive where `other` points to the left of `self`.
    pub(super) fn cross(self, other: Self) -> f64 {
        self.x * other.z - self.z * other.x
    }

    pub(super) fn length(self) -> f64 {
        self.x.hypot(self.z)
    }

    pub(super) fn unit(self) -> Self {
        self * self.length().recip()
    }

    /// Turned left by a right angle.
    pub(super) fn left(self) -> Self {
        Self::new(-self.z, self.x)
    }

    /// Turned by the angle that `turn`, a unit vector, makes with the x axis.
    pub(super) fn turned(self, turn: Self) -> Self {
        Self::new(self.x * turn.x - self.z * turn.z, self.cross_sum(turn))
    }

    /// Turned back by the angle of `turn`.
    pub(super) fn turned_back(self, turn: Self) -> Self {
        self.turned(Self::new(turn.x, -turn.z))
    }

    fn cross_sum(self, turn: Self) -> f64 {
        self.x * turn.z + self.z * turn.x
    }
}

impl Add for Vector {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.z + other.z)
    }
}

impl Sub for Vector {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self::new(self.x - other.x, self.z - other.z)
    }
}

impl Mul<f64> for Vector {
    type Output = Self;
    fn mul(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.z * factor)
    }
}

/// Distance of a point from the straight line between two others, its ends included.
pub(super) fn distance_to_segment(point: Vector, a: Vector, b: Vector) -> f64 {
    let along = b - a;
    let square = along.dot(along);
    let part = if square > 0.0 {
        ((point - a).dot(along) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (point - a - along * part).length()
}

/// Points p with `normal`·p at most `limit`.
#[derive(Debug, Clone, Copy)]
struct HalfPlane {
    normal: Vector,
    limit: f64,
}

impl HalfPlane {
    const EVERYWHERE: Self = Self {
        normal: Vector::new(0.0, 0.0),
        limit: f64::INFINITY,
    };

    fn behind(edge: Vector, normal: Vector) -> Self {
        let limit = normal.dot(edge);
        Self { normal, limit }
    }

    /// How far outside a point is; negative inside.
    fn beyond(self, point: Vector) -> f64 {
        self.normal.dot(point) - self.limit
    }
}

/// One straight piece with the region in which it is the nearest of its neighbours.
#[derive(Debug, Clone)]
pub(super) struct Straight {
    pub(super) start: Vector,
    pub(super) end: Vector,
    /// Unit vector from start to end.
    pub(super) along: Vector,
    /// Unit vector into free space.
    pub(super) normal: Vector,
    /// A label that a query may ask for.
    pub(super) group: usize,
    region: [HalfPlane; 4],
}

impl Straight {
    /// Distance from the line through the piece, negative on the solid side.
    fn over(&self, point: Vector) -> f64 {
        self.normal.dot(point - self.start)
    }

    fn has(&self, point: Vector) -> bool {
        self.region.iter().all(|half| half.beyond(point) <= 0.0)
    }

    /// The smallest distance over the part of the way from `a` to `b` that lies in the region, the
    /// region widened by `slack`.
    fn least_along(&self, a: Vector, b: Vector, slack: f64) -> f64 {
        let (mut from, mut to) = (0.0f64, 1.0f64);
        for half in &self.region {
            let (at_a, at_b) = (half.beyond(a) - slack, half.beyond(b) - slack);
            if at_a > 0.0 && at_b > 0.0 {
                return f64::INFINITY;
            } else if at_a > 0.0 {
                from = from.max(at_a / (at_a - at_b));
            } else if at_b > 0.0 {
                to = to.min(at_a / (at_a - at_b));
            }
        }
        if from > to {
            return f64::INFINITY;
        }
        let (over_a, over_b) = (self.over(a), self.over(b));
        let over = |part: f64| over_a + (over_b - over_a) * part;
        over(from).min(over(to))
    }
}

/// A chain of straight pieces from left to right, solid below, free above.
#[derive(Debug, Clone)]
pub(super) struct Chain {
    pub(super) pieces: Vec<Straight>,
    /// Corners that stick out into free space.
    pub(super) crests: Vec<Vector>,
}

/// What a point is nearest to.
#[derive(Debug, Clone, Copy)]
pub(super) struct Nearest {
    /// Signed distance, negative inside the solid.
    pub(super) distance: f64,
    /// Which piece.
    pub(super) piece: usize,
}

impl Nearest {
    const NOTHING: Self = Self {
        distance: f64::INFINITY,
        piece: 0,
    };
}

impl Chain {
    /// Joins points from left to right; each piece takes its label from `group`.
    pub(super) fn new(points: &[Vector], group: impl Fn(usize, Vector) -> usize) -> Self {
        let mut distinct: Vec<Vector> = Vec::with_capacity(points.len());
        for &point in points {
            if distinct
                .last()
                .is_none_or(|last| (point - *last).length() > 1e-9)
            {
                distinct.push(point);
            }
        }
        let mut pieces: Vec<Straight> = distinct
            .windows(2)
            .enumerate()
            .filter_map(|(index, pair)| match *pair {
                [start, end] => Some(straight(start, end, group(index, (start + end) * 0.5))),
                _ => None,
            })
            .collect();
        let crests = bound(&mut pieces);
        Self { pieces, crests }
    }

    /// Measures a point against the pieces, or only those of one group.
    ///
    /// Infinity where a crest is nearer than any piece. Inside the solid the distance is negative:
    /// square to the surface that the point is under.
    pub(super) fn nearest(&self, point: Vector, group: Option<usize>) -> Nearest {
        let mut best = Nearest::NOTHING;
        let mut inside = None;
        for (index, piece) in self.pieces.iter().enumerate() {
            let distance = piece.over(point);
            if distance >= best.distance || group.is_some_and(|g| g != piece.group) {
                continue;
            }
            // The line of a far piece may run on above free space, so a negative distance counts
            // only where the point is really inside.
            if piece.has(point)
                && (distance >= 0.0 || *inside.get_or_insert_with(|| self.contains(point)))
            {
                best = Nearest {
                    distance,
                    piece: index,
                };
            }
        }
        best
    }

    /// Whether something that goes from `a` to `b`, straying from the straight way by at most
    /// `slack`, may come nearer to a piece than `floor`.
    pub(super) fn may_come_below(
        &self,
        a: Vector,
        b: Vector,
        slack: f64,
        floor: f64,
        group: Option<usize>,
    ) -> bool {
        let mut least = f64::INFINITY;
        for piece in &self.pieces {
            let counts = group.is_none_or(|g| g == piece.group);
            if counts && piece.over(a).min(piece.over(b)) < least.min(floor + slack) {
                least = least.min(piece.least_along(a, b, slack));
            }
        }
        least - slack < floor && !(least < 0.0 && self.stays_above(a, b, slack, floor, group))
    }

    /// Whether something goes from `a` to `b` without entering the solid or coming nearer than
    /// `floor`, told from the distances of both ends alone.
    ///
    /// For a hollow, where the line of a piece far away runs on through free space.
    fn stays_above(
        &self,
        a: Vector,
        b: Vector,
        slack: f64,
        floor: f64,
        group: Option<usize>,
    ) -> bool {
        if self.contains(a) || self.contains(b) {
            return false;
        }
        let least = |group: Option<usize>| {
            let pieces = || {
                let all = self.pieces.iter();
                all.filter(|piece| group.is_none_or(|g| g == piece.group))
            };
            let from = |point: Vector| {
                let distances = pieces().map(|p| distance_to_segment(point, p.start, p.end));
                distances.fold(f64::INFINITY, f64::min)
            };
            (from(a) + from(b) - (b - a).length()) / 2.0 - slack
        };
        least(None) > 0.0 && least(group) >= floor
    }

    /// Whether a point is in the solid.
    fn contains(&self, point: Vector) -> bool {
        self.pieces.iter().any(|piece| {
            piece.start.x <= point.x && point.x < piece.end.x && piece.over(point) < 0.0
        })
    }
}

fn straight(start: Vector, end: Vector, group: usize) -> Straight {
    let along = (end - start).unit();
    Straight {
        start,
        end,
        along,
        normal: along.left(),
        group,
        region: [HalfPlane::EVERYWHERE; 4],
    }
}

/// Bounds each piece's region against its neighbours and returns the crests.
///
/// In a dip the two regions meet in the bisector. At a crest free space between the two normals
/// belongs to the corner itself; the solid below is divided by the bisector.
fn bound(pieces: &mut [Straight]) -> Vec<Vector> {
    let mut crests = Vec::new();
    for index in 1..pieces.len() {
        let Some([left, right]) = pieces.get_mut(index - 1..=index) else {
            continue;
        };
        let corner = left.end;
        let sum = left.along + right.along;
        let mean = if sum.length() > 1e-9 {
            sum.unit()
        } else {
            left.along
        };
        let [_, _, middle, outer] = &mut left.region;
        *middle = HalfPlane::behind(corner, mean);
        let crest = left.along.cross(right.along) < -1e-12;
        if crest {
            *outer = HalfPlane::behind(corner, left.along);
            crests.push(corner);
        }
        let [middle, outer, _, _] = &mut right.region;
        *middle = HalfPlane::behind(corner, mean * -1.0);
        if crest {
            *outer = HalfPlane::behind(corner, right.along * -1.0);
        }
    }
    crests
}

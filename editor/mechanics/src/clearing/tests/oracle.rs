//! A slow sweep that shares nothing with the search: wheels set down by the highest of what
//! carries them, the second one by bisection, every edge of the outline measured against every piece.

use super::*;

pub(super) type Point = [f64; 2];

/// The ground as plain points.
pub(super) fn ground(course: &Course) -> Vec<Point> {
    course.ground(60.0, 60.0)
}

fn minus(a: Point, b: Point) -> Point {
    [a[0] - b[0], a[1] - b[1]]
}

fn cross(a: Point, b: Point) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}

fn to_segment(p: Point, a: Point, b: Point) -> f64 {
    let (along, apart) = (minus(b, a), minus(p, a));
    let square = along[0] * along[0] + along[1] * along[1];
    let part = ((apart[0] * along[0] + apart[1] * along[1]) / square).clamp(0.0, 1.0);
    (apart[0] - along[0] * part).hypot(apart[1] - along[1] * part)
}

pub(super) fn to_ground(p: Point, ground: &[Point]) -> f64 {
    let pieces = ground.windows(2);
    pieces
        .map(|w| to_segment(p, w[0], w[1]))
        .fold(f64::INFINITY, f64::min)
}

fn height(x: f64, ground: &[Point]) -> f64 {
    let pair = ground.windows(2).find(|w| w[0][0] <= x && x <= w[1][0]);
    let [a, b] = pair.unwrap() else { panic!() };
    a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])
}

/// Sets a wheel down on the ground at x: the highest that a piece or a corner asks for.
fn set_down(x: f64, radius: f64, ground: &[Point]) -> Point {
    let mut high = f64::NEG_INFINITY;
    for pair in ground.windows(2) {
        let along = minus(pair[1], pair[0]);
        let length = along[0].hypot(along[1]);
        let lifted = |p: Point| {
            [
                p[0] - along[1] / length * radius,
                p[1] + along[0] / length * radius,
            ]
        };
        let (a, b) = (lifted(pair[0]), lifted(pair[1]));
        if a[0] <= x && x <= b[0] {
            high = high.max(a[1] + along[1] / along[0] * (x - a[0]));
        }
        let aside = x - pair[1][0];
        if aside.abs() < radius {
            high = high.max(pair[1][1] + (radius * radius - aside * aside).sqrt());
        }
    }
    [x, high]
}

/// One vehicle over one ground, its leading wheel's centre at x.
pub(super) struct Sweep {
    ground: Vec<Point>,
    /// Along the travel, z up.
    outline: Vec<Point>,
    lead: Point,
    trail: Point,
    radii: [f64; 2],
}

impl Sweep {
    pub(super) fn new(vehicle: &Vehicle, way: &Way, direction: Direction) -> Self {
        let course = Course::new(vehicle, way, direction).unwrap();
        let centre = |w: &Wheel| [direction.along(w.x.value()), w.radius.value()];
        let ride = |w: &Wheel| w.radius.value() + w.raise.value();
        let (lead, trail) = match direction {
            Direction::NoseFirst => (&vehicle.front, &vehicle.rear),
            Direction::TailFirst => (&vehicle.rear, &vehicle.front),
        };
        let outline = vehicle.outline.iter();
        Self {
            ground: ground(&course),
            outline: outline.map(|p| [direction.along(p[0]), p[1]]).collect(),
            lead: centre(lead),
            trail: centre(trail),
            radii: [ride(lead), ride(trail)],
        }
    }

    /// The outline in the frame of the ground.
    pub(super) fn outline_at(&self, x: f64) -> Vec<Point> {
        let lead = set_down(x, self.radii[0], &self.ground);
        let between = minus(self.lead, self.trail);
        let length = between[0].hypot(between[1]);
        let (mut low, mut high) = (x - 1.2 * length, x - 0.2 * length);
        for _ in 0..48 {
            let middle = low.midpoint(high);
            let trail = set_down(middle, self.radii[1], &self.ground);
            let apart = minus(lead, trail);
            if apart[0].hypot(apart[1]) > length {
                low = middle;
            } else {
                high = middle;
            }
        }
        let apart = minus(lead, set_down(high, self.radii[1], &self.ground));
        let turn = apart[1].atan2(apart[0]) - between[1].atan2(between[0]);
        let (sine, cosine) = turn.sin_cos();
        let moved = |p: &Point| {
            let [u, v] = minus(*p, self.lead);
            [
                lead[0] + u * cosine - v * sine,
                lead[1] + u * sine + v * cosine,
            ]
        };
        self.outline.iter().map(moved).collect()
    }

    /// The smallest distance, or zero where body and ground overlap.
    pub(super) fn clearance(&self, x: f64) -> f64 {
        let outline = self.outline_at(x);
        let edges = || outline.iter().zip(outline.iter().cycle().skip(1));
        let mut least = f64::INFINITY;
        for corner in &outline {
            if corner[1] < height(corner[0], &self.ground) {
                return 0.0;
            }
            least = least.min(to_ground(*corner, &self.ground));
        }
        for point in &self.ground {
            for (a, b) in edges() {
                least = least.min(to_segment(*point, *a, *b));
            }
        }
        let crosses = |p: Point, q: Point, a: Point, b: Point| {
            let (pq, ab) = (minus(q, p), minus(b, a));
            cross(pq, minus(a, p)) * cross(pq, minus(b, p)) < 0.0
                && cross(ab, minus(p, a)) * cross(ab, minus(q, a)) < 0.0
        };
        let overlap = self
            .ground
            .windows(2)
            .any(|w| edges().any(|(a, b)| crosses(w[0], w[1], *a, *b)));
        if overlap { 0.0 } else { least }
    }

    /// Sweeps in steps of `coarse`, and again in steps of a tenth of a millimetre wherever that could
    /// have missed something smaller.
    pub(super) fn least(&self, from: f64, to: f64, coarse: f64) -> f64 {
        let mut count = 0u32;
        while from + f64::from(count) * coarse < to {
            count += 1;
        }
        let x = |index: u32| (from + f64::from(index) * coarse).min(to);
        let samples: Vec<f64> = (0..=count).map(|i| self.clearance(x(i))).collect();
        let mut least = samples.iter().copied().fold(f64::INFINITY, f64::min);
        for index in 0..count {
            let pair = &samples[index as usize..][..2];
            // No point moves more than three times as far as the wheel.
            let bound = pair[0].midpoint(pair[1]) - 1.5 * coarse;
            let mut at = x(index);
            while bound < least - 2e-5 && at < x(index + 1) {
                least = least.min(self.clearance(at));
                at += 1e-4;
            }
        }
        least
    }
}

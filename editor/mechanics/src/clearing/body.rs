//! The underside of the vehicle: what can be seen of the outline from straight below.
//!
//! Nothing else can be the nearest to a ground without upright steps, as long as pitch and slope
//! stay below a right angle together. A hollow that opens to the side counts as filled.

use super::plane::{Chain, FAR, Vector};
use super::{ClearingError, Direction};

/// A part of the vehicle by its place along it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BodyPart {
    /// Ahead of the front axle.
    FrontOverhang,
    /// Between the axles.
    Belly,
    /// Behind the rear axle.
    RearOverhang,
}

impl BodyPart {
    /// Every part, from the front.
    pub const ALL: [Self; 3] = [Self::FrontOverhang, Self::Belly, Self::RearOverhang];

    /// Names the part with its article.
    pub fn name(self) -> &'static str {
        match self {
            Self::FrontOverhang => "the front overhang",
            Self::Belly => "the belly",
            Self::RearOverhang => "the rear overhang",
        }
    }

    pub(super) fn index(self) -> usize {
        match self {
            Self::FrontOverhang => 0,
            Self::Belly => 1,
            Self::RearOverhang => 2,
        }
    }
}

/// The underside along the direction of travel, turned upside down: solid below, free above.
#[derive(Debug, Clone)]
pub(super) struct Underside {
    pub(super) chain: Chain,
    /// Corners that stick out, right way up, each with its part of the vehicle.
    pub(super) corners: Vec<(Vector, usize)>,
    /// Those of the corners that a straight line can touch from below.
    pub(super) hull: Vec<usize>,
    /// How far the outline reaches to each side, in the direction of travel.
    pub(super) reach: (f64, f64),
}

impl Underside {
    /// `outline` is x rearward and z up; `axles` the two axles' x.
    pub(super) fn new(
        outline: &[[f64; 2]],
        axles: (f64, f64),
        direction: Direction,
    ) -> Result<Self, ClearingError> {
        if outline.len() < 3 || outline.iter().flatten().any(|v| !v.is_finite()) {
            return Err(ClearingError::NoOutline);
        }
        let mut points = lowest(outline, &[axles.0, axles.1]);
        if direction == Direction::NoseFirst {
            points.reverse();
        }
        let points: Vec<Vector> = points
            .iter()
            .map(|&[x, z]| Vector::new(direction.along(x), -z))
            .collect();
        let (Some(&first), Some(&last)) = (points.first(), points.last()) else {
            return Err(ClearingError::NoOutline);
        };
        if last.x - first.x < 1e-6 {
            return Err(ClearingError::NoOutline);
        }
        let ends = [
            Vector::new(first.x, first.z - FAR),
            Vector::new(last.x, last.z - FAR),
        ];
        let mut all = Vec::with_capacity(points.len() + 2);
        all.extend([ends[0]].into_iter().chain(points).chain([ends[1]]));
        let part = |at: Vector| part_at(direction.along(at.x), axles).index();
        let chain = Chain::new(&all, |_, middle| part(middle));
        let crests = chain.crests.iter();
        let mut corners: Vec<_> = crests.map(|c| (upright(*c), part(*c))).collect();
        // A flat belly may have no corner of its own: it gets one below each axle.
        for axle in [direction.along(axles.0), direction.along(axles.1)] {
            let ends = chain.pieces.iter().map(|piece| piece.end);
            let at_axle = ends.filter(|end| (end.x - axle).abs() < 1e-9 && end.z > -FAR / 2.0);
            if let Some(lowest) = at_axle.max_by(|a, b| a.z.total_cmp(&b.z)) {
                corners.push((upright(lowest), BodyPart::Belly.index()));
            }
        }
        Ok(Self {
            chain,
            hull: hull(&corners),
            corners,
            reach: (first.x, last.x),
        })
    }
}

/// The lower convex hull of corners.
fn hull(corners: &[(Vector, usize)]) -> Vec<usize> {
    let at = |index: usize| corners.get(index).map_or(Vector::new(0.0, 0.0), |c| c.0);
    let mut order: Vec<usize> = (0..corners.len()).collect();
    order.sort_by(|a, b| at(*a).x.total_cmp(&at(*b).x));
    let mut hull: Vec<usize> = Vec::with_capacity(order.len());
    for index in order {
        while let [.., before, last] = *hull {
            let turn = (at(last) - at(before)).cross(at(index) - at(last));
            // A corner all but on the line between its neighbours stays: it costs nothing.
            if turn >= -1e-12 {
                break;
            }
            hull.pop();
        }
        hull.push(index);
    }
    hull
}

/// Turns a point of the upside-down chain the right way up, or back.
pub(super) fn upright(point: Vector) -> Vector {
    Vector::new(point.x, -point.z)
}

pub(super) fn part_at(x: f64, axles: (f64, f64)) -> BodyPart {
    if x < axles.0 {
        BodyPart::FrontOverhang
    } else if x > axles.1 {
        BodyPart::RearOverhang
    } else {
        BodyPart::Belly
    }
}

/// The lowest line of a polygon, from small x to large; `also` are further x that get a corner.
fn lowest(outline: &[[f64; 2]], also: &[f64]) -> Vec<[f64; 2]> {
    let edges: Vec<[[f64; 2]; 2]> = outline
        .iter()
        .zip(outline.iter().cycle().skip(1))
        .map(|(&a, &b)| if a[0] <= b[0] { [a, b] } else { [b, a] })
        .filter(|[a, b]| b[0] - a[0] > 1e-12)
        .collect();
    let mut marks: Vec<f64> = outline
        .iter()
        .map(|p| p[0])
        .chain(also.iter().copied())
        .collect();
    marks.sort_by(f64::total_cmp);
    marks.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    let mut line = Vec::with_capacity(2 * marks.len());
    for pair in marks.windows(2) {
        let &[from, to] = pair else { continue };
        let middle = from.midpoint(to);
        let under = edges
            .iter()
            .filter(|[a, b]| a[0] <= middle && middle <= b[0])
            .min_by(|a, b| height(a, middle).total_cmp(&height(b, middle)));
        if let Some(edge) = under {
            line.push([from, height(edge, from)]);
            line.push([to, height(edge, to)]);
        }
    }
    line
}

fn height([a, b]: &[[f64; 2]; 2], x: f64) -> f64 {
    a[1] + (b[1] - a[1]) * (x - a[0]) / (b[0] - a[0])
}

//! How far inside the support polygon the centre of gravity lies, and what tips it.

use super::error::{LiftError, LiftQuantity, check_finite, check_positive, finite};
use super::place::{Flat, Line, Spot, offset};
use super::polygon::{hull, is_line, numbered};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;
use crate::uncertain::Interval;

/// An edge of the support polygon.
#[derive(Debug, Clone, PartialEq)]
pub struct Edge {
    /// Index of the support where it starts.
    pub from: usize,
    /// Index of the support where it ends, going round counter-clockwise seen from +z.
    pub to: usize,
    /// How far inside the edge the centre of gravity lies, metres; negative outside.
    pub margin: Tracked,
}

/// The support polygon, edge by edge.
#[derive(Debug, Clone, PartialEq)]
pub struct Stability {
    /// All edges, going round.
    pub edges: Vec<Edge>,
    /// The edge with the smallest margin: the one that the vehicle tips over first.
    pub smallest: Edge,
}

impl Stability {
    /// Returns the interval (k = 2) of the smallest margin, metres; any edge may turn out smallest.
    pub fn interval(&self) -> Interval {
        let ends = || self.edges.iter().map(|e| e.margin.uncertain().interval());
        Interval {
            low: ends().map(|end| end.low).fold(f64::INFINITY, f64::min),
            high: ends().map(|end| end.high).fold(f64::INFINITY, f64::min),
        }
    }
}

/// Computes the distance of the centre of gravity from every edge of the support polygon.
///
/// # Errors
/// Anything that is not finite, fewer than three supports, supports that coincide or all lie on one
/// line. A centre outside is no error here: its margin is negative.
pub fn stability(centre: &Spot, supports: &[Spot]) -> Result<Stability, LiftError> {
    let numbered = numbered(supports)?;
    centre.check(LiftQuantity::Centre)?;
    let hull = hull(&numbered);
    if is_line(&numbered, &hull) {
        return Err(LiftError::SupportsInLine);
    }
    let mut edges = Vec::with_capacity(hull.len());
    for side in hull {
        let (from, to) = (side.from, side.to);
        let margin = offset(corner(supports, from)?, corner(supports, to)?, centre);
        let margin = finite(margin, LiftQuantity::Margin)?;
        edges.push(Edge { from, to, margin });
    }
    let by_margin = |a: &&Edge, b: &&Edge| a.margin.value().total_cmp(&b.margin.value());
    let smallest = edges.iter().min_by(by_margin).cloned();
    let smallest = smallest.ok_or(LiftError::SupportsInLine)?;
    Ok(Stability { edges, smallest })
}

fn corner(supports: &[Spot], support: usize) -> Result<&Spot, LiftError> {
    supports
        .get(support)
        .ok_or(LiftError::NoSuchSupport { support })
}

/// Refuses an edge over which the vehicle tips by itself.
fn check_inside(edge: &Edge) -> Result<(), LiftError> {
    check_finite(&edge.margin, LiftQuantity::Margin)?;
    let (from, to, margin) = (edge.from, edge.to, edge.margin.value());
    if margin < 0.0 {
        return Err(LiftError::CentreOutside { from, to, margin });
    }
    Ok(())
}

/// Computes the angle in radians by which the supports may tilt together before the vehicle tips.
///
/// `height` is that of the centre of gravity above the supports, metres: above the ground for wheels,
/// above the pads for a lift. A rigid vehicle on pads that hold; an upper bound, never a permission.
///
/// # Errors
/// A height that is not more than zero, anything that is not finite, and a centre outside the edge.
pub fn tilt_angle(edge: &Edge, height: &Tracked) -> Result<Tracked, LiftError> {
    check_inside(edge)?;
    check_positive(height, LiftQuantity::Height)?;
    finite((&edge.margin / height).atan(), LiftQuantity::Margin)
}

/// Computes the smallest level push, newtons, at a height above the supports that tips the vehicle.
///
/// It may slide off its supports at less.
///
/// # Errors
/// A mass or height that is not more than zero, anything that is not finite, and a centre outside
/// the edge.
pub fn tipping_force(mass: &Tracked, edge: &Edge, height: &Tracked) -> Result<Tracked, LiftError> {
    check_positive(mass, LiftQuantity::Mass)?;
    check_inside(edge)?;
    check_positive(height, LiftQuantity::Height)?;
    let force = mass * &edge.margin * STANDARD_GRAVITY / height;
    finite(force, LiftQuantity::Margin)
}

/// The smallest extra weight that tips the vehicle, and where it has to be put.
#[derive(Debug, Clone, PartialEq)]
pub struct TippingLoad {
    /// Index of the support where the edge starts that it tips over.
    pub from: usize,
    /// Index of the support where that edge ends.
    pub to: usize,
    /// Index of the corner of the outline that is loaded.
    pub corner: usize,
    /// How far that corner lies beyond the edge, metres.
    pub overhang: Tracked,
    /// The extra weight as a load, kilograms.
    pub load: Tracked,
}

impl TippingLoad {
    /// Returns the same as a downward push, newtons.
    pub fn force(&self) -> Tracked {
        &self.load * STANDARD_GRAVITY
    }
}

/// Finds the smallest downward push on any corner of an outline that tips the vehicle: W·d / o.
///
/// `outline` lists the corners of the body seen in plan, metres, in the frame of the supports; the
/// worst place of a convex outline is one of its corners. `None` where no corner lies beyond an edge.
///
/// # Errors
/// A mass that is not more than zero, anything that is not finite, a centre outside the polygon, and
/// supports that are not those of `stability`.
pub fn tipping_load(
    mass: &Tracked,
    stability: &Stability,
    supports: &[Spot],
    outline: &[(f64, f64)],
) -> Result<Option<TippingLoad>, LiftError> {
    check_positive(mass, LiftQuantity::Mass)?;
    check_inside(&stability.smallest)?;
    let mut smallest: Option<TippingLoad> = None;
    for edge in &stability.edges {
        let Some((corner, overhang)) = farthest_beyond(edge, supports, outline)? else {
            continue;
        };
        let load = finite(mass * &edge.margin / &overhang, LiftQuantity::Margin)?;
        if smallest
            .as_ref()
            .is_none_or(|s| load.value() < s.load.value())
        {
            let (from, to) = (edge.from, edge.to);
            smallest = Some(TippingLoad {
                from,
                to,
                corner,
                overhang,
                load,
            });
        }
    }
    Ok(smallest)
}

/// Finds the corner that lies farthest beyond an edge, and how far.
fn farthest_beyond(
    edge: &Edge,
    supports: &[Spot],
    outline: &[(f64, f64)],
) -> Result<Option<(usize, Tracked)>, LiftError> {
    let (a, b) = (corner(supports, edge.from)?, corner(supports, edge.to)?);
    let line = Line::through(a.flat(), b.flat());
    let mut farthest: Option<(usize, f64)> = None;
    for (index, &(x, y)) in outline.iter().enumerate() {
        let beyond = -line.offset(Flat { x, y });
        if !beyond.is_finite() {
            let quantity = LiftQuantity::Corner(index);
            return Err(LiftError::NotFinite { quantity });
        }
        if beyond > farthest.map_or(0.0, |(_, most)| most) {
            farthest = Some((index, beyond));
        }
    }
    let place = farthest.and_then(|(index, _)| Some((index, *outline.get(index)?)));
    Ok(place.map(|(index, (x, y))| (index, -offset(a, b, &Spot::exact(x, y)))))
}

//! The least and the most that a support can carry, whatever the stiffnesses.
//!
//! The largest Fᵢ under Fⱼ ≥ 0 and the three balances is a linear programme. Its dual asks for the
//! flattest affine function g that is at least 1 on support i and at least 0 on all others; then
//! Fᵢ ≤ W·g(C). The corners of the dual are the functions that vanish along a hull edge and are 1
//! on support i. Likewise the smallest Fᵢ, with g at most 1 on i and at most 0 on all others.
//!
//! That form is also right under uncertainty: *each* g bounds Fᵢ for every place of the centre, so
//! the end of the interval is the best of the ends of all of them.

use super::place::{Flat, Line, Spot, turn};
use super::polygon::{Numbered, Side, ends, flatness, hull};
use crate::propagation::Tracked;
use crate::uncertain::COVERAGE_FACTOR;

/// One end of what a support can carry.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Bound {
    /// The end itself, kilograms.
    pub(super) load: Tracked,
    /// Where it may lie under the uncertainty of the inputs (k = 2), on the cautious side.
    pub(super) cautious: f64,
}

/// Which end is sought.
#[derive(Clone, Copy)]
enum End {
    Low,
    High,
}

/// The vehicle on its supports, as both bounds need it.
pub(super) struct Lifted<'a> {
    pub(super) mass: &'a Tracked,
    pub(super) centre: &'a Spot,
    pub(super) supports: &'a [Spot],
    pub(super) numbered: &'a Numbered,
    pub(super) hull: &'a [Side],
}

impl Lifted<'_> {
    /// Returns the most that a support can carry.
    pub(super) fn high(&self, index: usize, support: Flat) -> Option<Bound> {
        let tolerance = flatness(self.numbered);
        let opposite = |side: &&Side| self.turn(**side, support) > tolerance;
        let sides: Vec<Side> = self.hull.iter().filter(opposite).copied().collect();
        self.tightest(index, support, &sides, End::High)
    }

    /// Returns the least that a support can carry.
    pub(super) fn low(&self, index: usize, support: Flat) -> Bound {
        let tolerance = flatness(self.numbered);
        let others = self.numbered.iter().filter(|(i, _)| *i != index);
        let others: Vec<_> = others.copied().collect();
        let mut sides = hull(&others);
        if sides.is_empty() {
            sides.extend(ends(&others));
            sides.retain(|side| self.turn(*side, support).abs() > tolerance);
        } else {
            sides.retain(|side| self.turn(*side, support) < -tolerance);
        }
        let must = self.tightest(index, support, &sides, End::Low);
        must.filter(|bound| bound.load.value() > 0.0)
            .map_or_else(nothing, |bound| Bound {
                cautious: bound.cautious.max(0.0),
                ..bound
            })
    }

    /// Returns the best of the bounds that vanish along one of the sides.
    fn tightest(&self, index: usize, support: Flat, sides: &[Side], end: End) -> Option<Bound> {
        let centre = self.centre.flat();
        let plain = |side: &Side| self.turn(*side, centre) / self.turn(*side, support);
        let better = |a: f64, b: f64| match end {
            End::Low => a > b,
            End::High => a < b,
        };
        let mut sorted: Vec<(f64, Side)> = sides.iter().map(|side| (plain(side), *side)).collect();
        sorted.sort_by(|(a, _), (b, _)| match end {
            End::Low => b.total_cmp(a),
            End::High => a.total_cmp(b),
        });
        let mut best: Option<Bound> = None;
        for (share, side) in sorted {
            let load = share * self.mass.value();
            // What is worse than the cautious end even without its uncertainty cannot improve it.
            if best
                .as_ref()
                .is_some_and(|best| !better(load, best.cautious))
            {
                break;
            }
            let found = self.along(side, index, end)?;
            match &mut best {
                Some(best) if better(found.cautious, best.cautious) => {
                    best.cautious = found.cautious;
                }
                Some(_) => {}
                None => best = Some(found),
            }
        }
        best
    }

    /// Returns the bound that vanishes along one side.
    fn along(&self, side: Side, index: usize, end: End) -> Option<Bound> {
        let (a, b) = (self.supports.get(side.from)?, self.supports.get(side.to)?);
        let support = self.supports.get(index)?;
        let load = self.lever(a, b, support);
        let half_width = COVERAGE_FACTOR * load.u();
        let cautious = match end {
            End::Low => load.value() - half_width,
            End::High => load.value() + half_width,
        };
        Some(Bound { load, cautious })
    }

    /// Returns W·d(C)/d(s), distances from the line through a and b, with all slopes.
    fn lever(&self, a: &Spot, b: &Spot, support: &Spot) -> Tracked {
        let (centre, spot) = (self.centre.flat(), support.flat());
        let line = Line::through(a.flat(), b.flat());
        let reach = line.offset(spot);
        let share = line.offset(centre) / reach;
        let per_metre = self.mass.value() / reach;
        let (of_centre, of_support) = (line.part(centre), line.part(spot));
        let by_a = (1.0 - of_centre) - share * (1.0 - of_support);
        let by_b = of_centre - share * of_support;
        let places = [
            line.across(self.centre, per_metre),
            line.across(support, -share * per_metre),
            line.across(a, -by_a * per_metre),
            line.across(b, -by_b * per_metre),
        ];
        let by_mass = std::iter::once((share, self.mass));
        Tracked::from_slopes(
            share * self.mass.value(),
            by_mass.chain(places.into_iter().flatten()),
        )
    }

    fn turn(&self, side: Side, spot: Flat) -> f64 {
        let place = |index: usize| self.supports.get(index).map(Spot::flat);
        place(side.from)
            .zip(place(side.to))
            .map_or(0.0, |(a, b)| turn(a, b, spot))
    }
}

/// The bound of a support that may carry nothing at all.
fn nothing() -> Bound {
    Bound {
        load: Tracked::exact(0.0),
        cautious: 0.0,
    }
}

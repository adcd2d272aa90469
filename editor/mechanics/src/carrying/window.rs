//! The placements that keep every rating: one interval, with what sets its ends.
//!
//! A margin is m(s) = a + b·s with variance u²(s) = v_a + 2·c·s + v_b·s². It is kept where m(s) ≥ 0,
//! and *surely* kept where m(s) ≥ k·u(s) with k = 2. Since u is convex in s and m is linear, k·u − m is
//! convex, and the second set is an interval too. Its ends are roots of m² = k²·u²:
//!
//! ```text
//!   (b² − k²·v_b)·s² + 2·(a·b − k²·c)·s + (a² − k²·v_a) = 0,   those with m(s) ≥ 0
//! ```
//!
//! Placements that are surely *beyond* a rating are the same set for the margin −m.

use super::condition::{Condition, Line, Rating};
use crate::uncertain::{COVERAGE_FACTOR, Uncertain};

/// Roots nearer to each other than this, relative to their size, are one double root.
const SAME: f64 = 1e-9;

/// One end of a window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The placement, metres behind the deck's front edge. The ends of a sure window are exact.
    pub place: Uncertain,
    /// The rating that is just met there.
    pub rating: Rating,
}

/// The placements that keep every rating, from the cab rearward.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// The end nearest the cab, or `None` where nothing that is known limits it.
    pub first: Option<End>,
    /// The end nearest the tail, or `None` where nothing that is known limits it.
    pub last: Option<End>,
}

impl Window {
    /// Says whether a placement lies in the window, its ends included.
    pub fn contains(&self, s: f64) -> bool {
        self.first.is_none_or(|end| end.place.value <= s)
            && self.last.is_none_or(|end| s <= end.place.value)
    }

    /// Returns the middle of a window that both ends limit.
    pub fn middle(&self) -> Option<f64> {
        Some(f64::midpoint(
            self.first?.place.value,
            self.last?.place.value,
        ))
    }
}

/// Why no placement keeps every rating.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Shut {
    /// One rating is not kept anywhere.
    Never(Rating),
    /// Two ratings exclude each other.
    Exclude {
        /// This one is kept only from here rearward.
        from: End,
        /// This one is kept only up to here, which lies nearer the cab.
        to: End,
    },
}

/// A closed interval of placements; its ends may be infinite.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Range {
    pub(super) low: f64,
    pub(super) high: f64,
}

const EVERYWHERE: Range = Range {
    low: f64::NEG_INFINITY,
    high: f64::INFINITY,
};

/// A margin with the moments of its uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Margin {
    a: f64,
    b: f64,
    va: f64,
    c: f64,
    vb: f64,
}

impl Margin {
    pub(super) fn of(line: &Line) -> Self {
        Self {
            a: line.start.value(),
            b: line.slope.value(),
            va: line.start.variance(),
            c: line.start.covariance(&line.slope),
            vb: line.slope.variance(),
        }
    }

    fn negated(self) -> Self {
        Self {
            a: -self.a,
            b: -self.b,
            ..self
        }
    }

    fn without_uncertainty(self) -> Self {
        let (va, c, vb) = (0.0, 0.0, 0.0);
        Self { va, c, vb, ..self }
    }

    fn value(self, s: f64) -> f64 {
        self.a + self.b * s
    }

    fn u(self, s: f64) -> f64 {
        (self.va + s * (2.0 * self.c + s * self.vb)).max(0.0).sqrt()
    }

    /// Says whether the margin is at least k·u at a placement.
    fn holds(self, s: f64) -> bool {
        let size = self.a.abs() + (self.b * s).abs();
        self.value(s) - COVERAGE_FACTOR * self.u(s) >= -1e-12 * size
    }

    /// Returns the placements at which the margin is at least k·u, or `None` where there are none.
    fn kept(self) -> Option<Range> {
        match self.roots().as_slice() {
            [] => self.holds(0.0).then_some(EVERYWHERE),
            [root] => Some(self.half_line(*root)),
            [low, .., high] => Some(Range {
                low: *low,
                high: *high,
            }),
        }
    }

    /// Returns the side of its only root on which a convex function is not above zero.
    fn half_line(self, root: f64) -> Range {
        let step = 1.0 + root.abs();
        match (self.holds(root - step), self.holds(root + step)) {
            (true, true) => EVERYWHERE,
            (true, false) => Range {
                high: root,
                ..EVERYWHERE
            },
            (false, true) => Range {
                low: root,
                ..EVERYWHERE
            },
            (false, false) => Range {
                low: root,
                high: root,
            },
        }
    }

    /// Returns where the margin equals k·u, in ascending order, a double root once.
    fn roots(self) -> Vec<f64> {
        let Self { a, b, va, c, vb } = self;
        if va == 0.0 && vb == 0.0 {
            // Adding zero makes a negative zero plain.
            return if b == 0.0 { vec![] } else { vec![0.0 - a / b] };
        }
        let k2 = COVERAGE_FACTOR * COVERAGE_FACTOR;
        let (q2, q1, q0) = (b * b - k2 * vb, a * b - k2 * c, a * a - k2 * va);
        // Equal to q1² − q2·q0, without the terms that cancel; the bracket is a sum of squares.
        let squares = (a * a * vb - 2.0 * a * b * c + b * b * va).max(0.0);
        let discriminant = k2 * (squares - k2 * (va * vb - c * c).max(0.0));
        if discriminant < 0.0 {
            return vec![];
        }
        let stable = -(q1 + discriminant.sqrt().copysign(q1));
        let mut roots: Vec<f64> = [stable / q2, q0 / stable]
            .into_iter()
            .filter(|root| root.is_finite())
            .filter(|&root| self.value(root) >= -SAME * (a.abs() + (b * root).abs()))
            .collect();
        roots.sort_by(f64::total_cmp);
        roots.dedup_by(|next, root| (*next - *root).abs() <= SAME * (1.0 + root.abs()));
        roots
    }
}

/// Returns the placements that keep every condition at its best estimate, ends with uncertainty.
pub(super) fn window(conditions: &[Condition]) -> Result<Window, Shut> {
    let widened = |end: End| with_uncertainty(end, conditions);
    let best_estimate = |line: &Line| Margin::of(line).without_uncertainty().kept();
    match intersection(conditions, best_estimate) {
        Ok(Window { first, last }) => Ok(Window {
            first: first.map(widened),
            last: last.map(widened),
        }),
        Err(Shut::Exclude { from, to }) => Err(Shut::Exclude {
            from: widened(from),
            to: widened(to),
        }),
        Err(never @ Shut::Never(_)) => Err(never),
    }
}

/// Returns the placements that keep every condition with twice its uncertainty to spare.
pub(super) fn sure_window(conditions: &[Condition]) -> Result<Window, Shut> {
    intersection(conditions, |line| Margin::of(line).kept())
}

/// Says whether every placement is surely beyond one of the conditions.
///
/// The ranges beyond are closed, so a placement exactly at a limit lies in them too; it keeps the limit all the
/// same, and where one keeps every condition nothing is beyond everywhere.
pub(super) fn beyond_everywhere(conditions: &[Condition]) -> bool {
    if sure_window(conditions).is_ok() {
        return false;
    }
    let mut beyond: Vec<_> = conditions
        .iter()
        .filter_map(|condition| Margin::of(&condition.margin()).negated().kept())
        .collect();
    beyond.sort_by(|one, other| one.low.total_cmp(&other.low));
    let mut reached = f64::NEG_INFINITY;
    for range in beyond {
        if range.low > reached {
            return false;
        }
        reached = reached.max(range.high);
    }
    reached == f64::INFINITY
}

fn intersection(
    conditions: &[Condition],
    kept: impl Fn(&Line) -> Option<Range>,
) -> Result<Window, Shut> {
    let mut window = Window {
        first: None,
        last: None,
    };
    for condition in conditions {
        let rating = condition.rating;
        let range = kept(&condition.margin()).ok_or(Shut::Never(rating))?;
        let end = |place: f64| End {
            place: Uncertain::exact(place),
            rating,
        };
        if range.low.is_finite() && window.first.is_none_or(|end| end.place.value < range.low) {
            window.first = Some(end(range.low));
        }
        if range.high.is_finite() && window.last.is_none_or(|end| range.high < end.place.value) {
            window.last = Some(end(range.high));
        }
    }
    match (window.first, window.last) {
        (Some(from), Some(to)) if from.place.value > to.place.value => {
            Err(Shut::Exclude { from, to })
        }
        _ => Ok(window),
    }
}

/// An end lies where a + b·s = 0, so u(end) = u(margin there) / |b|.
fn with_uncertainty(end: End, conditions: &[Condition]) -> End {
    let u = conditions
        .iter()
        .find(|condition| condition.rating == end.rating)
        .map(|condition| Margin::of(&condition.margin()))
        .filter(|margin| margin.b != 0.0)
        .map_or(0.0, |margin| margin.u(end.place.value) / margin.b.abs());
    let place = Uncertain::new(end.place.value, u);
    End { place, ..end }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        clippy::panic,
        reason = "a panic is a failed test"
    )]

    use super::super::condition::Sense;
    use super::super::testing::{Bench, close, exact};
    use super::*;
    use crate::propagation::Tracked;
    use crate::verdict::Verdict;
    use proptest::prelude::*;

    fn condition(rating: Rating, start: Tracked, slope: Tracked) -> Condition {
        Condition {
            rating,
            value: Line { start, slope },
            limit: exact(0.0),
            sense: Sense::AtLeast,
        }
    }

    fn sure(start: Tracked, slope: Tracked) -> Result<Window, Shut> {
        sure_window(&[condition(Rating::RearAxle, start, slope)])
    }

    #[test]
    fn an_exact_margin_ends_where_it_is_zero() {
        let window = sure(exact(3.0), exact(-1.5)).unwrap();
        assert_eq!(window.first, None);
        close(window.last.unwrap().place.value, 2.0, 1e-12);
        let window = sure(exact(-3.0), exact(1.5)).unwrap();
        close(window.first.unwrap().place.value, 2.0, 1e-12);
        assert_eq!(window.last, None);
    }

    #[test]
    fn a_constant_margin_holds_everywhere_or_never() {
        let everywhere = Window {
            first: None,
            last: None,
        };
        let mut bench = Bench::default();
        assert_eq!(sure(exact(0.0), exact(0.0)), Ok(everywhere));
        assert_eq!(sure(bench.input(3.0, 1.0), exact(0.0)), Ok(everywhere));
        let never = Err(Shut::Never(Rating::RearAxle));
        assert_eq!(sure(exact(-1.0), exact(0.0)), never);
        assert_eq!(sure(bench.input(1.0, 1.0), exact(0.0)), never);
    }

    /// Margin 10 − s with u = 1 everywhere: sure up to 8. With u growing as 0.1·s besides, up to where
    /// (10 − s)² = 4·(1 + 0.01·s²); arithmetic from the formula, no citation.
    #[test]
    fn a_sure_end_leaves_twice_the_uncertainty() {
        let mut bench = Bench::default();
        let start = bench.input(10.0, 1.0);
        let window = sure(start.clone(), exact(-1.0)).unwrap();
        close(window.last.unwrap().place.value, 8.0, 1e-12);
        let window = sure(start, bench.input(-1.0, 0.1)).unwrap();
        let end = (20.0 - (400.0f64 - 4.0 * 0.96 * 96.0).sqrt()) / (2.0 * 0.96);
        close(window.last.unwrap().place.value, end, 1e-12);
    }

    /// A slope that may be of either sign bounds the sure placements on both sides.
    #[test]
    fn a_slope_of_unknown_sign_ends_the_sure_window_twice() {
        let mut bench = Bench::default();
        let window = sure(bench.input(10.0, 1.0), bench.input(0.1, 1.0)).unwrap();
        assert!(window.first.unwrap().place.value < 0.0);
        assert!(window.last.unwrap().place.value > 0.0);
    }

    #[test]
    fn an_uncertainty_that_vanishes_at_the_end_leaves_a_half_line() {
        let mut bench = Bench::default();
        let mass = bench.input(1000.0, 30.0);
        let window = sure(&mass * 2.7, -mass).unwrap();
        assert_eq!(window.first, None);
        close(window.last.unwrap().place.value, 2.7, 1e-6);
    }

    #[test]
    fn two_ratings_that_exclude_each_other_are_both_named() {
        let front = condition(Rating::FrontAxle, exact(-4.0), exact(2.0));
        let rear = condition(Rating::RearAxle, exact(3.0), exact(-3.0));
        let Err(Shut::Exclude { from, to }) = window(&[front, rear]) else {
            panic!("the window should be shut");
        };
        assert_eq!(
            (from.rating, to.rating),
            (Rating::FrontAxle, Rating::RearAxle)
        );
        close(from.place.value, 2.0, 1e-12);
        close(to.place.value, 1.0, 1e-12);
    }

    #[test]
    fn beyond_everywhere_is_the_union_of_what_is_beyond() {
        let front = condition(Rating::FrontAxle, exact(-4.0), exact(2.0));
        let rear = |at: f64| condition(Rating::RearAxle, exact(at), exact(-1.0));
        assert!(beyond_everywhere(&[front.clone(), rear(1.9)]));
        assert!(!beyond_everywhere(&[front.clone(), rear(2.1)]));
        assert!(!beyond_everywhere(&[front]));
        assert!(!beyond_everywhere(&[]));
        let mut bench = Bench::default();
        let unsure = condition(Rating::Gross, bench.input(-1.0, 1.0), exact(0.0));
        assert!(!beyond_everywhere(&[unsure]));
    }

    #[test]
    fn a_limit_met_exactly_is_not_beyond() {
        let at_limit = condition(Rating::Gross, exact(0.0), exact(0.0));
        assert!(!beyond_everywhere(&[at_limit]));
        let front = condition(Rating::FrontAxle, exact(-4.0), exact(2.0));
        let rear = condition(Rating::RearAxle, exact(2.0), exact(-1.0));
        assert!(!beyond_everywhere(&[front, rear]));
    }

    fn amounts() -> impl Strategy<Value = [f64; 6]> {
        [
            -10.0..10.0f64,
            -3.0..3.0f64,
            0.0..2.0f64,
            0.0..2.0f64,
            -1.0..1.0f64,
            0.0..0.5f64,
        ]
    }

    /// Start and slope share one input with opposite effects and have one of their own each.
    fn tracked([a, b, ua, ub, shared, scale]: [f64; 6]) -> (Tracked, Tracked) {
        let mut bench = Bench::default();
        let both = bench.input(0.0, 1.0);
        let start = bench.input(a, ua * scale) + shared * &both;
        let slope = bench.input(b, ub * scale) - (shared * 0.7 * scale) * &both;
        (start, slope)
    }

    proptest! {
        /// The closed form agrees with the verdict that a margin gets when it is computed at s.
        #[test]
        fn the_sure_window_is_where_the_verdict_is_within(
            amounts in amounts(), s in -20.0..20.0f64,
        ) {
            let (start, slope) = tracked(amounts);
            let condition = condition(Rating::RearAxle, start, slope);
            let inside = sure_window(std::slice::from_ref(&condition))
                .is_ok_and(|window| window.contains(s));
            let margin = condition.margin().at(s);
            // At an end itself rounding decides.
            prop_assume!((margin.value() - 2.0 * margin.u()).abs() > 1e-6);
            prop_assert_eq!(inside, condition.at(s).verdict == Verdict::Within);
        }

        #[test]
        fn a_sure_end_is_found_by_bisection_on_the_verdict(amounts in amounts()) {
            let (start, slope) = tracked(amounts);
            let condition = condition(Rating::RearAxle, start, slope);
            let Ok(window) = sure_window(std::slice::from_ref(&condition)) else {
                return Ok(());
            };
            for (end, outward) in [(window.first, -1.0), (window.last, 1.0)] {
                let Some(End { place, .. }) = end else { continue };
                let size = 1.0 + place.value.abs();
                prop_assume!(size < 1e4);
                let within = |s: f64| condition.at(s).verdict == Verdict::Within;
                let mut inside = place.value - outward * 1e-4 * size;
                let mut outside = place.value + outward * 1e-4 * size;
                prop_assume!(within(inside) && window.contains(inside));
                prop_assert!(!within(outside), "still within outside the end {}", place.value);
                for _ in 0..60 {
                    let middle = f64::midpoint(inside, outside);
                    if within(middle) { inside = middle } else { outside = middle }
                }
                prop_assert!((inside - place.value).abs() < 1e-5 * size, "{inside} {}", place.value);
            }
        }
    }
}

//! The support polygon: the convex hull of the supports, counter-clockwise.

use super::error::{LiftError, LiftQuantity};
use super::place::{Flat, Spot, turn};

/// A product of lengths this small beside the square of the size counts as zero.
const FLATNESS: f64 = 1e-12;

/// A polygon this narrow beside its size counts as a line.
const NARROWNESS: f64 = 1e-5;

/// Supports closer together than this, metres, are no supports of a vehicle; products of such lengths vanish.
const SMALLEST: f64 = 1e-6;

/// A hull edge by the indices of its two supports; the inside lies to its left.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Side {
    pub(super) from: usize,
    pub(super) to: usize,
}

/// Supports by their index, as a search wants them.
pub(super) type Numbered = [(usize, Flat)];

/// Refuses places that are no numbers, coincide or are of no vehicle's size, and numbers the rest from zero.
pub(super) fn numbered(supports: &[Spot]) -> Result<Vec<(usize, Flat)>, LiftError> {
    if supports.len() < 3 {
        let given = supports.len();
        return Err(LiftError::TooFewSupports { given });
    }
    for (index, support) in supports.iter().enumerate() {
        support.check(LiftQuantity::Support(index))?;
    }
    let numbered: Vec<_> = supports.iter().map(Spot::flat).enumerate().collect();
    let size = size(&numbered);
    let closest = FLATNESS.sqrt() * size;
    for (index, &(first, a)) in numbered.iter().enumerate() {
        let later = numbered.iter().skip(index + 1);
        if let Some(&(second, _)) = later.into_iter().find(|(_, b)| a.distance(*b) <= closest) {
            return Err(LiftError::SupportsCoincide { first, second });
        }
    }
    if size < SMALLEST {
        return Err(LiftError::TooSmall { size });
    }
    Ok(numbered)
}

/// Returns a product of two lengths below which three supports count as lying on one line.
pub(super) fn flatness(supports: &Numbered) -> f64 {
    FLATNESS * size(supports).powi(2)
}

/// Says whether the polygon is so narrow that it holds nothing: a hundred thousandth of its size.
pub(super) fn is_line(supports: &Numbered, hull: &[Side]) -> bool {
    let narrow = NARROWNESS * size(supports);
    let place = |index: usize| {
        supports
            .iter()
            .find(|(i, _)| *i == index)
            .map(|(_, spot)| *spot)
    };
    hull.is_empty()
        || hull.iter().any(|side| {
            let Some((a, b)) = place(side.from).zip(place(side.to)) else {
                return true;
            };
            let widths = supports.iter().map(|(_, spot)| turn(a, b, *spot));
            widths.fold(0.0, f64::max) < narrow * a.distance(b)
        })
}

/// Returns the length of the longer side of the box around the supports, metres.
pub(super) fn size(supports: &Numbered) -> f64 {
    let span = |coordinate: fn(&Flat) -> f64| {
        let values = || supports.iter().map(|(_, spot)| coordinate(spot));
        values().fold(f64::NEG_INFINITY, f64::max) - values().fold(f64::INFINITY, f64::min)
    };
    span(|spot| spot.x).max(span(|spot| spot.y))
}

/// Lists the edges of the convex hull, counter-clockwise from the first support on it; none where all
/// supports lie on one line.
pub(super) fn hull(supports: &Numbered) -> Vec<Side> {
    let tolerance = flatness(supports);
    let mut rest = Vec::with_capacity(supports.len());
    for &(from, a) in supports {
        for &(to, b) in supports {
            if from != to && is_edge(supports, (from, a), (to, b), tolerance) {
                rest.push(Side { from, to });
            }
        }
    }
    chained(rest)
}

/// Says whether all other supports lie left of the way from a to b, and those on it in between.
fn is_edge(
    supports: &Numbered,
    (from, a): (usize, Flat),
    (to, b): (usize, Flat),
    tolerance: f64,
) -> bool {
    let mut others = supports.iter().filter(|(i, _)| *i != from && *i != to);
    let mut any_inside = false;
    others.all(|&(_, other)| {
        let left = turn(a, b, other);
        any_inside |= left > tolerance;
        let between = || (b.x - a.x) * (other.x - a.x) + (b.y - a.y) * (other.y - a.y);
        let length_squared = a.distance(b).powi(2);
        left > tolerance || (left >= -tolerance && (0.0..=length_squared).contains(&between()))
    }) && any_inside
}

/// Orders edges so that each starts where the one before it ends.
fn chained(mut rest: Vec<Side>) -> Vec<Side> {
    let mut chain: Vec<Side> = Vec::with_capacity(rest.len());
    while !rest.is_empty() {
        let next = chain
            .last()
            .and_then(|last| rest.iter().position(|side| side.from == last.to));
        chain.push(rest.remove(next.unwrap_or(0)));
    }
    chain
}

/// Returns the two supports that are farthest apart, for supports that all lie on one line.
pub(super) fn ends(supports: &Numbered) -> Option<Side> {
    let pairs = supports.iter().flat_map(|&(from, a)| {
        supports
            .iter()
            .map(move |&(to, b)| (a.distance(b), Side { from, to }))
    });
    pairs
        .max_by(|(a, _), (b, _)| a.total_cmp(b))
        .filter(|(distance, _)| *distance > 0.0)
        .map(|(_, side)| side)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::*;

    fn hull_of(places: &[(f64, f64)]) -> Vec<(usize, usize)> {
        let spots: Vec<_> = places.iter().map(|&(x, y)| Spot::exact(x, y)).collect();
        let sides = hull(&numbered(&spots).unwrap());
        sides.iter().map(|side| (side.from, side.to)).collect()
    }

    #[test]
    fn the_hull_goes_round_counter_clockwise_in_whatever_order_the_supports_come() {
        let square = [(0.0, 0.0), (2.0, 2.0), (2.0, 0.0), (0.0, 2.0)];
        assert_eq!(hull_of(&square), [(0, 2), (2, 1), (1, 3), (3, 0)]);
    }

    #[test]
    fn supports_inside_or_between_are_no_corners() {
        let places = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (1.0, 1.0), (1.0, 3.0)];
        assert_eq!(hull_of(&places), [(0, 2), (2, 4), (4, 0)]);
    }

    #[test]
    fn supports_on_one_line_have_no_hull_but_two_ends() {
        let places = [(1.0, 1.0), (0.0, 0.0), (3.0, 3.0), (2.0, 2.0)];
        assert_eq!(hull_of(&places), []);
        let spots = places.map(|(x, y)| Spot::exact(x, y));
        let Side { from, to } = ends(&numbered(&spots).unwrap()).unwrap();
        assert_eq!((from.min(to), from.max(to)), (1, 2));
    }

    #[test]
    fn supports_of_no_vehicles_size_are_refused_by_name() {
        let square = |side: f64| {
            let places = [(0.0, 0.0), (side, 0.0), (side, side), (0.0, side)];
            numbered(&places.map(|(x, y)| Spot::exact(x, y)))
        };
        assert_eq!(square(1e-150), Err(LiftError::TooSmall { size: 1e-150 }));
        let (quantity, value) = (LiftQuantity::Support(1), 1e160);
        assert_eq!(square(1e160), Err(LiftError::TooFar { quantity, value }));
        assert!(square(1.0).is_ok());
    }

    #[test]
    fn two_supports_at_one_place_are_refused() {
        let places = [(1.0, 1.0), (0.0, 0.0), (3.0, 3.0), (1.0, 1.0)];
        let (first, second) = (0, 3);
        assert_eq!(
            numbered(&places.map(|(x, y)| Spot::exact(x, y))),
            Err(LiftError::SupportsCoincide { first, second })
        );
    }
}

//! How far a round pad stays clear of a region seen in plan.

use super::error::{LiftError, LiftQuantity, check_positive, finite};
use super::place::{Flat, Spot, turn};
use crate::propagation::Tracked;

/// How far a pad stays clear of a region.
#[derive(Debug, Clone, PartialEq)]
pub struct PadDistance {
    /// From the pad's rim to the region, metres; negative by how far the pad reaches in.
    pub distance: Tracked,
    /// The place on the region's boundary that is nearest to the pad's centre, metres.
    pub nearest: (f64, f64),
}

/// Computes the distance from a round pad to a region, exactly, by the region's sides.
///
/// `centre` is where the middle of the pad presses and `diameter` is its width, both in metres in the
/// frame of `region`, which lists the corners in order, either way round, not crossing itself. Where
/// pad and region overlap the distance is negative: the radius and the depth of the centre inside.
/// Moving the pad by as much in the direction away from `nearest` clears a convex region; a concave
/// one may need more.
///
/// # Errors
/// A diameter that is not more than zero, anything that is not finite, and fewer than three corners.
pub fn pad_distance(
    centre: &Spot,
    diameter: &Tracked,
    region: &[(f64, f64)],
) -> Result<PadDistance, LiftError> {
    centre.check(LiftQuantity::PadPlace)?;
    check_positive(diameter, LiftQuantity::PadDiameter)?;
    let corners = corners(region)?;
    let middle = centre.flat();
    let inside = contains(&corners, middle);
    let closest = sides(&corners)
        .map(|(a, b)| closest_on(a, b, middle))
        .min_by(|a, b| a.spot.distance(middle).total_cmp(&b.spot.distance(middle)));
    let Some(closest) = closest else {
        let given = region.len();
        return Err(LiftError::TooFewCorners { given });
    };
    let away = direction(&closest, middle, &corners, inside);
    // Along the unit vector away from the region, the distance is linear in the pad's place.
    let distance = (&centre.x - closest.spot.x) * away.x + (&centre.y - closest.spot.y) * away.y;
    Ok(PadDistance {
        distance: finite(distance - diameter / 2.0, LiftQuantity::PadDistance)?,
        nearest: (closest.spot.x, closest.spot.y),
    })
}

fn corners(region: &[(f64, f64)]) -> Result<Vec<Flat>, LiftError> {
    if region.len() < 3 {
        let given = region.len();
        return Err(LiftError::TooFewCorners { given });
    }
    let flawed = region
        .iter()
        .position(|(x, y)| !(x.is_finite() && y.is_finite()));
    if let Some(index) = flawed {
        let quantity = LiftQuantity::Corner(index);
        return Err(LiftError::NotFinite { quantity });
    }
    Ok(region.iter().map(|&(x, y)| Flat { x, y }).collect())
}

/// The sides of a region, the last corner joined to the first.
fn sides(corners: &[Flat]) -> impl Iterator<Item = (Flat, Flat)> + '_ {
    corners
        .iter()
        .copied()
        .zip(corners.iter().copied().cycle().skip(1))
}

/// The place on a side that is nearest to a spot, and the side's direction.
struct Closest {
    spot: Flat,
    side: (Flat, Flat),
}

fn closest_on(a: Flat, b: Flat, spot: Flat) -> Closest {
    let (x, y) = (b.x - a.x, b.y - a.y);
    let square = x * x + y * y;
    let along = (spot.x - a.x) * x + (spot.y - a.y) * y;
    let part = if square > 0.0 {
        (along / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    let spot = Flat {
        x: a.x + part * x,
        y: a.y + part * y,
    };
    Closest { spot, side: (a, b) }
}

/// Says whether a spot lies inside (even-odd rule).
fn contains(corners: &[Flat], spot: Flat) -> bool {
    let crosses = |(a, b): &(Flat, Flat)| {
        (a.y > spot.y) != (b.y > spot.y)
            && spot.x < a.x + (spot.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    sides(corners).filter(crosses).count() % 2 == 1
}

/// Returns the unit vector along which a spot leaves the region from its nearest boundary place.
fn direction(closest: &Closest, middle: Flat, corners: &[Flat], inside: bool) -> Flat {
    let reach = closest.spot.distance(middle);
    if reach > 0.0 {
        let sign = if inside { -1.0 } else { 1.0 };
        return Flat {
            x: sign * (middle.x - closest.spot.x) / reach,
            y: sign * (middle.y - closest.spot.y) / reach,
        };
    }
    // On the boundary itself: straight out across the side, which needs to know the way round.
    let (a, b) = closest.side;
    let length = a.distance(b);
    let sign = twice_area(corners).signum();
    if length > 0.0 {
        Flat {
            x: sign * (b.y - a.y) / length,
            y: -sign * (b.x - a.x) / length,
        }
    } else {
        Flat { x: 1.0, y: 0.0 }
    }
}

/// Returns twice the area, positive for corners listed counter-clockwise.
fn twice_area(corners: &[Flat]) -> f64 {
    let origin = corners.first().copied().unwrap_or(Flat { x: 0.0, y: 0.0 });
    sides(corners).map(|(a, b)| turn(origin, a, b)).sum()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    const BLOCK: [(f64, f64); 4] = [(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)];
    /// An L: the block with a bite out of its far right corner.
    const BITTEN: [(f64, f64); 6] = [
        (0.0, 0.0),
        (2.0, 0.0),
        (2.0, 1.0),
        (1.0, 1.0),
        (1.0, 2.0),
        (0.0, 2.0),
    ];

    fn distance(x: f64, y: f64, diameter: f64, region: &[(f64, f64)]) -> f64 {
        let pad = pad_distance(&Spot::exact(x, y), &exact(diameter), region);
        pad.unwrap().distance.value()
    }

    /// Arithmetic from plane geometry, no citation.
    #[test]
    fn a_pad_is_clear_by_the_distance_from_its_rim() {
        close(distance(1.0, 1.5, 0.12, &BLOCK), 0.44, 1e-12);
        // 3-4-5 triangle from the corner.
        close(distance(5.0, 5.0, 0.2, &BLOCK), 4.9, 1e-12);
        close(distance(1.5, 1.4, 0.2, &BITTEN), 0.3, 1e-12);
        // The inner corner's two sides are equally near.
        close(distance(1.3, 1.3, 0.2, &BITTEN), 0.2, 1e-12);
    }

    /// Arithmetic from plane geometry, no citation.
    #[test]
    fn a_pad_that_overlaps_is_negative_by_how_far_it_reaches_in() {
        close(distance(1.0, 1.04, 0.12, &BLOCK), -0.02, 1e-12);
        close(distance(1.0, 0.9, 0.12, &BLOCK), -0.16, 1e-12);
        close(distance(1.0, 1.0, 0.12, &BLOCK), -0.06, 1e-12);
    }

    #[test]
    fn an_uncertain_place_counts_along_the_way_to_the_region_only() {
        let mut bench = Bench::default();
        let pad = Spot::new(bench.input(1.0, 0.03), bench.input(1.5, 0.004));
        let diameter = bench.input(0.12, 0.006);
        let clear = pad_distance(&pad, &diameter, &BLOCK).unwrap();
        close(clear.distance.u(), 0.005, 1e-12);
        assert_eq!(clear.nearest, (1.0, 1.0));
        let on_the_boundary = Spot::new(bench.input(2.0, 0.03), bench.input(0.5, 0.004));
        let overlap = pad_distance(&on_the_boundary, &exact(0.12), &BLOCK).unwrap();
        close(overlap.distance.u(), 0.03, 1e-12);
    }

    #[test]
    fn what_is_no_pad_or_no_region_is_refused() {
        let middle = Spot::exact(0.0, 0.0);
        for bad in [0.0, -0.1, f64::NAN, f64::INFINITY] {
            assert!(pad_distance(&middle, &exact(bad), &BLOCK).is_err());
        }
        let nowhere = Spot::exact(f64::NAN, 0.0);
        assert!(pad_distance(&nowhere, &exact(0.1), &BLOCK).is_err());
        let line = pad_distance(&middle, &exact(0.1), &[(0.0, 0.0), (1.0, 0.0)]);
        assert_eq!(line, Err(LiftError::TooFewCorners { given: 2 }));
        let hole = [(0.0, 0.0), (1.0, f64::NAN), (1.0, 1.0)];
        let quantity = LiftQuantity::Corner(1);
        assert_eq!(
            pad_distance(&middle, &exact(0.1), &hole),
            Err(LiftError::NotFinite { quantity })
        );
    }

    proptest! {
        #[test]
        fn a_step_changes_the_distance_by_no_more_than_the_step(
            x in -1.0..3.0f64, y in -1.0..3.0f64, dx in -0.1..0.1f64, dy in -0.1..0.1f64,
        ) {
            let before = distance(x, y, 0.12, &BITTEN);
            let after = distance(x + dx, y + dy, 0.12, &BITTEN);
            prop_assert!((after - before).abs() <= dx.hypot(dy) + 1e-12);
        }

        #[test]
        fn the_way_round_does_not_matter(x in -1.0..3.0f64, y in -1.0..3.0f64) {
            let mut other = BITTEN;
            other.reverse();
            prop_assert!((distance(x, y, 0.12, &BITTEN) - distance(x, y, 0.12, &other)).abs() < 1e-12);
        }

        #[test]
        fn a_sampled_boundary_is_never_nearer(x in -1.0..3.0f64, y in -1.0..3.0f64) {
            let clear = distance(x, y, 0.12, &BITTEN) + 0.06;
            let corners: Vec<_> = BITTEN.iter().map(|&(x, y)| Flat { x, y }).collect();
            let sampled = sides(&corners)
                .flat_map(|(a, b)| (0..=1000).map(move |i| {
                    let part = f64::from(i) / 1000.0;
                    Flat { x: a.x + part * (b.x - a.x), y: a.y + part * (b.y - a.y) }
                }))
                .map(|spot| spot.distance(Flat { x, y }))
                .fold(f64::INFINITY, f64::min);
            prop_assert!((clear.abs() - sampled).abs() < 1.1e-3, "{clear} {sampled}");
            prop_assert!(clear.abs() <= sampled + 1e-12);
        }
    }
}

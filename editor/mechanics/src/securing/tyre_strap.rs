//! The two legs of a strap over a tyre.
//!
//! # Geometry
//! Seen from the side, a strap runs from an anchor ahead of the wheel over the tyre to an anchor behind
//! it. It leaves the tyre where a straight line from the anchor touches it. With the wheel's centre at
//! the distance d from the anchor, the radius r and φ the angle of the line from anchor to centre, the
//! straight part rises at φ + asin(r/d) and is √(d² − r²) long. On the deck's level that is twice the
//! angle to the centre. Statics of a strap that lies in the tread.
//!
//! # Valid for
//! A strap that grips the tyre, with its cleats or blocks in the tread, so that either leg can hold by
//! itself. The anchors may lie beside the tyre; the tyre is taken as a disc without width.

use super::error::{Quantity, SecuringError, check_finite, check_positive, finite};
use super::layout::Leg;
use crate::propagation::Tracked;

/// A strap over a tyre, in the truck's frame; metres and newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct TyreStrap {
    /// The wheel's centre.
    pub centre: [Tracked; 3],
    /// The tyre's radius.
    pub radius: Tracked,
    /// The anchor toward the truck's front.
    pub ahead: [Tracked; 3],
    /// The anchor toward the truck's rear.
    pub behind: [Tracked; 3],
    /// The limit of the strap with its anchors.
    pub limit: Tracked,
}

impl TyreStrap {
    /// Returns the two straight legs, the one to the anchor ahead first.
    ///
    /// # Errors
    /// A radius that is not more than zero, an anchor within the tyre or on the wrong side of the
    /// wheel, and what is not finite.
    pub fn legs(&self) -> Result<[Leg; 2], SecuringError> {
        check_positive(&self.radius, Quantity::WheelRadius)?;
        for (index, place) in [&self.centre, &self.ahead, &self.behind].iter().enumerate() {
            for number in *place {
                check_finite(number, Quantity::LegPlace(index))?;
            }
        }
        Ok([self.leg(&self.ahead, -1.0)?, self.leg(&self.behind, 1.0)?])
    }

    /// `side` is −1 for the anchor toward the truck's front and 1 for the other.
    fn leg(&self, anchor: &[Tracked; 3], side: f64) -> Result<Leg, SecuringError> {
        let [cx, cy, cz] = &self.centre;
        let [ax, _, az] = anchor;
        // Seen so that the anchor lies ahead, whichever side it is on.
        let level = (ax - cx) * side;
        let below = cz - az;
        let distance = level.value().hypot(below.value());
        let radius = self.radius.value();
        if distance <= radius {
            return Err(SecuringError::AnchorInsideTyre { distance, radius });
        }
        check_positive(&level, Quantity::StrapReach)?;
        let squared = &level * &level + &below * &below;
        let rise = (&below / &level).atan() + (&self.radius / squared.sqrt()).asin();
        let straight = (squared - &self.radius * &self.radius).sqrt();
        let touch_level = level - &straight * rise.cos();
        let touch_up = straight * rise.sin() - below;
        let x = cx + touch_level * side;
        Ok(Leg {
            from: [
                finite(x, Quantity::WheelRadius)?,
                cy.clone(),
                finite(cz + touch_up, Quantity::WheelRadius)?,
            ],
            to: anchor.clone(),
            limit: self.limit.clone(),
        })
    }
}

/// Returns the eight legs of straps over all four tyres, each with two anchors of its own: the
/// eight-point layout.
///
/// Legs 2n and 2n + 1 belong to strap n, the one to the anchor ahead first.
///
/// # Errors
/// As [`TyreStrap::legs`].
pub fn eight_point_legs(straps: &[TyreStrap; 4]) -> Result<Vec<Leg>, SecuringError> {
    let mut legs = Vec::with_capacity(2 * straps.len());
    for strap in straps {
        legs.extend(strap.legs()?);
    }
    Ok(legs)
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::balance::{BalanceRules, Direction};
    use super::super::layout::holding;
    use super::super::testing::{close, exact, input};
    use super::*;
    use proptest::prelude::*;

    fn strap(x: f64, y: f64, reach: f64) -> TyreStrap {
        TyreStrap {
            centre: [x, y, 0.33].map(exact),
            radius: exact(0.33),
            ahead: [x - reach, y, 0.0].map(exact),
            behind: [x + reach, y, 0.0].map(exact),
            limit: exact(10_000.0),
        }
    }

    fn values(place: &[Tracked; 3]) -> [f64; 3] {
        [0, 1, 2].map(|axis| place[axis].value())
    }

    /// From the deck's level the strap rises at twice the angle to the wheel's centre, and its straight
    /// part is as long as the anchor is away from where the tyre stands. Geometry, no citation.
    #[test]
    fn a_strap_rises_at_twice_the_angle_to_the_centre() {
        let [ahead, behind] = strap(0.0, 0.7, 0.9).legs().unwrap();
        let [x, y, z] = values(&behind.from);
        let rise = (z / (0.9 - x)).atan();
        close(rise, 2.0 * (0.33f64 / 0.9).atan(), 1e-12);
        close((0.9 - x).hypot(z), 0.9, 1e-12);
        close(y, 0.7, 0.0);
        close((x * x + (z - 0.33) * (z - 0.33)).sqrt(), 0.33, 1e-12);
        let mirrored = values(&ahead.from);
        close(mirrored[0], -x, 1e-12);
        close(mirrored[2], z, 1e-12);
    }

    /// The slopes by differences of the formula itself.
    #[test]
    fn the_uncertainty_of_radius_and_anchor_comes_through() {
        let at = |radius: Tracked, reach: Tracked| {
            let mut strap = strap(0.0, 0.7, 0.9);
            strap.radius = radius;
            strap.behind[0] = reach;
            let [_, behind] = strap.legs().unwrap();
            behind.from
        };
        let (radius, reach) = (|| exact(0.33), || exact(0.9));
        for axis in [0, 2] {
            let by = |low: [Tracked; 3], high: [Tracked; 3]| {
                (high[axis].value() - low[axis].value()).abs() / 2e-6
            };
            let by_radius = by(
                at(exact(0.33 - 1e-6), reach()),
                at(exact(0.33 + 1e-6), reach()),
            );
            let by_reach = by(
                at(radius(), exact(0.9 - 1e-6)),
                at(radius(), exact(0.9 + 1e-6)),
            );
            close(
                at(input(0.33, 0.01), reach())[axis].u(),
                by_radius * 0.01,
                1e-8,
            );
            close(
                at(radius(), input(0.9, 0.01))[axis].u(),
                by_reach * 0.01,
                1e-8,
            );
            assert!(by_radius > 0.1, "the radius matters");
        }
    }

    #[test]
    fn eight_points_hold_alike_forward_and_rearward() {
        let straps = [
            strap(0.0, -0.75, 0.8),
            strap(0.0, 0.75, 0.8),
            strap(2.7, -0.75, 0.8),
            strap(2.7, 0.75, 0.8),
        ];
        let legs = eight_point_legs(&straps).unwrap();
        assert_eq!(legs.len(), 8);
        let capacity = |direction| {
            let rules = BalanceRules::UsWorkingLoad;
            let held = holding(&exact(1500.0), &legs, direction, rules, &exact(0.0));
            held.unwrap().unwrap().capacity.value()
        };
        let forward = capacity(Direction::Forward);
        close(capacity(Direction::Rearward), forward, 1e-6);
        let level = (2.0 * (0.33f64 / 0.8).atan()).cos();
        close(forward, 4.0 * 10_000.0 * level, 1e-6);
        close(capacity(Direction::Left), 0.0, 1e-6);
    }

    #[test]
    fn an_anchor_in_the_tyre_or_on_the_wrong_side_is_refused() {
        assert!(matches!(
            TyreStrap {
                ahead: [-0.1, 0.7, 0.3].map(exact),
                ..strap(0.0, 0.7, 0.9)
            }
            .legs(),
            Err(SecuringError::AnchorInsideTyre { .. })
        ));
        let wrong = TyreStrap {
            ahead: [0.9, 0.7, 0.0].map(exact),
            ..strap(0.0, 0.7, 0.9)
        };
        assert!(wrong.legs().is_err());
        let mut endless = strap(0.0, 0.7, 0.9);
        endless.radius = exact(f64::NAN);
        assert!(endless.legs().is_err());
        let mut nowhere = strap(0.0, 0.7, 0.9);
        nowhere.centre[1] = exact(f64::INFINITY);
        assert!(nowhere.legs().is_err());
    }

    proptest! {
        #[test]
        fn the_leg_only_touches_the_tyre(
            reach in 0.35..2.0f64, radius in 0.25..0.6f64, up in -0.1..0.2f64,
        ) {
            prop_assume!(reach.hypot(radius - up) > radius * 1.001);
            let strap = TyreStrap {
                centre: [0.0, 0.0, radius].map(exact),
                radius: exact(radius),
                ahead: [-reach, 0.0, up].map(exact),
                behind: [reach, 0.0, up].map(exact),
                limit: exact(1.0),
            };
            let [_, behind] = strap.legs().unwrap();
            let [x, _, z] = values(&behind.from);
            prop_assert!((x.hypot(z - radius) - radius).abs() < 1e-9, "begins on the tyre");
            let along = [reach - x, up - z];
            let out = [x, z - radius];
            prop_assert!((along[0] * out[0] + along[1] * out[1]).abs() < 1e-9, "at a right angle");
            prop_assert!(x * (up - radius) - (z - radius) * reach < 1e-9, "over the top");
        }
    }
}

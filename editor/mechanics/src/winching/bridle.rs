//! Tension and direction of the legs of a bridle.
//!
//! # Free body
//! Two points on the vehicle lie s apart, left and right of its middle. Two equal legs of the length l
//! join in front of the middle, where the line pulls with P. Each leg makes the angle β with the line
//! between the points, cos β = (s/2) / l. The three forces at the joint lie in one plane:
//!
//! - straight pull: T = P / (2·sin β), the angle rule of slings; a sling of N legs and the height H
//!   over a load W has T = (W/N)/sin β = (W/N)·(L/H). Sling charts (secondary), read second-hand.
//! - pull at the angle ψ to the middle: T = P/2·(cos ψ / sin β ± sin ψ / cos β), statics. When the
//!   pull leans right it falls in line with the leg on the *left* point, which carries more; when the
//!   other goes slack it carries all of P.
//!
//! Legs below 30° to the line between the points must not be used: their tension is the whole pull
//! and more, and it grows without bound. They are computed all the same, and
//! [`BridleLegs::steep_enough`] judges them: where it is not within, the tensions and their
//! uncertainty, which is of the first order, mean little.
//!
//! The plane may be tilted: the line rises by the angle ε to a fairlead above the points. The
//! tensions stay; the directions of the legs rise with it.

use super::error::{Quantity, WinchingError, check_positive, check_range, finite};
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};
use std::f64::consts::{FRAC_PI_2, FRAC_PI_6};

/// The least angle of a leg to the line between the points, 30°. Sling charts (secondary), read
/// second-hand.
pub const MIN_LEG_ANGLE: f64 = FRAC_PI_6;

/// A bridle of two equal legs on two points, and the pull on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bridle {
    /// Distance between the two points, metres.
    pub spread: Tracked,
    /// Length of each leg, metres.
    pub leg_length: Tracked,
    /// Pull of the line, newtons.
    pub pull: Tracked,
    /// Angle of the pull to the middle, radians; positive leans to the right.
    pub off_centre: Tracked,
    /// Angle of the pull above the plane of the ground or deck, radians; negative points down.
    pub elevation: Tracked,
}

/// What the legs of a bridle carry.
///
/// Directions are unit vectors from the point along the leg: the first number ahead along the pull's
/// middle, the second to the right, the third up.
#[derive(Debug, Clone, PartialEq)]
pub struct BridleLegs {
    /// Angle of a leg to the line between the points, radians.
    pub angle: Tracked,
    /// Tension of the leg on the left point, newtons.
    pub left: Tracked,
    /// Tension of the leg on the right point, newtons.
    pub right: Tracked,
    /// Where the left leg pulls its point.
    pub left_direction: [f64; 3],
    /// Where the right leg pulls its point.
    pub right_direction: [f64; 3],
    /// Whether the pull leans so far that one leg hangs loose.
    pub one_leg_slack: bool,
    /// Whether the angle is [`MIN_LEG_ANGLE`] or more; anything but within: do not pull.
    pub steep_enough: Verdict,
}

/// Computes what the two legs of a bridle carry.
///
/// # Errors
/// Lengths or a pull that are not more than zero, legs too short to meet, angles beyond 90°, and
/// what is not finite.
pub fn bridle(bridle: &Bridle) -> Result<BridleLegs, WinchingError> {
    check(bridle)?;
    let half = &bridle.spread / 2.0;
    let reach = (&bridle.leg_length * &bridle.leg_length - &half * &half).sqrt();
    let (sine, cosine) = (&reach / &bridle.leg_length, &half / &bridle.leg_length);
    let straight = bridle.off_centre.cos() / &sine;
    let lean = bridle.off_centre.sin() / &cosine;
    let one_leg_slack = lean.value().abs() >= straight.value();
    let (left, right) = if one_leg_slack {
        let none = Tracked::exact(0.0);
        if lean.value() > 0.0 {
            (bridle.pull.clone(), none)
        } else {
            (none, bridle.pull.clone())
        }
    } else {
        let half_pull = &bridle.pull / 2.0;
        (
            &half_pull * (&straight + &lean),
            half_pull * (straight - lean),
        )
    };
    let direction = |side: f64| {
        if one_leg_slack {
            // The taut leg lies along the pull; the loose one is given the same direction.
            let (right, ahead) = bridle.off_centre.value().sin_cos();
            leg_direction(ahead, right, bridle)
        } else {
            leg_direction(sine.value(), side * cosine.value(), bridle)
        }
    };
    let angle = finite((reach / half).atan(), Quantity::LegAngle)?;
    Ok(BridleLegs {
        left_direction: direction(1.0),
        right_direction: direction(-1.0),
        steep_enough: Limit::AtLeast(MIN_LEG_ANGLE).verdict(Some(angle.uncertain())),
        angle,
        left: finite(left, Quantity::Pull)?,
        right: finite(right, Quantity::Pull)?,
        one_leg_slack,
    })
}

/// Tilts a leg's direction in the bridle's plane up to the pull's elevation.
fn leg_direction(ahead: f64, right: f64, bridle: &Bridle) -> [f64; 3] {
    let (rise, level) = bridle.elevation.value().sin_cos();
    [ahead * level, right, ahead * rise]
}

fn check(bridle: &Bridle) -> Result<(), WinchingError> {
    check_positive(&bridle.spread, Quantity::Spread)?;
    check_positive(&bridle.leg_length, Quantity::LegLength)?;
    check_positive(&bridle.pull, Quantity::Pull)?;
    check_range(
        &bridle.off_centre,
        Quantity::OffCentre,
        -FRAC_PI_2,
        FRAC_PI_2,
    )?;
    check_range(
        &bridle.elevation,
        Quantity::Elevation,
        -FRAC_PI_2,
        FRAC_PI_2,
    )?;
    let (leg, spread) = (bridle.leg_length.value(), bridle.spread.value());
    if leg * 2.0 <= spread {
        return Err(WinchingError::LegsDoNotMeet { leg, spread });
    }
    Ok(())
}

/// Returns by how much a leg's tension exceeds its share of the load: 1 / sin of its angle to the
/// level, or to the line between two points.
///
/// # Errors
/// An angle that is not above 0 and at most 90°.
pub fn leg_factor(angle: &Tracked) -> Result<Tracked, WinchingError> {
    check_positive(angle, Quantity::LegAngle)?;
    check_range(angle, Quantity::LegAngle, 0.0, FRAC_PI_2)?;
    finite(1.0 / angle.sin(), Quantity::LegAngle)
}

/// Returns the same factor from a leg's length and the height that it spans: L / H.
///
/// # Errors
/// Lengths that are not more than zero, and a height above the length.
pub fn leg_factor_by_lengths(length: &Tracked, height: &Tracked) -> Result<Tracked, WinchingError> {
    check_positive(length, Quantity::LegLength)?;
    check_positive(height, Quantity::SlingHeight)?;
    check_range(height, Quantity::SlingHeight, 0.0, length.value())?;
    finite(length / height, Quantity::LegAngle)
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{close, degrees, exact, input};
    use super::*;
    use proptest::prelude::*;

    fn factor(angle: f64) -> f64 {
        leg_factor(&degrees(angle)).unwrap().value()
    }

    fn by_lengths(length: f64, height: f64) -> f64 {
        leg_factor_by_lengths(&exact(length), &exact(height))
            .unwrap()
            .value()
    }

    fn legs(spread: f64, leg: f64, off_centre: f64) -> BridleLegs {
        bridle(&Bridle {
            spread: exact(spread),
            leg_length: exact(leg),
            pull: exact(1000.0),
            off_centre: degrees(off_centre),
            elevation: exact(0.0),
        })
        .unwrap()
    }

    /// Sling load-factor chart (secondary), read second-hand: angles from the horizontal. A cosine of
    /// that angle, as some calculators take it, would give 2.0 at 60°.
    #[test]
    fn printed_sling_factors() {
        for (angle, printed) in [
            (90.0, 1.000),
            (85.0, 1.004),
            (80.0, 1.015),
            (75.0, 1.035),
            (70.0, 1.064),
            (65.0, 1.104),
            (60.0, 1.155),
            (55.0, 1.221),
            (50.0, 1.305),
            (45.0, 1.414),
            (40.0, 1.555),
            (35.0, 1.742),
            (30.0, 2.000),
        ] {
            close(factor(angle), printed, 0.002);
        }
    }

    /// Sling load-factor charts (secondary), read second-hand.
    #[test]
    fn printed_sling_examples() {
        close(8000.0 / by_lengths(96.0, 84.0), 7000.0, 1e-9);
        close(1200.0 * by_lengths(120.0, 96.0), 1500.0, 1e-9);
        close(500.0 * factor(60.0), 577.0, 0.5);
        close(500.0 * factor(45.0), 707.0, 0.5);
    }

    /// BC Crane Safety rigging practice quiz, read: 15,000 lb on two slings of 16 ft, 12 ft high.
    #[test]
    fn crane_safety_quiz_load_of_each_shackle() {
        close(7500.0 * by_lengths(16.0, 12.0), 10_000.0, 1e-9);
    }

    /// US Navy NAVEDTRA 14080 / 14251, read: a bridle's safe load is the vertical one times H/L times
    /// 2, and the same factor of 2 for three and four legs.
    #[test]
    fn navy_safe_load_of_a_bridle() {
        close(2.0 * 1000.0 / by_lengths(10.0, 8.0), 1600.0, 1e-9);
    }

    /// Ohio Administrative Code 4123:1-3-08, alloy chain slings, read: double = 2·S·sin, triple and
    /// quad = 3·S·sin. The cell of 5,560 lb swaps digits; the federal table prints 5,650 (from
    /// memory), which is used here.
    #[test]
    fn alloy_chain_sling_table() {
        let rows = [
            (3250.0, [5650.0, 4550.0, 3250.0], [8400.0, 6800.0, 4900.0]),
            (
                6600.0,
                [11_400.0, 9300.0, 6600.0],
                [17_000.0, 14_000.0, 9900.0],
            ),
            (
                11_250.0,
                [19_500.0, 15_900.0, 11_250.0],
                [29_000.0, 24_000.0, 17_000.0],
            ),
        ];
        for (single, double, quad) in rows {
            for ((angle, double), quad) in [60.0, 45.0, 30.0].into_iter().zip(double).zip(quad) {
                close(2.0 * single / factor(angle), double, double * 0.015);
                close(3.0 * single / factor(angle), quad, quad * 0.015);
            }
        }
    }

    /// 29 CFR 1918 App. II Table 2, natural fibre rope of 1 in, read second-hand: a basket of 3,600 lb
    /// falls to 3,100, 2,600 and 1,800 at 30, 45 and 60° from the vertical.
    #[test]
    fn fibre_rope_basket_by_angle_from_the_vertical() {
        for (vertical, printed) in [
            (0.0, 3600.0),
            (30.0, 3100.0),
            (45.0, 2600.0),
            (60.0, 1800.0),
        ] {
            close(3600.0 / factor(90.0 - vertical), printed, printed * 0.03);
        }
    }

    #[test]
    fn a_straight_bridle_carries_the_sling_rule_on_both_legs() {
        let legs = legs(1.0, 1.0, 0.0);
        close(legs.angle.value().to_degrees(), 60.0, 1e-9);
        close(legs.left.value(), 577.350, 5e-4);
        close(legs.right.value(), 577.350, 5e-4);
        close(legs.left_direction[1], 0.5, 1e-12);
        close(legs.right_direction[1], -0.5, 1e-12);
    }

    #[test]
    fn a_pull_far_off_centre_leaves_one_leg_slack() {
        let right = legs(1.0, 1.0, 40.0);
        assert!(right.one_leg_slack);
        close(right.left.value(), 1000.0, 1e-9);
        close(right.right.value(), 0.0, 0.0);
        close(right.left_direction[1], 40f64.to_radians().sin(), 1e-12);
        let left = legs(1.0, 1.0, -40.0);
        close(left.right.value(), 1000.0, 1e-9);
        assert!(!legs(1.0, 1.0, 20.0).one_leg_slack);
    }

    #[test]
    fn flat_legs_are_told() {
        // cos β = (s/2) / l: legs of 0.578 m meet 1 m of spread at 30.1°, of 0.577 m at 29.9°.
        assert_eq!(legs(1.0, 0.578, 0.0).steep_enough, Verdict::Within);
        assert_eq!(legs(1.0, 0.577, 0.0).steep_enough, Verdict::Beyond);
        let near = |leg: f64| {
            bridle(&Bridle {
                spread: input(1.0, 0.02),
                leg_length: exact(leg),
                pull: exact(1000.0),
                off_centre: exact(0.0),
                elevation: exact(0.0),
            })
            .unwrap()
            .steep_enough
        };
        assert_eq!(near(0.58), Verdict::TooCloseToCall);
        assert_eq!(near(0.505), Verdict::Beyond);
    }

    #[test]
    fn a_raised_pull_raises_the_legs() {
        let raised = bridle(&Bridle {
            spread: exact(1.0),
            leg_length: exact(1.0),
            pull: exact(1000.0),
            off_centre: exact(0.0),
            elevation: degrees(30.0),
        })
        .unwrap();
        close(
            raised.left_direction[2],
            60f64.to_radians().sin() * 0.5,
            1e-12,
        );
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let attempt = |spread: f64, leg: f64, off: f64| {
            bridle(&Bridle {
                spread: exact(spread),
                leg_length: exact(leg),
                pull: exact(1.0),
                off_centre: exact(off),
                elevation: exact(0.0),
            })
        };
        assert!(matches!(
            attempt(2.0, 1.0, 0.0),
            Err(WinchingError::LegsDoNotMeet { .. })
        ));
        for (spread, leg, off) in [
            (0.0, 1.0, 0.0),
            (1.0, -1.0, 0.0),
            (1.0, f64::NAN, 0.0),
            (1.0, 1.0, 1.6),
            (1.0, 1.0, f64::NAN),
        ] {
            assert!(attempt(spread, leg, off).is_err());
        }
        assert!(leg_factor(&exact(0.0)).is_err());
        assert!(leg_factor(&exact(1.6)).is_err());
        assert!(leg_factor_by_lengths(&exact(1.0), &exact(1.1)).is_err());
    }

    #[test]
    fn the_uncertainty_of_the_spread_comes_through() {
        let at = |spread: Tracked| {
            bridle(&Bridle {
                spread,
                leg_length: exact(0.9),
                pull: exact(1000.0),
                off_centre: exact(0.0),
                elevation: exact(0.0),
            })
            .unwrap()
            .left
        };
        let slope = (at(exact(1.2 + 1e-6)).value() - at(exact(1.2 - 1e-6)).value()) / 2e-6;
        close(at(input(1.2, 0.01)).u(), slope * 0.01, 1e-6);
    }

    proptest! {
        #[test]
        fn the_legs_balance_the_pull_and_mirror(
            spread in 0.3..1.4f64, leg in 0.8..2.0f64, off in -15.0..15.0f64,
        ) {
            let pulled = legs(spread, leg, off);
            prop_assume!(!pulled.one_leg_slack);
            let along = |axis: usize| {
                pulled.left.value() * pulled.left_direction[axis]
                    + pulled.right.value() * pulled.right_direction[axis]
            };
            let (sine, cosine) = off.to_radians().sin_cos();
            prop_assert!((along(0) - 1000.0 * cosine).abs() < 1e-9);
            prop_assert!((along(1) - 1000.0 * sine).abs() < 1e-9);
            let mirrored = legs(spread, leg, -off);
            prop_assert!((mirrored.left.value() - pulled.right.value()).abs() < 1e-9);
        }

        #[test]
        fn longer_legs_carry_less(spread in 0.3..1.4f64, leg in 0.8..2.0f64) {
            prop_assert!(legs(spread, leg + 0.1, 0.0).left.value() < legs(spread, leg, 0.0).left.value());
        }
    }
}

//! Axle and side loads of a vehicle at rest on level ground, from mass and centre of gravity.
//!
//! # Free body
//! The weight W acts x behind the front axle and y to the right. Two supports carry it: the axles, L
//! apart; or, seen from the rear, the two sides, T apart. Two supports and two balances: the loads
//! are determinate.
//!
//! - front = W·(L − x) / L, rear = W·x / L. Jazar, *Vehicle Dynamics* (2008), eqs 2.15-2.16, read
//!   second-hand.
//! - left = W·(T/2 − y) / T, right = W·(T/2 + y) / T: the lateral formula of "Vehicle Inertial
//!   Measurements" (course notes) turned round.
//!
//! # Valid for
//! Two axles. Three and more on one rigid frame are statically indeterminate: their loads depend on
//! the springs. The loads of single wheels are indeterminate in the same way.

use super::error::{Axle, MassError, Quantity, check_finite, check_positive, finite};
use crate::propagation::Tracked;

/// Loads of two axles, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleLoads {
    /// Load of the whole front axle.
    pub front: Tracked,
    /// Load of the whole rear axle.
    pub rear: Tracked,
}

/// Loads of the two sides, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct SideLoads {
    /// Load of all wheels on the left.
    pub left: Tracked,
    /// Load of all wheels on the right.
    pub right: Tracked,
}

/// Computes the loads of two axles from mass and centre of gravity.
///
/// `x` in metres behind the front axle.
///
/// # Errors
/// A mass or wheelbase that is not more than zero, anything that is not finite, and a centre of
/// gravity outside the wheelbase ([`MassError::AxleWouldLift`]).
pub fn axle_loads(
    mass: &Tracked,
    x: &Tracked,
    wheelbase: &Tracked,
) -> Result<AxleLoads, MassError> {
    check_positive(mass, Quantity::TotalMass)?;
    check_positive(wheelbase, Quantity::Wheelbase)?;
    check_finite(x, Quantity::DistanceBehindFrontAxle)?;
    if x.value() < 0.0 {
        return Err(MassError::AxleWouldLift { axle: Axle::Rear });
    }
    if x.value() > wheelbase.value() {
        return Err(MassError::AxleWouldLift { axle: Axle::Front });
    }
    let rear = mass * x / wheelbase;
    let front = mass - &rear;
    Ok(AxleLoads {
        front: finite(front, Quantity::LevelLoad(Axle::Front))?,
        rear: finite(rear, Quantity::LevelLoad(Axle::Rear))?,
    })
}

/// Computes the loads of the two sides from mass and lateral offset.
///
/// `y` in metres to the vehicle's right; `track` is that of the vehicle, or the mean of both axles
/// weighted by their loads.
///
/// # Errors
/// A mass or track that is not more than zero, anything that is not finite, and an offset beyond
/// half the track ([`MassError::SideWouldLift`]).
pub fn side_loads(mass: &Tracked, y: &Tracked, track: &Tracked) -> Result<SideLoads, MassError> {
    check_positive(mass, Quantity::TotalMass)?;
    check_positive(track, Quantity::VehicleTrack)?;
    check_finite(y, Quantity::LateralOffset)?;
    if y.value().abs() > track.value() / 2.0 {
        return Err(MassError::SideWouldLift { offset: y.value() });
    }
    let right = mass * (0.5 + y / track);
    let left = mass - &right;
    Ok(SideLoads {
        left: finite(left, Quantity::SideLoad)?,
        right: finite(right, Quantity::SideLoad)?,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::horizontal::{AxleLoad, AxleReading, from_axle_readings};
    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn check(mass: f64, x: f64, wheelbase: f64, front: f64, rear: f64, tolerance: f64) {
        let loads = axle_loads(&exact(mass), &exact(x), &exact(wheelbase)).unwrap();
        close(loads.front.value(), front, tolerance);
        close(loads.rear.value(), rear, tolerance);
    }

    /// Jazar, *Vehicle Dynamics*, Exercises 2.1 to 2.5, read second-hand; the loads are arithmetic
    /// from the formula.
    #[test]
    fn jazar_exercises_2_1_to_2_5() {
        check(1765.0, 1.22, 2.84, 1006.796, 758.204, 5e-4);
        check(1765.0 * 9.81, 1.22, 2.84, 9876.7, 7438.0, 0.05);
        check(1245.0, 1.100, 2.423, 679.792, 565.208, 5e-4);
        check(1245.0 * 9.81, 1.100, 2.423, 6668.8, 5544.7, 0.05);
        let x = 97.5 * 1.131 / 2.131;
        close(x, 51.747, 5e-4);
        check(1400.0, x, 97.5, 656.969, 743.031, 5e-4);
        // Front over rear load 1.22: the centre of gravity divides the wheelbase the other way.
        check(5091.0, 1.0 / 2.22, 1.0, 2797.76, 2293.24, 5e-3);
        check(3000.0, 94.89 * 0.831 / 1.831, 94.89, 1638.45, 1361.55, 5e-3);
    }

    /// Two worked exercises discussed in a physics forum, read second-hand; both printed newtons.
    /// One thread's error was to take an axle's load for a wheel's.
    #[test]
    fn an_axle_carries_two_wheels() {
        let loads = axle_loads(&exact(1430.0 * 9.81), &exact(1.406), &exact(2.378)).unwrap();
        close(loads.rear.value(), 8294.0, 0.5);
        close(loads.rear.value() / 2.0, 4147.1, 0.05);
        close(loads.front.value() / 2.0, 2867.0, 0.05);
        let loads = axle_loads(&exact(1360.0 * 9.8), &exact(1.78), &exact(3.05)).unwrap();
        close(loads.front.value() / 2.0, 2774.8, 0.05);
        close(loads.rear.value() / 2.0, 3889.2, 0.05);
    }

    /// Heavy-truck body builder manual App. B (2014), read second-hand. For the first it prints
    /// 62.14 and, by a slip, 38.86 for the front; 37.85 is what is left of 100.
    #[test]
    fn body_builder_manual_loads_on_a_214_inch_wheelbase() {
        check(100.0, 133.0, 214.0, 37.85, 62.15, 5e-3);
        check(14_500.0, 156.0, 214.0, 3929.9, 10_570.0, 0.1);
    }

    /// 4205.4 lb, 61.7 in, one inch off centre; arithmetic from the formula, no citation.
    #[test]
    fn the_side_towards_the_offset_is_the_heavy_one() {
        let loads = side_loads(&exact(4205.4), &exact(1.0), &exact(61.7)).unwrap();
        close(loads.right.value(), 2170.86, 5e-3);
        close(loads.left.value(), 2034.54, 5e-3);
    }

    #[test]
    fn a_centre_of_gravity_outside_the_supports_is_refused() {
        let axles = |x: f64| axle_loads(&exact(1000.0), &exact(x), &exact(2.5));
        let lifts = |axle| Err(MassError::AxleWouldLift { axle });
        assert_eq!(axles(-0.1), lifts(Axle::Rear));
        assert_eq!(axles(2.6), lifts(Axle::Front));
        let sides = |y: f64| side_loads(&exact(1000.0), &exact(y), &exact(1.5));
        assert_eq!(sides(0.8), Err(MassError::SideWouldLift { offset: 0.8 }));
        assert_eq!(sides(-0.8), Err(MassError::SideWouldLift { offset: -0.8 }));
    }

    #[test]
    fn inputs_that_are_no_numbers_or_not_positive_are_refused() {
        let one = exact(1.0);
        for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
            let bad = exact(bad);
            for result in [
                axle_loads(&bad, &one, &one),
                axle_loads(&one, &bad, &one),
                axle_loads(&one, &one, &bad),
            ] {
                assert!(
                    matches!(result, Err(MassError::NotFinite { .. })),
                    "{result:?}"
                );
            }
            for result in [
                side_loads(&bad, &one, &one),
                side_loads(&one, &bad, &one),
                side_loads(&one, &one, &bad),
            ] {
                assert!(
                    matches!(result, Err(MassError::NotFinite { .. })),
                    "{result:?}"
                );
            }
        }
        for bad in [0.0, -1.0] {
            let bad = exact(bad);
            for result in [axle_loads(&bad, &one, &one), axle_loads(&one, &one, &bad)] {
                assert!(
                    matches!(result, Err(MassError::NotPositive { .. })),
                    "{result:?}"
                );
            }
        }
    }

    proptest! {
        #[test]
        fn loads_add_up_and_lead_back_to_the_centre_of_gravity(
            mass in 200.0..20_000.0f64, wheelbase in 1.5..7.0f64, part in 0.01..0.99f64,
        ) {
            let mut bench = Bench::default();
            let mass = bench.input(mass, 4.0);
            let x = bench.input(part * wheelbase, 0.004);
            let wheelbase = bench.input(wheelbase, 0.002);
            let loads = axle_loads(&mass, &x, &wheelbase).unwrap();
            let rest = &loads.front + &loads.rear - &mass;
            prop_assert!(rest.value().abs() < 1e-9 && rest.u() < 1e-9);
            let back = from_axle_readings(&[
                AxleReading::front(AxleLoad::Total(loads.front)),
                AxleReading::at(wheelbase, AxleLoad::Total(loads.rear)),
            ]).unwrap();
            prop_assert!((back.x.value() - x.value()).abs() < 1e-12 * (1.0 + x.value()));
            prop_assert!((back.x.u() - x.u()).abs() < 1e-12, "shared inputs cancel on the way back");
        }

        #[test]
        fn mirroring_the_offset_swaps_the_sides(y in -0.7..0.7f64) {
            let side = |y: f64| side_loads(&exact(1500.0), &exact(y), &exact(1.5)).unwrap();
            prop_assert!((side(y).left.value() - side(-y).right.value()).abs() < 1e-9);
        }
    }
}

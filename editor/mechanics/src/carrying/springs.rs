//! Axle loads of a rigid frame on more than two sprung axles.
//!
//! # Free body
//! A rigid frame of mass m with its centre at X rests on axles at xᵢ with springs of stiffness kᵢ. It
//! sinks by z and tilts by t, so axle i carries kᵢ·(z + t·xᵢ). Force and moment balance give two
//! equations for z and t:
//!
//! ```text
//!   z·Σk + t·Σk·x = m        z·Σk·x + t·Σk·x² = m·X
//! ```
//!
//! The scale of the stiffness does not matter, only the ratios. Loads are in kilograms. Source: Jazar,
//! *Vehicle Dynamics* (1st ed. 2008), eqs 2.265-2.268, second-hand. The closed form that the same book
//! prints after them gives −1/2 of the answer and is not used.

use super::error::{CarryingError, Field, check_finite, check_positive};
use crate::propagation::Tracked;

/// An axle on springs.
#[derive(Debug, Clone, PartialEq)]
pub struct SpringAxle {
    /// Metres behind the front axle.
    pub place: Tracked,
    /// Stiffness of its springs together, in any unit that all axles share.
    pub stiffness: Tracked,
}

/// Computes the loads of axles that spring on their own, kilograms, in the order given.
///
/// A negative load means that the axle would hang from its springs. For a tandem that shares its load
/// evenly, give one axle at its middle instead: the two models differ by several percent.
///
/// # Errors
/// Fewer than two axles or all at one place, a mass or stiffness that is not more than zero, and
/// anything that is not finite.
pub fn spring_loads(
    mass: &Tracked,
    centre: &Tracked,
    axles: &[SpringAxle],
) -> Result<Vec<Tracked>, CarryingError> {
    check_positive(mass, Field::LoadMass(0))?;
    check_finite(centre, Field::LoadPlace(0))?;
    for (index, axle) in axles.iter().enumerate() {
        check_positive(&axle.stiffness, Field::SpringStiffness(index))?;
        check_finite(&axle.place, Field::LoadPlace(index))?;
    }
    let sum = |power: fn(&SpringAxle) -> Tracked| {
        Tracked::sum(&axles.iter().map(power).collect::<Vec<_>>())
    };
    let k = sum(|axle| axle.stiffness.clone());
    let kx = sum(|axle| &axle.stiffness * &axle.place);
    let kxx = sum(|axle| &axle.stiffness * &axle.place * &axle.place);
    let determinant = &k * &kxx - &kx * &kx;
    let apart = determinant.value() > 1e-12 * (&k * &kxx).value();
    if axles.len() < 2 || !apart {
        return Err(CarryingError::AxlesNotApart);
    }
    let moment = mass * centre;
    let sink = (mass * &kxx - &moment * &kx) / &determinant;
    let tilt = (&moment * &k - mass * &kx) / &determinant;
    Ok(axles
        .iter()
        .map(|axle| &axle.stiffness * (&sink + &tilt * &axle.place))
        .collect())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    #[track_caller]
    fn check(centre: f64, axles: &[(f64, f64)], expected: &[f64]) {
        let axles: Vec<_> = axles
            .iter()
            .map(|&(place, stiffness)| SpringAxle {
                place: exact(place),
                stiffness: exact(stiffness),
            })
            .collect();
        let loads = spring_loads(&exact(20_000.0), &exact(centre), &axles).unwrap();
        assert_eq!(loads.len(), expected.len());
        for (load, expected) in loads.iter().zip(expected) {
            close(load.value(), *expected, 2e-3);
        }
    }

    /// Arithmetic from the formula, no citation: three models of one truck differ by up to 6 % on an
    /// axle.
    #[test]
    fn three_axles_share_by_their_springs() {
        let equal = [(0.0, 1.0), (4.5, 1.0), (5.8, 1.0)];
        check(3.6, &equal, &[6048.938, 6858.582, 7092.479]);
        let stiffer_tandem = [(0.0, 1.0), (4.5, 1.5), (5.8, 1.5)];
        check(3.6, &stiffer_tandem, &[5958.352, 7262.738, 6778.910]);
        let one_support = [(0.0, 1.0), (5.15, 1.0)];
        check(3.6, &one_support, &[6019.417, 2.0 * 6990.291]);
    }

    /// Jazar, *Vehicle Dynamics* (2008), eqs 2.265-2.268 in matrix form, second-hand: newtons per wheel
    /// with g = 9.81, the same truck with distances from its centre.
    #[test]
    fn jazar_s_three_axle_matrix_gives_the_same() {
        let axles = [-3.6, 0.9, 2.2].map(|place| SpringAxle {
            place: exact(place),
            stiffness: exact(1.0),
        });
        let loads = spring_loads(&exact(20_000.0), &exact(0.0), &axles).unwrap();
        for (load, newtons) in loads.iter().zip([29_670.04, 33_641.35, 34_788.61]) {
            close(load.value() * 9.81 / 2.0, newtons, 5e-3);
        }
    }

    #[test]
    fn axles_at_one_place_are_refused() {
        let axle = |place: f64, stiffness: f64| SpringAxle {
            place: exact(place),
            stiffness: exact(stiffness),
        };
        let refused = |axles: &[SpringAxle]| spring_loads(&exact(1.0), &exact(0.0), axles);
        assert_eq!(refused(&[]), Err(CarryingError::AxlesNotApart));
        assert_eq!(
            refused(&[axle(1.0, 1.0)]),
            Err(CarryingError::AxlesNotApart)
        );
        let same = [axle(1.0, 1.0), axle(1.0, 2.0)];
        assert_eq!(refused(&same), Err(CarryingError::AxlesNotApart));
        let soft = refused(&[axle(0.0, 1.0), axle(1.0, 0.0)]).unwrap_err();
        assert!(soft.to_string().contains("spring stiffness of axle 2"));
    }

    proptest! {
        #[test]
        fn sprung_axles_carry_the_whole_at_its_place(
            centre in 0.0..6.0f64, middle in 1.0..5.0f64, stiff in 0.2..5.0f64,
        ) {
            let mut bench = Bench::default();
            let mass = bench.input(9000.0, 10.0);
            let centre = bench.input(centre, 0.01);
            let axles = [(0.0, 1.0), (middle, stiff), (6.0, 1.0)].map(|(place, stiffness)| SpringAxle {
                place: bench.input(place, 0.01),
                stiffness: bench.input(stiffness, 0.05),
            });
            let loads = spring_loads(&mass, &centre, &axles).unwrap();
            let total = Tracked::sum(&loads) - &mass;
            prop_assert!(total.value().abs() < 1e-8 && total.u() < 1e-8);
            let turns = loads
                .iter()
                .zip(&axles)
                .fold(-(&mass * &centre), |sum, (load, axle)| sum + load * &axle.place);
            prop_assert!(turns.value().abs() < 1e-7 && turns.u() < 1e-7);
        }
    }
}

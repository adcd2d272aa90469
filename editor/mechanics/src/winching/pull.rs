//! The pull that moves a vehicle up a slope.
//!
//! # Free body
//! The vehicle's weight acts at its centre of gravity; the slope θ splits it into a part along the
//! plane and a part that presses on the wheels, axle by axle. Each axle resists by its coefficient:
//! a wheel that rolls, drags (locked: friction of rubber on the surface) or lies on a skate. The line
//! pulls along the plane. It balances all of that at a steady crawl:
//!
//! - P = W·s(θ) + Σ cᵢ·Wᵢ·n(θ), with s = sin and n = cos for the exact rule; see
//!   [`GradeRule`](super::GradeRule) for the field rule.
//!
//! Statics; the coefficients have their own sources.
//!
//! # Valid for
//! A line along the surface, at a crawl: nothing for starting with a jerk. Axle loads as on level
//! ground: on the slope some load moves to the lower axle (W·sin θ·h / L), and the pull at its own
//! height takes about as much away again.

use super::error::{Quantity, WinchingError, check_finite, check_positive, finite};
use super::grade::GradeRule;
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;

/// What the wheels of an axle do while the vehicle is pulled, with the share of their load that it
/// takes.
#[derive(Debug, Clone, PartialEq)]
pub enum Wheels {
    /// They turn; rolling resistance.
    Rolling(Tracked),
    /// They are locked and slide; coefficient of friction.
    Dragging(Tracked),
    /// They are locked and lie on skates; the skates' resistance.
    OnSkates(Tracked),
}

impl Wheels {
    /// Returns the share of the load that pulls back.
    pub fn coefficient(&self) -> &Tracked {
        match self {
            Self::Rolling(share) | Self::Dragging(share) | Self::OnSkates(share) => share,
        }
    }
}

/// An axle that is pulled over a surface.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleOnSlope {
    /// What the axle carries on level ground, kilograms.
    pub load: Tracked,
    /// What its wheels do.
    pub wheels: Wheels,
}

/// The pull and its parts, newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePull {
    /// Against the slope.
    pub slope: Tracked,
    /// Against each axle's resistance, in the order given.
    pub axles: Vec<Tracked>,
    /// Both together.
    pub total: Tracked,
}

/// Computes the pull that moves a vehicle up a slope.
///
/// `slope` in radians, zero for level ground.
///
/// # Errors
/// No axle, loads or coefficients that are negative, no load at all, a slope that is none, and what
/// is not finite.
pub fn line_pull(
    axles: &[AxleOnSlope],
    slope: &Tracked,
    rule: GradeRule,
) -> Result<LinePull, WinchingError> {
    if axles.is_empty() {
        return Err(WinchingError::NoAxles);
    }
    for (index, axle) in axles.iter().enumerate() {
        check_not_negative(&axle.load, Quantity::AxleLoad(index))?;
        check_not_negative(axle.wheels.coefficient(), Quantity::AxleCoefficient(index))?;
    }
    let mass = Tracked::sum(axles.iter().map(|axle| &axle.load));
    check_positive(&mass, Quantity::Mass)?;
    let along = rule.share(slope)? * mass * STANDARD_GRAVITY;
    let normal = rule.normal_share(slope)? * STANDARD_GRAVITY;
    let parts: Vec<_> = axles
        .iter()
        .map(|axle| &normal * &axle.load * axle.wheels.coefficient())
        .collect();
    let total = &along + Tracked::sum(&parts);
    Ok(LinePull {
        slope: along,
        axles: parts,
        total: finite(total, Quantity::Pull)?,
    })
}

fn check_not_negative(number: &Tracked, quantity: Quantity) -> Result<(), WinchingError> {
    check_finite(number, quantity)?;
    let value = number.value();
    if value >= 0.0 {
        Ok(())
    } else {
        Err(WinchingError::OutOfRange {
            quantity,
            value,
            low: 0.0,
            high: f64::INFINITY,
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{close, degrees, exact, input};
    use super::super::{ResistanceRules, Surface};
    use super::*;
    use proptest::prelude::*;

    fn rolling(load: f64, share: f64) -> AxleOnSlope {
        AxleOnSlope {
            load: exact(load),
            wheels: Wheels::Rolling(exact(share)),
        }
    }

    /// Winch maker's brochure p. 34 (secondary source), read second-hand: 2,000 kg on gravel at 15°:
    /// 500 for the slope, 400 for the surface, 900 kg in all.
    #[test]
    fn brochure_example_of_2000_kg_on_gravel_at_15_degrees() {
        let gravel = ResistanceRules::WinchBrochure
            .coefficient(Surface::Gravel)
            .unwrap();
        let axle = rolling(2000.0, gravel.value);
        let pull = line_pull(&[axle], &degrees(15.0), GradeRule::SixtiethRule).unwrap();
        close(pull.slope.value() / STANDARD_GRAVITY, 500.0, 1e-9);
        close(pull.axles[0].value() / STANDARD_GRAVITY, 400.0, 1e-9);
        close(pull.total.value() / STANDARD_GRAVITY, 900.0, 1e-9);
    }

    /// Winch operating guide (secondary source), read second-hand: 6,000 lb on a 60 % grade take
    /// about 3,060 lb; the guide rounds the sine to 51 %.
    #[test]
    fn guide_example_of_6000_lb_on_a_60_percent_grade() {
        let slope = exact(0.6).atan();
        let pull = line_pull(&[rolling(6000.0, 0.0)], &slope, GradeRule::Exact).unwrap();
        close(pull.total.value() / STANDARD_GRAVITY, 3060.0, 30.0);
    }

    /// Arithmetic from the formula, no citation; f = 0.013 is the Bosch handbook's, from memory.
    #[test]
    fn a_car_of_2500_kg_on_a_10_percent_grade() {
        let slope = exact(0.1).atan();
        let axles = [rolling(1300.0, 0.013), rolling(1200.0, 0.013)];
        let pull = line_pull(&axles, &slope, GradeRule::Exact).unwrap();
        close(pull.slope.value(), 2439.5, 0.05);
        let resistance = pull.axles[0].value() + pull.axles[1].value();
        close(resistance, 317.1, 0.05);
        close(pull.total.value(), 2756.6, 0.1);
    }

    #[test]
    fn one_locked_axle_adds_only_its_own_friction() {
        let dragging = AxleOnSlope {
            load: exact(900.0),
            wheels: Wheels::Dragging(exact(0.7)),
        };
        let skated = AxleOnSlope {
            load: exact(900.0),
            wheels: Wheels::OnSkates(exact(0.12)),
        };
        let level = exact(0.0);
        let pull = |rear: AxleOnSlope| {
            line_pull(&[rolling(1100.0, 0.02), rear], &level, GradeRule::Exact)
                .unwrap()
                .total
                .value()
                / STANDARD_GRAVITY
        };
        close(pull(rolling(900.0, 0.02)), 40.0, 1e-9);
        close(pull(dragging), 22.0 + 630.0, 1e-9);
        close(pull(skated), 22.0 + 108.0, 1e-9);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let level = exact(0.0);
        let rule = GradeRule::Exact;
        assert_eq!(line_pull(&[], &level, rule), Err(WinchingError::NoAxles));
        for bad in [
            rolling(-1.0, 0.1),
            rolling(f64::NAN, 0.1),
            rolling(1000.0, -0.1),
            rolling(1000.0, f64::INFINITY),
            rolling(0.0, 0.1),
        ] {
            assert!(
                line_pull(std::slice::from_ref(&bad), &level, rule).is_err(),
                "{bad:?}"
            );
        }
        assert!(line_pull(&[rolling(1e308, 1e308)], &level, rule).is_err());
    }

    #[test]
    fn a_shared_load_counts_once() {
        let load = input(1000.0, 5.0);
        let axle = AxleOnSlope {
            load,
            wheels: Wheels::Rolling(exact(0.1)),
        };
        let pull = line_pull(&[axle], &degrees(30.0), GradeRule::Exact).unwrap();
        let per_kg = (0.5 + 0.1 * 30f64.to_radians().cos()) * STANDARD_GRAVITY;
        close(pull.total.u(), 5.0 * per_kg, 1e-9);
    }

    proptest! {
        #[test]
        fn the_pull_grows_with_mass_and_slope_and_scales_with_the_mass(
            front in 300.0..3000.0f64, rear in 300.0..3000.0f64,
            slope in 0.0..40.0f64, share in 0.0..0.8f64, factor in 1.01..3.0f64,
        ) {
            let axles = |by: f64| [rolling(front * by, share), rolling(rear * by, share)];
            for rule in GradeRule::ALL {
                let pull = |by: f64, slope: f64| {
                    line_pull(&axles(by), &degrees(slope), rule).unwrap().total.value()
                };
                let once = pull(1.0, slope);
                prop_assert!((pull(factor, slope) - factor * once).abs() < 1e-9 * once.max(1.0));
                prop_assert!(pull(factor, slope) >= once);
                prop_assert!(share > 0.0 || pull(1.0, slope + 1.0) > once);
            }
        }
    }
}

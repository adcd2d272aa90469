//! The part of a weight that pulls down a slope.
//!
//! # Free body
//! A weight W rests on a plane at the angle θ to the level. Its part along the plane is W·sin θ; its
//! part across it, which presses on the wheels, is W·cos θ.
//!
//! - [`GradeRule::Exact`]: share = sin θ, wheels are pressed by W·cos θ.
//! - [`GradeRule::SixtiethRule`]: share = θ in degrees / 60 up to 45°, the whole weight above, and the
//!   full weight on the wheels. Low by up to 4.5 % below 30°, high above. The rule steps at 45°: a slope
//!   that may be steeper counts as steeper.

use super::error::{Quantity, WinchingError, check_range};
use crate::propagation::Tracked;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};

/// Rounding of a conversion, so that 45° given in degrees are still 45°; radians.
const ROUNDING: f64 = 1e-9;

/// How a slope becomes a pull.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum GradeRule {
    /// The sine of the angle.
    Exact,
    /// One sixtieth of the weight for every degree.
    SixtiethRule,
}

impl GradeRule {
    /// Every rule.
    pub const ALL: [Self; 2] = [Self::Exact, Self::SixtiethRule];

    /// Returns the rule's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Exact => "Sine of the slope",
            Self::SixtiethRule => "One sixtieth of the weight per degree",
        }
    }

    /// Returns where the rule comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::Exact => "statics: weight times the sine of the angle",
            Self::SixtiethRule => {
                "winch operating guides (secondary source), read second-hand; attributed to US Army \
                 FM 20-22, from memory"
            }
        }
    }

    /// Returns the share of the weight that pulls down the slope.
    ///
    /// # Errors
    /// A slope that is not finite, or not from level to upright.
    pub fn share(self, slope: &Tracked) -> Result<Tracked, WinchingError> {
        check_range(slope, Quantity::Slope, 0.0, FRAC_PI_2)?;
        Ok(match self {
            Self::Exact => slope.sin(),
            Self::SixtiethRule if slope.uncertain().interval().high > FRAC_PI_4 + ROUNDING => {
                Tracked::exact(1.0)
            }
            Self::SixtiethRule => slope * (1f64.to_degrees() / 60.0),
        })
    }

    /// Returns the share of the weight that presses on the wheels.
    ///
    /// # Errors
    /// As [`share`](Self::share).
    pub fn normal_share(self, slope: &Tracked) -> Result<Tracked, WinchingError> {
        check_range(slope, Quantity::Slope, 0.0, FRAC_PI_2)?;
        Ok(match self {
            Self::Exact => slope.cos(),
            Self::SixtiethRule => Tracked::exact(1.0),
        })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, degrees, exact, input};
    use super::*;
    use proptest::prelude::*;
    use std::f64::consts::FRAC_1_SQRT_2;

    fn share(rule: GradeRule, slope: f64) -> f64 {
        rule.share(&degrees(slope)).unwrap().value()
    }

    /// sin(atan(g)): arithmetic from the formula, no citation. The printed percentages are those of
    /// a winch operating guide's grade table (secondary source), read second-hand.
    #[test]
    fn the_sine_of_a_grade_agrees_with_the_printed_table() {
        for (grade, sine, printed) in [
            (0.2, 0.1961, 20.0),
            (0.4, 0.3714, 37.0),
            (0.6, 0.5145, 51.0),
            (0.8, 0.6247, 62.0),
            (1.0, FRAC_1_SQRT_2, 71.0),
        ] {
            let slope = exact(grade).atan();
            let share = GradeRule::Exact.share(&slope).unwrap().value();
            close(share, sine, 5e-5);
            close(share * 100.0, printed, 0.5);
        }
    }

    /// Arithmetic from the formula, no citation.
    #[test]
    fn the_sine_of_small_grades_is_as_listed() {
        for (grade, sine) in [
            (0.02, 0.019_996),
            (0.05, 0.049_938),
            (0.06, 0.059_892),
            (0.10, 0.099_504),
            (0.30, 0.287_348),
        ] {
            let slope = exact(grade).atan();
            close(GradeRule::Exact.share(&slope).unwrap().value(), sine, 5e-7);
        }
    }

    /// Arithmetic from both formulas, no citation; 15° → 1/4 and 45° → 3/4 are printed in a winch
    /// operating guide (secondary source), read second-hand.
    #[test]
    fn the_sixtieth_rule_beside_the_sine() {
        for (angle, rule, sine) in [
            (5.0, 0.0833, 0.0872),
            (10.0, 0.1667, 0.1736),
            (15.0, 0.2500, 0.2588),
            (30.0, 0.5000, 0.5000),
            (45.0, 0.7500, FRAC_1_SQRT_2),
        ] {
            close(share(GradeRule::SixtiethRule, angle), rule, 5e-5);
            close(share(GradeRule::Exact, angle), sine, 5e-5);
        }
        close(share(GradeRule::SixtiethRule, 46.0), 1.0, 0.0);
    }

    #[test]
    fn a_slope_that_is_none_is_refused() {
        for bad in [-0.1, 1.6, f64::NAN, f64::INFINITY] {
            for rule in GradeRule::ALL {
                assert!(rule.share(&exact(bad)).is_err(), "{bad}");
                assert!(rule.normal_share(&exact(bad)).is_err(), "{bad}");
            }
        }
    }

    #[test]
    fn a_slope_that_may_be_above_45_degrees_counts_the_whole_weight() {
        let at = |slope: f64, u: f64| {
            let slope = input(slope.to_radians(), u.to_radians());
            GradeRule::SixtiethRule.share(&slope).unwrap().value()
        };
        close(at(44.0, 2.0), 1.0, 0.0);
        close(at(44.0, 0.4), 44.0 / 60.0, 1e-12);
        close(at(46.0, 2.0), 1.0, 0.0);
    }

    #[test]
    fn the_uncertainty_of_the_angle_comes_through() {
        let slope = input(0.2, 0.01);
        close(
            GradeRule::Exact.share(&slope).unwrap().u(),
            0.2f64.cos() * 0.01,
            1e-12,
        );
    }

    proptest! {
        #[test]
        fn the_sixtieth_rule_stays_near_the_sine(angle in 0.5..45.0f64) {
            let ratio = share(GradeRule::SixtiethRule, angle) / share(GradeRule::Exact, angle);
            prop_assert!((0.954..=1.0607).contains(&ratio), "{ratio}");
        }

        #[test]
        fn a_steeper_slope_pulls_more(a in 0.0..89.0f64, step in 0.01..1.0f64) {
            for rule in GradeRule::ALL {
                prop_assert!(share(rule, a + step) >= share(rule, a));
            }
        }
    }
}

//! Holding a vehicle back on the way down, and slopes that are too steep to tow on.
//!
//! # Free body
//! Going down, the slope pulls the vehicle on and its resistance helps the line:
//!
//! - H = W·sin θ − c·W·cos θ. The cautious figure counts no resistance: H = W·sin θ.
//!
//! Statics. Grades as limits of towing: TB 9-2350-292-10 pp. 21-23, read; percent grade is rise over
//! run.

use super::error::{Quantity, WinchingError, check_positive, check_range, finite};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};
use std::f64::consts::FRAC_PI_2;

/// The grade above which towing needs the command's permission, 25 %.
pub const TOW_GRADE_PERMISSION: f64 = 0.25;

/// The grade above which nothing is towed, 30 %.
pub const TOW_GRADE_NEVER: f64 = 0.30;

/// The force that holds a vehicle back, newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct HoldingBack {
    /// With no resistance counted: the figure to rely on.
    pub cautious: Tracked,
    /// Less the resistance; zero or less means that the vehicle does not roll by itself.
    pub expected: Option<Tracked>,
}

/// A grade against the limits of army towing.
#[derive(Debug, Clone, PartialEq)]
pub struct TowGrade {
    /// Rise over run.
    pub grade: Tracked,
    /// Against [`TOW_GRADE_PERMISSION`].
    pub without_permission: Verdict,
    /// Against [`TOW_GRADE_NEVER`].
    pub at_all: Verdict,
}

/// Computes the force that holds a vehicle back on a slope.
///
/// `mass` in kilograms, `slope` in radians, `resistance` as a share of the load on the wheels.
///
/// # Errors
/// A mass that is not more than zero, a slope that is not from level to upright, a negative
/// resistance, and what is not finite.
pub fn holding_back(
    mass: &Tracked,
    slope: &Tracked,
    resistance: Option<&Tracked>,
) -> Result<HoldingBack, WinchingError> {
    check_positive(mass, Quantity::Mass)?;
    check_range(slope, Quantity::Slope, 0.0, FRAC_PI_2)?;
    let weight = mass * STANDARD_GRAVITY;
    let cautious = &weight * slope.sin();
    let expected = match resistance {
        Some(share) => {
            check_range(share, Quantity::ResistanceFactor, 0.0, f64::MAX)?;
            let helped = &cautious - weight * slope.cos() * share;
            Some(finite(helped, Quantity::Pull)?)
        }
        None => None,
    };
    Ok(HoldingBack {
        cautious: finite(cautious, Quantity::Pull)?,
        expected,
    })
}

/// Judges a slope against the grades on which an army tows.
///
/// # Errors
/// A slope that is not from level to below upright.
pub fn tow_grade(slope: &Tracked) -> Result<TowGrade, WinchingError> {
    check_range(slope, Quantity::Slope, 0.0, FRAC_PI_2 * 0.999)?;
    let grade = finite(slope.tan(), Quantity::Slope)?;
    let judge = |most| Limit::AtMost(most).verdict(Some(grade.uncertain()));
    Ok(TowGrade {
        without_permission: judge(TOW_GRADE_PERMISSION),
        at_all: judge(TOW_GRADE_NEVER),
        grade,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, degrees, exact, input};
    use super::*;
    use proptest::prelude::*;

    /// Arithmetic from the formula, no citation.
    #[test]
    fn a_car_of_2000_kg_on_a_deck_of_15_degrees() {
        let held = holding_back(&exact(2000.0), &degrees(15.0), Some(&exact(0.02))).unwrap();
        close(held.cautious.value(), 5076.3, 0.1);
        close(held.expected.unwrap().value(), 4697.4, 0.1);
    }

    /// 25 ft in 100 ft are 25 % (TB 9-2350-292-10, read), and 14.04° (arithmetic from the formula).
    #[test]
    fn a_quarter_is_14_04_degrees() {
        close(exact(0.25).atan().value().to_degrees(), 14.04, 0.005);
        let at = |angle: f64| tow_grade(&degrees(angle)).unwrap();
        assert_eq!(at(14.0).without_permission, Verdict::Within);
        let steep = at(14.1);
        assert_eq!(
            (steep.without_permission, steep.at_all),
            (Verdict::Beyond, Verdict::Within)
        );
        assert_eq!(at(17.0).at_all, Verdict::Beyond);
        let vague = tow_grade(&input(14.0f64.to_radians(), 0.01)).unwrap();
        assert_eq!(vague.without_permission, Verdict::TooCloseToCall);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for (mass, slope) in [(0.0, 0.1), (f64::NAN, 0.1), (1.0, -0.1), (1.0, 2.0)] {
            assert!(holding_back(&exact(mass), &exact(slope), None).is_err());
        }
        let negative = exact(-0.1);
        assert!(holding_back(&exact(1.0), &exact(0.1), Some(&negative)).is_err());
        assert!(tow_grade(&exact(FRAC_PI_2)).is_err());
    }

    proptest! {
        #[test]
        fn resistance_only_ever_helps(
            mass in 500.0..5000.0f64, slope in 0.0..45.0f64, share in 0.0..1.0f64,
        ) {
            let held = holding_back(&exact(mass), &degrees(slope), Some(&exact(share))).unwrap();
            prop_assert!(held.expected.unwrap().value() <= held.cautious.value() + 1e-9);
        }
    }
}

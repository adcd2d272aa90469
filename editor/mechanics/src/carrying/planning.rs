//! The least class of carrier that a vehicle needs: among given carriers, or for planning without one.
//!
//! # Free body of the planning rule
//! The load stands wholly on the rear axle, the front axle keeps its empty load:
//! rear = R₀ + m, gross = F₀ + R₀ + m. With the empty mass a share of the gross rating, the rear axle
//! carrying a part of it, and the rear rating another share of the gross rating, both limits are
//! proportional to the class:
//!
//! ```text
//!   rear spare  = GVWR·(rear rating share − empty share·rear part)
//!   gross spare = GVWR·(1 − empty share)
//! ```
//!
//! Light two-axle carriers have short wheelbases, so their load does stand nearly wholly on the rear
//! axle; longer ones share some of it to the front, so for them the rule is on the cautious side.

use super::condition::{Figures, Sense};
use super::error::{CarryingError, Field, check_positive};
use crate::propagation::Tracked;
use crate::verdict::Verdict;

const POUND: f64 = 0.453_592_37;

/// A class of carrier in a planning rule.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlanningClass {
    /// Gross rating, kilograms.
    pub gross_rating: f64,
    /// Empty mass as a share of the gross rating.
    pub empty_share: f64,
    /// What the rear axle carries of the empty mass, as a share of it.
    pub rear_part: f64,
    /// Rear axle rating as a share of the gross rating.
    pub rear_rating_share: f64,
}

/// A named set of classes for planning, from the least rating up.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanningRule {
    /// What the set is called in a result.
    pub name: &'static str,
    /// Where its numbers come from.
    pub source: &'static str,
    /// The classes, from the least gross rating up.
    pub classes: Vec<PlanningClass>,
}

/// How a class of carrier takes a load.
#[derive(Debug, Clone, PartialEq)]
pub struct ClassOutcome {
    /// The class.
    pub class: PlanningClass,
    /// Rear axle load against its rating, kilograms.
    pub rear: Figures,
    /// Gross weight against its rating, kilograms.
    pub gross: Figures,
    /// The worse of both verdicts.
    pub verdict: Verdict,
}

/// The least class for a load, and how every class takes it.
///
/// For planning only: to be checked on the truck that comes, with its rating plate and a scale.
#[derive(Debug, Clone, PartialEq)]
pub struct LeastClass {
    /// Index of the least class that surely takes it, or `None` where none does.
    pub least: Option<usize>,
    /// Every class of the rule, in its order.
    pub outcomes: Vec<ClassOutcome>,
}

impl PlanningRule {
    /// Returns the planning proportions of two-axle carriers.
    ///
    /// Common practice, no source: the proportions were chosen so that a 22,000 lb carrier is about
    /// 1,400 lb beyond its rear rating with a pickup of 7,120 lb and one of 26,000 lb takes it. From
    /// 26,000 lb up the chassis are longer and their rear axles stronger. 14,000, 16,000, 19,500, 26,000
    /// and 33,000 lb are the tops of US weight classes 3 to 7 (from memory), 22,000 lb is a size between.
    pub fn two_axle_carriers() -> Self {
        let class = |pounds: f64, empty_share, rear_part, rear_rating_share| PlanningClass {
            gross_rating: pounds * POUND,
            empty_share,
            rear_part,
            rear_rating_share,
        };
        let light = |pounds| class(pounds, 0.66, 0.565, 0.63);
        let long = |pounds| class(pounds, 0.63, 0.535, 0.67);
        Self {
            name: "planning proportions of two-axle carriers",
            source: "common practice, no source",
            classes: vec![
                light(14_000.0),
                light(16_000.0),
                light(19_500.0),
                light(22_000.0),
                long(26_000.0),
                long(33_000.0),
            ],
        }
    }

    /// Computes how each class takes a load of this mass, kilograms, and the least that surely does.
    ///
    /// # Errors
    /// A mass that is not more than zero, or not finite.
    pub fn least_class(&self, mass: &Tracked) -> Result<LeastClass, CarryingError> {
        check_positive(mass, Field::VehicleMass)?;
        let outcomes: Vec<_> = self.classes.iter().map(|class| class.takes(mass)).collect();
        Ok(LeastClass {
            least: outcomes
                .iter()
                .position(|outcome| outcome.verdict == Verdict::Within),
            outcomes,
        })
    }
}

impl PlanningClass {
    fn takes(&self, mass: &Tracked) -> ClassOutcome {
        let gross_rating = self.gross_rating;
        let empty = self.empty_share * gross_rating;
        let judged = |empty: f64, rating: f64| {
            Figures::of(mass + empty, Tracked::exact(rating), Sense::AtMost)
        };
        let rear = judged(
            self.rear_part * empty,
            self.rear_rating_share * gross_rating,
        );
        let gross = judged(empty, gross_rating);
        ClassOutcome {
            class: *self,
            verdict: Verdict::worst([rear.verdict(), gross.verdict()]),
            rear,
            gross,
        }
    }
}

/// Returns the index of the carrier with the least gross rating whose verdict is within.
///
/// Each carrier is its gross rating in kilograms, where known, and the verdict on its best placement
/// ([`Placements::best_verdict`](super::Placements::best_verdict)). Of two equal ratings the first wins.
pub fn least_among(carriers: &[(Option<f64>, Verdict)]) -> Option<usize> {
    let fitting = carriers.iter().enumerate().filter_map(|(index, carrier)| {
        let (rating, verdict) = *carrier;
        (verdict == Verdict::Within).then_some((index, rating?))
    });
    fitting
        .min_by(|one, other| one.1.total_cmp(&other.1))
        .map(|(index, _)| index)
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    fn least_pounds(pounds: f64) -> Option<f64> {
        let rule = PlanningRule::two_axle_carriers();
        let result = rule.least_class(&exact(pounds * POUND)).unwrap();
        result
            .least
            .map(|index| (rule.classes[index].gross_rating / POUND).round())
    }

    /// Common practice, no source: about 1,400 lb beyond the rear axle at 22,000 lb, and 26,000 lb or
    /// more is wanted.
    #[test]
    fn a_battery_electric_pickup_wants_a_26000_lb_carrier() {
        assert_eq!(least_pounds(7120.0), Some(26_000.0));
        let mut bench = Bench::default();
        let rule = PlanningRule::two_axle_carriers();
        let result = rule
            .least_class(&bench.input(7120.0 * POUND, 30.0 * POUND))
            .unwrap();
        let light = &result.outcomes[3];
        close(light.class.gross_rating / POUND, 22_000.0, 1e-6);
        assert_eq!(light.rear.verdict(), Verdict::Beyond);
        assert_eq!(light.gross.verdict(), Verdict::Within);
        close(light.rear.margin.value() / POUND, -1400.0, 100.0);
    }

    #[test]
    fn lighter_vehicles_want_smaller_carriers() {
        assert_eq!(least_pounds(3500.0), Some(14_000.0));
        assert_eq!(least_pounds(3700.0), Some(16_000.0));
        assert_eq!(least_pounds(4900.0), Some(19_500.0));
        assert_eq!(least_pounds(5200.0), Some(22_000.0));
        assert_eq!(least_pounds(15_000.0), None);
    }

    #[test]
    fn a_class_that_is_too_close_to_call_is_not_taken() {
        let mut bench = Bench::default();
        let mass = bench.input(5600.0 * POUND, 60.0 * POUND);
        let rule = PlanningRule::two_axle_carriers();
        let result = rule.least_class(&mass).unwrap();
        assert_eq!(result.outcomes[3].verdict, Verdict::TooCloseToCall);
        assert_eq!(result.least, Some(4));
    }

    #[test]
    fn a_mass_that_cannot_be_is_refused() {
        let rule = PlanningRule::two_axle_carriers();
        assert!(rule.least_class(&exact(0.0)).is_err());
        assert!(rule.least_class(&exact(f64::NAN)).is_err());
    }

    #[test]
    fn of_given_carriers_the_one_with_the_least_rating_is_chosen() {
        use Verdict::{Beyond, NotKnown, TooCloseToCall, Within};
        let carriers = [
            (Some(11_800.0), Within),
            (Some(8800.0), TooCloseToCall),
            (Some(9900.0), Within),
            (None, Within),
            (Some(6000.0), Beyond),
            (Some(5000.0), NotKnown),
        ];
        assert_eq!(least_among(&carriers), Some(2));
        assert_eq!(least_among(&carriers[3..]), None);
        assert_eq!(least_among(&[]), None);
    }

    proptest! {
        #[test]
        fn a_heavier_vehicle_never_wants_a_smaller_class(
            pounds in 500.0..12_000.0f64, more in 0.0..3000.0f64,
        ) {
            let class = |pounds| least_pounds(pounds).unwrap_or(f64::INFINITY);
            prop_assert!(class(pounds) <= class(pounds + more));
        }
    }
}

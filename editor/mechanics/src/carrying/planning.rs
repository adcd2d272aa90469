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
//! axle; longer ones share some of it to the front, so for them the rule is on the cautious side. That
//! holds only while the load's centre lies not behind the rear axle: a load whose centre lies behind it
//! puts more than its own mass on that axle, and this rule does not see it.
//!
//! # What the rule is worth
//! It is a planning rule of common practice and never a proof: its proportions were chosen to agree with
//! what crews say of one pickup, and a real carrier of the class differs by a few per cent in each of
//! them ([`SHARE_UNCERTAINTY`]). A class that holds here is the one to ask for, not one that is known to
//! hold: the truck that comes has to be checked with its rating plate and a scale.

use super::condition::{Figures, Sense};
use super::error::{CarryingError, Field, check_positive};
use crate::propagation::Tracked;
use crate::uncertain::Uncertain;
use crate::verdict::Verdict;

/// Relative standard uncertainty of each share of a class; twice this, 6 %, is its ±.
///
/// Common practice, no source: carriers of one class differ so by their cab, deck and springs. Three
/// shares of 3 % each leave a sure spare of about 5 % of the gross rating less than the best estimate.
pub const SHARE_UNCERTAINTY: f64 = 0.03;

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

/// By what factor the shares of a real carrier differ from the planned ones: 1, with an uncertainty.
///
/// Register [`PlanningFactors::planned`] once for each of the three, as inputs of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct PlanningFactors {
    /// For the empty mass as a share of the gross rating.
    pub empty: Tracked,
    /// For what the rear axle carries of the empty mass.
    pub rear_part: Tracked,
    /// For the rear axle rating as a share of the gross rating.
    pub rear_rating: Tracked,
}

impl PlanningFactors {
    /// Returns the factor of each share: 1 with [`SHARE_UNCERTAINTY`].
    pub const fn planned() -> Uncertain {
        Uncertain::new(1.0, SHARE_UNCERTAINTY)
    }
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
    /// Index of the least class that takes it within the uncertainty of mass and shares, or `None` where none does.
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

    /// Computes how each class takes a load of this mass, kilograms, and the least to plan for.
    ///
    /// # Errors
    /// A mass that is not more than zero, or not finite, and factors of the shares that are so.
    pub fn least_class(
        &self,
        mass: &Tracked,
        factors: &PlanningFactors,
    ) -> Result<LeastClass, CarryingError> {
        check_positive(mass, Field::VehicleMass)?;
        check_positive(&factors.empty, Field::RearEmpty)?;
        check_positive(&factors.rear_part, Field::RearEmpty)?;
        check_positive(&factors.rear_rating, Field::RearRating)?;
        let outcomes: Vec<_> = self
            .classes
            .iter()
            .map(|class| class.takes(mass, factors))
            .collect();
        Ok(LeastClass {
            least: outcomes
                .iter()
                .position(|outcome| outcome.verdict == Verdict::Within),
            outcomes,
        })
    }
}

impl PlanningClass {
    fn takes(&self, mass: &Tracked, factors: &PlanningFactors) -> ClassOutcome {
        let gross_rating = self.gross_rating;
        let empty = &factors.empty * (self.empty_share * gross_rating);
        let rear_empty = &empty * (&factors.rear_part * self.rear_part);
        let rear_rating = &factors.rear_rating * (self.rear_rating_share * gross_rating);
        let rear = Figures::of(mass + rear_empty, rear_rating, Sense::AtMost);
        let gross = Figures::of(mass + empty, Tracked::exact(gross_rating), Sense::AtMost);
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

    fn factors(bench: &mut Bench) -> PlanningFactors {
        let Uncertain { value, u } = PlanningFactors::planned();
        PlanningFactors {
            empty: bench.input(value, u),
            rear_part: bench.input(value, u),
            rear_rating: bench.input(value, u),
        }
    }

    fn least_pounds(pounds: f64) -> Option<f64> {
        let rule = PlanningRule::two_axle_carriers();
        let factors = factors(&mut Bench::default());
        let result = rule.least_class(&exact(pounds * POUND), &factors).unwrap();
        result
            .least
            .map(|index| (rule.classes[index].gross_rating / POUND).round())
    }

    /// Common practice, no source: about 1,400 lb beyond the rear axle at 22,000 lb, and 26,000 lb or
    /// more is wanted. The proportions were chosen to agree with this, so the test guards against a
    /// change and proves nothing of a real carrier.
    #[test]
    fn a_battery_electric_pickup_wants_a_26000_lb_carrier() {
        assert_eq!(least_pounds(7120.0), Some(26_000.0));
        let mut bench = Bench::default();
        let rule = PlanningRule::two_axle_carriers();
        let mass = bench.input(7120.0 * POUND, 30.0 * POUND);
        let result = rule.least_class(&mass, &factors(&mut bench)).unwrap();
        let verdicts: Vec<_> = result.outcomes.iter().map(|o| o.verdict).collect();
        let (beyond, within) = (Verdict::Beyond, Verdict::Within);
        assert_eq!(verdicts, [beyond, beyond, beyond, beyond, within, within]);
        let light = &result.outcomes[3];
        close(light.class.gross_rating / POUND, 22_000.0, 1e-6);
        assert_eq!(light.rear.verdict(), Verdict::Beyond);
        // 360 lb are left of the gross rating by the shares alone, less than those are worth.
        assert_eq!(light.gross.verdict(), Verdict::TooCloseToCall);
        close(light.gross.margin.value() / POUND, 360.0, 0.1);
        close(light.rear.margin.value() / POUND, -1400.0, 100.0);
    }

    #[test]
    fn lighter_vehicles_want_smaller_carriers() {
        assert_eq!(least_pounds(2800.0), Some(14_000.0));
        assert_eq!(least_pounds(3200.0), Some(16_000.0));
        assert_eq!(least_pounds(3900.0), Some(19_500.0));
        assert_eq!(least_pounds(4400.0), Some(22_000.0));
        assert_eq!(least_pounds(15_000.0), None);
    }

    /// 22,000 lb has 5,657 lb to spare with exact shares; twice their uncertainty is 1,085 lb. Arithmetic from
    /// the formula, no citation.
    #[test]
    fn shares_that_are_only_planned_leave_a_load_near_the_limit_open() {
        let mut bench = Bench::default();
        let rule = PlanningRule::two_axle_carriers();
        let factors = factors(&mut bench);
        let verdict = |pounds: f64| {
            let result = rule.least_class(&exact(pounds * POUND), &factors).unwrap();
            close(result.outcomes[3].rear.margin.u() / POUND, 542.3, 0.1);
            result.outcomes[3].verdict
        };
        assert_eq!(verdict(4560.0), Verdict::Within);
        assert_eq!(verdict(5200.0), Verdict::TooCloseToCall);
        assert_eq!(verdict(6750.0), Verdict::Beyond);
    }

    #[test]
    fn a_class_that_is_too_close_to_call_is_not_taken() {
        let mut bench = Bench::default();
        let mass = bench.input(5600.0 * POUND, 60.0 * POUND);
        let rule = PlanningRule::two_axle_carriers();
        let result = rule.least_class(&mass, &factors(&mut bench)).unwrap();
        assert_eq!(result.outcomes[3].verdict, Verdict::TooCloseToCall);
        assert_eq!(result.least, Some(4));
    }

    #[test]
    fn a_mass_that_cannot_be_is_refused() {
        let rule = PlanningRule::two_axle_carriers();
        let factors = factors(&mut Bench::default());
        assert!(rule.least_class(&exact(0.0), &factors).is_err());
        assert!(rule.least_class(&exact(f64::NAN), &factors).is_err());
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

//! Dollies under the axle that is not lifted.
//!
//! # Free body
//! One set carries one axle of the towed vehicle: its load (level or lifted, whichever is greater) rests
//! on the set's tyres, shared equally, and the tyres carry the set itself too.
//!
//! ```text
//!   set = axle load ≤ rating of the set          tyre = (axle load + mass of the set) / tyres
//! ```
//!
//! Statics; no citation. Equal sharing needs level ground and even tyre pressure.

use super::error::{TowingError, TowingField, check_given, check_positive};
use super::judgement::{TowingJudgement, pair};
use crate::carrying::{Figures, Sense};
use crate::propagation::Tracked;
use crate::verdict::Verdict;
use std::fmt;

/// A set of tow dollies for one axle, each number known or not. Kilograms.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DollySet {
    /// The most that the set may carry.
    pub rating: Option<Tracked>,
    /// The most that each of its tyres may carry.
    pub tyre_rating: Option<Tracked>,
    /// How many tyres it has.
    pub tyres: Option<u8>,
    /// What the set itself weighs.
    pub own_mass: Option<Tracked>,
}

/// What limits the load on a set of dollies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DollyLimit {
    /// The rating of the set.
    Set,
    /// The rating of each tyre.
    Tyre,
}

impl fmt::Display for DollyLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Set => "rating of the dolly set",
            Self::Tyre => "rating of a dolly tyre",
        })
    }
}

impl DollySet {
    /// Refuses what cannot be: masses, ratings or tyres of zero or less, and what is no number.
    ///
    /// # Errors
    /// [`TowingError::NotFinite`] or [`TowingError::NotPositive`] with the field.
    pub fn check(&self) -> Result<(), TowingError> {
        check_given(self.rating.as_ref(), TowingField::DollyRating)?;
        check_given(self.tyre_rating.as_ref(), TowingField::DollyTyreRating)?;
        check_given(self.own_mass.as_ref(), TowingField::DollyMass)?;
        if self.tyres == Some(0) {
            let field = TowingField::DollyTyres;
            return Err(TowingError::NotPositive { field, value: 0.0 });
        }
        Ok(())
    }

    /// Judges the set with this axle load on it, kilograms.
    ///
    /// Without the mass of the set itself the load of a tyre is only known from below: it can be beyond
    /// its rating, but not within it.
    ///
    /// # Errors
    /// What [`DollySet::check`] refuses, and an axle load that is not more than zero.
    pub fn judge(
        &self,
        axle_load: &Tracked,
    ) -> Result<[TowingJudgement<DollyLimit>; 2], TowingError> {
        self.check()?;
        check_positive(axle_load, TowingField::DollyLoad)?;
        let rating = need(self.rating.as_ref(), TowingField::DollyRating);
        let set =
            rating.map(|rating| Figures::of(axle_load.clone(), rating.clone(), Sense::AtMost));
        Ok([
            TowingJudgement::new(DollyLimit::Set, set),
            self.judge_tyre(axle_load),
        ])
    }

    fn judge_tyre(&self, axle_load: &Tracked) -> TowingJudgement<DollyLimit> {
        let tyres = need(self.tyres.as_ref(), TowingField::DollyTyres);
        let rating = need(self.tyre_rating.as_ref(), TowingField::DollyTyreRating);
        let on_tyres = Tracked::sum([axle_load].into_iter().chain(self.own_mass.as_ref()));
        let figures = pair(tyres, rating).map(|(tyres, rating)| {
            let each = on_tyres / f64::from(*tyres);
            Figures::of(each, rating.clone(), Sense::AtMost)
        });
        let mut judgement = TowingJudgement::new(DollyLimit::Tyre, figures);
        if self.own_mass.is_none() {
            judgement.missing.push(TowingField::DollyMass);
            if judgement.verdict != Verdict::Beyond {
                judgement.verdict = Verdict::NotKnown;
            }
        }
        judgement
    }
}

fn need<T>(number: Option<&T>, field: TowingField) -> Result<&T, Vec<TowingField>> {
    number.ok_or_else(|| vec![field])
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::towed::{LiftedAxle, TowedVehicle};
    use super::*;
    use crate::carrying::testing::{POUND, close, exact};

    fn set(rating: f64, tyre_rating: f64, own_mass: Option<f64>) -> DollySet {
        DollySet {
            rating: Some(exact(rating * POUND)),
            tyre_rating: Some(exact(tyre_rating * POUND)),
            tyres: Some(4),
            own_mass: own_mass.map(|pounds| exact(pounds * POUND)),
        }
    }

    /// Arithmetic from the formula, no citation: 1500 kg with its centre 1.2 m from the axle on the
    /// dollies, wheelbase 2.7 m; each of four tyres carries a quarter.
    #[test]
    fn four_tyres_carry_a_quarter_each() {
        let car = TowedVehicle {
            mass: exact(1500.0),
            centre: exact(1.2),
            wheelbase: exact(2.7),
        };
        let load = car.level(LiftedAxle::Rear).unwrap().down;
        close(load.value(), 833.3, 0.05);
        let own = 40.0;
        let dollies = set(3300.0, 850.0, Some(own / POUND));
        let [on_set, on_tyre] = dollies.judge(&load).unwrap();
        close(on_set.figures.unwrap().value.value(), 833.3, 0.05);
        close(
            on_tyre.figures.unwrap().value.value(),
            (833.333 + own) / 4.0,
            1e-3,
        );
    }

    /// Common practice, no source: many dolly sets are not rated for a battery-electric pickup. The sets
    /// are invented; the axle carries half of 7,120 lb.
    #[test]
    fn light_dollies_are_beyond_their_rating_under_a_heavy_pickup() {
        let axle = exact(3560.0 * POUND);
        let verdicts =
            |dollies: DollySet| dollies.judge(&axle).unwrap().map(|judged| judged.verdict);
        assert_eq!(
            verdicts(set(3300.0, 850.0, Some(290.0))),
            [Verdict::Beyond; 2]
        );
        assert_eq!(
            verdicts(set(6000.0, 1600.0, Some(420.0))),
            [Verdict::Within; 2]
        );
    }

    #[test]
    fn without_their_own_mass_tyres_can_be_beyond_but_not_within() {
        let axle = exact(3560.0 * POUND);
        let tyre = |rating: f64| {
            let [_, tyre] = set(6000.0, rating, None).judge(&axle).unwrap();
            assert_eq!(tyre.missing, [TowingField::DollyMass]);
            tyre.verdict
        };
        assert_eq!(tyre(1600.0), Verdict::NotKnown);
        assert_eq!(tyre(850.0), Verdict::Beyond);
    }

    #[test]
    fn missing_ratings_are_not_known_and_named() {
        let [set, tyre] = DollySet::default().judge(&exact(1000.0)).unwrap();
        assert_eq!(set.verdict, Verdict::NotKnown);
        assert_eq!(set.missing, [TowingField::DollyRating]);
        let expected = [
            TowingField::DollyTyreRating,
            TowingField::DollyTyres,
            TowingField::DollyMass,
        ];
        assert_eq!(tyre.missing, expected);
    }

    #[test]
    fn impossible_sets_are_refused() {
        let mut dollies = set(6000.0, 1600.0, Some(420.0));
        assert!(dollies.judge(&exact(0.0)).is_err());
        dollies.tyres = Some(0);
        assert_eq!(
            dollies.judge(&exact(1.0)).unwrap_err().to_string(),
            "the number of dolly tyres is 0 but must be more than zero"
        );
    }
}

//! The wrecker: its axle loads with a vehicle on its lift, and the most that it may lift.

use super::error::{TowingError, TowingField, check_finite, check_given, check_positive};
use super::judgement::{Known, TowingJudgement, pair};
use crate::carrying::{Chassis, Field, Figures, Load, Sense, loaded};
use crate::propagation::Tracked;
use std::fmt;

/// A truck with a wheel lift, each number known or not. Kilograms and metres.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wrecker {
    /// The truck itself.
    pub chassis: Chassis,
    /// From its rear axle, or the middle of its tandem, to the lifted wheels' centre.
    pub reach: Option<Tracked>,
    /// The most that the lift may carry at that reach.
    pub lift_rating: Option<Tracked>,
    /// The heaviest vehicle that it may tow.
    pub tow_rating: Option<Tracked>,
}

/// What limits the load on the lift.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LiftLimit {
    /// The share of its empty load that the front axle keeps for steering.
    Steering,
    /// The rear axle rating.
    RearAxle,
    /// The gross rating.
    Gross,
    /// The rating of the lift at its reach.
    LiftRating,
    /// The heaviest vehicle that the lift may tow.
    TowRating,
}

impl LiftLimit {
    /// Lists all of them.
    pub const ALL: [Self; 5] = [
        Self::Steering,
        Self::RearAxle,
        Self::Gross,
        Self::LiftRating,
        Self::TowRating,
    ];
}

impl fmt::Display for LiftLimit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Steering => "share of load kept for steering",
            Self::RearAxle => "rear axle rating",
            Self::Gross => "gross rating",
            Self::LiftRating => "wheel lift rating",
            Self::TowRating => "tow rating",
        })
    }
}

/// Axle loads of a wrecker with a vehicle on its lift, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct WreckerLoads {
    /// Load of the front axle; negative means that it would lift off.
    pub front: Tracked,
    /// Load of the rear axle or tandem.
    pub rear: Tracked,
    /// Both together: the truck and what hangs on its lift.
    pub gross: Tracked,
    /// Front axle load as a share of the same axle's empty load.
    pub steering: Tracked,
}

/// The most that may hang on the lift by each limit, kilograms, or what is missing to say.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftLimits {
    /// One entry for each limit on the lift load: steering, rear axle, gross and lift rating.
    pub limits: Vec<(LiftLimit, Known<Tracked>)>,
}

impl LiftLimits {
    /// Returns the strictest of the known limits; it may be negative where the empty truck is beyond.
    pub fn strictest(&self) -> Option<(LiftLimit, &Tracked)> {
        let known = self.limits.iter().filter_map(|(limit, most)| {
            let most = most.as_ref().ok()?;
            Some((*limit, most))
        });
        known.min_by(|one, other| one.1.value().total_cmp(&other.1.value()))
    }
}

type Needed<'a> = Known<&'a Tracked>;

impl Wrecker {
    /// Refuses what cannot be: lengths, loads and ratings of zero or less, and what is no number.
    ///
    /// # Errors
    /// [`TowingError::NotFinite`] or [`TowingError::NotPositive`] with the field.
    pub fn check(&self) -> Result<(), TowingError> {
        self.chassis.check()?;
        check_given(self.reach.as_ref(), TowingField::Reach)?;
        check_given(self.lift_rating.as_ref(), TowingField::LiftRating)?;
        check_given(self.tow_rating.as_ref(), TowingField::TowRating)
    }

    /// Computes the axle loads with this load on the lift, kilograms.
    ///
    /// # Errors
    /// What [`Wrecker::check`] refuses, a negative lift load, and what is missing.
    pub fn loads(&self, lift_load: &Tracked) -> Result<WreckerLoads, TowingError> {
        self.check()?;
        check_finite(lift_load, TowingField::LiftLoad)?;
        let value = lift_load.value();
        if value < 0.0 {
            let field = TowingField::LiftLoad;
            return Err(TowingError::NotPositive { field, value });
        }
        let (wheelbase, reach) = pair(self.wheelbase(), self.reach())
            .map_err(|fields| TowingError::Missing { fields })?;
        let hung = Load {
            mass: lift_load.clone(),
            place: wheelbase + reach,
        };
        let hung = (value > 0.0).then_some(hung);
        let loads = loaded(&self.chassis, hung.as_slice())?;
        Ok(WreckerLoads {
            front: loads.front,
            rear: loads.rear,
            gross: loads.gross,
            steering: loads.steering,
        })
    }

    /// Computes the most that may hang on the lift by each limit on it, kilograms.
    ///
    /// # Errors
    /// What [`Wrecker::check`] refuses.
    pub fn greatest_lift(&self) -> Result<LiftLimits, TowingError> {
        self.check()?;
        Ok(LiftLimits {
            limits: vec![
                (LiftLimit::Steering, self.most_by_steering()),
                (LiftLimit::RearAxle, self.most_by_rear_axle()),
                (LiftLimit::Gross, self.most_by_gross()),
                (LiftLimit::LiftRating, self.lift_rating().cloned()),
            ],
        })
    }

    /// Computes the mass of the whole combination: truck, towed vehicle and what else is along.
    ///
    /// # Errors
    /// What [`Wrecker::check`] refuses, and what is missing.
    pub fn combination(
        &self,
        towed_mass: &Tracked,
        dolly_mass: Option<&Tracked>,
    ) -> Result<Tracked, TowingError> {
        self.check()?;
        check_positive(towed_mass, TowingField::TowedMass)?;
        check_given(dolly_mass, TowingField::DollyMass)?;
        let (front, rear) = pair(self.front_empty(), self.rear_empty())
            .map_err(|fields| TowingError::Missing { fields })?;
        let along = [front, rear, towed_mass];
        Ok(Tracked::sum(along.into_iter().chain(dolly_mass)))
    }

    /// P = (1 − k)·F₀·WB / OH.
    fn most_by_steering(&self) -> Known<Tracked> {
        let kept = pair(self.front_empty(), self.steering_share());
        let lever = pair(self.wheelbase(), self.reach());
        let ((front, share), (wheelbase, reach)) = pair(kept, lever)?;
        Ok((1.0 - share) * front * wheelbase / reach)
    }

    /// P = (rear rating − R₀)·WB / (OH + WB).
    fn most_by_rear_axle(&self) -> Known<Tracked> {
        let spare = pair(self.rear_rating(), self.rear_empty());
        let lever = pair(self.wheelbase(), self.reach());
        let ((rating, empty), (wheelbase, reach)) = pair(spare, lever)?;
        Ok((rating - empty) * wheelbase / (reach + wheelbase))
    }

    /// P = gross rating − F₀ − R₀.
    fn most_by_gross(&self) -> Known<Tracked> {
        let empties = pair(self.front_empty(), self.rear_empty());
        let (rating, (front, rear)) = pair(self.gross_rating(), empties)?;
        Ok(rating - front - rear)
    }

    /// Judges every limit with this load on the lift and a towed vehicle of this mass, kilograms.
    ///
    /// # Errors
    /// What [`Wrecker::check`] refuses, and a lift load or mass that is not more than zero.
    pub fn judge(
        &self,
        lift_load: &Tracked,
        towed_mass: &Tracked,
    ) -> Result<Vec<TowingJudgement<LiftLimit>>, TowingError> {
        self.check()?;
        check_positive(lift_load, TowingField::LiftLoad)?;
        check_positive(towed_mass, TowingField::TowedMass)?;
        let judged = LiftLimit::ALL
            .map(|limit| TowingJudgement::new(limit, self.figures(limit, lift_load, towed_mass)));
        Ok(judged.into())
    }

    fn figures(
        &self,
        limit: LiftLimit,
        lift_load: &Tracked,
        towed_mass: &Tracked,
    ) -> Known<Figures> {
        let at_most =
            |value: Tracked, most: &Tracked| Figures::of(value, most.clone(), Sense::AtMost);
        let lever = pair(self.wheelbase(), self.reach());
        match limit {
            LiftLimit::Steering => {
                let kept = pair(self.front_empty(), self.steering_share());
                let ((empty, share), (wheelbase, reach)) = pair(kept, lever)?;
                let front = empty - lift_load * reach / wheelbase;
                Ok(Figures::of(front, empty * share, Sense::AtLeast))
            }
            LiftLimit::RearAxle => {
                let spare = pair(self.rear_rating(), self.rear_empty());
                let ((rating, empty), (wheelbase, reach)) = pair(spare, lever)?;
                let rear = empty + lift_load * (reach + wheelbase) / wheelbase;
                Ok(at_most(rear, rating))
            }
            LiftLimit::Gross => {
                let empties = pair(self.front_empty(), self.rear_empty());
                let (rating, (front, rear)) = pair(self.gross_rating(), empties)?;
                Ok(at_most(front + rear + lift_load, rating))
            }
            LiftLimit::LiftRating => Ok(at_most(lift_load.clone(), self.lift_rating()?)),
            LiftLimit::TowRating => Ok(at_most(towed_mass.clone(), self.tow_rating()?)),
        }
    }

    fn wheelbase(&self) -> Needed<'_> {
        of_truck(Field::Wheelbase, self.chassis.wheelbase.as_ref())
    }

    fn front_empty(&self) -> Needed<'_> {
        of_truck(Field::FrontEmpty, self.chassis.front_empty.as_ref())
    }

    fn rear_empty(&self) -> Needed<'_> {
        of_truck(Field::RearEmpty, self.chassis.rear_empty.as_ref())
    }

    fn rear_rating(&self) -> Needed<'_> {
        of_truck(Field::RearRating, self.chassis.rear_rating.as_ref())
    }

    fn gross_rating(&self) -> Needed<'_> {
        of_truck(Field::GrossRating, self.chassis.gross_rating.as_ref())
    }

    fn steering_share(&self) -> Needed<'_> {
        of_truck(Field::SteeringShare, self.chassis.steering_share.as_ref())
    }

    fn reach(&self) -> Needed<'_> {
        self.reach.as_ref().ok_or_else(|| vec![TowingField::Reach])
    }

    fn lift_rating(&self) -> Needed<'_> {
        let rating = self.lift_rating.as_ref();
        rating.ok_or_else(|| vec![TowingField::LiftRating])
    }

    fn tow_rating(&self) -> Needed<'_> {
        let rating = self.tow_rating.as_ref();
        rating.ok_or_else(|| vec![TowingField::TowRating])
    }
}

fn of_truck(field: Field, number: Option<&Tracked>) -> Needed<'_> {
    number.ok_or_else(|| vec![TowingField::Truck(field)])
}

#[cfg(test)]
mod tests;

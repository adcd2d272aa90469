//! A truck's axles and ratings, and the deck on it.

use super::error::{CarryingError, Field, check_finite, check_not_negative, check_positive};
use crate::propagation::Tracked;

/// The weight that 49 CFR 567.4 counts for each seat, 150 lb, in kilograms.
///
/// NHTSA interpretation letters nht74-3.36 and aiam0613, read; now 49 CFR 567.4(g)(3), from memory.
const SEAT_ALLOWANCE: f64 = 150.0 * 0.453_592_37;

/// A truck that stands empty with its equipment: axles and ratings, each known or not.
///
/// Masses in kilograms, lengths in metres. The rear axle is one axle or a tandem as one support at its
/// middle.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Chassis {
    /// From the front axle to the rear axle or the middle of the tandem.
    pub wheelbase: Option<Tracked>,
    /// What the front axle carries, empty.
    pub front_empty: Option<Tracked>,
    /// What the rear axle or tandem carries, empty.
    pub rear_empty: Option<Tracked>,
    /// Gross axle weight rating of the front axle.
    pub front_rating: Option<Tracked>,
    /// Gross axle weight rating of the rear axle or tandem.
    pub rear_rating: Option<Tracked>,
    /// Gross vehicle weight rating.
    pub gross_rating: Option<Tracked>,
    /// Least share of its empty load that the front axle must keep, 0 to 1.
    pub steering_share: Option<Tracked>,
}

/// A carrier's deck in its travelling position, each number known or not.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Deck {
    /// Its front edge, metres behind the truck's front axle.
    pub front_edge: Option<Tracked>,
    /// Its usable length, metres.
    pub length: Option<Tracked>,
    /// How far a load may stand out behind it, metres.
    pub overhang_allowed: Option<Tracked>,
    /// The most that it may carry, kilograms.
    pub capacity: Option<Tracked>,
}

impl Chassis {
    /// Refuses what cannot be: lengths, loads and ratings of zero or less, and what is no number.
    ///
    /// # Errors
    /// [`CarryingError::NotFinite`] or [`CarryingError::NotPositive`] with the field.
    pub fn check(&self) -> Result<(), CarryingError> {
        let positive = [
            (Field::Wheelbase, &self.wheelbase),
            (Field::FrontEmpty, &self.front_empty),
            (Field::RearEmpty, &self.rear_empty),
            (Field::FrontRating, &self.front_rating),
            (Field::RearRating, &self.rear_rating),
            (Field::GrossRating, &self.gross_rating),
        ];
        for (field, number) in positive {
            number
                .as_ref()
                .map_or(Ok(()), |number| check_positive(number, field))?;
        }
        let share = self.steering_share.as_ref();
        share.map_or(Ok(()), |share| {
            check_not_negative(share, Field::SteeringShare)
        })
    }
}

impl Deck {
    /// Refuses what cannot be, as [`Chassis::check`] does.
    ///
    /// # Errors
    /// [`CarryingError::NotFinite`] or [`CarryingError::NotPositive`] with the field.
    pub fn check(&self) -> Result<(), CarryingError> {
        let given = |number: &Option<Tracked>,
                     field: Field,
                     check: fn(&Tracked, Field) -> Result<(), CarryingError>| {
            number
                .as_ref()
                .map_or(Ok(()), |number| check(number, field))
        };
        given(&self.front_edge, Field::DeckFront, check_finite)?;
        given(&self.length, Field::DeckLength, check_positive)?;
        given(
            &self.overhang_allowed,
            Field::OverhangAllowed,
            check_not_negative,
        )?;
        given(&self.capacity, Field::DeckCapacity, check_positive)
    }
}

/// Computes the least gross rating that a maker may state: unloaded + rated load + 150 lb a seat.
///
/// Kilograms. Source: NHTSA interpretation letters nht74-3.36 and aiam0613, read.
pub fn least_gross_rating(unloaded: &Tracked, rated_load: &Tracked, seats: u8) -> Tracked {
    unloaded + rated_load + f64::from(seats) * SEAT_ALLOWANCE
}

/// Computes what the axle ratings together have above the gross rating; it must not be negative.
///
/// Kilograms. Source: 49 CFR 571.3 as read in NHTSA interpretation letters nht74-3.36 and aiam0613: the
/// sum of the axle ratings must reach the gross rating.
pub fn spare_of_axle_ratings(front: &Tracked, rear: &Tracked, gross: &Tracked) -> Tracked {
    front + rear - gross
}

#[cfg(test)]
mod tests {
    use super::super::testing::{POUND, close, exact};
    use super::*;

    /// NHTSA interpretation letters nht74-3.36 and aiam0613, read; the numbers are arithmetic from the
    /// formula, no citation.
    #[test]
    fn a_gross_rating_covers_the_seats_too() {
        let least = least_gross_rating(&exact(10_200.0 * POUND), &exact(8000.0 * POUND), 3);
        close(least.value() / POUND, 18_650.0, 1e-9);
    }

    #[test]
    fn axle_ratings_have_to_reach_the_gross_rating() {
        let spare = |front: f64, rear: f64, gross: f64| {
            spare_of_axle_ratings(&exact(front), &exact(rear), &exact(gross)).value()
        };
        close(spare(3266.0, 6123.0, 8845.0), 544.0, 1e-9);
        assert!(spare(3266.0, 5400.0, 8845.0) < 0.0);
    }

    #[test]
    fn impossible_numbers_of_a_truck_are_refused_by_name() {
        let truck = Chassis {
            wheelbase: Some(exact(0.0)),
            ..Chassis::default()
        };
        assert_eq!(
            truck.check().map_err(|error| error.to_string()),
            Err("the wheelbase of the truck is 0 but must be more than zero".to_owned())
        );
        let deck = Deck {
            front_edge: Some(exact(f64::NAN)),
            ..Deck::default()
        };
        let field = Field::DeckFront;
        assert_eq!(deck.check(), Err(CarryingError::NotFinite { field }));
        let deck = Deck {
            overhang_allowed: Some(exact(0.0)),
            front_edge: Some(exact(-0.3)),
            ..Deck::default()
        };
        assert_eq!(deck.check(), Ok(()));
        assert_eq!(Chassis::default().check(), Ok(()));
    }
}

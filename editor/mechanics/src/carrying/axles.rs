//! What the axles of a loaded truck carry.

use super::chassis::Chassis;
use super::error::{CarryingError, Field, both, check_finite, check_positive, need};
use crate::propagation::Tracked;

/// Something heavy on a truck.
#[derive(Debug, Clone, PartialEq)]
pub struct Load {
    /// Its mass, kilograms.
    pub mass: Tracked,
    /// Its centre of gravity, metres behind the truck's front axle; may lie behind the rear axle.
    pub place: Tracked,
}

/// What loads put on two supports, kilograms; negative where they take load off.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportLoads {
    /// Added to the front support.
    pub front: Tracked,
    /// Added to the rear support.
    pub rear: Tracked,
}

/// Axle loads of a loaded truck, kilograms.
#[derive(Debug, Clone, PartialEq)]
pub struct CarrierLoads {
    /// Load of the front axle; negative means that it would lift off.
    pub front: Tracked,
    /// Load of the rear axle or tandem.
    pub rear: Tracked,
    /// Both together.
    pub gross: Tracked,
    /// Front axle load as a share of the same axle's empty load.
    pub steering: Tracked,
}

impl CarrierLoads {
    /// Says whether the front axle would lift off the road.
    pub fn front_lifts(&self) -> bool {
        self.front.value() < 0.0
    }
}

/// Shares loads between two supports, the front one at 0 and the rear one `wheelbase` behind it.
///
/// rear = Σ m·X / WB, front = Σ m − rear. Source: heavy-truck body builder manual (2014), App. B, read.
///
/// # Errors
/// A mass or wheelbase that is not more than zero, and anything that is not finite.
pub fn shared(loads: &[Load], wheelbase: &Tracked) -> Result<SupportLoads, CarryingError> {
    check_positive(wheelbase, Field::Wheelbase)?;
    let mut total = Tracked::exact(0.0);
    let mut moment = Tracked::exact(0.0);
    for (index, load) in loads.iter().enumerate() {
        check_positive(&load.mass, Field::LoadMass(index))?;
        check_finite(&load.place, Field::LoadPlace(index))?;
        total = total + &load.mass;
        moment = moment + &load.mass * &load.place;
    }
    let rear = moment / wheelbase;
    check_finite(&rear, Field::Wheelbase)?;
    let front = total - &rear;
    Ok(SupportLoads { front, rear })
}

/// Computes the axle loads of a truck with loads on it.
///
/// # Errors
/// [`CarryingError::Missing`] where wheelbase or empty axle loads are not known, and what [`shared`] and
/// [`Chassis::check`] refuse.
pub fn loaded(chassis: &Chassis, loads: &[Load]) -> Result<CarrierLoads, CarryingError> {
    chassis.check()?;
    let empties = both(
        need(Field::FrontEmpty, chassis.front_empty.as_ref()),
        need(Field::RearEmpty, chassis.rear_empty.as_ref()),
    );
    let wheelbase = need(Field::Wheelbase, chassis.wheelbase.as_ref());
    let (wheelbase, (front_empty, rear_empty)) =
        both(wheelbase, empties).map_err(|fields| CarryingError::Missing { fields })?;
    let added = shared(loads, wheelbase)?;
    let front = front_empty + added.front;
    let rear = rear_empty + added.rear;
    Ok(CarrierLoads {
        gross: &front + &rear,
        steering: &front / front_empty,
        front,
        rear,
    })
}

/// Computes the height of a vehicle on a deck: the deck's surface and the vehicle, metres.
///
/// Springs of the truck settle under the load and those of the vehicle are pulled down by its
/// tie-downs; neither is counted, so the sum is on the high side.
pub fn overall_height(deck_height: &Tracked, vehicle_height: &Tracked) -> Tracked {
    deck_height + vehicle_height
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{Bench, INCH, POUND, close, exact};
    use super::*;
    use proptest::prelude::*;

    fn load(mass: f64, place: f64) -> Load {
        Load {
            mass: exact(mass),
            place: exact(place),
        }
    }

    fn truck(wheelbase: f64, front: f64, rear: f64) -> Chassis {
        Chassis {
            wheelbase: Some(exact(wheelbase)),
            front_empty: Some(exact(front)),
            rear_empty: Some(exact(rear)),
            ..Chassis::default()
        }
    }

    #[track_caller]
    fn check_shared(loads: &[Load], wheelbase: f64, front: f64, rear: f64, tolerance: f64) {
        let shares = shared(loads, &exact(wheelbase)).unwrap();
        close(shares.front.value(), front, tolerance);
        close(shares.rear.value(), rear, tolerance);
    }

    /// Heavy-truck body builder manual (2014), App. B: weight distribution; read. Its first example
    /// prints 38.86 for the front axle by a slip of arithmetic; 37.85 is what remains of 100.
    #[test]
    fn the_body_builder_manual_shares_loads_on_a_214_inch_wheelbase() {
        check_shared(&[load(100.0, 133.0)], 214.0, 37.85, 62.15, 5e-3);
        let middle_of_body = 168.0 / 2.0 + 72.0;
        check_shared(
            &[load(14_500.0, middle_of_body)],
            214.0,
            3929.9,
            10_570.0,
            1.0,
        );
    }

    /// Arithmetic from the formula, no citation: a car on a deck as two loads, one an axle; the second
    /// stands behind the carrier's rear axle.
    #[test]
    fn a_car_on_a_carrier_loads_its_axles_as_two_loads() {
        let carrier = truck(216.0, 9500.0, 8300.0);
        let loads = loaded(&carrier, &[load(2900.0, 150.0), load(2100.0, 262.0)]).unwrap();
        close(loads.front.value(), 9938.9, 0.1);
        close(loads.rear.value(), 12_861.1, 0.1);
        close(loads.gross.value(), 22_800.0, 1e-9);
        close(loads.steering.value(), 9938.9 / 9500.0, 1e-5);
    }

    /// Vehicle-lift balancing sheet, second-hand: 3500 lb at 40 in and 5500 lb at 195 in balance at
    /// 134.72 in. The sheet's second case prints 157.52 for 157.556, an error of arithmetic.
    #[test]
    fn two_loads_act_at_their_common_centre() {
        for (first, second, centre) in [
            ((3500.0, 40.0), (5500.0, 195.0), 134.72),
            ((5800.0, 52.0), (9500.0, 222.0), 157.556),
        ] {
            let wheelbase = 200.0;
            let loads = [load(first.0, first.1), load(second.0, second.1)];
            let shares = shared(&loads, &exact(wheelbase)).unwrap();
            let total = first.0 + second.0;
            close(shares.rear.value() * wheelbase / total, centre, 5e-3);
        }
    }

    /// Trailer-builder conference (2010s), read: hitch at 0, suspension 100 in behind it, 800 lb
    /// empty with 80 lb on the hitch, and a load whose centre lies 88 in behind the hitch up to 2500 lb.
    /// It prints 11.36 % wrongly as "11.86 %".
    #[test]
    fn a_trailer_puts_284_lb_on_its_hitch() {
        let empty = load(800.0, 90.0);
        let shares = shared(&[empty, load(1700.0, 88.0)], &exact(100.0)).unwrap();
        close(shares.front.value(), 284.0, 1e-9);
        close(shares.front.value() / 2500.0, 0.1136, 1e-9);
    }

    /// A physics problem, second-hand, with g = 9.81; the forces are arithmetic from the formula.
    #[test]
    fn a_load_behind_the_axle_takes_weight_off_the_coupling() {
        let trailer = load(220.0, 1.85);
        let coupling = |loads: &[Load]| shared(loads, &exact(2.15)).unwrap().front.value() * 9.81;
        close(coupling(std::slice::from_ref(&trailer)), 301.14, 5e-3);
        close(
            coupling(&[trailer.clone(), load(540.0, 3.3)]),
            -2532.35,
            5e-3,
        );
        close(coupling(&[trailer, load(540.0, 2.272_222)]), 0.0, 5e-3);
    }

    #[test]
    fn a_front_axle_that_would_lift_is_a_negative_load_and_is_flagged() {
        let carrier = truck(4.0, 1000.0, 2000.0);
        let light = loaded(&carrier, &[load(500.0, 5.0)]).unwrap();
        assert!(!light.front_lifts());
        let heavy = loaded(&carrier, &[load(5000.0, 5.0)]).unwrap();
        assert!(heavy.front_lifts());
        close(heavy.front.value(), -250.0, 1e-9);
    }

    #[test]
    fn what_is_missing_is_named() {
        let mut carrier = truck(4.0, 1000.0, 2000.0);
        carrier.wheelbase = None;
        carrier.rear_empty = None;
        let fields = vec![Field::Wheelbase, Field::RearEmpty];
        let error = loaded(&carrier, &[]).unwrap_err();
        assert_eq!(error, CarryingError::Missing { fields });
        assert_eq!(
            error.to_string(),
            "not known without the wheelbase of the truck, the empty rear axle load of the truck"
        );
    }

    #[test]
    fn impossible_loads_are_refused_with_their_place() {
        let error = shared(&[load(1.0, 1.0), load(-1.0, 1.0)], &exact(2.0)).unwrap_err();
        assert_eq!(
            error.to_string(),
            "the mass of load 2 is -1 but must be more than zero"
        );
        let field = Field::LoadPlace(0);
        assert_eq!(
            shared(&[load(1.0, f64::INFINITY)], &exact(2.0)),
            Err(CarryingError::NotFinite { field })
        );
        assert!(shared(&[load(1.0, 1.0)], &exact(0.0)).is_err());
    }

    #[test]
    fn a_vehicle_stands_on_top_of_the_deck() {
        let height = overall_height(&exact(42.0 * INCH), &exact(78.0 * INCH));
        close(height.value(), 3.048, 1e-12);
    }

    proptest! {
        #[test]
        fn the_axles_carry_the_truck_and_everything_on_it(
            loads in prop::collection::vec((1.0..6000.0f64, -1.0..12.0f64), 0..5),
            wheelbase in 2.0..8.0f64,
        ) {
            let mut bench = Bench::default();
            let carrier = Chassis {
                wheelbase: Some(bench.input(wheelbase, 0.01)),
                front_empty: Some(bench.input(3000.0, 9.0)),
                rear_empty: Some(bench.input(4000.0, 9.0)),
                ..Chassis::default()
            };
            let loads: Vec<_> = loads
                .iter()
                .map(|&(mass, place)| Load {
                    mass: bench.input(mass, 3.0),
                    place: bench.input(place, 0.02),
                })
                .collect();
            let result = loaded(&carrier, &loads).unwrap();
            let masses = Tracked::sum(loads.iter().map(|load| &load.mass));
            let empty = carrier.front_empty.unwrap() + carrier.rear_empty.unwrap();
            let rest = result.gross - masses - empty;
            prop_assert!(rest.value().abs() < 1e-8 && rest.u() < 1e-8);
        }

        #[test]
        fn units_do_not_matter(mass in 100.0..5000.0f64, place in 0.0..8.0f64) {
            let metric = loaded(&truck(5.0, 3000.0, 4000.0), &[load(mass, place)]).unwrap();
            let customary = loaded(
                &truck(5.0 / INCH, 3000.0 / POUND, 4000.0 / POUND),
                &[load(mass / POUND, place / INCH)],
            ).unwrap();
            let back = customary.front.value() * POUND;
            prop_assert!((metric.front.value() - back).abs() < 1e-8);
            prop_assert!((metric.steering.value() - customary.steering.value()).abs() < 1e-11);
        }
    }
}

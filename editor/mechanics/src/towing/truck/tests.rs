#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use super::*;
use crate::carrying::testing::{Bench, INCH, POUND, close, exact};
use crate::verdict::Verdict;
use proptest::prelude::*;

fn truck(front: f64, rear: f64, wheelbase: f64, reach: f64) -> Wrecker {
    Wrecker {
        chassis: Chassis {
            wheelbase: Some(exact(wheelbase)),
            front_empty: Some(exact(front)),
            rear_empty: Some(exact(rear)),
            steering_share: Some(exact(0.5)),
            ..Chassis::default()
        },
        reach: Some(exact(reach)),
        ..Wrecker::default()
    }
}

/// An invented wrecker with uncertain axle loads, in pounds and inches.
fn wrecker(bench: &mut Bench) -> Wrecker {
    Wrecker {
        chassis: Chassis {
            wheelbase: Some(bench.input(165.0 * INCH, 0.25 * INCH)),
            front_empty: Some(bench.input(5800.0 * POUND, 20.0 * POUND)),
            rear_empty: Some(bench.input(6100.0 * POUND, 20.0 * POUND)),
            front_rating: Some(exact(7200.0 * POUND)),
            rear_rating: Some(exact(13_500.0 * POUND)),
            gross_rating: Some(exact(19_500.0 * POUND)),
            steering_share: Some(exact(0.5)),
        },
        reach: Some(bench.input(62.0 * INCH, 0.25 * INCH)),
        lift_rating: Some(exact(4500.0 * POUND)),
        tow_rating: Some(exact(9000.0 * POUND)),
    }
}

fn most(wrecker: &Wrecker, limit: LiftLimit) -> f64 {
    let limits = wrecker.greatest_lift().unwrap().limits;
    let (_, most) = limits.into_iter().find(|(of, _)| *of == limit).unwrap();
    most.unwrap().value()
}

/// Trade magazine, "Vehicle Control" (2013), read: front axle 3800 lb, wheelbase 131 in, overhang 96 in,
/// half of the front axle load kept: 2592 lb. The magazine itself warns that nobody knows where the formula
/// is from and that it leaves out gross rating, tyres and friction.
#[test]
fn the_trade_magazine_lifts_2592_lb() {
    let wrecker = truck(3800.0, 4000.0, 131.0, 96.0);
    close(most(&wrecker, LiftLimit::Steering), 2592.71, 5e-3);
}

/// Truck dealer technical note, second-hand: 14,500 lb, 312 in and 190 in give 11,905 lb.
#[test]
fn the_dealers_note_lifts_11905_lb() {
    let wrecker = truck(14_500.0, 9000.0, 312.0, 190.0);
    close(most(&wrecker, LiftLimit::Steering), 11_905.0, 0.5);
}

/// Arithmetic from the formula, no citation; 2592 lb and 1500 lb on the magazine's truck likewise.
#[test]
fn lifting_takes_load_off_the_front_and_puts_more_on_the_rear() {
    let wrecker = truck(3800.0, 4000.0, 131.0, 96.0);
    for (lift_load, front, rise) in [
        (2592.71, 1900.0, 4492.7),
        (2592.0, 1900.52, 4491.48),
        (1500.0, 2700.76, 2599.24),
    ] {
        let loads = wrecker.loads(&exact(lift_load)).unwrap();
        close(loads.front.value(), front, 0.1);
        close(loads.rear.value() - 4000.0, rise, 0.1);
        close(loads.steering.value(), front / 3800.0, 1e-4);
        close(loads.gross.value(), 7800.0 + lift_load, 1e-9);
    }
    close(
        wrecker.loads(&exact(0.0)).unwrap().front.value(),
        3800.0,
        0.0,
    );
}

#[test]
fn the_strictest_limit_is_named() {
    let mut bench = Bench::default();
    let mut wrecker = wrecker(&mut bench);
    let limits = wrecker.greatest_lift().unwrap();
    assert_eq!(limits.strictest().unwrap().0, LiftLimit::LiftRating);
    let loads = [
        (LiftLimit::Steering, 2900.0 * 165.0 / 62.0),
        (LiftLimit::RearAxle, 7400.0 * 165.0 / 227.0),
        (LiftLimit::Gross, 7600.0),
        (LiftLimit::LiftRating, 4500.0),
    ];
    for (limit, pounds) in loads {
        close(most(&wrecker, limit) / POUND, pounds, 1e-6);
    }
    wrecker.reach = Some(exact(130.0 * INCH));
    let limits = wrecker.greatest_lift().unwrap();
    assert_eq!(limits.strictest().unwrap().0, LiftLimit::Steering);
}

#[test]
fn what_is_missing_is_named_and_the_rest_is_judged() {
    let mut bench = Bench::default();
    let mut wrecker = wrecker(&mut bench);
    wrecker.chassis.rear_rating = None;
    wrecker.reach = None;
    wrecker.tow_rating = None;
    let judged = wrecker.judge(&exact(1000.0), &exact(2000.0)).unwrap();
    let missing: Vec<_> = judged
        .iter()
        .map(|judgement| (judgement.limit, judgement.missing.clone()))
        .collect();
    assert_eq!(
        missing,
        [
            (LiftLimit::Steering, vec![TowingField::Reach]),
            (
                LiftLimit::RearAxle,
                vec![TowingField::Truck(Field::RearRating), TowingField::Reach]
            ),
            (LiftLimit::Gross, vec![]),
            (LiftLimit::LiftRating, vec![]),
            (LiftLimit::TowRating, vec![TowingField::TowRating]),
        ]
    );
    assert_eq!(judged[2].verdict, Verdict::Within);
    assert_eq!(judged[0].verdict, Verdict::NotKnown);
    let fields = vec![TowingField::Reach];
    assert_eq!(
        wrecker.loads(&exact(1.0)),
        Err(TowingError::Missing { fields })
    );
}

#[test]
fn a_combination_is_truck_towed_vehicle_and_dollies() {
    let wrecker = truck(3800.0, 4000.0, 131.0, 96.0);
    let mass = |dollies: Option<&Tracked>| {
        wrecker
            .combination(&exact(7120.0), dollies)
            .unwrap()
            .value()
    };
    close(mass(None), 14_920.0, 1e-9);
    close(mass(Some(&exact(420.0))), 15_340.0, 1e-9);
    assert!(
        wrecker
            .combination(&exact(7120.0), Some(&exact(0.0)))
            .is_err()
    );
}

#[test]
fn impossible_numbers_are_refused_by_name() {
    let mut bench = Bench::default();
    let mut wrecker = wrecker(&mut bench);
    assert!(wrecker.loads(&exact(-1.0)).is_err());
    assert!(wrecker.judge(&exact(0.0), &exact(1.0)).is_err());
    wrecker.reach = Some(exact(-1.0));
    assert_eq!(
        wrecker.greatest_lift().unwrap_err().to_string(),
        "the reach of the wheel lift is -1 but must be more than zero"
    );
    wrecker.reach = Some(exact(1.0));
    wrecker.chassis.wheelbase = Some(exact(f64::NAN));
    let field = TowingField::Truck(Field::Wheelbase);
    assert_eq!(
        wrecker.greatest_lift(),
        Err(TowingError::NotFinite { field })
    );
}

proptest! {
    #[test]
    fn at_each_greatest_lift_its_limit_is_just_met(reach in 40.0..140.0f64) {
        let mut bench = Bench::default();
        let mut wrecker = wrecker(&mut bench);
        wrecker.reach = Some(bench.input(reach * INCH, 0.25 * INCH));
        for (limit, most) in wrecker.greatest_lift().unwrap().limits {
            let judged = wrecker.judge(&most.unwrap(), &exact(1.0)).unwrap();
            let met = judged.into_iter().find(|judgement| judgement.limit == limit).unwrap();
            let margin = met.figures.unwrap().margin;
            prop_assert!(margin.value().abs() < 1e-8, "{limit}");
            prop_assert!(margin.u() < 1e-8, "shared inputs cancel: {limit}");
        }
    }

    #[test]
    fn the_axles_carry_the_truck_and_what_hangs_on_it(lift_load in 0.0..4000.0f64) {
        let mut bench = Bench::default();
        let wrecker = wrecker(&mut bench);
        let lift_load = bench.input(lift_load, 5.0);
        let loads = wrecker.loads(&lift_load).unwrap();
        let chassis = &wrecker.chassis;
        let empty = chassis.front_empty.as_ref().unwrap() + chassis.rear_empty.as_ref().unwrap();
        let rest = &loads.front + &loads.rear - empty - &lift_load;
        prop_assert!(rest.value().abs() < 1e-9 && rest.u() < 1e-9);
    }

    #[test]
    fn a_heavier_lift_leaves_less_for_steering(
        lift_load in 1.0..2000.0f64, more in 1.0..2000.0f64,
    ) {
        let mut bench = Bench::default();
        let wrecker = wrecker(&mut bench);
        let steering = |load: f64| wrecker.loads(&exact(load)).unwrap().steering.value();
        prop_assert!(steering(lift_load + more) < steering(lift_load));
    }
}

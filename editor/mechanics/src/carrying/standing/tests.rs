#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use super::super::axles::{Load, loaded};
use super::super::testing::{Bench, INCH, POUND, carrier, close, exact, vehicle};
use super::super::window::End;
use super::*;
use proptest::prelude::*;

fn placements(bench: &mut Bench, pounds: f64, way: WayRound) -> Placements {
    let (chassis, deck) = carrier(bench);
    let standing = vehicle(bench, pounds).standing(way).unwrap();
    Placements::new(&chassis, &deck, &standing, &[]).unwrap()
}

fn judged(placements: &Placements, s: f64, rating: Rating) -> Judgement {
    let found = |judgement: &Judgement| judgement.rating == rating;
    placements.at(s).into_iter().find(found).unwrap()
}

/// Common practice, no source: a battery-electric half-ton pickup of about 7,120 lb puts nearly all of
/// its weight on the rear axle of a two-axle carrier of about 22,000 lb and is about 1,400 lb beyond its
/// rating. The truck is invented.
#[test]
fn a_heavy_pickup_is_about_1400_lb_beyond_a_light_carriers_rear_axle() {
    let mut bench = Bench::default();
    let placements = placements(&mut bench, 7120.0, WayRound::NoseFirst);
    let rear = judged(&placements, 0.0, Rating::RearAxle);
    assert_eq!(rear.verdict, Verdict::Beyond);
    let figures = rear.figures.unwrap();
    close(figures.margin.value() / POUND, -1400.0, 50.0);
    let onto_rear = figures.value.value() - 8320.0 * POUND;
    assert!(onto_rear / (7120.0 * POUND) > 0.95);
    assert_eq!(placements.best_verdict(), Verdict::Beyond);
    let Err(Shut::Exclude { from, to }) = placements.window() else {
        panic!("no placement holds");
    };
    assert_eq!(
        (from.rating, to.rating),
        (Rating::DeckFront, Rating::RearAxle)
    );
}

#[test]
fn a_light_car_has_a_window_and_a_narrower_sure_one() {
    let mut bench = Bench::default();
    let placements = placements(&mut bench, 4000.0, WayRound::NoseFirst);
    let window = placements.window().unwrap();
    let sure = placements.sure_window().unwrap();
    let place = |end: Option<End>| end.unwrap().place.value;
    assert_eq!(window.first.unwrap().rating, Rating::DeckFront);
    assert_eq!(window.last.unwrap().rating, Rating::RearOverhang);
    close(place(window.last), 44.0 * INCH, 1e-9);
    assert!(place(sure.last) < place(window.last));
    let u = 0.25 * INCH * 3f64.sqrt();
    close(window.last.unwrap().place.u, u, 1e-9);
    close(place(sure.last), 44.0 * INCH - 2.0 * u, 1e-9);
    assert_eq!(placements.best_verdict(), Verdict::Within);
    close(placements.suggested(), sure.middle().unwrap(), 0.0);
}

/// The window's lower end is set by the front axle where the deck reaches far forward.
#[test]
fn a_load_over_the_front_axle_has_to_stand_further_back() {
    let mut bench = Bench::default();
    let (chassis, mut deck) = carrier(&mut bench);
    deck.front_edge = Some(bench.input(-20.0 * INCH, 0.2 * INCH));
    let standing = vehicle(&mut bench, 6000.0)
        .standing(WayRound::NoseFirst)
        .unwrap();
    let placements = Placements::new(&chassis, &deck, &standing, &[]).unwrap();
    let window = placements.window().unwrap();
    let first = window.first.unwrap();
    assert_eq!(first.rating, Rating::FrontAxle);
    assert_eq!(
        judged(&placements, first.place.value, Rating::FrontAxle).verdict,
        Verdict::TooCloseToCall
    );
    let sure = placements.sure_window().unwrap().first.unwrap();
    assert!(sure.place.value > first.place.value);
}

#[test]
fn a_load_beyond_the_gross_rating_is_shut_out_by_that_alone() {
    let mut bench = Bench::default();
    let placements = placements(&mut bench, 9000.0, WayRound::NoseFirst);
    assert_eq!(placements.window(), Err(Shut::Never(Rating::Gross)));
    assert_eq!(placements.best_verdict(), Verdict::Beyond);
    close(placements.suggested(), 0.0, 0.0);
}

#[test]
fn a_missing_rating_is_not_known_and_names_its_field() {
    let mut bench = Bench::default();
    let (mut chassis, mut deck) = carrier(&mut bench);
    chassis.rear_rating = None;
    deck.capacity = None;
    let standing = vehicle(&mut bench, 4000.0)
        .standing(WayRound::NoseFirst)
        .unwrap();
    let placements = Placements::new(&chassis, &deck, &standing, &[]).unwrap();
    let rear = judged(&placements, 0.0, Rating::RearAxle);
    assert_eq!(rear.verdict, Verdict::NotKnown);
    assert_eq!(rear.missing, [Field::RearRating]);
    assert_eq!(
        judged(&placements, 0.0, Rating::DeckCapacity).missing,
        [Field::DeckCapacity]
    );
    assert!(placements.window().is_ok(), "the rest still has a window");
    assert_eq!(placements.best_verdict(), Verdict::NotKnown);
}

#[test]
fn without_a_wheelbase_every_axle_rating_is_not_known() {
    let mut bench = Bench::default();
    let (mut chassis, deck) = carrier(&mut bench);
    chassis.wheelbase = None;
    chassis.steering_share = None;
    let standing = vehicle(&mut bench, 4000.0)
        .standing(WayRound::TailFirst)
        .unwrap();
    let placements = Placements::new(&chassis, &deck, &standing, &[]).unwrap();
    assert_eq!(placements.front_load(0.0), None);
    let missing: Vec<_> = placements
        .unknown()
        .iter()
        .map(|unknown| (unknown.rating, unknown.missing.clone()))
        .collect();
    assert_eq!(
        missing,
        [
            (Rating::FrontAxle, vec![Field::Wheelbase]),
            (Rating::RearAxle, vec![Field::Wheelbase]),
            (
                Rating::Steering,
                vec![Field::Wheelbase, Field::SteeringShare]
            ),
            (Rating::FrontOnRoad, vec![Field::Wheelbase]),
        ]
    );
    assert_eq!(
        judged(&placements, 0.0, Rating::Gross).verdict,
        Verdict::Within
    );
}

#[test]
fn impossible_geometry_is_an_error_and_not_a_number() {
    let mut bench = Bench::default();
    let (chassis, mut deck) = carrier(&mut bench);
    let mut car = vehicle(&mut bench, 4000.0);
    let standing = car.standing(WayRound::NoseFirst).unwrap();
    deck.length = Some(bench.input(100.0 * INCH, 0.1));
    let error = Placements::new(&chassis, &deck, &standing, &[]).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the deck is 2.540 m long, shorter than the vehicle's wheelbase of 3.683 m, so its wheels \
         cannot all stand on it"
    );
    car.centre = exact(-0.1);
    let error = car.standing(WayRound::NoseFirst).unwrap_err();
    assert!(matches!(error, CarryingError::CentreOutsideAxles { .. }));
    car.centre = exact(1.0);
    car.rear = exact(3.0);
    let error = car.standing(WayRound::TailFirst).unwrap_err();
    assert!(matches!(error, CarryingError::EdgesInsideAxles { .. }));
}

#[test]
fn two_vehicles_on_one_deck_load_the_axles_together_and_keep_apart() {
    let mut bench = Bench::default();
    let (chassis, deck) = carrier(&mut bench);
    let standing = vehicle(&mut bench, 2500.0)
        .standing(WayRound::NoseFirst)
        .unwrap();
    let neighbour = Neighbour {
        mass: bench.input(1000.0 * POUND, 5.0 * POUND),
        centre: bench.input(12.0 * INCH, 1.0 * INCH),
        edge: bench.input(30.0 * INCH, 0.5 * INCH),
        side: Side::TowardCab,
    };
    let s = 40.0 * INCH;
    let both =
        Placements::new(&chassis, &deck, &standing, std::slice::from_ref(&neighbour)).unwrap();
    let edge = deck.front_edge.as_ref().unwrap();
    let loads = [
        Load {
            mass: standing.mass.clone(),
            place: edge + &standing.centre + s,
        },
        Load {
            mass: neighbour.mass.clone(),
            place: edge + &neighbour.centre,
        },
    ];
    let expected = loaded(&chassis, &loads).unwrap();
    let difference = both.rear_load(s).unwrap() - expected.rear;
    close(difference.value(), 0.0, 1e-9);
    close(difference.u(), 0.0, 1e-9);
    let difference = both.front_load(s).unwrap() - expected.front;
    close(difference.value(), 0.0, 1e-9);
    assert_eq!(
        both.window().unwrap().first.unwrap().rating,
        Rating::BehindNeighbour(0)
    );
    let mut behind = neighbour;
    behind.side = Side::TowardTail;
    behind.edge = exact(270.0 * INCH);
    let both = Placements::new(&chassis, &deck, &standing, &[behind]).unwrap();
    let last = both.window().unwrap().last.unwrap();
    assert_eq!(last.rating, Rating::AheadOfNeighbour(0));
    close(last.place.value, 38.0 * INCH, 1e-9);
}

/// The vehicle with front and rear exchanged.
fn mirrored(car: &Vehicle) -> Vehicle {
    Vehicle {
        mass: car.mass.clone(),
        centre: &car.wheelbase - &car.centre,
        wheelbase: car.wheelbase.clone(),
        front: &car.wheelbase - &car.rear,
        rear: &car.wheelbase - &car.front,
    }
}

proptest! {
    #[test]
    fn nose_first_is_tail_first_of_the_mirrored_vehicle(
        pounds in 2000.0..9000.0f64, s in 0.0..3.0f64,
    ) {
        let mut bench = Bench::default();
        let (chassis, deck) = carrier(&mut bench);
        let car = vehicle(&mut bench, pounds);
        let at = |car: &Vehicle, way: WayRound| {
            let standing = car.standing(way).unwrap();
            Placements::new(&chassis, &deck, &standing, &[]).unwrap().at(s)
        };
        let one = at(&car, WayRound::NoseFirst);
        let other = at(&mirrored(&car), WayRound::TailFirst);
        for (one, other) in one.iter().zip(&other) {
            let margin = |judgement: &Judgement| judgement.figures.clone().unwrap().margin;
            let difference = margin(one) - margin(other);
            prop_assert!(difference.value().abs() < 1e-9 && difference.u() < 1e-9);
            prop_assert_eq!(one.verdict, other.verdict);
        }
    }

    #[test]
    fn each_end_of_the_window_is_where_its_rating_is_met(
        pounds in 1500.0..7000.0f64, edge in -80.0..120.0f64, tail_first in any::<bool>(),
    ) {
        let mut bench = Bench::default();
        let (chassis, mut deck) = carrier(&mut bench);
        deck.front_edge = Some(bench.input(edge * INCH, 0.25 * INCH));
        let way = if tail_first { WayRound::TailFirst } else { WayRound::NoseFirst };
        let standing = vehicle(&mut bench, pounds).standing(way).unwrap();
        let placements = Placements::new(&chassis, &deck, &standing, &[]).unwrap();
        // Bisection on the least margin, which knows nothing of the closed form.
        let least = |s: f64| {
            placements
                .at(s)
                .iter()
                .map(|judgement| judgement.figures.as_ref().unwrap().margin.value())
                .fold(f64::INFINITY, f64::min)
        };
        let Ok(window) = placements.window() else {
            for step in 0..400 {
                prop_assert!(least(-2.0 + 0.025 * f64::from(step)) < 1e-6);
            }
            return Ok(());
        };
        let middle = window.middle().unwrap();
        for (end, far) in [(window.first, middle - 30.0), (window.last, middle + 30.0)] {
            let end = end.unwrap();
            let (mut inside, mut outside) = (middle, far);
            for _ in 0..80 {
                let half = f64::midpoint(inside, outside);
                if least(half) >= 0.0 { inside = half } else { outside = half }
            }
            prop_assert!((inside - end.place.value).abs() < 1e-6);
            let met = judged(&placements, end.place.value, end.rating).figures.unwrap().margin;
            prop_assert!(met.value().abs() < 1e-6);
        }
    }

    #[test]
    fn inside_the_sure_window_everything_is_within_and_outside_it_is_not(
        pounds in 1500.0..7600.0f64, s in -1.0..3.0f64,
    ) {
        let mut bench = Bench::default();
        let placements = placements(&mut bench, pounds, WayRound::NoseFirst);
        let worst = Verdict::worst(placements.at(s).iter().map(|judgement| judgement.verdict));
        let inside = placements.sure_window().is_ok_and(|window| window.contains(s));
        prop_assert_eq!(inside, worst == Verdict::Within);
        if placements.best_verdict() == Verdict::Beyond {
            prop_assert_eq!(worst, Verdict::Beyond);
        }
    }

    #[test]
    fn a_heavier_vehicle_never_loads_the_rear_axle_less(
        pounds in 1500.0..7000.0f64, more in 1.0..2000.0f64, s in 0.0..3.0f64,
    ) {
        let mut bench = Bench::default();
        let light = placements(&mut bench, pounds, WayRound::NoseFirst);
        let heavy = placements(&mut bench, pounds + more, WayRound::NoseFirst);
        let rear = |placements: &Placements| placements.rear_load(s).unwrap().value();
        prop_assert!(rear(&heavy) > rear(&light));
        let sure = |placements: &Placements| placements.sure_window().is_ok_and(|w| w.contains(s));
        prop_assert!(sure(&light) || !sure(&heavy));
    }

    #[test]
    fn the_window_moves_with_the_unit_of_length(pounds in 1500.0..5000.0f64) {
        let window = |inch: f64, pound: f64| {
            let length = |inches: f64| Some(exact(inches * inch));
            let mass = |pounds: f64| Some(exact(pounds * pound));
            let chassis = Chassis {
                wheelbase: length(190.0),
                front_empty: mass(6400.0),
                rear_empty: mass(8320.0),
                front_rating: mass(8500.0),
                rear_rating: mass(13_800.0),
                gross_rating: mass(22_000.0),
                steering_share: Some(exact(0.5)),
            };
            let deck = Deck {
                front_edge: length(74.0),
                length: length(240.0),
                overhang_allowed: length(36.0),
                capacity: mass(12_000.0),
            };
            let car = Vehicle {
                mass: exact(pounds * pound),
                centre: exact(60.0 * inch),
                wheelbase: exact(115.0 * inch),
                front: exact(-36.0 * inch),
                rear: exact(155.0 * inch),
            };
            let standing = car.standing(WayRound::NoseFirst).unwrap();
            let window = Placements::new(&chassis, &deck, &standing, &[]).unwrap().window().unwrap();
            window.last.unwrap().place.value / inch
        };
        prop_assert!((window(1.0, 1.0) - window(INCH, POUND)).abs() < 1e-9);
    }
}

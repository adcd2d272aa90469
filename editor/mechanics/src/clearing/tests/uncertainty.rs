//! The uncertainty of the clearance against the change that really happens.

use super::*;
use crate::propagation::Inputs;
use crate::uncertain::Uncertain;

type Change = fn(&mut Vehicle, &mut Way, f64);

fn set(number: &mut Tracked, by: f64) {
    *number = exact(number.value() + by);
}

const CHANGES: [(&str, Change); 8] = [
    ("front radius", |v, _, by| set(&mut v.front.radius, by)),
    ("front raise", |v, _, by| set(&mut v.front.raise, by)),
    ("rear x", |v, _, by| set(&mut v.rear.x, by)),
    ("rear radius", |v, _, by| set(&mut v.rear.radius, by)),
    ("tilt", |_, w, by| set(&mut w.tilt, by)),
    ("tail length", |_, w, by| {
        set(&mut w.tail.as_mut().unwrap().length, by);
    }),
    ("tail angle", |_, w, by| {
        set(&mut w.tail.as_mut().unwrap().angle, by);
    }),
    ("outline", |v, _, by| set(&mut v.outline_error, by)),
];

fn case() -> (Vehicle, Way) {
    let mut car = crate_on_wheels(1.0, 1.2, 0.2, 2.8);
    car.front.raise = exact(0.01);
    car.rear.raise = exact(0.01);
    (car, with_tail(ramp_and_level(12.0, 7.0), 0.8, 5.0))
}

/// Gives one input an uncertainty of one, so that the result's amount is the derivative.
fn derivative(change: &str, direction: Direction) -> f64 {
    let (mut car, mut way) = case();
    let mut inputs = Inputs::new();
    let mut input = |value: &Tracked| inputs.add((), Uncertain::new(value.value(), 1.0)).unwrap();
    let number = match change {
        "front radius" => &mut car.front.radius,
        "front raise" => &mut car.front.raise,
        "rear x" => &mut car.rear.x,
        "rear radius" => &mut car.rear.radius,
        "tilt" => &mut way.tilt,
        "tail length" => &mut way.tail.as_mut().unwrap().length,
        "tail angle" => &mut way.tail.as_mut().unwrap().angle,
        _ => &mut car.outline_error,
    };
    *number = input(number);
    let clearing = clear(&car, &way, direction).unwrap();
    let tightest = clearing.tightest().unwrap().clone();
    let amounts = tightest.clearance.contributions();
    amounts.first().map_or(0.0, |part| part.amount)
}

#[test]
fn derivatives_are_those_of_the_whole_search() {
    let step = 2e-4;
    for direction in Direction::BOTH {
        for (name, change) in CHANGES {
            let at = |by: f64| {
                let (mut car, mut way) = case();
                change(&mut car, &mut way, by);
                least(&car, &way, direction)
            };
            let expected = (at(step) - at(-step)) / (2.0 * step);
            let actual = derivative(name, direction);
            assert!(
                (actual - expected).abs() < 2e-3 * (1.0 + expected.abs()),
                "{name}, {direction:?}: {actual} is not {expected}"
            );
        }
    }
}

#[test]
fn the_steepest_angle_moves_with_the_radius_as_its_derivative_says() {
    let mut car = crate_on_wheels(0.9, 0.3, 0.22, 2.8);
    let mut inputs = Inputs::new();
    let angle = |car: &Vehicle| {
        let steepest = steepest_tilt(car, &deck(0.0), Direction::NoseFirst, 0.0).unwrap();
        let Steepest::Angle { angle, .. } = steepest else {
            panic!("{steepest:?}")
        };
        angle
    };
    car.front.radius = inputs.add((), Uncertain::new(0.32, 1.0)).unwrap();
    let derivative = angle(&car).contributions()[0].amount;
    car.front.radius = exact(0.321);
    let more = angle(&car).value();
    car.front.radius = exact(0.319);
    let expected = (more - angle(&car).value()) / 0.002;
    close(derivative, expected, 1e-3 * (1.0 + expected.abs()));
}

#[test]
fn exact_inputs_give_an_exact_clearance() {
    let (car, way) = case();
    let clearing = clear(&car, &way, Direction::NoseFirst).unwrap();
    assert!(clearing.parts.iter().all(|part| part.clearance.u() == 0.0));
}

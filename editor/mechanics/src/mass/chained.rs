//! The whole way, from the readings of one scale to the loads of a variant, in one set of inputs.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use super::testing::{INCH, POUND, close};
use super::*;
use crate::propagation::{Inputs, Tracked};
use crate::uncertain::Uncertain;
use crate::verdict::{Limit, Verdict};

/// What a trainer with a scale, a lift and a tape reads off one vehicle, as plain numbers.
const READINGS: [f64; 9] = [
    2009.0 * POUND, // front axle
    1388.0 * POUND, // rear axle
    105.0 * INCH,   // wheelbase
    0.31,           // radius of all wheels
    2093.0 * POUND, // front axle, rear raised
    0.69,           // wheel elevation
    85.0,           // mass of a fitted item
    2.9,            // its place along
    0.8,            // its height
];
const UNCERTAINTIES: [f64; 9] = [2.6, 2.6, 0.002, 0.002, 2.6, 0.003, 0.5, 0.02, 0.03];

struct Answers {
    rear_load: Tracked,
    height: Tracked,
    height_before: Tracked,
}

fn whole_way(readings: [f64; 9]) -> (Inputs<usize>, Answers) {
    let mut inputs = Inputs::new();
    let numbers: Vec<_> = readings
        .into_iter()
        .zip(UNCERTAINTIES)
        .enumerate()
        .map(|(label, (value, u))| inputs.add(label, Uncertain::new(value, u)).unwrap())
        .collect();
    let [
        front,
        rear,
        wheelbase,
        radius,
        tilted,
        elevation,
        mass,
        x,
        z,
    ] = &numbers[..]
    else {
        unreachable!("nine readings were given")
    };
    let plane = from_axle_readings(&[
        AxleReading::front(AxleLoad::Total(front.clone())),
        AxleReading::at(wheelbase.clone(), AxleLoad::Total(rear.clone())),
    ])
    .unwrap();
    let lift = AxleLift {
        level: LevelSplit::Loads {
            front: front.clone(),
            rear: rear.clone(),
        },
        wheelbase: wheelbase.clone(),
        radius_front: radius.clone(),
        radius_rear: radius.clone(),
        steps: vec![LiftStep {
            raised: Axle::Rear,
            load_on_other: tilted.clone(),
            angle: LiftAngle::Elevation(elevation.clone()),
        }],
    };
    let lifted = height_by_axle_lift(&lift, StepCombination::Mean, None).unwrap();
    let item = Item {
        change: Change::Fitted,
        mass: mass.clone(),
        x: x.clone(),
        y: None,
        z: Some(z.clone()),
    };
    let variant = with_items(&plane.body(Some(lifted.height.clone())), &[item]).unwrap();
    let loads = axle_loads(&variant.mass, &variant.x, wheelbase).unwrap();
    let answers = Answers {
        rear_load: loads.rear,
        height: variant.z.unwrap(),
        height_before: lifted.height,
    };
    (inputs, answers)
}

#[test]
fn uncertainty_through_the_whole_way_agrees_with_finite_differences() {
    let (inputs, answers) = whole_way(READINGS);
    let mut variances = (0.0, 0.0);
    for (input, u) in UNCERTAINTIES.into_iter().enumerate() {
        let step = 1e-4 * u;
        let moved = |by: f64| {
            let mut readings = READINGS;
            readings[input] += by;
            whole_way(readings).1
        };
        let (plus, minus) = (moved(step), moved(-step));
        let amount =
            |plus: &Tracked, minus: &Tracked| u * (plus.value() - minus.value()) / (2.0 * step);
        variances.0 += amount(&plus.rear_load, &minus.rear_load).powi(2);
        variances.1 += amount(&plus.height, &minus.height).powi(2);
    }
    close(answers.rear_load.u(), variances.0.sqrt(), 1e-5);
    close(answers.height.u(), variances.1.sqrt(), 1e-8);
    let total: f64 = inputs
        .contributions(&answers.height)
        .iter()
        .map(|(_, part)| part.share)
        .sum();
    close(total, 1.0, 1e-12);
}

/// The front axle's reading does not reach the rear load: it cancels on the way through mass and
/// place, which it would not if results forgot where they came from.
#[test]
fn a_reading_that_does_not_matter_is_not_listed_as_mattering() {
    let (inputs, answers) = whole_way(READINGS);
    let front_share = inputs
        .contributions(&answers.rear_load)
        .into_iter()
        .find(|(label, _)| **label == 0)
        .map_or(0.0, |(_, part)| part.share);
    assert!(front_share < 1e-20, "{front_share}");
}

#[test]
fn a_verdict_on_the_result_looks_at_its_interval() {
    let (_, answers) = whole_way(READINGS);
    let height = answers.height_before.uncertain();
    let at_most = |limit: f64| Limit::AtMost(limit).verdict(Some(height));
    assert_eq!(at_most(height.value + 2.1 * height.u), Verdict::Within);
    assert_eq!(
        at_most(height.value + 0.5 * height.u),
        Verdict::TooCloseToCall
    );
    assert_eq!(at_most(height.value - 2.1 * height.u), Verdict::Beyond);
}

//! Properties on random vehicles and ways, and the slow sweep.

use super::oracle::Sweep;
use super::*;
use crate::clearing::plane::Vector;
use crate::clearing::{envelope, ground, ride};
use proptest::prelude::*;

prop_compose! {
    /// An underside of random heights between two overhangs, with a roof.
    fn outlines()(
        front in 0.2..1.3f64, rear in 0.2..1.6f64, wheelbase in 2.2..3.6f64,
        heights in prop::collection::vec(0.12..0.45f64, 5..14),
    ) -> (Vec<[f64; 2]>, f64) {
        let width = front + wheelbase + rear;
        let gaps = f64::from(u32::try_from(heights.len()).unwrap() - 1);
        let mut outline: Vec<[f64; 2]> = heights
            .iter()
            .enumerate()
            .map(|(i, z)| [-front + width * f64::from(u32::try_from(i).unwrap()) / gaps, *z])
            .collect();
        outline.push([wheelbase + rear, 1.5]);
        outline.push([-front, 1.5]);
        (outline, wheelbase)
    }
}

prop_compose! {
    fn vehicles()(
        (outline, wheelbase) in outlines(), front in 0.26..0.42f64, rear in 0.26..0.42f64,
        raise in prop_oneof![Just(0.0), 0.0..0.06f64],
    ) -> Vehicle {
        Vehicle {
            outline,
            outline_error: exact(0.0),
            front: Wheel { raise: exact(raise), ..wheel(0.0, front) },
            rear: wheel(wheelbase, rear),
        }
    }
}

prop_compose! {
    fn ways()(
        tilt in 0.0..16.0f64, length in 3.0..7.0f64, level in any::<bool>(),
        tail in prop::option::of((0.3..1.2f64, 0.0..14.0f64)),
        laid in prop::option::of((0.02..0.12f64, 4.0..50.0f64, 0.1..0.6f64)),
    ) -> Way {
        let way = if level { ramp_and_level(tilt, length) } else { deck(tilt) };
        let way = match tail {
            Some((length, angle)) => with_tail(way, length, angle),
            None => way,
        };
        let laid = laid.map(|(height, slope, top)| LaidRamp { height, slope: degrees(slope), top });
        let with = Way { laid, ..way.clone() };
        if ground::Ground::new(&course::Numbers::new(&crate_on_wheels(1.0, 1.0, 0.2, 2.0), &with).way).is_ok() {
            with
        } else {
            way
        }
    }
}

fn directions() -> impl Strategy<Value = Direction> {
    prop_oneof![Just(Direction::NoseFirst), Just(Direction::TailFirst)]
}

fn compare(vehicle: &Vehicle, way: &Way, direction: Direction) {
    let clearing = clear(vehicle, way, direction).unwrap();
    let tightest = clearing.tightest().unwrap();
    let clearance = tightest.clearance.value();
    let sweep = Sweep::new(vehicle, way, direction);
    let (first, last) = clearing.course.range();
    let x = |travel: f64| match direction {
        Direction::NoseFirst => clearing.course.pose_at(travel).unwrap().front[0],
        Direction::TailFirst => clearing.course.pose_at(travel).unwrap().rear[0],
    };
    let slow = sweep.least(x(first), x(last), 0.02);
    assert!(
        (clearance.max(0.0) - slow).abs() < 1e-4,
        "{clearance} is not {slow}: {tightest:?}, {:?}",
        clearing.course.ground(1.0, 1.0)
    );
    // The place that is told is where it happens.
    let there = sweep.clearance(x(tightest.place.travel));
    assert!(
        (there - slow).abs() < 1e-4,
        "{there} there, {slow} somewhere"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, ..ProptestConfig::default() })]

    #[test]
    fn the_search_equals_a_slow_sweep(
        vehicle in vehicles(), way in ways(), direction in directions(),
    ) {
        compare(&vehicle, &way, direction);
    }
}

proptest! {
    #[test]
    fn nothing_along_the_path_is_below_the_smallest(
        vehicle in vehicles(), way in ways(), direction in directions(),
    ) {
        let clearing = clear(&vehicle, &way, direction).unwrap();
        let least = clearing.tightest().unwrap().clearance.value();
        let (first, last) = clearing.course.range();
        let mut nearest = f64::INFINITY;
        for step in 0..=4000 {
            let travel = first + (last - first) * f64::from(step) / 4000.0;
            nearest = nearest.min(clearing.course.clearance_at(travel).unwrap());
        }
        prop_assert!(nearest > least - 2e-7, "{nearest} below {least}");
        let place = clearing.tightest().unwrap().place.travel;
        let there = clearing.course.clearance_at(place).unwrap();
        prop_assert!((there - least).abs() < 2e-7, "{there} there, {least} told");
    }

    #[test]
    fn a_mirrored_vehicle_backs_up_as_the_other_drives(vehicle in vehicles(), way in ways()) {
        let length = vehicle.rear.x.value();
        let mirrored = Vehicle {
            outline: vehicle.outline.iter().map(|[x, z]| [length - x, *z]).collect(),
            outline_error: exact(0.0),
            front: Wheel { x: exact(0.0), ..vehicle.rear.clone() },
            rear: Wheel { x: exact(length), ..vehicle.front.clone() },
        };
        let drives = least(&vehicle, &way, Direction::NoseFirst);
        let backs = least(&mirrored, &way, Direction::TailFirst);
        prop_assert!((drives - backs).abs() < 1e-6, "{drives}, {backs}");
    }

    #[test]
    fn a_symmetric_vehicle_does_not_care_which_way(
        overhang in 0.3..1.2f64, clearance in 0.1..0.3f64, way in ways(),
    ) {
        let car = crate_on_wheels(overhang, overhang, clearance, 2.8);
        let [drives, backs] = Direction::BOTH.map(|d| least(&car, &way, d));
        prop_assert!((drives - backs).abs() < 1e-6, "{drives}, {backs}");
    }

    #[test]
    fn all_lengths_scale_together(
        vehicle in vehicles(), tilt in 0.0..16.0f64, direction in directions(), by in 0.5..2.0f64,
    ) {
        let scaled = |w: &Wheel| Wheel {
            x: by * &w.x,
            radius: by * &w.radius,
            raise: by * &w.raise,
        };
        let larger = Vehicle {
            outline: vehicle.outline.iter().map(|p| p.map(|v| v * by)).collect(),
            outline_error: exact(0.0),
            front: scaled(&vehicle.front),
            rear: scaled(&vehicle.rear),
        };
        let tail = |by: f64| with_tail(deck(tilt), 0.8 * by, 5.0);
        let small = least(&vehicle, &tail(1.0), direction);
        let large = least(&larger, &tail(by), direction);
        prop_assert!((large - small * by).abs() < 1e-6, "{small} by {by} is not {large}");
    }

    #[test]
    fn below_the_steepest_deck_all_clear_and_above_one_touches(
        vehicle in vehicles(), direction in directions(), part in 0.0..1.0f64,
    ) {
        let found = steepest_tilt(&vehicle, &deck(0.0), direction, 0.0).unwrap();
        if let Steepest::Angle { angle, .. } = found {
            let angle = angle.value();
            let at = |angle: f64| least(&vehicle, &deck(angle.to_degrees()), direction);
            prop_assert!(at(angle).abs() < 1e-5, "{} at the limit", at(angle));
            prop_assert!(at(angle + 1e-4) < 0.0);
            prop_assert!(at(angle * part) > -1e-6);
        }
    }

    #[test]
    fn both_ways_of_rolling_agree(way in ways(), radius in 0.2..0.45f64) {
        let numbers = course::Numbers::new(&crate_on_wheels(1.0, 1.0, 0.2, 2.0), &way);
        let ground = ground::Ground::new(&numbers.way).unwrap();
        if let Some(joined) = ride::joined(&ground.chain, radius) {
            let rolled = envelope::rolled(&ground.chain, radius);
            let ends = |spans: &[(ride::Touch, ride::Span)]| -> Vec<Vector> {
                let long = spans.iter().filter(|(_, span)| span.extent() > 1e-7);
                long.map(|(_, span)| span.start()).collect()
            };
            let (joined, rolled) = (ends(&joined), ends(&rolled));
            prop_assert_eq!(joined.len(), rolled.len(), "{:?} {:?}", &joined, &rolled);
            for (a, b) in joined.iter().zip(&rolled).skip(1) {
                prop_assert!((*a - *b).length() < 1e-6, "{:?} {:?}", a, b);
            }
        }
    }
}

proptest! {
    #[test]
    fn the_tightest_of_all_is_that_of_the_tightest_part(
        vehicle in vehicles(), way in ways(), direction in directions(),
    ) {
        let course = Course::new(&vehicle, &way, direction).unwrap();
        let scene = course.drive.scene(&course.underside);
        let parts = scene.of_parts().into_iter().flatten();
        let least = parts.map(|found| found.clearance).fold(f64::INFINITY, f64::min);
        let whole = scene.tightest().unwrap().clearance;
        prop_assert!((whole - least).abs() < 2e-7, "{whole} is not {least}");
        prop_assert!(scene.comes_below(least + 1e-6) && !scene.comes_below(least - 1e-6));
    }
}

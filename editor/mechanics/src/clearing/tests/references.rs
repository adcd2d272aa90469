//! Published values, and arithmetic from the formulas where nothing is published.

use super::*;

fn breakover(clearance: f64, wheelbase: f64) -> f64 {
    let angle = point_breakover(&exact(clearance), &exact(wheelbase)).unwrap();
    angle.value().to_degrees()
}

/// A trade article on ramp angles, read second-hand: 15 and 120 give 28.07 degrees. Its second
/// figure, for 12 and 100, is a slip; 26.99 is arithmetic from the formula.
#[test]
fn point_breakover_as_published() {
    close(breakover(15.0, 120.0), 28.07, 0.01);
    close(breakover(12.0, 100.0), 26.99, 0.01);
}

/// Arithmetic from the formula, no citation: r .32, d .85, z .18; the point form gives less.
#[test]
fn approach_angle_by_the_tyre_tangent() {
    let angle = tyre_tangent(&exact(0.85), &exact(0.18), &exact(0.32)).unwrap();
    close(angle.value().to_degrees(), 12.45, 0.01);
    close((0.18f64 / 0.85).atan().to_degrees(), 11.96, 0.01);
    let car = vehicle(
        &[[-0.85, 0.18], [3.0, 0.5], [3.0, 1.5], [-0.85, 1.5]],
        2.7,
        0.32,
    );
    let found = approach_angle(&car).unwrap();
    close(found.angle.value(), angle.value(), 1e-12);
    close(found.spot[0], -0.85, 1e-12);
}

/// Arithmetic from the formula, no citation: L 2.70, GC .13, r .32 at mid-belly.
#[test]
fn breakover_angle_by_the_tyre_tangents() {
    let car = crate_on_wheels(0.8, 0.8, 0.13, 2.7);
    let found = breakover_angle(&car).unwrap();
    close(found.angle.value().to_degrees(), 11.13, 0.01);
    close(found.spot[0], 1.35, 1e-3);
    close(breakover(0.13, 2.7), 11.00, 0.01);
}

/// Arithmetic from the formula, no citation: a change of 11 degrees.
#[test]
fn a_crest_takes_clearance_by_its_place_between_the_wheels() {
    let intrusion = |a: f64, b: f64| {
        let change = exact(degrees(11.0));
        crest_intrusion(&exact(a), &exact(b), &change)
            .unwrap()
            .value()
    };
    close(intrusion(1.3562, 1.3562), 0.13, 1e-4);
    close(intrusion(0.9, 1.8), 0.115, 1e-4);
}

/// Arithmetic from the formula, no citation: a hinge at 1.05 m and a bed of 6.40 m.
#[test]
fn bed_angle_from_the_hinge() {
    let angle = bed_angle(&exact(1.05), &exact(6.4)).unwrap();
    close(angle.value().to_degrees(), 9.44, 0.01);
}

/// Arithmetic from the formula for the crest, no citation: with wheels of no size, contacts 2.70 m
/// apart and 0.13 m of clearance, the crest of 11 degrees just touches at mid-belly.
#[test]
fn wheels_of_no_size_meet_the_formula_of_the_crest() {
    let mut car = crate_on_wheels(0.01, 0.01, 0.13, 2.7);
    car.front.radius = exact(1e-6);
    car.rear.radius = exact(1e-6);
    let way = ramp_and_level(11.0, 8.0);
    close(least(&car, &way, Direction::NoseFirst), 0.0, 1e-4);
    let found = clear(&car, &way, Direction::NoseFirst).unwrap();
    let tightest = found.tightest().unwrap().clone();
    close(tightest.spot[0], 1.35, 5e-3);
    assert_eq!(tightest.part, BodyPart::Belly);
    assert_eq!(
        tightest.against,
        Against::Edge(Surface::Deck, Surface::LevelDeck)
    );
}

/// The definition of 49 CFR 523.2, read second-hand: with the front wheel in the dip, the nose
/// touches a deck as steep as the approach angle.
#[test]
fn a_long_nose_clears_a_deck_up_to_its_approach_angle() {
    let outline = [
        [-1.1, 0.2],
        [-0.3, 0.2],
        [0.0, 0.35],
        [2.9, 0.35],
        [3.0, 0.6],
        [3.0, 1.4],
        [-1.1, 1.4],
    ];
    let car = vehicle(&outline, 2.7, 0.32);
    let approach = approach_angle(&car).unwrap();
    let steepest = steepest_tilt(&car, &deck(0.0), Direction::NoseFirst, 0.0).unwrap();
    let Steepest::Angle { angle, part } = steepest else {
        panic!("{steepest:?}")
    };
    close(angle.value(), approach.angle.value(), 1e-6);
    assert_eq!(part, BodyPart::FrontOverhang);
}

/// The definition of 49 CFR 523.2, from memory: a crest as sharp as the breakover angle just
/// touches, when ramp and level are longer than the wheelbase.
#[test]
fn a_crest_as_sharp_as_the_breakover_angle_just_touches() {
    let outline = [
        [-0.2, 0.4],
        [0.2, 0.2],
        [1.1, 0.16],
        [2.3, 0.19],
        [2.8, 0.5],
        [2.8, 1.4],
        [-0.2, 1.4],
    ];
    let car = vehicle(&outline, 2.7, 0.33);
    let angle = breakover_angle(&car).unwrap().angle.value();
    for direction in Direction::BOTH {
        let way = ramp_and_level(angle.to_degrees(), 8.0);
        close(least(&car, &way, direction), 0.0, 1e-5);
    }
}

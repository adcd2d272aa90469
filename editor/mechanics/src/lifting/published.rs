//! Published facts about supports, and worked values. Loads in the unit of the weight.

#![allow(
    clippy::panic,
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use super::testing::{bounds, close, exact, plain_loads, shares, spots};
use super::*;

/// Corners of the lift points FL, FR, RL, RR, 1.6 m by 1.4 m; x forward and y left, which is the
/// vehicle's frame turned by half a turn.
const RECTANGLE: [(f64, f64); 4] = [(0.8, 0.7), (0.8, -0.7), (-0.8, 0.7), (-0.8, -0.7)];
const TRAPEZOID: [(f64, f64); 4] = [(1.2, 0.55), (1.2, -0.55), (-0.9, 0.75), (-0.9, -0.75)];

#[track_caller]
fn check_shares(mass: f64, centre: (f64, f64), places: &[(f64, f64)], expected: &[f64]) {
    let loads = plain_loads(mass, centre, places).unwrap();
    assert_eq!(loads.len(), expected.len());
    for (share, expected) in shares(&loads).into_iter().zip(expected) {
        close(share, *expected, 6e-4);
    }
}

#[track_caller]
fn check_bounds(mass: f64, centre: (f64, f64), places: &[(f64, f64)], expected: &[(f64, f64)]) {
    let loads = plain_loads(mass, centre, places).unwrap();
    assert_eq!(loads.len(), expected.len());
    for ((low, high), expected) in bounds(&loads).into_iter().zip(expected) {
        close(low, expected.0, 6e-4);
        close(high, expected.1, 6e-4);
    }
}

/// Arithmetic from the formulas, no citation. The bilinear ratio formula that some pages print for a
/// rectangle is another admissible answer: it differs by W·x·y / 4pq along the null vector.
#[test]
fn four_lift_points_share_the_load_of_a_centre_ahead_and_to_the_left() {
    let (weight, x, y) = (20_000.0, 0.15, 0.05);
    let equal = [6294.643, 5580.357, 4419.643, 3705.357];
    check_shares(weight, (x, y), &RECTANGLE, &equal);
    let rear = (0.0, 8125.0);
    let expected = [(2589.286, 10_714.286), (1160.714, 9285.714), rear, rear];
    check_bounds(weight, (x, y), &RECTANGLE, &expected);
    let bilinear = [6361.607, 5513.393, 4352.679, 3772.321];
    let shift = weight * x * y / (4.0 * 0.8 * 0.7);
    close(shift, 66.964, 5e-4);
    let null_vector = [1.0, -1.0, -1.0, 1.0];
    for i in 0..4 {
        close(bilinear[i] - equal[i], shift * null_vector[i], 2e-3);
        assert!((expected[i].0..=expected[i].1).contains(&bilinear[i]));
    }
}

/// Arithmetic from the formulas, no citation: the sets of three supports that press only.
#[test]
fn the_bounds_are_loads_of_three_supports() {
    let (weight, centre) = (20_000.0, (0.15, 0.05));
    let [fl, fr, rl, rr] = RECTANGLE;
    check_shares(weight, centre, &[fl, fr, rl], &[2589.286, 9285.714, 8125.0]);
    check_shares(
        weight,
        centre,
        &[fl, fr, rr],
        &[10_714.286, 1160.714, 8125.0],
    );
    for impossible in [[fl, rl, rr], [fr, rl, rr]] {
        let refused = plain_loads(weight, centre, &impossible);
        assert!(matches!(refused, Err(LiftError::CentreOutside { .. })));
    }
}

/// 1541 kg; arithmetic from the formulas, no citation.
#[test]
fn four_lift_points_of_a_midsize_sedan() {
    let (mass, centre) = (1541.0, (0.20, -0.02));
    check_shares(
        mass,
        centre,
        &RECTANGLE,
        &[470.555, 492.570, 277.930, 299.945],
    );
    let rear = (0.0, 577.875);
    let front = [(170.611, 748.486), (214.639, 792.514)];
    check_bounds(mass, centre, &RECTANGLE, &[front[0], front[1], rear, rear]);
}

/// US Navy Equipment Operator manual (NAVEDTRA 14081), fig. 13-50, read: on four legs two may carry
/// practically the whole load while the other two only balance it. A rigid load of about 700 kgf on
/// four equal legs read 348, 303, 23 and 18 kgf: note on four-leg slings, read.
#[test]
fn in_the_worst_case_two_diagonal_supports_carry_it_all() {
    check_shares(1000.0, (0.0, 0.0), &RECTANGLE, &[250.0; 4]);
    check_bounds(1000.0, (0.0, 0.0), &RECTANGLE, &[(0.0, 500.0); 4]);
    let measured = [348.0, 303.0, 23.0, 18.0];
    let total = measured.iter().sum();
    let loads = plain_loads(total, (0.0, 0.0), &RECTANGLE).unwrap();
    for (load, (low, high)) in measured.iter().zip(bounds(&loads)) {
        // "About equal legs": the heaviest read 2 kgf above half.
        assert!(low <= *load && *load <= high + 2.5);
        assert!(
            (load - total / 4.0).abs() > 100.0,
            "nothing like a quarter each"
        );
    }
}

/// Rule for crane outriggers of Shapiro and Shapiro, *Cranes and Derricks*, ch. 5, read second-hand:
/// set a negative reaction -a to zero, add a to the diagonal one, take a from each of the others.
/// The loads are arithmetic from the formulas.
#[test]
fn a_support_that_would_pull_lifts_off() {
    let centre = (0.5, 0.5);
    let raw = [584.821, 227.679, 272.321, -84.821];
    let pull = 84.821;
    let expected = [669.643, 142.857, 187.5, 0.0];
    // Of the corners FL, FR, RL, RR the diagonal of RR is FL.
    let by_rule = [raw[0] + pull, raw[1] - pull, raw[2] - pull, 0.0];
    for i in 0..4 {
        close(by_rule[i], expected[i], 2e-3);
    }
    check_shares(1000.0, centre, &RECTANGLE, &expected);
    let loads = plain_loads(1000.0, centre, &RECTANGLE).unwrap();
    let bears: Vec<_> = loads.iter().map(|load| load.bears).collect();
    assert_eq!(bears, [true, true, true, false]);
    close(loads[0].low.value(), 669.643, 5e-4);
    close(loads[0].high.value(), 812.5, 5e-4);
}

/// Arithmetic from the formulas, no citation.
#[test]
fn a_centre_on_the_edge_leaves_the_others_nothing() {
    check_shares(1000.0, (0.8, 0.0), &RECTANGLE, &[500.0, 500.0, 0.0, 0.0]);
    let unique = [(500.0, 500.0), (500.0, 500.0), (0.0, 0.0), (0.0, 0.0)];
    check_bounds(1000.0, (0.8, 0.0), &RECTANGLE, &unique);
    check_shares(1000.0, (0.8, 0.7), &RECTANGLE, &[1000.0, 0.0, 0.0, 0.0]);
}

/// Arithmetic from the formulas, no citation.
#[test]
fn lift_points_at_the_corners_of_a_trapezoid() {
    let (mass, centre) = (1541.0, (0.2, -0.02));
    let equal = [393.797, 413.394, 353.543, 380.266];
    check_shares(mass, centre, &TRAPEZOID, &equal);
    let front = (0.0, 807.190);
    let rear = [(50.388, 642.328), (91.482, 683.421)];
    check_bounds(mass, centre, &TRAPEZOID, &[front, front, rear[0], rear[1]]);
    // From one bound to the other all loads move along (1, -1, -0.73333, 0.73333).
    close((rear[0].1 - rear[0].0) / front.1, 0.73333, 2e-5);
}

/// Midsize sedan of the NHTSA NCAP rollover measurements (row 28), read; arithmetic from the formulas.
#[test]
fn the_margin_is_the_distance_to_the_nearest_edge_of_the_trapezoid() {
    let supports = spots(&TRAPEZOID);
    let stability = stability(&Spot::exact(0.2, -0.02), &supports).unwrap();
    let left = stability
        .edges
        .iter()
        .position(|e| (e.from, e.to) == (0, 2));
    let round = stability.edges.iter().cycle().skip(left.unwrap()).take(4);
    let margins: Vec<f64> = round.map(|edge| edge.margin.value()).collect();
    for (margin, expected) in margins.iter().zip([0.66224, 1.1, 0.62242, 1.0]) {
        close(*margin, expected, 6e-6);
    }
    let edge = &stability.smallest;
    assert_eq!((edge.from, edge.to), (3, 1));
    let tilt = tilt_angle(edge, &exact(0.5545)).unwrap();
    close(tilt.value().to_degrees(), 48.303, 6e-4);
}

/// Arithmetic from the formulas, no citation.
#[test]
fn a_centre_outside_the_supports_has_a_negative_margin_and_no_loads() {
    let triangle = [(1.0, 0.7), (-1.0, 0.7), (-1.0, -0.7)];
    let stability = stability(&Spot::exact(0.2, -0.02), &spots(&triangle)).unwrap();
    let margins: Vec<f64> = stability.edges.iter().map(|e| e.margin.value()).collect();
    for (margin, expected) in margins.iter().zip([0.72, 1.2, -0.13108]) {
        close(*margin, expected, 6e-6);
    }
    let refused = plain_loads(1541.0, (0.2, -0.02), &triangle);
    let Err(LiftError::CentreOutside { from, to, margin }) = refused else {
        panic!("{refused:?}");
    };
    assert_eq!((from, to), (2, 0));
    close(margin, -0.13108, 6e-6);
    assert!(tilt_angle(&stability.smallest, &exact(0.5)).is_err());
    assert!(tipping_force(&exact(1541.0), &stability.smallest, &exact(0.5)).is_err());
}

/// Sling load-limit page, read: 10,000 lb hung 2 ft from one point and 8 ft from the other gives
/// 8,000 and 2,000 lb. The far point is split in two here, which changes nothing.
#[test]
fn the_near_point_of_two_carries_most() {
    let places = [(0.0, 0.0), (10.0, 3.0), (10.0, -3.0)];
    check_shares(10_000.0, (2.0, 0.0), &places, &[8000.0, 1000.0, 1000.0]);
}

/// Midsize sedan of the NHTSA NCAP rollover measurements (row 28), read: wheelbase 2.667 m, track
/// 1.5164 m, 1541 kg, centre 1.0897 m behind the front axle, on the centre plane.
fn sedan() -> (f64, (f64, f64), Wheels) {
    let track = exact(1.5164);
    let wheels = Wheels::new(exact(2.667), &track, &track).unwrap();
    (1541.0, (1.0897, 0.0), wheels)
}

#[track_caller]
fn jacked(raised: Raised, jack: (f64, f64)) -> Vec<SupportLoad> {
    let (mass, centre, wheels) = sedan();
    let supports = wheels.jacked(raised, &spots(&[jack])).unwrap();
    let places: Vec<Spot> = supports.into_iter().map(|support| support.spot).collect();
    support_loads(&exact(mass), &Spot::exact(centre.0, centre.1), &places).unwrap()
}

/// A single jack lifting a whole side stands against the two far wheels and is determinate: textbook
/// statics problem, read second-hand, its figure not readable. The loads are arithmetic from the
/// formulas, the jack 1.45 m across from the far wheels.
#[test]
fn a_jack_under_a_side_carries_the_same_wherever_it_stands_along_it() {
    let y = 1.5164 / 2.0 - 1.45;
    let cases = [
        (0.60, 286.863, 448.353),
        (1.0897, 434.817, 300.399),
        (2.00, 709.847, 25.370),
    ];
    for (x, far_front, far_rear) in cases {
        let loads = jacked(Raised::LeftSide, (x, y));
        let expected = [805.784, far_front, far_rear];
        for (load, expected) in loads.iter().zip(expected) {
            close(load.equal_share.value(), expected, 6e-4);
            close(load.low.value(), expected, 6e-4);
            close(load.high.value(), expected, 6e-4);
        }
    }
}

/// Arithmetic from the formulas, no citation. The jack may carry three quarters more than the level
/// corner weight of 455.684 kg.
#[test]
fn a_jack_under_a_corner_may_carry_half_the_vehicle() {
    let loads = jacked(Raised::Corner(Corner::FrontLeft), (0.45, -0.70));
    let equal = [496.306, 498.803, 293.242, 252.648];
    let ends = [
        (177.664, 801.252),
        (245.310, 763.681),
        (0.0, 599.655),
        (0.0, 494.437),
    ];
    for i in 0..4 {
        close(shares(&loads)[i], equal[i], 6e-4);
        close(bounds(&loads)[i].0, ends[i].0, 6e-4);
        close(bounds(&loads)[i].1, ends[i].1, 6e-4);
    }
    close(loads[0].high.value() / 1541.0, 0.52, 5e-3);
    close(1541.0 * (2.667 - 1.0897) / 2.667 / 2.0, 455.684, 6e-4);
}

/// Arithmetic from the formulas, no citation.
#[test]
fn a_jack_ahead_of_the_front_axle_carries_the_front_end() {
    let loads = jacked(Raised::FrontEnd, (-0.10, 0.0));
    close(loads[0].equal_share.value(), 878.431, 6e-4);
    let rear = loads[1].equal_share.value() + loads[2].equal_share.value();
    close(rear, 662.569, 6e-4);
}

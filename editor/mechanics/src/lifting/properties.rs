//! What must hold for all supports, whatever their places.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use super::testing::{Bench, bounds, exact, plain_loads, shares, spots};
use super::*;
use proptest::prelude::*;

type Place = (f64, f64);

/// Three to six supports and a centre inside their polygon: a mean with weights that are not zero.
fn lifted() -> impl Strategy<Value = (Vec<Place>, Place)> {
    let weight = (-3.0..0.0f64).prop_map(|power| 10f64.powf(power));
    let support = (-3.0..3.0f64, -1.5..1.5f64, weight);
    prop::collection::vec(support, 3..7).prop_filter_map("a line or two in one", |supports| {
        let total: f64 = supports.iter().map(|(_, _, weight)| weight).sum();
        let mean = |part: fn(&(f64, f64, f64)) -> f64| {
            supports.iter().map(|s| part(s) * s.2).sum::<f64>() / total
        };
        let centre = (mean(|s| s.0), mean(|s| s.1));
        let places: Vec<Place> = supports.iter().map(|&(x, y, _)| (x, y)).collect();
        let stability = stability(&Spot::exact(centre.0, centre.1), &spots(&places)).ok()?;
        (stability.smallest.margin.value() > 1e-3).then_some((places, centre))
    })
}

/// All loads of three supports that balance and only press, the others idle.
fn three_support_loads(mass: f64, centre: Place, places: &[Place]) -> Vec<Vec<f64>> {
    let turn = |a: Place, b: Place, c: Place| (b.0 - a.0) * (c.1 - a.1) - (b.1 - a.1) * (c.0 - a.0);
    let mut found = Vec::new();
    for i in 0..places.len() {
        for j in i + 1..places.len() {
            for k in j + 1..places.len() {
                let (a, b, c) = (places[i], places[j], places[k]);
                let whole = turn(a, b, c);
                let parts = [turn(b, c, centre), turn(c, a, centre), turn(a, b, centre)];
                let parts = parts.map(|part| mass * part / whole);
                if whole.abs() > 1e-9 && parts.iter().all(|part| *part >= -1e-9 * mass) {
                    let mut loads = vec![0.0; places.len()];
                    (loads[i], loads[j], loads[k]) = (parts[0], parts[1], parts[2]);
                    found.push(loads);
                }
            }
        }
    }
    found
}

fn same(a: f64, b: f64, scale: f64) -> bool {
    (a - b).abs() <= 1e-7 * scale
}

proptest! {
    #[test]
    fn loads_add_up_and_balance((places, centre) in lifted(), mass in 100.0..9000.0f64) {
        let shares = shares(&plain_loads(mass, centre, &places).unwrap());
        prop_assert!(shares.iter().all(|share| *share >= 0.0));
        prop_assert!(same(shares.iter().sum(), mass, mass));
        let along: f64 = shares.iter().zip(&places).map(|(f, p)| f * p.0).sum();
        let across: f64 = shares.iter().zip(&places).map(|(f, p)| f * p.1).sum();
        prop_assert!(same(along, mass * centre.0, mass) && same(across, mass * centre.1, mass));
    }

    /// The closed form of the bounds against the corners of the linear programme.
    #[test]
    fn the_bounds_are_attained_by_three_supports_and_never_passed((places, centre) in lifted()) {
        let mass = 1000.0;
        let loads = plain_loads(mass, centre, &places).unwrap();
        let corners = three_support_loads(mass, centre, &places);
        for (i, (low, high)) in bounds(&loads).into_iter().enumerate() {
            let least = corners.iter().map(|c| c[i]).fold(f64::INFINITY, f64::min);
            let most = corners.iter().map(|c| c[i]).fold(0.0, f64::max);
            prop_assert!(same(low, least.max(0.0), mass), "low {low} {least}");
            prop_assert!(same(high, most, mass), "high {high} {most}");
        }
    }

    #[test]
    fn the_equal_share_lies_between_the_bounds((places, centre) in lifted()) {
        for load in plain_loads(1000.0, centre, &places).unwrap() {
            let share = load.equal_share.value();
            prop_assert!(load.low.value() - 1e-6 <= share && share <= load.high.value() + 1e-6);
        }
    }

    /// The springs that only press: the loads lie in one plane where they bear, and the plane passes
    /// above every support that has lifted off.
    #[test]
    fn lifted_supports_are_out_of_reach_of_the_plane((places, centre) in lifted()) {
        let loads = plain_loads(1000.0, centre, &places).unwrap();
        let bearing: Vec<usize> = (0..places.len()).filter(|i| loads[*i].bears).collect();
        let (mut rows, mut right) = ([[0.0; 3]; 3], [0.0; 3]);
        for &i in &bearing {
            let row = [1.0, places[i].0, places[i].1];
            for a in 0..3 {
                right[a] += row[a] * loads[i].equal_share.value();
                for b in 0..3 {
                    rows[a][b] += row[a] * row[b];
                }
            }
        }
        let det = |m: [[f64; 3]; 3]| {
            m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1])
                - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
                + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
        };
        let whole = det(rows);
        if whole < 1e-3 {
            return Ok(());
        }
        let plane: Vec<f64> = (0..3)
            .map(|column| {
                let mut replaced = rows;
                for a in 0..3 {
                    replaced[a][column] = right[a];
                }
                det(replaced) / whole
            })
            .collect();
        for i in 0..places.len() {
            let height = plane[0] + plane[1] * places[i].0 + plane[2] * places[i].1;
            if loads[i].bears {
                prop_assert!(same(height, loads[i].equal_share.value(), 1e4), "off the plane");
            } else {
                prop_assert!(height <= 1e-3, "support {i} would be pressed by {height}");
            }
        }
    }

    #[test]
    fn a_mirrored_vehicle_has_mirrored_loads((places, centre) in lifted()) {
        let flip = |(x, y): Place| (x, -y);
        let mirrored: Vec<Place> = places.iter().copied().map(flip).collect();
        let loads = plain_loads(1000.0, centre, &places).unwrap();
        let other = plain_loads(1000.0, flip(centre), &mirrored).unwrap();
        for (a, b) in loads.iter().zip(&other) {
            prop_assert!(same(a.low.value(), b.low.value(), 1000.0));
            prop_assert!(same(a.equal_share.value(), b.equal_share.value(), 1000.0));
            prop_assert!(same(a.high.value(), b.high.value(), 1000.0));
        }
    }

    #[test]
    fn a_heavier_vehicle_is_heavier_on_every_support((places, centre) in lifted(), more in 1.0..5.0f64) {
        let light = plain_loads(1000.0, centre, &places).unwrap();
        let heavy = plain_loads(1000.0 * more, centre, &places).unwrap();
        for (a, b) in light.iter().zip(&heavy) {
            let [low, share, high] = [&a.low, &a.equal_share, &a.high].map(|l| l.value() * more);
            prop_assert!(same(low, b.low.value(), 1000.0 * more));
            prop_assert!(same(share, b.equal_share.value(), 1000.0 * more));
            prop_assert!(same(high, b.high.value(), 1000.0 * more));
        }
    }

    #[test]
    fn the_unit_of_length_does_not_matter((places, centre) in lifted(), unit in 0.01..100.0f64) {
        let scale = |(x, y): Place| (x * unit, y * unit);
        let scaled: Vec<Place> = places.iter().copied().map(scale).collect();
        let loads = plain_loads(1000.0, centre, &places).unwrap();
        let other = plain_loads(1000.0, scale(centre), &scaled).unwrap();
        for (a, b) in loads.iter().zip(&other) {
            prop_assert!(same(a.low.value(), b.low.value(), 1000.0));
            prop_assert!(same(a.equal_share.value(), b.equal_share.value(), 1000.0));
            prop_assert!(same(a.high.value(), b.high.value(), 1000.0));
        }
        let spot = |(x, y): Place| Spot::exact(x, y);
        let margin = |c: Place, p: &[Place]| stability(&spot(c), &spots(p)).unwrap().smallest.margin;
        let (one, two) = (margin(centre, &places), margin(scale(centre), &scaled));
        prop_assert!(same(one.value() * unit, two.value(), unit));
    }

    /// The amounts of the inputs against differences: mass, centre and every support's place.
    #[test]
    fn uncertainty_agrees_with_small_steps((places, centre) in lifted()) {
        let mut bench = Bench::default();
        let mass = bench.input(1000.0, 1.0);
        let spot = bench.spot(centre, 1e-4);
        let supports: Vec<Spot> = places.iter().map(|p| bench.spot(*p, 1e-4)).collect();
        let loads = support_loads(&mass, &spot, &supports).unwrap();
        let stepped = |input: usize, by: f64| {
            let mut places = places.clone();
            let mut all = vec![0.0; 3 + 2 * places.len()];
            all[input] = by;
            for (i, place) in places.iter_mut().enumerate() {
                *place = (place.0 + all[3 + 2 * i], place.1 + all[4 + 2 * i]);
            }
            plain_loads(1000.0 + all[0], (centre.0 + all[1], centre.1 + all[2]), &places)
        };
        let numbers = |l: &[SupportLoad]| -> Vec<f64> {
            let ends = bounds(l).into_iter().flat_map(|(low, high)| [low, high]);
            shares(l).into_iter().chain(ends).collect()
        };
        let mut variances = vec![0.0; 3 * places.len()];
        for input in 0..3 + 2 * places.len() {
            let (u, step) = if input == 0 { (1.0, 1e-3) } else { (1e-4, 1e-7) };
            let (up, down) = (stepped(input, step).unwrap(), stepped(input, -step).unwrap());
            let (up, down) = (numbers(&up), numbers(&down));
            let middle = numbers(&loads);
            for (i, variance) in variances.iter_mut().enumerate() {
                let slope = (up[i] - down[i]) / (2.0 * step);
                // At a change of the bearing set or the edge the slope jumps and has no value.
                let bend = up[i] + down[i] - 2.0 * middle[i];
                prop_assume!(bend.abs() < 1e-3 * (slope * step).abs() + 1e-8);
                *variance += (slope * u).powi(2);
            }
        }
        let us = loads.iter().map(|load| load.equal_share.u());
        let ends = loads.iter().flat_map(|load| [load.low.u(), load.high.u()]);
        for (u, variance) in us.chain(ends).zip(variances) {
            let numeric = variance.sqrt();
            prop_assert!((u - numeric).abs() < 1e-3 * numeric + 1e-4, "{u} {numeric}");
        }
    }

    /// Every centre within two standard uncertainties of the middle keeps to the interval.
    #[test]
    fn the_interval_covers_the_uncertainty_of_the_centre(
        (places, centre) in lifted(), x in -1.0..1.0f64, y in -1.0..1.0f64,
    ) {
        let u = 4e-4;
        let mut bench = Bench::default();
        let spot = bench.spot(centre, u);
        let loads = support_loads(&exact(1000.0), &spot, &spots(&places)).unwrap();
        let length = x.hypot(y).max(1.0);
        let elsewhere = (centre.0 + 2.0 * u * x / length, centre.1 + 2.0 * u * y / length);
        let there = plain_loads(1000.0, elsewhere, &places).unwrap();
        for (load, (low, high)) in loads.iter().zip(bounds(&there)) {
            prop_assert!(load.interval.low <= low + 1e-6, "{:?} {low}", load.interval);
            prop_assert!(high <= load.interval.high + 1e-6, "{:?} {high}", load.interval);
        }
    }

    /// Pushed as hard as it takes to tip it, the vehicle balances on the edge and no further.
    #[test]
    fn the_tipping_load_brings_the_centre_onto_the_edge((places, centre) in lifted()) {
        let outline = [(-4.0, -2.0), (4.0, -2.0), (4.0, 2.0), (-4.0, 2.0)];
        let (mass, supports) = (1000.0, spots(&places));
        let before = stability(&Spot::exact(centre.0, centre.1), &supports).unwrap();
        let push = tipping_load(&exact(mass), &before, &supports, &outline).unwrap().unwrap();
        let load = push.load.value();
        let margin_with = |load: f64| {
            outline.iter().map(|(x, y)| {
                let moved = |c: f64, o: f64| (mass * c + load * o) / (mass + load);
                let spot = Spot::exact(moved(centre.0, *x), moved(centre.1, *y));
                stability(&spot, &supports).unwrap().smallest.margin.value()
            }).fold(f64::INFINITY, f64::min)
        };
        prop_assert!(margin_with(load).abs() < 1e-9);
        prop_assert!(margin_with(load * 0.99) > 0.0, "no other corner tips earlier");
        prop_assert!(margin_with(load * 1.01) < 0.0);
        let force = push.force().value();
        prop_assert!((force - load * crate::STANDARD_GRAVITY).abs() < 1e-9 * force);
    }

    #[test]
    fn a_level_push_tips_where_its_moment_is_that_of_the_weight(
        (places, centre) in lifted(), height in 0.1..3.0f64,
    ) {
        let stability = stability(&Spot::exact(centre.0, centre.1), &spots(&places)).unwrap();
        let edge = &stability.smallest;
        let force = tipping_force(&exact(1000.0), edge, &exact(height)).unwrap().value();
        let weight = 1000.0 * crate::STANDARD_GRAVITY;
        prop_assert!(same(force * height, weight * edge.margin.value(), weight));
        // At the height of the centre of gravity that is the weight times the tangent of the tilt.
        let tilt = tilt_angle(edge, &exact(height)).unwrap().value();
        prop_assert!(same(force, weight * tilt.tan(), weight));
    }
}

#[test]
fn bad_numbers_never_come_out_as_numbers() {
    let places = [(0.4, -0.7), (0.4, 0.7), (2.0, -0.7), (2.0, 0.7)];
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(plain_loads(bad, (1.2, 0.0), &places).is_err());
        assert!(plain_loads(1000.0, (bad, 0.0), &places).is_err());
        assert!(plain_loads(1000.0, (1.2, bad), &places).is_err());
        let mut places = places;
        places[2].1 = bad;
        let quantity = LiftQuantity::Support(2);
        assert_eq!(
            plain_loads(1000.0, (1.2, 0.0), &places),
            Err(LiftError::NotFinite { quantity })
        );
    }
    for bad in [0.0, -5.0] {
        let refused = plain_loads(bad, (1.2, 0.0), &places);
        assert!(matches!(refused, Err(LiftError::NotPositive { .. })));
    }
}

#[test]
fn supports_that_hold_nothing_are_refused() {
    let line = [(0.0, 0.0), (1.0, 1.0), (2.0, 2.0), (3.0, 3.0)];
    let refused = plain_loads(1000.0, (1.5, 1.5), &line);
    assert_eq!(refused, Err(LiftError::SupportsInLine));
    let nearly = [(0.0, 0.0), (1.0, 1e-6), (2.0, 0.0), (3.0, 0.0)];
    let refused = plain_loads(1000.0, (1.0, 1e-9), &nearly);
    assert_eq!(refused, Err(LiftError::SupportsInLine));
    let refused = plain_loads(1000.0, (0.5, 0.5), &line[..2]);
    assert_eq!(refused, Err(LiftError::TooFewSupports { given: 2 }));
    let many: Vec<Place> = (0..9)
        .map(|i| (f64::from(i).sin(), f64::from(i).cos()))
        .collect();
    let refused = plain_loads(1000.0, (0.0, 0.0), &many);
    assert_eq!(refused, Err(LiftError::TooManySupports { given: 9 }));
}

/// Two jacks on the same side share an input through the track: mirrored places move together.
#[test]
fn mirrored_supports_that_share_an_input_leave_the_halves_certain() {
    let mut bench = Bench::default();
    let half = bench.input(0.7, 0.05);
    let pad = |x: f64, y: &crate::propagation::Tracked| Spot::new(exact(x), y.clone());
    let left = -&half;
    let pads = [
        pad(0.0, &left),
        pad(0.0, &half),
        pad(2.0, &left),
        pad(2.0, &half),
    ];
    let loads = support_loads(&exact(1000.0), &Spot::exact(1.0, 0.0), &pads).unwrap();
    for load in loads {
        assert!(
            load.equal_share.u() < 1e-9,
            "the centre stays in the middle"
        );
    }
}

#[test]
fn eight_supports_are_solved() {
    let ring: Vec<Place> = (0..8)
        .map(|i| (f64::from(i) * std::f64::consts::FRAC_PI_4).sin_cos())
        .collect();
    let loads = plain_loads(800.0, (0.0, 0.0), &ring).unwrap();
    assert!(
        shares(&loads)
            .iter()
            .all(|share| (share - 100.0).abs() < 1e-9)
    );
    let far = plain_loads(800.0, (0.8, 0.0), &ring).unwrap();
    assert!(far.iter().any(|load| !load.bears) && far.iter().any(|load| load.bears));
}

//! What must hold for any layout.

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use super::testing::{exact, leg};
use super::{BalanceRules, Direction, Holding, Leg, holding};
use crate::verdict::Verdict;
use proptest::prelude::*;

/// A corner's leg and its mirror image on the other side.
fn pair(x: f64, y: f64, reach: [f64; 3], limit: f64) -> [Leg; 2] {
    let [ahead, out, down] = reach;
    [1.0, -1.0].map(|side| {
        leg(
            [x, side * y, down],
            [x + ahead, side * (y + out), 0.0],
            limit,
        )
    })
}

fn held(mass: f64, legs: &[Leg], direction: Direction, rules: BalanceRules) -> Option<Holding> {
    holding(&exact(mass), legs, direction, rules, &exact(0.3)).unwrap()
}

fn any_layout() -> impl Strategy<Value = Vec<Leg>> {
    let corner = (
        -1.0..4.0f64,
        0.3..0.8f64,
        (-1.5..1.5f64, -0.3..0.5f64, 0.1..0.6f64),
        5e3..5e4f64,
    );
    proptest::collection::vec(corner, 1..5).prop_map(|corners| {
        corners
            .into_iter()
            .flat_map(|(x, y, (ahead, out, down), limit)| pair(x, y, [ahead, out, down], limit))
            .collect()
    })
}

fn scaled(legs: &[Leg], lengths: f64, limits: f64) -> Vec<Leg> {
    legs.iter()
        .map(|leg| Leg {
            from: leg.from.clone().map(|part| part * lengths),
            to: leg.to.clone().map(|part| part * lengths),
            limit: &leg.limit * limits,
        })
        .collect()
}

proptest! {
    #[test]
    fn capacities_scale_with_the_limits_and_not_with_the_unit_of_length(
        legs in any_layout(), mass in 500.0..5000.0f64, by in 0.1..10.0f64,
    ) {
        for rules in BalanceRules::ALL {
            for direction in Direction::ALL {
                let Some(once) = held(mass, &legs, direction, rules) else { continue };
                let of_legs = |held: &Holding| held.capacity.value() - held.friction.value();
                let scale = of_legs(&once).max(1.0);
                let stronger = held(mass, &scaled(&legs, 1.0, by), direction, rules).unwrap();
                prop_assert!((of_legs(&stronger) - by * of_legs(&once)).abs() < 1e-9 * by * scale);
                let feet = held(mass, &scaled(&legs, 1.0 / 0.3048, 1.0), direction, rules).unwrap();
                prop_assert!((of_legs(&feet) - of_legs(&once)).abs() < 1e-9 * scale);
            }
        }
    }

    #[test]
    fn a_layout_that_is_its_own_mirror_holds_alike_left_and_right(
        legs in any_layout(), mass in 500.0..5000.0f64,
    ) {
        for rules in BalanceRules::ALL {
            let left = held(mass, &legs, Direction::Left, rules).unwrap();
            let right = held(mass, &legs, Direction::Right, rules).unwrap();
            let scale = left.capacity.value().max(1.0);
            prop_assert!((left.capacity.value() - right.capacity.value()).abs() < 1e-9 * scale);
            prop_assert_eq!(left.verdict, right.verdict);
        }
    }

    #[test]
    fn what_holds_a_heavy_vehicle_holds_a_light_one(
        legs in any_layout(), mass in 500.0..5000.0f64, less in 0.1..0.99f64,
    ) {
        for rules in BalanceRules::ALL {
            for direction in Direction::ALL {
                let Some(heavy) = held(mass, &legs, direction, rules) else { continue };
                let light = held(mass * less, &legs, direction, rules).unwrap();
                prop_assert!(light.needed.value() < heavy.needed.value());
                prop_assert!(heavy.verdict != Verdict::Within || light.verdict == Verdict::Within);
            }
        }
    }

    #[test]
    fn another_leg_never_holds_less_and_the_weakest_is_at_least_the_mean(
        legs in any_layout(), mass in 500.0..5000.0f64,
    ) {
        let fewer = legs.get(..legs.len() - 2).unwrap();
        for rules in BalanceRules::ALL {
            for direction in Direction::ALL {
                let Some(all) = held(mass, &legs, direction, rules) else { continue };
                let some = held(mass, fewer, direction, rules).unwrap();
                prop_assert!(all.capacity.value() >= some.capacity.value() - 1e-9);
                let Some(weakest) = &all.weakest else { continue };
                let of_legs = all.needed.value() - all.friction.value();
                let mean = of_legs / (all.capacity.value() - all.friction.value());
                prop_assert!(of_legs <= 0.0 || weakest.share.value() >= mean * (1.0 - 1e-9));
            }
        }
    }
}

//! What a set of legs holds in a direction, by geometry.
//!
//! # Free body
//! A leg runs from a place on the vehicle to an anchor; X, Y, Z are the parts of its length L and LC
//! its limit. Against a movement along one axis the legs that the movement would stretch hold
//!
//! - R = Σ LC·(X + f·μ·Z) / L, and friction under the weight f·μ·G, with f = 0.75.
//!
//! The vertical part of a leg that pulls down presses the vehicle on the deck. GDV
//! Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011), read. The US and Quebec rules know no
//! friction: μ = 0 there, which leaves R = Σ LC·X / L.
//! The pressed part f·μ·Z of a leg counts at most as much as its part X: a leg across the movement
//! is hardly stretched by it, and what does not tighten does not press. That bound is ours, on the
//! cautious side of the formula.
//!
//! R adds the limits of all legs as if each reached its own. What the legs *really* share depends on
//! how they stretch. [`Holding::weakest`] models that: the vehicle shifts along the movement without
//! turning, each leg stretches by δ·X/L on its length L, and legs of one kind are as stiff as they
//! are strong (EA ∝ LC). Then the use of a leg is proportional to (X/L)/L, so a short leg along the
//! movement takes the most. That model is statics with those assumptions; no published rule asks for
//! it.
//!
//! # Valid for
//! Legs that are straight and tight. Legs that the movement would slacken count nothing, and the
//! tension that the tensioner gave counts nothing.

use super::balance::{BalanceRules, Direction, Held};
use super::error::{Quantity, SecuringError, check_finite, check_positive, check_range, finite};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};

/// The share of the friction factor that counts beside direct lashings: EN 12195-1, read in the GDV
/// handbook; CTU Code Annex 7, read.
pub const DIRECT_FRICTION_SHARE: f64 = 0.75;

/// A leg of a tie-down, in the truck's frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Leg {
    /// Where it leaves the vehicle, metres.
    pub from: [Tracked; 3],
    /// Its anchor on the deck, metres.
    pub to: [Tracked; 3],
    /// Its limit, newtons: working load limit, breaking strength or lashing capacity, whichever the
    /// rule set compares with.
    pub limit: Tracked,
}

/// A leg's use of its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct LegUse {
    /// Index of the leg.
    pub leg: usize,
    /// Its tension over its limit, when the legs stretch together; 1 is the limit.
    pub share: Tracked,
}

/// What a set of legs holds in a direction, newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// The movement.
    pub direction: Direction,
    /// What the rule set asks for.
    pub needed: Tracked,
    /// What legs and friction hold together.
    pub capacity: Tracked,
    /// What of it friction holds.
    pub friction: Tracked,
    /// Whether it is enough.
    pub verdict: Verdict,
    /// What each leg gives of its limit, zero for the legs that do not pull against the movement.
    pub shares: Vec<f64>,
    /// The leg that the need uses most when legs stretch together; `None` when none is stretched.
    pub weakest: Option<LegUse>,
}

/// Computes what legs hold in a direction; `None` where the rule set asks for nothing.
///
/// `mass` in kilograms. `friction` counts only in a rule set that counts friction; zero is the
/// cautious value.
///
/// # Errors
/// A mass or limits that are not more than zero, a friction factor outside 0 to 1, legs without
/// length, and what is not finite.
pub fn holding(
    mass: &Tracked,
    legs: &[Leg],
    direction: Direction,
    rules: BalanceRules,
    friction: &Tracked,
) -> Result<Option<Holding>, SecuringError> {
    check_range(friction, Quantity::Friction, 0.0, 1.0)?;
    let Some(needed) = rules.needed(mass, direction)? else {
        return Ok(None);
    };
    let counted = counted_friction(rules, friction);
    let pulls = legs
        .iter()
        .enumerate()
        .map(|(index, leg)| pull_of(index, leg, direction, &counted))
        .collect::<Result<Vec<_>, _>>()?;
    let by_friction = &counted * mass * STANDARD_GRAVITY;
    let gives = pulls
        .iter()
        .zip(legs)
        .filter_map(|(pull, leg)| pull.as_ref().map(|pull| &pull.gives * &leg.limit));
    let capacity = gives.fold(by_friction.clone(), |sum, part| sum + part);
    let spare = finite(&capacity - &needed, Quantity::Capacity)?;
    Ok(Some(Holding {
        direction,
        verdict: Limit::AtLeast(0.0).verdict(Some(spare.uncertain())),
        weakest: weakest(&(&needed - &by_friction), legs, &pulls),
        shares: pulls
            .iter()
            .map(|pull| pull.as_ref().map_or(0.0, |pull| pull.gives.value()))
            .collect(),
        friction: by_friction,
        needed,
        capacity,
    }))
}

/// What a stretched leg does against a movement.
struct LegPull {
    /// What it holds over its limit: its part along the movement and the friction that it presses.
    gives: Tracked,
    /// Its stretch when the vehicle moves by one metre, as a share of its length.
    strain: Tracked,
}

/// Returns what a leg does, or `None` when the movement does not stretch it.
fn pull_of(
    index: usize,
    leg: &Leg,
    direction: Direction,
    friction: &Tracked,
) -> Result<Option<LegPull>, SecuringError> {
    check_positive(&leg.limit, Quantity::Limit(index))?;
    let place = Quantity::LegPlace(index);
    for number in leg.from.iter().chain(&leg.to) {
        check_finite(number, place)?;
    }
    let [fx, fy, fz] = &leg.from;
    let [tx, ty, tz] = &leg.to;
    let [x, y, z] = [tx - fx, ty - fy, tz - fz];
    if x.value().hypot(y.value()).hypot(z.value()) <= 0.0 {
        return Err(SecuringError::LegWithoutLength { leg: index });
    }
    // The force on the vehicle points at the anchor: it holds when that is against the movement.
    let (axis, sign) = direction.axis_and_sign();
    let along = match axis {
        0 => &x,
        1 => &y,
        _ => &z,
    };
    if -sign * along.value() <= 0.0 {
        return Ok(None);
    }
    let length = finite((&x * &x + &y * &y + &z * &z).sqrt(), place)?;
    if length.value() <= 0.0 {
        return Err(SecuringError::LegWithoutLength { leg: index });
    }
    let along = along * -sign / &length;
    let pressed = if direction == Direction::Up || z.value() >= 0.0 {
        Tracked::exact(0.0)
    } else {
        let pressed = -z / &length * friction;
        if pressed.value() < along.value() {
            pressed
        } else {
            along.clone()
        }
    };
    Ok(Some(LegPull {
        strain: &along / &length,
        gives: finite(along + pressed, place)?,
    }))
}

/// Computes the force in each leg, newtons, when the legs share what is needed by stretching together.
///
/// The model is that of [`Holding::weakest`]; legs that the movement does not stretch, and all of them
/// where friction alone holds, carry nothing. `None` where the rule set asks for nothing.
///
/// # Errors
/// As [`holding`].
pub fn leg_forces(
    mass: &Tracked,
    legs: &[Leg],
    direction: Direction,
    rules: BalanceRules,
    friction: &Tracked,
) -> Result<Option<Vec<Tracked>>, SecuringError> {
    check_range(friction, Quantity::Friction, 0.0, 1.0)?;
    let Some(needed) = rules.needed(mass, direction)? else {
        return Ok(None);
    };
    let counted = counted_friction(rules, friction);
    let rest = needed - &counted * mass * STANDARD_GRAVITY;
    let stretched = legs
        .iter()
        .enumerate()
        .map(|(index, leg)| pull_of(index, leg, direction, &counted))
        .collect::<Result<Vec<_>, _>>()?;
    let stiffness = stretched
        .iter()
        .zip(legs)
        .filter_map(|(pull, leg)| pull.as_ref().map(|p| &p.strain * &p.gives * &leg.limit))
        .fold(Tracked::exact(0.0), |sum, part| sum + part);
    let force = |(pull, leg): (&Option<LegPull>, &Leg)| match pull {
        Some(pull) if rest.value() > 0.0 => finite(
            &rest * &pull.strain * &leg.limit / &stiffness,
            Quantity::Capacity,
        ),
        _ => Ok(Tracked::exact(0.0)),
    };
    stretched
        .iter()
        .zip(legs)
        .map(force)
        .collect::<Result<Vec<_>, _>>()
        .map(Some)
}

/// Returns what a leg gives of its limit in each of [`Direction::ALL`], from plain places; for searches.
///
/// `friction` is the factor that counts beside direct lashings, zero where the rule set knows none.
/// `None` for a leg without length or with places that are not finite.
pub fn plain_shares(from: [f64; 3], to: [f64; 3], friction: f64) -> Option<[f64; 5]> {
    let [fx, fy, fz] = from;
    let [tx, ty, tz] = to;
    let way = [tx - fx, ty - fy, tz - fz];
    let [x, y, z] = way;
    let length = x.hypot(y).hypot(z);
    if !length.is_finite() || length <= 0.0 {
        return None;
    }
    Some(Direction::ALL.map(|direction| {
        let (axis, sign) = direction.axis_and_sign();
        let along = -sign * way.get(axis).copied().unwrap_or(0.0) / length;
        let pressed = if direction == Direction::Up {
            0.0
        } else {
            friction * (-z / length).max(0.0)
        };
        along.max(0.0) + pressed.min(along.max(0.0))
    }))
}

/// The friction factor that a rule set counts.
fn counted_friction(rules: BalanceRules, friction: &Tracked) -> Tracked {
    match rules.held_against() {
        Held::LashingCapacity => friction * DIRECT_FRICTION_SHARE,
        Held::WorkingLoadLimit | Held::BreakingStrength => Tracked::exact(0.0),
    }
}

/// Shares the need among the legs that stretch, and returns the one that it uses most.
fn weakest(needed: &Tracked, legs: &[Leg], pulls: &[Option<LegPull>]) -> Option<LegUse> {
    let stretched = || {
        pulls
            .iter()
            .enumerate()
            .zip(legs)
            .filter_map(|((index, pull), leg)| pull.as_ref().map(|pull| (index, pull, leg)))
    };
    let (leg, most, _) =
        stretched().max_by(|(_, a, _), (_, b, _)| a.strain.value().total_cmp(&b.strain.value()))?;
    let stiffness = stretched()
        .map(|(_, pull, leg)| &pull.strain * &pull.gives * &leg.limit)
        .fold(Tracked::exact(0.0), |sum, part| sum + part);
    let share = needed * &most.strain / stiffness;
    share.is_finite().then_some(LegUse { leg, share })
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{DECANEWTON, close, exact, input, leg};
    use super::*;

    const STANDARD_TO_981: f64 = 9.81 / STANDARD_GRAVITY;

    fn held(mass: f64, legs: &[Leg], direction: Direction, friction: f64) -> Holding {
        let rules = BalanceRules::En12195;
        holding(&exact(mass), legs, direction, rules, &exact(friction))
            .unwrap()
            .unwrap()
    }

    /// The limit at which two legs, mirrored or alike, just hold: (need − friction) over what each
    /// gives of its limit; in decanewtons, with 9.81 m/s² as the checks have it.
    fn just_enough(to: [f64; 3], direction: Direction, friction: f64) -> f64 {
        let legs = [leg([0.0; 3], to, 1.0), leg([0.0; 3], to, 1.0)];
        let held = held(2000.0, &legs, direction, friction);
        let of_legs = held.needed.value() - held.friction.value();
        of_legs / held.shares.iter().sum::<f64>() * STANDARD_TO_981 / DECANEWTON
    }

    #[track_caller]
    fn check(to: [f64; 3], forward: f64, rearward: f64, sideways: f64) {
        let [x, y, z] = to;
        close(
            just_enough([x, y, z], Direction::Forward, 0.3),
            forward,
            0.1,
        );
        close(
            just_enough([-x, y, z], Direction::Rearward, 0.3),
            rearward,
            0.1,
        );
        close(
            just_enough([x, -y, z], Direction::Right, 0.3),
            sideways,
            0.1,
        );
        close(just_enough([x, y, z], Direction::Left, 0.3), sideways, 0.1);
    }

    /// DIN EN 12195-1:2011 as in the GDV handbook, formulas read; arithmetic, no citation.
    #[test]
    fn lashing_capacities_for_two_tonnes_by_lengths() {
        check([1.2, 0.4, -0.6], 591.5, 282.9, 706.0);
    }

    /// As above, with the angles 30° to the deck and 30° from the long axis.
    #[test]
    fn lashing_capacities_for_two_tonnes_by_angles() {
        let (sine, cosine) = 30f64.to_radians().sin_cos();
        check([cosine * cosine, cosine * sine, -sine], 654.0, 312.8, 494.5);
    }

    /// NHVR load restraint case study (2025), reported, second-hand: a 15 t loader, two chains whose
    /// sideways part is 300 of 3,500 mm: a chain would need 43,750 kg. Forward the part is 3,400 mm.
    #[test]
    fn the_loader_s_chains_are_rejected_sideways() {
        // 300 and 3,400 mm of 3,500 mm leave 774.6 mm for the third axis.
        let to = [
            3.4,
            0.3,
            -(3.5f64.powi(2) - 3.4f64.powi(2) - 0.3f64.powi(2)).sqrt(),
        ];
        let legs = [leg([0.0; 3], to, 1.0), leg([0.0; 3], to, 1.0)];
        let forward = held(15_000.0, &legs, Direction::Forward, 0.0);
        close(forward.shares[0], 0.97, 0.005);
        let sideways = held(15_000.0, &legs, Direction::Left, 0.0);
        close(sideways.shares[0], 0.086, 0.0005);
        let each = sideways.needed.value() / sideways.shares.iter().sum::<f64>();
        close(each / STANDARD_GRAVITY, 43_750.0, 0.5);
        close(each * STANDARD_TO_981 / DECANEWTON, 42_918.75, 0.5);
    }

    #[test]
    fn only_legs_that_the_movement_stretches_count() {
        let legs = [
            leg([0.0, 0.0, 0.5], [1.0, 0.0, 0.5], 1000.0),
            leg([0.0, 0.0, 0.5], [-1.0, 0.0, 0.5], 1000.0),
            leg([0.0, 0.0, 0.5], [0.0, 1.0, 0.5], 1000.0),
            leg([0.0, 0.0, 0.5], [0.0, 0.0, 0.0], 1000.0),
        ];
        let shares = |direction| {
            let rules = BalanceRules::Quebec;
            let none = exact(0.0);
            let held = holding(&exact(100.0), &legs, direction, rules, &none);
            held.unwrap().unwrap().shares
        };
        assert_eq!(shares(Direction::Forward), [1.0, 0.0, 0.0, 0.0]);
        assert_eq!(shares(Direction::Rearward), [0.0, 1.0, 0.0, 0.0]);
        assert_eq!(shares(Direction::Left), [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(shares(Direction::Right), [0.0, 0.0, 0.0, 0.0]);
        assert_eq!(shares(Direction::Up), [0.0, 0.0, 0.0, 1.0]);
    }

    #[test]
    fn friction_counts_in_the_european_set_only() {
        let legs = [leg([0.0; 3], [1.0, 0.0, -1.0], 1000.0)];
        let capacity = |rules, friction: f64| {
            let mass = exact(100.0);
            let held = holding(&mass, &legs, Direction::Forward, rules, &exact(friction));
            held.unwrap().unwrap().capacity.value()
        };
        for rules in [BalanceRules::UsWorkingLoad, BalanceRules::Quebec] {
            close(capacity(rules, 0.5), capacity(rules, 0.0), 0.0);
        }
        let more = capacity(BalanceRules::En12195, 0.5) - capacity(BalanceRules::En12195, 0.0);
        let pressed = 0.375 * (100.0 * STANDARD_GRAVITY + 1000.0 * 0.5f64.sqrt());
        close(more, pressed, 1e-9);
        let nothing = holding(
            &exact(100.0),
            &legs,
            Direction::Up,
            BalanceRules::En12195,
            &exact(0.0),
        );
        assert_eq!(nothing, Ok(None));
    }

    /// A leg across the movement must not gain the whole of its pressing when it leans by a hair.
    #[test]
    fn friction_does_not_jump_on_when_a_leg_leans_by_a_hair() {
        let capacity = |lean: f64| {
            let legs = [1.0, -1.0].map(|side| leg([0.0; 3], [lean, side, -1.0], 25_000.0));
            held(2000.0, &legs, Direction::Forward, 0.6)
                .capacity
                .value()
        };
        close(capacity(1e-9), capacity(0.0), 1e-3);
        assert!(capacity(0.1) > capacity(0.0) + 1000.0);
        let leaning = input(0.0, 0.02) + 0.001;
        let mut legs = [1.0, -1.0].map(|side| leg([0.0; 3], [0.0, side, -1.0], 25_000.0));
        for leg in &mut legs {
            leg.to[0] = leaning.clone();
        }
        let held = held(1400.0, &legs, Direction::Forward, 0.6);
        assert_ne!(held.verdict, Verdict::Within);
    }

    #[test]
    fn legs_out_of_all_measure_are_refused() {
        let long = [leg([0.0; 3], [1e160, 0.0, 0.0], 1000.0)];
        let mass = exact(100.0);
        let rules = BalanceRules::Quebec;
        let none = exact(0.0);
        assert!(holding(&mass, &long, Direction::Forward, rules, &none).is_err());
    }

    #[test]
    fn the_short_leg_along_the_movement_is_the_weakest() {
        let legs = [
            leg([0.0; 3], [2.0, 0.0, 0.0], 1000.0),
            leg([0.0; 3], [1.0, 0.0, 0.0], 1000.0),
        ];
        let held = held(100.0, &legs, Direction::Forward, 0.0);
        let weakest = held.weakest.unwrap();
        assert_eq!(weakest.leg, 1);
        // It stretches twice as much on its length, so it takes two thirds.
        close(
            weakest.share.value(),
            held.needed.value() * 2.0 / 3.0 / 1000.0,
            1e-9,
        );
        assert_eq!(
            super::holding(
                &exact(100.0),
                &legs,
                Direction::Left,
                BalanceRules::Quebec,
                &exact(0.0)
            )
            .unwrap()
            .unwrap()
            .weakest,
            None
        );
    }

    #[test]
    fn the_forces_of_the_legs_add_up_to_the_need() {
        let legs = [
            leg([0.0, -0.5, 0.3], [1.0, -0.9, 0.0], 2000.0),
            leg([0.0, 0.5, 0.3], [1.7, 0.4, 0.0], 3000.0),
            leg([0.0, 0.5, 0.3], [-1.7, 0.4, 0.0], 3000.0),
        ];
        let (mass, friction) = (exact(1500.0), exact(0.2));
        for rules in BalanceRules::ALL {
            let held = holding(&mass, &legs, Direction::Forward, rules, &friction);
            let held = held.unwrap().unwrap();
            let forces = leg_forces(&mass, &legs, Direction::Forward, rules, &friction);
            let forces = forces.unwrap().unwrap();
            let along = forces.iter().zip(&held.shares);
            let sum: f64 = along.map(|(force, share)| force.value() * share).sum();
            close(sum, held.needed.value() - held.friction.value(), 1e-6);
            let weakest = held.weakest.unwrap();
            let used = forces[weakest.leg].value() / legs[weakest.leg].limit.value();
            close(weakest.share.value(), used, 1e-9);
            close(forces[2].value(), 0.0, 0.0);
        }
    }

    #[test]
    fn plain_shares_are_those_of_the_legs() {
        let (from, to) = ([0.1, -0.5, 0.3], [1.0, 0.2, 0.05]);
        let legs = [leg(from, to, 1.0)];
        let plain = plain_shares(from, to, 0.3 * DIRECT_FRICTION_SHARE).unwrap();
        for (direction, plain) in Direction::ALL.into_iter().zip(plain) {
            let rules = BalanceRules::En12195;
            let held = holding(&exact(1.0), &legs, direction, rules, &exact(0.3));
            if let Some(held) = held.unwrap() {
                close(held.shares[0], plain, 1e-12);
            }
        }
        close(plain[4], 0.25 / 0.9f64.hypot(0.7).hypot(0.25), 1e-12);
        assert_eq!(plain_shares(from, from, 0.0), None);
        assert_eq!(plain_shares(from, [f64::NAN; 3], 0.0), None);
    }

    #[test]
    fn alike_legs_share_alike() {
        let legs = [
            leg([0.0, -0.5, 0.3], [1.0, -0.5, 0.0], 2000.0),
            leg([0.0, 0.5, 0.3], [1.0, 0.5, 0.0], 2000.0),
        ];
        let held = held(100.0, &legs, Direction::Forward, 0.0);
        let use_of_each = held.needed.value() / held.capacity.value();
        close(held.weakest.unwrap().share.value(), use_of_each, 1e-12);
    }

    #[test]
    fn an_uncertain_place_passes_its_uncertainty_on() {
        let mut legs = [leg([0.0; 3], [1.0, 0.0, -0.5], 1000.0)];
        legs[0].from[2] = input(0.0, 0.02);
        let held = held(100.0, &legs, Direction::Forward, 0.0);
        let capacity = |z: f64| 1000.0 / 1f64.hypot(0.5 + z);
        let slope = (capacity(1e-6) - capacity(-1e-6)) / 2e-6;
        close(held.capacity.u(), slope.abs() * 0.02, 1e-6);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let sound = leg([0.0; 3], [1.0, 0.0, 0.0], 1.0);
        let attempt = |mass: f64, leg: Leg, friction: f64| {
            holding(
                &exact(mass),
                &[leg],
                Direction::Forward,
                BalanceRules::En12195,
                &exact(friction),
            )
        };
        assert!(attempt(1.0, sound.clone(), 0.3).is_ok());
        for bad in [0.0, -1.0, f64::NAN] {
            assert!(attempt(bad, sound.clone(), 0.3).is_err());
            assert!(attempt(1.0, leg([0.0; 3], [1.0, 0.0, 0.0], bad), 0.3).is_err());
        }
        for bad in [-0.1, 1.1, f64::NAN] {
            assert!(attempt(1.0, sound.clone(), bad).is_err());
        }
        assert_eq!(
            attempt(1.0, leg([1.0; 3], [1.0; 3], 1.0), 0.3),
            Err(SecuringError::LegWithoutLength { leg: 0 })
        );
        assert!(attempt(1.0, leg([f64::NAN; 3], [1.0; 3], 1.0), 0.3).is_err());
    }

    #[test]
    fn no_legs_hold_nothing() {
        let none = held(100.0, &[], Direction::Forward, 0.0);
        assert_eq!(none.verdict, Verdict::Beyond);
        assert_eq!((none.capacity.value(), none.weakest), (0.0, None));
    }
}

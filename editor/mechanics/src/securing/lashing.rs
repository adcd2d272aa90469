//! Tie-downs over the top, which hold by friction, and tipping without any.
//!
//! # Free body
//! n straps over the load press it on the deck with k·n·F_T·sin α, where F_T is the tension that the
//! tensioner gives and α the strap's angle to the deck; k counts both sides. The friction factor μ
//! turns that and the weight G into a holding force:
//!
//! - c·G ≤ μ·G + k·μ·n·F_T·sin α + B, B being what blocking holds.
//!
//! GDV Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011), read. Published factors k differ: see
//! [`FrictionLashingRules`]. When μ reaches c nothing is needed against sliding; fit two straps all
//! the same against wandering (common practice, second-hand).
//!
//! A load stands by itself when c·h ≤ c_z·b: h the height of its centre of gravity, b the level
//! distance to the edge that it would tip over (statics). Sideways c rises by 0.1 for what is not
//! stable by itself (Kaps, Securing cargo in road transport, ch. 5.2, read); c_z = 1, from memory.
//!
//! # Valid for
//! Not for vehicles on their springs and tyres, which the sections for vehicles do not tie down over
//! the top. It is here for parts and pallets that travel along.

use super::balance::{BalanceRules, Direction};
use super::error::{Quantity, SecuringError, check_finite, check_positive, check_range, finite};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};
use std::f64::consts::FRAC_PI_2;

/// Straps against wandering where nothing is needed against sliding.
const LEAST_STRAPS: u32 = 2;

/// A published factor for tie-downs over the top.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FrictionLashingRules {
    /// 2 over a safety factor of 1.25 forward and 1.1 otherwise, as the standard arranges it.
    Standard2010,
    /// The same rounded to 1.6 forward and 1.8 otherwise.
    InsurersRounded,
    /// 1.8 in all directions.
    TrainingHandbook,
    /// 1.5 in all directions: the edition of 2004, superseded.
    Superseded2004,
}

impl FrictionLashingRules {
    /// Every set.
    pub const ALL: [Self; 4] = [
        Self::Standard2010,
        Self::InsurersRounded,
        Self::TrainingHandbook,
        Self::Superseded2004,
    ];

    /// Returns the set's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Standard2010 => "EN 12195-1:2010",
            Self::InsurersRounded => "EN 12195-1 as German insurers round it",
            Self::TrainingHandbook => "German driver training handbook",
            Self::Superseded2004 => "EN 12195-1 of 2004, superseded",
        }
    }

    /// Returns where the set comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::Standard2010 => "EN 12195-1:2010, safety factors from memory",
            Self::InsurersRounded => {
                "GDV Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011), read"
            }
            Self::TrainingHandbook => {
                "German driver training handbook, ch. 5.1 p. 87, read second-hand; the factor is \
                 arithmetic from its example"
            }
            Self::Superseded2004 => {
                "Kaps, Securing cargo for the road: the facts, ch. 4, read; only to compare old work"
            }
        }
    }

    /// Returns the factor k.
    pub fn factor(self, direction: Direction) -> f64 {
        let forward = direction == Direction::Forward;
        match self {
            // 2 / 1.25 is 1.6 exactly: the rounded set differs only in the other directions.
            Self::Standard2010 | Self::InsurersRounded if forward => 2.0 / 1.25,
            Self::Standard2010 => 2.0 / 1.1,
            Self::InsurersRounded | Self::TrainingHandbook => 1.8,
            Self::Superseded2004 => 1.5,
        }
    }
}

/// A load under straps over its top.
#[derive(Debug, Clone, PartialEq)]
pub struct FrictionLashing {
    /// Mass of the load, kilograms.
    pub mass: Tracked,
    /// Friction factor between load and deck.
    pub friction: Tracked,
    /// Angle of the straps to the deck, radians.
    pub angle: Tracked,
    /// Tension that the tensioner gives, newtons.
    pub tension: Tracked,
}

/// Returns how many straps over the top hold a load in a direction, not yet rounded up.
///
/// Zero or less means that friction alone holds; see [`friction_lashings`] for a number to fit.
///
/// # Errors
/// A mass, friction factor, angle or tension that is not more than zero, an angle above 90°, and what
/// is not finite.
pub fn friction_lashing_force(
    load: &FrictionLashing,
    direction: Direction,
    rules: FrictionLashingRules,
) -> Result<Tracked, SecuringError> {
    check_positive(&load.mass, Quantity::Mass)?;
    check_positive(&load.friction, Quantity::Friction)?;
    check_positive(&load.tension, Quantity::Tension)?;
    check_positive(&load.angle, Quantity::LashingAngle)?;
    check_range(&load.angle, Quantity::LashingAngle, 0.0, FRAC_PI_2)?;
    // Upward the European set asks for nothing.
    let needed = BalanceRules::En12195.factor(direction).unwrap_or(0.0);
    let weight = &load.mass * STANDARD_GRAVITY;
    let short = (needed - &load.friction) * weight;
    let each = rules.factor(direction) * (&load.friction * load.angle.sin() * &load.tension);
    finite(short / each, Quantity::Capacity)
}

/// Returns how many straps over the top to fit in a direction, two at least.
///
/// Every number counts at the end of its interval that takes the most straps: mass at the upper end,
/// friction, angle and tension at the lower. Friction stands in the denominator, so an interval of the
/// result, which is made at the middle values, would be far too narrow where friction is little.
///
/// # Errors
/// As [`friction_lashing_force`]; also where a lower end is not more than zero.
pub fn friction_lashings(
    load: &FrictionLashing,
    direction: Direction,
    rules: FrictionLashingRules,
) -> Result<u32, SecuringError> {
    /// More than any deck takes.
    const MOST: f64 = 1e6;
    // What is refused is refused for the values as given before it is for their ends.
    friction_lashing_force(load, direction, rules)?;
    let low = |number: &Tracked| Tracked::exact(number.uncertain().interval().low);
    let cautious = FrictionLashing {
        mass: Tracked::exact(load.mass.uncertain().interval().high),
        friction: low(&load.friction),
        angle: low(&load.angle),
        tension: low(&load.tension),
    };
    let straps = friction_lashing_force(&cautious, direction, rules)?;
    let high = straps.value().ceil().clamp(0.0, MOST);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a range that fits"
    )]
    let whole = high as u32;
    Ok(whole.max(LEAST_STRAPS))
}

/// Whether a load stands without straps.
#[derive(Debug, Clone, PartialEq)]
pub struct Tilting {
    /// c·h / b: at most 1 stands.
    pub share: Tracked,
    /// Whether it stands.
    pub verdict: Verdict,
}

/// Judges whether a load stands by itself in a direction.
///
/// `height` of the centre of gravity and `distance` to the edge that it would tip over, metres;
/// `stable` says that it is stable by itself, else 0.1 more is counted sideways.
///
/// # Errors
/// A negative height, a distance that is not more than zero, and what is not finite.
pub fn stands_by_itself(
    height: &Tracked,
    distance: &Tracked,
    direction: Direction,
    stable: bool,
) -> Result<Tilting, SecuringError> {
    check_finite(height, Quantity::Height)?;
    check_range(height, Quantity::Height, 0.0, f64::MAX)?;
    check_positive(distance, Quantity::TippingDistance)?;
    let rolling = match direction {
        Direction::Left | Direction::Right if !stable => 0.1,
        _ => 0.0,
    };
    let factor = BalanceRules::En12195.factor(direction).unwrap_or(0.0) + rolling;
    let share = finite(factor * (height / distance), Quantity::Height)?;
    Ok(Tilting {
        verdict: Limit::AtMost(1.0).verdict(Some(share.uncertain())),
        share,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{DECANEWTON, close, exact, input};
    use super::*;
    use proptest::prelude::*;

    fn load(mass: f64, friction: f64, tension: f64) -> FrictionLashing {
        FrictionLashing {
            mass: exact(mass),
            friction: exact(friction),
            angle: exact(60f64.to_radians()),
            tension: exact(tension * DECANEWTON),
        }
    }

    fn straps(load: &FrictionLashing, direction: Direction, rules: FrictionLashingRules) -> f64 {
        friction_lashing_force(load, direction, rules)
            .unwrap()
            .value()
    }

    use Direction::{Forward, Left};
    use FrictionLashingRules::{InsurersRounded, Standard2010, Superseded2004, TrainingHandbook};

    /// Arithmetic from the formula of DIN EN 12195-1:2011, no citation; it is made with 9.81 m/s², so
    /// the standard gravity differs in the fourth figure.
    #[test]
    fn two_tonnes_at_60_degrees() {
        let load = load(2000.0, 0.4, 500.0);
        close(straps(&load, Forward, Standard2010), 2.832, 0.002);
        close(straps(&load, Left, Standard2010), 0.623, 0.001);
        close(straps(&load, Left, InsurersRounded), 0.629, 0.001);
        let fit = |direction| friction_lashings(&load, direction, Standard2010).unwrap();
        assert_eq!(fit(Forward), 3);
        assert_eq!(fit(Left), 2, "one would hold; two keep it from wandering");
    }

    /// German driver training handbook, ch. 5.1 p. 87, read second-hand: 4,000 kg at 60° and 300 daN
    /// take 14 straps at 0.3 and 3 at 0.6. With the standard of 2010 it is 16 and 4 (arithmetic).
    #[test]
    fn the_training_handbook_s_table() {
        let rough = load(4000.0, 0.6, 300.0);
        let slippery = load(4000.0, 0.3, 300.0);
        close(straps(&slippery, Forward, TrainingHandbook), 13.98, 0.01);
        close(straps(&rough, Forward, TrainingHandbook), 2.80, 0.01);
        let fit = |load, rules| friction_lashings(load, Forward, rules).unwrap();
        assert_eq!(fit(&slippery, TrainingHandbook), 14);
        assert_eq!(fit(&rough, TrainingHandbook), 3);
        close(straps(&slippery, Forward, Standard2010), 15.73, 0.01);
        close(straps(&rough, Forward, Standard2010), 3.15, 0.01);
        assert_eq!(
            (fit(&slippery, Standard2010), fit(&rough, Standard2010)),
            (16, 4)
        );
    }

    /// Arithmetic from the formula, no citation.
    #[test]
    fn four_tonnes_sideways() {
        let load = load(4000.0, 0.3, 300.0);
        close(straps(&load, Left, Standard2010), 5.54, 0.01);
        close(straps(&load, Left, InsurersRounded), 5.59, 0.01);
        for rules in [Standard2010, InsurersRounded] {
            assert_eq!(friction_lashings(&load, Left, rules).unwrap(), 6);
        }
    }

    /// Kaps, Securing cargo for the road: the facts, ch. 4, read: the factor of 1.5 in place of 2
    /// takes a third more lashings.
    #[test]
    fn the_superseded_edition_took_a_third_more() {
        close(2.0 / Superseded2004.factor(Forward), 1.333, 5e-4);
    }

    /// Kaps, Securing cargo for the road: the facts, ch. 2, read: a belt of 2,500 daN used directly
    /// holds 2,500; over the top, with 400 daN of tension and friction 0.3, it holds 240 daN.
    #[test]
    fn the_same_belt_over_the_top_holds_a_tenth() {
        // The published example takes no transmission loss and no safety factor: k = 2. Rearward and
        // sideways the standard divides that by 1.1, so one strap straight up covers 240 / 1.1 daN of
        // a load's shortfall.
        let mut belt = load(1.0, 0.3, 400.0);
        belt.angle = exact(FRAC_PI_2);
        let shortfall = 240.0 * DECANEWTON / 1.1;
        belt.mass = exact(shortfall / (0.2 * STANDARD_GRAVITY));
        close(straps(&belt, Left, Standard2010), 1.0, 1e-9);
    }

    /// Arithmetic from the formula, no citation: at the lower end μ is 0.04.
    #[test]
    fn little_and_uncertain_friction_takes_what_its_lower_end_takes() {
        let slippery = FrictionLashing {
            friction: input(0.20, 0.08),
            ..load(1000.0, 0.2, 300.0)
        };
        let at_the_end = load(1000.0, 0.04, 300.0);
        let fit = |load| friction_lashings(load, Forward, InsurersRounded).unwrap();
        assert_eq!(fit(&slippery), fit(&at_the_end));
        assert!(fit(&slippery) > 2 * fit(&load(1000.0, 0.2, 300.0)));
        let unknown = FrictionLashing {
            friction: input(0.20, 0.1),
            ..slippery
        };
        assert!(friction_lashings(&unknown, Forward, InsurersRounded).is_err());
    }

    #[test]
    fn friction_beyond_the_need_leaves_two_straps_against_wandering() {
        let load = load(2000.0, 0.9, 300.0);
        assert!(straps(&load, Forward, Standard2010) <= 0.0);
        assert_eq!(friction_lashings(&load, Forward, Standard2010).unwrap(), 2);
    }

    /// GDV handbook, read, and Kaps ch. 5.2, read, for the factors; arithmetic, no citation.
    #[test]
    fn a_slim_load_tips_sideways_before_a_stable_one() {
        let judge = |height: f64, stable| {
            stands_by_itself(&exact(height), &exact(0.6), Left, stable).unwrap()
        };
        assert_eq!(judge(1.19, true).verdict, Verdict::Within);
        assert_eq!(judge(1.21, true).verdict, Verdict::Beyond);
        assert_eq!(judge(0.99, false).verdict, Verdict::Within);
        assert_eq!(judge(1.01, false).verdict, Verdict::Beyond);
        let forward = stands_by_itself(&exact(1.0), &exact(0.79), Forward, true).unwrap();
        assert_eq!(forward.verdict, Verdict::Beyond);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let force = |load: &FrictionLashing| friction_lashing_force(load, Forward, Standard2010);
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(force(&load(bad, 0.3, 300.0)).is_err());
            assert!(force(&load(1000.0, bad, 300.0)).is_err());
            assert!(force(&load(1000.0, 0.3, bad)).is_err());
            let mut steep = load(1000.0, 0.3, 300.0);
            steep.angle = exact(bad);
            assert!(force(&steep).is_err());
            assert!(stands_by_itself(&exact(1.0), &exact(bad), Left, true).is_err());
        }
        assert!(stands_by_itself(&exact(-1.0), &exact(1.0), Left, true).is_err());
    }

    proptest! {
        #[test]
        fn more_mass_takes_more_straps_and_more_tension_fewer(
            mass in 200.0..8000.0f64, friction in 0.1..0.7f64, tension in 100.0..1000.0f64,
        ) {
            for rules in FrictionLashingRules::ALL {
                let count = |mass, tension| straps(&load(mass, friction, tension), Forward, rules);
                let once = count(mass, tension);
                prop_assert!((count(mass * 2.0, tension) / once - 2.0).abs() < 1e-9);
                prop_assert!((count(mass, tension * 2.0) / once - 0.5).abs() < 1e-9);
            }
        }
    }
}

//! How many parts of line a load needs, and what each line carries.
//!
//! # Free body
//! A tackle of n parts of line pulls the load n times as hard as the winch pulls its line, less what
//! is lost at each sheave. With the field method the loss is a tenth of the load for each sheave:
//!
//! - LR = W·MF − RF: load resistance; MF resistance factor, RF reduction
//! - MA = LR / WC rounded up: parts of line; WC what the winch pulls on the layer in use
//! - TR = 0.10 · LR · sheaves, sheaves = MA − 1: tackle resistance
//! - TOLR = LR + TR
//! - FLF = TOLR / MA: pull of the winch line; must be less than WC, else one part more
//! - DLF = FLF · lines that a dead line holds
//!
//! US Army BNCOC 63H34F01 Suppl. 1b solution sheet, read second-hand; the last steps in
//! TB 9-2350-292-10, read.

use super::error::{Quantity, WinchingError, check_finite, check_positive, check_range, finite};
use crate::propagation::Tracked;

/// The share of the load that each sheave adds in the field method. US Navy Builder 3&2 training
/// manual ("roughly 10 % of the load"), read.
pub const LOSS_PER_SHEAVE: f64 = 0.10;

/// More parts of line than anybody reeves.
const MOST_PARTS: u32 = 20;

/// What makes a mired load easier to pull. US Army FM 20-22 family, from memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Reduction {
    /// Nothing.
    None,
    /// It is pulled out the way it went in.
    OppositeToEntry,
    /// Its own tracks turn and help; wheels under power count nothing.
    TracksUnderPower,
    /// Both of these: pulled out the way it went in, and its tracks help.
    Both,
}

impl Reduction {
    /// Returns the share of the resistance that falls away.
    pub fn share(self) -> f64 {
        match self {
            Self::None => 0.0,
            Self::OppositeToEntry => 0.10,
            Self::TracksUnderPower => 0.40,
            Self::Both => 0.50,
        }
    }
}

/// The chain of line forces, in the unit of the resistance that was given.
#[derive(Debug, Clone, PartialEq)]
pub struct LineForce {
    /// Parts of line.
    pub parts: u32,
    /// Sheaves that lose, one fewer than parts.
    pub sheaves: u32,
    /// What the sheaves add.
    pub tackle_resistance: Tracked,
    /// Load and tackle together.
    pub total: Tracked,
    /// What the winch line carries.
    pub fall_line: Tracked,
}

/// Computes the resistance of a load from its weight: W·MF less the reduction.
///
/// # Errors
/// A weight that is not more than zero, a negative factor, and what is not finite.
pub fn load_resistance(
    weight: &Tracked,
    factor: &Tracked,
    reduction: Reduction,
) -> Result<Tracked, WinchingError> {
    check_positive(weight, Quantity::Resistance)?;
    check_range(factor, Quantity::ResistanceFactor, 0.0, f64::MAX)?;
    finite(
        weight * factor * (1.0 - reduction.share()),
        Quantity::Resistance,
    )
}

/// Finds the fewest parts of line with which the winch moves the load, and what the lines carry.
///
/// `capacity` is what the winch pulls on the layer in use, in the unit of `resistance`;
/// `loss_per_sheave` is [`LOSS_PER_SHEAVE`] in the field method. The number of parts follows from the
/// values alone; judge `fall_line` against `capacity` for the uncertainty.
///
/// # Errors
/// A resistance or capacity that is not more than zero, a loss outside 0 to 1, and a load that 20
/// parts do not bring down to the capacity.
pub fn line_force(
    resistance: &Tracked,
    capacity: &Tracked,
    loss_per_sheave: f64,
) -> Result<LineForce, WinchingError> {
    check_positive(resistance, Quantity::Resistance)?;
    check_positive(capacity, Quantity::WinchCapacity)?;
    check_range(
        &Tracked::exact(loss_per_sheave),
        Quantity::SheaveLoss,
        0.0,
        1.0,
    )?;
    (1..=MOST_PARTS)
        // The first number to try is the resistance over the capacity, rounded up.
        .filter(|parts| f64::from(*parts) * capacity.value() >= resistance.value())
        .map(|parts| with_parts(resistance, parts, loss_per_sheave))
        .find(|chain| chain.fall_line.value() < capacity.value())
        .ok_or(WinchingError::NoTackleHolds {
            resistance: resistance.value(),
            capacity: capacity.value(),
        })
}

fn with_parts(resistance: &Tracked, parts: u32, loss_per_sheave: f64) -> LineForce {
    let sheaves = parts - 1;
    let tackle_resistance = resistance * (loss_per_sheave * f64::from(sheaves));
    let total = resistance + &tackle_resistance;
    LineForce {
        parts,
        sheaves,
        fall_line: &total / f64::from(parts),
        tackle_resistance,
        total,
    }
}

/// Computes what a dead line carries that holds `lines` parts of the winch line.
///
/// # Errors
/// A pull that is not finite.
pub fn dead_line_force(fall_line: &Tracked, lines: u32) -> Result<Tracked, WinchingError> {
    check_finite(fall_line, Quantity::Pull)?;
    finite(fall_line * f64::from(lines), Quantity::Pull)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, exact};
    use super::*;
    use proptest::prelude::*;

    fn mired(capacity: f64) -> LineForce {
        let resistance = load_resistance(&exact(12_000.0), &exact(2.0), Reduction::None).unwrap();
        close(resistance.value(), 24_000.0, 0.0);
        line_force(&resistance, &exact(capacity), LOSS_PER_SHEAVE).unwrap()
    }

    /// The chain of US Army BNCOC 63H34F01, read second-hand, with W 12,000 lb, MF 2, WC 10,000 lb;
    /// arithmetic from the formulas, no citation.
    #[test]
    fn three_parts_for_24000_lb_with_a_10000_lb_winch() {
        let chain = mired(10_000.0);
        assert_eq!((chain.parts, chain.sheaves), (3, 2));
        close(chain.tackle_resistance.value(), 4800.0, 1e-9);
        close(chain.total.value(), 28_800.0, 1e-9);
        close(chain.fall_line.value(), 9600.0, 1e-9);
        let dead = dead_line_force(&chain.fall_line, 2).unwrap();
        close(dead.value(), 19_200.0, 1e-9);
    }

    /// As above with WC 9,000 lb; arithmetic from the formulas, no citation.
    #[test]
    fn a_fall_line_above_the_winch_takes_one_part_more() {
        let chain = mired(9000.0);
        assert_eq!(chain.parts, 4, "three parts leave 9,600 lb");
        close(chain.tackle_resistance.value(), 7200.0, 1e-9);
        close(chain.total.value(), 31_200.0, 1e-9);
        close(chain.fall_line.value(), 7800.0, 1e-9);
    }

    /// US Navy Builder 3&2 training manual, tackle, read: a single luff tackle (3 parts) lifts 600 lb
    /// with 200 lb without friction; with 10 % for each of three sheaves 260 lb (arithmetic from the
    /// formula). A gun tackle (2 parts) lifts 200 lb with 100 lb.
    #[test]
    fn navy_tackles() {
        let without = |load: f64, parts| with_parts(&exact(load), parts, 0.0).fall_line.value();
        close(without(600.0, 3), 200.0, 1e-9);
        close(without(200.0, 2), 100.0, 1e-9);
        let chain = with_parts(&exact(600.0), 3, LOSS_PER_SHEAVE);
        let third_sheave = LOSS_PER_SHEAVE * 600.0 / 3.0;
        close(chain.fall_line.value() + third_sheave, 260.0, 1e-9);
    }

    #[test]
    fn reductions_lower_the_resistance() {
        let of = |reduction| {
            load_resistance(&exact(1000.0), &exact(2.0), reduction)
                .unwrap()
                .value()
        };
        close(of(Reduction::OppositeToEntry), 1800.0, 1e-9);
        close(of(Reduction::TracksUnderPower), 1200.0, 1e-9);
        close(of(Reduction::Both), 1000.0, 1e-9);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        assert!(matches!(
            line_force(&exact(10_000.0), &exact(1000.0), LOSS_PER_SHEAVE),
            Err(WinchingError::NoTackleHolds { .. })
        ));
        for (load, winch, loss) in [
            (0.0, 1.0, 0.1),
            (1.0, 0.0, 0.1),
            (f64::NAN, 1.0, 0.1),
            (1.0, f64::INFINITY, 0.1),
            (1.0, 2.0, -0.1),
            (1.0, 2.0, f64::NAN),
        ] {
            assert!(line_force(&exact(load), &exact(winch), loss).is_err());
        }
        assert!(load_resistance(&exact(1.0), &exact(-1.0), Reduction::None).is_err());
        assert!(dead_line_force(&exact(f64::NAN), 2).is_err());
    }

    proptest! {
        #[test]
        fn units_do_not_matter_and_the_fall_line_is_below_the_winch(
            load in 100.0..40_000.0f64, winch in 8000.0..20_000.0f64,
        ) {
            let pounds = line_force(&exact(load), &exact(winch), LOSS_PER_SHEAVE).unwrap();
            prop_assert!(pounds.fall_line.value() < winch);
            if pounds.parts > 1 {
                let fewer = with_parts(&exact(load), pounds.parts - 1, LOSS_PER_SHEAVE);
                prop_assert!(fewer.fall_line.value() >= winch * (1.0 - 1e-12)
                    || load > winch * f64::from(pounds.parts - 1));
            }
            let newtons = 4.448_221_615_260_5;
            let si = line_force(&exact(load * newtons), &exact(winch * newtons), LOSS_PER_SHEAVE)
                .unwrap();
            prop_assert!((si.fall_line.value() / newtons - pounds.fall_line.value()).abs() < 1e-6);
        }
    }
}

//! What a block carries, and what it saves and loses.
//!
//! # Free body
//! A line with the pull T runs over a sheave; its two parts make the angle θ with each other (0 when
//! they lie side by side, 180° when the line runs straight on). The block's anchor holds both:
//!
//! - load on the block = T·2·cos(θ/2).
//!
//! Block loading tables in rigging-hardware handbooks (secondary), read second-hand.
//!
//! A block on the load moves with it: both parts pull the load with P = T·2·cos(θ/2) without
//! friction. Published ways to count the friction differ, hence [`BlockRule`].

use super::error::{Quantity, WinchingError, check_positive, check_range, finite};
use crate::propagation::Tracked;
use std::f64::consts::PI;

/// How the friction of a moving block is counted; η is the share of the pull that it passes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BlockRule {
    /// T = P / (2·cos(θ/2)·η): the loss is taken from the whole. The most cautious.
    WholeLoss,
    /// T = P·(1 + (1 − η)) / (2·cos(θ/2)): the loss is a share of the load, as in the field method.
    LoadShare,
    /// T = P / ((1 + η)·cos(θ/2)): only the part beyond the sheave is weaker.
    FarPart,
}

impl BlockRule {
    /// Every rule, the most cautious first.
    pub const ALL: [Self; 3] = [Self::WholeLoss, Self::LoadShare, Self::FarPart];

    /// Returns the rule's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::WholeLoss => "Loss from the whole pull",
            Self::LoadShare => "Loss as a share of the load",
            Self::FarPart => "Loss beyond the sheave only",
        }
    }

    /// Returns where the rule comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::WholeLoss => {
                "published engineering case study of a recovery pull (secondary), read second-hand"
            }
            Self::LoadShare => {
                "US Army BNCOC 63H34F01 Suppl. 1b, read second-hand; US Navy Builder 3&2, read"
            }
            Self::FarPart => "statics of one sheave with friction",
        }
    }
}

/// Computes the load on a block whose line turns, newtons.
///
/// `between` is the angle between the two parts of line, radians.
///
/// # Errors
/// A pull that is not more than zero, an angle outside 0 to 180°, and what is not finite.
pub fn redirect_load(pull: &Tracked, between: &Tracked) -> Result<Tracked, WinchingError> {
    check_positive(pull, Quantity::Pull)?;
    check_range(between, Quantity::LineAngle, 0.0, PI)?;
    finite(pull * 2.0 * (between / 2.0).cos(), Quantity::Pull)
}

/// Computes the winch line's pull when one block on the load moves it with the pull `load_pull`.
///
/// `efficiency` is the share of the pull that the block passes on; `between` the angle between the
/// two parts of line, radians.
///
/// # Errors
/// A pull that is not more than zero, an efficiency that is not above 0 and at most 1, lines that
/// are 180° apart or more (they pull nothing), and what is not finite.
pub fn moving_block(
    load_pull: &Tracked,
    efficiency: &Tracked,
    between: &Tracked,
    rule: BlockRule,
) -> Result<Tracked, WinchingError> {
    check_positive(load_pull, Quantity::Pull)?;
    check_positive(efficiency, Quantity::BlockEfficiency)?;
    check_range(efficiency, Quantity::BlockEfficiency, 0.0, 1.0)?;
    check_range(between, Quantity::LineAngle, 0.0, PI * 0.999)?;
    let cosine = (between / 2.0).cos();
    let pull = match rule {
        BlockRule::WholeLoss => load_pull / (2.0 * cosine * efficiency),
        BlockRule::LoadShare => load_pull * (2.0 - efficiency) / (2.0 * cosine),
        BlockRule::FarPart => load_pull / ((1.0 + efficiency) * cosine),
    };
    finite(pull, Quantity::Pull)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, degrees, exact};
    use super::*;
    use proptest::prelude::*;

    fn block(pull: f64, between: f64) -> f64 {
        redirect_load(&exact(pull), &degrees(between))
            .unwrap()
            .value()
    }

    /// Block loading tables in rigging-hardware handbooks (secondary), read second-hand; the printed
    /// factors are cut off, not rounded.
    #[test]
    fn printed_block_load_factors() {
        for (between, factor) in [
            (0.0, 2.00),
            (10.0, 1.99),
            (20.0, 1.97),
            (30.0, 1.93),
            (40.0, 1.87),
            (45.0, 1.84),
            (50.0, 1.81),
            (60.0, 1.73),
            (70.0, 1.64),
            (80.0, 1.53),
            (90.0, 1.41),
            (100.0, 1.29),
            (110.0, 1.15),
            (120.0, 1.00),
            (130.0, 0.84),
            (135.0, 0.76),
            (140.0, 0.68),
            (150.0, 0.52),
            (160.0, 0.35),
            (170.0, 0.17),
            (180.0, 0.0),
        ] {
            close(block(1.0, between), factor, 0.01);
        }
        close(block(1000.0, 50.0), 1810.0, 10.0);
        close(block(1000.0, 135.0), 760.0, 10.0);
    }

    /// Published engineering case study of a recovery pull (secondary), read second-hand: 26,000 lb
    /// and 10 % more, snow 0.3, one moving block, lines 30° apart at 0.52 each, 10 % lost: 4,957 lb.
    /// With the factor not rounded to 0.52 it is 4,934.8 lb (arithmetic from the formula).
    #[test]
    fn case_study_of_a_pull_with_one_moving_block() {
        let resistance = exact(26_000.0 * 1.1 * 0.3);
        close(resistance.value(), 8580.0, 1e-9);
        let pull = moving_block(
            &resistance,
            &exact(0.9),
            &degrees(30.0),
            BlockRule::WholeLoss,
        )
        .unwrap()
        .value();
        close(pull, 4934.8, 0.05);
        close(pull, 4957.0, 4957.0 * (0.52 / 0.5176 - 1.0) + 1.0);
    }

    #[test]
    fn the_rules_differ_by_a_few_percent_and_the_first_is_the_most_cautious() {
        let pull = |rule| {
            moving_block(&exact(1000.0), &exact(0.9), &exact(0.0), rule)
                .unwrap()
                .value()
        };
        close(pull(BlockRule::WholeLoss), 555.556, 5e-4);
        close(pull(BlockRule::LoadShare), 550.0, 1e-9);
        close(pull(BlockRule::FarPart), 526.316, 5e-4);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for (pull, between) in [
            (0.0, 0.1),
            (-1.0, 0.1),
            (f64::NAN, 0.1),
            (1.0, -0.1),
            (1.0, 3.2),
            (1.0, f64::NAN),
        ] {
            assert!(redirect_load(&exact(pull), &exact(between)).is_err());
            for rule in BlockRule::ALL {
                let moved = moving_block(&exact(pull), &exact(0.9), &exact(between), rule);
                assert!(moved.is_err());
            }
        }
        for efficiency in [0.0, -0.5, 1.1, f64::NAN] {
            for rule in BlockRule::ALL {
                assert!(moving_block(&exact(1.0), &exact(efficiency), &exact(0.0), rule).is_err());
            }
        }
        let apart = moving_block(&exact(1.0), &exact(0.9), &exact(PI), BlockRule::FarPart);
        assert!(apart.is_err(), "lines that run straight on pull nothing");
    }

    proptest! {
        #[test]
        fn a_block_without_loss_is_the_same_by_every_rule(
            pull in 1.0..1e5f64, between in 0.0..170.0f64,
        ) {
            let by = |rule| {
                moving_block(&exact(pull), &exact(1.0), &degrees(between), rule).unwrap().value()
            };
            for rule in BlockRule::ALL {
                prop_assert!((by(rule) / by(BlockRule::WholeLoss) - 1.0).abs() < 1e-12);
            }
            // Both parts together carry the load: the redirect formula turned round.
            prop_assert!((block(by(BlockRule::FarPart), between) / pull - 1.0).abs() < 1e-9);
        }

        #[test]
        fn a_wider_angle_eases_a_redirect_block(between in 0.0..179.0f64) {
            prop_assert!(block(1000.0, between + 1.0) < block(1000.0, between));
        }
    }
}

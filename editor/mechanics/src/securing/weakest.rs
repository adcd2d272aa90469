//! The limit of a tie-down: the least of its parts.
//!
//! The working load limit of a tie-down is the lowest of any of its parts, the tensioner included, or
//! of the anchor points, whichever is less: 49 CFR 393.108(a), read.

use super::error::{Quantity, SecuringError, check_positive};
use crate::propagation::Tracked;

/// Finds the weakest part of a tie-down: its index and its limit. Of equals the first.
///
/// The weakest is the part that can be the weakest: the one with the least lower end of its interval.
///
/// # Errors
/// No part, and limits that are not more than zero or not finite.
pub fn weakest_part(limits: &[Tracked]) -> Result<(usize, &Tracked), SecuringError> {
    for (index, limit) in limits.iter().enumerate() {
        check_positive(limit, Quantity::PartLimit(index))?;
    }
    limits
        .iter()
        .enumerate()
        .min_by(|(_, a), (_, b)| {
            let low = |limit: &Tracked| limit.uncertain().interval().low;
            low(a).total_cmp(&low(b))
        })
        .ok_or(SecuringError::NoParts)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{exact, input};
    use super::*;

    /// 49 CFR 393.108(a), read; arithmetic: chain 4,700, binder 5,400, deck anchor 4,000 lb.
    #[test]
    fn the_deck_anchor_governs_a_chain_with_a_binder() {
        let parts = [4700.0, 5400.0, 4000.0].map(exact);
        let (weakest, limit) = weakest_part(&parts).unwrap();
        assert_eq!((weakest, limit.value()), (2, 4000.0));
    }

    #[test]
    fn the_part_that_can_be_the_weakest_governs() {
        let parts = [exact(1000.0), input(1010.0, 200.0)];
        assert_eq!(weakest_part(&parts).unwrap().0, 1);
    }

    #[test]
    fn no_part_or_a_part_without_strength_is_refused() {
        assert_eq!(weakest_part(&[]), Err(SecuringError::NoParts));
        for bad in [0.0, -1.0, f64::NAN] {
            assert!(weakest_part(&[exact(1.0), exact(bad)]).is_err());
        }
    }
}

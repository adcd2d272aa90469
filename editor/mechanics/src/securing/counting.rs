//! The aggregate working load limit: how much of each tie-down counts, and half of the weight.
//!
//! AWLL = Σ kᵢ·WLLᵢ must be at least W / 2 (49 CFR 393.106(d), quoted second-hand). The share k of a
//! tie-down depends on where it runs, and rule sets disagree:
//!
//! | path | US regulation | Canada, NSC Standard 10 | US handbook |
//! | --- | --- | --- | --- |
//! | anchor to a point on the article | 1/2 | 1/2 | 1 |
//! | over or around it, back to the same side | 1/2 | 1 | 1 |
//! | over or around it, to the other side | 1 | 1 | 1 |
//!
//! The last two columns are arithmetic from "1/2 for each end section at an anchor point" (NSC
//! Standard 10, quoted) and "and 1/2 for each end at the cargo" (FMCSA Driver's Handbook, second-hand).

use super::error::{Quantity, SecuringError, check_positive, finite};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};

/// Where a tie-down runs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Path {
    /// From an anchor of the truck to a point on the article.
    Direct,
    /// From an anchor over or around the article to an anchor on the same side.
    SameSide,
    /// From an anchor over or around the article to an anchor on the other side.
    OtherSide,
}

/// A published way to count tie-downs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CountingRules {
    /// 49 CFR 393.106(d).
    UsRegulation,
    /// NSC Standard 10: half for each end at the truck.
    CanadaStandard,
    /// An older US driver's handbook: half for each end at the truck and at the cargo.
    UsHandbook,
}

impl CountingRules {
    /// Every set, the default first.
    pub const ALL: [Self; 3] = [Self::UsRegulation, Self::CanadaStandard, Self::UsHandbook];

    /// Returns the set's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::UsRegulation => "US regulation",
            Self::CanadaStandard => "Canadian standard",
            Self::UsHandbook => "US driver's handbook",
        }
    }

    /// Returns where the set comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::UsRegulation => "49 CFR 393.106(d), quoted, read second-hand",
            Self::CanadaStandard => "NSC Standard 10, quoted, read second-hand",
            Self::UsHandbook => {
                "FMCSA Driver's Handbook on Cargo Securement, ch. 2, read second-hand"
            }
        }
    }

    /// Returns the share of a tie-down's working load limit that counts.
    pub fn share(self, path: Path) -> f64 {
        match (self, path) {
            (Self::UsRegulation, Path::Direct | Path::SameSide)
            | (Self::CanadaStandard, Path::Direct) => 0.5,
            (_, Path::OtherSide)
            | (Self::CanadaStandard, Path::SameSide)
            | (Self::UsHandbook, Path::Direct | Path::SameSide) => 1.0,
        }
    }
}

/// A tie-down as it is counted.
#[derive(Debug, Clone, PartialEq)]
pub struct CountedTieDown {
    /// Its working load limit with all its parts, newtons.
    pub limit: Tracked,
    /// Where it runs.
    pub path: Path,
}

/// The aggregate working load limit beside what is needed, newtons.
#[derive(Debug, Clone, PartialEq)]
pub struct Aggregate {
    /// What the tie-downs count together.
    pub counted: Tracked,
    /// Half of the weight.
    pub needed: Tracked,
    /// Whether it is enough.
    pub verdict: Verdict,
}

/// Adds up what tie-downs count and compares it with half of the weight.
///
/// `mass` in kilograms. No tie-downs count zero.
///
/// # Errors
/// A mass or limits that are not more than zero, and what is not finite.
pub fn aggregate(
    mass: &Tracked,
    tie_downs: &[CountedTieDown],
    rules: CountingRules,
) -> Result<Aggregate, SecuringError> {
    check_positive(mass, Quantity::Mass)?;
    for (index, tie_down) in tie_downs.iter().enumerate() {
        check_positive(&tie_down.limit, Quantity::Limit(index))?;
    }
    let counted = Tracked::weighted_sum(
        tie_downs
            .iter()
            .map(|tie_down| (rules.share(tie_down.path), &tie_down.limit)),
    );
    let needed = mass * (0.5 * STANDARD_GRAVITY);
    let spare = finite(&counted - &needed, Quantity::Capacity)?;
    Ok(Aggregate {
        verdict: Limit::AtLeast(0.0).verdict(Some(spare.uncertain())),
        counted,
        needed,
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::default_limits::{ChainGrade, chain_default, webbing_default};
    use super::super::testing::{POUND, close, exact, input};
    use super::*;

    /// A pound's weight, newtons.
    const POUND_FORCE: f64 = POUND * STANDARD_GRAVITY;

    fn direct(count: usize, pounds: f64) -> Vec<CountedTieDown> {
        let limit = exact(pounds * POUND_FORCE);
        vec![
            CountedTieDown {
                limit,
                path: Path::Direct
            };
            count
        ]
    }

    #[track_caller]
    fn check(weight: f64, tie_downs: &[CountedTieDown], counted: f64, verdict: Verdict) {
        let sum = aggregate(
            &exact(weight * POUND),
            tie_downs,
            CountingRules::UsRegulation,
        )
        .unwrap();
        close(sum.counted.value() / POUND_FORCE, counted, 1e-6);
        close(sum.needed.value() / POUND_FORCE, weight / 2.0, 1e-6);
        assert_eq!(sum.verdict, verdict);
    }

    /// 49 CFR 393.106(d), quoted, second-hand, with the default limits of 393.108 (second-hand);
    /// arithmetic, no citation.
    #[test]
    fn four_direct_tie_downs_against_half_of_the_weight() {
        let webbing = f64::from(webbing_default(32).unwrap().pounds);
        check(4200.0, &direct(4, webbing), 4000.0, Verdict::Within);
        let unmarked = f64::from(chain_default(5, ChainGrade::G30).unwrap().pounds);
        check(14_000.0, &direct(4, unmarked), 3800.0, Verdict::Beyond);
        let transport = f64::from(chain_default(6, ChainGrade::G70).unwrap().pounds);
        check(14_000.0, &direct(4, transport), 13_200.0, Verdict::Within);
        check(26_399.9, &direct(4, transport), 13_200.0, Verdict::Within);
        check(26_400.1, &direct(4, transport), 13_200.0, Verdict::Beyond);
    }

    /// As above: one strap over the top of 3,333 lb.
    #[test]
    fn a_strap_over_the_top_counts_whole_on_the_other_side_and_half_on_the_same() {
        let strap = |path| {
            vec![CountedTieDown {
                limit: exact(3333.0 * POUND_FORCE),
                path,
            }]
        };
        check(4200.0, &strap(Path::OtherSide), 3333.0, Verdict::Within);
        check(4200.0, &strap(Path::SameSide), 1666.5, Verdict::Beyond);
    }

    #[test]
    fn the_ways_to_count_differ_for_direct_and_same_side() {
        let check = |path, expected: [f64; 3]| {
            for (rules, expected) in CountingRules::ALL.into_iter().zip(expected) {
                close(rules.share(path), expected, 0.0);
            }
        };
        check(Path::Direct, [0.5, 0.5, 1.0]);
        check(Path::SameSide, [0.5, 1.0, 1.0]);
        check(Path::OtherSide, [1.0, 1.0, 1.0]);
    }

    #[test]
    fn an_uncertain_weight_near_the_limit_is_too_close_to_call() {
        let limit = exact(2000.0 * STANDARD_GRAVITY);
        let tie_downs = [CountedTieDown {
            limit,
            path: Path::Direct,
        }];
        let rules = CountingRules::UsRegulation;
        let near = aggregate(&input(1990.0, 10.0), &tie_downs, rules).unwrap();
        assert_eq!(near.verdict, Verdict::TooCloseToCall);
        let sure = aggregate(&input(1970.0, 10.0), &tie_downs, rules).unwrap();
        assert_eq!(sure.verdict, Verdict::Within);
    }

    #[test]
    fn no_tie_downs_hold_nothing_and_bad_numbers_are_refused() {
        check(4200.0, &[], 0.0, Verdict::Beyond);
        for (mass, limit) in [(0.0, 1.0), (f64::NAN, 1.0), (1.0, 0.0), (1.0, f64::NAN)] {
            let limit = exact(limit);
            let path = Path::Direct;
            let tie_downs = [CountedTieDown { limit, path }];
            assert!(aggregate(&exact(mass), &tie_downs, CountingRules::UsHandbook).is_err());
        }
    }
}

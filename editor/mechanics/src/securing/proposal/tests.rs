#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use super::super::testing::close;
use super::*;
use proptest::prelude::*;

fn candidate(straps: u32, occupies: u128, gives: &[f64]) -> Candidate {
    Candidate {
        straps,
        kind: 0,
        occupies,
        gives: gives.to_vec(),
        counts: vec![straps],
    }
}

fn requirements(needs: &[f64], count: u32, available: u32) -> Requirements {
    Requirements {
        needs: needs.to_vec(),
        counts: vec![count],
        available: vec![available],
    }
}

fn found(outcome: Outcome) -> Found {
    match outcome {
        Outcome::Found(found) => found,
        other => panic!("{other:?}"),
    }
}

#[test]
fn two_pairs_that_complement_each_other_beat_three_alike() {
    let candidates = [
        candidate(2, 0b0001, &[3.0, 3.0]),
        candidate(2, 0b0010, &[9.0, 1.0]),
        candidate(2, 0b0100, &[1.0, 9.0]),
        candidate(2, 0b1000, &[3.0, 3.0]),
    ];
    let best = propose(&candidates, &requirements(&[8.0, 8.0], 4, 8)).unwrap();
    let best = found(best);
    assert_eq!((best.candidates, best.straps), (vec![1, 2], 4));
    close(best.margin, 10.0 / 8.0, 1e-12);
    assert!(best.is_proven);
}

#[test]
fn a_count_asks_for_more_straps_than_the_forces() {
    let candidates = [
        candidate(1, 1, &[10.0]),
        candidate(1, 2, &[4.0]),
        candidate(1, 4, &[6.0]),
    ];
    let one = found(propose(&candidates, &requirements(&[5.0], 1, 3)).unwrap());
    assert_eq!(one.candidates, [0]);
    let two = found(propose(&candidates, &requirements(&[5.0], 2, 3)).unwrap());
    assert_eq!(two.candidates, [0, 2], "of two straps the largest margin");
}

#[test]
fn places_are_used_once() {
    let candidates = [candidate(1, 1, &[5.0]), candidate(1, 1, &[4.0])];
    let outcome = propose(&candidates, &requirements(&[8.0], 1, 2)).unwrap();
    let short = Shortfall {
        requirement: 0,
        most: 5.0,
        needed: 8.0,
    };
    assert_eq!(outcome, Outcome::Fails(vec![short]));
}

#[test]
fn requirements_that_only_fail_together_are_named() {
    let candidates = [candidate(1, 1, &[9.0, 0.0]), candidate(1, 1, &[0.0, 9.0])];
    let outcome = propose(&candidates, &requirements(&[8.0, 8.0], 1, 2)).unwrap();
    let short = |requirement| Shortfall {
        requirement,
        most: 0.0,
        needed: 8.0,
    };
    assert_eq!(outcome, Outcome::FailsTogether(vec![short(0), short(1)]));
}

#[test]
fn straps_at_hand_of_each_kind_are_not_exceeded() {
    let mut candidates = vec![
        candidate(2, 1, &[5.0]),
        candidate(2, 2, &[5.0]),
        candidate(2, 4, &[5.0]),
    ];
    candidates[2].kind = 1;
    let mut needs = requirements(&[10.0], 0, 2);
    needs.available.push(2);
    let best = found(propose(&candidates, &needs).unwrap());
    assert_eq!(best.candidates.len(), 2);
    assert!(best.candidates.contains(&2));
}

#[test]
fn nothing_needed_takes_nothing() {
    let best = found(propose(&[], &requirements(&[], 0, 4)).unwrap());
    assert_eq!((best.straps, best.candidates.len()), (0, 0));
    let none = propose(&[], &requirements(&[1.0], 2, 4)).unwrap();
    assert!(matches!(none, Outcome::Fails(short) if short.len() == 2));
}

#[test]
fn what_cannot_be_is_refused() {
    let needs = requirements(&[1.0], 1, 1);
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        assert!(propose(&[candidate(1, 1, &[bad])], &needs).is_err());
        assert!(propose(&[], &requirements(&[bad], 1, 1)).is_err());
    }
    for uneven in [
        candidate(0, 1, &[1.0]),
        candidate(1, 1, &[]),
        Candidate {
            kind: 1,
            ..candidate(1, 1, &[1.0])
        },
    ] {
        let refused = propose(&[uneven], &needs);
        let candidate = 0;
        assert_eq!(refused, Err(SecuringError::UnevenCandidate { candidate }));
    }
}

#[test]
fn a_search_without_end_gives_up() {
    // Sixty alike in one requirement and each a little off in the other, on places of their own.
    let candidates: Vec<_> = (0..60)
        .map(|n| {
            let tilt = f64::from(n) * 1e-3;
            candidate(1, 1 << n, &[1.0 + tilt, 1.06 - tilt])
        })
        .collect();
    let outcome = propose(&candidates, &requirements(&[20.58, 20.58], 1, 20)).unwrap();
    match outcome {
        Outcome::Found(found) => assert!(found.straps <= 20),
        Outcome::Unfinished => {}
        other => panic!("{other:?}"),
    }
}

/// Straps of one place each, so alike that hardly a branch can be left out.
fn alike(count: u32, needed: f64, available: u32) -> (Vec<Candidate>, Requirements) {
    let candidates = (0..count)
        .map(|n| {
            let tilt = f64::from(n) * 1e-3;
            candidate(1, 1 << n, &[1.0 + tilt, 1.06 - tilt])
        })
        .collect();
    (candidates, requirements(&[needed, needed], 1, available))
}

#[test]
fn a_search_that_was_cut_off_never_says_that_nothing_holds() {
    for needed in [10.3, 20.58, 20.7, 25.0, 40.0] {
        for available in [10, 20, 40] {
            let (candidates, requirements) = alike(60, needed, available);
            match propose(&candidates, &requirements).unwrap() {
                // Twenty of these bring between 20.2 and 21.2 of either.
                Outcome::Fails(short) => {
                    let most = f64::from(available) * 1.06;
                    assert!(needed > most, "{needed} of {available}: {short:?}");
                }
                Outcome::FailsTogether(short) => panic!("{needed} of {available}: {short:?}"),
                Outcome::Found(_) | Outcome::Unfinished => {}
            }
        }
    }
}

#[test]
fn a_search_never_looks_at_more_sets_than_its_share() {
    let (candidates, requirements) = alike(60, 25.0, 20);
    let needs = all_needs(&requirements);
    let items = items(&candidates, &needs);
    let most = Search::run_for_most(&items, &needs, &requirements.available);
    assert!(most.sets <= MOST_SETS + 1, "{}", most.sets);
}

#[test]
fn straps_without_number_do_not_overflow() {
    let candidates = [candidate(1, 1, &[5.0]), candidate(1, 2, &[5.0])];
    let mut needs = requirements(&[8.0], 1, u32::MAX);
    needs.available.push(u32::MAX);
    let best = found(propose(&candidates, &needs).unwrap());
    assert_eq!(best.straps, 2);
    needs.needs = vec![11.0];
    let none = propose(&candidates, &needs).unwrap();
    assert!(matches!(none, Outcome::Fails(_)), "{none:?}");
}

/// Every set, without any short cut.
fn brute(candidates: &[Candidate], needs: &Requirements) -> Option<(u32, f64)> {
    let mut best: Option<(u32, f64)> = None;
    for set in 0u32..1 << candidates.len() {
        let chosen = || {
            candidates
                .iter()
                .enumerate()
                .filter(|(n, _)| set & (1 << n) != 0)
                .map(|(_, candidate)| candidate)
        };
        let mut used = 0;
        let mut clash = false;
        let mut stock = needs.available.clone();
        for one in chosen() {
            clash |= used & one.occupies != 0 || stock[one.kind] < one.straps;
            used |= one.occupies;
            stock[one.kind] = stock[one.kind].saturating_sub(one.straps);
        }
        let sum = |n: usize| chosen().map(|one| one.gives[n]).sum::<f64>();
        let straps: u32 = chosen().map(|one| one.straps).sum();
        let margin = (0..needs.needs.len())
            .map(|n| sum(n) / needs.needs[n])
            .fold(f64::INFINITY, f64::min);
        if clash || margin < 1.0 || straps < needs.counts[0] {
            continue;
        }
        let better =
            best.is_none_or(|(least, most)| straps < least || straps == least && margin > most);
        if better {
            best = Some((straps, margin));
        }
    }
    best
}

fn any_candidate() -> impl Strategy<Value = Candidate> {
    (
        1u32..=2,
        0usize..2,
        0u128..32,
        proptest::collection::vec(0.0..5.0f64, 3),
    )
        .prop_map(|(straps, kind, occupies, gives)| Candidate {
            straps,
            kind,
            occupies,
            gives,
            counts: vec![straps],
        })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]
    #[test]
    fn no_set_of_as_many_straps_is_better(
        candidates in proptest::collection::vec(any_candidate(), 0..10),
        needs in proptest::collection::vec(0.5..8.0f64, 3),
        count in 0u32..4, first in 0u32..5, second in 0u32..5,
    ) {
        let requirements = Requirements {
            needs,
            counts: vec![count],
            available: vec![first, second],
        };
        let outcome = propose(&candidates, &requirements).unwrap();
        match (outcome, brute(&candidates, &requirements)) {
            (Outcome::Found(found), Some((straps, margin))) => {
                prop_assert_eq!(found.straps, straps);
                prop_assert!((found.margin / margin - 1.0).abs() < 1e-9);
            }
            (Outcome::Fails(short), None) => {
                prop_assert!(short.iter().all(|one| one.most < one.needed));
            }
            (Outcome::FailsTogether(_), None) => {}
            (outcome, brute) => prop_assert!(false, "{outcome:?} but {brute:?}"),
        }
    }
}

//! US federal rules on a loaded truck: the bridge formula and the driver's licence group.
//!
//! Printed limits stay in the pounds and feet in which the law states them; kilograms and metres are
//! converted on the way in. State law may be stricter, and a permit or the exemption of 23 USC 127(m)
//! for heavy wreckers may allow more.

use super::error::{TowingError, TowingField, check_not_negative};
use crate::carrying::{Field, verdict_on_margin};
use crate::propagation::Tracked;
use crate::verdict::Verdict;

const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 0.3048;
const INCHES_PER_FOOT: f64 = 12.0;

/// The most on one axle, pounds.
const SINGLE_AXLE: f64 = 20_000.0;
/// The most on a tandem, pounds.
const TANDEM: f64 = 34_000.0;
/// The most on the whole, pounds.
const GROSS: f64 = 80_000.0;
/// Axles no further apart than this count as one, inches.
const ONE_AXLE_SPREAD: f64 = 40.0;
/// Axles no further apart than this are a tandem, inches.
const TANDEM_SPREAD: f64 = 96.0;
/// The formula's result is rounded to this, pounds.
const STEP: f64 = 500.0;

/// Computes the most that a group of axles may carry, pounds, from the distance of its outer axles.
///
/// W = 500·(L·N / (N − 1) + 12·N + 36), L in feet, N axles, rounded to the nearest 500 lb and, half way
/// between, down. Axles whose outer ones are up to 40 in apart count as one (20,000 lb) and up to 96 in as a
/// tandem (34,000 lb), two of them or more: a third axle squeezed in between adds nothing. Nothing may
/// exceed 80,000 lb. Source: 23 CFR 658.5 and FHWA, Bridge Formula Weights (2019), second-hand; that
/// tandems are two *or more* consecutive axles, from memory.
///
/// # Errors
/// Fewer than two axles, or a distance that is not more than zero.
pub fn bridge_limit_pounds(feet: f64, axles: usize) -> Result<f64, TowingError> {
    let apart = feet.is_finite() && feet > 0.0;
    if axles < 2 || !apart {
        return Err(TowingError::NoAxleGroup);
    }
    let n = axles as f64;
    let exact = STEP * (feet * n / (n - 1.0) + 12.0 * n + 36.0);
    let rounded = (exact / STEP - 0.5).ceil() * STEP;
    let inches = feet * INCHES_PER_FOOT;
    let cap = if inches <= ONE_AXLE_SPREAD {
        SINGLE_AXLE
    } else if inches <= TANDEM_SPREAD {
        TANDEM
    } else {
        GROSS
    };
    Ok(rounded.min(cap))
}

/// A group of consecutive axles against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleGroup {
    /// Index of its first axle.
    pub first: usize,
    /// Index of its last axle; the same for a single axle.
    pub last: usize,
    /// What its axles carry, kilograms.
    pub load: Tracked,
    /// What they may carry, pounds as the law states it.
    pub limit_pounds: f64,
    /// The verdict.
    pub verdict: Verdict,
}

/// Judges every single axle and every group of consecutive axles by the bridge formula.
///
/// Places in metres from front to rear, loads in kilograms; a raised axle carries zero.
///
/// # Errors
/// Places and loads that do not come in pairs, places that do not ascend, and loads that are below zero or
/// not finite.
pub fn bridge_groups(places: &[f64], loads: &[Tracked]) -> Result<Vec<AxleGroup>, TowingError> {
    if places.len() != loads.len() {
        return Err(TowingError::AxlesNotPaired {
            places: places.len(),
            loads: loads.len(),
        });
    }
    for load in loads {
        check_not_negative(load, TowingField::AxleLoad)?;
    }
    let mut groups = Vec::new();
    for (first, front) in places.iter().enumerate() {
        for (last, rear) in places.iter().enumerate().skip(first) {
            let limit_pounds = if first == last {
                SINGLE_AXLE
            } else {
                bridge_limit_pounds((rear - front) / FOOT, last - first + 1)?
            };
            let load = Tracked::sum(loads.iter().take(last + 1).skip(first));
            let margin = limit_pounds - &load / POUND;
            groups.push(AxleGroup {
                first,
                last,
                verdict: verdict_on_margin(margin.uncertain(), limit_pounds),
                load,
                limit_pounds,
            });
        }
    }
    Ok(groups)
}

/// The commercial driver's licence that a truck with a towed vehicle needs, by weight alone.
///
/// Group C depends on passengers and placarded goods and is not judged here; a damaged battery may be
/// such a good.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LicenceGroup {
    /// None by weight.
    NoneByWeight,
    /// Group B: a heavy single vehicle, or one that tows no more than 10,000 lb.
    B,
    /// Group A: a heavy combination that tows more than 10,000 lb.
    A,
}

/// From this rating up a truck or combination is heavy, pounds.
const HEAVY: f64 = 26_001.0;
/// Above this rating a towed vehicle counts for group A, pounds.
const HEAVY_TOWED: f64 = 10_000.0;

/// Computes the rating of a combination: the greater of its label and the sum of its units, pounds.
///
/// Source: FMCSA definition of gross combination weight rating, 79 FR 15245, second-hand.
///
/// # Errors
/// A rating that is below zero or not finite.
pub fn combination_rating_pounds(label: Option<f64>, units: &[f64]) -> Result<f64, TowingError> {
    for rating in units.iter().copied().chain(label) {
        check_not_negative(&Tracked::exact(rating), TowingField::CombinationRating)?;
    }
    Ok(units.iter().sum::<f64>().max(label.unwrap_or(0.0)))
}

/// Returns the licence group by weight, from gross ratings in pounds; zero towed for a truck alone.
///
/// A: combination of 26,001 lb or more *and* more than 10,000 lb towed. B: a truck of 26,001 lb or more
/// otherwise. A wrecker with a towed vehicle counts as any combination. Source: 49 CFR 383.91, read;
/// FMCSA guidance, second-hand. Ratings are taken to the hundredth of a pound, so that a conversion from
/// kilograms does not decide.
///
/// # Errors
/// A rating that is below zero or not finite, by its name: of such a number no group follows.
pub fn licence_group(
    truck: f64,
    towed: f64,
    label: Option<f64>,
) -> Result<LicenceGroup, TowingError> {
    let of_truck = TowingField::Truck(Field::GrossRating);
    check_not_negative(&Tracked::exact(truck), of_truck)?;
    check_not_negative(&Tracked::exact(towed), TowingField::TowedRating)?;
    let [truck, towed] = [truck, towed].map(|pounds| (pounds * 100.0).round() / 100.0);
    let combination = combination_rating_pounds(label, &[truck, towed])?;
    Ok(if combination >= HEAVY && towed > HEAVY_TOWED {
        LicenceGroup::A
    } else if truck >= HEAVY {
        LicenceGroup::B
    } else {
        LicenceGroup::NoneByWeight
    })
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::float_cmp,
        reason = "a panic is a failed test; these are whole pounds"
    )]

    use super::*;
    use crate::carrying::testing::{Bench, exact};

    fn limit(axles: usize, feet: f64) -> f64 {
        bridge_limit_pounds(feet, axles).unwrap()
    }

    /// Bridge formula worked examples, second-hand; the last one is 79,875 before rounding.
    #[test]
    fn worked_examples_of_the_bridge_formula() {
        assert_eq!(limit(2, 4.0), 34_000.0);
        assert_eq!(limit(5, 48.0), 78_000.0);
        assert_eq!(limit(5, 51.0), 80_000.0);
    }

    /// FHWA, Bridge Formula Weights, the five-axle example: from memory. Its second to fifth axle carry
    /// 68,000 lb and may carry 65,500.
    #[test]
    fn the_five_axle_example_fails_between_its_tandems() {
        assert_eq!(limit(3, 20.0), 51_000.0);
        assert_eq!(limit(4, 35.0), 65_500.0);
        let places = [0.0, 16.0, 20.0, 47.0, 51.0].map(|feet: f64| feet * FOOT);
        let loads = [12_000.0, 17_000.0, 17_000.0, 17_000.0, 17_000.0]
            .map(|pounds: f64| exact(pounds * POUND));
        let beyond: Vec<_> = bridge_groups(&places, &loads)
            .unwrap()
            .into_iter()
            .filter(|group| group.verdict != Verdict::Within)
            .map(|group| (group.first, group.last, group.verdict))
            .collect();
        assert_eq!(beyond, [(1, 4, Verdict::Beyond)]);
    }

    /// 42,750 lb lies half way; arithmetic from the formula, no citation.
    #[test]
    fn half_way_between_two_steps_the_lower_one_counts() {
        assert_eq!(limit(3, 9.0), 42_500.0);
    }

    #[test]
    fn close_axles_are_one_and_a_tandem_has_its_own_limit() {
        assert_eq!(limit(2, 40.0 / 12.0), 20_000.0);
        assert_eq!(limit(2, 41.0 / 12.0), 33_500.0);
        assert_eq!(limit(2, 4.0), 34_000.0);
        assert_eq!(limit(2, 8.0), 34_000.0);
        assert_eq!(limit(2, 8.1), 38_000.0);
        assert_eq!(limit(9, 90.0), 80_000.0);
    }

    /// 23 CFR 658.5, from memory: a tandem is two or more consecutive axles up to 96 in apart.
    #[test]
    fn a_third_axle_between_those_of_a_tandem_adds_nothing() {
        assert_eq!(limit(3, 8.0), 34_000.0);
        assert_eq!(limit(3, 8.1), 42_000.0);
        assert_eq!(limit(3, 40.0 / 12.0), 20_000.0);
    }

    #[test]
    fn a_raised_axle_counts_and_a_load_below_zero_is_refused_by_its_name() {
        let places = [0.0, 5.0, 6.2];
        let loads = [4000.0, 8000.0, 0.0].map(exact);
        assert_eq!(bridge_groups(&places, &loads).unwrap().len(), 6);
        let below = bridge_groups(&places, &[4000.0, 8000.0, -1.0].map(exact)).unwrap_err();
        assert_eq!(
            below.to_string(),
            "the load on an axle is -1 but must not be below zero"
        );
    }

    #[test]
    fn no_licence_group_follows_from_what_is_no_rating() {
        assert!(licence_group(f64::NAN, 0.0, None).is_err());
        assert!(licence_group(33_000.0, f64::NAN, None).is_err());
        assert!(licence_group(33_000.0, -1.0, None).is_err());
        assert!(licence_group(33_000.0, 0.0, Some(f64::INFINITY)).is_err());
    }

    #[test]
    fn an_uncertain_group_at_its_limit_is_too_close_to_call() {
        let mut bench = Bench::default();
        let loads = [
            bench.input(16_900.0 * POUND, 100.0 * POUND),
            bench.input(17_000.0 * POUND, 100.0 * POUND),
        ];
        let groups = bridge_groups(&[0.0, 4.5 * FOOT], &loads).unwrap();
        let verdicts: Vec<_> = groups.iter().map(|group| group.verdict).collect();
        assert_eq!(
            verdicts,
            [Verdict::Within, Verdict::TooCloseToCall, Verdict::Within]
        );
    }

    #[test]
    fn what_is_no_group_is_refused() {
        assert!(bridge_limit_pounds(10.0, 1).is_err());
        assert!(bridge_limit_pounds(0.0, 2).is_err());
        assert!(bridge_limit_pounds(f64::NAN, 2).is_err());
        assert!(bridge_groups(&[0.0], &[]).is_err());
        let one = exact(1.0);
        assert!(bridge_groups(&[1.0, 0.0], &[one.clone(), one]).is_err());
    }

    /// 49 CFR 383.91, read; FMCSA guidance, second-hand. The cases are arithmetic from it.
    #[test]
    fn licence_groups_by_weight() {
        use LicenceGroup::{A, B, NoneByWeight};
        for (truck, towed, group) in [
            (19_500.0, 6500.0, NoneByWeight),
            (19_500.0, 10_001.0, A),
            (15_000.0, 11_000.0, NoneByWeight),
            (33_000.0, 0.0, B),
            (33_000.0, 9900.0, B),
            (33_000.0, 12_000.0, A),
            (26_001.0, 0.0, B),
            (26_000.0, 0.0, NoneByWeight),
        ] {
            assert_eq!(
                licence_group(truck, towed, None),
                Ok(group),
                "{truck} and {towed}"
            );
        }
    }

    #[test]
    fn a_label_counts_where_it_is_greater() {
        assert_eq!(
            combination_rating_pounds(Some(30_000.0), &[15_000.0, 11_000.0]),
            Ok(30_000.0)
        );
        assert_eq!(
            combination_rating_pounds(None, &[15_000.0, 11_000.0]),
            Ok(26_000.0)
        );
        let labelled = licence_group(15_000.0, 10_500.0, Some(30_000.0));
        assert_eq!(labelled, Ok(LicenceGroup::A));
    }

    /// 10,000 lb in kilograms and back is 10,000.000000000002 lb.
    #[test]
    fn a_conversion_does_not_decide() {
        let towed = 10_000.0 * POUND / POUND * (1.0 + f64::EPSILON);
        assert_eq!(licence_group(33_000.0, towed, None), Ok(LicenceGroup::B));
    }
}

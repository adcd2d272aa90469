//! What rows of equipment have in common.

use chockstone_mechanics::{
    propagation::Tracked,
    uncertain::Interval,
    verdict::{Limit, Verdict},
};

use super::super::work::Known;

/// A side on which a limit lies.
#[derive(Clone, Copy, Debug)]
pub(super) enum Bound {
    AtMost,
    AtLeast,
}

/// Where a value may lie, or `None` where it is not known.
pub(super) fn interval(value: &Known) -> Option<Interval> {
    value.as_ref().ok().map(|v| v.uncertain().interval())
}

/// The position of the value that is hardest on a limit: the one with the worst verdict, and among those the one with
/// the least to spare.
///
/// Rows are dear, since each lists its inputs, so the one that is told is found before it is made.
pub(super) fn hardest(
    values: impl IntoIterator<Item = Option<Interval>>,
    bound: Bound,
    limit: &Known,
) -> Option<usize> {
    let limit = limit.as_ref().map_or(0.0, Tracked::value);
    let rank = |value: Option<Interval>| {
        let Some(value) = value else {
            return (2, f64::INFINITY);
        };
        let (verdict, spare) = match bound {
            Bound::AtMost => (Limit::AtMost(limit), limit - value.high),
            Bound::AtLeast => (Limit::AtLeast(limit), value.low - limit),
        };
        let severity = match verdict.verdict_on_interval(value) {
            Verdict::Beyond => 3,
            Verdict::NotKnown => 2,
            Verdict::TooCloseToCall => 1,
            Verdict::Within => 0,
        };
        (severity, spare)
    };
    values
        .into_iter()
        .map(rank)
        .enumerate()
        .min_by(|(_, (a, spare_a)), (_, (b, spare_b))| b.cmp(a).then(spare_a.total_cmp(spare_b)))
        .map(|(index, _)| index)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(values: &[Option<(f64, f64)>], bound: Bound, limit: f64, expected: Option<usize>) {
        let values = values
            .iter()
            .map(|v| v.map(|(low, high)| Interval { low, high }));
        assert_eq!(hardest(values, bound, &Ok(Tracked::exact(limit))), expected);
    }

    #[test]
    fn the_hardest_value_has_the_worst_verdict_and_the_least_to_spare() {
        let (wide, over, low) = (Some((1.0, 30.0)), Some((11.0, 12.0)), Some((2.0, 3.0)));
        check(&[low, wide, over], Bound::AtMost, 10.0, Some(2));
        check(&[low, wide], Bound::AtMost, 10.0, Some(1));
        check(&[low, Some((2.0, 9.0))], Bound::AtMost, 10.0, Some(1));
        check(&[low, wide], Bound::AtLeast, 0.0, Some(1));
        check(&[low, None, wide], Bound::AtMost, 10.0, Some(1));
        check(&[None, over], Bound::AtMost, 10.0, Some(1));
        check(&[], Bound::AtMost, 10.0, None);
    }
}

//! Whether a value keeps to a limit, judged by its whole interval and never by its middle.

use crate::uncertain::{Interval, Uncertain};

/// The answer to "does it keep to the limit".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// The whole interval keeps to the limit.
    Within,
    /// The whole interval breaks the limit.
    Beyond,
    /// The limit lies inside the interval: measure better, or take the cautious side.
    TooCloseToCall,
    /// An input is missing or is not a number, so nothing can be said.
    NotKnown,
}

impl Verdict {
    /// Returns the verdict that stands for several together.
    ///
    /// `Beyond` outweighs `NotKnown`, which outweighs `TooCloseToCall`, which outweighs `Within`:
    /// a limit that is surely broken stays broken whatever else is missing. No verdicts at all
    /// give `NotKnown`, since nothing was judged.
    pub fn worst(verdicts: impl IntoIterator<Item = Self>) -> Self {
        verdicts
            .into_iter()
            .max_by_key(|verdict| verdict.weight())
            .unwrap_or(Self::NotKnown)
    }

    fn weight(self) -> u8 {
        match self {
            Self::Within => 0,
            Self::TooCloseToCall => 1,
            Self::NotKnown => 2,
            Self::Beyond => 3,
        }
    }
}

/// A limit in the unit of the value that is compared with it.
///
/// The limit itself counts as exact. Where it is uncertain too, compare the *difference* of value
/// and limit with zero, so that inputs which both share cancel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// The value may not exceed this; reaching it is allowed.
    AtMost(f64),
    /// The value may not fall below this; reaching it is allowed.
    AtLeast(f64),
    /// The value has to lie between these, the ends included.
    Between(f64, f64),
}

impl Limit {
    /// Judges a value by its expanded interval (k = 2); `None` is a missing value.
    pub fn verdict(self, value: Option<Uncertain>) -> Verdict {
        match value {
            Some(value) if value.is_valid() => self.verdict_on_interval(value.interval()),
            _ => Verdict::NotKnown,
        }
    }

    /// Judges an interval that came from elsewhere, as bounds of a statically indeterminate load.
    ///
    /// An interval that is upside down or not a number gives `NotKnown`.
    pub fn verdict_on_interval(self, interval: Interval) -> Verdict {
        let allowed = match self {
            Self::AtMost(high) => Interval {
                low: f64::NEG_INFINITY,
                high,
            },
            Self::AtLeast(low) => Interval {
                low,
                high: f64::INFINITY,
            },
            Self::Between(low, high) => Interval { low, high },
        };
        let upside_down = interval.low > interval.high || allowed.low > allowed.high;
        let ends = [interval.low, interval.high, allowed.low, allowed.high];
        if upside_down || ends.iter().any(|end| end.is_nan()) {
            Verdict::NotKnown
        } else if allowed.contains(interval.low) && allowed.contains(interval.high) {
            Verdict::Within
        } else if interval.low > allowed.high || interval.high < allowed.low {
            Verdict::Beyond
        } else {
            Verdict::TooCloseToCall
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(limit: Limit, low: f64, high: f64, expected: Verdict) {
        let verdict = limit.verdict_on_interval(Interval { low, high });
        assert_eq!(
            verdict, expected,
            "{limit:?} against the interval {low} to {high}"
        );
    }

    #[test]
    fn an_upper_limit_is_judged_by_the_whole_interval() {
        check(Limit::AtMost(10.0), 8.0, 9.0, Verdict::Within);
        check(Limit::AtMost(10.0), 8.0, 10.0, Verdict::Within);
        check(Limit::AtMost(10.0), 10.0, 10.0, Verdict::Within);
        check(Limit::AtMost(10.0), 8.0, 10.1, Verdict::TooCloseToCall);
        check(Limit::AtMost(10.0), 10.0, 11.0, Verdict::TooCloseToCall);
        check(Limit::AtMost(10.0), 10.1, 11.0, Verdict::Beyond);
    }

    #[test]
    fn a_lower_limit_is_judged_by_the_whole_interval() {
        check(Limit::AtLeast(10.0), 11.0, 12.0, Verdict::Within);
        check(Limit::AtLeast(10.0), 10.0, 12.0, Verdict::Within);
        check(Limit::AtLeast(10.0), 9.9, 12.0, Verdict::TooCloseToCall);
        check(Limit::AtLeast(10.0), 9.0, 9.9, Verdict::Beyond);
    }

    #[test]
    fn a_range_is_left_at_either_end() {
        check(Limit::Between(1.0, 2.0), 1.0, 2.0, Verdict::Within);
        check(Limit::Between(1.0, 2.0), 0.5, 3.0, Verdict::TooCloseToCall);
        check(Limit::Between(1.0, 2.0), 0.5, 0.9, Verdict::Beyond);
        check(Limit::Between(1.0, 2.0), 2.1, 3.0, Verdict::Beyond);
    }

    #[test]
    fn the_middle_alone_never_decides() {
        let middle_within = Uncertain::new(9.5, 0.5);
        let middle_beyond = Uncertain::new(10.5, 0.5);
        let limit = Limit::AtMost(10.0);
        assert_eq!(limit.verdict(Some(middle_within)), Verdict::TooCloseToCall);
        assert_eq!(limit.verdict(Some(middle_beyond)), Verdict::TooCloseToCall);
    }

    #[test]
    fn what_is_missing_or_no_number_is_not_known() {
        let limit = Limit::AtMost(10.0);
        assert_eq!(limit.verdict(None), Verdict::NotKnown);
        for value in [
            Uncertain::exact(f64::NAN),
            Uncertain::exact(f64::INFINITY),
            Uncertain::new(1.0, f64::INFINITY),
            Uncertain::new(1.0, -1.0),
        ] {
            assert_eq!(limit.verdict(Some(value)), Verdict::NotKnown, "{value:?}");
        }
        check(limit, 2.0, 1.0, Verdict::NotKnown);
        check(Limit::AtMost(f64::NAN), 1.0, 2.0, Verdict::NotKnown);
        check(Limit::Between(2.0, 1.0), 1.0, 2.0, Verdict::NotKnown);
    }

    #[test]
    fn several_verdicts_are_as_good_as_the_worst() {
        use Verdict::{Beyond, NotKnown, TooCloseToCall, Within};
        assert_eq!(Verdict::worst([Within, Within]), Within);
        assert_eq!(Verdict::worst([Within, TooCloseToCall]), TooCloseToCall);
        assert_eq!(Verdict::worst([TooCloseToCall, NotKnown]), NotKnown);
        assert_eq!(Verdict::worst([NotKnown, Beyond, Within]), Beyond);
        assert_eq!(Verdict::worst([]), NotKnown);
    }
}

//! One rating as a condition on the placement: a value linear in s against a limit.

use super::error::Field;
use crate::propagation::Tracked;
use crate::uncertain::{Interval, Uncertain};
use crate::verdict::{Limit, Verdict};
use std::fmt;

/// Rounding of sums and quotients, relative to the numbers in them, that no verdict may turn on.
const ROUNDING: f64 = 1e-9;

/// What a carrier with a vehicle on its deck has to keep to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rating {
    /// Front axle load within its rating.
    FrontAxle,
    /// Rear axle load within its rating.
    RearAxle,
    /// Gross weight within its rating.
    Gross,
    /// Front axle keeps the least share of its empty load.
    Steering,
    /// Front axle stays on the road at all.
    FrontOnRoad,
    /// Load of the deck within its capacity.
    DeckCapacity,
    /// The vehicle begins at or behind the deck's front edge.
    DeckFront,
    /// The vehicle's overhang behind the deck within what is allowed.
    RearOverhang,
    /// The tyres nearest the cab stand on the deck.
    FirstTyres,
    /// The tyres nearest the tail stand on the deck.
    LastTyres,
    /// The vehicle stands behind its neighbour, counted from zero.
    BehindNeighbour(usize),
    /// The vehicle stands ahead of its neighbour, counted from zero.
    AheadOfNeighbour(usize),
}

impl fmt::Display for Rating {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let words = match self {
            Self::FrontAxle => "front axle rating",
            Self::RearAxle => "rear axle rating",
            Self::Gross => "gross rating",
            Self::Steering => "share of load kept for steering",
            Self::FrontOnRoad => "front axle on the road",
            Self::DeckCapacity => "deck capacity",
            Self::DeckFront => "front edge of the deck",
            Self::RearOverhang => "allowed overhang behind the deck",
            Self::FirstTyres => "tyres nearest the cab on the deck",
            Self::LastTyres => "tyres nearest the tail on the deck",
            Self::BehindNeighbour(i) | Self::AheadOfNeighbour(i) => {
                return write!(f, "room beside other vehicle {}", i + 1);
            }
        };
        f.write_str(words)
    }
}

/// A number that changes evenly with the placement: start + slope · s.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// The value at s = 0.
    pub start: Tracked,
    /// The change for each metre of s.
    pub slope: Tracked,
}

impl Line {
    /// Takes a number that does not change with the placement.
    pub fn constant(value: Tracked) -> Self {
        Self {
            start: value,
            slope: Tracked::exact(0.0),
        }
    }

    /// Takes a length that grows with the placement, metre for metre.
    pub fn moving(start: Tracked) -> Self {
        Self {
            start,
            slope: Tracked::exact(1.0),
        }
    }

    /// Computes the number at a placement, metres behind the deck's front edge.
    pub fn at(&self, s: f64) -> Tracked {
        Tracked::weighted_sum([(1.0, &self.start), (s, &self.slope)])
    }
}

/// Which side of its limit a value has to keep to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// It may reach the limit and not exceed it.
    AtMost,
    /// It may reach the limit and not fall below it.
    AtLeast,
}

impl Sense {
    fn sign(self) -> f64 {
        match self {
            Self::AtMost => -1.0,
            Self::AtLeast => 1.0,
        }
    }
}

/// A rating whose value and limit are known for every placement.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// Which rating.
    pub rating: Rating,
    /// What is compared, kilograms or metres.
    pub value: Line,
    /// With what, in the unit of the value.
    pub limit: Tracked,
    /// On which side the value has to be.
    pub sense: Sense,
}

/// A rating that cannot be judged, with what is missing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unknown {
    /// Which rating.
    pub rating: Rating,
    /// The numbers that are not known.
    pub missing: Vec<Field>,
}

/// The numbers behind a verdict, kilograms or metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// What was compared.
    pub value: Tracked,
    /// With what.
    pub limit: Tracked,
    /// What is left to the limit; negative beyond it.
    pub margin: Tracked,
}

/// One rating at one placement.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// Which rating.
    pub rating: Rating,
    /// The verdict on the whole interval of the margin.
    pub verdict: Verdict,
    /// The numbers, where they are known.
    pub figures: Option<Figures>,
    /// What is missing, where they are not.
    pub missing: Vec<Field>,
}

impl Condition {
    /// Returns what is left to the limit, linear in the placement too.
    pub fn margin(&self) -> Line {
        let sign = self.sense.sign();
        Line {
            start: Tracked::weighted_sum([(sign, &self.value.start), (-sign, &self.limit)]),
            slope: &self.value.slope * sign,
        }
    }

    /// Judges the rating at a placement, metres behind the deck's front edge.
    pub fn at(&self, s: f64) -> Judgement {
        let figures = Figures::of(self.value.at(s), self.limit.clone(), self.sense);
        Judgement {
            rating: self.rating,
            verdict: figures.verdict(),
            figures: Some(figures),
            missing: Vec::new(),
        }
    }
}

impl Unknown {
    /// Returns the judgement that nothing can be said.
    pub fn judgement(&self) -> Judgement {
        Judgement {
            rating: self.rating,
            verdict: Verdict::NotKnown,
            figures: None,
            missing: self.missing.clone(),
        }
    }
}

impl Figures {
    /// Compares a value with a limit that may be uncertain itself.
    pub fn of(value: Tracked, limit: Tracked, sense: Sense) -> Self {
        let sign = sense.sign();
        Self {
            margin: Tracked::weighted_sum([(sign, &value), (-sign, &limit)]),
            value,
            limit,
        }
    }

    /// Judges the interval of the margin against zero.
    ///
    /// A margin that differs from zero, or from twice its uncertainty, by no more than the rounding of
    /// the numbers in it counts as reaching it: a load of exactly the rating is within.
    pub fn verdict(&self) -> Verdict {
        let scale = self.value.value().abs() + self.limit.value().abs();
        verdict_on_margin(self.margin.uncertain(), scale)
    }
}

/// Judges a margin against zero; `scale` is the size of the numbers whose difference it is.
pub(crate) fn verdict_on_margin(margin: Uncertain, scale: f64) -> Verdict {
    let snapped = |end: f64| {
        if end.abs() <= ROUNDING * scale {
            0.0
        } else {
            end
        }
    };
    let Interval { low, high } = margin.interval();
    Limit::AtLeast(0.0).verdict_on_interval(Interval {
        low: snapped(low),
        high: snapped(high),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{Bench, close, exact};
    use super::*;

    #[test]
    fn a_value_and_a_limit_that_share_an_input_are_compared_without_it() {
        let mut bench = Bench::default();
        let shared = bench.input(100.0, 50.0);
        let condition = Condition {
            rating: Rating::Steering,
            value: Line::constant(&shared * 0.6),
            limit: &shared * 0.5,
            sense: Sense::AtLeast,
        };
        let figures = condition.at(0.0).figures.unwrap();
        close(figures.margin.value(), 10.0, 1e-12);
        close(figures.margin.u(), 5.0, 1e-12);
        assert_eq!(condition.at(0.0).verdict, Verdict::Within);
    }

    #[test]
    fn a_load_of_exactly_the_rating_is_within_whatever_rounding_does() {
        let condition = Condition {
            rating: Rating::RearAxle,
            value: Line {
                start: exact(0.1 + 0.2),
                slope: exact(1.0),
            },
            limit: exact(0.3),
            sense: Sense::AtMost,
        };
        assert!(condition.at(0.0).figures.unwrap().margin.value() < 0.0);
        assert_eq!(condition.at(0.0).verdict, Verdict::Within);
        assert_eq!(condition.at(1e-6).verdict, Verdict::Beyond);
    }

    #[test]
    fn a_rating_with_a_missing_number_is_not_known_and_says_which() {
        let unknown = Unknown {
            rating: Rating::Gross,
            missing: vec![Field::GrossRating],
        };
        let judgement = unknown.judgement();
        assert_eq!(judgement.verdict, Verdict::NotKnown);
        assert_eq!(judgement.missing, [Field::GrossRating]);
    }
}

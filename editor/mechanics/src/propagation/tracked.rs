//! The number that remembers which inputs it came from.

use crate::uncertain::Uncertain;

/// An input of a computation, counted from zero in the order of registration.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct InputId(usize);

impl InputId {
    pub(super) fn from_index(index: usize) -> Self {
        Self(index)
    }

    /// Returns the position of the input in the order of registration.
    pub fn index(self) -> usize {
        self.0
    }
}

/// What one input adds to the uncertainty of a result.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Which input.
    pub input: InputId,
    /// Sensitivity times the input's standard uncertainty, with the sign of the sensitivity, in
    /// the unit of the result.
    pub amount: f64,
    /// Part of the result's variance, from 0 to 1.
    pub share: f64,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Term {
    input: InputId,
    amount: f64,
}

/// A number with first-order uncertainty that remembers which inputs it came from.
///
/// Made by [`Inputs::add`](super::Inputs::add) or [`Tracked::exact`], combined with `+ - * /` and
/// the functions below. Division by zero and the like give NaN or infinity as with `f64`; the
/// functions of [`mass`](crate::mass) check for that and give an error.
#[derive(Debug, Clone, PartialEq)]
pub struct Tracked {
    value: f64,
    /// Sorted by input, each input at most once.
    terms: Vec<Term>,
}

impl Tracked {
    /// Takes a number as exactly known.
    pub const fn exact(value: f64) -> Self {
        Self {
            value,
            terms: Vec::new(),
        }
    }

    pub(super) fn from_input(input: InputId, value: Uncertain) -> Self {
        Self::from_amounts(value.value, [(input, value.u)])
    }

    /// The inputs must come in ascending order.
    pub(super) fn from_amounts(
        value: f64,
        amounts: impl IntoIterator<Item = (InputId, f64)>,
    ) -> Self {
        let terms = amounts
            .into_iter()
            .map(|(input, amount)| Term { input, amount })
            .collect();
        Self { value, terms }
    }

    /// Returns the best estimate.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// Returns the standard uncertainty (k = 1).
    pub fn u(&self) -> f64 {
        self.variance().sqrt()
    }

    /// Returns the square of the standard uncertainty.
    pub fn variance(&self) -> f64 {
        // The sum over nothing is -0.0, which would print as "-0".
        self.terms
            .iter()
            .map(|term| term.amount * term.amount)
            .sum::<f64>()
            + 0.0
    }

    /// Returns value and standard uncertainty, forgetting where they came from.
    pub fn uncertain(&self) -> Uncertain {
        Uncertain::new(self.value, self.u())
    }

    /// Says whether value and uncertainty are both finite.
    pub fn is_finite(&self) -> bool {
        self.value.is_finite() && self.variance().is_finite()
    }

    /// Lists every input that the number was computed from, those that are exactly known too, each with its part of the
    /// variance from 0 to 1.
    pub fn parts(&self) -> impl Iterator<Item = (InputId, f64)> + '_ {
        let variance = self.variance();
        let part = move |amount: f64| {
            if variance > 0.0 {
                amount * amount / variance
            } else {
                0.0
            }
        };
        self.terms
            .iter()
            .map(move |term| (term.input, part(term.amount)))
    }

    /// Lists what each input adds, strongest first, inputs without effect left out.
    pub fn contributions(&self) -> Vec<Contribution> {
        let variance = self.variance();
        let mut parts: Vec<_> = self
            .terms
            .iter()
            .filter(|term| term.amount != 0.0)
            .map(|term| Contribution {
                input: term.input,
                amount: term.amount,
                share: term.amount * term.amount / variance,
            })
            .collect();
        parts.sort_by(|a, b| b.share.total_cmp(&a.share));
        parts
    }

    /// Returns the covariance with another number of the same [`Inputs`](super::Inputs).
    pub fn covariance(&self, other: &Self) -> f64 {
        merge(&self.terms, &other.terms)
            .map(|(_, mine, theirs)| mine * theirs)
            .sum()
    }

    /// Returns the correlation coefficient with another number, or `None` if either is exact.
    pub fn correlation(&self, other: &Self) -> Option<f64> {
        let scale = self.u() * other.u();
        (scale > 0.0).then(|| (self.covariance(other) / scale).clamp(-1.0, 1.0))
    }

    /// Adds up numbers, each times an exact factor.
    pub fn weighted_sum<'a>(parts: impl IntoIterator<Item = (f64, &'a Self)>) -> Self {
        parts
            .into_iter()
            .fold(Self::exact(0.0), |sum, (factor, part)| {
                sum.joined(sum.value + factor * part.value, 1.0, part, factor)
            })
    }

    /// Returns a number that was computed by other means, from its value and its derivative by each
    /// number that it depends on.
    ///
    /// For results of a search or a solver, whose derivatives are known although no formula is.
    pub fn from_partials<'a>(
        value: f64,
        partials: impl IntoIterator<Item = (f64, &'a Self)>,
    ) -> Self {
        let sum = Self::weighted_sum(partials);
        Self { value, ..sum }
    }

    /// Adds up numbers.
    pub fn sum<'a>(parts: impl IntoIterator<Item = &'a Self>) -> Self {
        Self::weighted_sum(parts.into_iter().map(|part| (1.0, part)))
    }

    /// Takes the value of a function and its slope by each of the numbers that it depends on.
    ///
    /// One step where the same formula written with operators takes many: for functions that are
    /// called often and whose slopes are known. A number may be named more than once.
    pub fn from_slopes<'a>(value: f64, slopes: impl IntoIterator<Item = (f64, &'a Self)>) -> Self {
        let mut terms: Vec<Term> = Vec::with_capacity(32);
        for (slope, number) in slopes {
            terms.extend(number.terms.iter().map(|term| Term {
                input: term.input,
                amount: slope * term.amount,
            }));
        }
        terms.sort_unstable_by_key(|term| term.input);
        terms.dedup_by(|later, kept| {
            let same = later.input == kept.input;
            if same {
                kept.amount += later.amount;
            }
            same
        });
        Self { value, terms }
    }

    /// Returns f(self) from the function's value and its derivative at `self`.
    pub(super) fn mapped(&self, value: f64, derivative: f64) -> Self {
        let terms = self
            .terms
            .iter()
            .map(|term| Term {
                input: term.input,
                amount: derivative * term.amount,
            })
            .collect();
        Self { value, terms }
    }

    /// Returns f(self, other) from the function's value and its two partial derivatives.
    pub(super) fn joined(&self, value: f64, by_self: f64, other: &Self, by_other: f64) -> Self {
        let terms = merge(&self.terms, &other.terms)
            .map(|(input, mine, theirs)| Term {
                input,
                amount: by_self * mine + by_other * theirs,
            })
            .collect();
        Self { value, terms }
    }
}

/// Walks two sorted lists together; an input that one of them lacks has the amount zero there.
fn merge<'a>(
    left: &'a [Term],
    right: &'a [Term],
) -> impl Iterator<Item = (InputId, f64, f64)> + 'a {
    let mut left = left.iter().copied().peekable();
    let mut right = right.iter().copied().peekable();
    std::iter::from_fn(move || {
        let next = match (left.peek(), right.peek()) {
            (Some(a), Some(b)) => a.input.min(b.input),
            (Some(only), None) | (None, Some(only)) => only.input,
            (None, None) => return None,
        };
        let mine = left.next_if(|term| term.input == next);
        let theirs = right.next_if(|term| term.input == next);
        let amount = |term: Option<Term>| term.map_or(0.0, |term| term.amount);
        Some((next, amount(mine), amount(theirs)))
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::Inputs;
    use super::*;

    #[test]
    fn partial_derivatives_give_what_the_formula_gives() {
        let mut inputs = Inputs::new();
        let mut input = |value, u| inputs.add((), Uncertain::new(value, u)).unwrap();
        let (a, b) = (input(3.0, 0.1), input(5.0, 0.2));
        let product = &a * &b;
        let made = Tracked::from_partials(15.0, [(5.0, &a), (1.0, &b), (2.0, &b)]);
        assert!((made.value() - product.value()).abs() < 1e-15);
        assert!((&made - &product).u() < 1e-15);
    }
}

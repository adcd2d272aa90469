//! How uncertainty passes through a formula: first order, with shared inputs handled exactly.
//!
//! A [`Tracked`] number carries, besides its value, one signed amount for every input that it
//! depends on: cᵢ·uᵢ, sensitivity times standard uncertainty. A formula combines the amounts by the
//! chain rule, so an input that enters twice (an axle reading stands in the numerator *and* in the
//! total) is counted once with its full sensitivity. At the end u² = Σ (cᵢ·uᵢ)²: JCGM 100:2008,
//! 5.1.2, equation 10 (from memory). Inputs that are correlated with each other enter through
//! [`Inputs::add_correlated`], which gives 5.2.2, equation 13.
//!
//! # Where it holds
//! First order: good while each input's uncertainty is small beside the value that it divides, or
//! beside the bend of the function that it passes through. At u/value = 10 % in a denominator the
//! neglected second-order part is about 1 % of the result.

mod arithmetic;
mod correlation;
mod tracked;

pub use correlation::CorrelationError;
pub use tracked::{Contribution, InputId, Tracked};

use crate::uncertain::Uncertain;

/// The inputs of one computation, each with a label that says what it is.
///
/// Labels are whatever the caller finds useful: a field's place, a name, an enum. Numbers of two
/// different `Inputs` must not meet in one formula, because each counts its inputs from zero.
#[derive(Debug, Clone, PartialEq)]
pub struct Inputs<L> {
    entries: Vec<Entry<L>>,
}

#[derive(Debug, Clone, PartialEq)]
struct Entry<L> {
    label: L,
    value: Uncertain,
}

impl<L> Default for Inputs<L> {
    fn default() -> Self {
        Self::new()
    }
}

impl<L> Inputs<L> {
    /// Starts with no inputs.
    pub const fn new() -> Self {
        Self {
            entries: Vec::new(),
        }
    }

    /// Registers an input that is independent of all others and returns it as a tracked number.
    ///
    /// # Errors
    /// [`InputError`] when the value or its uncertainty is no finite number, or the uncertainty is
    /// negative.
    pub fn add(&mut self, label: L, value: Uncertain) -> Result<Tracked, InputError> {
        check(value)?;
        let id = self.register(label, value);
        Ok(Tracked::from_input(id, value))
    }

    /// Registers inputs that are correlated with each other, such as results of one calibration.
    ///
    /// `correlation` has one row and one column per input; entry (i, j) is r(xᵢ, xⱼ). The shares in
    /// [`Inputs::contributions`] then name, for each input, the part which the inputs before it in
    /// the list do not already explain; only their sum over the group has a meaning of its own.
    ///
    /// # Errors
    /// [`CorrelationError`] when a value is unusable, or the matrix is not square, not symmetric,
    /// not one on its diagonal, or impossible (not positive semi-definite).
    pub fn add_correlated(
        &mut self,
        values: Vec<(L, Uncertain)>,
        correlation: &[Vec<f64>],
    ) -> Result<Vec<Tracked>, CorrelationError> {
        for (index, (_, value)) in values.iter().enumerate() {
            check(*value).map_err(|error| CorrelationError::Input { index, error })?;
        }
        let factor = correlation::lower_factor(correlation, values.len())?;
        let mut ids = Vec::with_capacity(values.len());
        let mut numbers = Vec::with_capacity(values.len());
        for ((label, value), row) in values.into_iter().zip(&factor) {
            ids.push(self.register(label, value));
            let amounts = ids.iter().copied().zip(row.iter().map(|l| l * value.u));
            numbers.push(Tracked::from_amounts(value.value, amounts));
        }
        Ok(numbers)
    }

    /// Returns the label of an input, or `None` for an id that is not from here.
    pub fn label(&self, id: InputId) -> Option<&L> {
        self.entries.get(id.index()).map(|entry| &entry.label)
    }

    /// Returns an input as it was entered, or `None` for an id that is not from here.
    pub fn value(&self, id: InputId) -> Option<Uncertain> {
        self.entries.get(id.index()).map(|entry| entry.value)
    }

    /// Lists what makes a result uncertain, strongest first, each with its label.
    pub fn contributions(&self, result: &Tracked) -> Vec<(&L, Contribution)> {
        result
            .contributions()
            .into_iter()
            .filter_map(|part| Some((self.label(part.input)?, part)))
            .collect()
    }

    fn register(&mut self, label: L, value: Uncertain) -> InputId {
        let id = InputId::from_index(self.entries.len());
        self.entries.push(Entry { label, value });
        id
    }
}

fn check(value: Uncertain) -> Result<(), InputError> {
    if !value.value.is_finite() {
        Err(InputError::ValueNotFinite)
    } else if !value.u.is_finite() {
        Err(InputError::UncertaintyNotFinite)
    } else if value.u < 0.0 {
        Err(InputError::UncertaintyNegative)
    } else {
        Ok(())
    }
}

/// Why an input was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum InputError {
    /// The value is NaN or infinite.
    ValueNotFinite,
    /// The standard uncertainty is NaN or infinite.
    UncertaintyNotFinite,
    /// The standard uncertainty is below zero.
    UncertaintyNegative,
}

impl std::fmt::Display for InputError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::ValueNotFinite => "the value is not a finite number",
            Self::UncertaintyNotFinite => "the uncertainty is not a finite number",
            Self::UncertaintyNegative => "the uncertainty is negative; give it as zero or more",
        })
    }
}

impl std::error::Error for InputError {}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::*;

    #[test]
    fn what_is_not_a_number_does_not_become_an_input() {
        let mut inputs = Inputs::new();
        let mut refused = |value| inputs.add("x", value).unwrap_err();
        assert_eq!(
            refused(Uncertain::exact(f64::NAN)),
            InputError::ValueNotFinite
        );
        assert_eq!(
            refused(Uncertain::exact(f64::NEG_INFINITY)),
            InputError::ValueNotFinite
        );
        assert_eq!(
            refused(Uncertain::new(1.0, f64::NAN)),
            InputError::UncertaintyNotFinite
        );
        assert_eq!(
            refused(Uncertain::new(1.0, -1e-9)),
            InputError::UncertaintyNegative
        );
        assert_eq!(
            inputs,
            Inputs::new(),
            "a refused input leaves everything as it was"
        );
    }

    #[test]
    fn contributions_name_their_inputs_strongest_first() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(1.0, 3.0)).unwrap();
        let b = inputs.add("b", Uncertain::new(1.0, 4.0)).unwrap();
        let exact = inputs.add("exact", Uncertain::exact(1.0)).unwrap();
        let sum = a - &b + exact;
        let parts = inputs.contributions(&sum);
        let named: Vec<_> = parts
            .iter()
            .map(|(label, part)| (**label, part.amount, part.share))
            .collect();
        assert_eq!(named, [("b", -4.0, 0.64), ("a", 3.0, 0.36)]);
        assert_eq!(
            inputs.value(parts[0].1.input),
            Some(Uncertain::new(1.0, 4.0))
        );
    }

    #[test]
    fn an_id_from_elsewhere_has_no_label() {
        let mut other = Inputs::new();
        let number = other.add("x", Uncertain::new(1.0, 1.0)).unwrap();
        let empty = Inputs::<&str>::new();
        assert_eq!(empty.contributions(&number), []);
        assert_eq!(empty.value(number.contributions()[0].input), None);
    }
}

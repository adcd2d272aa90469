//! Several readings of one quantity: their mean, and whether they agree.
//!
//! Weighted mean x = Σ wᵢ·xᵢ / Σ wᵢ with wᵢ = 1/uᵢ². *Internal* uncertainty 1/√Σwᵢ follows from the
//! uncertainties alone; *external* uncertainty also from how far the readings scatter: internal times
//! the Birge ratio √(χ²/(n−1)), χ² = Σ wᵢ·(xᵢ − x)². R. T. Birge, *Physical Review* 40 (1932) 207;
//! from memory.
//!
//! Two readings are compared by the normalised difference |xᵢ − xⱼ| / (2·u(xᵢ − xⱼ)), the Eₙ number
//! of ISO/IEC 17043 and ISO 13528 (from memory): above 1 they disagree. u of the difference comes from
//! the tracked inputs, so what two readings share (one scale, one wheelbase) cancels in it.
//!
//! # Valid for
//! One quantity in one unit, each reading with an uncertainty. The weights, χ² and its probability
//! take the readings as independent of each other; the mean's own uncertainty does not.

use super::chi_square;
use super::error::{MassError, Quantity, check_finite, finite};
use crate::propagation::Tracked;
use crate::uncertain::{COVERAGE_FACTOR, Uncertain};

/// Differences whose uncertainty is this small beside the values are rounding, not information.
const ROUNDING: f64 = 1e-12;

/// A weighted mean and how well its readings agree.
#[derive(Debug, Clone, PartialEq)]
pub struct Combined {
    /// Weighted mean, with the uncertainty that follows from its inputs, shared ones included.
    pub mean: Tracked,
    /// 1/√Σ(1/u²): uncertainty from the readings' own uncertainties, taken as independent.
    pub internal_u: f64,
    /// How well the readings agree; `None` for a single reading.
    pub consistency: Option<Consistency>,
}

/// How well several readings of one quantity agree.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Consistency {
    /// χ² = Σ (xᵢ − x)²/uᵢ².
    pub chi_square: f64,
    /// Number of readings less one.
    pub degrees_of_freedom: usize,
    /// √(χ²/(n−1)): about 1 when the uncertainties are right, well above 1 when readings disagree.
    pub birge_ratio: f64,
    /// Chance that readings which do agree scatter at least this much; below 0.05 is commonly taken
    /// as a disagreement.
    pub probability: f64,
    /// Internal uncertainty times the Birge ratio.
    pub external_u: f64,
}

impl Combined {
    /// Returns the mean with the largest of its uncertainties: propagated, internal, external.
    pub fn cautious(&self) -> Uncertain {
        let external_u = self.consistency.map_or(0.0, |c| c.external_u);
        let u = self.mean.u().max(self.internal_u).max(external_u);
        Uncertain::new(self.mean.value(), u)
    }
}

/// Combines readings of one quantity to their inverse-variance weighted mean.
///
/// # Errors
/// No readings, one that is not finite, and one without uncertainty, which would silence all others.
pub fn weighted_mean(readings: &[Tracked]) -> Result<Combined, MassError> {
    let smallest_u = check_readings(readings)?;
    // Weights relative to the best reading stay in range for any unit.
    let weights: Vec<f64> = readings
        .iter()
        .map(|reading| (smallest_u / reading.u()).powi(2))
        .collect();
    let sum: f64 = weights.iter().sum();
    let mean = Tracked::weighted_sum(weights.iter().map(|weight| weight / sum).zip(readings));
    let mean = finite(mean, Quantity::Reading(0))?;
    let internal_u = smallest_u / sum.sqrt();
    let consistency = (readings.len() > 1)
        .then(|| consistency(readings, &mean, internal_u))
        .transpose()?;
    Ok(Combined {
        mean,
        internal_u,
        consistency,
    })
}

/// Returns the smallest standard uncertainty among readings that are fit to be weighted.
fn check_readings(readings: &[Tracked]) -> Result<f64, MassError> {
    let mut smallest = f64::INFINITY;
    for (index, reading) in readings.iter().enumerate() {
        check_finite(reading, Quantity::Reading(index))?;
        if reading.u() <= 0.0 {
            return Err(MassError::ReadingWithoutUncertainty { reading: index });
        }
        smallest = smallest.min(reading.u());
    }
    if readings.is_empty() {
        return Err(MassError::NoReadings);
    }
    Ok(smallest)
}

fn consistency(
    readings: &[Tracked],
    mean: &Tracked,
    internal_u: f64,
) -> Result<Consistency, MassError> {
    let chi_square = readings
        .iter()
        .map(|reading| ((reading.value() - mean.value()) / reading.u()).powi(2))
        .sum::<f64>();
    let degrees_of_freedom = readings.len() - 1;
    let birge_ratio = (chi_square / degrees_of_freedom as f64).sqrt();
    let external_u = internal_u * birge_ratio;
    if !chi_square.is_finite() || !external_u.is_finite() {
        let quantity = Quantity::Reading(readings.len() - 1);
        return Err(MassError::NotFinite { quantity });
    }
    Ok(Consistency {
        chi_square,
        degrees_of_freedom,
        birge_ratio,
        probability: chi_square::probability_above(chi_square, degrees_of_freedom),
        external_u,
    })
}

/// Two readings of one quantity that differ by more than their uncertainty explains.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Disagreement {
    /// Index of the earlier reading.
    pub first: usize,
    /// Index of the later reading.
    pub second: usize,
    /// Later less earlier reading.
    pub difference: f64,
    /// |difference| over its expanded uncertainty; above 1.
    pub ratio: f64,
}

/// Returns |a − b| over the expanded uncertainty (k = 2) of a − b.
///
/// `None` when the difference has no uncertainty, so that there is nothing to judge it by, and when
/// either number is not finite.
pub fn normalised_difference(a: &Tracked, b: &Tracked) -> Option<f64> {
    let difference = a - b;
    let u = difference.u();
    let rounding = ROUNDING * a.value().abs().max(b.value().abs());
    (difference.is_finite() && u > rounding)
        .then(|| difference.value().abs() / (COVERAGE_FACTOR * u))
        .filter(|ratio| ratio.is_finite())
}

/// Lists every pair of readings of one quantity that disagree, in the order of the readings.
pub fn disagreements(readings: &[Tracked]) -> Vec<Disagreement> {
    let mut found = Vec::new();
    for (second, later) in readings.iter().enumerate() {
        for (first, earlier) in readings.iter().enumerate().take(second) {
            if let Some(ratio) = normalised_difference(earlier, later).filter(|r| *r > 1.0) {
                found.push(Disagreement {
                    first,
                    second,
                    difference: later.value() - earlier.value(),
                    ratio,
                });
            }
        }
    }
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    fn readings(values: &[(f64, f64)]) -> Vec<Tracked> {
        let mut bench = Bench::default();
        values.iter().map(|&(x, u)| bench.input(x, u)).collect()
    }

    /// Arithmetic from the formulas, no citation: weights 1, 1 and 1/4, so that mean = (10 + 12 +
    /// 16/4)/2.25, and χ² = Σ w·(x − mean)².
    #[test]
    fn the_weighted_mean_and_its_two_uncertainties() {
        let combined = weighted_mean(&readings(&[(10.0, 1.0), (12.0, 1.0), (16.0, 2.0)])).unwrap();
        let mean = 26.0 / 2.25;
        close(combined.mean.value(), mean, 1e-12);
        close(combined.internal_u, 1.0 / 1.5, 1e-12);
        close(combined.mean.u(), combined.internal_u, 1e-12);
        let consistency = combined.consistency.unwrap();
        let chi_square =
            (10.0 - mean).powi(2) + (12.0 - mean).powi(2) + (16.0 - mean).powi(2) / 4.0;
        close(consistency.chi_square, chi_square, 1e-12);
        close(consistency.birge_ratio, (chi_square / 2.0).sqrt(), 1e-12);
        close(consistency.external_u, consistency.birge_ratio / 1.5, 1e-12);
        // Two degrees of freedom: the chance is exp(−χ²/2).
        close(consistency.probability, (-chi_square / 2.0).exp(), 1e-12);
        close(combined.cautious().u, consistency.external_u, 0.0);
    }

    #[test]
    fn a_single_reading_is_its_own_mean() {
        let combined = weighted_mean(&readings(&[(10.0, 0.5)])).unwrap();
        assert_eq!(combined.cautious(), Uncertain::new(10.0, 0.5));
        assert_eq!(combined.consistency, None);
    }

    #[test]
    fn readings_that_agree_are_not_trusted_more_than_their_inputs_allow() {
        let combined = weighted_mean(&readings(&[(10.0, 1.0), (10.0, 1.0)])).unwrap();
        close(combined.cautious().u, 0.5f64.sqrt(), 1e-12);
        close(combined.consistency.unwrap().birge_ratio, 0.0, 1e-12);
    }

    #[test]
    fn an_error_that_all_readings_share_does_not_average_out() {
        let mut bench = Bench::default();
        let shared = bench.input(0.0, 3.0);
        let both = [
            bench.input(10.0, 4.0) + &shared,
            bench.input(10.0, 4.0) + &shared,
        ];
        let combined = weighted_mean(&both).unwrap();
        close(combined.internal_u, 5.0 / 2f64.sqrt(), 1e-12);
        close(combined.mean.u(), (8.0f64 + 9.0).sqrt(), 1e-12);
        close(combined.cautious().u, combined.mean.u(), 0.0);
    }

    #[test]
    fn disagreeing_readings_are_named() {
        let found = disagreements(&readings(&[(1000.0, 3.0), (1004.0, 3.0), (1040.0, 4.0)]));
        let pairs: Vec<_> = found.iter().map(|d| (d.first, d.second)).collect();
        assert_eq!(pairs, [(0, 2), (1, 2)]);
        for (pair, (difference, ratio)) in found.iter().zip([(40.0, 4.0), (36.0, 3.6)]) {
            close(pair.difference, difference, 1e-12);
            close(pair.ratio, ratio, 1e-12);
        }
    }

    #[test]
    fn what_two_readings_share_cancels_in_their_difference() {
        let mut bench = Bench::default();
        let shared = bench.input(0.0, 100.0);
        let a = bench.input(1000.0, 1.0) + &shared;
        let b = bench.input(1010.0, 1.0) + &shared;
        close(
            normalised_difference(&a, &b).unwrap(),
            10.0 / 8f64.sqrt(),
            1e-9,
        );
    }

    #[test]
    fn a_difference_without_uncertainty_is_not_judged() {
        let mut bench = Bench::default();
        let a = bench.input(1000.0, 1.0);
        assert_eq!(normalised_difference(&a, &a), None);
        assert_eq!(normalised_difference(&exact(1.0), &exact(2.0)), None);
        assert_eq!(normalised_difference(&a, &exact(f64::NAN)), None);
        assert_eq!(disagreements(&[exact(1.0), exact(2.0)]), []);
    }

    #[test]
    fn readings_that_cannot_be_weighed_are_refused() {
        let mut bench = Bench::default();
        let good = bench.input(1.0, 0.1);
        assert_eq!(weighted_mean(&[]), Err(MassError::NoReadings));
        assert_eq!(
            weighted_mean(&[good.clone(), exact(1.0)]),
            Err(MassError::ReadingWithoutUncertainty { reading: 1 })
        );
        let quantity = Quantity::Reading(1);
        assert_eq!(
            weighted_mean(&[good, exact(f64::NAN)]),
            Err(MassError::NotFinite { quantity })
        );
    }

    proptest! {
        #[test]
        fn the_mean_lies_among_its_readings_and_is_surer_than_each(
            values in prop::collection::vec((100.0..5000.0f64, 0.1..50.0f64), 1..8),
        ) {
            let numbers = readings(&values);
            let combined = weighted_mean(&numbers).unwrap();
            let low = values.iter().map(|v| v.0).fold(f64::INFINITY, f64::min);
            let high = values.iter().map(|v| v.0).fold(0.0, f64::max);
            let best = values.iter().map(|v| v.1).fold(f64::INFINITY, f64::min);
            prop_assert!((low - 1e-9..=high + 1e-9).contains(&combined.mean.value()));
            prop_assert!(combined.internal_u > 0.0 && combined.internal_u <= best * (1.0 + 1e-12));
            prop_assert!((combined.mean.u() - combined.internal_u).abs() < 1e-9);
            if let Some(consistency) = combined.consistency {
                prop_assert!((0.0..=1.0).contains(&consistency.probability));
                prop_assert!(consistency.external_u >= 0.0);
            }
        }
    }
}

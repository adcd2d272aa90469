//! Correlated inputs, written as mixtures of independent ones.
//!
//! With the correlation matrix R = G·Gᵀ (Cholesky, G lower triangular), xᵢ varies as uᵢ·Σⱼ Gᵢⱼ·eⱼ
//! with independent unit errors eⱼ. Propagating the eⱼ by equation 10 of JCGM 100:2008 gives the
//! same result as equation 13 does for the xᵢ.

use super::InputError;

/// Rounding that is forgiven in a correlation matrix as typed or computed.
const FORGIVEN: f64 = 1e-9;

/// Why correlated inputs were refused. Indices count from zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CorrelationError {
    /// One of the values is unusable.
    Input {
        /// Which value.
        index: usize,
        /// What is wrong with it.
        error: InputError,
    },
    /// The matrix does not have one row and one column per value.
    WrongSize {
        /// Number of values, so the number of rows and of columns that is needed.
        expected: usize,
    },
    /// An entry is no number from −1 to 1, or not 1 on the diagonal.
    BadEntry {
        /// Row of the entry.
        row: usize,
        /// Column of the entry.
        column: usize,
    },
    /// An entry differs from the one mirrored at the diagonal.
    NotSymmetric {
        /// Row of the entry.
        row: usize,
        /// Column of the entry.
        column: usize,
    },
    /// No set of quantities can have these correlations together.
    Impossible {
        /// Row at which it shows.
        row: usize,
    },
}

impl std::fmt::Display for CorrelationError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Input { index, error } => write!(f, "correlated value {}: {error}", index + 1),
            Self::WrongSize { expected } => write!(
                f,
                "the correlation matrix needs {expected} rows of {expected} numbers"
            ),
            Self::BadEntry { row, column } => write!(
                f,
                "the correlation in row {}, column {} must lie between -1 and 1, and be 1 on the \
                 diagonal",
                row + 1,
                column + 1
            ),
            Self::NotSymmetric { row, column } => write!(
                f,
                "the correlation in row {}, column {} differs from its mirror image",
                row + 1,
                column + 1
            ),
            Self::Impossible { row } => write!(
                f,
                "no quantities can be correlated like this; see row {} of the matrix",
                row + 1
            ),
        }
    }
}

impl std::error::Error for CorrelationError {}

/// Factorises a correlation matrix into lower rows; row i has i + 1 entries.
///
/// A pivot of zero (fully correlated inputs) is allowed.
pub(super) fn lower_factor(
    matrix: &[Vec<f64>],
    size: usize,
) -> Result<Vec<Vec<f64>>, CorrelationError> {
    check_matrix(matrix, size)?;
    let mut factor: Vec<Vec<f64>> = Vec::with_capacity(size);
    for (row, entries) in matrix.iter().enumerate() {
        let mut line: Vec<f64> = Vec::with_capacity(row + 1);
        for (above, entry) in factor.iter().zip(entries) {
            let rest = entry - dot(above, &line);
            let pivot = above.last().copied().unwrap_or(0.0);
            // A pivot up to the root of what is forgiven was rounded to zero below.
            if pivot == 0.0 && rest.abs() > FORGIVEN.sqrt() {
                return Err(CorrelationError::Impossible { row });
            }
            line.push(if pivot == 0.0 { 0.0 } else { rest / pivot });
        }
        let rest = 1.0 - dot(&line, &line);
        if rest < -FORGIVEN {
            return Err(CorrelationError::Impossible { row });
        }
        line.push(if rest < FORGIVEN { 0.0 } else { rest.sqrt() });
        factor.push(line);
    }
    Ok(factor)
}

/// Adds up products as far as the shorter list goes.
fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

fn check_matrix(matrix: &[Vec<f64>], size: usize) -> Result<(), CorrelationError> {
    if matrix.len() != size || matrix.iter().any(|row| row.len() != size) {
        return Err(CorrelationError::WrongSize { expected: size });
    }
    for (row, entries) in matrix.iter().enumerate() {
        for (column, &entry) in entries.iter().enumerate() {
            let off_diagonal = row == column && (entry - 1.0).abs() > FORGIVEN;
            if off_diagonal || !(-1.0 - FORGIVEN..=1.0 + FORGIVEN).contains(&entry) {
                return Err(CorrelationError::BadEntry { row, column });
            }
            let mirrored = matrix.get(column).and_then(|other| other.get(row));
            if mirrored.is_none_or(|mirrored| (mirrored - entry).abs() > FORGIVEN) {
                return Err(CorrelationError::NotSymmetric { row, column });
            }
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::*;
    use crate::propagation::{Inputs, Tracked};
    use crate::uncertain::Uncertain;

    #[track_caller]
    fn close(actual: f64, expected: f64, tolerance: f64) {
        assert!(
            (actual - expected).abs() <= tolerance,
            "{actual} is not {expected} within {tolerance}"
        );
    }

    fn impedance() -> [Tracked; 3] {
        let mut inputs = Inputs::new();
        let measured = vec![
            ("V", Uncertain::new(4.999, 3.2e-3)),
            ("I", Uncertain::new(19.661e-3, 9.5e-6)),
            ("phi", Uncertain::new(1.044_46, 7.5e-4)),
        ];
        let correlation = [
            vec![1.0, -0.36, 0.86],
            vec![-0.36, 1.0, -0.65],
            vec![0.86, -0.65, 1.0],
        ];
        let numbers = inputs.add_correlated(measured, &correlation).unwrap();
        let [v, i, phi] = &numbers[..] else {
            unreachable!("three inputs were given")
        };
        [v * phi.cos() / i, v * phi.sin() / i, v / i]
    }

    /// GUM (JCGM 100:2008) example H.2, simultaneous resistance and reactance. Inputs read in the
    /// GTC documentation; expected values computed from them with GTC 1.5.1, because the printed
    /// ones (127.732, 219.847, 254.260; from memory) carry round-off.
    #[test]
    fn gum_h2_with_correlated_inputs() {
        let [r, x, z] = impedance();
        close(r.value(), 127.732_170, 1e-5);
        close(r.u(), 0.069_979, 1e-5);
        close(x.value(), 219.846_512, 1e-5);
        close(x.u(), 0.295_717, 1e-5);
        close(z.value(), 254.259_702, 1e-5);
        close(z.u(), 0.236_603, 1e-5);
        close(r.correlation(&x).unwrap(), -0.591_485, 1e-5);
        close(r.correlation(&z).unwrap(), -0.490_624, 1e-5);
        close(x.correlation(&z).unwrap(), 0.992_797, 1e-5);
    }

    /// As printed in GUM H.2 (from memory), within its round-off.
    #[test]
    fn gum_h2_as_printed() {
        let [r, x, z] = impedance();
        close(r.value(), 127.732, 5e-4);
        close(r.u(), 0.071, 1.5e-3);
        close(x.value(), 219.847, 6e-4);
        close(x.u(), 0.295, 1e-3);
        close(z.value(), 254.260, 5e-4);
        close(z.u(), 0.236, 1e-3);
        close(r.correlation(&x).unwrap(), -0.588, 6e-3);
        close(r.correlation(&z).unwrap(), -0.485, 6e-3);
        close(x.correlation(&z).unwrap(), 0.993, 1e-3);
    }

    #[test]
    fn the_inputs_have_the_correlations_that_were_asked_for() {
        let mut inputs = Inputs::new();
        let matrix = [
            vec![1.0, 0.5, 1.0],
            vec![0.5, 1.0, 0.5],
            vec![1.0, 0.5, 1.0],
        ];
        let values = ["a", "b", "c"].map(|label| (label, Uncertain::new(1.0, 0.1)));
        let numbers = inputs.add_correlated(values.to_vec(), &matrix).unwrap();
        for (row, a) in matrix.iter().zip(&numbers) {
            for (expected, b) in row.iter().zip(&numbers) {
                close(a.correlation(b).unwrap(), *expected, 1e-9);
            }
        }
        close((&numbers[0] - &numbers[2]).u(), 0.0, 1e-12);
    }

    /// JCGM 100:2008, 5.2.2, equation 13 (from memory): u² = Σ cᵢ·cⱼ·uᵢ·uⱼ·rᵢⱼ.
    #[test]
    fn a_sum_of_correlated_inputs_has_the_uncertainty_of_equation_13() {
        let mut inputs = Inputs::new();
        let matrix = [
            vec![1.0, 0.0, 0.6],
            vec![0.0, 1.0, -0.5],
            vec![0.6, -0.5, 1.0],
        ];
        let u = [2.0, 3.0, 5.0];
        let factors = [-1.0, 4.0, 0.5];
        let values = u.map(|u| ("x", Uncertain::new(10.0, u))).to_vec();
        let numbers = inputs.add_correlated(values, &matrix).unwrap();
        // Backwards, so that the numbers meet in an order that is not the order of registration.
        let sum = Tracked::weighted_sum(factors.into_iter().zip(&numbers).rev());
        let mut variance = 0.0;
        for (i, row) in matrix.iter().enumerate() {
            for (j, r) in row.iter().enumerate() {
                variance += factors[i] * factors[j] * u[i] * u[j] * r;
            }
        }
        close(sum.variance(), variance, 1e-9);
    }

    #[test]
    fn an_exact_number_has_no_correlation() {
        let mut inputs = Inputs::new();
        let a = inputs.add("a", Uncertain::new(1.0, 0.1)).unwrap();
        assert_eq!(a.correlation(&Tracked::exact(1.0)), None);
    }

    #[track_caller]
    fn refused(matrix: &[Vec<f64>], expected: CorrelationError) {
        let mut inputs = Inputs::new();
        let values = ["a", "b", "c"].map(|label| (label, Uncertain::new(1.0, 0.1)));
        let error = inputs.add_correlated(values.to_vec(), matrix).unwrap_err();
        assert_eq!(error, expected);
        assert_eq!(
            inputs,
            Inputs::new(),
            "a refused input leaves everything as it was"
        );
    }

    #[test]
    fn a_matrix_that_cannot_be_is_refused_with_its_place() {
        let with = |row: usize, column: usize, entry: f64| {
            let mut matrix = vec![
                vec![1.0, 0.0, 0.0],
                vec![0.0, 1.0, 0.0],
                vec![0.0, 0.0, 1.0],
            ];
            matrix[row][column] = entry;
            matrix
        };
        refused(
            &[vec![1.0], vec![1.0]],
            CorrelationError::WrongSize { expected: 3 },
        );
        refused(
            &with(1, 1, 0.9),
            CorrelationError::BadEntry { row: 1, column: 1 },
        );
        refused(
            &with(0, 2, f64::NAN),
            CorrelationError::BadEntry { row: 0, column: 2 },
        );
        refused(
            &with(0, 2, 1.5),
            CorrelationError::BadEntry { row: 0, column: 2 },
        );
        refused(
            &with(0, 2, 0.5),
            CorrelationError::NotSymmetric { row: 0, column: 2 },
        );
        let impossible = [
            vec![1.0, 0.9, -0.9],
            vec![0.9, 1.0, 0.9],
            vec![-0.9, 0.9, 1.0],
        ];
        refused(&impossible, CorrelationError::Impossible { row: 2 });
        let contradicting = [
            vec![1.0, 1.0, 0.5],
            vec![1.0, 1.0, -0.5],
            vec![0.5, -0.5, 1.0],
        ];
        refused(&contradicting, CorrelationError::Impossible { row: 2 });
    }

    #[test]
    fn a_bad_value_among_correlated_ones_is_named() {
        let mut inputs = Inputs::new();
        let values = vec![
            ("a", Uncertain::exact(1.0)),
            ("b", Uncertain::exact(f64::NAN)),
        ];
        let error = inputs
            .add_correlated(values, &[vec![1.0, 0.0], vec![0.0, 1.0]])
            .unwrap_err();
        let expected = CorrelationError::Input {
            index: 1,
            error: InputError::ValueNotFinite,
        };
        assert_eq!(error, expected);
        assert!(error.to_string().contains("correlated value 2"));
    }
}

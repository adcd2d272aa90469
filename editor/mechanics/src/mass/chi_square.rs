//! The chance of a χ² at least this large, from the finite sums for whole degrees of freedom.
//!
//! Abramowitz & Stegun, *Handbook of Mathematical Functions*, 26.4.4 and 26.4.5 (odd and even degrees
//! of freedom) and 7.1.6, 7.1.14 (error function); from memory.

use std::f64::consts::PI;

/// Returns the probability that χ² with this many degrees of freedom is at least `chi_square`.
///
/// From 0 to 1; 1 for zero degrees of freedom, and for a `chi_square` of zero or less.
pub(super) fn probability_above(chi_square: f64, degrees_of_freedom: usize) -> f64 {
    let half = chi_square / 2.0;
    if degrees_of_freedom == 0 || half <= 0.0 {
        return 1.0;
    }
    if half.is_infinite() {
        return 0.0;
    }
    // Terms are e^−x·xˢ/Γ(s+1) for s = 0, 1, 2 … or ½, 1½ …; logarithms keep them in range.
    let odd = degrees_of_freedom % 2 == 1;
    let (mut sum, mut s, mut log_gamma) = if odd {
        // Γ(3/2) = √π/2
        (erfc(half.sqrt()), 0.5, (PI.sqrt() / 2.0).ln())
    } else {
        (0.0, 0.0, 0.0)
    };
    for _ in 0..degrees_of_freedom / 2 {
        sum += (s * half.ln() - half - log_gamma).exp();
        s += 1.0;
        log_gamma += f64::ln(s);
    }
    sum.clamp(0.0, 1.0)
}

/// Returns the complementary error function for x ≥ 0.
fn erfc(x: f64) -> f64 {
    let gauss = (-x * x).exp();
    if x < 2.0 {
        // erf x = 2/√π · e^−x² · Σ 2ⁿ·x²ⁿ⁺¹ / (1·3·5 … (2n+1))
        let (mut term, mut sum) = (x, x);
        for n in 1..60 {
            term *= 2.0 * x * x / f64::from(2 * n + 1);
            sum += term;
        }
        1.0 - 2.0 / PI.sqrt() * gauss * sum
    } else {
        // erfc x = e^−x²/√π · 1/(x + ½/(x + 1/(x + 1½/(x + …)))), evaluated from its far end.
        let tail = (1..60)
            .rev()
            .fold(x, |tail, n| x + f64::from(n) / 2.0 / tail);
        gauss / (PI.sqrt() * tail)
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::close;
    use super::*;

    /// Upper critical values as in the table of the NIST/SEMATECH e-Handbook of Statistical Methods,
    /// 1.3.6.7.4; from memory.
    #[test]
    fn critical_values_of_the_chi_square_table() {
        for (degrees, chi_square, probability) in [
            (1, 3.841, 0.05),
            (2, 5.991, 0.05),
            (3, 7.815, 0.05),
            (4, 9.488, 0.05),
            (5, 11.070, 0.05),
            (10, 18.307, 0.05),
            (1, 6.635, 0.01),
            (7, 18.475, 0.01),
            (30, 50.892, 0.01),
        ] {
            close(probability_above(chi_square, degrees), probability, 2e-5);
        }
    }

    /// Abramowitz & Stegun, table 7.1 (erf 0.5 = 0.5204998778, erf 1 = 0.8427007929, erf 2 =
    /// 0.9953222650); from memory.
    #[test]
    fn error_function_of_the_handbook_table() {
        close(erfc(0.0), 1.0, 1e-15);
        close(erfc(0.5), 1.0 - 0.520_499_877_8, 1e-10);
        close(erfc(1.0), 1.0 - 0.842_700_792_9, 1e-10);
        close(erfc(2.0), 1.0 - 0.995_322_265_0, 1e-10);
        close(erfc(2.0 - 1e-9), erfc(2.0), 1e-9);
    }

    #[test]
    fn the_ends_are_certain_and_impossible() {
        close(probability_above(0.0, 3), 1.0, 0.0);
        close(probability_above(5.0, 0), 1.0, 0.0);
        close(probability_above(f64::INFINITY, 3), 0.0, 0.0);
        assert!(probability_above(1e6, 4) < 1e-300);
        assert!((0.4..0.6).contains(&probability_above(3000.0, 3000)));
    }
}

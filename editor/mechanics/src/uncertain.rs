//! A value with its standard uncertainty, and the interval that verdicts look at.
//!
//! Terms as in the GUM (JCGM 100:2008): the *standard uncertainty* u is one standard deviation; the
//! *expanded* uncertainty is k·u, here with k = 2.

/// Coverage factor of every interval in this crate.
///
/// k = 2 gives about 95 % for a result with many comparable contributions (JCGM 100:2008, 6.3;
/// from memory). For one rectangular contribution alone it covers everything and more.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// A value and its standard uncertainty (k = 1), in the unit of the value.
///
/// The fields are public and unchecked; [`Inputs::add`](crate::propagation::Inputs::add) is the gate
/// that refuses what is not a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Uncertain {
    /// Best estimate.
    pub value: f64,
    /// Standard uncertainty, never negative in a valid number.
    pub u: f64,
}

impl Uncertain {
    /// Pairs a value with its standard uncertainty (k = 1).
    pub const fn new(value: f64, u: f64) -> Self {
        Self { value, u }
    }

    /// Takes a value as exactly known: a definition, or a number whose doubt is counted elsewhere.
    pub const fn exact(value: f64) -> Self {
        Self { value, u: 0.0 }
    }

    /// Takes a value read from a display that steps by `division`: u = division / √12.
    ///
    /// Rectangular distribution, full width one division (JCGM 100:2008, 4.3.7; from memory).
    pub fn rectangular_division(value: f64, division: f64) -> Self {
        Self::new(value, division / 12f64.sqrt())
    }

    /// Takes a value known to lie within ± `tolerance`: u = tolerance / √3.
    ///
    /// Rectangular distribution of half width `tolerance` (JCGM 100:2008, 4.3.7; from memory).
    pub fn rectangular_tolerance(value: f64, tolerance: f64) -> Self {
        Self::new(value, tolerance / 3f64.sqrt())
    }

    /// Takes a value with an expanded uncertainty, as most certificates state it: u = expanded / k.
    pub fn from_expanded(value: f64, expanded: f64, coverage_factor: f64) -> Self {
        Self::new(value, expanded / coverage_factor)
    }

    /// Adds a further, independent uncertainty: root of the sum of squares.
    #[must_use]
    pub fn widened(self, further_u: f64) -> Self {
        Self::new(self.value, self.u.hypot(further_u))
    }

    /// Returns the expanded interval, value ± 2 u.
    pub fn interval(self) -> Interval {
        let half_width = COVERAGE_FACTOR * self.u;
        Interval {
            low: self.value - half_width,
            high: self.value + half_width,
        }
    }

    /// Says whether both numbers are finite and the uncertainty is not negative.
    pub fn is_valid(self) -> bool {
        self.value.is_finite() && self.u.is_finite() && self.u >= 0.0
    }
}

/// A closed interval from `low` to `high`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
}

impl Interval {
    /// Returns the interval between two numbers, whichever is the smaller.
    pub fn between(a: f64, b: f64) -> Self {
        Self {
            low: a.min(b),
            high: a.max(b),
        }
    }

    /// Says whether `value` lies inside, the ends included.
    pub fn contains(self, value: f64) -> bool {
        self.low <= value && value <= self.high
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const POUND: f64 = 0.453_592_37;

    #[track_caller]
    fn close(actual: f64, expected: f64, tolerance: f64) {
        assert!(
            (actual - expected).abs() <= tolerance,
            "{actual} is not {expected} within {tolerance}"
        );
    }

    /// Arithmetic from the formula d / √12, no citation.
    #[test]
    fn a_division_of_20_lb_is_a_standard_uncertainty_of_2_61882_kg() {
        close(Uncertain::rectangular_division(0.0, 20.0).u, 5.7735, 5e-5);
        close(
            Uncertain::rectangular_division(0.0, 20.0 * POUND).u,
            2.618_82,
            5e-6,
        );
    }

    /// Arithmetic from the formula tolerance / √3, no citation.
    #[test]
    fn a_tolerance_of_20_lb_is_a_standard_uncertainty_of_5_2376_kg() {
        close(Uncertain::rectangular_tolerance(0.0, 20.0).u, 11.547, 5e-4);
        close(
            Uncertain::rectangular_tolerance(0.0, 20.0 * POUND).u,
            5.2376,
            5e-5,
        );
    }

    #[test]
    fn an_expanded_uncertainty_comes_back_as_the_same_interval() {
        let value = Uncertain::from_expanded(10.0, 0.5, COVERAGE_FACTOR);
        assert_eq!(
            value.interval(),
            Interval {
                low: 9.5,
                high: 10.5
            }
        );
        assert!(value.interval().contains(9.5) && !value.interval().contains(9.4));
    }

    #[test]
    fn independent_uncertainties_add_as_squares() {
        close(Uncertain::new(1.0, 3.0).widened(4.0).u, 5.0, 1e-12);
    }

    #[test]
    fn what_is_not_a_number_is_not_valid() {
        assert!(Uncertain::exact(-3.0).is_valid());
        assert!(!Uncertain::exact(f64::NAN).is_valid());
        assert!(!Uncertain::exact(f64::INFINITY).is_valid());
        assert!(!Uncertain::new(1.0, f64::NAN).is_valid());
        assert!(!Uncertain::new(1.0, -0.1).is_valid());
    }
}

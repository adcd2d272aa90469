//! Readings of one scale: what its division and tolerance make of their uncertainty.
//!
//! Two errors of different kinds. *Rounding to a division* is new with every reading: a rectangular
//! distribution one division wide, u = d/√12. *Tolerance* is how far the scale as a whole may be off;
//! readings taken on it one after the other are all off the same way. So tolerance enters as one
//! input that all readings of a scale share: it does not average out in a total, and it cancels in a
//! share. JCGM 100:2008, 4.3.7 and 5.2.2; from memory.
//!
//! # Legal tolerances
//! [`maintenance_tolerance`] and [`acceptance_tolerance`] are those of accuracy class III L (vehicle
//! and axle-load scales), NIST Handbook 44, sec. 2.20, Table 6. **From memory**: that row could not be
//! read, so compare with the edition in force. Wheel-load weighers and portable axle-load weighers
//! belong to class IIII, which allows more (from memory), and are not covered.

use crate::propagation::{InputError, Inputs, Tracked};
use crate::uncertain::Uncertain;

/// How much short of a step a load in divisions still counts as on it, for units that were converted.
const STEP_SLACK: f64 = 1e-6;

/// A scale with a division and, if known, a tolerance. Mass in kilograms, or any one unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    division: f64,
    /// u of the rounding and, apart from it, what all readings share: an input of 0 ± 1.
    shared: Option<SharedTolerance>,
}

#[derive(Debug, Clone, PartialEq)]
struct SharedTolerance {
    tolerance: f64,
    unit_error: Tracked,
}

impl Scale {
    /// Describes a scale of which only the division is known.
    ///
    /// # Errors
    /// A division that is negative or not finite. Zero stands for a reading without rounding.
    pub fn with_division(division: f64) -> Result<Self, ScaleError> {
        check(division)
            .map_err(ScaleError::Division)
            .map(|()| Self {
                division,
                shared: None,
            })
    }

    /// Describes a scale that is correct within ± `tolerance`, an error that its readings share.
    ///
    /// `label` names that shared error in the list of contributions.
    ///
    /// # Errors
    /// A division or tolerance that is negative or not finite.
    pub fn with_tolerance<L>(
        inputs: &mut Inputs<L>,
        label: L,
        division: f64,
        tolerance: f64,
    ) -> Result<Self, ScaleError> {
        check(tolerance).map_err(ScaleError::Tolerance)?;
        let scale = Self::with_division(division)?;
        let unit_error = inputs
            .add(label, Uncertain::new(0.0, 1.0))
            .map_err(ScaleError::Tolerance)?;
        Ok(Self {
            shared: Some(SharedTolerance {
                tolerance,
                unit_error,
            }),
            ..scale
        })
    }

    /// Takes one reading, in the unit of the division.
    ///
    /// # Errors
    /// A reading that is not finite.
    pub fn reading<L>(
        &self,
        inputs: &mut Inputs<L>,
        label: L,
        value: f64,
    ) -> Result<Tracked, InputError> {
        let rounded = Uncertain::rectangular_division(value, self.division);
        let reading = inputs.add(label, rounded)?;
        Ok(match &self.shared {
            None => reading,
            Some(shared) => {
                let u = Uncertain::rectangular_tolerance(0.0, shared.tolerance).u;
                reading + u * &shared.unit_error
            }
        })
    }
}

fn check(number: f64) -> Result<(), InputError> {
    if !number.is_finite() {
        Err(InputError::UncertaintyNotFinite)
    } else if number < 0.0 {
        Err(InputError::UncertaintyNegative)
    } else {
        Ok(())
    }
}

/// Why the description of a scale was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ScaleError {
    /// The division is unusable.
    Division(InputError),
    /// The tolerance is unusable.
    Tolerance(InputError),
}

impl std::fmt::Display for ScaleError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let what = match self {
            Self::Division(_) => "division",
            Self::Tolerance(_) => "tolerance",
        };
        write!(
            f,
            "the scale's {what} must be a finite number, zero or more"
        )
    }
}

impl std::error::Error for ScaleError {}

/// Returns the maintenance tolerance (±) of a class III L scale at this load, in the same unit.
///
/// Up to 500 divisions 1 d, up to 1000 divisions 2 d, then 1 d more per 500 d or part of it. NIST
/// Handbook 44, sec. 2.20, Table 6; from memory. `None` unless load and division are finite, the
/// load not negative and the division more than zero.
pub fn maintenance_tolerance(load: f64, division: f64) -> Option<f64> {
    let usable = load.is_finite() && load >= 0.0 && division.is_finite() && division > 0.0;
    let divisions = load / division;
    if !usable || !divisions.is_finite() {
        return None;
    }
    let steps = (divisions / 500.0 - STEP_SLACK).ceil().max(1.0);
    Some(steps * division)
}

/// Returns the acceptance tolerance (±) of a class III L scale: half the maintenance tolerance.
///
/// Same source, limits and `None` as [`maintenance_tolerance`].
pub fn acceptance_tolerance(load: f64, division: f64) -> Option<f64> {
    maintenance_tolerance(load, division).map(|tolerance| tolerance / 2.0)
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::horizontal::{AxleLoad, AxleReading, from_axle_readings};
    use super::super::testing::{POUND, close};
    use super::*;

    /// NIST Handbook 44, sec. 2.20, Table 6, class III L, d = 20 lb; from memory, the values
    /// arithmetic from it.
    #[test]
    fn class_iii_l_tolerances_at_20_lb() {
        for (load, tolerance) in [
            (0.0, 20.0),
            (3200.0, 20.0),
            (10_000.0, 20.0),
            (10_020.0, 40.0),
            (20_000.0, 40.0),
            (34_000.0, 80.0),
            (80_000.0, 160.0),
        ] {
            let in_pounds = maintenance_tolerance(load, 20.0).unwrap();
            let in_kilograms = maintenance_tolerance(load * POUND, 20.0 * POUND).unwrap();
            close(in_pounds, tolerance, 1e-12);
            close(in_kilograms, tolerance * POUND, 1e-12);
            close(
                acceptance_tolerance(load, 20.0).unwrap(),
                tolerance / 2.0,
                1e-12,
            );
        }
    }

    #[test]
    fn no_tolerance_without_a_load_and_a_division() {
        for (load, division) in [
            (-1.0, 20.0),
            (f64::NAN, 20.0),
            (f64::INFINITY, 20.0),
            (100.0, 0.0),
            (100.0, -20.0),
            (100.0, f64::NAN),
            (1e308, 1e-10),
        ] {
            assert_eq!(maintenance_tolerance(load, division), None);
        }
    }

    fn plane(scale: &Scale, inputs: &mut Inputs<&'static str>) -> super::super::HorizontalMass {
        let front = scale.reading(inputs, "front", 911.4).unwrap();
        let rear = scale.reading(inputs, "rear", 629.6).unwrap();
        from_axle_readings(&[
            AxleReading::front(AxleLoad::Total(front)),
            AxleReading::at(Tracked::exact(2.667), AxleLoad::Total(rear)),
        ])
        .unwrap()
    }

    #[test]
    fn a_tolerance_adds_up_in_the_total_and_nearly_cancels_in_the_place() {
        let (division, tolerance) = (20.0 * POUND, 20.0 * POUND);
        let mut inputs = Inputs::new();
        let rounding_only = plane(&Scale::with_division(division).unwrap(), &mut inputs);
        let scale = Scale::with_tolerance(&mut inputs, "scale", division, tolerance).unwrap();
        let with_tolerance = plane(&scale, &mut inputs);
        close(rounding_only.total.u(), 2.618_82 * 2f64.sqrt(), 1e-4);
        // Both readings are off the same way: 2 · 5.2376 kg.
        let expected = rounding_only.total.u().hypot(2.0 * 5.237_63);
        close(with_tolerance.total.u(), expected, 1e-4);
        assert!(with_tolerance.x.u() < 1.2 * rounding_only.x.u());
        let (label, _) = inputs.contributions(&with_tolerance.total)[0];
        assert_eq!(*label, "scale");
    }

    #[test]
    fn a_scale_that_cannot_be_is_refused() {
        let mut inputs = Inputs::new();
        for bad in [-1.0, f64::NAN, f64::INFINITY] {
            assert!(matches!(
                Scale::with_division(bad),
                Err(ScaleError::Division(_))
            ));
            assert!(matches!(
                Scale::with_tolerance(&mut inputs, "scale", 20.0, bad),
                Err(ScaleError::Tolerance(_))
            ));
        }
        let scale = Scale::with_division(20.0).unwrap();
        assert!(scale.reading(&mut inputs, "front", f64::NAN).is_err());
        assert_eq!(inputs, Inputs::new());
    }
}

//! A field rule for steel wire rope without a marking.
//!
//! SWL in kg = 8·D², D in mm; 30 % less over a sharp bend. Australian Emergency Manual, Disaster
//! Rescue ch. 3.15, read. A marking or a maker's figure always overrides it.

use super::error::{Quantity, WinchingError, check_positive, finite};
use crate::propagation::Tracked;

/// What a sharp bend takes from a wire rope.
pub const SHARP_BEND_LOSS: f64 = 0.30;

/// Estimates the safe working load of an unmarked steel wire rope, kilograms.
///
/// `diameter` in metres.
///
/// # Errors
/// A diameter that is not more than zero or not finite.
pub fn field_rule_limit(diameter: &Tracked, sharply_bent: bool) -> Result<Tracked, WinchingError> {
    check_positive(diameter, Quantity::RopeDiameter)?;
    let millimetres = diameter * 1000.0;
    let left = if sharply_bent {
        1.0 - SHARP_BEND_LOSS
    } else {
        1.0
    };
    finite(&millimetres * &millimetres * (8.0 * left), Quantity::Pull)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, exact};
    use super::*;

    /// Australian Emergency Manual, Disaster Rescue ch. 3.15, read: 14 mm carry 1,568 kg; sharply
    /// bent 1,097.6 kg (arithmetic from the formula).
    #[test]
    fn a_rope_of_14_mm() {
        let limit = |bent| field_rule_limit(&exact(0.014), bent).unwrap().value();
        close(limit(false), 1568.0, 1e-9);
        close(limit(true), 1097.6, 1e-9);
        assert!(field_rule_limit(&exact(0.0), false).is_err());
        assert!(field_rule_limit(&exact(f64::NAN), false).is_err());
    }
}

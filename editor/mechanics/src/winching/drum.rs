//! What a winch pulls on the layer of line in use.
//!
//! # Free body
//! The drum turns with the same torque on every layer; the line leaves it at the radius of its own
//! layer, so the pull falls as layers build up. With the bare drum's diameter D, the line's diameter
//! d and the layer n, counted from one:
//!
//! - Fₙ = F₁·(D + d) / (D + (2n − 1)·d). Statics; the general form is from memory, and it agrees with
//!   the self-recovery winch table of TM 9-2320-338-10 within 0.08 %.
//!
//! Which layer is in use follows from the line on the drum: a layer holds K·B / d turns of π·(D +
//! (2n − 1)·d) each, where B is the drum's width and K the packing factor, 0.7 to 0.9 in the
//! literature on SAE J706 (read second-hand). Loose packing builds more layers, so it is the cautious
//! choice.
//!
//! # Valid for
//! A line that lies in layers one above the other. The layer is a whole number and follows from the
//! most line that can be on the drum, where the winch pulls least; the uncertainty of the drum's and
//! the line's sizes does not enter it.

use super::error::{Quantity, WinchingError, check_finite, check_positive, check_range, finite};
use crate::propagation::Tracked;
use crate::verdict::{Limit, Verdict};
use std::f64::consts::PI;

/// Turns that must stay on the drum under load: TM 9-2320-338-10, read.
pub const MIN_WRAPS: f64 = 5.0;

/// Packing factor of a line that lies loosely; the low end of the literature.
pub const PACKING_LOOSE: f64 = 0.7;

/// Packing factor of a line wound tightly turn by turn; the high end of the literature.
pub const PACKING_TIGHT: f64 = 0.9;

/// More layers than any drum has.
const MOST_LAYERS: u32 = 100;

/// A winch's drum and line. Lengths in metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Drum {
    /// Diameter of the bare drum.
    pub diameter: Tracked,
    /// Width between the flanges.
    pub width: Tracked,
    /// Diameter of the line.
    pub line_diameter: Tracked,
    /// Length of the whole line.
    pub line_length: Tracked,
    /// Share of the drum's width that turns of line fill, above 0 and up to 1.
    pub packing: f64,
}

/// Where the line leaves the drum.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerInUse {
    /// The layer, counted from one on the bare drum, with the most line that can be on the drum.
    pub layer: u32,
    /// Turns of line left on the drum.
    pub wraps: Tracked,
    /// Length of line left on the drum, metres.
    pub on_drum: Tracked,
}

impl LayerInUse {
    /// Judges whether [`MIN_WRAPS`] turns or more are left on the drum.
    pub fn has_enough_wraps(&self) -> Verdict {
        Limit::AtLeast(MIN_WRAPS).verdict(Some(self.wraps.uncertain()))
    }
}

impl Drum {
    /// Finds the layer in use when `line_out` metres of line are off the drum.
    ///
    /// # Errors
    /// Sizes that are not more than zero, a packing factor that is not above 0 and at most 1, more
    /// line out than there is, and a line that would need more than 100 layers.
    pub fn layer_in_use(&self, line_out: &Tracked) -> Result<LayerInUse, WinchingError> {
        self.check()?;
        check_finite(line_out, Quantity::LineOut)?;
        let (out, length) = (line_out.value(), self.line_length.value());
        if out < 0.0 {
            let (value, low, high) = (out, 0.0, length);
            let quantity = Quantity::LineOut;
            return Err(WinchingError::OutOfRange {
                quantity,
                value,
                low,
                high,
            });
        }
        if out > length {
            return Err(WinchingError::LineTooShort { out, length });
        }
        let on_drum = &self.line_length - line_out;
        Ok(LayerInUse {
            layer: self.layer_of(on_drum.uncertain().interval().high)?,
            wraps: self.wraps(&on_drum)?,
            on_drum,
        })
    }

    /// Whole turns in one layer.
    fn turns(&self) -> f64 {
        let turns = self.packing * self.width.value() / self.line_diameter.value();
        turns.floor().max(1.0)
    }

    /// The length of one turn of a layer.
    fn turn(&self, layer: u32) -> Tracked {
        (&self.diameter + &self.line_diameter * (2.0 * f64::from(layer) - 1.0)) * PI
    }

    /// Returns how many turns a length of line makes.
    fn wraps(&self, length: &Tracked) -> Result<Tracked, WinchingError> {
        let below = self.layer_of(length.value())? - 1;
        let under = (1..=below)
            .map(|layer| self.turn(layer) * self.turns())
            .fold(Tracked::exact(0.0), |sum, layer| sum + layer);
        let on_top = (length - under) / self.turn(below + 1);
        finite(on_top + self.turns() * f64::from(below), Quantity::LineOut)
    }

    /// Returns the layer that a length of line reaches to.
    fn layer_of(&self, mut length: f64) -> Result<u32, WinchingError> {
        let (bare, line, turns) = (
            self.diameter.value(),
            self.line_diameter.value(),
            self.turns(),
        );
        for layer in 1..=MOST_LAYERS {
            let turn = PI * (bare + f64::from(2 * layer - 1) * line);
            if length <= turns * turn {
                return Ok(layer);
            }
            length -= turns * turn;
        }
        Err(WinchingError::OutOfRange {
            quantity: Quantity::Layer,
            value: f64::from(MOST_LAYERS + 1),
            low: 1.0,
            high: f64::from(MOST_LAYERS),
        })
    }

    fn check(&self) -> Result<(), WinchingError> {
        check_positive(&self.diameter, Quantity::DrumDiameter)?;
        check_positive(&self.width, Quantity::DrumWidth)?;
        check_positive(&self.line_diameter, Quantity::LineDiameter)?;
        check_positive(&self.line_length, Quantity::LineLength)?;
        let packing = Tracked::exact(self.packing);
        check_positive(&packing, Quantity::Packing)?;
        check_range(&packing, Quantity::Packing, 0.0, 1.0)
    }
}

/// Computes what a winch pulls on a layer, from its rated pull on the first.
///
/// # Errors
/// A pull or size that is not more than zero, layer 0, and what is not finite.
pub fn layer_pull(
    first_layer: &Tracked,
    drum_diameter: &Tracked,
    line_diameter: &Tracked,
    layer: u32,
) -> Result<Tracked, WinchingError> {
    check_positive(first_layer, Quantity::WinchCapacity)?;
    check_positive(drum_diameter, Quantity::DrumDiameter)?;
    check_positive(line_diameter, Quantity::LineDiameter)?;
    check_positive(&Tracked::exact(f64::from(layer)), Quantity::Layer)?;
    let across = drum_diameter + line_diameter * (2.0 * f64::from(layer) - 1.0);
    let pull = first_layer * (drum_diameter + line_diameter) / across;
    finite(pull, Quantity::WinchCapacity)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{close, exact, input};
    use super::*;
    use proptest::prelude::*;

    const INCH: f64 = 0.0254;

    /// Self-recovery winch table, TM 9-2320-338-10 p. 0084-38, Table 2 (also TM 9-2320-279-10-2,
    /// Table 2-7), read: the printed pounds. x = 2d / (D + d) = 0.1005 is fitted, and the figures of
    /// the formula are arithmetic from it.
    #[test]
    fn self_recovery_winch_layers_1_to_5() {
        let (line, x) = (1.0, 0.1005);
        let drum = 2.0 * line / x - line;
        let printed = [20_000.0, 18_173.0, 16_663.0, 15_361.0, 14_254.0];
        let computed = [20_000.0, 18_173.6, 16_652.8, 15_366.9, 14_265.3];
        for ((layer, printed), computed) in (1..).zip(printed).zip(computed) {
            let pull = layer_pull(&exact(20_000.0), &exact(drum), &exact(line), layer).unwrap();
            close(pull.value(), computed, 0.05);
            close(pull.value(), printed, printed * 0.0015);
        }
    }

    /// FM 21-305 wording (secondary), read second-hand: the last layer can be as low as about half.
    #[test]
    fn eight_layers_halve_the_pull_of_a_carrier_winch() {
        let pull = layer_pull(&exact(8000.0), &exact(4.5), &exact(0.375), 8).unwrap();
        close(pull.value() / 8000.0, 4.875 / 10.125, 1e-12);
    }

    fn carrier_drum(packing: f64) -> Drum {
        Drum {
            diameter: exact(4.5 * INCH),
            width: exact(12.0 * INCH),
            line_diameter: exact(0.375 * INCH),
            line_length: exact(600.0 * INCH),
            packing,
        }
    }

    /// 28 turns a layer at 0.9; 28·π·4.875 in = 428.8 in on the first layer and 171.2 in on the
    /// second. Arithmetic from the formula, no citation.
    #[test]
    fn fifty_feet_fill_two_layers_of_a_carrier_drum() {
        let full = carrier_drum(PACKING_TIGHT)
            .layer_in_use(&exact(0.0))
            .unwrap();
        assert_eq!(full.layer, 2);
        close(full.wraps.value(), 28.0 + 171.17 / (PI * 5.625), 1e-2);
        let out = exact(200.0 * INCH);
        let part = carrier_drum(PACKING_TIGHT).layer_in_use(&out).unwrap();
        assert_eq!(part.layer, 1);
        close(part.wraps.value(), 400.0 / (PI * 4.875), 1e-9);
        assert_eq!(part.has_enough_wraps(), Verdict::Within);
        close(part.on_drum.value(), 400.0 * INCH, 1e-12);
    }

    #[test]
    fn the_last_five_turns_stay_on_the_drum() {
        let drum = carrier_drum(PACKING_TIGHT);
        let five = 5.0 * PI * 4.875 * INCH;
        let at = |left: f64| drum.layer_in_use(&exact(600.0 * INCH - left)).unwrap();
        assert_eq!(at(five * 1.001).has_enough_wraps(), Verdict::Within);
        assert_eq!(at(five * 0.999).has_enough_wraps(), Verdict::Beyond);
        let bare = drum.layer_in_use(&exact(600.0 * INCH)).unwrap();
        assert_eq!((bare.layer, bare.has_enough_wraps()), (1, Verdict::Beyond));
    }

    #[test]
    fn line_that_may_be_all_off_the_drum_is_not_surely_enough() {
        let out = input(600.0 * INCH - 2.1, 1.0);
        let left = carrier_drum(PACKING_TIGHT).layer_in_use(&out).unwrap();
        assert!(left.wraps.value() > MIN_WRAPS);
        assert_eq!(left.has_enough_wraps(), Verdict::TooCloseToCall);
        // 428.8 in fill the first layer: 420 in with 5 in more or less may reach the second.
        let out = input(180.0 * INCH, 5.0 * INCH);
        let left = carrier_drum(PACKING_TIGHT).layer_in_use(&out).unwrap();
        assert_eq!(left.layer, 2);
    }

    #[test]
    fn what_cannot_be_is_refused() {
        let drum = carrier_drum(0.9);
        assert!(matches!(
            drum.layer_in_use(&exact(700.0 * INCH)),
            Err(WinchingError::LineTooShort { .. })
        ));
        for bad in [-0.1, f64::NAN] {
            assert!(drum.layer_in_use(&exact(bad)).is_err());
        }
        for packing in [0.0, 1.1, f64::NAN] {
            assert!(carrier_drum(packing).layer_in_use(&exact(0.0)).is_err());
        }
        let mut endless = carrier_drum(0.9);
        endless.line_length = exact(1e6);
        assert!(endless.layer_in_use(&exact(0.0)).is_err());
        let one = exact(1.0);
        assert!(layer_pull(&one, &one, &one, 0).is_err());
        assert!(layer_pull(&one, &exact(-1.0), &one, 1).is_err());
        assert!(layer_pull(&exact(f64::INFINITY), &one, &one, 1).is_err());
    }

    #[test]
    fn a_first_layer_passes_its_uncertainty_on_unchanged() {
        let rated = input(8000.0, 100.0);
        let first = layer_pull(&rated, &input(4.5, 0.1), &input(0.375, 0.01), 1).unwrap();
        close(first.u(), 100.0, 1e-9);
    }

    proptest! {
        #[test]
        fn more_line_on_the_drum_never_pulls_harder(
            out in 0.0..550.0f64, less in 0.0..50.0f64, packing in 0.5..1.0f64,
        ) {
            let drum = carrier_drum(packing);
            let pull = |out: f64| {
                let layer = drum.layer_in_use(&exact(out * INCH)).unwrap().layer;
                layer_pull(&exact(8000.0), &drum.diameter, &drum.line_diameter, layer)
                    .unwrap()
                    .value()
            };
            prop_assert!(pull(out + less) >= pull(out));
        }
    }
}

//! Which readings share the error of one scale, and readings of it as numbers with doubt.
//!
//! A tolerance is how far a scale may be off, and it is off the same way each time it is used: weighing again on it does
//! not average the error out. A set of wheel pads is one scale a wheel position, each off on its own. So one input stands
//! for each scale, or pad, and tolerance. JCGM 100:2008, 4.3.7 and 5.2.2; from memory.

use chockstone_mechanics::{mass::Scale as Divisions, propagation::Tracked, uncertain::Uncertain};
use chockstone_schema::{
    id::AxleRef,
    model::mass::Scale as Entry,
    quantity::{MassReading, Quantity},
};

use super::{Computed, InputName};

/// The side of a wheel pad.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

impl Side {
    fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }
}

/// Which wheel a pad stands under; `None` where one scale carries a whole axle.
pub(crate) type Pad<'a> = Option<(&'a AxleRef, Side)>;

/// A scale's error that is an input already.
#[derive(Clone, Debug)]
pub(crate) struct KnownError {
    /// The scale's name, or for one without a name the place of the weighing or of the lift.
    whose: String,
    tolerance: f64,
    pad: Option<(AxleRef, Side)>,
    error: Tracked,
}

/// A scale as one weighing or lift step describes it.
#[derive(Debug)]
pub(crate) struct OneScale {
    /// Where it is described.
    place: String,
    whose: String,
    divisions: Divisions,
    tolerance: Option<f64>,
}

impl OneScale {
    /// What is known of a scale that is described under `place`; `None` when its division is no usable number.
    ///
    /// A scale without a name is taken to be the same within `session`: one weighing, or all steps of a lift.
    pub(crate) fn described(place: &str, session: &str, scale: Option<&Entry>) -> Option<Self> {
        let division = scale
            .and_then(|s| s.division)
            .map_or(0.0, Quantity::kilograms);
        let name = scale.and_then(|s| s.name.as_ref());
        Some(Self {
            place: format!("{place}/scale"),
            whose: name.map_or_else(|| session.to_owned(), ToString::to_string),
            divisions: Divisions::with_division(division).ok()?,
            tolerance: scale.and_then(|s| s.tolerance).map(Quantity::kilograms),
        })
    }
}

impl Computed {
    /// A reading with the rounding that is its own and the error that it shares with others of the same scale.
    pub(crate) fn reading(
        &mut self,
        scale: &OneScale,
        pad: Pad<'_>,
        place: String,
        reading: MassReading,
    ) -> Option<Tracked> {
        let rounded = scale
            .divisions
            .reading(
                &mut self.inputs,
                InputName::kilograms(place),
                reading.kilograms(),
            )
            .ok()?;
        Some(match scale.tolerance {
            Some(tolerance) => rounded + self.error_of(scale, tolerance, pad)?,
            None => rounded,
        })
    }

    /// The input that stands for a scale's or a pad's error, made when it is first asked for.
    fn error_of(&mut self, scale: &OneScale, tolerance: f64, pad: Pad<'_>) -> Option<Tracked> {
        let known = self.scale_errors.iter().find(|k| {
            let same_pad = k.pad.as_ref().map(|(axle, side)| (axle, *side)) == pad;
            // The same figure in the same unit converts to the same bits; no other is the same tolerance.
            same_pad && k.whose == scale.whose && k.tolerance.to_bits() == tolerance.to_bits()
        });
        if let Some(known) = known {
            return Some(known.error.clone());
        }
        let place = &scale.place;
        let label = match pad {
            Some((axle, side)) => format!("{place}/tolerance ({axle}, {})", side.word()),
            None => format!("{place}/tolerance"),
        };
        let spread = Uncertain::rectangular_tolerance(0.0, tolerance);
        let error = self.inputs.add(InputName::kilograms(label), spread).ok()?;
        self.scale_errors.push(KnownError {
            whose: scale.whose.clone(),
            tolerance,
            pad: pad.map(|(axle, side)| (axle.clone(), side)),
            error: error.clone(),
        });
        Some(error)
    }
}

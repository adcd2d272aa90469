//! Values as people wrote them: the same across units, or how far apart.

use chockstone_schema::quantity::{Dimension, convert, find_unit, shortest};
use serde_json::Value;

/// In another unit a value may be off by this part of itself; a coarser rounding is a change.
const LARGEST_ROUNDING: f64 = 0.01;
/// Half a millimetre: a length off by no more was rounded, whatever part of it that is.
const HALF_A_MILLIMETRE: f64 = 0.000_5;
/// What is left of floating point after a conversion.
const NOISE: f64 = 1e-12;

/// A number with its unit, taken from `[number, unit]`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Written<'v> {
    pub(crate) number: f64,
    pub(crate) unit: &'v str,
}

impl<'v> Written<'v> {
    pub(crate) fn of(value: &'v Value) -> Option<Self> {
        let [number, unit] = value.as_array()?.as_slice() else {
            return None;
        };
        Some(Self {
            number: number.as_f64()?,
            unit: unit.as_str()?,
        })
    }

    /// The value in the SI unit.
    pub(crate) fn si(self, dimension: Dimension) -> Option<f64> {
        Some(find_unit(dimension, self.unit)?.to_si(self.number))
    }

    /// The value in the SI unit as a difference: without the zero shift of a temperature scale.
    pub(crate) fn si_difference(self, dimension: Dimension) -> Option<f64> {
        Some(self.number * find_unit(dimension, self.unit)?.scale)
    }

    /// Half a step of the last place that was written, in the SI unit.
    fn half_step(self, dimension: Dimension) -> Option<f64> {
        let text = shortest(self.number);
        let places = text
            .split_once('.')
            .map_or(0, |(_, decimals)| decimals.len());
        let places = i32::try_from(places).ok()?;
        Some(0.5 * 10_f64.powi(-places) * find_unit(dimension, self.unit)?.scale)
    }
}

/// Whether two quantities are one value.
///
/// In the same unit they are when the numbers are equal: one step of the last place is a change. In two units they are
/// when they differ by no more than half a step of the last place of the coarser writing, and by no more than 1 % (or half
/// a millimetre): `7120 lb` and `3230 kg` are one value, `7120 lb` and `3231 kg` are not, and `1400 kg` is not `1 t`.
/// Zeros at the end of a whole number count as written: `3200 kg` is meant to the kilogram.
pub(crate) fn same(dimension: Dimension, a: Written<'_>, b: Written<'_>) -> bool {
    #[expect(
        clippy::float_cmp,
        reason = "numbers as entered are one or they are not"
    )]
    if a.unit == b.unit {
        return a.number == b.number;
    }
    same_across_units(dimension, a, b).unwrap_or(false)
}

fn same_across_units(dimension: Dimension, a: Written<'_>, b: Written<'_>) -> Option<bool> {
    let (x, y) = (a.si(dimension)?, b.si(dimension)?);
    let apart = (x - y).abs();
    let size = a
        .si_difference(dimension)?
        .abs()
        .max(b.si_difference(dimension)?.abs());
    let half_step = a.half_step(dimension)?.max(b.half_step(dimension)?);
    let fine = apart <= LARGEST_ROUNDING * size
        || (dimension == Dimension::Length && apart <= HALF_A_MILLIMETRE);
    Some(fine && apart <= half_step + NOISE * size.max(x.abs()))
}

/// How far apart two quantities are, in the unit of the newer one: `120 lb less`.
pub(crate) fn apart(dimension: Dimension, a: Written<'_>, b: Written<'_>) -> Option<String> {
    let old = convert(a.number, dimension, a.unit, b.unit)?;
    let difference = b.number - old;
    let word = if difference < 0.0 { "less" } else { "more" };
    Some(format!("{} {} {word}", rounded(difference.abs()), b.unit))
}

/// A number with as many digits as a difference is worth: four, or all of them before the point.
pub(crate) fn rounded(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return shortest(value);
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a magnitude is a small number"
    )]
    let magnitude = value.abs().log10().floor() as i32;
    let scale = 10_f64.powi((3 - magnitude).clamp(0, 9));
    shortest((value * scale).round() / scale)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(dimension: Dimension, a: (f64, &str), b: (f64, &str), expected: bool) {
        let written = |(number, unit)| Written { number, unit };
        assert_eq!(
            same(dimension, written(a), written(b)),
            expected,
            "{a:?} {b:?}"
        );
        assert_eq!(
            same(dimension, written(b), written(a)),
            expected,
            "{b:?} {a:?}"
        );
    }

    #[test]
    fn a_value_written_in_another_unit_is_no_change() {
        // International yard and pound agreement of 1959: 1 lb = 0.45359237 kg, 1 in = 25.4 mm.
        check(Dimension::Mass, (7120.0, "lb"), (3230.0, "kg"), true);
        check(Dimension::Mass, (7120.0, "lb"), (3229.6, "kg"), true);
        check(
            Dimension::Mass,
            (7120.0, "lb"),
            (3_229.577_674_4, "kg"),
            true,
        );
        check(Dimension::Length, (131.0, "in"), (3327.4, "mm"), true);
        check(Dimension::Length, (131.0, "in"), (3.33, "m"), true);
        check(Dimension::Length, (0.5, "in"), (13.0, "mm"), true);
        check(Dimension::Speed, (5.0, "mph"), (8.0, "km/h"), true);
        check(
            Dimension::Temperature,
            (100.0, "degC"),
            (212.0, "degF"),
            true,
        );
        check(Dimension::Length, (0.0, "mm"), (0.0, "in"), true);
    }

    #[test]
    fn one_step_of_the_last_place_is_a_change() {
        check(Dimension::Mass, (7120.0, "lb"), (7121.0, "lb"), false);
        check(Dimension::Mass, (7120.5, "lb"), (7120.6, "lb"), false);
        check(Dimension::Mass, (7120.0, "lb"), (3231.0, "kg"), false);
        check(Dimension::Mass, (7120.0, "lb"), (3229.0, "kg"), false);
        check(Dimension::Length, (131.0, "in"), (3341.0, "mm"), false);
    }

    #[test]
    fn a_rounding_that_loses_the_value_is_a_change() {
        check(Dimension::Mass, (1400.0, "kg"), (1.0, "t"), false);
        check(Dimension::Length, (3.0, "in"), (8.0, "cm"), false);
        check(Dimension::Duration, (80.0, "s"), (1.0, "min"), false);
    }

    #[test]
    fn the_difference_is_told_in_the_newer_unit() {
        let written = |number, unit| Written { number, unit };
        let told = |a, b| apart(Dimension::Mass, a, b);
        let less = told(written(7120.0, "lb"), written(7000.0, "lb"));
        assert_eq!(less.as_deref(), Some("120 lb less"));
        let more = told(written(7120.0, "lb"), written(3300.0, "kg"));
        assert_eq!(more.as_deref(), Some("70.42 kg more"));
    }
}

//! Numbers with units on the command line, in SI units once read.

use chockstone_schema::quantity::{
    Angle, AngleKind, Coordinate, CoordinateKind, Distance, DistanceKind, Duration, DurationKind,
    Kind, Quantity, Way, WayKind, parse_entry, units_of,
};

/// The largest friction that anybody may count on: no published value of clean surfaces comes near it.
const MOST_FRICTION: f64 = 1.0;

/// Reads a number with its unit. A number without one is refused: a guess could hurt somebody.
fn read<K: Kind>(text: &str) -> Result<Quantity<K>, String> {
    let (value, unit) = parse_entry(text, K::DIMENSION, "").map_err(|e| e.to_string())?;
    if unit.is_empty() {
        let units: Vec<&str> = units_of(K::DIMENSION).iter().map(|u| u.symbol).collect();
        return Err(format!(
            "{} is wanted here with its unit ({}), such as \"1.5 {}\"",
            K::DIMENSION.phrase(),
            units.join(", "),
            K::SI_UNIT
        ));
    }
    Quantity::new(value, unit)
}

/// A place along the deck in m.
pub(super) fn place(text: &str) -> Result<f64, String> {
    read::<CoordinateKind>(text).map(Coordinate::metres)
}

/// A height of zero or more in m.
pub(super) fn height(text: &str) -> Result<f64, String> {
    read::<DistanceKind>(text).map(Distance::metres)
}

/// A length of line in m.
pub(super) fn line(text: &str) -> Result<f64, String> {
    read::<WayKind>(text).map(Way::metres)
}

/// A time of zero or more in s.
pub(super) fn time(text: &str) -> Result<f64, String> {
    read::<DurationKind>(text).map(Duration::seconds)
}

/// An angle of slope in rad; a slope of a right angle or more is none.
pub(super) fn slope(text: &str) -> Result<f64, String> {
    let slope = read::<AngleKind>(text).map(Angle::radians)?;
    if slope.abs() < std::f64::consts::FRAC_PI_2 {
        Ok(slope)
    } else {
        Err(format!("{text} is no slope: it must be less than 90°"))
    }
}

/// A friction factor.
pub(super) fn friction(text: &str) -> Result<f64, String> {
    let friction: f64 = text
        .trim()
        .parse()
        .map_err(|_| format!("{text:?} is not a number; a friction factor is one, such as 0.3"))?;
    if (0.0..=MOST_FRICTION).contains(&friction) {
        Ok(friction)
    } else {
        Err(format!(
            "{text} is not a friction factor from 0 to {MOST_FRICTION}"
        ))
    }
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn both_unit_families_are_read() {
        // 1 in = 0.0254 m exactly (international yard and pound agreement of 1959).
        assert!((place("47 in").unwrap() - 1.1938).abs() < 1e-12);
        assert!((place("-0.2 m").unwrap() + 0.2).abs() < 1e-12);
        assert!((line("50 ft").unwrap() - 15.24).abs() < 1e-12);
        assert!((time("8 min").unwrap() - 480.0).abs() < 1e-12);
        assert!((slope("10 deg").unwrap() - 0.174_532_925_2).abs() < 1e-10);
    }

    #[track_caller]
    fn refused(outcome: Result<f64, String>, because: &str) {
        let error = outcome.unwrap_err();
        assert!(error.contains(because), "{error}");
    }

    #[test]
    fn a_number_without_its_unit_or_with_a_wrong_one_is_refused() {
        refused(place("1.2"), "with its unit (mm, cm, m,");
        refused(place("1.2 kg"), "a unit of mass; a length is wanted");
        refused(place("12 parsec"), "not a known unit");
        refused(height("-1 in"), "negative");
        refused(line("NaN m"), "not a finite number");
        refused(time("8"), "with its unit (s, min, h, d)");
        refused(time("8 m"), "a unit of length; a time is wanted");
        refused(time("-8 min"), "negative");
        refused(slope("95 deg"), "less than 90°");
        refused(friction("30 %"), "not a number");
        refused(friction("3"), "from 0 to 1");
        refused(friction("NaN"), "from 0 to 1");
    }
}

//! What a person types into a number field: `24.5 in`, `1,8 m`, `7120`, `6 ft 2 in`, `3200/2 kg`.

use super::{Dimension, UnitInfo, units_of};

mod sum;

/// Why a typed number was not understood.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum EntryError {
    /// Nothing was typed.
    #[error("Type a number")]
    Empty,
    /// The text does not begin with a number.
    #[error("“{0}” is not a number")]
    NotANumber(String),
    /// `NaN`, `inf` or a number too large for the machine.
    #[error("“{0}” is not a finite number")]
    NotFinite(String),
    /// A comma before exactly three digits: thousands or decimals, nobody can know.
    #[error("“{0}” can be read in two ways: write {1} or {2}")]
    Ambiguous(String, String, String),
    /// Some parts of a sum have a unit and others have none.
    #[error("“{0}”: write a unit with each part, or one unit at the end for all")]
    MixedUnits(String),
    /// The unit is unknown or of another kind.
    #[error("{0}")]
    WrongUnit(String),
}

/// Reads a typed number with an optional unit.
///
/// Without a unit the number is in `default_unit`. The result keeps the unit that was typed, by its file symbol.
/// A decimal comma is understood (`1,8`); a comma before exactly three digits is refused, since `7,120` may mean
/// either number and a guess could hurt somebody. Sums, products, fractions and parts in several units (`6 ft 2 in`,
/// `24 1/2 in`, `3200/2 kg`, `7120 lb - 180 lb`) are worked out to twelve figures; parts are kept in the smallest unit
/// typed, sums in the first.
pub fn parse_entry(
    text: &str,
    dimension: Dimension,
    default_unit: &'static str,
) -> Result<(f64, &'static str), EntryError> {
    let text = text.trim();
    let plain = parse_plain(text, dimension, default_unit);
    // A single number that is refused is refused with its own reason, whatever could be worked out of it.
    match &plain {
        Err(EntryError::NotANumber(_) | EntryError::WrongUnit(_)) => {
            sum::worked_out(text, dimension, default_unit).unwrap_or(plain)
        }
        _ => plain,
    }
}

fn parse_plain(
    text: &str,
    dimension: Dimension,
    default_unit: &'static str,
) -> Result<(f64, &'static str), EntryError> {
    if text.is_empty() {
        return Err(EntryError::Empty);
    }
    let end = number_end(text);
    let (number, unit) = text.split_at(end);
    let (number, unit) = (number.trim(), unit.trim());
    if number.is_empty() {
        return Err(no_number(text));
    }
    let value = parse_number(number)?;
    if unit.is_empty() {
        return Ok((value, default_unit));
    }
    unit_named(dimension, unit)
        .map(|u| (value, u.symbol))
        .ok_or_else(|| EntryError::WrongUnit(wrong_unit(dimension, unit)))
}

/// The unit of a dimension that has this symbol or is also written so.
fn unit_named(dimension: Dimension, name: &str) -> Option<&'static UnitInfo> {
    let mut units = units_of(dimension).iter();
    units.find(|u| u.symbol == name || u.spellings.contains(&name))
}

fn no_number(text: &str) -> EntryError {
    let bare = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
    if bare.starts_with("nan") || bare.starts_with("inf") {
        EntryError::NotFinite(text.to_owned())
    } else {
        EntryError::NotANumber(text.to_owned())
    }
}

/// Where the number ends: digits, signs, points, commas and an exponent with digits.
fn number_end(text: &str) -> usize {
    let mut end = 0;
    let bytes = text.as_bytes();
    let at = |i: usize| bytes.get(i).copied().unwrap_or(b' ');
    while end < bytes.len() {
        let part = match at(end) {
            b'0'..=b'9' | b'.' | b',' => true,
            b'+' | b'-' => end == 0 || matches!(at(end - 1), b'e' | b'E'),
            b'e' | b'E' => {
                end > 0
                    && (at(end + 1).is_ascii_digit()
                        || (matches!(at(end + 1), b'+' | b'-') && at(end + 2).is_ascii_digit()))
            }
            _ => false,
        };
        if !part {
            break;
        }
        end += 1;
    }
    end
}

fn parse_number(number: &str) -> Result<f64, EntryError> {
    let plain = without_commas(number)?;
    let value: f64 = plain
        .parse()
        .map_err(|_| EntryError::NotANumber(number.to_owned()))?;
    if value.is_finite() {
        Ok(value)
    } else {
        Err(EntryError::NotFinite(number.to_owned()))
    }
}

fn without_commas(number: &str) -> Result<String, EntryError> {
    if !number.contains(',') {
        return Ok(number.to_owned());
    }
    let not_a_number = || EntryError::NotANumber(number.to_owned());
    let groups: Vec<&str> = number.split(',').collect();
    let (first, rest) = groups.split_first().ok_or_else(not_a_number)?;
    let whole_groups = !first.is_empty()
        && rest
            .iter()
            .all(|g| g.split('.').next().is_some_and(|d| d.len() == 3));
    let has_point = number.contains('.');
    // `1,234.5` and `1,234,567` can only be thousands.
    if whole_groups
        && (has_point || rest.len() > 1)
        && first.len() <= 4
        && number
            .find('.')
            .is_none_or(|p| number.rfind(',').is_some_and(|c| c < p))
    {
        return Ok(number.replace(',', ""));
    }
    if has_point || rest.len() > 1 {
        return Err(not_a_number());
    }
    if whole_groups {
        return Err(EntryError::Ambiguous(
            number.to_owned(),
            number.replace(',', ""),
            number.replace(',', "."),
        ));
    }
    Ok(number.replace(',', "."))
}

/// The sentence for a unit that does not fit.
pub(super) fn wrong_unit(wanted: Dimension, symbol: &str) -> String {
    let accepted: Vec<&str> = units_of(wanted).iter().map(|u| u.symbol).collect();
    let accepted = accepted.join(", ");
    let other = Dimension::ALL
        .into_iter()
        .find(|d| *d != wanted && known(units_of(*d), symbol));
    match other {
        Some(other) => format!(
            "{symbol:?} is a unit of {}; {} is wanted here ({accepted})",
            other.key(),
            wanted.phrase()
        ),
        None => format!(
            "{symbol:?} is not a known unit; {} is wanted here ({accepted})",
            wanted.phrase()
        ),
    }
}

fn known(units: &[UnitInfo], symbol: &str) -> bool {
    units
        .iter()
        .any(|u| u.symbol == symbol || u.spellings.contains(&symbol))
}

/// Converts a number between two units of one dimension; `None` when either unit is not of that dimension.
pub fn convert(value: f64, dimension: Dimension, from: &str, to: &str) -> Option<f64> {
    let from_unit = super::find_unit(dimension, from)?;
    let to_unit = super::find_unit(dimension, to)?;
    if from == to {
        return Some(value);
    }
    Some(to_unit.from_si(from_unit.to_si(value)))
}

/// The shortest text that reads back as exactly this number.
pub fn shortest(value: f64) -> String {
    format!("{value}")
}

#[cfg(test)]
#[expect(clippy::panic, reason = "tests state exact facts")]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, expected: Result<(f64, &str), &str>) {
        match (parse_entry(text, Dimension::Length, "mm"), expected) {
            (Ok(found), Ok(expected)) => assert_eq!(found, expected, "{text}"),
            (Err(found), Err(part)) => assert!(found.to_string().contains(part), "{text}: {found}"),
            (found, _) => panic!("{text}: {found:?}"),
        }
    }

    #[test]
    fn numbers_with_and_without_units_are_understood() {
        check("24.5 in", Ok((24.5, "in")));
        check("24.5in", Ok((24.5, "in")));
        check("24.5\"", Ok((24.5, "in")));
        check("1,8 m", Ok((1.8, "m")));
        check("3683", Ok((3683.0, "mm")));
        check("-12", Ok((-12.0, "mm")));
        check("1e3", Ok((1000.0, "mm")));
        check("1,234,567 mm", Ok((1_234_567.0, "mm")));
        check("1,234.5 mm", Ok((1234.5, "mm")));
        check("6 feet", Ok((6.0, "ft")));
    }

    #[test]
    fn what_could_mean_two_things_is_refused() {
        check("7,120", Err("write 7120 or 7.120"));
    }

    #[test]
    fn what_is_no_length_is_refused() {
        check("", Err("Type a number"));
        check("NaN", Err("not a finite number"));
        check("inf", Err("not a finite number"));
        check("1e999", Err("not a finite number"));
        check("12 parsec", Err("not a known unit"));
        check("5 kg", Err("a unit of mass; a length is wanted"));
        check("abc", Err("not a number"));
        check("1.2.3", Err("not a number"));
        check("1,2,3", Err("not a number"));
    }

    #[test]
    fn published_conversions_hold() {
        // NIST Handbook 44 appendix C (from memory): 1 mi = 1.609344 km, 1 US gal = 3.785411784 L.
        let metres = convert(1.0, Dimension::Length, "mi", "m").unwrap_or_default();
        assert!((metres - 1609.344).abs() < 1e-9);
        let litres = convert(1.0, Dimension::Volume, "gal", "L").unwrap_or_default();
        assert!((litres - 3.785_411_784).abs() < 1e-12);
        let fahrenheit = convert(100.0, Dimension::Temperature, "degC", "degF").unwrap_or_default();
        assert!((fahrenheit - 212.0).abs() < 1e-9);
        assert_eq!(convert(1.0, Dimension::Length, "kg", "m"), None);
    }
}

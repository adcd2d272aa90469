//! Entries that are worked out: `6 ft 2 in`, `24 1/2 in`, `3200/2 kg`, `7120 lb - 180 lb`.
//!
//! ```text
//! entry  = term { ("+" | "-") term } | part part { part }       parts: `6 ft 2 in`, each in a smaller unit
//! term   = factor { ("*" | "/") factor } [ unit ]
//! part   = number unit
//! factor = [ "-" ] ( number | "(" bare-sum ")" )
//! number = digits, as in a plain entry | whole whole "/" whole   `24 1/2`, as a tape is read
//! ```
//!
//! A unit belongs to the term before it; one unit alone, at the end, belongs to all terms (`120 + 4 in`). Terms with and without a
//! unit are not mixed otherwise, since a guess could hurt somebody.

use super::{super::UnitInfo, Dimension, EntryError, number_end, parse_number, unit_named};

/// The most characters of an entry that is worked out.
const LONGEST: usize = 200;
/// The most brackets within one another.
const DEEPEST: usize = 16;

/// A term: a number, and the unit that follows it.
struct Term {
    value: f64,
    unit: Option<&'static UnitInfo>,
    /// Whether it stands behind another one without a sign between, as inches behind feet.
    follows: bool,
}

/// Works an entry out; `None` where the text is no such entry, so that it is told as a plain one is.
pub(super) fn worked_out(
    text: &str,
    dimension: Dimension,
    default_unit: &'static str,
) -> Option<Result<(f64, &'static str), EntryError>> {
    if text.len() > LONGEST {
        return None;
    }
    let mut reader = Reader {
        rest: text,
        dimension,
        depth: 0,
    };
    let terms = match reader.terms() {
        Ok(terms) => terms,
        Err(Stop::NoSum) => return None,
        Err(Stop::Wrong(error)) => return Some(Err(error)),
    };
    Some(total(&terms, text, dimension, default_unit))
}

/// Why reading stopped.
enum Stop {
    /// It is no sum.
    NoSum,
    /// It is one, and something in it is wrong.
    Wrong(EntryError),
}

struct Reader<'t> {
    rest: &'t str,
    dimension: Dimension,
    depth: usize,
}

impl<'t> Reader<'t> {
    fn terms(&mut self) -> Result<Vec<Term>, Stop> {
        let mut terms = vec![self.term(1.0, false)?];
        loop {
            match self.take(&['+', '-', '−']) {
                Some(sign) => terms.push(self.term(if sign == '+' { 1.0 } else { -1.0 }, false)?),
                None if self.rest.trim().is_empty() => return Ok(terms),
                None => {
                    // Only behind a unit can another part follow.
                    if terms.last().is_none_or(|t| t.unit.is_none()) {
                        return Err(Stop::NoSum);
                    }
                    terms.push(self.term(1.0, true)?);
                }
            }
        }
    }

    fn term(&mut self, sign: f64, follows: bool) -> Result<Term, Stop> {
        let mut value = sign * self.factor()?;
        while let Some(operator) = self.take(&['*', '×', '/', '÷']) {
            let factor = self.factor()?;
            value = if matches!(operator, '*' | '×') {
                value * factor
            } else {
                value / factor
            };
        }
        let unit = self.unit()?;
        Ok(Term {
            value,
            unit,
            follows,
        })
    }

    fn factor(&mut self) -> Result<f64, Stop> {
        let sign = self.take(&['-', '−']).map_or(1.0, |_| -1.0);
        if self.take(&['(']).is_none() {
            return Ok(sign * self.number()?);
        }
        self.depth += 1;
        if self.depth > DEEPEST {
            return Err(Stop::NoSum);
        }
        let mut sum = self.product()?;
        while let Some(operator) = self.take(&['+', '-', '−']) {
            let next = self.product()?;
            sum += if operator == '+' { next } else { -next };
        }
        self.depth -= 1;
        self.take(&[')']).ok_or(Stop::NoSum)?;
        Ok(sign * sum)
    }

    /// A term without a unit, inside brackets.
    fn product(&mut self) -> Result<f64, Stop> {
        let term = self.term(1.0, false)?;
        match term.unit {
            None => Ok(term.value),
            Some(_) => Err(Stop::NoSum),
        }
    }

    fn number(&mut self) -> Result<f64, Stop> {
        let number = self.digits().ok_or(Stop::NoSum)?;
        let value = parse_number(number).map_err(Stop::Wrong)?;
        Ok(self.fraction(number).map_or(value, |more| value + more))
    }

    /// The fraction behind a whole number: `24 1/2`.
    fn fraction(&mut self, whole: &str) -> Option<f64> {
        let is_whole = |text: &str| !text.is_empty() && text.bytes().all(|b| b.is_ascii_digit());
        let before = self.rest;
        let found = (|| {
            let over = self.digits().filter(|over| is_whole(over))?;
            self.take(&['/'])?;
            let under = self.digits().filter(|under| is_whole(under))?;
            let (over, under): (f64, f64) = (over.parse().ok()?, under.parse().ok()?);
            (is_whole(whole) && over < under).then(|| over / under)
        })();
        if found.is_none() {
            self.rest = before;
        }
        found
    }

    fn digits(&mut self) -> Option<&'t str> {
        let text = self.rest.trim_start();
        if !text.starts_with(|c: char| c.is_ascii_digit() || c == '.' || c == ',') {
            return None;
        }
        let (number, rest) = text.split_at(number_end(text));
        self.rest = rest;
        Some(number)
    }

    fn unit(&mut self) -> Result<Option<&'static UnitInfo>, Stop> {
        let text = self.rest.trim_start();
        let ends = |c: char| c.is_ascii_digit() || c.is_whitespace() || "+-−*×/÷()".contains(c);
        // Units hold signs of their own: `kWh/100 km` and the like are tried before shorter ones.
        let mut end = text.len();
        loop {
            let (symbol, rest) = text.split_at(end);
            let symbol = symbol.trim_end();
            if symbol.is_empty() {
                return Ok(None);
            }
            if let Some(unit) = unit_named(self.dimension, symbol) {
                self.rest = rest;
                return Ok(Some(unit));
            }
            match text.get(..end).and_then(|t| t.rfind(ends)) {
                Some(shorter) if shorter > 0 => end = shorter,
                Some(_) => return Ok(None),
                None => {
                    let sentence = super::wrong_unit(self.dimension, symbol);
                    return Err(Stop::Wrong(EntryError::WrongUnit(sentence)));
                }
            }
        }
    }

    /// Takes one of these signs, if it comes next.
    fn take(&mut self, signs: &[char]) -> Option<char> {
        let text = self.rest.trim_start();
        let first = text.chars().next().filter(|c| signs.contains(c))?;
        self.rest = text.get(first.len_utf8()..).unwrap_or_default();
        Some(first)
    }
}

fn total(
    terms: &[Term],
    text: &str,
    dimension: Dimension,
    default_unit: &'static str,
) -> Result<(f64, &'static str), EntryError> {
    let units: Vec<&UnitInfo> = terms.iter().filter_map(|t| t.unit).collect();
    let (Some(first), Some(last)) = (units.first(), units.last()) else {
        return finite(terms.iter().map(|t| t.value).sum(), text, default_unit);
    };
    let at_the_end = units.len() == 1 && terms.last().is_some_and(|t| t.unit.is_some());
    if at_the_end {
        return finite(terms.iter().map(|t| t.value).sum(), text, first.symbol);
    }
    if units.len() < terms.len() {
        return Err(EntryError::MixedUnits(text.to_owned()));
    }
    if dimension == Dimension::Temperature {
        return Err(EntryError::NotANumber(text.to_owned()));
    }
    let parts = terms.iter().any(|t| t.follows);
    if parts && !are_parts(terms) {
        return Err(EntryError::NotANumber(text.to_owned()));
    }
    let kept = if parts { last } else { first };
    let si = terms.iter().filter_map(|t| Some(t.unit?.to_si(t.value)));
    finite(kept.from_si(si.sum()), text, kept.symbol)
}

/// Whether all parts follow one another, each in a smaller unit and, behind the first, less than one of the unit before.
fn are_parts(terms: &[Term]) -> bool {
    terms.iter().skip(1).all(|t| t.follows)
        && terms.windows(2).all(|pair| match pair {
            [larger, smaller] => match (larger.unit, smaller.unit) {
                (Some(unit), Some(part)) => {
                    let part = part.to_si(smaller.value);
                    larger.value >= 0.0 && part >= 0.0 && part < unit.to_si(1.0)
                }
                _ => false,
            },
            _ => false,
        })
}

/// The number without what binary fractions add in its last places.
fn finite(value: f64, text: &str, unit: &'static str) -> Result<(f64, &'static str), EntryError> {
    let not_finite = || EntryError::NotFinite(text.to_owned());
    if !value.is_finite() {
        return Err(not_finite());
    }
    let short: f64 = format!("{value:.11e}").parse().map_err(|_| not_finite())?;
    // A sum of nothing is 0, not -0.
    Ok((short + 0.0, unit))
}

#[cfg(test)]
#[expect(clippy::panic, reason = "tests state exact facts")]
mod tests {
    use proptest::prelude::*;

    use super::super::parse_entry;
    use super::*;

    #[track_caller]
    fn check(text: &str, dimension: Dimension, expected: Result<(f64, &str), &str>) {
        match (parse_entry(text, dimension, "mm"), expected) {
            (Ok(found), Ok(expected)) => assert_eq!(found, expected, "{text}"),
            (Err(found), Err(part)) => assert!(found.to_string().contains(part), "{text}: {found}"),
            (found, _) => panic!("{text}: {found:?}"),
        }
    }

    #[test]
    fn feet_and_inches_are_kept_in_inches() {
        // NIST Handbook 44 appendix C (from memory): 1 ft = 12 in exactly.
        check("6 ft 2 in", Dimension::Length, Ok((74.0, "in")));
        check("6' 2\"", Dimension::Length, Ok((74.0, "in")));
        check("6ft 2 1/2in", Dimension::Length, Ok((74.5, "in")));
        check("1 h 30 min", Dimension::Duration, Ok((90.0, "min")));
        check("6 ft 14 in", Dimension::Length, Err("not a number"));
        check("2 in 6 ft", Dimension::Length, Err("not a number"));
    }

    #[test]
    fn fractions_are_read_as_a_tape_is() {
        check("24 1/2 in", Dimension::Length, Ok((24.5, "in")));
        check("3/8 in", Dimension::Length, Ok((0.375, "in")));
        check("24 3/2 in", Dimension::Length, Err(""));
        check("24 1/0 in", Dimension::Length, Err(""));
    }

    #[test]
    fn sums_and_products_are_worked_out_in_the_unit_that_was_typed() {
        check("3200/2 kg", Dimension::Mass, Ok((1600.0, "kg")));
        check("7120 lb - 180 lb", Dimension::Mass, Ok((6940.0, "lb")));
        check("120 + 4 in", Dimension::Length, Ok((124.0, "in")));
        check("3 m + 20 mm", Dimension::Length, Ok((3.02, "m")));
        check("2*65 in", Dimension::Length, Ok((130.0, "in")));
        check("(120 + 4) / 2 in", Dimension::Length, Ok((62.0, "in")));
        check("0.1 + 0.2", Dimension::Length, Ok((0.3, "mm")));
        check("2 × 1,5 m", Dimension::Length, Ok((3.0, "m")));
        check("-3 + 1", Dimension::Length, Ok((-2.0, "mm")));
        check("5 - -3", Dimension::Length, Ok((8.0, "mm")));
    }

    #[test]
    fn what_could_hurt_if_it_were_guessed_is_refused() {
        check("3 m + 20", Dimension::Length, Err("a unit with each part"));
        check(
            "7,120 - 5",
            Dimension::Length,
            Err("can be read in two ways"),
        );
        check("1/0", Dimension::Length, Err("not a finite number"));
        check("3 m + 2 kg", Dimension::Length, Err("a unit of mass"));
        check("2 + ", Dimension::Length, Err(""));
        check("(2", Dimension::Length, Err(""));
        check("2 2", Dimension::Length, Err(""));
        check("(3 m + 1) * 2", Dimension::Length, Err(""));
        check("20 degC + 5 degC", Dimension::Temperature, Err(""));
    }

    proptest! {
        #[test]
        fn a_sum_of_lengths_is_the_sum_of_its_parts(
            parts in proptest::collection::vec((-5000_i32..5000, 0_usize..4), 2..6),
        ) {
            // Millimetres of one unit (NIST Handbook 44 appendix C, from memory).
            let units = [("mm", 1.0), ("cm", 10.0), ("m", 1000.0), ("in", 25.4)];
            let unit = |i: usize| units.get(i).copied().unwrap_or(("mm", 1.0));
            let text: Vec<String> = parts.iter().map(|(n, u)| format!("{n} {}", unit(*u).0)).collect();
            let expected: f64 = parts.iter().map(|(n, u)| f64::from(*n) * unit(*u).1).sum();
            let first = unit(parts.first().map_or(0, |p| p.1));
            let found = parse_entry(&text.join(" + "), Dimension::Length, "mm");
            let (value, symbol) = found.map_err(|e| TestCaseError::fail(e.to_string()))?;
            prop_assert_eq!(symbol, first.0);
            prop_assert!((value * first.1 - expected).abs() < 1e-4, "{} {}", value, expected);
        }

        #[test]
        fn no_text_panics_or_gives_what_is_no_number(text in "[-+*/() 0-9.,eEmknftibl'\"½×÷−]{0,40}") {
            if let Ok((value, unit)) = parse_entry(&text, Dimension::Length, "mm") {
                prop_assert!(value.is_finite());
                prop_assert!(unit_named(Dimension::Length, unit).is_some());
            }
        }
    }
}

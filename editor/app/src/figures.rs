//! Computed figures in words: value, ± and unit as a person reads them, and the words for trust and verdicts.
//!
//! Reports are in SI units. What a person sees is in the units that they chose; where none was chosen, in both families.

use chockstone_schema::{
    quantity::{Dimension, UnitInfo, find_unit},
    report::{Estimate, Figure, FitLimit, Trust, Verdict},
};

use crate::widgets::UnitSystem;

/// Lengths from here on are distances, and shown in metres and feet.
const FIRST_DISTANCE: f64 = 30.0;
/// Lengths from here on are roads, and shown in kilometres and miles.
const FIRST_ROAD: f64 = 1500.0;

/// A unit and how many decimals a figure has in it.
type Shown = (&'static str, usize);

/// A figure of a report in one unit, or in both families where none was chosen: `7120 ± 9 lb`.
///
/// `unit_si` is the unit of the report: kg, m, N, rad, m/s, V, or 1 for a share. Another unit is shown as it is.
pub fn text(value: f64, plus_minus: Option<f64>, unit_si: &str, system: UnitSystem) -> String {
    in_families(value, unit_si, system, |value_in, decimals, symbol| {
        let Some(half) = plus_minus.map(|half| value_in(half).abs()) else {
            return join(&number(value_in(value), decimals), symbol);
        };
        let decimals = decimals_for(half, decimals);
        let number = number(value_in(value), decimals);
        join(&format!("{number} ± {half:.decimals$}"), symbol)
    })
}

/// A figure of a report with what statics leave open: `812 ± 6 kg (640 to 984 kg)`.
pub fn figure(figure: &Figure, system: UnitSystem) -> String {
    let unit = figure.unit.as_ref();
    let in_one = |system| {
        let value = text(figure.value, figure.plus_minus, unit, system);
        match figure.low.zip(figure.high) {
            Some((low, high)) => format!("{value} ({})", span(low, high, unit, system)),
            None => value,
        }
    };
    if system != UnitSystem::AsEntered {
        return in_one(system);
    }
    let [si, us] = [UnitSystem::Si, UnitSystem::UsCustomary].map(in_one);
    if si == us {
        si
    } else {
        format!("{si}  =  {us}")
    }
}

/// Two figures of the same unit as a span: `640 to 984 kg`.
pub fn span(low: f64, high: f64, unit_si: &str, system: UnitSystem) -> String {
    in_families(
        low.abs().max(high.abs()),
        unit_si,
        system,
        |value_in, decimals, symbol| {
            let ends = [low, high].map(value_in);
            let largest = ends.iter().fold(0.0_f64, |most, v| most.max(v.abs()));
            // Ends are no sharper than three figures or so.
            let decimals = if largest >= 100.0 { 0 } else { decimals };
            let ends = ends.map(|v| number(v, decimals));
            join(&ends.join(" to "), symbol)
        },
    )
}

/// A limit, in the unit of the figure that it belongs to: `at most 6260 kg`.
pub fn limit(limit: &FitLimit, unit_si: &str, system: UnitSystem) -> String {
    let bound = |word: &str, value: Option<f64>| {
        value.map(|v| format!("{word} {}", text(v, limit.plus_minus, unit_si, system)))
    };
    let bounds = [
        bound("at least", limit.at_least),
        bound("at most", limit.at_most),
    ];
    bounds.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// An estimate of mass or place, which says so when its uncertainty is not stated.
pub fn estimate(estimate: &Estimate, system: UnitSystem) -> String {
    let text = text(estimate.value, estimate.plus_minus, &estimate.unit, system);
    match estimate.plus_minus {
        Some(_) => text,
        None => format!("{text}, uncertainty not stated"),
    }
}

/// How far a reference may be trusted, for a person.
pub fn trust(trust: Trust) -> &'static str {
    match trust {
        Trust::Primary => "read in the primary text",
        Trust::SecondHand => "read second-hand",
        Trust::Computed => "computed from open data",
        Trust::Arithmetic => "arithmetic from the formula",
        Trust::Memory => "from memory",
        Trust::Practice => "common practice, no source",
        Trust::Logic => "plain logic",
    }
}

/// A reference and how far it may be trusted; not twice when its title says so itself.
pub fn reference(title: &str, how_far: Trust) -> String {
    let word = trust(how_far);
    let key = match how_far {
        Trust::Arithmetic => "arithmetic",
        _ => word,
    };
    if title.to_lowercase().contains(key) {
        title.to_owned()
    } else {
        format!("{title} ({word})")
    }
}

/// A verdict, for a person.
pub fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "within",
        Verdict::TooCloseToCall => "too close to call",
        Verdict::NotKnown => "not known",
        Verdict::Beyond => "beyond",
    }
}

/// Writes a figure in the units of a system.
fn in_families(
    size: f64,
    unit_si: &str,
    system: UnitSystem,
    write: impl Fn(&dyn Fn(f64) -> f64, usize, &str) -> String,
) -> String {
    let Some((dimension, si, us)) = shown_in(size, unit_si) else {
        let decimals = if size.fract() == 0.0 { 0 } else { 2 };
        return write(&|v| v, decimals, unit_si);
    };
    let one = |(symbol, decimals): Shown| {
        let unit: Option<&UnitInfo> = find_unit(dimension, symbol);
        let value_in = |v: f64| unit.map_or(v, |u| u.from_si(v));
        write(&value_in, decimals, symbol)
    };
    match system {
        UnitSystem::Si => one(si),
        UnitSystem::UsCustomary => one(us),
        UnitSystem::AsEntered if si == us => one(si),
        UnitSystem::AsEntered => format!("{}  =  {}", one(si), one(us)),
    }
}

/// What a unit of a report measures, and the units of both families that a person reads it in.
fn shown_in(size: f64, unit_si: &str) -> Option<(Dimension, Shown, Shown)> {
    Some(match unit_si {
        "kg" => (Dimension::Mass, ("kg", 1), ("lb", 0)),
        "m" if size.abs() >= FIRST_ROAD => (Dimension::Length, ("km", 1), ("mi", 1)),
        "m" if size.abs() >= FIRST_DISTANCE => (Dimension::Length, ("m", 1), ("ft", 0)),
        "m" => (Dimension::Length, ("mm", 0), ("in", 2)),
        "N" => (Dimension::Load, ("kN", 2), ("lbf", 0)),
        "rad" => (Dimension::Angle, ("deg", 1), ("deg", 1)),
        "m/s" => (Dimension::Speed, ("km/h", 0), ("mph", 0)),
        "V" => (Dimension::Voltage, ("V", 0), ("V", 0)),
        "1" => (Dimension::Share, ("%", 1), ("%", 1)),
        _ => return None,
    })
}

/// How many decimals a ± deserves: fewer where it is large, more where it would be shown as nought.
fn decimals_for(half: f64, usual: usize) -> usize {
    let scaled = |decimals: usize| half * 10_f64.powi(i32::try_from(decimals).unwrap_or(0));
    let mut decimals = usual;
    while decimals > 0 && scaled(decimals) >= 100.0 {
        decimals -= 1;
    }
    while half > 0.0 && decimals < usual + 2 && scaled(decimals) < 0.5 {
        decimals += 1;
    }
    decimals
}

/// A number to some decimals, without a sign before nought.
fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let is_nought = text.chars().all(|c| matches!(c, '-' | '0' | '.'));
    if is_nought {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

/// A number and its unit's symbol; degrees stand close to theirs, and a bare number has none.
fn join(number: &str, symbol: &str) -> String {
    match symbol {
        "deg" => format!("{number}°"),
        "" => number.to_owned(),
        symbol => format!("{number} {symbol}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(value: f64, plus_minus: Option<f64>, unit: &str, expected: [&str; 2]) {
        let [si, us] = expected;
        assert_eq!(text(value, plus_minus, unit, UnitSystem::Si), si);
        assert_eq!(text(value, plus_minus, unit, UnitSystem::UsCustomary), us);
        let both = if si == us {
            si.to_owned()
        } else {
            format!("{si}  =  {us}")
        };
        assert_eq!(text(value, plus_minus, unit, UnitSystem::AsEntered), both);
    }

    #[test]
    fn a_figure_has_its_uncertainty_and_the_units_a_person_chose() {
        // 1 lb = 0.45359237 kg, 1 in = 25.4 mm (international yard and pound agreement of 1959).
        check(3229.6, Some(4.2), "kg", ["3229.6 ± 4.2 kg", "7120 ± 9 lb"]);
        check(1.5, None, "m", ["1500 mm", "59.06 in"]);
        check(6240.0, Some(62.4), "kg", ["6240 ± 62 kg", "13757 ± 138 lb"]);
        check(
            0.012,
            Some(0.000_2),
            "m",
            ["12.0 ± 0.2 mm", "0.47 ± 0.01 in"],
        );
        check(0.503, Some(0.001), "1", ["50.3 ± 0.1 %", "50.3 ± 0.1 %"]);
        // 8,000 lbf = 35,585.77 N with the standard acceleration of gravity (3rd CGPM, 1901): arithmetic.
        check(35_585.77, None, "N", ["35.59 kN", "8000 lbf"]);
        check(std::f64::consts::FRAC_PI_6, None, "rad", ["30.0°", "30.0°"]);
        check(22.352, None, "m/s", ["80 km/h", "50 mph"]);
        check(80_467.2, None, "m", ["80.5 km", "50.0 mi"]);
        check(-0.0001, None, "m", ["0 mm", "0.00 in"]);
        check(4.0, None, "tie-downs", ["4 tie-downs", "4 tie-downs"]);
    }

    #[test]
    fn what_statics_leave_open_stands_behind_the_figure() {
        let open = Figure {
            value: 812.0,
            plus_minus: Some(6.0),
            low: Some(640.0),
            high: Some(984.0),
            unit: "kg".into(),
            formula: "".into(),
            inputs: Vec::new(),
            reference: "".into(),
            trust: Trust::Logic,
        };
        assert_eq!(
            figure(&open, UnitSystem::Si),
            "812.0 ± 6.0 kg (640 to 984 kg)"
        );
        assert_eq!(
            figure(&open, UnitSystem::AsEntered),
            "812.0 ± 6.0 kg (640 to 984 kg)  =  1790 ± 13 lb (1411 to 2169 lb)"
        );
    }

    #[test]
    fn an_estimate_says_when_its_uncertainty_is_not_stated() {
        let length = Estimate {
            value: 1.5,
            plus_minus: None,
            unit: "m".into(),
            formula: "sum".into(),
            doubt_from: Vec::new(),
        };
        assert_eq!(
            estimate(&length, UnitSystem::Si),
            "1500 mm, uncertainty not stated"
        );
    }

    #[test]
    fn a_limit_says_on_which_side_the_figure_must_stay() {
        let rating = FitLimit {
            at_least: None,
            at_most: Some(6259.6),
            plus_minus: None,
            from: "".into(),
        };
        assert_eq!(limit(&rating, "kg", UnitSystem::Si), "at most 6259.6 kg");
        assert_eq!(
            limit(&rating, "kg", UnitSystem::UsCustomary),
            "at most 13800 lb"
        );
    }

    #[test]
    fn trust_is_not_told_twice() {
        assert_eq!(
            reference("Arithmetic from the formula", Trust::Arithmetic),
            "Arithmetic from the formula"
        );
        assert_eq!(
            reference("EN 12195-1:2010", Trust::SecondHand),
            "EN 12195-1:2010 (read second-hand)"
        );
    }
}

//! Mass, centre of gravity and axle loads.

use chockstone_rules::mass;
use chockstone_schema::{
    quantity::{Dimension, find_unit},
    report::{Effect, EffectTopic, Estimate, MassResult},
};

use super::Sides;

/// Masses are told to 1 kg, lengths to 1 mm: what moved by less is not told.
const ROUNDING: [(&str, f64); 2] = [("kg", 1.0), ("m", 0.001)];

pub(super) fn effects(sides: &Sides<'_>) -> Vec<Effect> {
    sides.over_variants(|variant| {
        let a = mass::result(sides.before, variant.before);
        let b = mass::result(sides.after, variant.after);
        let figures = figures(sides, &a, &b).into_iter();
        let moved = figures.filter_map(|(what, a, b)| moved(&what, a, b));
        moved.chain(basis(&a, &b)).collect()
    })
}

type Figure<'r> = (String, Option<&'r Estimate>, Option<&'r Estimate>);

fn figures<'r>(sides: &Sides<'_>, a: &'r MassResult, b: &'r MassResult) -> Vec<Figure<'r>> {
    let mut all = vec![
        ("Mass".to_owned(), a.mass.as_ref(), b.mass.as_ref()),
        (
            "Centre of gravity behind the front axle".to_owned(),
            a.centre_x.as_ref(),
            b.centre_x.as_ref(),
        ),
        (
            "Centre of gravity to the right of the middle".to_owned(),
            a.centre_y.as_ref(),
            b.centre_y.as_ref(),
        ),
        (
            "Centre of gravity above the ground".to_owned(),
            a.centre_z.as_ref(),
            b.centre_z.as_ref(),
        ),
    ];
    for axle in &sides.after.axles {
        let id = axle.id.as_str();
        let load = |result: &'r MassResult, is_it: &dyn Fn(&str) -> bool| {
            let mut axles = result.axles.iter();
            axles.find(|a| is_it(&a.axle)).map(|a| &a.load)
        };
        let older = load(a, &|old| sides.renames.now("axle", old) == id);
        let newer = load(b, &|new| new == id);
        all.push((format!("Load on the axle {id}"), older, newer));
    }
    all
}

/// A figure that moved, that is new, or that is no longer known.
fn moved(what: &str, a: Option<&Estimate>, b: Option<&Estimate>) -> Option<Effect> {
    let is_same = match (a, b) {
        (None, None) => true,
        (Some(a), Some(b)) => !beyond_rounding(a, b),
        _ => false,
    };
    if is_same {
        return None;
    }
    Some(Effect {
        topic: EffectTopic::Mass,
        what: what.to_owned(),
        before: a.map(told),
        after: Some(b.map_or_else(|| "no longer known".to_owned(), told)),
        worse: b.is_none(),
    })
}

fn beyond_rounding(a: &Estimate, b: &Estimate) -> bool {
    let rounding = ROUNDING.iter().find(|(unit, _)| *unit == b.unit);
    let rounding = rounding.map_or(0.0, |(_, size)| *size);
    let half = |estimate: &Estimate| estimate.plus_minus.unwrap_or_default();
    (a.value - b.value).abs() >= rounding || (half(a) - half(b)).abs() >= rounding
}

/// What a result is computed from: a weighing is more than a declared mass.
fn basis(a: &MassResult, b: &MassResult) -> Option<Effect> {
    (a.basis != b.basis).then(|| Effect {
        topic: EffectTopic::Mass,
        what: "What the mass is computed from".to_owned(),
        before: Some(a.basis.clone()),
        after: Some(b.basis.clone()),
        worse: false,
    })
}

/// A figure in both families of units: `3230 ± 4 kg (7120 ± 9 lb)`.
fn told(estimate: &Estimate) -> String {
    let (dimension, units) = match estimate.unit.as_str() {
        "kg" => (Dimension::Mass, ["kg", "lb"]),
        _ => (Dimension::Length, ["mm", "in"]),
    };
    let [si, us] = units.map(|symbol| {
        let unit = find_unit(dimension, symbol);
        let value_in = |v: f64| unit.map_or(v, |u| u.from_si(v));
        in_unit(
            value_in(estimate.value),
            estimate.plus_minus.map(value_in),
            symbol,
        )
    });
    format!("{si} ({us})")
}

fn in_unit(value: f64, half: Option<f64>, symbol: &str) -> String {
    let usual = usize::from(symbol == "in");
    match half {
        None => format!("{value:.usual$} {symbol}"),
        Some(half) => {
            let decimals = usual.max(usize::from(half < 1.0));
            format!("{value:.decimals$} ± {half:.decimals$} {symbol}")
        }
    }
}

//! The same profile written otherwise: in other units, and with its lists in another order where that means nothing.

use chockstone_schema::quantity::{Dimension, convert, find_unit};
use serde_json::{Value, json};

use super::model::{Kind, Part, number};

/// How a number is written in another unit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Digits {
    /// All of them.
    All,
    /// As few as the first writing was exact to, and as keep a hundredth of the value (or half a millimetre).
    Few,
}

/// Writes every quantity and outline in another of its units: the one that comes `turn` places after its own.
pub(super) fn in_other_units(part: Part, value: &mut Value, turn: usize, digits: Digits) {
    match part.kind() {
        Kind::Quantity(dimension) => {
            let old = value[1].as_str().unwrap();
            let new = other(&strings(&part.schema["x-units"]), old, turn);
            let number = written(dimension, number(value.get(0)), (old, &new), digits);
            *value = json!([number, new]);
        }
        Kind::Outline => {
            let words = Part::of(&part.schema["properties"]["unit"]).words();
            let words: Vec<String> = words.into_iter().map(str::to_owned).collect();
            let old = value["unit"].as_str().unwrap().to_owned();
            let new = other(&words, &old, turn);
            for corner in value["corners"].as_array_mut().unwrap() {
                for along in corner.as_array_mut().unwrap() {
                    *along = json!(written(
                        Dimension::Length,
                        number(Some(along)),
                        (&old, &new),
                        digits
                    ));
                }
            }
            value["unit"] = new.into();
        }
        _ => each(part, value, &mut |part, inner| {
            in_other_units(part, inner, turn, digits);
        }),
    }
}

/// Turns every list round whose order means nothing.
pub(super) fn in_other_order(part: Part, value: &mut Value) {
    if matches!(part.kind(), Kind::List)
        && !part.is_ordered()
        && !matches!(part.item().kind(), Kind::Place)
    {
        value.as_array_mut().unwrap().reverse();
    }
    each(part, value, &mut in_other_order);
}

fn each(part: Part, value: &mut Value, visit: &mut impl FnMut(Part, &mut Value)) {
    match part.kind() {
        Kind::Struct | Kind::Sourced | Kind::Place => {
            for (name, field) in part.fields() {
                if let Some(inner) = value.get_mut(name) {
                    visit(field, inner);
                }
            }
        }
        Kind::List => value
            .as_array_mut()
            .unwrap()
            .iter_mut()
            .for_each(|inner| visit(part.item(), inner)),
        _ => {}
    }
}

fn strings(list: &Value) -> Vec<String> {
    let strings = list.as_array().unwrap().iter();
    strings.map(|s| s.as_str().unwrap().to_owned()).collect()
}

fn other(units: &[String], own: &str, turn: usize) -> String {
    let at = units.iter().position(|unit| unit == own).unwrap();
    units[(at + turn) % units.len()].clone()
}

fn written(dimension: Dimension, value: f64, (old, new): (&str, &str), digits: Digits) -> f64 {
    let exact = convert(value, dimension, old, new).unwrap();
    if digits == Digits::All || value == 0.0 || old == new {
        return exact;
    }
    let si = |unit: &str| find_unit(dimension, unit).unwrap().scale;
    let decimals = value
        .to_string()
        .split_once('.')
        .map_or(0, |(_, decimals)| decimals.len());
    let half_step = 0.5 * 0.1_f64.powi(i32::try_from(decimals).unwrap()) * si(old);
    let size = value.abs() * si(old);
    let most = half_step.min(if dimension == Dimension::Length {
        (size * 0.01).max(0.000_5)
    } else {
        size * 0.01
    });
    let places = (0..18)
        .find(|places| 0.5 * 0.1_f64.powi(*places) * si(new) <= most * (1.0 + 1e-9))
        .unwrap();
    format!("{exact:.*}", usize::try_from(places).unwrap())
        .parse()
        .unwrap()
}

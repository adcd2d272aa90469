//! What the tests of a fit share: demo files by name, their JSON with changes, and rows by name.

use std::collections::BTreeMap;

use chockstone_rules::fit::Vehicle;
use chockstone_schema::{
    Equipment, Profile,
    quantity::{Dimension, convert},
    read::{Document, from_value, read_file, to_value},
    report::{FitChoices, FitReport, Judged},
};
use chockstone_tests::demo;
use serde_json::{Value, json};

/// The demo profile whose file name holds a part.
pub(crate) fn profile(part: &str) -> Profile {
    let mut paths = demo::complete().into_iter();
    let path = paths.find(|path| demo::name(path).contains(part));
    demo::read(&path.unwrap_or_else(|| panic!("the demo library has no profile {part}")))
}

/// The demo equipment of an id.
pub(crate) fn equipment(id: &str) -> Equipment {
    let mut pieces = all_equipment().into_iter();
    let piece = pieces.find(|piece| piece.id.as_str() == id);
    piece.unwrap_or_else(|| panic!("the demo library has no equipment {id}"))
}

/// Every piece of demo equipment.
pub(crate) fn all_equipment() -> Vec<Equipment> {
    let paths = demo::equipment();
    let read = |path: &std::path::PathBuf| read_file(path).unwrap_or_else(|e| panic!("{e}"));
    paths.iter().map(read).collect()
}

/// A document after a change of its JSON.
#[track_caller]
pub(crate) fn changed<T: Document>(document: &T, change: impl FnOnce(&mut Value)) -> T {
    let mut value = to_value(document);
    change(&mut value);
    from_value(&value).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// Holds one variant, or the only one, against equipment.
pub(crate) fn fit(
    profile: &Profile,
    variant: Option<&str>,
    pieces: &[Equipment],
    choices: &FitChoices,
) -> FitReport {
    let pieces: Vec<&Equipment> = pieces.iter().collect();
    Vehicle::new(profile, variant).fit(&pieces, &[], choices)
}

/// Every row of a report by the title that it stands under and its name; rows of one name are numbered.
pub(crate) fn rows(report: &FitReport) -> BTreeMap<String, &Judged> {
    let mut found: Vec<(String, &Judged)> = Vec::new();
    for r in &report.lifting {
        let supports = r.supports.iter().map(|s| &s.load);
        found.extend(supports.chain(&r.rows).map(|row| (r.title.clone(), row)));
    }
    for r in &report.carrying {
        found.extend(r.rows.iter().map(|row| (r.title.clone(), row)));
    }
    for r in &report.towing {
        found.extend(r.rows.iter().map(|row| (r.title.clone(), row)));
    }
    for r in &report.winching {
        found.extend(r.rows.iter().map(|row| (r.title.clone(), row)));
    }
    for r in &report.securing {
        let legs = r.legs.iter().flat_map(|leg| [&leg.limit, &leg.force]);
        found.extend(legs.chain(&r.rows).map(|row| (r.title.clone(), row)));
    }
    for r in &report.clearing {
        found.extend(r.rows.iter().map(|row| (r.title.clone(), row)));
    }
    let protection = report.protection.iter();
    found.extend(protection.map(|row| ("protection".to_owned(), row)));
    let mut numbered = BTreeMap::new();
    for (title, row) in found {
        let mut key = format!("{title}: {}", row.name);
        for again in 2.. {
            if !numbered.contains_key(&key) {
                break;
            }
            key = format!("{title}: {} {again}", row.name);
        }
        numbered.insert(key, row);
    }
    numbered
}

/// Pairs of units of the two families.
const FAMILIES: [(Dimension, &str, &str); 12] = [
    (Dimension::Length, "in", "mm"),
    (Dimension::Length, "ft", "m"),
    (Dimension::Length, "yd", "cm"),
    (Dimension::Length, "mi", "km"),
    (Dimension::Mass, "lb", "kg"),
    (Dimension::Load, "lbf", "kN"),
    (Dimension::Load, "lb", "kg"),
    (Dimension::Speed, "mph", "km/h"),
    (Dimension::Pressure, "psi", "kPa"),
    (Dimension::Torque, "lbf-ft", "Nm"),
    (Dimension::Angle, "deg", "rad"),
    (Dimension::Volume, "gal", "L"),
];

/// The same number in the unit of the other family, where there is one.
fn other_family(number: f64, unit: &str) -> Option<(f64, &'static str)> {
    FAMILIES.iter().find_map(|&(dimension, us, si)| {
        let to = match unit {
            _ if unit == us => si,
            _ if unit == si => us,
            _ => return None,
        };
        Some((convert(number, dimension, unit, to)?, to))
    })
}

/// Writes every quantity of a document in the units of the other family, and gives how many there were.
pub(crate) fn swap_units(value: &mut Value) -> usize {
    match value {
        Value::Array(pair) => {
            let quantity = match pair.as_slice() {
                [number, Value::String(unit)] => number
                    .as_f64()
                    .and_then(|number| other_family(number, unit)),
                _ => None,
            };
            if let Some((number, unit)) = quantity {
                *pair = vec![json!(number), json!(unit)];
                return 1;
            }
            pair.iter_mut().map(swap_units).sum()
        }
        Value::Object(object) => {
            let outline = object
                .get("unit")
                .and_then(Value::as_str)
                .map(str::to_owned);
            if let (Some(unit), true) = (outline, object.contains_key("corners")) {
                return swap_outline(value, &unit);
            }
            object.values_mut().map(swap_units).sum()
        }
        _ => 0,
    }
}

/// An outline names its unit once for all corners.
fn swap_outline(outline: &mut Value, unit: &str) -> usize {
    let Some((_, to)) = other_family(1.0, unit) else {
        return 0;
    };
    for corner in outline["corners"].as_array_mut().unwrap() {
        for number in corner.as_array_mut().unwrap() {
            let (converted, _) = other_family(number.as_f64().unwrap(), unit).unwrap();
            *number = json!(converted);
        }
    }
    outline["unit"] = json!(to);
    1
}

//! What holds of every fit: units do not matter, more mass is never easier, windows end where the verdicts turn, and
//! what is missing or impossible is said and not computed.

use std::collections::BTreeSet;

use chockstone_rules::fit::Vehicle;
use chockstone_schema::{
    Equipment, Profile,
    read::{from_value, to_value},
    report::{
        CarryingResult, Facing, FitChoices, FitReport, Judged, PlacementWindow, Severity, Verdict,
    },
};
use chockstone_tests::{demo, tell};
use serde_json::{Value, json};

use crate::fit_support::{all_equipment, changed, equipment, fit, profile, rows, swap_units};

fn variants(profile: &Profile) -> Vec<Option<String>> {
    if profile.variants.is_empty() {
        return vec![None];
    }
    let ids = profile.variants.iter().map(|v| Some(v.id.to_string()));
    ids.collect()
}

/// The demo carriers with no more than carrying needs: halving asks for very many fits.
fn carriers() -> Vec<Equipment> {
    let pieces = all_equipment().into_iter();
    let decks = pieces.filter(|piece| piece.deck.is_some());
    decks
        .map(|piece| {
            changed(&piece, |document| {
                document.as_object_mut().unwrap().remove("winch");
                let deck = document["deck"].as_object_mut().unwrap();
                deck.retain(|key, _| {
                    !["tilt_angle", "tail_length", "anchors"].contains(&key.as_str())
                });
            })
        })
        .collect()
}

fn value(row: &Judged) -> Option<f64> {
    row.figure.as_ref().map(|figure| figure.value)
}

/// A fit has to stand still while its units change: no conversion may lose more than rounding.
#[test]
fn the_units_of_profile_and_equipment_do_not_matter() {
    let pieces = all_equipment();
    let mut swapped = 0;
    let mut swap = |value: &mut Value| swapped += swap_units(value);
    let others: Vec<Equipment> = pieces.iter().map(|p| changed(p, &mut swap)).collect();
    let mut compared = 0;
    for path in demo::complete() {
        let profile = demo::read(&path);
        let other = changed(&profile, &mut swap);
        for variant in variants(&profile) {
            let choices = FitChoices {
                friction: Some(0.2),
                ..FitChoices::default()
            };
            let ours = fit(&profile, variant.as_deref(), &pieces, &choices);
            let theirs = fit(&other, variant.as_deref(), &others, &choices);
            compared += same(&demo::name(&path), &ours, &theirs);
        }
    }
    assert!(swapped > 1000 && compared > 1000, "{swapped} {compared}");
    tell(&format!(
        "fit: {compared} rows are the same after {swapped} quantities changed their unit"
    ));
}

/// Compares two reports row by row and gives how many rows that were.
#[track_caller]
fn same(name: &str, ours: &FitReport, theirs: &FitReport) -> usize {
    let verdicts = |report: &FitReport| -> Vec<_> {
        let topics = report.topics.iter();
        topics.map(|t| (t.topic, t.verdict)).collect()
    };
    assert_eq!(verdicts(ours), verdicts(theirs), "{name}");
    let (ours, theirs) = (rows(ours), rows(theirs));
    assert!(ours.keys().eq(theirs.keys()), "{name}: other rows");
    for (key, row) in &ours {
        let other = theirs[key];
        assert_eq!(
            row.verdict, other.verdict,
            "{name}, {key}: {row:?} {other:?}"
        );
        match value(row).zip(value(other)) {
            Some((ours, theirs)) => assert!(
                (ours - theirs).abs() <= 1e-6 * ours.abs().max(1.0),
                "{name}, {key}: {ours}, {theirs} in other units"
            ),
            None => assert_eq!(value(row), value(other), "{name}, {key}"),
        }
    }
    ours.len()
}

/// The profile with every mass that was weighed or stated for it made larger or smaller.
fn weighing(profile: &Profile, factor: f64) -> Profile {
    changed(profile, |document| {
        scale_masses(&mut document["mass"], factor);
        for variant in document["variants"].as_array_mut().into_iter().flatten() {
            if let Some(mass) = variant.get_mut("curb_mass") {
                scale_masses(mass, factor);
            }
        }
    })
}

fn scale_masses(value: &mut Value, factor: f64) {
    match value {
        Value::Array(items) => {
            if let [Value::Number(number), Value::String(unit)] = items.as_slice()
                && ["kg", "lb"].contains(&unit.as_str())
            {
                items[0] = json!(number.as_f64().unwrap() * factor);
                return;
            }
            for item in items {
                scale_masses(item, factor);
            }
        }
        Value::Object(object) => {
            for item in object.values_mut() {
                scale_masses(item, factor);
            }
        }
        _ => {}
    }
}

/// How bad a verdict on a limit is; not known is not on that scale.
fn rank(verdict: Option<Verdict>) -> Option<u8> {
    match verdict? {
        Verdict::Within => Some(0),
        Verdict::TooCloseToCall => Some(1),
        Verdict::Beyond => Some(2),
        Verdict::NotKnown => None,
    }
}

#[test]
fn more_mass_is_never_lighter_on_anything_that_has_a_rating() {
    let pieces: Vec<Equipment> = all_equipment()
        .into_iter()
        .filter(|piece| piece.straps.is_none() && piece.chains.is_none())
        .collect();
    let choices = FitChoices {
        placement: Some(0.4),
        ..FitChoices::default()
    };
    let mut turned = 0;
    for path in demo::complete() {
        let profile = demo::read(&path);
        let variant = variants(&profile).pop().unwrap();
        let reports: Vec<FitReport> = (0..12)
            .map(|step| {
                let heavier = weighing(&profile, 0.6 + 0.1 * f64::from(step));
                fit(&heavier, variant.as_deref(), &pieces, &choices)
            })
            .collect();
        for pair in reports.windows(2) {
            turned += heavier_is_not_easier(&demo::name(&path), &pair[0], &pair[1]);
        }
    }
    assert!(turned > 20, "only {turned} verdicts turned");
    tell(&format!(
        "fit: {turned} verdicts turn as demo vehicles grow heavier, each for the worse"
    ));
}

/// Asserts that no load grew smaller and no verdict better; gives how many verdicts turned.
#[track_caller]
fn heavier_is_not_easier(name: &str, lighter: &FitReport, heavier: &FitReport) -> usize {
    let (before, after) = (rows(lighter), rows(heavier));
    let mut turned = 0;
    for (key, row) in &before {
        let Some(other) = after.get(key) else {
            continue;
        };
        let is_load = |row: &Judged| {
            let unit = row.figure.as_ref().map(|figure| figure.unit.as_ref());
            let at_most = row.limit.as_ref().is_some_and(|l| l.at_most.is_some());
            at_most && matches!(unit, Some("kg" | "N"))
        };
        // A vehicle whose centre stands behind the truck's rear axle takes load off the front one.
        if row.name == "front-axle" || !is_load(row) || !is_load(other) {
            continue;
        }
        let (less, more) = (value(row).unwrap(), value(other).unwrap());
        assert!(
            more >= less - 1e-9,
            "{name}, {key}: {less} and, heavier, {more}"
        );
        if let Some((one, two)) = rank(row.verdict).zip(rank(other.verdict)) {
            assert!(two >= one, "{name}, {key}: {row:?} and, heavier, {other:?}");
            turned += usize::from(two > one);
        }
    }
    turned
}

/// Rows that a window is about; the overall height has no rating.
fn keeps_all(result: &CarryingResult) -> bool {
    result.rows.iter().all(|row| {
        row.limit.as_ref().is_none_or(|limit| {
            let value = value(row).unwrap();
            let slack = 1e-9 * value.abs().max(1.0);
            limit.at_most.is_none_or(|most| value <= most + slack)
                && limit.at_least.is_none_or(|least| value >= least - slack)
        })
    })
}

/// The result at a placement, the way round first chosen.
fn at(vehicle: &Vehicle<'_>, carrier: &Equipment, facing: Facing, place: f64) -> CarryingResult {
    let choices = FitChoices {
        facing,
        placement: Some(place),
        ..FitChoices::default()
    };
    vehicle
        .fit(&[carrier], &[], &choices)
        .carrying
        .swap_remove(0)
}

/// Finds by halving where something that holds inside stops holding outside.
fn halved(mut inside: f64, mut outside: f64, holds: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..45 {
        let middle = f64::midpoint(inside, outside);
        if holds(middle) {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    inside
}

#[track_caller]
fn ends_where(what: &str, window: &PlacementWindow, holds: impl Fn(f64) -> bool) {
    let middle = f64::midpoint(window.from, window.to);
    assert!(holds(middle), "{what}: the middle does not hold");
    for (end, beyond) in [
        (window.from, window.from - 1.0),
        (window.to, window.to + 1.0),
    ] {
        assert!(!holds(beyond), "{what}: it holds a metre outside {end}");
        let found = halved(middle, beyond, &holds);
        assert!(
            (found - end).abs() < 1e-5,
            "{what}: {found}, the window says {end}"
        );
    }
}

#[test]
fn windows_end_where_halving_finds_that_the_verdicts_turn() {
    let mut windows = 0;
    for path in demo::complete() {
        let profile = demo::read(&path);
        for variant in variants(&profile) {
            let vehicle = Vehicle::new(&profile, variant.as_deref());
            for carrier in &carriers() {
                for result in vehicle
                    .fit(&[carrier], &[], &FitChoices::default())
                    .carrying
                {
                    let what = format!("{} {variant:?}, {}", demo::name(&path), result.title);
                    let at = |place| at(&vehicle, carrier, result.facing, place);
                    if let Some(window) = &result.window {
                        ends_where(&what, window, |place| keeps_all(&at(place)));
                        windows += 1;
                    }
                    if let Some(sure) = &result.sure_window {
                        ends_where(&what, sure, |place| at(place).verdict == Verdict::Within);
                        windows += 1;
                    }
                    assert_eq!(
                        result.window.is_none(),
                        result.no_window.is_some(),
                        "{what}: either a window or why there is none"
                    );
                }
            }
        }
    }
    assert!(windows > 8, "only {windows} windows");
    tell(&format!(
        "fit: {windows} windows end where halving finds the verdicts turn"
    ));
}

/// The places of equipment that limits come from: `ID#POINTER`.
fn limits_of(report: &FitReport) -> BTreeSet<(String, String)> {
    let rows = rows(report);
    let from = rows.values().filter_map(|row| row.limit.as_ref());
    from.filter_map(|limit| {
        let (id, pointer) = limit.from.split_once('#')?;
        let plain = !pointer.contains(' ');
        plain.then(|| (id.to_owned(), pointer.to_owned()))
    })
    .collect()
}

/// Takes out a part of a document.
fn without<T: chockstone_schema::read::Document>(document: &T, pointer: &str) -> Option<T> {
    let mut value = to_value(document);
    let (parent, key) = pointer.rsplit_once('/')?;
    value.pointer_mut(parent)?.as_object_mut()?.remove(key)?;
    from_value(&value).ok()
}

#[test]
fn a_rating_that_is_taken_away_is_not_known_and_named() {
    let pickup = profile("brackwater");
    let pieces = all_equipment();
    let choices = FitChoices {
        placement: Some(0.4),
        ..FitChoices::default()
    };
    let whole = fit(&pickup, Some("extended"), &pieces, &choices);
    let before = rows(&whole);
    let mut taken = 0;
    for (id, pointer) in limits_of(&whole) {
        let at = pieces.iter().position(|p| p.id.as_str() == id).unwrap();
        let Some(lacking) = without(&pieces[at], &pointer) else {
            continue;
        };
        let mut pieces = pieces.clone();
        pieces[at] = lacking;
        let report = fit(&pickup, Some("extended"), &pieces, &choices);
        let place = format!("{id}#{pointer}");
        let after = rows(&report);
        let judged = before
            .iter()
            .filter(|(_, row)| row.limit.as_ref().is_some_and(|l| l.from == place));
        let taken_before = taken;
        for (key, _) in judged {
            // A tie-down that lost its limit may no longer be proposed at all, or another is in its place.
            let stands_in = |row: &&&Judged| row.limit.is_some() && row.name.starts_with("leg-");
            let Some(row) = after.get(key).filter(|row| !stands_in(row)) else {
                continue;
            };
            assert_eq!(
                row.verdict,
                Some(Verdict::NotKnown),
                "{place}, {key}: {row:?}"
            );
            assert!(
                row.not_known
                    .iter()
                    .any(|sentence| sentence.contains(&pointer)),
                "{place}, {key}: {:?}",
                row.not_known
            );
            taken += 1;
        }
        let named = report.findings.iter().any(|f| f.message.contains(&pointer));
        assert!(named || taken == taken_before, "no finding names {place}");
    }
    assert!(taken > 15, "only {taken} rows lost their limit");
    tell(&format!(
        "fit: {taken} rows without their rating are not known and name the field"
    ));
}

/// Straps without a marked limit count with the default of their width; without a width too nothing is proposed.
#[test]
fn tie_downs_without_any_limit_are_not_known_and_name_it() {
    let (carrier, straps) = (equipment("carrier-26000"), equipment("straps-soft"));
    let bare_straps = without(&straps, "/straps/working_load_limit").unwrap();
    let bare_straps = without(&bare_straps, "/straps/width").unwrap();
    let bare_deck = changed(&carrier, |document| {
        for anchor in document["deck"]["anchors"].as_array_mut().unwrap() {
            anchor.as_object_mut().unwrap().remove("working_load_limit");
        }
    });
    let named = "straps-soft#/straps/working_load_limit";
    nothing_is_proposed(&[carrier, bare_straps], named);
    let named = "carrier-26000#/deck/anchors/0/working_load_limit";
    nothing_is_proposed(&[bare_deck, straps], named);
}

#[track_caller]
fn nothing_is_proposed(pieces: &[Equipment], named: &str) {
    let pickup = profile("brackwater");
    let report = fit(&pickup, Some("extended"), pieces, &FitChoices::default());
    let result = &report.securing[0];
    assert_eq!(result.verdict, Verdict::NotKnown, "{result:?}");
    assert!(result.answer.contains(named), "{}", result.answer);
    let told = report.findings.iter().any(|f| f.message.contains(named));
    assert!(told, "{:?}", report.findings);
}

#[test]
fn a_deck_shorter_than_the_wheelbase_gives_a_finding_and_no_axle_load() {
    let short = changed(&equipment("carrier-26000"), |document| {
        document["deck"]["length"]["value"] = json!([2.5, "m"]);
    });
    let report = fit(
        &profile("brackwater"),
        Some("extended"),
        &[short],
        &FitChoices::default(),
    );
    for result in &report.carrying {
        assert_eq!(result.verdict, Verdict::Beyond, "{result:?}");
        assert!(result.window.is_none() && result.sure_window.is_none());
        let axle = result.rows.iter().filter(|row| row.name.contains("axle"));
        for row in axle {
            assert!(row.figure.is_none(), "{row:?}");
        }
    }
    assert!(
        report
            .findings
            .iter()
            .any(|f| f.severity == Severity::Blocking && f.message.contains("wheelbase")),
        "{:?}",
        report.findings
    );
}

/// An item far behind the rear axle takes all load off the front one: such a vehicle tips, and has no axle loads.
#[test]
fn a_centre_of_gravity_outside_the_axles_gives_a_finding_and_no_number() {
    let tipping = changed(&profile("brackwater"), |document| {
        let items = document["mass"]["items"].as_array_mut().unwrap();
        let item = items.iter_mut().find(|item| item["state"] == "added");
        let item = item.expect("the demo pickup has an item that comes on top");
        item["mass"]["value"] = json!([20_000, "lb"]);
        item["place"]["x"] = json!([400, "in"]);
    });
    let pieces = ["carrier-26000", "wrecker-wheel-lift"].map(equipment);
    let report = fit(
        &tipping,
        Some("extended-work"),
        &pieces,
        &FitChoices::default(),
    );
    let of_axles = rows(&report);
    for (key, row) in &of_axles {
        let needs_axles = ["rear-axle", "front-axle", "lift-load", "wrecker-rear-axle"];
        if needs_axles.contains(&row.name.as_ref()) {
            assert!(row.figure.is_none(), "{key}: {row:?}");
            assert_eq!(rank(row.verdict), None, "{key}: {row:?}");
        }
    }
    let told = report.findings.iter().map(|f| f.message.as_str());
    let told: Vec<&str> = told.collect();
    assert!(
        told.iter().any(|m| m.contains("centre of gravity")),
        "{told:?}"
    );
}

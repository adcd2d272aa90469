//! Mass and centre of gravity of whole profiles, against published examples.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use chockstone_schema::{
    Profile, read,
    report::{Estimate, MassResult},
};
use serde_json::{Value, json};

use crate::testing::{set, sound_profile};

mod scales;

fn profile(edits: &[(&str, Value)]) -> Profile {
    let mut value = read::to_value(&sound_profile());
    for (pointer, new) in edits {
        set(&mut value, pointer, new.clone());
    }
    read::from_value(&value).unwrap_or_else(|f| panic!("{f:#?}"))
}

fn result(edits: &[(&str, Value)]) -> MassResult {
    super::result(&profile(edits), None)
}

#[track_caller]
fn close(estimate: Option<&Estimate>, value: f64, tolerance: f64) {
    let found = estimate.map(|e| e.value);
    assert!(
        found.is_some_and(|f| (f - value).abs() <= tolerance),
        "{found:?} is not {value} within {tolerance}"
    );
}

#[track_caller]
fn doubt(estimate: Option<&Estimate>, plus_minus: f64, tolerance: f64) {
    let found = estimate.and_then(|e| e.plus_minus);
    assert!(
        found.is_some_and(|f| (f - plus_minus).abs() <= tolerance),
        "± {found:?} is not {plus_minus} within {tolerance}"
    );
}

/// Lift-planning example: 1,100 and 1,000 kg on a wheelbase of 2.9 m; arithmetic from the formula, no citation.
#[test]
fn plain_axle_loads_give_the_centre() {
    let found = result(&[
        (
            "/axles/1/position",
            json!({"value": [2.9, "m"], "source": "tape"}),
        ),
        (
            "/mass/readings/0/loads",
            json!([{"axle": "front", "total": [1100, "kg"]}, {"axle": "rear", "total": [1000, "kg"]}]),
        ),
        ("/mass/readings/0/scale", Value::Null),
    ]);
    close(found.mass.as_ref(), 2100.0, 1e-9);
    close(found.centre_x.as_ref(), 1.381, 5e-4);
    assert_eq!(
        found.centre_x.unwrap().plus_minus,
        None,
        "no input states its doubt"
    );
    assert!(
        found
            .not_known
            .iter()
            .any(|s| s.contains("offset to the side")),
        "{:?}",
        found.not_known
    );
}

/// NHTSA measurements 2004, row 28, with 20 lb divisions: a = 1.08965 m, u = 3.36 mm; arithmetic from the formula,
/// computed with GTC, no citation.
#[test]
fn divisions_of_the_scale_become_doubt() {
    let found = result(&[
        (
            "/axles/1/position",
            json!({"value": [2667, "mm"], "plus_minus": [4, "mm"], "source": "tape"}),
        ),
        (
            "/mass/readings/0/loads",
            json!([{"axle": "front", "total": [911.4, "kg"]}, {"axle": "rear", "total": [629.6, "kg"]}]),
        ),
        ("/mass/readings/0/scale", json!({"division": [20, "lb"]})),
    ]);
    close(found.centre_x.as_ref(), 1.08965, 1e-5);
    doubt(found.centre_x.as_ref(), 2.0 * 0.00336, 1e-5);
    let strongest = found
        .centre_x
        .unwrap()
        .doubt_from
        .first()
        .unwrap()
        .input
        .clone();
    assert_eq!(
        strongest, "/mass/readings/0/loads/1/total",
        "the lighter axle's reading weighs most"
    );
}

/// The same vehicle lifted by 15 degrees: h = 0.5545 m, u = 24.04 mm with a 20 lb division on each reading; arithmetic from
/// the formula, agreed with GTC, no citation. u(W) there is that of a sum of two readings, so the total is taken exact here.
#[test]
fn an_axle_lift_gives_the_height() {
    let found = result(&[
        (
            "/axles/1/position",
            json!({"value": [2667, "mm"], "plus_minus": [4, "mm"], "source": "tape"}),
        ),
        (
            "/axles/0/tyre/static_loaded_radius",
            json!({"value": [310, "mm"], "source": "tape"}),
        ),
        (
            "/axles/1/tyre/static_loaded_radius",
            json!({"value": [310, "mm"], "source": "tape"}),
        ),
        (
            "/mass/centre_height",
            json!({"method": "axle_lift", "lifts": [{
                "id": "up", "raised": "rear", "elevation": {"value": [0.6903, "m"], "plus_minus": [6, "mm"], "source": "tape"},
                "level_load": [911.368, "kg"], "raised_load": [949.222, "kg"], "total": [1541, "kg"],
                "scale": {"division": [20, "lb"]}, "suspension_blocked": true, "source": "scale",
            }]}),
        ),
    ]);
    close(found.centre_z.as_ref(), 0.5545, 2e-4);
    let plus_minus = found.centre_z.as_ref().and_then(|e| e.plus_minus).unwrap();
    assert!((plus_minus - 2.0 * 0.024).abs() < 0.0006, "{plus_minus}");
    let share = found
        .centre_z
        .unwrap()
        .doubt_from
        .iter()
        .filter(|s| s.input.contains("_load"))
        .map(|s| s.part)
        .sum::<f64>();
    assert!(
        share > 0.98,
        "a truck scale is the whole error budget: {share}"
    );
}

/// 4,205.4 lb on a track of 61.7 in, one inch off centre; arithmetic from the formula, no citation.
#[test]
fn wheel_loads_give_the_offset_to_the_side() {
    let track = json!({"value": [61.7, "in"], "source": "tape"});
    let wheels =
        |axle: &str| json!({"axle": axle, "left": [1017.27, "lb"], "right": [1085.43, "lb"]});
    let found = result(&[
        ("/axles/0/track", track.clone()),
        ("/axles/1/track", track),
        (
            "/mass/readings/0/loads",
            json!([wheels("front"), wheels("rear")]),
        ),
    ]);
    close(found.centre_y.as_ref(), 0.0254, 1e-5);
}

#[test]
fn a_driver_on_board_is_taken_off_where_he_sat() {
    // 2,100 kg as weighed, 100 kg of it 1.2 m behind the front axle: (2100·1.4 − 100·1.2) / 2000 = 1.41 m.
    let driver = json!([{"what": {"en": "Driver"}, "mass": [100, "kg"], "place": {"x": [1.2, "m"], "y": [-0.4, "m"]}}]);
    let found = result(&[("/mass/readings/0/on_board", driver)]);
    close(found.mass.as_ref(), 2000.0, 1e-9);
    close(found.centre_x.as_ref(), 1.41, 1e-9);
    close(found.centre_y.as_ref(), 0.02, 1e-9);
    assert!(
        found.basis.contains("less what was on board"),
        "{}",
        found.basis
    );
    let loads: f64 = found.axles.iter().map(|a| a.load.value).sum();
    assert!((loads - 2000.0).abs() < 1e-9, "{loads}");
}

#[test]
fn something_on_board_without_a_place_leaves_the_mass_alone_known() {
    let found = result(&[(
        "/mass/readings/0/on_board",
        json!([{"what": {"en": "Driver"}, "mass": [100, "kg"]}]),
    )]);
    close(found.mass.as_ref(), 2000.0, 1e-9);
    assert_eq!(found.centre_x, None);
    assert!(
        found
            .not_known
            .iter()
            .any(|s| s.contains("/mass/readings/0/on_board/0/place")),
        "{:?}",
        found.not_known
    );
}

#[test]
fn a_fitted_item_moves_the_centre() {
    // (2100·1.4 + 100·3.5) / 2200 = 1.49545 m.
    let rack = json!({"id": "rack", "name": {"en": "Rack"}, "mass": {"value": [100, "kg"], "source": "manual"},
        "place": {"x": [3.5, "m"], "y": [0, "m"], "z": [1.5, "m"]}, "state": "added"});
    let found = result(&[("/mass/items/-", rack)]);
    close(found.mass.as_ref(), 2200.0, 1e-9);
    close(found.centre_x.as_ref(), 1.495_454_5, 1e-6);
    close(
        found.centre_z.as_ref(),
        (2100.0 * 0.64 + 150.0) / 2200.0,
        1e-9,
    );
}

/// 2100·0.64 − 1000·2 = −656 kg m: below the ground, which the formula refuses.
#[test]
fn figures_without_the_fitted_items_are_not_given_as_with_them() {
    let anchor = json!({"id": "anchor", "name": {"en": "Anchor"}, "mass": {"value": [1000, "kg"], "source": "manual"},
        "place": {"x": [1, "m"], "y": [0, "m"], "z": [-2, "m"]}, "state": "added"});
    let found = result(&[("/mass/items/-", anchor)]);
    assert_eq!((found.mass, found.centre_x), (None, None));
    assert_eq!((found.centre_y, found.centre_z), (None, None));
    assert!(found.axles.is_empty());
    assert_eq!(found.basis, "nothing: the fitted items cannot be added");
    let said = |part: &str| found.not_known.iter().any(|s| s.contains(part));
    assert!(
        said("fitted items cannot be added"),
        "{:?}",
        found.not_known
    );
    assert!(said("/mass/items cannot be used"), "{:?}", found.not_known);
}

#[test]
fn without_a_complete_weighing_the_declared_mass_stands() {
    let found = result(&[("/mass/readings/0/loads/1", Value::Null)]);
    close(found.mass.as_ref(), 2100.0, 1e-9);
    assert_eq!(found.centre_x, None);
    assert!(
        found.basis.contains("declared curb mass"),
        "{}",
        found.basis
    );
    assert!(
        found
            .not_known
            .iter()
            .any(|s| s.contains("/mass/readings/0/loads has no load for the axle rear")),
        "{:?}",
        found.not_known
    );
    assert!(
        found
            .not_known
            .iter()
            .any(|s| s.contains("centre of gravity is not known")),
        "{:?}",
        found.not_known
    );
}

#[test]
fn two_weighings_are_combined_and_their_scatter_widens_the_doubt() {
    let second = |kilograms: f64| {
        json!({"id": "second", "scale": {"division": [5, "kg"]},
            "loads": [{"axle": "front", "total": [1120, "kg"]}, {"axle": "rear", "total": [kilograms, "kg"]}], "source": "scale"})
    };
    let scale = ("/mass/readings/0/scale", json!({"division": [5, "kg"]}));
    let alike = result(&[scale.clone(), ("/mass/readings/-", second(980.0))]);
    close(alike.mass.as_ref(), 2100.0, 1e-6);
    let apart = result(&[scale, ("/mass/readings/-", second(1040.0))]);
    // The first weighing has four readings and the second two, so it counts half as much: 2100 + 60·(1/2)/(1/2 + 1/4)…
    close(apart.mass.as_ref(), 2100.0 + 60.0 * (2.0 / 3.0), 1e-6);
    assert!(apart.mass.unwrap().plus_minus > alike.mass.unwrap().plus_minus);
}

#[test]
fn each_variant_takes_its_own_readings_and_values() {
    let variants = json!([
        {"id": "short", "name": {"en": "Short"}, "bed": "Short", "curb_mass": {"value": [2050, "kg"], "source": "manual"}},
        {"id": "long", "name": {"en": "Long"}, "bed": "Long", "axles": [{"axle": "rear", "position": {"value": [3.5, "m"], "source": "tape"}}]}
    ]);
    let edits = [
        ("/variants", variants),
        ("/mass/readings/0/variant", json!("long")),
    ];
    let all = super::all(&profile(&edits));
    assert_eq!(all.len(), 2);
    let (short, long) = (all.first().unwrap(), all.get(1).unwrap());
    assert_eq!(short.variant.as_deref(), Some("short"));
    close(short.mass.as_ref(), 2050.0, 1e-9);
    assert_eq!(short.centre_x, None);
    close(long.centre_x.as_ref(), 980.0 * 3.5 / 2100.0, 1e-9);
    assert_eq!(super::result(&profile(&edits), Some("long")), *long);
}

#[test]
fn a_view_sees_what_the_profile_for_the_variant_holds() {
    let variants = json!([{"id": "long", "name": {"en": "Long"}, "bed": "Long",
        "gvwr": {"value": [3200, "kg"], "source": "manual"},
        "axles": [{"axle": "rear", "position": {"value": [3.5, "m"], "source": "tape"}}]}]);
    let profile = profile(&[("/variants", variants)]);
    let view = crate::view::View::new(&profile, Some(0));
    let resolved = profile.for_variant("long").unwrap();
    assert_eq!(
        view.gvwr.as_ref().map(|g| g.value.clone()),
        resolved.mass.gvwr
    );
    assert_eq!(
        view.axles.get(1).map(|a| a.position.value.clone()),
        resolved.axles.get(1).map(|a| a.position.clone())
    );
    assert_eq!(
        view.gvwr.map(|g| g.place),
        Some("/variants/0/gvwr".to_owned())
    );
    assert_eq!(
        view.axles.get(1).map(|a| a.position.place.as_str()),
        Some("/variants/0/axles/0/position")
    );
}

#[test]
fn a_drawing_gets_the_same_figures() {
    let profile = profile(&[]);
    let (drawing, result) = (
        super::diagram(&profile, None),
        super::result(&profile, None),
    );
    assert_eq!(drawing.x.map(|f| f.value), result.centre_x.map(|e| e.value));
    assert_eq!(
        drawing.z.map(|f| f.plus_minus),
        result.centre_z.and_then(|e| e.plus_minus)
    );
    assert_eq!(drawing.axles.len(), 2);
    assert!(drawing.axles.iter().all(|a| a.load.is_some()));
}

#[test]
fn an_empty_profile_knows_nothing_and_says_what_is_missing() {
    let found = result(&[
        ("/mass", json!({})),
        ("/energy/high_voltage/packs/0/item", Value::Null),
        ("/axles", Value::Null),
    ]);
    assert_eq!(
        (found.mass, found.centre_x, found.centre_z),
        (None, None, None)
    );
    assert!(
        found.not_known.iter().any(|s| s.contains("/mass/readings")),
        "{:?}",
        found.not_known
    );
    assert!(
        found
            .not_known
            .iter()
            .any(|s| s.contains("/mass/centre_height")),
        "{:?}",
        found.not_known
    );
}

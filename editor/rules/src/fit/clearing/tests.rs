//! Clearing, on a small invented profile and on the demo vehicles.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use chockstone_schema::{
    Equipment, Profile,
    read::{self, Document, Notation},
    report::{ClearingResult, Facing, FitChoices, FitReport, FitTopic, Judged, Severity, Verdict},
};

use crate::fit::Vehicle;
use crate::testing::{pass, sound_equipment, sound_profile};

const DEMOS: [&str; 5] = [
    "brackwater-tolliver-crew",
    "gantwell-ostler",
    "ondrey-skarrow",
    "sorrelby-tindle",
    "ullmere-dapple-draft",
];

fn demo<T: Document>(name: &str) -> T {
    let path = format!("{}/../../profiles/{name}", env!("CARGO_MANIFEST_DIR"));
    read::read(&path, &std::fs::read(&path).unwrap(), Notation::Ron).unwrap()
}

/// The sound profile with changes: 250 mm under the whole van, tyres of 320 mm, 3 m between the axles, 0.85 m before them
/// and 0.95 m behind, its ground clearance known to 5 mm.
fn profile(edits: &'static str) -> Profile {
    let sound = read::to_value(&sound_profile());
    read::from_value(&pass("clearing", "changes", edits).value(sound)).unwrap()
}

/// The sound equipment with changes: a deck of 6.4 m that tilts to 11 degrees, without a tail ramp.
fn equipment(edits: &'static str) -> Equipment {
    let sound = read::to_value(&sound_equipment());
    read::from_value(&pass("clearing", "changes", edits).value(sound)).unwrap()
}

fn fit(profile: &Profile, equipment: &[&Equipment]) -> FitReport {
    Vehicle::new(profile, None).fit(equipment, &[], &FitChoices::default())
}

/// The plain ways up, nose first and tail first.
#[track_caller]
fn plain(profile: &Profile, equipment: &Equipment) -> [ClearingResult; 2] {
    let results = fit(profile, &[equipment]).clearing;
    let plain: Vec<_> = results.into_iter().filter(|r| r.with.is_none()).collect();
    plain.try_into().unwrap()
}

#[track_caller]
fn row<'r>(result: &'r ClearingResult, name: &str) -> &'r Judged {
    result.rows.iter().find(|row| row.name == name).unwrap()
}

#[track_caller]
fn value(result: &ClearingResult, name: &str) -> f64 {
    row(result, name).figure.as_ref().unwrap().value
}

#[track_caller]
fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} within {tolerance}"
    );
}

/// The nose's lower corner 0.8 m before the axle over a deck of 11 degrees, the front wheel in the dip: arithmetic from
/// the geometry, no citation.
#[test]
fn the_nose_of_a_van_clears_by_what_geometry_says() {
    let [nose_first, tail_first] = plain(&profile("{}"), &equipment("{}"));
    let tilt = 11f64.to_radians();
    let expected = 0.32 + (0.25 - 0.32) * tilt.cos() - 0.8 * tilt.sin();
    close(value(&nose_first, "front-overhang"), expected, 1e-9);
    assert_eq!(nose_first.facing, Facing::NoseFirst);
    assert_eq!(nose_first.title, "Onto sound-carrier, nose first");
    assert_eq!(nose_first.verdict, Verdict::Within);
    close(value(&nose_first, "belly"), 0.25, 1e-9);
    let expected = 0.32 + (0.25 - 0.32) * tilt.cos() - 0.9 * tilt.sin();
    close(value(&tail_first, "rear-overhang"), expected, 1e-9);
    close(value(&tail_first, "smallest-clearance"), expected, 1e-9);
}

#[test]
fn the_uncertainty_of_the_ground_clearance_stands_for_that_of_the_outline() {
    let [result, _] = plain(&profile("{}"), &equipment("{}"));
    let figure = row(&result, "smallest-clearance").figure.as_ref().unwrap();
    assert!(figure.plus_minus.unwrap() >= 0.005);
    let strongest = &figure.inputs[0];
    let place = "/dimensions/ground_clearance/plus_minus for the side outline";
    assert_eq!(&*strongest.input, place);
    assert!(
        figure
            .inputs
            .iter()
            .any(|i| &*i.input == "sound-carrier#/deck/tilt_angle")
    );
    assert!(
        figure
            .inputs
            .iter()
            .any(|i| &*i.input == "/axles/0/tyre/static_loaded_radius")
    );
}

#[test]
fn a_steep_deck_touches_and_what_settles_it_is_said() {
    let carrier = equipment(r#"{"/deck/tilt_angle/value": [25, "deg"]}"#);
    let report = fit(&profile("{}"), &[&carrier]);
    assert!(report.clearing.iter().all(|r| r.verdict == Verdict::Beyond));
    let topic = report
        .topics
        .iter()
        .find(|t| t.topic == FitTopic::Clearing)
        .unwrap();
    assert_eq!(topic.verdict, Verdict::Beyond);
    assert!(topic.answer.contains("touches"), "{}", topic.answer);
    let finding = report
        .findings
        .iter()
        .find(|f| f.check == "fit-clearing-smallest-clearance");
    assert_eq!(finding.unwrap().severity, Severity::Blocking);
    let steepest = value(&report.clearing[0], "steepest-deck").to_degrees();
    assert!(11.0 < steepest && steepest < 25.0);
}

#[test]
fn at_the_steepest_deck_it_is_too_close_to_call() {
    let van = profile("{}");
    let [result, _] = plain(&van, &equipment("{}"));
    let steepest = value(&result, "steepest-deck").to_degrees();
    let mut carrier = read::to_value(&equipment("{}"));
    carrier["deck"]["tilt_angle"]["value"] = serde_json::json!([steepest, "deg"]);
    let [result, _] = plain(&van, &read::from_value(&carrier).unwrap());
    close(value(&result, "smallest-clearance"), 0.0, 1e-5);
    assert_eq!(result.verdict, Verdict::TooCloseToCall);
}

#[test]
fn what_is_missing_is_named_by_its_place() {
    let cases: [(&str, &str, &[&str]); 4] = [
        (
            r#"{"/dimensions/side_outline": null}"#,
            "{}",
            &["/dimensions/side_outline"],
        ),
        (
            r#"{"/axles/0/tyre/static_loaded_radius": null, "/axles/1/tyre": null}"#,
            "{}",
            &[
                "/axles/0/tyre/static_loaded_radius",
                "/axles/1/tyre/static_loaded_radius",
            ],
        ),
        (
            "{}",
            r#"{"/deck/tilt_angle": null}"#,
            &["sound-carrier#/deck/tilt_angle"],
        ),
        (
            "{}",
            r#"{"/deck/tail_length": {"value": [800, "mm"], "source": "plate"}}"#,
            &["sound-carrier#/deck/tail_angle"],
        ),
    ];
    for (profile_edits, equipment_edits, places) in cases {
        let [result, _] = plain(&profile(profile_edits), &equipment(equipment_edits));
        assert_eq!(result.verdict, Verdict::NotKnown);
        let told = row(&result, "smallest-clearance").not_known.join(" ");
        assert!(places.iter().all(|place| told.contains(place)), "{told}");
        assert!(result.tightest.is_none());
    }
}

#[test]
fn without_a_deck_there_is_no_answer() {
    let report = fit(&profile("{}"), &[&equipment(r#"{"/deck": null}"#)]);
    assert!(report.clearing.is_empty());
    assert!(report.topics.iter().all(|t| t.topic != FitTopic::Clearing));
}

#[test]
fn a_tail_ramp_and_skates_give_the_nose_more_room() {
    let van = profile("{}");
    let [bare, _] = plain(&van, &equipment("{}"));
    let tail = r#"{"/deck/tail_length": {"value": [900, "mm"], "source": "plate"}, "/deck/tail_angle": {"value": [5, "deg"], "source": "plate"}}"#;
    let [with_tail, _] = plain(&van, &equipment(tail));
    let nose = |result: &ClearingResult| value(result, "front-overhang");
    assert!(nose(&with_tail) > nose(&bare) + 0.01);
    let skates: Equipment = demo("equipment/skates.equipment.ron");
    let report = fit(&van, &[&equipment("{}"), &skates]);
    let on_skates = report
        .clearing
        .iter()
        .find(|r| {
            r.with
                .as_ref()
                .is_some_and(|with| with.contains("(skates)"))
        })
        .unwrap();
    close(nose(on_skates) - nose(&bare), 0.75 * 0.0254, 1e-3);
    let figure = row(on_skates, "smallest-clearance")
        .figure
        .as_ref()
        .unwrap();
    assert!(
        figure
            .inputs
            .iter()
            .any(|i| &*i.input == "skates#/skates/thickness")
    );
}

#[test]
fn too_few_skates_raise_nothing() {
    let mut skates: Equipment = demo("equipment/skates.equipment.ron");
    skates.skates.as_mut().unwrap().count = 2;
    let report = fit(&profile("{}"), &[&equipment("{}"), &skates]);
    assert!(
        report
            .clearing
            .iter()
            .all(|r| r.with.as_ref().is_none_or(|w| !w.contains("(skates)")))
    );
}

#[test]
fn a_laid_ramp_of_a_chosen_height_gives_the_nose_more_room_over_a_steep_deck() {
    let van = profile("{}");
    let carrier = equipment(r#"{"/deck/tilt_angle/value": [17, "deg"]}"#);
    let choices = FitChoices {
        block_height: Some(0.08),
        ..FitChoices::default()
    };
    let report = Vehicle::new(&van, None).fit(&[&carrier], &[], &choices);
    let nose = |with: bool| {
        let found = report.clearing.iter().find(|r| {
            r.facing == Facing::NoseFirst
                && r.with.as_ref().is_some_and(|w| w.contains("80 mm high")) == with
        });
        found.unwrap().clone()
    };
    let (bare, ramp) = (nose(false), nose(true));
    assert!(value(&ramp, "front-overhang") > value(&bare, "front-overhang") + 0.01);
    assert!(value(&ramp, "steepest-deck") > value(&bare, "steepest-deck"));
}

#[test]
fn the_drawing_of_the_tightest_spot_agrees_with_the_figure() {
    for result in plain(&profile("{}"), &equipment("{}")) {
        let spot = result.tightest.as_ref().unwrap();
        let distance = |p: [f64; 2], w: &[[f64; 2]]| {
            let (dx, dz) = (w[1][0] - w[0][0], w[1][1] - w[0][1]);
            let part = ((p[0] - w[0][0]) * dx + (p[1] - w[0][1]) * dz) / (dx * dx + dz * dz);
            let part = part.clamp(0.0, 1.0);
            (p[0] - w[0][0] - part * dx).hypot(p[1] - w[0][1] - part * dz)
        };
        let to_ground = |p: [f64; 2]| {
            let lines = spot.ground.windows(2).map(|w| distance(p, w));
            lines.fold(f64::INFINITY, f64::min)
        };
        close(
            to_ground(spot.spot),
            value(&result, "smallest-clearance"),
            1e-9,
        );
        for [x, z, radius] in &spot.wheels {
            close(to_ground([*x, *z]), *radius, 1e-9);
        }
        assert_eq!(spot.outline.len(), 9);
        assert!(spot.what.contains("overhang over the "), "{}", spot.what);
    }
}

fn stated(edits: &'static str) -> Vec<(String, Severity)> {
    let report = fit(&profile(edits), &[&equipment("{}")]);
    let angles = report
        .findings
        .into_iter()
        .filter(|f| f.check.ends_with("-angle"));
    angles.map(|f| (f.check, f.severity)).collect()
}

/// By the tyre tangents the outline gives 17.7 degrees ahead, 15.9 behind and 19.2 between; arithmetic, no citation.
#[test]
fn stated_angles_are_held_against_those_of_the_outline() {
    let agree = r#"{"/dimensions/approach_angle": {"value": [18, "deg"], "source": "tape"}, "/dimensions/departure_angle": {"value": [15, "deg"], "plus_minus": [1.5, "deg"], "source": "tape"}, "/dimensions/breakover_angle": {"value": [19, "deg"], "source": "tape"}}"#;
    assert_eq!(stated(agree), []);
    let more = r#"{"/dimensions/approach_angle": {"value": [21, "deg"], "plus_minus": [1, "deg"], "source": "tape"}}"#;
    let warned = [("fit-clearing-approach-angle".to_owned(), Severity::Warning)];
    assert_eq!(stated(more), warned);
    let less = r#"{"/dimensions/breakover_angle": {"value": [15, "deg"], "source": "tape"}}"#;
    let noted = [("fit-clearing-breakover-angle".to_owned(), Severity::Note)];
    assert_eq!(stated(less), noted);
}

#[test]
fn every_demo_vehicle_clears_every_demo_carrier() {
    for name in DEMOS {
        let profile: Profile = demo(&format!("{name}.profile.ron"));
        for carrier in ["carrier-19500", "carrier-22000", "carrier-26000"] {
            let carrier: Equipment = demo(&format!("equipment/{carrier}.equipment.ron"));
            for vehicle in Vehicle::all(&profile) {
                let report = vehicle.fit(&[&carrier], &[], &FitChoices::default());
                assert_eq!(report.clearing.len(), 2);
                for result in &report.clearing {
                    assert_eq!(result.verdict, Verdict::Within, "{name}: {result:#?}");
                    let steepest = value(result, "steepest-deck");
                    let tilt = carrier.deck.as_ref().unwrap().tilt_angle.as_ref().unwrap();
                    assert!(steepest > tilt.value.si(), "{name}: {steepest}");
                }
            }
        }
    }
}

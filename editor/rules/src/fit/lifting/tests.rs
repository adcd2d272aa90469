//! Lifting, on a small invented profile and on the demo vehicles. Worked values are arithmetic from the formulas.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use chockstone_mechanics::{STANDARD_GRAVITY, propagation::Tracked};
use chockstone_schema::{
    Equipment, Profile,
    read::{self, Document, Notation},
    report::{FitChoices, FitReport, FitTopic, Judged, LiftWay, LiftingResult, Side, Verdict},
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

/// The sound profile with changes: it weighs 2,100 kg, 1.4 m behind the front axle and on the centre plane; its lift
/// points, which are its jack points too, lie 0.7 and 2.3 m back and 0.7 m out.
fn profile(edits: &'static str) -> Profile {
    let sound = read::to_value(&sound_profile());
    read::from_value(&pass("lifting", "changes", edits).value(sound)).unwrap()
}

fn equipment(edits: &'static str) -> Equipment {
    let sound = read::to_value(&sound_equipment());
    read::from_value(&pass("lifting", "changes", edits).value(sound)).unwrap()
}

/// The sound equipment with nothing but one part left for lifting.
const LIFT_ALONE: &str = r#"{"/jack": null, "/stands": null}"#;
const JACK_ALONE: &str = r#"{"/vehicle_lift": null, "/stands": null}"#;
const STANDS_ALONE: &str = r#"{"/vehicle_lift": null, "/jack": null}"#;

fn general(profile: &Profile) -> Vec<LiftingResult> {
    Vehicle::new(profile, None).general().lifting
}

fn fit(profile: &Profile, equipment: &Equipment) -> FitReport {
    Vehicle::new(profile, None).fit(&[equipment], &[], &FitChoices::default())
}

fn way(results: &[LiftingResult], way: LiftWay) -> &LiftingResult {
    results.iter().find(|result| result.way == way).unwrap()
}

fn row<'r>(result: &'r LiftingResult, name: &str) -> &'r Judged {
    let found = result.rows.iter().find(|row| row.name == name);
    found.unwrap_or_else(|| panic!("no row {name} in {}", result.title))
}

#[track_caller]
fn close(actual: f64, expected: f64, tolerance: f64) {
    assert!(
        (actual - expected).abs() <= tolerance,
        "{actual} is not {expected} within {tolerance}"
    );
}

#[track_caller]
fn value(row: &Judged) -> f64 {
    let figure = row.figure.as_ref();
    figure.unwrap_or_else(|| panic!("{row:?}")).value
}

/// Each support's side, x, load and most.
fn loads(result: &LiftingResult) -> Vec<(Side, f64, f64, f64)> {
    let of = |s: &chockstone_schema::report::SupportLoad| {
        let figure = s.load.figure.as_ref().unwrap();
        (
            s.side,
            s.x,
            figure.value,
            figure.high.unwrap_or(figure.value),
        )
    };
    result.supports.iter().map(of).collect()
}

#[test]
fn mirrored_lift_points_carry_a_vehicle_on_four_pads() {
    let results = general(&profile("{}"));
    let points = way(&results, LiftWay::LiftPoints);
    assert_eq!(points.supports.len(), 4);
    for (_, x, load, most) in loads(points) {
        // 0.1 m ahead of the middle of pads 1.6 m apart: an eighth more in front, an eighth less behind.
        let expected = if x < 1.0 { 590.625 } else { 459.375 };
        close(load, expected, 1e-3);
        let most_exact = if x < 1.0 { 1050.0 } else { 918.75 };
        assert!(most >= most_exact && most < most_exact + 20.0, "{most}");
    }
    let support = points.supports.first().unwrap();
    // 8 kN is 815.8 kg: the equal share keeps to it and the worst case does not.
    close(
        support.load.limit.as_ref().unwrap().at_most.unwrap(),
        8000.0 / STANDARD_GRAVITY,
        1e-6,
    );
    assert_eq!(support.load.verdict, Some(Verdict::TooCloseToCall));
    assert_eq!(points.verdict, Verdict::TooCloseToCall);
    close(value(row(points, "tipping-margin")), 0.7, 1e-9);
    // 1.9 m up, less the pads' 0.25 m on the body.
    let push = 2100.0 * STANDARD_GRAVITY * 0.7 / 1.65;
    close(value(row(points, "tipping-push")), push, 1e-3);
    let tilt = (0.7f64 / 0.39).atan();
    close(value(row(points, "tipping-tilt")), tilt, 1e-9);
    // The front corners stand 0.7 + 0.85 m beyond the front points, and the centre lies 0.7 m behind those.
    let weight = 2100.0 * 0.7 / 1.55;
    close(value(row(points, "tipping-weight")), weight, 1e-6);
}

#[test]
fn a_heavy_part_taken_out_moves_load_and_centre() {
    let results = general(&profile("{}"));
    let without = results.iter().find(|r| !r.taken_out.is_empty()).unwrap();
    assert_eq!(without.taken_out, ["pack-mass"]);
    assert_eq!(without.title, "At its lift points, without Pack");
    let total: f64 = loads(without).iter().map(|(_, _, load, _)| load).sum();
    close(total, 1650.0, 1e-6);
    let x = (2100.0 * 1.4 - 450.0 * 1.5) / 1650.0;
    let front = 1650.0 * (2.3 - x) / 1.6 / 2.0;
    let (_, _, load, _) = loads(without).into_iter().find(|l| l.1 < 1.0).unwrap();
    close(load, front, 1e-6);
}

#[test]
fn a_light_part_and_one_that_comes_on_top_are_not_taken_out() {
    for edits in [
        r#"{"/mass/items/0/mass/value": [100, "kg"]}"#,
        r#"{"/mass/items/0/state": "added"}"#,
    ] {
        let results = general(&profile(edits));
        assert!(results.iter().all(|r| r.taken_out.is_empty()), "{edits}");
    }
}

#[test]
fn a_part_without_a_place_leaves_its_loads_unknown_and_is_named() {
    let results = general(&profile(r#"{"/mass/items/0/place": null}"#));
    let without = results.iter().find(|r| !r.taken_out.is_empty()).unwrap();
    assert_eq!(without.verdict, Verdict::NotKnown);
    let said = &row(without, "tipping-margin").not_known;
    assert!(
        said.iter().any(|s| s.contains("/mass/items/0/place/x")),
        "{said:?}"
    );
}

#[test]
fn what_is_not_weighed_is_not_known_and_named() {
    let results = general(&profile(r#"{"/mass/readings": []}"#));
    for result in &results {
        assert_eq!(result.verdict, Verdict::NotKnown, "{}", result.title);
        let said = &row(result, "tipping-margin").not_known;
        assert!(
            said.iter().any(|s| s.contains("/mass/readings")),
            "{said:?}"
        );
        assert!(result.supports.iter().all(|s| s.load.figure.is_none()));
    }
}

#[test]
fn too_few_lift_points_are_said_with_their_place() {
    let results = general(&profile(
        r#"{"/points/0/kind": "jack", "/points/0/uses": ["jack"]}"#,
    ));
    let points = way(&results, LiftWay::LiftPoints);
    assert_eq!(points.verdict, Verdict::NotKnown);
    let said = &row(points, "tipping-margin").not_known;
    assert!(
        said.iter().any(|s| s.contains("/points gives 2")),
        "{said:?}"
    );
}

#[test]
fn a_centre_behind_the_lift_points_tips_and_has_no_loads() {
    let results = general(&profile(
        r#"{"/points/0/place/x": [200, "mm"], "/points/1/place/x": [1000, "mm"]}"#,
    ));
    let points = way(&results, LiftWay::LiftPoints);
    assert_eq!(points.verdict, Verdict::Beyond);
    close(value(row(points, "tipping-margin")), -0.4, 1e-9);
    for support in &points.supports {
        assert_eq!(support.load.verdict, Some(Verdict::NotKnown));
        let said = support.load.not_known.join(" ");
        assert!(
            said.contains("400 mm outside the line from “Rear lift point, "),
            "{said}"
        );
    }
    assert!(row(points, "tipping-push").figure.is_none());
}

#[test]
fn a_point_without_a_rating_has_a_load_and_no_verdict() {
    let results = general(&profile(r#"{"/points/0/rating": null}"#));
    let points = way(&results, LiftWay::LiftPoints);
    let front = points.supports.iter().filter(|s| s.id == "lift-front");
    assert!(front.clone().count() == 2);
    for support in front {
        assert!(support.load.figure.is_some() && support.load.verdict.is_none());
    }
}

#[test]
fn every_way_of_jacking_raises_its_own_wheels() {
    let results = general(&profile("{}"));
    let wheels = |lift_way| {
        let result = way(&results, lift_way);
        let grounded = result
            .supports
            .iter()
            .filter(|s| s.support.ends_with("wheel"));
        grounded.map(|s| s.support.clone()).collect::<Vec<_>>()
    };
    assert_eq!(
        wheels(LiftWay::FrontLeft),
        ["Front right wheel", "Rear left wheel", "Rear right wheel"]
    );
    assert_eq!(
        wheels(LiftWay::LeftSide),
        ["Front right wheel", "Rear right wheel"]
    );
    assert_eq!(
        wheels(LiftWay::RearEnd),
        ["Front left wheel", "Front right wheel"]
    );
    let side = way(&results, LiftWay::LeftSide);
    let jack = side.supports.first().unwrap();
    assert_eq!((jack.id.as_str(), jack.side), ("lift-front", Side::Left));
    // One jack against the two far wheels, 0.8 + 0.7 m across: determinate.
    close(value(&jack.load), 2100.0 * 0.8 / 1.5, 1e-6);
    assert!(jack.load.figure.as_ref().unwrap().high.is_none());
}

/// One profile weighed with its left and right exchanged.
#[test]
fn a_mirrored_vehicle_has_mirrored_loads() {
    let heavy_left = general(&profile(
        r#"{"/mass/readings/0/loads/0/left": [620, "kg"], "/mass/readings/0/loads/0/right": [500, "kg"]}"#,
    ));
    let heavy_right = general(&profile(
        r#"{"/mass/readings/0/loads/0/left": [500, "kg"], "/mass/readings/0/loads/0/right": [620, "kg"]}"#,
    ));
    let one = way(&heavy_left, LiftWay::LiftPoints);
    let two = way(&heavy_right, LiftWay::LiftPoints);
    for (side, x, load, most) in loads(one) {
        let mirrored = loads(two)
            .into_iter()
            .find(|(other, at, ..)| *other != side && (at - x).abs() < 1e-9);
        let (_, _, other_load, other_most) = mirrored.unwrap();
        close(load, other_load, 1e-6);
        close(most, other_most, 1e-6);
    }
    let left = way(&heavy_left, LiftWay::FrontLeft);
    let right = way(&heavy_right, LiftWay::FrontRight);
    let jack = |r: &LiftingResult| value(&r.supports.first().unwrap().load);
    close(jack(left), jack(right), 1e-6);
}

/// The balances of every way, by the numbers as they are reported.
#[test]
fn the_loads_of_every_demo_vehicle_balance_its_weight() {
    let mut checked = 0;
    for name in DEMOS {
        let profile: Profile = demo(&format!("{name}.profile.ron"));
        for vehicle in Vehicle::all(&profile) {
            let general = vehicle.general();
            let mass = vehicle.computed.mass.as_ref().unwrap().value();
            let x = vehicle.computed.x.as_ref().map(Tracked::value);
            let whole = general.lifting.iter().filter(|r| r.taken_out.is_empty());
            for result in whole.filter(|r| r.supports.iter().all(|s| s.load.figure.is_some())) {
                let loads = loads(result);
                let sum: f64 = loads.iter().map(|l| l.2).sum();
                close(sum, mass, 1e-6 * mass);
                let moment: f64 = loads.iter().map(|l| l.1 * l.2).sum();
                close(moment, mass * x.unwrap(), 1e-6 * mass);
                checked += 1;
            }
        }
    }
    assert!(checked > 40, "{checked}");
}

#[test]
fn a_two_post_lift_is_held_against_mass_arms_and_reach() {
    let lift = equipment(
        r#"{"/jack": null, "/stands": null, "/vehicle_lift/between_posts": {"value": [2.8, "m"]}, "/vehicle_lift/pad_diameter": {"value": [120, "mm"]}, "/vehicle_lift/pad_height": {"value": [100, "mm"]}}"#,
    );
    let report = fit(&profile("{}"), &lift);
    let on_lift = way(&report.lifting, LiftWay::LiftPoints);
    assert_eq!(on_lift.equipment.as_deref(), Some("sound-carrier"));
    let judged = |name| {
        let row = row(on_lift, name);
        (value(row), row.verdict.unwrap())
    };
    assert_eq!(judged("lift-load"), (2100.0, Verdict::Within));
    let (arm, verdict) = judged("arm-load");
    close(arm, 590.625, 1e-3);
    assert_eq!(
        verdict,
        Verdict::Within,
        "1,050 kg at the most on arms for 1,125"
    );
    // Posts midway between the points: 0.8 m along and 1.4 - 0.7 m across.
    let (reach, verdict) = judged("arm-reach");
    close(reach, 0.8f64.hypot(0.7), 1e-9);
    assert_eq!(verdict, Verdict::Within);
    assert_eq!(judged("arm-shortest-reach").1, Verdict::Within);
    // The front point lies 0.1 m ahead of the zone's corner and 0.1 m outside it.
    let (distance, verdict) = judged("pad-distance");
    close(distance, 0.1f64.hypot(0.1) - 0.06, 1e-9);
    assert_eq!(verdict, Verdict::Within);
    assert_eq!(judged("pad-height"), (0.25, Verdict::Within));
    assert_eq!(judged("width-between-posts").1, Verdict::Within);
    let topic = report.topics.iter().find(|t| t.topic == FitTopic::Lifting);
    assert_eq!(
        topic.unwrap().verdict,
        Verdict::TooCloseToCall,
        "by the points' rating"
    );
}

#[test]
fn a_lift_without_ratings_is_not_known_and_names_the_fields() {
    let lift = equipment(
        r#"{"/jack": null, "/stands": null, "/vehicle_lift/capacity": null, "/vehicle_lift/arm_capacity": null}"#,
    );
    let report = fit(&profile("{}"), &lift);
    let on_lift = way(&report.lifting, LiftWay::LiftPoints);
    for (name, field) in [
        ("lift-load", "capacity"),
        ("arm-load", "arm_capacity"),
        ("pad-distance", "pad_diameter"),
        ("arm-reach", "between_posts"),
        ("width-between-posts", "between_posts"),
    ] {
        let row = row(on_lift, name);
        assert_eq!(row.verdict, Some(Verdict::NotKnown), "{name}");
        let place = format!("sound-carrier#/vehicle_lift/{field}");
        assert!(row.not_known.iter().any(|s| s.contains(&place)), "{row:?}");
    }
    assert_eq!(on_lift.verdict, Verdict::NotKnown);
}

#[track_caller]
fn check_pad(edits: &'static str, expected: Option<(f64, Verdict)>) {
    let lift = equipment(
        r#"{"/jack": null, "/stands": null, "/vehicle_lift/pad_diameter": {"value": [120, "mm"]}}"#,
    );
    let report = fit(&profile(edits), &lift);
    let on_lift = way(&report.lifting, LiftWay::LiftPoints);
    let found = on_lift.rows.iter().find(|row| row.name == "pad-distance");
    match (found, expected) {
        (None, None) => {}
        (Some(row), Some((distance, verdict))) => {
            close(value(row), distance, 1e-9);
            assert_eq!(row.verdict, Some(verdict), "{edits}");
        }
        (found, _) => panic!("{edits}: {found:?}"),
    }
}

/// The zone lies from 0.8 to 2.2 m back and 0.6 m to either side, 0.2 to 0.45 m up; plane geometry.
#[test]
fn a_pad_is_measured_to_the_zones_that_its_height_meets() {
    // The front point lies 0.1 m ahead of the zone's corner and 0.1 m outside it.
    let corner = 0.1f64.hypot(0.1) - 0.06;
    check_pad("{}", Some((corner, Verdict::Within)));
    let out_of_line = r#"{"/points/0/place/x": [900, "mm"], "/points/0/place/y": [650, "mm"]}"#;
    check_pad(out_of_line, Some((-0.01, Verdict::Beyond)));
    let unsure = r#"{"/points/0/place/x": [900, "mm"], "/points/0/place/y": [665, "mm"], "/points/0/place_plus_minus": [10, "mm"]}"#;
    check_pad(unsure, Some((0.005, Verdict::TooCloseToCall)));
    check_pad(r#"{"/zones/0/top": [240, "mm"]}"#, None);
    let overhead = r#"{"/zones/0/kinds": ["high_voltage"], "/zones/0/bottom": [300, "mm"]}"#;
    check_pad(overhead, None);
    let pressed_from_below = r#"{"/zones/0/bottom": [300, "mm"]}"#;
    check_pad(pressed_from_below, Some((corner, Verdict::Within)));
    check_pad(r#"{"/zones/0/kinds": ["no_cutting"]}"#, None);
    let one_side = r#"{"/zones/0/mirrored": true, "/zones/0/plan/corners": [[600, -800], [600, -600], [800, -600], [800, -800]]}"#;
    check_pad(one_side, Some((-0.16, Verdict::Beyond)));
}

#[test]
fn a_zone_that_is_not_drawn_from_above_is_named() {
    let lift = equipment(LIFT_ALONE);
    let report = fit(
        &profile(
            r#"{"/zones/0/plan": null, "/zones/0/side": {"unit": "mm", "corners": [[800, 200], [800, 450], [2200, 450], [2200, 200]]}}"#,
        ),
        &lift,
    );
    let row = row(way(&report.lifting, LiftWay::LiftPoints), "pad-distance");
    assert_eq!(row.verdict, Some(Verdict::NotKnown));
    assert!(
        row.not_known.iter().any(|s| s.contains("/zones/0/plan")),
        "{row:?}"
    );
}

#[test]
fn runways_carry_the_wheels() {
    let lift = equipment(
        r#"{"/jack": null, "/stands": null, "/vehicle_lift/kind": "four_post", "/vehicle_lift/capacity/value": [2000, "kg"], "/vehicle_lift/between_posts": {"value": [2.8, "m"]}}"#,
    );
    let report = fit(&profile("{}"), &lift);
    let [only] = report.lifting.as_slice() else {
        panic!("{:?}", report.lifting)
    };
    assert_eq!(only.way, LiftWay::Runways);
    assert_eq!(
        only.verdict,
        Verdict::Beyond,
        "2,100 kg on a lift for 2,000"
    );
    let axle: f64 = loads(only).iter().filter(|l| l.1 < 1.0).map(|l| l.2).sum();
    close(axle, 1120.0, 1e-6);
}

#[test]
fn a_jack_carries_up_to_half_the_vehicle_at_a_corner() {
    let jack = equipment(
        r#"{"/vehicle_lift": null, "/stands": null, "/jack/capacity/value": [1000, "kg"]}"#,
    );
    let report = fit(&profile("{}"), &jack);
    assert_eq!(report.lifting.len(), 6, "four corners and two sides");
    let corner = way(&report.lifting, LiftWay::FrontLeft);
    let load = row(corner, "jack-load");
    assert_eq!(load.verdict, Some(Verdict::TooCloseToCall));
    let most = load.figure.as_ref().unwrap().high.unwrap();
    // Without the wheel diagonally across from it: the centre lies 0.8 m from the line of the two right wheels.
    assert!(most > 2100.0 * 0.5 && most < 2100.0 * 0.54, "{most}");
    assert_eq!(row(corner, "jack-height").verdict, Some(Verdict::Within));
    let side = way(&report.lifting, LiftWay::RightSide);
    assert_eq!(row(side, "jack-load").verdict, Some(Verdict::Beyond));
}

#[test]
fn stands_carry_the_whole_vehicle_or_one_end() {
    let stands = equipment(STANDS_ALONE);
    let places = r#"{"/points/0/uses": ["lift", "jack", "stand"], "/points/1/uses": ["lift", "jack", "stand"]}"#;
    let report = fit(&profile(places), &stands);
    let ways: Vec<_> = report.lifting.iter().map(|r| r.way).collect();
    assert_eq!(ways, [LiftWay::Stands, LiftWay::FrontEnd, LiftWay::RearEnd]);
    for result in &report.lifting {
        assert_eq!(row(result, "stand-load").verdict, Some(Verdict::Within));
    }
    let two = equipment(r#"{"/vehicle_lift": null, "/jack": null, "/stands/count": 2}"#);
    let report = fit(&profile(places), &two);
    assert!(report.lifting.iter().all(|r| r.way != LiftWay::Stands));
    assert_eq!(report.lifting.len(), 2);
    let report = fit(&profile("{}"), &stands);
    let topic = report.topics.iter().find(|t| t.topic == FitTopic::Lifting);
    assert_eq!(topic.unwrap().verdict, Verdict::NotKnown);
    assert!(topic.unwrap().answer.contains("/points"));
}

#[test]
fn a_vehicle_without_tracks_names_them_when_it_is_jacked() {
    let jack = equipment(JACK_ALONE);
    let report = fit(&profile(r#"{"/axles/0/track": null}"#), &jack);
    let topic = report.topics.iter().find(|t| t.topic == FitTopic::Lifting);
    assert_eq!(topic.unwrap().verdict, Verdict::NotKnown);
    assert!(
        topic.unwrap().answer.contains("/axles/0/track"),
        "{topic:?}"
    );
}

#[test]
fn equipment_that_lifts_nothing_asks_nothing_of_lifting() {
    let carrier = equipment(r#"{"/vehicle_lift": null, "/jack": null, "/stands": null}"#);
    let report = fit(&profile("{}"), &carrier);
    assert!(report.lifting.is_empty());
    assert!(report.topics.iter().all(|t| t.topic != FitTopic::Lifting));
}

/// Common practice, no source: a battery-electric pickup's points lie too far apart for the arms of a small two-post
/// lift, and a small car's pack reaches so far out that a pad presses on it.
#[test]
fn the_demo_library_shows_a_lift_that_does_not_reach_and_a_pad_on_a_pack() {
    let lift: Equipment = demo("equipment/lift-two-post.equipment.ron");
    let on_lift = |name: &str, row_name: &str| {
        let profile: Profile = demo(&format!("{name}.profile.ron"));
        let variant = profile.variants.first().map(|v| v.id.as_str());
        let report = Vehicle::new(&profile, variant).fit(&[&lift], &[], &FitChoices::default());
        row(way(&report.lifting, LiftWay::LiftPoints), row_name).verdict
    };
    let pickup = "brackwater-tolliver-crew";
    assert_eq!(on_lift(pickup, "arm-reach"), Some(Verdict::Beyond));
    assert_eq!(on_lift(pickup, "arm-load"), Some(Verdict::TooCloseToCall));
    assert_eq!(on_lift(pickup, "lift-load"), Some(Verdict::Within));
    assert_eq!(on_lift(pickup, "pad-distance"), Some(Verdict::Within));
    assert_eq!(
        on_lift("sorrelby-tindle", "pad-distance"),
        Some(Verdict::Beyond)
    );
}

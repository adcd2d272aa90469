//! The two releases of the pickup in the demo library: records that verify, and between them changes of every grade.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
};

use chockstone_library::attachments::sha256;
use chockstone_tests::{
    demo,
    program::{Ran, run},
};
use serde_json::Value;

const PICKUP: &str = "brackwater-tolliver-crew";

/// The SHA-256 of each bundle. A release is never made again: where this no longer fits, put the bundle back.
const RECORDS: [(&str, &str); 2] = [
    (
        "1.0.0",
        "548748a1560c086846132b3e79dd178974cd0516caa91e159430878017dc0321",
    ),
    (
        "2.0.0",
        "d621558555ce215128aafb2e7888c3106c5ce83904fcd6bd2195b93dc474a1c0",
    ),
];

/// What differs between the two, as it was written into the older one by hand: the grade that it must have and why, the row
/// of the grading table, and the places in the older and in the newer profile (empty where the part is not there).
#[rustfmt::skip]
const EXPECTED: &[(&str, &str, &str, &str, &str)] = &[
    // Can hurt: for other vehicles, other measures, less certainty.
    ("can_hurt", "changed", "ModelYears.last", "/identity/model_years/last", "/identity/model_years/last"),
    ("can_hurt", "changed", "sourced.plus_minus", "/dimensions/ground_clearance/plus_minus", "/dimensions/ground_clearance/plus_minus"),
    ("can_hurt", "changed", "AxleLoad.left", "/mass/readings/2/loads/1/left", "/mass/readings/2/loads/1/left"),
    ("can_hurt", "changed", "AxleLoad.right", "/mass/readings/2/loads/1/right", "/mass/readings/2/loads/1/right"),
    ("can_hurt", "added", "MassData.items", "", "/mass/items/4"),
    // A caution that is new, a lower rating, a slot elsewhere, a caution that is gone.
    ("can_hurt", "added", "Point.cautions", "", "/points/2/cautions/0"),
    ("can_hurt", "changed", "Point.rating", "/points/10/rating/value", "/points/10/rating/value"),
    ("can_hurt", "changed", "Point.place", "/points/22/place", "/points/23/place"),
    ("can_hurt", "removed", "Point.cautions", "/points/23/cautions/1", ""),
    // A time limit, wherever it stands, and the texts that name it.
    ("can_hurt", "changed", "ConditionDefinition.holds_for", "/conditions/1/holds_for/value", "/conditions/1/holds_for/value"),
    ("can_hurt", "changed", "TimedHold.time", "/procedures/5/steps/1/holds/0/time/value", "/procedures/5/steps/1/holds/0/time/value"),
    ("can_hurt", "changed", "TimedHold.time", "/procedures/6/steps/1/holds/0/time/value", "/procedures/6/steps/1/holds/0/time/value"),
    ("can_hurt", "changed", "TimedHold.time", "/procedures/7/steps/2/holds/0/time/value", "/procedures/7/steps/2/holds/0/time/value"),
    ("can_hurt", "changed", "TimedHold.time", "/procedures/11/steps/2/holds/0/time/value", "/procedures/11/steps/2/holds/0/time/value"),
    ("can_hurt", "changed", "Procedure.summary", "/procedures/6/summary", "/procedures/6/summary"),
    ("can_hurt", "changed", "Step.text", "/procedures/6/steps/3/text", "/procedures/6/steps/3/text"),
    // The order of two steps, and the texts that name it.
    ("can_hurt", "moved", "Procedure.steps", "/procedures/10/steps/1", "/procedures/10/steps/0"),
    ("can_hurt", "changed", "Step.text", "/procedures/10/steps/1/text", "/procedures/10/steps/0/text"),
    ("can_hurt", "changed", "Step.text", "/procedures/10/steps/0/text", "/procedures/10/steps/1/text"),
    // What no way may break, and how the vehicle may be moved.
    ("can_hurt", "added", "Profile.safety_rules", "", "/safety_rules/2"),
    ("can_hurt", "changed", "TransportRule.permission", "/transport/rules/3/permission", "/transport/rules/3/permission"),
    ("can_hurt", "added", "TransportRule.max_speed", "", "/transport/rules/3/max_speed"),
    ("can_hurt", "added", "TransportRule.max_distance", "", "/transport/rules/3/max_distance"),
    ("can_hurt", "changed", "TransportRule.max_distance", "/transport/rules/4/max_distance/value", "/transport/rules/4/max_distance/value"),
    // New to know: more vehicles, a measure, a point, a procedure; what helps to recognise; what explains.
    ("new_to_know", "added", "Identity.vin_patterns", "", "/identity/vin_patterns/1"),
    ("new_to_know", "changed", "Identity.recognition", "/identity/recognition", "/identity/recognition"),
    ("new_to_know", "added", "Dimensions.breakover_angle", "", "/dimensions/breakover_angle"),
    ("new_to_know", "changed", "Point.marking", "/points/6/marking", "/points/6/marking"),
    ("new_to_know", "added", "Profile.points", "", "/points/20"),
    ("new_to_know", "changed", "Inlet.max_power", "/energy/inlets/1/max_power/value", "/energy/inlets/1/max_power/value"),
    ("new_to_know", "added", "Profile.procedures", "", "/procedures/36"),
    // Wording: names in one language and in both, another id, sources, files, records.
    ("wording", "changed", "Point.name", "/points/12/name", "/points/12/name"),
    ("wording", "changed", "Point.name", "/points/23/name", "/points/24/name"),
    ("wording", "renamed", "Point.id", "/points/24/id", "/points/25/id"),
    ("wording", "changed", "Source.title", "/sources/0/title", "/sources/0/title"),
    ("wording", "changed", "Source.locator", "/sources/0/locator", "/sources/0/locator"),
    ("wording", "added", "Profile.sources", "", "/sources/19"),
    ("wording", "changed", "Attachment.title", "/attachments/0/title", "/attachments/0/title"),
    ("wording", "added", "Profile.changes", "", "/changes/1"),
    ("wording", "changed", "Profile.release", "/release", "/release"),
];

/// The bundle of one release.
pub(crate) fn bundle(release: &str) -> PathBuf {
    let folder = demo::library().join("releases").join(PICKUP);
    folder.join(format!("{PICKUP}-{release}.zip"))
}

fn diff(a: &Path, b: &Path, options: &[&str]) -> Ran {
    let mut call = vec!["diff".as_ref(), a.as_os_str(), b.as_os_str()];
    call.extend(options.iter().map(|o| std::ffi::OsStr::new(*o)));
    run(call)
}

fn between(options: &[&str]) -> Ran {
    diff(&bundle("1.0.0"), &bundle("2.0.0"), options)
}

#[test]
fn both_releases_are_the_records_that_were_made_and_verify() {
    for (release, hash) in RECORDS {
        let file = bundle(release);
        assert_eq!(sha256(&fs::read(&file).unwrap()), hash, "{release}");
        let ran = run(["verify".as_ref(), file.as_os_str(), "--json".as_ref()]);
        let report = ran.expect(0).json();
        assert_eq!(report["good"], true, "{report}");
        assert_eq!(report["profile"], PICKUP);
        assert_eq!(report["release"], release);
        let steps = report["steps"].as_array().unwrap();
        let results = steps.iter().find(|s| s["step"] == "results").unwrap();
        let told = results["message"].as_str().unwrap();
        // This program is of a later version, and may compute otherwise; either way it says so.
        assert!(told.contains("chockstone 0.1.0 made"), "{told}");
    }
    let folder = fs::read_dir(bundle("1.0.0").parent().unwrap()).unwrap();
    assert_eq!(folder.count(), RECORDS.len());
}

#[test]
fn every_change_that_was_made_is_told_once_with_its_grade_and_places() {
    let report = between(&["--json", "--without-effects"]).expect(1).json();
    let changes = report["changes"].as_array().unwrap();
    let text = |change: &Value, key: &str| change[key].as_str().unwrap_or_default().to_owned();
    let keys = ["grade", "kind", "row", "before_place", "after_place"];
    let mut told: Vec<[String; 5]> = changes.iter().map(|c| keys.map(|k| text(c, k))).collect();
    let expected = EXPECTED.iter().map(|&(grade, kind, row, before, after)| {
        [grade, kind, row, before, after].map(str::to_owned)
    });
    let mut expected: Vec<[String; 5]> = expected.collect();
    told.sort();
    expected.sort();
    assert_eq!(told, expected);
    let mut grades = BTreeMap::new();
    for change in changes {
        *grades.entry(text(change, "grade")).or_insert(0) += 1;
        assert!(change["reason"]["en"].is_string(), "{change}");
        assert!(change["reason"]["es"].is_string(), "{change}");
    }
    assert_eq!(grades.len(), 3, "{grades:?}");
    assert!(
        changes.len() >= 12 && grades.values().all(|n| *n >= 4),
        "{grades:?}"
    );
}

#[test]
fn the_numbers_ask_for_the_second_release_and_the_exit_status_says_that_it_can_hurt() {
    let report = between(&["--json", "--without-effects"]).expect(1).json();
    for (key, expected) in [("worst", "can_hurt"), ("least_release", "2.0.0")] {
        assert_eq!(report[key], expected);
    }
    for (side, release) in [("before", "1.0.0"), ("after", "2.0.0")] {
        assert_eq!(report[side]["profile"], PICKUP);
        assert_eq!(report[side]["release"], release);
    }
    // Going back can hurt as well; staying cannot; a patch is no answer to that.
    let (older, newer) = (bundle("1.0.0"), bundle("2.0.0"));
    diff(&newer, &older, &["--without-effects"]).expect(1);
    diff(&older, &older, &["--without-effects"]).expect(0);
    diff(&newer, &newer, &["--without-effects"]).expect(0);
    between(&["--patch"]).expect(0);
}

#[test]
fn a_reader_is_told_what_moved_what_is_gone_and_what_the_same_length_in_another_unit_is_not() {
    let told = between(&["--without-effects"]).expect(1).stdout.clone();
    // (176 - 174.4) x 25.4 mm = 40.64 mm.
    for words in [
        "“Rear tie-down slot” (tie-rear), place moved 40.6 mm rearward",
        "“Tailgate shut before the line goes taut.” is gone",
        "was 6000 lbf, is now 5000 lbf (1000 lbf less)",
        "was 45 min, is now 30 min (15 min less)",
        "step rear-pair moved from number 2 to number 1",
        "the id tailgate-handle is now tailgate-release",
        "es “[-Borne-][+Perno+] de masa”",
        "24 can hurt, 7 new to know, 9 wording",
    ] {
        assert!(told.contains(words), "{words}: {told}");
    }
    // The older release has 3683 mm, the newer one 145 in.
    assert!(!told.contains("wheelbase"), "{told}");
    let spanish = between(&["--without-effects", "--lang", "es"]);
    let told = &spanish.expect(1).stdout;
    assert!(told.contains("Puede dañar: 24"), "{told}");
}

/// The effects by what they are about, each with before, after and whether it is worse.
fn effects(options: &[&str]) -> Vec<(String, String, String, bool)> {
    let report = between(&[options, &["--json"]].concat()).expect(1).json();
    let effects = report["effects"].as_array().unwrap();
    let text = |effect: &Value, key: &str| effect[key].as_str().unwrap_or_default().to_owned();
    effects
        .iter()
        .map(|e| {
            let worse = e["worse"].as_bool().unwrap();
            (text(e, "what"), text(e, "before"), text(e, "after"), worse)
        })
        .collect()
}

#[test]
fn a_changed_number_shows_what_it_does() {
    let found = effects(&[]);
    let check = |what: &str, variant: &str, before: &str, after: &str, is_worse: bool| {
        let of =
            |(w, ..): &&(String, String, String, bool)| w.starts_with(what) && w.contains(variant);
        let Some((_, was, is, worse)) = found.iter().find(of) else {
            panic!("{what}, {variant}: {found:#?}")
        };
        assert!(
            was.contains(before) && is.contains(after) && *worse == is_worse,
            "{what}, {variant}: {was}; {is}"
        );
    };
    // By hand from the wheel loads, 1 lb = 0.45359237 kg: 1725 + 1705 + 1640 + 1630 = 6700 lb, 1680 + 1670 for the last two
    // make 6780 lb. The centre of gravity is at 145 in x rear / all: 70.8 and 71.6 in.
    let standard = "“Standard battery”";
    check("Mass", standard, "(6700 ± ", "(6780 ± ", false);
    check(
        "Load on the axle rear",
        standard,
        "(3270 ± ",
        "(3350 ± ",
        false,
    );
    check(
        "Centre of gravity behind",
        standard,
        "(70.8 ± ",
        "(71.6 ± ",
        false,
    );
    // The toolbox: 7240 + 140 = 7380 lb; 140 x (145 - 112) / 145 = 32 lb of it on the front axle, 108 lb on the rear one.
    let work = "work package”";
    check("Mass", work, "(7240 ± ", "(7380 ± ", false);
    check(
        "Load on the axle front",
        work,
        "(3660 ± ",
        "(3692 ± ",
        false,
    );
    check("Load on the axle rear", work, "(3580 ± ", "(3688 ± ", false);
    // What is now limited by the author is worse for whoever tows, and so is a shorter distance.
    check(
        "Towed with the front lifted, rear wheels on dollies",
        work,
        "allowed",
        "limits, at most 72 km/h (45 mph), for at most 32.19 km (20.00 mi)",
        true,
    );
    check(
        "Towed with the rear lifted, front wheels on dollies",
        work,
        "(30.00 mi)",
        "(20.00 mi)",
        true,
    );
    let text = between(&[]).expect(1).stdout.clone();
    assert!(text.contains("WORSE Towed with the front lifted"), "{text}");
}

#[test]
fn equipment_changes_which_effects_are_told() {
    let light = demo::library().join("equipment/dollies-light.equipment.ron");
    let wrecker = demo::library().join("equipment/wrecker-wheel-lift.equipment.ron");
    let (light, wrecker) = (light.display().to_string(), wrecker.display().to_string());
    let found = effects(&["--with", &wrecker, &light]);
    // These dollies hold neither release's pickup, so the author's new limits make nothing worse with them.
    assert!(
        !found
            .iter()
            .any(|(what, .., worse)| *worse && what.starts_with("Towed")),
        "{found:#?}"
    );
    assert!(
        found.iter().any(|(what, ..)| what.starts_with("Mass")),
        "{found:#?}"
    );
}

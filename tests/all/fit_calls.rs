//! Calls of `chockstone fit` that cannot be used, and choices that reach the report.

use std::path::PathBuf;

use chockstone_tests::{
    demo,
    program::{Ran, run},
};
use serde_json::Value;

fn pickup() -> PathBuf {
    named(demo::complete(), "brackwater")
}

fn piece(part: &str) -> PathBuf {
    named(demo::equipment(), part)
}

fn named(files: Vec<PathBuf>, part: &str) -> PathBuf {
    let found = files.into_iter().find(|p| demo::name(p).contains(part));
    found.unwrap_or_else(|| panic!("the demo library has no {part}"))
}

/// The pickup's extended variant on the medium carrier, with more options.
fn fit(options: &[&str]) -> Ran {
    let (profile, carrier) = (pickup(), piece("carrier-22000"));
    let mut call = vec![
        "fit".as_ref(),
        profile.as_os_str(),
        "--variant".as_ref(),
        "extended".as_ref(),
        "--with".as_ref(),
        carrier.as_os_str(),
    ];
    call.extend(options.iter().map(|o| std::ffi::OsStr::new(*o)));
    run(call)
}

#[track_caller]
fn refused(options: &[&str], because: &str) {
    let ran = fit(options);
    ran.expect(2);
    assert!(ran.stderr.contains(because), "{}", ran.stderr);
    assert!(ran.stdout.is_empty(), "{}", ran.stdout);
}

#[test]
fn a_number_without_its_unit_or_with_a_wrong_one_is_refused() {
    refused(&["--placement", "1.2"], "with its unit");
    refused(
        &["--placement", "1.2 kg"],
        "a unit of mass; a length is wanted",
    );
    refused(&["--line-out", "5 deg"], "a length is wanted");
    refused(&["--slope", "12 %"], "an angle is wanted");
    refused(&["--block-height=-3 in"], "negative");
    refused(&["--friction", "1.3"], "friction factor");
}

#[test]
fn a_word_that_is_no_choice_is_refused_with_those_that_are() {
    refused(&["--balance", "moon"], "en-12195");
    refused(&["--facing", "sideways"], "tail-first");
}

#[test]
fn a_tie_down_that_leads_nowhere_is_refused() {
    let straps = piece("straps-soft");
    let straps = straps.to_str().unwrap();
    let with = |tie_down: &str, because: &str| {
        refused(&[straps, "--tie-down", tie_down], because);
    };
    with(
        "no-point:left:pair-1:left:straps-soft",
        "no point or axle \"no-point\"",
    );
    with("front:left:pair-9:left:straps-soft", "anchor \"pair-9\"");
    with("front:left:pair-1:left:ropes", "\"ropes\"");
    with("front:port:pair-1:left:straps-soft", "left, middle, right");
    with("front:left", "five parts");
}

#[test]
fn files_that_cannot_be_what_they_are_given_as_are_refused() {
    let profile = pickup();
    let profile = profile.to_str().unwrap();
    refused(&[profile], "this is a profile");
    let carrier = piece("carrier-22000");
    refused(&[carrier.to_str().unwrap()], "given twice");
    let folder = tempfile::tempdir().unwrap();
    refused(
        &[folder.path().to_str().unwrap()],
        "no equipment in this folder",
    );
    let missing = folder.path().join("missing.equipment.ron");
    refused(&[missing.to_str().unwrap()], "missing.equipment.ron");
    refused(
        &["--also", missing.to_str().unwrap()],
        "missing.equipment.ron",
    );
    run(["fit"]).expect(2);
}

#[test]
fn choices_reach_the_report_in_si_units() {
    let also = named(demo::complete(), "tindle");
    let also = format!("{}:tail-first:18 ft", also.to_str().unwrap());
    let report = fit(&[
        "--json",
        "--facing",
        "tail-first",
        "--placement",
        "47 in",
        "--wheels",
        "rear-locked",
        "--surface",
        "gravel",
        "--slope",
        "10 deg",
        "--line-out",
        "20 ft",
        "--friction",
        "0.3",
        "--block-height",
        "4 in",
        "--balance",
        "en-12195",
        "--counting",
        "canada-standard",
        "--number",
        "california",
        "--resistance",
        "winch-maker",
        "--grade",
        "sixtieth-per-degree",
        "--also",
        &also,
    ])
    .json();
    let choices = &report["reports"][0]["choices"];
    let close = |key: &str, expected: f64| {
        let found = choices[key].as_f64().unwrap();
        assert!((found - expected).abs() < 1e-9, "{key}: {found}");
    };
    // 1 in = 0.0254 m exactly (international yard and pound agreement of 1959).
    close("placement", 47.0 * 0.0254);
    close("line_out", 240.0 * 0.0254);
    close("block_height", 4.0 * 0.0254);
    close("slope", 10f64.to_radians());
    close("friction", 0.3);
    for (key, word) in [
        ("facing", "tail_first"),
        ("wheels", "rear_locked"),
        ("surface", "gravel"),
    ] {
        assert_eq!(choices[key], word, "{choices}");
    }
    for (key, word) in [
        ("balance", "en_12195"),
        ("counting", "canada_standard"),
        ("number", "california"),
        ("resistance", "winch_maker"),
        ("grade", "sixtieth_per_degree"),
    ] {
        assert_eq!(choices["rules"][key], word, "{choices}");
    }
    let also: &Value = &choices["also"][0];
    assert_eq!(also["facing"], "tail_first", "{choices}");
    assert!((also["placement"].as_f64().unwrap() - 18.0 * 0.3048).abs() < 1e-9);
}

#[test]
fn one_variant_is_one_report_and_none_named_is_all_of_them() {
    let one = fit(&["--json"]).json();
    assert_eq!(one["reports"].as_array().unwrap().len(), 1);
    let profile = pickup();
    let variants = demo::read(&profile).variants.len();
    let carrier = piece("carrier-22000");
    let all = run([
        "fit".as_ref(),
        profile.as_os_str(),
        "--with".as_ref(),
        carrier.as_os_str(),
        "--json".as_ref(),
    ]);
    assert_eq!(all.json()["reports"].as_array().unwrap().len(), variants);
    let unknown = run([
        "fit".as_ref(),
        profile.as_os_str(),
        "--variant".as_ref(),
        "huge".as_ref(),
    ]);
    unknown.expect(2);
    assert!(unknown.stderr.contains("extended"), "{}", unknown.stderr);
}

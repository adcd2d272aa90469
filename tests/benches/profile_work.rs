//! What work on profiles costs, beside the aims and beside two other validators.
//!
//! `cargo bench -p chockstone-tests` prints the table.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a measurement has nobody to hand an error to"
)]

use std::{fs, path::Path, time::Duration};

use chockstone_rules::check_profile;
use chockstone_schema::{
    Profile, json_schema,
    read::{Notation, read, read_file, to_canonical, to_value},
};
use chockstone_tests::{
    demo,
    measure::{best, best_of_three, head, row},
    outside,
};
use rayon::prelude::*;
use serde_json::{Value, json};

/// Profiles in the folder that is checked as a whole.
const COPIES: usize = 1000;
/// The aim for reading, validating and checking one profile.
const AIM_ONE: Duration = Duration::from_millis(2);
/// The aim for a folder of [`COPIES`] profiles.
const AIM_FOLDER: Duration = Duration::from_secs(2);

fn main() {
    // `cargo test --benches` starts benches as well; measuring unoptimised code would mean nothing.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    let largest = demo::complete()
        .into_iter()
        .max_by_key(|p| fs::metadata(p).unwrap().len())
        .unwrap();
    let profile = demo::read(&largest);
    let ron = fs::read(&largest).unwrap();
    let json = to_canonical(&profile);
    println!(
        "{}: {} bytes of RON, {} bytes of canonical JSON",
        demo::name(&largest),
        ron.len(),
        json.len()
    );
    head();
    one_profile(&profile, &ron, &json);
    folder(&largest);
    against_others(&to_value(&profile));
}

fn read_and_check(bytes: &[u8], notation: Notation) -> usize {
    let profile: Profile = read("bench", bytes, notation).unwrap();
    check_profile(&profile).len()
}

fn one_profile(profile: &Profile, ron: &[u8], json: &[u8]) {
    let validator = &json_schema::profile().validator;
    let value = to_value(profile);
    row(
        "parsing JSON into a plain value",
        best(|| serde_json::from_slice::<Value>(json).unwrap()),
        None,
    );
    row(
        "schema validation of a plain value",
        best(|| assert!(validator.is_valid(&value))),
        None,
    );
    row(
        "reading JSON, schema validation and references",
        best(|| read::<Profile>("bench", json, Notation::Json)),
        None,
    );
    row(
        "reading RON, schema validation and references",
        best(|| read::<Profile>("bench", ron, Notation::Ron)),
        None,
    );
    row("every check", best(|| check_profile(profile)), None);
    row(
        "JSON: reading, validation and every check",
        best(|| read_and_check(json, Notation::Json)),
        Some(AIM_ONE),
    );
    row(
        "RON: reading, validation and every check",
        best(|| read_and_check(ron, Notation::Ron)),
        Some(AIM_ONE),
    );
    row(
        "writing canonical JSON",
        best(|| to_canonical(profile)),
        None,
    );
}

fn folder(profile: &Path) {
    let folder = tempfile::tempdir().unwrap();
    let paths: Vec<_> = (0..COPIES)
        .map(|i| folder.path().join(format!("copy-{i:04}.profile.ron")))
        .collect();
    for path in &paths {
        fs::copy(profile, path).unwrap();
    }
    let check =
        |path: &std::path::PathBuf| check_profile(&read_file::<Profile>(path).unwrap()).len();
    let threads = rayon::current_num_threads();
    row(
        &format!("a folder of {COPIES} RON files on {threads} threads"),
        best_of_three(|| paths.par_iter().map(check).sum::<usize>()),
        Some(AIM_FOLDER),
    );
}

/// The same document and the same schema, validated by each validator's own loop inside one process.
fn against_others(value: &Value) {
    let validator = &json_schema::profile().validator;
    let ours = best(|| assert!(validator.is_valid(value))).as_secs_f64();
    for (name, script) in outside::schema_validators() {
        let question = json!({
            "schema": json_schema::profile().published,
            "documents": [{"name": "bench", "document": value}],
            "repeat": if name == "ajv" { 2000 } else { 20 },
        });
        let seconds = script.ask(&question)["seconds"].as_f64().unwrap();
        let label = format!("the same validation by {name}");
        row(&label, Duration::from_secs_f64(seconds), None);
        println!(
            "{:<58} {:>11.2}×",
            format!("  {name}'s time over ours"),
            seconds / ours
        );
    }
}

//! What comparing two versions costs, beside the aim and beside `git diff` on the same two files.
//!
//! `cargo bench -p chockstone-tests --bench difference_work` prints the table.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a measurement has nobody to hand an error to"
)]

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Duration,
};

use chockstone_library::{difference::of_values, patch::patch, releases};
use chockstone_schema::{
    Profile,
    read::{to_canonical, to_value},
};
use chockstone_tests::{
    demo,
    measure::{best, head, row},
    program,
};
use serde_json::Value;

/// The aim for the difference of two profiles of 60 kB.
const AIM: Duration = Duration::from_millis(1);
/// The size that the aim is about, in bytes of canonical JSON.
const SIZE: usize = 60_000;

fn main() {
    // `cargo test --benches` starts benches as well; measuring unoptimised code would mean nothing.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    let pair = ["1.0.0", "2.0.0"].map(release);
    let values = pair.each_ref().map(to_value);
    let small = values.clone().map(shortened);
    head();
    for (name, [a, b], aim) in [
        ("two releases of the pickup", &values, None),
        ("the same, cut to 60 kB", &small, Some(AIM)),
    ] {
        let bytes = a.to_string().len().max(b.to_string().len());
        let changes = of_values(a, b).changes.len();
        row(
            &format!("difference of {name}: {bytes} bytes, {changes} changes"),
            best(|| of_values(a, b)),
            aim,
        );
    }
    let [a, b] = &pair;
    row("  as a JSON Patch", best(|| patch(a, b)), None);
    as_processes(&pair);
}

fn release(number: &str) -> Profile {
    let id = "brackwater-tolliver-crew";
    let file = format!("releases/{id}/{id}-{number}.zip");
    releases::read_profile(&demo::library().join(file)).unwrap()
}

/// Without the last elements of its longest lists, until it is smaller than the size that the aim is about.
fn shortened(mut profile: Value) -> Value {
    while profile.to_string().len() > SIZE {
        let lists = profile.as_object_mut().unwrap().values_mut();
        let lists = lists.filter_map(Value::as_array_mut);
        let longest = lists.max_by_key(|list| Value::from((*list).clone()).to_string().len());
        longest.and_then(Vec::pop).expect("a list is left");
    }
    profile
}

/// Two whole programs on the same two files, JSON with one value a line, as git compares it best.
fn as_processes(pair: &[Profile; 2]) {
    let folder = tempfile::tempdir().unwrap();
    let files = ["a.profile.json", "b.profile.json"].map(|name| folder.path().join(name));
    for (file, profile) in files.iter().zip(pair) {
        let value: Value = serde_json::from_slice(&to_canonical(profile)).unwrap();
        fs::write(file, serde_json::to_string_pretty(&value).unwrap()).unwrap();
    }
    let [a, b] = files.each_ref().map(PathBuf::as_path);
    let ours = best(|| quiet(program::path(), &["diff", "--without-effects"], [a, b]));
    let git = best(|| quiet(Path::new("git"), &["diff", "--no-index"], [a, b]));
    row(
        "the program diff, without effects, as a process",
        ours,
        None,
    );
    row("git diff --no-index, as a process", git, None);
    println!(
        "{:<58} {:>11.2}×",
        "  our time over git's",
        ours.as_secs_f64() / git.as_secs_f64()
    );
}

fn quiet(program: &Path, options: &[&str], files: [&Path; 2]) {
    let mut command = Command::new(program);
    command.args(options).args(files).stdout(Stdio::null());
    // Both say by their status that the files are not the same.
    assert_eq!(command.status().unwrap().code(), Some(1));
}

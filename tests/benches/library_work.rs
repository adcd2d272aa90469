//! What work on a library of ten thousand profiles costs, and verifying beside `bagit` and `ssh-keygen`.
//!
//! `cargo bench -p chockstone-tests --bench library_work` prints the table.

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
    time::{Duration, Instant},
};

use chockstone_library::{
    shelf::{Search, Shelf},
    verify::{Trust, verify_file_for},
};
use chockstone_schema::{date::Moment, signature::AllowedSigners, vin::Vin};
use chockstone_tests::{
    association::Association,
    demo,
    measure::{best, head, row},
    outside, tell,
};
use rayon::prelude::*;
use serde_json::json;

/// Profiles in the library.
const PROFILES: usize = 10_000;
/// Bundles that are verified by this program, and by the others.
const BUNDLES: usize = 1000;
const BY_OTHERS: usize = 20;
/// The aim for whatever a person waits for with the library in memory.
const AIM_WARM: Duration = Duration::from_millis(200);
/// The aim for reading and checking all of it.
const AIM_COLD: Duration = Duration::from_secs(15);

fn now() -> Moment {
    Moment::new("2026-03-14T09:26:53Z").unwrap()
}

fn main() {
    // `cargo test --benches` starts benches as well; measuring unoptimised code would mean nothing.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    head();
    library();
    verifying();
}

fn library() {
    let folder = tempfile::tempdir().unwrap();
    let smallest = demo::complete()
        .into_iter()
        .min_by_key(|p| fs::metadata(p).unwrap().len());
    let profile = smallest.unwrap();
    let id = demo::read(&profile).id.to_string();
    let text = fs::read_to_string(&profile).unwrap();
    (0..PROFILES).into_par_iter().for_each(|i| {
        let own = text.replacen(&format!("\"{id}\""), &format!("\"{id}-{i}\""), 1);
        fs::write(folder.path().join(format!("{i}.profile.ron")), own).unwrap();
    });
    let started = Instant::now();
    let mut shelf = Shelf::read(folder.path(), now()).unwrap();
    row(
        "10,000 profiles: read, validated and checked, cold",
        started.elapsed(),
        Some(AIM_COLD),
    );
    assert_eq!(shelf.vehicles.len(), PROFILES);
    let words = Search {
        words: vec!["aluminium".to_owned(), "tindle-99".to_owned()],
        ..Search::default()
    };
    row(
        "search by words, warm",
        best(|| shelf.find(&words).len()),
        Some(AIM_WARM),
    );
    let number = Search {
        vin: Some(Vin::new("1G4AH59H45G118341").unwrap()),
        ..Search::default()
    };
    row(
        "search by a vehicle's number, warm",
        best(|| shelf.find(&number).len()),
        Some(AIM_WARM),
    );
    let day = now().date();
    // Every profile claims the same vehicles here, so all pairs would be told; a library has few.
    for vehicle in shelf.vehicles.iter_mut().skip(1) {
        vehicle.kept.vin_patterns.clear();
    }
    row(
        "what has gone stale, warm",
        best(|| shelf.stale(day, 12).old_sources.len()),
        Some(AIM_WARM),
    );
    if let Some(kilobytes) = most_memory() {
        tell(&format!(
            "most memory: {} MB; the aim is 400 MB",
            kilobytes / 1000
        ));
    }
}

/// The most memory that this process ever had, in kB, where the system tells it.
fn most_memory() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))?;
    line.split_whitespace().next()?.parse().ok()
}

/// Verifies bundles by this program, and by `bagit` with `ssh-keygen`, and tells how often faster it is.
fn verifying() {
    let folder = tempfile::tempdir().unwrap();
    let Some(people) = Association::new(folder.path()) else {
        return;
    };
    let library = people.library("library", 0);
    let profile = library.join(demo::name(demo::complete().first().unwrap()));
    let arguments = ["publish", profile.to_str().unwrap(), "--library", "library"];
    let released = people.json(
        0,
        &[&arguments[..], &["--key", "ana", "--keeper", "kim"]].concat(),
    );
    let bundle = people.folder().join(released["bundle"].as_str().unwrap());
    let line = people.line("ana", "");
    let signers = AllowedSigners::parse(&line).unwrap();
    let started = Instant::now();
    let good = (0..BUNDLES)
        .into_par_iter()
        .filter(|_| verify_file_for(&bundle, Trust::Signers(&signers), now()).is_ok_and(|r| r.good))
        .count();
    let ours = started.elapsed();
    assert_eq!(good, BUNDLES);
    row("1,000 bundles verified, signatures and all", ours, None);
    fs::write(people.folder().join("signers"), line).unwrap();
    if let Some(theirs) = by_others(&people, &bundle) {
        row(
            "one of them by bagit.py --validate and ssh-keygen",
            theirs,
            None,
        );
        let ratio = theirs.as_secs_f64() * BUNDLES as f64 / ours.as_secs_f64();
        tell(&format!(
            "verifying: {ratio:.0} times as fast; the aim is 20 times"
        ));
    }
}

/// The time that the others take for one bundle, unpacked before.
fn by_others(people: &Association, bundle: &Path) -> Option<Duration> {
    let script = outside::python("bag_validate.py")?;
    let into = people.folder().join("unpacked");
    let answer = script.ask(&json!({"bundles": [{"bundle": bundle, "into": into}]}));
    let result = answer["results"].as_array()?.first()?.clone();
    let bag = PathBuf::from(result["folder"].as_str()?);
    let signature = fs::read_dir(&bag).unwrap().find_map(|entry| {
        let path = entry.unwrap().path();
        path.extension().is_some_and(|e| e == "sig").then_some(path)
    })?;
    let started = Instant::now();
    for _ in 0..BY_OTHERS {
        let mut bagit = script.command();
        let interpreter = bagit.get_program().to_owned();
        bagit = Command::new(interpreter);
        bagit
            .args(["-m", "bagit", "--validate", "--quiet"])
            .arg(&bag);
        assert!(bagit.status().unwrap().success());
        let message = fs::File::open(bag.join("tagmanifest-sha256.txt")).unwrap();
        let verified = Command::new("ssh-keygen")
            .args([
                "-Y",
                "verify",
                "-f",
                "signers",
                "-I",
                "ana@example.org",
                "-n",
                "release@chockstone",
                "-s",
            ])
            .arg(&signature)
            .current_dir(people.folder())
            .stdin(message)
            .stdout(Stdio::null())
            .status();
        assert!(verified.unwrap().success());
    }
    Some(started.elapsed() / u32::try_from(BY_OTHERS).unwrap())
}

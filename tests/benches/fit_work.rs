//! What a fit costs, beside the aims.
//!
//! `cargo bench -p chockstone-tests --bench fit_work` prints the table.

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
    time::Duration,
};

use chockstone_rules::fit::{Vehicle, general};
use chockstone_schema::{Equipment, Profile, read::read_file, report::FitChoices};
use chockstone_tests::{
    demo,
    measure::{best, best_of_three, head, row},
};
use rayon::prelude::*;

/// Profiles of the library that is fitted as a whole.
const PROFILES: usize = 1000;
/// Pieces of equipment that each of them is held against.
const PIECES: usize = 10;
/// The aim for one full fit, so that every frame of a drag can compute one.
const AIM_ONE: Duration = Duration::from_millis(1);
/// The aim for the whole library on two cores.
const AIM_LIBRARY: Duration = Duration::from_secs(10);

/// What one full fit holds a vehicle against: one carrier with its winch, one wrecker, dollies and a set of straps.
const FULL: [&str; 4] = [
    "carrier-26000",
    "wrecker-wheel-lift",
    "dollies-heavy",
    "straps-soft",
];
/// What each topic takes part in by, for a table of where the time goes.
const ALONE: [(&str, &[&str]); 7] = [
    ("carrier: carrying, winching, clearing", &["carrier-26000"]),
    (
        "carrier and straps: securing too",
        &["carrier-26000", "straps-soft"],
    ),
    (
        "carrier and wheel straps: securing too",
        &["carrier-26000", "straps-wheel"],
    ),
    (
        "wrecker and dollies: towing, winching",
        &["wrecker-wheel-lift", "dollies-heavy"],
    ),
    ("two-post lift: lifting", &["lift-two-post"]),
    ("jack and stands: lifting", &["jack-and-stands"]),
    ("no equipment: what every fit begins with", &[]),
];

fn main() {
    // `cargo test --benches` starts benches as well; measuring unoptimised code would mean nothing.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    let equipment: Vec<Equipment> = demo::equipment()
        .iter()
        .map(|path| read_file(path).unwrap())
        .collect();
    head();
    for path in demo::complete() {
        one_vehicle(&path, &equipment);
    }
    library(&equipment);
}

fn chosen<'e>(equipment: &'e [Equipment], ids: &[&str]) -> Vec<&'e Equipment> {
    let by_id = |id: &&str| equipment.iter().find(|e| e.id.as_str() == *id).unwrap();
    ids.iter().map(by_id).collect()
}

/// A carrier without what a topic needs of it; what is saved is the topic's time.
fn stripped(carrier: &Equipment) -> [(&'static str, Equipment); 2] {
    let mut without_winch = carrier.clone();
    without_winch.winch = None;
    let mut only_deck = without_winch.clone();
    if let Some(deck) = &mut only_deck.deck {
        deck.tilt_angle = None;
    }
    [
        (
            "carrier without its winch: carrying, clearing",
            without_winch,
        ),
        ("and without its tilt: carrying", only_deck),
    ]
}

fn one_vehicle(path: &Path, equipment: &[Equipment]) {
    let profile = demo::read(path);
    let name = profile.identity.model.to_string();
    let vehicle = Vehicle::all(&profile).pop().unwrap();
    let choices = FitChoices::default();
    let fit = |ids: &[&str]| {
        let pieces = chosen(equipment, ids);
        best(|| vehicle.fit(&pieces, &[], &choices))
    };
    row(&format!("{name}: one full fit"), fit(&FULL), Some(AIM_ONE));
    for (what, ids) in ALONE {
        row(&format!("  {what}"), fit(ids), None);
    }
    for (what, carrier) in stripped(chosen(equipment, &["carrier-26000"])[0]) {
        let time = best(|| vehicle.fit(&[&carrier], &[], &choices));
        row(&format!("  {what}"), time, None);
    }
    row(
        "  the vehicle itself, once for all fits",
        best(|| Vehicle::new(&profile, vehicle.variant())),
        None,
    );
    row(
        "  results of a release, all variants",
        best(|| general(&profile)),
        None,
    );
}

/// A folder of profiles, each read, and each held against every piece by itself.
fn library(equipment: &[Equipment]) {
    let folder = tempfile::tempdir().unwrap();
    let complete = demo::complete();
    let copy = |i: usize| {
        let path = folder.path().join(format!("copy-{i:04}.profile.ron"));
        fs::copy(&complete[i % complete.len()], &path).unwrap();
        path
    };
    let paths: Vec<PathBuf> = (0..PROFILES).map(copy).collect();
    let pieces: Vec<&Equipment> = equipment.iter().take(PIECES).collect();
    let threads = rayon::current_num_threads();
    row(
        &format!("{PROFILES} profiles, {PIECES} pieces each, read and fitted, {threads} threads"),
        best_of_three(|| {
            let each = |path: &PathBuf| fit_each(path, &pieces);
            paths.par_iter().map(each).sum::<usize>()
        }),
        Some(AIM_LIBRARY),
    );
}

/// How many rows came of it, so that nothing can be left out.
fn fit_each(path: &Path, pieces: &[&Equipment]) -> usize {
    let profile: Profile = read_file(path).unwrap();
    let choices = FitChoices::default();
    let vehicles = Vehicle::all(&profile);
    let reports = vehicles.iter().flat_map(|vehicle| {
        let one = |piece: &&Equipment| vehicle.fit(&[piece], &[], &choices);
        pieces.iter().map(one)
    });
    reports.map(|report| report.findings.len()).sum()
}

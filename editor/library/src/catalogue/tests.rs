#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use std::cell::RefCell;

use chockstone_schema::text::Label;
use serde_json::json;

use super::*;
use crate::{
    signing::SigningKey,
    testing::{day, key, number},
};

/// A library in memory.
#[derive(Default)]
struct Memory(RefCell<BTreeMap<String, Vec<u8>>>);

impl Source for Memory {
    fn get(&self, name: &str, _: usize) -> io::Result<Option<Vec<u8>>> {
        Ok(self.0.borrow().get(name).cloned())
    }
}

impl Memory {
    fn put(&self, files: Vec<(String, Vec<u8>)>) {
        self.0.borrow_mut().extend(files);
    }
}

fn at(text: &str) -> Moment {
    Moment::new(text).unwrap()
}

const NOW: &str = "2026-06-01T00:00:00Z";

fn keeper(seed: u8) -> SigningKey {
    let text = key(seed, "keeper")
        .to_openssh(ssh_key::LineEnding::LF)
        .unwrap();
    SigningKey::read(text.as_bytes(), || None).unwrap()
}

fn keepers() -> AllowedSigners {
    let public = key(1, "").public_key().to_openssh().unwrap();
    AllowedSigners::parse(&format!("keeper@example.org {public}")).unwrap()
}

fn releases_of(id: &str, numbers: &[&str]) -> VehicleReleases {
    let releases = numbers.iter().map(|n| ListedRelease {
        number: number(n),
        day: day(),
        bundle: file_of(n.as_bytes()),
        withdrawn: None,
    });
    VehicleReleases {
        id: Id::new(id).unwrap(),
        maker: Label::new("Example Works").unwrap(),
        model: Label::new("One").unwrap(),
        model_years: None,
        releases: releases.collect(),
    }
}

/// A library of some vehicles with one release each.
fn library(vehicles: usize) -> Memory {
    let memory = Memory::default();
    let rules = r#"(format: "1.0", name: "Example library", catalogue_days: 30,
        reviews: (first_release: 1, can_hurt: 1, new_to_know: 1, wording: 0))"#;
    memory.put(vec![(POLICY.to_owned(), rules.as_bytes().to_vec())]);
    let all: Vec<_> = (0..vehicles)
        .map(|i| releases_of(&format!("vehicle-{i}"), &["1.0.0"]))
        .collect();
    memory.put(update(&memory, &all, &keeper(1), at(NOW)).unwrap().files);
    memory
}

fn open(memory: &Memory, seen: Option<u64>, now: &str) -> Result<Snapshot, String> {
    let opened = Catalogue::open(memory, &keepers(), seen, at(now));
    opened
        .map(|c| c.snapshot.clone())
        .map_err(|e| e.to_string())
}

#[test]
fn what_was_entered_is_found_and_held_against_the_snapshot() {
    let memory = library(40);
    let keepers = keepers();
    let catalogue = Catalogue::open(&memory, &keepers, None, at(NOW)).unwrap();
    assert_eq!(catalogue.vehicles().unwrap().len(), 40);
    let id = Id::new("vehicle-7").unwrap();
    let found = catalogue.vehicle(&id).unwrap().unwrap();
    assert_eq!(found, releases_of("vehicle-7", &["1.0.0"]));
    assert_eq!(catalogue.vehicle(&Id::new("other").unwrap()).unwrap(), None);
    let release = &found.releases[0];
    let missing = catalogue.bundle(&id, release).unwrap_err().to_string();
    assert!(missing.contains("is missing"), "{missing}");
    memory.put(vec![(
        "releases/vehicle-7/vehicle-7-1.0.0.zip".to_owned(),
        b"1.0.0".to_vec(),
    )]);
    assert_eq!(catalogue.bundle(&id, release).unwrap(), b"1.0.0");
}

#[test]
fn one_release_touches_three_files_however_large_the_library_is() {
    for vehicles in [1, 40, 1_000] {
        let memory = library(vehicles);
        let one = releases_of("vehicle-0", &["1.0.0", "1.1.0"]);
        let next = update(&memory, &[one], &keeper(1), at(NOW)).unwrap();
        assert_eq!(next.files.len(), 3, "{vehicles}");
        assert_eq!(next.files[2].0, SNAPSHOT);
        assert_eq!(next.number, 2);
    }
}

#[test]
fn a_replayed_snapshot_and_one_past_its_end_are_refused() {
    let memory = library(3);
    let old = memory.0.borrow().get(SNAPSHOT).cloned().unwrap();
    let one = releases_of("vehicle-0", &["1.0.0", "2.0.0"]);
    memory.put(update(&memory, &[one], &keeper(1), at(NOW)).unwrap().files);
    assert_eq!(open(&memory, Some(2), NOW).unwrap().number, 2);
    memory.put(vec![(SNAPSHOT.to_owned(), old)]);
    assert!(
        open(&memory, Some(2), NOW)
            .unwrap_err()
            .contains("rolled back")
    );
    assert!(open(&memory, None, "2026-07-01T00:00:00Z").is_ok());
    let frozen = open(&memory, None, "2026-07-01T00:00:01Z").unwrap_err();
    assert!(frozen.contains("frozen"), "{frozen}");
}

#[test]
fn a_snapshot_that_no_keeper_signed_is_refused() {
    let memory = library(3);
    let forged = update(&memory, &[], &keeper(2), at(NOW)).unwrap();
    memory.put(forged.files);
    let refused = open(&memory, None, NOW).unwrap_err();
    assert!(
        refused.contains("not among those who may sign"),
        "{refused}"
    );
    let bare = json!({"signed": {}, "signatures": []})
        .to_string()
        .into_bytes();
    memory.put(vec![(SNAPSHOT.to_owned(), bare)]);
    assert!(open(&memory, None, NOW).is_err());
}

#[test]
fn any_byte_that_is_changed_anywhere_is_noticed() {
    let memory = library(6);
    // The rules that people change are no part of it; those that the snapshot names are.
    let mut names: Vec<String> = memory.0.borrow().keys().cloned().collect();
    names.retain(|name| name != POLICY);
    let read_all = || -> Result<(), CatalogueError> {
        let keepers = keepers();
        let catalogue = Catalogue::open(&memory, &keepers, Some(1), at(NOW))?;
        catalogue.policy()?;
        catalogue.vehicles().map(drop)
    };
    read_all().unwrap();
    for name in names {
        let good = memory.0.borrow().get(&name).cloned().unwrap();
        for i in 0..good.len() {
            let mut bad = good.clone();
            bad[i] ^= 1 << (i % 8);
            memory.put(vec![(name.clone(), bad)]);
            assert!(read_all().is_err(), "{name} byte {i}");
        }
        memory.put(vec![(name.clone(), good)]);
    }
}

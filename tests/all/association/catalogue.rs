//! A reader of a catalogue notices what is changed, missing, rolled back or frozen.

use std::{fs, path::Path};

use chockstone_tests::association::Association;

use super::{DATE, fresh, publish, text};
use chockstone_tests::demo;

/// A library with one release, sent to a folder that others read.
struct Sent {
    people: Association,
}

impl Sent {
    fn new(name: &str) -> Option<Self> {
        let people = Association::new(&fresh(name))?;
        let library = people.library("library", 0);
        publish(
            &people,
            0,
            &library.join(demo::name(&demo::complete()[0])),
            &library,
        );
        let sent = Self { people };
        fs::write(sent.at("keepers"), sent.people.line("kim", "")).unwrap();
        sent.push();
        Some(sent)
    }

    fn at(&self, name: &str) -> std::path::PathBuf {
        self.people.folder().join(name)
    }

    fn push(&self) {
        self.people.json(
            0,
            &[
                "library", "push", "library", "place", "--key", "kim", "--date", DATE,
            ],
        );
    }

    /// Pulls into a folder; why it is refused, where it is.
    fn pull(&self, mirror: &str, date: &str) -> Option<String> {
        let arguments = [
            "library",
            "pull",
            mirror,
            "place",
            "--keepers",
            "keepers",
            "--date",
            date,
            "--json",
        ];
        let ran = self.people.run(&arguments);
        let report = ran.json();
        let refused = report["refused"].as_str().map(str::to_owned);
        ran.expect(i32::from(refused.is_some()));
        assert_eq!(report["number"].is_null(), refused.is_some());
        refused
    }

    /// Withdraws the one release, which makes another snapshot, and sends that.
    fn withdraw(&self) {
        let id = demo::read(&demo::complete()[0]).id;
        let reason = "A lift point was measured wrongly.";
        let (id, date) = (id.as_str(), ["--date", DATE]);
        let arguments = [
            "library", "withdraw", "library", id, "1.0.0", "--reason", reason, "--key", "kim",
        ];
        self.people.json(0, &[&arguments[..], &date].concat());
        self.push();
    }
}

fn spoil(path: &Path) {
    let mut bytes = fs::read(path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 4;
    fs::write(path, bytes).unwrap();
}

fn files_below(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(files_below(&path));
        } else if !path.ends_with(".lock") {
            found.push(path);
        }
    }
    found.sort();
    found
}

#[test]
fn a_replayed_older_snapshot_and_a_frozen_one_are_refused() {
    let Some(sent) = Sent::new("replayed") else {
        return;
    };
    let snapshot = sent.at("place/catalogue/snapshot.json");
    let older = fs::read(&snapshot).unwrap();
    sent.withdraw();
    assert_eq!(sent.pull("mirror", DATE), None);
    let newer = fs::read(&snapshot).unwrap();
    fs::write(&snapshot, older).unwrap();
    let told = sent.pull("mirror", DATE).unwrap();
    assert!(told.contains("rolled back"), "{told}");
    fs::write(&snapshot, newer).unwrap();
    assert_eq!(sent.pull("mirror", DATE), None);
    // The rules give a snapshot thirty days.
    assert_eq!(sent.pull("mirror", "2026-04-13T09:26:53Z"), None);
    let told = sent.pull("mirror", "2026-04-13T09:26:54Z").unwrap();
    assert!(told.contains("frozen"), "{told}");
}

#[test]
fn no_file_of_a_library_is_changed_or_taken_away_unseen() {
    let Some(sent) = Sent::new("changed") else {
        return;
    };
    assert_eq!(sent.pull("mirror", DATE), None);
    let place = sent.at("place");
    for (i, path) in files_below(&place).into_iter().enumerate() {
        let good = fs::read(&path).unwrap();
        for change in [spoil as fn(&Path), |path| fs::remove_file(path).unwrap()] {
            change(&path);
            let mirror = format!("mirror-{i}");
            assert!(sent.pull(&mirror, DATE).is_some(), "{}", path.display());
            let whole = sent.at(&mirror).join("catalogue/snapshot.json");
            assert!(
                !whole.exists(),
                "{}: a snapshot became visible",
                path.display()
            );
            fs::write(&path, &good).unwrap();
        }
    }
    assert_eq!(sent.pull("mirror-again", DATE), None);
}

#[test]
fn a_catalogue_that_somebody_else_signed_is_refused() {
    let Some(sent) = Sent::new("strange") else {
        return;
    };
    fs::write(sent.at("keepers"), sent.people.line("ana", "")).unwrap();
    let told = sent.pull("mirror", DATE).unwrap();
    assert!(told.contains("not signed by a keeper"), "{told}");
    let report = sent.people.json(
        1,
        &[
            "library", "index", "library", "--key", "ana", "--date", DATE,
        ],
    );
    assert!(
        report["refused"][0]
            .as_str()
            .unwrap()
            .starts_with("No keeper of this library"),
        "{report}"
    );
}

#[test]
fn two_publishers_race_on_a_folder_and_neither_loses_a_release() {
    let Some(people) = Association::new(&fresh("folder-race")) else {
        return;
    };
    let library = people.library("library", 0);
    let profiles = demo::complete();
    // Both write into one and the same library, as on a share of the office.
    std::thread::scope(|scope| {
        for half in profiles.chunks(profiles.len().div_ceil(2)) {
            let (people, library) = (&people, &library);
            scope.spawn(move || {
                for profile in half {
                    publish(people, 0, &library.join(demo::name(profile)), library);
                }
            });
        }
    });
    let report = people.json(
        0,
        &[
            "library",
            "list",
            text(&library),
            "--state",
            "released",
            "--date",
            DATE,
        ],
    );
    assert_eq!(
        report["vehicles"].as_array().unwrap().len(),
        profiles.len(),
        "{report}"
    );
    assert_eq!(report["catalogue"]["number"], profiles.len(), "{report}");
}

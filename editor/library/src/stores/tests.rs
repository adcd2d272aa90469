#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use std::{
    fs,
    sync::atomic::{AtomicUsize, Ordering},
    thread,
};

use chockstone_schema::{codes::Sha256Hex, id::Id, report::FileOf, text::Label};

use super::*;
use crate::testing::{day, key, number};

const NOW: &str = "2026-06-01T00:00:00Z";

fn now() -> Moment {
    Moment::new(NOW).unwrap()
}

fn keeper() -> SigningKey {
    let text = key(1, "keeper")
        .to_openssh(ssh_key::LineEnding::LF)
        .unwrap();
    SigningKey::read(text.as_bytes(), || None).unwrap()
}

fn keepers() -> AllowedSigners {
    let public = key(1, "").public_key().to_openssh().unwrap();
    AllowedSigners::parse(&format!("keeper@example.org {public}")).unwrap()
}

/// A library in a folder with these releases, and bundles of a few made-up bytes.
fn library(releases: &[(&str, &str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let rules = r#"(format: "1.0", name: "Example library",
        reviews: (first_release: 1, can_hurt: 1, new_to_know: 1, wording: 0))"#;
    fs::write(folder.path().join("library.ron"), rules).unwrap();
    add(folder.path(), releases);
    folder
}

fn add(folder: &Path, releases: &[(&str, &str, &str)]) {
    let store = Folder::new(folder);
    let mut vehicles: BTreeMap<&str, VehicleReleases> = BTreeMap::new();
    for (id, release, contents) in releases {
        let id_ = Id::new(id).unwrap();
        let name = crate::releases::path_in_library(&id_, &number(release));
        store.put_new(&name, contents.as_bytes()).unwrap();
        let vehicle = vehicles.entry(id).or_insert_with(|| VehicleReleases {
            id: id_,
            maker: Label::new("Example Works").unwrap(),
            model: Label::new("One").unwrap(),
            model_years: None,
            releases: Vec::new(),
        });
        vehicle.releases.push(ListedRelease {
            number: number(release),
            day: day(),
            bundle: FileOf {
                sha256: Sha256Hex::of(contents.as_bytes()),
                size: contents.len() as u64,
            },
            withdrawn: None,
        });
    }
    let vehicles: Vec<_> = vehicles.into_values().collect();
    for (name, bytes) in update(&store, &vehicles, &keeper(), now()).unwrap().files {
        store.replace(&name, &bytes).unwrap();
    }
}

fn push_to(ours: &Path, theirs: &dyn Store) -> Result<Pushed, StoreError> {
    push(
        &Folder::new(ours),
        theirs,
        &keepers(),
        (&keeper(), Rules::Theirs),
        now(),
        &mut |_| true,
    )
}

/// Every release that a place's catalogue knows and whose bundle is there as it should be.
fn all_of(source: &dyn Source) -> Vec<String> {
    let keepers = keepers();
    let catalogue = Catalogue::open(source, &keepers, None, now()).unwrap();
    let mut found = Vec::new();
    for vehicle in catalogue.vehicles().unwrap() {
        for release in &vehicle.releases {
            catalogue.bundle(&vehicle.id, release).unwrap();
            found.push(format!("{} {}", vehicle.id, release.number));
        }
    }
    catalogue.policy().unwrap();
    found
}

#[test]
fn what_was_pushed_is_pulled_and_only_what_is_missing_is_sent() {
    let ours = library(&[
        ("van", "1.0.0", "a"),
        ("van", "1.1.0", "b"),
        ("car", "1.0.0", "c"),
    ]);
    let theirs = tempfile::tempdir().unwrap();
    let store = Folder::new(theirs.path());
    let first = push_to(ours.path(), &store).unwrap();
    assert_eq!((first.sent, first.number, first.retries), (3, 1, 0));
    assert_eq!(push_to(ours.path(), &store).unwrap().sent, 0);
    let mirror = tempfile::tempdir().unwrap();
    let pulled = pull(&store, mirror.path(), &keepers(), now(), &mut |_| true).unwrap();
    assert_eq!((pulled.fetched, pulled.number), (3, 1));
    assert_eq!(
        all_of(&Folder::new(mirror.path())),
        ["car 1.0.0", "van 1.0.0", "van 1.1.0"]
    );
    assert_eq!(
        fs::read(mirror.path().join("library.ron")).unwrap(),
        fs::read(ours.path().join("library.ron")).unwrap()
    );
    let again = pull(&store, mirror.path(), &keepers(), now(), &mut |_| true).unwrap();
    assert_eq!(again.fetched, 0);
}

#[test]
fn of_two_publishers_neither_loses_a_release() {
    let theirs = tempfile::tempdir().unwrap();
    let (one, two) = (library(&[]), library(&[]));
    let rounds = 12;
    let publish = |folder: &Path, who: usize| {
        let mut releases = Vec::new();
        for round in 0..rounds {
            let (id, contents) = (format!("vehicle-{who}-{round}"), format!("{who} {round}"));
            releases.push((id, contents));
            let last = releases.last().unwrap();
            add(
                folder,
                &[
                    (&last.0, "1.0.0", &last.1),
                    ("shared", &format!("{}.0.0", 2 * round + who + 1), &last.1),
                ],
            );
            let store = Folder::new(theirs.path());
            push_to(folder, &store).unwrap();
        }
    };
    thread::scope(|scope| {
        let first = scope.spawn(|| publish(one.path(), 0));
        publish(two.path(), 1);
        first.join().unwrap();
    });
    let found = all_of(&Folder::new(theirs.path()));
    let shared = found.iter().filter(|r| r.starts_with("shared ")).count();
    // Each publisher's own list of the shared vehicle holds only its newest release; the place has all of both.
    assert_eq!(found.len() - shared, 2 * rounds);
    assert_eq!(shared, 2 * rounds);
}

#[test]
fn the_same_number_with_other_contents_is_refused_and_nothing_is_lost() {
    let theirs = tempfile::tempdir().unwrap();
    let store = Folder::new(theirs.path());
    push_to(library(&[("van", "1.0.0", "a")]).path(), &store).unwrap();
    let error = push_to(library(&[("van", "1.0.0", "other")]).path(), &store).unwrap_err();
    assert!(matches!(error, StoreError::Taken(_)), "{error}");
    assert_eq!(all_of(&store), ["van 1.0.0"]);
}

/// A place that fails after so many writes.
struct Failing<'s> {
    store: &'s Folder,
    left: AtomicUsize,
}

impl Failing<'_> {
    fn write(&self) -> io::Result<()> {
        let left = self
            .left
            .fetch_update(Ordering::SeqCst, Ordering::SeqCst, |n| n.checked_sub(1));
        left.map(drop)
            .map_err(|_| io::Error::other("the connection broke off"))
    }
}

impl Source for Failing<'_> {
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>> {
        self.store.get(name, most)
    }
}

impl Store for Failing<'_> {
    fn put_new(&self, name: &str, bytes: &[u8]) -> io::Result<bool> {
        self.write()?;
        self.store.put_new(name, bytes)
    }
    fn tagged_snapshot(&self) -> io::Result<Option<Tagged>> {
        self.store.tagged_snapshot()
    }
    fn swap_snapshot(&self, expected: Option<&str>, bytes: &[u8]) -> io::Result<bool> {
        self.write()?;
        self.store.swap_snapshot(expected, bytes)
    }
}

#[test]
fn a_push_that_breaks_off_anywhere_leaves_a_whole_library_and_goes_on_later() {
    let ours = library(&[("van", "1.0.0", "a")]);
    let mut left = 0;
    loop {
        let theirs = tempfile::tempdir().unwrap();
        let store = Folder::new(theirs.path());
        push_to(ours.path(), &store).unwrap();
        let more = library(&[
            ("van", "1.0.0", "a"),
            ("van", "2.0.0", "b"),
            ("car", "1.0.0", "c"),
        ]);
        let failing = Failing {
            store: &store,
            left: AtomicUsize::new(left),
        };
        let pushed = push_to(more.path(), &failing);
        let found = all_of(&store);
        if pushed.is_ok() {
            assert_eq!(found, ["car 1.0.0", "van 1.0.0", "van 2.0.0"]);
            break;
        }
        assert_eq!(found, ["van 1.0.0"], "after {left} writes");
        push_to(more.path(), &store).unwrap();
        assert_eq!(all_of(&store).len(), 3, "after {left} writes");
        left += 1;
    }
    assert!(
        left >= 7,
        "two bundles, two vehicles, two bins and the snapshot: {left}"
    );
}

#[test]
fn a_bundle_that_was_changed_there_is_never_written_here() {
    let ours = library(&[("van", "1.0.0", "a")]);
    let theirs = tempfile::tempdir().unwrap();
    let store = Folder::new(theirs.path());
    push_to(ours.path(), &store).unwrap();
    fs::write(theirs.path().join("releases/van/van-1.0.0.zip"), "x").unwrap();
    let mirror = tempfile::tempdir().unwrap();
    let error = pull(&store, mirror.path(), &keepers(), now(), &mut |_| true).unwrap_err();
    assert!(error.to_string().contains("was changed"), "{error}");
    assert_eq!(fs::read_dir(mirror.path()).unwrap().count(), 0);
}

#[test]
fn a_library_that_was_rolled_back_is_not_pulled() {
    let ours = library(&[("van", "1.0.0", "a")]);
    let theirs = tempfile::tempdir().unwrap();
    let store = Folder::new(theirs.path());
    push_to(ours.path(), &store).unwrap();
    let old = fs::read(theirs.path().join(SNAPSHOT)).unwrap();
    add(ours.path(), &[("van", "2.0.0", "b")]);
    push_to(ours.path(), &store).unwrap();
    let mirror = tempfile::tempdir().unwrap();
    pull(&store, mirror.path(), &keepers(), now(), &mut |_| true).unwrap();
    fs::write(theirs.path().join(SNAPSHOT), old).unwrap();
    let error = pull(&store, mirror.path(), &keepers(), now(), &mut |_| true).unwrap_err();
    assert!(error.to_string().contains("rolled back"), "{error}");
}

#[test]
fn a_name_never_leads_out_of_the_folder() {
    let folder = tempfile::tempdir().unwrap();
    let store = Folder::new(folder.path());
    for name in ["../x", "/etc/x", "a/../../x", "a\\..\\x", "./x"] {
        let refused = store.put_new(name, b"x");
        assert!(
            refused.is_err() || !folder.path().parent().unwrap().join("x").exists(),
            "{name}"
        );
    }
    assert!(store.put_new("../x", b"x").is_err());
    assert!(store.get("../x", 10).is_err());
}

#[test]
fn a_person_can_stop_a_push() {
    let ours = library(&[("van", "1.0.0", "a"), ("van", "1.1.0", "b")]);
    let theirs = tempfile::tempdir().unwrap();
    let store = Folder::new(theirs.path());
    let mut heard = 0;
    let stopped = push(
        &Folder::new(ours.path()),
        &store,
        &keepers(),
        (&keeper(), Rules::Theirs),
        now(),
        &mut |_| {
            heard += 1;
            heard < 2
        },
    );
    assert!(matches!(stopped, Err(StoreError::Stopped)));
    assert_eq!(store.tagged_snapshot().unwrap(), None);
}

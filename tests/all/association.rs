//! The association's library, held against `ssh-keygen`, `bagit`, `jsonschema` and a store of PyPI's `moto`.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

use chockstone_tests::{association::Association, demo};
use serde_json::Value;

mod catalogue;
mod commands;
mod numbers;
mod reading;
mod signatures;
mod stores;

/// The moment of everything here.
const DATE: &str = "2026-03-14T09:26:53Z";

/// A folder of these tests' own, emptied first.
fn fresh(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("association-{name}"));
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    fs::create_dir_all(&folder).unwrap();
    folder
}

/// The text of a path.
fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Publishes a profile by Ana with Kim's key for the catalogue.
#[track_caller]
fn publish(people: &Association, status: i32, profile: &Path, library: &Path) -> Value {
    let (profile, library) = (text(profile), text(library));
    people.json(
        status,
        &[
            "publish",
            profile,
            "--library",
            library,
            "--key",
            "ana",
            "--keeper",
            "kim",
            "--date",
            DATE,
        ],
    )
}

/// Signs a bundle by a reviewer.
#[track_caller]
fn review(people: &Association, bundle: &str, who: &str) -> Value {
    people.json(
        0,
        &[
            "sign", bundle, "--key", who, "--as", "reviewer", "--date", DATE,
        ],
    )
}

/// A library in which every complete demo profile is released, reviewed by Ben and Eva.
struct Released {
    people: Association,
    library: PathBuf,
    bundles: Vec<PathBuf>,
}

static RELEASED: LazyLock<Option<Released>> = LazyLock::new(|| {
    let people = Association::new(&fresh("released"))?;
    let library = people.library("library", 2);
    let release = |profile: PathBuf| {
        let profile = library.join(demo::name(&profile));
        let waiting = publish(&people, 1, &profile, &library);
        let bundle = waiting["in_review"].as_str().unwrap().to_owned();
        review(&people, &bundle, "ben");
        review(&people, &bundle, "eva");
        let released = publish(&people, 0, Path::new(&bundle), &library);
        PathBuf::from(released["bundle"].as_str().unwrap())
    };
    let bundles = demo::complete().into_iter().map(release).collect();
    Some(Released {
        people,
        library,
        bundles,
    })
});

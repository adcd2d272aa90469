//! The demo library in `profiles/`.

use std::{
    fs,
    path::{Path, PathBuf},
};

use chockstone_schema::{Profile, read::read_file};

use crate::root;

/// The folder of the demo library.
pub fn library() -> PathBuf {
    root().join("profiles")
}

/// The profiles that nothing blocks.
pub fn complete() -> Vec<PathBuf> {
    let found = ending_in(&library(), ".profile.ron", |name| !is_draft(name));
    assert_eq!(
        found.len(),
        4,
        "the demo library has four complete profiles: {found:?}"
    );
    found
}

/// The profile with honest faults.
pub fn draft() -> PathBuf {
    let found = ending_in(&library(), ".profile.ron", is_draft);
    assert_eq!(found.len(), 1, "the demo library has one draft: {found:?}");
    found[0].clone()
}

/// The equipment files.
pub fn equipment() -> Vec<PathBuf> {
    let found = ending_in(&library().join("equipment"), ".equipment.ron", |_| true);
    assert!(!found.is_empty(), "the demo library has equipment");
    found
}

/// Reads one of the demo profiles.
#[track_caller]
pub fn read(path: &Path) -> Profile {
    read_file(path).unwrap_or_else(|e| panic!("{e}"))
}

/// A file's name without its folders.
pub fn name(path: &Path) -> String {
    path.file_name()
        .expect("a file has a name")
        .to_string_lossy()
        .into_owned()
}

fn is_draft(name: &str) -> bool {
    name.contains("-draft.")
}

fn ending_in(folder: &Path, ending: &str, fits: fn(&str) -> bool) -> Vec<PathBuf> {
    let entries = fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display()));
    let mut found: Vec<PathBuf> = entries
        .map(|e| e.expect("the folder is readable").path())
        .collect();
    found.retain(|path| name(path).ends_with(ending) && fits(&name(path)));
    found.sort();
    found
}

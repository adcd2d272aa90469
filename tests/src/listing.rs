//! Listings of folders, to see that nothing was written.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    time::SystemTime,
};

/// Everything in a folder and the folders in it: time of change and, of a file, its bytes.
pub type Listing = BTreeMap<PathBuf, (Option<SystemTime>, Vec<u8>)>;

/// Lists a folder.
pub fn list(folder: &Path) -> Listing {
    let mut listing = Listing::new();
    visit(folder, &mut listing);
    listing
}

fn visit(folder: &Path, listing: &mut Listing) {
    for entry in fs::read_dir(folder).unwrap_or_else(|e| panic!("{}: {e}", folder.display())) {
        let path = entry.expect("the folder is readable").path();
        let metadata = fs::symlink_metadata(&path).expect("a listed file is there");
        let bytes = if metadata.is_file() {
            fs::read(&path).expect("a listed file is readable")
        } else {
            Vec::new()
        };
        listing.insert(path.clone(), (metadata.modified().ok(), bytes));
        if metadata.is_dir() {
            visit(&path, listing);
        }
    }
}

/// Asserts that a folder is as it was, naming what is not.
#[track_caller]
pub fn assert_unchanged(folder: &Path, before: &Listing) {
    let after = list(folder);
    let differs = |path: &&PathBuf| before.get(*path) != after.get(*path);
    let changed: Vec<_> = before.keys().chain(after.keys()).filter(differs).collect();
    assert!(
        changed.is_empty(),
        "these were written, changed or removed: {changed:?}"
    );
}

//! Which equipment both sides are computed with.

use std::path::{Path, PathBuf};

use chockstone_schema::Equipment;

use crate::cli::fit::read_equipment;

/// The folder of equipment in a library.
const FOLDER: &str = "equipment";
/// How many folders up a library is looked for: a bundle lies in `releases/ID` of its library.
const FARTHEST: usize = 3;

/// The equipment that was named, or that of the library which the newer or else the older side lies in.
pub(super) fn for_sides(named: &[PathBuf], [a, b]: [&Path; 2]) -> Result<Vec<Equipment>, String> {
    if !named.is_empty() {
        return read_equipment(named);
    }
    let found = beside(b).or_else(|| beside(a));
    found.map_or_else(|| Ok(Vec::new()), |folder| read_equipment(&[folder]))
}

/// The folder of equipment of the library that a file lies in, if it holds any.
fn beside(file: &Path) -> Option<PathBuf> {
    let file = std::path::absolute(file).ok()?;
    let folders = file.ancestors().skip(1).take(FARTHEST);
    let mut inside = folders.map(|folder| folder.join(FOLDER));
    inside
        .find(|folder| chockstone_library::files::find(folder).is_ok_and(|files| !files.is_empty()))
}

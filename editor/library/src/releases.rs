//! Where a library keeps its releases: `releases/ID/ID-X.Y.Z.zip`.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use chockstone_schema::{codes::ReleaseNumber, id::Id};

/// The folder of releases in a library.
pub const FOLDER: &str = "releases";

/// The name of a bundle's file inside a library, with `/` between folders.
pub fn path_in_library(profile: &Id, release: &ReleaseNumber) -> String {
    format!("{FOLDER}/{profile}/{}", name(profile, release))
}

/// The file of one release.
pub fn file(library: &Path, profile: &Id, release: &ReleaseNumber) -> PathBuf {
    library
        .join(FOLDER)
        .join(profile.as_str())
        .join(name(profile, release))
}

/// The name of a bundle, which is also its top folder with `.zip` taken off.
pub fn name(profile: &Id, release: &ReleaseNumber) -> String {
    format!("{profile}-{release}.zip")
}

/// The releases of a profile in a library, oldest first. A library without any yields none.
pub fn of(library: &Path, profile: &Id) -> io::Result<Vec<ReleaseNumber>> {
    let folder = library.join(FOLDER).join(profile.as_str());
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(error),
    };
    let mut found = Vec::new();
    for entry in entries {
        let name = entry?.file_name();
        let number = name
            .to_str()
            .and_then(|n| {
                n.strip_prefix(profile.as_str())?
                    .strip_prefix('-')?
                    .strip_suffix(".zip")
            })
            .and_then(|n| ReleaseNumber::new(n).ok());
        found.extend(number);
    }
    found.sort_by_key(ReleaseNumber::parts);
    Ok(found)
}

/// The number that the next release takes when nobody names one.
///
/// Until differences are graded the safe assumption is that somebody who acts on the older release could be hurt, so
/// the first number grows.
pub fn next(existing: &[ReleaseNumber]) -> ReleaseNumber {
    let first = existing
        .iter()
        .map(|r| r.parts()[0])
        .max()
        .map_or(1, |f| f.saturating_add(1));
    ReleaseNumber::new(&format!("{first}.0.0")).unwrap_or_else(|_| unreachable_number())
}

#[expect(
    clippy::unreachable,
    reason = "three decimal numbers are always a release number"
)]
fn unreachable_number() -> ReleaseNumber {
    unreachable!("three decimal numbers are always a release number")
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    fn number(text: &str) -> ReleaseNumber {
        ReleaseNumber::new(text).unwrap()
    }

    #[test]
    fn releases_are_sorted_by_number_not_by_text() {
        let folder = tempfile::tempdir().unwrap();
        let id = Id::new("van").unwrap();
        for text in ["1.10.0", "1.2.0", "1.2.10"] {
            let path = file(folder.path(), &id, &number(text));
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        }
        fs::write(folder.path().join("releases/van/van-draft.zip"), "").unwrap();
        let found: Vec<String> = of(folder.path(), &id)
            .unwrap()
            .iter()
            .map(ToString::to_string)
            .collect();
        assert_eq!(found, ["1.2.0", "1.2.10", "1.10.0"]);
    }

    #[test]
    fn the_next_release_starts_at_one_and_grows_the_first_number() {
        assert_eq!(next(&[]), number("1.0.0"));
        assert_eq!(next(&[number("1.4.2"), number("2.0.1")]), number("3.0.0"));
    }
}

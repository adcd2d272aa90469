//! Where a library keeps its releases, `releases/ID/ID-X.Y.Z.zip`, what is in them, and which number comes next.

use std::{
    collections::BTreeMap,
    fs,
    io::{self, Read as _},
    path::{Path, PathBuf},
};

use chockstone_schema::{
    Profile,
    bundle::{BundleError, Limits, PROFILE_JSON, open},
    codes::ReleaseNumber,
    id::Id,
    read::{Notation, ReadError, read},
    report::Grade,
};

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
    bundles_in(&library.join(FOLDER).join(profile.as_str()), profile)
}

/// Every bundle in one of a library's folders of bundles, by profile and number.
pub fn all(library: &Path, folder: &str) -> io::Result<BTreeMap<Id, Vec<ReleaseNumber>>> {
    let mut found = BTreeMap::new();
    let entries = match fs::read_dir(library.join(folder)) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(found),
        Err(error) => return Err(error),
    };
    for entry in entries {
        let entry = entry?;
        let name = entry.file_name();
        let id = name.to_str().and_then(|name| Id::new(name).ok());
        if let Some(id) = id.filter(|_| entry.path().is_dir()) {
            let numbers = bundles_in(&entry.path(), &id)?;
            found.insert(id, numbers);
        }
    }
    found.retain(|_, numbers| !numbers.is_empty());
    Ok(found)
}

/// The bundles of a profile in a folder, oldest first.
pub(crate) fn bundles_in(folder: &Path, profile: &Id) -> io::Result<Vec<ReleaseNumber>> {
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

/// Why the profile in a bundle could not be read.
#[derive(Debug, thiserror::Error)]
pub enum ReleaseError {
    /// The file could not be read.
    #[error("{}: it could not be read: {error}", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The file is no bundle, or not everything in it is as its manifest says.
    #[error("{}: it is not a whole bundle: {error}", path.display())]
    Bundle {
        /// The file.
        path: PathBuf,
        /// What was found.
        error: BundleError,
    },
    /// The profile in it cannot be read.
    #[error(transparent)]
    Profile(#[from] ReadError),
}

/// Opens a bundle on disk, with every hash of its manifest, and reads the profile in it.
pub fn read_profile(path: &Path) -> Result<Profile, ReleaseError> {
    let limits = Limits::default();
    let bytes = read_bytes(path).map_err(|error| ReleaseError::Io {
        path: path.to_owned(),
        error,
    })?;
    let bundle = open(&bytes, &limits).map_err(|error| ReleaseError::Bundle {
        path: path.to_owned(),
        error,
    })?;
    // Opening refuses a bundle without this file.
    let json = bundle.payload.get(PROFILE_JSON).map(Vec::as_slice);
    let name = format!("{}#{PROFILE_JSON}", path.display());
    Ok(read(&name, json.unwrap_or_default(), Notation::Json)?)
}

/// The bytes of a bundle's file; of one that is too large, one byte more than may be opened.
pub(crate) fn read_bytes(path: &Path) -> io::Result<Vec<u8>> {
    let most = Limits::default().archive as u64 + 1;
    let mut bytes = Vec::new();
    fs::File::open(path)?.take(most).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// The number of a profile's first release.
pub fn first() -> ReleaseNumber {
    made([1, 0, 0]).unwrap_or_else(unreachable_number)
}

/// The least number that a release may have after `last`, for the worst grade of what changed since: the first number grows
/// when somebody who acts on the older release could be hurt, the second when there is something new to know, else the
/// third. `None` when a number of that size is no release number any more.
pub fn least(last: &ReleaseNumber, worst: Grade) -> Option<ReleaseNumber> {
    let [first, second, third] = last.parts();
    made(match worst {
        Grade::CanHurt => [first.checked_add(1)?, 0, 0],
        Grade::NewToKnow => [first, second.checked_add(1)?, 0],
        Grade::Wording => [first, second, third.checked_add(1)?],
    })
}

fn made([first, second, third]: [u32; 3]) -> Option<ReleaseNumber> {
    ReleaseNumber::new(&format!("{first}.{second}.{third}")).ok()
}

#[expect(
    clippy::unreachable,
    reason = "three small numbers are always a release number"
)]
fn unreachable_number() -> ReleaseNumber {
    unreachable!("three small numbers are always a release number")
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
    fn the_worst_grade_says_which_number_grows() {
        assert_eq!(first(), number("1.0.0"));
        for (last, worst, expected) in [
            ("1.4.2", Grade::CanHurt, "2.0.0"),
            ("1.4.2", Grade::NewToKnow, "1.5.0"),
            ("1.4.2", Grade::Wording, "1.4.3"),
            ("0.0.9", Grade::Wording, "0.0.10"),
        ] {
            assert_eq!(least(&number(last), worst), Some(number(expected)));
        }
    }

    #[test]
    fn the_largest_number_has_none_above_it() {
        let largest = number("999999999.999999999.999999999");
        for worst in Grade::ALL {
            assert_eq!(least(&largest, worst), None);
        }
    }

    #[test]
    fn a_file_that_is_no_bundle_says_so_with_its_name() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("van-1.0.0.zip");
        let told = read_profile(&path).unwrap_err().to_string();
        assert!(
            told.contains("van-1.0.0.zip: it could not be read"),
            "{told}"
        );
        fs::write(&path, b"PK").unwrap();
        let told = read_profile(&path).unwrap_err().to_string();
        assert!(
            told.contains("van-1.0.0.zip: it is not a whole bundle"),
            "{told}"
        );
    }
}

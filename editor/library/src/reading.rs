//! Reading a profile from wherever it is kept: a file of its own, or the bundle of a release.

use std::{fs::File, io::Read as _, path::Path};

use chockstone_schema::{
    Profile,
    bundle::{BundleError, Limits, PROFILE_JSON, open},
    read::{Notation, ReadError, read, read_file},
};

/// Why a profile could not be read.
#[derive(Debug, thiserror::Error)]
pub enum ReadingError {
    /// The profile, in a file of its own or in a bundle, has faults.
    #[error(transparent)]
    Profile(#[from] ReadError),
    /// The bundle cannot be opened.
    #[error("{file}: {error}")]
    Bundle {
        /// The bundle's file.
        file: String,
        /// What is wrong with it.
        error: BundleError,
    },
    /// The bundle could not be read from the disk, or holds no profile.
    #[error("{file}: {why}")]
    File {
        /// The bundle's file.
        file: String,
        /// Why, as a sentence.
        why: String,
    },
}

/// Reads the profile in a `.ron`, `.json` or `.zip` file. A bundle is opened with every check of its contents.
pub fn profile(path: &Path) -> Result<Profile, ReadingError> {
    let is_bundle = path
        .extension()
        .is_some_and(|ending| ending.eq_ignore_ascii_case("zip"));
    if is_bundle {
        bundled(path)
    } else {
        Ok(read_file(path)?)
    }
}

fn bundled(path: &Path) -> Result<Profile, ReadingError> {
    let file = path.display().to_string();
    let limits = Limits::default();
    let mut bytes = Vec::new();
    let most = limits.archive as u64 + 1;
    File::open(path)
        .and_then(|from| from.take(most).read_to_end(&mut bytes))
        .map_err(|error| ReadingError::File {
            file: file.clone(),
            why: format!("it could not be read: {error}"),
        })?;
    let bundle = open(&bytes, &limits).map_err(|error| ReadingError::Bundle {
        file: file.clone(),
        error,
    })?;
    let Some(inside) = bundle.payload.get(PROFILE_JSON) else {
        let why = format!("it holds no {PROFILE_JSON}");
        return Err(ReadingError::File { file, why });
    };
    Ok(read(
        &format!("{file}/{PROFILE_JSON}"),
        inside,
        Notation::Json,
    )?)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]
    use chockstone_schema::read::to_ron;

    use super::*;
    use crate::{
        contents,
        testing::{attachments, day, number, small},
    };

    #[test]
    fn a_profile_is_read_from_a_file_and_from_a_bundle() {
        let folder = tempfile::tempdir().unwrap();
        let alone = folder.path().join("small.profile.ron");
        std::fs::write(&alone, to_ron(&small())).unwrap();
        assert_eq!(profile(&alone).unwrap(), small());
        let bundle = folder.path().join("small-1.2.0.zip");
        let bytes = contents::bundle(&small(), &number("1.2.0"), day(), &attachments()).unwrap();
        std::fs::write(&bundle, bytes).unwrap();
        let released = profile(&bundle).unwrap();
        assert_eq!(released.release, Some(number("1.2.0")));
        assert_eq!(released.id, small().id);
    }

    #[test]
    fn what_cannot_be_read_is_told_with_its_file() {
        let folder = tempfile::tempdir().unwrap();
        for (name, bytes) in [
            ("broken.zip", "not an archive"),
            ("broken.profile.ron", "(format: "),
        ] {
            let path = folder.path().join(name);
            std::fs::write(&path, bytes).unwrap();
            let error = profile(&path).unwrap_err().to_string();
            assert!(error.contains(name), "{error}");
        }
        let gone = profile(&folder.path().join("gone.zip")).unwrap_err();
        assert!(gone.to_string().contains("it could not be read"), "{gone}");
    }
}

//! `chockstone diff` as git calls an external diff, for one file at a time.

use std::{
    env, fs, io,
    path::{Path, PathBuf},
};

use chockstone_library::releases;
use chockstone_schema::{
    Profile,
    read::{notation_of, read},
};

use super::{Arguments, Outcome, is_comparable, print_line, tell};

/// What git writes where there is no file.
const NOTHING: &str = "/dev/null";

/// What git calls an external diff with (git's manual, "GIT_EXTERNAL_DIFF": seven arguments; two more when the file was
/// renamed; the path alone when it is not merged yet).
#[derive(Debug)]
pub(super) struct Call<'c> {
    path: &'c Path,
    /// The older and the newer file; none when the path is not merged yet.
    files: Option<[&'c Path; 2]>,
}

impl<'c> Call<'c> {
    /// The call, if these are the arguments of one.
    pub(super) fn of(given: &'c [PathBuf]) -> Option<Self> {
        // Git counts the files for the program that it calls.
        let by_git = || env::var_os("GIT_DIFF_PATH_TOTAL").is_some();
        match given {
            [path] if by_git() => Some(Self { path, files: None }),
            [path, old, _, _, new, _, _, ..] => Some(Self {
                path,
                files: Some([old, new]),
            }),
            _ => None,
        }
    }
}

/// Tells what changed in one file. Whatever it finds, the outcome is good: git takes anything else for a failure and stops.
pub(super) fn run(arguments: &Arguments, call: &Call<'_>) -> io::Result<Outcome> {
    let path = call.path.display();
    let Some([old, new]) = call.files else {
        print_line(&format!("{path}: it is not merged yet."))?;
        return Ok(Outcome::Good);
    };
    if !is_comparable(call.path) {
        print_line(&format!(
            "{path}: it is no profile and no bundle; git diff --no-ext-diff shows its lines."
        ))?;
        return Ok(Outcome::Good);
    }
    match (side(call.path, old), side(call.path, new)) {
        (Ok(Some(before)), Ok(Some(after))) => {
            tell(arguments, [call.path, call.path], &before, &after)?;
        }
        (Ok(None), Ok(Some(added))) => print_line(&format!(
            "{path}: the profile {} is new: {} {}.",
            added.id, added.identity.maker, added.identity.model
        ))?,
        (Ok(Some(removed)), Ok(None)) => print_line(&format!(
            "{path}: the profile {} is gone: {} {}.",
            removed.id, removed.identity.maker, removed.identity.model
        ))?,
        (Ok(None), Ok(None)) => {}
        (Err(why), _) => print_line(&format!("{path}: the older side cannot be read: {why}"))?,
        (_, Err(why)) => print_line(&format!("{path}: the newer side cannot be read: {why}"))?,
    }
    Ok(Outcome::Good)
}

/// The profile in a file of git's, whose own name may tell nothing: the notation is that of the path in the repository.
fn side(path: &Path, file: &Path) -> Result<Option<Profile>, String> {
    if file == Path::new(NOTHING) {
        return Ok(None);
    }
    if path.extension().is_some_and(|ending| ending == "zip") {
        let profile = releases::read_profile(file).map_err(|error| error.to_string())?;
        return Ok(Some(profile));
    }
    let bytes = fs::read(file).map_err(|error| error.to_string())?;
    let name = path.display().to_string();
    let profile = read(&name, &bytes, notation_of(path)).map_err(|error| error.to_string())?;
    Ok(Some(profile))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::*;

    fn paths(words: &str) -> Vec<PathBuf> {
        words.split(' ').map(PathBuf::from).collect()
    }

    #[test]
    fn two_files_are_no_call_of_git() {
        assert!(Call::of(&paths("a.profile.ron b.profile.ron")).is_none());
    }

    #[test]
    fn seven_arguments_and_nine_after_a_rename_are_calls_of_git() {
        for words in [
            "van.profile.ron /tmp/old 1234 100644 /tmp/new 5678 100644",
            "van.profile.ron /tmp/old 1234 100644 /tmp/new 5678 100644 car.profile.ron similarity",
        ] {
            let given = paths(words);
            let call = Call::of(&given).unwrap();
            assert_eq!(call.path, Path::new("van.profile.ron"));
            let files = [Path::new("/tmp/old"), Path::new("/tmp/new")];
            assert_eq!(call.files, Some(files));
        }
    }
}

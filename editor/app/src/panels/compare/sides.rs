//! The two sides of a comparison: what each may be, and what it is while nobody chose.

use std::{collections::BTreeMap, path::PathBuf};

use chockstone_library::releases;
use chockstone_schema::codes::ReleaseNumber;

use super::CompareInput;
use crate::command::Which;

/// One side of a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Side {
    /// The file being edited, as it is now.
    Now,
    /// What its file holds.
    Saved,
    /// A release of the library.
    Release(ReleaseNumber),
    /// Another file.
    File(PathBuf),
}

impl Side {
    /// What the choice is called.
    pub(super) fn label(&self) -> String {
        match self {
            Self::Now => "This file, now".to_owned(),
            Self::Saved => "This file, as saved last".to_owned(),
            Self::Release(number) => format!("Release {number}"),
            Self::File(path) => {
                let name = path.file_name().unwrap_or(path.as_os_str());
                name.to_string_lossy().into_owned()
            }
        }
    }
}

/// The releases of the open profile, looked up again when files are read again.
#[derive(Default)]
pub(super) struct Releases {
    of: Option<(String, Option<PathBuf>, u64)>,
    found: Option<Result<Vec<ReleaseNumber>, String>>,
}

impl Releases {
    /// The releases, oldest first.
    pub(super) fn of(
        &mut self,
        input: &CompareInput<'_>,
        looks: u64,
    ) -> &Result<Vec<ReleaseNumber>, String> {
        const NONE: &Result<Vec<ReleaseNumber>, String> = &Ok(Vec::new());
        let key = (
            input.profile.id.to_string(),
            input.folder.map(ToOwned::to_owned),
            looks,
        );
        if self.of.as_ref() != Some(&key) {
            self.of = Some(key);
            self.found = input.folder.map(|folder| {
                releases::of(folder, &input.profile.id).map_err(|error| {
                    format!(
                        "{}: the releases could not be listed: {error}",
                        folder.display()
                    )
                })
            });
        }
        self.found.as_ref().unwrap_or(NONE)
    }
}

/// The sides as they were chosen, else the usual ones: the last release, or where there is none what was saved last,
/// against the file as it is now.
pub(super) fn chosen(
    input: &CompareInput<'_>,
    chosen: &BTreeMap<Which, Side>,
    releases: &[ReleaseNumber],
) -> [Side; 2] {
    let known = |side: &&Side| match side {
        Side::Saved => input.saved.is_some(),
        Side::Release(number) => releases.contains(number),
        Side::Now | Side::File(_) => true,
    };
    let usual = || match releases.last() {
        Some(last) => Side::Release(last.clone()),
        None if input.saved.is_some() => Side::Saved,
        None => Side::Now,
    };
    let of = |which| chosen.get(&which).filter(known).cloned();
    [
        of(Which::Older).unwrap_or_else(usual),
        of(Which::Newer).unwrap_or(Side::Now),
    ]
}

/// Everything that a side may be without asking for a file.
pub(super) fn choices(input: &CompareInput<'_>, releases: &[ReleaseNumber]) -> Vec<Side> {
    let saved = input.saved.map(|_| Side::Saved);
    let releases = releases.iter().rev().cloned().map(Side::Release);
    [Side::Now]
        .into_iter()
        .chain(saved)
        .chain(releases)
        .collect()
}

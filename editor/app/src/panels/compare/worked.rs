//! What was compared: read and worked out in the background, and dropped when something that it depends on changes.

use std::{
    path::{Path, PathBuf},
    sync::Arc,
};

use chockstone_library::{
    difference::{
        self,
        report::{Side as Told, report},
    },
    releases,
};
use chockstone_schema::{
    Profile,
    codes::ReleaseNumber,
    read::{read_file, to_value},
    report::{Difference, DifferenceReport},
};
use egui::Context;
use serde_json::Value;

use super::{CompareInput, sides::Side};
use crate::job::Job;

/// The row of the release number.
const RELEASE: &str = "Profile.release";

/// Everything that a side depends on.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Stamp {
    /// A revision of the open file.
    Revision(String, u64),
    /// A file, and how often files were read again.
    File(PathBuf, u64),
}

/// Everything that a comparison depends on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Key([Stamp; 2]);

impl Key {
    pub(super) fn of(input: &CompareInput<'_>, sides: &[Side; 2], looks: u64) -> Self {
        let stamp = |side: &Side| match side {
            Side::Now => Stamp::Revision(input.file.to_owned(), input.revision),
            Side::Saved => {
                let saved = input.saved.map_or(0, |(_, revision)| revision);
                Stamp::Revision(input.file.to_owned(), saved)
            }
            Side::Release(number) => Stamp::File(release(input, number), looks),
            Side::File(path) => Stamp::File(path.clone(), looks),
        };
        Self(sides.each_ref().map(stamp))
    }
}

fn release(input: &CompareInput<'_>, number: &ReleaseNumber) -> PathBuf {
    releases::file(
        input.folder.unwrap_or(Path::new("")),
        &input.profile.id,
        number,
    )
}

/// Where a side is had from.
enum From {
    Here(Arc<Profile>),
    File(PathBuf),
}

impl From {
    fn side(input: &CompareInput<'_>, side: &Side) -> Self {
        match side {
            Side::Now => Self::Here(Arc::new(input.profile.clone())),
            Side::Saved => {
                let saved = input.saved.map_or(input.profile, |(saved, _)| saved);
                Self::Here(Arc::new(saved.clone()))
            }
            Side::Release(number) => Self::File(release(input, number)),
            Side::File(path) => Self::File(path.clone()),
        }
    }

    fn read(self) -> Result<Arc<Profile>, String> {
        match self {
            Self::Here(profile) => Ok(profile),
            Self::File(path) => {
                let is_bundle = path.extension().is_some_and(|ending| ending == "zip");
                let read = if is_bundle {
                    releases::read_profile(&path).map_err(|error| error.to_string())
                } else {
                    read_file(&path).map_err(|error| error.to_string())
                };
                read.map(Arc::new)
            }
        }
    }
}

/// Two versions and what changed between them.
pub(super) struct Compared {
    /// The older and the newer profile.
    pub(super) profiles: [Arc<Profile>; 2],
    /// Their trees of values.
    pub(super) values: [Value; 2],
    /// What changed.
    pub(super) difference: Difference,
    /// The comparison as a report.
    pub(super) report: DifferenceReport,
}

impl Compared {
    fn new(sides: [From; 2], names: &[String; 2]) -> Outcome {
        let [older, newer] = sides.map(From::read);
        let [older, newer] = match (older, newer) {
            (Ok(older), Ok(newer)) => [older, newer],
            (older, newer) => {
                let faults = [older.err(), newer.err()].into_iter().flatten();
                return Err(faults.collect());
            }
        };
        let mut difference = difference::difference(&older, &newer);
        // Which releases are compared is told by the sides; as a change it would only hide that nothing else changed.
        difference.changes.retain(|change| change.row != RELEASE);
        let [before, after] =
            [(&older, names.first()), (&newer, names.last())].map(|(profile, name)| Told {
                file: name.map(String::as_str),
                profile,
            });
        Ok(Self {
            report: report(before, after, difference.clone(), Vec::new()),
            values: [to_value(&*older), to_value(&*newer)],
            profiles: [older, newer],
            difference,
        })
    }
}

type Outcome = Result<Compared, Vec<String>>;

/// The background work of the page.
pub(super) struct Worked {
    compared: Job<Key, Outcome>,
}

impl Default for Worked {
    fn default() -> Self {
        Self {
            compared: Job::new("compare"),
        }
    }
}

impl Worked {
    /// The comparison of two sides, or why one could not be read; none while it is worked out.
    pub(super) fn compare(
        &mut self,
        context: &Context,
        key: &Key,
        input: &CompareInput<'_>,
        sides: &[Side; 2],
    ) -> Option<Result<&Compared, &[String]>> {
        let begin = || {
            let from = sides.each_ref().map(|side| From::side(input, side));
            let names = sides.each_ref().map(Side::label);
            move || Compared::new(from, &names)
        };
        let outcome = self.compared.ask(context, key, begin)?;
        Some(outcome.as_ref().map_err(Vec::as_slice))
    }
}

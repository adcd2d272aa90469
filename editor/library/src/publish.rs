//! From a profile to a release.

use std::{
    collections::BTreeMap,
    fs,
    io::{self, Read as _},
    path::{Path, PathBuf},
};

use chockstone_rules::check_profile;
use chockstone_schema::{
    Profile,
    bundle::{BundleError, Limits, PROFILE_JSON, open},
    codes::ReleaseNumber,
    date::Moment,
    id::Id,
    read::{Notation, ReadError, read, read_file},
    report::Severity,
};

use crate::{attachments, contents, files, releases};

/// What to release, where to and as what.
#[derive(Clone, Debug)]
pub struct Request<'r> {
    /// The profile's file.
    pub profile: &'r Path,
    /// The library's folder.
    pub library: &'r Path,
    /// The release number; without it the program chooses.
    pub version: Option<ReleaseNumber>,
    /// The moment of the release; only its day in UTC goes into the bundle.
    pub moment: Moment,
}

/// A release that was written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Release {
    /// The profile's id.
    pub profile: Id,
    /// The release number.
    pub number: ReleaseNumber,
    /// The bundle's file.
    pub bundle: PathBuf,
    /// The SHA-256 of its bytes.
    pub sha256: String,
}

/// Why nothing was released. Nothing was written either.
#[derive(Debug, thiserror::Error)]
pub enum PublishError {
    /// The profile could not be read.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// Findings, missing attachments or the release number stand in the way.
    #[error("{profile} is not released: {}", reasons.join(" "))]
    Blocked {
        /// The profile's id.
        profile: Id,
        /// Why, one sentence each.
        reasons: Vec<String>,
    },
    /// The bundle could not be made.
    #[error("the bundle could not be made: {0}")]
    Bundle(#[from] BundleError),
    /// The library could not be read or written.
    #[error("{}: {error}", path.display())]
    Io {
        /// The file or folder.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
}

/// What publishing would do, told before the button is pressed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// What blocks it, one sentence each; empty when nothing does.
    pub blocked_by: Vec<String>,
    /// The release number that it would take.
    pub number: ReleaseNumber,
    /// The releases that the library already has, oldest first.
    pub earlier: Vec<ReleaseNumber>,
    /// The bundle's file.
    pub bundle: PathBuf,
    /// The bundle's payload: name and size in bytes.
    pub contents: Vec<(String, usize)>,
}

/// Tells what publishing a profile would do. `profile_folder` is where its attachments lie.
pub fn plan(
    profile: &Profile,
    profile_folder: &Path,
    library: &Path,
    version: Option<&ReleaseNumber>,
    moment: Moment,
) -> Result<Plan, PublishError> {
    Ok(prepare(profile, profile_folder, library, version, moment)?.plan)
}

/// Reads a profile, makes its bundle and writes it into the library. Either the whole release is there, or nothing.
pub fn publish(request: &Request<'_>) -> Result<Release, PublishError> {
    let profile: Profile = read_file(request.profile)?;
    let folder = request.profile.parent().unwrap_or(Path::new("."));
    publish_profile(
        &profile,
        folder,
        request.library,
        request.version.as_ref(),
        request.moment,
    )
}

/// Like [`publish`], for a profile that is already read.
pub fn publish_profile(
    profile: &Profile,
    profile_folder: &Path,
    library: &Path,
    version: Option<&ReleaseNumber>,
    moment: Moment,
) -> Result<Release, PublishError> {
    let Prepared { plan, attachments } =
        prepare(profile, profile_folder, library, version, moment)?;
    if !plan.blocked_by.is_empty() {
        return Err(PublishError::Blocked {
            profile: profile.id.clone(),
            reasons: plan.blocked_by,
        });
    }
    let bytes = contents::bundle(profile, &plan.number, moment.date(), &attachments)?;
    // A bundle that this program itself would refuse must never leave it.
    open(&bytes, &Limits::default())?;
    let at = |path: &Path| {
        let path = path.to_owned();
        move |error| PublishError::Io { path, error }
    };
    let folder = plan.bundle.parent().unwrap_or(library);
    fs::create_dir_all(folder).map_err(at(folder))?;
    files::write_new(&plan.bundle, &bytes).map_err(at(&plan.bundle))?;
    Ok(Release {
        profile: profile.id.clone(),
        number: plan.number,
        bundle: plan.bundle,
        sha256: attachments::sha256(&bytes),
    })
}

struct Prepared {
    plan: Plan,
    attachments: BTreeMap<String, Vec<u8>>,
}

fn prepare(
    profile: &Profile,
    profile_folder: &Path,
    library: &Path,
    version: Option<&ReleaseNumber>,
    moment: Moment,
) -> Result<Prepared, PublishError> {
    let earlier = releases::of(library, &profile.id).map_err(|error| PublishError::Io {
        path: library.to_owned(),
        error,
    })?;
    let number = version.cloned().unwrap_or_else(|| releases::next(&earlier));
    let mut blocked_by = blocking_findings(profile);
    let attachments = attachments::load(profile, profile_folder).unwrap_or_else(|faults| {
        blocked_by.extend(faults);
        BTreeMap::new()
    });
    blocked_by.extend(number_in_the_way(&number, &earlier));
    blocked_by.extend(unchanged(profile, library, &earlier));
    let bag = contents::bag(profile, &number, moment.date(), &attachments);
    let contents = bag
        .payload
        .iter()
        .map(|(name, bytes)| (name.clone(), bytes.len()))
        .collect();
    blocked_by.extend(
        bag.to_zip()
            .err()
            .map(|e| format!("The bundle could not be made: {e}.")),
    );
    let bundle = releases::file(library, &profile.id, &number);
    Ok(Prepared {
        plan: Plan {
            blocked_by,
            number,
            earlier,
            bundle,
            contents,
        },
        attachments,
    })
}

fn blocking_findings(profile: &Profile) -> Vec<String> {
    let findings = check_profile(profile);
    let blocking = findings.iter().filter(|f| f.severity == Severity::Blocking);
    blocking
        .map(|f| format!("{} (at {}) To settle: {}", f.message, f.place, f.settle))
        .collect()
}

fn number_in_the_way(number: &ReleaseNumber, earlier: &[ReleaseNumber]) -> Option<String> {
    let last = earlier.last()?;
    (number.parts() <= last.parts())
        .then(|| format!("Release {number} is not above {last}, the last release in the library."))
}

/// A release without any change would only make readers look for one.
fn unchanged(profile: &Profile, library: &Path, earlier: &[ReleaseNumber]) -> Option<String> {
    let last = earlier.last()?;
    let limits = Limits::default();
    let file = fs::File::open(releases::file(library, &profile.id, last)).ok()?;
    let mut bytes = Vec::new();
    file.take(limits.archive as u64 + 1)
        .read_to_end(&mut bytes)
        .ok()?;
    let bundle = open(&bytes, &Limits::default()).ok()?;
    let mut released: Profile = read(
        PROFILE_JSON,
        bundle.payload.get(PROFILE_JSON)?,
        Notation::Json,
    )
    .ok()?;
    released.release.clone_from(&profile.release);
    (released == *profile).then(|| format!("Nothing has changed since release {last}."))
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;
    use crate::testing::{attachments as attached, day, number, small};

    fn moment() -> Moment {
        Moment::new("2026-03-14T09:30:00Z").unwrap()
    }

    /// A library whose folder holds the small profile's attachment and one release of it.
    fn library() -> tempfile::TempDir {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("attachments")).unwrap();
        for (name, bytes) in attached() {
            fs::write(folder.path().join("attachments").join(name), bytes).unwrap();
        }
        let bundle = releases::file(folder.path(), &small().id, &number("1.2.0"));
        fs::create_dir_all(bundle.parent().unwrap()).unwrap();
        fs::write(
            bundle,
            contents::bundle(&small(), &number("1.2.0"), day(), &attached()).unwrap(),
        )
        .unwrap();
        folder
    }

    fn plan_of(profile: &Profile, version: Option<&ReleaseNumber>) -> Plan {
        let folder = library();
        plan(profile, folder.path(), folder.path(), version, moment()).unwrap()
    }

    #[test]
    fn a_plan_tells_the_number_and_the_contents() {
        let plan = plan_of(&small(), None);
        assert_eq!(plan.number, number("2.0.0"));
        assert_eq!(plan.earlier, [number("1.2.0")]);
        assert!(
            plan.contents
                .iter()
                .any(|(name, size)| name == PROFILE_JSON && *size > 100)
        );
        assert!(
            plan.contents
                .iter()
                .any(|(name, size)| name.starts_with("attachments/") && *size == 3)
        );
    }

    #[test]
    fn an_unchanged_profile_is_not_released_again() {
        let same = plan_of(&small(), None).blocked_by;
        assert!(
            same.iter()
                .any(|r| r.contains("Nothing has changed since release 1.2.0")),
            "{same:?}"
        );
        let mut changed = small();
        changed.identity.model = chockstone_schema::text::Label::new("Two").unwrap();
        let changed = plan_of(&changed, None).blocked_by;
        assert!(
            !changed.iter().any(|r| r.contains("Nothing has changed")),
            "{changed:?}"
        );
    }

    #[test]
    fn a_number_that_is_not_above_the_last_blocks() {
        for low in ["1.2.0", "1.1.9", "0.9.0"] {
            let reasons = plan_of(&small(), Some(&number(low))).blocked_by;
            assert!(
                reasons.iter().any(|r| r.contains("is not above 1.2.0")),
                "{low}: {reasons:?}"
            );
        }
    }

    #[test]
    fn a_missing_or_changed_attachment_blocks() {
        let folder = library();
        let file = folder
            .path()
            .join("attachments")
            .join(attached().keys().next().unwrap());
        let reasons = || {
            plan(&small(), folder.path(), folder.path(), None, moment())
                .unwrap()
                .blocked_by
        };
        fs::write(&file, b"abd").unwrap();
        assert!(reasons().iter().any(|r| r.contains("has the SHA-256")));
        fs::write(&file, b"abcd").unwrap();
        assert!(
            reasons()
                .iter()
                .any(|r| r.contains("does not have the 3 bytes"))
        );
        fs::remove_file(&file).unwrap();
        assert!(reasons().iter().any(|r| r.contains("could not be read")));
    }

    #[test]
    fn a_blocked_profile_leaves_nothing_behind() {
        let folder = tempfile::tempdir().unwrap();
        let error =
            publish_profile(&small(), folder.path(), folder.path(), None, moment()).unwrap_err();
        assert!(matches!(error, PublishError::Blocked { .. }), "{error}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
    }
}

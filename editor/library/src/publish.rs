//! From a profile to a release.

use std::{
    collections::BTreeMap,
    fs, io,
    path::{Path, PathBuf},
};

use chockstone_rules::check_profile;
use chockstone_schema::{
    Profile,
    bundle::{Bag, BundleError, Limits, open},
    codes::ReleaseNumber,
    date::Moment,
    id::Id,
    read::{ReadError, read_file},
    report::Severity,
};

use crate::{attachments, catalogue::POLICY, contents, files, releases};

mod last;

use last::Last;

/// What to release, where to and as what.
#[derive(Clone, Debug)]
pub struct Request<'r> {
    /// The profile's file.
    pub profile: &'r Path,
    /// The library's folder.
    pub library: &'r Path,
    /// The release number; without it the least one that what changed since the last release allows.
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
    /// The least number after the last of them; absent for a first release, which may have any.
    pub least: Option<Least>,
    /// The bundle's file.
    pub bundle: PathBuf,
    /// The bundle's payload: name and size in bytes.
    pub contents: Vec<(String, usize)>,
}

/// The least number that a release may have.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Least {
    /// The number.
    pub number: ReleaseNumber,
    /// Which change asks for it and why, as a sentence or two.
    pub because: String,
}

/// Tells what publishing a profile would do. `profile_folder` is where its attachments lie.
pub fn plan(
    profile: &Profile,
    profile_folder: &Path,
    library: &Path,
    version: Option<&ReleaseNumber>,
    moment: Moment,
) -> Result<Plan, PublishError> {
    let mut plan = prepare(profile, profile_folder, library, version, moment)?.plan;
    plan.blocked_by.extend(asks_for_signatures(library));
    Ok(plan)
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
    let Prepared { mut plan, bag } = prepare(profile, profile_folder, library, version, moment)?;
    plan.blocked_by.extend(asks_for_signatures(library));
    if !plan.blocked_by.is_empty() {
        return Err(PublishError::Blocked {
            profile: profile.id.clone(),
            reasons: plan.blocked_by,
        });
    }
    let bytes = bag.to_zip()?;
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

pub(crate) struct Prepared {
    pub(crate) plan: Plan,
    pub(crate) bag: Bag,
}

pub(crate) fn prepare(
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
    let last = Last::of(profile, library, &earlier);
    let number = version
        .cloned()
        .unwrap_or_else(|| next(last.as_ref(), &earlier));
    let mut blocked_by = blocking_findings(profile);
    let attachments = attachments::load(profile, profile_folder).unwrap_or_else(|faults| {
        blocked_by.extend(faults);
        BTreeMap::new()
    });
    blocked_by.extend(last.iter().flat_map(|last| last.blocks(&number)));
    let before = last.as_ref().and_then(Last::profile);
    let bag = contents::bag(profile, &number, moment.date(), &attachments, before);
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
            least: last.as_ref().and_then(|last| {
                let because = last.because();
                last.least().map(|number| Least { number, because })
            }),
            bundle,
            contents,
        },
        bag,
    })
}

/// What stands in the way of a profile as the release under its own number, for the releases below it; one sentence each.
pub(crate) fn number_faults(
    profile: &Profile,
    library: &Path,
    earlier: &[ReleaseNumber],
) -> Vec<String> {
    let last = Last::of(profile, library, earlier);
    let number = profile.release.as_ref();
    last.zip(number)
        .map_or_else(Vec::new, |(last, number)| last.blocks(number))
}

/// The number that a release takes when nobody names one: the least.
fn next(last: Option<&Last>, earlier: &[ReleaseNumber]) -> ReleaseNumber {
    match (last.map(Last::least), earlier.last()) {
        (Some(Some(number)), _) => number,
        // There is no number above the last one, which blocks the release.
        (Some(None), Some(last)) => last.clone(),
        _ => releases::first(),
    }
}

/// A library with rules lets nothing out unsigned; [`in_review`](crate::in_review) signs.
fn asks_for_signatures(library: &Path) -> Option<String> {
    library.join(POLICY).exists().then(|| {
        format!(
            "This library has rules ({POLICY}) that ask for signatures: publish from the command line, with \
             chockstone publish FILE --library FOLDER --key KEY."
        )
    })
}

fn blocking_findings(profile: &Profile) -> Vec<String> {
    let findings = check_profile(profile);
    let blocking = findings.iter().filter(|f| f.severity == Severity::Blocking);
    blocking
        .map(|f| format!("{} (at {}) To settle: {}", f.message, f.place, f.settle))
        .collect()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use chockstone_schema::{
        bundle::{DIFFERENCE, PROFILE_JSON},
        read::{from_value, to_value},
    };

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
            contents::bundle(&small(), &number("1.2.0"), day(), &attached(), None).unwrap(),
        )
        .unwrap();
        folder
    }

    fn plan_of(profile: &Profile, version: Option<&ReleaseNumber>) -> Plan {
        let folder = library();
        plan(profile, folder.path(), folder.path(), version, moment()).unwrap()
    }

    /// The small profile with another model name, for which someone could take another vehicle.
    fn renamed() -> Profile {
        let mut profile = small();
        profile.identity.model = chockstone_schema::text::Label::new("Two").unwrap();
        profile
    }

    #[test]
    fn a_plan_tells_the_number_and_the_contents() {
        let plan = plan_of(&renamed(), None);
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
        let changed = plan_of(&renamed(), None).blocked_by;
        assert!(
            !changed.iter().any(|r| r.contains("Nothing has changed")),
            "{changed:?}"
        );
    }

    #[test]
    fn a_rewritten_unit_is_released_under_the_third_number() {
        let mut value = to_value(&small());
        value["axles"][1]["position"]["value"] = serde_json::json!([3327.4, "mm"]);
        let plan = plan_of(&from_value(&value).unwrap(), None);
        assert_eq!(plan.number, number("1.2.1"));
        let least = plan.least.unwrap();
        assert!(least.because.contains("Nothing has changed in meaning"));
        assert!(
            !plan.blocked_by.iter().any(|r| r.contains("Nothing has")),
            "{:?}",
            plan.blocked_by
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
    fn a_number_below_the_least_blocks_and_names_the_change() {
        for (wanted, is_low) in [("1.2.1", true), ("1.3.0", true), ("1.99.0", true)]
            .into_iter()
            .chain([("2.0.0", false), ("2.0.1", false), ("3.1.4", false)])
        {
            let reasons = plan_of(&renamed(), Some(&number(wanted))).blocked_by;
            let found = reasons.iter().find(|r| r.contains("is too low"));
            assert_eq!(found.is_some(), is_low, "{wanted}: {reasons:?}");
            let told = found.is_none_or(|r| {
                r.contains("the least number after 1.2.0 is 2.0.0")
                    && r.contains("was One, is now Two")
                    && r.contains("could be hurt")
            });
            assert!(told, "{reasons:?}");
        }
    }

    #[test]
    fn a_last_release_that_cannot_be_read_lets_the_first_number_grow() {
        let folder = library();
        let file = releases::file(folder.path(), &small().id, &number("1.2.0"));
        fs::write(file, b"PK").unwrap();
        let plan = plan(&small(), folder.path(), folder.path(), None, moment()).unwrap();
        assert_eq!(plan.number, number("2.0.0"));
        assert!(plan.least.unwrap().because.contains("is not known"));
        assert!(!plan.contents.iter().any(|(name, _)| name == DIFFERENCE));
    }

    #[test]
    fn a_second_release_tells_what_changed_since_the_first() {
        let told = plan_of(&renamed(), None).contents;
        assert!(
            told.iter()
                .any(|(name, size)| name == DIFFERENCE && *size > 100)
        );
        let empty = tempfile::tempdir().unwrap();
        let first = plan(&small(), empty.path(), empty.path(), None, moment()).unwrap();
        assert_eq!((first.number, first.least), (number("1.0.0"), None));
        assert!(!first.contents.iter().any(|(name, _)| name == DIFFERENCE));
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

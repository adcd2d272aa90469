//! Opening a bundle and looking at everything in it.

use std::{
    collections::BTreeSet,
    io,
    path::{Path, PathBuf},
};

use chockstone_rules::{PROGRAM, check_profile};
use chockstone_schema::{
    CAUTIONS, Policy, Profile,
    bundle::{
        ATTACHMENTS, BundleError, FINDINGS, Limits, OpenBundle, PROFILE_JSON, PROFILE_RON, README,
        open,
    },
    date::Moment,
    read::{Notation, read, to_canonical},
    report::{CheckReport, Severity, VerifyReport, VerifyStep},
    signature::AllowedSigners,
};

use crate::{attachments, contents, releases};

mod difference;
mod results;
mod schema;
mod signatures;

/// Why a bundle could not be looked at.
#[derive(Debug, thiserror::Error)]
pub enum VerifyError {
    /// The file could not be read.
    #[error("{}: it could not be read: {error}", path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The file is no bundle.
    #[error("{}: it is not a bundle: {error}", path.display())]
    NotABundle {
        /// The file.
        path: PathBuf,
        /// What was found.
        error: BundleError,
    },
}

/// Whose signatures count.
#[derive(Clone, Copy, Debug)]
pub enum Trust<'t> {
    /// Nobody's: no signers are known.
    Nobody,
    /// Those of a file of allowed signers, whatever their role.
    Signers(&'t AllowedSigners),
    /// Those that a library's rules ask for. What the release must be above, and what its changes can do, is taken from the
    /// releases in the library's folder.
    Library {
        /// The library's folder.
        folder: &'t Path,
        /// Its rules.
        policy: &'t Policy,
    },
}

/// Verifies a bundle on disk, without any signers.
///
/// What is no bundle at all is an error; a bundle whose contents are not what they say gives a report that is not good.
pub fn verify_file(path: &Path) -> Result<VerifyReport, VerifyError> {
    verify_file_for(path, Trust::Nobody, Moment::from_unix_seconds(0))
}

/// Verifies a bundle on disk, its signatures as keys stand at a moment.
pub fn verify_file_for(
    path: &Path,
    trust: Trust<'_>,
    at: Moment,
) -> Result<VerifyReport, VerifyError> {
    let bytes = releases::read_bytes(path).map_err(|error| VerifyError::Io {
        path: path.to_owned(),
        error,
    })?;
    let name = path.display().to_string();
    verify_for(&name, &bytes, trust, at).map_err(|error| VerifyError::NotABundle {
        path: path.to_owned(),
        error,
    })
}

/// Verifies a bundle's bytes, without any signers; `name` is only used in the report.
pub fn verify(name: &str, bytes: &[u8]) -> Result<VerifyReport, BundleError> {
    verify_for(name, bytes, Trust::Nobody, Moment::from_unix_seconds(0))
}

/// Verifies a bundle's bytes, its signatures as keys stand at a moment; `name` is only used in the report.
pub fn verify_for(
    name: &str,
    bytes: &[u8],
    trust: Trust<'_>,
    at: Moment,
) -> Result<VerifyReport, BundleError> {
    let mut report = VerifyReport {
        program: PROGRAM.to_owned(),
        bundle: name.to_owned(),
        good: false,
        profile: None,
        release: None,
        steps: Vec::new(),
        signatures: Vec::new(),
        missing: Vec::new(),
    };
    let bundle = match open(bytes, &Limits::default()) {
        Ok(bundle) => bundle,
        Err(error) if error.is_failed_verification() => {
            report.steps.push(bad("bag", error.to_string()));
            return Ok(report);
        }
        Err(error) => return Err(error),
    };
    let count = bundle.payload.len();
    report.steps.push(good(
        "bag",
        format!("{count} files, each with the SHA-256 that the manifest lists."),
    ));
    let profile = look_inside(&bundle, &mut report);
    signatures::look(&bundle, trust, at, &mut report);
    if let (Trust::Library { folder, policy }, Some(profile)) = (trust, profile) {
        let release = signatures::Placed {
            profile: &profile,
            folder,
            policy,
            at,
        };
        release.look(&bundle, bytes, &mut report);
    }
    report.good = report.steps.iter().all(|s| s.good != Some(false));
    Ok(report)
}

fn step(step: &str, good: Option<bool>, message: impl Into<String>) -> VerifyStep {
    VerifyStep {
        step: step.to_owned(),
        good,
        message: message.into(),
    }
}

fn good(name: &str, message: impl Into<String>) -> VerifyStep {
    step(name, Some(true), message)
}

fn bad(name: &str, message: impl Into<String>) -> VerifyStep {
    step(name, Some(false), message)
}

/// A step that is good unless something is wrong.
fn judged(name: &str, fault: Option<String>, fine: impl Into<String>) -> VerifyStep {
    fault.map_or_else(|| good(name, fine), |fault| bad(name, fault))
}

fn file<'b>(bundle: &'b OpenBundle, name: &str) -> &'b [u8] {
    bundle
        .payload
        .get(name)
        .map(Vec::as_slice)
        .unwrap_or_default()
}

/// Looks at everything but the signatures; the profile, where it can be read.
fn look_inside(bundle: &OpenBundle, report: &mut VerifyReport) -> Option<Profile> {
    let json = file(bundle, PROFILE_JSON);
    let profile: Profile = match read(PROFILE_JSON, json, Notation::Json) {
        Ok(profile) => profile,
        Err(error) => {
            report.steps.push(bad("schema", error.to_string()));
            return None;
        }
    };
    report.steps.push(good(
        "schema",
        "The profile is valid against the schema of format 1.0.",
    ));
    report.steps.push(schema::look(bundle));
    let canonical = (to_canonical(&profile) != json)
        .then(|| format!("{PROFILE_JSON} is not canonical JSON (RFC 8785)."));
    report.steps.push(judged(
        "canonical form",
        canonical,
        "profile.json is canonical JSON (RFC 8785).",
    ));
    report.steps.push(judged(
        "same profile",
        other_ron(bundle, &profile),
        "profile.ron holds the same profile.",
    ));
    report.steps.push(judged(
        "release",
        wrong_release(bundle, &profile),
        "The release number and the names agree.",
    ));
    report.steps.push(judged(
        "attachments",
        wrong_attachments(bundle, &profile),
        attachments_fine(&profile),
    ));
    report.steps.push(findings(bundle, &profile));
    report.steps.push(results::look(bundle, &profile));
    report.steps.push(difference::look(bundle, &profile));
    report.steps.push(judged(
        "cautions",
        missing_cautions(bundle),
        "The cautions stand in README.txt.",
    ));
    report.profile = Some(profile.id.to_string());
    report.release = profile.release.as_ref().map(ToString::to_string);
    Some(profile)
}

fn other_ron(bundle: &OpenBundle, profile: &Profile) -> Option<String> {
    match read::<Profile>(PROFILE_RON, file(bundle, PROFILE_RON), Notation::Ron) {
        Ok(ron) if ron == *profile => None,
        Ok(_) => Some(format!(
            "{PROFILE_RON} holds another profile than {PROFILE_JSON}."
        )),
        Err(error) => Some(error.to_string()),
    }
}

fn wrong_release(bundle: &OpenBundle, profile: &Profile) -> Option<String> {
    let Some(number) = &profile.release else {
        return Some("The profile has no release number.".to_owned());
    };
    let expected = releases::name(&profile.id, number)
        .trim_end_matches(".zip")
        .to_owned();
    if bundle.top != expected {
        return Some(format!(
            "The top folder is {}, but the profile is {expected}.",
            bundle.top
        ));
    }
    let named = bundle
        .info
        .iter()
        .find(|(label, _)| label == "External-Identifier")
        .map(|(_, value)| value.as_str());
    (named != Some(&expected)).then(|| {
        format!(
            "bag-info.txt names {}, but the profile is {expected}.",
            named.unwrap_or("nothing")
        )
    })
}

fn attachments_fine(profile: &Profile) -> String {
    match profile.attachments.len() {
        0 => "The profile has no attachments.".to_owned(),
        count => format!("{count} attachments, each as the profile describes it."),
    }
}

fn wrong_attachments(bundle: &OpenBundle, profile: &Profile) -> Option<String> {
    let mut listed = BTreeSet::new();
    for attachment in &profile.attachments {
        let name = format!("{ATTACHMENTS}/{}", attachments::file_name(attachment));
        let Some(bytes) = bundle.payload.get(&name) else {
            return Some(format!(
                "The attachment {} is missing: {name}.",
                attachment.id
            ));
        };
        if let Some(fault) = attachments::mismatch(attachment, bytes) {
            return Some(fault);
        }
        listed.insert(name);
    }
    let inside = bundle.payload.keys().filter(|n| n.starts_with(ATTACHMENTS));
    inside
        .into_iter()
        .find(|n| !listed.contains(*n))
        .map(|n| format!("The profile does not list {n}."))
}

/// What the bundle says that was found, and what this program finds in the profile itself: a bundle's own word that
/// nothing is wrong is not believed.
fn findings(bundle: &OpenBundle, profile: &Profile) -> VerifyStep {
    let report: CheckReport = match serde_json::from_slice(file(bundle, FINDINGS)) {
        Ok(report) => report,
        Err(error) => {
            return bad(
                "findings",
                format!("{FINDINGS} could not be read: {error}."),
            );
        }
    };
    let found = check_profile(profile);
    let blocking = found
        .iter()
        .filter(|f| f.severity == Severity::Blocking)
        .count();
    if blocking > 0 {
        return bad(
            "findings",
            format!("{PROGRAM} finds {blocking} blocking findings in the profile."),
        );
    }
    if report.program == PROGRAM && file(bundle, FINDINGS) != contents::findings(profile) {
        let message = format!(
            "{FINDINGS} says that {PROGRAM} made it, but this program finds something else."
        );
        return bad("findings", message);
    }
    good(
        "findings",
        format!(
            "{PROGRAM} finds nothing that blocks, and {} other findings.",
            found.len()
        ),
    )
}

fn missing_cautions(bundle: &OpenBundle) -> Option<String> {
    let text = String::from_utf8_lossy(file(bundle, README));
    let missing = CAUTIONS.iter().any(|caution| !text.contains(caution));
    missing.then(|| "The cautions are missing from README.txt.".to_owned())
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use chockstone_schema::bundle::Bag;

    use super::*;
    use crate::testing::{attachments, day, number, small};

    fn bag() -> Bag {
        contents::bag(&small(), &number("1.0.0"), day(), &attachments(), None)
    }

    /// The step of this name after one change of the good bag.
    #[track_caller]
    fn after(name: &str, change: impl FnOnce(&mut Bag)) -> VerifyStep {
        let mut bag = bag();
        change(&mut bag);
        let report = verify("x.zip", &bag.to_zip().unwrap()).unwrap();
        report.steps.into_iter().find(|s| s.step == name).unwrap()
    }

    #[test]
    fn every_step_of_an_untouched_bundle_but_its_findings_is_good() {
        let report = verify("x.zip", &bag().to_zip().unwrap()).unwrap();
        for step in report
            .steps
            .iter()
            .filter(|s| !matches!(s.step.as_str(), "findings" | "difference" | "signature"))
        {
            assert_eq!(step.good, Some(true), "{}: {}", step.step, step.message);
        }
        assert_eq!(report.profile.as_deref(), Some("small"));
        assert_eq!(report.release.as_deref(), Some("1.0.0"));
    }

    #[test]
    fn what_blocks_is_found_whatever_the_bundle_says_of_itself() {
        // The small profile says next to nothing, so much stands in its way; the bundle says that nothing does.
        let clean = format!(r#"{{"program": "{PROGRAM}", "files": []}}"#);
        let step = after("findings", |bag| {
            bag.payload.insert(FINDINGS.into(), clean.into_bytes());
        });
        assert_eq!(step.good, Some(false));
        assert!(
            step.message.contains("blocking findings in the profile"),
            "{}",
            step.message
        );
    }

    #[test]
    fn a_profile_that_is_not_canonical_is_told() {
        let step = after("canonical form", |bag| {
            let json = bag.payload.get_mut(PROFILE_JSON).unwrap();
            json.push(b'\n');
        });
        assert_eq!(step.good, Some(false));
    }

    #[test]
    fn another_profile_in_ron_is_told() {
        let step = after("same profile", |bag| {
            let ron = String::from_utf8(bag.payload.remove(PROFILE_RON).unwrap()).unwrap();
            bag.payload
                .insert(PROFILE_RON.into(), ron.replace("131", "132").into_bytes());
        });
        assert!(step.message.contains("another profile"), "{}", step.message);
    }

    #[test]
    fn an_attachment_that_nobody_lists_is_told() {
        let step = after("attachments", |bag| {
            bag.payload
                .insert("attachments/x.txt".into(), b"x".to_vec());
        });
        assert!(step.message.contains("does not list"), "{}", step.message);
    }

    #[test]
    fn a_missing_attachment_is_told() {
        let step = after("attachments", |bag| {
            bag.payload.retain(|name, _| !name.starts_with(ATTACHMENTS));
        });
        assert!(step.message.contains("is missing"), "{}", step.message);
    }

    #[test]
    fn a_top_folder_of_another_release_is_told() {
        let step = after("release", |bag| bag.top = "small-2.0.0".into());
        assert!(step.message.contains("small-2.0.0"), "{}", step.message);
    }

    #[test]
    fn missing_cautions_are_told() {
        let step = after("cautions", |bag| {
            bag.payload.insert(README.into(), b"hello".to_vec());
        });
        assert_eq!(step.good, Some(false));
    }
}

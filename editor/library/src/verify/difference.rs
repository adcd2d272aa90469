//! Whether what a bundle says of its changes is about its profile.

use chockstone_schema::{
    Profile,
    bundle::{DIFFERENCE, OpenBundle, PROFILE_JSON},
    codes::ReleaseNumber,
    report::{DifferenceReport, VerifyStep},
};

use super::{bad, file, good, step};
use crate::{attachments::sha256, difference::report::least_release};

/// Reads the difference and holds it against the profile beside it. The older profile is not in the bundle, so the changes
/// themselves are not compared again.
pub(super) fn look(bundle: &OpenBundle, profile: &Profile) -> VerifyStep {
    let Some(bytes) = bundle.payload.get(DIFFERENCE) else {
        let message = format!("The bundle has no {DIFFERENCE}: it names no earlier release.");
        return step("difference", None, message);
    };
    let told: DifferenceReport = match serde_json::from_slice(bytes) {
        Ok(told) => told,
        Err(error) => {
            let message = format!("{DIFFERENCE} could not be read: {error}.");
            return bad("difference", message);
        }
    };
    let wrong = [
        of_another(&told, profile, file(bundle, PROFILE_JSON)),
        contradiction(&told),
        too_low(&told),
    ];
    match wrong.into_iter().flatten().next() {
        Some(fault) => bad("difference", fault),
        None => good("difference", summary(&told)),
    }
}

fn of_another(told: &DifferenceReport, profile: &Profile, json: &[u8]) -> Option<String> {
    let id = profile.id.as_str();
    if told.after.profile != id || told.before.profile != id {
        return Some(format!(
            "{DIFFERENCE} is from {} to {}, but the profile is {id}.",
            told.before.profile, told.after.profile
        ));
    }
    let hash = sha256(json);
    (told.after.sha256 != hash).then(|| {
        format!(
            "{DIFFERENCE} leads to a profile with the SHA-256 {}, but {PROFILE_JSON} has {hash}.",
            told.after.sha256
        )
    })
}

/// The worst grade is that of the changes themselves.
fn contradiction(told: &DifferenceReport) -> Option<String> {
    let worst = told.changes.iter().map(|change| change.grade).min();
    (worst != told.worst)
        .then(|| format!("{DIFFERENCE} names another worst grade than its changes have."))
}

/// The number is at least the one that the changes ask for.
fn too_low(told: &DifferenceReport) -> Option<String> {
    let number = |text: &Option<String>| {
        text.as_deref()
            .and_then(|text| ReleaseNumber::new(text).ok())
    };
    let Some((last, now)) = number(&told.before.release).zip(number(&told.after.release)) else {
        return Some(format!("{DIFFERENCE} does not name both releases."));
    };
    let is_enough =
        least_release(&last, &told.changes).is_some_and(|least| now.parts() >= least.parts());
    (!is_enough).then(|| {
        format!("{DIFFERENCE} tells changes since release {last} that ask for a higher number than {now}.")
    })
}

fn summary(told: &DifferenceReport) -> String {
    let last = told.before.release.as_deref().unwrap_or_default();
    match told.changes.len() {
        1 => format!("{DIFFERENCE} tells one change since release {last}."),
        count => format!("{DIFFERENCE} tells {count} changes since release {last}."),
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use serde_json::{Value, json};

    use super::*;
    use crate::{
        contents,
        testing::{attachments, day, number, small},
        verify::verify,
    };

    /// The step of a good second release after one change of what it says of its changes.
    #[track_caller]
    fn after(change: impl FnOnce(&mut Value)) -> VerifyStep {
        let mut before = small();
        before.release = Some(number("1.0.0"));
        let mut now = small();
        now.identity.model = chockstone_schema::text::Label::new("Two").unwrap();
        let mut bag = contents::bag(&now, &number("2.0.0"), day(), &attachments(), Some(&before));
        let mut told: Value = serde_json::from_slice(&bag.payload[DIFFERENCE]).unwrap();
        change(&mut told);
        bag.payload
            .insert(DIFFERENCE.into(), serde_json::to_vec(&told).unwrap());
        let report = verify("x.zip", &bag.to_zip().unwrap()).unwrap();
        let mut steps = report.steps.into_iter();
        steps.find(|s| s.step == "difference").unwrap()
    }

    #[track_caller]
    fn check_bad(words: &str, change: impl FnOnce(&mut Value)) {
        let step = after(change);
        assert_eq!(step.good, Some(false), "{}", step.message);
        assert!(step.message.contains(words), "{}", step.message);
    }

    #[test]
    fn an_untouched_difference_is_good_and_tells_how_much_changed() {
        let step = after(|_| {});
        assert_eq!(step.good, Some(true), "{}", step.message);
        assert!(
            step.message.contains("2 changes since release 1.0.0"),
            "{}",
            step.message
        );
    }

    #[test]
    fn a_difference_of_other_bytes_is_told() {
        let other = "0".repeat(64);
        check_bad("leads to a profile with the SHA-256 0000", |told| {
            told["after"]["sha256"] = other.into();
        });
    }

    #[test]
    fn a_difference_of_another_profile_is_told() {
        check_bad("from large to small", |told| {
            told["before"]["profile"] = json!("large");
        });
        check_bad("from small to large", |told| {
            told["after"]["profile"] = json!("large");
        });
    }

    #[test]
    fn a_difference_that_is_none_of_its_type_is_told() {
        check_bad("could not be read", |told| told["more"] = json!(1));
        check_bad("could not be read", |told| {
            told["changes"][0]["grade"] = json!("harmless");
        });
    }

    #[test]
    fn a_worst_grade_that_is_not_that_of_the_changes_is_told() {
        check_bad("another worst grade", |told| {
            told["worst"] = json!("wording");
        });
    }

    #[test]
    fn a_number_below_what_the_changes_ask_for_is_told() {
        check_bad("a higher number than 1.9.0", |told| {
            told["after"]["release"] = json!("1.9.0");
        });
        check_bad("does not name both releases", |told| {
            told["before"].as_object_mut().unwrap().remove("release");
        });
    }

    #[test]
    fn a_first_release_has_no_difference() {
        let bag = contents::bag(&small(), &number("1.0.0"), day(), &attachments(), None);
        let report = verify("x.zip", &bag.to_zip().unwrap()).unwrap();
        let step = report.steps.iter().find(|s| s.step == "difference");
        assert_eq!(step.unwrap().good, None);
        assert!(
            report
                .steps
                .iter()
                .all(|s| s.step == "findings" || s.good != Some(false))
        );
    }
}

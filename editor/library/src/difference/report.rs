//! The difference as the document that `diff --json` prints and a bundle keeps.

use chockstone_rules::PROGRAM;
use chockstone_schema::{
    Profile,
    codes::{ReleaseNumber, Sha256Hex},
    read::to_canonical,
    report::{Change, ComparedSide, Difference, DifferenceReport, Effect, Grade},
};

use crate::releases;

/// The row of the release number itself, which asks for no other release number.
const RELEASE: &str = "Profile.release";

/// One of two profiles, and the file that it was read from where that is worth telling.
#[derive(Clone, Copy, Debug)]
pub struct Side<'s> {
    /// The file's name as it was given.
    pub file: Option<&'s str>,
    /// The profile.
    pub profile: &'s Profile,
}

impl<'s> Side<'s> {
    /// A profile whose file is not told.
    pub fn of(profile: &'s Profile) -> Self {
        Self {
            file: None,
            profile,
        }
    }

    fn told(self) -> ComparedSide {
        ComparedSide {
            file: self.file.map(ToOwned::to_owned),
            profile: self.profile.id.to_string(),
            release: self.profile.release.as_ref().map(ToString::to_string),
            sha256: Sha256Hex::of(&to_canonical(self.profile)).to_string(),
        }
    }
}

/// Puts the difference of two profiles and its effects into one document.
pub fn report(
    before: Side<'_>,
    after: Side<'_>,
    difference: Difference,
    effects: Vec<Effect>,
) -> DifferenceReport {
    let (before_told, after_told) = (before.told(), after.told());
    let released = before.profile.release.as_ref();
    let is_other = !same_but_for_release(before.profile, after.profile);
    let least = released
        .filter(|_| is_other)
        .and_then(|last| least_release(last, &difference.changes));
    DifferenceReport {
        program: PROGRAM.to_owned(),
        before: before_told,
        after: after_told,
        worst: difference.worst(),
        least_release: least.map(|number| number.to_string()),
        changes: difference.changes,
        effects,
    }
}

/// The change that asks most of the next release number: the first one with the worst grade. That the number itself
/// changed asks for nothing.
pub fn demanding(changes: &[Change]) -> Option<&Change> {
    // The first of several is kept by `min_by_key`.
    changes
        .iter()
        .filter(|change| change.row != RELEASE)
        .min_by_key(|change| change.grade)
}

/// The least number that a release may have after `last` for these changes; where nothing changed in meaning the third
/// number grows. `None` when the number would be too large.
pub fn least_release(last: &ReleaseNumber, changes: &[Change]) -> Option<ReleaseNumber> {
    let worst = demanding(changes).map_or(Grade::Wording, |change| change.grade);
    releases::least(last, worst)
}

/// Whether two profiles are the same to the byte, but for their release numbers.
pub fn same_but_for_release(a: &Profile, b: &Profile) -> bool {
    if a.release == b.release {
        return a == b;
    }
    let mut a = a.clone();
    a.release.clone_from(&b.release);
    a == *b
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use chockstone_schema::read::{from_value, to_value};
    use serde_json::{Value, json};

    use super::*;
    use crate::{
        difference::difference,
        testing::{number, small},
    };

    /// The report from release 1.4.2 of the small profile to an edited one.
    fn after(edit: impl FnOnce(&mut Value)) -> DifferenceReport {
        let mut a = small();
        a.release = Some(number("1.4.2"));
        let mut value = to_value(&a);
        edit(&mut value);
        let b: Profile = from_value(&value).unwrap();
        report(Side::of(&a), Side::of(&b), difference(&a, &b), Vec::new())
    }

    #[test]
    fn the_worst_grade_says_which_number_grows() {
        let hurt = after(|p| p["axles"][1]["position"]["value"][0] = json!(141));
        assert_eq!(hurt.worst, Some(Grade::CanHurt));
        assert_eq!(hurt.least_release.as_deref(), Some("2.0.0"));
        let new = after(|p| p["languages"] = json!(["es"]));
        assert_eq!(new.worst, Some(Grade::NewToKnow));
        assert_eq!(new.least_release.as_deref(), Some("1.5.0"));
        let wording = after(|p| p["attachments"][0]["title"]["en"] = "Weighing ticket".into());
        assert_eq!(wording.worst, Some(Grade::Wording));
        assert_eq!(wording.least_release.as_deref(), Some("1.4.3"));
    }

    #[test]
    fn a_rewritten_unit_alone_lets_the_third_number_grow() {
        let told = after(|p| p["axles"][1]["position"]["value"] = json!([3327.4, "mm"]));
        assert_eq!((told.worst, told.changes.len()), (None, 0));
        assert_eq!(told.least_release.as_deref(), Some("1.4.3"));
        assert_ne!(told.before.sha256, told.after.sha256);
    }

    #[test]
    fn the_release_number_itself_asks_for_no_other() {
        let told = after(|p| p["release"] = "7.0.0".into());
        assert_eq!(told.changes.len(), 1);
        assert_eq!(told.least_release, None);
    }

    #[test]
    fn a_profile_that_was_never_released_asks_for_no_number() {
        let a = small();
        let mut b = small();
        b.identity.model = chockstone_schema::text::Label::new("Two").unwrap();
        let told = report(Side::of(&a), Side::of(&b), difference(&a, &b), Vec::new());
        assert!(told.worst.is_some());
        assert_eq!(told.least_release, None);
    }

    #[test]
    fn the_hash_of_a_side_is_that_of_its_canonical_json() {
        let told = after(|_| {});
        let mut released = small();
        released.release = Some(number("1.4.2"));
        let hash = crate::attachments::sha256(&to_canonical(&released));
        assert_eq!(told.after.sha256, hash);
    }
}

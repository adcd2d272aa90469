#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use super::*;
use crate::{
    policy::of_library,
    testing::{association, complete, now, person, signing, write_rules},
    verify::{Trust, verify_file_for},
};

fn request<'r>(profile: &'r Path, library: &'r Path) -> Request<'r> {
    Request {
        profile,
        library,
        version: None,
        moment: now(),
    }
}

fn keys<'k>(signer: Option<&'k SigningKey>, keeper: Option<&'k SigningKey>) -> Keys<'k> {
    Keys {
        signer,
        role: Role::Author,
        keeper,
    }
}

/// Publishes the demo profile with Ana's key and Kim's.
fn by_ana(library: &Path) -> Result<Outcome, InReviewError> {
    let (ana, kim) = (signing(1), signing(4));
    publish(
        &request(&complete(), library),
        &keys(Some(&ana), Some(&kim)),
    )
}

#[track_caller]
fn waiting_in(outcome: Result<Outcome, InReviewError>) -> (PathBuf, Vec<String>) {
    match outcome.unwrap() {
        Outcome::Waiting { release, missing } => (release.bundle, missing),
        Outcome::Released { release, .. } => panic!("{} is out", release.bundle.display()),
    }
}

#[track_caller]
fn released_in(outcome: Result<Outcome, InReviewError>) -> (PathBuf, Option<u64>) {
    match outcome.unwrap() {
        Outcome::Released { release, catalogue } => (release.bundle, catalogue),
        Outcome::Waiting { missing, .. } => panic!("{missing:?}"),
    }
}

#[track_caller]
fn reasons(outcome: Result<Outcome, InReviewError>) -> Vec<String> {
    match outcome {
        Err(InReviewError::Publish(PublishError::Blocked { reasons, .. })) => reasons,
        other => panic!("{other:?}"),
    }
}

fn sign_as(bundle: &Path, seed: u8, role: Role) -> SignOutcome {
    let key = signing(seed);
    sign(&SignRequest {
        bundle,
        key: &key,
        role,
        library: None,
        at: now(),
    })
    .unwrap()
}

fn is_good(bundle: &Path, library: &Path) -> bool {
    let policy = of_library(library).unwrap().unwrap();
    let trust = Trust::Library {
        folder: library,
        policy: &policy,
    };
    verify_file_for(bundle, trust, now()).unwrap().good
}

fn files_in(folder: &Path) -> usize {
    crate::releases::all(folder, releases::FOLDER)
        .unwrap()
        .len()
        + crate::releases::all(folder, FOLDER).unwrap().len()
}

#[test]
fn a_release_waits_until_enough_reviewers_signed_and_is_then_listed() {
    let library = association(2);
    let (bundle, missing) = waiting_in(by_ana(library.path()));
    assert_eq!(
        missing,
        ["2 reviewers must sign it besides its author, 0 did."]
    );
    assert!(bundle.starts_with(library.path().join(FOLDER)));
    assert!(!is_good(&bundle, library.path()));
    let signed = sign_as(&bundle, 2, Role::Reviewer);
    assert_eq!(
        signed.missing,
        ["2 reviewers must sign it besides its author, 1 did."]
    );
    // Publishing the same profile again keeps the reviewer's signature.
    assert_eq!(waiting_in(by_ana(library.path())).1, signed.missing);
    assert!(sign_as(&bundle, 3, Role::Reviewer).missing.is_empty());
    let kim = signing(4);
    let out = publish(&request(&bundle, library.path()), &keys(None, Some(&kim)));
    let (release, snapshot) = released_in(out);
    assert!(release.starts_with(library.path().join(releases::FOLDER)));
    assert_eq!(snapshot, Some(1));
    assert!(!bundle.exists());
    assert!(is_good(&release, library.path()));
}

#[test]
fn without_a_keeper_a_complete_bundle_waits() {
    let library = association(0);
    let ana = signing(1);
    let outcome = publish(
        &request(&complete(), library.path()),
        &keys(Some(&ana), None),
    );
    let (_, missing) = waiting_in(outcome);
    assert!(
        missing[0].starts_with("A keeper of the library must enter it"),
        "{missing:?}"
    );
}

#[test]
fn keys_that_are_not_listed_revoked_or_only_a_reviewers_release_nothing() {
    let library = association(0);
    for (seed, why) in [
        (9, "is not among those who may sign"),
        (2, "not as an author"),
    ] {
        let key = signing(seed);
        let told = reasons(publish(
            &request(&complete(), library.path()),
            &keys(Some(&key), None),
        ));
        assert!(told[0].contains(why), "{told:?}");
    }
    let none = reasons(publish(
        &request(&complete(), library.path()),
        &keys(None, None),
    ));
    assert!(none[0].contains("give the author's key"), "{none:?}");
    write_rules(library.path(), 0, &[1], &[], &[1]);
    assert!(reasons(by_ana(library.path()))[0].contains("is revoked"));
    assert_eq!(files_in(library.path()), 0);
}

#[test]
fn an_expired_key_releases_nothing() {
    let library = association(0);
    let (key, line) = person(1, "ana@example.org");
    let old = line.replacen(' ', " valid-before=\"20260101Z\" ", 1);
    let rules = format!(
        r#"(format: "1.0", name: "Example library", authors: [{old:?}],
        reviews: (first_release: 0, can_hurt: 0, new_to_know: 0, wording: 0))"#
    );
    fs::write(library.path().join("library.ron"), rules).unwrap();
    let told = reasons(publish(
        &request(&complete(), library.path()),
        &keys(Some(&key), None),
    ));
    assert!(
        told[0].contains("may be used only until 2026-01-01"),
        "{told:?}"
    );
    assert_eq!(files_in(library.path()), 0);
}

#[test]
fn an_author_may_not_review_with_the_same_or_another_key() {
    let library = association(1);
    write_rules(library.path(), 1, &[1], &[1, 2], &[]);
    let (bundle, _) = waiting_in(by_ana(library.path()));
    let same = sign_as(&bundle, 1, Role::Reviewer);
    assert!(same.refused[0].contains("has signed"), "{same:?}");
    // Another key that stands under the author's name.
    let (second, line) = person(7, "ana@example.org");
    let rules = fs::read_to_string(library.path().join("library.ron")).unwrap();
    let with_second = rules.replacen("reviewers: [", &format!("reviewers: [{line:?}, "), 1);
    fs::write(library.path().join("library.ron"), with_second).unwrap();
    let signed = sign(&SignRequest {
        bundle: &bundle,
        key: &second,
        role: Role::Reviewer,
        library: None,
        at: now(),
    });
    let told = signed.unwrap().refused;
    assert!(told[0].contains("an author may not review"), "{told:?}");
}

#[test]
fn what_does_not_verify_is_signed_by_nobody() {
    let library = association(1);
    let (bundle, _) = waiting_in(by_ana(library.path()));
    let mut bytes = fs::read(&bundle).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&bundle, &bytes).unwrap();
    let outcome = sign(&SignRequest {
        bundle: &bundle,
        key: &signing(2),
        role: Role::Reviewer,
        library: None,
        at: now(),
    });
    assert!(!outcome.is_ok_and(|o| o.file.is_some() || o.refused.is_empty()));
    assert_eq!(fs::read(&bundle).unwrap(), bytes);
}

#[test]
fn a_released_bundle_gets_no_more_signatures() {
    let library = association(0);
    let (release, _) = released_in(by_ana(library.path()));
    let told = sign_as(&release, 2, Role::Reviewer).refused;
    assert!(told[0].starts_with("It is released"), "{told:?}");
}

#[test]
fn a_bundle_whose_number_was_taken_meanwhile_is_not_released() {
    let library = association(1);
    let (bundle, _) = waiting_in(by_ana(library.path()));
    sign_as(&bundle, 2, Role::Reviewer);
    let kept = library.path().join("kept.zip");
    fs::copy(&bundle, &kept).unwrap();
    released_in(by_ana(library.path()));
    let kim = signing(4);
    let told = reasons(publish(
        &request(&kept, library.path()),
        &keys(None, Some(&kim)),
    ));
    assert!(told[0].contains("is not above 1.0.0"), "{told:?}");
}

#[test]
fn a_library_without_rules_asks_for_nothing() {
    let library = tempfile::tempdir().unwrap();
    let out = publish(&request(&complete(), library.path()), &keys(None, None));
    assert_eq!(released_in(out).1, None);
}

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use chockstone_schema::{
    bundle::{Limits, open},
    read::{Notation, read},
};
use serde_json::json;

use super::*;
use crate::{
    contents,
    signing::{SigningKey, sign_bundle},
    testing::{attachments, day, number, person, small},
};

fn policy(authors: &[&str], reviewers: &[&str], revoked: &[&str]) -> Policy {
    let document = json!({
        "format": "1.0", "name": "Example library", "authors": authors, "reviewers": reviewers, "revoked": revoked,
        "reviews": {"first_release": 2, "can_hurt": 2, "new_to_know": 1, "wording": 0},
    });
    read(
        "library.json",
        document.to_string().as_bytes(),
        Notation::Json,
    )
    .unwrap()
}

fn signed_by(keys: &[&SigningKey]) -> OpenBundle {
    let mut bytes =
        contents::bundle(&small(), &number("1.0.0"), day(), &attachments(), None).unwrap();
    for key in keys {
        bytes = sign_bundle(&bytes, key).unwrap();
    }
    open(&bytes, &Limits::default()).unwrap()
}

fn missing(policy: &Policy, keys: &[&SigningKey], reviews: u8) -> Vec<String> {
    let at = Moment::new("2026-06-01T00:00:00Z").unwrap();
    standing(policy, &signed_by(keys), reviews, at).missing
}

#[test]
fn an_author_and_enough_reviewers_are_enough() {
    let (ana, ana_line) = person(1, "ana@example.org");
    let (ben, ben_line) = person(2, "ben@example.org");
    let (eva, eva_line) = person(3, "eva@example.org");
    let policy = policy(&[&ana_line], &[&ben_line, &eva_line], &[]);
    assert_eq!(missing(&policy, &[&ana, &ben, &eva], 2), [] as [&str; 0]);
    assert_eq!(
        missing(&policy, &[&ana, &ben], 2),
        ["2 reviewers must sign it besides its author, 1 did."]
    );
    assert_eq!(
        missing(&policy, &[&ben, &eva], 0),
        ["No author of this library signed it."]
    );
}

#[test]
fn an_author_is_never_their_own_reviewer() {
    let (ana, ana_line) = person(1, "ana@example.org");
    let (second, second_line) = person(2, "ana@example.org");
    let (ben, ben_line) = person(3, "ben@example.org");
    // The same key in both lists, and a second key under the same name.
    let both = policy(
        &[&ana_line, &ben_line],
        &[&ana_line, &second_line, &ben_line],
        &[],
    );
    assert_eq!(missing(&both, &[&ana], 1).len(), 1);
    assert_eq!(missing(&both, &[&ana, &second], 1).len(), 1);
    assert_eq!(missing(&both, &[&ana, &second, &ben], 1), [] as [&str; 0]);
    // Two keys of one reviewer are one reviewer.
    assert_eq!(missing(&both, &[&ben, &ana, &second], 2).len(), 1);
}

#[test]
fn a_revoked_key_counts_for_nothing() {
    let (ana, ana_line) = person(1, "ana@example.org");
    let public = ana_line.split_once(' ').unwrap().1;
    let policy = policy(&[&ana_line], &[], &[public]);
    let at = Moment::new("2026-06-01T00:00:00Z").unwrap();
    let found = standing(&policy, &signed_by(&[&ana]), 0, at);
    assert_eq!(found.missing, ["No author of this library signed it."]);
    let (_, judged) = found.signatures.first().unwrap();
    assert!(
        matches!(judged, Judged::Refused(SignatureError::Revoked(_))),
        "{judged:?}"
    );
}

#[test]
fn how_many_reviews_a_release_needs_follows_from_its_number() {
    let policy = policy(&[], &[], &[]);
    let needed = |before: Option<&str>, release: &str| {
        reviews_needed(&policy, before.map(number).as_ref(), &number(release))
    };
    assert_eq!(needed(None, "1.0.0"), 2);
    assert_eq!(needed(Some("1.4.2"), "2.0.0"), 2);
    assert_eq!(needed(Some("1.4.2"), "1.5.0"), 1);
    assert_eq!(needed(Some("1.4.2"), "1.4.3"), 0);
    assert_eq!(needed(Some("1.4.2"), "1.4.2"), 2);
}

#[test]
fn a_line_that_names_no_key_is_refused_when_the_rules_are_read() {
    let text = r#"{"format": "1.0", "name": "Example library", "authors": ["ana@example.org"],
        "reviews": {"first_release": 1, "can_hurt": 1, "new_to_know": 1, "wording": 1}}"#;
    let error = read::<Policy>("library.json", text.as_bytes(), Notation::Json).unwrap_err();
    assert!(error.to_string().contains("/authors/0"), "{error}");
}

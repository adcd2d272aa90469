#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests state facts"
)]

mod archives;
mod bags;
mod properties;
mod raw;
mod writing;

use super::*;

const TOP: &str = "van-1.0.0";

/// The text of the attachment of [`bag`].
const TICKET: &str = "ticket";

fn attachment() -> String {
    format!("attachments/{}.txt", manifest::sha256(TICKET.as_bytes()))
}

fn bag() -> Bag {
    let file = |name: &str, text: &str| (name.to_owned(), text.as_bytes().to_vec());
    Bag {
        top: TOP.into(),
        info: vec![
            ("Bagging-Date".into(), "2026-03-14".into()),
            ("Source-Organization".into(), "Asociación de Grúas".into()),
        ],
        payload: Files::from([
            file(PROFILE_JSON, "{}"),
            file(PROFILE_RON, "()"),
            file(PROFILE_SCHEMA, "{}"),
            file(FINDINGS, "{}"),
            file(README, "hello\n"),
            file(&attachment(), TICKET),
        ]),
    }
}

fn bundle() -> Vec<u8> {
    bag().to_zip().unwrap()
}

/// The good bundle with a signature in it.
fn signed_bundle() -> Vec<u8> {
    let mut open = open(&bundle(), &Limits::default()).unwrap();
    open.signatures
        .insert("author".into(), b"signature\n".to_vec());
    open.to_zip().unwrap()
}

/// The files of the good bundle by their full names, for making bad ones.
fn files() -> Files {
    directory::read(&bundle(), &Limits::default())
        .unwrap()
        .files
}

#[track_caller]
fn refused(bytes: &[u8], part: &str) {
    assert_ne!(part, "", "any error would do");
    let error = open(bytes, &Limits::default()).unwrap_err().to_string();
    assert!(error.contains(part), "{error}");
}

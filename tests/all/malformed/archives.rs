//! Archives that are no bundles, some of them made to do harm.

use chockstone_schema::bundle::{Bag, FINDINGS, PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, README};
use chockstone_tests::{
    random::Random,
    raw_zip::{Entry, write},
};

use super::Input;

/// A bag that opens, though no profile is in it.
fn bundle() -> Vec<u8> {
    let file = |name: &str| (name.to_owned(), name.as_bytes().to_vec());
    let bag = Bag {
        top: "van-1.0.0".into(),
        info: vec![("Bagging-Date".into(), "2026-03-14".into())],
        payload: [PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, FINDINGS, README]
            .map(file)
            .into(),
    };
    bag.to_zip().unwrap()
}

/// Every archive, each under its own name.
pub(super) fn all() -> Vec<Input> {
    let mut inputs = Vec::new();
    for (name, bytes) in names().into_iter().chain(kinds()).chain(surroundings()) {
        inputs.push(Input::binary(format!("{name}.zip"), bytes));
    }
    let (good, mut random) = (bundle(), Random::new(4195));
    for i in 0..20 {
        let length = good.len() * i / 20;
        inputs.push(Input::binary(format!("cut-{i:02}.zip"), &good[..length]));
        let length = 1 + random.below(2000);
        inputs.push(Input::binary(
            format!("random-{i:02}.zip"),
            random.bytes(length),
        ));
        // Behind a right beginning, random bytes get further.
        let bytes = [
            b"PK\x03\x04".to_vec(),
            random.bytes(length),
            b"PK\x05\x06".to_vec(),
            random.bytes(18),
        ]
        .concat();
        inputs.push(Input::binary(format!("headed-{i:02}.zip"), bytes));
    }
    inputs
}

/// Names that would leave the folder, or that file systems read in different ways.
fn names() -> Vec<(String, Vec<u8>)> {
    let names: [&[u8]; 20] = [
        b"../evil.txt",
        b"a/../../evil.txt",
        b"/etc/evil.txt",
        b"C:/evil.txt",
        b"..\\evil.txt",
        b"a\\b.txt",
        b"a//b.txt",
        b"./a.txt",
        b"a/./b.txt",
        b"a/b/c/d/e/f.txt",
        b"con",
        b"a/nul.txt",
        b"a/com1",
        b"a/b.",
        b"a/.hidden",
        b"a/b\0.txt",
        b"a/\xff\xfe",
        b"a/b c.txt",
        b"a/%2e%2e/b",
        b"",
    ];
    let entry = |name: &[u8]| Entry {
        name: name.to_vec(),
        ..Entry::stored("", b"evil")
    };
    let mut archives: Vec<(String, Vec<u8>)> = names
        .iter()
        .enumerate()
        .map(|(i, name)| (format!("name-{i:02}"), write(&[entry(name)])))
        .collect();
    archives.push(("long-name".into(), write(&[entry(&vec![b'a'; 300])])));
    archives.push(("longest-name".into(), write(&[entry(&vec![b'a'; 65_535])])));
    archives.push((
        "two-of-one-name".into(),
        write(&[Entry::stored("a/b", b"1"), Entry::stored("a/b", b"2")]),
    ));
    archives.push((
        "two-cases".into(),
        write(&[Entry::stored("a/B", b"1"), Entry::stored("a/b", b"2")]),
    ));
    archives
}

/// Entries that are no plain stored files.
fn kinds() -> Vec<(String, Vec<u8>)> {
    let odd = |change: fn(&mut Entry)| {
        let mut entry = Entry::stored("a/b", b"../../target");
        change(&mut entry);
        write(&[entry])
    };
    let named = [
        ("link", odd(|e| e.mode = 0o120_777)),
        ("device", odd(|e| e.mode = 0o020_666)),
        ("pipe", odd(|e| e.mode = 0o010_666)),
        ("folder", odd(|e| *e = Entry::stored("a/", b""))),
        ("encrypted", odd(|e| e.flags = 1)),
        ("deflated", odd(|e| e.method = 8)),
        ("unknown-method", odd(|e| e.method = 97)),
        (
            "bomb",
            odd(|e| (e.method, e.claimed_size) = (8, Some(u32::MAX))),
        ),
        ("claims-more", odd(|e| e.claimed_size = Some(1_000_000_000))),
        ("claims-less", odd(|e| e.claimed_size = Some(1))),
        ("claims-nothing", odd(|e| e.claimed_size = Some(0))),
        ("streamed", odd(|e| e.flags = 8)),
    ];
    named.map(|(name, bytes)| (name.to_owned(), bytes)).into()
}

/// Good entries with something wrong around them.
fn surroundings() -> Vec<(String, Vec<u8>)> {
    let good = bundle();
    let changed = |at: usize, to: &[u8]| {
        let mut bytes = good.clone();
        bytes[at..at + to.len()].copy_from_slice(to);
        bytes
    };
    let end = good.len() - 22;
    let mut commented = changed(end + 20, &[7, 0]);
    commented.extend(b"comment");
    let many: Vec<Entry> = (0..600)
        .map(|i| Entry::stored(&format!("a/{i}"), b"x"))
        .collect();
    let named = [
        ("empty-file", Vec::new()),
        ("no-entry", write(&[])),
        ("only-a-head", b"PK\x03\x04".to_vec()),
        ("text", b"This is no archive.\n".to_vec()),
        ("before", [b"#!/bin/sh\n".as_slice(), &good].concat()),
        ("behind", [good.as_slice(), b"more"].concat()),
        ("twice", [good.as_slice(), &good].concat()),
        ("comment", commented),
        ("other-disk", changed(end + 4, &[1, 0])),
        ("more-entries", changed(end + 8, &[200, 0, 200, 0])),
        ("central-elsewhere", changed(end + 16, &[1, 0, 0, 0])),
        ("central-beyond", changed(end + 16, &[0xff; 4])),
        ("sixty-four", changed(end + 8, &[0xff; 12])),
        ("six-hundred-files", write(&many)),
        (
            "unlisted",
            write(&[Entry::stored("van-1.0.0/data/x", b"x")]),
        ),
        (
            "bare-bag",
            write(&[Entry::stored("bagit.txt", b"BagIt-Version: 1.0\n")]),
        ),
    ];
    named.map(|(name, bytes)| (name.to_owned(), bytes)).into()
}

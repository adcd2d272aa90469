#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "tests state facts"
)]

use proptest::prelude::*;

use super::*;

fn bag() -> Bag {
    let file = |name: &str, text: &str| (name.to_owned(), text.as_bytes().to_vec());
    Bag {
        top: "van-1.0.0".into(),
        info: vec![("Bagging-Date".into(), "2026-03-14".into())],
        payload: Files::from([
            file(PROFILE_JSON, "{}"),
            file(PROFILE_RON, "()"),
            file(PROFILE_SCHEMA, "{}"),
            file(FINDINGS, "{}"),
            file(README, "hello\n"),
            file("attachments/aa.txt", "ticket"),
        ]),
    }
}

fn bundle() -> Vec<u8> {
    bag().to_zip().unwrap()
}

/// The files of the good bundle by their full names, for making bad ones.
fn files() -> Files {
    archive::read(&bundle(), &Limits::default()).unwrap()
}

fn open_files(files: &Files) -> Result<OpenBundle, BundleError> {
    open(
        &archive::write(files, &Limits::default())?,
        &Limits::default(),
    )
}

/// One entry for [`raw_zip`]: whatever its fields say is written, right or wrong.
#[derive(Clone)]
struct Raw<'r> {
    name: &'r [u8],
    data: &'r [u8],
    method: u16,
    flags: u16,
    mode: u32,
    claimed_size: Option<u32>,
}

impl<'r> Raw<'r> {
    fn stored(name: &'r [u8], data: &'r [u8]) -> Self {
        Self {
            name,
            data,
            method: 0,
            flags: 0,
            mode: 0o100_644,
            claimed_size: None,
        }
    }
}

fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32| {
        if crc & 1 == 1 {
            0xedb8_8320 ^ (crc >> 1)
        } else {
            crc >> 1
        }
    };
    !bytes.iter().fold(!0, |crc, b| {
        (0..8).fold(crc ^ u32::from(*b), |c, _| step(c))
    })
}

/// Writes a zip by hand (APPNOTE 4.3), so that what no library writes can be tried.
fn raw_zip(entries: &[Raw<'_>]) -> Vec<u8> {
    let (mut out, mut central) = (Vec::new(), Vec::new());
    for entry in entries {
        let offset = u32::try_from(out.len()).unwrap();
        let size = entry
            .claimed_size
            .unwrap_or(u32::try_from(entry.data.len()).unwrap());
        let mut common = Vec::new();
        common.extend(20u16.to_le_bytes());
        common.extend(entry.flags.to_le_bytes());
        common.extend(entry.method.to_le_bytes());
        common.extend([0, 0, 0x21, 0]);
        common.extend(crc32(entry.data).to_le_bytes());
        common.extend(u32::try_from(entry.data.len()).unwrap().to_le_bytes());
        common.extend(size.to_le_bytes());
        common.extend(u16::try_from(entry.name.len()).unwrap().to_le_bytes());
        common.extend([0, 0]);
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(entry.name);
        out.extend(entry.data);
        central.extend(b"PK\x01\x02");
        central.extend(0x0314u16.to_le_bytes());
        central.extend(&common);
        central.extend([0; 6]);
        central.extend((entry.mode << 16).to_le_bytes());
        central.extend(offset.to_le_bytes());
        central.extend(entry.name);
    }
    let (start, length) = (
        u32::try_from(out.len()).unwrap(),
        u32::try_from(central.len()).unwrap(),
    );
    let count = u16::try_from(entries.len()).unwrap().to_le_bytes();
    out.extend(central);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count);
    out.extend(count);
    out.extend(length.to_le_bytes());
    out.extend(start.to_le_bytes());
    out.extend([0, 0]);
    out
}

#[track_caller]
fn refused(bytes: &[u8], part: &str) {
    let error = open(bytes, &Limits::default()).unwrap_err().to_string();
    assert!(error.contains(part), "{error}");
}

#[test]
fn a_bundle_opens_to_what_was_put_in_it() {
    let opened = open(&bundle(), &Limits::default()).unwrap();
    assert_eq!(opened.payload, bag().payload);
    assert_eq!(opened.top, "van-1.0.0");
    assert_eq!(
        opened.info[1],
        ("Payload-Oxum".to_owned(), "20.6".to_owned())
    );
    assert!(opened.signatures.is_empty());
}

#[test]
fn the_same_bag_gives_the_same_bytes() {
    assert_eq!(bundle(), bundle());
}

#[test]
fn signatures_lie_beside_the_tag_manifest_and_are_listed_nowhere() {
    let mut files = files();
    files.insert(
        "van-1.0.0/tagmanifest-sha256.txt.author.sig".into(),
        b"signature".to_vec(),
    );
    let opened = open_files(&files).unwrap();
    assert_eq!(
        opened.signatures,
        Files::from([("author".to_owned(), b"signature".to_vec())])
    );
}

#[test]
fn evil_archives_are_refused() {
    let evil = |name: &[u8], part: &str| refused(&raw_zip(&[Raw::stored(name, b"x")]), part);
    evil(b"../x", "begins or ends with a point");
    evil(b"a/../x", "begins or ends with a point");
    evil(b"/etc/x", "absolute");
    evil(b"C:\\x", "use letters");
    evil(b"a\\x", "use letters");
    evil(b"a/b%25", "use letters");
    evil(b"a//x", "a part of it is empty");
    evil(b"a/con.txt", "device");
    evil(b"a/b/c/d/e/f/g", "too many folders");
    evil(b"a/x/", "folder by itself");
    evil(&[b'a'; 300], "too long");
    let with = |change: fn(&mut Raw<'_>)| {
        let mut raw = Raw::stored(b"a/x", b"x");
        change(&mut raw);
        raw_zip(&[raw])
    };
    refused(&with(|r| r.mode = 0o120_777), "a link or a device");
    refused(&with(|r| r.flags = 1), "encrypted");
    refused(&with(|r| r.method = 8), "compressed");
    refused(&with(|r| r.method = 99), "");
    refused(
        &with(|r| r.claimed_size = Some(60_000_001)),
        "beyond the limit of 60000000",
    );
    refused(
        &raw_zip(&[Raw::stored(b"a/x", b"1"), Raw::stored(b"a/X", b"2")]),
        "upper and lower case",
    );
    refused(
        &raw_zip(&[Raw::stored(b"a/x", b"1"), Raw::stored(b"a/x", b"2")]),
        "",
    );
    let many: Vec<String> = (0..501).map(|i| format!("a/{i}")).collect();
    let many: Vec<Raw<'_>> = many
        .iter()
        .map(|n| Raw::stored(n.as_bytes(), b""))
        .collect();
    refused(&raw_zip(&many), "beyond the limit of 500");
}

#[test]
fn bytes_that_no_file_accounts_for_are_refused() {
    let good = bundle();
    refused(&[good.as_slice(), b"more"].concat(), "");
    refused(&[b"more", good.as_slice()].concat(), "");
    let mut commented = good.clone();
    let length = commented.len();
    commented[length - 2] = 4;
    commented.extend(b"note");
    refused(&commented, "differs from a bundle with the same files");
    refused(&good[..length / 2], "not a readable zip");
    refused(b"", "not a readable zip");
    refused(b"PK\x05\x06", "not a readable zip");
}

/// The cases of the BagIt conformance suite of the Library of Congress (v1.0 and v0.97, invalid), rebuilt from their
/// names.
#[test]
fn the_invalid_bags_of_the_conformance_suite_are_refused() {
    let with = |name: &str, bytes: &[u8]| {
        let mut files = files();
        files.insert(format!("van-1.0.0/{name}"), bytes.to_vec());
        open_files(&files).unwrap_err().to_string()
    };
    let without = |name: &str| {
        let mut files = files();
        files.remove(&format!("van-1.0.0/{name}")).unwrap();
        open_files(&files).unwrap_err().to_string()
    };
    let manifest = String::from_utf8(files()["van-1.0.0/manifest-sha256.txt"].clone()).unwrap();
    let first = manifest.lines().next().unwrap();
    let twice = format!("{manifest}{first}\n");
    let other = format!(
        "{manifest}{}\n",
        first.replace(|c: char| c.is_ascii_digit(), "0")
    );
    assert!(
        with(
            "bagit.txt",
            b"BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n"
        )
        .contains("exactly")
    );
    assert!(
        with(
            "bagit.txt",
            b"\xef\xbb\xbfBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
        )
        .contains("exactly")
    );
    assert!(
        with("manifest-sha256.txt", twice.as_bytes()).contains("manifest-sha256.txt was changed")
    );
    assert!(with("manifest-sha256.txt", other.as_bytes()).contains("was changed"));
    assert!(with("data/profile.json", b"{} ").contains("data/profile.json was changed"));
    assert!(
        with("bag-info.txt", b"Bagging-Date: 2020-01-01\n").contains("bag-info.txt was changed")
    );
    assert!(with("data/extra.txt", b"x").contains("does not list it"));
    assert!(with("notes.txt", b"x").contains("no such file"));
    assert!(with("fetch.txt", b"http://example.org/x 1 data/x\n").contains("nothing is fetched"));
    assert!(with("manifest-md5.txt", b"x").contains("no such file"));
    for name in [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "tagmanifest-sha256.txt",
    ] {
        assert!(without(name).contains("is missing"), "{name}");
    }
    assert!(without("data/README.txt").contains("but it is missing"));
}

#[test]
fn a_listed_file_twice_is_told_by_its_line() {
    let line = format!("{}  data/x\n", "0".repeat(64));
    let mut files = files();
    files.insert(
        "van-1.0.0/tagmanifest-sha256.txt".into(),
        line.repeat(2).into_bytes(),
    );
    let error = open_files(&files).unwrap_err().to_string();
    assert!(
        error.contains("tagmanifest-sha256.txt: line 2: the file is listed twice"),
        "{error}"
    );
}

#[test]
fn two_top_folders_are_refused() {
    let mut files = files();
    files.insert("other/x".into(), b"x".to_vec());
    assert!(
        open_files(&files)
            .unwrap_err()
            .to_string()
            .contains("outside the one top folder")
    );
}

#[test]
fn a_bag_without_a_required_file_is_refused() {
    let mut bag = bag();
    bag.payload.remove(FINDINGS);
    let error = open(&bag.to_zip().unwrap(), &Limits::default())
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("data/findings.json: it is missing"),
        "{error}"
    );
}

proptest! {
    #[test]
    fn any_flipped_bit_is_refused(place in 0usize..10_000, bit in 0u8..8) {
        let mut bytes = bundle();
        let place = place % bytes.len();
        bytes[place] ^= 1 << bit;
        prop_assert!(open(&bytes, &Limits::default()).is_err(), "byte {}", place);
    }

    #[test]
    fn a_cut_bundle_is_refused(length in 0usize..10_000) {
        let bytes = bundle();
        let length = length % bytes.len();
        prop_assert!(open(&bytes[..length], &Limits::default()).is_err());
    }

    #[test]
    fn random_bytes_never_crash(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        prop_assert!(open(&bytes, &Limits::default()).is_err());
    }
}

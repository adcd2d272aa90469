//! What is written, and that it opens.

use std::io::{Cursor, Read as _, Write as _};

use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter, write::SimpleFileOptions};

use super::*;

#[test]
fn a_bundle_opens_to_what_was_put_in_it() {
    let opened = open(&bundle(), &Limits::default()).unwrap();
    assert_eq!(opened.payload, bag().payload);
    assert_eq!(opened.top, TOP);
    assert_eq!(opened.info[..2], bag().info);
    assert_eq!(
        opened.info[2],
        ("Payload-Oxum".to_owned(), "20.6".to_owned())
    );
    assert_eq!(opened.tag_manifest, bag().tag_manifest().unwrap());
    assert!(opened.signatures.is_empty());
}

#[test]
fn the_same_bag_gives_the_same_bytes() {
    assert_eq!(bundle(), bundle());
}

/// Bundles of today must open for ever: whoever changes these bytes makes another format.
#[test]
fn the_bytes_of_a_bundle_are_frozen() {
    let expected = "9e73a30e4b542c6ab53a8c52237178e9dc05ec407ce487933367d968e4b8c7ae";
    assert_eq!(manifest::sha256(&bundle()), expected);
}

/// The outside reference for the archive: the `zip` crate.
#[test]
fn another_zip_writer_gives_the_same_bytes() {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files() {
        writer.start_file(name, options).unwrap();
        writer.write_all(&bytes).unwrap();
    }
    assert_eq!(writer.finish().unwrap().into_inner(), bundle());
}

#[test]
fn another_zip_reader_finds_the_same_files() {
    let mut archive = ZipArchive::new(Cursor::new(bundle())).unwrap();
    let mut found = Files::new();
    for index in 0..archive.len() {
        let mut file = archive.by_index(index).unwrap();
        let mut bytes = Vec::new();
        file.read_to_end(&mut bytes).unwrap();
        found.insert(file.name().unwrap().into_owned(), bytes);
    }
    assert_eq!(found, files());
}

/// FIPS 180-4, "hello" and a line end; the shape of the lines is that of RFC 8493, 2.1.3.
#[test]
fn tag_files_are_written_as_the_standard_says() {
    let files = files();
    let text = |file: &str| str::from_utf8(&files[&format!("{TOP}/{file}")]).unwrap();
    assert_eq!(
        text("bagit.txt"),
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n"
    );
    assert_eq!(
        text("bag-info.txt"),
        "Bagging-Date: 2026-03-14\nSource-Organization: Asociación de Grúas\nPayload-Oxum: 20.6\n"
    );
    assert_eq!(
        text("manifest-sha256.txt").lines().next().unwrap(),
        "5891b5b522d5df086d0ff0b110fbd9d21bb4fc7163af34d08286a2e846f6be03  data/README.txt"
    );
    let listed: Vec<&str> = text("tagmanifest-sha256.txt")
        .lines()
        .map(|line| &line[66..])
        .collect();
    assert_eq!(listed, ["bag-info.txt", "bagit.txt", "manifest-sha256.txt"]);
}

#[test]
fn a_signature_is_added_without_moving_anything_else() {
    let signed = open(&signed_bundle(), &Limits::default()).unwrap();
    let expected = Files::from([("author".to_owned(), b"signature\n".to_vec())]);
    assert_eq!(signed.signatures, expected);
    let unsigned = OpenBundle {
        signatures: Files::new(),
        ..signed
    };
    assert_eq!(unsigned.to_zip().unwrap(), bundle());
}

#[test]
fn an_opened_bundle_is_written_to_the_same_bytes() {
    for bytes in [bundle(), signed_bundle()] {
        let opened = open(&bytes, &Limits::default()).unwrap();
        assert_eq!(opened.to_zip().unwrap(), bytes);
    }
}

#[test]
fn a_bundle_that_was_changed_after_opening_is_not_written() {
    let mut opened = open(&signed_bundle(), &Limits::default()).unwrap();
    opened.payload.insert(PROFILE_JSON.into(), b"[]".to_vec());
    let error = opened.to_zip().unwrap_err().to_string();
    assert!(
        error.contains("the contents were changed after the bundle was opened"),
        "{error}"
    );
}

#[test]
fn a_signer_with_a_name_that_is_no_word_is_refused() {
    for signer in ["", "../x", "a b", "a.b", "é"] {
        let mut opened = open(&bundle(), &Limits::default()).unwrap();
        opened.signatures.insert(signer.into(), b"x".to_vec());
        let error = opened.to_zip().unwrap_err().to_string();
        assert!(
            error.contains("the name of a signer has letters"),
            "{error}"
        );
    }
}

#[track_caller]
fn not_written(change: impl Fn(&mut Bag), part: &str) {
    let mut bag = bag();
    change(&mut bag);
    let error = bag.to_zip().unwrap_err().to_string();
    assert!(error.contains(part), "{error}");
}

#[test]
fn what_would_not_open_is_not_written() {
    not_written(
        |b| b.top = "a/b".into(),
        "the top folder has no folder above it",
    );
    not_written(|b| b.top = "..".into(), "it leads out of its folder");
    not_written(|b| b.top = String::new(), "it is an absolute path");
    not_written(|b| b.top = "x".repeat(200), "it is too long");
    not_written(
        |b| drop(b.payload.remove(FINDINGS)),
        "data/findings.json: it is missing",
    );
    let payload = |name: &str, part: &str| {
        not_written(|b| drop(b.payload.insert(name.into(), b"x".to_vec())), part);
    };
    payload("notes.txt", "data/notes.txt: a bundle has no such file");
    payload("sheets/a b.pdf", "use letters, digits");
    payload("sheets/../x", "a bundle has no such file");
    not_written(
        |b| {
            b.payload.insert("sheets/a".into(), vec![]);
            b.payload.insert("sheets/A".into(), vec![]);
        },
        "but for upper and lower case",
    );
    not_written(
        |b| drop(b.payload.insert("sheets/big".into(), vec![0; 60_000_001])),
        "the size of van-1.0.0/data/sheets/big in bytes is 60000001, beyond the limit of 60000000",
    );
    not_written(
        |b| {
            b.payload
                .extend((0..500).map(|n| (format!("sheets/{n}"), vec![])));
        },
        "the number of files is 510, beyond the limit of 500",
    );
}

#[test]
fn bag_info_that_would_not_open_is_not_written() {
    let info = |label: &str, value: &str, part: &str| {
        not_written(|b| b.info = vec![(label.into(), value.into())], part);
    };
    info("", "x", "bag-info.txt, line 1: a label has letters");
    info("A:B", "x", "a label has letters");
    info("A", "", "without blanks around it");
    info("A", " x", "without blanks around it");
    info("A", "x\nB: y", "one line of text");
    info("A", "x\u{85}y", "one line of text");
    info("Payload-Oxum", "1.1", "Payload-Oxum is computed");
    for length in [64_000, 63_990] {
        let long = "x".repeat(length);
        info("A", &long, "the size of bag-info.txt in bytes is");
    }
    let twice = vec![("A".into(), "x".into()), ("a".into(), "y".into())];
    not_written(
        |b| b.info.clone_from(&twice),
        "bag-info.txt, line 2: the label stands twice",
    );
}

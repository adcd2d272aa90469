//! Bags that are refused. The cases named after the BagIt conformance suite of the Library of Congress (public domain;
//! v1.0 and v0.97, invalid) are rebuilt from their names with our hash.

use super::*;

fn name(file: &str) -> String {
    format!("{TOP}/{file}")
}

fn text(files: &Files, file: &str) -> String {
    String::from_utf8(files[&name(file)].clone()).unwrap()
}

fn put(files: &mut Files, file: &str, bytes: impl AsRef<[u8]>) {
    files.insert(name(file), bytes.as_ref().to_vec());
}

/// Makes the tag manifest right again, so that only what was changed before is wrong.
fn seal(files: &mut Files) {
    let tags = ["bag-info.txt", "bagit.txt", "manifest-sha256.txt"];
    let tags: Files = tags
        .map(|file| (file.to_owned(), files[&name(file)].clone()))
        .into();
    put(files, "tagmanifest-sha256.txt", manifest::write(&tags));
}

fn zip(files: &Files) -> Vec<u8> {
    archive::write(files, &Limits::default()).unwrap()
}

/// The good bundle with one tag file written anew and the tag manifest right.
fn with_tag(file: &str, bytes: impl AsRef<[u8]>) -> Vec<u8> {
    let mut files = files();
    put(&mut files, file, bytes);
    seal(&mut files);
    zip(&files)
}

fn with_manifest(change: impl Fn(&str) -> String) -> Vec<u8> {
    with_tag(
        "manifest-sha256.txt",
        change(&text(&files(), "manifest-sha256.txt")),
    )
}

/// The good bundle with one more or another file that no manifest was told of.
fn with_file(file: &str, bytes: &[u8]) -> Vec<u8> {
    let mut files = files();
    put(&mut files, file, bytes);
    zip(&files)
}

fn without(file: &str) -> Vec<u8> {
    let mut files = files();
    files.remove(&name(file)).unwrap();
    zip(&files)
}

#[test]
fn suite_basic_bag_is_accepted() {
    assert!(open(&bundle(), &Limits::default()).is_ok());
}

#[test]
fn suite_bagit_with_invalid_whitespace_is_refused() {
    refused(
        &with_tag(
            "bagit.txt",
            "BagIt-Version : 1.0\nTag-File-Character-Encoding: UTF-8\n",
        ),
        "bagit.txt: it has other lines, blanks or line ends",
    );
    for spelling in [
        "BagIt-Version:  1.0\nTag-File-Character-Encoding: UTF-8\n",
        "BagIt-Version: 1.0 \nTag-File-Character-Encoding: UTF-8\n",
        "BagIt-Version: 1.0\r\nTag-File-Character-Encoding: UTF-8\r\n",
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8",
        "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n\n",
        "Tag-File-Character-Encoding: UTF-8\nBagIt-Version: 1.0\n",
        "",
    ] {
        refused(&with_tag("bagit.txt", spelling), "bagit.txt: it ");
    }
}

#[test]
fn suite_bom_in_bagit_txt_is_refused() {
    refused(
        &with_tag(
            "bagit.txt",
            "\u{feff}BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n",
        ),
        "bagit.txt: it begins with a byte order mark",
    );
}

#[test]
fn another_version_or_encoding_is_refused() {
    refused(
        &with_tag(
            "bagit.txt",
            "BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n",
        ),
        "bagit.txt: it is of another version",
    );
    refused(
        &with_tag(
            "bagit.txt",
            "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-16\n",
        ),
        "bagit.txt: it is in another encoding",
    );
}

#[test]
fn suite_not_all_manifests_list_all_files_is_refused() {
    refused(
        &with_manifest(|m| m.split_once('\n').unwrap().1.to_owned()),
        "manifest-sha256.txt does not list it",
    );
    refused(
        &with_file("manifest-md5.txt", b""),
        "manifest-md5.txt: a bundle has manifests of SHA-256 only",
    );
    refused(
        &with_file("tagmanifest-sha512.txt", b""),
        "tagmanifest-sha512.txt: a bundle has manifests of SHA-256 only",
    );
}

#[test]
fn suite_same_filename_listed_twice_is_refused() {
    let first = |m: &str| m.lines().next().unwrap().to_owned();
    refused(
        &with_manifest(|m| format!("{}\n{m}", first(m))),
        "manifest-sha256.txt, line 2: the file is listed twice",
    );
    let other = |m: &str| format!("{m}{}{}\n", "0".repeat(64), &first(m)[64..]);
    refused(
        &with_manifest(other),
        "manifest-sha256.txt, line 7: the file is listed twice",
    );
}

#[test]
fn suite_corrupt_data_file_is_refused_as_a_failed_verification() {
    let bytes = with_file("data/profile.json", b"[]");
    refused(&bytes, "data/profile.json was changed");
    assert!(
        open(&bytes, &Limits::default())
            .unwrap_err()
            .is_failed_verification()
    );
}

#[test]
fn suite_corrupt_tag_file_is_refused() {
    refused(
        &with_file("bag-info.txt", b"Bagging-Date: 2020-01-01\n"),
        "bag-info.txt was changed",
    );
    refused(&with_file("bagit.txt", b"BagIt"), "bagit.txt: it has");
    refused(
        &with_file("manifest-sha256.txt", b""),
        "manifest-sha256.txt was changed",
    );
}

#[test]
fn suite_extra_file_in_bag_is_refused() {
    refused(
        &with_file("data/extra.txt", b"x"),
        "data/extra.txt: manifest-sha256.txt does not list it",
    );
    refused(
        &with_file("notes.txt", b"x"),
        "notes.txt: a bundle has no such file",
    );
    refused(
        &with_file("meta/x.txt", b"x"),
        "meta/x.txt: a bundle has no such file",
    );
}

#[test]
fn suite_missing_bagit_txt_and_missing_baginfo_are_refused() {
    for file in [
        "bagit.txt",
        "bag-info.txt",
        "manifest-sha256.txt",
        "tagmanifest-sha256.txt",
    ] {
        refused(&without(file), &format!("{file}: it is missing"));
    }
}

#[test]
fn a_missing_payload_file_is_refused() {
    refused(
        &without("data/README.txt"),
        "data/README.txt: manifest-sha256.txt lists it, but it is missing",
    );
}

/// Also the suite's absolute, shortcut and UNC paths that lead out of the bag.
#[test]
fn suite_out_of_scope_file_paths_are_refused() {
    for path in [
        "data/../../x",
        "../x",
        "/etc/x",
        "~/x",
        "\\\\host\\x",
        "C:\\x",
        "data/./x",
    ] {
        let line = format!("{}  {path}\n", "0".repeat(64));
        refused(
            &with_manifest(|m| format!("{line}{m}")),
            "manifest-sha256.txt, line 1: the name",
        );
    }
}

#[test]
fn suite_out_of_scope_paths_for_fetch_are_refused_with_every_fetch() {
    for line in [
        "http://example.org/x 1 data/x\n",
        "http://example.org/x 1 ../x\n",
        "",
    ] {
        refused(
            &with_file("fetch.txt", line.as_bytes()),
            "fetch.txt: nothing is fetched from a network",
        );
    }
}

#[test]
fn other_spellings_of_a_manifest_are_refused() {
    let row = "line 1: a line is a hash, two blanks and a name";
    refused(&with_manifest(|m| m.replacen("  ", " ", 1)), row);
    refused(&with_manifest(|m| m.replacen("  ", " *", 1)), row);
    refused(
        &with_manifest(|m| m.replacen("  ", "   ", 1)),
        "line 1: the name \" data/README.txt\" is not allowed",
    );
    let digits = "line 1: a SHA-256 is 64 lower-case hexadecimal digits";
    refused(
        &with_manifest(|m| format!("{}{}", m[..64].to_uppercase(), &m[64..])),
        digits,
    );
    refused(&with_manifest(|m| m[1..].to_owned()), digits);
    refused(
        &with_manifest(|m| m.replace('\n', "\r\n")),
        "line 1: it holds the character \\u{d}",
    );
    refused(&with_manifest(|m| m.trim_end().to_owned()), "has no end");
    refused(
        &with_manifest(|m| m.lines().rev().flat_map(|l| [l, "\n"]).collect()),
        "not sorted by name",
    );
    refused(
        &with_manifest(|m| format!("{m}\n")),
        "line 7: a line is a hash",
    );
    refused(
        &with_tag("manifest-sha256.txt", b"\xff\n"),
        "manifest-sha256.txt: it is not UTF-8 text",
    );
}

#[test]
fn a_tag_manifest_with_more_or_fewer_lines_is_refused() {
    let good = text(&files(), "tagmanifest-sha256.txt");
    let more = format!("{good}{}  tagmanifest-sha256.txt\n", "0".repeat(64));
    refused(
        &with_file("tagmanifest-sha256.txt", more.as_bytes()),
        "tagmanifest-sha256.txt lists it, but it is missing",
    );
    let fewer = good.split_once('\n').unwrap().1;
    refused(
        &with_file("tagmanifest-sha256.txt", fewer.as_bytes()),
        "bag-info.txt: tagmanifest-sha256.txt does not list it",
    );
}

#[test]
fn a_wrong_payload_oxum_is_refused() {
    let wrong = |oxum: &str| with_tag("bag-info.txt", format!("Payload-Oxum: {oxum}\n"));
    for oxum in ["20.5", "21.6", "20,6", "020.6", "20"] {
        refused(
            &wrong(oxum),
            &format!("bag-info.txt, line 1: Payload-Oxum says {oxum}, but the payload is 20.6"),
        );
    }
    assert!(open(&wrong("20.6"), &Limits::default()).is_ok());
    refused(
        &with_tag("bag-info.txt", "Bagging-Date: 2026-03-14\n"),
        "bag-info.txt: its last line is no Payload-Oxum",
    );
}

#[test]
fn faults_of_bag_info_are_told_with_their_line() {
    let line = |line: &str| {
        with_tag(
            "bag-info.txt",
            format!("A: b\n{line}\nPayload-Oxum: 20.6\n"),
        )
    };
    assert!(open(&line("Contact-Name: Ana Pérez"), &Limits::default()).is_ok());
    let at = "bag-info.txt, line 2: ";
    for (text, part) in [
        ("no colon", "a line is a label"),
        ("  folded: line", "a label has letters"),
        ("Ä: b", "a label has letters"),
        ("B:  b", "a value has a text without blanks"),
        ("B: ", "a value has a text without blanks"),
        ("B: b\r", "it holds the character \\u{d}"),
        ("B: b\u{2028}c", "it holds the character \\u{2028}"),
        ("B: \u{1b}[2J", "it holds the character \\u{1b}"),
        ("a: c", "the label stands twice"),
    ] {
        refused(&line(text), &format!("{at}{part}"));
    }
    refused(&with_tag("bag-info.txt", "A: b"), "has no end");
    refused(
        &line(&format!("B: {}", "b".repeat(64_000))),
        "the size of bag-info.txt in bytes is 64028, beyond the limit of 64000",
    );
    refused(&with_tag("bag-info.txt", ""), "has no end");
}

#[test]
fn a_second_top_folder_is_refused() {
    let with = |name: &str| {
        let mut files = files();
        files.insert(name.into(), b"x".to_vec());
        zip(&files)
    };
    for outside in ["van-1.0.1/bagit.txt", "readme.txt", "van-1.0.0x", "z/x"] {
        refused(&with(outside), "it lies outside the one top folder");
    }
    // The first in order decides which is the top folder; either way something is outside.
    refused(&with("a/x"), "it lies outside the one top folder");
}

#[test]
fn signatures_with_other_names_are_refused() {
    for signer in ["", "a.b"] {
        refused(
            &with_file(&format!("tagmanifest-sha256.txt.{signer}.sig"), b"x"),
            "the name of a signer has letters",
        );
    }
    refused(
        &with_file("manifest-sha256.txt.author.sig", b"x"),
        "a bundle has manifests of SHA-256 only",
    );
    refused(
        &with_file("signatures/author.sig", b"x"),
        "a bundle has no such file",
    );
}

/// The good bundle with another payload, listed in the manifest and counted.
fn with_payload(change: impl Fn(&mut Files)) -> Vec<u8> {
    let mut files = files();
    let mut data: Files = files
        .extract_if(.., |n, _| n.starts_with(&name("data/")))
        .map(|(n, b)| (n[TOP.len() + 1..].to_owned(), b))
        .collect();
    change(&mut data);
    put(&mut files, "manifest-sha256.txt", manifest::write(&data));
    let bytes: usize = data.values().map(Vec::len).sum();
    let oxum = format!("Payload-Oxum: {bytes}.{}\n", data.len());
    put(&mut files, "bag-info.txt", oxum);
    files.extend(data.into_iter().map(|(n, b)| (name(&n), b)));
    seal(&mut files);
    zip(&files)
}

#[test]
fn a_payload_of_other_files_is_refused_though_its_bag_is_valid() {
    assert!(open(&with_payload(|_| ()), &Limits::default()).is_ok());
    for missing in [PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, FINDINGS, README] {
        let missing = format!("data/{missing}");
        refused(
            &with_payload(|p| drop(p.remove(&missing).unwrap())),
            &format!("{missing}: it is missing"),
        );
    }
    for stranger in [
        "data/hello.txt",
        "data/x/y",
        "data/sheets/a/b",
        "data/attachments/a/b",
    ] {
        refused(
            &with_payload(|p| drop(p.insert(stranger.into(), b"x".to_vec()))),
            &format!("{stranger}: a bundle has no such file"),
        );
    }
}

#[test]
fn places_for_later_files_are_accepted() {
    for later in [RESULTS, DIFFERENCE, "sheets/card-en.pdf"] {
        let bytes = with_payload(|p| drop(p.insert(format!("data/{later}"), b"x".to_vec())));
        assert_eq!(
            open(&bytes, &Limits::default()).unwrap().payload[later],
            b"x"
        );
    }
}

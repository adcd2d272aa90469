//! Archives that are refused. Each differs from the good bundle in one thing.

use super::{
    raw::{Parts, Raw, entries, parts, zip},
    *,
};

/// The good bundle with its third entry changed.
fn with(change: impl Fn(&mut Raw)) -> Vec<u8> {
    let mut entries = entries();
    change(&mut entries[2]);
    zip(&entries)
}

/// The good bundle with one more file of the given name in its right place.
fn with_name(name: &[u8]) -> Vec<u8> {
    let mut entries = entries();
    let at = entries.partition_point(|e| e.name.as_slice() <= name);
    let mut new = Raw::plain("", b"x");
    new.name = name.into();
    entries.insert(at, new);
    zip(&entries)
}

fn with_parts(change: impl Fn(&mut Parts)) -> Vec<u8> {
    let mut parts = parts(&entries());
    change(&mut parts);
    parts.zip()
}

#[test]
fn what_is_no_zip_is_refused() {
    refused(b"", "it is empty");
    refused(b"PK\x05\x06", "another kind of file");
    refused(&[0; 100], "another kind of file");
    refused(
        b"(format: \"1.0\", id: \"example\")",
        "another kind of file",
    );
}

#[test]
fn an_archive_that_was_cut_short_is_refused() {
    let good = bundle();
    refused(&good[..good.len() / 2], "cut short");
    refused(&good[..good.len() - 1], "cut short");
    refused(&good[1..], "bytes are missing in front of its directory");
}

#[test]
fn an_archive_without_any_file_is_refused() {
    refused(&zip(&[]), "bagit.txt: it is missing");
}

#[test]
fn names_that_lead_elsewhere_are_refused() {
    let cases: [(&[u8], &str); 17] = [
        (b"../x", "it leads out of its folder"),
        (b"van-1.0.0/data/../../x", "it leads out of its folder"),
        (b"van-1.0.0/./x", "begins or ends with a point"),
        (b"van-1.0.0/.hidden", "begins or ends with a point"),
        (b"van-1.0.0/x.", "begins or ends with a point"),
        (b"/etc/x", "an absolute path"),
        (b"//server/x", "an absolute path"),
        (b"\\\\server\\x", "an absolute path"),
        (b"C:\\x", "names a drive"),
        (b"c:x", "names a drive"),
        (b"van-1.0.0\\x", "folders are parted by"),
        (b"van-1.0.0//x", "a part of it is empty"),
        (b"", "it is empty"),
        (b"van-1.0.0/-rf", "begins with a hyphen"),
        (b"van-1.0.0/data/con.txt", "names a device"),
        (b"van-1.0.0/data/LPT9", "names a device"),
        (b"van-1.0.0/a/b/c/d/e", "too many folders"),
    ];
    for (name, part) in cases {
        refused(&with_name(name), part);
    }
    refused(&with_name(&[b'x'; 201]), "too long");
}

#[test]
fn names_with_characters_that_are_not_allowed_are_refused() {
    refused(&with_name(b"van-1.0.0/x\0.txt"), "the byte 0");
    for name in [
        "~/x",
        "a b",
        "a%25",
        "a:b",
        "a\u{e9}",
        "a\nb",
        "a\u{1b}[2J",
        "a*b",
    ] {
        let name = format!("van-1.0.0/{name}");
        refused(&with_name(name.as_bytes()), "use letters, digits");
    }
    refused(&with_name(b"van-1.0.0/\xff"), "use letters, digits");
}

#[test]
fn a_refused_name_is_shown_without_control_characters() {
    let error = open(&with_name(b"van-1.0.0/\x1b[2J\xff"), &Limits::default()).unwrap_err();
    let expected = "the name \"van-1.0.0/\\x1b[2J\\xff\" is not allowed";
    assert!(error.to_string().starts_with(expected), "{error}");
    let long = open(&with_name(&vec![b'\n'; 60_000]), &Limits::default()).unwrap_err();
    assert!(long.to_string().len() < 600, "{long}");
}

#[test]
fn names_that_differ_only_in_case_are_refused() {
    refused(
        &with_name(b"van-1.0.0/data/readme.TXT"),
        "but for upper and lower case",
    );
}

#[test]
fn a_name_of_a_file_and_a_folder_is_refused() {
    refused(&with_name(b"van-1.0.0/data"), "a file and of a folder");
    refused(
        &with_name(b"van-1.0.0/BAGIT.txt/x"),
        "a file and of a folder",
    );
}

#[test]
fn a_name_twice_is_refused() {
    let mut twice = entries();
    twice.insert(3, twice[2].clone());
    refused(&zip(&twice), "is there twice");
    // Not only beside each other.
    let mut apart = entries();
    apart.push(apart[2].clone());
    refused(&zip(&apart), "is there twice");
}

#[test]
fn entries_out_of_order_are_refused() {
    let mut swapped = entries();
    swapped.swap(2, 3);
    refused(&zip(&swapped), "is out of order");
}

#[test]
fn entries_that_are_no_plain_files_are_refused() {
    refused(
        &with(|r| r.attributes = 0o120_777 << 16),
        "a link or a device",
    );
    refused(
        &with(|r| r.attributes = 0o020_644 << 16),
        "a link or a device",
    );
    refused(
        &with(|r| r.attributes = 0o010_644 << 16),
        "a link or a device",
    );
    refused(
        &with(|r| r.attributes = 0o040_755 << 16),
        "a folder by itself",
    );
    refused(&with(|r| r.attributes |= 0x10), "a folder by itself");
    refused(&with_name(b"van-1.0.0/empty/"), "a folder by itself");
}

#[test]
fn encrypted_entries_are_refused() {
    refused(&with(|r| r.flags = 1), "is encrypted");
    refused(&with(|r| r.flags = 1 << 6), "is encrypted");
    refused(&with(|r| r.flags = 1 << 13), "is encrypted");
}

#[test]
fn compressed_entries_are_refused_so_no_ratio_can_be_abused() {
    for method in [1, 8, 9, 12, 14, 93, 95, 99, u16::MAX] {
        refused(&with(|r| r.method = method), "is compressed");
    }
    // Ten megabytes of one byte in deflate blocks: never unfolded.
    let bomb = |r: &mut Raw| (r.method, r.size) = (8, 10_000_000);
    refused(&with(bomb), "is compressed");
}

#[test]
fn headers_of_other_programs_are_refused() {
    let other = "another program packed it";
    refused(&with(|r| r.made_by = 0x0314), other);
    refused(&with(|r| r.made_by = 0x000a), other);
    refused(&with(|r| r.needed = 20), other);
    refused(&with(|r| r.flags = 1 << 11), other);
    refused(&with(|r| r.flags = 1 << 3), other);
    refused(&with(|r| r.time = 1), other);
    refused(&with(|r| r.date = 0x22), other);
    refused(&with(|r| r.attributes = 0o100_755 << 16), other);
    let more = "has a comment or an extra field";
    refused(&with(|r| r.extra = b"UT\x05\0\x01\0\0\0\0".to_vec()), more);
    refused(&with(|r| r.comment = b"note".to_vec()), more);
}

#[test]
fn headers_that_disagree_are_refused() {
    let name = |r: &mut Raw| r.local_name = Some(b"van-1.0.0/data/other".to_vec());
    refused(&with(name), "two headers that disagree");
}

#[test]
fn sizes_that_the_archive_does_not_bear_out_are_refused() {
    refused(&with(|r| r.size += 1), "has two sizes");
    let longer = |r: &mut Raw| (r.size, r.compressed) = (r.size + 1, r.size + 1);
    refused(&with(longer), "lies over another file");
    let shorter = |r: &mut Raw| (r.size, r.compressed) = (1, 1);
    refused(&with(shorter), "belong to no file");
    let mut last = entries();
    let end = last.last_mut().unwrap();
    (end.size, end.compressed) = (1000, 1000);
    refused(&zip(&last), "reaches beyond the files");
}

#[test]
fn a_wrong_checksum_is_refused() {
    refused(&with(|r| r.crc ^= 1), "does not have its CRC-32");
}

#[test]
fn zip64_is_refused() {
    refused(&with(|r| r.size = u32::MAX), "zip64");
    refused(&with(|r| r.offset = Some(u32::MAX)), "zip64");
    refused(&with_parts(|p| p.count = u16::MAX), "zip64");
    let locator = [b"PK\x06\x07".as_slice(), &[0; 16]].concat();
    refused(&with_parts(|p| p.between.clone_from(&locator)), "zip64");
}

#[test]
fn one_part_of_several_is_refused() {
    refused(&with_parts(|p| p.disk = 1), "other parts");
}

#[test]
fn a_wrong_number_of_files_is_refused() {
    refused(&with_parts(|p| p.count -= 1), "belong to no file");
    refused(&with_parts(|p| p.count += 1), "damaged or cut short");
    // Record and end agree with each other, but not with the files.
    let mut unlisted = entries();
    let hidden = unlisted[2].local();
    unlisted.remove(2);
    let mut parts = parts(&unlisted);
    parts.data.extend(hidden);
    refused(&parts.zip(), "belong to no file");
}

#[test]
fn bytes_that_belong_to_no_file_are_refused() {
    let good = bundle();
    let at = |bytes: &[u8]| {
        let error = open(bytes, &Limits::default()).unwrap_err();
        let BundleError::Unaccounted { at } = error else {
            unreachable!("{error}")
        };
        at
    };
    let end = good.len();
    assert_eq!(at(&[&good, b"more".as_slice()].concat()), end, "behind");
    assert_eq!(at(&[b"more", good.as_slice()].concat()), 0, "in front");
    let data_end = parts(&entries()).data.len();
    assert_eq!(
        at(&with_parts(|p| p.data.push(0))),
        data_end,
        "behind the files"
    );
    assert_eq!(
        at(&with_parts(|p| p.between.push(0))),
        end - 22,
        "before the end"
    );
    assert_eq!(
        at(&with_parts(|p| p.directory.push(0))),
        end - 22,
        "in the directory"
    );
    let padded = with(|r| r.data.push(b'!'));
    assert!(at(&padded) < data_end, "between the files");
    assert_eq!(
        at(&with_parts(|p| p.comment = b"note".to_vec())),
        end,
        "as comment"
    );
}

/// An archive inside the comment of another: both have an end, and programs differ in which they take.
#[test]
fn two_archives_in_one_are_refused() {
    let inner = with_name(b"van-1.0.0/data/x");
    refused(
        &with_parts(|p| p.comment.clone_from(&inner)),
        "belong to no file",
    );
}

/// Files that share their bytes let a small archive unfold to a large one without any compression.
#[test]
fn files_that_share_their_bytes_are_refused() {
    let big = vec![0; 1_000_000];
    let mut entries = vec![Raw::plain("a/000", &big)];
    for number in 1..400 {
        let mut again = Raw::plain(&format!("a/{number:03}"), &big);
        (again.offset, again.is_written) = (Some(0), false);
        entries.push(again);
    }
    let bomb = zip(&entries);
    assert!(bomb.len() < 1_100_000);
    refused(&bomb, "the entry \"a/001\" lies over another file");
}

/// A file that quotes the header of the next one as its own contents, so that both headers are true.
#[test]
fn a_file_inside_another_file_is_refused() {
    let inner = Raw::plain("a/y", b"contents");
    let outer = Raw::plain("a/x", &inner.local());
    let start = outer.local().len() - inner.local().len();
    let mut inside = inner.clone();
    inside.offset = Some(u32::try_from(start).unwrap());
    inside.is_written = false;
    refused(
        &zip(&[outer, inside]),
        "the entry \"a/y\" lies over another file",
    );
}

#[test]
fn what_is_beyond_a_limit_is_refused() {
    let good = bundle();
    let default = Limits::default();
    let with = |limits: Limits| open(&good, &limits).unwrap_err().to_string();
    let archive = with(Limits {
        archive: good.len() - 1,
        ..default
    });
    assert!(
        archive.starts_with("the size of the archive in bytes is"),
        "{archive}"
    );
    let entries = with(Limits {
        entries: 9,
        ..default
    });
    assert!(
        entries.starts_with("the number of files is 10, beyond the limit of 9"),
        "{entries}"
    );
    let entry = with(Limits {
        entry: 100,
        ..default
    });
    assert!(
        entry.starts_with("the size of van-1.0.0/manifest-sha256.txt in bytes is 577"),
        "{entry}"
    );
    let name = with(Limits {
        name: 50,
        ..default
    });
    assert!(name.contains("it is too long"), "{name}");
    let depth = with(Limits {
        depth: 2,
        ..default
    });
    assert!(depth.contains("too many folders"), "{depth}");
    let exact = Limits {
        archive: good.len(),
        entries: 10,
        depth: 3,
        ..default
    };
    assert!(open(&good, &exact).is_ok());
    let signature = Limits {
        signature: 9,
        ..default
    };
    let error = open(&signed_bundle(), &signature).unwrap_err().to_string();
    assert!(
        error.starts_with("the size of the signature of author in bytes is 10"),
        "{error}"
    );
}

#[test]
fn a_size_in_a_header_reserves_no_memory() {
    let limits = Limits {
        entry: u64::MAX,
        ..Limits::default()
    };
    let huge = |r: &mut Raw| (r.size, r.compressed) = (u32::MAX - 1, u32::MAX - 1);
    let mut entries = entries();
    huge(entries.last_mut().unwrap());
    let error = open(&zip(&entries), &limits).unwrap_err().to_string();
    assert!(error.contains("reaches beyond the files"), "{error}");
}

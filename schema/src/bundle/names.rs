//! Names that every file system and every BagIt program agrees on.

use std::collections::{BTreeMap, BTreeSet};

use super::{BundleError, Limits};

/// Takes a name as text, and refuses one that some file system would read in another way. `%` is among them: one BagIt
/// program does not decode it as RFC 8493 asks.
pub(super) fn check<'n>(name: &'n [u8], limits: &Limits) -> Result<&'n str, BundleError> {
    fault(name, limits).map_or_else(
        || str::from_utf8(name).map_err(|_| BundleError::name(name, "it is not UTF-8")),
        |why| Err(BundleError::name(name, why)),
    )
}

fn fault(name: &[u8], limits: &Limits) -> Option<&'static str> {
    if name.is_empty() {
        return Some("it is empty");
    }
    if name.len() > limits.name {
        return Some("it is too long");
    }
    if name.contains(&0) {
        return Some("it holds the byte 0");
    }
    if name.starts_with(b"/") || name.starts_with(b"\\") {
        return Some("it is an absolute path");
    }
    if matches!(name, [letter, b':', ..] if letter.is_ascii_alphabetic()) {
        return Some("it names a drive");
    }
    if name.contains(&b'\\') {
        return Some("folders are parted by '/', not '\\'");
    }
    if !name.iter().all(|&b| is_allowed(b)) {
        return Some("use letters, digits, points, hyphens, underscores and slashes");
    }
    if name.split(|&b| b == b'/').count() > limits.depth.saturating_add(1) {
        return Some("it lies in too many folders");
    }
    name.split(|&b| b == b'/').find_map(part_fault)
}

fn is_allowed(byte: u8) -> bool {
    byte.is_ascii_alphanumeric() || matches!(byte, b'.' | b'_' | b'-' | b'/')
}

fn part_fault(part: &[u8]) -> Option<&'static str> {
    match part {
        [] => Some("a part of it is empty"),
        b".." => Some("it leads out of its folder"),
        [b'.', ..] | [.., b'.'] => Some("a part of it begins or ends with a point"),
        [b'-', ..] => Some("a part of it begins with a hyphen, as the options of commands do"),
        _ => is_device(part).then_some("it names a device on some systems"),
    }
}

/// Names that open a device instead of a file on Windows, with any ending.
fn is_device(part: &[u8]) -> bool {
    let stem = part.split(|&b| b == b'.').next().unwrap_or_default();
    let stem = stem.to_ascii_lowercase();
    match stem.as_slice() {
        b"con" | b"prn" | b"aux" | b"nul" => true,
        [b'c', b'o', b'm', number] | [b'l', b'p', b't', number] => matches!(number, b'1'..=b'9'),
        _ => false,
    }
}

/// Refuses names that cannot all be files of one folder: two that are one on a file system without upper and lower case,
/// and a file that is a folder of another.
pub(super) fn check_collisions<'n>(
    names: impl Iterator<Item = &'n String>,
) -> Result<(), BundleError> {
    let mut files = BTreeMap::new();
    let mut folders = BTreeSet::new();
    for name in names {
        let lower = name.to_ascii_lowercase();
        folders.extend(
            lower
                .match_indices('/')
                .filter_map(|(at, _)| Some(lower.get(..at)?.to_owned())),
        );
        if files.insert(lower, name).is_some() {
            let why = "another file has the same name but for upper and lower case";
            return Err(BundleError::name(name.as_bytes(), why));
        }
    }
    match files.iter().find(|(lower, _)| folders.contains(*lower)) {
        Some((_, name)) => Err(BundleError::name(
            name.as_bytes(),
            "it is the name of a file and of a folder",
        )),
        None => Ok(()),
    }
}

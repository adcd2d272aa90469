//! Manifests of a bag (RFC 8493, 2.1.3 and 2.2.1), of which only one spelling is written and read.

use std::collections::BTreeMap;

use sha2::{Digest as _, Sha256};

use super::{BundleError, Limits, error::shown, names};

/// Files by name, with the bytes owned or borrowed.
pub(super) type Listed<B> = BTreeMap<String, B>;

/// The SHA-256 of bytes in 64 lower-case hexadecimal digits.
pub(super) fn sha256(bytes: &[u8]) -> String {
    hex::encode(Sha256::digest(bytes))
}

/// The manifest of files: a line for each, sorted by name.
pub(super) fn write<B: AsRef<[u8]>>(files: &Listed<B>) -> Vec<u8> {
    let lines = files
        .iter()
        .map(|(name, bytes)| line(&sha256(bytes.as_ref()), name));
    lines.collect::<String>().into_bytes()
}

fn line(hash: &str, name: &str) -> String {
    format!("{hash}  {name}\n")
}

/// Holds every file against a manifest: no file unlisted, none missing, none listed twice, none changed.
pub(super) fn check<B: AsRef<[u8]>>(
    manifest: &'static str,
    bytes: &[u8],
    files: &Listed<B>,
    limits: &Limits,
) -> Result<(), BundleError> {
    let listed = read(manifest, bytes, limits)?;
    for (name, bytes) in files {
        let Some(hash) = listed.get(name) else {
            let why = format!("{manifest} does not list it");
            return Err(BundleError::bag(name, why));
        };
        let found = sha256(bytes.as_ref());
        if *hash != found {
            return Err(BundleError::Changed {
                file: name.clone(),
                manifest,
                listed: hash.clone(),
                found,
            });
        }
    }
    if let Some(missing) = listed.keys().find(|n| !files.contains_key(*n)) {
        let why = format!("{manifest} lists it, but it is missing");
        return Err(BundleError::bag(missing, why));
    }
    let sorted: String = listed.iter().map(|(name, hash)| line(hash, name)).collect();
    if bytes == sorted.as_bytes() {
        Ok(())
    } else {
        Err(BundleError::bag(
            manifest,
            "its lines are not sorted by name",
        ))
    }
}

/// The hash of each file that a manifest lists.
fn read(
    manifest: &str,
    bytes: &[u8],
    limits: &Limits,
) -> Result<BTreeMap<String, String>, BundleError> {
    let mut listed = BTreeMap::new();
    for (number, line) in lines(manifest, bytes)? {
        let at = |why: &str| BundleError::line(manifest, number, why);
        let (hash, name) = line
            .split_once("  ")
            .ok_or_else(|| at("a line is a hash, two blanks and a name"))?;
        if hash.len() != 64 || !hash.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(at("a SHA-256 is 64 lower-case hexadecimal digits"));
        }
        if let Err(error) = names::check(name.as_bytes(), limits) {
            return Err(at(&error.to_string()));
        }
        if listed.insert(name.to_owned(), hash.to_owned()).is_some() {
            return Err(at("the file is listed twice"));
        }
    }
    Ok(listed)
}

/// The lines of a tag file with their numbers, without their line ends.
pub(super) fn lines<'b>(
    file: &str,
    bytes: &'b [u8],
) -> Result<impl Iterator<Item = (usize, &'b str)>, BundleError> {
    let text = str::from_utf8(bytes).map_err(|_| BundleError::bag(file, "it is not UTF-8 text"))?;
    for (number, line) in (1..).zip(text.split('\n')) {
        if let Some(control) = line.chars().find(|c| breaks_lines(*c)) {
            let why = format!("it holds the character {}", control.escape_unicode());
            return Err(BundleError::line(file, number, why));
        }
    }
    let Some(whole) = text.strip_suffix('\n') else {
        let last = text.split('\n').next_back().unwrap_or_default();
        let why = format!("its last line \"{}\" has no end", shown(last.as_bytes()));
        return Err(BundleError::bag(file, why));
    };
    Ok((1..).zip(whole.split('\n')))
}

/// Characters at which some program would end a line, or that move a terminal's cursor. A byte order mark is among them.
pub(super) fn breaks_lines(character: char) -> bool {
    character.is_control() || matches!(character, '\u{2028}' | '\u{2029}' | '\u{feff}')
}

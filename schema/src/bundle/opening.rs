//! Opening a bundle.

use std::collections::BTreeMap;

use super::{
    BundleError, Files, Limits, OpenBundle,
    bag::{
        BAGIT, DECLARATION, INFO, MANIFEST, OXUM, TAG_MANIFEST, check_info_size, check_signature,
        info_fault, oxum, signer_of,
    },
    contents, directory,
    error::shown,
    manifest::{self, lines},
};

/// Opens a bundle and checks everything: limits, names, the archive's every byte, the bag's declaration, manifests,
/// hashes and sizes, and that the files are those of a bundle.
///
/// Whether the profile inside is valid is for [`read`](crate::read) to say, and whether a signature holds is for whoever
/// knows the signers.
pub fn open(bytes: &[u8], limits: &Limits) -> Result<OpenBundle, BundleError> {
    let unpacked = directory::read(bytes, limits)?;
    let (top, files) = under_one_folder(unpacked.files)?;
    let bundle = open_bag(top, files, limits)?;
    match unpacked.damaged {
        None => Ok(bundle),
        Some(name) => Err(BundleError::entry(
            name.as_bytes(),
            "is damaged: it does not have its CRC-32",
        )),
    }
}

fn under_one_folder(files: Files) -> Result<(String, Files), BundleError> {
    let first = files.keys().next().map(String::as_str).unwrap_or_default();
    let top = first.split('/').next().unwrap_or_default().to_owned();
    let mut inside = Files::new();
    for (name, bytes) in files {
        let rest = name.strip_prefix(&top).and_then(|n| n.strip_prefix('/'));
        let Some(rest) = rest else {
            let why = "it lies outside the one top folder of the bundle";
            return Err(BundleError::bag(&name, why));
        };
        inside.insert(rest.to_owned(), bytes);
    }
    Ok((top, inside))
}

fn open_bag(top: String, mut files: Files, limits: &Limits) -> Result<OpenBundle, BundleError> {
    let declaration = take(&mut files, BAGIT)?;
    if let Some(why) = declaration_fault(&declaration) {
        let why = format!(
            "{why}: it holds the two lines \"BagIt-Version: 1.0\" and \"Tag-File-Character-Encoding: UTF-8\""
        );
        return Err(BundleError::bag(BAGIT, why));
    }
    let info = take(&mut files, INFO)?;
    let listing = take(&mut files, MANIFEST)?;
    let tag_manifest = take(&mut files, TAG_MANIFEST)?;
    let signatures = take_signatures(&mut files, limits)?;
    let payload = take_payload(files)?;
    let tags = [(BAGIT, &declaration), (INFO, &info), (MANIFEST, &listing)]
        .map(|(name, bytes)| (name.to_owned(), bytes));
    manifest::check(TAG_MANIFEST, &tag_manifest, &tags.into(), limits)?;
    let data: BTreeMap<String, &[u8]> = payload
        .iter()
        .map(|(name, bytes)| (format!("data/{name}"), bytes.as_slice()))
        .collect();
    manifest::check(MANIFEST, &listing, &data, limits)?;
    let info = read_info(&info, &payload)?;
    contents::check(&payload)?;
    Ok(OpenBundle {
        top,
        info,
        payload,
        tag_manifest,
        signatures,
    })
}

fn take(files: &mut Files, name: &str) -> Result<Vec<u8>, BundleError> {
    files
        .remove(name)
        .ok_or_else(|| BundleError::bag(name, "it is missing"))
}

/// Tells in which way `bagit.txt` is not the one that RFC 8493, 2.1.1 asks for.
fn declaration_fault(bytes: &[u8]) -> Option<&'static str> {
    if bytes == DECLARATION.as_bytes() {
        return None;
    }
    let text = String::from_utf8_lossy(bytes);
    let mut lines = text.lines();
    let (version, encoding) = (lines.next(), lines.next());
    let value = |line: Option<&str>, label: &str| {
        let (found, value) = line?.split_once(": ")?;
        (found == label).then(|| value.to_owned())
    };
    Some(if bytes.starts_with(b"\xef\xbb\xbf") {
        "it begins with a byte order mark"
    } else if value(version, "BagIt-Version").is_some_and(|v| v != "1.0") {
        "it is of another version"
    } else if value(encoding, "Tag-File-Character-Encoding").is_some_and(|v| v != "UTF-8") {
        "it is in another encoding"
    } else {
        "it has other lines, blanks or line ends"
    })
}

fn take_signatures(files: &mut Files, limits: &Limits) -> Result<Files, BundleError> {
    let mut signatures = Files::new();
    for (name, bytes) in files.extract_if(.., |name, _| signer_of(name).is_some()) {
        let signer = signer_of(&name).unwrap_or_default();
        check_signature(signer, &bytes, limits)?;
        signatures.insert(signer.to_owned(), bytes);
    }
    Ok(signatures)
}

/// The files under `data/`; with all tag files taken, there are no others.
fn take_payload(files: Files) -> Result<Files, BundleError> {
    let mut payload = Files::new();
    for (name, bytes) in files {
        let Some(rest) = name.strip_prefix("data/") else {
            return Err(BundleError::bag(&name, stray_fault(&name)));
        };
        payload.insert(rest.to_owned(), bytes);
    }
    Ok(payload)
}

fn stray_fault(name: &str) -> &'static str {
    if name == "fetch.txt" {
        "nothing is fetched from a network"
    } else if name.starts_with("manifest-") || name.starts_with("tagmanifest-") {
        "a bundle has manifests of SHA-256 only"
    } else {
        "a bundle has no such file"
    }
}

fn read_info(bytes: &[u8], payload: &Files) -> Result<Vec<(String, String)>, BundleError> {
    check_info_size(bytes.len())?;
    let mut info = Vec::new();
    for (number, line) in lines(INFO, bytes)? {
        let at = |why: &str| BundleError::line(INFO, number, why);
        let (label, value) = line
            .split_once(": ")
            .ok_or_else(|| at("a line is a label, a colon, a blank and a value"))?;
        if let Some(why) = info_fault(label, value, &info) {
            return Err(at(why));
        }
        info.push((label.to_owned(), value.to_owned()));
    }
    let expected = oxum(payload);
    match info.last() {
        Some((label, found)) if label == OXUM && *found == expected => Ok(info),
        Some((label, found)) if label == OXUM => {
            let found = shown(found.as_bytes());
            let why = format!("{OXUM} says {found}, but the payload is {expected}");
            Err(BundleError::line(INFO, info.len(), why))
        }
        _ => Err(BundleError::bag(
            INFO,
            format!("its last line is no {OXUM}"),
        )),
    }
}

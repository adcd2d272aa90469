//! The bag inside a bundle (RFC 8493).

use std::collections::{BTreeMap, BTreeSet};

use sha2::{Digest as _, Sha256};

use super::{
    ATTACHMENTS, BundleError, FINDINGS, Files, Limits, PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA,
    README, archive,
};

const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
const BAGIT: &str = "bagit.txt";
const INFO: &str = "bag-info.txt";
const MANIFEST: &str = "manifest-sha256.txt";
const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";
const OXUM: &str = "Payload-Oxum";

/// Payload that a bundle of this format may hold besides what it must; later releases of the program write more.
const OPTIONAL: [&str; 2] = ["results.json", "difference.json"];
const OPTIONAL_FOLDERS: [&str; 2] = [ATTACHMENTS, "sheets"];

/// What goes into a bundle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bag {
    /// The top folder's name.
    pub top: String,
    /// Labels and values of `bag-info.txt`, in order; `Payload-Oxum` is added.
    pub info: Vec<(String, String)>,
    /// The payload, by name under `data/`.
    pub payload: Files,
}

/// A bundle that was opened and whose every byte is accounted for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenBundle {
    /// The top folder's name.
    pub top: String,
    /// Labels and values of `bag-info.txt`, in order, `Payload-Oxum` included.
    pub info: Vec<(String, String)>,
    /// The payload, by name under `data/`.
    pub payload: Files,
    /// The bytes that signatures are over.
    pub tag_manifest: Vec<u8>,
    /// Signatures by the name of their signer.
    pub signatures: Files,
}

impl Bag {
    /// Writes the bundle. The same bag gives the same bytes.
    pub fn to_zip(&self) -> Result<Vec<u8>, BundleError> {
        archive::write(&self.files()?, &Limits::default())
    }

    fn files(&self) -> Result<Files, BundleError> {
        let bytes: usize = self.payload.values().map(Vec::len).sum();
        let mut info = String::new();
        for (label, value) in &self.info {
            if !is_label(label) || label == OXUM || value.is_empty() || value.contains(['\n', '\r'])
            {
                return Err(BundleError::bag(
                    INFO,
                    format!("{label:?}: {value:?} is not a label and a line of text"),
                ));
            }
            info.push_str(&format_info(label, value));
        }
        info.push_str(&format_info(
            OXUM,
            &format!("{bytes}.{}", self.payload.len()),
        ));
        let payload: Files = self
            .payload
            .iter()
            .map(|(n, b)| (format!("data/{n}"), b.clone()))
            .collect();
        let mut tags = Files::from([
            (BAGIT.to_owned(), DECLARATION.as_bytes().to_vec()),
            (INFO.to_owned(), info.into_bytes()),
            (MANIFEST.to_owned(), manifest(&payload)),
        ]);
        tags.insert(TAG_MANIFEST.to_owned(), manifest(&tags));
        Ok(payload
            .into_iter()
            .chain(tags)
            .map(|(name, b)| (format!("{}/{name}", self.top), b))
            .collect())
    }
}

fn format_info(label: &str, value: &str) -> String {
    format!("{label}: {value}\n")
}

fn is_label(label: &str) -> bool {
    !label.is_empty()
        && label
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'-')
}

fn sha256(bytes: &[u8]) -> String {
    hex::encode(Sha256::digest(bytes))
}

fn manifest(files: &Files) -> Vec<u8> {
    let lines = files
        .iter()
        .map(|(name, bytes)| format!("{}  {name}\n", sha256(bytes)));
    lines.collect::<String>().into_bytes()
}

/// Opens a bundle and checks everything: limits, names, the archive's every byte, the bag's declaration, manifests,
/// hashes and sizes, and that the files are those of a bundle. Whether the profile inside is valid is for
/// [`read`](crate::read) to say.
pub fn open(bytes: &[u8], limits: &Limits) -> Result<OpenBundle, BundleError> {
    let (top, mut files) = under_one_folder(archive::read(bytes, limits)?)?;
    if take(&mut files, BAGIT)? != DECLARATION.as_bytes() {
        let expected = DECLARATION.trim_end().replace('\n', " / ");
        return Err(BundleError::bag(
            BAGIT,
            format!("it must hold exactly the lines {expected}"),
        ));
    }
    let info_bytes = take(&mut files, INFO)?;
    let manifest_bytes = take(&mut files, MANIFEST)?;
    let tag_manifest = take(&mut files, TAG_MANIFEST)?;
    let signatures = take_signatures(&mut files);
    let payload = take_payload(files)?;
    let tags = Files::from([
        (BAGIT.to_owned(), DECLARATION.as_bytes().to_vec()),
        (INFO.to_owned(), info_bytes.clone()),
        (MANIFEST.to_owned(), manifest_bytes.clone()),
    ]);
    check_manifest(TAG_MANIFEST, &tag_manifest, &tags)?;
    let data: Files = payload
        .iter()
        .map(|(n, b)| (format!("data/{n}"), b.clone()))
        .collect();
    check_manifest(MANIFEST, &manifest_bytes, &data)?;
    let info = read_info(&info_bytes, &payload)?;
    check_contents(&payload)?;
    Ok(OpenBundle {
        top,
        info,
        payload,
        tag_manifest,
        signatures,
    })
}

fn under_one_folder(files: Files) -> Result<(String, Files), BundleError> {
    let top = files
        .keys()
        .next()
        .and_then(|n| n.split('/').next())
        .unwrap_or_default()
        .to_owned();
    let mut inside = Files::new();
    for (name, bytes) in files {
        match name.strip_prefix(&top).and_then(|n| n.strip_prefix('/')) {
            Some(rest) => drop(inside.insert(rest.to_owned(), bytes)),
            None => {
                return Err(BundleError::bag(
                    &name,
                    "it lies outside the one top folder of the bundle",
                ));
            }
        }
    }
    if inside.is_empty() {
        Err(BundleError::bag(BAGIT, "the bundle is empty"))
    } else {
        Ok((top, inside))
    }
}

fn take(files: &mut Files, name: &str) -> Result<Vec<u8>, BundleError> {
    files
        .remove(name)
        .ok_or_else(|| BundleError::bag(name, "it is missing"))
}

fn take_signatures(files: &mut Files) -> Files {
    let signer = |name: &str| {
        let signer = name
            .strip_prefix(TAG_MANIFEST)?
            .strip_prefix('.')?
            .strip_suffix(".sig")?;
        (!signer.is_empty() && !signer.contains('/')).then(|| signer.to_owned())
    };
    let names: Vec<(String, String)> = files
        .keys()
        .filter_map(|n| Some((n.clone(), signer(n)?)))
        .collect();
    names
        .into_iter()
        .filter_map(|(name, signer)| Some((signer, files.remove(&name)?)))
        .collect()
}

fn take_payload(files: Files) -> Result<Files, BundleError> {
    let mut payload = Files::new();
    for (name, bytes) in files {
        let Some(rest) = name.strip_prefix("data/") else {
            let why = if name == "fetch.txt" {
                "nothing is fetched from a network"
            } else {
                "a bundle has no such file"
            };
            return Err(BundleError::bag(&name, why));
        };
        payload.insert(rest.to_owned(), bytes);
    }
    Ok(payload)
}

/// Reads a manifest and holds every file against it: no file unlisted, none missing, none listed twice, none changed.
fn check_manifest(manifest: &'static str, bytes: &[u8], files: &Files) -> Result<(), BundleError> {
    let listed = read_manifest(manifest, bytes)?;
    for (name, bytes) in files {
        let Some(hash) = listed.get(name) else {
            return Err(BundleError::bag(
                name,
                format!("{manifest} does not list it"),
            ));
        };
        let found = sha256(bytes);
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
        return Err(BundleError::bag(
            missing,
            format!("{manifest} lists it, but it is missing"),
        ));
    }
    // Only one spelling of a manifest is written; another one was not made by this program.
    if bytes == self::manifest(files) {
        Ok(())
    } else {
        Err(BundleError::bag(
            manifest,
            "its lines are not in the order and form of a bundle",
        ))
    }
}

fn read_manifest(manifest: &str, bytes: &[u8]) -> Result<BTreeMap<String, String>, BundleError> {
    let text = std::str::from_utf8(bytes)
        .map_err(|_| BundleError::bag(manifest, "it is not UTF-8 text"))?;
    let mut listed = BTreeMap::new();
    for (number, line) in text.lines().enumerate() {
        let at = |why: &str| BundleError::bag(manifest, format!("line {}: {why}", number + 1));
        let (hash, name) = line
            .split_once("  ")
            .ok_or_else(|| at("a line is a hash, two blanks and a name"))?;
        if hash.len() != 64
            || !hash
                .bytes()
                .all(|b| b.is_ascii_digit() || (b'a'..=b'f').contains(&b))
        {
            return Err(at("a SHA-256 is 64 lower-case hexadecimal digits"));
        }
        if listed.insert(name.to_owned(), hash.to_owned()).is_some() {
            return Err(at("the file is listed twice"));
        }
    }
    Ok(listed)
}

fn read_info(bytes: &[u8], payload: &Files) -> Result<Vec<(String, String)>, BundleError> {
    let text =
        std::str::from_utf8(bytes).map_err(|_| BundleError::bag(INFO, "it is not UTF-8 text"))?;
    let mut info = Vec::new();
    let mut seen = BTreeSet::new();
    for (number, line) in text.lines().enumerate() {
        let at = |why: &str| BundleError::bag(INFO, format!("line {}: {why}", number + 1));
        let (label, value) = line
            .split_once(": ")
            .ok_or_else(|| at("a line is a label, a colon, a blank and a value"))?;
        if !is_label(label) || value.is_empty() {
            return Err(at(
                "a label is letters, digits and hyphens, and a value is not empty",
            ));
        }
        if !seen.insert(label) {
            return Err(at("the label stands twice"));
        }
        info.push((label.to_owned(), value.to_owned()));
    }
    let bytes: usize = payload.values().map(Vec::len).sum();
    let expected = format!("{bytes}.{}", payload.len());
    match info.iter().find(|(label, _)| label == OXUM) {
        Some((_, found)) if *found == expected => Ok(info),
        Some((_, found)) => Err(BundleError::bag(
            INFO,
            format!("{OXUM} says {found}, but the payload is {expected}"),
        )),
        None => Err(BundleError::bag(INFO, format!("{OXUM} is missing"))),
    }
}

fn check_contents(payload: &Files) -> Result<(), BundleError> {
    let required = [PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, FINDINGS, README];
    if let Some(missing) = required.iter().find(|n| !payload.contains_key(**n)) {
        return Err(BundleError::bag(
            &format!("data/{missing}"),
            "it is missing",
        ));
    }
    let known = |name: &str| {
        required.contains(&name)
            || OPTIONAL.contains(&name)
            || OPTIONAL_FOLDERS.iter().any(|f| {
                name.split_once('/')
                    .is_some_and(|(top, rest)| top == *f && !rest.contains('/'))
            })
    };
    match payload.keys().find(|n| !known(n)) {
        Some(name) => Err(BundleError::bag(
            &format!("data/{name}"),
            "a bundle has no such file",
        )),
        None => Ok(()),
    }
}

//! The bag inside a bundle (RFC 8493), and writing it.

use std::{borrow::Cow, collections::BTreeMap};

use super::{
    BundleError, Files, Limits, archive, contents,
    error::within,
    manifest::{self, breaks_lines},
};

pub(super) const DECLARATION: &str = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";
pub(super) const BAGIT: &str = "bagit.txt";
pub(super) const INFO: &str = "bag-info.txt";
pub(super) const MANIFEST: &str = "manifest-sha256.txt";
pub(super) const TAG_MANIFEST: &str = "tagmanifest-sha256.txt";
pub(super) const OXUM: &str = "Payload-Oxum";

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
    /// Signatures by the name of their signer: letters, digits, hyphens and underscores.
    pub signatures: Files,
}

impl Bag {
    /// Writes the bundle, without a signature. The same bag gives the same bytes.
    ///
    /// Refuses what [`open`](super::open) with the default [`Limits`] would refuse.
    pub fn to_zip(&self) -> Result<Vec<u8>, BundleError> {
        self.parts().to_zip(&Files::new())
    }

    /// The tag manifest of the bundle: the bytes that signatures are over.
    pub fn tag_manifest(&self) -> Result<Vec<u8>, BundleError> {
        let tags = self.parts().tag_files()?;
        Ok(tags.into_values().next_back().unwrap_or_default())
    }

    fn parts(&self) -> Parts<'_> {
        Parts {
            top: &self.top,
            info: &self.info,
            payload: &self.payload,
        }
    }
}

impl OpenBundle {
    /// Writes the bundle again, with the signatures that are in it now. Without a change the bytes are those that were
    /// opened.
    ///
    /// Refuses a bundle in which something else than the signatures was changed: they would no longer hold.
    pub fn to_zip(&self) -> Result<Vec<u8>, BundleError> {
        let parts = Parts {
            top: &self.top,
            info: self.info.strip_suffix(&[self.oxum()]).unwrap_or(&self.info),
            payload: &self.payload,
        };
        if parts.tag_files()?.get(TAG_MANIFEST) != Some(&self.tag_manifest) {
            let why =
                "the contents were changed after the bundle was opened: make a new bag of them";
            return Err(BundleError::bag(TAG_MANIFEST, why));
        }
        parts.to_zip(&self.signatures)
    }

    fn oxum(&self) -> (String, String) {
        (OXUM.to_owned(), oxum(&self.payload))
    }
}

/// What the files of a bundle are made of.
struct Parts<'p> {
    top: &'p str,
    info: &'p [(String, String)],
    payload: &'p Files,
}

impl Parts<'_> {
    fn to_zip(&self, signatures: &Files) -> Result<Vec<u8>, BundleError> {
        let limits = Limits::default();
        if self.top.contains('/') {
            let why = "the top folder has no folder above it";
            return Err(BundleError::name(self.top.as_bytes(), why));
        }
        contents::check(self.payload)?;
        let tags = self.tag_files()?;
        let mut files: BTreeMap<String, Cow<'_, [u8]>> = BTreeMap::new();
        let full = |name: &str| format!("{}/{name}", self.top);
        for (name, bytes) in tags {
            files.insert(full(&name), bytes.into());
        }
        for (name, bytes) in self.payload {
            files.insert(full(&format!("data/{name}")), bytes.into());
        }
        for (signer, bytes) in signatures {
            check_signature(signer, bytes, &limits)?;
            files.insert(full(&signature_name(signer)), bytes.into());
        }
        archive::write(&files, &limits)
    }

    /// The tag files by name; the tag manifest is the last.
    fn tag_files(&self) -> Result<Files, BundleError> {
        let payload: BTreeMap<String, &[u8]> = self
            .payload
            .iter()
            .map(|(name, bytes)| (format!("data/{name}"), bytes.as_slice()))
            .collect();
        let mut tags = Files::from([
            (BAGIT.to_owned(), DECLARATION.as_bytes().to_vec()),
            (INFO.to_owned(), write_info(self.info, self.payload)?),
            (MANIFEST.to_owned(), manifest::write(&payload)),
        ]);
        tags.insert(TAG_MANIFEST.to_owned(), manifest::write(&tags));
        Ok(tags)
    }
}

fn signature_name(signer: &str) -> String {
    format!("{TAG_MANIFEST}.{signer}.sig")
}

/// The signer whose signature a tag file is, if it is one.
pub(super) fn signer_of(name: &str) -> Option<&str> {
    name.strip_prefix(TAG_MANIFEST)?
        .strip_prefix('.')?
        .strip_suffix(".sig")
}

/// Refuses a signer's name that is not one plain word, and a signature that is larger than any.
pub(super) fn check_signature(
    signer: &str,
    bytes: &[u8],
    limits: &Limits,
) -> Result<(), BundleError> {
    let is_plain = |b: u8| b.is_ascii_alphanumeric() || matches!(b, b'-' | b'_');
    if signer.is_empty() || !signer.bytes().all(is_plain) {
        let why = "the name of a signer has letters, digits, hyphens and underscores";
        return Err(BundleError::name(signature_name(signer).as_bytes(), why));
    }
    let what = || format!("the size of the signature of {signer} in bytes");
    within(what, bytes.len(), limits.signature as u64)
}

/// Refuses a `bag-info.txt` that is too large. Labels are compared with one another, so a long list would take long.
pub(super) fn check_info_size(bytes: usize) -> Result<(), BundleError> {
    const LARGEST: u64 = 64_000;
    within(|| format!("the size of {INFO} in bytes"), bytes, LARGEST)
}

/// `bag-info.txt`, with the size of the payload as its last line.
fn write_info(info: &[(String, String)], payload: &Files) -> Result<Vec<u8>, BundleError> {
    check_info_size(
        info.iter()
            .map(|(label, value)| label.len() + value.len())
            .sum(),
    )?;
    let mut text = String::new();
    for (at, (label, value)) in info.iter().enumerate() {
        let earlier = info.get(..at).unwrap_or_default();
        if let Some(why) = info_fault(label, value, earlier) {
            return Err(BundleError::line(INFO, at + 1, why));
        }
        if label.eq_ignore_ascii_case(OXUM) {
            let why = format!("{OXUM} is computed: leave it out");
            return Err(BundleError::line(INFO, at + 1, why));
        }
        text.push_str(&info_line(label, value));
    }
    text.push_str(&info_line(OXUM, &oxum(payload)));
    check_info_size(text.len())?;
    Ok(text.into_bytes())
}

fn info_line(label: &str, value: &str) -> String {
    format!("{label}: {value}\n")
}

/// The size of the payload as RFC 8493, 2.2.2 writes it: bytes, a point, files.
pub(super) fn oxum(payload: &Files) -> String {
    let bytes: usize = payload.values().map(Vec::len).sum();
    format!("{bytes}.{}", payload.len())
}

/// What is wrong with a label and a value of `bag-info.txt`. `earlier` are those above them.
pub(super) fn info_fault(
    label: &str,
    value: &str,
    earlier: &[(String, String)],
) -> Option<&'static str> {
    let is_label = |b: u8| b.is_ascii_alphanumeric() || b == b'-';
    if label.is_empty() || !label.bytes().all(is_label) {
        Some("a label has letters, digits and hyphens")
    } else if value.is_empty() || value.trim() != value {
        Some("a value has a text without blanks around it")
    } else if value.contains(breaks_lines) {
        Some("a value is one line of text without control characters")
    } else if earlier.iter().any(|(l, _)| l.eq_ignore_ascii_case(label)) {
        Some("the label stands twice")
    } else {
        None
    }
}

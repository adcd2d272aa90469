//! Bundles: a profile's release as one file that other programs can open and trust.
//!
//! A bundle is a zip archive with one top folder that is a BagIt bag (RFC 8493, SHA-256). Every file is stored, not
//! compressed: the same contents give the same bytes with any version of any library, nothing can unfold to more than
//! its own size, and every byte of the archive is accounted for when it is opened.
//!
//! ```text
//! ID-X.Y.Z/bagit.txt  bag-info.txt  manifest-sha256.txt  tagmanifest-sha256.txt
//!          tagmanifest-sha256.txt.NAME.sig     signatures, listed nowhere, over the tag manifest
//!          data/profile.json                   canonical JSON (RFC 8785)
//!          data/profile.ron  profile.schema.json  findings.json  README.txt
//!          data/attachments/SHA256.ENDING
//! ```
//!
//! [`open`] checks all of this; [`Bag::to_zip`] writes it. Neither touches a disk or a network.

use std::collections::BTreeMap;

mod archive;
mod bag;
mod names;

pub use bag::{Bag, OpenBundle, open};

/// The canonical profile in the payload.
pub const PROFILE_JSON: &str = "profile.json";
/// The profile as people keep it.
pub const PROFILE_RON: &str = "profile.ron";
/// The JSON Schema of the profile.
pub const PROFILE_SCHEMA: &str = "profile.schema.json";
/// The findings, with the program's version.
pub const FINDINGS: &str = "findings.json";
/// What the bundle is, with the cautions.
pub const README: &str = "README.txt";
/// The folder of attachments in the payload.
pub const ATTACHMENTS: &str = "attachments";

/// Files by name, sorted.
pub type Files = BTreeMap<String, Vec<u8>>;

/// What is accepted when a bundle is opened. A bundle beyond any limit is refused before it is unfolded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The largest archive, in bytes.
    pub archive: usize,
    /// The most files in it.
    pub entries: usize,
    /// The largest file in it, in bytes.
    pub entry: u64,
    /// The longest name of a file, in characters.
    pub name: usize,
    /// The most folders above a file, the top folder included.
    pub depth: usize,
}

impl Default for Limits {
    /// 200 MB, 500 files of at most 60 MB, names of at most 200 characters, at most 4 folders deep.
    fn default() -> Self {
        Self {
            archive: 200_000_000,
            entries: 500,
            entry: 60_000_000,
            name: 200,
            depth: 4,
        }
    }
}

/// Why a bundle was refused, or could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BundleError {
    /// The bytes are no zip archive, or a damaged one.
    #[error("it is not a readable zip archive: {0}")]
    NotAZip(String),
    /// A stated limit is exceeded.
    #[error("{what} is {found}, beyond the limit of {limit}")]
    BeyondLimit {
        /// What is too large.
        what: String,
        /// How large it is.
        found: u64,
        /// The limit.
        limit: u64,
    },
    /// A file's name is not allowed.
    #[error("the name {name:?} is not allowed in a bundle: {why}")]
    BadName {
        /// The name, as far as it can be shown.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// An entry is something else than a plain stored file.
    #[error("the entry {name:?} {why}")]
    BadEntry {
        /// The entry's name.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// The archive holds bytes that no file of it accounts for, or headers that a bundle does not have.
    #[error(
        "the archive differs from a bundle with the same files from byte {at} on: it was changed, or made by another program"
    )]
    Unaccounted {
        /// The first byte that differs.
        at: usize,
    },
    /// The bag breaks RFC 8493 or the rules of a bundle.
    #[error("{file}: {why}")]
    BadBag {
        /// The file at fault.
        file: String,
        /// What is wrong, with the line where there is one.
        why: String,
    },
    /// A file does not have the hash that its manifest lists.
    #[error("{file} was changed: its SHA-256 is {found}, but {manifest} lists {listed}")]
    Changed {
        /// The file.
        file: String,
        /// The manifest that lists it.
        manifest: &'static str,
        /// The hash listed.
        listed: String,
        /// The hash found.
        found: String,
    },
}

impl BundleError {
    /// Whether the bundle could be opened and what is in it is not what it says: a failed verification, not an input
    /// that could not be used.
    pub fn is_failed_verification(&self) -> bool {
        matches!(self, Self::Changed { .. })
    }

    fn bag(file: &str, why: impl Into<String>) -> Self {
        Self::BadBag {
            file: file.to_owned(),
            why: why.into(),
        }
    }
}

#[cfg(test)]
mod tests;

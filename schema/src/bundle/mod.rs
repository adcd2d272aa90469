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
//!          data/profile.ron  profile.schema.json  findings.json  results.json  README.txt
//!          data/attachments/SHA256.ENDING
//! ```
//!
//! [`open`] checks all of this; [`Bag::to_zip`] writes it. Neither touches a disk or a network.
//!
//! # What is fixed, so that equal contents are equal bytes
//!
//! Files stand in the order of their names' bytes, one after the other from byte 0, with the directory and its end right
//! behind them. Each is stored (method 0, version 1.0, flags 0), dated 1980-01-01 00:00, a plain file of mode 0644 made
//! on Unix, without comment or extra field. Tag files have one spelling: LF line ends, manifests sorted by name, two
//! blanks between hash and name, one line for each label of `bag-info.txt` with `Payload-Oxum` at its end. A bundle that
//! differs from this in any byte is refused, even where RFC 8493 would allow it. Any zip writer that lets these fields be
//! set makes the same archive; that of Python's `zipfile` is equal to the byte.
//!
//! # What a signature covers
//!
//! The tag manifest holds the hashes of the other tag files, and the manifest those of the payload, so a signature over
//! [`OpenBundle::tag_manifest`] covers everything but two names: that of the top folder, and that of the signature
//! itself. Whoever relies on the top folder's name must compare it with the profile inside.
//!
//! # Reading
//!
//! [`OpenBundle::signed_by`] tells whose signatures it has, and [`OpenBundle::profile`] reads the profile in it.
//!
//! # Adding a signature
//!
//! Sign [`OpenBundle::tag_manifest`], insert the signature under the name of its signer into
//! [`OpenBundle::signatures`], and write with [`OpenBundle::to_zip`]. Nothing else in the bundle moves.

use std::collections::BTreeMap;

mod archive;
mod bag;
mod contents;
mod directory;
mod error;
mod manifest;
mod names;
mod opening;
mod reading;

pub use bag::{Bag, OpenBundle};
pub use contents::{
    ATTACHMENTS, DIFFERENCE, FINDINGS, PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, README, RESULTS,
    SHEETS,
};
pub use error::BundleError;
pub use opening::open;

/// Files by name, sorted.
pub type Files = BTreeMap<String, Vec<u8>>;

/// What is accepted when a bundle is opened or written. A bundle beyond any limit is refused before its files are copied.
///
/// There is no limit of ratio: files are stored, and no byte of the archive belongs to two of them, so an opened bundle
/// never takes more room than its archive.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Limits {
    /// The largest archive, in bytes; also a bound on all files in it together.
    pub archive: usize,
    /// The most files in it.
    pub entries: usize,
    /// The largest file in it, in bytes.
    pub entry: u64,
    /// The longest name of a file, in bytes, its folders included.
    pub name: usize,
    /// The most folders above a file, the top folder included.
    pub depth: usize,
    /// The largest signature, in bytes.
    pub signature: usize,
}

impl Default for Limits {
    /// 200 MB, 500 files of at most 60 MB, names of at most 200 characters, at most 4 folders deep, signatures of at most
    /// 64 kB.
    fn default() -> Self {
        Self {
            archive: 200_000_000,
            entries: 500,
            entry: 60_000_000,
            name: 200,
            depth: 4,
            signature: 64_000,
        }
    }
}

#[cfg(test)]
mod tests;

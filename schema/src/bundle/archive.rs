//! The zip archive around a bag: how a file's headers look, and writing.
//!
//! Section numbers are those of APPNOTE.TXT, the published description of the zip format, from memory. The archive is
//! written here rather than by a library so that a later version of a library cannot change a byte of it: bundles of
//! today must open for ever, and opening compares every byte.

use std::collections::BTreeMap;

use super::{BundleError, Limits, error::within, names};

pub(super) const LOCAL: [u8; 4] = *b"PK\x03\x04";
pub(super) const CENTRAL: [u8; 4] = *b"PK\x01\x02";
pub(super) const END: [u8; 4] = *b"PK\x05\x06";
/// The length of the end of the central directory (4.3.16) without a comment.
pub(super) const END_LENGTH: usize = 22;

/// What the two headers of a file tell.
#[derive(Clone, Copy)]
pub(super) struct Header<'n> {
    pub(super) name: &'n str,
    pub(super) crc: u32,
    pub(super) size: u32,
    /// Where the local header begins.
    pub(super) offset: u32,
}

impl Header<'_> {
    /// The header in front of the file's bytes (4.3.7).
    pub(super) fn local(&self) -> Vec<u8> {
        [&LOCAL, self.common().as_slice(), self.name.as_bytes()].concat()
    }

    /// The file's record in the central directory (4.3.12): made on Unix, a plain file of mode 0644.
    pub(super) fn central(&self) -> Vec<u8> {
        const MADE_BY_UNIX_VERSION_10: [u8; 2] = [10, 3];
        /// Comment length, disk number and internal attributes.
        const NONE: [u8; 6] = [0; 6];
        const PLAIN_FILE: u32 = 0o100_644 << 16;
        let mut record = CENTRAL.to_vec();
        record.extend(MADE_BY_UNIX_VERSION_10);
        record.extend(self.common());
        record.extend(NONE);
        record.extend(PLAIN_FILE.to_le_bytes());
        record.extend(self.offset.to_le_bytes());
        record.extend(self.name.as_bytes());
        record
    }

    /// The fields that both headers share, in the same order.
    fn common(&self) -> Vec<u8> {
        const VERSION_10: [u8; 2] = [10, 0];
        const NO_FLAGS: [u8; 2] = [0; 2];
        const STORED: [u8; 2] = [0; 2];
        const MIDNIGHT: [u8; 2] = [0; 2];
        const FIRST_OF_JANUARY_1980: [u8; 2] = [0b001_00001, 0];
        const NO_EXTRA_FIELD: [u8; 2] = [0; 2];
        let mut fields = [
            VERSION_10,
            NO_FLAGS,
            STORED,
            MIDNIGHT,
            FIRST_OF_JANUARY_1980,
        ]
        .concat();
        fields.extend(self.crc.to_le_bytes());
        fields.extend(self.size.to_le_bytes());
        fields.extend(self.size.to_le_bytes());
        // Limits keep names far below 65,536 bytes, and a longer one is refused before it comes here.
        let length = u16::try_from(self.name.len()).unwrap_or(u16::MAX);
        fields.extend(length.to_le_bytes());
        fields.extend(NO_EXTRA_FIELD);
        fields
    }
}

/// The end of the central directory (4.3.16).
pub(super) fn end(count: u16, size: u32, start: u32) -> Vec<u8> {
    let mut record = END.to_vec();
    record.extend([0; 4]);
    record.extend(count.to_le_bytes());
    record.extend(count.to_le_bytes());
    record.extend(size.to_le_bytes());
    record.extend(start.to_le_bytes());
    record.extend([0; 2]);
    record
}

/// Writes files into an archive; the same files give the same bytes.
pub(super) fn write<B: AsRef<[u8]>>(
    files: &BTreeMap<String, B>,
    limits: &Limits,
) -> Result<Vec<u8>, BundleError> {
    let most = limits.entries.min(usize::from(u16::MAX) - 1);
    within(number_of_files, files.len(), most as u64)?;
    let (mut out, mut directory) = (Vec::new(), Vec::new());
    for (name, bytes) in files {
        names::check(name.as_bytes(), limits)?;
        let bytes = bytes.as_ref();
        within(|| size_of(name), bytes.len(), limits.entry)?;
        let header = Header {
            name,
            crc: crc32fast::hash(bytes),
            size: four_bytes(bytes.len())?,
            offset: four_bytes(out.len())?,
        };
        out.extend(header.local());
        out.extend(bytes);
        directory.extend(header.central());
    }
    names::check_collisions(files.keys())?;
    let count = u16::try_from(files.len()).unwrap_or(u16::MAX);
    let end = end(count, four_bytes(directory.len())?, four_bytes(out.len())?);
    out.extend(directory);
    out.extend(end);
    within(size_of_archive, out.len(), limits.archive as u64)?;
    Ok(out)
}

pub(super) fn number_of_files() -> String {
    "the number of files".to_owned()
}

pub(super) fn size_of_archive() -> String {
    "the size of the archive in bytes".to_owned()
}

pub(super) fn size_of(name: &str) -> String {
    format!("the size of {name} in bytes")
}

/// A number that fits the four bytes which a plain archive has for it; its highest value would mean zip64.
fn four_bytes(number: usize) -> Result<u32, BundleError> {
    within(size_of_archive, number, u64::from(u32::MAX) - 1)?;
    Ok(u32::try_from(number).unwrap_or(u32::MAX))
}

//! Reading the zip archive around a bag. Whatever an archive can hold beside plain stored files is refused.
//!
//! The central directory is walked once. Each file must lie right behind the one before, and both of its headers must be
//! the bytes that [`Header`] writes. So files cannot overlap, nothing can hide before, between or behind them, and no
//! size is believed that the archive does not bear out.

use super::{
    BundleError, Files, Limits,
    archive::{
        CENTRAL, END, END_LENGTH, Header, LOCAL, end, number_of_files, size_of, size_of_archive,
    },
    error::{shown, within},
    names,
};

/// The files of an archive.
pub(super) struct Unpacked {
    pub(super) files: Files,
    /// The first file whose bytes do not have the CRC-32 in its headers. It is told last, because a SHA-256 that differs
    /// tells more.
    pub(super) damaged: Option<String>,
}

/// Reads an archive's files.
pub(super) fn read(bytes: &[u8], limits: &Limits) -> Result<Unpacked, BundleError> {
    within(size_of_archive, bytes.len(), limits.archive as u64)?;
    let end = End::find(bytes)?;
    within(number_of_files, end.count.into(), limits.entries as u64)?;
    let mut walk = Walk {
        bytes,
        limits,
        records: bytes.get(end.start..end.at).unwrap_or_default(),
        data_end: end.start,
        next: 0,
        unpacked: Unpacked {
            files: Files::new(),
            damaged: None,
        },
    };
    for _ in 0..end.count {
        walk.file()?;
    }
    if !walk.records.is_empty() {
        let at = end.at.saturating_sub(walk.records.len());
        return Err(BundleError::Unaccounted { at });
    }
    if walk.next != end.start {
        return Err(BundleError::Unaccounted { at: walk.next });
    }
    names::check_collisions(walk.unpacked.files.keys())?;
    Ok(walk.unpacked)
}

/// Reads little-endian numbers one after the other.
struct Fields<'b>(&'b [u8]);

impl<'b> Fields<'b> {
    fn take(&mut self, length: usize) -> Option<&'b [u8]> {
        let (taken, rest) = self.0.split_at_checked(length)?;
        self.0 = rest;
        Some(taken)
    }

    fn u16(&mut self) -> Option<u16> {
        Some(u16::from_le_bytes(self.take(2)?.try_into().ok()?))
    }

    fn u32(&mut self) -> Option<u32> {
        Some(u32::from_le_bytes(self.take(4)?.try_into().ok()?))
    }
}

/// The end of the central directory, which is the end of the archive.
struct End {
    at: usize,
    start: usize,
    count: u16,
}

impl End {
    fn find(bytes: &[u8]) -> Result<Self, BundleError> {
        let Some(at) = bytes.len().checked_sub(END_LENGTH) else {
            return Err(without_end(bytes));
        };
        let mut fields = Fields(bytes.get(at..).unwrap_or_default());
        if fields.take(END.len()) != Some(&END) {
            return Err(without_end(bytes));
        }
        let unreadable = || BundleError::zip("its end is cut short");
        let _disks = fields.u32().ok_or_else(unreadable)?;
        let _count_here = fields.u16().ok_or_else(unreadable)?;
        let count = fields.u16().ok_or_else(unreadable)?;
        let size = fields.u32().ok_or_else(unreadable)?;
        let start = fields.u32().ok_or_else(unreadable)?;
        let before = bytes.get(..at).unwrap_or_default();
        if count == u16::MAX || size == u32::MAX || start == u32::MAX || has_zip64_end(before) {
            return Err(BundleError::zip(
                "it is in the zip64 form, which a bundle never is",
            ));
        }
        if bytes.get(at..) != Some(end(count, size, start).as_slice()) {
            return Err(BundleError::zip(
                "its end tells of other parts, or of two numbers of files, or has a comment",
            ));
        }
        Ok(Self {
            at,
            start: directory_start(bytes, at, size as usize, start as usize)?,
            count,
        })
    }
}

fn has_zip64_end(before: &[u8]) -> bool {
    const LOCATOR: &[u8] = b"PK\x06\x07";
    const LOCATOR_LENGTH: usize = 20;
    before
        .len()
        .checked_sub(LOCATOR_LENGTH)
        .and_then(|at| before.get(at..))
        .is_some_and(|locator| locator.starts_with(LOCATOR))
}

/// The directory must lie between the files and the end, without a gap.
fn directory_start(
    bytes: &[u8],
    end: usize,
    size: usize,
    start: usize,
) -> Result<usize, BundleError> {
    let Some(gap) = end.checked_sub(size).and_then(|e| e.checked_sub(start)) else {
        return Err(BundleError::zip(
            "bytes are missing in front of its directory",
        ));
    };
    if gap == 0 {
        return Ok(start);
    }
    // Where all places in the archive are off by the gap, something was put in front of it.
    let shifted = bytes
        .get(gap..)
        .is_some_and(|rest| rest.starts_with(&LOCAL));
    let at = if shifted { 0 } else { start + size };
    Err(BundleError::Unaccounted { at })
}

/// Tells why the last bytes are not the end of a directory.
fn without_end(bytes: &[u8]) -> BundleError {
    const LONGEST_COMMENT: usize = 65_535;
    let from = bytes.len().saturating_sub(END_LENGTH + LONGEST_COMMENT);
    let tail = bytes.get(from..).unwrap_or_default();
    if let Some(at) = tail.windows(END.len()).rposition(|w| w == END) {
        let after = from + at + END_LENGTH;
        if after < bytes.len() {
            return BundleError::Unaccounted { at: after };
        }
    }
    if bytes.starts_with(&LOCAL) {
        BundleError::zip("it is cut short: its directory is missing")
    } else if bytes.is_empty() {
        BundleError::zip("it is empty")
    } else {
        BundleError::zip("it is another kind of file")
    }
}

/// A record of the central directory as it stands there (APPNOTE.TXT 4.3.12).
struct Record<'b> {
    made_by: u16,
    flags: u16,
    method: u16,
    crc: u32,
    compressed: u32,
    size: u32,
    extras: bool,
    attributes: u32,
    offset: u32,
    name: &'b [u8],
}

impl<'b> Record<'b> {
    fn take(fields: &mut Fields<'b>) -> Option<Self> {
        if fields.take(CENTRAL.len())? != CENTRAL {
            return None;
        }
        let made_by = fields.u16()?;
        let _needed = fields.u16()?;
        let flags = fields.u16()?;
        let method = fields.u16()?;
        let _time_and_date = fields.u32()?;
        let (crc, compressed, size) = (fields.u32()?, fields.u32()?, fields.u32()?);
        let (name, extra, comment) = (fields.u16()?, fields.u16()?, fields.u16()?);
        let _disk_and_internal = fields.u32()?;
        let (attributes, offset) = (fields.u32()?, fields.u32()?);
        let name = fields.take(name.into())?;
        fields.take(usize::from(extra) + usize::from(comment))?;
        Some(Self {
            made_by,
            flags,
            method,
            crc,
            compressed,
            size,
            extras: extra != 0 || comment != 0,
            attributes,
            offset,
            name,
        })
    }

    /// What the entry is, where it is no plain stored file.
    fn fault(&self) -> Option<&'static str> {
        /// Encrypted, strongly encrypted, and with an encrypted directory (4.4.4).
        const ENCRYPTED: u16 = 1 | 1 << 6 | 1 << 13;
        if self.flags & ENCRYPTED != 0 {
            return Some("is encrypted");
        }
        if self.method != 0 {
            return Some("is compressed: the files of a bundle are stored");
        }
        if self.is_special() {
            return Some("is a link or a device: a bundle holds plain files only");
        }
        if self.compressed == u32::MAX || self.size == u32::MAX || self.offset == u32::MAX {
            return Some("is in the zip64 form");
        }
        if self.compressed != self.size {
            return Some("has two sizes");
        }
        self.extras.then_some("has a comment or an extra field")
    }

    fn is_folder(&self) -> bool {
        const DOS_FOLDER: u32 = 0x10;
        self.name.ends_with(b"/") || self.attributes & DOS_FOLDER != 0 || self.kind() == 0o040_000
    }

    fn is_special(&self) -> bool {
        !matches!(self.kind(), 0 | 0o100_000)
    }

    /// The kind of file by its Unix mode; 0 where it was not made on Unix.
    fn kind(&self) -> u32 {
        const UNIX: u16 = 3;
        if self.made_by >> 8 == UNIX {
            (self.attributes >> 16) & 0o170_000
        } else {
            0
        }
    }
}

struct Walk<'b> {
    bytes: &'b [u8],
    limits: &'b Limits,
    /// What is left of the directory.
    records: &'b [u8],
    /// Where the files must end.
    data_end: usize,
    /// Where the next file must begin.
    next: usize,
    unpacked: Unpacked,
}

impl<'b> Walk<'b> {
    fn file(&mut self) -> Result<(), BundleError> {
        let mut fields = Fields(self.records);
        let record = Record::take(&mut fields)
            .ok_or_else(|| BundleError::zip("its directory is damaged or cut short"))?;
        let (raw, rest) = self.records.split_at(self.records.len() - fields.0.len());
        self.records = rest;
        let name = self.name(&record)?;
        let header = Header {
            name,
            crc: record.crc,
            size: record.size,
            offset: record.offset,
        };
        let contents = self.contents(&header)?;
        if raw != header.central() {
            let why = "has a header that a bundle does not have: another program packed it";
            return Err(BundleError::entry(record.name, why));
        }
        if crc32fast::hash(contents) != record.crc && self.unpacked.damaged.is_none() {
            self.unpacked.damaged = Some(name.to_owned());
        }
        self.unpacked
            .files
            .insert(name.to_owned(), contents.to_vec());
        Ok(())
    }

    /// The name of an entry that is a plain file and comes after all before it.
    fn name<'n>(&self, record: &Record<'n>) -> Result<&'n str, BundleError> {
        let bad = |why| Err(BundleError::entry(record.name, why));
        if record.is_folder() {
            return bad("is a folder by itself: a bundle holds files only");
        }
        let name = names::check(record.name, self.limits)?;
        if let Some(why) = record.fault() {
            return bad(why);
        }
        within(
            || size_of(&shown(record.name)),
            record.size as usize,
            self.limits.entry,
        )?;
        if self.unpacked.files.contains_key(name) {
            return bad("is there twice");
        }
        if (self.unpacked.files.keys().next_back()).is_some_and(|last| last.as_str() > name) {
            return bad("is out of order");
        }
        Ok(name)
    }

    /// The bytes of a file, which must begin where the file before ends.
    fn contents(&mut self, header: &Header<'_>) -> Result<&'b [u8], BundleError> {
        let bad = |why| Err(BundleError::entry(header.name.as_bytes(), why));
        let offset = header.offset as usize;
        if offset < self.next {
            return bad("lies over another file of the archive");
        }
        if offset > self.next {
            return Err(BundleError::Unaccounted { at: self.next });
        }
        let local = header.local();
        let start = offset.saturating_add(local.len());
        if self.bytes.get(offset..start) != Some(local.as_slice()) {
            return bad("has two headers that disagree, or another program packed it");
        }
        let end = start.saturating_add(header.size as usize);
        match self.bytes.get(start..end) {
            Some(contents) if end <= self.data_end => {
                self.next = end;
                Ok(contents)
            }
            _ => bad("reaches beyond the files of the archive"),
        }
    }
}

//! A zip writer that writes whatever it is told, right or wrong (APPNOTE.TXT 4.3), so that archives can be tried which
//! no library writes.

use super::*;

#[derive(Clone)]
pub(super) struct Raw {
    pub(super) name: Vec<u8>,
    pub(super) data: Vec<u8>,
    pub(super) made_by: u16,
    pub(super) needed: u16,
    pub(super) flags: u16,
    pub(super) method: u16,
    pub(super) time: u16,
    pub(super) date: u16,
    pub(super) crc: u32,
    pub(super) compressed: u32,
    pub(super) size: u32,
    pub(super) attributes: u32,
    pub(super) extra: Vec<u8>,
    pub(super) comment: Vec<u8>,
    /// Written only into the local header, where it differs from the directory's.
    pub(super) local_name: Option<Vec<u8>>,
    /// Points somewhere else than to the file's own header.
    pub(super) offset: Option<u32>,
    /// Whether the file has a header and bytes of its own, or only a record in the directory.
    pub(super) is_written: bool,
}

impl Raw {
    /// The entry as a bundle has it.
    pub(super) fn plain(name: &str, data: &[u8]) -> Self {
        let size = u32::try_from(data.len()).unwrap();
        Self {
            name: name.into(),
            data: data.into(),
            made_by: 0x030a,
            needed: 10,
            flags: 0,
            method: 0,
            time: 0,
            date: 0x21,
            crc: crc32fast::hash(data),
            compressed: size,
            size,
            attributes: 0o100_644 << 16,
            extra: Vec::new(),
            comment: Vec::new(),
            local_name: None,
            offset: None,
            is_written: true,
        }
    }

    fn common(&self, name: &[u8]) -> Vec<u8> {
        let mut out = Vec::new();
        for short in [self.needed, self.flags, self.method, self.time, self.date] {
            out.extend(short.to_le_bytes());
        }
        for long in [self.crc, self.compressed, self.size] {
            out.extend(long.to_le_bytes());
        }
        out.extend(short(name.len()));
        out.extend(short(self.extra.len()));
        out
    }

    pub(super) fn local(&self) -> Vec<u8> {
        let name = self.local_name.as_ref().unwrap_or(&self.name);
        let header = self.common(name);
        [
            b"PK\x03\x04",
            header.as_slice(),
            name,
            &self.extra,
            &self.data,
        ]
        .concat()
    }

    fn central(&self, offset: usize) -> Vec<u8> {
        let mut out = b"PK\x01\x02".to_vec();
        out.extend(self.made_by.to_le_bytes());
        out.extend(self.common(&self.name));
        out.extend(short(self.comment.len()));
        out.extend([0; 4]);
        out.extend(self.attributes.to_le_bytes());
        out.extend(self.offset.unwrap_or(long(offset)).to_le_bytes());
        [out.as_slice(), &self.name, &self.extra, &self.comment].concat()
    }
}

pub(super) fn short(number: usize) -> [u8; 2] {
    u16::try_from(number).unwrap().to_le_bytes()
}

fn long(number: usize) -> u32 {
    u32::try_from(number).unwrap()
}

/// The parts of an archive, to be put together after something was changed in them.
pub(super) struct Parts {
    pub(super) data: Vec<u8>,
    pub(super) directory: Vec<u8>,
    pub(super) between: Vec<u8>,
    pub(super) count: u16,
    pub(super) disk: u16,
    pub(super) comment: Vec<u8>,
}

pub(super) fn parts(entries: &[Raw]) -> Parts {
    let (mut data, mut directory) = (Vec::new(), Vec::new());
    for entry in entries {
        directory.extend(entry.central(data.len()));
        if entry.is_written {
            data.extend(entry.local());
        }
    }
    Parts {
        data,
        directory,
        between: Vec::new(),
        count: u16::try_from(entries.len()).unwrap(),
        disk: 0,
        comment: Vec::new(),
    }
}

impl Parts {
    pub(super) fn zip(&self) -> Vec<u8> {
        let mut end = b"PK\x05\x06".to_vec();
        end.extend(self.disk.to_le_bytes());
        end.extend(self.disk.to_le_bytes());
        end.extend(self.count.to_le_bytes());
        end.extend(self.count.to_le_bytes());
        end.extend(long(self.directory.len()).to_le_bytes());
        end.extend(long(self.data.len()).to_le_bytes());
        end.extend(short(self.comment.len()));
        [
            self.data.as_slice(),
            &self.directory,
            &self.between,
            &end,
            &self.comment,
        ]
        .concat()
    }
}

pub(super) fn zip(entries: &[Raw]) -> Vec<u8> {
    parts(entries).zip()
}

/// The entries of the good bundle.
pub(super) fn entries() -> Vec<Raw> {
    files()
        .iter()
        .map(|(name, data)| Raw::plain(name, data))
        .collect()
}

#[test]
fn untouched_entries_give_the_good_bundle() {
    assert_eq!(zip(&entries()), bundle());
}

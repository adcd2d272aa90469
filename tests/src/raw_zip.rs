//! Zip archives written by hand (PKWARE APPNOTE, 4.3; from memory), so that what no library writes can be tried.

/// One entry: whatever its fields say is written, right or wrong.
#[derive(Clone, Debug)]
pub struct Entry {
    /// The name, as bytes.
    pub name: Vec<u8>,
    /// The contents, as they stand in the archive.
    pub data: Vec<u8>,
    /// The compression method: 0 is stored, 8 is deflate.
    pub method: u16,
    /// The general purpose flags: bit 0 is encryption.
    pub flags: u16,
    /// The Unix mode in the central directory.
    pub mode: u32,
    /// The size after unfolding that the headers claim; `None` is the truth.
    pub claimed_size: Option<u32>,
}

impl Entry {
    /// A plain stored file.
    pub fn stored(name: &str, data: &[u8]) -> Self {
        Self {
            name: name.as_bytes().to_vec(),
            data: data.to_vec(),
            method: 0,
            flags: 0,
            mode: 0o100_644,
            claimed_size: None,
        }
    }
}

/// Writes an archive with these entries.
pub fn write(entries: &[Entry]) -> Vec<u8> {
    let (mut out, mut central) = (Vec::new(), Vec::new());
    for entry in entries {
        let offset = four(out.len());
        let common = header(entry);
        out.extend(b"PK\x03\x04");
        out.extend(&common);
        out.extend(&entry.name);
        out.extend(&entry.data);
        central.extend(b"PK\x01\x02");
        central.extend(0x0314u16.to_le_bytes());
        central.extend(&common);
        central.extend([0; 6]);
        central.extend((entry.mode << 16).to_le_bytes());
        central.extend(offset);
        central.extend(&entry.name);
    }
    let start = four(out.len());
    let count = u16::try_from(entries.len())
        .expect("few entries")
        .to_le_bytes();
    out.extend(&central);
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend(count);
    out.extend(count);
    out.extend(four(central.len()));
    out.extend(start);
    out.extend([0, 0]);
    out
}

/// What the local and the central header have in common, from the version needed to the length of the extra field.
fn header(entry: &Entry) -> Vec<u8> {
    let mut header = Vec::new();
    header.extend(20u16.to_le_bytes());
    header.extend(entry.flags.to_le_bytes());
    header.extend(entry.method.to_le_bytes());
    header.extend([0, 0, 0x21, 0]);
    header.extend(crc32(&entry.data).to_le_bytes());
    header.extend(four(entry.data.len()));
    header.extend(
        entry
            .claimed_size
            .map_or(four(entry.data.len()), u32::to_le_bytes),
    );
    header.extend(
        u16::try_from(entry.name.len())
            .expect("a short name")
            .to_le_bytes(),
    );
    header.extend([0, 0]);
    header
}

fn four(number: usize) -> [u8; 4] {
    u32::try_from(number)
        .expect("a small archive")
        .to_le_bytes()
}

/// The checksum of a zip entry (CRC-32, reflected polynomial 0xEDB88320).
pub fn crc32(bytes: &[u8]) -> u32 {
    let step = |crc: u32| {
        if crc & 1 == 1 {
            0xedb8_8320 ^ (crc >> 1)
        } else {
            crc >> 1
        }
    };
    !bytes.iter().fold(!0, |crc, byte| {
        (0..8).fold(crc ^ u32::from(*byte), |crc, _| step(crc))
    })
}

/// Changes the contents of a stored file inside an archive, keeping their length, and mends the checksums, so that the
/// archive itself is in order and only what is in it has changed.
pub fn change(archive: &mut [u8], name: &str, change: impl FnOnce(&mut [u8])) {
    let number = |bytes: &[u8], at: usize| {
        u32::from_le_bytes(bytes[at..at + 4].try_into().expect("four bytes")) as usize
    };
    let short =
        |bytes: &[u8], at: usize| usize::from(u16::from_le_bytes([bytes[at], bytes[at + 1]]));
    let end = archive.len() - 22;
    assert_eq!(
        &archive[end..end + 4],
        b"PK\x05\x06",
        "the archive has no comment"
    );
    let mut central = number(archive, end + 16);
    while &archive[central + 46..central + 46 + short(archive, central + 28)] != name.as_bytes() {
        central += 46
            + short(archive, central + 28)
            + short(archive, central + 30)
            + short(archive, central + 32);
        assert!(central < end, "the archive has no file {name}");
    }
    let local = number(archive, central + 42);
    let data = local + 30 + short(archive, local + 26) + short(archive, local + 28);
    let length = number(archive, central + 24);
    change(&mut archive[data..data + length]);
    let sum = crc32(&archive[data..data + length]).to_le_bytes();
    archive[local + 14..local + 18].copy_from_slice(&sum);
    archive[central + 16..central + 20].copy_from_slice(&sum);
}

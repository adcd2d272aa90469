//! Attachments: files kept beside a profile in the folder `attachments`, named by their SHA-256.

use std::{collections::BTreeMap, fs, path::Path};

use chockstone_schema::{Profile, model::record::Attachment};
use sha2::{Digest as _, Sha256};

/// The folder of attachments beside the profiles that use them.
pub const FOLDER: &str = "attachments";

/// The SHA-256 of bytes as 64 lower-case hexadecimal digits (FIPS 180-4).
pub fn sha256(bytes: &[u8]) -> String {
    hex::encode(Sha256::digest(bytes))
}

/// The name of an attachment's file, in the folder and in a bundle.
pub fn file_name(attachment: &Attachment) -> String {
    format!("{}.{}", attachment.sha256, attachment.media_type.ending())
}

/// Loads every attachment that a profile lists, by file name, from the folder beside it.
///
/// A missing file, another size or another hash is told in a sentence each; then nothing is returned.
pub fn load(
    profile: &Profile,
    profile_folder: &Path,
) -> Result<BTreeMap<String, Vec<u8>>, Vec<String>> {
    let mut loaded = BTreeMap::new();
    let mut faults = Vec::new();
    for attachment in &profile.attachments {
        let name = file_name(attachment);
        match read_at_most(&profile_folder.join(FOLDER).join(&name), attachment.size) {
            Ok(bytes) => match mismatch(attachment, &bytes) {
                None => drop(loaded.insert(name, bytes)),
                Some(fault) => faults.push(fault),
            },
            Err(error) => faults.push(format!(
                "The attachment {} could not be read from {FOLDER}/{name}: {error}.",
                attachment.id
            )),
        }
    }
    if faults.is_empty() {
        Ok(loaded)
    } else {
        Err(faults)
    }
}

/// Reads a file, and one byte more than expected at the most: a larger one is the wrong one anyway.
fn read_at_most(path: &Path, size: u64) -> std::io::Result<Vec<u8>> {
    use std::io::Read as _;
    let mut bytes = Vec::new();
    fs::File::open(path)?
        .take(size.saturating_add(1))
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// What is wrong with an attachment's bytes, as a sentence.
pub fn mismatch(attachment: &Attachment, bytes: &[u8]) -> Option<String> {
    let id = &attachment.id;
    if bytes.len() as u64 != attachment.size {
        return Some(format!(
            "The attachment {id} does not have the {} bytes that the profile says.",
            attachment.size
        ));
    }
    let found = sha256(bytes);
    (found != attachment.sha256.as_str()).then(|| {
        format!(
            "The attachment {id} has the SHA-256 {found}, but the profile says {}.",
            attachment.sha256
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_is_that_of_fips_180_4() {
        // FIPS 180-4 example "abc"; from memory, confirmed with another implementation.
        assert_eq!(
            sha256(b"abc"),
            "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
        );
    }
}

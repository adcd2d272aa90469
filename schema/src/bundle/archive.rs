//! The zip archive around a bag: stored files with fixed times and modes, and not a byte more.

use std::io::{Cursor, Read as _, Write as _};

use zip::{CompressionMethod, DateTime, ZipArchive, ZipWriter, write::SimpleFileOptions};

use super::{BundleError, Files, Limits, names};

/// Writes files into an archive; the same files give the same bytes.
pub(super) fn write(files: &Files, limits: &Limits) -> Result<Vec<u8>, BundleError> {
    for name in files.keys() {
        names::check(name, limits)?;
    }
    names::check_collisions(files.keys())?;
    let broken = |e: zip::result::ZipError| BundleError::NotAZip(e.to_string());
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(name.as_str(), options).map_err(broken)?;
        writer
            .write_all(bytes)
            .map_err(|e| BundleError::NotAZip(e.to_string()))?;
    }
    Ok(writer.finish().map_err(broken)?.into_inner())
}

/// Reads an archive's files. Whatever an archive can hold beside plain stored files is refused.
pub(super) fn read(bytes: &[u8], limits: &Limits) -> Result<Files, BundleError> {
    within(
        "the archive's size in bytes",
        bytes.len() as u64,
        limits.archive as u64,
    )?;
    let mut archive =
        ZipArchive::new(Cursor::new(bytes)).map_err(|e| BundleError::NotAZip(e.to_string()))?;
    within(
        "the number of files",
        archive.len() as u64,
        limits.entries as u64,
    )?;
    let mut files = Files::new();
    for index in 0..archive.len() {
        let (name, contents) = entry(&mut archive, index, limits)?;
        if files.insert(name.clone(), contents).is_some() {
            return Err(BundleError::BadEntry {
                name,
                why: "is there twice",
            });
        }
    }
    names::check_collisions(files.keys())?;
    accounted(bytes, &files, limits)?;
    Ok(files)
}

fn entry(
    archive: &mut ZipArchive<Cursor<&[u8]>>,
    index: usize,
    limits: &Limits,
) -> Result<(String, Vec<u8>), BundleError> {
    let unreadable = |e: zip::result::ZipError| BundleError::NotAZip(e.to_string());
    let raw = archive.by_index_raw(index).map_err(unreadable)?;
    let name = raw.name().map_err(unreadable)?.into_owned();
    let bad = |why| {
        Err(BundleError::BadEntry {
            name: name.clone(),
            why,
        })
    };
    if raw.is_dir() {
        return bad("is a folder by itself: a bundle holds files only");
    }
    names::check(&name, limits)?;
    if raw.encrypted() {
        return bad("is encrypted");
    }
    if raw.compression() != CompressionMethod::Stored {
        return bad("is compressed: the files of a bundle are stored");
    }
    if raw.is_symlink()
        || raw
            .unix_mode()
            .is_some_and(|mode| mode & 0o170_000 != 0o100_000)
    {
        return bad("is a link or a device: a bundle holds plain files only");
    }
    within(
        &format!("the size of {name} in bytes"),
        raw.size(),
        limits.entry,
    )?;
    drop(raw);
    let mut contents = Vec::new();
    let file = archive.by_index(index).map_err(unreadable)?;
    // The size in the header is not trusted: one byte more than the limit is enough to know.
    file.take(limits.entry + 1)
        .read_to_end(&mut contents)
        .map_err(|e| BundleError::NotAZip(format!("{name}: {e}")))?;
    within(
        &format!("the size of {name} in bytes"),
        contents.len() as u64,
        limits.entry,
    )?;
    Ok((name, contents))
}

/// Writing the same files again must give the same bytes: nothing is hidden before, between or behind them.
fn accounted(bytes: &[u8], files: &Files, limits: &Limits) -> Result<(), BundleError> {
    let again = write(files, limits)?;
    if again == bytes {
        return Ok(());
    }
    let at = again
        .iter()
        .zip(bytes)
        .position(|(a, b)| a != b)
        .unwrap_or(again.len().min(bytes.len()));
    Err(BundleError::Unaccounted { at })
}

fn within(what: &str, found: u64, limit: u64) -> Result<(), BundleError> {
    if found > limit {
        Err(BundleError::BeyondLimit {
            what: what.to_owned(),
            found,
            limit,
        })
    } else {
        Ok(())
    }
}

//! A library in a folder, on this machine or on a mounted share.

use std::{
    fs,
    io::{self, Read as _},
    path::{Component, Path, PathBuf},
};

use chockstone_schema::{codes::Sha256Hex, report::FileOf};

use super::{Store, Tagged};
use crate::{
    catalogue::{SNAPSHOT, Source},
    files,
};

/// Held while a snapshot is compared and written.
const LOCK: &str = "catalogue/.lock";

/// A library in a folder.
#[derive(Clone, Debug)]
pub struct Folder(PathBuf);

impl Folder {
    /// The library in this folder, which need not be there yet.
    pub fn new(folder: &Path) -> Self {
        Self(folder.to_owned())
    }

    /// The path of a file; refused when a name would lead out of the folder.
    fn path(&self, name: &str) -> io::Result<PathBuf> {
        let is_plain = Path::new(name)
            .components()
            .all(|part| matches!(part, Component::Normal(_)));
        if is_plain && !name.contains('\\') {
            Ok(self.0.join(name))
        } else {
            let why = format!("{name:?} is no name of a file inside a library");
            Err(io::Error::new(io::ErrorKind::InvalidInput, why))
        }
    }

    /// Whether a file is there as it should be.
    pub(super) fn has(&self, name: &str, file: &FileOf) -> bool {
        let Ok(path) = self.path(name) else {
            return false;
        };
        let right_size = fs::metadata(&path).is_ok_and(|m| m.len() == file.size);
        right_size && fs::read(path).is_ok_and(|bytes| Sha256Hex::of(&bytes) == file.sha256)
    }

    /// Writes a file over another one, whole or not at all.
    pub(super) fn replace(&self, name: &str, bytes: &[u8]) -> io::Result<()> {
        let path = self.path(name)?;
        make_folder_of(&path)?;
        files::write_atomic(&path, bytes)
    }
}

fn make_folder_of(path: &Path) -> io::Result<()> {
    path.parent().map_or(Ok(()), fs::create_dir_all)
}

impl Source for Folder {
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>> {
        let file = match fs::File::open(self.path(name)?) {
            Ok(file) => file,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
            Err(error) => return Err(error),
        };
        let mut bytes = Vec::new();
        file.take(most as u64 + 1).read_to_end(&mut bytes)?;
        Ok(Some(bytes))
    }
}

impl Store for Folder {
    fn put_new(&self, name: &str, bytes: &[u8]) -> io::Result<bool> {
        let path = self.path(name)?;
        make_folder_of(&path)?;
        match files::write_new(&path, bytes) {
            Ok(()) => Ok(true),
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn tagged_snapshot(&self) -> io::Result<Option<Tagged>> {
        let bytes = self.get(SNAPSHOT, usize::MAX - 1)?;
        Ok(bytes.map(|bytes| Tagged {
            tag: Sha256Hex::of(&bytes).to_string(),
            bytes,
        }))
    }

    fn swap_snapshot(&self, expected: Option<&str>, bytes: &[u8]) -> io::Result<bool> {
        let lock = self.path(LOCK)?;
        make_folder_of(&lock)?;
        let lock = fs::File::create(lock)?;
        // Until it is closed nobody else is between comparing and writing.
        lock.lock()?;
        let there = self.tagged_snapshot()?;
        if there.as_ref().map(|t| t.tag.as_str()) != expected {
            return Ok(false);
        }
        self.replace(SNAPSHOT, bytes)?;
        Ok(true)
    }
}

//! What was entered and not saved: a copy beside the file, kept while a window works on it, so that a program or a machine that
//! stops costs no more than the last moments of typing.
//!
//! A copy of `van.profile.ron` is `.van.profile.ron.unsaved-1` in the same folder, or in a folder of the person's own when the
//! file has no place yet or its folder cannot be written. A window holds a lock on its copy's name; the system lets go of it
//! when the window ends, however it ends. So a copy whose lock is free belongs to nobody, and may be offered to a person.

use std::{
    fs::{self, File, TryLockError},
    io,
    path::{Path, PathBuf},
};

use chockstone_schema::date::Moment;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::{attachments::sha256, files};

/// How many windows may keep copies of one file.
const MOST_COPIES: u8 = 9;

/// The largest copy that is read: several times the largest profile, since it holds two versions and what was being typed.
const LARGEST: u64 = 200_000_000;

/// Everything that would be lost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Unsaved {
    /// The version of the program that kept it.
    pub program: String,
    /// When.
    pub at: Moment,
    /// Whether it is a profile, or else a piece of equipment.
    pub is_profile: bool,
    /// The file that it belongs to; none when it was never saved.
    pub file: Option<PathBuf>,
    /// What the file held when the window read or wrote it last.
    pub base: Option<Value>,
    /// The SHA-256 of that file's bytes.
    pub base_sha256: Option<String>,
    /// The contents at that moment, which can be read.
    pub contents: Value,
    /// New parts that still lacked something and were in no file, as the window keeps them.
    #[serde(default, skip_serializing_if = "Value::is_null")]
    pub unfinished: Value,
    /// What stood in fields that were not left yet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub typing: Vec<Typed>,
}

/// A text that stood in a field.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Typed {
    /// The field's number inside the window.
    pub field: Value,
    /// The field's name.
    pub name: String,
    /// What it showed before.
    pub shown: String,
    /// What was typed.
    pub text: String,
}

/// A copy's place, held by this window.
#[derive(Debug)]
pub struct Place {
    copy: PathBuf,
    lock: PathBuf,
    /// Locked as long as this is open.
    held: Option<File>,
}

impl Place {
    /// Where the copy is.
    pub fn path(&self) -> &Path {
        &self.copy
    }

    /// Keeps a copy, whole or not at all.
    pub fn keep(&self, unsaved: &Unsaved) -> io::Result<()> {
        let bytes = serde_json::to_vec(unsaved).map_err(io::Error::other)?;
        files::write_atomic(&self.copy, &bytes)
    }

    /// Takes the copy away: everything was saved, or a person wants it no more.
    pub fn forget(&self) -> io::Result<()> {
        match fs::remove_file(&self.copy) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            _ => Ok(()),
        }
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // The name of the lock goes first: whoever makes it anew after that locks a file of their own.
        let _ = fs::remove_file(&self.lock);
        drop(self.held.take());
    }
}

/// A copy that a window which has ended left behind.
#[derive(Debug)]
pub struct Found {
    /// Its place, now held by this window.
    pub place: Place,
    /// What it holds, or why it cannot be read.
    pub unsaved: Result<Unsaved, String>,
}

/// The folders in which copies are kept.
#[derive(Debug, Clone)]
pub struct Keeper {
    own: PathBuf,
}

impl Keeper {
    /// Keeps locks, and copies that have no better place, in a folder of the person's own.
    pub fn new(own: impl Into<PathBuf>) -> Self {
        Self { own: own.into() }
    }

    /// A place for a copy of a file that another window does not hold; none when nine windows hold one each, or when the
    /// person's own folder cannot be written.
    pub fn place(&self, file: Option<&Path>) -> Option<Place> {
        (1..=MOST_COPIES).find_map(|number| {
            let place = self.hold(&self.beside(file, number))?;
            // A copy that somebody left is not written over: it waits to be asked about.
            (!place.copy.exists()).then_some(place)
        })
    }

    /// A place in the person's own folder, for a file whose folder cannot be written.
    pub fn own_place(&self, file: &Path) -> Option<Place> {
        (1..=MOST_COPIES).find_map(|number| {
            let place = self.hold(&self.own_copy(Some(file), number))?;
            (!place.copy.exists()).then_some(place)
        })
    }

    /// Copies of a file, or of what was never saved, that no window holds.
    pub fn left_behind(&self, file: Option<&Path>) -> Vec<Found> {
        let mut copies: Vec<PathBuf> = Vec::new();
        for number in 1..=MOST_COPIES {
            copies.push(self.beside(file, number));
            if file.is_some() {
                copies.push(self.own_copy(file, number));
            }
        }
        let left = copies.into_iter().filter(|copy| copy.exists());
        left.filter_map(|copy| {
            let place = self.hold(&copy)?;
            let unsaved = read(&copy);
            Some(Found { place, unsaved })
        })
        .collect()
    }

    /// Whether another window works on a file.
    pub fn is_held_elsewhere(&self, file: &Path) -> bool {
        (1..=MOST_COPIES).any(|number| {
            let lock = self.lock_of(&self.beside(Some(file), number));
            let opened = File::open(lock);
            opened.is_ok_and(|f| matches!(f.try_lock(), Err(TryLockError::WouldBlock)))
        })
    }

    fn beside(&self, file: Option<&Path>, number: u8) -> PathBuf {
        let name = file.and_then(|f| Some((f.parent()?, f.file_name()?.to_string_lossy())));
        match name {
            Some((folder, name)) => folder.join(format!(".{name}.unsaved-{number}")),
            None => self.own_copy(file, number),
        }
    }

    fn own_copy(&self, file: Option<&Path>, number: u8) -> PathBuf {
        let name = file.map_or_else(|| "new".to_owned(), named);
        self.own.join(format!("{name}.unsaved-{number}"))
    }

    fn lock_of(&self, copy: &Path) -> PathBuf {
        self.own.join(format!("{}.lock", named(copy)))
    }

    fn hold(&self, copy: &Path) -> Option<Place> {
        fs::create_dir_all(&self.own).ok()?;
        let lock = self.lock_of(copy);
        let mut options = fs::OpenOptions::new();
        let held = options.create(true).truncate(false).write(true);
        let held = held.open(&lock).ok()?;
        held.try_lock().ok()?;
        // Between opening and locking the window that held it may have taken the name away.
        lock.exists().then(|| Place {
            copy: copy.to_owned(),
            lock,
            held: Some(held),
        })
    }
}

fn named(path: &Path) -> String {
    let hash = sha256(path.as_os_str().as_encoded_bytes());
    hash.get(..24).unwrap_or(&hash).to_owned()
}

fn read(copy: &Path) -> Result<Unsaved, String> {
    let said = |error: String| format!("{}: {error}", copy.display());
    let size = fs::metadata(copy).map_err(|e| said(e.to_string()))?.len();
    if size > LARGEST {
        return Err(said(format!("{size} bytes are too many for a copy")));
    }
    let bytes = fs::read(copy).map_err(|e| said(e.to_string()))?;
    serde_json::from_slice(&bytes).map_err(|e| said(e.to_string()))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use serde_json::json;

    use super::*;

    fn unsaved(text: &str) -> Unsaved {
        Unsaved {
            program: "0.0.0".to_owned(),
            at: Moment::new("2026-03-14T09:30:00Z").unwrap(),
            is_profile: true,
            file: None,
            base: None,
            base_sha256: None,
            contents: json!({"note": text}),
            unfinished: Value::Null,
            typing: Vec::new(),
        }
    }

    struct Desk {
        folder: tempfile::TempDir,
    }

    impl Desk {
        fn new() -> Self {
            let folder = tempfile::tempdir().unwrap();
            fs::create_dir(folder.path().join("work")).unwrap();
            Self { folder }
        }

        fn keeper(&self) -> Keeper {
            Keeper::new(self.folder.path().join("own"))
        }

        fn file(&self) -> PathBuf {
            self.folder.path().join("work/van.profile.ron")
        }
    }

    #[test]
    fn a_copy_is_offered_once_its_window_has_ended_and_not_before() {
        let (desk, file) = (Desk::new(), Desk::file);
        let keeper = desk.keeper();
        let place = keeper.place(Some(&file(&desk))).unwrap();
        place.keep(&unsaved("first")).unwrap();
        assert!(keeper.is_held_elsewhere(&file(&desk)));
        assert!(keeper.left_behind(Some(&file(&desk))).is_empty());
        drop(place);
        assert!(!keeper.is_held_elsewhere(&file(&desk)));
        let left = keeper.left_behind(Some(&file(&desk)));
        let [found] = left.as_slice() else {
            unreachable!("{left:?}")
        };
        assert_eq!(found.unsaved.as_ref().unwrap(), &unsaved("first"));
        found.place.forget().unwrap();
        drop(left);
        assert!(keeper.left_behind(Some(&file(&desk))).is_empty());
    }

    #[test]
    fn two_windows_keep_two_copies_and_neither_writes_over_the_other() {
        let desk = Desk::new();
        let (keeper, file) = (desk.keeper(), desk.file());
        let one = keeper.place(Some(&file)).unwrap();
        let two = keeper.place(Some(&file)).unwrap();
        assert_ne!(one.path(), two.path());
        one.keep(&unsaved("one")).unwrap();
        two.keep(&unsaved("two")).unwrap();
        drop(one);
        assert_eq!(keeper.left_behind(Some(&file)).len(), 1);
        let third = keeper.place(Some(&file)).unwrap();
        assert!(!third.path().exists(), "a copy left behind is kept");
        drop(two);
        assert_eq!(keeper.left_behind(Some(&file)).len(), 2);
    }

    #[test]
    fn what_was_never_saved_is_kept_in_the_own_folder() {
        let desk = Desk::new();
        let place = desk.keeper().place(None).unwrap();
        place.keep(&unsaved("new")).unwrap();
        assert!(place.path().starts_with(desk.folder.path().join("own")));
        drop(place);
        assert_eq!(desk.keeper().left_behind(None).len(), 1);
        assert!(desk.keeper().left_behind(Some(&desk.file())).is_empty());
    }

    #[test]
    fn a_copy_that_cannot_be_read_is_told_and_stays() {
        let desk = Desk::new();
        let place = desk.keeper().own_place(&desk.file()).unwrap();
        fs::write(place.path(), "{").unwrap();
        drop(place);
        let left = desk.keeper().left_behind(Some(&desk.file()));
        assert_eq!(left.len(), 1);
        let said = left.first().unwrap().unsaved.clone().unwrap_err();
        assert!(said.contains("unsaved-1: EOF"), "{said}");
        assert!(left.first().unwrap().place.path().exists());
    }
}

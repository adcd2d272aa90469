//! Files of a library: finding them, and writing them whole or not at all.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use chockstone_schema::{
    Equipment, Profile,
    read::{Document, Notation},
};

/// How deep folders are searched. A library is shallow; a deeper tree is a mistake or a loop of links.
const DEEPEST_FOLDER: usize = 8;

/// What kind of file of record a path names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FileKind {
    /// A vehicle handling profile.
    Profile,
    /// A piece of equipment.
    Equipment,
}

impl FileKind {
    /// The kind that a file's name tells: `*.profile.ron`, `*.profile.json`, `*.equipment.ron`, `*.equipment.json`.
    pub fn of(path: &Path) -> Option<Self> {
        let name = path.file_name()?.to_str()?;
        let stem = name
            .strip_suffix(".ron")
            .or_else(|| name.strip_suffix(".json"))?;
        let profile = Profile::ENDING.trim_end_matches(".ron");
        let equipment = Equipment::ENDING.trim_end_matches(".ron");
        if stem.ends_with(profile) {
            Some(Self::Profile)
        } else if stem.ends_with(equipment) {
            Some(Self::Equipment)
        } else {
            None
        }
    }
}

/// The notation that a text itself tells, for files whose names tell nothing: JSON begins with a brace, and no file of record in
/// RON does.
pub fn notation_told_by(bytes: &[u8]) -> Notation {
    let text = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    if text.trim_ascii_start().starts_with(b"{") {
        Notation::Json
    } else {
        Notation::Ron
    }
}

/// Every profile and equipment file in a folder and the folders in it, by path. Hidden folders are left out, links to
/// folders are not followed.
pub fn find(folder: &Path) -> io::Result<Vec<(PathBuf, FileKind)>> {
    let mut found = Vec::new();
    search(folder, DEEPEST_FOLDER, &mut found)?;
    found.sort();
    Ok(found)
}

fn search(folder: &Path, depth: usize, found: &mut Vec<(PathBuf, FileKind)>) -> io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        let path = entry.path();
        let kind = entry.file_type()?;
        if kind.is_dir() {
            let hidden = entry
                .file_name()
                .to_str()
                .is_none_or(|n| n.starts_with('.'));
            if !hidden && depth > 0 {
                search(&path, depth - 1, found)?;
            }
        } else if let Some(kind) = FileKind::of(&path) {
            found.push((path, kind));
        }
    }
    Ok(())
}

impl PartialOrd for FileKind {
    fn partial_cmp(&self, other: &Self) -> Option<std::cmp::Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for FileKind {
    fn cmp(&self, other: &Self) -> std::cmp::Ordering {
        (*self as u8).cmp(&(*other as u8))
    }
}

/// Writes a file whole or not at all: into a temporary file beside it, which then takes its place.
///
/// The mode of an existing file is kept. A reader never sees half of it, and after a crash either the old or the new
/// contents are there.
pub fn write_atomic(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_beside(path, bytes)?
        .persist(path)
        .map_err(|e| e.error)?;
    sync_folder(path)
}

/// Writes a new file whole or not at all, and never over another one: fails with `AlreadyExists` instead.
pub fn write_new(path: &Path, bytes: &[u8]) -> io::Result<()> {
    write_beside(path, bytes)?
        .persist_noclobber(path)
        .map_err(|e| e.error)?;
    sync_folder(path)
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

fn write_beside(path: &Path, bytes: &[u8]) -> io::Result<tempfile::NamedTempFile> {
    use std::io::Write as _;
    let mut builder = tempfile::Builder::new();
    builder.prefix(".tmp-");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let usual = || fs::Permissions::from_mode(0o644);
        builder.permissions(fs::metadata(path).map_or_else(|_| usual(), |m| m.permissions()));
    }
    let mut file = builder.tempfile_in(folder_of(path))?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// Makes the renaming itself survive a power cut, where the system knows how.
fn sync_folder(path: &Path) -> io::Result<()> {
    #[cfg(unix)]
    fs::File::open(folder_of(path))?.sync_all()?;
    Ok(())
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    #[test]
    fn the_kind_follows_the_name() {
        let kind = |name: &str| FileKind::of(Path::new(name));
        assert_eq!(kind("a/b.profile.ron"), Some(FileKind::Profile));
        assert_eq!(kind("b.equipment.json"), Some(FileKind::Equipment));
        assert_eq!(kind("b.ron"), None);
        assert_eq!(kind("profile.json"), None);
    }

    #[test]
    fn the_notation_is_told_by_the_text() {
        let told = |text: &str| notation_told_by(text.as_bytes());
        assert_eq!(told("\u{feff} \n{\"format\": \"1.0\"}"), Notation::Json);
        assert_eq!(told("// {\n(format: \"1.0\")"), Notation::Ron);
        assert_eq!(told(""), Notation::Ron);
    }

    #[test]
    fn folders_are_searched_and_hidden_ones_left_out() {
        let folder = tempfile::tempdir().unwrap();
        for name in [
            "b.profile.ron",
            "in/a.equipment.ron",
            ".git/c.profile.ron",
            "readme.txt",
        ] {
            let path = folder.path().join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, "").unwrap();
        }
        let found = find(folder.path()).unwrap();
        let names: Vec<_> = found
            .iter()
            .map(|(p, _)| p.strip_prefix(folder.path()).unwrap().to_str().unwrap())
            .collect();
        assert_eq!(names, ["b.profile.ron", "in/a.equipment.ron"]);
    }

    #[test]
    fn an_atomic_write_replaces_and_leaves_nothing_beside() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        write_atomic(&path, b"one").unwrap();
        write_atomic(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_new_file_never_replaces_another() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a");
        write_new(&path, b"one").unwrap();
        assert_eq!(
            write_new(&path, b"two").unwrap_err().kind(),
            io::ErrorKind::AlreadyExists
        );
        assert_eq!(fs::read(&path).unwrap(), b"one");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1);
    }
}

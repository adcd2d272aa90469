//! The equipment of a folder, read once and again when its files change.

use std::{
    fs,
    path::{Path, PathBuf},
    time::SystemTime,
};

use chockstone_schema::{Equipment, read::read_file};

use crate::files::{self, FileKind};

/// What a piece of equipment is for, by its first part in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// It has a deck.
    Carrier,
    /// It has a wheel lift and no deck.
    Wrecker,
    /// Tow dollies.
    Dollies,
    /// Winches, bridles, snatch blocks and skates.
    Winching,
    /// Straps and chains.
    TieDowns,
    /// Vehicle lifts, jacks and stands.
    Lifts,
    /// Insulating gloves.
    Gloves,
    /// A file without any part yet.
    Other,
}

impl Group {
    /// Every group, in the order of a list.
    pub const ALL: [Self; 8] = [
        Self::Carrier,
        Self::Wrecker,
        Self::Dollies,
        Self::Winching,
        Self::TieDowns,
        Self::Lifts,
        Self::Gloves,
        Self::Other,
    ];

    /// The group of a piece of equipment.
    pub fn of(equipment: &Equipment) -> Self {
        let e = equipment;
        let lifts = e.vehicle_lift.is_some() || e.jack.is_some() || e.stands.is_some();
        let winching = e.winch.is_some()
            || e.bridle.is_some()
            || e.snatch_block.is_some()
            || e.skates.is_some();
        [
            (e.deck.is_some(), Self::Carrier),
            (e.wheel_lift.is_some(), Self::Wrecker),
            (e.dollies.is_some(), Self::Dollies),
            (winching, Self::Winching),
            (e.straps.is_some() || e.chains.is_some(), Self::TieDowns),
            (lifts, Self::Lifts),
            (e.gloves.is_some(), Self::Gloves),
        ]
        .into_iter()
        .find(|(is_there, _)| *is_there)
        .map_or(Self::Other, |(_, group)| group)
    }

    /// What a list calls it.
    pub fn label(self) -> &'static str {
        match self {
            Self::Carrier => "Carriers",
            Self::Wrecker => "Wreckers",
            Self::Dollies => "Dollies",
            Self::Winching => "Winching",
            Self::TieDowns => "Straps and chains",
            Self::Lifts => "Lifts, jacks, stands",
            Self::Gloves => "Gloves",
            Self::Other => "Other",
        }
    }
}

/// One file of equipment.
#[derive(Clone, Debug)]
pub struct Piece {
    /// The file.
    pub path: PathBuf,
    /// What it holds, or why it could not be read.
    pub read: Result<Equipment, String>,
    /// When the file was changed and how long it was.
    stamp: Stamp,
}

/// When a file was changed and how long it is; `None` when the system does not tell.
type Stamp = Option<(SystemTime, u64)>;

/// The equipment of one folder.
#[derive(Clone, Debug, Default)]
pub struct Shelf {
    folder: Option<PathBuf>,
    pieces: Vec<Piece>,
    trouble: Option<String>,
    version: u64,
}

impl Shelf {
    /// Brings the shelf up to date: reads files that are new or changed since they were read, and drops those that went.
    pub fn refresh(&mut self, folder: Option<&Path>) {
        if self.folder.as_deref() != folder {
            self.folder = folder.map(Path::to_owned);
            self.pieces.clear();
            self.trouble = None;
            self.version += 1;
        }
        let Some(folder) = folder else {
            return;
        };
        match files::find(folder) {
            Ok(found) => {
                self.trouble = None;
                self.take(&found);
            }
            Err(error) => {
                let text = format!(
                    "{}: the folder could not be searched: {error}",
                    folder.display()
                );
                self.trouble = Some(text);
            }
        }
    }

    fn take(&mut self, found: &[(PathBuf, FileKind)]) {
        let old = std::mem::take(&mut self.pieces);
        let mut same = true;
        for (path, _) in found.iter().filter(|(_, k)| *k == FileKind::Equipment) {
            let stamp = stamp(path);
            let known = old
                .iter()
                .find(|p| p.path == *path && p.stamp == stamp && stamp.is_some());
            self.pieces.push(known.cloned().unwrap_or_else(|| {
                same = false;
                Piece {
                    path: path.clone(),
                    read: read_file::<Equipment>(path).map_err(|e| e.to_string()),
                    stamp,
                }
            }));
        }
        if !same || old.len() != self.pieces.len() {
            self.version += 1;
        }
    }

    /// The files, by path.
    pub fn pieces(&self) -> &[Piece] {
        &self.pieces
    }

    /// Why the folder could not be searched, as a sentence.
    pub fn trouble(&self) -> Option<&str> {
        self.trouble.as_deref()
    }

    /// A number that grows with every change.
    pub fn version(&self) -> u64 {
        self.version
    }
}

fn stamp(path: &Path) -> Stamp {
    let data = fs::metadata(path).ok()?;
    Some((data.modified().ok()?, data.len()))
}

#[cfg(test)]
#[expect(clippy::unwrap_used, reason = "tests state facts")]
mod tests {
    use super::*;

    fn straps(count: u8) -> String {
        format!(
            r#"(format: "1.0", id: "s", language: "en", name: {{"en": "S"}}, straps: (count: {count}, kind: wheel))"#
        )
    }

    fn count(shelf: &Shelf) -> Option<u8> {
        let [piece] = shelf.pieces() else {
            return None;
        };
        let equipment = piece.read.as_ref().ok()?;
        Some(equipment.straps.as_ref()?.count)
    }

    #[test]
    fn a_file_is_read_again_when_it_changed_and_only_then() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("s.equipment.ron");
        fs::write(&path, straps(4)).unwrap();
        let mut shelf = Shelf::default();
        shelf.refresh(Some(folder.path()));
        assert_eq!(count(&shelf), Some(4));
        let version = shelf.version();
        shelf.refresh(Some(folder.path()));
        assert_eq!(shelf.version(), version, "nothing changed");
        fs::write(&path, straps(12)).unwrap();
        shelf.refresh(Some(folder.path()));
        assert_eq!(count(&shelf), Some(12));
        assert!(shelf.version() > version);
        fs::remove_file(&path).unwrap();
        shelf.refresh(Some(folder.path()));
        assert!(shelf.pieces().is_empty());
    }

    #[test]
    fn a_file_that_cannot_be_read_says_why() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("s.equipment.ron"), "(id: ").unwrap();
        let mut shelf = Shelf::default();
        shelf.refresh(Some(folder.path()));
        assert!(shelf.pieces().iter().all(|p| p.read.is_err()));
        assert_eq!(shelf.pieces().len(), 1);
    }

    #[test]
    fn every_piece_of_the_demo_library_has_a_group() {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
        let mut shelf = Shelf::default();
        shelf.refresh(Some(&demo));
        let groups: Vec<Group> = shelf
            .pieces()
            .iter()
            .map(|p| Group::of(p.read.as_ref().unwrap()))
            .collect();
        assert!(!groups.contains(&Group::Other));
        for group in &Group::ALL[..7] {
            assert!(groups.contains(group), "{}", group.label());
        }
    }
}

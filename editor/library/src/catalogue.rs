//! The catalogue of a library: static files, fit for any file host, that a reader can trust without trusting the host.
//!
//! It follows The Update Framework's specification (version 1.0): a signed snapshot with a growing number and an end names
//! every other file by its hash, by way of bins, so that its size and the number of files that one release touches do not
//! grow with the library. What a reader refuses, in the words of that specification's section 1.5.2: arbitrary software
//! and mix-and-match (hashes down from the signature), rollback (the number must not fall below the one seen last), and
//! indefinite freeze (the end of the snapshot). One file, the snapshot, takes the place of its roles of snapshot and
//! timestamp.
//!
//! ```text
//! library.ron                          the rules, where people change them
//! catalogue/rules/library-HASH.ron     the rules that a snapshot names
//! catalogue/snapshot.json              signed; the only file that is ever written over
//! catalogue/bins/XX-HASH.json          the vehicles whose ids hash to XX, each with the hash of its file
//! catalogue/vehicles/ID-HASH.json      the releases of a vehicle, each with the hash of its bundle
//! releases/ID/ID-X.Y.Z.zip             the bundles
//! ```
//!
//! A new snapshot is written after every file that it names, so at any moment a reader sees a whole library.

use std::{collections::BTreeMap, io};

use chockstone_schema::{
    canonical,
    codes::Sha256Hex,
    date::Moment,
    id::Id,
    report::{Bin, FileOf, ListedRelease, SignedSnapshot, Snapshot, VehicleReleases},
    signature::{AllowedSigners, SNAPSHOT as PURPOSE, SignatureError},
};
use serde::{Serialize, de::DeserializeOwned};

use crate::releases;

mod update;

pub use update::{Update, UpdateError, update};

/// The snapshot's file.
pub const SNAPSHOT: &str = "catalogue/snapshot.json";
/// The rules' file.
pub const POLICY: &str = "library.ron";
/// The largest snapshot, bin or vehicle file, in bytes.
const LARGEST_FILE: usize = 20_000_000;

/// Where the files of a library are read from, by name with `/` between folders.
pub trait Source {
    /// The bytes of a file; `None` when there is none. Longer files than `most` may be cut after it.
    ///
    /// # Errors
    /// When the place cannot be read.
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>>;
}

/// Why a catalogue is not believed.
#[derive(Debug, thiserror::Error)]
pub enum CatalogueError {
    /// A file cannot be read.
    #[error("{name}: {error}")]
    Io {
        /// The file.
        name: String,
        /// What was said.
        error: io::Error,
    },
    /// A file that the snapshot names is not there.
    #[error("{0} is missing, although the catalogue names it")]
    Missing(String),
    /// There is no catalogue.
    #[error("there is no catalogue ({SNAPSHOT}): the library was never indexed")]
    None,
    /// A file is not what the file that names it says.
    #[error("{0} was changed: it is not what the catalogue says")]
    Changed(String),
    /// A file does not hold what it should.
    #[error("{name} does not hold what it should: {why}")]
    Form {
        /// The file.
        name: String,
        /// What is wrong.
        why: String,
    },
    /// Nobody who may sign the snapshot did.
    #[error("the snapshot is not signed by a keeper of the library: {}", why.iter().map(ToString::to_string).collect::<Vec<_>>().join("; "))]
    Unsigned {
        /// What is wrong with each signature.
        why: Vec<SignatureError>,
    },
    /// A newer snapshot was seen before.
    #[error(
        "the snapshot has the number {found}, and {seen} was seen before: the library was rolled back"
    )]
    RolledBack {
        /// The number that was found.
        found: u64,
        /// The number that was seen before.
        seen: u64,
    },
    /// The snapshot's time is over.
    #[error(
        "the snapshot was good until {until}: the library is frozen, or nobody keeps it any more"
    )]
    Frozen {
        /// Until when it was good.
        until: Moment,
    },
}

/// A catalogue whose snapshot was believed; everything read through it is held against it.
pub struct Catalogue<'s> {
    source: &'s dyn Source,
    snapshot: Snapshot,
}

impl std::fmt::Debug for Catalogue<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Catalogue").field(&self.snapshot).finish()
    }
}

impl<'s> Catalogue<'s> {
    /// Opens a catalogue: signed by a keeper, not older than the snapshot `seen` last, not past its end.
    ///
    /// # Errors
    /// See [`CatalogueError`].
    pub fn open(
        source: &'s dyn Source,
        keepers: &AllowedSigners,
        seen: Option<u64>,
        now: Moment,
    ) -> Result<Self, CatalogueError> {
        let signed = snapshot(source)?.ok_or(CatalogueError::None)?;
        believe(&signed, keepers, now)?;
        let snapshot = signed.signed;
        if let Some(seen) = seen.filter(|seen| snapshot.number < *seen) {
            return Err(CatalogueError::RolledBack {
                found: snapshot.number,
                seen,
            });
        }
        if now > snapshot.good_until {
            return Err(CatalogueError::Frozen {
                until: snapshot.good_until,
            });
        }
        Ok(Self { source, snapshot })
    }

    /// Opens a catalogue to write the next one: signed by somebody who was a keeper when it was made. That its time is over
    /// is no fault here, for the next one begins a new time.
    ///
    /// # Errors
    /// See [`CatalogueError`].
    pub fn open_to_keep(
        source: &'s dyn Source,
        keepers: &AllowedSigners,
    ) -> Result<Self, CatalogueError> {
        let signed = snapshot(source)?.ok_or(CatalogueError::None)?;
        believe(&signed, keepers, signed.signed.made)?;
        let snapshot = signed.signed;
        Ok(Self { source, snapshot })
    }

    /// Opens a catalogue without asking who signed it, for a keeper who looked at what it says and signs it anew.
    ///
    /// # Errors
    /// See [`CatalogueError`].
    pub fn unjudged(source: &'s dyn Source) -> Result<Self, CatalogueError> {
        let snapshot = snapshot(source)?.ok_or(CatalogueError::None)?.signed;
        Ok(Self { source, snapshot })
    }

    /// Those of `ours` whose releases this catalogue does not tell in the same words, each with what it tells of it. Bins
    /// and vehicles that are the same are not read.
    ///
    /// # Errors
    /// When a file is missing or not what the catalogue says.
    pub fn unlike(
        &self,
        ours: &Catalogue<'_>,
    ) -> Result<Vec<(VehicleReleases, Option<VehicleReleases>)>, CatalogueError> {
        let mut unlike = Vec::new();
        for (name, file) in &ours.snapshot.bins {
            let there = self.snapshot.bins.get(name);
            if there == Some(file) {
                continue;
            }
            let there = there.map(|file| bin(self.source, name, file)).transpose()?;
            let there = there.unwrap_or_default();
            for (id, file) in bin(ours.source, name, file)?.vehicles {
                let known = there.vehicles.get(&id);
                if known != Some(&file) {
                    let known = known.map(|f| vehicle(self.source, &id, f)).transpose()?;
                    unlike.push((vehicle(ours.source, &id, &file)?, known));
                }
            }
        }
        Ok(unlike)
    }

    /// The snapshot.
    pub fn snapshot(&self) -> &Snapshot {
        &self.snapshot
    }

    /// The bytes of the library's rules.
    ///
    /// # Errors
    /// When they are missing or not those of the snapshot.
    pub fn policy(&self) -> Result<Vec<u8>, CatalogueError> {
        let file = &self.snapshot.policy;
        held(self.source, &policy_file(file), file)
    }

    /// The releases of one vehicle; `None` when the catalogue knows none.
    ///
    /// # Errors
    /// When a file is missing or not what the catalogue says.
    pub fn vehicle(&self, id: &Id) -> Result<Option<VehicleReleases>, CatalogueError> {
        let name = bin_of(id);
        let Some(file) = self.snapshot.bins.get(&name) else {
            return Ok(None);
        };
        let bin = bin(self.source, &name, file)?;
        let found = bin.vehicles.get(id);
        found.map(|file| vehicle(self.source, id, file)).transpose()
    }

    /// Every vehicle with its releases, by id.
    ///
    /// # Errors
    /// When a file is missing or not what the catalogue says.
    pub fn vehicles(&self) -> Result<Vec<VehicleReleases>, CatalogueError> {
        let mut all = BTreeMap::new();
        for (name, file) in &self.snapshot.bins {
            all.extend(bin(self.source, name, file)?.vehicles);
        }
        let files = all.iter();
        files
            .map(|(id, file)| vehicle(self.source, id, file))
            .collect()
    }

    /// Every file but the snapshot that the catalogue is made of, held against it.
    pub(crate) fn files(&self) -> Result<Vec<(String, Vec<u8>)>, CatalogueError> {
        let mut files = vec![(policy_file(&self.snapshot.policy), self.policy()?)];
        for (name, file) in &self.snapshot.bins {
            for (id, vehicle) in bin(self.source, name, file)?.vehicles {
                let path = vehicle_file(&id, &vehicle);
                files.push((path.clone(), held(self.source, &path, &vehicle)?));
            }
            let path = bin_file(name, file);
            files.push((path.clone(), held(self.source, &path, file)?));
        }
        Ok(files)
    }

    /// The bytes of a bundle, held against the catalogue.
    ///
    /// # Errors
    /// When it is missing or not what the catalogue says.
    pub fn bundle(&self, id: &Id, release: &ListedRelease) -> Result<Vec<u8>, CatalogueError> {
        let name = releases::path_in_library(id, &release.number);
        held(self.source, &name, &release.bundle)
    }
}

/// Whether a keeper signed a snapshot, with a key that was good at a moment.
fn believe(
    signed: &SignedSnapshot,
    keepers: &AllowedSigners,
    at: Moment,
) -> Result<(), CatalogueError> {
    let message = canonical_bytes(&signed.signed);
    let mut why = Vec::new();
    let is_signed = signed.signatures.iter().any(|signature| {
        let judged = keepers.verify(signature.as_bytes(), PURPOSE, &message, at);
        judged.map_err(|error| why.push(error)).is_ok()
    });
    if is_signed {
        Ok(())
    } else {
        Err(CatalogueError::Unsigned { why })
    }
}

/// The bin of a vehicle: the first two hexadecimal digits of the SHA-256 of its id.
fn bin_of(id: &Id) -> String {
    let hash = Sha256Hex::of(id.as_str().as_bytes());
    hash.as_str().chars().take(2).collect()
}

fn named_by_hash(name: &str, file: &FileOf, ending: &str) -> String {
    let start: String = file.sha256.as_str().chars().take(16).collect();
    format!("catalogue/{name}-{start}.{ending}")
}

fn policy_file(file: &FileOf) -> String {
    named_by_hash("rules/library", file, "ron")
}

fn bin_file(name: &str, file: &FileOf) -> String {
    named_by_hash(&format!("bins/{name}"), file, "json")
}

fn vehicle_file(id: &Id, file: &FileOf) -> String {
    named_by_hash(&format!("vehicles/{id}"), file, "json")
}

/// The snapshot as it is, believed or not.
fn snapshot(source: &dyn Source) -> Result<Option<SignedSnapshot>, CatalogueError> {
    let bytes = get(source, SNAPSHOT, LARGEST_FILE)?;
    bytes.map(|bytes| parse(SNAPSHOT, &bytes)).transpose()
}

fn bin(source: &dyn Source, name: &str, file: &FileOf) -> Result<Bin, CatalogueError> {
    let path = bin_file(name, file);
    let bin: Bin = parse(&path, &held(source, &path, file)?)?;
    match bin.vehicles.keys().find(|id| bin_of(id) != name) {
        Some(id) => Err(CatalogueError::Form {
            name: path,
            why: format!("{id} belongs to another bin"),
        }),
        None => Ok(bin),
    }
}

fn vehicle(source: &dyn Source, id: &Id, file: &FileOf) -> Result<VehicleReleases, CatalogueError> {
    let path = vehicle_file(id, file);
    let vehicle: VehicleReleases = parse(&path, &held(source, &path, file)?)?;
    if vehicle.id != *id {
        let why = format!("it is about {}", vehicle.id);
        return Err(CatalogueError::Form { name: path, why });
    }
    Ok(vehicle)
}

/// A file that must have the size and the hash that another file says.
fn held(source: &dyn Source, name: &str, file: &FileOf) -> Result<Vec<u8>, CatalogueError> {
    let size = usize::try_from(file.size).unwrap_or(usize::MAX);
    let bytes = get(source, name, size)?.ok_or_else(|| CatalogueError::Missing(name.to_owned()))?;
    if bytes.len() == size && Sha256Hex::of(&bytes) == file.sha256 {
        Ok(bytes)
    } else {
        Err(CatalogueError::Changed(name.to_owned()))
    }
}

fn get(source: &dyn Source, name: &str, most: usize) -> Result<Option<Vec<u8>>, CatalogueError> {
    source.get(name, most).map_err(|error| CatalogueError::Io {
        name: name.to_owned(),
        error,
    })
}

fn parse<T: DeserializeOwned>(name: &str, bytes: &[u8]) -> Result<T, CatalogueError> {
    serde_json::from_slice(bytes).map_err(|error| CatalogueError::Form {
        name: name.to_owned(),
        why: error.to_string(),
    })
}

fn canonical_bytes<T: Serialize>(part: &T) -> Vec<u8> {
    let value = serde_json::to_value(part).unwrap_or_default();
    // Every number of a catalogue is below 2^53.
    canonical::to_vec(&value).unwrap_or_default()
}

/// What a file is known by.
pub(crate) fn file_of(bytes: &[u8]) -> FileOf {
    FileOf {
        sha256: Sha256Hex::of(bytes),
        size: bytes.len() as u64,
    }
}

#[cfg(test)]
mod tests;

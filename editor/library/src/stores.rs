//! Sending a library to a place that others read, and fetching it from there.
//!
//! [`push`] sends bundles first, each only where none of that name is yet, then the catalogue's new files, and last the
//! snapshot, on the condition that nobody else wrote one meanwhile. Somebody who did is not overwritten: their catalogue is
//! read, ours is entered into it, and a new snapshot is signed. So of two publishers neither loses anything, and whoever
//! reads sees a whole library at every moment, also after a push that broke off; sending again goes on where it stopped.
//!
//! A folder is a place by itself; the crate `chockstone-remote` knows others.
//!
//! [`pull`] believes a catalogue first ([`Catalogue::open`]) and holds every file against it before anything is written;
//! the snapshot is written last.

use std::{collections::BTreeMap, io, path::Path};

use chockstone_schema::{
    date::Moment,
    report::{ListedRelease, SignedSnapshot, VehicleReleases},
    signature::AllowedSigners,
};

use crate::{
    catalogue::{self, Catalogue, CatalogueError, SNAPSHOT, Source, UpdateError, update},
    releases,
    signing::SigningKey,
};

mod amend;
mod folder;

pub use amend::{Changed, amend};
pub use folder::Folder;

#[cfg(test)]
mod tests;

/// How often a push begins again because somebody else was quicker.
const MOST_ATTEMPTS: usize = 50;

/// The snapshot of a place, and what tells it from another one that is written there later.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tagged {
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// The place's own tag of them.
    pub tag: String,
}

/// A place that a library is sent to.
pub trait Store: Source {
    /// Writes a file where none is yet; false where one is, which stays as it is.
    ///
    /// # Errors
    /// When the place cannot be written.
    fn put_new(&self, name: &str, bytes: &[u8]) -> io::Result<bool>;

    /// The snapshot with its tag; `None` where none was ever written.
    ///
    /// # Errors
    /// When the place cannot be read.
    fn tagged_snapshot(&self) -> io::Result<Option<Tagged>>;

    /// Writes a snapshot in the place of the one with this tag, or where there is none; false when somebody else wrote one
    /// meanwhile, which stays as it is.
    ///
    /// # Errors
    /// When the place cannot be written.
    fn swap_snapshot(&self, expected: Option<&str>, bytes: &[u8]) -> io::Result<bool>;
}

/// How far a push or a pull is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// Bundles that are done.
    pub done: usize,
    /// Bundles in all.
    pub all: usize,
}

/// Hears of progress, and says whether to go on.
pub type Hear<'h> = dyn FnMut(Progress) -> bool + 'h;

/// What a push did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pushed {
    /// How many bundles were sent.
    pub sent: usize,
    /// The number of the snapshot that is there now.
    pub number: u64,
    /// How often somebody else was quicker.
    pub retries: usize,
}

/// What a pull did.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pulled {
    /// How many bundles were fetched.
    pub fetched: usize,
    /// The number of the snapshot that is here now.
    pub number: u64,
}

/// Why nothing, or not everything, was sent or fetched. What is there reads as before.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// A place cannot be read or written.
    #[error("{name}: {error}")]
    Io {
        /// The file.
        name: String,
        /// What was said.
        error: io::Error,
    },
    /// A catalogue is not believed.
    #[error("{whose} catalogue: {error}")]
    Catalogue {
        /// Whose: `our` or `their`.
        whose: &'static str,
        /// Why.
        error: CatalogueError,
    },
    /// A new snapshot cannot be signed.
    #[error(transparent)]
    Update(#[from] UpdateError),
    /// Somebody else published other bytes under the same number.
    #[error(
        "{0} is there already with other contents: somebody else released under this number; take the next one"
    )]
    Taken(String),
    /// Somebody else was quicker too often.
    #[error("somebody else wrote the catalogue {MOST_ATTEMPTS} times meanwhile; try again")]
    Busy,
    /// The person stopped it.
    #[error("stopped; what is there reads as before")]
    Stopped,
}

/// What a push does with the rules of a library that is there already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rules {
    /// They stay: somebody else may have changed them since ours were fetched.
    Theirs,
    /// Ours take their place.
    Ours,
}

/// Sends what is missing of the library `ours` to `theirs`, and signs the catalogue there.
///
/// # Errors
/// See [`StoreError`].
pub fn push(
    ours: &dyn Source,
    theirs: &dyn Store,
    keepers: &AllowedSigners,
    (key, rules): (&SigningKey, Rules),
    now: Moment,
    hear: &mut Hear<'_>,
) -> Result<Pushed, StoreError> {
    let here = Catalogue::open(ours, keepers, None, now).map_err(whose("our"))?;
    let mut sent = 0;
    for retries in 0..MOST_ATTEMPTS {
        let there = tagged(theirs)?;
        let (new, rules) = missing(&here, theirs, there.as_ref(), keepers, rules)?;
        sent += send(&here, theirs, &new, hear)?;
        let number = match (&rules, &there) {
            // Nothing is new, and the rules are the same.
            (None, Some(_)) if new.is_empty() => Some(number_of(there.as_ref())?),
            _ => enter(rules, theirs, there.as_ref(), &new, key, now)?,
        };
        if let Some(number) = number {
            return Ok(Pushed {
                sent,
                number,
                retries,
            });
        }
    }
    Err(StoreError::Busy)
}

fn whose(whose: &'static str) -> impl Fn(CatalogueError) -> StoreError {
    move |error| StoreError::Catalogue { whose, error }
}

/// A vehicle whose releases were put together, and those of them that are to be sent.
struct New {
    vehicle: VehicleReleases,
    send: Vec<ListedRelease>,
}

fn tagged(store: &dyn Store) -> Result<Option<Tagged>, StoreError> {
    store.tagged_snapshot().map_err(|error| StoreError::Io {
        name: SNAPSHOT.to_owned(),
        error,
    })
}

/// A place as it was when its snapshot was read: the files that it names never change.
struct Seen<'s> {
    source: &'s dyn Source,
    snapshot: &'s [u8],
}

impl Source for Seen<'_> {
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>> {
        if name == SNAPSHOT {
            return Ok(Some(self.snapshot.to_vec()));
        }
        self.source.get(name, most)
    }
}

/// What is here and not there, and rules that are to be written.
type Missing = (Vec<New>, Option<Vec<u8>>);

/// What is here and not there.
fn missing(
    here: &Catalogue<'_>,
    theirs: &dyn Store,
    there: Option<&Tagged>,
    keepers: &AllowedSigners,
    rules: Rules,
) -> Result<Missing, StoreError> {
    let ours = || here.policy().map_err(whose("our"));
    let Some(there) = there else {
        let vehicles = here.vehicles().map_err(whose("our"))?;
        let new = vehicles.into_iter().map(|vehicle| New {
            send: vehicle.releases.clone(),
            vehicle,
        });
        return Ok((new.collect(), Some(ours()?)));
    };
    let seen = Seen {
        source: theirs,
        snapshot: &there.bytes,
    };
    // Whose time is over is no fault here: the next snapshot begins a new one.
    let catalogue = Catalogue::open_to_keep(&seen, keepers).map_err(whose("their"))?;
    let unlike = catalogue.unlike(here).map_err(whose("their"))?;
    let mut new = Vec::new();
    for (vehicle, known) in &unlike {
        let (together, send) = put_together(vehicle, known.as_ref())?;
        if known.as_ref() != Some(&together) {
            new.push(New {
                vehicle: together,
                send,
            });
        }
    }
    let is_other = here.snapshot().policy != catalogue.snapshot().policy;
    let rules = (rules == Rules::Ours && is_other).then(ours).transpose()?;
    Ok((new, rules))
}

/// The releases of both, by number; a release that either withdrew is withdrawn.
fn put_together(
    ours: &VehicleReleases,
    theirs: Option<&VehicleReleases>,
) -> Result<(VehicleReleases, Vec<ListedRelease>), StoreError> {
    let Some(theirs) = theirs else {
        return Ok((ours.clone(), ours.releases.clone()));
    };
    let mut all: BTreeMap<[u32; 3], ListedRelease> = BTreeMap::new();
    all.extend(
        theirs
            .releases
            .iter()
            .map(|r| (r.number.parts(), r.clone())),
    );
    let mut send = Vec::new();
    for release in &ours.releases {
        match all.get_mut(&release.number.parts()) {
            None => {
                send.push(release.clone());
                all.insert(release.number.parts(), release.clone());
            }
            Some(there) if there.bundle != release.bundle => {
                return Err(StoreError::Taken(releases::path_in_library(
                    &ours.id,
                    &release.number,
                )));
            }
            Some(there) => {
                if there.withdrawn.is_none() {
                    there.withdrawn.clone_from(&release.withdrawn);
                }
            }
        }
    }
    // The maker's and the model's name are those of the newest release.
    let newest = |v: &VehicleReleases| v.releases.last().map(|r| r.number.parts());
    let mut together = if newest(ours) >= newest(theirs) {
        ours.clone()
    } else {
        theirs.clone()
    };
    together.releases = all.into_values().collect();
    Ok((together, send))
}

/// Sends the bundles that are missing there.
fn send(
    here: &Catalogue<'_>,
    theirs: &dyn Store,
    new: &[New],
    hear: &mut Hear<'_>,
) -> Result<usize, StoreError> {
    let all = new.iter().map(|n| n.send.len()).sum();
    let (mut done, mut sent) = (0, 0);
    for New { vehicle, send } in new {
        for release in send {
            if !hear(Progress { done, all }) {
                return Err(StoreError::Stopped);
            }
            let name = releases::path_in_library(&vehicle.id, &release.number);
            let bytes = here.bundle(&vehicle.id, release);
            let bytes = bytes.map_err(whose("our"))?;
            sent += usize::from(put(theirs, &name, &bytes)?);
            done += 1;
        }
    }
    hear(Progress { done, all });
    Ok(sent)
}

/// Writes a file where none is; one that is there must be the same.
fn put(theirs: &dyn Store, name: &str, bytes: &[u8]) -> Result<bool, StoreError> {
    let io = |error| StoreError::Io {
        name: name.to_owned(),
        error,
    };
    if theirs.put_new(name, bytes).map_err(io)? {
        return Ok(true);
    }
    let there = theirs.get(name, bytes.len()).map_err(io)?;
    if there.as_deref() == Some(bytes) {
        Ok(false)
    } else {
        Err(StoreError::Taken(name.to_owned()))
    }
}

/// Enters vehicles into the catalogue there, and rules where they are to be written; `None` when somebody else was quicker.
fn enter(
    rules: Option<Vec<u8>>,
    theirs: &dyn Store,
    there: Option<&Tagged>,
    new: &[New],
    key: &SigningKey,
    now: Moment,
) -> Result<Option<u64>, StoreError> {
    let base = Base {
        rules,
        theirs,
        snapshot: there.map(|t| t.bytes.as_slice()),
    };
    let vehicles: Vec<VehicleReleases> = new.iter().map(|n| n.vehicle.clone()).collect();
    let next = update(&base, &vehicles, key, now)?;
    let Some(((_, snapshot), files)) = next.files.split_last() else {
        return Ok(None);
    };
    for (name, bytes) in files {
        put(theirs, name, bytes)?;
    }
    let swapped = theirs.swap_snapshot(there.map(|t| t.tag.as_str()), snapshot);
    let swapped = swapped.map_err(|error| StoreError::Io {
        name: SNAPSHOT.to_owned(),
        error,
    })?;
    Ok(swapped.then_some(next.number))
}

fn get(source: &dyn Source, name: &str) -> Result<Vec<u8>, StoreError> {
    let found = source
        .get(name, 1_000_000)
        .map_err(|error| StoreError::Io {
            name: name.to_owned(),
            error,
        })?;
    Ok(found.unwrap_or_default())
}

/// The catalogue that a new snapshot is made from, with other rules where they are to be written.
struct Base<'s> {
    rules: Option<Vec<u8>>,
    theirs: &'s dyn Source,
    snapshot: Option<&'s [u8]>,
}

impl Source for Base<'_> {
    fn get(&self, name: &str, most: usize) -> io::Result<Option<Vec<u8>>> {
        match (name, self.snapshot) {
            (SNAPSHOT, snapshot) => Ok(snapshot.map(<[u8]>::to_vec)),
            (catalogue::POLICY, snapshot) => match (&self.rules, snapshot) {
                (Some(rules), _) => Ok(Some(rules.clone())),
                (None, None) => self.theirs.get(name, most),
                (None, Some(snapshot)) => {
                    let seen = Seen {
                        source: self.theirs,
                        snapshot,
                    };
                    let catalogue = Catalogue::unjudged(&seen).map_err(io::Error::other)?;
                    catalogue.policy().map(Some).map_err(io::Error::other)
                }
            },
            _ => self.theirs.get(name, most),
        }
    }
}

fn number_of(there: Option<&Tagged>) -> Result<u64, StoreError> {
    let bytes = there.map(|t| t.bytes.as_slice()).unwrap_or_default();
    let signed: SignedSnapshot = serde_json::from_slice(bytes).map_err(|error| StoreError::Io {
        name: SNAPSHOT.to_owned(),
        error: error.into(),
    })?;
    Ok(signed.signed.number)
}

/// Fetches what is missing of the library `theirs` into a folder.
///
/// # Errors
/// See [`StoreError`]. Nothing that was not held against the catalogue is ever written into the folder.
pub fn pull(
    theirs: &dyn Source,
    folder: &Path,
    keepers: &AllowedSigners,
    now: Moment,
    hear: &mut Hear<'_>,
) -> Result<Pulled, StoreError> {
    let whose = whose("their");
    let here = Folder::new(folder);
    let seen = tagged(&here)?.as_ref().map(|t| number_of(Some(t)));
    let bytes = get(theirs, SNAPSHOT)?;
    let fixed = Seen {
        source: theirs,
        snapshot: &bytes,
    };
    let there = Catalogue::open(&fixed, keepers, seen.transpose()?, now).map_err(&whose)?;
    let vehicles = there.vehicles().map_err(&whose)?;
    let all = vehicles.iter().map(|v| v.releases.len()).sum();
    let (mut done, mut fetched) = (0, 0);
    for vehicle in &vehicles {
        for release in &vehicle.releases {
            if !hear(Progress { done, all }) {
                return Err(StoreError::Stopped);
            }
            done += 1;
            let name = releases::path_in_library(&vehicle.id, &release.number);
            if here.has(&name, &release.bundle) {
                continue;
            }
            let bytes = there.bundle(&vehicle.id, release).map_err(&whose)?;
            put(&here, &name, &bytes)?;
            fetched += 1;
        }
    }
    let rules = there.policy().map_err(&whose)?;
    let files = there.files().map_err(&whose)?;
    let io = |name: &str| {
        let name = name.to_owned();
        move |error| StoreError::Io { name, error }
    };
    for (name, bytes) in files {
        put(&here, &name, &bytes)?;
    }
    here.replace(catalogue::POLICY, &rules)
        .map_err(io(catalogue::POLICY))?;
    here.replace(SNAPSHOT, &bytes).map_err(io(SNAPSHOT))?;
    let number = there.snapshot().number;
    Ok(Pulled { fetched, number })
}

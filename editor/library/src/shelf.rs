//! A whole library looked at at once: what it has of each vehicle, how far each has come, and what has gone stale.
//!
//! What is said of a vehicle is said of its file of record; where a library has only releases, of the newest one.

use std::{
    collections::{BTreeMap, BTreeSet},
    io,
    path::{Path, PathBuf},
};

use chockstone_schema::{
    Policy, Profile,
    codes::ReleaseNumber,
    date::Moment,
    id::Id,
    read::{ReadError, read_file},
    report::{
        CatalogueState, KeptRelease, KeptVehicle, ListedRelease, ReleaseState, UnreadFile,
        VehicleReleases,
    },
};
use rayon::prelude::*;

use crate::{
    catalogue::{Catalogue, CatalogueError},
    difference::report::same_but_for_release,
    files::{self, FileKind},
    in_review, policy, releases,
    stores::Folder,
};

mod coverage;
mod facts;
mod search;
mod stale;

pub use coverage::TOPICS;
pub use facts::{DatedSource, Facts};
pub use search::{Search, says};
pub use stale::{Stale, USUAL_MONTHS};

/// A whole library.
#[derive(Clone, Debug)]
pub struct Shelf {
    /// Its rules, where it has any.
    pub policy: Option<Policy>,
    /// Its catalogue, where it has one.
    pub catalogue: Option<CatalogueState>,
    /// What it has of each vehicle, by id.
    pub vehicles: Vec<Shelved>,
    /// Files that could not be read.
    pub unread: Vec<UnreadFile>,
}

/// What a library has of one vehicle. The profile itself is not kept: thousands of them would fill the memory.
#[derive(Clone, Debug)]
pub struct Shelved {
    /// As it is told.
    pub kept: KeptVehicle,
    /// What is asked of its profile; `None` where it could not be read.
    pub facts: Option<Facts>,
}

/// Why a library cannot be looked at.
#[derive(Debug, thiserror::Error)]
pub enum ShelfError {
    /// A folder cannot be read.
    #[error("{}: {error}", path.display())]
    Io {
        /// The folder.
        path: PathBuf,
        /// What the system said.
        error: io::Error,
    },
    /// The rules cannot be read.
    #[error(transparent)]
    Policy(#[from] ReadError),
}

impl Shelf {
    /// Looks at the library in a folder.
    ///
    /// # Errors
    /// See [`ShelfError`]. A file of record that cannot be read is told in [`Shelf::unread`].
    pub fn read(library: &Path, now: Moment) -> Result<Self, ShelfError> {
        let at = |error| ShelfError::Io {
            path: library.to_owned(),
            error,
        };
        let policy = policy::of_library(library)?;
        let (catalogue, listed) = catalogue(library, policy.as_ref(), now);
        let bundles = Bundles {
            library,
            listed,
            is_listing: catalogue.as_ref().is_some_and(|c| c.good),
            out: releases::all(library, releases::FOLDER).map_err(at)?,
            waiting: releases::all(library, in_review::FOLDER).map_err(at)?,
        };
        let (records, mut unread) = bundles.records().map_err(at)?;
        let mut ids: BTreeSet<&Id> = bundles.out.keys().chain(bundles.waiting.keys()).collect();
        ids.extend(bundles.listed.keys().chain(records.keys()));
        let ids: Vec<&Id> = ids.into_iter().collect();
        let shelved: Vec<(Shelved, Option<UnreadFile>)> = ids
            .par_iter()
            .map(|id| bundles.shelved(id, records.get(*id).map_or(&[], Vec::as_slice)))
            .collect();
        let (vehicles, faults): (Vec<_>, Vec<_>) = shelved.into_iter().unzip();
        unread.extend(faults.into_iter().flatten());
        unread.sort_by(|a, b| a.file.cmp(&b.file));
        Ok(Self {
            policy,
            catalogue,
            vehicles,
            unread,
        })
    }
}

/// What a file of record tells.
struct Record {
    file: String,
    named: KeptVehicle,
    facts: Facts,
    is_draft: bool,
    /// A bundle that could not be read.
    fault: Option<UnreadFile>,
}

/// Files of record by their profile's id.
type Records = BTreeMap<Id, Vec<Record>>;

/// A file's name inside the library, with `/` between folders.
fn inside(library: &Path, path: &Path) -> String {
    let path = path.strip_prefix(library).unwrap_or(path);
    let parts = path.components().map(|c| c.as_os_str().to_string_lossy());
    parts.collect::<Vec<_>>().join("/")
}

/// What could be read, and what could not.
fn split<T>(read: Option<Result<T, UnreadFile>>) -> (Option<T>, Option<UnreadFile>) {
    match read.transpose() {
        Ok(read) => (read, None),
        Err(fault) => (None, Some(fault)),
    }
}

type Listed = BTreeMap<Id, VehicleReleases>;

fn catalogue(
    library: &Path,
    policy: Option<&Policy>,
    now: Moment,
) -> (Option<CatalogueState>, Listed) {
    let bad = |error: CatalogueError| CatalogueState {
        good: false,
        number: None,
        good_until: None,
        why: Some(error.to_string()),
    };
    let keepers = policy.map(policy::keepers).unwrap_or_default();
    let folder = Folder::new(library);
    let catalogue = match Catalogue::open(&folder, &keepers, None, now) {
        Ok(catalogue) => catalogue,
        Err(CatalogueError::None) => return (None, Listed::new()),
        Err(error) => return (Some(bad(error)), Listed::new()),
    };
    match catalogue.vehicles() {
        Ok(vehicles) => {
            let snapshot = catalogue.snapshot();
            let state = CatalogueState {
                good: true,
                number: Some(snapshot.number),
                good_until: Some(snapshot.good_until),
                why: None,
            };
            let by_id = vehicles.into_iter().map(|v| (v.id.clone(), v));
            (Some(state), by_id.collect())
        }
        Err(error) => (Some(bad(error)), Listed::new()),
    }
}

/// The bundles of a library.
struct Bundles<'b> {
    library: &'b Path,
    listed: Listed,
    is_listing: bool,
    out: BTreeMap<Id, Vec<ReleaseNumber>>,
    waiting: BTreeMap<Id, Vec<ReleaseNumber>>,
}

impl Bundles<'_> {
    /// What every profile among the files of record tells, by id.
    fn records(&self) -> io::Result<(Records, Vec<UnreadFile>)> {
        let mut found = files::find(self.library)?;
        found.retain(|(_, kind)| *kind == FileKind::Profile);
        let read: Vec<Result<(Id, Record), UnreadFile>> = found
            .par_iter()
            .map(|(path, _)| self.record(path))
            .collect();
        let (mut records, mut unread) = (Records::new(), Vec::new());
        for one in read {
            match one {
                Ok((id, record)) => records.entry(id).or_default().push(record),
                Err(fault) => unread.push(fault),
            }
        }
        Ok((records, unread))
    }

    fn record(&self, path: &Path) -> Result<(Id, Record), UnreadFile> {
        let file = inside(self.library, path);
        let profile: Profile = read_file(path).map_err(|error| UnreadFile {
            file: file.clone(),
            why: error.to_string(),
        })?;
        let (newest, fault) = split(self.newest(&profile.id));
        let is_released = newest.is_some_and(|newest| same_but_for_release(&newest, &profile));
        let record = Record {
            file,
            named: self.named(&profile.id, Some(&profile)),
            facts: Facts::of(&profile),
            is_draft: !is_released,
            fault,
        };
        Ok((profile.id, record))
    }

    /// What there is of one vehicle, and what could not be read of it.
    fn shelved(&self, id: &Id, records: &[Record]) -> (Shelved, Option<UnreadFile>) {
        let releases = self.kept(id);
        let mut states: BTreeSet<ReleaseState> = releases.iter().map(|r| r.state).collect();
        if records.iter().any(|record| record.is_draft) {
            states.insert(ReleaseState::Draft);
        }
        let (mut kept, facts, fault) = if let Some(first) = records.first() {
            let (named, facts) = (first.named.clone(), first.facts.clone());
            (named, Some(facts), first.fault.clone())
        } else {
            let (newest, fault) = split(self.newest(id));
            let named = self.named(id, newest.as_ref());
            (named, newest.as_ref().map(Facts::of), fault)
        };
        kept.states = states.into_iter().collect();
        kept.files = records.iter().map(|record| record.file.clone()).collect();
        kept.releases = releases;
        (Shelved { kept, facts }, fault)
    }

    /// The profile in the newest bundle: a release, or where there is none, one that waits.
    fn newest(&self, id: &Id) -> Option<Result<Profile, UnreadFile>> {
        let last = |of: &BTreeMap<Id, Vec<ReleaseNumber>>| of.get(id)?.last().cloned();
        let path = match (last(&self.out), last(&self.waiting)) {
            (Some(number), _) => releases::file(self.library, id, &number),
            (None, Some(number)) => in_review::file(self.library, id, &number),
            (None, None) => return None,
        };
        let read = releases::read_profile(&path);
        Some(read.map_err(|error| UnreadFile {
            file: inside(self.library, &path),
            why: error.to_string(),
        }))
    }

    fn kept(&self, id: &Id) -> Vec<KeptRelease> {
        let listed = self.listed.get(id).map_or(&[][..], |v| &v.releases);
        let mut numbers: BTreeMap<[u32; 3], ReleaseNumber> = BTreeMap::new();
        let out = self.out.get(id).map_or(&[][..], Vec::as_slice);
        for number in out.iter().chain(listed.iter().map(|r| &r.number)) {
            numbers.insert(number.parts(), number.clone());
        }
        let mut kept: Vec<KeptRelease> = numbers
            .into_values()
            .map(|number| {
                let listed = listed.iter().find(|r| r.number == number);
                self.release(id, number, listed)
            })
            .collect();
        let waiting = self.waiting.get(id).map_or(&[][..], Vec::as_slice);
        kept.extend(waiting.iter().map(|number| KeptRelease {
            number: number.clone(),
            state: ReleaseState::InReview,
            file: inside(self.library, &in_review::file(self.library, id, number)),
            day: None,
            listed: None,
            withdrawn_at: None,
            reason: None,
        }));
        kept
    }

    fn release(
        &self,
        id: &Id,
        number: ReleaseNumber,
        listed: Option<&ListedRelease>,
    ) -> KeptRelease {
        let withdrawn = listed.and_then(|r| r.withdrawn.as_ref());
        KeptRelease {
            file: releases::path_in_library(id, &number),
            number,
            // What the catalogue does not list has not been let out by a keeper.
            state: match (withdrawn, listed, self.is_listing) {
                (Some(_), _, _) => ReleaseState::Withdrawn,
                (None, None, true) => ReleaseState::InReview,
                (None, _, _) => ReleaseState::Released,
            },
            day: listed.map(|r| r.day),
            listed: self.is_listing.then_some(listed.is_some()),
            withdrawn_at: withdrawn.map(|w| w.at),
            reason: withdrawn.map(|w| w.reason.to_string()),
        }
    }

    /// Which vehicle it is, from the profile or else from the catalogue.
    fn named(&self, id: &Id, profile: Option<&Profile>) -> KeptVehicle {
        let listed = self.listed.get(id);
        let identity = profile.map(|p| &p.identity);
        let years = identity.and_then(|i| i.model_years.as_ref());
        let maker = identity.map(|i| &i.maker).or(listed.map(|v| &v.maker));
        let model = identity.map(|i| &i.model).or(listed.map(|v| &v.model));
        let mut languages = Vec::new();
        if let Some(profile) = profile {
            languages.push(profile.language.to_string());
            languages.extend(profile.languages.iter().map(ToString::to_string));
        }
        KeptVehicle {
            id: id.to_string(),
            maker: maker.map(ToString::to_string).unwrap_or_default(),
            model: model.map(ToString::to_string).unwrap_or_default(),
            model_years: years
                .map(|y| [y.first, y.last])
                .or_else(|| listed.and_then(|v| v.model_years)),
            vin_patterns: profile.map(patterns).unwrap_or_default(),
            states: Vec::new(),
            files: Vec::new(),
            releases: Vec::new(),
            covers: None,
            languages,
        }
    }
}

/// Every pattern of vehicle identification numbers in a profile, each once.
fn patterns(profile: &Profile) -> Vec<String> {
    let own = profile.identity.vin_patterns.iter();
    let of_variants = profile.variants.iter().flat_map(|v| &v.vin_patterns);
    let all: BTreeSet<String> = own
        .chain(of_variants)
        .map(|p| p.pattern.as_str().to_owned())
        .collect();
    all.into_iter().collect()
}

#[cfg(test)]
mod tests;

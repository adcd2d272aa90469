//! A keeper's work on the catalogue: entering releases, indexing a whole library, withdrawing.
//!
//! A release is never deleted. Withdrawn, it stays where it is, and the catalogue says since when and why it may no longer be
//! used.

use std::{collections::BTreeMap, path::Path};

use chockstone_schema::{
    Policy, Profile,
    bundle::{Limits, open},
    codes::{ReleaseNumber, Sha256Hex},
    date::{Date, Moment},
    id::Id,
    report::{ListedRelease, VehicleReleases, Withdrawn},
    text::Label,
};

use crate::{
    catalogue::{Catalogue, CatalogueError, file_of},
    policy, releases,
    signing::SigningKey,
    stores::{Folder, StoreError, amend},
    verify::{Trust, verify_for},
};

#[cfg(test)]
mod tests;

/// What a new release is: the profile, its number and the bundle's bytes.
pub type Entry<'e> = (&'e Profile, &'e ReleaseNumber, &'e [u8]);

/// Enters one release into the catalogue of the library in a folder; the number of the new snapshot.
///
/// # Errors
/// See [`StoreError`].
pub fn enter(
    library: &Path,
    policy: &Policy,
    key: &SigningKey,
    (profile, number, bytes): Entry<'_>,
    now: Moment,
) -> Result<u64, StoreError> {
    let release = listed(number, bytes, now.date());
    let keepers = policy::keepers(policy);
    amend(&Folder::new(library), Some(&keepers), key, now, |there| {
        let known = there.map(|c| c.vehicle(&profile.id)).transpose();
        let known = known.map_err(our)?.flatten();
        let mut releases = known.map_or_else(Vec::new, |v| v.releases);
        releases.retain(|other| other.number != *number);
        releases.push(release.clone());
        releases.sort_by_key(|r| r.number.parts());
        Ok(vec![vehicle(profile, releases)])
    })
}

fn our(error: CatalogueError) -> StoreError {
    StoreError::Catalogue {
        whose: "our",
        error,
    }
}

/// A release as the catalogue lists it; its day is that of the bag, where that is told.
fn listed(number: &ReleaseNumber, bytes: &[u8], today: Date) -> ListedRelease {
    let bundle = open(bytes, &Limits::default());
    let day = bundle.ok().and_then(|b| {
        let told = b.info.iter().find(|(label, _)| label == "Bagging-Date")?;
        Date::new(&told.1).ok()
    });
    ListedRelease {
        number: number.clone(),
        day: day.unwrap_or(today),
        bundle: file_of(bytes),
        withdrawn: None,
    }
}

fn vehicle(profile: &Profile, releases: Vec<ListedRelease>) -> VehicleReleases {
    let years = profile.identity.model_years.as_ref();
    VehicleReleases {
        id: profile.id.clone(),
        maker: profile.identity.maker.clone(),
        model: profile.identity.model.clone(),
        model_years: years.map(|y| [y.first, y.last]),
        releases,
    }
}

/// Why a release was not withdrawn.
#[derive(Debug, thiserror::Error)]
pub enum WithdrawError {
    /// The catalogue could not be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The catalogue lists no such release.
    #[error("the catalogue lists no release {number} of {profile}")]
    Unknown {
        /// The profile.
        profile: Id,
        /// The number.
        number: ReleaseNumber,
    },
    /// It was withdrawn before.
    #[error("release {number} of {profile} was withdrawn on {}: {}", withdrawn.at.date(), withdrawn.reason)]
    Before {
        /// The profile.
        profile: Id,
        /// The number.
        number: ReleaseNumber,
        /// Since when and why.
        withdrawn: Withdrawn,
    },
}

/// Withdraws a release; the number of the new snapshot and the bundle's SHA-256.
///
/// # Errors
/// See [`WithdrawError`].
pub fn withdraw(
    library: &Path,
    policy: &Policy,
    key: &SigningKey,
    (profile, number): (&Id, &ReleaseNumber),
    reason: &Label,
    now: Moment,
) -> Result<(u64, Sha256Hex), WithdrawError> {
    let unknown = || WithdrawError::Unknown {
        profile: profile.clone(),
        number: number.clone(),
    };
    let mut sha256 = None;
    let keepers = policy::keepers(policy);
    let snapshot = amend(&Folder::new(library), Some(&keepers), key, now, |there| {
        let known = there.map(|c| c.vehicle(profile)).transpose().map_err(our)?;
        let mut vehicle = known.flatten().ok_or_else(unknown)?;
        let release = vehicle.releases.iter_mut().find(|r| r.number == *number);
        let release = release.ok_or_else(unknown)?;
        if let Some(withdrawn) = release.withdrawn.clone() {
            return Err(WithdrawError::Before {
                profile: profile.clone(),
                number: number.clone(),
                withdrawn,
            });
        }
        sha256 = Some(release.bundle.sha256.clone());
        release.withdrawn = Some(Withdrawn {
            at: now,
            reason: reason.clone(),
        });
        Ok(vec![vehicle])
    })?;
    Ok((snapshot, sha256.ok_or_else(unknown)?))
}

/// What indexing found.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Indexed {
    /// The number of the new snapshot; `None` when none was signed.
    pub number: Option<u64>,
    /// Vehicles in the catalogue.
    pub vehicles: usize,
    /// Releases in the catalogue.
    pub releases: usize,
    /// Bundles that are not listed, and why.
    pub not_listed: Vec<(String, Vec<String>)>,
    /// What is listed and not there as it should be, one sentence each: nothing is signed until it is back.
    pub refused: Vec<String>,
}

/// How indexing ends without a snapshot.
enum Stop {
    Store(StoreError),
    Damaged,
}

impl From<StoreError> for Stop {
    fn from(error: StoreError) -> Self {
        Self::Store(error)
    }
}

/// Enters every release of a library that its rules allow, and signs a new snapshot. What the catalogue lists already stays
/// listed, with its withdrawals: it was judged when it was entered. With `anew` it is not asked who signed the catalogue.
///
/// # Errors
/// See [`StoreError`].
pub fn index(
    library: &Path,
    policy: &Policy,
    key: &SigningKey,
    anew: bool,
    now: Moment,
) -> Result<Indexed, StoreError> {
    let keepers = policy::keepers(policy);
    let keepers = (!anew).then_some(&keepers);
    let mut indexed = Indexed::default();
    let number = amend(&Folder::new(library), keepers, key, now, |there| {
        indexed = Indexed::default();
        let known = there.map(Catalogue::vehicles).transpose().map_err(our)?;
        let shelf = Indexing {
            library,
            policy,
            now,
        };
        let vehicles = shelf.all(known.unwrap_or_default(), &mut indexed)?;
        if indexed.refused.is_empty() {
            Ok(vehicles)
        } else {
            Err(Stop::Damaged)
        }
    });
    match number {
        Ok(number) => indexed.number = Some(number),
        Err(Stop::Damaged) => {}
        Err(Stop::Store(error)) => return Err(error),
    }
    Ok(indexed)
}

struct Indexing<'i> {
    library: &'i Path,
    policy: &'i Policy,
    now: Moment,
}

impl Indexing<'_> {
    /// Every vehicle as the next catalogue lists it.
    fn all(
        &self,
        known: Vec<VehicleReleases>,
        indexed: &mut Indexed,
    ) -> Result<Vec<VehicleReleases>, StoreError> {
        let found = releases::all(self.library, releases::FOLDER);
        let mut found = found.map_err(|error| StoreError::Io {
            name: releases::FOLDER.to_owned(),
            error,
        })?;
        let mut known: BTreeMap<Id, VehicleReleases> =
            known.into_iter().map(|v| (v.id.clone(), v)).collect();
        for id in known.keys() {
            found.entry(id.clone()).or_default();
        }
        let mut vehicles = Vec::new();
        for (id, numbers) in found {
            let before = known.remove(&id);
            let after = self.one(&id, &numbers, before.clone(), indexed);
            indexed.vehicles += usize::from(after.is_some());
            indexed.releases += after.as_ref().map_or(0, |v| v.releases.len());
            if before != after {
                vehicles.extend(after);
            }
        }
        Ok(vehicles)
    }

    /// One vehicle; `None` when nothing of it is listed.
    fn one(
        &self,
        id: &Id,
        numbers: &[ReleaseNumber],
        known: Option<VehicleReleases>,
        indexed: &mut Indexed,
    ) -> Option<VehicleReleases> {
        let mut after = known;
        for release in after.iter().flat_map(|v| &v.releases) {
            let path = releases::file(self.library, id, &release.number);
            let bytes = releases::read_bytes(&path).unwrap_or_default();
            if file_of(&bytes) != release.bundle {
                let name = releases::path_in_library(id, &release.number);
                indexed.refused.push(format!("{name} is missing or was changed, although the catalogue lists it: put the released file back."));
            }
        }
        for number in numbers {
            let is_listed = after
                .iter()
                .any(|v| v.releases.iter().any(|r| r.number == *number));
            if is_listed {
                continue;
            }
            match self.judged(id, number) {
                Ok((profile, release)) => {
                    let mut all = after.take().map_or_else(Vec::new, |v| v.releases);
                    all.push(release);
                    all.sort_by_key(|r| r.number.parts());
                    after = Some(vehicle(&profile, all));
                }
                Err(reasons) => {
                    let name = releases::path_in_library(id, number);
                    indexed.not_listed.push((name, reasons));
                }
            }
        }
        after
    }

    /// A release that is not listed yet, or why it is not.
    fn judged(
        &self,
        id: &Id,
        number: &ReleaseNumber,
    ) -> Result<(Profile, ListedRelease), Vec<String>> {
        let one = |why: String| vec![why];
        let path = releases::file(self.library, id, number);
        let bytes =
            releases::read_bytes(&path).map_err(|e| one(format!("It could not be read: {e}.")))?;
        let trust = Trust::Library {
            folder: self.library,
            policy: self.policy,
        };
        let name = releases::path_in_library(id, number);
        let report =
            verify_for(&name, &bytes, trust, self.now).map_err(|e| one(format!("{e}.")))?;
        // The catalogue that is there is judged elsewhere, or is being signed anew.
        let bad = report
            .steps
            .iter()
            .filter(|s| s.good == Some(false) && s.step != "catalogue");
        let reasons: Vec<String> = bad.map(|s| s.message.clone()).collect();
        if !reasons.is_empty() {
            return Err(reasons);
        }
        if (report.profile.as_deref(), report.release)
            != (Some(id.as_str()), Some(number.to_string()))
        {
            return Err(one(
                "It holds another profile or release than its name says.".to_owned(),
            ));
        }
        let bundle = open(&bytes, &Limits::default()).map_err(|e| one(format!("{e}.")))?;
        let profile = bundle.profile().map_err(|e| one(e.to_string()))?;
        Ok((profile, listed(number, &bytes, self.now.date())))
    }
}

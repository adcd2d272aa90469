//! Writing a catalogue.

use std::collections::BTreeMap;

use chockstone_schema::{
    Policy,
    date::Moment,
    read::{Notation, ReadError, read},
    report::{Bin, SignedSnapshot, Snapshot, VehicleReleases},
    signature::SNAPSHOT as PURPOSE,
};

use super::{
    CatalogueError, POLICY, SNAPSHOT, Source, bin, bin_file, bin_of, canonical_bytes, file_of, get,
    policy_file, snapshot, vehicle_file,
};
use crate::signing::{SigningError, SigningKey};

/// Days for which a snapshot is good where the rules do not say.
const USUAL_DAYS: u16 = 90;
/// The largest file of rules, in bytes.
const LARGEST_POLICY: usize = 1_000_000;

/// What must be written, in this order; the last file is the snapshot.
#[derive(Clone, Debug, PartialEq)]
pub struct Update {
    /// Names and bytes of new files. None of them is ever written over with other bytes, but the snapshot.
    pub files: Vec<(String, Vec<u8>)>,
    /// The number of the new snapshot.
    pub number: u64,
}

/// Why a catalogue cannot be written.
#[derive(Debug, thiserror::Error)]
pub enum UpdateError {
    /// The catalogue that is there is damaged.
    #[error(transparent)]
    Catalogue(#[from] CatalogueError),
    /// The rules are missing.
    #[error("{POLICY} is missing: it says what the library is called and who may sign")]
    NoPolicy,
    /// The rules cannot be read.
    #[error(transparent)]
    Policy(#[from] ReadError),
    /// The key cannot sign.
    #[error(transparent)]
    Signing(#[from] SigningError),
    /// The moment is before that of the snapshot that is there.
    #[error(
        "the catalogue that is there was made at {there}, which is after {now}: the clock is wrong"
    )]
    Clock {
        /// When the catalogue that is there was made.
        there: Moment,
        /// Now.
        now: Moment,
    },
}

/// Enters vehicles into a catalogue, replacing what it says of them, and signs a new snapshot.
///
/// # Errors
/// See [`UpdateError`]. The snapshot that is there is not judged: a keeper may sign anew what nobody believes any more.
pub fn update(
    source: &dyn Source,
    vehicles: &[VehicleReleases],
    key: &SigningKey,
    now: Moment,
) -> Result<Update, UpdateError> {
    let rules = get(source, POLICY, LARGEST_POLICY)?.ok_or(UpdateError::NoPolicy)?;
    let policy: Policy = read(POLICY, &rules, Notation::Ron)?;
    let before = snapshot(source)?.map(|signed| signed.signed);
    if let Some(there) = before.as_ref().map(|b| b.made).filter(|made| *made > now) {
        return Err(UpdateError::Clock { there, now });
    }
    let mut next = Snapshot {
        library: policy.name.clone(),
        number: before.as_ref().map_or(1, |b| b.number + 1),
        made: now,
        good_until: now.plus_days(policy.catalogue_days.unwrap_or(USUAL_DAYS)),
        policy: file_of(&rules),
        bins: BTreeMap::new(),
    };
    let mut files = Vec::new();
    if before.as_ref().map(|b| &b.policy) != Some(&next.policy) {
        files.push((policy_file(&next.policy), rules));
    }
    next.bins = before.map(|b| b.bins).unwrap_or_default();
    for vehicle in vehicles {
        enter(source, vehicle, &mut next, &mut files)?;
    }
    let signature = key.sign(PURPOSE, &canonical_bytes(&next))?;
    let number = next.number;
    let signed = SignedSnapshot {
        signed: next,
        signatures: vec![String::from_utf8_lossy(&signature).into_owned()],
    };
    files.push((SNAPSHOT.to_owned(), canonical_bytes(&signed)));
    Ok(Update { files, number })
}

/// Writes the file of a vehicle and that of its bin.
fn enter(
    source: &dyn Source,
    vehicle: &VehicleReleases,
    next: &mut Snapshot,
    files: &mut Vec<(String, Vec<u8>)>,
) -> Result<(), CatalogueError> {
    let name = bin_of(&vehicle.id);
    let mut contents = match next.bins.get(&name) {
        None => Bin::default(),
        // A bin of this very update is not in the source yet.
        Some(file) => match files
            .iter()
            .find(|(path, _)| *path == bin_file(&name, file))
        {
            Some((path, bytes)) => super::parse(path, bytes)?,
            None => bin(source, &name, file)?,
        },
    };
    let bytes = canonical_bytes(vehicle);
    let file = file_of(&bytes);
    files.push((vehicle_file(&vehicle.id, &file), bytes));
    contents.vehicles.insert(vehicle.id.clone(), file);
    let bytes = canonical_bytes(&contents);
    let file = file_of(&bytes);
    // Of a bin that several vehicles of one update are in, only the last state is written.
    if let Some(earlier) = next.bins.insert(name.clone(), file.clone()) {
        let earlier = bin_file(&name, &earlier);
        files.retain(|(path, _)| *path != earlier);
    }
    files.push((bin_file(&name, &file), bytes));
    Ok(())
}

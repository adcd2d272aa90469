//! The catalogue of a library: which releases there are, in files that a reader can trust without trusting their host.
//!
//! After The Update Framework's specification (version 1.0, sections 4 and 5), with its roles of snapshot and timestamp in one
//! file, and its hashed bins between that file and those of the vehicles.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    codes::{ReleaseNumber, Sha256Hex},
    date::{Date, Moment},
    id::Id,
    text::Label,
};

/// `catalogue/snapshot.json`: the only file of a catalogue that is ever written over.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SignedSnapshot {
    /// What is signed, as canonical JSON (RFC 8785).
    pub signed: Snapshot,
    /// Signatures in the format of OpenSSH, over the canonical bytes of `signed`.
    #[schemars(length(max = 20))]
    pub signatures: Vec<String>,
}

/// The state of a whole library at one moment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Snapshot {
    /// The library's name.
    pub library: Label,
    /// One more than the snapshot before: a reader never goes back.
    #[schemars(range(min = 1, max = 9_007_199_254_740_991_u64))]
    pub number: u64,
    /// When it was made.
    pub made: Moment,
    /// Until when it is good: after that a reader takes the library for frozen.
    pub good_until: Moment,
    /// The library's rules, `library.ron`.
    pub policy: FileOf,
    /// The bins, by the first two hexadecimal digits of the SHA-256 of the ids in them.
    pub bins: BTreeMap<String, FileOf>,
}

/// A file by what it holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FileOf {
    /// The SHA-256 of its bytes.
    pub sha256: Sha256Hex,
    /// Its size in bytes.
    #[schemars(range(max = 500_000_000))]
    pub size: u64,
}

/// One bin: vehicles whose ids hash alike.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Bin {
    /// The file of each vehicle.
    pub vehicles: BTreeMap<Id, FileOf>,
}

/// The releases of one vehicle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VehicleReleases {
    /// The profile's id.
    pub id: Id,
    /// The maker.
    pub maker: Label,
    /// The model.
    pub model: Label,
    /// The first and the last model year, where the profile states them.
    pub model_years: Option<[u16; 2]>,
    /// Its releases, oldest first.
    #[schemars(length(max = 10_000))]
    pub releases: Vec<ListedRelease>,
}

/// One release of a vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ListedRelease {
    /// Its number.
    pub number: ReleaseNumber,
    /// Its day.
    pub day: Date,
    /// The bundle.
    pub bundle: FileOf,
    /// Why and since when it is no longer to be used. It stays where it is.
    pub withdrawn: Option<Withdrawn>,
}

/// Why a release is no longer to be used.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Withdrawn {
    /// Since when.
    pub at: Moment,
    /// Why.
    pub reason: Label,
}

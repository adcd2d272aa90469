//! What the commands on a whole library print: lists, searches, what has gone stale, and what was sent, fetched or withdrawn.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::{
    codes::{ReleaseNumber, Sha256Hex},
    date::{Date, Moment},
};

/// What a signature counts as.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum SignatureRole {
    /// The author's.
    Author,
    /// A reviewer's.
    Reviewer,
    /// Somebody's who may be author or reviewer.
    Either,
    /// Somebody's who is listed, where roles are not known.
    Signer,
    /// Not accepted.
    Refused,
}

/// What is said of one signature.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct JudgedSignature {
    /// The name of its file in the bundle, between `tagmanifest-sha256.txt.` and `.sig`.
    pub file: String,
    /// What it counts as.
    pub role: SignatureRole,
    /// The names that its key stands under.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub names: Vec<String>,
    /// The fingerprint of its key, where the signature is accepted.
    pub key: Option<String>,
    /// Why it is not accepted.
    pub why: Option<String>,
}

/// What `sign --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SignReport {
    /// The program and its version.
    pub program: String,
    /// The bundle's file.
    pub bundle: String,
    /// Whether the signature is in the bundle now.
    pub signed: bool,
    /// The name of the signature's file in the bundle, when it was signed.
    pub file: Option<String>,
    /// Why it was not signed, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub refused: Vec<String>,
    /// Every signature of the bundle, where a library's rules judge them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub signatures: Vec<JudgedSignature>,
    /// What the library's rules still ask for, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
}

/// How far a vehicle's profile has come.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum ReleaseState {
    /// A file that differs from the last release, or was never released.
    Draft,
    /// A bundle that waits for signatures.
    InReview,
    /// A release that may be used.
    Released,
    /// A release that may no longer be used.
    Withdrawn,
}

/// One bundle of a vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptRelease {
    /// Its number.
    pub number: ReleaseNumber,
    /// In review, released or withdrawn.
    pub state: ReleaseState,
    /// Its file inside the library.
    pub file: String,
    /// Its day, where the catalogue tells it.
    pub day: Option<Date>,
    /// Whether the catalogue lists it; absent where the library has none.
    pub listed: Option<bool>,
    /// Since when it may no longer be used.
    pub withdrawn_at: Option<Moment>,
    /// Why it may no longer be used.
    pub reason: Option<String>,
}

/// What a library has of one vehicle.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct KeptVehicle {
    /// The profile's id.
    pub id: String,
    /// The maker.
    pub maker: String,
    /// The model.
    pub model: String,
    /// The first and the last model year, where the profile states them.
    pub model_years: Option<[u16; 2]>,
    /// Patterns of vehicle identification numbers, those of variants too.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub vin_patterns: Vec<String>,
    /// Every state that holds, in the order from draft to withdrawn.
    pub states: Vec<ReleaseState>,
    /// Its files of record inside the library.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub files: Vec<String>,
    /// Its bundles, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub releases: Vec<KeptRelease>,
    /// What the profile covers, by topic; where it was asked for.
    pub covers: Option<BTreeMap<String, bool>>,
    /// The languages that it is in, the base language first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub languages: Vec<String>,
}

/// A file that could not be read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct UnreadFile {
    /// The file inside the library.
    pub file: String,
    /// Why.
    pub why: String,
}

/// Whether a library's catalogue is believed.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CatalogueState {
    /// Whether it is believed.
    pub good: bool,
    /// The number of its snapshot, where it is believed.
    pub number: Option<u64>,
    /// Until when it is good, where it is believed.
    pub good_until: Option<Moment>,
    /// Why it is not believed.
    pub why: Option<String>,
}

/// What `library list --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryListReport {
    /// The program and its version.
    pub program: String,
    /// The library's folder.
    pub library: String,
    /// What the library is called, where it has rules.
    pub name: Option<String>,
    /// Its catalogue; absent where it has none.
    pub catalogue: Option<CatalogueState>,
    /// The vehicles, by id.
    pub vehicles: Vec<KeptVehicle>,
    /// Files that could not be read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<UnreadFile>,
}

/// What the ninth character of a vehicle identification number says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum CheckDigitSaid {
    /// It is the check digit that the others ask for; that is no proof that the number is right.
    Right,
    /// The others ask for another one.
    Wrong,
    /// It is no check digit: this maker uses none.
    None,
}

/// What a vehicle identification number says by itself.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct VinSays {
    /// The number.
    pub number: String,
    /// What its ninth character says.
    pub check_digit: CheckDigitSaid,
    /// The check digit that the other characters ask for, where it is another one.
    pub expected: Option<char>,
    /// The model years that its tenth character can stand for.
    pub model_years: Vec<u16>,
    /// The maker's code: three characters, or six for makers of few vehicles.
    pub maker_code: String,
}

/// What `library find --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryFindReport {
    /// The program and its version.
    pub program: String,
    /// The library's folder.
    pub library: String,
    /// What the vehicle identification number that was asked for says by itself.
    pub vin: Option<VinSays>,
    /// The vehicles that fit everything that was asked for, by id.
    pub found: Vec<KeptVehicle>,
    /// Files that could not be read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<UnreadFile>,
}

/// A source that is older than the library's rules allow.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OldSource {
    /// The profile's id.
    pub vehicle: String,
    /// The source's id.
    pub source: String,
    /// Its day.
    pub date: Date,
    /// How many values and statements rest on it.
    pub rests_on_it: usize,
}

/// A vehicle of which the library knows a newer model year.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NewerYear {
    /// The profile's id.
    pub vehicle: String,
    /// Its last model year.
    pub last_year: u16,
    /// The newer model year.
    pub newer_year: u16,
    /// The profile that covers it.
    pub newer: String,
}

/// Places of a profile that have a fault of one kind.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FaultyPlaces {
    /// The profile's id.
    pub vehicle: String,
    /// RFC 6901 pointers to the places.
    pub places: Vec<String>,
}

/// Two profiles that both claim some vehicle identification number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PatternOverlap {
    /// One profile's id.
    pub vehicle: String,
    /// Its pattern.
    pub pattern: String,
    /// The other profile's id.
    pub other: String,
    /// Its pattern.
    pub other_pattern: String,
}

/// What `library stale --json` prints.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryStaleReport {
    /// The program and its version.
    pub program: String,
    /// The library's folder.
    pub library: String,
    /// The day that ages are counted to.
    pub day: Date,
    /// Months after which evidence counts as old.
    pub months: u16,
    /// Sources that are older; laws, regulations and standards hold until their next edition and are not among them.
    pub old_sources: Vec<OldSource>,
    /// Vehicles of which the library knows a newer model year.
    pub newer_years: Vec<NewerYear>,
    /// Values and statements without a source.
    pub unsourced: Vec<FaultyPlaces>,
    /// Texts without a string in a language that the profile promises.
    pub untranslated: Vec<FaultyPlaces>,
    /// Pairs of profiles that claim the same vehicle.
    pub overlaps: Vec<PatternOverlap>,
    /// Files that could not be read.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub unread: Vec<UnreadFile>,
}

/// A bundle that the catalogue does not list, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct NotListed {
    /// The bundle's file inside the library.
    pub file: String,
    /// Why, one sentence each.
    pub reasons: Vec<String>,
}

/// What `library index --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryIndexReport {
    /// The program and its version.
    pub program: String,
    /// The library's folder.
    pub library: String,
    /// The number of the new snapshot; absent when none was signed.
    pub number: Option<u64>,
    /// How many vehicles the catalogue lists.
    pub vehicles: usize,
    /// How many releases it lists.
    pub releases: usize,
    /// Bundles that it does not list.
    pub not_listed: Vec<NotListed>,
    /// Why no snapshot was signed, one sentence each.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub refused: Vec<String>,
}

/// What `library push --json` and `library pull --json` print.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryTransferReport {
    /// The program and its version.
    pub program: String,
    /// The library's folder.
    pub library: String,
    /// The place that it was sent to or fetched from.
    pub place: String,
    /// How many bundles were sent or fetched.
    pub bundles: usize,
    /// The number of the snapshot that holds at the end; absent when nothing was finished.
    pub number: Option<u64>,
    /// How often somebody else was quicker.
    pub retries: usize,
    /// Why it was not finished; what is at either end reads as before.
    pub refused: Option<String>,
}

/// What `library withdraw --json` prints.
#[serde_with::skip_serializing_none]
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LibraryWithdrawReport {
    /// The program and its version.
    pub program: String,
    /// The profile's id.
    pub profile: String,
    /// The release.
    pub release: ReleaseNumber,
    /// Its bundle's SHA-256, when it was withdrawn.
    pub sha256: Option<Sha256Hex>,
    /// The number of the new snapshot, when it was withdrawn.
    pub number: Option<u64>,
    /// Why it was not withdrawn.
    pub refused: Option<String>,
}

//! Adding a signature to a bundle that waits.

use std::path::{Path, PathBuf};

use chockstone_schema::{
    bundle::{Limits, open},
    date::Moment,
    report::JudgedSignature,
};

use super::{FOLDER, InReviewError, faults, io_at, released};
use crate::{
    catalogue::SNAPSHOT,
    files,
    policy::{self, Judged, Role, Standing},
    releases,
    signing::{SigningKey, sign_bundle},
};

/// What to sign, by whom and as what.
#[derive(Clone, Copy, Debug)]
pub struct SignRequest<'r> {
    /// The bundle's file.
    pub bundle: &'r Path,
    /// The key.
    pub key: &'r SigningKey,
    /// The role.
    pub role: Role,
    /// The library's folder; without it, the one that the bundle lies in.
    pub library: Option<&'r Path>,
    /// Now.
    pub at: Moment,
}

/// What signing led to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SignOutcome {
    /// The name of the signature in the bundle; `None` where it was not signed.
    pub file: Option<String>,
    /// Why it was not signed, one sentence each.
    pub refused: Vec<String>,
    /// Every signature, where a library's rules judge them.
    pub signatures: Vec<JudgedSignature>,
    /// What the rules still ask for, one sentence each.
    pub missing: Vec<String>,
}

/// Adds a signature to a bundle. What does not verify by itself is signed by nobody, and where a library has rules, only by
/// whom they allow.
///
/// # Errors
/// See [`InReviewError`].
pub fn sign(request: &SignRequest<'_>) -> Result<SignOutcome, InReviewError> {
    let path = request.bundle;
    let bytes = releases::read_bytes(path).map_err(io_at(path))?;
    let mut outcome = SignOutcome {
        refused: faults(&path.display().to_string(), &bytes)?,
        ..SignOutcome::default()
    };
    let library = request.library.map(Path::to_owned);
    let library = library.or_else(|| library_of(path));
    outcome.refused.extend(already(path, &bytes, request)?);
    outcome.refused.extend(is_out(path, library.as_deref()));
    if !outcome.refused.is_empty() {
        return Ok(outcome);
    }
    let signed = sign_bundle(&bytes, request.key)?;
    if let Some(library) = &library {
        judge(library, &signed, request, &mut outcome)?;
    }
    if outcome.refused.is_empty() {
        files::write_atomic(path, &signed).map_err(io_at(path))?;
        outcome.file = Some(request.key.name());
    }
    Ok(outcome)
}

fn already(
    path: &Path,
    bytes: &[u8],
    request: &SignRequest<'_>,
) -> Result<Option<String>, InReviewError> {
    let bundle = open(bytes, &Limits::default())?;
    let is_there = bundle.signatures.contains_key(&request.key.name());
    Ok(is_there.then(|| format!("This key has signed {} already.", path.display())))
}

/// A signature more would make a released bundle another file than the catalogue lists.
fn is_out(path: &Path, library: Option<&Path>) -> Option<String> {
    let library = library?;
    let is_inside = library_above(path, releases::FOLDER).is_some();
    (is_inside && library.join(SNAPSHOT).exists()).then(|| {
        "It is released, and with another signature it would be another file than the catalogue lists.".to_owned()
    })
}

fn judge(
    library: &Path,
    signed: &[u8],
    request: &SignRequest<'_>,
    outcome: &mut SignOutcome,
) -> Result<(), InReviewError> {
    let Some(policy) = policy::of_library(library)? else {
        return Ok(());
    };
    let (profile, number) = released(signed)?;
    let mut earlier = releases::of(library, &profile.id).map_err(io_at(library))?;
    earlier.retain(|other| other.parts() < number.parts());
    let reviews = policy::reviews_needed(&policy, earlier.last(), &number);
    let bundle = open(signed, &Limits::default())?;
    let standing = policy::standing(&policy, &bundle, reviews, request.at);
    outcome
        .refused
        .extend(refusal(&standing, request.key, request.role));
    if outcome.refused.is_empty() {
        outcome.signatures = standing.told();
        outcome.missing = standing.missing;
    }
    Ok(())
}

/// Why a key's signature does not count in a role; `None` where it does.
pub(super) fn refusal(standing: &Standing, key: &SigningKey, role: Role) -> Option<String> {
    let name = key.name();
    let own = standing.of(&name)?;
    if let Some(refusal) = own.refusal(role) {
        return Some(refusal);
    }
    let own = own.signed().filter(|_| role == Role::Reviewer)?;
    let is_author = |(file, judged): &&(String, Judged)| {
        *file != name
            && matches!(judged, Judged::Author(_) | Judged::Either(_))
            && judged
                .signed()
                .is_some_and(|other| policy::is_same_person(own, other))
    };
    standing.signatures.iter().find(is_author).map(|_| {
        let who = own.names.join(", ");
        format!("{who} signed it as its author, and an author may not review.")
    })
}

/// The library that a bundle lies in: two folders above it are `in-review` or `releases`.
pub fn library_of(bundle: &Path) -> Option<PathBuf> {
    library_above(bundle, FOLDER).or_else(|| library_above(bundle, releases::FOLDER))
}

fn library_above(bundle: &Path, folder: &str) -> Option<PathBuf> {
    let bundle = bundle.canonicalize().ok()?;
    let above = bundle.parent()?.parent()?;
    let is_it = above.file_name().is_some_and(|name| name == folder);
    is_it.then(|| above.parent().map(Path::to_owned)).flatten()
}

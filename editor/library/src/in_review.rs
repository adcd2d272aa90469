//! Bundles that wait for signatures, and their way into the releases.
//!
//! A library with rules (`library.ron`) lets nothing out that they do not allow. The author publishes with a key: the bundle
//! waits in `in-review/ID/ID-X.Y.Z.zip`. Reviewers sign it there ([`sign`]). Publishing that bundle, or the profile once
//! more, moves it into the releases and enters it into the catalogue as soon as nothing is missing any more. A library
//! without rules asks for nothing; a key signs all the same.

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use chockstone_schema::{
    Policy, Profile,
    bundle::{BundleError, Limits, OpenBundle, open},
    codes::ReleaseNumber,
    date::Moment,
    id::Id,
    read::{ReadError, read_file},
    signature::SNAPSHOT,
};

use crate::{
    attachments::sha256,
    files, keeping,
    policy::{self, Role, Standing},
    publish::{self, PublishError, Release, Request},
    releases,
    signing::{SigningError, SigningKey, sign_bundle},
    stores::StoreError,
    verify::verify,
};

mod signature;

pub use signature::{SignOutcome, SignRequest, library_of, sign};

/// The folder of bundles that wait, in a library.
pub const FOLDER: &str = "in-review";

/// The file of a bundle that waits.
pub fn file(library: &Path, profile: &Id, release: &ReleaseNumber) -> PathBuf {
    library
        .join(FOLDER)
        .join(profile.as_str())
        .join(releases::name(profile, release))
}

/// The keys at hand.
#[derive(Clone, Copy, Debug)]
pub struct Keys<'k> {
    /// Signs the release.
    pub signer: Option<&'k SigningKey>,
    /// In which role.
    pub role: Role,
    /// Signs the catalogue; without it, the signer's key does.
    pub keeper: Option<&'k SigningKey>,
}

/// What publishing led to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The release is out.
    Released {
        /// The release.
        release: Release,
        /// The number of the snapshot that lists it; `None` where the library has no catalogue.
        catalogue: Option<u64>,
    },
    /// The bundle waits for signatures.
    Waiting {
        /// The bundle, as it would be released.
        release: Release,
        /// What is missing, one sentence each.
        missing: Vec<String>,
    },
}

/// Why nothing was published or signed.
#[derive(Debug, thiserror::Error)]
pub enum InReviewError {
    /// As without signatures.
    #[error(transparent)]
    Publish(#[from] PublishError),
    /// The key cannot sign.
    #[error(transparent)]
    Signing(#[from] SigningError),
    /// The rules cannot be read.
    #[error(transparent)]
    Policy(#[from] ReadError),
    /// The catalogue could not be written. The bundle is among the releases, and `library index` enters it.
    #[error(
        "the release is in {}, but the catalogue could not be written: {error}. Enter it with: chockstone library index",
        bundle.display()
    )]
    Catalogue {
        /// The bundle's file.
        bundle: PathBuf,
        /// What was found.
        error: StoreError,
    },
}

impl From<BundleError> for InReviewError {
    fn from(error: BundleError) -> Self {
        PublishError::from(error).into()
    }
}

/// What may become a release.
struct Candidate {
    profile: Profile,
    number: ReleaseNumber,
    earlier: Vec<ReleaseNumber>,
    bytes: Vec<u8>,
}

/// Publishes a profile, or a bundle that waits. Nothing is written unless nothing but signatures stands in the way.
///
/// # Errors
/// See [`InReviewError`].
pub fn publish(request: &Request<'_>, keys: &Keys<'_>) -> Result<Outcome, InReviewError> {
    let policy = policy::of_library(request.library)?;
    let is_bundle = request.profile.extension().is_some_and(|e| e == "zip");
    let mut candidate = if is_bundle {
        waiting(request)?
    } else {
        made(request)?
    };
    if let Some(signer) = keys.signer {
        candidate.bytes = sign_bundle(&candidate.bytes, signer)?;
    }
    let Some(policy) = policy else {
        let release = candidate.release(request.library)?;
        return Ok(Outcome::Released {
            release,
            catalogue: None,
        });
    };
    let missing = candidate.missing(&policy, keys, is_bundle, request.moment)?;
    if missing.is_empty() {
        candidate.out(request, &policy, keys)
    } else {
        let release = candidate.wait(request.library)?;
        Ok(Outcome::Waiting { release, missing })
    }
}

/// A bundle made of a profile. Reviewers' signatures stay where the same contents wait already.
fn made(request: &Request<'_>) -> Result<Candidate, InReviewError> {
    let profile: Profile = read_file(request.profile).map_err(PublishError::from)?;
    let folder = request.profile.parent().unwrap_or(Path::new("."));
    let publish::Prepared { plan, bag } = publish::prepare(
        &profile,
        folder,
        request.library,
        request.version.as_ref(),
        request.moment,
    )?;
    if !plan.blocked_by.is_empty() {
        return Err(blocked(&profile, plan.blocked_by));
    }
    let mut bytes = bag.to_zip()?;
    let fresh = open(&bytes, &Limits::default())?;
    let there = fs::read(file(request.library, &profile.id, &plan.number));
    if let Some(there) = there.ok().and_then(|b| open(&b, &Limits::default()).ok())
        && there.tag_manifest == fresh.tag_manifest
    {
        bytes = there.to_zip()?;
    }
    Ok(Candidate {
        profile,
        number: plan.number,
        earlier: plan.earlier,
        bytes,
    })
}

fn blocked(profile: &Profile, reasons: Vec<String>) -> InReviewError {
    InReviewError::Publish(PublishError::Blocked {
        profile: profile.id.clone(),
        reasons,
    })
}

fn io_at(path: &Path) -> impl FnOnce(io::Error) -> InReviewError {
    let path = path.to_owned();
    move |error| InReviewError::Publish(PublishError::Io { path, error })
}

/// A bundle that waits, looked at as if it came from somebody else.
fn waiting(request: &Request<'_>) -> Result<Candidate, InReviewError> {
    let path = request.profile;
    let bytes = releases::read_bytes(path).map_err(io_at(path))?;
    let (profile, number) = released(&bytes)?;
    let mut reasons = faults(&path.display().to_string(), &bytes)?;
    if request.version.as_ref().is_some_and(|v| *v != number) {
        reasons.push(format!("The bundle is release {number}: leave the number out, or publish the profile once more."));
    }
    let earlier = releases::of(request.library, &profile.id).map_err(io_at(request.library))?;
    reasons.extend(publish::number_faults(&profile, request.library, &earlier));
    if reasons.is_empty() {
        Ok(Candidate {
            profile,
            number,
            earlier,
            bytes,
        })
    } else {
        Err(blocked(&profile, reasons))
    }
}

/// The profile in a bundle and its release number.
fn released(bytes: &[u8]) -> Result<(Profile, ReleaseNumber), InReviewError> {
    let bundle = open(bytes, &Limits::default())?;
    let profile = bundle.profile().map_err(PublishError::from)?;
    match profile.release.clone() {
        Some(number) => Ok((profile, number)),
        None => Err(blocked(
            &profile,
            vec!["The profile in the bundle has no release number.".to_owned()],
        )),
    }
}

/// What is wrong with a bundle itself, one sentence each.
fn faults(name: &str, bytes: &[u8]) -> Result<Vec<String>, InReviewError> {
    let report = verify(name, bytes)?;
    let bad = report.steps.into_iter().filter(|s| s.good == Some(false));
    Ok(bad.map(|s| s.message).collect())
}

impl Candidate {
    fn opened(&self) -> Result<OpenBundle, InReviewError> {
        Ok(open(&self.bytes, &Limits::default())?)
    }

    fn standing(&self, policy: &Policy, at: Moment) -> Result<Standing, InReviewError> {
        let reviews = policy::reviews_needed(policy, self.earlier.last(), &self.number);
        Ok(policy::standing(policy, &self.opened()?, reviews, at))
    }

    /// What the rules still ask for; an error where the key itself does not count.
    fn missing(
        &self,
        policy: &Policy,
        keys: &Keys<'_>,
        is_bundle: bool,
        at: Moment,
    ) -> Result<Vec<String>, InReviewError> {
        let standing = self.standing(policy, at)?;
        let refusal = match keys.signer {
            Some(key) => signature::refusal(&standing, key, keys.role),
            None if is_bundle => None,
            None => Some(
                "The rules of this library ask for signatures: give the author's key with --key KEY."
                    .to_owned(),
            ),
        };
        if let Some(refusal) = refusal {
            return Err(blocked(&self.profile, vec![refusal]));
        }
        let mut missing = standing.missing;
        if missing.is_empty() && !policy.keepers.is_empty() {
            missing.extend(keeper_missing(policy, keys, at)?);
        }
        Ok(missing)
    }

    /// Writes the bundle where it waits.
    fn wait(&self, library: &Path) -> Result<Release, InReviewError> {
        let path = file(library, &self.profile.id, &self.number);
        let folder = path.parent().unwrap_or(library);
        fs::create_dir_all(folder).map_err(io_at(folder))?;
        files::write_atomic(&path, &self.bytes).map_err(io_at(&path))?;
        Ok(self.told(path))
    }

    /// Writes the bundle among the releases, never over another one.
    fn release(&self, library: &Path) -> Result<Release, InReviewError> {
        let path = releases::file(library, &self.profile.id, &self.number);
        let folder = path.parent().unwrap_or(library);
        fs::create_dir_all(folder).map_err(io_at(folder))?;
        match files::write_new(&path, &self.bytes) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => {
                let taken = format!(
                    "Somebody else has just released {} {}; publish again for the next number.",
                    self.profile.id, self.number
                );
                Err(blocked(&self.profile, vec![taken]))
            }
            written => written
                .map(|()| self.told(path.clone()))
                .map_err(io_at(&path)),
        }
    }

    /// Releases it and enters it into the catalogue.
    fn out(
        &self,
        request: &Request<'_>,
        policy: &Policy,
        keys: &Keys<'_>,
    ) -> Result<Outcome, InReviewError> {
        let release = self.release(request.library)?;
        let catalogue = match keys.keeper.or(keys.signer) {
            Some(key) if !policy.keepers.is_empty() => {
                let entered = keeping::enter(
                    request.library,
                    policy,
                    key,
                    (&self.profile, &self.number, &self.bytes),
                    request.moment,
                );
                let bundle = release.bundle.clone();
                Some(entered.map_err(|error| InReviewError::Catalogue { bundle, error })?)
            }
            _ => None,
        };
        let waited = file(request.library, &self.profile.id, &self.number);
        match fs::remove_file(&waited) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(io_at(&waited)(error)),
            _ => Ok(Outcome::Released { release, catalogue }),
        }
    }

    fn told(&self, bundle: PathBuf) -> Release {
        Release {
            profile: self.profile.id.clone(),
            number: self.number.clone(),
            bundle,
            sha256: sha256(&self.bytes),
        }
    }
}

/// Why nobody at hand may sign the catalogue.
fn keeper_missing(
    policy: &Policy,
    keys: &Keys<'_>,
    at: Moment,
) -> Result<Option<String>, InReviewError> {
    let asked = "A keeper of the library must enter it into the catalogue: publish the bundle with --keeper KEY";
    let Some(key) = keys.keeper.or(keys.signer) else {
        return Ok(Some(format!("{asked}.")));
    };
    Ok(keeper_refusal(policy, key, at)?.map(|why| format!("{asked} ({why}).")))
}

/// Why a key may not sign the catalogue; `None` where it may.
///
/// # Errors
/// When the key cannot sign at all.
pub fn keeper_refusal(
    policy: &Policy,
    key: &SigningKey,
    at: Moment,
) -> Result<Option<String>, SigningError> {
    // Nothing but whether the key counts is asked; what is signed here is kept by nobody.
    let probe = b"";
    let signature = key.sign(SNAPSHOT, probe)?;
    let verified = policy::keepers(policy).verify(&signature, SNAPSHOT, probe, at);
    Ok(verified.err().map(|why| why.to_string()))
}

#[cfg(test)]
mod tests;

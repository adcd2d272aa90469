//! Whose signatures a bundle has, and what a library says of it.

use std::path::Path;

use chockstone_schema::{
    Policy, Profile,
    bundle::OpenBundle,
    codes::{ReleaseNumber, Sha256Hex},
    date::Moment,
    report::{JudgedSignature, SignatureRole, VerifyReport, VerifyStep},
    signature::{AllowedSigners, RELEASE, SignatureError},
};

use super::{Trust, bad, good, step};
use crate::{
    catalogue::{Catalogue, CatalogueError},
    policy::{self, Judged},
    publish::number_faults,
    releases,
    stores::Folder,
};

/// Looks at the signatures by themselves.
pub(super) fn look(bundle: &OpenBundle, trust: Trust<'_>, at: Moment, report: &mut VerifyReport) {
    let told = match trust {
        Trust::Nobody => return report.steps.push(unknown(bundle)),
        Trust::Signers(signers) => by_signers(bundle, signers, at),
        Trust::Library { policy, .. } => {
            let standing = policy::standing(policy, bundle, 0, at);
            let spoilt = standing.signatures.iter().any(|(_, judged)| {
                use SignatureError::{Forged, Format, Namespace};
                matches!(
                    judged,
                    Judged::Refused(Forged | Format(_) | Namespace { .. })
                )
            });
            // Whose key is revoked, expired or not listed does not count; whether others are enough, the rules say.
            return tell(standing.told(), spoilt, report);
        }
    };
    let refused = told.iter().any(|s| s.role == SignatureRole::Refused);
    tell(told, refused, report);
}

fn unknown(bundle: &OpenBundle) -> VerifyStep {
    match bundle.signatures.len() {
        0 => step("signature", None, "The bundle is not signed."),
        1 => step(
            "signature",
            None,
            "One signature is there; it was not checked: no signers are known.",
        ),
        count => step(
            "signature",
            None,
            format!("{count} signatures are there; none was checked: no signers are known."),
        ),
    }
}

fn by_signers(bundle: &OpenBundle, signers: &AllowedSigners, at: Moment) -> Vec<JudgedSignature> {
    let judge = |(file, bytes): (&String, &Vec<u8>)| {
        let verified = signers.verify(bytes, RELEASE, &bundle.tag_manifest, at);
        let (role, signed, why) = match verified {
            Ok(signed) => (SignatureRole::Signer, Some(signed), None),
            Err(why) => (SignatureRole::Refused, None, Some(why.to_string())),
        };
        let (names, key) = signed.map_or_else(
            || (Vec::new(), None),
            |signed| (signed.names, Some(signed.fingerprint)),
        );
        JudgedSignature {
            file: file.clone(),
            role,
            names,
            key,
            why,
        }
    };
    bundle.signatures.iter().map(judge).collect()
}

/// Adds the step; `wrong` when a signature that is there is reason enough to refuse the bundle.
fn tell(told: Vec<JudgedSignature>, wrong: bool, report: &mut VerifyReport) {
    let words: Vec<String> = told
        .iter()
        .map(|s| match &s.why {
            Some(why) => format!("{}: {why}", s.file),
            None => format!("{} signed it", s.names.join(", ")),
        })
        .collect();
    let told_one = told.iter().any(|s| s.role != SignatureRole::Refused);
    report.steps.push(if told.is_empty() {
        bad("signature", "The bundle is not signed.")
    } else if wrong || !told_one {
        bad("signature", format!("{}.", words.join("; ")))
    } else {
        good("signature", format!("{}.", words.join("; ")))
    });
    report.signatures = told;
}

/// A release as one of a library.
pub(super) struct Placed<'p> {
    pub(super) profile: &'p Profile,
    pub(super) folder: &'p Path,
    pub(super) policy: &'p Policy,
    pub(super) at: Moment,
}

impl Placed<'_> {
    /// Looks at the number, the signatures that the rules ask for, and the catalogue.
    pub(super) fn look(&self, bundle: &OpenBundle, bytes: &[u8], report: &mut VerifyReport) {
        let Some(number) = &self.profile.release else {
            return;
        };
        let earlier = match releases::of(self.folder, &self.profile.id) {
            Ok(mut earlier) => {
                earlier.retain(|other| other.parts() < number.parts());
                earlier
            }
            Err(error) => {
                let message = format!("The library's releases could not be read: {error}.");
                return report.steps.push(bad("policy", message));
            }
        };
        let mut missing = number_faults(self.profile, self.folder, &earlier);
        let reviews = policy::reviews_needed(self.policy, earlier.last(), number);
        missing.extend(policy::standing(self.policy, bundle, reviews, self.at).missing);
        report.steps.push(if missing.is_empty() {
            let name = &self.policy.name;
            good("policy", format!("The rules of {name} are met."))
        } else {
            bad("policy", missing.join(" "))
        });
        report.missing = missing;
        report.steps.extend(self.listed(number, bytes));
    }

    /// What the catalogue says of it; `None` where the library has none.
    fn listed(&self, number: &ReleaseNumber, bytes: &[u8]) -> Option<VerifyStep> {
        let folder = Folder::new(self.folder);
        let keepers = policy::keepers(self.policy);
        let catalogue = match Catalogue::open(&folder, &keepers, None, self.at) {
            Ok(catalogue) => catalogue,
            Err(CatalogueError::None) => return None,
            Err(error) => return Some(bad("catalogue", format!("Not believed: {error}."))),
        };
        let vehicle = match catalogue.vehicle(&self.profile.id) {
            Ok(vehicle) => vehicle,
            Err(error) => return Some(bad("catalogue", format!("Not believed: {error}."))),
        };
        let listed = vehicle.and_then(|v| v.releases.into_iter().find(|r| r.number == *number));
        let Some(listed) = listed else {
            let message = "The catalogue does not list it: it is not released.";
            return Some(step("catalogue", None, message));
        };
        if listed.bundle.sha256 != Sha256Hex::of(bytes) {
            let message = format!("The catalogue lists another bundle as release {number}.");
            return Some(bad("catalogue", message));
        }
        Some(listed.withdrawn.map_or_else(
            || {
                let snapshot = catalogue.snapshot().number;
                good("catalogue", format!("Snapshot {snapshot} lists it."))
            },
            |w| {
                let message = format!("It was withdrawn on {}: {}", w.at.date(), w.reason);
                bad("catalogue", message)
            },
        ))
    }
}

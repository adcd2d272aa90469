//! What types and schema cannot tell, yet no vehicle can be.

use super::Fault;
use crate::{
    model::{Equipment, Policy, Profile},
    signature::AllowedSigners,
};

/// The impossible things in a profile.
pub(super) fn profile(profile: &Profile) -> Vec<Fault> {
    let mut faults = Vec::new();
    model_years(profile, &mut faults);
    axle_order(profile, &mut faults);
    exactness("/extensions", &profile.extensions, &mut faults);
    exactness("/conflicts", &profile.conflicts, &mut faults);
    faults
}

/// The impossible things in a piece of equipment.
pub(super) fn equipment(_: &Equipment) -> Vec<Fault> {
    Vec::new()
}

/// Lines of signers that cannot be used: a signer left out by a slip of the pen would be missed too late.
pub(super) fn policy(policy: &Policy) -> Vec<Fault> {
    let mut faults = Vec::new();
    let lists = [
        ("authors", &policy.authors),
        ("reviewers", &policy.reviewers),
        ("keepers", &policy.keepers),
    ];
    for (field, lines) in lists {
        for (i, line) in lines.iter().enumerate() {
            let place = format!("/{field}/{i}");
            match AllowedSigners::parse(line) {
                Ok(read) if read.signers.len() == 1 => {}
                Ok(_) => faults.push(Fault::new(place, "one line names one signer's key")),
                Err(found) => faults.extend(found.into_iter().map(|f| Fault::new(&place, f.why))),
            }
        }
    }
    for (i, line) in policy.revoked.iter().enumerate() {
        if let Err(found) = AllowedSigners::default().revoking(line) {
            let place = format!("/revoked/{i}");
            faults.extend(found.into_iter().map(|f| Fault::new(&place, f.why)));
        }
    }
    faults
}

fn model_years(profile: &Profile, faults: &mut Vec<Fault>) {
    if let Some(years) = &profile.identity.model_years
        && years.last < years.first
    {
        let message = format!(
            "the last model year, {}, is before the first, {}",
            years.last, years.first
        );
        faults.push(Fault::new("/identity/model_years/last", message));
    }
}

/// The frame's origin is under the front axle, and axles are listed from the front.
fn axle_order(profile: &Profile, faults: &mut Vec<Fault>) {
    if let Some(first) = profile.axles.first()
        && first.position.si() != 0.0
    {
        let message = "the first axle is the front axle, which is at 0 by definition of the frame";
        faults.push(Fault::new("/axles/0/position/value", message));
    }
    for (i, pair) in profile.axles.windows(2).enumerate() {
        if let [before, after] = pair
            && after.position.si() <= before.position.si()
        {
            let message =
                "axles are listed from the front: this one must be behind the one before it";
            faults.push(Fault::new(
                format!("/axles/{}/position/value", i + 1),
                message,
            ));
        }
    }
}

/// Integers beyond 2^53 would not survive canonical JSON.
fn exactness<T: serde::Serialize>(place: &str, data: &T, faults: &mut Vec<Fault>) {
    let value = serde_json::to_value(data).unwrap_or_default();
    if let Err(error) = crate::canonical::to_vec(&value) {
        faults.push(Fault::new(place, error.to_string()));
    }
}

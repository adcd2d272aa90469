//! Whether the signatures of a release are those that its library asks for.
//!
//! An author signs, reviewers sign, and nobody is both: people are told apart by their keys and by every name that a key
//! stands under. How many reviewers there must be depends on which number of the release grew since the one before, for
//! that number tells what the changes can do (see [`releases`](crate::releases)).

use std::collections::BTreeSet;

use chockstone_schema::{
    Policy,
    bundle::OpenBundle,
    codes::ReleaseNumber,
    date::Moment,
    signature::{AllowedSigners, RELEASE, SignatureError, Signed},
};

/// What a library's rules say of the signatures of a release.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standing {
    /// Each signature by the name of its file.
    pub signatures: Vec<(String, Judged)>,
    /// What is still missing, one sentence each; empty when the rules are met.
    pub missing: Vec<String>,
}

/// What one signature is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Judged {
    /// The author's.
    Author(Signed),
    /// A reviewer's.
    Reviewer(Signed),
    /// Somebody's who may do both, and is taken for a reviewer only if somebody else is the author.
    Either(Signed),
    /// Not accepted as either: why not as the author, and why not as a reviewer.
    Refused(SignatureError),
}

impl Judged {
    fn signed(&self) -> Option<&Signed> {
        match self {
            Self::Author(signed) | Self::Reviewer(signed) | Self::Either(signed) => Some(signed),
            Self::Refused(_) => None,
        }
    }
}

/// How many reviewers a release needs.
pub fn reviews_needed(
    policy: &Policy,
    before: Option<&ReleaseNumber>,
    release: &ReleaseNumber,
) -> u8 {
    let needed = &policy.reviews;
    let Some(before) = before else {
        return needed.first_release;
    };
    let grew = before.parts().into_iter().zip(release.parts());
    match grew.into_iter().position(|(old, new)| old != new) {
        Some(1) => needed.new_to_know,
        Some(2) => needed.wording,
        // The same number never stands twice; whatever else it is, it is judged as if it could hurt.
        _ => needed.can_hurt,
    }
}

/// Looks at the signatures of a bundle at a moment. `reviews` is how many reviewers must have signed.
pub fn standing(policy: &Policy, bundle: &OpenBundle, reviews: u8, at: Moment) -> Standing {
    let authors = signers(&policy.authors, &policy.revoked);
    let reviewers = signers(&policy.reviewers, &policy.revoked);
    let judge = |bytes: &[u8]| {
        let verify = |who: &AllowedSigners| who.verify(bytes, RELEASE, &bundle.tag_manifest, at);
        match (verify(&authors), verify(&reviewers)) {
            (Ok(signed), Ok(_)) => Judged::Either(signed),
            (Ok(signed), Err(_)) => Judged::Author(signed),
            (Err(_), Ok(signed)) => Judged::Reviewer(signed),
            // An unlisted key says less than whatever else is wrong.
            (Err(SignatureError::Unlisted(_)), Err(why)) | (Err(why), Err(_)) => {
                Judged::Refused(why)
            }
        }
    };
    let signatures: Vec<(String, Judged)> = bundle
        .signatures
        .iter()
        .map(|(name, bytes)| (name.clone(), judge(bytes)))
        .collect();
    let missing = missing(&signatures, reviews);
    Standing {
        signatures,
        missing,
    }
}

/// The signers of these lines. The lines were read when the file was; what cannot be used accepts nobody.
fn signers(lines: &[String], revoked: &[String]) -> AllowedSigners {
    let signers = AllowedSigners::parse(&lines.join("\n")).unwrap_or_default();
    signers.revoking(&revoked.join("\n")).unwrap_or_default()
}

fn missing(signatures: &[(String, Judged)], reviews: u8) -> Vec<String> {
    // Whoever is taken for the author must leave as many reviewers as possible: try each.
    let may_be_author = signatures
        .iter()
        .map(|(_, judged)| judged)
        .filter(|j| matches!(j, Judged::Author(_) | Judged::Either(_)));
    let most = may_be_author
        .filter_map(|author| Some(reviewers_beside(author.signed()?, signatures)))
        .max();
    let Some(found) = most else {
        return vec!["No author of this library signed it.".to_owned()];
    };
    let needed = usize::from(reviews);
    if found >= needed {
        return Vec::new();
    }
    vec![format!(
        "{needed} reviewers must sign it besides its author, {found} did."
    )]
}

/// How many people signed as reviewers besides the author.
fn reviewers_beside(author: &Signed, signatures: &[(String, Judged)]) -> usize {
    let mut taken = People::default();
    taken.add(author);
    let reviewers = signatures.iter().filter_map(|(_, judged)| match judged {
        Judged::Reviewer(signed) | Judged::Either(signed) => Some(signed),
        Judged::Author(_) | Judged::Refused(_) => None,
    });
    reviewers.filter(|signed| taken.add(signed)).count()
}

/// People, known by their keys and names.
#[derive(Default)]
struct People<'s>(BTreeSet<&'s str>);

impl<'s> People<'s> {
    /// Adds one, and tells whether nobody of that key or any of these names was there.
    fn add(&mut self, signed: &'s Signed) -> bool {
        let known = |id: &str| self.0.contains(id);
        let is_new = !known(&signed.fingerprint) && !signed.names.iter().any(|n| known(n));
        self.0.insert(&signed.fingerprint);
        self.0.extend(signed.names.iter().map(String::as_str));
        is_new
    }
}

#[cfg(test)]
mod tests;

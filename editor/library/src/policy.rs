//! Whether the signatures of a release are those that its library asks for.
//!
//! An author signs, reviewers sign, and nobody is both: people are told apart by their keys and by every name that a key
//! stands under. How many reviewers there must be depends on which number of the release grew since the one before, for
//! that number tells what the changes can do (see [`releases`](crate::releases)).

use std::{collections::BTreeSet, path::Path};

use chockstone_schema::{
    Policy,
    bundle::OpenBundle,
    codes::ReleaseNumber,
    date::Moment,
    read::{ReadError, read_file},
    report::{JudgedSignature, SignatureRole},
    signature::{AllowedSigners, RELEASE, SignatureError, Signed},
};

use crate::catalogue::POLICY;

/// In which role somebody signs a release.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// As the one who made it.
    Author,
    /// As one who looked at it.
    Reviewer,
}

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
    /// Whose it is, where it is accepted.
    pub fn signed(&self) -> Option<&Signed> {
        match self {
            Self::Author(signed) | Self::Reviewer(signed) | Self::Either(signed) => Some(signed),
            Self::Refused(_) => None,
        }
    }

    /// Why it does not count in a role; `None` where it does.
    pub fn refusal(&self, role: Role) -> Option<String> {
        match (self, role) {
            (Self::Either(_), _)
            | (Self::Author(_), Role::Author)
            | (Self::Reviewer(_), Role::Reviewer) => None,
            (Self::Author(signed), Role::Reviewer) => Some(format!(
                "{} may sign as an author of this library, not as a reviewer.",
                signed.names.join(", ")
            )),
            (Self::Reviewer(signed), Role::Author) => Some(format!(
                "{} may sign as a reviewer of this library, not as an author.",
                signed.names.join(", ")
            )),
            (Self::Refused(why), _) => Some(format!("The signature is not accepted: {why}.")),
        }
    }

    fn role(&self) -> SignatureRole {
        match self {
            Self::Author(_) => SignatureRole::Author,
            Self::Reviewer(_) => SignatureRole::Reviewer,
            Self::Either(_) => SignatureRole::Either,
            Self::Refused(_) => SignatureRole::Refused,
        }
    }

    /// The same as data.
    pub fn told(&self, file: &str) -> JudgedSignature {
        let signed = self.signed();
        JudgedSignature {
            file: file.to_owned(),
            role: self.role(),
            names: signed.map(|s| s.names.clone()).unwrap_or_default(),
            key: signed.map(|s| s.fingerprint.clone()),
            why: match self {
                Self::Refused(why) => Some(why.to_string()),
                _ => None,
            },
        }
    }
}

impl Standing {
    /// The signatures as data.
    pub fn told(&self) -> Vec<JudgedSignature> {
        let signatures = self.signatures.iter();
        signatures.map(|(file, j)| j.told(file)).collect()
    }

    /// What one signature is.
    pub fn of(&self, file: &str) -> Option<&Judged> {
        let found = self.signatures.iter().find(|(name, _)| name == file);
        found.map(|(_, judged)| judged)
    }
}

/// The rules of the library in a folder; `None` where it has none.
///
/// # Errors
/// When the file is there and cannot be read: a library whose rules cannot be read lets nothing out.
pub fn of_library(folder: &Path) -> Result<Option<Policy>, ReadError> {
    let file = folder.join(POLICY);
    if file.exists() {
        read_file(&file).map(Some)
    } else {
        Ok(None)
    }
}

/// Who may sign the catalogue.
pub fn keepers(policy: &Policy) -> AllowedSigners {
    signers(&policy.keepers, &policy.revoked)
}

/// Whether two signatures are those of one person: the same key, or a name in common.
pub fn is_same_person(a: &Signed, b: &Signed) -> bool {
    let mut people = People::default();
    people.add(a);
    !people.add(b)
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
    let reviewers = if needed == 1 { "reviewer" } else { "reviewers" };
    vec![format!(
        "{needed} {reviewers} must sign it besides its author, {found} did."
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

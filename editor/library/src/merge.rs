//! Two people's changes since one version, put together.
//!
//! [`merge`] matches parts as the [`difference`](crate::difference) does, and goes by these rules.
//!
//! - **A part that one side changed** is taken from that side, exactly as it is written there.
//! - **Changed alike on both sides** (the same in meaning, whatever the unit): taken; of two ways to write it the one with the
//!   smaller canonical bytes, so that it does not matter which side is which.
//! - **Changed differently on both sides**: a [`Conflict`] keeps all three values, and the part stands as in the base. Where
//!   the base has no such part, the one with the smaller canonical bytes stands.
//! - **Removed on one side and changed in any way on the other**: a conflict; the base stands.
//! - **Whole** are: a value with its uncertainty and its source, a place, a line, an outline, and everything else that makes no
//!   sense in halves. A place and its uncertainty are changed by one side or stand.
//! - **Texts** are merged language by language, each string as a whole.
//! - **Sets** (uses, references) are merged element by element and have no conflicts.
//! - **Lists of texts and other lists whose elements have no name** are merged element by element too, but a conflict in them is
//!   one about the whole list.
//! - **What is done in order** keeps the order that one side gave it; two new orders are a conflict about the order, and the
//!   order of the base stands. What a side inserted stays after the element that it was inserted after. Other lists have
//!   an order too, but nobody is asked about it.
//! - **New ids** are followed: a part that one side renamed has its new id everywhere, also in what the other side says of it and
//!   in what a conflict keeps. Two new ids for one part, or one that the other side gave to another part, are a conflict.
//! - **Conflicts of earlier merges** stay until a side takes them away.
//! - **The result always reads.** Where what was put together would not (a reference to what the other side removed, axles out
//!   of order), the part that is missing or wrong becomes a conflict and stands as in the base, then what is around it,
//!   to whole fields of the profile; the base reads.
//!
//! Swapping the sides changes nothing but which value of a conflict is called ours and which theirs.

use chockstone_schema::{
    Profile,
    model::record::Conflict,
    read::{from_value, to_value},
};
use serde_json::Value;

mod alike;
mod earlier;
mod order;
mod refusal;
mod resolve;
mod sides;
mod walk;
mod words;

pub use resolve::{Choice, Unresolved, resolve};
pub use words::{Told, told};

use refusal::Standing;
use sides::Sides;

/// What came of a merge.
#[derive(Clone, Debug, PartialEq)]
pub struct Merged {
    /// The profile; its conflicts are those of earlier merges and then the new ones.
    pub profile: Profile,
    /// The conflicts that this merge found.
    pub conflicts: Vec<Conflict>,
}

/// Puts together what two people changed since one version.
pub fn merge(base: &Profile, ours: &Profile, theirs: &Profile) -> Merged {
    let plain = |profile: &Profile| Merged {
        profile: profile.clone(),
        conflicts: Vec::new(),
    };
    if ours == theirs || theirs == base {
        return plain(ours);
    }
    if ours == base {
        return plain(theirs);
    }
    put_together(base, ours, theirs)
}

fn put_together(base: &Profile, ours: &Profile, theirs: &Profile) -> Merged {
    let sides = Sides::new(to_value(base), to_value(ours), to_value(theirs));
    let mut standing = Standing::default();
    loop {
        let (mut value, found) = walk::walk(&sides, &standing);
        earlier::put(&mut value, &sides, &found);
        let faults = match from_value(&value) {
            Ok(profile) => return merged(profile, &found),
            Err(faults) => faults,
        };
        if !standing.grow(&sides, &value, &found, &faults) {
            return as_in_base(base, &sides, &found);
        }
    }
}

fn merged(profile: Profile, found: &[Conflict]) -> Merged {
    Merged {
        profile,
        conflicts: found.to_vec(),
    }
}

/// The base with every difference a conflict. Only a base with hundreds of conflicts of its own gets here: the file has no place
/// for more of them, so they are kept as one.
fn as_in_base(base: &Profile, sides: &Sides, found: &[Conflict]) -> Merged {
    let mut found = found.to_vec();
    found.extend(walk::conflict("/conflicts", sides.field("conflicts")));
    let mut profile = from_value(&sides.base).unwrap_or_else(|_| base.clone());
    profile.conflicts.clone_from(&found);
    merged(profile, &found)
}

/// The canonical bytes, which tell two values apart in a way that does not depend on which is which.
fn bytes(value: &Value) -> Vec<u8> {
    // An extension may hold a number that canonical JSON refuses.
    chockstone_schema::canonical::to_vec(value).unwrap_or_else(|_| value.to_string().into_bytes())
}

#[cfg(test)]
mod tests;

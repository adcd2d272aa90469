//! Conflicts of earlier merges, kept beside the new ones.

use std::collections::BTreeSet;

use chockstone_schema::model::record::Conflict;
use serde_json::Value;

use super::{
    bytes,
    sides::{Sides, Three},
};
use crate::difference::shape::elements;

/// Puts the conflicts of earlier merges and the new ones into a merged profile.
pub(super) fn put(profile: &mut Value, sides: &Sides, found: &[Conflict]) {
    let mut all = kept(sides.field("conflicts").map(elements));
    all.extend(found.iter().filter_map(|c| serde_json::to_value(c).ok()));
    if let Some(fields) = profile.as_object_mut()
        && !all.is_empty()
    {
        fields.insert("conflicts".to_owned(), Value::Array(all));
    }
}

/// Those that both sides still have, in the order of the base, and those that either has besides. A conflict is one with
/// another when it says the same: one that a side chose for is gone.
fn kept(lists: Three<&[Value]>) -> Vec<Value> {
    let known = lists.map(|list| list.iter().map(bytes).collect::<BTreeSet<_>>());
    let stays = |conflict: &&Value| {
        let bytes = bytes(conflict);
        let (ours, theirs) = (known.ours.contains(&bytes), known.theirs.contains(&bytes));
        (ours && theirs) || ((ours || theirs) && !known.base.contains(&bytes))
    };
    let of_base = lists.base.iter().filter(stays).cloned();
    let sides = lists.ours.iter().chain(lists.theirs).filter(stays);
    let mut new: Vec<&Value> = sides.filter(|c| !known.base.contains(&bytes(c))).collect();
    new.sort_by_cached_key(|conflict| bytes(conflict));
    new.dedup_by_key(|conflict| bytes(conflict));
    of_base.chain(new.into_iter().cloned()).collect()
}

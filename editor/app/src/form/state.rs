//! What forms remember: what is unfolded, parts that are not finished yet, refusals, and where a person was led.

use std::{collections::BTreeMap, sync::Arc};

use chockstone_schema::read::Fault;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{blank::missing, schema::Node};
use crate::{
    document::{Edit, Op, Refusal},
    pointer,
};

/// A new part that still lacks something. It is shown in its place and joins the document by itself once nothing is
/// missing; until then no undo step and no file knows of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub(crate) struct Draft {
    pub value: Value,
    /// Whether it is the next item of the list at its key, or the field at its key.
    pub is_item: bool,
    /// What it is called in a sentence: "point".
    pub noun: String,
    /// Why the document refused it when it seemed complete.
    #[serde(skip)]
    pub faults: Vec<Fault>,
}

/// Where a person was led.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Spotlight {
    pub pointer: String,
    /// Frames left in which the field may still be found; a field may have to be unfolded first.
    pub patience: u8,
    /// Whether the view was already moved to it.
    pub reached: bool,
}

/// What forms remember of one document.
#[derive(Debug, Default)]
pub struct FormState {
    unfolded: BTreeMap<String, bool>,
    drafts: BTreeMap<String, Draft>,
    refusals: BTreeMap<String, String>,
    pub(crate) spotlight: Option<Spotlight>,
    /// Grows with every change of a draft.
    draft_revision: u64,
    overlay: Option<(u64, u64, Arc<Value>)>,
}

impl FormState {
    /// Whether anything was entered that is not in the document yet.
    pub fn has_drafts(&self) -> bool {
        !self.drafts.is_empty()
    }

    /// Names the parts that are not finished.
    pub fn draft_nouns(&self) -> Vec<&str> {
        self.drafts
            .values()
            .map(|draft| draft.noun.as_str())
            .collect()
    }

    /// A number that grows with every change of what is not finished.
    pub fn draft_revision(&self) -> u64 {
        self.draft_revision
    }

    /// The parts that are not finished, to be kept outside the document; null where there are none.
    pub fn unfinished(&self) -> Value {
        if self.drafts.is_empty() {
            return Value::Null;
        }
        serde_json::to_value(&self.drafts).unwrap_or_default()
    }

    /// Puts parts that were not finished back. What cannot be read is left out, and said.
    pub fn restore_unfinished(&mut self, kept: Value) -> Result<(), String> {
        if kept.is_null() {
            return Ok(());
        }
        self.drafts = serde_json::from_value(kept).map_err(|error| error.to_string())?;
        self.draft_revision += 1;
        Ok(())
    }

    /// Leads to a place: unfolds what hides it, moves the view to it and marks it.
    pub fn focus(&mut self, pointer: &str) {
        let mut above = pointer;
        loop {
            self.unfolded.insert(above.to_owned(), true);
            match above.rsplit_once('/') {
                Some((parent, _)) => above = parent,
                None => break,
            }
        }
        self.spotlight = Some(Spotlight {
            pointer: pointer.to_owned(),
            patience: 8,
            reached: false,
        });
    }

    /// Ends the marking of a place.
    pub fn end_focus(&mut self) {
        self.spotlight = None;
    }

    /// Where a person was led last.
    pub fn focused(&self) -> Option<&str> {
        self.spotlight.as_ref().map(|s| s.pointer.as_str())
    }

    pub(crate) fn is_unfolded(&self, pointer: &str, by_default: bool) -> bool {
        self.unfolded.get(pointer).copied().unwrap_or(by_default)
    }

    pub(crate) fn unfold(&mut self, pointer: &str, unfolded: bool) {
        self.unfolded.insert(pointer.to_owned(), unfolded);
    }

    /// Follows items that moved: what was at a position is now where `moved` says, or gone.
    pub(crate) fn follow(&mut self, list: &str, moved: impl Fn(usize) -> Option<usize>) {
        let followed = |key: &str| -> Option<String> {
            let Some(rest) = key.strip_prefix(list).and_then(|r| r.strip_prefix('/')) else {
                return Some(key.to_owned());
            };
            let (index, below) = rest.split_at(rest.find('/').unwrap_or(rest.len()));
            match index.parse() {
                Ok(index) => Some(format!("{list}/{}{below}", moved(index)?)),
                Err(_) => Some(key.to_owned()),
            }
        };
        self.unfolded = std::mem::take(&mut self.unfolded)
            .into_iter()
            .filter_map(|(key, value)| Some((followed(&key)?, value)))
            .collect();
        self.drafts = std::mem::take(&mut self.drafts)
            .into_iter()
            .filter_map(|(key, value)| Some((followed(&key)?, value)))
            .collect();
        self.refusals.clear();
        self.draft_revision += 1;
    }

    /// The document's values with the drafts in their places.
    pub fn overlay(&mut self, document: &Value, revision: u64) -> Arc<Value> {
        if let Some((of, drafts, value)) = &self.overlay
            && (*of, *drafts) == (revision, self.draft_revision)
        {
            return Arc::clone(value);
        }
        let mut value = document.clone();
        // A draft within a part that is gone, as after undo, goes too.
        self.drafts.retain(|key, draft| {
            let at = draft_pointer(key, draft, document);
            let placed = if draft.is_item {
                pointer::insert(&mut value, &at, draft.value.clone())
            } else {
                pointer::set(&mut value, &at, draft.value.clone())
            };
            placed.is_ok()
        });
        let value = Arc::new(value);
        self.overlay = Some((revision, self.draft_revision, Arc::clone(&value)));
        value
    }

    /// Starts a draft; one that is there already stays.
    pub(crate) fn start_draft(&mut self, key: &str, draft: Draft) {
        self.drafts.entry(key.to_owned()).or_insert(draft);
        self.draft_revision += 1;
    }

    /// Drops a draft.
    pub(crate) fn drop_draft(&mut self, key: &str) {
        self.drafts.remove(key);
        self.draft_revision += 1;
    }

    /// The draft in which a place lies: its key and its own pointer.
    pub(crate) fn draft_around(&self, place: &str, document: &Value) -> Option<(String, String)> {
        self.drafts.iter().find_map(|(key, draft)| {
            let at = draft_pointer(key, draft, document);
            pointer::is_within(place, &at).then(|| (key.clone(), at))
        })
    }

    pub(crate) fn draft(&self, key: &str) -> Option<&Draft> {
        self.drafts.get(key)
    }

    /// Makes changes in a draft. Groups on the way to a place are made as needed.
    pub(crate) fn change_draft(&mut self, key: &str, at: &str, ops: &[Op]) {
        let Some(draft) = self.drafts.get_mut(key) else {
            return;
        };
        for op in ops {
            let Some(op) = rebased(op, at) else {
                continue;
            };
            // The first item inserted makes its list, so only what holds the list is made here.
            let list = pointer::split(op.pointer()).map(|(list, _)| list.to_owned());
            match (&op, list) {
                (Op::Insert { .. }, Some(list)) => make_groups(&mut draft.value, &list),
                _ => make_groups(&mut draft.value, op.pointer()),
            }
            let _ = op.apply(&mut draft.value);
        }
        draft.faults.clear();
        self.draft_revision += 1;
    }

    /// The edit that puts a draft into the document, once nothing is missing.
    pub(crate) fn finished(&self, key: &str, node: Node<'_>, document: &Value) -> Option<Edit> {
        let draft = self.drafts.get(key)?;
        if !missing(node, &draft.value).is_empty() {
            return None;
        }
        let at = draft_pointer(key, draft, document);
        let name = format!("add {}", draft.noun);
        Some(if draft.is_item {
            Edit::insert(name, at, draft.value.clone())
        } else {
            Edit::set(name, at, draft.value.clone())
        })
    }

    /// Takes note that the document took an edit over.
    pub(crate) fn accepted(&mut self, draft: Option<&str>) {
        self.refusals.clear();
        self.spotlight.take_if(|spotlight| spotlight.reached);
        if let Some(key) = draft {
            self.drop_draft(key);
        }
    }

    /// Takes note that the document refused an edit.
    pub(crate) fn refused(&mut self, place: &str, draft: Option<&str>, refusal: &Refusal) {
        match draft.and_then(|key| self.drafts.get_mut(key)) {
            Some(draft) => draft.faults.clone_from(&refusal.faults),
            None => self.refuse(place, refusal.message()),
        }
    }

    /// Writes a reason beside a place until the next change.
    pub(crate) fn refuse(&mut self, place: &str, message: impl Into<String>) {
        self.refusals.insert(place.to_owned(), message.into());
    }

    /// Why the last change at a place was refused.
    pub(crate) fn refusal(&self, place: &str) -> Option<&str> {
        self.refusals.get(place).map(String::as_str)
    }

    /// What the document said of a place in a draft, or of anything within it.
    pub(crate) fn draft_faults(&self, place: &str, within: bool) -> Vec<&str> {
        let about = |fault: &&Fault| {
            fault.pointer == place || (within && pointer::is_within(&fault.pointer, place))
        };
        let faults = self.drafts.values().flat_map(|draft| &draft.faults);
        faults
            .filter(about)
            .map(|fault| fault.message.as_str())
            .collect()
    }
}

/// Where a draft stands among the document's values.
pub(crate) fn draft_pointer(key: &str, draft: &Draft, document: &Value) -> String {
    if draft.is_item {
        let items = document.pointer(key).and_then(Value::as_array);
        pointer::join_index(key, items.map_or(0, Vec::len))
    } else {
        key.to_owned()
    }
}

fn rebased(op: &Op, from: &str) -> Option<Op> {
    let moved = |pointer: &String| pointer::rebase(pointer, from, "");
    Some(match op {
        Op::Set { pointer, value } => Op::Set {
            pointer: moved(pointer)?,
            value: value.clone(),
        },
        Op::Insert { pointer, value } => Op::Insert {
            pointer: moved(pointer)?,
            value: value.clone(),
        },
        Op::Remove { pointer } => Op::Remove {
            pointer: moved(pointer)?,
        },
        Op::Move { from, to } => Op::Move {
            from: moved(from)?,
            to: moved(to)?,
        },
    })
}

fn make_groups(root: &mut Value, place: &str) {
    let Some((parent, _)) = pointer::split(place) else {
        return;
    };
    if root.pointer(parent).is_none() {
        make_groups(root, parent);
        let _ = pointer::set(root, parent, Value::Object(serde_json::Map::new()));
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;
    use serde_json::json;

    fn draft(value: Value) -> Draft {
        Draft {
            value,
            is_item: true,
            noun: "point".to_owned(),
            faults: Vec::new(),
        }
    }

    #[test]
    fn a_draft_stands_behind_the_last_item_where_it_will_join_the_list() {
        let document = json!({"points": [{"id": "a"}]});
        let mut state = FormState::default();
        state.start_draft("/points", draft(json!({"id": "b"})));
        let shown = state.overlay(&document, 1);
        assert_eq!(*shown, json!({"points": [{"id": "a"}, {"id": "b"}]}));
        let (key, at) = state.draft_around("/points/1/place/x", &document).unwrap();
        assert_eq!((key.as_str(), at.as_str()), ("/points", "/points/1"));
        assert!(state.draft_around("/points/0/id", &document).is_none());
    }

    #[test]
    fn a_draft_goes_with_the_part_that_it_lies_in() {
        let mut state = FormState::default();
        state.start_draft("/procedures/0/steps", draft(json!({"id": "s"})));
        state.overlay(&json!({"procedures": [{"id": "p"}]}), 1);
        assert!(state.has_drafts());
        state.overlay(&json!({}), 2);
        assert!(!state.has_drafts());
    }

    #[test]
    fn a_change_in_a_draft_makes_the_groups_on_its_way() {
        let document = json!({});
        let mut state = FormState::default();
        state.start_draft("/points", draft(json!({"id": "b"})));
        let op = Op::Set {
            pointer: "/points/0/place/x".to_owned(),
            value: json!([1, "m"]),
        };
        state.change_draft("/points", "/points/0", &[op]);
        let shown = state.overlay(&document, 1);
        assert_eq!(
            *shown,
            json!({"points": [{"id": "b", "place": {"x": [1, "m"]}}]})
        );
    }

    #[test]
    fn what_is_unfolded_follows_its_item() {
        let mut state = FormState::default();
        state.unfold("/axles/1", true);
        state.unfold("/axles/1/tyre", true);
        state.follow("/axles", |i| [Some(1), Some(0)].get(i).copied().flatten());
        assert!(state.is_unfolded("/axles/0", false));
        assert!(state.is_unfolded("/axles/0/tyre", false));
        assert!(!state.is_unfolded("/axles/1", false));
    }

    #[test]
    fn leading_to_a_place_unfolds_everything_above_it() {
        let mut state = FormState::default();
        state.focus("/points/3/place");
        assert!(state.is_unfolded("/points/3", false));
        assert_eq!(state.focused(), Some("/points/3/place"));
    }
}

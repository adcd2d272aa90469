//! The three versions in one language of ids.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::Value;

use crate::{
    difference::{
        matching::{Renames, lists},
        shape::{self, Shape, elements},
    },
    part::{push, shape_at},
};

/// A part in the three versions.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Three<T> {
    pub(super) base: T,
    pub(super) ours: T,
    pub(super) theirs: T,
}

impl<T: Copy> Three<T> {
    /// The same of all three.
    pub(super) fn map<U>(self, mut f: impl FnMut(T) -> U) -> Three<U> {
        Three {
            base: f(self.base),
            ours: f(self.ours),
            theirs: f(self.theirs),
        }
    }
}

impl<T: Copy + PartialEq> Three<T> {
    /// The version that needs no thought: both sides are the same, or only one of them changed.
    pub(super) fn plain(self) -> Option<T> {
        if self.ours == self.theirs || self.theirs == self.base {
            Some(self.ours)
        } else if self.ours == self.base {
            Some(self.theirs)
        } else {
            None
        }
    }

    /// Whether a side is not as the base.
    pub(super) fn differs(self) -> bool {
        self.ours != self.base || self.theirs != self.base
    }
}

/// The three versions, in which a part has one id.
pub(super) struct Sides {
    pub(super) base: Value,
    pub(super) ours: Value,
    pub(super) theirs: Value,
    /// The parts that ours and that theirs renamed, by path: they changed even where nothing else did.
    renamed: [BTreeSet<String>; 2],
    /// Ids for which neither side's new one could be taken, by the path of the part.
    pub(super) torn: BTreeMap<String, Three<Value>>,
}

/// New ids by the kind of part and the id.
pub(super) type NewIds = BTreeMap<(&'static str, String), String>;

impl Sides {
    pub(super) fn new(base: Value, ours: Value, theirs: Value) -> Self {
        let mut sides = Self {
            renamed: [BTreeSet::new(), BTreeSet::new()],
            torn: BTreeMap::new(),
            base,
            ours,
            theirs,
        };
        let found =
            [&sides.ours, &sides.theirs].map(|side| by_id(&Renames::between(&sides.base, side)));
        let mut new = Three {
            base: NewIds::new(),
            ours: NewIds::new(),
            theirs: NewIds::new(),
        };
        let all: BTreeSet<&(&'static str, String)> =
            found.iter().flat_map(BTreeMap::keys).collect();
        for key in all {
            sides.follow(key, [found[0].get(key), found[1].get(key)], &mut new);
        }
        translate(&mut sides.base, &new.base);
        translate(&mut sides.ours, &new.ours);
        translate(&mut sides.theirs, &new.theirs);
        sides
    }

    /// Decides the id of one part that a side or both renamed.
    fn follow(
        &mut self,
        key: &(&'static str, String),
        [ours, theirs]: [Option<&String>; 2],
        new: &mut Three<NewIds>,
    ) {
        let (of, old) = key;
        let Some((_, place)) = lists().iter().find(|(kind, _)| kind == of) else {
            return;
        };
        let id = match (ours, theirs) {
            (Some(id), None) if !has(&self.theirs, place, id) => Some(id),
            (None, Some(id)) if !has(&self.ours, place, id) => Some(id),
            (Some(a), Some(b)) if a == b => Some(a),
            _ => None,
        };
        let path = path(place, id.unwrap_or(old));
        for (renamed, side) in self.renamed.iter_mut().zip([ours, theirs]) {
            if side.is_some() {
                renamed.insert(path.clone());
            }
        }
        if let Some(id) = id {
            for (map, side) in [
                (&mut new.base, None),
                (&mut new.ours, ours),
                (&mut new.theirs, theirs),
            ] {
                if side.is_none() {
                    map.insert(key.clone(), id.clone());
                }
            }
            return;
        }
        for (map, side) in [(&mut new.ours, ours), (&mut new.theirs, theirs)] {
            if let Some(id) = side {
                map.insert((*of, id.clone()), old.clone());
            }
        }
        let told = |id: Option<&String>| Value::from(id.unwrap_or(old).as_str());
        let ids = Three {
            base: told(None),
            ours: told(ours),
            theirs: told(theirs),
        };
        self.torn.insert(path, ids);
    }

    /// Whether ours (or theirs) renamed the part at a path.
    pub(super) fn renamed(&self, ours: bool, path: &str) -> bool {
        let [by_ours, by_theirs] = &self.renamed;
        if ours { by_ours } else { by_theirs }.contains(path)
    }

    /// Whether a side renamed a part inside the part at a path: then it changed, even where all that it says is as in the base.
    pub(super) fn renamed_inside(&self, path: &str) -> bool {
        let within = format!("{path}/");
        self.renamed.iter().any(|paths| {
            let next = paths.range(within.clone()..).next();
            next.is_some_and(|found| found.starts_with(&within))
        })
    }

    /// All three as a whole.
    pub(super) fn whole(&self) -> Three<&Value> {
        Three {
            base: &self.base,
            ours: &self.ours,
            theirs: &self.theirs,
        }
    }

    /// A field of the profile.
    pub(super) fn field(&self, name: &str) -> Three<Option<&Value>> {
        self.whole().map(|profile| profile.get(name))
    }
}

fn by_id(renames: &Renames) -> NewIds {
    let all = renames.iter();
    all.map(|(of, old, new)| ((of, old.to_owned()), new.to_owned()))
        .collect()
}

fn has(profile: &Value, place: &str, id: &str) -> bool {
    let items = elements(profile.pointer(place));
    items
        .iter()
        .any(|item| item.get("id").is_some_and(|i| i == id))
}

fn path(place: &str, id: &str) -> String {
    let mut path = place.to_owned();
    push(&mut path, id);
    path
}

/// Gives parts their new ids: where they are, in every reference to them and in the paths of conflicts.
pub(super) fn translate(profile: &mut Value, new: &NewIds) {
    if new.is_empty() {
        return;
    }
    for (of, place) in lists() {
        for item in items_mut(profile.pointer_mut(place)) {
            if let Some(id) = item.get_mut("id") {
                replace(id, of, new);
            }
        }
    }
    for field in &shape::profile().fields {
        if let Some(value) = profile.get_mut(field.name) {
            references(&field.shape, value, new);
        }
    }
    for conflict in items_mut(profile.pointer_mut("/conflicts")) {
        in_conflict(conflict, new);
    }
}

/// New ids in the path of a conflict and in the values that it keeps.
fn in_conflict(conflict: &mut Value, new: &NewIds) {
    let Some(Value::String(part)) = conflict.get_mut("part") else {
        return;
    };
    *part = moved(part, new);
    let Some(shape) = shape_at(part) else {
        return;
    };
    for side in ["base", "ours", "theirs"] {
        if let Some(kept) = conflict.get_mut(side) {
            references(shape, kept, new);
        }
    }
}

fn items_mut(list: Option<&mut Value>) -> impl Iterator<Item = &mut Value> {
    list.and_then(Value::as_array_mut).into_iter().flatten()
}

fn replace(id: &mut Value, of: &'static str, new: &NewIds) {
    if let Value::String(id) = id
        && let Some(now) = new.get(&(of, id.clone()))
    {
        id.clone_from(now);
    }
}

fn references(shape: &Shape, value: &mut Value, new: &NewIds) {
    match shape {
        Shape::Reference(of) => replace(value, of, new),
        Shape::List(list) => {
            for item in items_mut(Some(value)) {
                references(&list.item, item, new);
            }
        }
        Shape::Struct(part) => {
            for field in &part.fields {
                if let Some(value) = value.get_mut(field.name) {
                    references(&field.shape, value, new);
                }
            }
        }
        _ => {}
    }
}

/// The path of a part after parts got new ids.
fn moved(part: &str, new: &NewIds) -> String {
    for ((of, old), now) in new {
        let Some((_, place)) = lists().iter().find(|(kind, _)| kind == of) else {
            continue;
        };
        let before = path(place, old);
        let rest = part.strip_prefix(&before);
        if let Some(rest) = rest.filter(|rest| rest.is_empty() || rest.starts_with('/')) {
            return path(place, now) + rest;
        }
    }
    part.to_owned()
}

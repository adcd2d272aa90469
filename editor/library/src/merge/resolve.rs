//! Choosing for a conflict.

use chockstone_schema::{
    Profile,
    codes::{KeptValue, PartPath},
    model::record::{Conflict, ConflictAbout},
    read::{Fault, from_value, to_value},
};
use serde_json::Value;

use super::{
    order::weave,
    sides::{NewIds, translate},
};
use crate::{
    difference::{
        matching::{key, lists},
        shape::{Shape, elements},
    },
    part::{pointer_of, push, shape_at},
};

/// What is chosen for a conflict.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Choice {
    /// The value in the version that both began with.
    Base,
    /// The value of the one side.
    Ours,
    /// The value of the other side.
    Theirs,
    /// What stands in the profile now, such as a third value that was entered since.
    Standing,
}

/// Why a choice could not be made. The profile is as it was.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Unresolved {
    /// There is no conflict with this number.
    #[error("there is no conflict number {}", .0 + 1)]
    NoConflict(usize),
    /// The part that the part belongs to is not there.
    #[error(
        "there is no place for {part}: what it was part of is gone. Choose for that part first, or keep what stands"
    )]
    NoPlace {
        /// The part.
        part: PartPath,
    },
    /// With the value the profile would have faults.
    #[error(
        "with this value for {part} the profile could not be read: {}. Choose for the other parts first, or enter a third value and keep what stands",
        told(faults)
    )]
    Unreadable {
        /// The part.
        part: PartPath,
        /// What would be wrong.
        faults: Vec<Fault>,
    },
}

fn told(faults: &[Fault]) -> String {
    let told = faults.iter().take(3);
    let told: Vec<String> = told
        .map(|fault| format!("{} (at {})", fault.message, fault.pointer))
        .collect();
    told.join("; ")
}

/// Puts what is chosen for a conflict in its place and takes the conflict away.
///
/// `index` is its number in `profile.conflicts`. A new id is given to every reference too. A part that is not there is put at
/// the end of its list, or where the list reads with it. Refused where the profile would not read any more.
pub fn resolve(profile: &Profile, index: usize, choice: Choice) -> Result<Profile, Unresolved> {
    let conflict = profile.conflicts.get(index);
    let conflict = conflict.ok_or(Unresolved::NoConflict(index))?;
    let mut rest = profile.clone();
    rest.conflicts.remove(index);
    let kept = match choice {
        Choice::Base => &conflict.base,
        Choice::Ours => &conflict.ours,
        Choice::Theirs => &conflict.theirs,
        Choice::Standing => return Ok(rest),
    };
    let chosen = kept.as_ref().map(KeptValue::value);
    let value = to_value(&rest);
    let part = || conflict.part.clone();
    let ways =
        ways(&value, conflict, chosen).ok_or_else(|| Unresolved::NoPlace { part: part() })?;
    let mut faults = Vec::new();
    for way in ways {
        match from_value(&way) {
            Ok(profile) => return Ok(profile),
            Err(found) if faults.is_empty() => faults = found,
            Err(_) => {}
        }
    }
    let part = part();
    Err(Unresolved::Unreadable { part, faults })
}

/// The profiles that would have the chosen value in its place, the likeliest one first; `None` where there is no place.
fn ways(profile: &Value, conflict: &Conflict, chosen: Option<&Value>) -> Option<Vec<Value>> {
    let pointer = pointer_of(profile, &conflict.part);
    let path = conflict.part.to_string();
    match (conflict.about, pointer, chosen) {
        (ConflictAbout::Order, Some(pointer), Some(order)) => {
            reordered(profile, &path, &pointer, elements(Some(order))).map(|way| vec![way])
        }
        (ConflictAbout::Order, _, _) => None,
        (ConflictAbout::Value, Some(pointer), Some(new)) => {
            Some(vec![replaced(profile, &path, &pointer, new)])
        }
        (ConflictAbout::Value, Some(pointer), None) => Some(vec![removed(profile, &pointer)?]),
        (ConflictAbout::Value, None, None) => Some(vec![profile.clone()]),
        (ConflictAbout::Value, None, Some(new)) => added(profile, &path, new),
    }
}

fn replaced(profile: &Value, path: &str, pointer: &str, new: &Value) -> Value {
    let mut profile = profile.clone();
    if let Some(ids) = new_ids(&profile, path, pointer, new) {
        translate(&mut profile, &ids);
    } else if let Some(place) = profile.pointer_mut(pointer) {
        *place = new.clone();
    }
    profile
}

/// A new id by the old one, where the part is the id of something that references name.
fn new_ids(profile: &Value, path: &str, pointer: &str, new: &Value) -> Option<NewIds> {
    let (place, _) = path.strip_suffix("/id")?.rsplit_once('/')?;
    let (of, _) = lists().iter().find(|(_, list)| *list == place)?;
    let old = profile.pointer(pointer)?.as_str()?.to_owned();
    Some(NewIds::from([((*of, old), new.as_str()?.to_owned())]))
}

fn removed(profile: &Value, pointer: &str) -> Option<Value> {
    let mut profile = profile.clone();
    let (outer, last) = pointer.rsplit_once('/')?;
    match profile.pointer_mut(outer)? {
        Value::Object(fields) => {
            fields.remove(&unescaped(last));
        }
        Value::Array(items) => {
            let index: usize = last.parse().ok()?;
            if index < items.len() {
                items.remove(index);
            }
            if items.is_empty() {
                return removed(&profile, outer);
            }
        }
        _ => return None,
    }
    Some(profile)
}

fn added(profile: &Value, path: &str, new: &Value) -> Option<Vec<Value>> {
    let (outer, last) = path.rsplit_once('/')?;
    let inside = if outer.is_empty() {
        String::new()
    } else if let Some(pointer) = pointer_of(profile, &PartPath::new(outer).ok()?) {
        pointer
    } else {
        return first_of_list(profile, outer, new);
    };
    let mut whole = profile.clone();
    match whole.pointer_mut(&inside)? {
        Value::Object(fields) => {
            fields.insert(unescaped(last), new.clone());
            Some(vec![whole])
        }
        Value::Array(items) => {
            let length = items.len();
            let at = |place: usize| {
                let mut whole = profile.clone();
                let items = whole.pointer_mut(&inside)?.as_array_mut()?;
                items.insert(place, new.clone());
                Some(whole)
            };
            (0..=length).rev().map(at).collect()
        }
        _ => None,
    }
}

/// An absent list is an empty one: its first element makes it.
fn first_of_list(profile: &Value, path: &str, new: &Value) -> Option<Vec<Value>> {
    let Some(Shape::List(_)) = shape_at(path) else {
        return None;
    };
    let (outer, field) = path.rsplit_once('/')?;
    let mut pointer = match outer {
        "" => String::new(),
        outer => pointer_of(profile, &PartPath::new(outer).ok()?)?,
    };
    let mut whole = profile.clone();
    let owner = whole.pointer_mut(&pointer)?.as_object_mut()?;
    owner.insert(unescaped(field), Value::Array(vec![new.clone()]));
    push(&mut pointer, &unescaped(field));
    Some(vec![whole])
}

fn reordered(profile: &Value, path: &str, pointer: &str, order: &[Value]) -> Option<Value> {
    let Some(Shape::List(list)) = shape_at(path) else {
        return None;
    };
    let mut profile = profile.clone();
    let items = profile.pointer_mut(pointer)?.as_array_mut()?;
    let names: Vec<String> = items.iter().map(|item| key(list, item, None)).collect();
    let number = |name: &Value| {
        names
            .iter()
            .position(|known| Some(known.as_str()) == name.as_str())
    };
    let chosen: Vec<usize> = order.iter().filter_map(number).collect();
    let all: Vec<usize> = (0..items.len()).collect();
    let woven = weave(&chosen, &all);
    *items = woven
        .iter()
        .filter_map(|i| items.get(*i).cloned())
        .collect();
    Some(profile)
}

fn unescaped(segment: &str) -> String {
    segment.replace("~1", "/").replace("~0", "~")
}

//! Edits done and undone in place.

use serde_json::Value;

use super::{
    cases::Edit,
    model::{Kind, Part},
};

/// A profile that is edited and put back, which costs less than copying it for each edit.
pub(super) struct Edited(Value);

impl Edited {
    pub(super) fn of(profile: &Value) -> Self {
        Self(profile.clone())
    }

    /// Shows the edited profile, and puts it back.
    pub(super) fn with(&mut self, edit: &Edit, look: impl FnOnce(&Value)) {
        let back = apply(&mut self.0, edit);
        look(&self.0);
        apply(&mut self.0, &back);
    }
}

/// Does an edit and gives the one that undoes it.
pub(super) fn apply(profile: &mut Value, edit: &Edit) -> Edit {
    match edit {
        Edit::Set(place, value) => {
            let part = profile.pointer_mut(place).unwrap();
            Edit::Set(place.clone(), std::mem::replace(part, value.clone()))
        }
        Edit::Remove(place) => Edit::Insert(place.clone(), remove(profile, place)),
        Edit::Insert(place, value) => {
            let (holder, key) = holder(profile, place);
            match holder {
                Value::Array(items) => items.insert(key.parse().unwrap(), value.clone()),
                holder => drop(holder.as_object_mut().unwrap().insert(key, value.clone())),
            }
            Edit::Remove(place.clone())
        }
        Edit::Swap(list, first) => {
            let items = profile.pointer_mut(list).unwrap().as_array_mut().unwrap();
            items.swap(*first, first + 1);
            edit.clone()
        }
        Edit::Rename(list, element, old, new) => {
            profile.pointer_mut(element).unwrap()["id"] = new.as_str().into();
            follow(Part::profile(), profile, (list, old, new));
            Edit::Rename(list.clone(), element.clone(), new.clone(), old.clone())
        }
    }
}

fn holder<'v>(profile: &'v mut Value, place: &str) -> (&'v mut Value, String) {
    let (holder, key) = place.rsplit_once('/').unwrap();
    (profile.pointer_mut(holder).unwrap(), key.to_owned())
}

fn remove(profile: &mut Value, place: &str) -> Value {
    let (holder, key) = holder(profile, place);
    match holder {
        Value::Array(items) => items.remove(key.parse().unwrap()),
        holder => holder.as_object_mut().unwrap().remove(&key).unwrap(),
    }
}

/// Lets every reference into a list follow an id.
fn follow(part: Part, value: &mut Value, (list, old, new): (&str, &str, &str)) {
    match part.kind() {
        Kind::Reference(into) if into == list && value == old => *value = new.into(),
        Kind::Struct | Kind::Sourced => {
            for (name, field) in part.fields() {
                if let Some(inner) = value.get_mut(name) {
                    follow(field, inner, (list, old, new));
                }
            }
        }
        Kind::List => {
            for inner in value.as_array_mut().unwrap() {
                follow(part.item(), inner, (list, old, new));
            }
        }
        _ => {}
    }
}

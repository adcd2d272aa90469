//! The sound profile and equipment that the rules' cases start from, and how a case changes them.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use std::sync::LazyLock;

use chockstone_schema::{
    Equipment, Profile,
    date::Date,
    read::{self, Notation},
    report::{Finding, Severity},
};
use serde_json::{Map, Value};

/// The day on which equipment is judged in the cases.
pub(crate) const TODAY: &str = "2026-11-02";

/// A complete profile without blocking findings. The vehicle and its figures are invented.
pub(crate) fn sound_profile() -> Profile {
    read::read(
        "sound.profile.ron",
        include_bytes!("testing/sound.profile.ron"),
        Notation::Ron,
    )
    .unwrap()
}

/// A complete piece of equipment without blocking findings, invented.
pub(crate) fn sound_equipment() -> Equipment {
    read::read(
        "sound.equipment.ron",
        include_bytes!("testing/sound.equipment.ron"),
        Notation::Ron,
    )
    .unwrap()
}

/// One row of a rule's table: a change to the sound document and what the rule must say.
#[derive(Debug)]
pub(crate) struct Case {
    pub(crate) rule: &'static str,
    /// A phrase that completes "with …".
    pub(crate) with: &'static str,
    /// A JSON object from pointers to values: null takes away, `/-` appends.
    pub(crate) edits: &'static str,
    /// Where the rule must find something; `None` when it must stay silent.
    pub(crate) place: Option<&'static str>,
    pub(crate) severity: Option<Severity>,
}

/// The rule stays silent.
pub(crate) const fn pass(rule: &'static str, with: &'static str, edits: &'static str) -> Case {
    Case {
        rule,
        with,
        edits,
        place: None,
        severity: None,
    }
}

/// The rule finds something at the place.
pub(crate) const fn fail(
    rule: &'static str,
    with: &'static str,
    edits: &'static str,
    place: &'static str,
) -> Case {
    Case {
        rule,
        with,
        edits,
        place: Some(place),
        severity: None,
    }
}

impl Case {
    /// The finding has another severity than the rule's own.
    pub(crate) const fn worth(self, severity: Severity) -> Self {
        Self {
            severity: Some(severity),
            ..self
        }
    }

    /// The document with the case's changes.
    pub(crate) fn value(&self, sound: Value) -> Value {
        let edits: Map<String, Value> =
            serde_json::from_str(self.edits).unwrap_or_else(|e| panic!("{}: {e}", self.with));
        let mut value = sound;
        for (pointer, new) in edits {
            set(&mut value, &pointer, new);
        }
        value
    }

    /// The findings for the changed document, by all rules.
    pub(crate) fn findings(&self, is_profile: bool) -> (Value, Vec<Finding>) {
        if is_profile {
            static SOUND: LazyLock<Value> = LazyLock::new(|| read::to_value(&sound_profile()));
            let value = self.value(SOUND.clone());
            let profile: Profile = read::from_value(&value)
                .unwrap_or_else(|f| panic!("{} with {}: {f:#?}", self.rule, self.with));
            (value, crate::check_profile(&profile))
        } else {
            static SOUND: LazyLock<Value> = LazyLock::new(|| read::to_value(&sound_equipment()));
            let value = self.value(SOUND.clone());
            let equipment: Equipment = read::from_value(&value)
                .unwrap_or_else(|f| panic!("{} with {}: {f:#?}", self.rule, self.with));
            let today = Date::new(TODAY).unwrap();
            let mut found = crate::check_equipment_on(&equipment, Some(today));
            found.extend(
                crate::check_equipment(&equipment)
                    .into_iter()
                    .filter(|f| f.check == "glove-last-day"),
            );
            (value, found)
        }
    }
}

/// Sets, appends to or takes away what a pointer names, making objects on the way.
pub(crate) fn set(value: &mut Value, pointer: &str, new: Value) {
    let (parent, key) = pointer.rsplit_once('/').unwrap();
    let mut at = value;
    for part in parent.split('/').skip(1) {
        at = match at {
            Value::Array(items) => items.get_mut(part.parse::<usize>().unwrap()).unwrap(),
            Value::Object(map) => map.entry(part).or_insert_with(|| Value::Object(Map::new())),
            _ => panic!("{pointer} leads through a plain value"),
        };
    }
    match at {
        Value::Array(items) if key == "-" => items.push(new),
        Value::Array(items) => {
            let index: usize = key.parse().unwrap();
            if new.is_null() {
                items.remove(index);
            } else {
                *items.get_mut(index).unwrap() = new;
            }
        }
        Value::Object(map) if new.is_null() => {
            map.remove(key);
        }
        Value::Object(map) => {
            map.insert(key.to_owned(), new);
        }
        _ => panic!("{pointer} names no part"),
    }
}

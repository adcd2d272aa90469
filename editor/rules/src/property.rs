//! Random changes to a sound profile: the checks never panic, always say the same, and always point at a place that is
//! there.

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use std::sync::LazyLock;

use chockstone_schema::{Equipment, Profile, read};
use proptest::prelude::*;
use serde_json::{Value, json};

use crate::testing::{sound_equipment, sound_profile};

/// Every pointer of a value.
fn pointers(value: &Value, at: &str, list: &mut Vec<String>) {
    if !at.is_empty() {
        list.push(at.to_owned());
    }
    match value {
        Value::Object(map) => map
            .iter()
            .for_each(|(k, v)| pointers(v, &format!("{at}/{k}"), list)),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .for_each(|(i, v)| pointers(v, &format!("{at}/{i}"), list)),
        _ => {}
    }
}

struct Sound {
    value: Value,
    pointers: Vec<String>,
}

fn sound(value: Value) -> Sound {
    let mut list = Vec::new();
    pointers(&value, "", &mut list);
    Sound {
        value,
        pointers: list,
    }
}

static PROFILE: LazyLock<Sound> = LazyLock::new(|| sound(read::to_value(&sound_profile())));
static EQUIPMENT: LazyLock<Sound> = LazyLock::new(|| sound(read::to_value(&sound_equipment())));

/// What a change does to the part that it meets.
#[derive(Clone, Debug)]
enum Change {
    TakeAway,
    Repeat,
    Number(f64),
    Unit(&'static str),
}

fn change() -> impl Strategy<Value = Change> {
    prop_oneof![
        Just(Change::TakeAway),
        Just(Change::Repeat),
        prop_oneof![-1e9..1e9f64, -10.0..10.0f64, Just(0.0), Just(1e-9)].prop_map(Change::Number),
        prop::sample::select(vec![
            "mm", "in", "m", "kg", "lb", "kN", "V", "kV", "J", "s", "d", "mph"
        ])
        .prop_map(Change::Unit),
    ]
}

fn apply(value: &mut Value, pointer: &str, change: &Change) {
    let (parent, key) = pointer.rsplit_once('/').unwrap();
    match (value.pointer_mut(parent), change) {
        (Some(Value::Object(map)), Change::TakeAway) => {
            map.remove(key);
        }
        (Some(Value::Array(items)), Change::TakeAway | Change::Repeat) => {
            let index: usize = key.parse().unwrap();
            if index < items.len() {
                if matches!(change, Change::TakeAway) {
                    items.remove(index);
                } else {
                    let again = items.get(index).cloned().unwrap();
                    items.push(again);
                }
            }
        }
        (Some(_), Change::Number(number)) => {
            if let Some(at) = value.pointer_mut(pointer).filter(|v| v.is_number()) {
                *at = json!(number);
            }
        }
        (Some(_), Change::Unit(unit)) => {
            if let Some(at) = value.pointer_mut(pointer).filter(|v| v.is_string()) {
                *at = json!(unit);
            }
        }
        _ => {}
    }
}

/// Applies changes one after the other and keeps those after which the document can still be read.
fn changed<T: read::Document>(
    sound: &Sound,
    changes: &[(prop::sample::Index, Change)],
) -> (Value, T) {
    let mut value = sound.value.clone();
    let mut document: T = read::from_value(&value).unwrap();
    for (index, change) in changes {
        let mut attempt = value.clone();
        let pointer: &String = index.get(sound.pointers.as_slice());
        apply(&mut attempt, pointer, change);
        if let Ok(read) = read::from_value(&attempt) {
            document = read;
            value = attempt;
        }
    }
    (value, document)
}

fn changes() -> impl Strategy<Value = Vec<(prop::sample::Index, Change)>> {
    prop::collection::vec((any::<prop::sample::Index>(), change()), 1..12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn checks_of_a_changed_profile_hold_their_word(changes in changes()) {
        let (value, profile) = changed::<Profile>(&PROFILE, &changes);
        let found = crate::check_profile(&profile);
        prop_assert_eq!(&found, &crate::check_profile(&profile));
        for finding in &found {
            prop_assert!(value.pointer(&finding.place).is_some(), "{}: {:?}", finding.check, finding.place);
        }
        for result in crate::mass::all(&profile) {
            let figures = [&result.mass, &result.centre_x, &result.centre_y, &result.centre_z];
            for estimate in figures.into_iter().flatten() {
                prop_assert!(estimate.value.is_finite() && estimate.plus_minus.is_none_or(f64::is_finite));
            }
        }
    }

    #[test]
    fn checks_of_changed_equipment_hold_their_word(changes in changes()) {
        let (value, equipment) = changed::<Equipment>(&EQUIPMENT, &changes);
        let found = crate::check_equipment(&equipment);
        prop_assert_eq!(&found, &crate::check_equipment(&equipment));
        for finding in &found {
            prop_assert!(value.pointer(&finding.place).is_some(), "{}: {:?}", finding.check, finding.place);
        }
    }
}

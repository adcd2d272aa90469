//! Random edits of a demo profile that leave it readable.

use chockstone_schema::{Profile, read::from_value};
use chockstone_tests::random::Random;
use serde_json::{Value, json};

/// Words with what JSON, its pointers and its canonical form treat in a way of their own.
const WORDS: [&str; 8] = [
    "slow",
    "más",
    "a/b",
    "~1~0",
    "\"quoted\"",
    "back\\slash",
    "€ 😀",
    "ﬀ\u{e000}",
];

/// Fields that may be left out anywhere without breaking a reference.
const OPTIONAL: [&str; 9] = [
    "note", "why", "marking", "access", "tool", "torque", "tools", "locator", "address",
];

/// Takes most procedures out, so that a pair takes less time; those that a disconnect names stay.
pub(super) fn thin_out(profile: &mut Value, random: &mut Random) {
    let named: Vec<Value> = profile["energy"]["disconnects"]
        .as_array()
        .map(|all| all.iter().map(|d| d["procedure"].clone()).collect())
        .unwrap_or_default();
    let procedures = profile["procedures"].as_array_mut().unwrap();
    procedures.retain(|p| named.contains(&p["id"]) || random.chance(0.2));
}

/// A profile after one to twelve random edits, and its value. Edits that leave it unreadable are tried again.
pub(super) fn edited(profile: &Value, random: &mut Random) -> (Value, Profile) {
    for _ in 0..50 {
        let mut value = profile.clone();
        for _ in 0..=random.below(12) {
            edit(&mut value, random);
        }
        if let Ok(read) = from_value(&value) {
            return (value, read);
        }
    }
    panic!("fifty random edits were all unreadable");
}

fn edit(profile: &mut Value, random: &mut Random) {
    match random.below(7) {
        0 => change_number(profile, random),
        1 => change_text(profile, random),
        2 => leave_out(profile, random),
        3 => add_element(profile, random),
        4 => change_order(profile, random),
        5 => drop_caution(profile, random),
        _ => add_extension(profile, random),
    }
}

/// The places of all values that fit, as pointers.
fn places(value: &Value, fits: &impl Fn(&str, &Value) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    walk(value, &mut String::new(), fits, &mut found);
    found
}

fn walk(
    value: &Value,
    place: &mut String,
    fits: &impl Fn(&str, &Value) -> bool,
    found: &mut Vec<String>,
) {
    if fits(place, value) {
        found.push(place.clone());
    }
    let mut inside = |key: &str, inner: &Value| {
        let length = place.len();
        place.push('/');
        place.push_str(&key.replace('~', "~0").replace('/', "~1"));
        walk(inner, place, fits, found);
        place.truncate(length);
    };
    match value {
        Value::Object(map) => map.iter().for_each(|(key, inner)| inside(key, inner)),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .for_each(|(i, inner)| inside(&i.to_string(), inner)),
        _ => {}
    }
}

/// One of the values that fit, or none where there is none.
fn some<'v>(
    profile: &'v mut Value,
    random: &mut Random,
    fits: impl Fn(&str, &Value) -> bool,
) -> Option<&'v mut Value> {
    let found = places(profile, &fits);
    let place = (!found.is_empty()).then(|| random.pick(&found))?;
    profile.pointer_mut(place)
}

/// A quantity: a number above zero and its unit.
fn change_number(profile: &mut Value, random: &mut Random) {
    let factor = random.between(0.8, 1.2);
    let is_whole = random.chance(0.5);
    let is_quantity = |_: &str, value: &Value| {
        matches!(value.as_array().map(Vec::as_slice), Some([Value::Number(n), Value::String(_)])
            if n.as_f64().is_some_and(|n| n > 2.0))
    };
    if let Some(quantity) = some(profile, random, is_quantity) {
        let number = quantity[0].as_f64().unwrap() * factor;
        quantity[0] = json!(if is_whole { number.round() } else { number });
    }
}

fn change_text(profile: &mut Value, random: &mut Random) {
    let word = *random.pick(&WORDS);
    let is_first = random.chance(0.5);
    let is_text = |place: &str, value: &Value| {
        value.is_string() && (place.ends_with("/en") || place.ends_with("/es"))
    };
    if let Some(text) = some(profile, random, is_text) {
        let old = text.as_str().unwrap();
        *text = if is_first {
            format!("{word} {old}")
        } else {
            format!("{old} {word}")
        }
        .into();
    }
}

fn leave_out(profile: &mut Value, random: &mut Random) {
    let key = *random.pick(&OPTIONAL);
    let has = |_: &str, value: &Value| value.get(key).is_some();
    if let Some(holder) = some(profile, random, has) {
        holder.as_object_mut().unwrap().remove(key);
    }
}

/// A list whose elements have ids.
fn is_list(value: &Value) -> bool {
    value
        .as_array()
        .is_some_and(|l| l.len() > 1 && l.iter().all(|e| e.get("id").is_some()))
}

fn add_element(profile: &mut Value, random: &mut Random) {
    let id = format!("new-{}", random.below(1_000_000));
    let [from, to] = [random.bits(), random.bits()];
    if let Some(list) = some(profile, random, |_, value| is_list(value)) {
        let list = list.as_array_mut().unwrap();
        let below = |bits: u64, end: usize| usize::try_from(bits % end as u64).unwrap();
        let mut copy = list[below(from, list.len())].clone();
        copy["id"] = id.into();
        list.insert(below(to, list.len() + 1), copy);
    }
}

fn change_order(profile: &mut Value, random: &mut Random) {
    let bits = random.bits();
    if let Some(list) = some(profile, random, |_, value| is_list(value)) {
        let list = list.as_array_mut().unwrap();
        let middle = usize::try_from(bits % (list.len() as u64 - 1)).unwrap() + 1;
        list.rotate_left(middle);
    }
}

fn drop_caution(profile: &mut Value, random: &mut Random) {
    let is_some = |place: &str, value: &Value| {
        (place.ends_with("/cautions") || place.ends_with("/fittings") || place.ends_with("/tools"))
            && value.as_array().is_some_and(|list| list.len() > 1)
    };
    if let Some(list) = some(profile, random, is_some) {
        list.as_array_mut().unwrap().remove(0);
    }
}

/// What another program may keep in a profile: any JSON under a name of its own.
fn add_extension(profile: &mut Value, random: &mut Random) {
    let name = format!("org.example.{}", random.pick(&["a", "b", "c"]));
    let mut inner = json!({});
    for _ in 0..=random.below(4) {
        let value = match random.below(5) {
            0 => Value::Null,
            1 => json!(random.between(-1e6, 1e6)),
            2 => json!([random.below(9), {"x": random.chance(0.5)}, []]),
            3 => json!(random.pick(&WORDS)),
            _ => json!(1e-7 * random.between(0.0, 1.0)),
        };
        inner[*random.pick(&WORDS)] = value;
    }
    profile["extensions"][name] = inner;
}

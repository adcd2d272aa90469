//! Putting a text's parts into a profile: languages, ids, references.
//!
//! The work is done on the JSON value of the documents, where texts and references are found by their shape and their
//! field's name, and the result is read again as a whole, so no reference can be left that leads nowhere.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_schema::{
    Profile,
    read::{self, Fault, Notation, ReadError},
    text::Language,
};
use serde_json::{Map, Value, json};

use super::{BEGINNING, StartingText};

/// Why a starting text could not be inserted.
#[derive(Debug)]
pub enum InsertError {
    /// No starting text has this id.
    Unknown(String),
    /// The built-in text itself could not be read.
    Text(ReadError),
    /// The profile would not be readable with it: what is wrong, and where.
    Refused(Vec<Fault>),
}

impl std::error::Error for InsertError {}

impl std::fmt::Display for InsertError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Unknown(id) => write!(
                f,
                "there is no starting text with the id {id:?}: choose one of the list"
            ),
            Self::Text(error) => write!(f, "the starting text could not be read: {error}"),
            Self::Refused(faults) => {
                f.write_str("the profile would not be readable with this text")?;
                for fault in faults {
                    write!(f, "; {} (at {})", fault.message, fault.pointer)?;
                }
                Ok(())
            }
        }
    }
}

/// The languages that every text is written in.
const WRITTEN: [&str; 2] = ["en", "es"];

/// Which list the references in a field lead to.
const REFERENCES: [(&str, &str); 14] = [
    ("source", "sources"),
    ("hazards", "hazards"),
    ("opens", "debts"),
    ("settles", "debts"),
    ("starts_with", "conditions"),
    ("never_with", "conditions"),
    ("ends_with", "conditions"),
    ("requires", "conditions"),
    ("requires_not", "conditions"),
    ("establishes", "conditions"),
    ("clears", "conditions"),
    ("condition", "conditions"),
    ("depends_on", "conditions"),
    ("lapses_to", "conditions"),
];

/// The lists whose parts come with a procedure, those that others refer to first.
const LISTS: [&str; 4] = ["sources", "conditions", "debts", "hazards"];

/// An old id with its list, and the id that it has in the profile.
type Renamed = BTreeMap<Place, String>;

/// Inserts a text.
pub(super) fn insert(profile: &Profile, text: &StartingText) -> Result<Profile, InsertError> {
    let mut arriving = document(text)?;
    into_languages(&mut arriving, &languages(profile));
    let mut whole = read::to_value(profile);
    let mut renamed = Renamed::new();
    let needed = needed(&arriving);
    for list in LISTS {
        let mut own = take(&mut whole, list);
        for mut part in take(&mut arriving, list) {
            let id = id_of(&part).to_owned();
            if needed.contains(&(list, id.clone())) {
                rename(&mut part, &renamed);
                renamed.insert((list, id), add_or_use(&mut own, part));
            }
        }
        put(&mut whole, list, own);
    }
    let mut own = take(&mut whole, "procedures");
    for mut procedure in take(&mut arriving, "procedures") {
        rename(&mut procedure, &renamed);
        set(&mut procedure, "to_confirm", json!(true));
        add(&mut own, procedure);
    }
    put(&mut whole, "procedures", own);
    read::from_value(&whole).map_err(InsertError::Refused)
}

/// The text as a document of its own.
fn document(text: &StartingText) -> Result<Value, InsertError> {
    let ron = format!("{BEGINNING}{})", text.procedures);
    let document: Profile =
        read::read(text.id, ron.as_bytes(), Notation::Ron).map_err(InsertError::Text)?;
    Ok(read::to_value(&document))
}

/// Each language to insert, with the one of the texts that its strings are taken from.
pub(super) fn languages(profile: &Profile) -> Vec<(String, &'static str)> {
    let source = |tag: &Language| {
        let primary = tag.as_str().split('-').next().unwrap_or_default();
        let written = WRITTEN.into_iter().find(|w| *w == primary)?;
        Some((tag.as_str().to_owned(), written))
    };
    let mut wanted: Vec<(String, &'static str)> =
        profile.languages.iter().filter_map(source).collect();
    if let Some(base) = source(&profile.language) {
        wanted.push(base);
        return wanted;
    }
    for written in WRITTEN {
        if wanted.iter().all(|(_, from)| *from != written) {
            wanted.push((written.to_owned(), written));
        }
    }
    wanted
}

/// Whether a value is a text of the built-in documents: a string for each of their languages and nothing else.
fn is_text(map: &Map<String, Value>) -> bool {
    map.len() == WRITTEN.len() && WRITTEN.iter().all(|w| map.contains_key(*w))
}

fn into_languages(value: &mut Value, languages: &[(String, &str)]) {
    match value {
        Value::Object(map) if is_text(map) => {
            let strings = languages
                .iter()
                .filter_map(|(tag, from)| Some((tag.clone(), map.get(*from)?.clone())));
            *map = strings.collect();
        }
        Value::Object(map) => map
            .values_mut()
            .for_each(|inner| into_languages(inner, languages)),
        Value::Array(list) => list
            .iter_mut()
            .for_each(|inner| into_languages(inner, languages)),
        _ => {}
    }
}

/// Shows every reference inside a part, with the list that it leads to.
fn each_reference(value: &mut Value, visit: &mut impl FnMut(&'static str, &mut String)) {
    match value {
        Value::Object(map) => {
            for (field, inner) in map {
                let list = REFERENCES.iter().find(|(name, _)| name == field);
                match (list, inner) {
                    (Some((_, list)), Value::String(id)) => visit(list, id),
                    (Some((_, list)), Value::Array(ids)) => {
                        for id in ids {
                            if let Value::String(id) = id {
                                visit(list, id);
                            }
                        }
                    }
                    (_, inner) => each_reference(inner, visit),
                }
            }
        }
        Value::Array(list) => list
            .iter_mut()
            .for_each(|inner| each_reference(inner, visit)),
        _ => {}
    }
}

fn rename(part: &mut Value, renamed: &Renamed) {
    each_reference(part, &mut |list, id| {
        if let Some(new) = renamed.get(&(list, id.clone())) {
            id.clone_from(new);
        }
    });
}

/// A list and an id in it.
type Place = (&'static str, String);

/// Everything that the procedures refer to, and what that refers to in turn.
fn needed(document: &Value) -> BTreeSet<Place> {
    let mut document = document.clone();
    let mut needed = BTreeSet::new();
    for mut procedure in take(&mut document, "procedures") {
        note(&mut procedure, &mut needed);
    }
    // No part refers to one of a later list, so each list is looked at after everything that may refer to it.
    for list in LISTS.into_iter().rev() {
        for mut part in take(&mut document, list) {
            if needed.contains(&(list, id_of(&part).to_owned())) {
                note(&mut part, &mut needed);
            }
        }
    }
    needed
}

fn note(part: &mut Value, needed: &mut BTreeSet<Place>) {
    each_reference(part, &mut |list, id| {
        needed.insert((list, id.clone()));
    });
}

/// Adds a part, or finds the one that already says the same; gives the id that it has now.
fn add_or_use(items: &mut Vec<Value>, part: Value) -> String {
    let there = items.iter().find(|own| says_the_same(own, &part));
    match there {
        Some(own) => id_of(own).to_owned(),
        None => add(items, part),
    }
}

/// Whether everything that a new part says stands in the profile's own one. The author's may say more, such as a further
/// language, and may name the source that confirmed it.
fn says_the_same(own: &Value, new: &Value) -> bool {
    let (Value::Object(own), Value::Object(new)) = (own, new) else {
        return own == new;
    };
    new.iter()
        .filter(|(field, _)| !matches!(field.as_str(), "id" | "source"))
        .all(|(field, inner)| own.get(field).is_some_and(|o| says_the_same(o, inner)))
}

/// Adds a part under its id, or under the id with the first free number; gives that id.
fn add(items: &mut Vec<Value>, mut part: Value) -> String {
    let wished = id_of(&part).to_owned();
    let is_free = |id: &str| items.iter().all(|own| id_of(own) != id);
    let mut id = wished.clone();
    let mut number = 2;
    while !is_free(&id) {
        id = format!("{wished}-{number}");
        number += 1;
    }
    set(&mut part, "id", json!(id));
    items.push(part);
    id
}

fn id_of(part: &Value) -> &str {
    part.get("id").and_then(Value::as_str).unwrap_or_default()
}

fn set(part: &mut Value, field: &str, value: Value) {
    if let Value::Object(map) = part {
        map.insert(field.to_owned(), value);
    }
}

/// Takes a document's list out; an absent one is empty.
fn take(document: &mut Value, list: &str) -> Vec<Value> {
    match document.get_mut(list).map(Value::take) {
        Some(Value::Array(items)) => items,
        _ => Vec::new(),
    }
}

/// Puts a list back; an empty one is left out.
fn put(document: &mut Value, list: &str, items: Vec<Value>) {
    if let (Value::Object(map), true) = (&mut *document, items.is_empty()) {
        map.remove(list);
    } else {
        set(document, list, Value::Array(items));
    }
}

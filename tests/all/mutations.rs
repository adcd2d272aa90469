//! Single faults in a published profile: the published schema must refuse each, whoever validates.
//!
//! Each document differs from a good one in one place. Python's `jsonschema`, `ajv` and our own reader must refuse it,
//! and all three must accept the good one. Faults that no JSON Schema can tell come apart: there the outside
//! validators accept, and the reader refuses.

use chockstone_schema::{
    Profile,
    codes::ReleaseNumber,
    json_schema,
    read::{Notation, read, to_value},
};
use chockstone_tests::{demo, outside, tell};
use serde_json::Value;

mod faults;

pub(crate) use faults::schema_faults;

/// A change in one place. Places are JSON pointers in which `*` stands for any element or key.
#[derive(Clone, Debug)]
pub(crate) enum Change {
    /// Puts another value there.
    Set(&'static str, Value),
    /// Takes the value away.
    Drop(&'static str),
    /// Adds a key that is not there yet to the object there.
    Add(&'static str, &'static str, Value),
    /// Keeps only so many elements of the list there.
    Keep(&'static str, usize),
    /// Repeats the first element of the list there until there are so many.
    Fill(&'static str, usize),
    /// Gives the second element of the list there the value of the first, at this key.
    Repeat(&'static str, &'static str),
    /// Swaps the first two elements of the list there.
    Swap(&'static str),
}

impl Change {
    /// The changed document, or `None` where it has no such place.
    pub(crate) fn apply(&self, good: &Value) -> Option<Value> {
        let mut changed = good.clone();
        match self {
            Self::Set(place, value) => *find_mut(&mut changed, place)? = value.clone(),
            Self::Drop(place) => {
                let (parent, key) = place.rsplit_once('/')?;
                // The parent must be one that has the key, not just the first that fits.
                let pointer = find(&changed, place)?;
                let exact = pointer
                    .rsplit_once('/')
                    .map_or(parent, |(parent, _)| parent);
                changed.pointer_mut(exact)?.as_object_mut()?.remove(key)?;
            }
            Self::Add(place, key, value) => {
                let object = find_mut(&mut changed, place)?.as_object_mut()?;
                if object.insert((*key).to_owned(), value.clone()).is_some() {
                    return None;
                }
            }
            Self::Keep(place, count) => {
                let list = find_mut(&mut changed, place)?.as_array_mut()?;
                if list.len() <= *count {
                    return None;
                }
                list.truncate(*count);
            }
            Self::Fill(place, count) => {
                let list = find_mut(&mut changed, place)?.as_array_mut()?;
                let first = list.first()?.clone();
                list.resize(*count, first);
            }
            Self::Repeat(place, key) => {
                let list = find_mut(&mut changed, place)?.as_array_mut()?;
                let first = list.first()?.get(key)?.clone();
                *list.get_mut(1)?.get_mut(key)? = first;
            }
            Self::Swap(place) => {
                let list = find_mut(&mut changed, place)?.as_array_mut()?;
                if list.len() < 2 {
                    return None;
                }
                list.swap(0, 1);
            }
        }
        Some(changed)
    }
}

/// The first place that fits a pattern, as a plain pointer.
fn find(value: &Value, pattern: &str) -> Option<String> {
    let Some(rest) = pattern.strip_prefix('/') else {
        return pattern.is_empty().then(String::new);
    };
    let (segment, rest) = rest.split_at(rest.find('/').unwrap_or(rest.len()));
    let inside = |key: &str, inner: &Value| Some(format!("/{key}{}", find(inner, rest)?));
    match (segment, value) {
        ("*", Value::Object(map)) => map.iter().find_map(|(key, inner)| inside(key, inner)),
        ("*", Value::Array(items)) => items
            .iter()
            .enumerate()
            .find_map(|(i, inner)| inside(&i.to_string(), inner)),
        (key, Value::Object(map)) => inside(key, map.get(key)?),
        (key, Value::Array(items)) => inside(key, items.get(key.parse::<usize>().ok()?)?),
        _ => None,
    }
}

fn find_mut<'v>(value: &'v mut Value, pattern: &str) -> Option<&'v mut Value> {
    let pointer = find(value, pattern)?;
    value.pointer_mut(&pointer)
}

/// The complete demo profiles as they are published.
pub(crate) fn published() -> Vec<(String, Value)> {
    let released = |path: &std::path::PathBuf| {
        let mut profile = demo::read(path);
        profile.release = Some(ReleaseNumber::new("1.0.0").unwrap());
        (demo::name(path), to_value(&profile))
    };
    demo::complete().iter().map(released).collect()
}

/// Applies each change to the first profile that has the place.
#[track_caller]
pub(crate) fn apply_all(named: &[(&str, Change)]) -> Vec<(String, Value)> {
    let good = published();
    let (mut faulty, mut placeless) = (Vec::new(), Vec::new());
    for (name, change) in named {
        match good.iter().find_map(|(_, document)| change.apply(document)) {
            Some(document) => faulty.push(((*name).to_owned(), document)),
            None => placeless.push(format!("{name}: {change:?}")),
        }
    }
    assert!(
        placeless.is_empty(),
        "no demo profile has the place of {placeless:#?}"
    );
    for (name, document) in &faulty {
        assert!(
            good.iter().all(|(_, g)| g != document),
            "{name} changes nothing"
        );
    }
    faulty
}

fn our_verdict(document: &Value) -> Result<Profile, String> {
    let text = serde_json::to_vec_pretty(document).unwrap();
    read("document.profile.json", &text, Notation::Json).map_err(|e| e.to_string())
}

#[test]
fn single_faults_are_refused_by_every_validator() {
    let faulty = apply_all(&schema_faults());
    assert!(faulty.len() >= 60, "{}", faulty.len());
    for (name, document) in &faulty {
        let Err(error) = our_verdict(document) else {
            panic!("our reader accepts: {name}")
        };
        assert!(
            error.starts_with("document.profile.json:"),
            "{name}: no line is told: {error}"
        );
        let valid = json_schema::profile().validator.is_valid(document);
        assert!(!valid, "our schema validator accepts: {name}");
    }
    let schema = &json_schema::profile().published;
    for (validator, script) in outside::schema_validators() {
        let accepted: Vec<String> = outside::verdicts(&script, schema, &faulty)
            .into_iter()
            .filter_map(|(name, error)| error.is_none().then_some(name))
            .collect();
        assert!(accepted.is_empty(), "{validator} accepts: {accepted:?}");
        tell(&format!(
            "mutations: {validator} refuses {} of {} single faults, as our reader does",
            faulty.len(),
            faulty.len()
        ));
    }
}

#[test]
fn the_good_profiles_are_accepted_by_every_validator() {
    let good = published();
    for (name, document) in &good {
        if let Err(error) = our_verdict(document) {
            panic!("{name}: {error}");
        }
    }
    outside::assert_all_valid(&json_schema::profile().published, &good);
}

#[test]
fn faults_beyond_any_schema_are_refused_by_the_reader() {
    let faulty = apply_all(&faults::reference_faults());
    for (name, document) in &faulty {
        let Err(error) = our_verdict(document) else {
            panic!("our reader accepts: {name}")
        };
        assert!(
            error.starts_with("document.profile.json:"),
            "{name}: no line is told: {error}"
        );
    }
    // That the others accept them shows that it is the reader's own work.
    let checks = outside::assert_all_valid(&json_schema::profile().published, &faulty);
    tell(&format!(
        "mutations: {} faults of references, order and meaning are refused by our reader alone ({checks} outside verdicts)",
        faulty.len()
    ));
}

//! What the checks say.

use chockstone_rules::check_profile;
use chockstone_schema::report::{Effect, EffectTopic, Finding, Severity};
use serde_json::Value;

use super::{
    super::{
        matching::{Renames, key},
        shape::{self, By, List, Shape, Struct},
    },
    Sides,
};

/// Findings that are only in one of the profiles, or matter otherwise, matched by check and part. A note that came or went is
/// not told: it asks nothing of a crew.
pub(super) fn effects(sides: &Sides<'_>, [a, b]: &[Value; 2]) -> Vec<Effect> {
    let older = named(check_profile(sides.before), a, Some(&sides.renames));
    let mut newer = named(check_profile(sides.after), b, None);
    let mut pairs = Vec::new();
    for (part, old) in older {
        let same = |(other, new): &(String, Finding)| *other == part && new.check == old.check;
        let new = newer.iter().position(same).map(|i| newer.remove(i).1);
        pairs.push((part, Some(old), new));
    }
    pairs.extend(newer.into_iter().map(|(part, new)| (part, None, Some(new))));
    pairs.into_iter().filter_map(effect).collect()
}

/// Findings with the part that each is about, by ids.
fn named(
    findings: Vec<Finding>,
    profile: &Value,
    renames: Option<&Renames>,
) -> Vec<(String, Finding)> {
    let name = |finding: Finding| (by_ids(profile, &finding.place, renames), finding);
    findings.into_iter().map(name).collect()
}

fn effect((part, old, new): (String, Option<Finding>, Option<Finding>)) -> Option<Effect> {
    let severity = |finding: &Option<Finding>| finding.as_ref().map(|f| f.severity);
    let told = [&old, &new].map(severity);
    let matters = |severity: Option<Severity>| severity.is_some_and(|s| s < Severity::Note);
    let [was, now] = told;
    if was == now || !(matters(was) || matters(now)) {
        return None;
    }
    let check = old.as_ref().or(new.as_ref()).map(|f| f.check.clone());
    let sentence = |finding: Finding| format!("{}: {}", word(finding.severity), finding.message);
    Some(Effect {
        topic: EffectTopic::Findings,
        what: format!("The check {} at {part}", check.unwrap_or_default()),
        before: old.map(sentence),
        after: new.map(sentence),
        worse: now == Some(Severity::Blocking),
    })
}

fn word(severity: Severity) -> &'static str {
    match severity {
        Severity::Blocking => "blocks a release",
        Severity::Warning => "warning",
        Severity::Note => "note",
    }
}

/// What a pointer has led to: the shape of it.
#[derive(Clone, Copy)]
enum Here {
    Struct(&'static Struct),
    List(&'static List),
    Other,
}

impl Here {
    fn of(shape: &'static Shape) -> Self {
        match shape {
            Shape::Struct(part) => Self::Struct(part),
            Shape::List(list) => Self::List(list),
            _ => Self::Other,
        }
    }
}

/// A pointer whose list elements are named by what they are recognised by, as far as it leads into the profile. Elements
/// that are recognised by all that they say keep their index.
fn by_ids(profile: &Value, pointer: &str, renames: Option<&Renames>) -> String {
    let mut told = String::new();
    let (mut value, mut here) = (Some(profile), Here::Struct(shape::profile()));
    for segment in pointer.split('/').skip(1) {
        let field = segment.replace("~1", "/").replace("~0", "~");
        value = value.and_then(|outer| match outer {
            Value::Array(items) => items.get(field.parse::<usize>().ok()?),
            object => object.get(&field),
        });
        told.push('/');
        here = match here {
            Here::Struct(part) => {
                told.push_str(segment);
                let inner = part.field(&field);
                inner.map_or(Here::Other, |inner| Here::of(&inner.shape))
            }
            Here::List(list) => {
                let by_field = matches!(list.by, By::Field(_));
                let name = value.filter(|_| by_field).map(|v| key(list, v, renames));
                told.push_str(name.as_deref().unwrap_or(segment));
                Here::of(&list.item)
            }
            Here::Other => {
                told.push_str(segment);
                Here::Other
            }
        };
    }
    told
}

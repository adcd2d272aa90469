//! The laws of merging, as properties over random edits of the demo profiles: values and words changed, elements removed, copied,
//! put in another order and renamed.

use std::{collections::BTreeSet, sync::LazyLock};

use chockstone_schema::read::{Notation, read as read_text, to_canonical, to_ron};
use proptest::{prelude::*, sample::Index};

use super::{super::put_together, *};
use crate::{difference::matching::lists, testing::demo_values};

static DEMO: LazyLock<Vec<Value>> =
    LazyLock::new(|| demo_values().into_iter().map(|(_, value)| value).collect());

/// One random edit. The indices choose its place, whatever the profile.
#[derive(Clone, Debug)]
struct Edit {
    kind: Kind,
    place: Index,
    other: Index,
    /// What is new in words, ids and numbers. There are few, so that two people also do the same or give one id to two things.
    mark: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    Number,
    Words,
    RemoveElement,
    RemoveField,
    Move,
    Copy,
    Rename,
}

fn edits(most: usize) -> impl Strategy<Value = Vec<Edit>> {
    let kind = prop_oneof![
        3 => Just(Kind::Number),
        3 => Just(Kind::Words),
        2 => Just(Kind::RemoveElement),
        1 => Just(Kind::RemoveField),
        2 => Just(Kind::Move),
        2 => Just(Kind::Copy),
        2 => Just(Kind::Rename),
    ];
    let edit = (kind, any::<Index>(), any::<Index>(), 0..10_u32);
    let edit = edit.prop_map(|(kind, place, other, mark)| Edit {
        kind,
        place,
        other,
        mark,
    });
    prop::collection::vec(edit, 1..=most)
}

/// A profile after those of the edits with which it still reads. They are all in the element at one place, or on it in the
/// lists around it, so that two people's edits meet.
fn after(base: &Value, near: &str, edits: &[Edit]) -> Value {
    let mut value = base.clone();
    for edit in edits {
        let mut next = value.clone();
        apply(&mut next, near, edit);
        if let Ok(profile) = from_value::<Profile>(&next) {
            value = to_value(&profile);
        }
    }
    value
}

fn apply(profile: &mut Value, near: &str, edit: &Edit) {
    let fits: fn(&str, &Value) -> bool = match edit.kind {
        Kind::Number => |_, value| value.is_number(),
        Kind::Words => |place, value| value.is_string() && is_words(place),
        Kind::RemoveElement | Kind::Copy => |_, value| is_long(value, 1),
        Kind::RemoveField => |_, value| value.as_object().is_some_and(|o| o.len() > 1),
        Kind::Move => |_, value| is_long(value, 2),
        Kind::Rename => |place, value| value.is_string() && place.ends_with("/id"),
    };
    let mut places = places(profile, fits);
    places.retain(|place| is_within(place, near) || is_within(near, place));
    if places.is_empty() {
        return;
    }
    let place = edit.place.get(&places).clone();
    let new = format!("new-{}", edit.mark);
    if edit.kind == Kind::Rename {
        let old = profile.pointer(&place).unwrap().clone();
        return replace_everywhere(profile, &old, &json!(new));
    }
    let part = profile.pointer_mut(&place).unwrap();
    let length = part.as_array().map_or(0, Vec::len);
    // In the lists around it half of the edits are about the element itself.
    let rest = near.strip_prefix(&format!("{place}/")).unwrap_or_default();
    let named = rest.split('/').next().unwrap_or_default().parse();
    let at = match named {
        Ok(at) if edit.mark.is_multiple_of(2) && at < length => at,
        _ => edit.other.index(length.max(1)),
    };
    if let Some(gone) = change(part, at, edit, &new) {
        forget(profile, &gone);
    }
}

/// Does an edit, and gives the id of the element that it removed.
fn change(part: &mut Value, at: usize, edit: &Edit, new: &str) -> Option<Value> {
    match (edit.kind, part) {
        (Kind::Number, part) => {
            let more = i64::from(edit.mark % 50 + 1);
            *part = match part.as_i64() {
                Some(number) => json!(number + more),
                None => json!(part.as_f64().unwrap() + f64::from(edit.mark % 50 + 1)),
            };
        }
        (Kind::Words, part) => *part = json!(format!("{} {new}", part.as_str().unwrap())),
        (Kind::RemoveField, Value::Object(fields)) => {
            let names: Vec<String> = fields.keys().cloned().collect();
            fields.remove(edit.other.get(&names));
        }
        (kind, Value::Array(items)) => match kind {
            Kind::RemoveElement => return items.remove(at).get("id").cloned(),
            Kind::Move => items.rotate_left(at),
            _ => {
                let mut copy = items[at].clone();
                if let Some(id) = copy.get_mut("id") {
                    *id = json!(new);
                }
                items.insert(at, copy);
            }
        },
        _ => {}
    }
    None
}

/// Takes every mention of an id away.
fn forget(value: &mut Value, id: &Value) {
    match value {
        Value::Object(fields) => {
            for inner in fields.values_mut() {
                forget(inner, id);
            }
            fields.retain(|_, inner| inner != id && *inner != json!([]));
        }
        Value::Array(items) => {
            for inner in items.iter_mut() {
                forget(inner, id);
            }
            items.retain(|inner| inner != id);
        }
        _ => {}
    }
}

fn is_within(place: &str, outer: &str) -> bool {
    let rest = place.strip_prefix(outer);
    rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

fn is_words(place: &str) -> bool {
    place.ends_with("/en") || place.ends_with("/es")
}

fn is_long(value: &Value, least: usize) -> bool {
    value.as_array().is_some_and(|items| items.len() >= least)
}

fn replace_everywhere(value: &mut Value, old: &Value, new: &Value) {
    match value {
        Value::Object(fields) => {
            for inner in fields.values_mut() {
                replace_everywhere(inner, old, new);
            }
        }
        Value::Array(items) => {
            for inner in items {
                replace_everywhere(inner, old, new);
            }
        }
        value if value == old => *value = new.clone(),
        _ => {}
    }
}

/// The JSON pointers of parts that fit.
fn places(profile: &Value, fits: fn(&str, &Value) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    visit(profile, &mut String::new(), &mut |place, value| {
        if fits(place, value) {
            found.push(place.to_owned());
        }
    });
    found
}

fn visit(value: &Value, place: &mut String, look: &mut impl FnMut(&str, &Value)) {
    look(place, value);
    let length = place.len();
    let inner: Vec<(String, &Value)> = match value {
        Value::Object(fields) => fields.iter().map(|(name, v)| (name.clone(), v)).collect(),
        Value::Array(items) => {
            let counted = items.iter().enumerate();
            counted.map(|(i, v)| (i.to_string(), v)).collect()
        }
        _ => Vec::new(),
    };
    for (segment, inner) in inner {
        crate::part::push(place, &segment);
        visit(inner, place, look);
        place.truncate(length);
    }
}

/// Every text that stands anywhere in a value.
fn texts(value: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    visit(value, &mut String::new(), &mut |_, value| {
        found.extend(value.as_str().map(str::to_owned));
    });
    found
}

/// The ids of a list's elements.
fn ids(profile: &Value, list: &str) -> BTreeSet<String> {
    let items = profile.pointer(list).and_then(Value::as_array);
    let ids = items.into_iter().flatten().filter_map(|i| i["id"].as_str());
    ids.map(str::to_owned).collect()
}

/// What of one side is neither in the result nor in its conflicts although the other side did not remove it.
fn lost(base: &Value, side: &Value, other: &Value, result: &Value) -> Vec<String> {
    let kept = texts(&result["conflicts"]);
    let is_kept = |id: &String| {
        let segment = format!("/{id}");
        kept.contains(id) || kept.iter().any(|text| text.contains(&segment))
    };
    let mut lost = Vec::new();
    for (_, list) in lists() {
        let (before, theirs, now) = (ids(base, list), ids(other, list), ids(result, list));
        let removed = |id: &&String| before.contains(*id) && !theirs.contains(*id);
        let side = ids(side, list);
        let missing = side.iter().filter(|id| !removed(id) && !now.contains(*id));
        lost.extend(
            missing
                .filter(|id| !is_kept(id))
                .map(|id| format!("{list}/{id}")),
        );
    }
    let (before, now) = (texts(base), texts(result));
    let new = texts(side)
        .into_iter()
        .filter(|text| !before.contains(text));
    lost.extend(new.filter(|text| !now.contains(text)));
    lost
}

/// Makes one choice for every conflict, in the order in which it can be done; the reason why not where it cannot.
fn choose_all(merged: &Profile, choice: Choice) -> Result<Profile, String> {
    let mut profile = merged.clone();
    while !profile.conflicts.is_empty() {
        let all = 0..profile.conflicts.len();
        let mut tried: Vec<_> = all.map(|i| resolve(&profile, i, choice)).collect();
        let done = tried.iter().position(Result::is_ok);
        match tried.swap_remove(done.unwrap_or_default()) {
            Ok(next) => profile = next,
            Err(why) => return Err(why.to_string()),
        }
    }
    Ok(profile)
}

/// A demo profile and the place of an element in it that has an id.
fn which() -> impl Strategy<Value = (Value, String)> {
    (0..DEMO.len(), any::<Index>()).prop_map(|(index, element)| {
        let base = DEMO[index].clone();
        let ids = places(&base, |place, _| place.ends_with("/id"));
        let id = element.get(&ids[1..]);
        let near = id.strip_suffix("/id").unwrap().to_owned();
        (base, near)
    })
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(config(60))]

    #[test]
    fn what_one_side_changed_or_both_changed_alike_is_the_result((base, near) in which(), edits in edits(8)) {
        let changed = read(&after(&base, &near, &edits));
        let base = read(&base);
        for (ours, theirs) in [(&changed, &base), (&base, &changed), (&changed, &changed)] {
            // The long way gives what the short cuts give.
            for merged in [merge(&base, ours, theirs), put_together(&base, ours, theirs)] {
                prop_assert_eq!(&merged.conflicts, &vec![]);
                prop_assert_eq!(to_value(&merged.profile), to_value(&changed));
            }
        }
    }

    #[test]
    fn the_result_reads_loses_nothing_and_does_not_depend_on_which_side_is_which(
        (base, near) in which(), ours in edits(8), theirs in edits(8),
    ) {
        let (ours, theirs) = (after(&base, &near, &ours), after(&base, &near, &theirs));
        let three = (read(&base), read(&ours), read(&theirs));
        let merged = merge(&three.0, &three.1, &three.2);
        let swapped = merge(&three.0, &three.2, &three.1);
        let mut relabelled = swapped.profile;
        for conflict in &mut relabelled.conflicts {
            std::mem::swap(&mut conflict.ours, &mut conflict.theirs);
        }
        prop_assert_eq!(&merged.profile, &relabelled);
        let ron = read_text::<Profile>("merged.ron", to_ron(&merged.profile).as_bytes(), Notation::Ron);
        prop_assert_eq!(&ron.unwrap(), &merged.profile);
        let json = read_text::<Profile>("merged.json", &to_canonical(&merged.profile), Notation::Json);
        prop_assert_eq!(&json.unwrap(), &merged.profile);
        let result = to_value(&merged.profile);
        prop_assert_eq!(lost(&base, &ours, &theirs, &result), Vec::<String>::new(), "of ours");
        prop_assert_eq!(lost(&base, &theirs, &ours, &result), Vec::<String>::new(), "of theirs");
    }

    #[test]
    fn where_all_was_changed_in_two_ways_one_choice_for_all_gives_that_version(
        (base, near) in which(), mut edits in edits(6),
    ) {
        edits.retain(|edit| matches!(edit.kind, Kind::Number | Kind::Words));
        let (mut ours, mut theirs) = (base.clone(), base.clone());
        for edit in &edits {
            let mut more = edit.clone();
            more.mark = edit.mark + 20;
            let next = [(&ours, edit), (&theirs, &more)].map(|(side, edit)| after(side, &near, std::slice::from_ref(edit)));
            // Where one side's edit does not read, neither is done.
            if next[0] != ours && next[1] != theirs {
                [ours, theirs] = next;
            }
        }
        let merged = merge(&read(&base), &read(&ours), &read(&theirs)).profile;
        prop_assert_eq!(merged.conflicts.is_empty(), ours == base);
        for (choice, expected) in [(Choice::Base, &base), (Choice::Ours, &ours), (Choice::Theirs, &theirs), (Choice::Standing, &base)] {
            let chosen = choose_all(&merged, choice).unwrap();
            prop_assert_eq!(&to_value(&chosen), expected);
        }
    }
}

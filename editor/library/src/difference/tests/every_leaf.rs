//! Every leaf and every element of every list of the model is changed, one at a time: each change must be told exactly once,
//! at its place, with the row of its field and the grade that the table demands. What is demanded is worked out from the
//! annotated schema and the table, not from the walk that is tested.

use std::{
    collections::{BTreeMap, BTreeSet},
    thread,
};

use super::*;
mod cases;
mod edits;
mod model;
mod rewrites;
mod together;

use cases::{Case, Edit, Event, Told};
use edits::Edited;
use model::Part;
use rewrites::{Digits, in_other_order, in_other_units};

/// The profiles of the demo library that a release could be made of.
fn demo() -> Vec<Value> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let names = [
        "brackwater-tolliver-crew",
        "ondrey-skarrow",
        "sorrelby-tindle",
        "gantwell-ostler",
    ];
    let read = |name: &&str| {
        to_value(&read_file::<Profile>(&folder.join(format!("{name}.profile.ron"))).unwrap())
    };
    names.iter().map(read).collect()
}

/// What a change is, as far as a case says it.
type Seen = (ChangeKind, String, Grade, Option<String>, Option<String>);

fn seen(change: &Change) -> Seen {
    (
        change.kind,
        change.row.clone(),
        change.grade,
        change.before_place.clone(),
        change.after_place.clone(),
    )
}

fn demanded(told: &Told) -> Seen {
    let grade = told.event.grade(told.row).milder(told.worst);
    (
        told.event.kind(),
        told.row.name(),
        grade,
        told.before.clone(),
        told.after.clone(),
    )
}

/// The same change seen from the newer profile, but for its grade.
fn turned(seen: &Seen) -> (ChangeKind, String, Option<String>, Option<String>) {
    let kind = match seen.0 {
        ChangeKind::Added => ChangeKind::Removed,
        ChangeKind::Removed => ChangeKind::Added,
        other => other,
    };
    (kind, seen.1.clone(), seen.4.clone(), seen.3.clone())
}

/// Of two neighbours that changed places either may be told as the one that moved.
fn as_moved(mut seen: Seen) -> Seen {
    if seen.0 == ChangeKind::Moved && seen.3 > seen.4 {
        std::mem::swap(&mut seen.3, &mut seen.4);
    }
    seen
}

fn sorted<T: Ord>(mut items: Vec<T>) -> Vec<T> {
    items.sort();
    items
}

/// What is wrong with what the difference tells of a case, there and back.
fn wrong(before: &Value, after: &Value, case: &Case) -> Option<String> {
    let seen_between = |a, b| -> Vec<Seen> { of_values(a, b).changes.iter().map(seen).collect() };
    let in_order = |seen: Vec<Seen>| sorted(seen.into_iter().map(as_moved).collect::<Vec<_>>());
    let there = seen_between(before, after);
    let demanded_there = in_order(case.told.iter().map(demanded).collect());
    if in_order(there.clone()) != demanded_there {
        return Some(format!(
            "{:?}\n told {there:?}\n not {demanded_there:?}",
            case.edit
        ));
    }
    let back = seen_between(after, before);
    let turned_told = case
        .told
        .iter()
        .map(|told| told.back(weaker_back(before, after, told)));
    let demanded_back = in_order(turned_told.map(|told| demanded(&told)).collect());
    if in_order(back.clone()) != demanded_back {
        return Some(format!(
            "back from {:?}\n told {back:?}\n not {demanded_back:?}",
            case.edit
        ));
    }
    let ungraded = |s: &Seen| (s.0, s.1.clone(), s.3.clone(), s.4.clone());
    let mirrors =
        sorted(there.iter().map(turned).collect()) == sorted(back.iter().map(ungraded).collect());
    (!mirrors).then(|| format!("{:?} is no mirror:\n {there:?}\n {back:?}", case.edit))
}

/// Whether the way back is to a weaker source, which the way there does not tell.
fn weaker_back(before: &Value, after: &Value, told: &Told) -> Option<Event> {
    if !matches!(told.event, Event::Weaker | Event::NoWeaker) {
        return None;
    }
    let kind = |profile: &Value| {
        let named = profile.pointer(told.before.as_deref()?)?.as_str()?;
        let sources = profile["sources"].as_array()?;
        let source = sources.iter().find(|s| s["id"] == named);
        Some(
            source
                .map_or(named, |s| s["kind"].as_str().unwrap())
                .to_owned(),
        )
    };
    let [old, new] = [before, after].map(|p| cases::strength(&kind(p).unwrap()));
    Some(if old < new {
        Event::Weaker
    } else {
        Event::NoWeaker
    })
}

#[test]
fn every_edit_of_a_profile_that_says_everything_is_told_once_at_its_place_and_graded_by_the_table()
{
    let everything = model::everything();
    let profile: Profile = from_value(&everything).unwrap_or_else(|faults| panic!("{faults:#?}"));
    assert_eq!(
        to_value(&profile),
        everything,
        "it is written as the program writes it"
    );
    let mut touched: BTreeSet<(&str, &str)> = BTreeSet::new();
    let mut faults = Vec::new();
    let mut edited = Edited::of(&everything);
    let cases = cases::all(&everything);
    for case in &cases {
        edited.with(&case.edit, |after| {
            faults.extend(wrong(&everything, after, case));
            if case.reads
                && let Err(unread) = from_value::<Profile>(after)
            {
                faults.push(format!("{:?} does not read: {unread:?}", case.edit));
            }
        });
        touched.extend(case.touches.iter().copied());
        touched.extend(case.told.iter().map(|told| (told.row.part, told.row.field)));
    }
    assert!(
        faults.is_empty(),
        "{} of {}:\n{}",
        faults.len(),
        cases.len(),
        faults.join("\n")
    );
    // A struct that is always there is never told as a whole: its fields are.
    let always: BTreeSet<(&str, &str)> = [
        "identity",
        "dimensions",
        "mass",
        "energy",
        "emergency",
        "transport",
    ]
    .map(|field| ("Profile", field))
    .into();
    let rows = table::ROWS.iter().map(|row| (row.part, row.field));
    let untouched: BTreeSet<_> = rows.filter(|row| !touched.contains(row)).collect();
    assert_eq!(
        untouched, always,
        "these rows are reached by no edit, or should not be"
    );
    assert!(cases.len() > 3000, "{}", cases.len());
}

/// So many edits of each kind of event in each field of a demo profile are tried: one that walks them all takes minutes.
const OF_EACH: usize = 2;

/// The edits of a profile, a few for each field and event, spread over all its places.
fn spread(profile: &Value) -> Vec<Case> {
    let mut groups: BTreeMap<_, Vec<Case>> = BTreeMap::new();
    for case in cases::all(profile) {
        let events: Vec<_> = case
            .told
            .iter()
            .map(|told| (told.row.name(), told.event))
            .collect();
        groups
            .entry((case.touches.clone(), events))
            .or_default()
            .push(case);
    }
    let few = |group: Vec<Case>| {
        let step = group.len().div_ceil(OF_EACH);
        group.into_iter().step_by(step)
    };
    groups.into_values().flat_map(few).collect()
}

#[test]
fn edits_all_over_the_demo_profiles_are_told_once_at_their_places_and_graded_by_the_table() {
    let profiles = demo();
    let try_all = |profile: &Value| -> (usize, Vec<String>) {
        let mut edited = Edited::of(profile);
        let mut faults = Vec::new();
        let cases = spread(profile);
        for case in &cases {
            edited.with(&case.edit, |after| {
                faults.extend(wrong(profile, after, case));
            });
        }
        (cases.len(), faults)
    };
    let tried: Vec<_> = thread::scope(|scope| {
        let running: Vec<_> = profiles
            .iter()
            .map(|profile| scope.spawn(|| try_all(profile)))
            .collect();
        running
            .into_iter()
            .map(|thread| thread.join().unwrap())
            .collect()
    });
    let faults: Vec<String> = tried
        .iter()
        .flat_map(|(_, faults)| faults.clone())
        .collect();
    assert!(
        faults.is_empty(),
        "{}:\n{}",
        faults.len(),
        faults.join("\n")
    );
    assert!(
        tried.iter().all(|(count, _)| *count > 800),
        "{:?}",
        tried.iter().map(|t| t.0).collect::<Vec<_>>()
    );
}

#[test]
fn any_other_unit_and_any_other_order_of_what_is_not_in_order_is_no_change() {
    let mut profiles = demo();
    profiles.push(model::everything());
    for before in &profiles {
        for (turn, digits) in (0..8).flat_map(|turn| [(turn, Digits::All), (turn, Digits::Few)]) {
            let mut after = before.clone();
            in_other_units(Part::profile(), &mut after, turn, digits);
            in_other_order(Part::profile(), &mut after);
            assert!(after != *before);
            let changes = of_values(before, &after).changes;
            assert!(changes.is_empty(), "{turn} {digits:?}: {changes:#?}");
        }
    }
}

//! The planner's answers for the demo vehicles against what a trainer of crews would say.
//!
//! The expectations are common practice, no source; some were set down after the planner's first answers had been looked at.
//! Where two things may be done in either order, the order is left to the planner; that its order can be done at all is
//! tested by doing it.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

mod exact;
mod others;
mod pickup;
mod replay;
mod rules;

use std::path::Path;

use chockstone_schema::{
    Profile,
    report::{Goal, MissingFact, PlanAnswer, PlanCell, PlanChoices, PlanRow, Way},
};

use super::{Planner, Start, situations};

const PICKUP: &str = "brackwater-tolliver-crew";
const VAN: &str = "gantwell-ostler";
const SEDAN: &str = "ondrey-skarrow";
const HATCH: &str = "sorrelby-tindle";
const DEMOS: [&str; 4] = [PICKUP, VAN, SEDAN, HATCH];

fn demo(name: &str) -> Profile {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    chockstone_schema::read::read_file(&root.join(format!("{name}.profile.ron"))).unwrap()
}

/// A planner for one variant; the first when none is named.
fn planner<'p>(profile: &'p Profile, variant: Option<&str>) -> Planner<'p> {
    let first = profile.variants.first().map(|v| v.id.as_str());
    Planner::new(profile, variant.or(first), PlanChoices::default()).unwrap()
}

fn named(id: &str) -> Start {
    Start::named(situations().iter().find(|s| s.id == id).unwrap())
}

fn row(profile: &Profile, variant: Option<&str>, situation: &str, goals: &[Goal]) -> PlanRow {
    planner(profile, variant).row(&named(situation), goals)
}

fn cell(profile: &Profile, situation: &str, goal: Goal) -> PlanCell {
    row(profile, None, situation, &[goal]).cells.remove(0)
}

/// The procedures and general acts of a way, in the order of the alphabet.
fn parts(way: Option<&Way>) -> Vec<&str> {
    let parts = way.map(|w| w.parts.as_slice()).unwrap_or_default();
    let done = parts.iter().filter(|p| !p.steps.is_empty());
    sorted(done.map(|p| p.id.as_str()))
}

/// The missing facts: “+” where one must hold, “-” where it must be over.
fn facts(missing: &[MissingFact]) -> Vec<String> {
    let signed = missing.iter().map(|m| {
        let sign = if m.must_hold { '+' } else { '-' };
        format!("{sign}{}", m.condition)
    });
    sorted(signed)
}

fn sorted<T: Ord>(items: impl Iterator<Item = T>) -> Vec<T> {
    let mut items: Vec<T> = items.collect();
    items.sort();
    items
}

/// Asserts that a cell says what is expected: “holds”, or the parts of the way, with the facts that it counts on.
fn expect(cell: &PlanCell, where_: &str, expected: &str) {
    let words: Vec<&str> = expected.split_whitespace().collect();
    let is_fact = |w: &&&str| w.starts_with(['+', '-']);
    let missing = sorted(words.iter().filter(is_fact).map(|w| (*w).to_owned()));
    let done = sorted(words.iter().filter(|w| !is_fact(w)).copied());
    let answer = match (expected, missing.is_empty()) {
        ("holds", _) => PlanAnswer::Holds,
        (_, true) => PlanAnswer::Way,
        (_, false) => PlanAnswer::WayIf,
    };
    let wanted = if expected == "holds" { vec![] } else { done };
    let found = (cell.answer, parts(cell.way.as_ref()), facts(&cell.missing));
    assert_eq!(
        found,
        (answer, wanted, missing),
        "{where_}: {:?}",
        cell.goal
    );
}

//! The least-cost way from any start to one goal, by exact search.
//!
//! Before the search everything is left out that cannot matter from this start (see [`super::choose`]). Then ways are
//! searched by the number of facts that they count on, the fewest first, of as many facts those that a crew can bring
//! first: in the order of their cost, so the first way that is found is the best. A number of facts with which the goal
//! is out of reach even if nothing ever ended is passed over.

use std::{cell::RefCell, sync::Mutex};

use chockstone_schema::report::Least;
use rustc_hash::FxHashMap;

use super::{
    actions::Action,
    budget::Budget,
    choose::{Chosen, choose},
    cost::Cost,
    distance::{Facts, Guide},
    engine::{Allowance, Engine, Refusals},
    goals::GoalCode,
    reasons::why_not,
    state::{Set, State, bits},
    world::World,
};

pub(crate) use super::engine::Found;

/// One goal, asked for from many starts.
#[derive(Debug)]
pub(crate) struct Search<'a, 'p> {
    world: &'a World<'p>,
    goal: GoalCode,
    all: &'a [Action<'p>],
    costs: Vec<Cost>,
    /// What was already answered, by what matters of the start.
    answered: Mutex<FxHashMap<State, Answer>>,
}

/// What a search answers.
#[derive(Clone, Debug, Default)]
pub(crate) struct Answer {
    /// The least-cost way; none when there is no way, or when it was given up.
    pub(crate) found: Option<Found>,
    /// Whether it would have taken too much work: then there may be a way or none.
    pub(crate) given_up: bool,
    /// Why there is no way without facts, when there is none.
    pub(crate) reasons: Vec<String>,
}

/// The most answers that are kept; more than any table has, and few enough for a window that stays open for days.
const MOST_KEPT: usize = 1024;

/// How many facts more than those without which nothing works are tried number by number, before any number at once.
const MORE_FACTS: u32 = 3;

/// The most sets of facts that are listed for one number of them.
const MOST_LISTED: usize = 4;

impl<'a, 'p> Search<'a, 'p> {
    pub(crate) fn new(
        world: &'a World<'p>,
        all: &'a [Action<'p>],
        goal: GoalCode,
        least: Least,
    ) -> Self {
        Self {
            world,
            goal,
            all,
            costs: all.iter().map(|action| Cost::of(action, least)).collect(),
            answered: Mutex::default(),
        }
    }

    /// The least-cost way from a start, as the actions in order, or why there is none.
    ///
    /// Starts that differ only in what does not matter share their answer: what is chosen for a start follows from what
    /// matters of it alone.
    pub(crate) fn answer(&self, start: &State) -> Answer {
        self.answer_by(start, &choose(self.world, self.all, &self.goal, start))
    }

    /// The same with nothing left out.
    pub(crate) fn answer_in_full(&self, start: &State) -> Answer {
        self.answer_by(start, &Chosen::everything(self.world, self.all, start))
    }

    fn answer_by(&self, start: &State, chosen: &Chosen) -> Answer {
        let costed = self.all.iter().enumerate().zip(&self.costs);
        let usable = costed
            .zip(&chosen.actions)
            .filter(|(_, chosen)| **chosen)
            .map(|(((i, action), cost), _)| (i, action, *cost))
            .collect();
        let budget = Budget::new();
        let engine = Engine {
            world: self.world,
            goal: self.goal,
            usable,
            matters: chosen.matters,
            owes: self.goal.settled || chosen.matters == Set::MAX,
            broken: chosen.broken,
            budget: &budget,
        };
        let first = engine.project(start.clone());
        if let Some(known) = self.known(&first) {
            return known;
        }
        let answer = answer(&engine, &first);
        if let Ok(mut known) = self.answered.lock() {
            if known.len() >= MOST_KEPT {
                known.clear();
            }
            known.insert(first, answer.clone());
        }
        answer
    }

    fn known(&self, first: &State) -> Option<Answer> {
        self.answered.lock().ok()?.get(first).cloned()
    }
}

fn answer(engine: &Engine<'_, '_, '_>, first: &State) -> Answer {
    if engine.reached(first) {
        return Answer {
            found: Some(Found::new()),
            ..Answer::default()
        };
    }
    let refusals = RefCell::default();
    let found = least_cost(engine, first, &refusals);
    let given_up = found.is_none() && engine.budget.is_spent();
    let counts_on = |i: &usize| {
        let mut usable = engine.usable.iter();
        usable.any(|(place, action, _)| place == i && action.is_fact())
    };
    let reasons = if !given_up && found.as_ref().is_none_or(|way| way.iter().any(counts_on)) {
        why_not(engine, first, &refusals.into_inner())
    } else {
        Vec::new()
    };
    Answer {
        found,
        given_up,
        reasons,
    }
}

/// Searches number of facts by number of facts, then with any number of them.
fn least_cost(
    engine: &Engine<'_, '_, '_>,
    first: &State,
    refusals: &RefCell<Refusals>,
) -> Option<Found> {
    let guide = engine.guide();
    let all = guide.brought | guide.over;
    if !guide.is_open(first, all) {
        return None;
    }
    // Without one of these the goal is out of reach whatever else there is.
    let needed = bits(all)
        .map(|i| 1 << i)
        .filter(|fact| !guide.is_open(first, all & !fact))
        .fold(0, |set, fact| set | fact);
    let (brought, over) = (
        (needed & guide.brought).count_ones(),
        (needed & guide.over).count_ones(),
    );
    for more in 0..=MORE_FACTS {
        for more_over in 0..=more {
            let left = Allowance {
                brought: brought + more - more_over,
                over: over + more_over,
            };
            let sets = sets(engine, &guide, first, needed, left);
            if engine.budget.is_spent() {
                return None;
            }
            if sets.is_empty() {
                continue;
            }
            let told = (left.brought + left.over == 0).then_some(refusals);
            let way = engine.with_facts(&guide, first, (left, &sets), told);
            if let Some((found, _)) = way {
                return Some(found);
            }
            if engine.budget.is_spent() || all == 0 {
                return None;
            }
        }
    }
    engine.with_any_facts(&guide, first).map(|(found, _)| found)
}

/// The sets of so many facts with which the goal may be reached; all facts in one set where there are many such sets.
fn sets(
    engine: &Engine<'_, '_, '_>,
    guide: &Guide,
    first: &State,
    needed: Facts,
    left: Allowance,
) -> Vec<Facts> {
    let parts = |of: Facts, number: u32| {
        let (needed, rest) = (needed & of, of & !needed);
        // With fewer facts than are allowed all of them may be used, and one of them more than once.
        let number = number.min(of.count_ones()) - needed.count_ones();
        subsets(rest, number).map(move |set| set | needed)
    };
    let mut found = Vec::new();
    for brought in parts(guide.brought, left.brought) {
        for over in parts(guide.over, left.over) {
            if !engine.budget.spend() {
                return Vec::new();
            }
            if guide.is_open(first, brought | over) {
                found.push(brought | over);
                if found.len() > MOST_LISTED {
                    return vec![guide.brought | guide.over];
                }
            }
        }
    }
    found
}

/// Every set of so many of these facts.
fn subsets(of: Facts, number: u32) -> Box<dyn Iterator<Item = Facts>> {
    if number == 0 {
        return Box::new(std::iter::once(0));
    }
    Box::new(bits(of).flat_map(move |i| {
        let fact = 1 << i;
        let later = of & !(fact | (fact - 1));
        subsets(later, number - 1).map(move |set| set | fact)
    }))
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::*;

    #[test]
    fn every_set_of_a_number_of_facts_comes_once() {
        let two: Vec<Facts> = subsets(0b1011, 2).collect();
        assert_eq!(two, [0b11, 0b1001, 0b1010]);
        assert_eq!(subsets(0b1011, 0).collect::<Vec<_>>(), [0]);
        assert_eq!(subsets(0b1, 2).count(), 0);
    }
}

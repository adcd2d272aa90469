//! The least-cost way by exact search: A* over states, by the `pathfinding` library.
//!
//! Before the search everything is left out that cannot matter to the goal: actions none of whose effects any goal, rule
//! or action that matters asks for, and conditions that nothing that matters reads. What is left out can only add cost.

use std::{cell::RefCell, ops::Add, sync::Mutex};

use chockstone_schema::report::{HazardCount, Least};
use pathfinding::{num_traits::Zero, prelude::astar};
use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::{
    actions::{Action, Ignored, Origin},
    distance::{Reach, least_cost},
    execute::breaks,
    goals::GoalCode,
    reasons::why_not,
    state::{Set, State},
    world::{JudgedCode, RuleCode, World},
};

/// What a way costs: facts first, and of as many those that a crew can bring rather than those that others must judge;
/// then what was asked to be least, then the other, then the number of actions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cost {
    pub(crate) facts: u32,
    /// The facts among them that something is over.
    pub(crate) over: u32,
    pub(crate) first: u64,
    pub(crate) second: u64,
    pub(crate) actions: u32,
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            facts: self.facts + other.facts,
            over: self.over + other.over,
            first: self.first + other.first,
            second: self.second + other.second,
            actions: self.actions + other.actions,
        }
    }
}

impl Zero for Cost {
    fn zero() -> Self {
        Self::default()
    }
    fn is_zero(&self) -> bool {
        *self == Self::default()
    }
}

/// Dangers, then warnings, then cautions, in one number that adds up: at most a million of each.
fn packed(hazards: HazardCount) -> u64 {
    let [danger, warning, caution] =
        [hazards.danger, hazards.warning, hazards.caution].map(|n| n as u64);
    danger << 40 | warning << 20 | caution
}

fn cost(action: &Action<'_>, least: Least) -> Cost {
    let (time, hazards) = (action.time, packed(action.hazards));
    let (first, second) = match least {
        Least::Time => (time, hazards),
        Least::Hazard => (hazards, time),
    };
    Cost {
        facts: u32::from(action.is_fact()),
        over: u32::from(matches!(
            action.origin,
            Origin::Fact {
                must_hold: false,
                ..
            }
        )),
        first,
        second,
        actions: 1,
    }
}

/// One goal with what matters to it.
#[derive(Debug)]
pub(crate) struct Search<'a, 'p> {
    pub(crate) world: &'a World<'p>,
    pub(crate) goal: GoalCode,
    /// The actions that matter, by their place among all, with their cost.
    actions: Vec<Costed<'a, 'p>>,
    /// The conditions that matter.
    matters: Set,
    /// Whether debts matter.
    owes: bool,
    least: Least,
    all: &'a [Action<'p>],
    /// What was already answered, by what matters of the start.
    answered: Mutex<FxHashMap<State, Answer>>,
}

/// What a search answers.
#[derive(Clone, Debug)]
pub(crate) struct Answer {
    /// The least-cost way; none when there is no way.
    pub(crate) found: Option<Found>,
    /// Why there is none without facts, when there is none.
    pub(crate) reasons: Vec<String>,
}

/// An action that matters: its place among all, itself, and its cost.
type Costed<'a, 'p> = (usize, &'a Action<'p>, Cost);

/// The most facts that are tried by the sets that could do, before any number is tried at once.
const MOST_FACTS: usize = 3;

/// Every set of so many of the items.
fn subsets(items: &[usize], size: usize) -> Vec<Vec<usize>> {
    if size == 0 {
        return vec![Vec::new()];
    }
    let mut found = Vec::new();
    for (i, item) in items.iter().enumerate() {
        let rest = items.get(i + 1..).unwrap_or_default();
        for mut set in subsets(rest, size - 1) {
            set.push(*item);
            found.push(set);
        }
    }
    found
}

/// The actions of a way, by their place among all.
pub(crate) type Found = Vec<usize>;

impl<'a, 'p> Search<'a, 'p> {
    pub(crate) fn new(
        world: &'a World<'p>,
        all: &'a [Action<'p>],
        goal: GoalCode,
        least: Least,
    ) -> Self {
        let mut search = Self {
            world,
            goal,
            actions: Vec::new(),
            matters: 0,
            owes: goal.settled,
            least,
            all,
            answered: Mutex::default(),
        };
        search.choose();
        search
    }

    /// Chooses the actions and conditions that matter, from the goal backwards until nothing is added.
    fn choose(&mut self) {
        let mut wanted = self.goal.all | self.goal.any;
        let mut unwanted = self.goal.none;
        let mut chosen = vec![false; self.all.len()];
        loop {
            let before = (wanted, unwanted, chosen.clone());
            wanted |= self.dependencies(wanted);
            for bit in &self.world.timed {
                // Who ends a timed condition keeps what it lapses to from becoming doubtful.
                if self.world.nature(*bit).lapses_to & (wanted | unwanted) != 0 {
                    unwanted |= 1 << bit;
                }
            }
            for (mark, action) in chosen.iter_mut().zip(self.all) {
                let helps = action.adds & wanted != 0
                    || action.ends & unwanted != 0
                    || self.owes && action.settles != 0;
                if helps && !*mark {
                    *mark = true;
                    wanted |= action.reads_held;
                    unwanted |= action.reads_ended;
                }
            }
            let (adds, ends) = self.effects(&chosen);
            for rule in self.always() {
                // A rule can come to be broken only by what adds to its conditions or ends what makes it safe.
                if rule.while_holding & adds != 0 || rule.unless_any & ends != 0 {
                    wanted |= rule.unless_any;
                    unwanted |= rule.while_holding;
                }
            }
            if before == (wanted, unwanted, chosen.clone()) {
                break;
            }
        }
        let judged = self
            .always()
            .fold(0, |set, rule| set | rule.while_holding | rule.unless_any);
        self.matters = wanted | unwanted | self.dependencies(unwanted) | judged;
        self.matters |= self.dependencies(judged);
        let marked = self.all.iter().enumerate().zip(chosen);
        self.actions = marked
            .filter(|(_, mark)| *mark)
            .map(|((i, action), _)| (i, action, cost(action, self.least)))
            .collect();
    }

    fn always(&self) -> impl Iterator<Item = &RuleCode> {
        let rules = self.world.rules.iter();
        rules.filter(|rule| matches!(rule.judged, JudgedCode::Always))
    }

    fn dependencies(&self, of: Set) -> Set {
        let known = self.world.dependent.iter();
        known
            .filter(|(condition, _)| condition & of != 0)
            .fold(0, |set, (_, needs)| set | needs)
    }

    /// Everything that the chosen actions may bring about, or end, by themselves or by what runs out or depends on it.
    fn effects(&self, chosen: &[bool]) -> (Set, Set) {
        let (mut adds, mut ends) = (0, 0);
        for (action, _) in self.all.iter().zip(chosen).filter(|(_, mark)| **mark) {
            adds |= action.adds;
            ends |= action.ends;
        }
        let brought = adds;
        let timed = self.world.timed.iter();
        for bit in timed.filter(|bit| brought >> **bit & 1 == 1) {
            let doubtful = 1 << bit | self.world.nature(*bit).lapses_to;
            adds |= doubtful;
            ends |= doubtful;
        }
        for (condition, needs) in &self.world.dependent {
            if needs & ends != 0 {
                ends |= condition;
            }
        }
        (adds, ends)
    }

    /// The least-cost way from a start, as the actions in order, or why there is none.
    pub(crate) fn answer(&self, start: &State) -> Answer {
        // A start that breaks a rule must first be mended, by any action.
        if self.always().any(|rule| breaks(rule, start)) && self.matters != Set::MAX {
            return self.without_leaving_out().answer(start);
        }
        let first = self.project(start.clone());
        let known = self
            .answered
            .lock()
            .ok()
            .and_then(|known| known.get(&first).cloned());
        if let Some(known) = known {
            return known;
        }
        let found = self.with_fewest_facts(&first);
        let counts_on = |i: &usize| self.all.get(*i).is_some_and(Action::is_fact);
        let reasons = if found.as_ref().is_none_or(|way| way.iter().any(counts_on)) {
            why_not(self, &first)
        } else {
            Vec::new()
        };
        let answer = Answer { found, reasons };
        if let Ok(mut known) = self.answered.lock() {
            known.insert(first, answer.clone());
        }
        answer
    }

    /// Whether there is a way without any fact where nothing ran out, or, in another world, without one of its rules.
    pub(crate) fn is_open_to(&self, world: &World<'p>, start: &State, ignored: Ignored) -> bool {
        let all: Vec<Action<'p>> = self.own_actions().map(|a| a.ignoring(ignored)).collect();
        let other = Search::of_all(world, &all, self.goal, self.least);
        other.cheapest(start, &[]).is_some()
    }

    /// The actions that matter and are no facts.
    pub(crate) fn own_actions(&self) -> impl Iterator<Item = &'a Action<'p>> + Clone {
        let own = self.actions.iter().map(|(_, action, _)| *action);
        own.filter(|action| !action.is_fact())
    }

    /// Tries the fewest facts without which the goal is out of reach for certain, then any number of them.
    fn with_fewest_facts(&self, first: &State) -> Option<Found> {
        if self.goal.reached(self.world, first) {
            return Some(Found::new());
        }
        let facts: Vec<usize> = (0..self.actions.len())
            .filter(|i| self.actions.get(*i).is_some_and(|(_, a, _)| a.is_fact()))
            .collect();
        if !self.may_be_reached(first, &facts) {
            return None;
        }
        for size in 0..=MOST_FACTS.min(facts.len()) {
            let mut possible = subsets(&facts, size);
            possible.retain(|chosen| self.may_be_reached(first, chosen));
            if possible.is_empty() {
                continue;
            }
            let ways = possible
                .iter()
                .filter_map(|chosen| self.cheapest(first, chosen));
            let best = ways.min_by_key(|(_, cost)| *cost);
            return best
                .or_else(|| self.cheapest(first, &facts))
                .map(|(found, _)| found);
        }
        self.cheapest(first, &facts).map(|(found, _)| found)
    }

    /// The least-cost way by all actions that are no facts, and these facts.
    fn cheapest(&self, first: &State, facts: &[usize]) -> Option<(Found, Cost)> {
        let usable: Vec<&Costed<'a, 'p>> = self.usable(facts).collect();
        let closed: Closed = RefCell::default();
        let distances: Distances = RefCell::default();
        let far = |state: &State| self.distance(state, &usable, &distances);
        far(first)?;
        let (states, cost) = astar(
            first,
            |state| self.next(state, &usable, &closed, &far),
            |state| Cost {
                first: far(state).unwrap_or_default(),
                ..Cost::default()
            },
            |state| self.goal.reached(self.world, state),
        )?;
        Some((self.actions_between(&states, &usable), cost))
    }

    fn usable<'s>(
        &'s self,
        facts: &'s [usize],
    ) -> impl Iterator<Item = &'s Costed<'a, 'p>> + Clone {
        let numbered = self.actions.iter().enumerate();
        numbered
            .filter(|(i, (_, action, _))| !action.is_fact() || facts.contains(i))
            .map(|(_, costed)| costed)
    }

    pub(crate) fn without_leaving_out(&self) -> Self {
        Self::of_all(self.world, self.all, self.goal, self.least)
    }

    /// A search from which nothing is left out.
    fn of_all(world: &'a World<'p>, all: &'a [Action<'p>], goal: GoalCode, least: Least) -> Self {
        Self {
            world,
            goal,
            actions: (all.iter().enumerate())
                .map(|(i, action)| (i, action, cost(action, least)))
                .collect(),
            matters: Set::MAX,
            owes: true,
            least,
            all,
            answered: Mutex::default(),
        }
    }

    fn project(&self, mut state: State) -> State {
        state.held &= self.matters;
        state.doubtful &= self.matters;
        if !self.owes {
            state.debts = 0;
        }
        for (left, bit) in state.left.iter_mut().zip(&self.world.timed) {
            if self.matters >> bit & 1 == 0 {
                *left = super::state::IDLE;
            }
        }
        state
    }

    /// Whether the goal could be reached with these facts if nothing ever ended and no order mattered: if not, there is
    /// no way.
    fn may_be_reached(&self, start: &State, facts: &[usize]) -> bool {
        let actions: Vec<&Action<'p>> = self.usable(facts).map(|(_, a, _)| *a).collect();
        Reach::of(&actions, start).may_be(&self.goal, start)
    }

    /// What the goal costs at the least from a state; none when it is out of reach.
    fn distance(
        &self,
        state: &State,
        usable: &[&Costed<'a, 'p>],
        known: &Distances,
    ) -> Option<u64> {
        let key = (state.held, state.doubtful, state.debts);
        if let Some(known) = known.borrow().get(&key) {
            return *known;
        }
        let actions = usable.iter().map(|(_, action, cost)| (*action, cost.first));
        let found = least_cost(actions, &self.goal, state);
        known.borrow_mut().insert(key, found);
        found
    }

    fn next(
        &self,
        state: &State,
        usable: &[&Costed<'a, 'p>],
        closed: &Closed,
        far: &impl Fn(&State) -> Option<u64>,
    ) -> Vec<(State, Cost)> {
        if state.is_timed() && is_worse(state, closed) {
            return Vec::new();
        }
        let mut next = Vec::new();
        for (_, action, cost) in usable {
            if action.all & !state.held != 0 || action.none & (state.held | state.doubtful) != 0 {
                continue;
            }
            let mut after = state.clone();
            if action.carry_out(self.world, &mut after) {
                let after = self.project(after);
                if after != *state && far(&after).is_some() {
                    next.push((after, *cost));
                }
            }
        }
        next
    }

    /// The cheapest action from each state to the next; the first of those that cost the same.
    fn actions_between(&self, states: &[State], usable: &[&Costed<'a, 'p>]) -> Found {
        let pairs = states.windows(2).filter_map(|pair| match pair {
            [from, to] => Some((from, to)),
            _ => None,
        });
        pairs
            .filter_map(|(from, to)| {
                let leading = usable.iter().filter(|(_, action, _)| {
                    let mut after = from.clone();
                    action.carry_out(self.world, &mut after) && self.project(after) == *to
                });
                leading
                    .min_by_key(|(i, _, cost)| (*cost, *i))
                    .map(|(i, ..)| *i)
            })
            .collect()
    }
}

/// What the goal costs at the least, by everything but the times that are left.
type Distances = RefCell<FxHashMap<(Set, Set, Set), Option<u64>>>;

/// The remaining times with which states were already gone on from, by what else is true in them.
type Closed = RefCell<FxHashMap<(Set, Set, Set), Vec<SmallVec<[u32; 4]>>>>;

/// Whether a state that cost no more was already gone on from with as much time left of everything: more time left is
/// never worse, because what runs out only becomes doubtful. States come in the order of their cost.
fn is_worse(state: &State, closed: &Closed) -> bool {
    let key = (state.held, state.doubtful, state.debts);
    let mut closed = closed.borrow_mut();
    let seen = closed.entry(key).or_default();
    let better = |other: &SmallVec<[u32; 4]>| {
        other
            .iter()
            .zip(&state.left)
            .all(|(theirs, ours)| theirs >= ours)
    };
    if seen.iter().any(better) {
        return true;
    }
    seen.push(state.left.clone());
    false
}

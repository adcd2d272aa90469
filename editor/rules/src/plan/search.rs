//! The least-cost way by exact search: Dijkstra over states, by the `pathfinding` library.
//!
//! Before the search everything is left out that cannot matter to the goal: actions none of whose effects any goal, rule
//! or action that matters asks for, and conditions that nothing that matters reads. What is left out can only add cost.

use std::{cell::RefCell, collections::HashMap, ops::Add};

use chockstone_schema::report::{HazardCount, Least};
use pathfinding::{num_traits::Zero, prelude::dijkstra};
use smallvec::SmallVec;

use super::{
    actions::{Action, Origin},
    execute::breaks,
    goals::GoalCode,
    state::{Set, State},
    world::{JudgedCode, RuleCode, World},
};

/// What a way costs: facts first, then what was asked to be least, then the other, then the number of actions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cost {
    pub(crate) facts: u32,
    pub(crate) first: u64,
    pub(crate) second: u64,
    pub(crate) actions: u32,
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            facts: self.facts + other.facts,
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
        facts: u32::from(matches!(action.origin, Origin::Fact { .. })),
        first,
        second,
        actions: 1,
    }
}

/// One goal with what matters to it.
#[derive(Debug)]
pub(crate) struct Search<'a, 'p> {
    world: &'a World<'p>,
    goal: GoalCode,
    /// The actions that matter, by their place among all, with their cost.
    actions: Vec<(usize, &'a Action<'p>, Cost)>,
    /// The conditions that matter.
    matters: Set,
    /// Whether debts matter.
    owes: bool,
    least: Least,
    all: &'a [Action<'p>],
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

    /// The least-cost way from a start, as the actions in order; none when there is no way.
    pub(crate) fn from(&self, start: &State) -> Option<Found> {
        if self.goal.reached(start) {
            return Some(Vec::new());
        }
        // A start that breaks a rule must first be mended, by any action.
        if self.always().any(|rule| breaks(rule, start)) && self.matters != Set::MAX {
            return self.without_leaving_out().from(start);
        }
        let first = self.project(start.clone());
        if !self.may_be_reached(&first) {
            return None;
        }
        let closed: Closed = RefCell::default();
        let (states, _) = dijkstra(
            &first,
            |state| self.next(state, &closed),
            |state| self.goal.reached(state),
        )?;
        Some(self.actions_between(&states))
    }

    fn without_leaving_out(&self) -> Self {
        Self {
            world: self.world,
            goal: self.goal,
            actions: (self.all.iter().enumerate())
                .map(|(i, action)| (i, action, cost(action, self.least)))
                .collect(),
            matters: Set::MAX,
            owes: self.owes,
            least: self.least,
            all: self.all,
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

    /// Whether the goal could be reached if nothing ever ended and no rule stood in the way: if not, there is no way.
    fn may_be_reached(&self, start: &State) -> bool {
        let reach = Reach::of(self.actions.iter().map(|(_, action, _)| *action), start);
        reach.may_be(&self.goal, start)
    }

    fn next(&self, state: &State, closed: &Closed) -> Vec<(State, Cost)> {
        if state.is_timed() && is_worse(state, closed) {
            return Vec::new();
        }
        let mut next = Vec::new();
        for (_, action, cost) in &self.actions {
            if action.all & !state.held != 0 || action.none & (state.held | state.doubtful) != 0 {
                continue;
            }
            let mut after = state.clone();
            if action.carry_out(self.world, &mut after) {
                let after = self.project(after);
                if after != *state {
                    next.push((after, *cost));
                }
            }
        }
        next
    }

    /// The cheapest action from each state to the next; the first of those that cost the same.
    fn actions_between(&self, states: &[State]) -> Found {
        let pairs = states.windows(2).filter_map(|pair| match pair {
            [from, to] => Some((from, to)),
            _ => None,
        });
        pairs
            .filter_map(|(from, to)| {
                let leading = self.actions.iter().filter(|(_, action, _)| {
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

/// The remaining times with which states were already gone on from, by what else is true in them.
type Closed = RefCell<HashMap<(Set, Set, Set), Vec<SmallVec<[u32; 4]>>>>;

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

/// What may come to hold, and what may end, if nothing ever stood in the way.
#[derive(Debug)]
pub(crate) struct Reach {
    pub(crate) may_hold: Set,
    pub(crate) may_end: Set,
    pub(crate) settles: Set,
}

impl Reach {
    /// From a start by these actions.
    pub(crate) fn of<'a, 'p: 'a>(
        actions: impl Iterator<Item = &'a Action<'p>> + Clone,
        start: &State,
    ) -> Self {
        let mut reach = Self {
            may_hold: start.held,
            may_end: !(start.held | start.doubtful),
            settles: 0,
        };
        loop {
            let before = (reach.may_hold, reach.may_end, reach.settles);
            for action in actions.clone() {
                let possible =
                    action.all & !reach.may_hold == 0 && action.none & !reach.may_end == 0;
                if possible {
                    reach.may_hold |= action.adds;
                    reach.may_end |= action.ends;
                    reach.settles |= action.settles;
                }
            }
            if before == (reach.may_hold, reach.may_end, reach.settles) {
                return reach;
            }
        }
    }

    /// Whether a goal may be reached.
    pub(crate) fn may_be(&self, goal: &GoalCode, start: &State) -> bool {
        goal.all & !self.may_hold == 0
            && (goal.any == 0 || goal.any & self.may_hold != 0)
            && goal.none & !self.may_end == 0
            && (!goal.settled || start.debts & !self.settles == 0)
    }
}

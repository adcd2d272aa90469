//! One exact search: A* over states by the `pathfinding` library, for a given number of facts.

use std::cell::RefCell;

use pathfinding::prelude::astar;
use rustc_hash::FxHashMap;
use smallvec::SmallVec;

use super::{
    actions::Action,
    budget::Budget,
    cost::Cost,
    distance::{Facts, Guide},
    execute::Fault,
    goals::GoalCode,
    state::{IDLE, Set, State},
    world::World,
};

/// An action that matters: its place among all, itself, and its cost.
pub(crate) type Costed<'a, 'p> = (usize, &'a Action<'p>, Cost);

/// The actions of a way, by their place among all.
pub(crate) type Found = Vec<usize>;

/// A state on the way, and the facts that may still be counted on there.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
struct Node {
    state: State,
    left: Allowance,
}

/// How many facts a way counts on: those that something comes to hold, and those that something is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct Allowance {
    pub(crate) brought: u32,
    pub(crate) over: u32,
}

impl Allowance {
    /// Any number of facts.
    const ANY: Self = Self {
        brought: u32::MAX,
        over: u32::MAX,
    };

    fn less(self, cost: &Cost) -> Option<Self> {
        if self == Self::ANY {
            return Some(self);
        }
        Some(Self {
            brought: self.brought.checked_sub(cost.facts - cost.over)?,
            over: self.over.checked_sub(cost.over)?,
        })
    }
}

/// What one answer searches: the actions that matter and what is left out of the states.
pub(crate) struct Engine<'a, 'p, 'w> {
    pub(crate) world: &'w World<'p>,
    pub(crate) goal: GoalCode,
    pub(crate) usable: Vec<Costed<'a, 'p>>,
    pub(crate) matters: Set,
    pub(crate) owes: bool,
    /// The start breaks a rule that is always judged.
    pub(crate) broken: bool,
    pub(crate) budget: &'a Budget,
}

/// What stood in the way of the actions that were tried.
#[derive(Debug, Default)]
pub(crate) struct Refusals {
    /// The rules that were the first thing wrong with an action, by their place.
    pub(crate) rules: std::collections::BTreeSet<usize>,
}

/// What the goal costs at the least, by everything but the times that are left.
type Distances = FxHashMap<(Set, Set, Set, Allowance), Option<u64>>;

/// The remaining times with which states were already gone on from, by what else is true in them.
type Closed = FxHashMap<(Set, Set, Set, Allowance), Vec<SmallVec<[u32; 4]>>>;

/// The sets of facts that may do, by the number of facts that are left.
type Choices = FxHashMap<Allowance, Vec<Facts>>;

/// The most sets of facts that are told apart in one search.
const MOST_SETS: usize = 4;
/// The most facts of a set whose parts are told apart.
const MOST_IN_A_SET: u32 = 4;

/// One run of a search.
struct Run<'e, 'a, 'p, 'w> {
    engine: &'e Engine<'a, 'p, 'w>,
    guide: &'e Guide,
    choices: Choices,
    /// The facts that any way of this run can count on.
    facts: Facts,
    distances: RefCell<Distances>,
    closed: RefCell<Closed>,
    refusals: Option<&'e RefCell<Refusals>>,
}

impl<'p> Engine<'_, 'p, '_> {
    /// The guide of its searches.
    pub(crate) fn guide(&self) -> Guide {
        let actions = self.usable.iter().map(|(_, a, cost)| (*a, cost.first));
        Guide::new(self.world, actions, self.goal)
    }

    /// Whether the goal is reached.
    pub(crate) fn reached(&self, state: &State) -> bool {
        self.goal.reached(self.world, state)
    }

    /// The least-cost way with so many facts, of these sets of facts of which every such way uses a part.
    pub(crate) fn with_facts(
        &self,
        guide: &Guide,
        first: &State,
        (left, sets): (Allowance, &[Facts]),
        refusals: Option<&RefCell<Refusals>>,
    ) -> Option<(Found, Cost)> {
        let run = Run {
            engine: self,
            guide,
            choices: parts(guide, left, sets),
            facts: sets.iter().fold(0, |all, set| all | set),
            distances: RefCell::default(),
            closed: RefCell::default(),
            refusals,
        };
        run.search(first, left, false)
    }

    /// The least-cost way with any number of facts.
    pub(crate) fn with_any_facts(&self, guide: &Guide, first: &State) -> Option<(Found, Cost)> {
        let run = Run {
            engine: self,
            guide,
            choices: Choices::default(),
            facts: guide.brought | guide.over,
            distances: RefCell::default(),
            closed: RefCell::default(),
            refusals: None,
        };
        run.search(first, Allowance::ANY, true)
    }

    /// Leaves out of a state what does not matter.
    pub(crate) fn project(&self, mut state: State) -> State {
        state.held &= self.matters;
        state.doubtful &= self.matters;
        if !self.owes {
            state.debts = 0;
        }
        for (left, bit) in state.left.iter_mut().zip(&self.world.timed) {
            if self.matters >> bit & 1 == 0 {
                *left = IDLE;
            }
        }
        state
    }

    /// Carries an action out; none when it cannot be done or changes nothing that matters.
    fn after(
        &self,
        state: &State,
        action: &Action<'p>,
        refusals: Option<&RefCell<Refusals>>,
    ) -> Option<State> {
        // Most actions cannot begin: no state is copied for them.
        if !action.may_begin(state) {
            return None;
        }
        let mut after = state.clone();
        let done = action.carry_out_telling(self.world, &mut after, |fault| {
            let (Some(refusals), Fault::RuleBefore(rule) | Fault::RuleAfter(rule)) =
                (refusals, fault)
            else {
                return;
            };
            refusals.borrow_mut().rules.insert(rule);
        });
        let after = done.then(|| self.project(after))?;
        (after != *state).then_some(after)
    }
}

/// Every part of the sets that has as many facts of each kind as are left; nothing where there would be too many to tell
/// apart, and then the whole of them serves as the guide of every state.
fn parts(guide: &Guide, left: Allowance, sets: &[Facts]) -> Choices {
    let mut choices = Choices::default();
    let big = sets.iter().any(|set| set.count_ones() > MOST_IN_A_SET);
    if big || sets.len() > MOST_SETS {
        return choices;
    }
    for set in sets {
        let mut part = *set;
        loop {
            let fits = Allowance {
                brought: (part & guide.brought).count_ones(),
                over: (part & guide.over).count_ones(),
            };
            let list = choices.entry(fits).or_default();
            if !list.contains(&part) {
                list.push(part);
            }
            if part == 0 {
                break;
            }
            part = (part - 1) & set;
        }
    }
    // A set may have fewer facts than are allowed where there are no more.
    let exact = choices.keys().any(|fits| *fits == left);
    if exact { choices } else { Choices::default() }
}

impl Run<'_, '_, '_, '_> {
    /// Searches; where facts are counted in the cost, any number of them may be used.
    fn search(&self, first: &State, left: Allowance, counted: bool) -> Option<(Found, Cost)> {
        let first = Node {
            state: first.clone(),
            left,
        };
        self.distance(&first)?;
        let (nodes, cost) = astar(
            &first,
            |node| self.next(node, counted),
            |node| Cost {
                first: self.distance(node).unwrap_or_default(),
                ..Cost::default()
            },
            |node| self.engine.budget.is_spent() || self.engine.reached(&node.state),
        )?;
        if self.engine.budget.is_spent() {
            return None;
        }
        Some((self.actions_between(&nodes), cost))
    }

    /// What the goal costs at the least from a node; none when it is out of reach.
    fn distance(&self, node: &Node) -> Option<u64> {
        let key = key(node);
        if let Some(known) = self.distances.borrow().get(&key) {
            return *known;
        }
        let found = if let Some(sets) = self.choices.get(&node.left) {
            let costs = sets.iter().filter_map(|set| self.estimate(node, *set));
            costs.min()
        } else {
            self.estimate(node, self.facts)
        };
        self.distances.borrow_mut().insert(key, found);
        found
    }

    fn estimate(&self, node: &Node, facts: Facts) -> Option<u64> {
        self.engine.budget.spend();
        self.guide.least_cost(&node.state, facts)
    }

    fn next(&self, node: &Node, counted: bool) -> Vec<(Node, Cost)> {
        if self.engine.budget.is_spent() || node.state.is_timed() && self.is_worse(node) {
            return Vec::new();
        }
        let mut next = Vec::new();
        for (_, action, cost) in &self.engine.usable {
            let Some(left) = node.left.less(cost) else {
                continue;
            };
            let Some(state) = self.engine.after(&node.state, action, self.refusals) else {
                continue;
            };
            self.engine.budget.spend();
            let after = Node { state, left };
            if self.distance(&after).is_some() {
                let cost = if counted { *cost } else { cost.without_facts() };
                next.push((after, cost));
            }
        }
        next
    }

    /// Whether a state that cost no more was already gone on from with as much time left of everything: more time left
    /// is not worse, because what runs out only becomes doubtful. (Only a way that lets a condition run out on purpose,
    /// to put what it lapses to in order for good, could be cheaper with less time; no such way is looked for. From a
    /// start that breaks a rule, only the same times count as no worse.) States that differ only in their times have the
    /// same estimate, which never falls by more than an action costs: they come in the order of their cost.
    fn is_worse(&self, node: &Node) -> bool {
        let engine = self.engine;
        let mut closed = self.closed.borrow_mut();
        let seen = closed.entry(key(node)).or_default();
        let better = |other: &SmallVec<[u32; 4]>| {
            let mut times = other.iter().zip(&node.state.left);
            times.all(|(theirs, ours)| theirs == ours || theirs >= ours && !engine.broken)
        };
        if seen.iter().any(better) {
            return true;
        }
        seen.push(node.state.left.clone());
        false
    }

    /// The cheapest action from each node to the next; the first of those that cost the same.
    fn actions_between(&self, nodes: &[Node]) -> Found {
        let pairs = nodes.windows(2).filter_map(|pair| match pair {
            [from, to] => Some((from, to)),
            _ => None,
        });
        pairs
            .filter_map(|(from, to)| {
                let leading = self.engine.usable.iter().filter(|(_, action, cost)| {
                    from.left.less(cost) == Some(to.left)
                        && self.engine.after(&from.state, action, None).as_ref() == Some(&to.state)
                });
                leading
                    .min_by_key(|(i, _, cost)| (*cost, *i))
                    .map(|(i, ..)| *i)
            })
            .collect()
    }
}

fn key(node: &Node) -> (Set, Set, Set, Allowance) {
    let state = &node.state;
    (state.held, state.doubtful, state.debts, node.left)
}

//! How far a goal is at the least: the guide of the search.
//!
//! As if nothing ever ended that is needed, no time ran out and no effect was lost: then each action need be done once,
//! and the goal is as far as its last condition. That is never more than the true cost, and never falls by more than an
//! action costs, so the search stays exact.

use smallvec::SmallVec;

use super::{
    actions::{Action, Guard},
    choose::lapses,
    goals::GoalCode,
    state::{Set, State, bits},
    world::World,
};

/// A set of facts, by their place among the facts of a guide.
pub(crate) type Facts = u128;

/// An action without its steps.
#[derive(Debug)]
struct Relaxed {
    all: Set,
    none: Set,
    adds: Set,
    ends: Set,
    settles: Set,
    cost: u64,
    guards: SmallVec<[Guard; 2]>,
    /// The set of this fact; none for what is no fact.
    fact: Facts,
}

/// The actions of one search without their steps.
#[derive(Debug)]
pub(crate) struct Guide {
    actions: Vec<Relaxed>,
    goal: GoalCode,
    /// The facts that something comes to hold.
    pub(crate) brought: Facts,
    /// The facts that something is over.
    pub(crate) over: Facts,
}

impl Guide {
    /// For these actions with their costs.
    pub(crate) fn new<'a, 'p: 'a>(
        world: &World<'_>,
        actions: impl Iterator<Item = (&'a Action<'p>, u64)>,
        goal: GoalCode,
    ) -> Self {
        let mut guide = Self {
            actions: Vec::new(),
            goal,
            brought: 0,
            over: 0,
        };
        for (action, cost) in actions {
            let fact = if action.is_fact() {
                // Two facts of a condition, so up to 256: those beyond 128 count as nothing here, which is never too much.
                let place = (guide.brought | guide.over).count_ones();
                let fact = 1_u128.checked_shl(place).unwrap_or(0);
                if action.adds != 0 {
                    guide.brought |= fact;
                } else {
                    guide.over |= fact;
                }
                fact
            } else {
                0
            };
            guide.actions.push(Relaxed {
                all: action.all,
                none: action.none,
                adds: may_bring(world, action.adds),
                ends: action.ends,
                settles: action.settles,
                cost,
                guards: action.guards.iter().copied().collect(),
                fact,
            });
        }
        guide
    }

    /// Whether the goal may be reached from a state with these facts.
    pub(crate) fn is_open(&self, state: &State, facts: Facts) -> bool {
        let mut reach = Reach::from(state);
        let mut waiting = self.allowed(facts);
        while !reach.may_be(&self.goal, state) {
            let before = waiting.len();
            waiting.retain(|(action, _)| {
                if reach.gains(action.adds, action.ends, action.settles) {
                    let can = reach.may(action.all, action.none, &action.guards);
                    if can {
                        reach.take(action.adds, action.ends, action.settles);
                    }
                    return !can;
                }
                false
            });
            if waiting.len() == before {
                return false;
            }
        }
        true
    }

    fn allowed(&self, facts: Facts) -> SmallVec<[(&Relaxed, u64); 64]> {
        let allowed = self.actions.iter().filter(|a| a.fact & !facts == 0);
        allowed.map(|action| (action, u64::MAX)).collect()
    }

    /// The least that it can cost to reach the goal from a state with these facts; none when it cannot be reached.
    pub(crate) fn least_cost(&self, state: &State, facts: Facts) -> Option<u64> {
        let mut reach = Reach::from(state);
        if reach.may_be(&self.goal, state) {
            return Some(0);
        }
        let mut waiting = self.allowed(facts);
        let mut level = 0;
        loop {
            let mut next = u64::MAX;
            waiting.retain(|(action, at)| {
                if !reach.gains(action.adds, action.ends, action.settles) {
                    return false;
                }
                if *at == u64::MAX && reach.may(action.all, action.none, &action.guards) {
                    *at = level + action.cost;
                }
                next = next.min(*at);
                true
            });
            if next == u64::MAX {
                return None;
            }
            level = next;
            for (action, _) in waiting.iter().filter(|(_, at)| *at == next) {
                reach.take(action.adds, action.ends, action.settles);
            }
            if reach.may_be(&self.goal, state) {
                return Some(level);
            }
        }
    }
}

/// What an action adds with what comes along, also with what its time running out leaves doubtful.
fn may_bring(world: &World<'_>, adds: Set) -> Set {
    let lapsed = bits(adds).fold(0, |set, bit| set | lapses(world, bit));
    adds | world.brought_with(adds | lapsed)
}

/// What may come to hold, and what may end, if nothing ever stood in the way.
#[derive(Debug)]
pub(crate) struct Reach {
    pub(crate) may_hold: Set,
    pub(crate) may_end: Set,
    pub(crate) settles: Set,
}

impl Reach {
    /// Before anything is done.
    fn from(start: &State) -> Self {
        Self {
            may_hold: start.held,
            may_end: !(start.held | start.doubtful),
            settles: 0,
        }
    }

    /// From a start by any of these actions.
    pub(crate) fn of<'a, 'p: 'a>(
        world: &World<'_>,
        actions: &[&'a Action<'p>],
        start: &State,
    ) -> Self {
        let mut reach = Self::from(start);
        let mut grows = true;
        while grows {
            grows = false;
            for action in actions {
                let adds = may_bring(world, action.adds);
                if reach.gains(adds, action.ends, action.settles)
                    && reach.may(action.all, action.none, &action.guards)
                {
                    reach.take(adds, action.ends, action.settles);
                    grows = true;
                }
            }
        }
        reach
    }

    /// Whether these effects are anything new.
    fn gains(&self, adds: Set, ends: Set, settles: Set) -> bool {
        adds & !self.may_hold | ends & !self.may_end | settles & !self.settles != 0
    }

    fn take(&mut self, adds: Set, ends: Set, settles: Set) {
        self.may_hold |= adds;
        self.may_end |= ends;
        self.settles |= settles;
    }

    /// Whether an action may be done: what it needs may hold, what it excludes may end, and no rule stands in its way for
    /// certain.
    fn may(&self, all: Set, none: Set, guards: &[Guard]) -> bool {
        all & !self.may_hold == 0
            && none & !self.may_end == 0
            && !guards.iter().any(|guard| self.forbids(guard))
    }

    /// Whether a rule forbids an action for certain: everything that makes it apply holds and cannot end.
    pub(crate) fn forbids(&self, guard: &Guard) -> bool {
        guard.while_holding & self.may_end == 0 && guard.unless_any & self.may_hold == 0
    }

    /// Whether a goal may be reached.
    pub(crate) fn may_be(&self, goal: &GoalCode, start: &State) -> bool {
        goal.all & !self.may_hold == 0
            && (goal.any == 0 || goal.any & self.may_hold != 0)
            && goal.none & !self.may_end == 0
            && (!goal.settled || start.debts & !self.settles == 0)
    }
}

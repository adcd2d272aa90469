//! How far a goal is at the least: the guide of the search.
//!
//! As if nothing ever ended that is needed, no time ran out and no effect was lost: then each action need be done once,
//! and the goal is as far as its last condition. That is never more than the true cost, so the search stays exact.

use super::{
    actions::Action,
    goals::GoalCode,
    state::{Set, State},
};

/// An action that is still to be counted in.
#[derive(Clone, Copy)]
struct Waiting<'a, 'p> {
    action: &'a Action<'p>,
    cost: u64,
    /// The cost at which its effects are there, once everything that it needs is.
    at: u64,
}

/// The least that it can cost to reach a goal from a state by these actions; none when it cannot be reached at all.
pub(crate) fn least_cost<'a, 'p: 'a>(
    actions: impl Iterator<Item = (&'a Action<'p>, u64)>,
    goal: &GoalCode,
    state: &State,
) -> Option<u64> {
    let mut reach = Reach::from(state);
    if reach.may_be(goal, state) {
        return Some(0);
    }
    let mut waiting: smallvec::SmallVec<[Waiting<'a, 'p>; 64]> = actions
        .map(|(action, cost)| Waiting {
            action,
            cost,
            at: u64::MAX,
        })
        .collect();
    let mut level = 0;
    loop {
        let mut next: Option<(usize, u64)> = None;
        for (i, waiting) in waiting.iter_mut().enumerate() {
            if waiting.at == u64::MAX && reach.may_do(waiting.action) {
                waiting.at = level + waiting.cost;
            }
            if waiting.at < next.map_or(u64::MAX, |(_, at)| at) {
                next = Some((i, waiting.at));
            }
        }
        let (i, at) = next?;
        let done = waiting.swap_remove(i);
        level = at;
        if reach.add(done.action) && reach.may_be(goal, state) {
            return Some(level);
        }
    }
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
    pub(crate) fn of<'a, 'p: 'a>(actions: &[&'a Action<'p>], start: &State) -> Self {
        let mut reach = Self::from(start);
        let mut grows = true;
        while grows {
            grows = false;
            for action in actions {
                grows |= reach.may_do(action) && reach.add(action);
            }
        }
        reach
    }

    /// Adds what an action does, and tells whether that is anything new.
    fn add(&mut self, action: &Action<'_>) -> bool {
        let before = (self.may_hold, self.may_end, self.settles);
        self.may_hold |= action.adds;
        self.may_end |= action.ends;
        self.settles |= action.settles;
        before != (self.may_hold, self.may_end, self.settles)
    }

    /// Whether an action may be done: what it needs may hold, what it excludes may end, and no rule stands in its way for
    /// certain.
    pub(crate) fn may_do(&self, action: &Action<'_>) -> bool {
        action.all & !self.may_hold == 0
            && action.none & !self.may_end == 0
            && !action.guards.iter().any(|guard| self.forbids(guard))
    }

    /// Whether a rule forbids an action for certain: everything that makes it apply holds and cannot end.
    pub(crate) fn forbids(&self, guard: &super::actions::Guard) -> bool {
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

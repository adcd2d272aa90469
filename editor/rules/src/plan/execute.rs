//! Carrying out one step.
//!
//! In this order: what it requires and excludes, and the rules judged before it; its time on the clock of the slowest crew;
//! the same once more if anything ran out meanwhile; its effects, its debts, what depends on what it ended and what comes
//! with what holds; the rules judged after it, and those that always hold, as far as it is this step that breaks them.

use super::{
    state::{IDLE, Set, State, bits},
    world::{RuleCode, StepCode, World},
};

/// What is wrong with a step where it stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fault {
    /// Required conditions that do not hold, or cannot be counted on.
    Unmet(Set),
    /// Excluded conditions that hold, or may.
    Excluded(Set),
    /// Required conditions whose time runs out before the step is done.
    RanOut(Set),
    /// What it establishes depends on conditions that do not hold.
    Depends(Set),
    /// A rule is broken before it, by its place among the rules.
    RuleBefore(usize),
    /// A rule is broken after it.
    RuleAfter(usize),
}

/// Whether a rule is broken in a state. A condition that may hold counts as holding; only one that does makes safe.
pub(crate) fn breaks(rule: &RuleCode, state: &State) -> bool {
    rule.while_holding & !(state.held | state.doubtful) == 0 && rule.unless_any & state.held == 0
}

impl World<'_> {
    /// Carries out a step and tells every fault; stops at once and gives false where `go_on` says no.
    pub(crate) fn carry_out(
        &self,
        state: &mut State,
        step: &StepCode,
        mut go_on: impl FnMut(Fault, &State) -> bool,
    ) -> bool {
        if !self.judge_before(state, step, step.require, Fault::Unmet, &mut go_on) {
            return false;
        }
        let broken_before = self.broken(state);
        let met = step.require & state.held;
        if self.pass(state, step.slowest) {
            // What was there when the step began may be gone before it is done.
            let still = self.judge_before(state, step, met, Fault::RanOut, &mut go_on)
                && self.judge_always(state, broken_before, &mut go_on);
            if !still {
                return false;
            }
        }
        self.change(state, step);
        let missing = step.needs & !(state.held | state.open);
        if missing != 0 && !go_on(Fault::Depends(missing), state) {
            return false;
        }
        self.settle(state);
        self.judge_after(state, step, &mut go_on)
            && self.judge_always(state, broken_before, &mut go_on)
    }

    fn judge_before(
        &self,
        state: &State,
        step: &StepCode,
        require: Set,
        unmet: fn(Set) -> Fault,
        go_on: &mut impl FnMut(Fault, &State) -> bool,
    ) -> bool {
        let lacking = require & !state.held;
        if lacking != 0 && !go_on(unmet(lacking), state) {
            return false;
        }
        let excluded = step.exclude & (state.held | state.doubtful);
        if excluded != 0 && !go_on(Fault::Excluded(excluded), state) {
            return false;
        }
        let mut broken = step.before.iter().filter(|i| self.is_broken(**i, state));
        broken.all(|i| go_on(Fault::RuleBefore(*i), state))
    }

    fn judge_after(
        &self,
        state: &State,
        step: &StepCode,
        go_on: &mut impl FnMut(Fault, &State) -> bool,
    ) -> bool {
        let mut broken = step.after.iter().filter(|i| self.is_broken(**i, state));
        broken.all(|i| go_on(Fault::RuleAfter(*i), state))
    }

    /// Judges the rules that always hold; one that was broken before is not the step's fault.
    fn judge_always(
        &self,
        state: &State,
        broken_before: Set,
        go_on: &mut impl FnMut(Fault, &State) -> bool,
    ) -> bool {
        bits(self.broken(state) & !broken_before).all(|i| go_on(Fault::RuleAfter(i), state))
    }

    fn is_broken(&self, rule: usize, state: &State) -> bool {
        self.rules.get(rule).is_some_and(|code| breaks(code, state))
    }

    /// The rules that always hold and are broken in a state, by their place among the rules.
    pub(crate) fn broken(&self, state: &State) -> Set {
        let mut set = 0;
        for i in &self.always {
            set |= Set::from(self.is_broken(*i, state)) << i;
        }
        set
    }

    /// Lets time pass, and tells whether anything ran out.
    fn pass(&self, state: &mut State, time: u64) -> bool {
        if time == 0 {
            return false;
        }
        let mut doubtful = 0;
        for (left, bit) in state.left.iter_mut().zip(&self.timed) {
            if *left == IDLE {
                continue;
            }
            let rest = u64::from(*left).checked_sub(time);
            if let Some(rest) = rest.and_then(|rest| u32::try_from(rest).ok()) {
                *left = rest;
            } else {
                *left = IDLE;
                doubtful |= 1 << bit | self.nature(*bit).lapses_to;
            }
        }
        if doubtful == 0 {
            return false;
        }
        state.doubt(doubtful);
        self.settle(state);
        true
    }

    fn change(&self, state: &mut State, step: &StepCode) {
        let touches = step.touches();
        state.held = state.held & !touches | step.establish;
        state.doubtful &= !touches;
        state.open &= !touches;
        for (left, bit) in state.left.iter_mut().zip(&self.timed) {
            if touches >> bit & 1 == 1 {
                *left = IDLE;
            }
        }
        for (slot, time) in &step.timers {
            if let Some(left) = state.left.get_mut(*slot) {
                *left = *time;
            }
        }
        state.debts = state.debts & !step.settles | step.opens & !step.settles;
    }

    /// Brings a fact about, with what follows from it; no time passes.
    pub(crate) fn apply_fact(&self, state: &mut State, fact: &StepCode) {
        self.change(state, fact);
        self.settle(state);
    }

    /// What follows from what holds: it brings others, and goes with what it depends on.
    pub(crate) fn settle(&self, state: &mut State) {
        let brought = self.brought_with(state.held | state.doubtful);
        state.held |= brought;
        state.doubtful &= !brought;
        state.open &= !brought;
        self.let_dependents_go(state);
    }

    /// A condition that holds without what it depends on can no longer be counted on.
    fn let_dependents_go(&self, state: &mut State) {
        loop {
            let mut lost = 0;
            for (condition, depends_on) in &self.dependent {
                if state.held & condition != 0 && depends_on & !(state.held | state.open) != 0 {
                    lost |= condition;
                }
            }
            if lost == 0 {
                return;
            }
            state.doubt(lost);
            for (left, bit) in state.left.iter_mut().zip(&self.timed) {
                if lost >> bit & 1 == 1 {
                    *left = IDLE;
                }
            }
        }
    }

    /// A state in which nothing runs out.
    pub(crate) fn still(&self, held: Set) -> State {
        State {
            held,
            left: smallvec::smallvec![IDLE; self.timed.len()],
            ..State::default()
        }
    }

    /// A start with what is given: with what that brings, and without what cannot hold without what it depends on.
    pub(crate) fn start(&self, mut held: Set) -> State {
        held |= self.brought_with(held);
        while let Some((lost, _)) = self
            .dependent
            .iter()
            .find(|(condition, needs)| held & condition != 0 && needs & !held != 0)
        {
            held &= !lost;
        }
        self.still(held)
    }

    /// What these conditions bring, to the end.
    pub(crate) fn brought_with(&self, conditions: Set) -> Set {
        let mut brought = 0;
        loop {
            let bringing = self.bringing.iter();
            let more = bringing
                .filter(|(condition, _)| (conditions | brought) & condition != 0)
                .fold(brought, |set, (_, brings)| set | brings);
            if more == brought {
                return brought;
            }
            brought = more;
        }
    }

    /// These conditions and all that they depend on.
    pub(crate) fn with_dependencies(&self, mut conditions: Set) -> Set {
        loop {
            let dependent = self.dependent.iter();
            let more = dependent
                .filter(|(condition, _)| conditions & condition != 0)
                .fold(conditions, |set, (_, needs)| set | needs);
            if more == conditions {
                return conditions;
            }
            conditions = more;
        }
    }

    /// The ids of a set of conditions.
    pub(crate) fn ids_of(&self, set: Set) -> Vec<String> {
        bits(set).map(|bit| self.id(bit).to_owned()).collect()
    }

    /// The ids of a set of debts.
    pub(crate) fn debts_of(&self, set: Set) -> Vec<String> {
        bits(set).map(|bit| self.debt_id(bit).to_owned()).collect()
    }
}

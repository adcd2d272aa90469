//! Carrying out one step.
//!
//! In this order: what it requires and excludes, the rules judged before it, its time on the clock of the slowest crew,
//! its effects, what depends on what it ended, its debts, and the rules judged after every step.

use super::{
    state::{IDLE, Set, State, bits},
    world::{JudgedCode, RuleCode, StepCode, World},
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
        let unmet = step.require & !state.held;
        if unmet != 0 && !go_on(Fault::Unmet(unmet), state) {
            return false;
        }
        let excluded = step.exclude & (state.held | state.doubtful);
        if excluded != 0 && !go_on(Fault::Excluded(excluded), state) {
            return false;
        }
        for rule in &step.before {
            let broken = self
                .rules
                .get(*rule)
                .is_some_and(|code| breaks(code, state));
            if broken && !go_on(Fault::RuleBefore(*rule), state) {
                return false;
            }
        }
        let ran_out = self.pass(state, step.slowest) & step.require;
        if ran_out != 0 && !go_on(Fault::RanOut(ran_out), state) {
            return false;
        }
        self.change(state, step);
        let missing = step.needs & !(state.held | state.open);
        if missing != 0 && !go_on(Fault::Depends(missing), state) {
            return false;
        }
        self.let_dependents_go(state);
        self.judge_after(state, go_on)
    }

    fn judge_after(&self, state: &State, mut go_on: impl FnMut(Fault, &State) -> bool) -> bool {
        let always = self.rules.iter().enumerate();
        let mut broken = always
            .filter(|(_, rule)| matches!(rule.judged, JudgedCode::Always) && breaks(rule, state));
        broken.all(|(i, _)| go_on(Fault::RuleAfter(i), state))
    }

    /// Lets time pass and gives the conditions that ran out.
    fn pass(&self, state: &mut State, time: u32) -> Set {
        let mut ran_out = 0;
        if time == 0 {
            return ran_out;
        }
        let mut doubtful = 0;
        for (left, bit) in state.left.iter_mut().zip(&self.timed) {
            if *left == IDLE {
                continue;
            }
            if let Some(rest) = left.checked_sub(time) {
                *left = rest;
            } else {
                *left = IDLE;
                ran_out |= 1 << bit;
                doubtful |= 1 << bit | self.nature(*bit).lapses_to;
            }
        }
        state.doubt(doubtful);
        ran_out
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

    /// Brings a fact about, with what follows from it; no time passes and no rule is judged.
    pub(crate) fn apply_fact(&self, state: &mut State, fact: &StepCode) {
        self.change(state, fact);
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

    /// What is given, less what cannot hold without what it depends on.
    pub(crate) fn consistent(&self, mut held: Set) -> Set {
        while let Some((lost, _)) = self
            .dependent
            .iter()
            .find(|(condition, needs)| held & condition != 0 && needs & !held != 0)
        {
            held &= !lost;
        }
        held
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

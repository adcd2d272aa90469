//! What can be done: procedures, general acts, and facts brought about from outside.

use chockstone_schema::{
    Profile,
    conditions::is_built_in,
    model::{
        advice::{Hazard, SignalWord},
        procedure::Procedure,
    },
    report::{HazardCount, PlanChoices},
};

use super::{
    execute::Fault,
    general_acts::{FETCH_KEY, GENERAL_ACTS, GeneralAct},
    state::{IDLE, Set, State, bits},
    world::{StepCode, World},
};

/// What an action is made from.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Origin<'p> {
    /// A procedure and its place in the list.
    Procedure(usize, &'p Procedure),
    /// A general act.
    General(&'static GeneralAct),
    /// A condition that comes to hold, or that is over, by itself or by others.
    Fact { bit: usize, must_hold: bool },
}

/// One thing that can be done, as bits.
#[derive(Clone, Debug)]
pub(crate) struct Action<'p> {
    pub(crate) origin: Origin<'p>,
    pub(crate) steps: Vec<StepCode>,
    /// Must hold at its start, or no step order can make it work.
    pub(crate) all: Set,
    /// Must not hold, nor be doubtful, at its start.
    pub(crate) none: Set,
    /// How long it takes, in milliseconds.
    pub(crate) time: u64,
    pub(crate) hazards: HazardCount,
    /// Everything that it may bring about, or leave doubtful.
    pub(crate) adds: Set,
    /// Everything that it may end, or leave doubtful.
    pub(crate) ends: Set,
    /// Every condition that decides whether it can be done, or breaks a rule.
    pub(crate) reads_held: Set,
    pub(crate) reads_ended: Set,
    pub(crate) settles: Set,
    /// Rules judged before its steps that no step of its own makes safe: what must hold together, and what makes safe.
    pub(crate) guards: Vec<Guard>,
}

/// What is left out to see whether it is what stands in the way.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Ignored {
    /// That conditions run out.
    Times,
    /// One rule, by its place among the rules.
    Rule(usize),
}

/// A rule as an action meets it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Guard {
    /// The rule, by its place among the rules.
    pub(crate) rule: usize,
    /// The conditions that must all hold for the rule to apply.
    pub(crate) while_holding: Set,
    /// The conditions of which one makes it safe.
    pub(crate) unless_any: Set,
}

impl<'p> Action<'p> {
    fn new(world: &World<'_>, origin: Origin<'p>, steps: Vec<StepCode>) -> Self {
        let mut action = Self {
            origin,
            all: 0,
            none: 0,
            time: steps.iter().fold(0, |sum, s| s.time.saturating_add(sum)),
            hazards: HazardCount::default(),
            adds: 0,
            ends: 0,
            reads_held: 0,
            reads_ended: 0,
            settles: 0,
            guards: Vec::new(),
            steps,
        };
        let (mut brought, mut ended) = (0, 0);
        for step in &action.steps {
            action.all |= step.require & !brought;
            action.none |= step.exclude & !ended;
            action.reads_held |= step.require | step.needs;
            action.reads_ended |= step.exclude;
            for (i, rule) in step
                .before
                .iter()
                .filter_map(|i| Some((i, world.rules.get(*i)?)))
            {
                action.reads_held |= rule.unless_any;
                action.reads_ended |= rule.while_holding;
                if rule.while_holding & ended == 0 && rule.unless_any & brought == 0 {
                    action.guards.push(Guard {
                        rule: *i,
                        while_holding: rule.while_holding,
                        unless_any: rule.unless_any,
                    });
                }
            }
            brought |= step.establish | world.brought_with(step.establish);
            ended |= step.clear | step.ends;
            action.settles |= step.settles;
            // What makes a rule safe that is judged after a step must hold then, by the step or from before.
            for rule in step.after.iter().filter_map(|i| world.rules.get(*i)) {
                action.reads_held |= rule.unless_any;
                action.reads_ended |= rule.while_holding;
            }
        }
        (action.adds, action.ends) = (brought, ended);
        action
    }

    /// The same without what is ignored.
    pub(crate) fn ignoring(&self, ignored: Ignored) -> Self {
        let mut action = self.clone();
        match ignored {
            Ignored::Rule(rule) => action.guards.retain(|guard| guard.rule != rule),
            Ignored::Times => {
                for step in &mut action.steps {
                    step.timers.iter_mut().for_each(|(_, left)| *left = IDLE);
                }
            }
        }
        action
    }

    /// Whether it is a fact that is brought about from outside.
    pub(crate) fn is_fact(&self) -> bool {
        matches!(self.origin, Origin::Fact { .. })
    }

    /// Whether what must hold at its start does, and nothing holds or may hold that must not.
    pub(crate) fn may_begin(&self, state: &State) -> bool {
        self.all & !state.held == 0 && self.none & (state.held | state.doubtful) == 0
    }

    /// Carries it out; false when it cannot be done.
    pub(crate) fn carry_out(&self, world: &World<'_>, state: &mut State) -> bool {
        self.carry_out_telling(world, state, |_| {})
    }

    /// The same, telling the first fault of its steps when it cannot be done because of one.
    pub(crate) fn carry_out_telling(
        &self,
        world: &World<'_>,
        state: &mut State,
        mut tell: impl FnMut(Fault),
    ) -> bool {
        if !self.may_begin(state) {
            return false;
        }
        if let Origin::Fact { bit, must_hold } = self.origin {
            return be_otherwise(world, state, bit, must_hold);
        }
        self.steps.iter().all(|step| {
            world.carry_out(state, step, |fault, _| {
                tell(fault);
                false
            })
        })
    }
}

/// Brings a fact about: it comes to hold and ends what it ends, or it is over. False where it is so already, stays so
/// because of what else holds, or breaks a rule.
fn be_otherwise(world: &World<'_>, state: &mut State, bit: usize, must_hold: bool) -> bool {
    let as_wished = if must_hold {
        state.held >> bit & 1 == 1
    } else {
        (state.held | state.doubtful) >> bit & 1 == 0
    };
    if as_wished {
        return false;
    }
    let mut step = StepCode::default();
    if must_hold {
        step.establish = 1 << bit;
        step.ends = world.nature(bit).ends;
    } else {
        step.clear = 1 << bit;
    }
    let broken_before = world.broken(state);
    world.apply_fact(state, &step);
    let came_about = (state.held >> bit & 1 == 1) == must_hold;
    came_about && world.broken(state) & !broken_before == 0
}

/// Every procedure that may be used, as an action.
pub(crate) fn of_procedures<'p>(
    world: &World<'p>,
    procedures: &[(usize, &'p Procedure)],
) -> Vec<Action<'p>> {
    let codes = procedures.iter().map(|(i, procedure)| {
        let steps = procedure.steps.iter().map(|s| world.step(procedure, s));
        let mut action = Action::new(world, Origin::Procedure(*i, procedure), steps.collect());
        let (starts, never) = (
            world.refs(&procedure.starts_with),
            world.refs(&procedure.never_with),
        );
        action.all |= starts;
        action.none |= never;
        action.reads_held |= starts;
        action.reads_ended |= never;
        action.hazards = count_hazards(world.profile, procedure);
        action
    });
    codes.collect()
}

/// Every general act, as an action.
pub(crate) fn of_crew<'p>(world: &World<'p>, choices: &PlanChoices) -> Vec<Action<'p>> {
    let codes = GENERAL_ACTS.iter().map(|act| {
        let chosen = (act.id == FETCH_KEY).then_some(choices.fetch_key).flatten();
        let step = world.general_act(act, chosen);
        Action::new(world, Origin::General(act), vec![step])
    });
    codes.collect()
}

/// Built-in conditions that people may bring to the scene.
pub(crate) const TO_BRING: &[&str] = &[
    "key-present",
    "donor-at-hand",
    "winch-at-hand",
    "skates-at-hand",
    "dollies-at-hand",
];

/// Built-in conditions that others may end.
pub(crate) const TO_BE_OVER: &[&str] = &[
    "smoke-or-heat",
    "in-water",
    "pack-suspect",
    "on-slope",
    "cord-stuck",
    "shift-refused",
];

/// Facts that could be brought about from outside: the built-in ones, and conditions of the author's own that no action
/// brings about, or ends, but some need.
pub(crate) fn of_facts<'p>(world: &World<'p>, others: &[Action<'p>]) -> Vec<Action<'p>> {
    let fold = |f: fn(&Action<'p>) -> Set| others.iter().fold(0, |set, a| set | f(a));
    let (adds, ends) = (fold(|a| a.adds), fold(|a| a.ends));
    let (wanted, unwanted) = (fold(|a| a.reads_held), fold(|a| a.reads_ended));
    let always = world.rules.iter().fold((0, 0), |(held, ended), rule| {
        (held | rule.unless_any, ended | rule.while_holding)
    });
    let lapses = world.natures.iter().fold(0, |set, n| set | n.lapses_to);
    let own = (0..world.len())
        .filter(|bit| !is_built_in(world.id(*bit)))
        .fold(0, |set, bit| set | 1 << bit);
    let bring = world.set(TO_BRING.iter().copied()) | own & (wanted | always.0) & !adds & !lapses;
    let over = world.set(TO_BE_OVER.iter().copied()) | own & (unwanted | always.1) & !ends;
    let make = |bit, must_hold| {
        let mut action = Action::new(world, Origin::Fact { bit, must_hold }, Vec::new());
        if must_hold {
            let adds = 1 << bit | world.brought_with(1 << bit);
            (action.adds, action.ends) = (adds, world.nature(bit).ends);
        } else {
            action.ends = 1 << bit;
            // While what brings it lasts it cannot be over.
            let bringing = world.bringing.iter();
            action.none = bringing
                .filter(|(_, brings)| brings >> bit & 1 == 1)
                .fold(0, |set, (condition, _)| set | condition);
            action.reads_ended = action.none;
        }
        action
    };
    let brought = bits(bring).map(|bit| make(bit, true));
    brought
        .chain(bits(over).map(|bit| make(bit, false)))
        .collect()
}

/// The hazard messages of a procedure and its steps, by signal word.
pub(crate) fn count_hazards(profile: &Profile, procedure: &Procedure) -> HazardCount {
    let steps = procedure.steps.iter().flat_map(|s| &s.hazards);
    let mut count = HazardCount::default();
    for id in procedure.hazards.iter().chain(steps) {
        let mut hazards = profile.hazards.iter();
        let found = hazards.find(|h: &&Hazard| h.id.as_str() == id.as_str());
        match found.map(|h| h.signal) {
            Some(SignalWord::Danger) => count.danger += 1,
            Some(SignalWord::Warning) => count.warning += 1,
            Some(SignalWord::Caution) => count.caution += 1,
            Some(SignalWord::Notice) => count.notice += 1,
            None => {}
        }
    }
    count
}

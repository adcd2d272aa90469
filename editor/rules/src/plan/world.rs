//! Conditions, debts, steps and rules as bits, so that a step is carried out in a few operations.

use std::collections::BTreeMap;

use chockstone_schema::{
    Profile, Sourced, conditions,
    id::{ConditionRef, DebtRef},
    model::procedure::{Act, ConditionDefinition, Procedure, Purpose, Step},
    quantity::DurationKind,
};
use smallvec::SmallVec;

use super::{
    built_in_rules::{BUILT_IN_RULES, Judged},
    general_acts::GeneralAct,
    state::{MOST, Set},
};

/// More conditions or debts than can be worked on at once.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{what} {found} are too many to work with at once; at most {MOST} can be")]
pub struct TooMuch {
    what: &'static str,
    found: usize,
}

/// What a condition depends on, ends and lapses to.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Nature {
    pub(crate) depends_on: Set,
    pub(crate) ends: Set,
    /// What may hold once its time has run out, and so can no longer be counted out.
    pub(crate) lapses_to: Set,
    /// What holds from then on as well.
    pub(crate) brings: Set,
    /// The place among the timers, if anything makes it run out.
    pub(crate) slot: Option<usize>,
    /// The milliseconds that it holds by its definition, at the least.
    pub(crate) holds_for: Option<u32>,
}

/// A rule as bits.
#[derive(Clone, Debug)]
pub(crate) struct RuleCode {
    pub(crate) while_holding: Set,
    pub(crate) unless_any: Set,
    pub(crate) judged: JudgedCode,
}

/// When a rule is judged.
#[derive(Clone, Debug)]
pub(crate) enum JudgedCode {
    Before { acts: Vec<Act>, brings_about: Set },
    BeforeAnyBut(&'static [Purpose]),
    After { acts: Vec<Act>, ends: Set },
    Always,
}

/// A step as bits.
#[derive(Clone, Debug, Default)]
pub(crate) struct StepCode {
    pub(crate) require: Set,
    pub(crate) exclude: Set,
    pub(crate) establish: Set,
    pub(crate) clear: Set,
    /// What it ends by what it establishes.
    pub(crate) ends: Set,
    /// What that which it establishes depends on, without what it establishes itself.
    pub(crate) needs: Set,
    /// The timers that it sets: slot and milliseconds.
    pub(crate) timers: SmallVec<[(usize, u32); 1]>,
    pub(crate) opens: Set,
    pub(crate) settles: Set,
    /// The rules judged before it, by their place.
    pub(crate) before: SmallVec<[usize; 4]>,
    /// The rules judged after it, beside those that always are, by their place.
    pub(crate) after: SmallVec<[usize; 4]>,
    /// How long it takes, in milliseconds, and how long at most by its uncertainty.
    pub(crate) time: u64,
    pub(crate) slowest: u64,
}

impl StepCode {
    /// Every condition that it changes.
    pub(crate) fn touches(&self) -> Set {
        self.establish | self.clear | self.ends
    }
}

/// The conditions, debts and rules of a profile as bits.
#[derive(Clone, Debug)]
pub(crate) struct World<'p> {
    pub(crate) profile: &'p Profile,
    ids: Vec<&'p str>,
    index: BTreeMap<&'p str, usize>,
    pub(crate) natures: Vec<Nature>,
    /// The conditions that can run out, by slot.
    pub(crate) timed: Vec<usize>,
    debts: BTreeMap<&'p str, usize>,
    debt_ids: Vec<&'p str>,
    /// Built-in rules first, then the author's.
    pub(crate) rules: Vec<RuleCode>,
    /// The rules that always hold, by their place among the rules.
    pub(crate) always: Vec<usize>,
    /// Each condition that depends on others, with those.
    pub(crate) dependent: Vec<(Set, Set)>,
    /// Each condition that brings others, with those.
    pub(crate) bringing: Vec<(Set, Set)>,
    /// Winching up takes at least so many milliseconds.
    load_up: u64,
}

impl<'p> World<'p> {
    /// The world of these procedures of a profile.
    pub(crate) fn new(
        profile: &'p Profile,
        procedures: &[&'p Procedure],
        load_up: Option<f64>,
    ) -> Result<Self, TooMuch> {
        let mut world = Self {
            profile,
            ids: Vec::new(),
            index: BTreeMap::new(),
            natures: Vec::new(),
            timed: Vec::new(),
            debts: BTreeMap::new(),
            debt_ids: Vec::new(),
            rules: Vec::new(),
            always: Vec::new(),
            dependent: Vec::new(),
            bringing: Vec::new(),
            load_up: load_up.map_or(0, milliseconds),
        };
        world.index_conditions(procedures);
        for debt in procedures.iter().flat_map(|p| &p.steps).flat_map(debts_of) {
            if !world.debts.contains_key(debt) {
                world.debts.insert(debt, world.debt_ids.len());
                world.debt_ids.push(debt);
            }
        }
        too_much("conditions", world.ids.len())?;
        too_much("debts", world.debt_ids.len())?;
        world.find_natures(procedures);
        world.rules = world.code_rules();
        too_much("safety rules", world.rules.len())?;
        world.always = world.rules_where(|judged| matches!(judged, JudgedCode::Always));
        Ok(world)
    }

    /// Built-in conditions have the first bits, in their own order.
    fn index_conditions(&mut self, procedures: &[&'p Procedure]) {
        for condition in conditions::BUILT_IN {
            self.add(condition.id);
        }
        for procedure in procedures {
            mentioned(procedure).for_each(|id| self.add(id));
        }
        for rule in &self.profile.safety_rules {
            let lists = [&rule.brings_about, &rule.while_holding, &rule.unless_any];
            lists
                .into_iter()
                .flatten()
                .for_each(|id| self.add(id.as_str()));
        }
        // What a condition depends on or lapses to may name further conditions.
        let mut next = conditions::BUILT_IN.len();
        while let Some(id) = self.ids.get(next) {
            if let Some(own) = self.own(id) {
                let more = own.lapses_to.iter().chain(&own.depends_on);
                more.for_each(|id| self.add(id.as_str()));
            }
            next += 1;
        }
    }

    fn add(&mut self, id: &'p str) {
        if !self.index.contains_key(id) {
            self.index.insert(id, self.ids.len());
            self.ids.push(id);
        }
    }

    fn own(&self, id: &str) -> Option<&'p ConditionDefinition> {
        self.profile.conditions.iter().find(|c| c.id.as_str() == id)
    }

    fn find_natures(&mut self, procedures: &[&'p Procedure]) {
        let held = procedures
            .iter()
            .flat_map(|p| &p.steps)
            .flat_map(|s| &s.holds)
            .fold(0, |set, hold| set | self.bit(hold.condition.as_str()));
        for (bit, id) in self.ids.clone().into_iter().enumerate() {
            let mut nature = Nature::default();
            if let Some(built_in) = conditions::find(id) {
                nature.depends_on = self.set(built_in.depends_on.iter().copied());
                nature.ends = self.set(built_in.ends.iter().copied());
                nature.brings = self.set(built_in.brings.iter().copied());
            } else if let Some(own) = self.own(id) {
                nature.depends_on = self.refs(&own.depends_on);
                nature.lapses_to = self.refs(&own.lapses_to);
                nature.holds_for = own.holds_for.as_ref().map(at_least);
            }
            if nature.holds_for.is_some() || held >> bit & 1 == 1 {
                nature.slot = Some(self.timed.len());
                self.timed.push(bit);
                // Neutral that runs out may have become park.
                nature.lapses_to |= nature.ends;
            }
            if nature.depends_on != 0 {
                self.dependent.push((1 << bit, nature.depends_on));
            }
            if nature.brings != 0 {
                self.bringing.push((1 << bit, nature.brings));
            }
            self.natures.push(nature);
        }
    }

    fn code_rules(&self) -> Vec<RuleCode> {
        let built_in = BUILT_IN_RULES.iter().map(|rule| RuleCode {
            while_holding: self.set(rule.while_holding.iter().copied()),
            unless_any: self.set(rule.unless_any.iter().copied()),
            judged: match &rule.judged {
                Judged::Before { acts, brings_about } => JudgedCode::Before {
                    acts: acts.to_vec(),
                    brings_about: self.set(brings_about.iter().copied()),
                },
                Judged::BeforeAnyBut(purposes) => JudgedCode::BeforeAnyBut(purposes),
                Judged::After { acts, ends } => JudgedCode::After {
                    acts: acts.to_vec(),
                    ends: self.set(ends.iter().copied()),
                },
                Judged::Always => JudgedCode::Always,
            },
        });
        let own = self.profile.safety_rules.iter().map(|rule| RuleCode {
            while_holding: self.refs(&rule.while_holding),
            unless_any: self.refs(&rule.unless_any),
            judged: if rule.acts.is_empty() && rule.brings_about.is_empty() {
                JudgedCode::Always
            } else {
                JudgedCode::Before {
                    acts: rule.acts.clone(),
                    brings_about: self.refs(&rule.brings_about),
                }
            },
        });
        built_in.chain(own).collect()
    }

    /// The number of conditions.
    pub(crate) fn len(&self) -> usize {
        self.ids.len()
    }

    /// The id of a condition's bit.
    pub(crate) fn id(&self, bit: usize) -> &'p str {
        self.ids.get(bit).copied().unwrap_or_default()
    }

    /// The id of a debt's bit.
    pub(crate) fn debt_id(&self, bit: usize) -> &'p str {
        self.debt_ids.get(bit).copied().unwrap_or_default()
    }

    /// What is known of a condition.
    pub(crate) fn nature(&self, bit: usize) -> Nature {
        self.natures.get(bit).copied().unwrap_or_default()
    }

    /// The set of one condition; none when nothing mentions it.
    pub(crate) fn bit(&self, id: &str) -> Set {
        self.index.get(id).map_or(0, |bit| 1 << bit)
    }

    /// The set of these conditions.
    pub(crate) fn set<'a>(&self, ids: impl IntoIterator<Item = &'a str>) -> Set {
        ids.into_iter().fold(0, |set, id| set | self.bit(id))
    }

    /// The set of these conditions.
    pub(crate) fn refs(&self, ids: &[ConditionRef]) -> Set {
        self.set(ids.iter().map(ConditionRef::as_str))
    }

    fn debt_set(&self, ids: &[DebtRef]) -> Set {
        let bits = ids.iter().filter_map(|id| self.debts.get(id.as_str()));
        bits.fold(0, |set, bit| set | 1 << bit)
    }

    /// A step of a procedure.
    pub(crate) fn step(&self, procedure: &Procedure, step: &Step) -> StepCode {
        let own: SmallVec<[(usize, u32); 1]> = step
            .holds
            .iter()
            .filter_map(|hold| {
                Some((
                    self.index.get(hold.condition.as_str()).copied()?,
                    at_least(&hold.time),
                ))
            })
            .collect();
        let holds = own.iter().fold(0, |set, (bit, _)| set | 1 << bit);
        let (time, slowest) = step.time.as_ref().map_or((0, 0), |t| {
            let (time, more) = (t.si(), t.plus_minus_si().unwrap_or(0.0));
            (milliseconds(time), milliseconds(time + more))
        });
        let load_up = if step.act == Some(Act::WinchUp) {
            self.load_up
        } else {
            0
        };
        let code = StepCode {
            require: self.refs(&step.requires),
            exclude: self.refs(&step.requires_not),
            establish: self.refs(&step.establishes) | holds,
            clear: self.refs(&step.clears),
            opens: self.debt_set(&step.opens),
            settles: self.debt_set(&step.settles),
            time: time.max(load_up),
            slowest: slowest.max(load_up),
            ..StepCode::default()
        };
        self.complete(code, step.act, Some(procedure.purpose), &own)
    }

    /// A general act; its time may be chosen.
    pub(crate) fn general_act(&self, act: &GeneralAct, seconds: Option<f64>) -> StepCode {
        let (time, more) = seconds.map_or(act.seconds, |chosen| (chosen, 0.0));
        let code = StepCode {
            require: self.set(act.requires.iter().copied()),
            exclude: self.set(act.requires_not.iter().copied()),
            establish: self.set(act.establishes.iter().copied()),
            clear: self.set(act.clears.iter().copied()),
            time: milliseconds(time),
            slowest: milliseconds(time + more),
            ..StepCode::default()
        };
        self.complete(code, act.act, None, &[])
    }

    /// Adds what follows from what a step establishes: what ends, what it depends on, timers and rules.
    fn complete(
        &self,
        mut code: StepCode,
        act: Option<Act>,
        purpose: Option<Purpose>,
        own_holds: &[(usize, u32)],
    ) -> StepCode {
        let mut needs = 0;
        for bit in super::state::bits(code.establish) {
            let nature = self.nature(bit);
            code.ends |= nature.ends;
            needs |= nature.depends_on;
            let own = own_holds.iter().find(|(b, _)| *b == bit).map(|(_, ms)| *ms);
            if let (Some(slot), Some(time)) = (nature.slot, own.or(nature.holds_for)) {
                code.timers.push((slot, time));
            }
        }
        code.ends &= !code.establish;
        code.needs = needs & !code.establish;
        let is_one_of = |acts: &[Act]| act.is_some_and(|a| acts.contains(&a));
        code.before = self.rules_where(|judged| match judged {
            JudgedCode::Before { acts, brings_about } => {
                is_one_of(acts) || brings_about & code.establish != 0
            }
            JudgedCode::BeforeAnyBut(spared) => !purpose.is_some_and(|p| spared.contains(&p)),
            JudgedCode::After { .. } | JudgedCode::Always => false,
        });
        code.after = self.rules_where(|judged| match judged {
            JudgedCode::After { acts, ends } => {
                is_one_of(acts) || ends & (code.clear | code.ends) != 0
            }
            _ => false,
        });
        code
    }

    /// The places of the rules that are judged in such a way.
    fn rules_where<C: FromIterator<usize>>(&self, is_so: impl Fn(&JudgedCode) -> bool) -> C {
        let rules = self.rules.iter().enumerate();
        rules
            .filter(|(_, rule)| is_so(&rule.judged))
            .map(|(i, _)| i)
            .collect()
    }
}

fn too_much(what: &'static str, found: usize) -> Result<(), TooMuch> {
    if found > MOST {
        return Err(TooMuch { what, found });
    }
    Ok(())
}

fn debts_of(step: &Step) -> impl Iterator<Item = &str> {
    step.opens.iter().chain(&step.settles).map(DebtRef::as_str)
}

/// Every condition that a procedure names.
pub(crate) fn mentioned(procedure: &Procedure) -> impl Iterator<Item = &str> {
    let lists = [
        &procedure.starts_with,
        &procedure.never_with,
        &procedure.ends_with,
    ];
    let steps = procedure.steps.iter().flat_map(|s| {
        let lists = [&s.requires, &s.requires_not, &s.establishes, &s.clears];
        let holds = s.holds.iter().map(|h| &h.condition);
        lists.into_iter().flatten().chain(holds)
    });
    let all = lists.into_iter().flatten().chain(steps);
    all.map(ConditionRef::as_str)
}

/// Whole milliseconds.
pub(crate) fn milliseconds(seconds: f64) -> u64 {
    // Beyond this, whole numbers are no longer exact in what they were computed from.
    const MOST_EXACT: f64 = 9_007_199_254_740_992.0;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to the type's range; not a number becomes nothing"
    )]
    let whole = (seconds * 1000.0).round().clamp(0.0, MOST_EXACT) as u64;
    whole
}

/// The milliseconds that a statement of time promises: its value less its uncertainty.
///
/// Longer ones than 49 days are taken as 49 days, which is the cautious side and stays below the mark of an idle timer.
pub(crate) fn at_least(time: &Sourced<DurationKind>) -> u32 {
    let promised = milliseconds(time.si() - time.plus_minus_si().unwrap_or(0.0));
    u32::try_from(promised).map_or(LONGEST_HOLD, |ms| ms.min(LONGEST_HOLD))
}

const LONGEST_HOLD: u32 = super::state::IDLE - 1;

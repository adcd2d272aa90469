//! Walking one procedure alone, step by step, from what it says it starts with.

use chockstone_schema::{
    Profile,
    model::procedure::{Procedure, Step},
    report::Severity,
};

use super::{
    built_in_rules::BUILT_IN_RULES,
    execute::Fault,
    names::{condition_name, languages},
    state::{IDLE, Set, State, bits},
    world::{Nature, World},
};

/// A procedure walked from its start to its end.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Walked {
    /// What is known before the first step.
    pub start: Snapshot,
    /// What is known after each step, one a step.
    pub after: Vec<Snapshot>,
    /// What is wrong, in the order of the steps.
    pub faults: Vec<StepFault>,
}

/// What is known at one moment of a walk. Conditions in no list are ones of which nobody has said anything.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Snapshot {
    /// Conditions that hold.
    pub holds: Vec<String>,
    /// Conditions that are known not to hold, of those that the procedure names.
    pub over: Vec<String>,
    /// Conditions that can no longer be counted on: their time ran out, or what they depend on is gone.
    pub doubtful: Vec<String>,
    /// Debts that the procedure has opened and not settled.
    pub debts: Vec<String>,
    /// The seconds that are left of each condition that holds for a time.
    pub left: Vec<(String, f64)>,
    /// Seconds since the start; steps without a time count as nothing.
    pub seconds: f64,
    /// The same when every step takes as long as its uncertainty allows.
    pub slowest: f64,
}

/// What kind of fault a step has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FaultKind {
    /// It requires what does not hold any more, or what must not hold at the start.
    RequiresEnded,
    /// It requires what nothing before it says.
    RequiresUnsaid,
    /// It must not be done while something holds, and it holds or may.
    ExcludedHolds,
    /// A condition that it needs runs out before it is done.
    RanOut,
    /// It brings about what cannot be without something that does not hold.
    DependencyMissing,
    /// It breaks a rule that no way may break.
    RuleBroken,
    /// The procedure ends without what it promises.
    EndNotReached,
    /// The procedure names more conditions than can be worked with.
    TooMuch,
}

/// A fault of a step where it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct StepFault {
    /// RFC 6901 pointer to the part that is wrong.
    pub place: String,
    /// The step's place in the procedure; none for the end of the procedure.
    pub step: Option<usize>,
    /// What kind of fault it is.
    pub kind: FaultKind,
    /// How much it matters.
    pub severity: Severity,
    /// The condition that it is about, by id.
    pub condition: Option<String>,
    /// The id of the rule that is broken.
    pub rule: Option<String>,
    /// What is wrong, as a sentence.
    pub message: String,
    /// What would settle it.
    pub settle: String,
}

/// Walks the procedure at this place of the list; an absent one gives nothing.
pub fn walk(profile: &Profile, index: usize) -> Walked {
    let Some(procedure) = profile.procedures.get(index) else {
        return Walked::default();
    };
    match World::new(profile, &[procedure], None) {
        Ok(world) => Walk::new(&world, procedure, index).run(),
        Err(e) => Walked {
            faults: vec![StepFault {
                place: format!("/procedures/{index}"),
                step: None,
                kind: FaultKind::TooMuch,
                severity: Severity::Blocking,
                condition: None,
                rule: None,
                message: format!("The procedure {} was not walked: {e}.", procedure.id),
                settle: "Split the procedure, or use fewer conditions.".to_owned(),
            }],
            ..Walked::default()
        },
    }
}

struct Walk<'w, 'p> {
    world: &'w World<'p>,
    procedure: &'p Procedure,
    index: usize,
    /// What the procedure names: only this is worth telling.
    named: Set,
    faults: Vec<StepFault>,
}

impl<'w, 'p> Walk<'w, 'p> {
    fn new(world: &'w World<'p>, procedure: &'p Procedure, index: usize) -> Self {
        Self {
            world,
            procedure,
            index,
            named: world.set(super::world::mentioned(procedure)),
            faults: Vec::new(),
        }
    }

    fn run(mut self) -> Walked {
        let mut state = self.start();
        let (mut time, mut slowest) = (0_u64, 0_u64);
        let start = self.snapshot(&state, time, slowest);
        let mut after = Vec::with_capacity(self.procedure.steps.len());
        for (j, step) in self.procedure.steps.iter().enumerate() {
            let code = self.world.step(self.procedure, step);
            let mut found: Vec<(Fault, State)> = Vec::new();
            self.world.carry_out(&mut state, &code, |fault, state| {
                // What was wrong at its beginning is not told once more when something runs out meanwhile.
                if found.iter().all(|(other, _)| *other != fault) {
                    found.push((fault, state.clone()));
                }
                true
            });
            for (fault, state) in found {
                self.tell(j, step, fault, &state);
            }
            time = time.saturating_add(code.time);
            slowest = slowest.saturating_add(code.slowest);
            after.push(self.snapshot(&state, time, slowest));
        }
        self.judge_end(&state);
        Walked {
            start,
            after,
            faults: self.faults,
        }
    }

    fn start(&self) -> State {
        let world = self.world;
        let held = world.refs(&self.procedure.starts_with);
        let over = world.refs(&self.procedure.never_with);
        let ended = bits(held).fold(0, |set, bit| set | world.nature(bit).ends);
        let all = Set::MAX >> (super::state::MOST - world.len());
        let mut state = world.still(held);
        state.open = all & !held & !over & !ended;
        // Who starts with a condition starts with what it depends on and with what it brings.
        let mut news = held;
        while news != 0 {
            let with = |set: Set, nature: Nature| set | nature.depends_on | nature.brings;
            let needs = bits(news).fold(0, |set, bit| with(set, world.nature(bit)));
            news = needs & state.open;
            state.held |= news;
            state.open &= !news;
        }
        state
    }

    fn snapshot(&self, state: &State, time: u64, slowest: u64) -> Snapshot {
        let world = self.world;
        let over = self.named & !(state.held | state.doubtful | state.open);
        let timers = state.left.iter().zip(&world.timed);
        Snapshot {
            holds: world.ids_of(state.held),
            over: world.ids_of(over),
            doubtful: world.ids_of(state.doubtful),
            debts: world.debts_of(state.debts),
            left: timers
                .filter(|(left, _)| **left != IDLE)
                .map(|(left, bit)| (world.id(*bit).to_owned(), f64::from(*left) / 1000.0))
                .collect(),
            seconds: time as f64 / 1000.0,
            slowest: slowest as f64 / 1000.0,
        }
    }

    fn tell(&mut self, j: usize, step: &Step, fault: Fault, state: &State) {
        let told = |list: &[chockstone_schema::id::ConditionRef], bit: usize, part: &str| {
            let id = self.world.id(bit);
            let k = list.iter().position(|c| c.as_str() == id);
            let place = format!("/procedures/{}/steps/{j}", self.index);
            k.map_or_else(|| place.clone(), |k| format!("{place}/{part}/{k}"))
        };
        let make =
            |place: String, kind, severity, bit: Option<usize>, message, settle: &str| StepFault {
                place,
                step: Some(j),
                kind,
                severity,
                condition: bit.map(|bit| self.world.id(bit).to_owned()),
                rule: None,
                message,
                settle: settle.to_owned(),
            };
        let found: Vec<StepFault> = match fault {
            Fault::Unmet(set) => bits(set)
                .map(|bit| {
                    let place = told(&step.requires, bit, "requires");
                    let (id, step) = (self.world.id(bit), &step.id);
                    if state.open >> bit & 1 == 1 {
                        make(place, FaultKind::RequiresUnsaid, Severity::Warning, Some(bit),
                            format!("The step {step} requires {id}, and neither the start nor a step before it says that it holds."),
                            "Add it to what the procedure starts with, or a step that brings it about.")
                    } else if state.doubtful >> bit & 1 == 1 {
                        make(place, FaultKind::RanOut, Severity::Blocking, Some(bit),
                            format!("The step {step} requires {id}, which can no longer be counted on at that point."),
                            "Bring it about again before this step, or put the steps in another order.")
                    } else {
                        make(place, FaultKind::RequiresEnded, Severity::Blocking, Some(bit),
                            format!("The step {step} requires {id}, which does not hold any more, or must not hold, at that point."),
                            "Bring it about again before this step, or correct the steps before.")
                    }
                })
                .collect(),
            Fault::Excluded(set) => bits(set)
                .map(|bit| {
                    make(told(&step.requires_not, bit, "requires_not"), FaultKind::ExcludedHolds, Severity::Blocking, Some(bit),
                        format!("The step {} must not be done with {}, which holds at that point.", step.id, self.world.id(bit)),
                        "End it in a step before this one, or correct the steps before.")
                })
                .collect(),
            Fault::RanOut(set) => bits(set)
                .map(|bit| {
                    make(told(&step.requires, bit, "requires"), FaultKind::RanOut, Severity::Blocking, Some(bit),
                        format!("{} lapses before the step {} is done.", self.world.id(bit), step.id),
                        "Shorten the steps, put them in another order, or renew the condition in between.")
                })
                .collect(),
            Fault::Depends(set) => bits(set)
                .map(|bit| {
                    make(format!("/procedures/{}/steps/{j}/establishes", self.index), FaultKind::DependencyMissing, Severity::Blocking, Some(bit),
                        format!("What the step {} brings about cannot be without {}, which does not hold.", step.id, self.world.id(bit)),
                        "Bring it about in a step before this one.")
                })
                .collect(),
            Fault::RuleBefore(rule) | Fault::RuleAfter(rule) => vec![self.rule_fault(j, step, rule, state)],
        };
        self.faults.extend(found);
    }

    /// A rule that is broken only because nobody says what would make it safe is a warning.
    fn rule_fault(&self, j: usize, step: &Step, rule: usize, state: &State) -> StepFault {
        let (id, text) = rule_words(self.world.profile, rule);
        let unsaid = self
            .world
            .rules
            .get(rule)
            .is_some_and(|code| code.unless_any & state.open != 0);
        StepFault {
            place: format!("/procedures/{}/steps/{j}", self.index),
            step: Some(j),
            kind: FaultKind::RuleBroken,
            severity: if unsaid { Severity::Warning } else { Severity::Blocking },
            condition: None,
            message: if unsaid {
                format!("The step {} may break the rule {id}: {text} Nothing before it says that it is kept.", step.id)
            } else {
                format!("The step {} breaks the rule {id}: {text}", step.id)
            },
            rule: Some(id),
            settle: "Put the steps in an order that keeps the rule, or say in the start or a step before what keeps it.".to_owned(),
        }
    }

    fn judge_end(&mut self, state: &State) {
        if self.procedure.steps.is_empty() {
            return;
        }
        let (index, world) = (self.index, self.world);
        for (k, condition) in self.procedure.ends_with.iter().enumerate() {
            let id = condition.as_str();
            let bit = world.bit(id);
            if state.held & bit != 0 {
                continue;
            }
            let ran_out = state.doubtful & bit != 0;
            let why = if ran_out {
                "its time has run out by then"
            } else {
                "no step establishes it"
            };
            self.faults.push(StepFault {
                place: format!("/procedures/{index}/ends_with/{k}"),
                step: None,
                kind: if ran_out {
                    FaultKind::RanOut
                } else {
                    FaultKind::EndNotReached
                },
                severity: if ran_out {
                    Severity::Blocking
                } else {
                    Severity::Warning
                },
                condition: Some(id.to_owned()),
                rule: None,
                message: format!(
                    "The procedure {} ends with {id}, and {why}.",
                    self.procedure.id
                ),
                settle: "Add it to the step that brings it about.".to_owned(),
            });
        }
    }
}

/// A rule's id and its text in English, or in what the author wrote.
pub(crate) fn rule_words(profile: &Profile, rule: usize) -> (String, String) {
    if let Some(built_in) = BUILT_IN_RULES.get(rule) {
        let [english, _] = built_in.text;
        return (built_in.id.to_owned(), english.to_owned());
    }
    let own = profile.safety_rules.get(rule - BUILT_IN_RULES.len());
    own.map_or_else(Default::default, |own| {
        let wanted = [profile.language.clone(), languages()[0].clone()];
        (
            own.id.as_str().to_owned(),
            own.text.pick(&wanted).to_owned(),
        )
    })
}

/// A condition's name in the profile's language.
pub(crate) fn name_in_base(profile: &Profile, id: &str) -> String {
    let [english, _] = languages();
    let wanted = [profile.language.clone(), english];
    condition_name(profile, id).pick(&wanted).to_owned()
}

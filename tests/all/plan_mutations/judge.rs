//! A naive judge of procedures: it carries each out alone on sets of strings and tells every rule that it breaks.
//!
//! It is written from the meaning of the fields and from the data that `plan::data` tells, and shares no code with the
//! checks. The order of the clamps is second-hand: several public texts agree on positive of the flat battery, positive of the
//! donor, negative of the donor, last a ground away from the flat battery, and on removal in exact reverse.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_rules::plan::data;
use chockstone_schema::{
    Profile, Sourced,
    id::ConditionRef,
    model::procedure::{Act, Procedure, Purpose, Step},
    quantity::DurationKind,
};
use serde_json::Value;

/// A rule that a procedure breaks: the procedure's place, what kind of rule, at which step, and about what.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Broken {
    pub(crate) procedure: usize,
    pub(crate) kind: &'static str,
    pub(crate) step: String,
    pub(crate) about: String,
}

/// What is known of a condition; nothing where nobody said anything.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Known {
    Holds,
    Over,
    Doubtful,
}

/// A rule as data.
struct Rule {
    id: String,
    acts: Vec<Act>,
    brings: Vec<String>,
    /// Judged after a step that is one of the acts or ends one of these, rather than before one.
    ends: Option<Vec<String>>,
    spared: Option<Vec<Purpose>>,
    holding: Vec<String>,
    unless: Vec<String>,
}

impl Rule {
    fn is_always(&self) -> bool {
        self.acts.is_empty()
            && self.brings.is_empty()
            && self.ends.is_none()
            && self.spared.is_none()
    }

    fn has_act(&self, step: &Step) -> bool {
        step.act.is_some_and(|act| self.acts.contains(&act))
    }

    fn comes_before(&self, purpose: Purpose, step: &Step) -> bool {
        if let Some(spared) = &self.spared {
            return !spared.contains(&purpose);
        }
        self.ends.is_none()
            && (self.has_act(step) || gives(step).any(|id| self.brings.iter().any(|b| b == id)))
    }

    fn comes_after(&self, step: &Step, ended: &[String]) -> bool {
        let ends = |ends: &Vec<String>| ended.iter().any(|id| ends.contains(id));
        self.ends
            .as_ref()
            .is_some_and(|of| self.has_act(step) || ends(of))
    }
}

/// What is built in, and the profile's own rules and conditions.
pub(super) struct Judge<'p> {
    profile: &'p Profile,
    rules: Vec<Rule>,
    depends: BTreeMap<String, Vec<String>>,
    ends: BTreeMap<String, Vec<String>>,
    brings: BTreeMap<String, Vec<String>>,
}

fn strings(value: &Value) -> Vec<String> {
    let list = value.as_array().map_or(&[] as &[_], Vec::as_slice);
    list.iter()
        .map(|s| s.as_str().unwrap().to_owned())
        .collect()
}

fn owned(list: &[ConditionRef]) -> Vec<String> {
    list.iter().map(ToString::to_string).collect()
}

fn gives(step: &Step) -> impl Iterator<Item = &str> {
    let held = step.holds.iter().map(|h| &h.condition);
    step.establishes
        .iter()
        .chain(held)
        .map(ConditionRef::as_str)
}

/// The longest and the shortest time that a statement allows, in seconds.
fn longest(time: &Sourced<DurationKind>) -> f64 {
    time.si() + time.plus_minus_si().unwrap_or(0.0)
}

fn shortest(time: &Sourced<DurationKind>) -> f64 {
    time.si() - time.plus_minus_si().unwrap_or(0.0)
}

impl<'p> Judge<'p> {
    pub(super) fn new(profile: &'p Profile) -> Self {
        let data = data();
        let built_in = data["rules"].as_array().unwrap().iter().map(|rule| Rule {
            id: rule["id"].as_str().unwrap().to_owned(),
            acts: serde_json::from_value(rule["acts"].clone()).unwrap_or_default(),
            brings: strings(&rule["brings_about"]),
            ends: (rule["after"] == true).then(|| strings(&rule["ends"])),
            spared: serde_json::from_value(rule["before_any_but"].clone()).unwrap(),
            holding: strings(&rule["while_holding"]),
            unless: strings(&rule["unless_any"]),
        });
        let own = profile.safety_rules.iter().map(|rule| Rule {
            id: rule.id.to_string(),
            acts: rule.acts.clone(),
            brings: owned(&rule.brings_about),
            ends: None,
            spared: None,
            holding: owned(&rule.while_holding),
            unless: owned(&rule.unless_any),
        });
        let rules = built_in.chain(own).collect();
        let conditions = data["conditions"].as_array().unwrap();
        let by_id = |key: &str| {
            let pair = |c: &Value| (c["id"].as_str().unwrap().to_owned(), strings(&c[key]));
            conditions
                .iter()
                .map(pair)
                .collect::<BTreeMap<String, Vec<String>>>()
        };
        let [mut depends, ends, brings] = ["depends_on", "ends", "brings"].map(by_id);
        for own in &profile.conditions {
            depends.insert(own.id.to_string(), owned(&own.depends_on));
        }
        Self {
            profile,
            rules,
            depends,
            ends,
            brings,
        }
    }

    /// Every rule that any procedure of the profile breaks.
    pub(super) fn broken(&self) -> Vec<Broken> {
        let procedures = self.profile.procedures.iter().enumerate();
        procedures
            .flat_map(|(i, p)| Walk::new(self, i, p).broken())
            .collect()
    }

    fn needs(&self, id: &str) -> &[String] {
        self.depends.get(id).map_or(&[], Vec::as_slice)
    }

    fn ended_by(&self, id: &str) -> &[String] {
        self.ends.get(id).map_or(&[], Vec::as_slice)
    }

    fn brought_by(&self, id: &str) -> &[String] {
        self.brings.get(id).map_or(&[], Vec::as_slice)
    }

    /// Whether a procedure that puts the vehicle back into service settles a debt.
    fn is_settled_by_return(&self, debt: &str) -> bool {
        let all = self.profile.procedures.iter();
        all.filter(|p| p.purpose == Purpose::ReturnToService)
            .flat_map(|p| &p.steps)
            .any(|s| s.settles.iter().any(|d| d.as_str() == debt))
    }

    /// How long a condition holds by its definition, and what may hold then: what it lapses to, and what it had ended.
    fn lasts(&self, id: &str) -> (Option<f64>, Vec<String>) {
        let own = self.profile.conditions.iter().find(|c| c.id.as_str() == id);
        let (time, mut then) = own.map_or((None, Vec::new()), |own| {
            (own.holds_for.as_ref().map(shortest), owned(&own.lapses_to))
        });
        then.extend(self.ended_by(id).iter().cloned());
        (time, then)
    }
}

struct Walk<'j, 'p> {
    judge: &'j Judge<'p>,
    index: usize,
    procedure: &'p Procedure,
    known: BTreeMap<String, Known>,
    left: BTreeMap<String, f64>,
    debts: BTreeSet<String>,
    found: Vec<Broken>,
}

impl<'j, 'p> Walk<'j, 'p> {
    fn new(judge: &'j Judge<'p>, index: usize, procedure: &'p Procedure) -> Self {
        let mut walk = Self {
            judge,
            index,
            procedure,
            known: BTreeMap::new(),
            left: BTreeMap::new(),
            debts: BTreeSet::new(),
            found: Vec::new(),
        };
        for id in owned(&procedure.never_with) {
            walk.known.insert(id, Known::Over);
        }
        // Where a condition holds, what it depends on and what it brings hold as well, and what it ends does not.
        let mut held = owned(&procedure.starts_with);
        while let Some(id) = held.pop() {
            if walk.known.insert(id.clone(), Known::Holds) != Some(Known::Holds) {
                held.extend(judge.needs(&id).iter().cloned());
                held.extend(judge.brought_by(&id).iter().cloned());
            }
            for other in judge.ended_by(&id) {
                walk.known.insert(other.clone(), Known::Over);
            }
        }
        walk
    }

    fn is(&self, id: &str, known: Known) -> bool {
        self.known.get(id) == Some(&known)
    }

    fn may_hold(&self, id: &str) -> bool {
        self.is(id, Known::Holds) || self.is(id, Known::Doubtful)
    }

    fn tell(&mut self, kind: &'static str, step: &str, about: impl Into<String>) {
        self.found.push(Broken {
            procedure: self.index,
            kind,
            step: step.to_owned(),
            about: about.into(),
        });
    }

    fn broken(mut self) -> Vec<Broken> {
        if self.procedure.steps.is_empty() {
            return Vec::new();
        }
        for step in &self.procedure.steps {
            self.step(step);
        }
        for id in owned(&self.procedure.ends_with) {
            if !self.is(&id, Known::Holds) {
                self.tell("end not reached", "", id);
            }
        }
        for debt in self.debts.clone() {
            if !self.judge.is_settled_by_return(&debt) {
                self.tell("debt left", "", debt);
            }
        }
        self.clamps();
        self.loop_left_open();
        self.found
    }

    fn step(&mut self, step: &Step) {
        let id = step.id.as_str();
        let begun = self.known.clone();
        let broken_before = self.always_broken();
        for needed in owned(&step.requires) {
            if !self.is(&needed, Known::Holds) {
                self.tell("requirement not met", id, needed);
            }
        }
        self.judge_before(step);
        if self.pass(step) {
            for needed in owned(&step.requires) {
                let held = begun.get(&needed) == Some(&Known::Holds);
                if held && !self.is(&needed, Known::Holds) {
                    self.tell("hold too short", id, needed);
                }
            }
            self.judge_before(step);
            self.judge_always(id, &broken_before);
        }
        let ended = self.change(step);
        for given in gives(step) {
            for need in self.judge.needs(given) {
                if self.is(need, Known::Over) || self.is(need, Known::Doubtful) {
                    self.tell("depends on what does not hold", id, need);
                }
            }
        }
        self.follow();
        self.debts
            .extend(step.opens.iter().map(ToString::to_string));
        for debt in &step.settles {
            self.debts.remove(debt.as_str());
        }
        for rule in self.broken_of(|rule| rule.comes_after(step, &ended)) {
            self.tell("rule broken", id, rule);
        }
        self.judge_always(id, &broken_before);
    }

    /// What a step excludes, and the rules judged before it.
    fn judge_before(&mut self, step: &Step) {
        let id = step.id.as_str();
        for excluded in owned(&step.requires_not) {
            if self.may_hold(&excluded) {
                self.tell("excluded condition held", id, excluded);
            }
        }
        let purpose = self.procedure.purpose;
        for rule in self.broken_of(|rule| rule.comes_before(purpose, step)) {
            self.tell("rule broken", id, rule);
        }
    }

    /// What must always be and is newly not so.
    fn judge_always(&mut self, step: &str, broken_before: &[String]) {
        for rule in self.always_broken() {
            if !broken_before.contains(&rule) {
                self.tell("rule broken", step, rule);
            }
        }
    }

    fn always_broken(&self) -> Vec<String> {
        self.broken_of(Rule::is_always)
    }

    /// The rules among those that apply that are broken now.
    fn broken_of(&self, applies: impl Fn(&Rule) -> bool) -> Vec<String> {
        let is_broken = |rule: &&Rule| {
            let holding = rule.holding.iter().all(|id| self.may_hold(id));
            holding && !rule.unless.iter().any(|id| self.is(id, Known::Holds))
        };
        let rules = self.judge.rules.iter().filter(|rule| applies(rule));
        rules.filter(is_broken).map(|r| r.id.clone()).collect()
    }

    /// Lets the time of a step pass, and tells whether anything ran out.
    fn pass(&mut self, step: &Step) -> bool {
        let time = step.time.as_ref().map_or(0.0, longest);
        let mut over = Vec::new();
        for (id, left) in &mut self.left {
            *left -= time;
            if *left < -1e-6 {
                over.push(id.clone());
            }
        }
        for id in &over {
            self.left.remove(id);
            for doubtful in self.judge.lasts(id).1.into_iter().chain([id.clone()]) {
                self.known.insert(doubtful, Known::Doubtful);
            }
        }
        self.follow();
        !over.is_empty()
    }

    /// Makes the effects of a step so, and tells what it ends, whether that held or not.
    fn change(&mut self, step: &Step) -> Vec<String> {
        let given: Vec<String> = gives(step).map(str::to_owned).collect();
        let by_giving = given.iter().flat_map(|id| self.judge.ended_by(id)).cloned();
        let by_giving = by_giving.filter(|id| !given.contains(id));
        let ended: Vec<String> = owned(&step.clears).into_iter().chain(by_giving).collect();
        for id in &ended {
            self.left.remove(id);
            self.known.insert(id.clone(), Known::Over);
        }
        for id in given {
            let own = step.holds.iter().find(|h| h.condition.as_str() == id);
            let time = own.map(|h| shortest(&h.time)).or(self.judge.lasts(&id).0);
            self.left.remove(&id);
            if let Some(time) = time {
                self.left.insert(id.clone(), time);
            }
            self.known.insert(id, Known::Holds);
        }
        ended
    }

    /// What follows from what is there: it brings what it brings, and goes with what it depends on.
    fn follow(&mut self) {
        for (id, brings) in &self.judge.brings {
            if self.may_hold(id) {
                for brought in brings {
                    self.known.insert(brought.clone(), Known::Holds);
                }
            }
        }
        let lost = |walk: &Self| {
            let mut held = walk.known.iter().filter(|(_, k)| **k == Known::Holds);
            let found = held.find(|(id, _)| {
                let mut needs = walk.judge.needs(id).iter();
                needs.any(|n| walk.is(n, Known::Over) || walk.is(n, Known::Doubtful))
            });
            found.map(|(id, _)| id.clone())
        };
        while let Some(id) = lost(self) {
            self.left.remove(&id);
            self.known.insert(id, Known::Doubtful);
        }
    }

    /// The clamps go on in the one safe order, and come off in its exact reverse.
    fn clamps(&mut self) {
        const ON: [Act; 4] = [
            Act::ConnectPositiveFlat,
            Act::ConnectPositiveDonor,
            Act::ConnectNegativeDonor,
            Act::ConnectGroundRemote,
        ];
        const OFF: [Act; 4] = [
            Act::RemoveGroundRemote,
            Act::RemoveNegativeDonor,
            Act::RemovePositiveDonor,
            Act::RemovePositiveFlat,
        ];
        let acts: Vec<Act> = self.procedure.steps.iter().filter_map(|s| s.act).collect();
        let clamps = |a: &&Act| {
            ON.contains(a)
                || OFF.contains(a)
                || matches!(a, Act::ConnectNegativeFlat | Act::RemoveNegativeFlat)
        };
        let done: Vec<Act> = acts.iter().filter(clamps).copied().collect();
        let on_only = done == ON;
        let both = done == [ON, OFF].concat();
        let off_only = done == OFF;
        if !done.is_empty() && !on_only && !both && !off_only {
            self.tell("clamps out of order", "", format!("{done:?}"));
        }
    }

    /// A loop that is opened for some other work is closed when that is done.
    fn loop_left_open(&mut self) {
        const OPEN: &str = "low-voltage-loop-open";
        let leaves_it_open = matches!(
            self.procedure.purpose,
            Purpose::ShutOff | Purpose::Fire | Purpose::Submersion | Purpose::Store
        ) || self.procedure.ends_with.iter().any(|c| c.as_str() == OPEN);
        let opened = self
            .procedure
            .steps
            .iter()
            .any(|s| s.act == Some(Act::OpenLoop));
        if opened && !leaves_it_open && self.may_hold(OPEN) {
            self.tell("loop left open", "", OPEN);
        }
    }
}

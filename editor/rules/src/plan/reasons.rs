//! Why there is no way without further facts, in words.

use super::{
    actions::{Action, Ignored, Origin},
    distance::Reach,
    engine::{Allowance, Engine, Refusals},
    state::{Set, State, bits},
    walk::{name_in_base, rule_words},
    world::{JudgedCode, RuleCode, World},
};

/// The most actions named for one condition that cannot be brought about.
const MOST_NAMED: usize = 3;
/// The most steps back from the goal.
const DEEPEST: usize = 2;

/// Why a goal cannot be reached from a start by the actions that are no facts, one sentence each.
pub(crate) fn why_not(
    engine: &Engine<'_, '_, '_>,
    start: &State,
    refusals: &Refusals,
) -> Vec<String> {
    let (world, goal) = (engine.world, &engine.goal);
    let own: Vec<&Action<'_>> = own_actions(engine).collect();
    let reach = Reach::of(world, &own, start);
    if reach.may_be(goal, start) {
        return what_excludes(engine, start, refusals).into_iter().collect();
    }
    let mut reasons = Reasons {
        world,
        actions: &own,
        reach: &reach,
        told: 0,
        told_ended: 0,
        list: Vec::new(),
    };
    reasons.missing(goal.all & !reach.may_hold, 0);
    if goal.any != 0 && goal.any & reach.may_hold == 0 {
        reasons.missing(goal.any, 0);
    }
    reasons.staying(goal.none & !reach.may_end, 0);
    if goal.settled {
        let left = world.debts_of(start.debts & !reach.settles);
        reasons.list.extend(
            left.iter()
                .map(|debt| format!("Nothing settles the debt {debt}.")),
        );
    }
    let mut seen = std::collections::BTreeSet::new();
    reasons.list.retain(|reason| seen.insert(reason.clone()));
    reasons.list
}

struct Reasons<'a, 'p> {
    world: &'a World<'p>,
    actions: &'a [&'a Action<'p>],
    reach: &'a Reach,
    told: Set,
    told_ended: Set,
    list: Vec<String>,
}

impl Reasons<'_, '_> {
    fn name(&self, bit: usize) -> String {
        name_in_base(self.world.profile, self.world.id(bit))
    }

    /// Why these conditions cannot come to hold.
    fn missing(&mut self, conditions: Set, depth: usize) {
        for bit in bits(conditions & !self.told) {
            self.told |= 1 << bit;
            self.explain(bit, true, depth);
        }
    }

    /// Why these conditions cannot end.
    fn staying(&mut self, conditions: Set, depth: usize) {
        for bit in bits(conditions & !self.told_ended) {
            self.told_ended |= 1 << bit;
            self.explain(bit, false, depth);
        }
    }

    fn explain(&mut self, bit: usize, must_hold: bool, depth: usize) {
        let helps = |a: &&&Action<'_>| (if must_hold { a.adds } else { a.ends }) >> bit & 1 == 1;
        let helpers: Vec<&Action<'_>> = self.actions.iter().filter(helps).copied().collect();
        let name = self.name(bit);
        let does = if must_hold { "brings about" } else { "ends" };
        if helpers.is_empty() {
            self.list.push(if must_hold {
                format!("Nothing in this profile brings about: {name}.")
            } else {
                format!("Nothing in this profile ends: {name}.")
            });
            return;
        }
        if let Some(text) = self.rule_against_all(&helpers) {
            self.list.push(format!(
                "Whatever {does}: {name}, would break a rule: {text}"
            ));
            return;
        }
        let (mut lacks, mut stays) = (0, 0);
        for action in helpers.iter().take(MOST_NAMED) {
            let (missing, holding) = (
                action.all & !self.reach.may_hold,
                action.none & !self.reach.may_end,
            );
            lacks |= missing;
            stays |= holding;
            self.list
                .push(self.sentence(action, &name, must_hold, missing, holding));
        }
        if depth < DEEPEST {
            self.missing(lacks, depth + 1);
            self.staying(stays, depth + 1);
        }
    }

    /// A rule that forbids all of these actions for certain.
    fn rule_against_all(&self, helpers: &[&Action<'_>]) -> Option<String> {
        let (first, others) = helpers.split_first()?;
        let forbids = |action: &Action<'_>, rule: usize| {
            let mut guards = action.guards.iter().filter(|guard| guard.rule == rule);
            guards.any(|guard| self.reach.forbids(guard))
        };
        let mut rules = first.guards.iter().map(|guard| guard.rule);
        let rule = rules.find(|rule| {
            forbids(first, *rule) && others.iter().all(|action| forbids(action, *rule))
        })?;
        Some(rule_words(self.world.profile, rule).1)
    }

    fn sentence(
        &self,
        action: &Action<'_>,
        name: &str,
        must_hold: bool,
        missing: Set,
        holding: Set,
    ) -> String {
        let does = if must_hold { "brings about" } else { "ends" };
        let mut why = Vec::new();
        let list = |set: Set| {
            let names: Vec<String> = bits(set).map(|bit| self.name(bit)).collect();
            names.join(", ")
        };
        if missing != 0 {
            why.push(format!("needs: {}", list(missing)));
        }
        if holding != 0 {
            why.push(format!("may not be done with: {}", list(holding)));
        }
        let rules = action
            .guards
            .iter()
            .filter(|guard| self.reach.forbids(guard));
        for guard in rules {
            let (_, text) = rule_words(self.world.profile, guard.rule);
            why.push(format!("would break a rule: {text}"));
        }
        why.dedup();
        let who = action_name(self.world, action);
        if why.is_empty() {
            return format!("“{who}” {does}: {name}, and the steps to it exclude each other.");
        }
        format!("“{who}” {does}: {name}. It {}", sentence_of(&why))
    }
}

/// Parts of a sentence in a row, with one full stop.
fn sentence_of(parts: &[String]) -> String {
    let all = parts.join("; it ");
    if all.ends_with('.') { all } else { all + "." }
}

/// What an action is called in the profile's language.
pub(crate) fn action_name(world: &World<'_>, action: &Action<'_>) -> String {
    let [english, _] = super::names::languages();
    let wanted = [world.profile.language.clone(), english];
    match action.origin {
        Origin::Procedure(_, procedure) => procedure.name.pick(&wanted).to_owned(),
        Origin::General(act) => super::names::both(act.name).pick(&wanted).to_owned(),
        Origin::Fact { bit, .. } => name_in_base(world.profile, world.id(bit)),
    }
}

/// The actions that matter and are no facts.
fn own_actions<'a, 'p>(
    engine: &Engine<'a, 'p, '_>,
) -> impl Iterator<Item = &'a Action<'p>> + Clone {
    let own = engine.usable.iter().map(|(_, action, _)| *action);
    own.filter(|action| !action.is_fact())
}

/// Every part may be done by itself: what makes it impossible together is a hold that runs out, a rule, or the order.
/// Nothing where finding out would take too much work.
///
/// Every action that can be tried without facts was tried and refused. Where leaving a rule out opens a way, the first
/// action of that way that was refused was refused by that rule first of all; so only such rules need to be left out.
fn what_excludes(
    engine: &Engine<'_, '_, '_>,
    start: &State,
    refusals: &Refusals,
) -> Option<String> {
    let world = engine.world;
    let sets_a_time = |a: &Action<'_>| a.steps.iter().any(|step| !step.timers.is_empty());
    if own_actions(engine).any(sets_a_time) && is_open_to(engine, world, start, Ignored::Times) {
        return Some("Every way takes longer than a condition holds that it needs.".to_owned());
    }
    for rule in &refusals.rules {
        let kept = without_rule(world, *rule);
        if kept.is_some_and(|world| is_open_to(engine, &world, start, Ignored::Rule(*rule))) {
            let (_, text) = rule_words(world.profile, *rule);
            return Some(format!("Every way would break a rule: {text}"));
        }
    }
    (!engine.budget.is_spent()).then(|| "Each step that leads there can be done by itself, but none of their orders works: one ends what another needs.".to_owned())
}

/// Whether there is a way without any fact where nothing ran out, or, in another world, without one of its rules.
fn is_open_to(
    engine: &Engine<'_, '_, '_>,
    world: &World<'_>,
    start: &State,
    ignored: Ignored,
) -> bool {
    let own: Vec<Action<'_>> = own_actions(engine).map(|a| a.ignoring(ignored)).collect();
    let usable = own.iter().enumerate();
    let other = Engine {
        world,
        goal: engine.goal,
        usable: usable
            .map(|(i, action)| (i, action, super::cost::Cost::default()))
            .collect(),
        matters: engine.matters,
        owes: engine.owes,
        broken: engine.broken,
        budget: engine.budget,
    };
    let none = Allowance {
        brought: 0,
        over: 0,
    };
    let guide = other.guide();
    other
        .with_facts(&guide, start, (none, &[0]), None)
        .is_some()
}

/// The same world with one rule that is never broken.
fn without_rule<'p>(world: &World<'p>, rule: usize) -> Option<World<'p>> {
    let mut world = world.clone();
    let code = world.rules.get_mut(rule)?;
    // A condition that no world has keeps the rule from ever applying.
    *code = RuleCode {
        while_holding: Set::MAX,
        unless_any: Set::MAX,
        judged: JudgedCode::Always,
    };
    Some(world)
}

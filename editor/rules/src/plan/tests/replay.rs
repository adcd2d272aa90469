//! Every way of every demo vehicle done again by sets of names, without anything of the planner's own machinery.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_schema::{
    Profile, conditions,
    id::ConditionRef,
    model::procedure::{Act, Procedure, Purpose, Step},
    report::{Goal, PartKind, PlanCell, PlanRow, Way},
};

use super::super::{combinations, general_acts::GENERAL_ACTS};
use super::{HATCH, PICKUP, SEDAN, Start, VAN, demo, planner, sorted};

/// What keeps a vehicle in neutral from rolling away.
const HOLDERS: [&str; 6] = [
    "wheels-chocked",
    "line-taut",
    "parking-brake-set",
    "secured",
    "on-stands",
    "on-skates",
];

/// What is true, by name.
#[derive(Default)]
struct Scene {
    held: BTreeSet<String>,
    /// What can no longer be counted on, and may still hold.
    unsure: BTreeSet<String>,
    /// When what holds for a time runs out, in seconds from the start.
    until: BTreeMap<String, f64>,
    debts: BTreeSet<String>,
    clock: f64,
}

/// What one step needs and does, by name.
struct Deed<'a> {
    requires: Vec<&'a str>,
    excludes: Vec<&'a str>,
    establishes: Vec<&'a str>,
    clears: Vec<&'a str>,
    slowest: f64,
    act: Option<Act>,
}

fn own<'p>(
    profile: &'p Profile,
    id: &str,
) -> Option<&'p chockstone_schema::model::procedure::ConditionDefinition> {
    profile.conditions.iter().find(|c| c.id.as_str() == id)
}

fn depends_on(profile: &Profile, id: &str) -> Vec<String> {
    let built_in = conditions::find(id).map_or(&[] as &[_], |c| c.depends_on);
    let mine = own(profile, id).map_or(&[] as &[_], |c| c.depends_on.as_slice());
    let built_in = built_in.iter().map(|c| (*c).to_owned());
    built_in
        .chain(mine.iter().map(|c| c.as_str().to_owned()))
        .collect()
}

impl Scene {
    fn holds(&self, id: &str) -> bool {
        self.held.contains(id)
    }

    fn end(&mut self, id: &str) {
        self.held.remove(id);
        self.unsure.remove(id);
        self.until.remove(id);
    }

    fn begin(&mut self, id: &str) {
        self.end(id);
        self.held.insert(id.to_owned());
        for other in conditions::find(id).map_or(&[] as &[_], |c| c.ends) {
            self.end(other);
        }
    }

    fn doubt(&mut self, id: &str) {
        self.end(id);
        self.unsure.insert(id.to_owned());
    }

    fn pass(&mut self, profile: &Profile, seconds: f64) {
        self.clock += seconds;
        let clock = self.clock + 1e-6;
        let over: Vec<String> = (self.until.iter())
            .filter(|(_, until)| **until + 2e-6 < clock)
            .map(|(id, _)| id.clone())
            .collect();
        for id in over {
            self.doubt(&id);
            for next in own(profile, &id).map_or(&[] as &[_], |c| c.lapses_to.as_slice()) {
                self.doubt(next.as_str());
            }
        }
    }

    fn let_dependents_go(&mut self, profile: &Profile) {
        loop {
            let lost = self.held.iter().find(|id| {
                depends_on(profile, id)
                    .iter()
                    .any(|need| !self.held.contains(need))
            });
            let Some(lost) = lost.cloned() else { return };
            self.doubt(&lost);
        }
    }

    /// Does one step and says what was wrong with it.
    fn do_it(&mut self, profile: &Profile, deed: &Deed<'_>) -> Vec<String> {
        let mut wrong = Vec::new();
        let mut judge = |wrong_now: bool, what: String| {
            if wrong_now {
                wrong.push(what);
            }
        };
        let suspect = self.holds("pack-suspect");
        for id in &deed.establishes {
            let wakes = ["awake", "ready", "charging", "jump-connected"].contains(id);
            judge(
                suspect && wakes,
                format!("{id} with the pack under suspicion"),
            );
            let neutral = *id == "in-neutral";
            judge(
                neutral && self.holds("on-slope") && !self.holds("line-taut"),
                "neutral on a slope without a line".to_owned(),
            );
        }
        judge(
            deed.act == Some(Act::WinchUp) && self.holds("cord-attached"),
            "winched with the cord in".to_owned(),
        );
        for id in &deed.excludes {
            judge(
                self.holds(id) || self.unsure.contains(*id),
                format!("excludes {id}"),
            );
        }
        self.pass(profile, deed.slowest);
        for id in &deed.requires {
            judge(!self.holds(id), format!("requires {id}"));
        }
        deed.clears.iter().for_each(|id| self.end(id));
        deed.establishes.iter().for_each(|id| self.begin(id));
        for id in &deed.establishes {
            for need in depends_on(profile, id) {
                judge(!self.holds(&need), format!("{id} without {need}"));
            }
        }
        self.let_dependents_go(profile);
        let rolls = self.holds("in-neutral") && !HOLDERS.iter().any(|h| self.holds(h));
        judge(rolls, "in neutral and held by nothing".to_owned());
        judge(
            self.holds("charging") && self.holds("jump-connected"),
            "charging during a jump start".to_owned(),
        );
        wrong
    }

    fn do_step(&mut self, profile: &Profile, step: &Step) -> Vec<String> {
        let names = |list: &[ConditionRef]| -> Vec<String> {
            list.iter().map(|c| c.as_str().to_owned()).collect()
        };
        let timed = step.holds.iter().map(|h| h.condition.as_str().to_owned());
        let lists = [
            names(&step.requires),
            names(&step.requires_not),
            names(&step.establishes).into_iter().chain(timed).collect(),
            names(&step.clears),
        ];
        let [requires, excludes, establishes, clears] = lists
            .each_ref()
            .map(|l| l.iter().map(String::as_str).collect());
        let time = step.time.as_ref();
        let deed = Deed {
            requires,
            excludes,
            establishes,
            clears,
            slowest: time.map_or(0.0, |t| t.si() + t.plus_minus_si().unwrap_or(0.0)),
            act: step.act,
        };
        let wrong = self.do_it(profile, &deed);
        for id in &deed.establishes {
            let stated = step.holds.iter().find(|h| h.condition.as_str() == *id);
            let defined = own(profile, id).and_then(|c| c.holds_for.as_ref());
            if let Some(time) = stated.map(|h| &h.time).or(defined) {
                let least = time.si() - time.plus_minus_si().unwrap_or(0.0);
                self.until.insert((*id).to_owned(), self.clock + least);
            }
        }
        let opened = step.opens.iter().map(|d| d.as_str().to_owned());
        self.debts.extend(opened);
        for debt in &step.settles {
            self.debts.remove(debt.as_str());
        }
        wrong
    }

    fn do_procedure(&mut self, profile: &Profile, procedure: &Procedure) -> Vec<String> {
        let mut wrong = Vec::new();
        let (fire, water) = (Purpose::Fire, Purpose::Submersion);
        if self.holds("smoke-or-heat") && procedure.purpose != fire {
            wrong.push("with smoke".to_owned());
        }
        if self.holds("in-water") && ![fire, water].contains(&procedure.purpose) {
            wrong.push("in water".to_owned());
        }
        let missing = procedure
            .starts_with
            .iter()
            .filter(|c| !self.holds(c.as_str()));
        wrong.extend(missing.map(|c| format!("starts with {c}")));
        let never = procedure.never_with.iter().map(ConditionRef::as_str);
        let never = never.filter(|c| self.holds(c) || self.unsure.contains(*c));
        wrong.extend(never.map(|c| format!("never with {c}")));
        for step in &procedure.steps {
            let told = self.do_step(profile, step);
            wrong.extend(told.into_iter().map(|w| format!("step {}: {w}", step.id)));
        }
        wrong
    }
}

/// Does a way from a start and gives how it ends, and what was wrong on the way.
fn replay(profile: &Profile, given: &[String], cell: &PlanCell, way: &Way) -> (Scene, Vec<String>) {
    let mut scene = Scene {
        held: given.iter().cloned().collect(),
        ..Scene::default()
    };
    let mut wrong = Vec::new();
    for part in &way.parts {
        let told = match part.kind {
            PartKind::Fact => {
                let fact = cell
                    .missing
                    .iter()
                    .find(|m| m.condition == part.id)
                    .unwrap();
                if fact.must_hold {
                    scene.begin(&part.id);
                } else {
                    scene.end(&part.id);
                }
                scene.let_dependents_go(profile);
                Vec::new()
            }
            PartKind::GeneralAct => {
                let act = GENERAL_ACTS.iter().find(|a| a.id == part.id).unwrap();
                let deed = Deed {
                    requires: act.requires.to_vec(),
                    excludes: act.requires_not.to_vec(),
                    establishes: act.establishes.to_vec(),
                    clears: act.clears.to_vec(),
                    slowest: act.seconds.0 + act.seconds.1,
                    act: act.act,
                };
                scene.do_it(profile, &deed)
            }
            PartKind::Procedure => {
                let mut all = profile.procedures.iter();
                let procedure = all.find(|p| p.id.as_str() == part.id).unwrap();
                scene.do_procedure(profile, procedure)
            }
        };
        wrong.extend(told.into_iter().map(|w| format!("{}: {w}", part.id)));
    }
    (scene, wrong)
}

/// Whether the scene is what the goal means, in our own words.
fn is_reached(goal: Goal, scene: &Scene) -> bool {
    let holds = |id| scene.holds(id);
    let gone = |id: &str| !scene.holds(id) && !scene.unsure.contains(id);
    match goal {
        Goal::Opened => holds("doors-open"),
        Goal::Awake => holds("awake"),
        Goal::CordFree => gone("cord-attached") && gone("charging"),
        Goal::InNeutral => holds("in-neutral") && (holds("line-taut") || holds("wheels-chocked")),
        Goal::Loaded => holds("on-deck"),
        Goal::Secured => holds("on-deck") && holds("secured"),
        Goal::ReturnedToService => {
            let open = [
                "cord-attached",
                "charging",
                "jump-connected",
                "low-voltage-loop-open",
                "low-voltage-disconnected",
                "high-voltage-off",
                "panel-removed",
                "front-cover-open",
                "raised",
                "on-deck",
                "on-dollies",
                "on-skates",
                "line-taut",
                "wheels-chocked",
                "pack-suspect",
            ];
            holds("ready")
                && holds("in-park")
                && open.into_iter().all(gone)
                && scene.debts.is_empty()
        }
    }
}

fn check_row(profile: &Profile, row: &PlanRow) -> usize {
    let mut walked = 0;
    for cell in &row.cells {
        let Some(way) = &cell.way else { continue };
        let (scene, wrong) = replay(profile, &row.given, cell, way);
        let at = format!("{} {:?} {:?}", profile.id, row.given, cell.goal);
        assert!(wrong.is_empty(), "{at}: {wrong:#?}");
        assert!(is_reached(cell.goal, &scene), "{at}: {:?}", scene.held);
        let end = sorted(scene.held.iter().map(String::as_str));
        let said = sorted(way.end.iter().map(String::as_str));
        assert_eq!(said, end, "{at}");
        let owed = sorted(scene.debts.iter().map(String::as_str));
        assert_eq!(sorted(way.debts.iter().map(String::as_str)), owed, "{at}");
        assert!((way.slowest - scene.clock).abs() < 1e-3, "{at}");
        walked += 1;
    }
    walked
}

/// Does every way from every combination of troubles to every goal.
fn check_combinations(name: &str) {
    let profile = demo(name);
    let starts: Vec<Start> = combinations();
    let rows = planner(&profile, None).table(&starts, &Goal::ALL);
    let walked: usize = rows.iter().map(|row| check_row(&profile, row)).sum();
    // Nothing to free in half of the starts; every other cell has a way, with or without further facts.
    assert_eq!(walked, 64 * 7 - 32, "{name}");
}

// One test a vehicle, so that they are done at the same time.

#[test]
fn every_way_of_the_pickup_can_be_done_and_it_never_rolls_away() {
    check_combinations(PICKUP);
}

#[test]
fn every_way_of_the_van_can_be_done_and_it_never_rolls_away() {
    check_combinations(VAN);
}

#[test]
fn every_way_of_the_sedan_can_be_done_and_it_never_rolls_away() {
    check_combinations(SEDAN);
}

#[test]
fn every_way_of_the_hatchback_can_be_done_and_it_never_rolls_away() {
    check_combinations(HATCH);
}

//! The planner's answers against `networkx` over state graphs that an independent script writes out
//! (`tests/reference/plan_oracle.py`): whether there is a way, with how few facts, how long and with how many hazards,
//! on the demo profiles and on random small ones, where the script looks at every state.
//!
//! The script also carries out every way that the planner tells, action by action.

use std::collections::{BTreeMap, BTreeSet};

use chockstone_rules::plan::{Planner, Start, data, situations};
use chockstone_schema::{
    Profile,
    read::to_value,
    report::{Goal, HazardCount, Least, PartKind, PlanAnswer, PlanCell, PlanChoices, PlanRow},
};
use chockstone_tests::{
    demo,
    outside::{self, Script},
    random::Random,
    tell,
};
use rayon::prelude::*;
use serde_json::{Value, json};

mod problems;

const SCRIPT: &str = "plan_oracle.py";

/// One profile, its starts, and what the planner says of them.
struct Problem {
    name: String,
    profile: Profile,
    variant: Option<String>,
    choices: PlanChoices,
    starts: Vec<Start>,
    whole: bool,
}

/// Both answers of the planner to one problem: the quickest and the most careful ways.
type Answers = [(Least, Vec<PlanRow>); 2];

impl Problem {
    fn answers(&self) -> (Answers, Vec<String>) {
        let mut left_out = Vec::new();
        let answers = [Least::Time, Least::Hazard].map(|least| {
            let choices = PlanChoices {
                least,
                ..self.choices
            };
            let planner = Planner::new(&self.profile, self.variant.as_deref(), choices)
                .unwrap_or_else(|e| panic!("{}: {e}", self.name));
            let report = planner.report(planner.table(&self.starts, &Goal::ALL));
            // Which procedures are for another variant the script finds out by itself.
            let faulty = report.left_out.iter();
            left_out = faulty
                .filter(|l| !l.place.ends_with("/variants"))
                .map(|l| l.procedure.clone())
                .collect();
            (least, report.rows)
        });
        (answers, left_out)
    }

    fn question(&self, left_out: &[String], answers: &Answers) -> Value {
        let document = to_value(&self.profile);
        let part = |key: &str| document.get(key).cloned().unwrap_or(json!([]));
        let variants = self.profile.variants.iter().map(|v| v.id.as_str());
        json!({
            "profile": {
                "variants": variants.collect::<Vec<_>>(),
                "conditions": part("conditions"),
                "safety_rules": part("safety_rules"),
                "procedures": part("procedures"),
                "hazards": part("hazards"),
            },
            "variant": self.variant,
            "left_out": left_out,
            "load_up": self.choices.load_up,
            "fetch_key": self.choices.fetch_key,
            "whole": self.whole,
            "starts": self.starts.iter().map(|s| &s.given).collect::<Vec<_>>(),
            "goals": Goal::ALL,
            "ways": answers.iter().map(|(_, rows)| ways(rows)).collect::<Vec<_>>(),
        })
    }
}

/// The actions of every way, by kind and id.
fn ways(rows: &[PlanRow]) -> Value {
    let way = |cell: &PlanCell| {
        let parts = cell.way.iter().flat_map(|way| &way.parts);
        parts
            .map(|p| json!([p.kind, p.id]))
            .collect::<Vec<_>>()
            .into()
    };
    let row = |row: &PlanRow| row.cells.iter().map(way).collect::<Vec<Value>>();
    json!(rows.iter().map(row).collect::<Vec<_>>())
}

/// What the comparison counted.
#[derive(Default)]
struct Tally {
    cases: usize,
    hold: usize,
    ways: usize,
    with_facts: usize,
    none: usize,
    nodes: u64,
    edges: u64,
    profiles: usize,
    too_large: usize,
    given_up: usize,
    met: BTreeMap<String, u64>,
}

impl Tally {
    fn compare(&mut self, problem: &Problem, answers: &Answers, theirs: &Value) {
        if theirs["cells"].is_null() {
            self.too_large += 1;
            return;
        }
        self.profiles += 1;
        self.nodes += theirs["nodes"].as_u64().unwrap();
        self.edges += theirs["edges"].as_u64().unwrap();
        for (what, times) in theirs["met"].as_object().unwrap() {
            *self.met.entry(what.clone()).or_default() += times.as_u64().unwrap();
        }
        for (k, (least, rows)) in answers.iter().enumerate() {
            assert_eq!(rows.len(), problem.starts.len());
            for (i, row) in rows.iter().enumerate() {
                for (j, cell) in row.cells.iter().enumerate() {
                    if cell.answer == PlanAnswer::NotWorkedOut {
                        self.given_up += 1;
                        continue;
                    }
                    let at = || {
                        format!(
                            "{}, {:?}, {least:?}, from {:?}\nour way {}\ntheirs {}",
                            problem.name,
                            cell.goal,
                            problem.starts[i].given,
                            told(cell),
                            theirs["cells"][i][j],
                        )
                    };
                    assert_eq!(
                        ours(cell, *least),
                        expected(&theirs["cells"][i][j], *least),
                        "{}",
                        at()
                    );
                    assert_eq!(theirs["carried_out"][k][i][j], true, "{}", at());
                    self.count(cell.answer);
                }
            }
        }
    }

    fn count(&mut self, answer: PlanAnswer) {
        self.cases += 1;
        match answer {
            PlanAnswer::Holds => self.hold += 1,
            PlanAnswer::Way => self.ways += 1,
            PlanAnswer::WayIf => self.with_facts += 1,
            PlanAnswer::NoWay => self.none += 1,
            PlanAnswer::NotWorkedOut => panic!("compared as if it were an answer"),
        }
    }

    fn tell(&self, what: &str) {
        tell(&format!(
            "plan: {what}, {}: {} answers equal networkx's ({} hold already, {} ways, {} ways with facts from outside, {} without a way) over graphs of {} states and {} edges; {} left as too large; met {:?}",
            self.profiles,
            self.cases,
            self.hold,
            self.ways,
            self.with_facts,
            self.none,
            self.nodes,
            self.edges,
            self.too_large,
            self.met
        ));
    }
}

fn told(cell: &PlanCell) -> String {
    let parts = cell.way.iter().flat_map(|way| &way.parts);
    let parts: Vec<String> = parts
        .map(|p| match p.kind {
            PartKind::Fact => format!("[{}]", p.id),
            _ => p.id.clone(),
        })
        .collect();
    format!("{:?}: {}", cell.answer, parts.join(", "))
}

/// Facts, those of them that something is over, and the parts of the cost in the order of their weight; none without a way.
type Cost = Option<([u64; 2], Vec<u64>)>;

fn ours(cell: &PlanCell, least: Least) -> Cost {
    let facts = cell.missing.len() as u64;
    let (time, hazards) = match (cell.answer, &cell.way) {
        (PlanAnswer::NoWay, None) => return None,
        (PlanAnswer::Holds, None) => (0, HazardCount::default()),
        (PlanAnswer::Way | PlanAnswer::WayIf, Some(way)) => {
            (milliseconds(way.seconds), way.hazards)
        }
        (answer, way) => panic!("{answer:?} with {way:?}"),
    };
    let over = cell.missing.iter().filter(|m| !m.must_hold).count() as u64;
    assert_eq!(facts > 0, cell.answer == PlanAnswer::WayIf);
    let hazards = [hazards.danger, hazards.warning, hazards.caution].map(|n| n as u64);
    let parts = match least {
        Least::Time => [&[time], hazards.as_slice()].concat(),
        Least::Hazard => [hazards.as_slice(), &[time]].concat(),
    };
    Some(([facts, over], parts))
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a way takes less than a year"
)]
fn milliseconds(seconds: f64) -> u64 {
    (seconds * 1000.0).round() as u64
}

fn expected(cell: &Value, least: Least) -> Cost {
    if cell.is_null() {
        return None;
    }
    let key = match least {
        Least::Time => "quick",
        Least::Hazard => "careful",
    };
    let parts = cell[key].as_array().unwrap();
    Some((
        [0, 1].map(|i| cell["facts"][i].as_u64().unwrap()),
        parts.iter().map(|n| n.as_u64().unwrap()).collect(),
    ))
}

fn compare(script: &Script, problems: &[Problem]) -> Tally {
    let solved: Vec<(Answers, Vec<String>)> = problems.par_iter().map(Problem::answers).collect();
    let questions: Vec<Value> = problems
        .iter()
        .zip(&solved)
        .map(|(problem, (answers, left_out))| problem.question(left_out, answers))
        .collect();
    let answer = script.ask(&json!({"data": data(), "problems": questions}));
    let theirs = answer["problems"].as_array().unwrap();
    assert_eq!(theirs.len(), problems.len());
    let mut tally = Tally::default();
    for ((problem, (answers, _)), theirs) in problems.iter().zip(&solved).zip(theirs) {
        tally.compare(problem, answers, theirs);
    }
    tally
}

/// One named situation for each profile: the script needs many minutes for them all.
fn usual_starts(offset: usize) -> Vec<Start> {
    let chosen = [
        "low-voltage-flat",
        "cord-attached",
        "shift-refused",
        "on-slope",
    ];
    let named = situations()
        .iter()
        .filter(|s| Some(&s.id) == chosen.get(offset));
    named.map(Start::named).collect()
}

fn demo_problems() -> Vec<Problem> {
    let mut problems = Vec::new();
    for (i, path) in demo::complete().iter().enumerate() {
        let profile = demo::read(path);
        problems.push(Problem {
            name: demo::name(path),
            profile,
            variant: None,
            choices: PlanChoices {
                load_up: Some(900.0),
                fetch_key: Some(7200.0),
                ..PlanChoices::default()
            },
            starts: usual_starts(i),
            whole: false,
        });
    }
    problems
}

#[test]
fn ways_through_the_demo_profiles_cost_what_networkx_finds() {
    let Some(script) = outside::python(SCRIPT) else {
        return;
    };
    let problems = demo_problems();
    let tally = compare(&script, &problems);
    tally.tell("demo profiles");
    assert!(tally.ways > 25 && tally.cases == 56 && tally.too_large == 0);
}

fn random_problems(count: usize, whole: bool) -> Vec<Problem> {
    let base = demo::read(&demo::complete()[0]);
    (0..count)
        .map(|i| {
            let mut random = Random::new(7000 + i as u64);
            let (profile, starts) = problems::problem(&base, &mut random);
            let given = |given: BTreeSet<String>| Start {
                situation: None,
                ..Start::given(&profile, given)
            };
            Problem {
                name: format!("random problem {i}"),
                starts: starts.into_iter().map(given).collect(),
                profile,
                variant: None,
                choices: PlanChoices::default(),
                whole,
            }
        })
        .collect()
}

#[test]
fn ways_through_500_random_profiles_cost_what_looking_at_every_state_finds() {
    let Some(script) = outside::python(SCRIPT) else {
        return;
    };
    // A few have too many states to look at all of them.
    let tally = compare(&script, &random_problems(510, true));
    tally.tell("random profiles, every state looked at");
    tell(&format!("plan: {} answers were given up", tally.given_up));
    assert!(tally.given_up * 200 < tally.cases, "{}", tally.given_up);
    assert!(tally.profiles >= 500);
    assert!(tally.ways > 500 && tally.with_facts > 100 && tally.none > 1000);
}

#[test]
fn the_scripts_short_cut_finds_what_looking_at_every_state_finds() {
    let Some(script) = outside::python(SCRIPT) else {
        return;
    };
    let tally = compare(&script, &random_problems(100, false));
    tally.tell("random profiles by the script's short cut");
    assert_eq!(tally.profiles, 100);
}

//! What planning costs, beside the aim and beside `networkx` doing the same searches.
//!
//! `cargo bench -p chockstone-tests --bench plan_work` prints the table.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a measurement has nobody to hand an error to"
)]

use std::{hint::black_box, path::Path, time::Duration};

use chockstone_rules::plan::{Planner, Start, combinations, data, situations, walk};
use chockstone_schema::{
    Profile,
    read::to_value,
    report::{Goal, Least, PlanChoices},
};
use chockstone_tests::{
    demo,
    measure::{best, best_of_three, head, row},
    outside,
};
use serde_json::{Value, json};

/// The aim for the full table: 64 situations, 7 goals.
const AIM_TABLE: Duration = Duration::from_millis(20);

fn main() {
    // `cargo test --benches` starts benches as well; measuring unoptimised code would mean nothing.
    if std::env::args().any(|a| a == "--test") {
        return;
    }
    head();
    for path in demo::complete() {
        one_profile(&path);
    }
}

fn one_profile(path: &Path) {
    let profile = demo::read(path);
    let name = profile.identity.model.to_string();
    let starts = combinations();
    for (what, least) in [("quickest", Least::Time), ("most careful", Least::Hazard)] {
        let choices = PlanChoices {
            least,
            ..PlanChoices::default()
        };
        let table = || table(&profile, choices, &starts);
        row(
            &format!("{name}: the full table, {what} ways"),
            best(table),
            Some(AIM_TABLE),
        );
    }
    let planner = Planner::new(&profile, None, PlanChoices::default()).unwrap();
    row(
        "  preparing the planner",
        best(|| Planner::new(&profile, None, PlanChoices::default()).is_ok()),
        None,
    );
    let flat = Start::named(
        situations()
            .iter()
            .find(|s| s.id == "low-voltage-flat")
            .unwrap(),
    );
    row(
        "  one way: low voltage flat, secured on the deck",
        best(|| planner.row(&flat, &[Goal::Secured])),
        None,
    );
    row(
        "  walking every procedure alone",
        best(|| {
            let walked = (0..profile.procedures.len()).map(|i| walk(&profile, i));
            walked.map(|w| w.faults.len()).sum::<usize>()
        }),
        None,
    );
    against_networkx(&profile);
}

fn table(profile: &Profile, choices: PlanChoices, starts: &[Start]) -> usize {
    let planner = Planner::new(profile, None, choices).unwrap();
    black_box(planner.table(starts, &Goal::ALL)).len()
}

/// A few rows of the table, both kinds of ways, by the script of the tests as a whole process, over ours.
fn against_networkx(profile: &Profile) {
    let Some(script) = outside::python("plan_oracle.py") else {
        return;
    };
    let starts: Vec<Start> = situations().iter().take(4).map(Start::named).collect();
    let document = to_value(profile);
    let part = |key: &str| document.get(key).cloned().unwrap_or_else(|| json!([]));
    let question = json!({"data": data(), "problems": [{
        "profile": {
            "conditions": part("conditions"),
            "safety_rules": part("safety_rules"),
            "procedures": part("procedures"),
            "hazards": part("hazards"),
        },
        "variant": Value::Null, "left_out": [], "load_up": Value::Null, "fetch_key": Value::Null,
        "whole": false, "ways": [], "goals": Goal::ALL,
        "starts": starts.iter().map(|s| &s.given).collect::<Vec<_>>(),
    }]});
    let theirs = best_of_three(|| script.ask(&question));
    let ours = best(|| {
        [Least::Time, Least::Hazard].map(|least| {
            let choices = PlanChoices {
                least,
                ..PlanChoices::default()
            };
            table(profile, choices, &starts)
        })
    });
    row("  4 situations, both kinds of ways", ours, None);
    row(
        "  the same by Python and networkx, as a process",
        theirs,
        None,
    );
    println!(
        "  networkx over ours: {:.0} ×",
        theirs.as_secs_f64() / ours.as_secs_f64()
    );
}

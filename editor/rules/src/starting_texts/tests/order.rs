//! The order of the steps: against what is published and what is common practice, by changes that must be found, and by the
//! ways that the planner finds through them.

use std::collections::BTreeSet;

use chockstone_schema::{
    Profile,
    model::procedure::{Act, Procedure},
    report::{Goal, PartKind, PlanAnswer, PlanChoices, Severity},
};

use super::{every_id, string, with};
use crate::plan::{self, Planner, Start};

fn acts(procedure: &Procedure) -> Vec<Act> {
    procedure.steps.iter().filter_map(|s| s.act).collect()
}

/// Second-hand: the order on which several public texts agree, among them a newspaper text of 1989 from the US society for
/// the prevention of eye injuries.
#[test]
fn the_jump_start_keeps_the_published_order_and_its_exact_reverse() {
    let profile = with(&["jump-start"]);
    let clamps: Vec<Act> = acts(&profile.procedures[0])
        .into_iter()
        .filter(|a| !matches!(a, Act::Check | Act::SwitchOff | Act::Wait))
        .collect();
    assert_eq!(
        clamps,
        [
            Act::ConnectPositiveFlat,
            Act::ConnectPositiveDonor,
            Act::ConnectNegativeDonor,
            Act::ConnectGroundRemote,
            Act::RemoveGroundRemote,
            Act::RemoveNegativeDonor,
            Act::RemovePositiveDonor,
            Act::RemovePositiveFlat,
        ]
    );
    let steps = &profile.procedures[0].steps;
    let at = |act| steps.iter().position(|s| s.act == Some(act)).unwrap();
    let says = |word: &str| {
        let position = steps
            .iter()
            .position(|s| string(&s.text, "en").contains(word));
        position.unwrap()
    };
    let first = at(Act::ConnectPositiveFlat);
    for before in [
        "maker's instructions",
        "eye protection",
        "frozen",
        "must be the same",
        "not touching",
    ] {
        assert!(says(before) < first, "{before}");
    }
    // Common practice, no source: connected for about 3 to 4 minutes, a donor with a combustion engine or a booster.
    let wait = steps[at(Act::Wait)].time.as_ref().unwrap();
    let [least, most] = [-1.0, 1.0].map(|k| wait.si() + k * wait.plus_minus_si().unwrap());
    assert!((least - 180.0).abs() < 1e-9 && (most - 240.0).abs() < 1e-9);
    assert!(
        at(Act::ConnectGroundRemote) < at(Act::Wait) && at(Act::Wait) < at(Act::RemoveGroundRemote)
    );
    assert!(says("combustion engine, or a booster") < first);
    // Some public texts run the donor and one never does, so its state is left to its maker.
    assert!(says("as its maker's instructions say") < at(Act::Wait));
}

/// Common practice, no source: every route to neutral has the line taut first.
#[test]
fn every_route_to_neutral_has_the_line_taut_first() {
    for id in [
        "neutral-selector",
        "neutral-mode",
        "neutral-release",
        "neutral-booster",
        "unload",
    ] {
        let acts = acts(&with(&[id]).procedures[0]);
        let at = |act| acts.iter().position(|a| *a == act).unwrap();
        assert!(at(Act::AttachLine) < at(Act::SelectNeutral), "{id}");
        assert!(
            at(Act::SelectNeutral) < at(Act::ReleaseParkingBrake),
            "{id}"
        );
    }
}

/// Common practice, no source: a stuck cord is freed by opening the low-voltage loop and holding it open, pulling the
/// release until it resists and pressing the latch; left open, the loop keeps the vehicle from getting ready.
#[test]
fn a_stuck_cord_is_freed_with_the_loop_held_open_and_closed_again() {
    let profile = with(&["cord-stuck"]);
    let steps = &profile.procedures[0].steps;
    let order = [
        "Stop the charge",
        "Open the low-voltage loop",
        "hold the loop open",
        "until it resists",
        "press the latch",
        "will not get ready",
    ];
    let places: Vec<usize> = order
        .iter()
        .map(|words| {
            steps
                .iter()
                .position(|s| string(&s.text, "en").contains(words))
                .unwrap()
        })
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert_eq!(steps[places[1]].opens, steps[places[5]].settles);
}

/// 29 CFR 1910.244(a)(2), read: after raising, crib, block or otherwise secure at once.
#[test]
fn the_wheel_change_has_a_stand_at_once_after_the_jack() {
    let acts = acts(&with(&["change-tyre"]).procedures[0]);
    let at = |act| acts.iter().position(|a| *a == act).unwrap();
    assert!(at(Act::Chock) < at(Act::RaiseJack));
    assert_eq!(at(Act::RaiseJack) + 1, at(Act::PlaceStand));
    assert!(at(Act::PlaceStand) < at(Act::WorkUnder) && at(Act::WorkUnder) < at(Act::RemoveStand));
}

/// Whether a changed copy of the profile has a finding or a fault of a step that the profile has not.
fn is_found(before: &Profile, after: &Profile, index: usize) -> bool {
    let known: BTreeSet<String> = crate::check_profile(before)
        .into_iter()
        .map(|f| f.message)
        .collect();
    let new = crate::check_profile(after)
        .into_iter()
        .any(|f| f.severity != Severity::Note && !known.contains(&f.message));
    new || !plan::walk(after, index).faults.is_empty()
}

#[test]
fn a_step_left_out_that_a_later_one_relies_on_is_found() {
    let profile = with(&every_id());
    for (procedure, steps) in [
        (
            "jump-start",
            &[
                "positive-flat",
                "positive-donor",
                "negative-donor",
                "ground",
                "wait",
                "wake",
            ][..],
        ),
        (
            "jump-start",
            &[
                "ground-off",
                "negative-donor-off",
                "positive-donor-off",
                "positive-flat-off",
            ],
        ),
        (
            "booster-off",
            &[
                "ground-off",
                "negative-donor-off",
                "positive-donor-off",
                "positive-flat-off",
            ],
        ),
        ("cord-stuck", &["loop", "latch", "close", "lid"]),
        ("neutral-selector", &["chock", "line", "neutral"]),
        ("neutral-mode", &["chock", "line", "mode"]),
        ("neutral-release", &["chock", "line", "panel", "release"]),
        (
            "neutral-booster",
            &["chock", "ground", "wait", "line", "wake", "neutral"],
        ),
        (
            "change-tyre",
            &["chock", "raise", "stand", "stand-out", "lower"],
        ),
        ("retighten-wheel", &["torque"]),
        ("winch-on", &["chocks-away", "up", "park", "brake", "chock"]),
        (
            "skates",
            &[
                "chock",
                "line",
                "raise",
                "skate",
                "chocks-away",
                "up",
                "chock-deck",
            ],
        ),
        (
            "dollies",
            &["chock", "raise", "dolly", "lift", "chocks-away"],
        ),
        ("secure", &["rear", "front", "test", "line-off"]),
        (
            "unload",
            &[
                "line",
                "tie-downs-off",
                "neutral",
                "brake-off",
                "down",
                "park",
                "brake",
                "chock",
            ],
        ),
        ("submerged", &["line", "pull"]),
        ("shut-off", &["chock", "key", "loop", "battery", "wait"]),
        ("undo-shut-off", &["loop", "battery", "key"]),
        ("return-to-service", &["ready"]),
    ] {
        let index = profile
            .procedures
            .iter()
            .position(|p| p.id.as_str() == procedure)
            .unwrap();
        for step in steps {
            let mut without = profile.clone();
            let count = without.procedures[index].steps.len();
            without.procedures[index]
                .steps
                .retain(|s| s.id.as_str() != *step);
            assert_eq!(
                without.procedures[index].steps.len() + 1,
                count,
                "{procedure}/{step}"
            );
            assert!(is_found(&profile, &without, index), "{procedure}/{step}");
        }
    }
}

#[test]
fn two_steps_swapped_that_must_not_be_are_found() {
    let profile = with(&every_id());
    for (procedure, step) in [
        ("jump-start", "positive-flat"),
        ("jump-start", "negative-donor"),
        ("jump-start", "ground-off"),
        ("jump-start", "positive-flat-off"),
        ("booster-off", "negative-donor-off"),
        ("cord-stuck", "loop"),
        ("cord-stuck", "pull"),
        ("cord-stuck", "latch"),
        ("cord-stuck", "close"),
        ("neutral-selector", "line"),
        ("neutral-mode", "line"),
        ("change-tyre", "raise"),
        ("change-tyre", "stand"),
        ("change-tyre", "stand-out"),
        ("change-tyre", "lower"),
        ("winch-on", "chocks-away"),
        ("skates", "line"),
        ("secure", "front"),
        ("secure", "test"),
        ("secure", "line-off"),
        ("unload", "tie-downs-off"),
        ("shut-off", "battery"),
        ("undo-shut-off", "loop"),
        ("return-to-service", "ready"),
    ] {
        let index = profile
            .procedures
            .iter()
            .position(|p| p.id.as_str() == procedure)
            .unwrap();
        let mut swapped = profile.clone();
        let steps = &mut swapped.procedures[index].steps;
        let at = steps.iter().position(|s| s.id.as_str() == step).unwrap();
        steps.swap(at, at + 1);
        assert!(is_found(&profile, &swapped, index), "{procedure}/{step}");
    }
}

/// For each situation and goal: `=` reached, `+` a way, `?` a way if a fact is brought about from outside, `-` none.
fn table(profile: &Profile) -> Vec<String> {
    let planner = Planner::new(profile, None, PlanChoices::default()).unwrap();
    let starts: Vec<Start> = plan::situations().iter().map(Start::named).collect();
    let mut lines = Vec::new();
    for row in planner.table(&starts, &Goal::ALL) {
        let answers = row.cells.iter().map(|cell| match cell.answer {
            PlanAnswer::Holds => '=',
            PlanAnswer::Way => '+',
            PlanAnswer::WayIf => '?',
            PlanAnswer::NoWay | PlanAnswer::NotWorkedOut => '-',
        });
        let answers: String = answers.collect();
        lines.push(format!("{answers} {}", row.situation.unwrap()));
    }
    lines
}

#[test]
fn the_texts_together_lead_from_every_sound_situation_to_every_goal() {
    // Opened, awake, cord free, in neutral, loaded, secured, returned to service. Without a key somebody has to bring one;
    // a pack under suspicion is not woken and not shifted, and skates have to be brought; with smoke or heat nobody works.
    let wanted = [
        "++=++++ parked",
        "++=++++ low-voltage-flat",
        "??=+++? no-key",
        "??=+++? flat-and-no-key",
        "+++++++ cord-attached",
        "+++++++ cord-stuck",
        "+++++++ flat-and-cord-stuck",
        "++=++++ shift-refused",
        "++=++++ on-slope",
        "+?=???? after-crash",
        "??=???? in-water",
        "??=???? smoke-or-heat",
        "++=+==+ on-the-deck",
    ];
    assert_eq!(table(&with(&every_id())), wanted);
}

/// Which of the texts' procedures a way to a goal uses, in order.
fn procedures_used(profile: &Profile, situation: &str, goal: Goal) -> Vec<String> {
    let planner = Planner::new(profile, None, PlanChoices::default()).unwrap();
    let known = plan::situations().iter().find(|s| s.id == situation);
    let mut given = Start::named(known.unwrap()).given;
    given.insert("skates-at-hand".to_owned());
    let row = planner.row(&Start::given(profile, given), &[goal]);
    assert_eq!(row.cells[0].answer, PlanAnswer::Way, "{situation}");
    let parts = &row.cells[0].way.as_ref().unwrap().parts;
    let procedures = parts.iter().filter(|p| p.kind == PartKind::Procedure);
    procedures
        .inspect(|p| assert!(p.to_confirm, "{}", p.id))
        .map(|p| p.id.clone())
        .collect()
}

#[test]
fn the_ways_go_by_the_texts_that_the_situation_asks_for() {
    let profile = with(&every_id());
    for (situation, goal, wanted) in [
        ("parked", Goal::Awake, &["open-usual", "wake"][..]),
        (
            "low-voltage-flat",
            Goal::Awake,
            &["open-flat", "jump-start"],
        ),
        ("cord-attached", Goal::CordFree, &["cord-usual"]),
        ("cord-stuck", Goal::CordFree, &["open-flat", "cord-stuck"]),
        ("after-crash", Goal::Secured, &["skates", "secure"]),
        (
            "in-water",
            Goal::Secured,
            &["submerged", "skates", "secure"],
        ),
        (
            "on-the-deck",
            Goal::ReturnedToService,
            &["open-usual", "wake", "unload", "return-to-service"],
        ),
    ] {
        assert_eq!(
            procedures_used(&profile, situation, goal),
            wanted,
            "{situation}"
        );
    }
}

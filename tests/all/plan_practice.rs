//! Common practice of the trade, for which no source was found, in the procedures of the demo pickup: each practice is a text
//! of its own there, each change of its steps is found by the checks, and the planner keeps to it.
//!
//! The orders of a jump start and the jack are tested by every permutation. Jump start: several independent public texts,
//! second-hand. Jack: 29 CFR 1910.244(a)(2)(iii) to secure the load at once after raising, read.

use std::collections::BTreeSet;

use chockstone_rules::{
    check_profile,
    plan::{Planner, Start, situations},
};
use chockstone_schema::{
    Profile,
    model::procedure::{Act, Procedure, Step},
    report::{Goal, PartKind, PlanAnswer, PlanCell, PlanChoices, Severity, Verdict},
};
use chockstone_tests::{demo, tell};
use serde_json::{from_value, json};

use crate::plan_mutations::{
    Change::{self, *},
    Mutation, Original,
};

fn pickup() -> Profile {
    demo::read(&demo::library().join("brackwater-tolliver-crew.profile.ron"))
}

#[track_caller]
fn place(profile: &Profile, procedure: &str, step: &str) -> (usize, usize) {
    let found = |p: &Procedure| p.id.as_str() == procedure;
    let i = profile.procedures.iter().position(found);
    let i = i.unwrap_or_else(|| panic!("no procedure {procedure}"));
    let found = |s: &Step| s.id.as_str() == step;
    let j = profile.procedures[i].steps.iter().position(found);
    (i, j.unwrap_or_else(|| panic!("no step {procedure}/{step}")))
}

fn step<'p>(profile: &'p Profile, procedure: &str, id: &str) -> &'p Step {
    let (i, j) = place(profile, procedure, id);
    &profile.procedures[i].steps[j]
}

fn english(step: &Step) -> &str {
    let mut texts = step.text.iter();
    texts.find(|(l, _)| l.as_str() == "en").unwrap().1
}

/// Each practice: the procedure, the step, and words that its English text must have.
const TEXTS: &[(&str, &str, &str)] = &[
    (
        "neutral-selector",
        "line",
        "Vehicle connected and line taut before neutral",
    ),
    (
        "neutral-hold",
        "line",
        "Vehicle connected and line taut before neutral",
    ),
    (
        "neutral-boosted",
        "line",
        "Vehicle connected and line taut before neutral",
    ),
    ("jump", "leave-on", "connected for 3 to 4 minutes"),
    ("jump", "off-ground", "in the exact reverse order"),
    ("jump", "donor", "donor with a combustion engine"),
    ("cord-stuck", "open-loop", "Open the low-voltage loop"),
    (
        "cord-stuck",
        "hold-open",
        "hold the loop open until the cord is out",
    ),
    ("cord-stuck", "pull", "Pull the release until it resists"),
    ("cord-stuck", "latch", "press the latch"),
    (
        "cord-stuck",
        "close-loop",
        "Left open, the vehicle will not get ready",
    ),
    ("neutral-hold", "clock", "30 minutes, then it parks itself"),
];

#[test]
fn each_practice_is_a_text_of_the_demo_pickup() {
    let profile = pickup();
    for (procedure, id, words) in TEXTS {
        let text = english(step(&profile, procedure, id));
        assert!(text.contains(words), "{procedure}/{id}: {text}");
    }
    let minutes = step(&profile, "jump", "leave-on")
        .time
        .as_ref()
        .unwrap()
        .si()
        / 60.0;
    assert!((3.0..=4.0).contains(&minutes), "{minutes}");
    let hold = &step(&profile, "neutral-hold", "menu").holds[0];
    assert!((hold.time.si() - 30.0 * 60.0).abs() < 1e-9);
    let rules = profile.safety_rules.iter().flat_map(|r| r.text.iter());
    let mut texts = rules.map(|(_, text)| text);
    assert!(texts.any(|t| t.contains("Without 12 volts there is no shift by wire at all")));
}

/// Each change of a practice that must be found.
const CHANGES: &[(&str, &str, Change)] = &[
    // Vehicle connected and line taut before neutral.
    ("neutral-selector", "line", Drop),
    ("neutral-selector", "line", SwapWithNext),
    ("neutral-hold", "line", Drop),
    ("neutral-hold", "line", SwapWithNext),
    ("neutral-boosted", "line", Drop),
    // A jump is left connected for 3 to 4 minutes, with a donor that has a combustion engine.
    ("jump", "leave-on", Drop),
    ("jump", "leave-on", SwapWithNext),
    ("jump", "donor", Drop),
    // The clamps go on in one order and come off in its reverse.
    ("jump", "pos-flat", Drop),
    ("jump", "pos-flat", SwapWithNext),
    ("jump", "pos-donor", Drop),
    ("jump", "pos-donor", SwapWithNext),
    ("jump", "neg-donor", Drop),
    ("jump", "neg-donor", SwapWithNext),
    ("jump", "ground", Drop),
    ("jump", "off-ground", Drop),
    ("jump", "off-ground", SwapWithNext),
    ("jump", "off-neg-donor", Drop),
    ("jump", "off-neg-donor", SwapWithNext),
    ("jump", "off-pos-donor", Drop),
    ("jump", "off-pos-donor", SwapWithNext),
    ("jump", "off-pos-flat", Drop),
    // The loop is opened, held open, the release pulled, the latch pressed, and the loop closed.
    ("cord-stuck", "open-loop", Drop),
    ("cord-stuck", "open-loop", SwapWithNext),
    ("cord-stuck", "hold-open", Drop),
    ("cord-stuck", "hold-open", SwapWithNext),
    ("cord-stuck", "pull", Drop),
    ("cord-stuck", "pull", SwapWithNext),
    ("cord-stuck", "latch", Drop),
    ("cord-stuck", "latch", SwapWithNext),
    ("cord-stuck", "close-loop", Drop),
    // Neutral holds for a time, which somebody watches.
    ("neutral-hold", "menu", Drop),
    ("neutral-hold", "clock", Drop),
];

#[test]
fn each_change_of_a_practice_is_found() {
    let original = Original::new(pickup());
    let mut missed = Vec::new();
    for (procedure, id, change) in CHANGES {
        let (procedure, step) = place(&original.profile, procedure, id);
        let mutation = Mutation {
            procedure,
            step,
            change: *change,
        };
        let verdict = original.verdict(&mutation.made_in(&original.profile));
        if !verdict.found.iter().any(|f| f.1 == Some(procedure)) {
            missed.push(mutation.told(&original.profile));
        }
    }
    tell(&format!(
        "practice: found {} of {} changes of the demo pickup's practices",
        CHANGES.len() - missed.len(),
        CHANGES.len()
    ));
    assert!(missed.is_empty(), "the checks miss: {missed:#?}");
}

/// Whether the checks find this at a procedure, with at least a warning.
fn finds(profile: &Profile, check: &str, procedure: usize) -> bool {
    let place = format!("/procedures/{procedure}");
    let at = |found: &str| {
        let rest = found.strip_prefix(&place);
        rest.is_some_and(|r| r.is_empty() || r.starts_with('/'))
    };
    check_profile(profile)
        .iter()
        .any(|f| f.check == check && f.severity != Severity::Note && at(&f.place))
}

fn permutations(of: &[Act]) -> Vec<Vec<Act>> {
    if of.is_empty() {
        return vec![Vec::new()];
    }
    let with_first = |i: usize| {
        let mut rest = of.to_vec();
        let first = rest.remove(i);
        permutations(&rest)
            .into_iter()
            .map(move |p| [vec![first], p].concat())
    };
    (0..of.len()).flat_map(with_first).collect()
}

/// Gives the steps of a procedure that have one of these acts the acts of another order.
fn reordered(profile: &Profile, procedure: usize, acts: &[Act], order: &[Act]) -> Profile {
    let mut changed = profile.clone();
    let steps = changed.procedures[procedure].steps.iter_mut();
    let clamps = steps.filter(|s| s.act.is_some_and(|a| acts.contains(&a)));
    for (step, act) in clamps.zip(order) {
        step.act = Some(*act);
    }
    changed
}

#[test]
fn of_all_orders_of_the_clamps_only_the_safe_one_and_its_reverse_are_accepted() {
    let profile = pickup();
    let (jump, _) = place(&profile, "jump", "look");
    let on = [
        Act::ConnectPositiveFlat,
        Act::ConnectPositiveDonor,
        Act::ConnectNegativeDonor,
        Act::ConnectGroundRemote,
    ];
    let off = [
        Act::RemoveGroundRemote,
        Act::RemoveNegativeDonor,
        Act::RemovePositiveDonor,
        Act::RemovePositiveFlat,
    ];
    for order in permutations(&on) {
        let changed = reordered(&profile, jump, &on, &order);
        assert_eq!(
            finds(&changed, "jump-order", jump),
            order != on,
            "{order:?}"
        );
    }
    for order in permutations(&off) {
        let changed = reordered(&profile, jump, &off, &order);
        let found = finds(&changed, "jump-removal-order", jump);
        assert_eq!(found, order != off, "{order:?}");
    }
}

#[test]
fn the_last_clamp_on_the_flat_battery_and_a_source_of_24_volts_are_refused() {
    let profile = pickup();
    let (jump, ground) = place(&profile, "jump", "ground");
    let mut changed = profile.clone();
    changed.procedures[jump].steps[ground].act = Some(Act::ConnectNegativeFlat);
    assert!(finds(&changed, "jump-order", jump));

    let (_, donor) = place(&profile, "jump", "park-donor");
    let mut changed = profile.clone();
    changed.procedures[jump].steps[donor].text =
        from_value(json!({"en": "Connect a 24 V source.", "es": "Conecte una fuente de 24 V."}))
            .unwrap();
    assert!(!finds(&profile, "jump-voltage", jump));
    assert!(finds(&changed, "jump-voltage", jump));
}

#[test]
fn work_under_a_vehicle_on_a_jack_needs_stands_before_it() {
    let profile = pickup();
    let (wheel, stand) = place(&profile, "change-wheel", "stand");
    assert!(!finds(&profile, "work-under-unsupported", wheel));
    for change in [Drop, SwapWithNext] {
        let mutation = Mutation {
            procedure: wheel,
            step: stand,
            change,
        };
        let changed = mutation.made_in(&profile);
        assert!(
            finds(&changed, "work-under-unsupported", wheel),
            "{change:?}"
        );
    }
}

fn cell(profile: &Profile, start: &Start, goal: Goal) -> PlanCell {
    let planner = Planner::new(profile, None, PlanChoices::default()).unwrap();
    planner.row(start, &[goal]).cells.remove(0)
}

fn named(id: &str) -> Start {
    Start::named(situations().iter().find(|s| s.id == id).unwrap())
}

/// The ids of the procedures of a way.
fn procedures(cell: &PlanCell) -> Vec<&str> {
    let parts = cell.way.iter().flat_map(|way| &way.parts);
    let own = parts.filter(|p| p.kind == PartKind::Procedure);
    own.map(|p| p.id.as_str()).collect()
}

#[test]
fn without_twelve_volts_and_without_a_jump_there_is_no_way_to_neutral() {
    let profile = pickup();
    let flat = named("low-voltage-flat");
    let with_jump = cell(&profile, &flat, Goal::InNeutral);
    assert_eq!(with_jump.answer, PlanAnswer::Way);
    assert!(procedures(&with_jump).contains(&"jump"));

    // Nobody has a donor: it is the one fact that is missing.
    let mut given = flat.given.clone();
    given.remove("donor-at-hand");
    let alone = Start::given(&profile, given);
    let without_donor = cell(&profile, &alone, Goal::InNeutral);
    assert_eq!(without_donor.answer, PlanAnswer::WayIf);
    let missing: BTreeSet<&str> = without_donor
        .missing
        .iter()
        .map(|m| m.condition.as_str())
        .collect();
    assert_eq!(missing, BTreeSet::from(["donor-at-hand"]));

    // The battery is sealed off from any jump: nothing that anybody brings helps.
    let mut without_jump = profile.clone();
    without_jump.procedures.retain(|p| {
        let steps = &p.steps;
        steps
            .iter()
            .all(|s| s.establishes.iter().all(|c| c.as_str() != "jump-connected"))
    });
    assert!(without_jump.procedures.len() < profile.procedures.len());
    let never = cell(&without_jump, &flat, Goal::InNeutral);
    assert_eq!(never.answer, PlanAnswer::NoWay, "{:?}", procedures(&never));
    assert!(!never.reasons.is_empty());
}

#[test]
fn on_every_way_the_line_is_taut_before_neutral_and_neutral_lasts_long_enough() {
    let profile = pickup();
    let planner = Planner::new(&profile, None, PlanChoices::default()).unwrap();
    let starts = chockstone_rules::plan::combinations();
    let mut seen = 0;
    for row in planner.table(&starts, &Goal::ALL) {
        for way in row.cells.iter().filter_map(|c| c.way.as_ref()) {
            let steps = way.parts.iter().flat_map(|p| &p.steps);
            let mut taut = row.given.iter().any(|c| c == "line-taut");
            for step in steps {
                if step.now_holds.iter().any(|c| c == "in-neutral") {
                    assert!(taut, "{:?}: {}", row.given, step.id);
                    seen += 1;
                }
                taut |= step.now_holds.iter().any(|c| c == "line-taut");
                taut &= !step.ended.iter().any(|c| c == "line-taut");
            }
            for hold in &way.holds {
                assert_eq!(hold.verdict, Verdict::Within, "{:?}: {hold:?}", row.given);
            }
        }
    }
    assert!(seen > 50, "{seen}");
}

#[test]
fn a_hold_of_neutral_shorter_than_winching_up_is_not_counted_on() {
    let profile = pickup();
    let parked = named("parked");
    let loaded = cell(&profile, &parked, Goal::Loaded);
    assert_eq!(loaded.answer, PlanAnswer::Way);
    assert!(
        procedures(&loaded).contains(&"winch-up"),
        "{:?}",
        procedures(&loaded)
    );

    let mut hasty = profile.clone();
    let five_minutes = from_value(json!([5, "min"])).unwrap();
    let steps = hasty.procedures.iter_mut().flat_map(|p| &mut p.steps);
    for hold in steps.flat_map(|s| &mut s.holds) {
        if hold.condition.as_str() == "in-neutral" {
            hold.time.value = five_minutes;
        }
    }
    let loaded = cell(&hasty, &parked, Goal::Loaded);
    assert!(
        !procedures(&loaded).contains(&"winch-up"),
        "{:?}",
        procedures(&loaded)
    );
}

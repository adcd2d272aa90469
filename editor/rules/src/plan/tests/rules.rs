//! Short made-up procedures, each of which breaks one rule or counts on what is lost, walked step by step.
//!
//! The rules are those that are built in, each with its source there; what a step means is plain logic.

use std::collections::BTreeSet;

use chockstone_schema::{
    Profile,
    read::to_value,
    report::{Goal, PartKind, PlanAnswer},
};
use serde_json::{Value, from_value, json};

use super::{PICKUP, Start, cell, demo, planner};
use crate::plan::{FaultKind, walk};

/// A profile with one procedure of these steps.
fn with_procedure(purpose: &str, starts_with: &[&str], steps: &[Value]) -> Profile {
    let mut document = to_value(&crate::testing::sound_profile());
    let numbered = steps.iter().enumerate().map(|(i, step)| {
        let mut step = step.clone();
        step["id"] = json!(format!("s{i}"));
        step["text"] = json!({"en": "Do it."});
        step
    });
    let numbered: Vec<Value> = numbered.collect();
    document["procedures"] = json!([{
        "id": "one", "name": {"en": "One"}, "purpose": purpose, "starts_with": starts_with, "steps": numbered,
    }]);
    from_value(document).unwrap()
}

/// What is wrong for certain, by the place of the step: the rule, or the kind of fault with its condition.
fn faults(purpose: &str, starts_with: &[&str], steps: &[Value]) -> Vec<String> {
    let walked = walk(&with_procedure(purpose, starts_with, steps), 0);
    let told = walked.faults.iter().map(|fault| {
        let about = fault.rule.clone().unwrap_or_else(|| {
            format!(
                "{:?} {}",
                fault.kind,
                fault.condition.clone().unwrap_or_default()
            )
        });
        format!("{} {about}", fault.step.unwrap_or(usize::MAX))
    });
    told.collect()
}

fn minutes(n: f64) -> Value {
    json!({"value": [n, "min"], "source": "manual"})
}

#[test]
fn chocks_stay_while_nothing_but_a_jack_carries_the_vehicle() {
    let away = json!({"act": "release_chock", "clears": ["wheels-chocked"]});
    let raised = &["raised", "wheels-chocked"];
    assert_eq!(
        faults("other", raised, std::slice::from_ref(&away)),
        ["0 held-when-chocks-go"]
    );
    let lifted = &["on-wheel-lift", "wheels-chocked"];
    assert_eq!(faults("other", lifted, &[away]), [] as [&str; 0]);
}

#[test]
fn a_line_that_comes_off_is_judged_by_what_is_left_whatever_the_act_is_called() {
    let off = json!({"clears": ["line-taut", "wheels-chocked"]});
    let start = &["line-taut", "wheels-chocked"];
    assert_eq!(
        faults("other", start, &[off]),
        ["0 held-when-line-comes-off", "0 held-when-chocks-go"]
    );
}

#[test]
fn on_a_deck_park_alone_is_not_enough_to_take_the_line_off() {
    let off = json!({"act": "release_line", "clears": ["line-taut"]});
    let start = &["on-deck", "in-park", "line-taut"];
    assert_eq!(
        faults("other", start, std::slice::from_ref(&off)),
        ["0 held-on-the-deck"]
    );
    let chocked = &["on-deck", "in-park", "line-taut", "wheels-chocked"];
    assert_eq!(faults("other", chocked, &[off]), [] as [&str; 0]);
}

#[test]
fn on_a_slope_chocks_do_not_take_the_place_of_the_line() {
    let steps = [
        json!({"act": "chock", "establishes": ["wheels-chocked"]}),
        json!({"act": "release_line", "clears": ["line-taut"]}),
    ];
    let start = &["in-neutral", "on-slope", "line-taut"];
    assert_eq!(faults("other", start, &steps), ["1 line-stays-on-a-slope"]);
}

#[test]
fn a_second_corner_is_raised_only_with_stands_under_the_first() {
    let raise = json!({"act": "raise_jack", "establishes": ["raised"]});
    let start = &["wheels-chocked", "in-park"];
    assert_eq!(
        faults("jack", start, &[raise.clone(), raise.clone()]),
        ["1 one-corner-at-a-time"]
    );
    let stand = json!({"act": "place_stand", "establishes": ["on-stands"]});
    assert_eq!(
        faults("jack", start, &[raise.clone(), stand, raise]),
        [] as [&str; 0]
    );
}

#[test]
fn a_donor_is_off_before_the_vehicle_moves_and_a_booster_may_stay() {
    let up = json!({"act": "winch_up", "establishes": ["on-deck"]});
    let start = &["jump-connected", "line-taut"];
    assert_eq!(
        faults("load", start, std::slice::from_ref(&up)),
        ["0 donor-off-before-moving"]
    );
    let start = &["booster-aboard", "line-taut"];
    assert_eq!(faults("load", start, &[up]), [] as [&str; 0]);
}

#[test]
fn nothing_is_raised_or_winched_while_it_is_ready_nor_made_ready_while_it_is_raised() {
    let up = json!({"act": "winch_up"});
    assert_eq!(faults("load", &["ready"], &[up]), ["0 off-before-work"]);
    let on = json!({"establishes": ["ready"], "requires": ["awake"]});
    assert_eq!(
        faults("wake", &["awake", "raised"], &[on]),
        ["0 down-before-ready"]
    );
}

#[test]
fn a_vehicle_out_of_the_water_has_a_suspect_pack_and_takes_no_booster() {
    let steps = [
        json!({"clears": ["in-water"]}),
        json!({"establishes": ["low-voltage-alive"]}),
    ];
    assert_eq!(
        faults("submersion", &["in-water"], &steps),
        ["1 suspect-pack-stays-dead"]
    );
}

#[test]
fn smoke_in_the_middle_of_the_work_leaves_a_suspect_pack() {
    let steps = [
        json!({"establishes": ["smoke-or-heat"]}),
        json!({"clears": ["smoke-or-heat"]}),
        json!({"establishes": ["low-voltage-alive"]}),
    ];
    assert_eq!(
        faults("other", &[], &steps),
        ["1 away-from-smoke", "2 suspect-pack-stays-dead"]
    );
}

#[test]
fn who_only_says_that_it_is_in_the_water_is_told_of_the_suspect_pack() {
    let profile = demo(PICKUP);
    let given = ["in-water", "key-present", "low-voltage-alive"];
    let start = Start::given(&profile, BTreeSet::from(given.map(str::to_owned)));
    let row = planner(&profile, None).row(&start, &[Goal::Awake]);
    assert_eq!(super::facts(&row.cells[0].missing), ["-pack-suspect"]);
}

#[test]
fn neutral_that_ran_out_may_have_become_park() {
    let steps = [
        json!({
            "act": "select_neutral", "requires": ["wheels-chocked"], "clears": ["in-park"],
            "holds": [{"condition": "in-neutral", "time": minutes(5.0)}],
        }),
        json!({"time": minutes(6.0)}),
        json!({"requires_not": ["in-park"]}),
    ];
    assert_eq!(
        faults("shift_neutral", &["wheels-chocked"], &steps),
        ["2 ExcludedHolds in-park"]
    );
}

#[test]
fn what_a_step_needs_is_lost_with_what_that_depends_on_while_it_lasts() {
    let steps = [
        json!({"holds": [{"condition": "low-voltage-alive", "time": minutes(2.0)}]}),
        json!({"establishes": ["awake"]}),
        json!({"requires": ["awake"], "time": minutes(3.0)}),
    ];
    assert_eq!(faults("wake", &[], &steps), ["2 RanOut awake"]);
}

#[test]
fn what_makes_a_step_safe_must_last_until_it_is_done() {
    let steps = [
        json!({"act": "chock", "holds": [{"condition": "wheels-chocked", "time": minutes(2.0)}]}),
        json!({"act": "raise_jack", "establishes": ["raised"], "time": minutes(3.0)}),
    ];
    assert_eq!(
        faults("jack", &["in-park"], &steps),
        ["1 chocked-before-jack"]
    );
}

#[test]
fn only_the_step_that_breaks_a_rule_is_blamed_for_it() {
    let rolls = ["in-neutral"];
    let steps = [
        json!({"requires": ["in-neutral"]}),
        json!({"clears": ["line-taut"]}),
    ];
    let profile = with_procedure("other", &rolls, &steps[..1]);
    assert!(
        walk(&profile, 0)
            .faults
            .iter()
            .all(|f| f.kind != FaultKind::RuleBroken)
    );
    let held = ["in-neutral", "line-taut"];
    assert!(faults("other", &held, &steps).contains(&"1 held-in-neutral".to_owned()));
}

#[test]
fn a_vehicle_that_stands_in_neutral_and_unheld_is_held_before_any_goal_counts_as_reached() {
    let profile = demo(PICKUP);
    let given = [
        "in-neutral",
        "doors-open",
        "low-voltage-alive",
        "key-present",
        "winch-at-hand",
    ];
    let start = Start::given(&profile, BTreeSet::from(given.map(str::to_owned)));
    let row = planner(&profile, None).row(&start, &[Goal::Opened]);
    let cell = &row.cells[0];
    assert_eq!(cell.answer, PlanAnswer::Way);
    assert_eq!(super::parts(cell.way.as_ref()), ["chock"]);
}

#[test]
fn what_must_be_brought_is_brought_before_the_work_begins() {
    let profile = demo(PICKUP);
    for (situation, goal) in [
        ("flat-and-no-key", Goal::Loaded),
        ("smoke-or-heat", Goal::Loaded),
    ] {
        let cell = cell(&profile, situation, goal);
        let parts = &cell.way.unwrap().parts;
        let facts = parts
            .iter()
            .take_while(|p| p.kind == PartKind::Fact)
            .count();
        assert_eq!(facts, cell.missing.len(), "{situation}");
        assert!(facts > 0);
    }
}

#[test]
fn the_fallback_is_another_way_and_leaves_the_drive_alone() {
    let mut seen = 0;
    for name in super::DEMOS {
        let profile = demo(name);
        let planner = planner(&profile, None);
        for row in planner.table(
            &crate::plan::combinations(),
            &[Goal::InNeutral, Goal::Loaded],
        ) {
            for cell in row.cells {
                let Some(fallback) = cell.fallback else {
                    continue;
                };
                seen += 1;
                let ids = |way: &chockstone_schema::report::Way| -> Vec<String> {
                    way.parts.iter().map(|p| p.id.clone()).collect()
                };
                assert_ne!(cell.way.as_ref().map(&ids), Some(ids(&fallback.way)));
                let steps = fallback.way.parts.iter().flat_map(|p| &p.steps);
                let mut changes = steps.flat_map(|s| &s.now_holds);
                assert!(
                    changes.all(|c| c != "in-neutral"),
                    "{name}: {}",
                    row.given.join(" ")
                );
            }
        }
    }
    assert!(seen > 10, "{seen}");
}

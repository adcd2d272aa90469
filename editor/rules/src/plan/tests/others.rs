//! The van, the sedan and the hatchback: what makes each of them different.

use chockstone_schema::report::{Goal, PlanAnswer, Severity};

use super::{
    DEMOS, HATCH, PICKUP, SEDAN, Start, VAN, cell, demo, expect, facts, named, parts, planner, row,
};

fn check(name: &str, situation: &str, goal: Goal, expected: &str) {
    let cell = cell(&demo(name), situation, goal);
    expect(&cell, &format!("{name} {situation}"), expected);
}

#[test]
fn a_flat_vehicle_is_woken_by_a_jump_start() {
    for (name, expected) in [
        (VAN, "open-key open-front-cover chock jump-start"),
        (SEDAN, "open-flat open-cover-flat jump"),
        (HATCH, "open-flat open-front-cover chock jump-start"),
    ] {
        check(name, "low-voltage-flat", Goal::Awake, expected);
    }
}

#[test]
fn without_a_donor_a_flat_vehicle_stays_flat() {
    for name in DEMOS {
        let profile = demo(name);
        let mut given = named("low-voltage-flat").given;
        given.remove("donor-at-hand");
        let row = planner(&profile, None).row(&Start::given(&profile, given), &[Goal::Awake]);
        assert_eq!(facts(&row.cells[0].missing), ["+donor-at-hand"], "{name}");
    }
}

#[test]
fn without_a_key_the_key_is_what_is_missing() {
    for name in DEMOS {
        let row = row(&demo(name), None, "no-key", &Goal::ALL);
        for cell in row.cells {
            let may_go_without = match cell.goal {
                // The cord is not there; the van's pawl is freed from below, without the key.
                Goal::CordFree => true,
                Goal::InNeutral => name == VAN,
                _ => false,
            };
            if may_go_without {
                assert!(cell.missing.is_empty(), "{name} {:?}", cell.goal);
            } else {
                assert_eq!(
                    facts(&cell.missing),
                    ["+key-present"],
                    "{name} {:?}",
                    cell.goal
                );
            }
        }
    }
}

#[test]
fn somebody_who_can_bring_the_key_brings_it() {
    for name in DEMOS {
        let profile = demo(name);
        let mut given = named("no-key").given;
        given.insert("key-within-reach".to_owned());
        let row = planner(&profile, None).row(&Start::given(&profile, given), &[Goal::Awake]);
        assert_eq!(row.cells[0].answer, PlanAnswer::Way, "{name}");
        assert!(parts(row.cells[0].way.as_ref()).contains(&"fetch-key"));
    }
}

#[test]
fn a_cord_that_is_stuck_comes_out_by_its_own_release_flat_or_not() {
    for (name, release, alive, flat) in [
        (
            PICKUP,
            "cord-stuck",
            "open-remote chock open-cover",
            "open-flat",
        ),
        (
            VAN,
            "release-cord-flat",
            "open-remote open-front-cover chock",
            "open-key open-front-cover chock",
        ),
        (SEDAN, "cord-stuck", "open-remote chock", "open-flat"),
        (
            HATCH,
            "release-cord-flat",
            "open-remote chock",
            "open-flat chock",
        ),
    ] {
        check(
            name,
            "cord-stuck",
            Goal::CordFree,
            &format!("{alive} {release}"),
        );
        check(
            name,
            "flat-and-cord-stuck",
            Goal::CordFree,
            &format!("{flat} {release}"),
        );
    }
}

#[test]
fn neutral_that_is_refused_is_had_by_the_menu_or_by_hand_where_the_vehicle_lets_one() {
    check(
        PICKUP,
        "shift-refused",
        Goal::InNeutral,
        "open-remote chock wake neutral-hold",
    );
    check(
        VAN,
        "shift-refused",
        Goal::InNeutral,
        "chock attach-line pawl-by-hand",
    );
    check(
        HATCH,
        "shift-refused",
        Goal::InNeutral,
        "open-remote chock attach-line override",
    );
    // What is freed by hand leaves the brake on the wheels: it is let go by the switch.
    check(
        HATCH,
        "shift-refused",
        Goal::Loaded,
        "open-remote chock wake attach-line override brake-off winch-load-freed",
    );
}

#[test]
fn where_there_is_no_way_to_neutral_skates_carry_the_wheels() {
    for (name, variant) in [(SEDAN, None), (VAN, Some("long"))] {
        let row = row(&demo(name), variant, "shift-refused", &[Goal::InNeutral]);
        let cell = &row.cells[0];
        assert_eq!(facts(&cell.missing), ["-shift-refused"], "{name}");
        assert!(!cell.reasons.is_empty(), "{name}");
        let fallback = cell.fallback.as_ref().unwrap();
        assert!(
            parts(Some(&fallback.way)).contains(&"winch-skates"),
            "{name}"
        );
        assert_eq!(facts(&fallback.missing), ["+skates-at-hand"], "{name}");
    }
}

#[test]
fn the_sedan_is_loaded_by_its_long_neutral_because_the_short_one_runs_out() {
    check(
        SEDAN,
        "parked",
        Goal::InNeutral,
        "open-remote chock wake neutral-selector",
    );
    check(
        SEDAN,
        "parked",
        Goal::Loaded,
        "open-remote chock wake carrier-mode winch-up",
    );
}

#[test]
fn out_of_the_water_a_vehicle_is_carried_and_never_woken() {
    for name in DEMOS {
        let row = row(&demo(name), None, "in-water", &Goal::ALL);
        for cell in &row.cells {
            let water = if matches!(name, PICKUP | SEDAN) {
                "water"
            } else {
                "flooded"
            };
            assert_eq!(cell.first, [water], "{name}");
            let missing = facts(&cell.missing);
            if matches!(cell.goal, Goal::Awake | Goal::ReturnedToService) {
                assert!(
                    missing.contains(&"-pack-suspect".to_owned()),
                    "{name} {:?}",
                    cell.goal
                );
            }
            if matches!(cell.goal, Goal::Loaded | Goal::Secured) {
                assert!(
                    missing.contains(&"+skates-at-hand".to_owned()),
                    "{name} {:?}",
                    cell.goal
                );
                assert!(!missing.contains(&"-pack-suspect".to_owned()), "{name}");
            }
            let done = parts(cell.way.as_ref());
            assert!(done.is_empty() || done.contains(&water), "{name} {done:?}");
        }
    }
}

#[test]
fn with_smoke_nothing_is_done_before_it_is_over() {
    for name in DEMOS {
        for cell in row(&demo(name), None, "smoke-or-heat", &Goal::ALL).cells {
            assert_eq!(cell.first, ["fire"], "{name}");
            let Some(way) = cell.way else {
                assert_eq!(cell.answer, PlanAnswer::Holds);
                continue;
            };
            assert_eq!(cell.answer, PlanAnswer::WayIf, "{name} {:?}", cell.goal);
            assert_eq!(way.parts[0].id, "smoke-or-heat", "{name} {:?}", cell.goal);
        }
    }
}

#[test]
fn after_water_or_fire_the_pack_stays_under_suspicion() {
    use chockstone_schema::model::procedure::Purpose::{Fire, Submersion};

    for name in DEMOS {
        let profile = demo(name);
        for (i, procedure) in profile.procedures.iter().enumerate() {
            if matches!(procedure.purpose, Fire | Submersion) {
                let end = super::super::walk(&profile, i).after.pop().unwrap();
                assert!(
                    end.holds.contains(&"pack-suspect".to_owned()),
                    "{name} {}",
                    procedure.id
                );
            }
        }
    }
}

#[test]
fn a_vehicle_back_in_service_owes_nothing_whatever_was_shut_off() {
    for (name, given) in [
        (
            PICKUP,
            "low-voltage-loop-open low-voltage-disconnected high-voltage-off key-away service-disconnect-out",
        ),
        (
            VAN,
            "low-voltage-loop-open low-voltage-disconnected high-voltage-off key-away service-lever-out",
        ),
        (
            SEDAN,
            "low-voltage-loop-open low-voltage-disconnected high-voltage-off key-away service-disconnect-out",
        ),
        (
            HATCH,
            "low-voltage-loop-open low-voltage-disconnected high-voltage-off key-away panel-removed",
        ),
    ] {
        let profile = demo(name);
        let open =
            "in-park parking-brake-set wheels-chocked doors-open front-cover-open battery-charged";
        let given = given.split_whitespace().chain(open.split_whitespace());
        let start = Start::given(&profile, given.map(str::to_owned).collect());
        let row = planner(&profile, None).row(&start, &[Goal::ReturnedToService]);
        assert_eq!(
            row.cells[0].answer,
            PlanAnswer::Way,
            "{name} {:?}",
            row.cells[0].reasons
        );
        let way = row.cells[0].way.as_ref().unwrap();
        assert!(way.debts.is_empty(), "{name}");
        for undo in ["key-back", "connect-battery", "return"] {
            assert!(parts(Some(way)).contains(&undo), "{name} {undo}");
        }
    }
}

#[test]
fn a_battery_that_nobody_saw_alive_is_jumped_after_it_is_connected() {
    for name in DEMOS {
        let profile = demo(name);
        let given = "in-park wheels-chocked doors-open front-cover-open key-present donor-at-hand low-voltage-disconnected";
        let start = Start::given(
            &profile,
            given.split_whitespace().map(str::to_owned).collect(),
        );
        let row = planner(&profile, None).row(&start, &[Goal::Awake]);
        let done = parts(row.cells[0].way.as_ref());
        assert!(done.contains(&"connect-flat-battery"), "{name} {done:?}");
        assert!(
            done.iter().any(|p| p.starts_with("jump")),
            "{name} {done:?}"
        );
    }
}

#[test]
fn no_procedure_of_a_demo_vehicle_is_left_out_or_has_a_fault() {
    for name in DEMOS {
        let profile = demo(name);
        let report = planner(&profile, None).report(Vec::new());
        assert!(report.left_out.is_empty(), "{name} {:?}", report.left_out);
        for (i, procedure) in profile.procedures.iter().enumerate() {
            let faults = super::super::walk(&profile, i).faults;
            assert!(faults.is_empty(), "{name} {} {faults:?}", procedure.id);
            let untimed = procedure.steps.iter().filter(|s| s.time.is_none()).count();
            assert_eq!(untimed, 0, "{name} {}", procedure.id);
        }
    }
}

#[test]
fn every_demo_vehicle_has_rules_of_its_own_in_two_languages_and_no_finding_that_blocks() {
    for name in DEMOS {
        let profile = demo(name);
        let own: Vec<_> = planner(&profile, None)
            .rules()
            .into_iter()
            .filter(|r| r.own)
            .collect();
        assert!((1..=3).contains(&own.len()), "{name}");
        for rule in own {
            assert_eq!(rule.text.iter().count(), 2, "{name} {}", rule.id);
            assert_eq!(rule.why.iter().count(), 2, "{name} {}", rule.id);
        }
        let findings = crate::check_profile(&profile);
        let worse = findings.iter().filter(|f| f.severity != Severity::Note);
        assert_eq!(worse.count(), 0, "{name} {findings:?}");
    }
}

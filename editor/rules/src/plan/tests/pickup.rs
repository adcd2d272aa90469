//! The pickup: every named situation and every goal.

use chockstone_schema::report::{Goal, PlanAnswer};

use super::super::situations;
use super::{PICKUP, Start, cell, demo, expect, facts, parts, planner};

/// A situation and what leads to each goal, in the order of `Goal::ALL`.
type Row = (&'static str, [&'static str; 7]);

/// What a trainer would say, common practice, no source. The vehicle comes under control before it is woken; a flat one is
/// opened with the key blade and jumped; a cord that is stuck comes out by the loop; a vehicle whose pack is under
/// suspicion stays dead and goes on skates; without a key nobody wakes it; with smoke nobody touches it.
const TABLE: &[Row] = &[
    (
        "parked",
        [
            "open-remote",
            "open-remote chock wake",
            "holds",
            "open-remote chock wake neutral-selector",
            "open-remote chock wake neutral-selector winch-up",
            "open-remote chock wake neutral-selector winch-up secure",
            "open-remote chock return",
        ],
    ),
    (
        "low-voltage-flat",
        [
            "open-flat",
            "open-flat jump",
            "holds",
            "open-flat jump neutral-selector",
            "open-flat jump neutral-selector winch-up",
            "open-flat jump neutral-selector winch-up secure shut-front-cover",
            "open-flat jump return",
        ],
    ),
    (
        "no-key",
        [
            "+key-present open-remote",
            "+key-present open-remote chock wake",
            "holds",
            "+key-present open-remote chock wake neutral-selector",
            "+key-present open-remote chock wake neutral-selector winch-up",
            "+key-present open-remote chock wake neutral-selector winch-up secure",
            "+key-present open-remote chock return",
        ],
    ),
    (
        "flat-and-no-key",
        [
            "+key-present open-flat",
            "+key-present open-flat jump",
            "holds",
            "+key-present open-flat jump neutral-selector",
            "+skates-at-hand chock winch-skates",
            "+skates-at-hand chock winch-skates secure",
            "+key-present open-flat jump return",
        ],
    ),
    (
        "cord-attached",
        [
            "open-remote",
            "open-remote chock wake",
            "open-remote chock wake cord-screen",
            "open-remote chock wake cord-screen neutral-selector",
            "open-remote chock wake cord-screen neutral-selector winch-up",
            "open-remote chock wake cord-screen neutral-selector winch-up secure",
            "open-remote chock wake cord-screen return",
        ],
    ),
    (
        "cord-stuck",
        [
            "open-remote",
            "open-remote chock wake",
            "open-remote chock open-cover cord-stuck",
            "open-remote chock open-cover cord-stuck wake neutral-selector",
            "open-remote chock open-cover cord-stuck wake neutral-selector winch-up",
            "open-remote chock open-cover cord-stuck wake neutral-selector winch-up secure shut-front-cover",
            "open-remote chock open-cover cord-stuck return",
        ],
    ),
    (
        "flat-and-cord-stuck",
        [
            "open-flat",
            "open-flat cord-stuck jump",
            "open-flat cord-stuck",
            "open-flat cord-stuck jump neutral-selector",
            "open-flat cord-stuck jump neutral-selector winch-up",
            "open-flat cord-stuck jump neutral-selector winch-up secure shut-front-cover",
            "open-flat cord-stuck jump return",
        ],
    ),
    (
        "shift-refused",
        [
            "open-remote",
            "open-remote chock wake",
            "holds",
            "open-remote chock wake neutral-hold",
            "open-remote chock wake neutral-hold winch-up",
            "open-remote chock wake neutral-hold winch-up secure",
            "open-remote chock return",
        ],
    ),
    (
        "on-slope",
        [
            "open-remote",
            "open-remote chock wake",
            "holds",
            "open-remote chock wake neutral-selector",
            "open-remote chock wake neutral-selector winch-up",
            "open-remote chock wake neutral-selector winch-up secure",
            "open-remote chock return",
        ],
    ),
    (
        "after-crash",
        [
            "open-flat",
            "-pack-suspect open-flat jump",
            "holds",
            "-pack-suspect open-flat jump neutral-selector",
            "+skates-at-hand chock winch-skates",
            "+skates-at-hand chock winch-skates secure",
            "-pack-suspect open-flat jump return",
        ],
    ),
    (
        "in-water",
        [
            "+key-present water open-flat",
            "+key-present -pack-suspect water open-flat jump",
            "holds",
            "+key-present -pack-suspect water open-flat jump neutral-selector",
            "+skates-at-hand water chock winch-skates",
            "+skates-at-hand water chock winch-skates secure",
            "+key-present -pack-suspect water open-flat jump return",
        ],
    ),
    (
        "smoke-or-heat",
        [
            "-smoke-or-heat open-remote",
            "-smoke-or-heat -pack-suspect open-remote chock wake",
            "holds",
            "-smoke-or-heat -pack-suspect open-remote chock wake neutral-selector",
            "-smoke-or-heat +skates-at-hand chock winch-skates",
            "-smoke-or-heat +skates-at-hand chock winch-skates secure",
            "-smoke-or-heat -pack-suspect open-remote chock return",
        ],
    ),
    (
        "on-the-deck",
        [
            "open-remote",
            "open-remote chock wake",
            "holds",
            "open-remote chock wake unload neutral-selector",
            "holds",
            "holds",
            "open-remote chock wake unload return",
        ],
    ),
];

#[test]
fn the_pickup_is_handled_as_a_trainer_would_in_every_situation() {
    assert_eq!(TABLE.len(), situations().len());
    let profile = demo(PICKUP);
    let starts: Vec<Start> = situations().iter().map(Start::named).collect();
    let rows = planner(&profile, None).table(&starts, &Goal::ALL);
    for row in rows {
        let situation = row.situation.unwrap();
        let (_, expected) = TABLE.iter().find(|(id, _)| *id == situation).unwrap();
        for (cell, expected) in row.cells.iter().zip(expected) {
            expect(cell, &situation, expected);
        }
    }
}

#[test]
fn without_a_key_or_with_a_pack_under_suspicion_the_wheels_leave_the_ground_instead() {
    let profile = demo(PICKUP);
    for situation in ["after-crash", "flat-and-no-key"] {
        let cell = cell(&profile, situation, Goal::InNeutral);
        let fallback = cell.fallback.unwrap();
        assert_eq!(parts(Some(&fallback.way)), ["dollies"], "{situation}");
        assert_eq!(facts(&fallback.missing), ["+dollies-at-hand"]);
    }
}

#[test]
fn a_battery_that_holds_no_charge_keeps_its_booster_while_the_vehicle_is_loaded() {
    let profile = demo(PICKUP);
    let given = super::named("low-voltage-flat").given.into_iter();
    let given = given.chain(["holds-no-charge".to_owned()]).collect();
    let row = planner(&profile, None).row(&Start::given(&profile, given), &Goal::ALL);
    let loaded = row.cells.iter().find(|c| c.goal == Goal::Loaded).unwrap();
    expect(
        loaded,
        "holds no charge",
        "open-flat booster-on neutral-boosted winch-up",
    );
    let service = row.cells.last().unwrap();
    assert_eq!(service.answer, PlanAnswer::WayIf);
    assert_eq!(facts(&service.missing), ["-holds-no-charge"]);
}

#[test]
fn neutral_lasts_as_long_as_loading_takes_and_no_longer() {
    let profile = demo(PICKUP);
    let loaded = |minutes: f64| {
        let choices = chockstone_schema::report::PlanChoices {
            load_up: Some(minutes * 60.0),
            ..Default::default()
        };
        let planner = super::Planner::new(&profile, Some("standard"), choices).unwrap();
        let row = planner.row(&super::named("parked"), &[Goal::Loaded]);
        row.cells[0].answer
    };
    // Of 30 min less 1 min of uncertainty the parking brake takes 45 s, the look 45 s and the chocks 45 s at the most.
    assert_eq!(loaded(26.0), PlanAnswer::Way);
    // Then only skates are left, and nobody has them.
    assert_eq!(loaded(27.0), PlanAnswer::WayIf);
}

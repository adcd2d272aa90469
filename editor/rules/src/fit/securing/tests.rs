//! Tying down the sound vehicle, by hand, by proposal and with what is missing.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use chockstone_mechanics::STANDARD_GRAVITY;
use chockstone_schema::{
    Equipment, Profile,
    model::point::PointUse,
    read::{Notation, read},
    report::{
        BalanceRules, Facing, FitChoices, FitReport, FitTopic, Judged, NumberRules, SecuringResult,
        Side, TieDownChoice, TieDownLeg, Verdict,
    },
};

use crate::{fit::Vehicle, testing};

/// The sound carrier with four pairs of anchors, and its wheel straps replaced by others.
fn carrier(straps: &str) -> Equipment {
    let mut carrier = testing::sound_equipment();
    let text = format!(
        r#"(
            format: "1.0", id: "yard", language: "en", name: {{"en": "Anchors and straps"}},
            deck: (anchors: [
                (id: "a", x: (0.2, "m"), y: (1.0, "m"), z: (0, "m"), mirrored: true, working_load_limit: (value: (24, "kN"))),
                (id: "b", x: (2.2, "m"), y: (1.0, "m"), z: (0, "m"), mirrored: true, working_load_limit: (value: (24, "kN"))),
                (id: "c", x: (4.2, "m"), y: (1.0, "m"), z: (0, "m"), mirrored: true, working_load_limit: (value: (24, "kN"))),
                (id: "d", x: (6.2, "m"), y: (1.0, "m"), z: (0, "m"), mirrored: true, working_load_limit: (value: (24, "kN"))),
            ]),
            {straps}
        )"#
    );
    let other: Equipment = read("yard", text.as_bytes(), Notation::Ron).unwrap();
    carrier.deck.as_mut().unwrap().anchors = other.deck.unwrap().anchors;
    carrier.straps = other.straps;
    carrier.chains = other.chains;
    carrier
}

const DIRECT: &str = r#"straps: (count: 4, kind: direct, working_load_limit: (value: (20, "kN")), length: (value: (8, "ft")), fittings: [t_hook]),"#;
const WHEEL: &str = r#"straps: (count: 8, kind: wheel, working_load_limit: (value: (15, "kN")), length: (value: (14, "ft"))),"#;

/// The vehicle stands so that its front axle is 1.65 m behind the deck's front edge.
fn choices() -> FitChoices {
    FitChoices {
        placement: Some(0.8),
        ..FitChoices::default()
    }
}

fn fit(profile: &Profile, carrier: &Equipment, choices: &FitChoices) -> FitReport {
    let report = Vehicle::new(profile, None).fit(&[carrier], &[], choices);
    assert_eq!(report.securing.len(), 1);
    report
}

#[track_caller]
fn row<'r>(report: &'r FitReport, name: &str) -> &'r Judged {
    report.securing[0]
        .rows
        .iter()
        .find(|row| row.name == name)
        .unwrap()
}

#[track_caller]
fn close(actual: f64, expected: f64) {
    assert!(
        (actual / expected - 1.0).abs() < 1e-6,
        "{actual} is not {expected}"
    );
}

fn tie(from: &str, side: Side, to: &str) -> TieDownChoice {
    TieDownChoice {
        from: from.to_owned(),
        from_side: side,
        to: to.to_owned(),
        to_side: side,
        with: "sound-carrier".to_owned(),
    }
}

/// Slots at 300 and 3,500 mm behind the front axle, 500 mm out, 260 mm up; the front axle at 1.65 m on the deck: 1.95 m
/// and 5.15 m. Anchors at 0.2 and 6.2 m, 1 m out. Points of 10 kN govern. Vectors by hand, arithmetic.
#[test]
fn four_direct_straps_hold_what_their_vectors_say() {
    let mut with_ties = choices();
    for side in [Side::Left, Side::Right] {
        with_ties.tie_downs.push(tie("slot", side, "a"));
        with_ties.tie_downs.push(tie("slot-rear", side, "d"));
    }
    let report = fit(&testing::sound_profile(), &carrier(DIRECT), &with_ties);
    let result = &report.securing[0];
    assert!(!result.proposed);
    assert_eq!(result.legs.len(), 4);
    let capacity = |name| row(&report, name).figure.as_ref().unwrap().value;
    let length = |along: f64| along.hypot(0.5).hypot(0.26);
    close(capacity("held-rearward"), 20_000.0 * 1.75 / length(1.75));
    close(capacity("held-forward"), 20_000.0 * 1.05 / length(1.05));
    let sideways = 10_000.0 * (0.5 / length(1.75) + 0.5 / length(1.05));
    close(capacity("held-left"), sideways);
    close(capacity("held-right"), sideways);
    close(capacity("aggregate"), 20_000.0);
    let needed = |name| row(&report, name).limit.as_ref().unwrap().at_least.unwrap();
    close(needed("held-forward"), 0.435 * 2100.0 * STANDARD_GRAVITY);
    close(needed("aggregate"), 0.5 * 2100.0 * STANDARD_GRAVITY);
    assert!(
        result
            .legs
            .iter()
            .all(|leg| leg.weakest_part.starts_with("/points/"))
    );
    assert!(result.legs.iter().any(|leg| leg.weakest));
}

#[test]
fn the_proposal_keeps_every_limit_of_the_rule_sets() {
    let report = fit(&testing::sound_profile(), &carrier(DIRECT), &choices());
    let result = &report.securing[0];
    assert!(result.proposed, "{}", result.answer);
    assert_eq!(result.legs.len(), 4, "{}", result.answer);
    for row in &result.rows {
        assert_ne!(row.verdict, Some(Verdict::Beyond), "{}", row.label);
    }
    let topic = report.topics.iter().find(|t| t.topic == FitTopic::Securing);
    assert_eq!(topic.unwrap().verdict, result.verdict);
}

#[test]
fn straps_over_the_tyres_make_eight_legs() {
    let mut profile = testing::sound_profile();
    for point in &mut profile.points {
        point.uses.retain(|one| *one != PointUse::TieDown);
    }
    let report = fit(&profile, &carrier(WHEEL), &choices());
    let result = &report.securing[0];
    assert_eq!(result.legs.len(), 8, "{}", result.answer);
    assert!(
        result
            .legs
            .iter()
            .all(|leg| leg.from == "front" || leg.from == "rear")
    );
    let count = row(&report, "number").figure.as_ref().unwrap().value;
    close(count, 4.0);
    let sum = row(&report, "aggregate").figure.as_ref().unwrap().value;
    close(sum, 4.0 * 0.5 * 15_000.0);
    for leg in &result.legs {
        assert!(leg.from_place[2] > 0.32, "leaves the tyre above its centre");
    }
}

/// The same way round or not, the truck's forward is forward.
#[test]
fn a_vehicle_that_stands_tail_first_is_held_by_the_mirrored_layout() {
    let tail = FitChoices {
        facing: Facing::TailFirst,
        ..choices()
    };
    let report = fit(&testing::sound_profile(), &carrier(DIRECT), &tail);
    let result = &report.securing[0];
    let rear = result
        .legs
        .iter()
        .find(|leg| leg.from == "slot-rear")
        .unwrap();
    // The rearmost place stands foremost: 0.8 + 3.95 - 3.5 m.
    close(rear.from_place[0], 1.25);
    let right = result
        .legs
        .iter()
        .find(|leg| leg.from == "slot-rear" && leg.from_side == Side::Right)
        .unwrap();
    assert!(right.from_place[1] < 0.0, "its right is the deck's left");
}

#[test]
fn weak_straps_fail_and_the_answer_says_in_what() {
    let weak = carrier(
        r#"straps: (count: 4, kind: direct, working_load_limit: (value: (1, "kN")), fittings: [t_hook]),"#,
    );
    let report = fit(&testing::sound_profile(), &weak, &choices());
    let result = &report.securing[0];
    assert!(result.legs.is_empty());
    assert_eq!(result.verdict, Verdict::Beyond);
    assert!(result.answer.contains("No set"), "{}", result.answer);
    assert!(
        result.answer.contains("For forward, at most"),
        "{}",
        result.answer
    );
}

#[test]
fn fittings_that_do_not_match_are_not_used() {
    let hooks = carrier(
        r#"straps: (count: 4, kind: direct, working_load_limit: (value: (20, "kN")), fittings: [grab_hook]),"#,
    );
    let report = fit(&testing::sound_profile(), &hooks, &choices());
    let result = &report.securing[0];
    assert!(result.legs.is_empty());
    let reason = "The fittings of sound-carrier suit none of the points";
    assert!(result.answer.contains(reason), "{}", result.answer);
    assert!(!result.answer.contains("at most"), "{}", result.answer);
}

/// On the deck's level the straight part of a strap is as long as its anchor is away, and it turns round the tyre by
/// twice the angle to the wheel's centre; tyres of 0.32 m, anchors 0.2 m further out than the wheels. Geometry.
#[test]
fn a_strap_over_a_tyre_takes_its_straight_parts_and_the_arc_between_them() {
    let takes = |anchors: [f64; 2]| -> f64 {
        let part = |away: f64| away.hypot(0.2) + 0.32 * 2.0 * (0.32f64 / away).atan();
        anchors.into_iter().map(part).sum()
    };
    // The front axle stands between anchors at 0.2 and 2.2 m, the rear one between those at 4.2 and 6.2 m.
    let longest = takes([1.45, 0.55]).max(takes([0.45, 1.55]));
    let fit = |length: f64| {
        let straps = format!(
            r#"straps: (count: 8, kind: wheel, working_load_limit: (value: (15, "kN")), length: (value: ({length}, "m"))),"#
        );
        let report = fit(&testing::sound_profile(), &carrier(&straps), &choices());
        report.securing[0].clone()
    };
    let long = fit(longest + 0.002);
    assert_eq!(long.legs.len(), 8, "{}", long.answer);
    let short = fit(longest - 0.002);
    assert!(short.legs.is_empty(), "{}", short.answer);
    let reason = "long enough over the tyres of the axle";
    assert!(short.answer.contains(reason), "{}", short.answer);
}

/// Tables to 49 CFR 393.108, second-hand: unmarked webbing of 2 in counts 2,000 lb.
#[test]
fn straps_without_a_marking_have_the_default_limit() {
    let unmarked = carrier(
        r#"straps: (count: 4, kind: direct, width: (value: (2, "in")), fittings: [t_hook]),"#,
    );
    let report = fit(&testing::sound_profile(), &unmarked, &choices());
    let leg = &report.securing[0].legs[0];
    let limit = leg.limit.figure.as_ref().unwrap();
    close(limit.value, 2000.0 * 0.453_592_37 * STANDARD_GRAVITY);
    assert!(limit.inputs[0].input.contains("393.108"));
}

#[test]
fn long_haul_points_are_left_out_and_told() {
    let mut profile = testing::sound_profile();
    for point in &mut profile.points {
        for one in &mut point.uses {
            if *one == PointUse::TieDown {
                *one = PointUse::TieDownLongHaul;
            }
        }
    }
    let report = fit(&profile, &carrier(DIRECT), &choices());
    let answer = &report.securing[0].answer;
    assert!(answer.contains("long-haul transporters only"), "{answer}");
    assert!(report.securing[0].legs.is_empty());
}

#[test]
fn a_point_without_a_rating_is_not_known_in_a_chosen_layout() {
    let mut profile = testing::sound_profile();
    for point in &mut profile.points {
        if point.id.as_str() == "slot" {
            point.rating = None;
        }
    }
    let mut with_ties = choices();
    for side in [Side::Left, Side::Right] {
        with_ties.tie_downs.push(tie("slot", side, "a"));
        with_ties.tie_downs.push(tie("slot-rear", side, "d"));
    }
    let report = fit(&profile, &carrier(DIRECT), &with_ties);
    let forward = row(&report, "held-forward");
    assert_eq!(forward.verdict, Some(Verdict::NotKnown));
    assert!(forward.not_known[0].contains("/rating"));
}

#[test]
fn what_was_chosen_but_is_not_there_is_told() {
    let mut with_ties = choices();
    with_ties.tie_downs.push(tie("nowhere", Side::Left, "a"));
    let report = fit(&testing::sound_profile(), &carrier(DIRECT), &with_ties);
    assert!(report.securing[0].answer.contains("nowhere"));
    assert_eq!(report.securing[0].verdict, Verdict::Beyond);
}

/// 49 CFR 393.102(a)(1) compares with the breaking strength that the maker states, and nobody states one here: a strength
/// that is only usual must never pass. Two legs of 8 kN hold 0.435 g of the vehicle forward but not 0.8 g.
#[test]
fn a_breaking_strength_that_nobody_states_is_not_known() {
    let mut with_ties = choices();
    for side in [Side::Left, Side::Right] {
        with_ties.tie_downs.push(tie("slot", side, "a"));
        with_ties.tie_downs.push(tie("slot-rear", side, "d"));
    }
    let straps = carrier(
        r#"straps: (count: 4, kind: direct, working_load_limit: (value: (8, "kN")), fittings: [t_hook]),"#,
    );
    let report = fit(&testing::sound_profile(), &straps, &with_ties);
    let forward = row(&report, "held-forward");
    assert_eq!(forward.verdict, Some(Verdict::Within));
    let breaking = row(&report, "breaking-forward");
    assert_eq!(breaking.verdict, Some(Verdict::NotKnown));
    assert!(breaking.not_known[0].contains("breaking strengths"));
    // Limits that hold 0.8 g by themselves are enough, for a strength is no less than its limit.
    let rearward = row(&report, "breaking-rearward");
    assert_eq!(rearward.verdict, Some(Verdict::Within));
}

#[test]
fn rule_sets_change_what_is_needed() {
    let needed = |balance, name: &str| {
        let mut choices = choices();
        choices.rules.balance = balance;
        choices.rules.number = NumberRules::UsRegulation;
        for side in [Side::Left, Side::Right] {
            choices.tie_downs.push(tie("slot", side, "a"));
        }
        let report = fit(&testing::sound_profile(), &carrier(DIRECT), &choices);
        let row = row(&report, name).clone();
        row.limit.unwrap().at_least.unwrap() / (2100.0 * STANDARD_GRAVITY)
    };
    close(needed(BalanceRules::Quebec, "held-forward"), 0.8);
    close(needed(BalanceRules::En12195, "held-left"), 0.5);
    close(needed(BalanceRules::UsRegulation, "breaking-forward"), 0.8);
    close(needed(BalanceRules::UsRegulation, "held-up"), 0.2);
}

#[test]
fn without_straps_or_deck_there_is_no_answer() {
    let profile = testing::sound_profile();
    let bare = carrier("");
    let report = Vehicle::new(&profile, None).fit(&[&bare], &[], &choices());
    assert!(report.securing.is_empty());
    let mut no_deck = carrier(DIRECT);
    no_deck.deck = None;
    let report = Vehicle::new(&profile, None).fit(&[&no_deck], &[], &choices());
    assert!(report.securing.is_empty());
}

/// A file of the demo library.
fn demo_file(name: &str) -> Vec<u8> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    std::fs::read(folder.join(name)).unwrap()
}

fn demo_equipment(name: &str) -> Equipment {
    let bytes = demo_file(&format!("equipment/{name}.equipment.ron"));
    read(name, &bytes, Notation::Ron).unwrap()
}

fn demo_profile(name: &str) -> Profile {
    let bytes = demo_file(&format!("{name}.profile.ron"));
    read(name, &bytes, Notation::Ron).unwrap()
}

const DEMO_VEHICLES: [&str; 4] = [
    "brackwater-tolliver-crew",
    "gantwell-ostler",
    "ondrey-skarrow",
    "sorrelby-tindle",
];

/// The demo library: invented vehicles on the invented carrier for heavy loads, with four chains and eight wheel straps.
#[test]
fn every_complete_demo_vehicle_can_be_tied_down() {
    let gear = ["carrier-26000", "chains-g70", "straps-wheel"].map(demo_equipment);
    let gear: Vec<&Equipment> = gear.iter().collect();
    for name in DEMO_VEHICLES {
        let profile = demo_profile(name);
        for vehicle in Vehicle::all(&profile) {
            let report = vehicle.fit(&gear, &[], &FitChoices::default());
            let result = &report.securing[0];
            let held = result
                .rows
                .iter()
                .all(|row| row.verdict != Some(Verdict::Beyond));
            assert!(held && !result.legs.is_empty(), "{name}: {}", result.answer);
        }
    }
}

/// The demo wheel straps of 10 ft hold where an axle stands well between two pairs of anchors, and elsewhere the answer
/// says what is too short or stands wrong.
#[test]
fn demo_wheel_straps_hold_or_the_answer_says_why_not() {
    let straps = demo_equipment("straps-wheel");
    for carrier in ["carrier-19500", "carrier-22000", "carrier-26000"].map(demo_equipment) {
        for profile in DEMO_VEHICLES.map(demo_profile) {
            for vehicle in Vehicle::all(&profile) {
                let report = vehicle.fit(&[&carrier, &straps], &[], &FitChoices::default());
                let result = &report.securing[0];
                let why = [
                    "is long enough over the tyres",
                    "runs over the tyres",
                    "Tie-downs in all: at most 2",
                ];
                let told = why.iter().any(|why| result.answer.contains(why));
                assert!(!result.legs.is_empty() || told, "{}", result.answer);
                assert!(!result.answer.contains("most 0 N"), "{}", result.answer);
            }
        }
    }
}

/// At 50.5 in both axles of the demo pickup stand between anchors of the heavy demo carrier within reach of its straps.
#[test]
fn demo_wheel_straps_hold_the_demo_pickup_on_the_heavy_carrier() {
    let gear = ["carrier-26000", "straps-wheel"].map(demo_equipment);
    let gear: Vec<&Equipment> = gear.iter().collect();
    let chosen = FitChoices {
        placement: Some(1.282),
        ..FitChoices::default()
    };
    for vehicle in Vehicle::all(&demo_profile("brackwater-tolliver-crew")) {
        let report = vehicle.fit(&gear, &[], &chosen);
        let result = &report.securing[0];
        assert_eq!(result.legs.len(), 8, "{}", result.answer);
        for row in &result.rows {
            assert_ne!(row.verdict, Some(Verdict::Beyond), "{}", row.label);
        }
    }
}

/// Each carrier has its own place for the vehicle: what was worked out for one is never taken for another.
#[test]
fn two_carriers_each_tie_the_vehicle_down_where_it_stands_on_them() {
    let gear = ["carrier-22000", "carrier-26000", "straps-soft"].map(demo_equipment);
    let gear: Vec<&Equipment> = gear.iter().collect();
    let profile = demo_profile("brackwater-tolliver-crew");
    let vehicle = Vehicle::new(&profile, Some("standard"));
    let both = vehicle.fit(&gear, &[], &FitChoices::default());
    let Some((straps, carriers)) = gear.split_last() else {
        unreachable!("three pieces are given")
    };
    let places: Vec<Option<f64>> = both.carrying.iter().map(|c| c.placement).collect();
    assert_ne!(
        places[0], places[2],
        "the carriers stand it at different places"
    );
    // Figures may differ in their last bit: inputs are summed in the order in which they were met.
    let told = |result: &SecuringResult| {
        let places = result.legs.iter().map(|leg| (leg.from_place, leg.to_place));
        let places: Vec<_> = places.collect();
        (result.answer.clone(), result.verdict, places)
    };
    for (index, carrier) in carriers.iter().enumerate() {
        let alone = vehicle.fit(&[*carrier, *straps], &[], &FitChoices::default());
        assert_eq!(told(&both.securing[index]), told(&alone.securing[0]));
    }
}

/// NSC Standard 10 s.88, quoted: restrained at front and rear against lateral movement.
#[test]
fn a_vehicle_held_sideways_at_one_end_only_is_not_held() {
    let gear = ["carrier-26000", "straps-soft"].map(demo_equipment);
    let gear: Vec<&Equipment> = gear.iter().collect();
    let profile = demo_profile("brackwater-tolliver-crew");
    let vehicle = Vehicle::new(&profile, Some("standard"));
    let whole = vehicle.fit(&gear, &[], &FitChoices::default());
    let verdicts = |result: &SecuringResult| {
        ["ends-left", "ends-right"].map(|name| {
            let row = result.rows.iter().find(|row| row.name == name);
            row.unwrap().verdict
        })
    };
    assert_eq!(verdicts(&whole.securing[0]), [Some(Verdict::Within); 2]);
    let front = |leg: &&TieDownLeg| leg.from == "tie-front";
    let kept = whole.securing[0].legs.iter().filter(front);
    let choices = FitChoices {
        placement: whole.carrying[0].placement,
        tie_downs: kept
            .map(|leg| TieDownChoice {
                from: leg.from.clone(),
                from_side: leg.from_side,
                to: leg.to.clone(),
                to_side: leg.to_side,
                with: leg.with.clone(),
            })
            .collect(),
        ..FitChoices::default()
    };
    assert_eq!(choices.tie_downs.len(), 2);
    let half = vehicle.fit(&gear, &[], &choices);
    assert_eq!(verdicts(&half.securing[0]), [Some(Verdict::Beyond); 2]);
}

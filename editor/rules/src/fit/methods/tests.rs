#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use chockstone_schema::{
    Equipment, Profile,
    model::{
        advice::{Permission, TransportMethod},
        axle::{MotorKind, TurningEffect},
    },
    report::{FitChoices, MethodAnswer, MethodResult},
};

use crate::{
    fit::{Vehicle, carrying::demo},
    testing,
};

fn table(profile: &Profile, variant: Option<&str>) -> Vec<MethodResult> {
    Vehicle::new(profile, variant).general().methods
}

fn row(table: &[MethodResult], method: TransportMethod) -> &MethodResult {
    table.iter().find(|row| row.method == method).unwrap()
}

fn answers(table: &[MethodResult]) -> Vec<MethodAnswer> {
    table.iter().map(|row| row.answer).collect()
}

/// Common practice, no source: a wheel with a motor must not turn on the road, so either lift of an all-wheel drive needs
/// dollies.
#[test]
fn every_method_of_the_demo_pickup_has_its_answer() {
    use MethodAnswer::{Allowed, Limited, NotAllowed, OnlyWithDollies};
    let table = table(&demo::profile("brackwater-tolliver-crew"), Some("extended"));
    assert_eq!(
        answers(&table),
        [
            Allowed,
            OnlyWithDollies,
            Limited,
            OnlyWithDollies,
            Limited,
            NotAllowed,
            Limited,
            Allowed,
            Limited
        ]
    );
    for row in &table {
        assert!(!row.reasons.is_empty(), "{:?}", row.method);
    }
    let lift = row(&table, TransportMethod::RearLift);
    assert!(
        lift.reasons
            .iter()
            .any(|r| r.reason.contains("set before it moves at all"))
    );
    let winch = row(&table, TransportMethod::WinchRolling);
    assert!((winch.max_speed.unwrap() / 0.447_04 - 3.0).abs() < 1e-9);
}

#[test]
fn dollies_that_are_given_are_held_against_the_vehicle() {
    let profile = demo::profile("brackwater-tolliver-crew");
    let vehicle = Vehicle::new(&profile, Some("extended"));
    let with = |ids: &[&str]| {
        let gear: Vec<Equipment> = ids.iter().map(|id| demo::equipment(id)).collect();
        let gear: Vec<&Equipment> = gear.iter().collect();
        vehicle.fit(&gear, &[], &FitChoices::default()).methods
    };
    let light = with(&["dollies-light"]);
    let dollies = row(&light, TransportMethod::RearLiftDollies);
    assert_eq!(dollies.answer, MethodAnswer::NotAllowed);
    assert!(dollies.reasons.iter().any(|r| {
        r.reason
            .starts_with("The dollies dollies-light are not rated")
    }));
    let lift = row(&light, TransportMethod::RearLift);
    assert_eq!(lift.answer, MethodAnswer::OnlyWithDollies);
    assert!(
        lift.reasons
            .iter()
            .any(|r| r.reason.starts_with("None of the dollies given"))
    );
    let both = with(&["dollies-light", "dollies-heavy"]);
    assert_eq!(
        row(&both, TransportMethod::RearLiftDollies).answer,
        MethodAnswer::Limited
    );
}

#[test]
fn variants_differ_by_their_axles_and_rules() {
    let profile = demo::profile("ondrey-skarrow");
    let rear_lift =
        |variant| row(&table(&profile, Some(variant)), TransportMethod::RearLift).answer;
    assert_eq!(rear_lift("tri-112"), MethodAnswer::OnlyWithDollies);
    assert_eq!(rear_lift("duo-96"), MethodAnswer::Limited);
    let profile = demo::profile("gantwell-ostler");
    let front = |variant| row(&table(&profile, Some(variant)), TransportMethod::FrontLift).answer;
    assert_eq!(front("short"), MethodAnswer::OnlyWithDollies);
    assert_eq!(
        front("long"),
        MethodAnswer::NotAllowed,
        "twin tyres do not fit dollies"
    );
}

/// The sound vehicle's front axle, which has no motor, as each case changes it.
fn rear_lift(change: impl FnOnce(&mut Profile)) -> MethodResult {
    let mut profile = testing::sound_profile();
    change(&mut profile);
    row(&table(&profile, None), TransportMethod::RearLift).clone()
}

#[test]
fn the_stricter_of_axle_and_rule_wins_and_a_contradiction_is_told() {
    let allowed = rear_lift(|_| {});
    assert_eq!(allowed.answer, MethodAnswer::Allowed);
    let contradicted = rear_lift(|profile| {
        profile.axles[0].turning.as_mut().unwrap().effect = TurningEffect::Generates;
    });
    assert_eq!(contradicted.answer, MethodAnswer::OnlyWithDollies);
    assert!(
        contradicted
            .reasons
            .iter()
            .any(|r| r.reason.starts_with("Contradiction:"))
    );
    let forbidden = rear_lift(|profile| {
        profile.transport.rules[2].permission = Permission::Forbidden;
    });
    assert_eq!(forbidden.answer, MethodAnswer::OnlyWithDollies);
    assert!(
        forbidden
            .reasons
            .iter()
            .all(|r| !r.reason.starts_with("Contradiction:"))
    );
}

#[test]
fn a_contradiction_is_a_finding_at_the_rule() {
    let mut profile = testing::sound_profile();
    profile.axles[0].turning.as_mut().unwrap().effect = TurningEffect::Locked;
    let report = Vehicle::new(&profile, None).fit(&[], &[], &FitChoices::default());
    let finding = report
        .findings
        .iter()
        .find(|f| f.check == "fit-methods-contradiction");
    assert_eq!(finding.unwrap().place, "/transport/rules/2");
}

#[test]
fn what_nobody_states_is_not_known_until_a_rule_says_so() {
    let unstated = |keep_rules: bool| {
        let mut profile = testing::sound_profile();
        profile.axles[0].turning = None;
        if !keep_rules {
            profile.transport.rules.clear();
        }
        table(&profile, None)
    };
    let by_rule = unstated(true);
    assert_eq!(
        row(&by_rule, TransportMethod::RearLift).answer,
        MethodAnswer::Allowed
    );
    let silent = unstated(false);
    assert_eq!(
        row(&silent, TransportMethod::RearLift).answer,
        MethodAnswer::OnlyWithDollies
    );
    assert_eq!(
        row(&silent, TransportMethod::Push).answer,
        MethodAnswer::NotKnown
    );
    assert_eq!(
        row(&silent, TransportMethod::AllWheelsGround).answer,
        MethodAnswer::NotAllowed
    );
}

#[test]
fn each_statement_about_turning_has_its_answer() {
    use MethodAnswer::{Allowed, Limited, OnlyWithDollies};
    let cases: [(&str, MethodAnswer); 8] = [
        (r#"{"effect": "free", "source": "manual"}"#, Allowed),
        (
            r#"{"effect": "free", "max_speed": {"value": [50, "km/h"]}}"#,
            Limited,
        ),
        (r#"{"effect": "generates"}"#, OnlyWithDollies),
        (r#"{"effect": "locked"}"#, OnlyWithDollies),
        (r#"{"effect": "not_known"}"#, OnlyWithDollies),
        (r#"{"effect": "drags"}"#, OnlyWithDollies),
        (
            r#"{"effect": "drags", "max_speed": {"value": [30, "km/h"]}}"#,
            OnlyWithDollies,
        ),
        (
            r#"{"effect": "drags", "max_speed": {"value": [30, "km/h"]}, "max_distance": {"value": [10, "km"]}}"#,
            Limited,
        ),
    ];
    for (turning, answer) in cases {
        let row = rear_lift(|profile| {
            profile.transport.rules.clear();
            profile.axles[0].turning = Some(serde_json::from_str(turning).unwrap());
        });
        assert_eq!(row.answer, answer, "{turning}");
    }
}

#[test]
fn a_motor_that_always_turns_needs_the_makers_word() {
    let with_motor = |kind: MotorKind, turning: &str, how: bool| {
        rear_lift(|profile| {
            profile.transport.rules.clear();
            let axle = &mut profile.axles[0];
            let motor = axle.motor.as_mut().unwrap();
            motor.kind = kind;
            motor.how = how.then(|| serde_json::from_str(r#"{"en": "A lever."}"#).unwrap());
            axle.turning = Some(serde_json::from_str(turning).unwrap());
        })
        .answer
    };
    let free = r#"{"effect": "free", "source": "manual"}"#;
    let free_by_nobody = r#"{"effect": "free"}"#;
    let fixed = MotorKind::Fixed;
    assert_eq!(with_motor(fixed, free, false), MethodAnswer::Allowed);
    assert_eq!(
        with_motor(fixed, free_by_nobody, false),
        MethodAnswer::OnlyWithDollies
    );
    let disconnectable = MotorKind::Disconnectable;
    assert_eq!(
        with_motor(disconnectable, free, true),
        MethodAnswer::Limited
    );
    assert_eq!(
        with_motor(disconnectable, free, false),
        MethodAnswer::OnlyWithDollies
    );
}

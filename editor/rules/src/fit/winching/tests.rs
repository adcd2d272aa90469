//! Winching the sound vehicle, by hand and with what is missing.

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use chockstone_mechanics::STANDARD_GRAVITY;
use chockstone_schema::{
    Equipment, Profile,
    model::{equipment::Skates, point::PointUse},
    report::{
        Facing, FitChoices, FitReport, FitTopic, Judged, ResistanceRules, Verdict, WheelState,
    },
};

use crate::{fit::Vehicle, testing};

fn fit(profile: &Profile, equipment: &[&Equipment], choices: &FitChoices) -> FitReport {
    Vehicle::new(profile, None).fit(equipment, &[], choices)
}

fn sound(choices: &FitChoices) -> FitReport {
    fit(
        &testing::sound_profile(),
        &[&testing::sound_equipment()],
        choices,
    )
}

#[track_caller]
fn row<'r>(report: &'r FitReport, title: &str, name: &str) -> &'r Judged {
    let result = report
        .winching
        .iter()
        .find(|result| result.title.contains(title))
        .unwrap();
    result.rows.iter().find(|row| row.name == name).unwrap()
}

#[track_caller]
fn value(report: &FitReport, title: &str, name: &str) -> f64 {
    row(report, title, name).figure.as_ref().unwrap().value
}

#[track_caller]
fn close(actual: f64, expected: f64, part: f64) {
    assert!(
        (actual / expected - 1.0).abs() < part,
        "{actual} is not {expected}"
    );
}

/// 2,100 kg on a deck at 11°; army figures (second-hand): a tenth of the load rolling, 0.67 locked. Arithmetic.
#[test]
fn the_pulls_of_the_sound_vehicle_are_those_by_hand() {
    let report = sound(&FitChoices::default());
    let (sine, cosine) = 11f64.to_radians().sin_cos();
    let pull = |share: f64| 2100.0 * STANDARD_GRAVITY * (sine + share * cosine);
    close(
        value(&report, "rolling, straight", "pull"),
        pull(0.10),
        1e-9,
    );
    close(
        value(&report, "all wheels locked, straight", "pull"),
        pull(0.67),
        1e-9,
    );
    let front = 1120.0 / 2100.0 * 0.67 + 980.0 / 2100.0 * 0.10;
    close(
        value(&report, "front wheels locked, straight", "pull"),
        pull(front),
        1e-6,
    );
    close(
        value(&report, "way down", "hold"),
        2100.0 * STANDARD_GRAVITY * sine,
        1e-9,
    );
}

/// A block of 90 %: load / (2 x 0.9), second-hand; it carries both parts of its line.
#[test]
fn a_block_nearly_halves_the_line_and_carries_both_parts() {
    let report = sound(&FitChoices::default());
    let straight = value(&report, "rolling, straight", "winch-pull");
    let blocked = value(&report, "rolling, one moving block", "winch-pull");
    close(blocked, straight / 1.8, 1e-9);
    close(
        value(&report, "rolling, one moving block", "block-load"),
        2.0 * blocked,
        1e-9,
    );
    close(
        value(&report, "rolling, one moving block", "point-load"),
        straight,
        1e-9,
    );
}

/// 15 m of 10 mm line on a drum of 120 x 400 mm: 28 turns of 0.408 m on the first layer, the rest on the second, which
/// pulls 130 / 150 of the first. Arithmetic from the formula.
#[test]
fn the_winch_is_judged_on_the_outermost_layer_unless_line_is_out() {
    let report = sound(&FitChoices::default());
    let full = row(&report, "rolling, straight", "winch-pull");
    assert_eq!(full.label, "Pull of the winch, layer 2");
    let most = |row: &Judged| row.limit.as_ref().unwrap().at_most.unwrap();
    close(most(full), 36_000.0 * 130.0 / 150.0, 1e-9);
    let out = sound(&FitChoices {
        line_out: Some(12.0),
        ..FitChoices::default()
    });
    let part = row(&out, "rolling, straight", "winch-pull");
    close(most(part), 36_000.0, 1e-9);
    let left = row(&out, "rolling, straight", "line-left");
    assert_eq!(left.verdict, Some(Verdict::Within));
    let bare = sound(&FitChoices {
        line_out: Some(14.0),
        ..FitChoices::default()
    });
    let left = row(&bare, "rolling, straight", "line-left");
    assert_eq!(left.verdict, Some(Verdict::Beyond), "fewer than five turns");
}

#[test]
fn a_surface_that_the_rule_set_lacks_is_not_known_and_named() {
    let mut choices = FitChoices::default();
    choices.rules.resistance = ResistanceRules::EngineersHandbook;
    let report = sound(&choices);
    let locked = row(&report, "all wheels locked, straight", "pull");
    assert!(locked.figure.is_none());
    assert!(locked.not_known[0].contains("Rolling resistance from a handbook"));
    let rolling = value(&report, "rolling, straight", "pull");
    assert!(rolling < value(&sound(&FitChoices::default()), "rolling, straight", "pull"));
}

#[test]
fn a_winch_without_a_rating_names_the_field() {
    let mut carrier = testing::sound_equipment();
    carrier.winch.as_mut().unwrap().line_pull = None;
    let profile = testing::sound_profile();
    let report = fit(&profile, &[&carrier], &FitChoices::default());
    let pull = row(&report, "rolling, straight", "winch-pull");
    assert_eq!(pull.verdict, Some(Verdict::NotKnown));
    assert!(pull.not_known[0].contains("sound-carrier#/winch/line_pull"));
    let topic = report.topics.iter().find(|t| t.topic == FitTopic::Winching);
    assert_eq!(topic.unwrap().verdict, Verdict::NotKnown);
}

#[test]
fn without_a_deck_it_is_level_ground_or_the_slope_chosen() {
    let mut winch = testing::sound_equipment();
    winch.deck = None;
    let profile = testing::sound_profile();
    let level = fit(&profile, &[&winch], &FitChoices::default());
    close(
        value(&level, "rolling, straight", "pull"),
        0.1 * 2100.0 * STANDARD_GRAVITY,
        1e-9,
    );
    assert!(level.winching.iter().all(|result| !result.holding_back));
    let steep = FitChoices {
        slope: Some(0.31f64.atan()),
        ..FitChoices::default()
    };
    let steep = fit(&profile, &[&winch], &steep);
    assert!(steep.winching.iter().any(|result| result.holding_back));
    let warning = steep
        .findings
        .iter()
        .find(|f| f.check == "fit-winching-grade")
        .unwrap();
    assert_eq!(warning.limit.as_deref(), Some("30 %"));
}

#[test]
fn only_points_at_the_end_that_goes_first_are_used() {
    let tail = sound(&FitChoices {
        facing: Facing::TailFirst,
        ..FitChoices::default()
    });
    let load = row(&tail, "rolling, straight", "point-load");
    assert_eq!(load.verdict, Some(Verdict::NotKnown));
    assert!(load.not_known[0].contains("at its rear"));
}

/// A pair 1 m apart with legs of 0.9 m: 56.25° and 0.6014 of the pull on each. Statics, arithmetic.
#[test]
fn a_pair_of_points_is_pulled_with_the_bridle_that_is_given() {
    let mut profile = testing::sound_profile();
    let index = profile
        .points
        .iter()
        .position(|point| point.id.as_str() == "slot")
        .unwrap();
    let slot = &mut profile.points[index];
    slot.forbidden.clear();
    slot.uses.push(PointUse::Winch);
    let report = fit(
        &profile,
        &[&testing::sound_equipment()],
        &FitChoices::default(),
    );
    let pull = value(&report, "rolling, straight", "pull");
    close(
        value(&report, "rolling, straight", "bridle-leg"),
        pull / (2.0 * (1.0f64 - (0.5f64 / 0.9).powi(2)).sqrt()),
        1e-9,
    );
    let angle = row(&report, "rolling, straight", "bridle-angle");
    assert_eq!(angle.verdict, Some(Verdict::Within));
    // Locked, the pair's 10 kN do not bear it; the single eye of 20 kN does.
    let locked = row(&report, "all wheels locked, straight", "point-load");
    assert_eq!(locked.label, "Load of the point eye");
}

#[test]
fn skates_carry_half_of_the_heavier_axle_and_are_counted() {
    let mut carrier = testing::sound_equipment();
    let text =
        r#"{"count": 2, "rating": {"value": [500, "kg"]}, "resistance": {"value": [12, "%"]}}"#;
    carrier.skates = Some(serde_json::from_str::<Skates>(text).unwrap());
    let profile = testing::sound_profile();
    let choices = FitChoices {
        wheels: WheelState::OnSkates,
        ..FitChoices::default()
    };
    let report = fit(&profile, &[&carrier], &choices);
    close(value(&report, "on skates", "skate-load"), 560.0, 1e-6);
    let verdict = |name| row(&report, "on skates", name).verdict;
    assert_eq!(verdict("skate-load"), Some(Verdict::Beyond));
    assert_eq!(verdict("skate-count"), Some(Verdict::Beyond));
    let (sine, cosine) = 11f64.to_radians().sin_cos();
    close(
        value(&report, "on skates", "pull"),
        2100.0 * STANDARD_GRAVITY * (sine + 0.12 * cosine),
        1e-9,
    );
    let chosen: Vec<_> = report.winching.iter().filter(|r| r.chosen).collect();
    assert!(
        chosen
            .iter()
            .all(|r| r.holding_back || r.title.contains("on skates"))
    );
}

#[test]
fn equipment_without_a_winch_takes_no_part() {
    let mut carrier = testing::sound_equipment();
    carrier.winch = None;
    let profile = testing::sound_profile();
    let report = fit(&profile, &[&carrier], &FitChoices::default());
    assert!(report.winching.is_empty());
    assert!(report.topics.iter().all(|t| t.topic != FitTopic::Winching));
}

#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use chockstone_schema::{
    Equipment, Profile,
    model::equipment::Chassis,
    report::{
        AlsoCarried, CarryingResult, Facing, FitChoices, FitReport, FitTopic, Judged, Severity,
        Verdict,
    },
};

use crate::{
    fit::{Vehicle, carrying::demo},
    testing,
};

const POUND: f64 = 0.453_592_37;

fn pickup() -> Profile {
    demo::profile("brackwater-tolliver-crew")
}

fn fit(profile: &Profile, variant: &str, carrier: &Equipment, choices: &FitChoices) -> FitReport {
    Vehicle::new(profile, Some(variant)).fit(&[carrier], &[], choices)
}

fn row<'r>(result: &'r CarryingResult, name: &str) -> &'r Judged {
    result.rows.iter().find(|row| row.name == name).unwrap()
}

fn pounds(row: &Judged) -> f64 {
    row.figure.as_ref().unwrap().value / POUND
}

fn at(placement: f64) -> FitChoices {
    FitChoices {
        placement: Some(placement),
        ..FitChoices::default()
    }
}

/// Common practice, no source: a battery-electric half-ton pickup puts nearly all of its weight on the rear axle of a
/// two-axle carrier of about 22,000 lb and is about 1,400 lb beyond its rating. The demo data must be able to show it.
#[test]
fn the_demo_pickup_is_about_1400_lb_beyond_the_22000_lb_carrier() {
    let report = fit(
        &pickup(),
        "extended",
        &demo::equipment("carrier-22000"),
        &at(0.0),
    );
    let result = &report.carrying[0];
    let rear = row(result, "rear-axle");
    assert_eq!(rear.verdict, Some(Verdict::Beyond));
    let rating = rear.limit.as_ref().unwrap().at_most.unwrap() / POUND;
    assert!(
        (1300.0..1500.0).contains(&(pounds(rear) - rating)),
        "{}",
        pounds(rear) - rating
    );
    assert!(
        (pounds(rear) - 8320.0) / 7120.0 > 0.95,
        "nearly all on the rear axle"
    );
    assert_eq!(row(result, "gross").verdict, Some(Verdict::Within));
    assert!(result.window.is_none() && result.sure_window.is_none());
    let why = result.no_window.as_ref().unwrap();
    assert!(why.contains("rear axle of the truck"), "{why}");
    let topic = report
        .topics
        .iter()
        .find(|topic| topic.topic == FitTopic::Carrying)
        .unwrap();
    assert_eq!(topic.verdict, Verdict::Beyond);
    let blocking = report
        .findings
        .iter()
        .find(|f| f.check == "fit-carrying-rear-axle")
        .unwrap();
    assert_eq!(blocking.severity, Severity::Blocking);
}

/// Common practice, no source: such a load wants a carrier of 26,000 lb or more.
#[test]
fn the_26000_lb_carrier_takes_the_demo_pickup() {
    let report = fit(
        &pickup(),
        "extended",
        &demo::equipment("carrier-26000"),
        &FitChoices::default(),
    );
    for result in &report.carrying {
        assert_eq!(
            result.verdict,
            Verdict::Within,
            "{}: {:#?}",
            result.title,
            result.rows
        );
        let (window, sure) = (
            result.window.as_ref().unwrap(),
            result.sure_window.as_ref().unwrap(),
        );
        assert!(window.from <= sure.from && sure.to < window.to);
        let placement = result.placement.unwrap();
        assert!((f64::midpoint(sure.from, sure.to) - placement).abs() < 1e-12);
    }
    assert!(
        report.topics[0]
            .answer
            .starts_with("It rides within every rating: carrier-26000, nose first.")
    );
}

#[test]
fn of_several_carriers_the_least_that_takes_it_is_named() {
    let profile = pickup();
    let carriers = ["carrier-19500", "carrier-22000", "carrier-26000"].map(demo::equipment);
    let equipment: Vec<&Equipment> = carriers.iter().collect();
    let report =
        Vehicle::new(&profile, Some("extended")).fit(&equipment, &[], &FitChoices::default());
    assert_eq!(report.carrying.len(), 6);
    let answer = &report.topics[0].answer;
    assert!(
        answer.contains("The least of those given that takes it is carrier-26000"),
        "{answer}"
    );
}

/// The rows at a placement agree with the sure window, which is a closed form: bisection on the rows' worst verdict finds
/// its rear end.
#[test]
fn the_rows_agree_with_the_sure_window() {
    let (profile, carrier) = (
        demo::profile("sorrelby-tindle"),
        demo::equipment("carrier-19500"),
    );
    let variant = profile.variants.first().map(|v| v.id.as_str().to_owned());
    let vehicle = Vehicle::new(&profile, variant.as_deref());
    let verdict = |s: f64| vehicle.fit(&[&carrier], &[], &at(s)).carrying[0].verdict;
    let report = vehicle.fit(&[&carrier], &[], &FitChoices::default());
    let sure = report.carrying[0].sure_window.clone().unwrap();
    let (mut inside, mut outside) = (report.carrying[0].placement.unwrap(), sure.to + 2.0);
    assert_eq!(verdict(inside), Verdict::Within);
    for _ in 0..40 {
        let middle = f64::midpoint(inside, outside);
        if verdict(middle) == Verdict::Within {
            inside = middle;
        } else {
            outside = middle;
        }
    }
    assert!((inside - sure.to).abs() < 1e-6, "{inside} {sure:?}");
    let end = report.carrying[0]
        .rows
        .iter()
        .find(|row| row.name == sure.to_set_by);
    assert!(end.is_some(), "an end names the row that sets it");
}

#[test]
fn the_chart_meets_1_where_the_window_ends() {
    let report = fit(
        &pickup(),
        "extended",
        &demo::equipment("carrier-26000"),
        &FitChoices {
            facing: Facing::TailFirst,
            ..FitChoices::default()
        },
    );
    let result = &report.carrying[0];
    assert_eq!(
        result.facing,
        Facing::TailFirst,
        "the chosen way comes first"
    );
    let chart = result.chart.as_ref().unwrap();
    let window = result.window.as_ref().unwrap();
    for line in &chart.lines {
        let slope = (line.at_to - line.at_from) / (chart.to - chart.from);
        let at = |s: f64| line.at_from + slope * (s - chart.from);
        assert!(
            at(window.from) < 1.0 + 1e-9 && at(window.to) < 1.0 + 1e-9,
            "{}",
            line.name
        );
        if line.name == window.to_set_by {
            assert!((at(window.to) - 1.0).abs() < 1e-9);
        }
    }
    assert_eq!(chart.lines.len(), 5);
}

#[test]
fn a_missing_rating_is_not_known_and_names_its_field() {
    let mut carrier = demo::equipment("carrier-26000");
    carrier.chassis.as_mut().unwrap().rear_gawr = None;
    let report = fit(&pickup(), "extended", &carrier, &FitChoices::default());
    let result = &report.carrying[0];
    let rear = row(result, "rear-axle");
    assert_eq!(rear.verdict, Some(Verdict::NotKnown));
    assert!(rear.figure.is_some(), "the load itself is known");
    assert_eq!(
        rear.not_known,
        ["The truck's rear axle rating: carrier-26000#/chassis/rear_gawr is not stated."]
    );
    assert_eq!(result.verdict, Verdict::NotKnown);
    assert!(result.window.is_none());
    let why = result.no_window.as_ref().unwrap();
    assert!(why.contains("/chassis/rear_gawr"), "{why}");
}

#[test]
fn a_deck_without_a_truck_still_judges_what_it_can() {
    let mut carrier = demo::equipment("carrier-26000");
    carrier.chassis = None;
    let report = fit(&pickup(), "extended", &carrier, &FitChoices::default());
    let result = &report.carrying[0];
    assert_eq!(row(result, "deck-capacity").verdict, Some(Verdict::Within));
    assert_eq!(row(result, "rear-axle").verdict, Some(Verdict::NotKnown));
    assert_eq!(row(result, "overall-height").verdict, None);
    let with_empty_chassis: Chassis = serde_json::from_str("{}").unwrap();
    carrier.chassis = Some(with_empty_chassis);
    let again = fit(&pickup(), "extended", &carrier, &FitChoices::default());
    assert_eq!(again.carrying[0].rows, result.rows);
}

#[test]
fn a_deck_shorter_than_the_wheelbase_gives_a_finding_and_no_axle_load() {
    let mut carrier = demo::equipment("carrier-26000");
    let deck = carrier.deck.as_mut().unwrap();
    deck.length = serde_json::from_str(r#"{"value": [2, "m"]}"#).unwrap();
    let report = fit(&pickup(), "extended", &carrier, &FitChoices::default());
    let result = &report.carrying[0];
    assert_eq!(result.verdict, Verdict::Beyond);
    assert_eq!(
        row(result, "wheelbase-on-deck").verdict,
        Some(Verdict::Beyond)
    );
    assert!(result.rows.iter().all(|row| row.name != "rear-axle"));
    assert!(result.placement.is_none() && result.chart.is_none());
    let finding = report
        .findings
        .iter()
        .find(|f| f.check == "fit-carrying-geometry")
        .unwrap();
    assert!(
        finding
            .message
            .contains("shorter than the vehicle's wheelbase"),
        "{}",
        finding.message
    );
}

#[test]
fn a_centre_of_gravity_outside_the_axles_gives_a_finding_and_no_number() {
    let mut profile = testing::sound_profile();
    for load in &mut profile.mass.readings[0].loads {
        if load.axle.as_str() == "front" {
            load.left = serde_json::from_str(r#"[-900, "kg"]"#).ok();
            load.right = serde_json::from_str(r#"[-20, "kg"]"#).ok();
        }
    }
    let vehicle = Vehicle::new(&profile, None);
    let carrier = testing::sound_equipment();
    let report = vehicle.fit(&[&carrier], &[], &FitChoices::default());
    let result = &report.carrying[0];
    assert!(row(result, "rear-axle").figure.is_none());
    assert!(result.verdict >= Verdict::NotKnown);
}

#[test]
fn a_profile_without_a_weighing_says_what_is_missing() {
    let mut profile = testing::sound_profile();
    profile.mass.readings.clear();
    profile.mass.curb_mass = None;
    let vehicle = Vehicle::new(&profile, None);
    let carrier = testing::sound_equipment();
    let report = vehicle.fit(&[&carrier], &[], &FitChoices::default());
    let rear = row(&report.carrying[0], "rear-axle");
    assert_eq!(rear.verdict, Some(Verdict::NotKnown));
    assert!(
        rear.not_known.iter().any(|s| s.contains("/mass/readings")),
        "{:?}",
        rear.not_known
    );
    let need = vehicle.general().carrier;
    assert_eq!(need.least_gvwr, None);
    assert!(need.answer.starts_with("Not known."), "{}", need.answer);
}

#[test]
fn another_vehicle_on_the_deck_adds_its_weight_and_takes_its_room() {
    let (pickup, small) = (demo::profile("sorrelby-tindle"), testing::sound_profile());
    let vehicle = Vehicle::new(&pickup, pickup.variants.first().map(|v| v.id.as_str()));
    let others = [Vehicle::new(&small, None)];
    let mut carrier = demo::equipment("carrier-26000");
    carrier.deck.as_mut().unwrap().length =
        serde_json::from_str(r#"{"value": [12, "m"]}"#).unwrap();
    let mut choices = FitChoices {
        placement: Some(6.0),
        ..FitChoices::default()
    };
    let alone = vehicle.fit(&[&carrier], &others, &choices);
    choices.also = vec![AlsoCarried {
        profile: small.id.to_string(),
        variant: None,
        facing: Facing::NoseFirst,
        placement: 0.0,
    }];
    let both = vehicle.fit(&[&carrier], &others, &choices);
    let gross = |report: &FitReport| {
        row(&report.carrying[0], "gross")
            .figure
            .clone()
            .unwrap()
            .value
    };
    assert!((gross(&both) - gross(&alone) - 2100.0).abs() < 1e-6);
    assert_eq!(
        row(&both.carrying[0], "room-beside").verdict,
        Some(Verdict::Within)
    );
    choices.placement = Some(3.0);
    let close = vehicle.fit(&[&carrier], &others, &choices);
    assert_eq!(
        row(&close.carrying[0], "room-beside").verdict,
        Some(Verdict::Beyond)
    );
    choices.placement = Some(6.0);
    choices.also.push(AlsoCarried {
        placement: 11.0,
        ..choices.also[0].clone()
    });
    let three = vehicle.fit(&[&carrier], &others, &choices);
    assert!((gross(&three) - gross(&alone) - 2.0 * 2100.0).abs() < 1e-6);
    let rear = |report: &FitReport| {
        row(&report.carrying[0], "rear-axle")
            .figure
            .clone()
            .unwrap()
            .value
    };
    let wheelbase = 217.0 * 0.0254;
    let second = 2100.0 * (76.0 * 0.0254 + 11.0 + centre_of_sound_vehicle()) / wheelbase;
    assert!((rear(&three) - rear(&both) - second).abs() < 1e-6);
    choices.also[0].profile = "unheard-of".to_owned();
    let lost = vehicle.fit(&[&carrier], &others, &choices);
    let rear = row(&lost.carrying[0], "rear-axle");
    assert!(rear.not_known[0].contains("unheard-of is not among the profiles given"));
}

/// How far the sound vehicle's centre of gravity lies behind its foremost place, metres.
fn centre_of_sound_vehicle() -> f64 {
    let profile = testing::sound_profile();
    let vehicle = Vehicle::new(&profile, None);
    let overhang = profile.dimensions.front_overhang.as_ref().unwrap().si();
    overhang + vehicle.computed.x.as_ref().unwrap().value()
}

/// Common practice, no source.
#[test]
fn for_planning_the_pickup_wants_26000_lb_and_a_small_car_less() {
    let need = |profile: &Profile, variant: Option<&str>| {
        let need = Vehicle::new(profile, variant).general().carrier;
        (need.least_gvwr.map(|kg| (kg / POUND).round()), need)
    };
    let (least, pickup) = need(&pickup(), Some("extended"));
    assert_eq!(least, Some(26_000.0));
    assert!(
        pickup.answer.contains("rating plate and a scale"),
        "{}",
        pickup.answer
    );
    assert!(
        pickup.proportions.contains("common practice, no source"),
        "{}",
        pickup.proportions
    );
    let light = pickup
        .rows
        .iter()
        .find(|row| row.label.contains("22000"))
        .unwrap();
    assert_eq!(light.verdict, Some(Verdict::Beyond));
    let tindle = demo::profile("sorrelby-tindle");
    let (least, _) = need(&tindle, tindle.variants.first().map(|v| v.id.as_str()));
    assert!(least.unwrap() < 22_000.0, "{least:?}");
}

/// Lengths are shown in millimetres but computed in metres: an input tells the unit of its own value.
#[test]
fn inputs_tell_the_unit_of_their_si_value() {
    let report = fit(
        &pickup(),
        "extended",
        &demo::equipment("carrier-22000"),
        &at(0.0),
    );
    let result = &report.carrying[0];
    let input = |name: &str, place: &str| {
        let figure = row(result, name).figure.clone().unwrap();
        figure
            .inputs
            .into_iter()
            .find(|input| &*input.input == place)
            .unwrap()
    };
    let wheelbase = input("rear-axle", "carrier-22000#/chassis/wheelbase");
    assert_eq!(wheelbase.unit, "m");
    assert!((wheelbase.value - 190.0 * 0.0254).abs() < 1e-12);
    let share = result
        .rows
        .iter()
        .find(|row| row.name == "steering")
        .unwrap();
    assert!(share.limit.is_some());
    assert_eq!(
        input("rear-axle", "carrier-22000#/chassis/rear_axle_mass").unit,
        "kg"
    );
}

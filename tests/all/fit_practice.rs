//! Common practice, no source: what crews say of a battery-electric crew-cab pickup, which the demo data must be able
//! to show. The vehicles and the equipment are invented; only the pattern is asked for.

use chockstone_rules::{fit::general, mass};
use chockstone_schema::{
    model::advice::TransportMethod,
    report::{
        CarryingResult, FitChoices, FitReport, Judged, MethodAnswer, MethodResult, TowingResult,
        VehicleEnd, Verdict,
    },
};

use crate::fit_support::{equipment, fit, profile};

const POUND: f64 = 0.453_592_37;

fn report(pieces: &[&str]) -> FitReport {
    let pieces: Vec<_> = pieces.iter().map(|id| equipment(id)).collect();
    fit(
        &profile("brackwater"),
        Some("extended"),
        &pieces,
        &FitChoices::default(),
    )
}

fn row<'r>(rows: &'r [Judged], name: &str) -> &'r Judged {
    let found = rows.iter().find(|row| row.name == name);
    found.unwrap_or_else(|| panic!("no row {name}: {rows:?}"))
}

fn pounds(row: &Judged) -> f64 {
    row.figure.as_ref().unwrap().value / POUND
}

fn rating(row: &Judged) -> f64 {
    row.limit.as_ref().unwrap().at_most.unwrap() / POUND
}

/// (a) It scales about 7,120 lb where its combustion sister is about 5,150 to 5,200 lb, and splits nearly evenly.
#[test]
fn the_demo_pickup_weighs_about_7120_lb_and_splits_nearly_evenly() {
    let result = mass::result(&profile("brackwater"), Some("extended"));
    let weight = result.mass.unwrap().value / POUND;
    assert!((weight - 7120.0).abs() < 25.0, "{weight} lb");
    for axle in &result.axles {
        let share = axle.part.value;
        assert!((share - 0.5).abs() < 0.02, "{}: {share}", axle.axle);
    }
}

/// (b) Nearly all of its weight goes to the rear axle of a light two-axle carrier.
#[test]
fn it_is_about_1400_lb_beyond_the_rear_axle_of_the_22000_lb_carrier() {
    let report = report(&["carrier-22000"]);
    let beyond = |result: &CarryingResult| {
        let rear = row(&result.rows, "rear-axle");
        let added = pounds(rear) - 8320.0;
        assert_eq!(rear.verdict, Some(Verdict::Beyond), "{}", result.title);
        assert!(added > 0.95 * 7120.0, "{}: {added} lb added", result.title);
        pounds(rear) - rating(rear)
    };
    let least = report
        .carrying
        .iter()
        .map(beyond)
        .fold(f64::INFINITY, f64::min);
    assert!((least - 1400.0).abs() < 150.0, "{least} lb beyond");
    for result in &report.carrying {
        assert!(result.window.is_none(), "{}", result.title);
        // The gross rating alone would have let it pass.
        assert_eq!(row(&result.rows, "gross").verdict, Some(Verdict::Within));
    }
    assert_eq!(report.verdict, Verdict::Beyond);
}

/// (b) It wants a carrier of 26,000 lb or more.
#[test]
fn the_26000_lb_carrier_holds_it_and_the_profile_alone_asks_for_as_much() {
    let report = report(&["carrier-26000"]);
    let carrying = &report.carrying[0];
    assert_eq!(carrying.verdict, Verdict::Within, "{:?}", carrying.rows);
    assert!(carrying.sure_window.is_some());
    let general = general(&profile("brackwater"));
    let extended = general
        .variants
        .iter()
        .find(|v| v.variant.as_deref() == Some("extended"));
    let least = extended.unwrap().carrier.least_gvwr.unwrap() / POUND;
    assert!((least - 26_000.0).abs() < 1.0, "{least} lb");
}

fn method(report: &FitReport, method: TransportMethod) -> &MethodResult {
    report.methods.iter().find(|m| m.method == method).unwrap()
}

fn tow<'r>(report: &'r FitReport, end: VehicleEnd, dollies: Option<&str>) -> &'r TowingResult {
    let fits = |r: &&TowingResult| r.end == end && r.dollies.as_deref() == dollies;
    report.towing.iter().find(fits).unwrap()
}

/// (c) A wheel with a motor must not turn on the road, so a rear lift of an all-wheel-drive vehicle needs dollies, set
/// before it moves at all.
#[test]
fn a_rear_lift_of_the_all_wheel_drive_pickup_needs_dollies_first() {
    let report = report(&["wrecker-wheel-lift", "dollies-heavy"]);
    let rear = method(&report, TransportMethod::RearLift);
    assert_eq!(rear.answer, MethodAnswer::OnlyWithDollies, "{rear:?}");
    let bare = tow(&report, VehicleEnd::Rear, None);
    assert_eq!(bare.verdict, Verdict::Beyond);
    let turning = bare.turning.iter().find(|axle| axle.turns).unwrap();
    assert_eq!(turning.verdict, Verdict::Beyond, "{turning:?}");
    let on_dollies = tow(&report, VehicleEnd::Rear, Some("dollies-heavy"));
    assert_eq!(on_dollies.verdict, Verdict::Within, "{:?}", on_dollies.rows);
    assert!(on_dollies.turning.iter().all(|axle| !axle.turns));
    assert!(
        on_dollies
            .before
            .iter()
            .any(|s| s.contains("before the vehicle moves")),
        "{:?}",
        on_dollies.before
    );
}

/// (d) Many dolly sets are not rated for such a vehicle.
#[test]
fn the_light_dollies_are_not_rated_for_it() {
    let report = report(&["wrecker-wheel-lift", "dollies-light"]);
    for end in [VehicleEnd::Front, VehicleEnd::Rear] {
        let result = tow(&report, end, Some("dollies-light"));
        assert_eq!(result.verdict, Verdict::Beyond);
        let load = row(&result.rows, "dolly-load");
        assert_eq!(load.verdict, Some(Verdict::Beyond), "{load:?}");
        assert!(pounds(load) > rating(load));
    }
    // A small hatch with a motor at one end only is what they are for.
    let small = profile("tindle");
    let variant = small.variants.first().map(|v| v.id.to_string());
    let pieces = ["wrecker-wheel-lift", "dollies-light"].map(equipment);
    let report = fit(&small, variant.as_deref(), &pieces, &FitChoices::default());
    let load = row(
        &tow(&report, VehicleEnd::Rear, Some("dollies-light")).rows,
        "dolly-load",
    )
    .clone();
    assert_eq!(load.verdict, Some(Verdict::Within), "{load:?}");
}

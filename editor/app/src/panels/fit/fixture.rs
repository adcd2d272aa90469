//! An answer that was made up, for looking at how every part of one is shown. None of its figures is true of anything.

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use std::path::Path;

use chockstone_library::equipment::Shelf;
use chockstone_rules::fit::Vehicle;
use chockstone_schema::{
    Equipment, Profile, model::advice::TransportMethod, read::read_file, report::*,
};

use super::worked::Worked;

pub(super) const CARRIER: &str = "carrier-22000";

pub(super) fn demo() -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles")
}

pub(super) fn profile() -> Profile {
    read_file(&demo().join("brackwater-tolliver-crew.profile.ron")).unwrap()
}

pub(super) fn equipment() -> Vec<Equipment> {
    let mut shelf = Shelf::default();
    shelf.refresh(Some(&demo()));
    let pieces = shelf.pieces().iter();
    pieces.map(|p| p.read.clone().unwrap()).collect()
}

fn figure(value: f64, unit: &'static str) -> Figure {
    Figure {
        value,
        plus_minus: Some(value.abs() * 0.01),
        low: None,
        high: None,
        unit: unit.into(),
        formula: "load = mass × share".into(),
        inputs: vec![
            FigureInput {
                input: "/axles/1/position".into(),
                value: 3.683,
                plus_minus: Some(0.002),
                unit: "m".into(),
                part: Some(0.8),
            },
            FigureInput {
                input: format!("{CARRIER}#/chassis/wheelbase").into(),
                value: 4.826,
                plus_minus: Some(0.0127),
                unit: "m".into(),
                part: Some(0.2),
            },
            FigureInput {
                input: "standard gravity".into(),
                value: 9.806_65,
                plus_minus: None,
                unit: "m/s²".into(),
                part: None,
            },
        ],
        reference: "Moments about an axle".into(),
        trust: Trust::Arithmetic,
    }
}

pub(super) fn row(
    name: &'static str,
    label: &'static str,
    value: f64,
    unit: &'static str,
    at_most: f64,
    verdict: Verdict,
) -> Judged {
    Judged {
        name: name.into(),
        label: label.into(),
        figure: Some(figure(value, unit)),
        limit: Some(FitLimit {
            at_least: None,
            at_most: Some(at_most),
            plus_minus: None,
            from: format!("{CARRIER}#/chassis/rear_gawr").into(),
        }),
        verdict: Some(verdict),
        not_known: Vec::new(),
    }
}

fn unknown() -> Judged {
    Judged {
        name: "capacity".into(),
        label: "Load on the deck".into(),
        figure: None,
        limit: None,
        verdict: Some(Verdict::NotKnown),
        not_known: vec![format!(
            "The deck’s capacity: {CARRIER}#/deck/capacity is not stated."
        )],
    }
}

fn window(from: f64, to: f64) -> PlacementWindow {
    PlacementWindow {
        from,
        to,
        from_set_by: "front-axle".into(),
        to_set_by: "rear-axle".into(),
    }
}

fn chart() -> PlacementChart {
    let line = |name: &'static str, label: &'static str, at_from, at_to| ChartLine {
        name: name.into(),
        label: label.into(),
        at_from,
        at_to,
    };
    PlacementChart {
        from: 0.0,
        to: 1.4,
        lines: vec![
            line("front-axle", "Front axle of the truck", 1.06, 0.6),
            line("rear-axle", "Rear axle of the truck", 0.74, 1.22),
            line("gross", "Gross weight", 0.97, 0.97),
            line("steering", "Steering share", 0.5, 0.93),
        ],
    }
}

fn carrying(facing: Facing, placement: f64) -> CarryingResult {
    let nose = facing == Facing::NoseFirst;
    CarryingResult {
        title: format!(
            "On carrier 22,000, {}",
            if nose { "nose first" } else { "tail first" }
        ),
        carrier: CARRIER.to_owned(),
        facing,
        placement: Some(placement),
        verdict: if nose {
            Verdict::TooCloseToCall
        } else {
            Verdict::Beyond
        },
        rows: vec![
            row(
                "front-axle",
                "Front axle of the truck",
                3400.0,
                "kg",
                3855.0,
                Verdict::Within,
            ),
            row(
                "rear-axle",
                "Rear axle of the truck",
                6240.0,
                "kg",
                6259.6,
                Verdict::TooCloseToCall,
            ),
            row(
                "gross",
                "Gross weight",
                10_200.0,
                "kg",
                9979.0,
                Verdict::Beyond,
            ),
            unknown(),
        ],
        window: nose.then(|| window(0.2, 0.9)),
        sure_window: nose.then(|| window(0.35, 0.75)),
        no_window: (!nose).then(|| "No placement keeps to every rating.".to_owned()),
        chart: Some(chart()),
    }
}

fn support(id: &str, side: Side, x: f64, y: f64, load: f64) -> SupportLoad {
    let mut load = row(
        "support",
        "Front lift point",
        load,
        "kg",
        1500.0,
        Verdict::Within,
    );
    load.figure.as_mut().unwrap().low = Some(640.0);
    load.figure.as_mut().unwrap().high = Some(984.0);
    SupportLoad {
        support: id.to_owned(),
        id: id.to_owned(),
        side,
        x,
        y,
        load,
    }
}

fn leg(from: f64, y: f64, to: f64, weakest: bool) -> TieDownLeg {
    let side = if y > 0.0 { Side::Right } else { Side::Left };
    TieDownLeg {
        from: "rear".to_owned(),
        from_side: side,
        to: "pair-1".to_owned(),
        to_side: side,
        with: "straps-wheel".to_owned(),
        from_place: [from, y * 0.8, 0.3],
        to_place: [to, y, 0.0],
        weakest_part: format!("{CARRIER}#/deck/anchors/0/working_load_limit"),
        limit: row(
            "limit",
            "Working load limit of the whole",
            14_800.0,
            "N",
            22_000.0,
            Verdict::Within,
        ),
        force: row(
            "force",
            "Force when braking",
            9_900.0,
            "N",
            14_800.0,
            Verdict::Within,
        ),
        weakest,
    }
}

fn tightest() -> TightestSpot {
    TightestSpot {
        x: 1.9,
        z: 0.21,
        along: 4.1,
        what: "underbody over the hinge of the tail ramp".to_owned(),
        outline: vec![
            [0.2, 0.9],
            [0.4, 2.0],
            [4.8, 2.9],
            [5.6, 1.9],
            [5.5, 1.1],
            [0.3, 0.5],
        ],
        wheels: vec![[4.8, 1.25, 0.4], [1.2, 0.62, 0.4]],
        ground: vec![[-4.0, 0.0], [0.0, 0.0], [0.8, 0.07], [7.0, 1.25]],
        spot: [2.9, 0.72],
    }
}

/// An answer with every part.
pub(super) fn report(choices: &FitChoices) -> FitReport {
    let placement = choices.placement.unwrap_or(0.55);
    FitReport {
        program: "chockstone".to_owned(),
        profile: "brackwater-tolliver-crew".to_owned(),
        variant: None,
        equipment: vec![CARRIER.to_owned()],
        choices: choices.clone(),
        verdict: Verdict::Beyond,
        topics: topics(),
        lifting: vec![lifting()],
        carrying: [Facing::NoseFirst, Facing::TailFirst]
            .map(|facing| carrying(facing, placement))
            .into(),
        towing: vec![towing()],
        methods: methods(),
        winching: vec![winching()],
        securing: vec![securing()],
        clearing: vec![clearing()],
        protection: vec![row(
            "voltage",
            "Voltage on the gloves",
            400.0,
            "V",
            1500.0,
            Verdict::Within,
        )],
        findings: vec![finding()],
    }
}

fn topics() -> Vec<TopicAnswer> {
    [
        (
            FitTopic::Carrying,
            Verdict::TooCloseToCall,
            "The rear axle of the truck is at its rating.",
        ),
        (
            FitTopic::Securing,
            Verdict::Within,
            "Four wheel straps hold it.",
        ),
        (
            FitTopic::Towing,
            Verdict::Beyond,
            "Every axle has a motor, so dollies are needed.",
        ),
        (
            FitTopic::Winching,
            Verdict::NotKnown,
            "The line’s rating is not stated.",
        ),
    ]
    .map(|(topic, verdict, answer)| TopicAnswer {
        topic,
        verdict,
        answer: answer.to_owned(),
    })
    .into()
}

fn lifting() -> LiftingResult {
    LiftingResult {
        title: "At its lift points".to_owned(),
        way: LiftWay::LiftPoints,
        equipment: None,
        taken_out: vec!["pack".to_owned()],
        verdict: Verdict::Within,
        supports: vec![
            support("lift-front", Side::Left, 0.6, -0.7, 812.0),
            support("lift-front", Side::Right, 0.6, 0.7, 812.0),
            support("lift-rear", Side::Left, 2.9, -0.7, 798.0),
            support("lift-rear", Side::Right, 2.9, 0.7, 798.0),
        ],
        rows: vec![row(
            "margin",
            "Margin to the nearest edge",
            0.71,
            "m",
            2.0,
            Verdict::Within,
        )],
    }
}

fn towing() -> TowingResult {
    TowingResult {
        title: "Rear lifted, no dollies".to_owned(),
        wrecker: "wrecker".to_owned(),
        end: VehicleEnd::Rear,
        dollies: None,
        verdict: Verdict::Beyond,
        rows: vec![row(
            "lift-load",
            "Load on the lift",
            1600.0,
            "kg",
            1800.0,
            Verdict::Within,
        )],
        turning: vec![AxleTurning {
            axle: "front".to_owned(),
            turns: true,
            verdict: Verdict::Beyond,
            reason: "A motor turns whenever its wheels turn.".to_owned(),
            place: Some("/axles/0/motor".to_owned()),
        }],
        max_speed: Some(22.352),
        max_distance: Some(80_467.2),
        before: vec!["Release the parking brake.".to_owned()],
    }
}

fn methods() -> Vec<MethodResult> {
    [
        (TransportMethod::Carrier, MethodAnswer::Allowed),
        (TransportMethod::RearLift, MethodAnswer::OnlyWithDollies),
        (TransportMethod::AllWheelsGround, MethodAnswer::NotAllowed),
    ]
    .map(|(method, answer)| MethodResult {
        method,
        answer,
        max_speed: None,
        max_distance: None,
        reasons: vec![MethodReason {
            reason: "Every axle has a motor.".to_owned(),
            place: Some("/axles/0/motor".to_owned()),
            reference: "The profile".into(),
            trust: Trust::Logic,
        }],
    })
    .into()
}

fn winching() -> WinchingResult {
    WinchingResult {
        title: "Up the deck, all wheels rolling".to_owned(),
        winch: CARRIER.to_owned(),
        holding_back: false,
        chosen: true,
        verdict: Verdict::Within,
        rows: vec![row(
            "pull",
            "Pull of the line",
            9800.0,
            "N",
            35_586.0,
            Verdict::Within,
        )],
    }
}

fn securing() -> SecuringResult {
    SecuringResult {
        title: "Tied down on carrier 22,000".to_owned(),
        carrier: CARRIER.to_owned(),
        proposed: true,
        verdict: Verdict::Within,
        legs: vec![
            leg(1.4, 1.06, 0.2, false),
            leg(1.4, -1.06, 0.2, true),
            leg(5.1, 1.06, 5.9, false),
            leg(5.1, -1.06, 5.9, false),
        ],
        rows: vec![row(
            "sum",
            "Sum of the limits",
            30_000.0,
            "N",
            60_000.0,
            Verdict::Within,
        )],
        answer: "Four wheel straps hold it by every direction.".to_owned(),
    }
}

fn clearing() -> ClearingResult {
    ClearingResult {
        title: "Onto carrier 22,000, nose first".to_owned(),
        carrier: CARRIER.to_owned(),
        facing: Facing::NoseFirst,
        with: Some("blocks of 100 mm".to_owned()),
        verdict: Verdict::TooCloseToCall,
        rows: vec![row(
            "clearance",
            "Smallest clearance",
            0.012,
            "m",
            1.0,
            Verdict::TooCloseToCall,
        )],
        tightest: Some(tightest()),
    }
}

fn finding() -> Finding {
    Finding {
        check: "fit-carrying-gross".to_owned(),
        severity: Severity::Blocking,
        place: String::new(),
        message: "On carrier 22,000: gross weight is beyond its limit.".to_owned(),
        computed: Some("10200 kg".to_owned()),
        limit: Some("at most 9979 kg".to_owned()),
        reference: Reference {
            title: "Plain logic".to_owned(),
            trust: Trust::Logic,
        },
        settle: "Use other equipment.".to_owned(),
    }
}

/// The made-up answer with the demo vehicle's shape and the demo equipment.
pub(super) fn worked(profile: &Profile, choices: &FitChoices) -> Worked {
    let variant = profile.variants.first().map(|v| v.id.to_string());
    let shape = Vehicle::new(profile, variant.as_deref()).shape();
    let equipment = equipment();
    let gear: Vec<&Equipment> = equipment.iter().collect();
    Worked::given(report(choices), shape, &gear)
}

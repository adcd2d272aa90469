//! Stated approach, departure and breakover angles against those of the outline.

use chockstone_mechanics::{
    clearing::{AngleAt, ClearingError, Vehicle, approach_angle, breakover_angle, departure_angle},
    propagation::Tracked,
    uncertain::COVERAGE_FACTOR,
};
use chockstone_schema::{
    Sourced,
    quantity::AngleSpreadKind,
    report::{Finding, Reference, Severity, Trust},
};

use super::super::work::{Job, amount};
use crate::view::At;

/// How far an angle may differ that states no uncertainty: two degrees.
const PLAIN_DIFFERENCE: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// One of the three angles.
struct Angle<'p> {
    name: &'static str,
    field: &'static str,
    stated: Option<&'p Sourced<AngleSpreadKind>>,
    from_outline: Result<AngleAt, ClearingError>,
}

/// Adds a finding for each stated angle that the outline contradicts.
pub(super) fn compare(job: &mut Job<'_>, vehicle: &Vehicle) {
    let stated = &job.view.profile.dimensions;
    let angles = [
        Angle {
            name: "approach",
            field: "approach_angle",
            stated: stated.approach_angle.as_ref(),
            from_outline: approach_angle(vehicle),
        },
        Angle {
            name: "departure",
            field: "departure_angle",
            stated: stated.departure_angle.as_ref(),
            from_outline: departure_angle(vehicle),
        },
        Angle {
            name: "breakover",
            field: "breakover_angle",
            stated: stated.breakover_angle.as_ref(),
            from_outline: breakover_angle(vehicle),
        },
    ];
    for angle in &angles {
        if let (Some(stated), Ok(computed)) = (angle.stated, &angle.from_outline) {
            let place = format!("/dimensions/{}", angle.field);
            let at = At {
                value: stated,
                place: place.clone(),
            };
            if let Ok(known) = job.own(Some(&at), angle.name, &place) {
                let finding = contradiction(angle, &place, &known, &computed.angle);
                job.findings.extend(finding);
            }
        }
    }
}

/// A finding where the difference is more than the uncertainty of both together, or two degrees where none is stated.
fn contradiction(
    angle: &Angle<'_>,
    place: &str,
    stated: &Tracked,
    computed: &Tracked,
) -> Option<Finding> {
    let difference = stated - computed;
    let allowed = if stated.u() > 0.0 {
        COVERAGE_FACTOR * difference.u()
    } else {
        PLAIN_DIFFERENCE.max(COVERAGE_FACTOR * difference.u())
    };
    if difference.value().abs() <= allowed {
        return None;
    }
    let more = difference.value() > 0.0;
    let spread = |number: &Tracked| Some(COVERAGE_FACTOR * number.u()).filter(|u| *u > 0.0);
    Some(Finding {
        check: format!("fit-clearing-{}-angle", angle.name),
        severity: if more { Severity::Warning } else { Severity::Note },
        place: format!("{place}/value"),
        message: format!(
            "The stated {} angle is {} than the side outline gives.",
            angle.name,
            if more { "greater" } else { "smaller" }
        ),
        computed: Some(amount(computed.value(), spread(computed), "rad")),
        limit: Some(amount(stated.value(), spread(stated), "rad")),
        reference: Reference {
            title: "49 CFR 523.2: angle of the tangents to the tyres at their static loaded radius; second-hand".to_owned(),
            trust: Trust::SecondHand,
        },
        settle: "Measure the angle again, or draw the underside of the outline where it is lowest.".to_owned(),
    })
}

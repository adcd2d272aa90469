//! No lift pad, jack or stand presses inside a no-lifting zone. Plain logic.

use super::prelude::*;
use crate::geometry;
use chockstone_schema::model::{
    geometry::{Zone, ZoneKind},
    point::{Point, PointKind, PointUse},
};

pub(super) static RULES: &[Rule] = &[profile(
    "lift-point-in-zone",
    "A lift, jack or stand point inside a no-lifting zone.",
    Blocking,
    LOGIC,
    check,
)];

fn presses(point: &Point) -> bool {
    matches!(
        point.kind,
        PointKind::Lift | PointKind::Jack | PointKind::Stand
    ) || point
        .uses
        .iter()
        .any(|u| matches!(u, PointUse::Lift | PointUse::Jack | PointUse::Stand))
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let zones: Vec<(&Zone, Vec<geometry::Spot>)> = ctx
        .profile
        .zones
        .iter()
        .filter(|z| z.kinds.contains(&ZoneKind::NoLifting))
        .filter_map(|z| Some((z, z.plan.as_ref()?.metres())))
        .collect();
    for (i, point) in ctx
        .profile
        .points
        .iter()
        .enumerate()
        .filter(|(_, p)| presses(p))
    {
        for (zone, plan) in &zones {
            let together = ctx
                .views
                .iter()
                .any(|v| v.has(&point.variants) && v.has(&zone.variants));
            if together && is_inside(point, zone, plan) {
                found.add(
                    format!("/points/{i}/place"),
                    format!(
                        "The point {} lies inside the no-lifting zone {}.",
                        point.id, zone.id
                    ),
                    "Correct the place of the point or the outline of the zone.",
                );
            }
        }
    }
}

/// Whether the point, or its mirror image, lies in the zone or the zone's mirror image.
fn is_inside(point: &Point, zone: &Zone, plan: &[geometry::Spot]) -> bool {
    let (x, y) = (point.place.x.metres(), point.place.y.metres());
    // A pad presses from below, so a zone that ends below the point does not matter.
    let above = point
        .place
        .z
        .zip(zone.top)
        .is_some_and(|(z, top)| z.metres() > top.metres());
    let sides: &[f64] = if point.mirrored || zone.mirrored {
        &[y, -y]
    } else {
        &[y]
    };
    !above && sides.iter().any(|y| geometry::contains(plan, [x, *y]))
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "lift-point-in-zone",
        "a lift point under the pack",
        r#"{"/points/1/place/y": [550, "mm"], "/points/1/place/x": [2100, "mm"]}"#,
        "/points/1/place",
    ),
    fail(
        "lift-point-in-zone",
        "the mirror image in the zone",
        r#"{"/zones/0/plan/corners": [[2000, -800], [2000, -600], [2500, -600], [2500, -800]]}"#,
        "/points/1/place",
    ),
    fail(
        "lift-point-in-zone",
        "a mirrored zone",
        r#"{"/points/1/mirrored": false, "/zones/0/mirrored": true, "/zones/0/plan/corners": [[2000, -800], [2000, -600], [2500, -600], [2500, -800]]}"#,
        "/points/1/place",
    ),
    pass("lift-point-in-zone", "points beside the zone", "{}"),
    pass(
        "lift-point-in-zone",
        "a zone of another kind",
        r#"{"/points/1/place/y": [550, "mm"], "/points/1/place/x": [2100, "mm"], "/zones/0/kinds": ["high_voltage"]}"#,
    ),
];

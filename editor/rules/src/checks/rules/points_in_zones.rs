//! No lift pad, jack or stand presses inside a no-lifting zone. Plain logic.
//!
//! A zone drawn only from the side may reach across the whole width: a point inside its side view blocks, a point below it
//! warns, because the pad may press on it from below.

use super::prelude::*;
use crate::geometry;
use chockstone_schema::{
    model::{
        geometry::{Zone, ZoneKind},
        point::{Point, PointKind, PointUse},
    },
    report::Severity,
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "lift-point-in-zone",
        "A lift, jack or stand point inside a no-lifting zone.",
        Blocking,
        LOGIC,
        check,
    ),
    profile(
        "zone-without-plan",
        "A no-lifting zone that is not drawn from above.",
        Warning,
        LOGIC,
        undrawn,
    ),
];

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
    let zones: Vec<(&Zone, Drawn)> = ctx
        .profile
        .zones
        .iter()
        .filter(|z| z.kinds.contains(&ZoneKind::NoLifting))
        .filter_map(|z| Some((z, Drawn::of(z)?)))
        .collect();
    for (i, point) in ctx
        .profile
        .points
        .iter()
        .enumerate()
        .filter(|(_, p)| presses(p))
    {
        for (zone, drawn) in &zones {
            let together = ctx
                .views
                .iter()
                .any(|v| v.has(&point.variants) && v.has(&zone.variants));
            let Some((severity, how)) = drawn.holds(point, zone).filter(|_| together) else {
                continue;
            };
            found
                .add(
                    format!("/points/{i}/place"),
                    format!(
                        "The point {} {how} the no-lifting zone {}.",
                        point.id, zone.id
                    ),
                    "Correct the place of the point or the outline of the zone.",
                )
                .severity(severity);
        }
    }
}

fn undrawn(ctx: &Context<'_>, found: &mut Findings) {
    for (i, zone) in ctx.profile.zones.iter().enumerate() {
        if zone.kinds.contains(&ZoneKind::NoLifting) && zone.plan.is_none() {
            found.add(
                format!("/zones/{i}"),
                format!("The no-lifting zone {} is not drawn from above, so a lift point inside it may go unseen.", zone.id),
                "Draw the zone seen from above.",
            );
        }
    }
}

/// The corners of a zone in metres, from above where that is drawn.
enum Drawn {
    Plan(Vec<geometry::Spot>),
    Side(Vec<geometry::Spot>),
}

impl Drawn {
    fn of(zone: &Zone) -> Option<Self> {
        let plan = zone.plan.as_ref().map(|p| Self::Plan(p.metres()));
        plan.or_else(|| zone.side.as_ref().map(|s| Self::Side(s.metres())))
    }

    /// How the zone holds the point, and how bad that is.
    fn holds(&self, point: &Point, zone: &Zone) -> Option<(Severity, &'static str)> {
        match self {
            Self::Plan(plan) => is_inside(point, zone, plan).then_some((Blocking, "lies inside")),
            Self::Side(side) => seen_from_the_side(point, side),
        }
    }
}

fn seen_from_the_side(point: &Point, side: &[geometry::Spot]) -> Option<(Severity, &'static str)> {
    let x = point.place.x.metres();
    let z = point
        .place
        .z
        .map(chockstone_schema::quantity::Quantity::metres);
    if z.is_some_and(|z| geometry::contains(side, [x, z])) {
        return Some((Blocking, "lies, seen from the side, inside"));
    }
    let [(first, last), (_, top)] = geometry::extent(side)?;
    let below = x >= first && x <= last && z.is_none_or(|z| z < top);
    below.then_some((Warning, "lies, seen from the side, below"))
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
    fail(
        "lift-point-in-zone",
        "a point inside a zone drawn from the side alone",
        r#"{"/zones/0/plan": null, "/zones/0/side": {"unit": "mm", "corners": [[2000, 200], [2000, 450], [2500, 450], [2500, 200]]}}"#,
        "/points/1/place",
    ),
    fail(
        "lift-point-in-zone",
        "a point below a zone drawn from the side alone",
        r#"{"/zones/0/plan": null, "/zones/0/side": {"unit": "mm", "corners": [[2000, 300], [2000, 450], [2500, 450], [2500, 300]]}}"#,
        "/points/1/place",
    )
    .worth(Warning),
    pass(
        "lift-point-in-zone",
        "points before and behind a zone drawn from the side alone",
        r#"{"/zones/0/plan": null, "/zones/0/side": {"unit": "mm", "corners": [[1000, 200], [1000, 450], [2200, 450], [2200, 200]]}}"#,
    ),
    fail(
        "zone-without-plan",
        "a zone drawn from the side alone",
        r#"{"/zones/0/plan": null, "/zones/0/side": {"unit": "mm", "corners": [[1000, 200], [1000, 450], [2200, 450], [2200, 200]]}}"#,
        "/zones/0",
    ),
    pass("zone-without-plan", "a zone drawn from above", "{}"),
    pass("lift-point-in-zone", "points beside the zone", "{}"),
    pass(
        "lift-point-in-zone",
        "a zone of another kind",
        r#"{"/points/1/place/y": [550, "mm"], "/points/1/place/x": [2100, "mm"], "/zones/0/kinds": ["high_voltage"]}"#,
    ),
];

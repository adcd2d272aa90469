//! The centre of gravity must lie inside the polygon of the lift points, by its whole interval.
//!
//! Plain logic: outside it the vehicle tips off the lift.

use super::prelude::*;
use crate::{geometry, mass::Computed};
use chockstone_schema::model::point::PointKind;

pub(super) static RULES: &[Rule] = &[profile(
    "centre-outside-lift-points",
    "A centre of gravity outside the polygon of the lift points.",
    Blocking,
    LOGIC,
    check,
)];

/// Where the lift points of a view are, mirrored ones on both sides, in metres.
pub(super) fn places(view: &View<'_>) -> Vec<geometry::Spot> {
    let points = view
        .profile
        .points
        .iter()
        .filter(|p| p.kind == PointKind::Lift && view.has(&p.variants));
    points
        .flat_map(|p| {
            let (x, y) = (p.place.x.metres(), p.place.y.metres());
            let other = p.mirrored.then_some([x, -y]);
            std::iter::once([x, y]).chain(other)
        })
        .collect()
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        let hull = geometry::hull(&places(view));
        let Some(x) = computed.x.as_ref().filter(|_| hull.len() >= 3) else {
            continue;
        };
        judge(view, computed, &hull, x.value(), found);
    }
}

fn judge(
    view: &View<'_>,
    computed: &Computed,
    hull: &[geometry::Spot],
    x: f64,
    found: &mut Findings,
) {
    let Some(first) = view
        .profile
        .points
        .iter()
        .position(|p| p.kind == PointKind::Lift)
    else {
        return;
    };
    let place = format!("/points/{first}/place");
    let y = computed
        .y
        .as_ref()
        .map_or(0.0, chockstone_mechanics::propagation::Tracked::value);
    let half = |v: &Option<chockstone_mechanics::propagation::Tracked>| {
        v.as_ref().map_or(0.0, |v| 2.0 * v.u())
    };
    let (dx, dy) = (half(&computed.x), half(&computed.y));
    let inside = geometry::contains(hull, [x, y]);
    let corners_inside = [[dx, dy], [dx, -dy], [-dx, dy], [-dx, -dy]]
        .iter()
        .all(|[a, b]| geometry::contains(hull, [x + a, y + b]));
    let side = if computed.y.is_some() {
        format!("y {}", format::with_doubt(y, dy, "m", 3))
    } else {
        "y not known, taken on the centre plane".to_owned()
    };
    let figure = format!("x {}, {side}", format::with_doubt(x, dx, "m", 3));
    let settle = "Look at the lift points and at the weighing; move the points so that the centre of gravity lies well between them.";
    if !inside {
        found
            .add(
                place,
                format!(
                    "The centre of gravity{} lies outside the polygon of the lift points.",
                    view.of_variant()
                ),
                settle,
            )
            .computed(figure)
            .limit(format!(
                "{} outside",
                format::metres(geometry::to_boundary(hull, [x, y]))
            ));
    } else if !corners_inside {
        found
            .add(place, format!("Within its uncertainty the centre of gravity{} may lie outside the polygon of the lift points.", view.of_variant()), settle)
            .computed(figure)
            .limit(format!("{} inside", format::metres(geometry::to_boundary(hull, [x, y]))))
            .severity(Warning);
    } else if computed.y.is_none() {
        found
            .add(place, format!("The centre of gravity{} lies inside the polygon of the lift points, if it lies on the centre plane.", view.of_variant()), "Weigh left and right wheels apart to know it.")
            .computed(figure)
            .limit(format!("{} inside", format::metres(geometry::to_boundary(hull, [x, y]))))
            .severity(Note);
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    pass("centre-outside-lift-points", "the centre between the points", "{}"),
    fail("centre-outside-lift-points", "all points behind the centre", r#"{"/points/0/place/x": [1500, "mm"]}"#, "/points/0/place"),
    fail("centre-outside-lift-points", "a point within the doubt", r#"{"/points/0/place/x": [1399, "mm"], "/mass/readings/0/scale/tolerance": [50, "kg"], "/mass/readings/0/scale/division": [50, "kg"]}"#, "/points/0/place").worth(Warning),
    fail("centre-outside-lift-points", "axle loads alone, which tell nothing of the side", r#"{"/mass/readings/0/loads": [{"axle": "front", "total": [1120, "kg"]}, {"axle": "rear", "total": [980, "kg"]}]}"#, "/points/0/place").worth(Note),
    pass("centre-outside-lift-points", "no lift points at all", r#"{"/points/0/kind": "jack", "/points/1/kind": "jack"}"#),
];

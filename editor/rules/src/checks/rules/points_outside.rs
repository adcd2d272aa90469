//! Points that lie outside the vehicle's outline by more than an allowance.
//!
//! Common practice, no source: 0.15 m, for things that stand out from the body, and the point's own ±.

use super::prelude::*;
use crate::geometry;

pub(super) static RULES: &[Rule] = &[profile(
    "point-outside-outline",
    "A point outside the side or plan outline.",
    Warning,
    PRACTICE,
    check,
)];

const ALLOWANCE: f64 = 0.15;

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        let plan = view.plan_outline.as_ref().map(|o| o.value.metres());
        let side = view.side_outline.as_ref().map(|o| o.value.metres());
        for (i, point) in ctx
            .profile
            .points
            .iter()
            .enumerate()
            .filter(|(_, p)| view.has(&p.variants))
        {
            let (x, y) = (point.place.x.metres(), point.place.y.metres());
            let slack = ALLOWANCE
                + point
                    .place_plus_minus
                    .map_or(0.0, chockstone_schema::quantity::Quantity::metres);
            let by_plan = plan
                .as_ref()
                .map_or(0.0, |o| geometry::outside_by(o, [x, y]));
            let by_side = side
                .as_ref()
                .zip(point.place.z)
                .map_or(0.0, |(o, z)| geometry::outside_by(o, [x, z.metres()]));
            let (by, seen) = if by_plan >= by_side {
                (by_plan, "above")
            } else {
                (by_side, "the side")
            };
            if by > slack {
                found
                    .add(
                        format!("/points/{i}/place"),
                        format!(
                            "The point {} lies outside the outline seen from {seen}.",
                            point.id
                        ),
                        "Correct the point's place or the outline.",
                    )
                    .computed(format::metres(by))
                    .limit(format::metres(slack));
            }
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "point-outside-outline",
        "a point beside the vehicle",
        r#"{"/points/0/place/y": [1500, "mm"]}"#,
        "/points/0/place",
    ),
    fail(
        "point-outside-outline",
        "a point under the ground",
        r#"{"/points/0/place/z": [-1, "m"]}"#,
        "/points/0/place",
    ),
    pass("point-outside-outline", "points on the vehicle", "{}"),
    pass(
        "point-outside-outline",
        "a point whose place is badly known",
        r#"{"/points/0/place/y": [1200, "mm"], "/points/0/place_plus_minus": [300, "mm"]}"#,
    ),
];

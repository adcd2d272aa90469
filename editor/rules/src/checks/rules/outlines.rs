//! Outlines that cross themselves, or that do not have the size of the vehicle.
//!
//! Plain logic; the allowance for tracing is common practice, no source.

use super::prelude::*;
use crate::geometry::{self, Spot};
use chockstone_schema::{Sourced, quantity::SizeKind};

pub(super) static RULES: &[Rule] = &[
    profile(
        "outline-crosses-itself",
        "An outline whose sides cross.",
        Blocking,
        LOGIC,
        crossing,
    ),
    profile(
        "outline-against-size",
        "An outline whose size is not that of the vehicle.",
        Warning,
        PRACTICE,
        size,
    ),
];

/// Every polygon of the profile with its place.
fn polygons(ctx: &Context<'_>) -> Vec<(String, Vec<Spot>)> {
    let profile = ctx.profile;
    let mut list = Vec::new();
    for view in &ctx.views {
        list.extend(
            view.side_outline
                .iter()
                .map(|o| (o.place.clone(), o.value.metres())),
        );
        list.extend(
            view.plan_outline
                .iter()
                .map(|o| (o.place.clone(), o.value.metres())),
        );
    }
    for (i, zone) in profile.zones.iter().enumerate() {
        list.extend(
            zone.side
                .iter()
                .map(|o| (format!("/zones/{i}/side"), o.metres())),
        );
        list.extend(
            zone.plan
                .iter()
                .map(|o| (format!("/zones/{i}/plan"), o.metres())),
        );
    }
    for (i, pack) in profile
        .energy
        .high_voltage
        .iter()
        .flat_map(|h| &h.packs)
        .enumerate()
    {
        let place = format!("/energy/high_voltage/packs/{i}");
        list.extend(
            pack.side
                .iter()
                .map(|o| (format!("{place}/side"), o.metres())),
        );
        list.extend(
            pack.plan
                .iter()
                .map(|o| (format!("{place}/plan"), o.metres())),
        );
    }
    list.sort_by(|(a, _), (b, _)| a.cmp(b));
    list.dedup_by(|(a, _), (b, _)| a == b);
    list
}

fn crossing(ctx: &Context<'_>, found: &mut Findings) {
    for (place, polygon) in polygons(ctx) {
        if let Some((a, b)) = geometry::self_crossing(&polygon) {
            found
                .add(
                    format!("{place}/corners"),
                    "Two sides of the outline cross, so what is inside is not clear.",
                    "Put the corners in order round the outline.",
                )
                .computed(format!("the sides after corners {} and {}", a + 1, b + 1));
        }
    }
}

/// Tracing a picture is seldom better than this share of the size, or this many metres.
const SHARE: f64 = 0.02;
const LEAST: f64 = 0.05;

fn size(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        if let Some(outline) = &view.side_outline
            && let Some([(front, back), (_, top)]) = geometry::extent(&outline.value.metres())
        {
            compare(
                back - front,
                view.length.as_ref(),
                "length",
                &outline.place,
                found,
            );
            compare(top, view.height.as_ref(), "height", &outline.place, found);
        }
        if let Some(outline) = &view.plan_outline
            && let Some([(front, back), (left, right)]) = geometry::extent(&outline.value.metres())
        {
            compare(
                back - front,
                view.length.as_ref(),
                "length",
                &outline.place,
                found,
            );
            compare(
                right - left,
                view.width.as_ref(),
                "width",
                &outline.place,
                found,
            );
        }
    }
}

fn compare(
    drawn: f64,
    stated: Option<&At<'_, Sourced<SizeKind>>>,
    what: &str,
    place: &str,
    found: &mut Findings,
) {
    let Some(stated) = stated else {
        return;
    };
    let slack = (SHARE * stated.si()).max(LEAST) + stated.doubt();
    if (drawn - stated.si()).abs() > slack {
        found
            .add(
                place,
                format!("The outline's {what} is not the vehicle's {what}."),
                "Scale or trace the outline again, or correct the dimension.",
            )
            .computed(format::metres(drawn))
            .limit(format!(
                "{} ± {}",
                stated.value.value,
                format::metres(slack)
            ));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "outline-crosses-itself",
        "a bow tie as a zone",
        r#"{"/zones/0/plan/corners": [[800, -600], [2200, 600], [2200, -600], [800, 600]]}"#,
        "/zones/0/plan/corners",
    ),
    pass("outline-crosses-itself", "sound outlines", "{}"),
    fail(
        "outline-against-size",
        "a vehicle a metre longer",
        r#"{"/dimensions/length/value": [5800, "mm"]}"#,
        "/dimensions/side_outline",
    ),
    fail(
        "outline-against-size",
        "a vehicle wider than drawn",
        r#"{"/dimensions/width/value": [2300, "mm"]}"#,
        "/dimensions/plan_outline",
    ),
    pass("outline-against-size", "drawn to size", "{}"),
];

//! A damaged or flooded vehicle is kept 50 ft (15 m) from buildings, vehicles and fuel.
//!
//! USFA, 2022-10-20, on NHTSA's advice, read on the issuer's page (flooded vehicles); a state bill report of 2024 gives
//! the same figure for crash damage, second-hand. 50 ft is 15.24 m: both figures are the same rule, so 15 m is accepted.

use super::prelude::*;
use chockstone_schema::{Sourced, quantity::WayKind};

pub(super) static RULES: &[Rule] = &[
    profile(
        "storage-distance",
        "A storage distance below 50 ft (15 m) for a damaged vehicle.",
        Blocking,
        FIFTY_FEET_DAMAGED,
        damaged,
    ),
    profile(
        "flooded-distance",
        "A distance below 50 ft (15 m) for a flooded vehicle.",
        Blocking,
        FIFTY_FEET_FLOODED,
        flooded,
    ),
];

/// The lesser of the two published spellings, metres.
const LEAST: f64 = 15.0;

fn damaged(ctx: &Context<'_>, found: &mut Findings) {
    let storage = ctx.profile.emergency.storage.as_ref();
    let distance = storage.and_then(|s| s.distance.as_ref());
    judge(distance, "/emergency/storage/distance", found);
}

fn flooded(ctx: &Context<'_>, found: &mut Findings) {
    let water = ctx.profile.emergency.submersion.as_ref();
    let distance = water.and_then(|s| s.distance.as_ref());
    judge(distance, "/emergency/submersion/distance", found);
}

fn judge(distance: Option<&Sourced<WayKind>>, place: &str, found: &mut Findings) {
    if let Some(distance) = distance.filter(|d| d.si() < LEAST - SAME_LENGTH) {
        found
            .add(
                format!("{place}/value"),
                "The vehicle would be kept closer than 50 ft (15 m) to buildings, vehicles or fuel.",
                "State 50 ft, 15 m or more.",
            )
            .computed(distance.value.to_string())
            .limit("50 ft or 15 m");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "storage-distance",
        "40 ft",
        r#"{"/emergency/storage/distance/value": [40, "ft"]}"#,
        "/emergency/storage/distance/value",
    ),
    pass(
        "storage-distance",
        "50 ft",
        r#"{"/emergency/storage/distance/value": [50, "ft"]}"#,
    ),
    pass(
        "storage-distance",
        "15 m",
        r#"{"/emergency/storage/distance/value": [15, "m"]}"#,
    ),
    fail(
        "storage-distance",
        "14.9 m",
        r#"{"/emergency/storage/distance/value": [14.9, "m"]}"#,
        "/emergency/storage/distance/value",
    ),
    fail(
        "flooded-distance",
        "a flooded vehicle at 10 m",
        r#"{"/emergency/submersion/distance/value": [10, "m"]}"#,
        "/emergency/submersion/distance/value",
    ),
    pass("flooded-distance", "a flooded vehicle at 50 ft", "{}"),
];

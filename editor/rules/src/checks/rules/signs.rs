//! ISO 7010 signs that are unknown, or that say the wrong thing for a lithium-ion pack.
//!
//! Titles from a public register's copy of 2025-10, second-hand. Water cools a burning pack, so the signs against water
//! mislead; W026 is about battery charging, not about high voltage.

use super::prelude::*;
use chockstone_schema::{codes::SignCode, model::advice::Topic};

pub(super) static RULES: &[Rule] = &[
    profile(
        "sign-unknown",
        "A sign code that is not in the list.",
        Warning,
        SIGNS,
        unknown,
    ),
    profile(
        "sign-against-water",
        "P011 or P016 for a battery fire.",
        Warning,
        SIGNS,
        against_water,
    ),
    profile(
        "sign-charging-for-pack",
        "W026 for the high-voltage pack.",
        Warning,
        SIGNS,
        charging,
    ),
];

/// Every sign with its place.
fn each<'p>(ctx: &Context<'p>) -> Vec<(String, &'p SignCode)> {
    let hazards = ctx
        .profile
        .hazards
        .iter()
        .enumerate()
        .filter_map(|(i, h)| Some((format!("/hazards/{i}/sign"), h.sign.as_ref()?)));
    let fire = ctx
        .profile
        .emergency
        .fire
        .iter()
        .flat_map(|f| f.signs.iter().enumerate());
    hazards
        .chain(fire.map(|(i, s)| (format!("/emergency/fire/signs/{i}"), s)))
        .collect()
}

fn unknown(ctx: &Context<'_>, found: &mut Findings) {
    for (place, sign) in each(ctx).into_iter().filter(|(_, s)| s.title().is_none()) {
        found.add(
            place,
            format!("{sign} is not in the list of signs."),
            "Choose a sign of the list.",
        );
    }
}

fn against_water(ctx: &Context<'_>, found: &mut Findings) {
    let hazards = &ctx.profile.hazards;
    for (place, sign) in each(ctx) {
        let of_fire = place.starts_with("/emergency/fire")
            || hazards
                .iter()
                .any(|h| h.sign.as_ref() == Some(sign) && h.topics.contains(&Topic::Fire));
        if of_fire && matches!(sign.as_str(), "P011" | "P016") {
            found.add(
                place,
                format!("{sign} forbids water, and water is what cools a lithium-ion pack."),
                "Take the sign away, or name the fire it is meant for.",
            );
        }
    }
}

fn charging(ctx: &Context<'_>, found: &mut Findings) {
    for (i, hazard) in ctx.profile.hazards.iter().enumerate() {
        if hazard.topics.contains(&Topic::HighVoltage)
            && hazard.sign.as_ref().is_some_and(|s| s.as_str() == "W026")
        {
            found.add(
                format!("/hazards/{i}/sign"),
                "W026 warns of battery charging, not of high voltage.",
                "Use W012, electricity.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "sign-unknown",
        "W999",
        r#"{"/hazards/0/sign": "W999"}"#,
        "/hazards/0/sign",
    ),
    pass("sign-unknown", "W012", "{}"),
    fail(
        "sign-against-water",
        "P011 in the fire section",
        r#"{"/emergency/fire/signs": ["W016", "P011"]}"#,
        "/emergency/fire/signs/1",
    ),
    fail(
        "sign-against-water",
        "P016 on a fire hazard",
        r#"{"/hazards/1/sign": "P016", "/hazards/1/topics": ["fire"]}"#,
        "/hazards/1/sign",
    ),
    pass("sign-against-water", "W016 in the fire section", "{}"),
    fail(
        "sign-charging-for-pack",
        "W026 for high voltage",
        r#"{"/hazards/0/sign": "W026"}"#,
        "/hazards/0/sign",
    ),
    pass("sign-charging-for-pack", "W026 for low voltage", "{}"),
];

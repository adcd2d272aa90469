//! After salt water a fire can start days to weeks later.
//!
//! USFA, 2022-10-20, read on the issuer's page.

use super::prelude::*;
use chockstone_schema::model::advice::Water;

pub(super) static RULES: &[Rule] = &[profile(
    "salt-water-window",
    "A window of less than days to weeks for fires after salt water.",
    Blocking,
    SALT_WATER,
    check,
)];

/// "Days to weeks" is at least one week.
const LEAST: f64 = 7.0 * 86400.0;

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let Some(water) = ctx
        .profile
        .emergency
        .submersion
        .as_ref()
        .filter(|s| s.water != Water::Fresh)
    else {
        return;
    };
    match &water.reignition_to {
        Some(latest) if latest.si() < LEAST => {
            found
                .add(
                    "/emergency/submersion/reignition_to/value",
                    "After salt water a fire can start days to weeks later; the window ends too early.",
                    "State a window of weeks with its source.",
                )
                .computed(latest.value.to_string())
                .limit("days to weeks");
        }
        Some(_) => {}
        None => {
            found
                .add(
                    "/emergency/submersion",
                    "The latest time of a fire after salt water is not stated.",
                    "State the window: days to weeks, with its source.",
                )
                .limit("days to weeks")
                .severity(Warning);
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "salt-water-window",
        "24 hours only",
        r#"{"/emergency/submersion/reignition_to/value": [24, "h"]}"#,
        "/emergency/submersion/reignition_to/value",
    ),
    fail(
        "salt-water-window",
        "no window",
        r#"{"/emergency/submersion/reignition_to": null}"#,
        "/emergency/submersion",
    )
    .worth(Warning),
    pass("salt-water-window", "four weeks", "{}"),
    pass(
        "salt-water-window",
        "24 hours after fresh water",
        r#"{"/emergency/submersion/water": "fresh", "/emergency/submersion/reignition_to/value": [24, "h"]}"#,
    ),
];

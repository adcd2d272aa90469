//! The key is taken at least 16 ft (about 5 m) away.
//!
//! NHTSA interim guidance 811575, version 2, read in a copy of its first page. A warning: makers may state other ranges.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "key-distance",
    "A key distance below 16 ft (4.88 m).",
    Warning,
    NHTSA,
    check,
)];

/// 16 ft in metres.
const LEAST: f64 = 16.0 * 0.3048;

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let waits = ctx.profile.energy.waits.as_ref();
    if let Some(distance) = waits
        .and_then(|w| w.key_distance.as_ref())
        .filter(|d| d.si() < LEAST - SAME_LENGTH)
    {
        found
            .add(
                "/energy/waits/key_distance/value",
                "The key would stay closer than 16 ft (about 5 m), where the vehicle may still notice it.",
                "State 16 ft or more, or the maker's figure with its source.",
            )
            .computed(distance.value.to_string())
            .limit("16 ft");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "key-distance",
        "10 ft",
        r#"{"/energy/waits/key_distance/value": [10, "ft"]}"#,
        "/energy/waits/key_distance/value",
    ),
    pass(
        "key-distance",
        "16 ft",
        r#"{"/energy/waits/key_distance/value": [16, "ft"]}"#,
    ),
    pass(
        "key-distance",
        "5 m",
        r#"{"/energy/waits/key_distance/value": [5, "m"]}"#,
    ),
];

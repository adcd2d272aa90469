//! At least two ways to shut the high-voltage system off are expected.
//!
//! SAE J2990, press text of 2012, second-hand ("a minimum of tw…", cut off there): a warning.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "few-disconnects",
    "Fewer than two ways to shut high voltage off.",
    Warning,
    TWO_METHODS,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let energy = &ctx.profile.energy;
    let mut methods: Vec<_> = energy.disconnects.iter().map(|d| d.method).collect();
    methods.sort_unstable();
    methods.dedup();
    if energy.high_voltage.is_some() && methods.len() < 2 {
        let place = if energy.disconnects.is_empty() {
            "/energy"
        } else {
            "/energy/disconnects"
        };
        found
            .add(
                place,
                "Fewer than two different ways to shut high voltage off are described.",
                "Describe a second way, for when a crash hides the first.",
            )
            .computed(methods.len().to_string())
            .limit("2");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "few-disconnects",
        "one way",
        r#"{"/energy/disconnects/1": null}"#,
        "/energy/disconnects",
    ),
    fail(
        "few-disconnects",
        "none",
        r#"{"/energy/disconnects": null}"#,
        "/energy",
    ),
    fail(
        "few-disconnects",
        "the same way twice",
        r#"{"/energy/disconnects/1/method": "switch_off"}"#,
        "/energy/disconnects",
    ),
    pass("few-disconnects", "two ways", "{}"),
];

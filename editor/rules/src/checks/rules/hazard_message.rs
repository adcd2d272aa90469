//! A hazard message tells what, what happens, and how to avoid it.
//!
//! ANSI Z535.4 section 6 and Z535.6, from memory: a warning.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "hazard-message-incomplete",
    "A hazard message without consequence or avoidance.",
    Warning,
    MESSAGE_PARTS,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, hazard) in ctx.profile.hazards.iter().enumerate() {
        let missing = match (&hazard.consequence, &hazard.avoidance) {
            (None, None) => "what happens and how to avoid it",
            (None, Some(_)) => "what happens",
            (Some(_), None) => "how to avoid it",
            (Some(_), Some(_)) => continue,
        };
        found.add(
            format!("/hazards/{i}"),
            format!("The message {} does not say {missing}.", hazard.id),
            format!("Add {missing}."),
        );
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "hazard-message-incomplete",
        "no avoidance",
        r#"{"/hazards/1/avoidance": null}"#,
        "/hazards/1",
    ),
    fail(
        "hazard-message-incomplete",
        "neither",
        r#"{"/hazards/1/avoidance": null, "/hazards/1/consequence": null}"#,
        "/hazards/1",
    ),
    pass("hazard-message-incomplete", "both", "{}"),
];

//! Restraints can stay live for up to 5 minutes after low voltage is off, unless the maker states another time.
//!
//! NHTSA interim guidance 811575, version 2, read in a copy.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "restraint-wait",
    "A wait for restraints below 5 minutes without the maker's word.",
    Warning,
    NHTSA,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let waits = ctx.profile.energy.waits.as_ref();
    if let Some(wait) = waits
        .and_then(|w| w.restraints.as_ref())
        .filter(|w| w.si() < 300.0)
        && !ctx.is_makers(wait.source.as_ref())
    {
        found
            .add(
                "/energy/waits/restraints/value",
                "Restraints can stay live for up to 5 minutes after low voltage is off.",
                "State 5 minutes, or give the maker's document as the source of the shorter time.",
            )
            .computed(wait.value.to_string())
            .limit("5 min");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "restraint-wait",
        "90 s by guidance",
        r#"{"/energy/waits/restraints/value": [90, "s"]}"#,
        "/energy/waits/restraints/value",
    ),
    pass(
        "restraint-wait",
        "90 s by the maker",
        r#"{"/energy/waits/restraints": {"value": [90, "s"], "source": "manual"}}"#,
    ),
    pass("restraint-wait", "5 min", "{}"),
];

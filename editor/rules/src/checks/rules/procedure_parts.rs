//! Procedures without steps, or whose steps have no time.
//!
//! Plain logic: without steps there is nothing to do; without times no time limit can be judged.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[
    profile(
        "procedure-empty",
        "A procedure without steps.",
        Blocking,
        LOGIC,
        empty,
    ),
    profile(
        "steps-without-time",
        "Steps of which it is not stated how long they take.",
        Note,
        LOGIC,
        times,
    ),
];

fn empty(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx
        .profile
        .procedures
        .iter()
        .enumerate()
        .filter(|(_, p)| p.steps.is_empty())
    {
        found.add(
            format!("/procedures/{i}"),
            format!("The procedure {} has no steps.", procedure.id),
            "Add its steps, or take it away.",
        );
    }
}

fn times(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let without = procedure.steps.iter().filter(|s| s.time.is_none()).count();
        if without > 0 {
            found
                .add(format!("/procedures/{i}/steps"), format!("{without} of {} steps of {} have no time, so its time limits cannot be judged.", procedure.steps.len(), procedure.id), "Time the steps once.")
                .computed(without.to_string());
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "procedure-empty",
        "no steps",
        r#"{"/procedures/4/steps": null}"#,
        "/procedures/4",
    ),
    pass("procedure-empty", "steps", "{}"),
    fail(
        "steps-without-time",
        "a step without time",
        r#"{"/procedures/4/steps/0/time": null}"#,
        "/procedures/4/steps",
    ),
    pass("steps-without-time", "times", "{}"),
];

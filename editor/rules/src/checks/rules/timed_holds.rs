//! A condition that holds for a time must outlast the steps that need it.
//!
//! Plain logic; steps without a time count as nothing, so the answer is never too strict.

use super::prelude::*;
use chockstone_schema::model::procedure::{Procedure, Step};

pub(super) static RULES: &[Rule] = &[profile(
    "hold-too-short",
    "A timed condition shorter than the steps that need it.",
    Blocking,
    LOGIC,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        for (j, step) in procedure.steps.iter().enumerate() {
            for (k, hold) in step.holds.iter().enumerate() {
                let needed = needed(procedure, j, hold.condition.as_str());
                if needed > hold.time.si() + 1e-9 {
                    found
                        .add(
                            format!("/procedures/{i}/steps/{j}/holds/{k}/time/value"),
                            format!("{} lapses before the steps that need it are done.", hold.condition),
                            "Shorten the steps, put them in another order, or renew the condition in between.",
                        )
                        .computed(format::time(needed))
                        .limit(hold.time.value.to_string());
                }
            }
        }
    }
}

/// The seconds from the end of a step to the end of the last step that needs the condition it holds.
fn needed(procedure: &Procedure, from: usize, condition: &str) -> f64 {
    let renews = |s: &Step| {
        s.holds.iter().any(|h| h.condition.as_str() == condition)
            || s.establishes.iter().any(|c| c.as_str() == condition)
    };
    let (mut sum, mut needed) = (0.0, 0.0);
    for step in procedure.steps.iter().skip(from + 1) {
        sum += step
            .time
            .as_ref()
            .map_or(0.0, chockstone_schema::Sourced::si);
        if step.requires.iter().any(|c| c.as_str() == condition) {
            needed = sum;
        }
        if renews(step) || step.clears.iter().any(|c| c.as_str() == condition) {
            break;
        }
    }
    needed
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "hold-too-short",
        "five minutes of winching in a hold of four",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [4, "min"], "source": "manual"}}]}"#,
        "/procedures/3/steps/0/holds/0/time/value",
    ),
    pass(
        "hold-too-short",
        "five minutes in a hold of five",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [300, "s"], "source": "manual"}}]}"#,
    ),
];

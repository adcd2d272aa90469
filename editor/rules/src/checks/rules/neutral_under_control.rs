//! Nobody frees the wheels before chocks or a taut line hold the vehicle.
//!
//! NHTSA interim guidance 811575, version 2 (chock the tyres), read in a copy; that it comes before neutral is common
//! practice, no source.

use super::prelude::*;
use chockstone_schema::{
    id::ConditionRef,
    model::procedure::{Act, Step},
};

pub(super) static RULES: &[Rule] = &[profile(
    "neutral-uncontrolled",
    "Neutral selected before the vehicle is held.",
    Blocking,
    PRACTICE,
    check,
)];

const HOLDING: &[&str] = &["wheels-chocked", "line-taut", "secured", "on-stands"];

fn any(list: &[ConditionRef]) -> bool {
    list.iter().any(|c| HOLDING.contains(&c.as_str()))
}

fn frees(step: &Step) -> bool {
    step.act == Some(Act::SelectNeutral)
        || step.establishes.iter().any(|c| c.as_str() == "in-neutral")
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let mut held: Vec<&str> = procedure
            .starts_with
            .iter()
            .map(ConditionRef::as_str)
            .filter(|c| HOLDING.contains(c))
            .collect();
        for (j, step) in procedure.steps.iter().enumerate() {
            if frees(step) && held.is_empty() && !any(&step.requires) && !any(&step.establishes) {
                found.add(
                    format!("/procedures/{i}/steps/{j}"),
                    format!(
                        "The step {} frees the wheels, and nothing holds the vehicle.",
                        step.id
                    ),
                    "Chock a wheel or attach and tension a line in a step before this one.",
                );
            }
            held.extend(
                step.establishes
                    .iter()
                    .map(ConditionRef::as_str)
                    .filter(|c| HOLDING.contains(c)),
            );
            match step.act {
                Some(Act::Chock) => held.push("wheels-chocked"),
                Some(Act::AttachLine) => held.push("line-taut"),
                Some(Act::ReleaseChock) => held.retain(|c| *c != "wheels-chocked"),
                Some(Act::ReleaseLine) => held.retain(|c| *c != "line-taut"),
                _ => {}
            }
            held.retain(|c| !step.clears.iter().any(|cleared| cleared.as_str() == *c));
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "neutral-uncontrolled",
        "no chock",
        r#"{"/procedures/2/steps/0": null, "/procedures/2/steps/0/requires": []}"#,
        "/procedures/2/steps/0",
    ),
    fail(
        "neutral-uncontrolled",
        "the chock taken away",
        r#"{"/procedures/2/steps/0/act": "release_chock", "/procedures/2/steps/0/establishes": [], "/procedures/2/steps/1/requires": []}"#,
        "/procedures/2/steps/1",
    ),
    pass("neutral-uncontrolled", "a chock", "{}"),
];

//! What is opened or removed is closed or put back. Plain logic; that a loop opened for other work is closed, common practice.

use super::prelude::*;
use chockstone_schema::model::procedure::{Act, Procedure, Purpose};

pub(super) static RULES: &[Rule] = &[
    profile(
        "debt-unsettled",
        "A debt opened that no later step or return to service settles.",
        Blocking,
        LOGIC,
        unsettled,
    ),
    profile(
        "debt-never-opened",
        "A debt that a step settles and none opens, or that nothing uses.",
        Note,
        LOGIC,
        unopened,
    ),
    profile(
        "loop-left-open",
        "A procedure that opens the low-voltage loop for other work and does not close it.",
        Warning,
        PRACTICE,
        left_open,
    ),
];

fn settles(procedure: &Procedure, after: usize, debt: &str) -> bool {
    procedure
        .steps
        .iter()
        .skip(after)
        .any(|s| s.settles.iter().any(|d| d.as_str() == debt))
}

fn unsettled(ctx: &Context<'_>, found: &mut Findings) {
    let procedures = &ctx.profile.procedures;
    let returns: Vec<&Procedure> = procedures
        .iter()
        .filter(|p| p.purpose == Purpose::ReturnToService)
        .collect();
    for (i, procedure) in procedures.iter().enumerate() {
        for (j, step) in procedure.steps.iter().enumerate() {
            for (k, debt) in step.opens.iter().enumerate() {
                let id = debt.as_str();
                if !settles(procedure, j, id) && !returns.iter().any(|r| settles(r, 0, id)) {
                    found.add(
                        format!("/procedures/{i}/steps/{j}/opens/{k}"),
                        format!(
                            "{id} is left open: no later step and no return to service settles it."
                        ),
                        "Add a step that settles it here or in a procedure for return to service.",
                    );
                }
            }
        }
    }
}

fn unopened(ctx: &Context<'_>, found: &mut Findings) {
    let steps = || ctx.profile.procedures.iter().flat_map(|p| &p.steps);
    for (i, debt) in ctx.profile.debts.iter().enumerate() {
        if !steps().any(|s| s.opens.iter().any(|d| d.as_str() == debt.id.as_str())) {
            found.add(
                format!("/debts/{i}"),
                format!("No step opens {}.", debt.id),
                "Name it at the step that opens it, or take it away.",
            );
        }
    }
}

const LOOP_OPEN: &str = "low-voltage-loop-open";

/// Whether the loop is meant to stay open when a procedure ends.
fn keeps_open(procedure: &Procedure) -> bool {
    matches!(
        procedure.purpose,
        Purpose::ShutOff | Purpose::Fire | Purpose::Submersion | Purpose::Store
    ) || procedure.ends_with.iter().any(|c| c.as_str() == LOOP_OPEN)
}

/// A return to service settles the debt, but whoever frees a cord is not told of one: the vehicle just does not get ready.
fn left_open(ctx: &Context<'_>, found: &mut Findings) {
    let procedures = ctx.profile.procedures.iter().enumerate();
    for (i, procedure) in procedures.filter(|(_, p)| !keeps_open(p)) {
        let mut open = None;
        for (j, step) in procedure.steps.iter().enumerate() {
            if step.act == Some(Act::OpenLoop) {
                open = Some((j, step));
            }
            let clears = step.clears.iter().any(|c| c.as_str() == LOOP_OPEN);
            if clears || step.act == Some(Act::CloseLoop) {
                open = None;
            }
        }
        if let Some((j, step)) = open {
            found.add(
                format!("/procedures/{i}/steps/{j}"),
                format!(
                    "The step {} opens the low-voltage loop, and no later step closes it: the vehicle will not get ready.",
                    step.id
                ),
                "Add a step that closes the loop, or say in what the procedure ends with that it stays open.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "debt-unsettled",
        "nobody closes the flap",
        r#"{"/procedures/6/steps/0/settles": []}"#,
        "/procedures/1/steps/0/opens/0",
    ),
    pass("debt-unsettled", "the return to service closes it", "{}"),
    pass(
        "debt-unsettled",
        "a later step closes it",
        r#"{"/procedures/6/steps/0/settles": [], "/procedures/1/steps/8/settles": ["flap"]}"#,
    ),
    fail(
        "debt-never-opened",
        "a debt that nobody opens",
        r#"{"/debts/-": {"id": "panel", "name": {"en": "Refit the panel."}}}"#,
        "/debts/1",
    ),
    pass("debt-never-opened", "a debt that somebody opens", "{}"),
    fail(
        "loop-left-open",
        "a loop opened to free a cord and left so",
        r#"{"/procedures/1/steps/0/act": "open_loop", "/procedures/1/purpose": "release_cord"}"#,
        "/procedures/1/steps/0",
    ),
    pass(
        "loop-left-open",
        "a later step that closes it",
        r#"{"/procedures/1/steps/0/act": "open_loop", "/procedures/1/purpose": "release_cord", "/procedures/1/steps/1/act": "close_loop"}"#,
    ),
    pass(
        "loop-left-open",
        "a loop opened to shut the vehicle off",
        r#"{"/procedures/1/steps/0/act": "open_loop", "/procedures/1/purpose": "shut_off"}"#,
    ),
];

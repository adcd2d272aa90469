//! Conditions along a procedure: what a step requires must hold, or be brought about, before it.
//!
//! Plain logic: a step that requires what an earlier step took away cannot be done as written.

use super::prelude::*;
use chockstone_schema::{id::ConditionRef, model::procedure::Procedure};
use std::collections::BTreeSet;

pub(super) static RULES: &[Rule] = &[
    profile(
        "step-requires-cleared",
        "A step that requires what an earlier step took away, or what must not hold.",
        Blocking,
        LOGIC,
        cleared,
    ),
    profile(
        "step-requires-unmet",
        "A step that requires what nothing before it establishes.",
        Warning,
        LOGIC,
        unmet,
    ),
    profile(
        "step-excludes-held",
        "A step that must not be done while something holds, and it holds.",
        Blocking,
        LOGIC,
        excluded,
    ),
    profile(
        "step-contradicts-itself",
        "A step that requires and excludes, or establishes and clears, the same.",
        Blocking,
        LOGIC,
        itself,
    ),
    profile(
        "end-not-reached",
        "A procedure that ends with what no step establishes.",
        Warning,
        LOGIC,
        end,
    ),
];

/// The conditions before each step.
struct State<'p> {
    holds: BTreeSet<&'p str>,
    cleared: BTreeSet<&'p str>,
}

fn ids(list: &[ConditionRef]) -> impl Iterator<Item = &str> {
    list.iter().map(ConditionRef::as_str)
}

/// Walks a procedure with the state before each step, and gives the state at its end.
fn walk<'p>(procedure: &'p Procedure, mut visit: impl FnMut(usize, &State<'p>)) -> State<'p> {
    let mut state = State {
        holds: ids(&procedure.starts_with).collect(),
        cleared: ids(&procedure.never_with).collect(),
    };
    for (j, step) in procedure.steps.iter().enumerate() {
        visit(j, &state);
        for id in ids(&step.clears) {
            state.holds.remove(id);
            state.cleared.insert(id);
        }
        for id in ids(&step.establishes) {
            state.cleared.remove(id);
            state.holds.insert(id);
        }
        for hold in &step.holds {
            state.cleared.remove(hold.condition.as_str());
            state.holds.insert(hold.condition.as_str());
        }
    }
    state
}

fn requirements(ctx: &Context<'_>, mut judge: impl FnMut(String, &str, &str, &State<'_>)) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        walk(procedure, |j, state| {
            for (step, k, id) in procedure
                .steps
                .get(j)
                .into_iter()
                .flat_map(|s| ids(&s.requires).enumerate().map(move |(k, id)| (s, k, id)))
            {
                judge(
                    format!("/procedures/{i}/steps/{j}/requires/{k}"),
                    step.id.as_str(),
                    id,
                    state,
                );
            }
        });
    }
}

fn cleared(ctx: &Context<'_>, found: &mut Findings) {
    requirements(ctx, |place, step, id, state| {
        if state.cleared.contains(id) {
            found.add(place, format!("The step {step} requires {id}, which does not hold any more, or must not hold, at that point."), "Bring it about again before this step, or correct the steps before.");
        }
    });
}

fn unmet(ctx: &Context<'_>, found: &mut Findings) {
    requirements(ctx, |place, step, id, state| {
        if !state.holds.contains(id) && !state.cleared.contains(id) {
            found.add(place, format!("The step {step} requires {id}, and neither the start nor a step before it says that it holds."), "Add it to what the procedure starts with, or a step that brings it about.");
        }
    });
}

fn excluded(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        walk(procedure, |j, state| {
            let Some(step) = procedure.steps.get(j) else {
                return;
            };
            for (k, id) in ids(&step.requires_not).enumerate() {
                if state.holds.contains(id) && !ids(&step.requires).any(|r| r == id) {
                    found.add(
                        format!("/procedures/{i}/steps/{j}/requires_not/{k}"),
                        format!(
                            "The step {} must not be done with {id}, which holds at that point.",
                            step.id
                        ),
                        "End it in a step before this one, or correct the steps before.",
                    );
                }
            }
        });
    }
}

fn itself(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        for (j, step) in procedure.steps.iter().enumerate() {
            let clash =
                |a: &[ConditionRef], b: &[ConditionRef]| a.iter().position(|c| b.contains(c));
            let place = format!("/procedures/{i}/steps/{j}");
            if let Some(k) = clash(&step.requires_not, &step.requires) {
                found.add(
                    format!("{place}/requires_not/{k}"),
                    format!("The step {} requires a condition and its absence.", step.id),
                    "Keep one of the two.",
                );
            }
            if let Some(k) = clash(&step.clears, &step.establishes) {
                found.add(
                    format!("{place}/clears/{k}"),
                    format!(
                        "The step {} establishes a condition and clears it.",
                        step.id
                    ),
                    "Keep one of the two, or make two steps.",
                );
            }
        }
        if let Some(k) = procedure
            .never_with
            .iter()
            .position(|c| procedure.starts_with.contains(c))
        {
            found.add(
                format!("/procedures/{i}/never_with/{k}"),
                format!(
                    "The procedure {} starts with a condition and excludes it.",
                    procedure.id
                ),
                "Keep one of the two.",
            );
        }
    }
}

fn end(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx
        .profile
        .procedures
        .iter()
        .enumerate()
        .filter(|(_, p)| !p.steps.is_empty())
    {
        let last = walk(procedure, |_, _| {});
        for (k, id) in ids(&procedure.ends_with)
            .enumerate()
            .filter(|(_, id)| !last.holds.contains(id))
        {
            found.add(
                format!("/procedures/{i}/ends_with/{k}"),
                format!(
                    "The procedure {} ends with {id}, and no step establishes it.",
                    procedure.id
                ),
                "Add it to the step that brings it about.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "step-requires-cleared",
        "the line released first",
        r#"{"/procedures/3/steps/0/clears": ["in-neutral"]}"#,
        "/procedures/3/steps/1/requires/0",
    ),
    pass("step-requires-cleared", "the line taut", "{}"),
    pass(
        "step-requires-cleared",
        "a timed hold that brings about what did not hold before",
        r#"{"/procedures/3/starts_with": [], "/procedures/3/never_with": ["in-neutral"], "/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [20, "min"], "source": "manual"}}]}"#,
    ),
    fail(
        "step-excludes-held",
        "the start that holds",
        r#"{"/procedures/3/steps/0/requires_not": ["in-neutral"]}"#,
        "/procedures/3/steps/0/requires_not/0",
    ),
    fail(
        "step-excludes-held",
        "what a step before brings about",
        r#"{"/procedures/2/steps/1/requires_not": ["in-park", "wheels-chocked"], "/procedures/2/steps/1/requires": []}"#,
        "/procedures/2/steps/1/requires_not/1",
    ),
    pass(
        "step-excludes-held",
        "what a step before ends",
        r#"{"/procedures/3/steps/0/clears": ["in-neutral"], "/procedures/3/steps/1/requires": [], "/procedures/3/steps/1/requires_not": ["in-neutral"]}"#,
    ),
    fail(
        "step-requires-unmet",
        "nothing establishes it",
        r#"{"/procedures/3/steps/0/establishes": []}"#,
        "/procedures/3/steps/1/requires/1",
    ),
    pass("step-requires-unmet", "a step before it", "{}"),
    fail(
        "step-contradicts-itself",
        "both at once",
        r#"{"/procedures/3/steps/1/requires_not": ["line-taut"]}"#,
        "/procedures/3/steps/1/requires_not/0",
    ),
    fail(
        "step-contradicts-itself",
        "established and cleared",
        r#"{"/procedures/3/steps/0/clears": ["line-taut"]}"#,
        "/procedures/3/steps/0/clears/0",
    ),
    fail(
        "step-contradicts-itself",
        "a start that is excluded",
        r#"{"/procedures/3/never_with": ["in-neutral"]}"#,
        "/procedures/3/never_with/0",
    ),
    pass("step-contradicts-itself", "one of the two", "{}"),
    fail(
        "end-not-reached",
        "nobody secures",
        r#"{"/procedures/4/steps/0/establishes": []}"#,
        "/procedures/4/ends_with/0",
    ),
    pass("end-not-reached", "somebody secures", "{}"),
];

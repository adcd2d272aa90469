//! A condition that holds for a time must outlast the steps that need it.
//!
//! Plain logic; steps without a time count as nothing, so the answer is never too strict. A condition whose definition says
//! how long it holds lapses after that time wherever a step establishes it, unless the step states its own time.

use super::prelude::*;
use chockstone_schema::{
    Sourced,
    model::procedure::{Procedure, Step},
    quantity::DurationKind,
};

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
            for (part, condition, time) in holds(ctx, step) {
                let needed = needed(procedure, j, condition);
                if needed > time.si() + 1e-9 {
                    found
                        .add(
                            format!("/procedures/{i}/steps/{j}/{part}"),
                            format!("{condition} lapses before what needs it is done."),
                            "Shorten the steps, put them in another order, or renew the condition in between.",
                        )
                        .computed(format::time(needed))
                        .limit(time.value.to_string());
                }
            }
        }
    }
}

/// Whether a condition of a procedure lapses too early even when every step takes just the time that it states.
pub(super) fn is_too_short(ctx: &Context<'_>, procedure: usize, condition: &str) -> bool {
    let Some(procedure) = ctx.profile.procedures.get(procedure) else {
        return false;
    };
    let steps = procedure.steps.iter().enumerate();
    let mut holds = steps.flat_map(|(j, step)| holds(ctx, step).into_iter().map(move |h| (j, h)));
    holds.any(|(j, (_, id, time))| id == condition && needed(procedure, j, id) > time.si() + 1e-9)
}

/// What holds only for a time after a step: the part that says so, the condition and the time.
fn holds<'p>(
    ctx: &Context<'p>,
    step: &'p Step,
) -> Vec<(String, &'p str, &'p Sourced<DurationKind>)> {
    let own = step.holds.iter().enumerate().map(|(k, hold)| {
        let part = format!("holds/{k}/time/value");
        (part, hold.condition.as_str(), &hold.time)
    });
    let defined = step.establishes.iter().enumerate().filter_map(|(k, id)| {
        let id = id.as_str();
        let mut conditions = ctx.profile.conditions.iter();
        let time = conditions
            .find(|c| c.id.as_str() == id)?
            .holds_for
            .as_ref()?;
        let stated = step.holds.iter().any(|h| h.condition.as_str() == id);
        (!stated).then(|| (format!("establishes/{k}"), id, time))
    });
    own.chain(defined).collect()
}

/// The seconds from the end of a step to the end of the last step, or of the whole procedure, that needs the condition.
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
            return needed;
        }
    }
    if procedure.ends_with.iter().any(|c| c.as_str() == condition) {
        sum
    } else {
        needed
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "hold-too-short",
        "five minutes of winching in a hold of four",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [4, "min"], "source": "manual"}}]}"#,
        "/procedures/3/steps/0/holds/0/time/value",
    ),
    fail(
        "hold-too-short",
        "a condition that lapses by its definition",
        r#"{"/conditions": [{"id": "awake-by-door", "name": {"en": "Awake"}, "meaning": {"en": "The screen is on."}, "holds_for": {"value": [4, "min"], "source": "manual"}}], "/procedures/3/steps/0/establishes/-": "awake-by-door", "/procedures/3/steps/1/requires/-": "awake-by-door"}"#,
        "/procedures/3/steps/0/establishes/1",
    ),
    pass(
        "hold-too-short",
        "a condition that lapses later by its definition",
        r#"{"/conditions": [{"id": "awake-by-door", "name": {"en": "Awake"}, "meaning": {"en": "The screen is on."}, "holds_for": {"value": [5, "min"], "source": "manual"}}], "/procedures/3/steps/0/establishes/-": "awake-by-door", "/procedures/3/steps/1/requires/-": "awake-by-door"}"#,
    ),
    fail(
        "hold-too-short",
        "an end that comes after it lapsed",
        r#"{"/procedures/3/ends_with/-": "in-neutral", "/procedures/3/steps/1/requires": ["line-taut"], "/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [4, "min"], "source": "manual"}}]}"#,
        "/procedures/3/steps/0/holds/0/time/value",
    ),
    pass(
        "hold-too-short",
        "five minutes in a hold of five",
        r#"{"/procedures/3/steps/0/holds": [{"condition": "in-neutral", "time": {"value": [300, "s"], "source": "manual"}}]}"#,
    ),
];

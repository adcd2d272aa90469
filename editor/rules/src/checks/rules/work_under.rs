//! After raising on a jack, stands or cribbing come before any work under the vehicle.
//!
//! 29 CFR 1910.244(a)(2), read: after raising, crib, block or otherwise secure at once.

use super::prelude::*;
use chockstone_schema::model::procedure::Act;

pub(super) static RULES: &[Rule] = &[
    profile(
        "work-under-unsupported",
        "Work under a vehicle on a jack alone.",
        Blocking,
        JACKS,
        check,
    ),
    profile(
        "raised-by-what",
        "A step that raises the vehicle and does not say whether by jack, lift or wheel lift.",
        Blocking,
        LOGIC,
        by_what,
    ),
];

/// The rules about jacks look at the act: a step that raises without one would pass them all.
fn by_what(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        for (j, step) in procedure.steps.iter().enumerate() {
            let brings = |id: &str| step.establishes.iter().any(|c| c.as_str() == id);
            let says = matches!(step.act, Some(Act::RaiseJack | Act::RaiseLift));
            if brings("raised") && !says && !brings("on-wheel-lift") {
                found.add(
                    format!("/procedures/{i}/steps/{j}"),
                    format!("The step {} raises the vehicle and does not say by what.", step.id),
                    "Give the step the act of raising on a jack or on a lift, or let it establish on-wheel-lift as well.",
                );
            }
        }
    }
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let mut held = procedure
            .starts_with
            .iter()
            .any(|c| c.as_str() == "on-stands");
        let mut on_jack = false;
        for (j, step) in procedure.steps.iter().enumerate() {
            held |= step.establishes.iter().any(|c| c.as_str() == "on-stands");
            held &= !step.clears.iter().any(|c| c.as_str() == "on-stands");
            match step.act {
                Some(Act::RaiseJack) => on_jack = true,
                Some(Act::PlaceStand) => held = true,
                Some(Act::RemoveStand) => held = false,
                Some(Act::Lower) => on_jack = false,
                Some(Act::WorkUnder) if on_jack && !held => {
                    found.add(
                        format!("/procedures/{i}/steps/{j}/act"),
                        "People work under a vehicle that stands on a jack alone.",
                        "Add a step that places stands, cribbing or blocks before this one.",
                    );
                }
                _ => {}
            }
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "work-under-unsupported",
        "no stand",
        r#"{"/procedures/5/steps/1": null}"#,
        "/procedures/5/steps/1/act",
    ),
    fail(
        "work-under-unsupported",
        "the stand taken away first",
        r#"{"/procedures/5/steps/1/act": "remove_stand", "/procedures/5/steps/1/establishes": []}"#,
        "/procedures/5/steps/2/act",
    ),
    pass("work-under-unsupported", "a stand", "{}"),
    fail(
        "raised-by-what",
        "raised by nobody knows what",
        r#"{"/procedures/5/steps/0/act": "check"}"#,
        "/procedures/5/steps/0",
    ),
    pass(
        "raised-by-what",
        "the wheel lift of a truck",
        r#"{"/procedures/5/steps/0/act": "check", "/procedures/5/steps/0/establishes/-": "on-wheel-lift"}"#,
    ),
    pass("raised-by-what", "a jack", "{}"),
];

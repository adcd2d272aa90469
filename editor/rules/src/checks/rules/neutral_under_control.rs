//! Nobody frees the wheels before chocks, a taut line or the parking brake hold the vehicle.
//!
//! Plain logic: a vehicle in neutral that nothing holds can roll. Where the parking brake alone held it and is released in
//! neutral, somebody may still mean to let it roll, so that warns.

use super::prelude::*;
use chockstone_schema::{
    id::ConditionRef,
    model::procedure::{Act, Step},
};

pub(super) static RULES: &[Rule] = &[profile(
    "neutral-uncontrolled",
    "Neutral selected before the vehicle is held.",
    Blocking,
    LOGIC,
    check,
)];

const BRAKE: &str = "parking-brake-set";
const HOLDING: &[&str] = &["wheels-chocked", "line-taut", "secured", "on-stands", BRAKE];

fn any(list: &[ConditionRef]) -> bool {
    list.iter().any(|c| HOLDING.contains(&c.as_str()))
}

fn frees(step: &Step) -> bool {
    step.act == Some(Act::SelectNeutral)
        || step.establishes.iter().any(|c| c.as_str() == "in-neutral")
}

fn parks(step: &Step) -> bool {
    step.act == Some(Act::SelectPark) || step.clears.iter().any(|c| c.as_str() == "in-neutral")
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let mut held: Vec<&str> = procedure
            .starts_with
            .iter()
            .map(ConditionRef::as_str)
            .filter(|c| HOLDING.contains(c))
            .collect();
        let mut neutral = procedure
            .starts_with
            .iter()
            .any(|c| c.as_str() == "in-neutral");
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
                Some(Act::SetParkingBrake) => held.push(BRAKE),
                _ => {}
            }
            neutral = (neutral || frees(step)) && !parks(step);
            let braked = held.contains(&BRAKE);
            let released = step.act == Some(Act::ReleaseParkingBrake);
            held.retain(|c| !(released && *c == BRAKE));
            held.retain(|c| !step.clears.iter().any(|cleared| cleared.as_str() == *c));
            if neutral && braked && held.is_empty() {
                found
                    .add(
                        format!("/procedures/{i}/steps/{j}"),
                        format!("The step {} releases the parking brake in neutral, and nothing else holds the vehicle.", step.id),
                        "Chock a wheel or attach and tension a line in a step before this one.",
                    )
                    .severity(Warning);
            }
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
    pass(
        "neutral-uncontrolled",
        "the parking brake set at the start",
        r#"{"/procedures/2/steps/0": null, "/procedures/2/starts_with/-": "parking-brake-set", "/procedures/2/steps/0/requires": []}"#,
    ),
    pass(
        "neutral-uncontrolled",
        "the parking brake set before it",
        r#"{"/procedures/2/steps/0/act": "set_parking_brake", "/procedures/2/steps/0/establishes": [], "/procedures/2/steps/1/requires": []}"#,
    ),
    fail(
        "neutral-uncontrolled",
        "the parking brake released before it",
        r#"{"/procedures/2/starts_with/-": "parking-brake-set", "/procedures/2/steps/0/act": "release_parking_brake", "/procedures/2/steps/0/establishes": [], "/procedures/2/steps/1/requires": []}"#,
        "/procedures/2/steps/1",
    ),
    fail(
        "neutral-uncontrolled",
        "the parking brake alone, released in neutral",
        r#"{"/procedures/3/starts_with/-": "parking-brake-set", "/procedures/3/steps/0/act": "release_parking_brake", "/procedures/3/steps/0/establishes": []}"#,
        "/procedures/3/steps/0",
    )
    .worth(Warning),
];

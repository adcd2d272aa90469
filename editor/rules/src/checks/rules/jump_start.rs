//! Jump starts: the order of the clamps, the voltages, and whether the maker allows one at all.
//!
//! The order is that of several public texts that agree, second-hand: positive of the flat battery, positive of the donor,
//! negative of the donor, last a ground away from the flat battery; removal in exact reverse; the same voltage on both.

use super::prelude::*;
use chockstone_schema::model::{
    energy::LowVoltageKind,
    point::PointKind,
    procedure::{Act, Procedure, Purpose},
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "jump-order",
        "Jump start clamps in another order than the safe one.",
        Blocking,
        JUMP_ORDER,
        order,
    ),
    profile(
        "jump-without-acts",
        "A jump start whose steps do not say which clamp goes where.",
        Warning,
        LOGIC,
        without_acts,
    ),
    profile(
        "jump-removal-order",
        "Jump start clamps that do not come off in exact reverse order.",
        Blocking,
        JUMP_ORDER,
        removal,
    ),
    profile(
        "jump-voltage",
        "A 24 V source for a 12 V system.",
        Blocking,
        JUMP_ORDER,
        voltage,
    ),
    profile(
        "jump-not-accepted",
        "A jump start procedure although the maker allows none.",
        Blocking,
        LOGIC,
        not_accepted,
    ),
    profile(
        "jump-points-missing",
        "A jump start without its posts among the points.",
        Warning,
        LOGIC,
        points,
    ),
    profile(
        "lithium-jump-unexplained",
        "A jump start of a lithium-ion battery whose source is not the maker's.",
        Warning,
        MEMORY_JUMP,
        lithium,
    ),
];

const MEMORY_JUMP: Rest = (
    "A lithium-ion low-voltage battery may need its own procedure; from memory",
    chockstone_schema::report::Trust::Memory,
);

const CONNECT: [Act; 4] = [
    Act::ConnectPositiveFlat,
    Act::ConnectPositiveDonor,
    Act::ConnectNegativeDonor,
    Act::ConnectGroundRemote,
];

fn is_connect(act: Act) -> bool {
    CONNECT.contains(&act) || act == Act::ConnectNegativeFlat
}

/// The act that undoes a connection.
fn reverse(act: Act) -> Act {
    match act {
        Act::ConnectPositiveFlat => Act::RemovePositiveFlat,
        Act::ConnectPositiveDonor => Act::RemovePositiveDonor,
        Act::ConnectNegativeDonor => Act::RemoveNegativeDonor,
        Act::ConnectGroundRemote => Act::RemoveGroundRemote,
        Act::ConnectNegativeFlat => Act::RemoveNegativeFlat,
        other => other,
    }
}

fn is_removal(act: Act) -> bool {
    matches!(
        act,
        Act::RemovePositiveFlat
            | Act::RemovePositiveDonor
            | Act::RemoveNegativeDonor
            | Act::RemoveGroundRemote
            | Act::RemoveNegativeFlat
    )
}

fn name(act: Act) -> &'static str {
    match act {
        Act::ConnectPositiveFlat | Act::RemovePositiveFlat => "flat +",
        Act::ConnectPositiveDonor | Act::RemovePositiveDonor => "donor +",
        Act::ConnectNegativeDonor | Act::RemoveNegativeDonor => "donor −",
        Act::ConnectGroundRemote | Act::RemoveGroundRemote => "ground away from the flat battery",
        Act::ConnectNegativeFlat | Act::RemoveNegativeFlat => "flat −",
        _ => "other",
    }
}

fn names<'a>(acts: impl IntoIterator<Item = &'a Act>) -> String {
    let names: Vec<&str> = acts.into_iter().map(|a| name(*a)).collect();
    names.join(", ")
}

/// The acts of a procedure that one test accepts, with the steps' places.
fn acts(index: usize, procedure: &Procedure, keep: fn(Act) -> bool) -> Vec<(String, Act)> {
    let acts = procedure
        .steps
        .iter()
        .enumerate()
        .filter_map(|(j, s)| Some((j, s.act?)));
    acts.filter(|(_, a)| keep(*a))
        .map(|(j, a)| (format!("/procedures/{index}/steps/{j}/act"), a))
        .collect()
}

fn order(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let made = acts(i, procedure, is_connect);
        let wrong = made
            .iter()
            .zip(CONNECT.iter().map(Some).chain(std::iter::repeat(None)))
            .find(|((_, act), right)| Some(act) != *right);
        let settle =
            "Connect flat +, donor +, donor −, and last a ground away from the flat battery.";
        if let Some(((place, _), _)) = wrong {
            let last = if made.iter().any(|(_, a)| *a == Act::ConnectNegativeFlat) {
                " A clamp on the flat battery's own post can light its gas."
            } else {
                ""
            };
            found
                .add(
                    place,
                    format!("The clamps go on in another order than the safe one.{last}"),
                    settle,
                )
                .computed(names(made.iter().map(|(_, a)| a)))
                .limit(names(&CONNECT));
        } else if !made.is_empty() && made.len() < CONNECT.len() {
            found
                .add(
                    format!("/procedures/{i}/steps"),
                    "The order of the clamps stops before the last one.",
                    settle,
                )
                .computed(names(made.iter().map(|(_, a)| a)))
                .limit(names(&CONNECT));
        }
    }
}

fn without_acts(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        if procedure.purpose == Purpose::JumpStart
            && !procedure.steps.is_empty()
            && acts(i, procedure, is_connect).is_empty()
        {
            found.add(
                format!("/procedures/{i}/steps"),
                "No step says by its act which clamp goes where, so the order was not checked.",
                "Choose the act of each step that puts a clamp on or takes it off.",
            );
        }
    }
}

fn removal(ctx: &Context<'_>, found: &mut Findings) {
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        let made = acts(i, procedure, is_connect);
        let taken = acts(i, procedure, is_removal);
        if taken.is_empty() {
            continue;
        }
        // Clamps that stayed on come off in a procedure of their own; they went on in the safe order elsewhere.
        let put_on: Vec<Act> = if made.is_empty() {
            CONNECT.to_vec()
        } else {
            made.iter().map(|(_, a)| *a).collect()
        };
        let right: Vec<Act> = put_on.into_iter().rev().map(reverse).collect();
        let own: Vec<Act> = taken.iter().map(|(_, a)| *a).collect();
        if own != right {
            let at = own
                .iter()
                .zip(&right)
                .position(|(a, b)| a != b)
                .unwrap_or(own.len().saturating_sub(1));
            let place = taken
                .get(at)
                .map_or_else(|| format!("/procedures/{i}/steps"), |(p, _)| p.clone());
            found
                .add(
                    place,
                    "The clamps do not come off in exact reverse order.",
                    "Take off first what went on last.",
                )
                .computed(names(&own))
                .limit(names(&right));
        }
    }
}

const DOUBLE: &[&str] = &[
    "24 v",
    "24-v",
    "24v",
    "24-volt",
    "24 volt",
    "24 volts",
    "24 voltios",
];

const USES: &[&str] = &[
    "use", "uses", "using", "connect", "attach", "usar", "usa", "utilice", "utilizar", "conectar",
    "conecte", "conecta",
];
/// Words of a sentence that warns of the higher voltage.
const HARMS: &[&str] = &[
    "destroy*",
    "damage*",
    "ruin*",
    "avoid*",
    "instead",
    "destruye*",
    "daña*",
    "evit*",
    "estropea*",
];

/// How bad it is what a text says of 24 V: using it blocks, naming it without a warning warns.
fn names_double(text: &str) -> Option<chockstone_schema::report::Severity> {
    let text = words::plain(text);
    let without = [words::NEGATIONS, HARMS].concat();
    if words::sentence_has_without(&text, &[DOUBLE, USES], &without) {
        Some(Blocking)
    } else if words::sentence_has_without(&text, &[DOUBLE], &without) {
        Some(Warning)
    } else {
        None
    }
}

fn voltage(ctx: &Context<'_>, found: &mut Findings) {
    let low = ctx
        .profile
        .energy
        .low_voltage
        .as_ref()
        .and_then(|l| l.voltage.as_ref())
        .filter(|v| v.si() < 18.0);
    let Some(low) = low else {
        return;
    };
    let jumps = ctx
        .profile
        .procedures
        .iter()
        .enumerate()
        .filter(|(_, p)| p.purpose == Purpose::JumpStart);
    for (i, procedure) in jumps {
        for (j, step) in procedure.steps.iter().enumerate() {
            let severity = step.text.iter().filter_map(|(_, s)| names_double(s)).min();
            if let Some(severity) = severity {
                let message = if severity == Blocking {
                    "The step uses a 24 V source on a system of lower voltage."
                } else {
                    "The step speaks of 24 V on a system of lower voltage."
                };
                found
                    .add(
                        format!("/procedures/{i}/steps/{j}/text"),
                        message,
                        "Use a source of the same voltage, and say so.",
                    )
                    .computed("24 V")
                    .limit(low.value.to_string())
                    .severity(severity);
            }
        }
    }
}

fn not_accepted(ctx: &Context<'_>, found: &mut Findings) {
    let Some(low) = ctx
        .profile
        .energy
        .low_voltage
        .as_ref()
        .filter(|l| l.accepts_jump == Some(false))
    else {
        return;
    };
    let _ = low;
    if let Some(i) = ctx
        .profile
        .procedures
        .iter()
        .position(|p| p.purpose == Purpose::JumpStart)
    {
        found.add(
            format!("/procedures/{i}/purpose"),
            "The procedure is a jump start, and the low-voltage system is said not to accept one.",
            "Correct one of the two from the maker's document.",
        );
    }
}

fn points(ctx: &Context<'_>, found: &mut Findings) {
    let profile = ctx.profile;
    let Some(i) = profile
        .procedures
        .iter()
        .position(|p| p.purpose == Purpose::JumpStart)
    else {
        return;
    };
    let has = |kind| profile.points.iter().any(|p| p.kind == kind);
    let missing: Vec<&str> = [
        (!has(PointKind::BatteryPositive)).then_some("a positive post"),
        (!has(PointKind::BatteryGround)).then_some("a ground point"),
    ]
    .into_iter()
    .flatten()
    .collect();
    if !missing.is_empty() {
        found.add(
            format!("/procedures/{i}"),
            format!("The points do not hold {}.", missing.join(" or ")),
            "Add the points where the clamps go.",
        );
    }
}

fn lithium(ctx: &Context<'_>, found: &mut Findings) {
    let is_lithium = ctx
        .profile
        .energy
        .low_voltage
        .as_ref()
        .is_some_and(|l| l.kind == LowVoltageKind::LithiumIon);
    for (i, procedure) in ctx.profile.procedures.iter().enumerate() {
        if is_lithium
            && procedure.purpose == Purpose::JumpStart
            && !ctx.is_makers(procedure.source.as_ref())
        {
            found.add(
                format!("/procedures/{i}"),
                "A lithium-ion low-voltage battery may need its own procedure.",
                "Take the procedure from the maker's document.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    pass("jump-order", "the safe order", "{}"),
    fail(
        "jump-order",
        "the last clamp on the flat post",
        r#"{"/procedures/1/steps/4/act": "connect_negative_flat"}"#,
        "/procedures/1/steps/4/act",
    ),
    fail(
        "jump-order",
        "the donor first",
        r#"{"/procedures/1/steps/1/act": "connect_positive_donor", "/procedures/1/steps/2/act": "connect_positive_flat"}"#,
        "/procedures/1/steps/1/act",
    ),
    fail(
        "jump-order",
        "the last clamp missing",
        r#"{"/procedures/1/steps/4/act": "wait"}"#,
        "/procedures/1/steps",
    ),
    pass("jump-removal-order", "exact reverse", "{}"),
    fail(
        "jump-removal-order",
        "positive first",
        r#"{"/procedures/1/steps/5/act": "remove_positive_flat", "/procedures/1/steps/8/act": "remove_ground_remote"}"#,
        "/procedures/1/steps/5/act",
    ),
    fail(
        "jump-removal-order",
        "positive first in a procedure of its own",
        r#"{"/procedures/6/steps/-": {"id": "plus", "text": {"en": "Positive off."}, "act": "remove_positive_flat"}}"#,
        "/procedures/6/steps/1/act",
    ),
    fail(
        "jump-voltage",
        "a 24 V donor",
        r#"{"/procedures/1/steps/2/text": {"en": "Use the truck's 24 V supply."}}"#,
        "/procedures/1/steps/2/text",
    ),
    fail(
        "jump-voltage",
        "a 24 V donor in Spanish",
        r#"{"/procedures/1/steps/2/text": {"en": "Donor.", "es": "Conecte el negativo de 24 V."}}"#,
        "/procedures/1/steps/2/text",
    ),
    pass(
        "jump-voltage",
        "what a 24 V donor does",
        r#"{"/procedures/1/steps/2/text": {"en": "Use a 12 V source; a 24 V source destroys the control units."}}"#,
    ),
    fail(
        "jump-voltage",
        "24 V named alone",
        r#"{"/procedures/1/steps/2/text": {"en": "Donor of 12 V or 24 V."}}"#,
        "/procedures/1/steps/2/text",
    )
    .worth(Warning),
    fail(
        "jump-without-acts",
        "steps in words alone",
        r#"{"/procedures/1/steps": [{"id": "a", "text": {"en": "Connect the donor."}}]}"#,
        "/procedures/1/steps",
    ),
    pass("jump-without-acts", "acts", "{}"),
    pass(
        "jump-voltage",
        "a 24 V donor forbidden",
        r#"{"/procedures/1/steps/2/text": {"en": "Never use a 24 V supply."}}"#,
    ),
    fail(
        "jump-not-accepted",
        "no jump allowed",
        r#"{"/energy/low_voltage/accepts_jump": false}"#,
        "/procedures/1/purpose",
    ),
    pass("jump-not-accepted", "a jump allowed", "{}"),
    fail(
        "jump-points-missing",
        "no ground point",
        r#"{"/points/6/kind": "other"}"#,
        "/procedures/1",
    ),
    pass("jump-points-missing", "both posts", "{}"),
    fail(
        "lithium-jump-unexplained",
        "guidance alone",
        r#"{"/energy/low_voltage/kind": "lithium_ion", "/procedures/1/source": "guidance"}"#,
        "/procedures/1",
    ),
    pass(
        "lithium-jump-unexplained",
        "the maker's document",
        r#"{"/energy/low_voltage/kind": "lithium_ion"}"#,
    ),
];

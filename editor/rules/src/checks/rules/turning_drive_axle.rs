//! A method that turns a driven axle on the road needs a source that allows it, and keeps to its limits.
//!
//! Course text attributing to SAE J2990, second-hand: do not tow with drive wheels turning on the ground. That a rule's
//! limits may not exceed the axle's own is plain logic.

use super::prelude::*;
use crate::view::AxleView;
use chockstone_schema::model::{
    advice::{Permission, TransportMethod, TransportRule},
    axle::{MotorKind, TurningEffect},
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "driven-axle-turns",
        "A method allowed that turns a driven axle on the road.",
        Blocking,
        TURNING_WHEELS,
        turns,
    ),
    profile(
        "rule-beyond-axle-limit",
        "A transport rule beyond the limit of an axle that turns under it.",
        Blocking,
        LOGIC,
        beyond,
    ),
];

/// The axles that turn on the ground under a method at road speed.
pub(super) fn turning<'v, 'p>(
    method: TransportMethod,
    view: &'v View<'p>,
) -> Vec<&'v AxleView<'p>> {
    let last = view.axles.len().saturating_sub(1);
    let keep = |axle: &&AxleView<'_>| match method {
        TransportMethod::FrontLift => axle.index != 0,
        // All rear axles of a tandem are taken as lifted together.
        TransportMethod::RearLift => axle.index == 0 || (last > 1 && axle.index < last - 1),
        TransportMethod::AllWheelsGround => true,
        TransportMethod::Carrier
        | TransportMethod::FrontLiftDollies
        | TransportMethod::RearLiftDollies
        | TransportMethod::WinchRolling
        | TransportMethod::WinchSkates
        | TransportMethod::Push => false,
    };
    view.axles.iter().filter(keep).collect()
}

pub(super) fn words_for(method: TransportMethod) -> &'static str {
    match method {
        TransportMethod::Carrier => "a carrier",
        TransportMethod::FrontLift => "a front wheel lift",
        TransportMethod::FrontLiftDollies => "a front wheel lift with dollies",
        TransportMethod::RearLift => "a rear wheel lift",
        TransportMethod::RearLiftDollies => "a rear wheel lift with dollies",
        TransportMethod::AllWheelsGround => "towing on all wheels",
        TransportMethod::WinchRolling => "winching on rolling wheels",
        TransportMethod::WinchSkates => "winching on skates",
        TransportMethod::Push => "pushing",
    }
}

/// Rules that allow something, with their place, in the views they hold for.
fn allowed<'v, 'p>(
    ctx: &'v Context<'p>,
) -> impl Iterator<Item = (String, &'p TransportRule, &'v View<'p>)> {
    let rules = ctx
        .profile
        .transport
        .rules
        .iter()
        .enumerate()
        .filter(|(_, r)| r.permission != Permission::Forbidden);
    rules.flat_map(move |(i, rule)| {
        let views = ctx.views.iter().filter(|v| v.has(&rule.variants));
        views.map(move |view| (format!("/transport/rules/{i}"), rule, view))
    })
}

fn turns(ctx: &Context<'_>, found: &mut Findings) {
    for (place, rule, view) in allowed(ctx) {
        for axle in turning(rule.method, view) {
            let fixed = axle
                .motor
                .as_ref()
                .is_some_and(|m| m.value.kind == MotorKind::Fixed);
            let effect = axle.turning.as_ref().map(|t| t.value.effect);
            let locked = effect == Some(TurningEffect::Locked);
            let limited = rule.permission == Permission::Limited
                && axle
                    .turning
                    .as_ref()
                    .is_some_and(|t| t.value.max_speed.is_some() || t.value.max_distance.is_some());
            if !locked && (!fixed || effect == Some(TurningEffect::Free) || limited) {
                continue;
            }
            let what = if locked {
                "does not turn"
            } else {
                "has a motor that turns with it"
            };
            found
                .add(
                    format!("{place}/method"),
                    format!("With {} the {} axle stands on the ground and {what}.", words_for(rule.method), axle.axle.id),
                    "Use dollies or a carrier, or state limits on the axle and on the rule with the maker's document as their source.",
                )
                .computed(format!("axle {}: {}", axle.axle.id, effect.map_or("no turning statement", effect_word)));
        }
    }
}

fn effect_word(effect: TurningEffect) -> &'static str {
    match effect {
        TurningEffect::Free => "rolls freely",
        TurningEffect::Generates => "makes voltage and heat",
        TurningEffect::Drags => "drags and heats",
        TurningEffect::Locked => "does not turn",
        TurningEffect::NotKnown => "not known",
    }
}

fn beyond(ctx: &Context<'_>, found: &mut Findings) {
    for (place, rule, view) in allowed(ctx) {
        for axle in turning(rule.method, view) {
            let Some(turning) = &axle.turning else {
                continue;
            };
            let settle = "Bring the rule down to the axle's limit, or correct the axle.";
            let id = &axle.axle.id;
            if let Some(most) = turning.value.max_speed.as_ref().filter(|m| {
                rule.max_speed
                    .as_ref()
                    .is_none_or(|s| s.si() > m.si() + 1e-9)
            }) {
                let at = if rule.max_speed.is_some() {
                    "/max_speed/value"
                } else {
                    ""
                };
                let own = rule
                    .max_speed
                    .as_ref()
                    .map_or_else(|| "no limit".to_owned(), |s| s.value.to_string());
                found
                    .add(
                        format!("{place}{at}"),
                        format!("The {id} axle turns under this rule and allows a lower speed."),
                        settle,
                    )
                    .computed(own)
                    .limit(most.value.to_string());
            }
            if let Some(most) = turning.value.max_distance.as_ref().filter(|m| {
                rule.max_distance
                    .as_ref()
                    .is_none_or(|s| s.si() > m.si() + 1e-9)
            }) {
                let at = if rule.max_distance.is_some() {
                    "/max_distance/value"
                } else {
                    ""
                };
                let own = rule
                    .max_distance
                    .as_ref()
                    .map_or_else(|| "no limit".to_owned(), |s| s.value.to_string());
                found
                    .add(
                        format!("{place}{at}"),
                        format!(
                            "The {id} axle turns under this rule and allows a shorter distance."
                        ),
                        settle,
                    )
                    .computed(own)
                    .limit(most.value.to_string());
            }
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "driven-axle-turns",
        "a front lift allowed on a rear motor",
        r#"{"/transport/rules/1/permission": "allowed"}"#,
        "/transport/rules/1/method",
    ),
    fail(
        "driven-axle-turns",
        "all wheels on the ground",
        r#"{"/transport/rules/1/method": "all_wheels_ground", "/transport/rules/1/permission": "limited"}"#,
        "/transport/rules/1/method",
    ),
    pass(
        "driven-axle-turns",
        "a front lift with dollies",
        r#"{"/transport/rules/1/permission": "allowed", "/transport/rules/1/method": "front_lift_dollies"}"#,
    ),
    pass(
        "driven-axle-turns",
        "limits that the maker states",
        r#"{"/transport/rules/1/permission": "limited", "/transport/rules/1/max_speed": {"value": [10, "km/h"], "source": "manual"}, "/axles/1/turning/max_speed": {"value": [10, "km/h"], "source": "manual"}}"#,
    ),
    pass(
        "driven-axle-turns",
        "a rear lift and a free front axle",
        "{}",
    ),
    fail(
        "driven-axle-turns",
        "a rear lift and a front motor",
        r#"{"/axles/0/motor/kind": "fixed", "/axles/0/turning/effect": "generates"}"#,
        "/transport/rules/2/method",
    ),
    fail(
        "rule-beyond-axle-limit",
        "a faster rule",
        r#"{"/transport/rules/2/max_speed": {"value": [60, "mph"], "source": "manual"}, "/axles/0/turning/max_speed": {"value": [50, "mph"], "source": "manual"}}"#,
        "/transport/rules/2/max_speed/value",
    ),
    fail(
        "rule-beyond-axle-limit",
        "a rule without the axle's distance",
        r#"{"/axles/0/turning/max_distance": {"value": [80, "km"], "source": "manual"}}"#,
        "/transport/rules/2",
    ),
    pass(
        "rule-beyond-axle-limit",
        "the same speed",
        r#"{"/transport/rules/2/max_speed": {"value": [50, "mph"], "source": "manual"}, "/axles/0/turning/max_speed": {"value": [50, "mph"], "source": "manual"}}"#,
    ),
];

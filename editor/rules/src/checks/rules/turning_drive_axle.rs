//! A method that turns a driven axle on the road needs the maker's word that allows it, and keeps to its limits.
//!
//! Only the maker can say that a motor may turn: "rolls freely" or a limit without the maker's document counts for nothing.
//! A motor that can be disconnected counts as connected unless the profile says how, and allows the method with limits.
//! A wheel that does not turn is not rolled either, neither winched nor pushed; that is plain logic.
//!
//! Course text attributing to SAE J2990, second-hand: do not tow with drive wheels turning on the ground. That a rule's
//! limits may not exceed the axle's own is plain logic.

use super::prelude::*;
use crate::view::AxleView;
use chockstone_schema::model::{
    advice::{Permission, TransportMethod, TransportRule},
    axle::{MotorKind, Turning, TurningEffect},
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
        let on_road = turning(rule.method, view);
        let rolls = matches!(
            rule.method,
            TransportMethod::WinchRolling | TransportMethod::Push
        );
        for axle in &view.axles {
            let on_road = on_road.iter().any(|a| a.index == axle.index);
            let effect = axle.turning.as_ref().map(|t| t.value.effect);
            let what = if (on_road || rolls) && effect == Some(TurningEffect::Locked) {
                "does not turn"
            } else if on_road && !may_turn(ctx, rule, axle) {
                "has a motor that turns with it, and no document of the maker allows that here"
            } else {
                continue;
            };
            found
                .add(
                    format!("{place}/method"),
                    format!("With {} the {} axle stands on the ground and {what}.", words_for(rule.method), axle.axle.id),
                    "Use dollies, skates or a carrier, or state limits on the axle and on the rule with the maker's document as their source.",
                )
                .computed(format!("axle {}: {}", axle.axle.id, effect.map_or("no turning statement", effect_word)));
        }
    }
}

/// Whether the axle has no motor that turns with it, or the maker allows that it turns under this rule.
fn may_turn(ctx: &Context<'_>, rule: &TransportRule, axle: &AxleView<'_>) -> bool {
    let turning = axle.turning.as_ref().map(|t| t.value);
    let makers_turning = turning.is_some_and(|t| ctx.is_makers(t.source.as_ref()));
    let limited = rule.permission == Permission::Limited;
    let motor = axle.motor.as_ref().map(|m| m.value);
    match motor.map(|m| m.kind) {
        Some(MotorKind::Fixed) => {
            let free = turning.is_some_and(|t| t.effect == TurningEffect::Free);
            (free && makers_turning) || (limited && turning.is_some_and(|t| makers_limit(ctx, t)))
        }
        Some(MotorKind::Disconnectable) => {
            let how = motor.is_some_and(|m| m.how.is_some());
            let makers = makers_turning
                || motor.is_some_and(|m| ctx.is_makers(m.source.as_ref()))
                || turning.is_some_and(|t| makers_limit(ctx, t));
            limited && how && makers
        }
        // An axle that makes voltage when it turns has a motor, whatever the profile says of it.
        Some(MotorKind::None) | None => {
            turning.is_none_or(|t| t.effect != TurningEffect::Generates)
                || (limited && turning.is_some_and(|t| makers_limit(ctx, t)))
        }
    }
}

/// Whether a speed or a distance is stated that rests on a document of the maker.
fn makers_limit(ctx: &Context<'_>, turning: &Turning) -> bool {
    let speed = turning.max_speed.as_ref().map(|v| v.source.as_ref());
    let distance = turning.max_distance.as_ref().map(|v| v.source.as_ref());
    [speed, distance]
        .into_iter()
        .flatten()
        .any(|own| ctx.is_makers(own.or(turning.source.as_ref())))
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
        "driven-axle-turns",
        "a motor said to roll freely without a source",
        r#"{"/transport/rules/1/permission": "allowed", "/axles/1/turning": {"effect": "free"}}"#,
        "/transport/rules/1/method",
    ),
    fail(
        "driven-axle-turns",
        "a motor said to roll freely by guidance",
        r#"{"/transport/rules/1/permission": "allowed", "/axles/1/turning": {"effect": "free", "source": "guidance"}}"#,
        "/transport/rules/1/method",
    ),
    pass(
        "driven-axle-turns",
        "a motor that rolls freely by the maker",
        r#"{"/transport/rules/1/permission": "allowed", "/axles/1/turning": {"effect": "free", "source": "manual"}}"#,
    ),
    fail(
        "driven-axle-turns",
        "limits that guidance states",
        r#"{"/transport/rules/1/permission": "limited", "/transport/rules/1/max_speed": {"value": [10, "km/h"], "source": "guidance"}, "/axles/1/turning": {"effect": "generates", "max_speed": {"value": [10, "km/h"]}, "source": "guidance"}}"#,
        "/transport/rules/1/method",
    ),
    fail(
        "driven-axle-turns",
        "a motor that could be disconnected, allowed without limits",
        r#"{"/transport/rules/1/permission": "allowed", "/axles/1/motor": {"kind": "disconnectable", "how": {"en": "Pull the lever."}, "source": "manual"}}"#,
        "/transport/rules/1/method",
    ),
    fail(
        "driven-axle-turns",
        "a motor that can be disconnected nobody knows how",
        r#"{"/transport/rules/1/permission": "limited", "/axles/1/motor": {"kind": "disconnectable", "source": "manual"}}"#,
        "/transport/rules/1/method",
    ),
    pass(
        "driven-axle-turns",
        "a motor that the maker tells how to disconnect",
        r#"{"/transport/rules/1/permission": "limited", "/axles/1/motor": {"kind": "disconnectable", "how": {"en": "Pull the lever; the lamp goes out."}, "source": "manual"}}"#,
    ),
    fail(
        "driven-axle-turns",
        "voltage from an axle said to have no motor",
        r#"{"/axles/0/turning/effect": "generates"}"#,
        "/transport/rules/2/method",
    ),
    fail(
        "driven-axle-turns",
        "winching wheels that do not turn",
        r#"{"/transport/rules/1/method": "winch_rolling", "/transport/rules/1/permission": "allowed", "/axles/0/turning/effect": "locked"}"#,
        "/transport/rules/1/method",
    ),
    fail(
        "driven-axle-turns",
        "pushing wheels that do not turn",
        r#"{"/transport/rules/1/method": "push", "/transport/rules/1/permission": "limited", "/axles/1/turning/effect": "locked"}"#,
        "/transport/rules/1/method",
    ),
    pass(
        "driven-axle-turns",
        "winching a motor at walking pace",
        r#"{"/transport/rules/1/method": "winch_rolling", "/transport/rules/1/permission": "allowed"}"#,
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

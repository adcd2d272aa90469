//! An axle with a drive motor needs a statement of what turning it does, and rules for the methods that turn it.
//!
//! Plain logic: whoever tows must know before the wheels turn.

use super::prelude::*;
use chockstone_schema::model::advice::TransportMethod::{
    self, AllWheelsGround, FrontLift, RearLift,
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "motor-without-turning",
        "An axle with a motor and no word of what turning it does.",
        Blocking,
        LOGIC,
        without_turning,
    ),
    profile(
        "motor-without-rule",
        "An axle with a motor and no transport rule for a method that turns it.",
        Warning,
        LOGIC,
        without_rule,
    ),
    profile(
        "turning-not-known",
        "An axle of which no source says what turning it does.",
        Warning,
        LOGIC,
        not_known,
    ),
    profile(
        "motor-not-stated",
        "An axle of which neither a motor nor its absence is stated.",
        Blocking,
        LOGIC,
        not_stated,
    ),
    profile(
        "disconnect-unexplained",
        "A motor that can be disconnected without a word how.",
        Warning,
        LOGIC,
        unexplained,
    ),
];

fn without_turning(ctx: &Context<'_>, found: &mut Findings) {
    for axle in ctx.views.iter().flat_map(|v| &v.axles) {
        if axle.has_motor() && axle.turning.is_none() {
            found.add(
                axle.place(),
                format!(
                    "The axle {} has a motor, and what turning it unpowered does is not stated.",
                    axle.axle.id
                ),
                "State the effect of turning it, with its source; 'not known' is an answer.",
            );
        }
    }
}

fn not_known(ctx: &Context<'_>, found: &mut Findings) {
    use chockstone_schema::model::axle::TurningEffect;
    for turning in ctx
        .views
        .iter()
        .flat_map(|v| &v.axles)
        .filter_map(|a| a.turning.as_ref())
    {
        if turning.value.effect == TurningEffect::NotKnown {
            found.add(
                format!("{}/effect", turning.place),
                "No source says what turning this axle does.",
                "Ask the maker; until then treat it as one that must not turn.",
            );
        }
    }
}

fn not_stated(ctx: &Context<'_>, found: &mut Findings) {
    for axle in ctx
        .views
        .iter()
        .flat_map(|v| &v.axles)
        .filter(|a| a.motor.is_none())
    {
        found.add(
            axle.place(),
            format!(
                "Whether the axle {} has a drive motor is not stated.",
                axle.axle.id
            ),
            "State the motor, or that there is none.",
        );
    }
}

fn unexplained(ctx: &Context<'_>, found: &mut Findings) {
    use chockstone_schema::model::axle::MotorKind;
    for motor in ctx
        .views
        .iter()
        .flat_map(|v| &v.axles)
        .filter_map(|a| a.motor.as_ref())
    {
        if motor.value.kind == MotorKind::Disconnectable && motor.value.how.is_none() {
            found.add(
                &motor.place,
                "The motor can be disconnected, and how to do it or tell it is not stated.",
                "Describe how it is disconnected and how a crew can tell.",
            );
        }
    }
}

fn without_rule(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        for axle in view.axles.iter().filter(|a| a.has_motor()) {
            let ways: &[TransportMethod] = if axle.index == 0 {
                &[RearLift, AllWheelsGround]
            } else {
                &[FrontLift, AllWheelsGround]
            };
            let ruled = ctx
                .profile
                .transport
                .rules
                .iter()
                .any(|r| ways.contains(&r.method) && view.has(&r.variants));
            if !ruled {
                found.add(
                    axle.motor
                        .as_ref()
                        .map_or_else(|| axle.place(), |m| m.place.clone()),
                    format!(
                        "No transport rule speaks of a method that turns the driven axle {}.",
                        axle.axle.id
                    ),
                    "Add a rule that forbids or limits it, with its source.",
                );
            }
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "motor-without-turning",
        "a motor alone",
        r#"{"/axles/1/turning": null}"#,
        "/axles/1",
    ),
    pass(
        "motor-without-turning",
        "no motor",
        r#"{"/axles/0/turning": null}"#,
    ),
    fail(
        "motor-without-rule",
        "no rule for a front lift",
        r#"{"/transport/rules/1": null}"#,
        "/axles/1/motor",
    ),
    pass("motor-without-rule", "a rule that forbids it", "{}"),
    fail(
        "turning-not-known",
        "an unknown effect",
        r#"{"/axles/0/turning/effect": "not_known"}"#,
        "/axles/0/turning/effect",
    ),
    pass("turning-not-known", "a known effect", "{}"),
    fail(
        "motor-not-stated",
        "an axle without a word",
        r#"{"/axles/0/motor": null}"#,
        "/axles/0",
    ),
    pass("motor-not-stated", "an axle stated to have none", "{}"),
    fail(
        "disconnect-unexplained",
        "no how",
        r#"{"/axles/1/motor/kind": "disconnectable"}"#,
        "/axles/1/motor",
    ),
    pass(
        "disconnect-unexplained",
        "a how",
        r#"{"/axles/1/motor/kind": "disconnectable", "/axles/1/motor/how": {"en": "By lever."}}"#,
    ),
];

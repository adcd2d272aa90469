//! A step that asks for gloves of class 00 on a vehicle above their limit.
//!
//! ASTM D120 class 00: 500 V AC (trade tables, second-hand) and 750 V DC (from memory), so this only warns.

use super::prelude::*;
use chockstone_schema::model::energy::Current;

pub(super) static RULES: &[Rule] = &[profile(
    "glove-class-too-low",
    "Gloves of class 00 asked for above 500 V AC or 750 V DC.",
    Warning,
    GLOVE_CLASSES,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let Some(system) = &ctx.profile.energy.high_voltage else {
        return;
    };
    let most = match system.current {
        Current::Dc => 750.0,
        Current::Ac => 500.0,
    };
    let voltages = ctx
        .views
        .iter()
        .flat_map(|v| [&v.working_voltage, &v.maximum_voltage])
        .flatten();
    let Some(highest) = voltages
        .max_by(|a, b| a.si().total_cmp(&b.si()))
        .filter(|v| v.si() > most)
    else {
        return;
    };
    for (place, text) in ctx.walk.texts.mentioning(&["class 00", "clase 00"]) {
        if words::has(text, &["class 00", "clase 00"]) {
            found
                .add(
                    place,
                    "Gloves of class 00 are not made for this voltage.",
                    "Ask for class 0, which goes to 1,000 V AC and 1,500 V DC.",
                )
                .computed(highest.value.value.to_string())
                .limit(format::volts(most));
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "glove-class-too-low",
        "class 00 at 800 V",
        r#"{"/energy/high_voltage/maximum_voltage/value": [800, "V"], "/procedures/0/steps/0/tools": [{"en": "Insulating gloves, class 00"}]}"#,
        "/procedures/0/steps/0/tools/0",
    ),
    pass(
        "glove-class-too-low",
        "class 0 at 800 V",
        r#"{"/energy/high_voltage/maximum_voltage/value": [800, "V"], "/procedures/0/steps/0/tools": [{"en": "Insulating gloves, class 0"}]}"#,
    ),
    pass(
        "glove-class-too-low",
        "class 00 at 403 V",
        r#"{"/procedures/0/steps/0/tools": [{"en": "Insulating gloves, class 00"}]}"#,
    ),
];

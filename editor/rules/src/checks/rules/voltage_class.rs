//! High voltage is above 60 V DC or 30 V AC; below it is not, above 1,500 V DC or 1,000 V AC is another class still.
//!
//! 49 CFR 571.305 S3, read (60 V and 30 V themselves are not high voltage). The upper end is ISO 6469-3 class B, from
//! memory, so it only warns.

use super::prelude::*;
use chockstone_schema::model::{advice::Topic, energy::Current};

pub(super) static RULES: &[Rule] = &[
    profile(
        "low-voltage-called-high",
        "A pack at or below 60 V DC or 30 V AC described as high voltage.",
        Blocking,
        HIGH_VOLTAGE,
        too_low,
    ),
    profile(
        "voltage-above-class-b",
        "A voltage above 1,500 V DC or 1,000 V AC.",
        Warning,
        CLASS_B,
        too_high,
    ),
    profile(
        "working-above-maximum-voltage",
        "A working voltage above the maximum.",
        Blocking,
        LOGIC,
        order,
    ),
];

/// Whether a voltage counts as high.
pub(super) fn is_high(volts: f64, current: Current) -> bool {
    volts > limit(current)
}

fn limit(current: Current) -> f64 {
    match current {
        Current::Dc => 60.0,
        Current::Ac => 30.0,
    }
}

const HIGH: &[&str] = &["high voltage", "high-voltage", "alta tensión"];
/// Sentences that say it is not; "do not touch high voltage" is not one of them.
const NOT_HIGH: &[&str] = &[
    "not high voltage",
    "not high-voltage",
    "not a high-voltage",
    "no high voltage",
    "no high-voltage",
    "isn't high voltage",
    "no es alta tensión",
    "no es de alta tensión",
    "no tiene alta tensión",
    "no hay alta tensión",
    "sin alta tensión",
];

fn too_low(ctx: &Context<'_>, found: &mut Findings) {
    let Some(system) = &ctx.profile.energy.high_voltage else {
        return;
    };
    for view in &ctx.views {
        let stated = [&view.maximum_voltage, &view.working_voltage];
        let Some(highest) = stated
            .into_iter()
            .flatten()
            .max_by(|a, b| a.si().total_cmp(&b.si()))
        else {
            continue;
        };
        let called_high = ctx.profile.hazards.iter().any(|h| {
            h.topics.contains(&Topic::HighVoltage)
                || h.hazard
                    .iter()
                    .any(|(_, s)| words::sentence_has_without(&words::plain(s), &[HIGH], NOT_HIGH))
        });
        if called_high && !is_high(highest.si(), system.current) {
            found
                .add(
                    highest.number(),
                    "The pack is not high voltage, yet hazard messages call it so.",
                    "Correct the voltage, or take the high-voltage messages away.",
                )
                .computed(highest.value.value.to_string())
                .limit(format!("above {}", format::volts(limit(system.current))));
        }
    }
}

fn too_high(ctx: &Context<'_>, found: &mut Findings) {
    let Some(system) = &ctx.profile.energy.high_voltage else {
        return;
    };
    let most = match system.current {
        Current::Dc => 1500.0,
        Current::Ac => 1000.0,
    };
    for voltage in ctx
        .views
        .iter()
        .flat_map(|v| [&v.working_voltage, &v.maximum_voltage])
        .flatten()
    {
        if voltage.si() > most {
            found
                .add(
                    voltage.number(),
                    "The voltage is above the class that vehicles belong to.",
                    "Look at the figure in its source.",
                )
                .computed(voltage.value.value.to_string())
                .limit(format::volts(most));
        }
    }
}

fn order(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        if let (Some(working), Some(maximum)) = (&view.working_voltage, &view.maximum_voltage)
            && working.si() > maximum.si()
        {
            found
                .add(
                    working.number(),
                    "The working voltage is above the maximum.",
                    "Look at both figures in their sources.",
                )
                .computed(working.value.value.to_string())
                .limit(maximum.value.value.to_string());
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "low-voltage-called-high",
        "60.0 V DC, called high",
        r#"{"/energy/high_voltage/working_voltage/value": [60, "V"], "/energy/high_voltage/maximum_voltage": null}"#,
        "/energy/high_voltage/working_voltage/value",
    ),
    pass(
        "low-voltage-called-high",
        "60.1 V DC",
        r#"{"/energy/high_voltage/working_voltage/value": [60.1, "V"], "/energy/high_voltage/maximum_voltage": null}"#,
    ),
    fail(
        "low-voltage-called-high",
        "30 V AC",
        r#"{"/energy/high_voltage/working_voltage/value": [30, "V"], "/energy/high_voltage/maximum_voltage": null, "/energy/high_voltage/current": "ac"}"#,
        "/energy/high_voltage/working_voltage/value",
    ),
    pass(
        "low-voltage-called-high",
        "31 V AC",
        r#"{"/energy/high_voltage/working_voltage/value": [31, "V"], "/energy/high_voltage/maximum_voltage": null, "/energy/high_voltage/current": "ac"}"#,
    ),
    fail(
        "low-voltage-called-high",
        "a 48 V pack",
        r#"{"/energy/high_voltage/working_voltage/value": [44, "V"], "/energy/high_voltage/maximum_voltage/value": [48, "V"]}"#,
        "/energy/high_voltage/maximum_voltage/value",
    ),
    pass(
        "low-voltage-called-high",
        "54 V said not to be high voltage",
        r#"{"/energy/high_voltage/working_voltage/value": [48, "V"], "/energy/high_voltage/maximum_voltage/value": [54, "V"], "/hazards/0/topics": [], "/hazards/0/hazard": {"en": "This is not high voltage.", "es": "No es alta tensión."}}"#,
    ),
    fail(
        "low-voltage-called-high",
        "54 V and parts of high voltage that nobody may touch",
        r#"{"/energy/high_voltage/working_voltage/value": [48, "V"], "/energy/high_voltage/maximum_voltage/value": [54, "V"], "/hazards/0/topics": [], "/hazards/0/hazard": {"en": "Do not touch high-voltage parts."}}"#,
        "/energy/high_voltage/maximum_voltage/value",
    ),
    pass(
        "voltage-above-class-b",
        "1,500 V DC",
        r#"{"/energy/high_voltage/maximum_voltage/value": [1.5, "kV"]}"#,
    ),
    fail(
        "voltage-above-class-b",
        "1,501 V DC",
        r#"{"/energy/high_voltage/maximum_voltage/value": [1501, "V"]}"#,
        "/energy/high_voltage/maximum_voltage/value",
    ),
    fail(
        "working-above-maximum-voltage",
        "410 V working of 403 V",
        r#"{"/energy/high_voltage/working_voltage/value": [410, "V"]}"#,
        "/energy/high_voltage/working_voltage/value",
    ),
    pass(
        "working-above-maximum-voltage",
        "both alike",
        r#"{"/energy/high_voltage/working_voltage/value": [403, "V"]}"#,
    ),
];

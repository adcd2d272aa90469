//! After a crash at least one criterion must hold: low voltage, or too little energy to harm.
//!
//! UN R94, 5.2.8, quoted: 60 V DC or 30 V AC, or energy, or protection, or insulation. The energy limit differs between
//! editions (GTR 20: below 0.2 J, by NTSB; an older R94: 2.0 J), so an energy needs the name of its regulation.

use super::prelude::*;
use chockstone_schema::model::energy::PostCrash;

pub(super) static RULES: &[Rule] = &[
    profile(
        "post-crash-limits",
        "Declared values after a crash of which none keeps to its limit.",
        Blocking,
        POST_CRASH,
        limits,
    ),
    profile(
        "post-crash-energy-without-regulation",
        "An energy limit after a crash without its regulation.",
        Blocking,
        POST_CRASH,
        unnamed,
    ),
];

const PLACE: &str = "/energy/high_voltage/limits";

fn stated<'p>(ctx: &Context<'p>) -> Option<&'p PostCrash> {
    ctx.profile.energy.high_voltage.as_ref()?.limits.as_ref()
}

/// The energy limit in joules of the regulation that is named, if it is one we know.
fn energy_limit(regulation: &str) -> Option<f64> {
    let name: String = regulation
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .collect();
    if name.contains("gtr20") {
        Some(0.2)
    } else if name.contains("r94") {
        Some(2.0)
    } else {
        None
    }
}

fn limits(ctx: &Context<'_>, found: &mut Findings) {
    let (Some(stated), Some(system)) = (stated(ctx), &ctx.profile.energy.high_voltage) else {
        return;
    };
    let low_voltage = stated
        .voltage
        .as_ref()
        .map(|v| !super::voltage_class::is_high(v.si(), system.current));
    let most = stated
        .regulation
        .as_ref()
        .and_then(|r| energy_limit(r.as_str()));
    let low_energy = stated
        .energy
        .as_ref()
        .zip(most)
        .map(|(e, most)| e.si() < most);
    let unknown_energy = stated.energy.is_some() && most.is_none();
    let any_good = low_voltage == Some(true) || low_energy == Some(true);
    let any_judged = low_voltage.is_some() || low_energy.is_some();
    if any_judged && !any_good && !unknown_energy {
        let voltage = stated.voltage.as_ref().map(|v| v.value.to_string());
        let energy = stated.energy.as_ref().map(|e| e.value.to_string());
        let figures: Vec<String> = voltage.into_iter().chain(energy).collect();
        let energy = most.map_or_else(String::new, |m| format!(", or less than {m} J"));
        found
            .add(PLACE, "None of the declared values keeps to its limit after a crash.", "Look at the declaration: one criterion must hold, or protection or insulation instead.")
            .computed(figures.join(", "))
            .limit(format!("60 V DC or 30 V AC{energy}"));
    }
}

fn unnamed(ctx: &Context<'_>, found: &mut Findings) {
    if let Some(energy) = stated(ctx)
        .filter(|s| s.regulation.is_none())
        .and_then(|s| s.energy.as_ref())
    {
        found
            .add(
                format!("{PLACE}/energy/value"),
                "The energy limit names no regulation, and regulations differ: 0.2 J or 2.0 J.",
                "Name the regulation and its edition.",
            )
            .computed(energy.value.to_string());
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    pass(
        "post-crash-limits",
        "59 V and 3 J",
        r#"{"/energy/high_voltage/limits": {"regulation": "GTR 20", "voltage": {"value": [59, "V"], "source": "manual"}, "energy": {"value": [3, "J"], "source": "manual"}}}"#,
    ),
    pass(
        "post-crash-limits",
        "61 V and 0.19 J by GTR 20",
        r#"{"/energy/high_voltage/limits": {"regulation": "GTR 20", "voltage": {"value": [61, "V"], "source": "manual"}, "energy": {"value": [0.19, "J"], "source": "manual"}}}"#,
    ),
    fail(
        "post-crash-limits",
        "61 V and 0.20 J by GTR 20",
        r#"{"/energy/high_voltage/limits": {"regulation": "GTR 20", "voltage": {"value": [61, "V"], "source": "manual"}, "energy": {"value": [0.2, "J"], "source": "manual"}}}"#,
        "/energy/high_voltage/limits",
    ),
    pass(
        "post-crash-limits",
        "1.5 J by an older R94",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94, older text", "energy": {"value": [1.5, "J"], "source": "manual"}}}"#,
    ),
    fail(
        "post-crash-energy-without-regulation",
        "0.2 J alone",
        r#"{"/energy/high_voltage/limits": {"energy": {"value": [0.2, "J"], "source": "manual"}}}"#,
        "/energy/high_voltage/limits/energy/value",
    ),
    pass(
        "post-crash-energy-without-regulation",
        "a regulation named",
        r#"{"/energy/high_voltage/limits": {"regulation": "GTR 20", "energy": {"value": [0.1, "J"], "source": "manual"}}}"#,
    ),
];

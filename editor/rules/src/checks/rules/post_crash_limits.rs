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
        "post-crash-not-judged",
        "An energy after a crash that depends on the edition, or whose regulation is not known.",
        Warning,
        POST_CRASH,
        not_judged,
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

/// What an energy is held against.
#[derive(Clone, Copy, PartialEq)]
enum Energy {
    Good,
    Bad,
    /// Good by one edition of the regulation and bad by another.
    ByEdition,
    /// The regulation is none of those known here.
    NotJudged,
}

/// The least and the greatest energy limit in joules among the editions of a regulation, if it is one we know.
fn energy_limits(regulation: &str) -> Option<(f64, f64)> {
    let name: String = regulation
        .to_lowercase()
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .collect();
    if name.contains("gtr20") {
        Some((0.2, 0.2))
    } else if name.contains("r94") {
        Some((0.2, 2.0))
    } else {
        None
    }
}

fn judge_energy(stated: &PostCrash) -> Option<Energy> {
    let joules = stated.energy.as_ref()?.si();
    let limits = stated
        .regulation
        .as_ref()
        .and_then(|r| energy_limits(r.as_str()));
    Some(match limits {
        None => Energy::NotJudged,
        Some((least, _)) if joules < least => Energy::Good,
        Some((_, most)) if joules >= most => Energy::Bad,
        Some(_) => Energy::ByEdition,
    })
}

fn low_voltage(ctx: &Context<'_>, stated: &PostCrash) -> Option<bool> {
    let current = ctx.profile.energy.high_voltage.as_ref()?.current;
    let volts = stated.voltage.as_ref()?.si();
    Some(!super::voltage_class::is_high(volts, current))
}

fn not_judged(ctx: &Context<'_>, found: &mut Findings) {
    let Some(stated) = stated(ctx).filter(|s| s.regulation.is_some()) else {
        return;
    };
    let message = match judge_energy(stated) {
        Some(Energy::ByEdition) => {
            "Editions of this regulation differ, 0.2 J or 2.0 J, and the energy lies between: which edition is meant?"
        }
        Some(Energy::NotJudged) => {
            "The energy limit of this regulation is not known here, so the energy was not judged."
        }
        _ => return,
    };
    if low_voltage(ctx, stated) != Some(true) {
        found
            .add(
                format!("{PLACE}/regulation"),
                message,
                "Look the limit up in the edition that the maker declares, and have somebody else look too.",
            )
            .computed(stated.energy.as_ref().map_or_else(String::new, |e| e.value.to_string()));
    }
}

fn limits(ctx: &Context<'_>, found: &mut Findings) {
    let Some(stated) = stated(ctx) else {
        return;
    };
    let low_voltage = low_voltage(ctx, stated);
    let energy = judge_energy(stated);
    let most = stated
        .regulation
        .as_ref()
        .and_then(|r| energy_limits(r.as_str()));
    let bad_voltage = low_voltage == Some(false) && matches!(energy, None | Some(Energy::Bad));
    let bad_energy = energy == Some(Energy::Bad) && low_voltage != Some(true);
    if bad_voltage || bad_energy {
        let voltage = stated.voltage.as_ref().map(|v| v.value.to_string());
        let energy = stated.energy.as_ref().map(|e| e.value.to_string());
        let figures: Vec<String> = voltage.into_iter().chain(energy).collect();
        let energy = most.map_or_else(String::new, |(_, m)| format!(", or less than {m:.1} J"));
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
    fail(
        "post-crash-limits",
        "400 V and 2.0 J by R94",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94", "voltage": {"value": [400, "V"], "source": "manual"}, "energy": {"value": [2, "J"], "source": "manual"}}}"#,
        "/energy/high_voltage/limits",
    ),
    pass(
        "post-crash-limits",
        "0.19 J by R94",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94", "energy": {"value": [0.19, "J"], "source": "manual"}}}"#,
    ),
    fail(
        "post-crash-not-judged",
        "400 V and 1.9 J by R94 without its edition",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94", "voltage": {"value": [400, "V"], "source": "manual"}, "energy": {"value": [1.9, "J"], "source": "manual"}}}"#,
        "/energy/high_voltage/limits/regulation",
    ),
    fail(
        "post-crash-not-judged",
        "500 J by a regulation whose limit is not known here",
        r#"{"/energy/high_voltage/limits": {"regulation": "FMVSS 305a", "voltage": {"value": [400, "V"], "source": "manual"}, "energy": {"value": [500, "J"], "source": "manual"}}}"#,
        "/energy/high_voltage/limits/regulation",
    ),
    pass(
        "post-crash-not-judged",
        "0.19 J by R94",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94", "energy": {"value": [0.19, "J"], "source": "manual"}}}"#,
    ),
    pass(
        "post-crash-not-judged",
        "59 V, whatever the energy",
        r#"{"/energy/high_voltage/limits": {"regulation": "UN R94", "voltage": {"value": [59, "V"], "source": "manual"}, "energy": {"value": [1.9, "J"], "source": "manual"}}}"#,
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

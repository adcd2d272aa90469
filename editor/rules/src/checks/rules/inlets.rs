//! Charging inlets that claim what their standard cannot do.
//!
//! SAE J1772 and the combined inlet on it are single phase (second-hand); mode 4 of IEC 61851-1 is direct current from
//! outside (second-hand).

use super::prelude::*;
use chockstone_schema::model::energy::{ChargeMode, Inlet, InletStandard};

pub(super) static RULES: &[Rule] = &[
    profile(
        "inlet-phases",
        "A single-phase inlet with more phases.",
        Blocking,
        INLETS,
        phases,
    ),
    profile(
        "mode-4-with-ac",
        "Mode 4 alone with alternating current on board.",
        Blocking,
        MODES,
        mode_4,
    ),
    profile(
        "ac-inlet-with-mode-4",
        "An inlet without direct current pins and mode 4.",
        Blocking,
        INLETS,
        ac_inlet,
    ),
];

fn each<'p>(ctx: &Context<'p>) -> impl Iterator<Item = (String, &'p Inlet)> {
    ctx.profile
        .energy
        .inlets
        .iter()
        .enumerate()
        .map(|(i, inlet)| (format!("/energy/inlets/{i}"), inlet))
}

fn phases(ctx: &Context<'_>, found: &mut Findings) {
    for (place, inlet) in each(ctx) {
        let single = matches!(
            inlet.standard,
            InletStandard::SaeJ1772 | InletStandard::Ccs1
        );
        if let Some(phases) = inlet.phases.filter(|p| single && *p > 1) {
            found
                .add(
                    format!("{place}/phases"),
                    "SAE J1772, also inside the combined inlet, has one phase.",
                    "State one phase, or another standard.",
                )
                .computed(phases.to_string())
                .limit("1");
        }
    }
}

fn mode_4(ctx: &Context<'_>, found: &mut Findings) {
    for (place, inlet) in each(ctx) {
        let only_4 = !inlet.modes.is_empty() && inlet.modes.iter().all(|m| *m == ChargeMode::Mode4);
        if only_4 && inlet.onboard_ac == Some(true) {
            found.add(format!("{place}/modes"), "Mode 4 is direct current from outside; alternating current on board needs mode 1, 2 or 3.", "Add the modes that the vehicle has, or say that no alternating current is taken.");
        }
    }
}

fn ac_inlet(ctx: &Context<'_>, found: &mut Findings) {
    for (place, inlet) in each(ctx) {
        if inlet.standard == InletStandard::SaeJ1772 && inlet.modes.contains(&ChargeMode::Mode4) {
            found.add(
                format!("{place}/modes"),
                "SAE J1772 alone has no pins for direct current, so mode 4 is impossible there.",
                "State the combined inlet, or take mode 4 away.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "inlet-phases",
        "CCS1 with three phases",
        r#"{"/energy/inlets/0/phases": 3}"#,
        "/energy/inlets/0/phases",
    ),
    pass(
        "inlet-phases",
        "CCS2 with three phases",
        r#"{"/energy/inlets/0/phases": 3, "/energy/inlets/0/standard": "ccs2"}"#,
    ),
    fail(
        "mode-4-with-ac",
        "mode 4 alone",
        r#"{"/energy/inlets/0/modes": ["mode4"]}"#,
        "/energy/inlets/0/modes",
    ),
    pass("mode-4-with-ac", "mode 3 too", "{}"),
    fail(
        "ac-inlet-with-mode-4",
        "SAE J1772 with mode 4",
        r#"{"/energy/inlets/0/standard": "sae_j1772"}"#,
        "/energy/inlets/0/modes",
    ),
    pass("ac-inlet-with-mode-4", "CCS1 with mode 4", "{}"),
];

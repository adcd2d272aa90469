//! What a profile must hold of energy, emergencies and moving before a crew can rely on it.
//!
//! ISO 17840-3:2019, abstract, and 49 CFR 172.602, read: fire, submersion, towing, transport and storage belong into
//! emergency information.

use super::missing::need;
use super::prelude::*;
use chockstone_schema::model::{
    advice::TransportMethod as M, axle::MotorKind, identity::Propulsion, procedure::Purpose,
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "missing-energy",
        "No high-voltage system, or none of its voltage and energy.",
        Blocking,
        RESPONSE_CONTENT,
        energy,
    ),
    profile(
        "missing-pack-place",
        "No place of the pack.",
        Blocking,
        RESPONSE_CONTENT,
        pack,
    ),
    profile(
        "missing-low-voltage",
        "No low-voltage system.",
        Blocking,
        LOGIC,
        |c, f| {
            need(
                c.profile.energy.low_voltage.is_some(),
                "/energy",
                "The low-voltage system is not described; it wakes, opens and shifts the vehicle.",
                "Describe its kind, voltage and place, and what happens when it is flat.",
                f,
            );
        },
    ),
    profile(
        "missing-ready",
        "No word of how to tell that the vehicle is ready.",
        Blocking,
        LOGIC,
        |c, f| {
            need(
                c.profile.energy.ready_indication.is_some(),
                "/energy",
                "How to tell that the vehicle may move under its own power is not described.",
                "Describe the ready indication.",
                f,
            );
        },
    ),
    profile(
        "missing-waits",
        "No waiting times after shut-off.",
        Warning,
        NHTSA,
        |c, f| {
            need(
                c.profile.energy.waits.is_some() || c.profile.energy.high_voltage.is_none(),
                "/energy",
                "No waiting times after shut-off are stated.",
                "State how long restraints and the circuit outside the pack stay live.",
                f,
            );
        },
    ),
    profile(
        "missing-fire-advice",
        "No advice for fire.",
        Blocking,
        RESPONSE_CONTENT,
        fire,
    ),
    profile(
        "missing-submersion-advice",
        "No advice for water.",
        Blocking,
        RESPONSE_CONTENT,
        submersion,
    ),
    profile(
        "missing-storage-advice",
        "No advice for storage.",
        Blocking,
        RESPONSE_CONTENT,
        storage,
    ),
    profile(
        "missing-transport-rule",
        "No rule for a carrier or for towing from an end.",
        Blocking,
        RESPONSE_CONTENT,
        transport,
    ),
    profile(
        "missing-procedure",
        "No procedure that a crew needs.",
        Blocking,
        LOGIC,
        procedures,
    ),
    profile(
        "missing-return-to-service",
        "Debts and no procedure for return to service.",
        Warning,
        LOGIC,
        return_to_service,
    ),
];

fn is_electric(ctx: &Context<'_>) -> bool {
    use Propulsion as P;
    matches!(
        ctx.profile.identity.propulsion,
        P::Electric | P::ElectricPetrol | P::ElectricDiesel | P::HydrogenElectric
    )
}

fn energy(ctx: &Context<'_>, found: &mut Findings) {
    if !is_electric(ctx) {
        return;
    }
    if ctx.profile.energy.high_voltage.is_none() {
        found.add(
            "/energy",
            "The high-voltage system is not described.",
            "Enter its voltages, energy, chemistry and place.",
        );
        return;
    }
    for view in &ctx.views {
        need(
            view.capacity.is_some(),
            "/energy/high_voltage",
            "The energy of the pack is not stated.",
            "Take it from the maker's document.",
            found,
        );
        let voltage = view.working_voltage.is_some() || view.maximum_voltage.is_some();
        need(
            voltage,
            "/energy/high_voltage",
            "The voltage of the pack is not stated.",
            "Take it from the maker's document.",
            found,
        );
    }
}

fn pack(ctx: &Context<'_>, found: &mut Findings) {
    if let Some(system) = &ctx.profile.energy.high_voltage {
        let placed = system
            .packs
            .iter()
            .any(|p| p.plan.is_some() || p.side.is_some());
        need(
            placed,
            "/energy/high_voltage",
            "Where the pack is, is not drawn.",
            "Draw the pack in one of the views.",
            found,
        );
    }
}

fn fire(ctx: &Context<'_>, found: &mut Findings) {
    let have = ctx
        .profile
        .emergency
        .fire
        .as_ref()
        .is_some_and(|f| !f.advice.is_empty());
    need(
        have,
        "/emergency",
        "There is no advice for smoke, heat or fire.",
        "Enter what a crew does and does not do, with its source.",
        found,
    );
}

fn submersion(ctx: &Context<'_>, found: &mut Findings) {
    let have = ctx
        .profile
        .emergency
        .submersion
        .as_ref()
        .is_some_and(|s| !s.advice.is_empty());
    need(
        have,
        "/emergency",
        "There is no advice for a vehicle in or from water.",
        "Enter what a crew does and does not do, with its source.",
        found,
    );
}

fn storage(ctx: &Context<'_>, found: &mut Findings) {
    let have = ctx
        .profile
        .emergency
        .storage
        .as_ref()
        .is_some_and(|s| s.distance.is_some());
    need(
        have,
        "/emergency",
        "Where and how far from everything a damaged vehicle is stored is not stated.",
        "Enter the place and a distance of 50 ft or 15 m at least.",
        found,
    );
}

fn transport(ctx: &Context<'_>, found: &mut Findings) {
    let ways: [(&[M], &str); 3] = [
        (&[M::Carrier], "a carrier"),
        (
            &[M::FrontLift, M::FrontLiftDollies],
            "towing with the front raised",
        ),
        (
            &[M::RearLift, M::RearLiftDollies],
            "towing with the rear raised",
        ),
    ];
    for view in &ctx.views {
        for (methods, name) in ways {
            let ruled = ctx
                .profile
                .transport
                .rules
                .iter()
                .any(|r| methods.contains(&r.method) && view.has(&r.variants));
            if !ruled {
                found.add(
                    "/transport",
                    format!("No rule{} allows or forbids {name}.", view.of_variant()),
                    "Enter the rule with its source; forbidden is an answer too.",
                );
            }
        }
    }
    // An axle that can be disconnected tempts crews; the rule must say under which method.
    let disconnects = ctx.views.iter().flat_map(|v| &v.axles).any(|a| {
        a.motor
            .as_ref()
            .is_some_and(|m| m.value.kind == MotorKind::Disconnectable)
    });
    if disconnects
        && !ctx
            .profile
            .transport
            .rules
            .iter()
            .any(|r| r.method == M::AllWheelsGround)
    {
        found
            .add(
                "/transport",
                "An axle can be disconnected, and no rule speaks of towing on all wheels.",
                "Enter the rule with its limits, or forbid it.",
            )
            .severity(Warning);
    }
}

fn procedures(ctx: &Context<'_>, found: &mut Findings) {
    let groups: [(&[Purpose], &str); 4] = [
        (&[Purpose::Open], "open the vehicle"),
        (&[Purpose::ShiftNeutral], "get it into neutral"),
        (&[Purpose::Load, Purpose::Secure], "load or secure it"),
        (
            &[Purpose::JumpStart, Purpose::Wake],
            "wake it when low voltage is flat",
        ),
    ];
    let place = if ctx.profile.procedures.is_empty() {
        ""
    } else {
        "/procedures"
    };
    for view in &ctx.views {
        for (purposes, name) in groups {
            let have = ctx
                .profile
                .procedures
                .iter()
                .any(|p| purposes.contains(&p.purpose) && view.has(&p.variants));
            if !have {
                found.add(
                    place,
                    format!("No procedure{} tells how to {name}.", view.of_variant()),
                    "Describe it step by step, with its source.",
                );
            }
        }
    }
}

fn return_to_service(ctx: &Context<'_>, found: &mut Findings) {
    let have = ctx
        .profile
        .procedures
        .iter()
        .any(|p| p.purpose == Purpose::ReturnToService);
    need(
        have || ctx.profile.debts.is_empty(),
        "/debts",
        "Things are opened or removed, and no procedure puts the vehicle back into service.",
        "Add a procedure for return to service that settles them.",
        found,
    );
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "missing-energy",
        "no system",
        r#"{"/energy/high_voltage": null}"#,
        "/energy",
    ),
    fail(
        "missing-energy",
        "no voltage",
        r#"{"/energy/high_voltage/working_voltage": null, "/energy/high_voltage/maximum_voltage": null}"#,
        "/energy/high_voltage",
    ),
    pass(
        "missing-energy",
        "a petrol vehicle",
        r#"{"/energy/high_voltage": null, "/identity/propulsion": "petrol"}"#,
    ),
    fail(
        "missing-pack-place",
        "no drawing",
        r#"{"/energy/high_voltage/packs/0/plan": null}"#,
        "/energy/high_voltage",
    ),
    pass("missing-pack-place", "a drawing", "{}"),
    fail(
        "missing-low-voltage",
        "nothing",
        r#"{"/energy/low_voltage": null}"#,
        "/energy",
    ),
    pass("missing-low-voltage", "a battery", "{}"),
    fail(
        "missing-ready",
        "nothing",
        r#"{"/energy/ready_indication": null}"#,
        "/energy",
    ),
    pass("missing-ready", "a lamp", "{}"),
    fail(
        "missing-waits",
        "nothing",
        r#"{"/energy/waits": null}"#,
        "/energy",
    ),
    pass("missing-waits", "waits", "{}"),
    fail(
        "missing-fire-advice",
        "nothing",
        r#"{"/emergency/fire": null}"#,
        "/emergency",
    ),
    pass("missing-fire-advice", "advice", "{}"),
    fail(
        "missing-submersion-advice",
        "no advice",
        r#"{"/emergency/submersion/advice": null}"#,
        "/emergency",
    ),
    pass("missing-submersion-advice", "advice", "{}"),
    fail(
        "missing-storage-advice",
        "no distance",
        r#"{"/emergency/storage/distance": null}"#,
        "/emergency",
    ),
    pass("missing-storage-advice", "a distance", "{}"),
    fail(
        "missing-transport-rule",
        "nothing of a carrier",
        r#"{"/transport/rules/0": null}"#,
        "/transport",
    ),
    fail(
        "missing-transport-rule",
        "nothing of all wheels",
        r#"{"/axles/1/motor/kind": "disconnectable"}"#,
        "/transport",
    )
    .worth(Warning),
    pass("missing-transport-rule", "three rules", "{}"),
    fail(
        "missing-procedure",
        "nobody opens",
        r#"{"/procedures/0/purpose": "other"}"#,
        "/procedures",
    ),
    pass("missing-procedure", "all four", "{}"),
    fail(
        "missing-return-to-service",
        "a debt alone",
        r#"{"/procedures/6/purpose": "other"}"#,
        "/debts",
    ),
    pass(
        "missing-return-to-service",
        "no debts",
        r#"{"/debts": null, "/procedures/1/steps/0/opens": null, "/procedures/6": null}"#,
    ),
];

//! What a profile needs before a crew can rely on it.
//!
//! ISO 17840-3:2019, abstract, and 49 CFR 172.602, read: fire, submersion, towing, transport and storage belong into
//! emergency information. The other rows are plain logic or common practice: without them a computation or a crew stops.

use super::prelude::*;
use chockstone_schema::model::{
    advice::TransportMethod as M,
    axle::MotorKind,
    identity::Propulsion,
    point::{PointKind, PointUse},
    procedure::Purpose,
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "missing-model-years",
        "No model years.",
        Blocking,
        LOGIC,
        |c, f| {
            need(
                c.profile.identity.model_years.is_some(),
                "/identity",
                "The model years are not stated.",
                "State the first and last model year.",
                f,
            )
        },
    ),
    profile(
        "missing-vin-pattern",
        "No pattern for vehicle numbers.",
        Warning,
        LOGIC,
        vin,
    ),
    profile(
        "missing-recognition",
        "No word of how to recognise the vehicle.",
        Warning,
        RESPONSE_CONTENT,
        |c, f| {
            need(
                c.profile.identity.recognition.is_some(),
                "/identity",
                "How to recognise the vehicle as electric is not described.",
                "Describe badges, lettering and inlet, and that silence does not mean off.",
                f,
            )
        },
    ),
    profile(
        "missing-dimensions",
        "No wheelbase, length, width or height.",
        Blocking,
        LOGIC,
        dimensions,
    ),
    profile(
        "missing-clearance",
        "No ground clearance or overhangs.",
        Note,
        PRACTICE,
        clearance,
    ),
    profile(
        "missing-outlines",
        "No side or plan outline.",
        Warning,
        PRACTICE,
        outlines,
    ),
    profile(
        "missing-axles",
        "Fewer than two axles.",
        Blocking,
        LOGIC,
        axles,
    ),
    profile(
        "missing-mass",
        "No weighing and no declared curb mass.",
        Blocking,
        LOGIC,
        mass,
    ),
    profile(
        "missing-gvwr",
        "No gross vehicle weight rating.",
        Blocking,
        LOGIC,
        gvwr,
    ),
    profile(
        "missing-axle-ratings",
        "No gross axle weight rating of an axle.",
        Warning,
        LOGIC,
        gawr,
    ),
    profile(
        "missing-weighing",
        "No complete weighing, so no centre of gravity.",
        Warning,
        LOGIC,
        weighing,
    ),
    profile(
        "missing-lift-points",
        "Fewer than four lift places, or all on one side.",
        Blocking,
        LIFT_POINTS,
        lift_points,
    ),
    profile(
        "missing-tie-down",
        "No tie-down point and no word of how to secure the vehicle.",
        Blocking,
        LOGIC,
        tie_down,
    ),
    profile(
        "missing-winch-point",
        "No point for a winch line.",
        Warning,
        PRACTICE,
        winch_point,
    ),
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
            )
        },
    ),
    profile(
        "missing-ready",
        "No word of how to tell that the vehicle is ready.",
        Blocking,
        RESPONSE_CONTENT,
        |c, f| {
            need(
                c.profile.energy.ready_indication.is_some(),
                "/energy",
                "How to tell that the vehicle may move under its own power is not described.",
                "Describe the ready indication.",
                f,
            )
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
            )
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
        RESPONSE_CONTENT,
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

fn need(have: bool, place: &str, message: &str, settle: &str, found: &mut Findings) {
    if !have {
        found.add(place, message, settle);
    }
}

fn vin(ctx: &Context<'_>, found: &mut Findings) {
    let variants = ctx
        .profile
        .variants
        .iter()
        .any(|v| !v.vin_patterns.is_empty());
    need(
        variants || !ctx.profile.identity.vin_patterns.is_empty(),
        "/identity",
        "No pattern for vehicle numbers is stated.",
        "Enter a pattern with the positions that maker and model share.",
        found,
    );
}

fn dimensions(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        let sizes = [
            ("wheelbase", &view.wheelbase),
            ("length", &view.length),
            ("width", &view.width),
            ("height", &view.height),
        ];
        for (name, _) in sizes.iter().filter(|(_, size)| size.is_none()) {
            found.add(
                "/dimensions",
                format!("The {name} is not stated."),
                format!("Measure the {name} or take it from the maker's document."),
            );
        }
    }
}

fn clearance(ctx: &Context<'_>, found: &mut Findings) {
    let d = &ctx.profile.dimensions;
    let complete = d.front_overhang.is_some()
        && d.rear_overhang.is_some()
        && ctx.views.iter().all(|v| v.ground_clearance.is_some());
    need(
        complete,
        "/dimensions",
        "Overhangs or ground clearance are not stated, so a ramp cannot be judged well.",
        "Measure both overhangs and the clearance.",
        found,
    );
}

fn outlines(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        need(
            view.side_outline.is_some(),
            "/dimensions",
            "There is no side outline.",
            "Start from a body style, or trace a picture.",
            found,
        );
        need(
            view.plan_outline.is_some(),
            "/dimensions",
            "There is no plan outline.",
            "Start from a body style, or trace a picture.",
            found,
        );
    }
}

fn axles(ctx: &Context<'_>, found: &mut Findings) {
    if ctx.profile.axles.len() < 2 {
        found
            .add(
                "",
                "Fewer than two axles are described.",
                "Describe every axle.",
            )
            .computed(ctx.profile.axles.len().to_string())
            .limit("2");
    }
}

fn mass(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        if computed.base.is_none() && view.curb_mass.is_none() {
            found.add(
                "/mass",
                format!("The mass{} is not known.", view.of_variant()),
                "Weigh the vehicle axle by axle, or enter the declared curb mass.",
            );
        }
    }
}

fn gvwr(ctx: &Context<'_>, found: &mut Findings) {
    for view in ctx.views.iter().filter(|v| v.gvwr.is_none()) {
        found.add(
            "/mass",
            format!(
                "The gross vehicle weight rating{} is not stated.",
                view.of_variant()
            ),
            "Take it from the certification label.",
        );
    }
}

fn gawr(ctx: &Context<'_>, found: &mut Findings) {
    for axle in ctx
        .views
        .iter()
        .flat_map(|v| &v.axles)
        .filter(|a| a.gawr.is_none())
    {
        found.add(
            axle.place(),
            format!("The rating of the axle {} is not stated.", axle.axle.id),
            "Take it from the certification label.",
        );
    }
}

fn weighing(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        if computed.x.is_none() {
            found.add(
                "/mass",
                format!("The centre of gravity{} is not known.", view.of_variant()),
                "Weigh the vehicle with a load for every axle.",
            );
        }
    }
}

fn lift_points(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        let places = super::lift_polygon::places(view);
        let (right, left) = (
            places.iter().filter(|[_, y]| *y > 0.0).count(),
            places.iter().filter(|[_, y]| *y < 0.0).count(),
        );
        if places.len() < 4 || right == 0 || left == 0 {
            let place = if ctx.profile.points.is_empty() {
                ""
            } else {
                "/points"
            };
            found
                .add(
                    place,
                    format!(
                        "The vehicle{} has fewer than four lift places, or all on one side.",
                        view.of_variant()
                    ),
                    "Enter two mirrored lift points, or four single ones.",
                )
                .computed(format!("{} right, {} left", right, left))
                .limit("4, on both sides");
        }
    }
}

fn tie_down(ctx: &Context<'_>, found: &mut Findings) {
    let point = ctx
        .profile
        .points
        .iter()
        .any(|p| p.uses.contains(&PointUse::TieDown) || p.kind == PointKind::TieDown);
    let told = ctx
        .profile
        .transport
        .securing
        .as_ref()
        .is_some_and(|s| s.instructions.is_some());
    need(
        point || told,
        "/transport",
        "Neither a tie-down point nor straps over the wheels are described.",
        "Enter the tie-down points, or say how straps go over the wheels.",
        found,
    );
}

fn winch_point(ctx: &Context<'_>, found: &mut Findings) {
    let point = ctx.profile.points.iter().any(|p| {
        p.uses
            .iter()
            .any(|u| matches!(u, PointUse::Winch | PointUse::Recover))
    });
    let place = if ctx.profile.points.is_empty() {
        ""
    } else {
        "/points"
    };
    need(
        point,
        place,
        "No point takes a winch line.",
        "Enter the tow eye or another point that the maker allows for winching.",
        found,
    );
}

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
        "missing-model-years",
        "no years",
        r#"{"/identity/model_years": null}"#,
        "/identity",
    ),
    pass("missing-model-years", "years", "{}"),
    fail(
        "missing-vin-pattern",
        "no pattern",
        r#"{"/identity/vin_patterns": null}"#,
        "/identity",
    ),
    pass("missing-vin-pattern", "a pattern", "{}"),
    fail(
        "missing-recognition",
        "no word",
        r#"{"/identity/recognition": null}"#,
        "/identity",
    ),
    pass("missing-recognition", "a word", "{}"),
    fail(
        "missing-dimensions",
        "no height",
        r#"{"/dimensions/height": null}"#,
        "/dimensions",
    ),
    pass("missing-dimensions", "all four", "{}"),
    fail(
        "missing-clearance",
        "no clearance",
        r#"{"/dimensions/ground_clearance": null}"#,
        "/dimensions",
    ),
    pass("missing-clearance", "all", "{}"),
    fail(
        "missing-outlines",
        "no plan",
        r#"{"/dimensions/plan_outline": null}"#,
        "/dimensions",
    ),
    pass("missing-outlines", "both", "{}"),
    fail(
        "missing-axles",
        "no axles",
        r#"{"/axles": null, "/mass/readings": null}"#,
        "",
    ),
    pass("missing-axles", "two axles", "{}"),
    fail(
        "missing-mass",
        "nothing",
        r#"{"/mass": {}, "/energy/high_voltage/packs/0/item": null}"#,
        "/mass",
    ),
    pass(
        "missing-mass",
        "a declared mass",
        r#"{"/mass/readings": null}"#,
    ),
    fail(
        "missing-gvwr",
        "no rating",
        r#"{"/mass/gvwr": null}"#,
        "/mass",
    ),
    pass("missing-gvwr", "a rating", "{}"),
    fail(
        "missing-axle-ratings",
        "no rating",
        r#"{"/axles/1/gawr": null}"#,
        "/axles/1",
    ),
    pass("missing-axle-ratings", "ratings", "{}"),
    fail(
        "missing-weighing",
        "a declared mass alone",
        r#"{"/mass/readings": null}"#,
        "/mass",
    ),
    pass("missing-weighing", "a weighing", "{}"),
    fail(
        "missing-lift-points",
        "two places",
        r#"{"/points/1/kind": "jack"}"#,
        "/points",
    ),
    fail(
        "missing-lift-points",
        "one side",
        r#"{"/points/0/mirrored": false, "/points/1/mirrored": false}"#,
        "/points",
    ),
    pass("missing-lift-points", "four places", "{}"),
    fail(
        "missing-tie-down",
        "neither points nor words",
        r#"{"/points/2/kind": "other", "/points/2/uses": [], "/points/3/kind": "other", "/points/3/uses": [], "/transport/securing/instructions": null}"#,
        "/transport",
    ),
    pass(
        "missing-tie-down",
        "straps over the wheels",
        r#"{"/points/2/kind": "other", "/points/2/uses": [], "/points/3/kind": "other", "/points/3/uses": []}"#,
    ),
    fail(
        "missing-winch-point",
        "no eye",
        r#"{"/points/4/uses": ["tow"]}"#,
        "/points",
    ),
    pass("missing-winch-point", "an eye", "{}"),
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
    .as_severity(Warning),
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

//! What a profile must hold of the vehicle itself before a crew can rely on it.
//!
//! Plain logic or common practice: without these parts a computation or a crew stops. What it must hold of energy,
//! emergencies and moving is in `missing_advice`.

use super::prelude::*;
use chockstone_schema::model::point::{PointKind, PointUse};

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
            );
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
        PRACTICE,
        |c, f| {
            need(
                c.profile.identity.recognition.is_some(),
                "/identity",
                "How to recognise the vehicle as electric is not described.",
                "Describe badges, lettering and inlet, and that silence does not mean off.",
                f,
            );
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
];

/// Finds what is missing at the part that should hold it.
pub(super) fn need(have: bool, place: &str, message: &str, settle: &str, found: &mut Findings) {
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
                .computed(format!("{right} right, {left} left"))
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
];

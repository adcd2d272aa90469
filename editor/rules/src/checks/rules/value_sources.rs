//! Every value that a crew acts on names its source; a tactic also needs its date; a measured one its ±.
//!
//! Plain logic: a value without a source cannot be checked by anybody. For tactics USFA and NHTSA, Response Operations Guide
//! of 2025-07-29, read: tactics are not all evidence-based, so a profile carries the source and date of each. A value inside a part that names its source rests on that source. The front axle is at
//! zero by definition.

use super::prelude::*;
use chockstone_schema::model::record::SourceKind;

pub(super) static RULES: &[Rule] = &[
    profile(
        "value-without-source",
        "A value without a source.",
        Blocking,
        LOGIC,
        values,
    ),
    profile(
        "statement-without-source",
        "A statement that a crew acts on without a source.",
        Blocking,
        LOGIC,
        statements,
    ),
    profile(
        "tactic-without-date",
        "A numeric tactic whose source has no date.",
        Blocking,
        SOURCES_DIFFER,
        tactics,
    ),
    profile(
        "measured-without-doubt",
        "A measured value without its ±.",
        Note,
        PRACTICE,
        doubt,
    ),
    profile(
        "outline-without-source",
        "Outlines without a source.",
        Warning,
        PRACTICE,
        outline,
    ),
];

const BY_DEFINITION: &str = "/axles/0/position";

fn values(ctx: &Context<'_>, found: &mut Findings) {
    for value in ctx
        .walk
        .values
        .iter()
        .filter(|v| v.source.is_none() && v.place != BY_DEFINITION)
    {
        found.add(
            &value.place,
            "The value names no source.",
            "Choose the source: measured, the maker's document, or an estimate that says so.",
        );
    }
}

/// Parts of the profile whose statements can hurt somebody when they are wrong.
fn can_hurt(ctx: &Context<'_>, place: &str) -> bool {
    use chockstone_schema::model::point::PointUse as U;
    let mut parts = place.split('/').skip(1);
    let (list, index) = (
        parts.next().unwrap_or_default(),
        parts.next().and_then(|i| i.parse::<usize>().ok()),
    );
    match list {
        "points" => index
            .and_then(|i| ctx.profile.points.get(i))
            .is_some_and(|p| {
                p.uses.iter().any(|u| {
                    matches!(
                        u,
                        U::Lift
                            | U::Jack
                            | U::Stand
                            | U::TieDown
                            | U::Winch
                            | U::Recover
                            | U::Tow
                            | U::JumpStart
                            | U::Disconnect
                    )
                })
            }),
        "zones" | "procedures" | "energy" | "emergency" | "transport" | "axles" | "variants"
        | "hazards" => true,
        _ => false,
    }
}

fn statements(ctx: &Context<'_>, found: &mut Findings) {
    // A step rests on its procedure's source, and a disconnect's way on the step's; the walk has followed that.
    for statement in ctx.walk.statements.iter().filter(|s| s.source.is_none()) {
        let severity = if can_hurt(ctx, &statement.place) {
            Blocking
        } else {
            Warning
        };
        found
            .add(
                &statement.place,
                "The statement names no source.",
                "Choose the source that it comes from.",
            )
            .severity(severity);
    }
}

/// Numbers that tell a crew how far, how fast or how long.
fn is_tactic(place: &str) -> bool {
    ["/energy/waits", "/emergency", "/transport"]
        .iter()
        .any(|p| place.starts_with(p))
        || place.ends_with("/wait")
        || place.ends_with("/turning/max_speed")
        || place.ends_with("/turning/max_distance")
}

fn tactics(ctx: &Context<'_>, found: &mut Findings) {
    let undated = |id: &str| {
        ctx.profile
            .sources
            .iter()
            .any(|s| s.id.as_str() == id && s.date.is_none())
    };
    for value in ctx.walk.values.iter().filter(|v| is_tactic(&v.place)) {
        if let Some(source) = value.source.as_deref().filter(|id| undated(id)) {
            found.add(
                &value.place,
                format!("The source {source} of this figure has no date."),
                "Enter the date of the source's edition.",
            );
        }
    }
}

fn doubt(ctx: &Context<'_>, found: &mut Findings) {
    let sources = ctx.profile.sources.iter();
    let measured: Vec<&str> = sources
        .filter(|s| s.kind == SourceKind::Measured)
        .map(|s| s.id.as_str())
        .collect();
    for value in ctx
        .walk
        .values
        .iter()
        .filter(|v| !v.doubt && v.place != BY_DEFINITION)
    {
        if value
            .source
            .as_deref()
            .is_some_and(|id| measured.contains(&id))
        {
            found.add(
                &value.place,
                "The value was measured, and its ± is not stated.",
                "Enter the half-width within which you are confident at about 95 %.",
            );
        }
    }
}

fn outline(ctx: &Context<'_>, found: &mut Findings) {
    let d = &ctx.profile.dimensions;
    if (d.side_outline.is_some() || d.plan_outline.is_some()) && d.outline_source.is_none() {
        found.add(
            "/dimensions",
            "The outlines name no source.",
            "Say whether they were traced, measured or estimated.",
        );
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "value-without-source",
        "a rating without source",
        r#"{"/mass/gvwr/source": null}"#,
        "/mass/gvwr",
    ),
    fail(
        "value-without-source",
        "a variant's rating without source",
        r#"{"/variants": [{"id": "long", "name": {"en": "Long"}, "gvwr": {"value": [3100, "kg"]}}]}"#,
        "/variants/0/gvwr",
    ),
    pass(
        "value-without-source",
        "the front axle's place",
        r#"{"/axles/0/position/source": null}"#,
    ),
    pass(
        "value-without-source",
        "a limit inside a sourced rule",
        r#"{"/transport/rules/2/max_speed": {"value": [30, "mph"]}}"#,
    ),
    fail(
        "statement-without-source",
        "a procedure without source",
        r#"{"/procedures/0/source": null}"#,
        "/procedures/0",
    ),
    fail(
        "statement-without-source",
        "a lift point without source",
        r#"{"/points/0/source": null}"#,
        "/points/0",
    ),
    fail(
        "statement-without-source",
        "a hazard without source",
        r#"{"/hazards/2/source": null}"#,
        "/hazards/2",
    ),
    fail(
        "statement-without-source",
        "what turning an axle does without source",
        r#"{"/axles/1/turning/source": null}"#,
        "/axles/1/turning",
    ),
    fail(
        "statement-without-source",
        "a variant's motor without source",
        r#"{"/variants": [{"id": "long", "name": {"en": "Long"}, "axles": [{"axle": "front", "motor": {"kind": "none"}}]}]}"#,
        "/variants/0/axles/0/motor",
    ),
    fail(
        "statement-without-source",
        "an eye to look through without source",
        r#"{"/points/8/source": null}"#,
        "/points/8",
    )
    .worth(Warning),
    pass("statement-without-source", "sources everywhere", "{}"),
    fail(
        "tactic-without-date",
        "guidance without date",
        r#"{"/sources/3/date": null}"#,
        "/energy/waits/restraints",
    ),
    fail(
        "tactic-without-date",
        "an estimate without date",
        r#"{"/sources/3/date": null, "/sources/3/kind": "estimate"}"#,
        "/energy/waits/restraints",
    ),
    fail(
        "tactic-without-date",
        "a towing speed of an axle without date",
        r#"{"/axles/0/turning/max_speed": {"value": [50, "mph"], "source": "manual"}, "/sources/2/date": null}"#,
        "/axles/0/turning/max_speed",
    ),
    fail(
        "tactic-without-date",
        "a towing distance of a variant's axle without date",
        r#"{"/variants": [{"id": "long", "name": {"en": "Long"}, "axles": [{"axle": "front", "turning": {"effect": "free", "max_distance": {"value": [50, "mi"], "source": "manual"}, "source": "manual"}}]}], "/sources/2/date": null}"#,
        "/variants/0/axles/0/turning/max_distance",
    ),
    pass("tactic-without-date", "guidance with date", "{}"),
    fail(
        "measured-without-doubt",
        "a width without ±",
        r#"{"/dimensions/width/plus_minus": null}"#,
        "/dimensions/width",
    ),
    pass("measured-without-doubt", "± everywhere", "{}"),
    fail(
        "outline-without-source",
        "no source",
        r#"{"/dimensions/outline_source": null}"#,
        "/dimensions",
    ),
    pass("outline-without-source", "a source", "{}"),
];

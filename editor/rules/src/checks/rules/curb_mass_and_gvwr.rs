//! A vehicle that stands at or above its own rating when empty is described wrong.
//!
//! Plain logic: curb mass is without cargo, the gross vehicle weight rating is the most with it.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[
    profile(
        "curb-mass-reaches-gvwr",
        "A declared curb mass that is not below the gross vehicle weight rating.",
        Blocking,
        LOGIC,
        declared,
    ),
    profile(
        "weighed-mass-reaches-gvwr",
        "A weighed mass that is not below the gross vehicle weight rating.",
        Blocking,
        LOGIC,
        weighed,
    ),
];

const SETTLE: &str =
    "Look at both figures in their sources; the rating is on the certification label.";

fn declared(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        if let (Some(curb), Some(gvwr)) = (&view.curb_mass, &view.gvwr)
            && curb.si() >= gvwr.si()
        {
            found
                .add(
                    curb.number(),
                    "The curb mass is not below the gross vehicle weight rating.",
                    SETTLE,
                )
                .computed(curb.value.value.to_string())
                .limit(gvwr.value.value.to_string());
        }
    }
}

fn weighed(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        let (Some(mass), Some(gvwr), true) = (&computed.base, &view.gvwr, computed.is_weighed)
        else {
            continue;
        };
        if mass.uncertain().interval().low >= gvwr.si() {
            found
                .add(
                    gvwr.number(),
                    format!(
                        "The weighed mass{} is not below the gross vehicle weight rating.",
                        view.of_variant()
                    ),
                    SETTLE,
                )
                .computed(format::with_doubt(mass.value(), 2.0 * mass.u(), "kg", 1))
                .limit(gvwr.value.value.to_string());
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "curb-mass-reaches-gvwr",
        "curb mass equal to the rating",
        r#"{"/mass/curb_mass/value": [3000, "kg"]}"#,
        "/mass/curb_mass/value",
    ),
    pass(
        "curb-mass-reaches-gvwr",
        "curb mass a kilogram below",
        r#"{"/mass/curb_mass/value": [2999, "kg"]}"#,
    ),
    fail(
        "curb-mass-reaches-gvwr",
        "a variant above the rating",
        r#"{"/variants": [{"id": "long", "name": {"en": "Long"}, "curb_mass": {"value": [6700, "lb"], "source": "manual"}}]}"#,
        "/variants/0/curb_mass/value",
    ),
    fail(
        "weighed-mass-reaches-gvwr",
        "a rating below what the scale showed",
        r#"{"/mass/gvwr/value": [2050, "kg"], "/mass/curb_mass": null}"#,
        "/mass/gvwr/value",
    ),
    pass(
        "weighed-mass-reaches-gvwr",
        "a rating above it",
        r#"{"/mass/gvwr/value": [2200, "kg"]}"#,
    ),
];

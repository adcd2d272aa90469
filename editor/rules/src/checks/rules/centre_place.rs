//! The centre of gravity lies between the axles. Plain logic: otherwise one of them would lift.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "centre-outside-wheelbase",
    "A centre of gravity outside the wheelbase.",
    Blocking,
    LOGIC,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        let (Some(x), Some(last)) = (&computed.x, view.last_axle()) else {
            continue;
        };
        if x.value() <= 0.0 || x.value() >= last {
            found
                .add(
                    "/mass",
                    format!(
                        "The centre of gravity{} lies outside the axles.",
                        view.of_variant()
                    ),
                    "Look at masses and places of the fitted items and of what was on board.",
                )
                .computed(format::metres(x.value()))
                .limit(format!("0 to {}", format::metres(last)));
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "centre-outside-wheelbase",
        "a heavy item far behind",
        r#"{"/mass/items/-": {"id": "crane", "name": {"en": "Crane"}, "mass": {"value": [2000, "kg"], "source": "manual"}, "place": {"x": [8, "m"], "y": [0, "m"], "z": [1, "m"]}, "state": "added"}}"#,
        "/mass",
    ),
    pass(
        "centre-outside-wheelbase",
        "a light item behind",
        r#"{"/mass/items/-": {"id": "rack", "name": {"en": "Rack"}, "mass": {"value": [100, "kg"], "source": "manual"}, "place": {"x": [3.5, "m"], "y": [0, "m"], "z": [1, "m"]}, "state": "added"}}"#,
    ),
];

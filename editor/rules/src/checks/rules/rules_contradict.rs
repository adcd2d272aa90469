//! One method cannot be both allowed and forbidden for one variant. Plain logic.

use super::prelude::*;
use chockstone_schema::{id::VariantRef, model::advice::Permission};

pub(super) static RULES: &[Rule] = &[profile(
    "transport-rules-contradict",
    "A method both allowed and forbidden for the same variant.",
    Blocking,
    LOGIC,
    check,
)];

fn overlap(a: &[VariantRef], b: &[VariantRef]) -> bool {
    a.is_empty() || b.is_empty() || a.iter().any(|v| b.contains(v))
}

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let rules = &ctx.profile.transport.rules;
    for (j, later) in rules.iter().enumerate() {
        let against = rules.iter().take(j).find(|earlier| {
            earlier.method == later.method
                && (earlier.permission == Permission::Forbidden)
                    != (later.permission == Permission::Forbidden)
                && overlap(&earlier.variants, &later.variants)
        });
        if let Some(earlier) = against {
            found.add(
                format!("/transport/rules/{j}/permission"),
                format!(
                    "The rules {} and {} say the opposite of each other.",
                    earlier.id, later.id
                ),
                "Keep the one that the source states, or name the variants of each.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "transport-rules-contradict",
        "a rear lift both ways",
        r#"{"/transport/rules/1/method": "rear_lift"}"#,
        "/transport/rules/2/permission",
    ),
    pass("transport-rules-contradict", "different methods", "{}"),
];

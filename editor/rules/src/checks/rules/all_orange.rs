//! Orange covering is required for high-voltage cables outside enclosures only.
//!
//! UN R100, 5.1.1.5, from a copy. Pattern: a sentence with "all", "every", "any" (Spanish "todo…", "cada"), high voltage
//! or HV, and orange, without a negation.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "all-orange",
    "A text that says every high-voltage part is orange.",
    Warning,
    ORANGE,
    check,
)];

const ALL: &[&[&str]] = &[
    &[
        "all",
        "every",
        "everything",
        "always",
        "todo",
        "todos",
        "toda",
        "todas",
        "cada",
        "siempre",
    ],
    &["high-voltage", "high voltage", "hv", "alta tensión"],
    &["orange", "naranja*"],
];
const OUTSIDE: &[&str] = &[
    "outside", "fuera", "cable", "cables", "not", "no", "only", "solo", "sólo",
];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (place, text) in ctx.walk.texts.mentioning(&["orange", "naranja"]) {
        if words::sentence_has_without(text, ALL, OUTSIDE) {
            found.add(
                place,
                "Not every high-voltage part is orange: the rule is for cables outside enclosures.",
                "Say that cables outside enclosures are orange, and that other parts may not be.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "all-orange",
        "all parts orange",
        r#"{"/energy/high_voltage/statement": {"en": "All HV parts are orange."}}"#,
        "/energy/high_voltage/statement",
    ),
    fail(
        "all-orange",
        "the same in Spanish",
        r#"{"/energy/high_voltage/statement": {"en": "See the manual.", "es": "Todo lo que es de alta tensión es naranja."}}"#,
        "/energy/high_voltage/statement",
    ),
    pass(
        "all-orange",
        "cables orange",
        r#"{"/energy/high_voltage/statement": {"en": "All HV cables outside enclosures are orange."}}"#,
    ),
];

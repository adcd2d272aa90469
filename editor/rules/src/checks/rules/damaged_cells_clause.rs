//! Damaged lithium batteries move under 49 CFR 173.185(f), without relief by (d).
//!
//! PHMSA letter 24-0050, 2024-07-02, read. Pattern: a text with "173.185(d)" and without "173.185(f)".

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "damaged-cells-clause",
    "A text that cites 173.185(d) for a damaged battery.",
    Blocking,
    DAMAGED_CELLS,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (place, text) in ctx.walk.texts.mentioning(&["173.185"]) {
        let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        let of_moving = place.starts_with("/transport") || place.starts_with("/emergency");
        if of_moving && text.contains("173.185(d)") && !text.contains("173.185(f)") {
            found
                .add(
                    place,
                    "173.185(d) gives no relief to damaged or defective batteries.",
                    "Cite 173.185(f), and ask whoever answers for hazardous goods.",
                )
                .computed("173.185(d)")
                .limit("173.185(f)");
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "damaged-cells-clause",
        "clause (d)",
        r#"{"/transport/hazmat_note": {"en": "Move it under 49 CFR 173.185 (d)."}}"#,
        "/transport/hazmat_note",
    ),
    pass(
        "damaged-cells-clause",
        "clause (f)",
        r#"{"/transport/hazmat_note": {"en": "49 CFR 173.185(f), not 173.185(d)."}}"#,
    ),
];

//! A starting text that nobody has compared with the maker's instructions goes into no release.
//!
//! Plain logic: a starting text is written for no vehicle in particular, so whether it is right for this one is not known
//! until somebody has looked.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "to-confirm",
    "A procedure that is still a starting text.",
    Blocking,
    LOGIC,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let procedures = ctx.profile.procedures.iter().enumerate();
    for (i, procedure) in procedures.filter(|(_, p)| p.to_confirm == Some(true)) {
        found.add(
            format!("/procedures/{i}/to_confirm"),
            format!(
                "The procedure {} is a starting text that nobody has confirmed for this vehicle.",
                procedure.id
            ),
            "Compare every step with the maker's instructions, correct it and name the source; then take the mark off.",
        );
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "to-confirm",
        "the mark of a starting text",
        r#"{"/procedures/1/to_confirm": true}"#,
        "/procedures/1/to_confirm",
    ),
    pass("to-confirm", "the mark taken off", "{}"),
    pass(
        "to-confirm",
        "the mark set to no",
        r#"{"/procedures/1/to_confirm": false}"#,
    ),
];

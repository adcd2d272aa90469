//! NOTICE never carries the safety alert symbol; the three other words do.
//!
//! ANSI Z535.4-2007, 4.14, quoted.

use super::prelude::*;
use chockstone_schema::model::advice::SignalWord;

pub(super) static RULES: &[Rule] = &[profile(
    "alert-symbol-on-notice",
    "NOTICE with the safety alert symbol.",
    Blocking,
    SIGNAL_WORD,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for (i, hazard) in ctx.profile.hazards.iter().enumerate() {
        if hazard.signal == SignalWord::Notice && hazard.alert_symbol == Some(true) {
            found.add(
                format!("/hazards/{i}/alert_symbol"),
                "The safety alert symbol means injury, and NOTICE means none.",
                "Take the symbol away, or use the word for the injury.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "alert-symbol-on-notice",
        "the symbol on NOTICE",
        r#"{"/hazards/2/signal": "notice", "/hazards/2/harm": "property", "/hazards/2/alert_symbol": true}"#,
        "/hazards/2/alert_symbol",
    ),
    pass(
        "alert-symbol-on-notice",
        "no symbol on NOTICE",
        r#"{"/hazards/2/signal": "notice", "/hazards/2/harm": "property", "/hazards/2/alert_symbol": false}"#,
    ),
];

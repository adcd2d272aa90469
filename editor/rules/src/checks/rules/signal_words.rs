//! The signal word follows the worst harm: DANGER and WARNING for death or serious injury, CAUTION for minor or moderate
//! injury, NOTICE for none.
//!
//! ANSI Z535.4-2007, 4.14, quoted. The edition before allowed CAUTION for property, so that only warns.

use super::prelude::*;
use chockstone_schema::model::advice::{Harm, Hazard, SignalWord};

pub(super) static RULES: &[Rule] = &[
    profile(
        "signal-word-too-strong",
        "DANGER or WARNING where nobody can be badly hurt.",
        Blocking,
        SIGNAL_WORD,
        too_strong,
    ),
    profile(
        "signal-word-too-weak",
        "A signal word below the worst harm.",
        Blocking,
        SIGNAL_WORD,
        too_weak,
    ),
    profile(
        "signal-word-against-text",
        "CAUTION or NOTICE over words of death.",
        Blocking,
        SIGNAL_WORD,
        against_text,
    ),
    profile(
        "caution-for-property",
        "CAUTION for damage to property alone.",
        Warning,
        SIGNAL_WORD,
        property,
    ),
];

fn place(index: usize) -> String {
    format!("/hazards/{index}/signal")
}

fn word(signal: SignalWord) -> &'static str {
    match signal {
        SignalWord::Danger => "DANGER",
        SignalWord::Warning => "WARNING",
        SignalWord::Caution => "CAUTION",
        SignalWord::Notice => "NOTICE",
    }
}

fn each(ctx: &Context<'_>, mut judge: impl FnMut(usize, &Hazard)) {
    for (i, hazard) in ctx.profile.hazards.iter().enumerate() {
        judge(i, hazard);
    }
}

fn too_strong(ctx: &Context<'_>, found: &mut Findings) {
    each(ctx, |i, hazard| {
        let strong = matches!(hazard.signal, SignalWord::Danger | SignalWord::Warning);
        if strong && hazard.harm != Harm::DeathOrSeriousInjury {
            let right = if hazard.harm == Harm::Property {
                "NOTICE"
            } else {
                "CAUTION"
            };
            found
                .add(
                    place(i),
                    format!(
                        "{} stands for death or serious injury, which is not the harm stated.",
                        word(hazard.signal)
                    ),
                    format!("Use {right}, or state the worse harm."),
                )
                .computed(word(hazard.signal))
                .limit(right);
        }
    });
}

fn too_weak(ctx: &Context<'_>, found: &mut Findings) {
    each(ctx, |i, hazard| {
        let right = match (hazard.harm, hazard.signal) {
            (Harm::DeathOrSeriousInjury, SignalWord::Caution | SignalWord::Notice) => {
                "WARNING or DANGER"
            }
            (Harm::MinorOrModerateInjury, SignalWord::Notice) => "CAUTION",
            _ => return,
        };
        found
            .add(
                place(i),
                format!("{} is weaker than the harm stated.", word(hazard.signal)),
                format!("Use {right}."),
            )
            .computed(word(hazard.signal))
            .limit(right);
    });
}

const DEATH: &[&str] = &[
    "death", "die", "dies", "kill", "kills", "fatal", "fatally", "lethal", "muerte", "morir",
    "mortal", "mata", "letal",
];

fn against_text(ctx: &Context<'_>, found: &mut Findings) {
    each(ctx, |i, hazard| {
        if !matches!(hazard.signal, SignalWord::Caution | SignalWord::Notice) {
            return;
        }
        let texts = [Some(&hazard.hazard), hazard.consequence.as_ref()];
        let mortal = texts
            .into_iter()
            .flatten()
            .flat_map(chockstone_schema::text::Text::iter)
            .any(|(_, s)| {
                words::sentence_has_without(&words::plain(s), &[DEATH], words::NEGATIONS)
            });
        if mortal {
            found
                .add(
                    place(i),
                    format!(
                        "The text speaks of death, and {} does not stand for it.",
                        word(hazard.signal)
                    ),
                    "Use WARNING or DANGER, or change the text.",
                )
                .computed(word(hazard.signal))
                .limit("WARNING or DANGER");
        }
    });
}

fn property(ctx: &Context<'_>, found: &mut Findings) {
    each(ctx, |i, hazard| {
        if hazard.signal == SignalWord::Caution && hazard.harm == Harm::Property {
            found
                .add(
                    place(i),
                    "CAUTION for property alone is the older use; NOTICE is the word since 2007.",
                    "Use NOTICE.",
                )
                .computed("CAUTION")
                .limit("NOTICE");
        }
    });
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "signal-word-too-strong",
        "DANGER on scratched paint",
        r#"{"/hazards/2/signal": "danger", "/hazards/2/harm": "property", "/hazards/2/consequence": {"en": "Scratches paint."}}"#,
        "/hazards/2/signal",
    ),
    fail(
        "signal-word-too-strong",
        "WARNING for a minor injury",
        r#"{"/hazards/2/signal": "warning"}"#,
        "/hazards/2/signal",
    ),
    pass(
        "signal-word-too-strong",
        "NOTICE on scratched paint",
        r#"{"/hazards/2/signal": "notice", "/hazards/2/alert_symbol": false, "/hazards/2/harm": "property"}"#,
    ),
    fail(
        "signal-word-too-weak",
        "CAUTION over electric shock",
        r#"{"/hazards/0/signal": "caution"}"#,
        "/hazards/0/signal",
    ),
    fail(
        "signal-word-too-weak",
        "NOTICE over a minor injury",
        r#"{"/hazards/2/signal": "notice"}"#,
        "/hazards/2/signal",
    ),
    pass(
        "signal-word-too-weak",
        "WARNING over electric shock",
        r#"{"/hazards/0/signal": "warning"}"#,
    ),
    fail(
        "signal-word-against-text",
        "CAUTION and death",
        r#"{"/hazards/2/consequence": {"en": "Acid in the eyes; death by explosion."}}"#,
        "/hazards/2/signal",
    ),
    fail(
        "signal-word-against-text",
        "CAUTION and death in Spanish",
        r#"{"/hazards/2/consequence": {"en": "Eyes are hurt.", "es": "Peligro de muerte."}}"#,
        "/hazards/2/signal",
    ),
    fail(
        "signal-word-against-text",
        "CAUTION and death without gloves",
        r#"{"/hazards/2/consequence": {"en": "Touching it without gloves can kill."}}"#,
        "/hazards/2/signal",
    ),
    fail(
        "signal-word-against-text",
        "CAUTION and death without gloves in Spanish",
        r#"{"/hazards/2/consequence": {"en": "Eyes are hurt.", "es": "Tocarlo sin guantes mata."}}"#,
        "/hazards/2/signal",
    ),
    pass(
        "signal-word-against-text",
        "CAUTION and no death",
        r#"{"/hazards/2/consequence": {"en": "This is not fatal."}}"#,
    ),
    fail(
        "caution-for-property",
        "CAUTION for paint",
        r#"{"/hazards/2/harm": "property"}"#,
        "/hazards/2/signal",
    ),
    pass("caution-for-property", "CAUTION for an injury", "{}"),
];

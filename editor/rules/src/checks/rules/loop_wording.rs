//! Cutting the loop opens the circuit outside the pack; the pack keeps its energy, and a profile must say so.
//!
//! NTSB SR-20/01, second-hand: cut loops are low voltage; cutting isolates the pack and does not remove its energy.
//!
//! Patterns: a sentence with the loop, the battery or pack, and "safe", "harmless", "dead", "discharged" (Spanish
//! "segura", "inofensiva", "descargada"), without a negation. The warning looked for: a sentence with pack or battery
//! and "keep", "still", "remain", "stay", "charged", "not remove" (Spanish "conserva", "sigue", "mantiene", "cargada").

use super::prelude::*;
use chockstone_schema::model::{energy::DisconnectMethod, point::PointKind, procedure::Act};

pub(super) static RULES: &[Rule] = &[
    profile(
        "loop-called-safe",
        "A text that says cutting the loop makes the pack safe.",
        Blocking,
        CUT_LOOP,
        called_safe,
    ),
    profile(
        "loop-without-energy-warning",
        "A cut loop and no word that the pack keeps its energy.",
        Blocking,
        CUT_LOOP,
        no_warning,
    ),
];

const LOOP: &[&str] = &["loop*", "lazo*", "bucle*"];
const PACK: &[&str] = &[
    "pack",
    "battery",
    "batteries",
    "vehicle",
    "batería*",
    "vehículo",
];
const SAFE: &[&str] = &[
    "safe",
    "harmless",
    "dead",
    "discharged",
    "de-energised",
    "de-energized",
    "segur*",
    "inofensiv*",
    "descargad*",
    "sin energía",
];

fn called_safe(ctx: &Context<'_>, found: &mut Findings) {
    for (place, text) in ctx.walk.texts.mentioning(&["loop", "lazo", "bucle"]) {
        if words::sentence_has_without(text, &[LOOP, PACK, SAFE], words::NEGATIONS) {
            found.add(place, "The text says that cutting the loop makes the pack safe. It does not: the pack keeps its energy.", "Say what the loop does: it opens the circuit outside the pack.");
        }
    }
}

const KEEPS: &[&str] = &[
    "keep*",
    "still",
    "remain*",
    "stay*",
    "retain*",
    "not remove",
    "charged",
    "live",
    "stranded",
    "conserva*",
    "sigue*",
    "mantiene*",
    "cargad*",
    "queda*",
];
const STORE: &[&str] = &["pack", "battery", "batteries", "batería*"];
const ENERGY: &[&str] = &[
    "energy",
    "charge",
    "charged",
    "voltage",
    "live",
    "energised",
    "energized",
    "energía",
    "carga",
    "cargad*",
    "tensión",
];

fn no_warning(ctx: &Context<'_>, found: &mut Findings) {
    let profile = ctx.profile;
    let method = profile.energy.disconnects.iter().position(|d| {
        matches!(
            d.method,
            DisconnectMethod::CutLoop | DisconnectMethod::OpenLoop
        )
    });
    let point = profile
        .points
        .iter()
        .position(|p| matches!(p.kind, PointKind::CutLoop | PointKind::LowVoltageLoop));
    let procedure = profile.procedures.iter().position(|p| {
        p.steps
            .iter()
            .any(|s| matches!(s.act, Some(Act::CutLoop | Act::OpenLoop)))
    });
    let place = match (method, point, procedure) {
        (Some(i), _, _) => format!("/energy/disconnects/{i}/explanation"),
        (_, Some(i), _) => format!("/points/{i}"),
        (_, _, Some(i)) => format!("/procedures/{i}"),
        _ => return,
    };
    let candidates = ctx.walk.texts.mentioning(&["pack", "batter", "batería"]);
    let warned = candidates
        .into_iter()
        .any(|(_, text)| words::sentence_has(text, &[STORE, KEEPS, ENERGY]));
    if !warned {
        found.add(place, "The profile has a loop to cut or open, and nowhere says that the pack keeps its energy.", "Say in the explanation that the pack keeps its energy.");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "loop-called-safe",
        "a loop that makes the battery safe",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cutting the loop makes the battery safe."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    fail(
        "loop-called-safe",
        "the same in Spanish",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it.", "es": "Cortar el lazo deja la batería segura."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    pass(
        "loop-called-safe",
        "a loop that does not",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cutting the loop does not make the battery safe: the pack keeps its energy."}}"#,
    ),
    fail(
        "loop-without-energy-warning",
        "no word of the pack's energy",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it twice."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Do not touch."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    pass(
        "loop-without-energy-warning",
        "a word of it in Spanish",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it twice.", "es": "La batería conserva su energía."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Do not touch."}}"#,
    ),
];

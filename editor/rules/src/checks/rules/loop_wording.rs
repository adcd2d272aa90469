//! Cutting the loop opens the circuit outside the pack; the pack keeps its energy, and a profile must say so.
//!
//! NTSB SR-20/01, second-hand: cut loops are low voltage; cutting isolates the pack and does not remove its energy.
//!
//! Patterns: a sentence with the loop, the pack or vehicle, and a verb that makes it "safe" or "harmless" (Spanish
//! "segura", "inofensiva"), without a negation, and not about the 12-volt battery or a safe place. With "if" or "when" the
//! sentence may state a condition instead, so it only warns.
//!
//! The warning looked for: a sentence where pack or battery, but not the 12-volt one, keeps its energy, in the texts
//! that a crew reads about the loop.

use super::prelude::*;
use chockstone_schema::{
    Profile,
    model::{energy::DisconnectMethod, point::PointKind, procedure::Act},
};

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
    "de-energised",
    "de-energized",
    "seguro",
    "segura",
    "seguros",
    "seguras",
    "inofensiv*",
    "sin energía",
];
const MAKES: &[&str] = &[
    "make",
    "makes",
    "making",
    "render",
    "renders",
    "leave",
    "leaves",
    "become",
    "becomes",
    "is safe",
    "are safe",
    "is now safe",
    "is then safe",
    "is harmless",
    "deja",
    "dejan",
    "hace",
    "hacen",
    "queda",
    "quedan",
    "es segur*",
    "es inofensiv*",
    "está segur*",
];
/// Sentences about something else, or that limit what they say.
const ASIDE: &[&str] = &[
    "12-volt",
    "12 v",
    "low-voltage battery",
    "batería de baja tensión",
    "safe place",
    "safe distance",
    "lugar seguro",
    "distancia segura",
    "make sure",
    "only",
    "solo",
    "sólo",
];
const CONDITIONS: &[&str] = &["if", "when", "si", "cuando"];

fn called_safe(ctx: &Context<'_>, found: &mut Findings) {
    let without = [words::NEGATIONS, ASIDE].concat();
    let with_condition = [without.as_slice(), CONDITIONS].concat();
    let lists: &[&[&str]] = &[LOOP, PACK, MAKES, SAFE];
    for (place, text) in ctx.walk.texts.mentioning(&["loop", "lazo", "bucle"]) {
        let severity = if words::sentence_has_without(text, lists, &with_condition) {
            Blocking
        } else if words::sentence_has_without(text, lists, &without) {
            Warning
        } else {
            continue;
        };
        found
            .add(place, "The text says that cutting the loop makes the pack safe. It does not: the pack keeps its energy.", "Say what the loop does: it opens the circuit outside the pack.")
            .severity(severity);
    }
}

const KEEPS: &[&str] = &[
    "keeps",
    "keep its",
    "keep their",
    "still",
    "remain*",
    "stay*",
    "retain*",
    "leaves",
    "not remove",
    "stranded",
    "conserva*",
    "sigue*",
    "mantiene*",
    "deja",
    "queda*",
];
const STORE: &[&str] = &[
    "pack",
    "packs",
    "high-voltage battery",
    "batería de alta tensión",
    "batería de tracción",
];
const ANY_BATTERY: &[&str] = &["battery", "batteries", "batería*"];
const LOW: &[&str] = &[
    "12-volt",
    "12 v",
    "12v",
    "low-voltage",
    "low voltage",
    "baja tensión",
];
const ENERGY: &[&str] = &[
    "energy",
    "charge",
    "charged",
    "voltage",
    "high-voltage",
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
    let read = read_about_loops(profile);
    let candidates = ctx.walk.texts.mentioning(&["pack", "batter", "batería"]);
    let warned = candidates
        .into_iter()
        .filter(|(place, _)| read.iter().any(|part| place.starts_with(part.as_str())))
        .any(|(_, text)| {
            words::sentence_has(text, &[STORE, KEEPS, ENERGY])
                || words::sentence_has_without(text, &[ANY_BATTERY, KEEPS, ENERGY], LOW)
        });
    if !warned {
        found.add(place, "The profile has a loop to cut or open, and nowhere says that the pack keeps its energy.", "Say in the explanation that the pack keeps its energy.");
    }
}

/// The beginnings of the places that a crew reads before it cuts or opens a loop.
fn read_about_loops(profile: &Profile) -> Vec<String> {
    let parts = [
        "/energy/disconnects/",
        "/energy/high_voltage/statement",
        "/points/",
        "/hazards/",
        "/emergency/",
    ];
    let named = |id: &str| {
        profile.energy.disconnects.iter().any(|d| {
            matches!(
                d.method,
                DisconnectMethod::CutLoop | DisconnectMethod::OpenLoop
            ) && d.procedure.as_ref().is_some_and(|p| p.as_str() == id)
        })
    };
    let procedures = profile.procedures.iter().enumerate().filter(|(_, p)| {
        named(p.id.as_str())
            || p.steps
                .iter()
                .any(|s| matches!(s.act, Some(Act::CutLoop | Act::OpenLoop)))
    });
    let procedures = procedures.map(|(i, _)| format!("/procedures/{i}/"));
    parts
        .into_iter()
        .map(str::to_owned)
        .chain(procedures)
        .collect()
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
    pass(
        "loop-called-safe",
        "a dead 12-volt battery",
        r#"{"/energy/disconnects/1/explanation": {"en": "If the 12-volt battery is dead, open the low-voltage loop first."}}"#,
    ),
    pass(
        "loop-called-safe",
        "a flat 12-volt battery in Spanish",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it.", "es": "Si la batería de 12 V está descargada, corte el lazo."}}"#,
    ),
    pass(
        "loop-called-safe",
        "safety gloves in Spanish",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it.", "es": "Con guantes de seguridad, corte el lazo del vehículo."}}"#,
    ),
    pass(
        "loop-called-safe",
        "a safe place to stand",
        r#"{"/energy/disconnects/1/explanation": {"en": "Make room and reach the vehicle loop from a safe place."}}"#,
    ),
    fail(
        "loop-called-safe",
        "a vehicle that is safe without its loop",
        r#"{"/energy/disconnects/1/explanation": {"en": "Without its loop the vehicle is safe."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    fail(
        "loop-called-safe",
        "a pack without energy in Spanish",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it.", "es": "La batería queda sin energía al cortar el lazo."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    fail(
        "loop-called-safe",
        "a condition before it",
        r#"{"/energy/disconnects/1/explanation": {"en": "When the loop is cut, the pack becomes harmless."}}"#,
        "/energy/disconnects/1/explanation",
    )
    .worth(Warning),
    fail(
        "loop-without-energy-warning",
        "a charged 12-volt battery alone",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it twice."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Make sure the 12-volt battery is charged and stays charged."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    fail(
        "loop-without-energy-warning",
        "a charged battery",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it twice."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Make sure the battery is charged."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    fail(
        "loop-without-energy-warning",
        "the word where nobody reads it about the loop",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cut it twice."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Do not touch."}, "/identity/recognition": {"en": "The pack keeps its energy."}}"#,
        "/energy/disconnects/1/explanation",
    ),
    pass(
        "loop-without-energy-warning",
        "a low-voltage loop that leaves the pack charged",
        r#"{"/energy/disconnects/1/explanation": {"en": "Cutting the low-voltage loop leaves the pack charged."}, "/energy/disconnects/0/explanation": {"en": "Switch off."}, "/hazards/0/avoidance": {"en": "Do not touch."}}"#,
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

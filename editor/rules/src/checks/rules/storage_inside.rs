//! A damaged vehicle is not stored inside a building: that breaks the distance of 50 ft.
//!
//! Follows from the 50 ft for damaged vehicles (a state bill report of 2024, second-hand); the explicit wording is from
//! memory.

use super::prelude::*;
use chockstone_schema::model::advice::StoragePlace;

pub(super) static RULES: &[Rule] = &[profile(
    "storage-inside",
    "A damaged vehicle stored inside a building.",
    Blocking,
    FIFTY_FEET_DAMAGED,
    check,
)];

const INSIDE: &[&str] = &[
    "inside a building",
    "indoors",
    "in a garage",
    "inside a garage",
    "dentro de un edificio",
    "en un garaje",
    "bajo techo",
];
const STORE: &[&str] = &[
    "store*",
    "storing",
    "park*",
    "keep",
    "guard*",
    "almacen*",
    "aparc*",
    "estacion*",
    "dejar",
    "deje",
];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let Some(storage) = &ctx.profile.emergency.storage else {
        return;
    };
    let settle = "State a place in the open, 50 ft or 15 m from everything.";
    if storage.place == StoragePlace::InsideBuilding {
        found.add(
            "/emergency/storage/place",
            "A damaged vehicle stored inside a building breaks the distance of 50 ft.",
            settle,
        );
    }
    for (i, advice) in storage.advice.iter().enumerate() {
        if advice.text.iter().any(|(_, s)| {
            words::sentence_has_without(&words::plain(s), &[INSIDE, STORE], words::NEGATIONS)
        }) {
            found.add(
                format!("/emergency/storage/advice/{i}/text"),
                "The text stores a damaged vehicle inside a building.",
                settle,
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "storage-inside",
        "a building as the place",
        r#"{"/emergency/storage/place": "inside_building"}"#,
        "/emergency/storage/place",
    ),
    fail(
        "storage-inside",
        "a text that says so",
        r#"{"/emergency/storage/advice/0/text": {"en": "Store it inside a building."}}"#,
        "/emergency/storage/advice/0/text",
    ),
    fail(
        "storage-inside",
        "a Spanish text that says so",
        r#"{"/emergency/storage/advice/0/text": {"en": "Watch it.", "es": "Guardar en un garaje."}}"#,
        "/emergency/storage/advice/0/text",
    ),
    pass(
        "storage-inside",
        "a text that forbids it",
        r#"{"/emergency/storage/advice/0/text": {"en": "Never store it inside a building."}}"#,
    ),
];

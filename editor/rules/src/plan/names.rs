//! What goals, conditions and facts are called.

use std::sync::LazyLock;

use chockstone_schema::{
    Profile, conditions,
    report::Goal,
    text::{Language, Text},
};

static LANGUAGES: LazyLock<[Language; 2]> = LazyLock::new(|| {
    #[expect(
        clippy::expect_used,
        reason = "both tags are well formed; a test reads them"
    )]
    ["en", "es"].map(|tag| Language::new(tag).expect("a language tag"))
});

/// English and Spanish.
pub(crate) fn languages() -> [Language; 2] {
    LANGUAGES.clone()
}

/// A text in English and Spanish.
pub(crate) fn both(strings: [&str; 2]) -> Text {
    let [english, spanish] = LANGUAGES.each_ref();
    let [in_english, in_spanish] = strings.map(|s| if s.trim().is_empty() { "–" } else { s });
    #[expect(
        clippy::expect_used,
        reason = "our own words are neither blank nor overlong"
    )]
    let mut text = Text::new(english, in_english).expect("a text of our own");
    // The second string of our own cannot be refused either; the first alone would still be a text.
    let _ = text.set(spanish, in_spanish);
    text
}

/// What a condition is called: built-in, the profile's own, or else its id.
pub fn condition_name(profile: &Profile, id: &str) -> Text {
    if let Some(condition) = conditions::find(id) {
        return both(condition.name);
    }
    let own = profile.conditions.iter().find(|c| c.id.as_str() == id);
    own.map_or_else(|| both([id, id]), |c| c.name.clone())
}

/// A goal's name in English and Spanish.
pub fn goal_name(goal: Goal) -> [&'static str; 2] {
    match goal {
        Goal::Opened => ["Opened", "Abierto"],
        Goal::Awake => ["Awake", "Despierto"],
        Goal::CordFree => ["Cord free", "Cable libre"],
        Goal::InNeutral => ["In neutral, held", "En punto muerto, sujeto"],
        Goal::Loaded => ["Loaded", "Cargado"],
        Goal::Secured => ["Secured", "Sujeto a la plataforma"],
        Goal::ReturnedToService => ["Back in service", "De nuevo en servicio"],
    }
}

/// What a goal means, in English and Spanish.
pub fn goal_meaning(goal: Goal) -> [&'static str; 2] {
    match goal {
        Goal::Opened => [
            "At least the driver's door can be opened.",
            "Se puede abrir al menos la puerta del conductor.",
        ],
        Goal::Awake => [
            "The vehicle's screens are on.",
            "Las pantallas del vehículo están encendidas.",
        ],
        Goal::CordFree => [
            "No charging cord is in the inlet and nothing charges.",
            "No hay cable en la toma y nada carga.",
        ],
        Goal::InNeutral => [
            "The wheels turn freely, and a taut line or chocks hold the vehicle.",
            "Las ruedas giran libres y un cable tenso o calzos sujetan el vehículo.",
        ],
        Goal::Loaded => [
            "All wheels stand on the carrier's deck.",
            "Todas las ruedas están sobre la plataforma.",
        ],
        Goal::Secured => [
            "On the deck, every tie-down on, tight and checked.",
            "Sobre la plataforma, con todas las sujeciones puestas, tensas y comprobadas.",
        ],
        Goal::ReturnedToService => [
            "Ready to drive, on the ground, nothing left open, removed or owed.",
            "Listo para circular, en el suelo, sin nada abierto, retirado ni pendiente.",
        ],
    }
}

/// What it means that a condition must hold, or must be over, before there is a way.
pub(crate) fn fact_text(profile: &Profile, id: &str, must_hold: bool) -> Text {
    let own = match (id, must_hold) {
        ("key-present", true) => ["Have a key.", "Tener una llave."],
        ("donor-at-hand", true) => [
            "Bring a low-voltage donor or booster with its cables.",
            "Traer un donante o arrancador de baja tensión con sus cables.",
        ],
        ("winch-at-hand", true) => [
            "Bring a winch with line and bridle.",
            "Traer un cabrestante con cable y brida.",
        ],
        ("skates-at-hand", true) => ["Bring skates.", "Traer patines."],
        ("dollies-at-hand", true) => [
            "Bring dollies rated for the axle.",
            "Traer carretillas con capacidad para el eje.",
        ],
        ("smoke-or-heat", false) => [
            "Smoke and heat are over, and the fire service has released the vehicle.",
            "Ya no hay humo ni calor y los bomberos han entregado el vehículo.",
        ],
        ("in-water", false) => [
            "Trained rescuers have brought the vehicle out of the water.",
            "Rescatadores formados han sacado el vehículo del agua.",
        ],
        ("pack-suspect", false) => [
            "Somebody whom the maker trained has judged the pack sound.",
            "Alguien formado por el fabricante ha dado por buena la batería.",
        ],
        ("on-slope", false) => [
            "The vehicle stands on level ground.",
            "El vehículo está en suelo llano.",
        ],
        ("cord-stuck", false) => [
            "The cord comes out as it should.",
            "El cable sale como es debido.",
        ],
        ("shift-refused", false) => [
            "The selector takes neutral.",
            "El selector admite el punto muerto.",
        ],
        _ => return plain_fact(profile, id, must_hold),
    };
    both(own)
}

fn plain_fact(profile: &Profile, id: &str, must_hold: bool) -> Text {
    let name = condition_name(profile, id);
    let [english, spanish] = LANGUAGES.each_ref();
    let in_english = name.pick([english, spanish]);
    let in_spanish = name.pick([spanish, english]);
    if must_hold {
        both([
            &format!("It holds: {in_english}."),
            &format!("Se cumple: {in_spanish}."),
        ])
    } else {
        both([
            &format!("It is over: {in_english}."),
            &format!("Ha terminado: {in_spanish}."),
        ])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_goal_has_its_own_name() {
        let names: std::collections::BTreeSet<_> = Goal::ALL.map(goal_name).into();
        assert_eq!(names.len(), 7);
    }

    #[test]
    fn a_condition_that_nobody_defined_is_called_by_its_id() {
        let profile = crate::testing::sound_profile();
        let [english, _] = languages();
        assert_eq!(
            condition_name(&profile, "no-such").pick(&[english]),
            "no-such"
        );
    }
}

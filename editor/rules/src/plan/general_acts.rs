//! What every crew can do without the profile telling how. Times are common practice, no source.

use chockstone_schema::model::procedure::Act;

/// One general act.
#[derive(Debug)]
pub struct GeneralAct {
    /// The act's id.
    pub id: &'static str,
    /// Its name in English and Spanish.
    pub name: [&'static str; 2],
    /// What to do, in English and Spanish.
    pub text: [&'static str; 2],
    /// What to beware of, in English and Spanish.
    pub caution: [&'static str; 2],
    /// What kind of act it is.
    pub act: Option<Act>,
    /// Conditions that must hold.
    pub requires: &'static [&'static str],
    /// Conditions that must not hold.
    pub requires_not: &'static [&'static str],
    /// Conditions that hold afterwards.
    pub establishes: &'static [&'static str],
    /// Conditions that do not hold afterwards.
    pub clears: &'static [&'static str],
    /// How long it takes, in seconds, and the uncertainty of that.
    pub seconds: (f64, f64),
}

/// The id of the act whose time the asker may choose.
pub(crate) const FETCH_KEY: &str = "fetch-key";

/// Every general act.
pub static GENERAL_ACTS: &[GeneralAct] = &[
    GeneralAct {
        id: "chock",
        name: ["Chock the wheels", "Calzar las ruedas"],
        text: [
            "Chock both sides of a wheel that stays on the ground, from the side.",
            "Calce por ambos lados una rueda apoyada, desde el costado.",
        ],
        caution: [
            "Stay out of the path of the wheels.",
            "No se ponga en la trayectoria de las ruedas.",
        ],
        act: Some(Act::Chock),
        requires: &[],
        requires_not: &["raised", "on-skates", "on-dollies"],
        establishes: &["wheels-chocked"],
        clears: &[],
        seconds: (60.0, 30.0),
    },
    GeneralAct {
        id: "chocks-away",
        name: ["Take the chocks away", "Quitar los calzos"],
        text: [
            "See what holds the vehicle, then take the chocks away from the side.",
            "Compruebe qué sujeta el vehículo y quite los calzos desde el costado.",
        ],
        caution: [
            "Stay out of the path of the wheels.",
            "No se ponga en la trayectoria de las ruedas.",
        ],
        act: Some(Act::ReleaseChock),
        requires: &["wheels-chocked"],
        requires_not: &["raised", "on-stands"],
        establishes: &[],
        clears: &["wheels-chocked"],
        seconds: (30.0, 15.0),
    },
    GeneralAct {
        id: "attach-line",
        name: ["Attach the line", "Enganchar el cable"],
        text: [
            "Attach the winch line by its bridle to the points made for it and take up the slack.",
            "Enganche el cable con su brida en los puntos previstos y ténselo.",
        ],
        caution: [
            "Nobody stands near a taut line or in its direction.",
            "Nadie junto a un cable tenso ni en su dirección.",
        ],
        act: Some(Act::AttachLine),
        requires: &["winch-at-hand"],
        requires_not: &["raised", "on-stands"],
        establishes: &["line-taut"],
        clears: &[],
        seconds: (180.0, 60.0),
    },
    GeneralAct {
        id: "line-off",
        name: ["Take the line off", "Quitar el cable"],
        text: [
            "See what holds the vehicle, then slack the line and take it off.",
            "Compruebe qué sujeta el vehículo, afloje el cable y quítelo.",
        ],
        caution: [
            "Slack it slowly; stop if the vehicle moves.",
            "Afloje despacio; pare si el vehículo se mueve.",
        ],
        act: Some(Act::ReleaseLine),
        requires: &["line-taut"],
        requires_not: &[],
        establishes: &[],
        clears: &["line-taut"],
        seconds: (60.0, 30.0),
    },
    GeneralAct {
        id: "shut-front-cover",
        name: ["Shut the front cover", "Cerrar el capó"],
        text: [
            "See that no tool, cable or hand is in the way, shut the front cover and see it lock.",
            "Compruebe que no estorben herramientas, cables ni manos, cierre el capó y vea que encaja.",
        ],
        caution: [
            "Without low voltage it may open again only by its release for a flat battery.",
            "Sin baja tensión quizá solo vuelva a abrirse por su liberación para batería agotada.",
        ],
        act: None,
        requires: &["front-cover-open"],
        requires_not: &["jump-connected"],
        establishes: &[],
        clears: &["front-cover-open"],
        seconds: (20.0, 10.0),
    },
    GeneralAct {
        id: FETCH_KEY,
        name: ["Have the key brought", "Hacer traer la llave"],
        text: [
            "Have the key brought by whoever has it.",
            "Haga que traiga la llave quien la tenga.",
        ],
        caution: [
            "Keep it at least 16 ft (5 m) away while hands are inside the vehicle.",
            "Manténgala al menos a 16 ft (5 m) mientras haya manos dentro del vehículo.",
        ],
        act: None,
        requires: &["key-within-reach"],
        requires_not: &[],
        establishes: &["key-present"],
        clears: &[],
        seconds: (900.0, 300.0),
    },
];

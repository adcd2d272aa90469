//! Starting texts: procedures of our own writing that an author inserts into a profile and then edits.
//!
//! Nothing in them is a fact about any vehicle. Where a value is the maker's, the text says "by the maker's instructions";
//! times and the hold of neutral are common practice, no source, and stand for what the author measures. What a published
//! source says (the order of a jump start, 50 ft (15 m) for a damaged vehicle, 16 ft (5 m) for the key, 5 minutes for the
//! restraints) names it. Points are left for the author. Every inserted procedure carries the mark `to_confirm`, which
//! blocks a release until somebody has compared it with the maker's instructions.

use chockstone_schema::{Profile, model::procedure::Purpose};

mod insertion;
#[cfg(test)]
mod tests;

pub use insertion::InsertError;

/// One starting text: a procedure, with a second one that undoes it where it leaves something open.
#[derive(Debug)]
pub struct StartingText {
    /// The text's id, which is also the id of its first procedure.
    pub id: &'static str,
    /// What it is called, in English and Spanish.
    pub name: [&'static str; 2],
    /// What its first procedure is for.
    pub purpose: Purpose,
    /// What it holds and what it leaves to the author, in English and Spanish.
    pub about: [&'static str; 2],
    /// The rest of a document that [`BEGINNING`] begins: the procedures.
    procedures: &'static str,
}

/// Every starting text, in the order of the work.
pub fn all() -> &'static [StartingText] {
    TEXTS
}

/// A copy of the profile with a starting text appended to its procedures.
///
/// The debts, hazard messages, own conditions and sources that the text names come with it. One that the profile already
/// has word for word is used again, whatever its id and whoever confirmed it; any other gets a number after its id where
/// the id is taken. Each text is inserted in those of the profile's languages that it is written in (`en-GB` takes the
/// English string); where the base language is none of them, in English and in Spanish, so that the strings that are
/// missing are found instead of a wrong language standing under the base language.
///
/// # Errors
/// No text has the id, or the profile would not be readable afterwards (at most 200 procedures).
pub fn insert(profile: &Profile, id: &str) -> Result<Profile, InsertError> {
    let text = all()
        .iter()
        .find(|text| text.id == id)
        .ok_or_else(|| InsertError::Unknown(id.to_owned()))?;
    insertion::insert(profile, text)
}

/// What every text's document begins with: the parts that more than one of them names.
const BEGINNING: &str = include_str!("starting_texts/begin.ron");

macro_rules! texts {
    ($($id:literal $purpose:ident $file:literal $name:tt $about:tt;)*) => {
        &[$(StartingText {
            id: $id,
            name: $name,
            purpose: Purpose::$purpose,
            about: $about,
            procedures: include_str!(concat!("starting_texts/", $file, ".ron")),
        }),*]
    };
}

static TEXTS: &[StartingText] = texts! {
    "open-flat" Open "open_flat"
        ["Open with a flat low-voltage battery", "Abrir con la batería de baja tensión agotada"]
        [
            "Doors by the key blade, then the front cover. Yours to add: where the lock and the release are.",
            "Puertas con la hoja de la llave y después el capó. Por añadir: dónde están la cerradura y la liberación.",
        ];
    "open-usual" Open "open_usual"
        ["Open with the key", "Abrir con la llave"]
        [
            "The usual way, with low voltage alive. Yours to add: how it unlocks.",
            "La forma normal, con baja tensión. Por añadir: cómo se desbloquea.",
        ];
    "jump-start" JumpStart "jump_start"
        ["Jump start of the low-voltage system", "Arranque auxiliar de la baja tensión"]
        [
            "The order of the clamps and its exact reverse. Yours to add: whether the maker allows it, the posts, how it wakes.",
            "El orden de las pinzas y su inverso exacto. Por añadir: si el fabricante lo permite, los bornes, cómo despierta.",
        ];
    "wake" Wake "wake"
        ["Wake the vehicle", "Despertar el vehículo"]
        [
            "Screens on, not ready to drive. Yours to add: how it wakes, and the ready indication.",
            "Pantallas encendidas, sin estar listo. Por añadir: cómo despierta y la indicación de listo.",
        ];
    "cord-usual" ReleaseCord "cord_usual"
        ["Take the charging cord out", "Quitar el cable de carga"]
        [
            "The usual way. Yours to add: how the cord is unlocked.",
            "La forma normal. Por añadir: cómo se desbloquea el cable.",
        ];
    "cord-stuck" ReleaseCord "cord_stuck"
        ["Free a stuck charging cord", "Liberar un cable de carga atascado"]
        [
            "Loop open and held open, release pulled, latch pressed, loop closed. Yours to add: where loop and release are.",
            "Lazo abierto y sostenido, liberación, pestillo, lazo cerrado. Por añadir: dónde están el lazo y la liberación.",
        ];
    "neutral-selector" ShiftNeutral "neutral_selector"
        ["Neutral by the selector", "Punto muerto con el selector"]
        [
            "Line taut before neutral. Yours to add: winch points, how neutral is selected, what brings park back.",
            "Cable tenso antes del punto muerto. Por añadir: puntos, cómo se pone, qué devuelve el estacionamiento.",
        ];
    "neutral-mode" ShiftNeutral "neutral_mode"
        ["Neutral by a service or transport mode", "Punto muerto con un modo de servicio o transporte"]
        [
            "A mode that holds neutral for a time, then parks. Yours to add: how it starts, and the time: 30 minutes is only an example.",
            "Un modo que mantiene el punto muerto un tiempo y luego estaciona. Por añadir: cómo se activa y el tiempo: 30 minutos es un ejemplo.",
        ];
    "neutral-release" ShiftNeutral "neutral_release"
        ["Neutral by the mechanical release", "Punto muerto con la liberación mecánica"]
        [
            "The release at the drive unit, and how it is put back. Yours to add: whether there is one, and where.",
            "La liberación en la unidad de tracción y cómo se devuelve. Por añadir: si existe y dónde.",
        ];
    "neutral-booster" ShiftNeutral "neutral_booster"
        ["Neutral with a booster left on", "Punto muerto con un arrancador puesto"]
        [
            "For a battery that keeps no charge, and how the booster comes off. Yours to add: posts, winch points.",
            "Para una batería que no retiene carga, y cómo se quita el arrancador. Por añadir: bornes, puntos.",
        ];
    "change-tyre" ChangeTyre "change_tyre"
        ["Change a wheel", "Cambiar una rueda"]
        [
            "Chocks, jack, stand, wheel, and the nuts tightened again later. Yours to add: jack and stand points, torque, distance.",
            "Calzos, gato, soporte, rueda y reapriete. Por añadir: puntos de gato y soporte, par, distancia.",
        ];
    "winch-on" Load "winch_on"
        ["Winch onto the deck, wheels rolling", "Subir a la plataforma con las ruedas girando"]
        [
            "From neutral with the line taut to park on the deck. Yours to add: speed and distance that the maker allows.",
            "De punto muerto con cable tenso a estacionado en la plataforma. Por añadir: velocidad y distancia permitidas.",
        ];
    "skates" Winch "skates"
        ["Winch on skates, wheels that do not turn", "Subir con patines, ruedas que no giran"]
        [
            "A skate under every wheel that drags. Yours to add: jack and winch points.",
            "Un patín bajo cada rueda que arrastra. Por añadir: puntos de gato y de cabrestante.",
        ];
    "dollies" Tow "dollies"
        ["Lift one end, dollies under the other", "Elevar un extremo, carretillas en el otro"]
        [
            "No wheel on the road. Yours to add: jack points, which end, whether the maker allows it.",
            "Ninguna rueda en la calzada. Por añadir: puntos de gato, qué extremo, si el fabricante lo permite.",
        ];
    "secure" Secure "secure"
        ["Secure the load on the deck", "Sujetar la carga sobre la plataforma"]
        [
            "Rear, front, then the line off. Yours to add: tie-down points and working load limits.",
            "Detrás, delante y después el cable. Por añadir: puntos de amarre y cargas de trabajo.",
        ];
    "unload" Unload "unload"
        ["Unload from the deck", "Bajar de la plataforma"]
        [
            "The line first, off last. Yours to add: winch points, how neutral is selected.",
            "El cable primero y lo último en quitar. Por añadir: puntos, cómo se pone punto muerto.",
        ];
    "submerged" Submersion "submerged"
        ["Vehicle in or from water", "Vehículo en el agua o sacado de ella"]
        [
            "Out of the water, left dead, kept apart. Yours to add: what the maker says of its pack and water.",
            "Fuera del agua, apagado, aparte. Por añadir: qué dice el fabricante de su batería y el agua.",
        ];
    "smoke-or-heat" Fire "smoke_or_heat"
        ["Smoke, heat or fire", "Humo, calor o fuego"]
        [
            "Away, call, keep others away, hand over. Yours to add: what the maker tells responders.",
            "Alejarse, llamar, apartar a otros, informar. Por añadir: qué dice el fabricante a los bomberos.",
        ];
    "shut-off" ShutOff "shut_off"
        ["Shut off the high voltage", "Desconectar la alta tensión"]
        [
            "Loop, battery, wait, and how it is undone. Yours to add: places, and how long the maker waits.",
            "Lazo, batería, espera y cómo se deshace. Por añadir: lugares y cuánto espera el fabricante.",
        ];
    "store" Store "store"
        ["Store a damaged vehicle", "Guardar un vehículo dañado"]
        [
            "Outdoors, 50 ft (15 m) from everything, watched. Yours to add: the maker's rules for its pack.",
            "Al aire libre, a 50 ft (15 m) de todo, vigilado. Por añadir: las reglas del fabricante para su batería.",
        ];
    "return-to-service" ReturnToService "return_to_service"
        ["Return to service", "Devolver al servicio"]
        [
            "The last look, then ready to drive. Yours to add: every debt that no other procedure settles, and how it gets ready.",
            "La última revisión y después listo. Por añadir: cada deuda que ningún otro procedimiento salda y cómo se pone listo.",
        ];
};

//! The built-in conditions: yes/no facts of the vehicle and the scene that every profile may use.

/// One built-in condition.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BuiltIn {
    /// The id used by references.
    pub id: &'static str,
    /// Its name in English and Spanish.
    pub name: [&'static str; 2],
    /// How a crew can tell that it holds, in English and Spanish.
    pub meaning: [&'static str; 2],
    /// Conditions without which it can be neither brought about nor counted on.
    pub depends_on: &'static [&'static str],
    /// Conditions that end when it is brought about, because both cannot hold.
    pub ends: &'static [&'static str],
    /// Conditions that hold from then on as well, and stay when it is over.
    pub brings: &'static [&'static str],
}

const fn built_in(
    id: &'static str,
    name: [&'static str; 2],
    meaning: [&'static str; 2],
) -> BuiltIn {
    BuiltIn {
        id,
        name,
        meaning,
        depends_on: &[],
        ends: &[],
        brings: &[],
    }
}

impl BuiltIn {
    const fn needs(mut self, depends_on: &'static [&'static str]) -> Self {
        self.depends_on = depends_on;
        self
    }

    const fn ends(mut self, ends: &'static [&'static str]) -> Self {
        self.ends = ends;
        self
    }

    const fn brings(mut self, brings: &'static [&'static str]) -> Self {
        self.brings = brings;
        self
    }
}

/// Every built-in condition.
pub const BUILT_IN: &[BuiltIn] = &[
    built_in(
        "low-voltage-alive",
        ["Low voltage alive", "Baja tensión activa"],
        [
            "Lamps, locks and screens answer.",
            "Luces, cerraduras y pantallas responden.",
        ],
    ),
    built_in(
        "key-present",
        ["Key present", "Llave presente"],
        [
            "A key or phone that the vehicle knows is at hand.",
            "Hay a mano una llave o un teléfono que el vehículo reconoce.",
        ],
    ),
    built_in(
        "doors-open",
        ["Doors open", "Puertas abiertas"],
        [
            "At least the driver's door can be opened.",
            "Se puede abrir al menos la puerta del conductor.",
        ],
    ),
    built_in(
        "front-cover-open",
        ["Front cover open", "Capó delantero abierto"],
        [
            "The front cover is up and held.",
            "El capó delantero está levantado y sujeto.",
        ],
    ),
    built_in(
        "awake",
        ["Awake", "Despierto"],
        [
            "The vehicle's screens are on.",
            "Las pantallas del vehículo están encendidas.",
        ],
    )
    .needs(&["low-voltage-alive"]),
    built_in(
        "ready",
        ["Ready to drive", "Listo para circular"],
        [
            "The vehicle would move when the pedal is pressed.",
            "El vehículo se movería al pisar el pedal.",
        ],
    )
    .needs(&["low-voltage-alive", "awake"]),
    built_in(
        "in-park",
        ["In park", "En estacionamiento"],
        [
            "The selector shows park.",
            "El selector indica estacionamiento.",
        ],
    )
    .ends(&["in-neutral"]),
    built_in(
        "in-neutral",
        ["In neutral", "En punto muerto"],
        [
            "The wheels turn freely of the drive.",
            "Las ruedas giran libres de la transmisión.",
        ],
    )
    .ends(&["in-park"]),
    built_in(
        "parking-brake-set",
        ["Parking brake set", "Freno de estacionamiento puesto"],
        [
            "The parking brake holds.",
            "El freno de estacionamiento sujeta.",
        ],
    ),
    built_in(
        "steering-locked",
        ["Steering locked", "Dirección bloqueada"],
        ["The steering wheel does not turn.", "El volante no gira."],
    ),
    built_in(
        "wheels-chocked",
        ["Wheels chocked", "Ruedas calzadas"],
        [
            "Chocks stand tight on both sides of a wheel that touches the ground.",
            "Hay calzos apretados a ambos lados de una rueda apoyada.",
        ],
    ),
    built_in(
        "line-taut",
        ["Line taut", "Cable tenso"],
        [
            "A winch line or bridle holds the vehicle.",
            "Un cable o una brida del cabrestante sujeta el vehículo.",
        ],
    ),
    built_in(
        "on-slope",
        ["On a slope", "En pendiente"],
        [
            "The vehicle would roll if nothing held it.",
            "El vehículo rodaría si nada lo sujetara.",
        ],
    ),
    built_in(
        "cord-attached",
        ["Charging cord attached", "Cable de carga conectado"],
        [
            "A charging cord is in the inlet.",
            "Hay un cable de carga en la toma.",
        ],
    ),
    built_in(
        "charging",
        ["Charging", "Cargando"],
        [
            "Current flows from the charger.",
            "Circula corriente desde el cargador.",
        ],
    )
    .needs(&["cord-attached"]),
    built_in(
        "jump-connected",
        ["Jump start connected", "Arranque auxiliar conectado"],
        [
            "A donor or booster is connected to the low-voltage posts.",
            "Hay un donante o arrancador conectado a los bornes de baja tensión.",
        ],
    ),
    built_in(
        "booster-aboard",
        ["Booster rides along", "Arrancador a bordo"],
        [
            "What is connected is a booster that lies on the vehicle and moves with it; no cable leads to a donor.",
            "Lo conectado es un arrancador que va sobre el vehículo y se mueve con él; ningún cable va a un donante.",
        ],
    )
    .needs(&["jump-connected"]),
    built_in(
        "low-voltage-loop-open",
        ["Low-voltage loop open", "Lazo de baja tensión abierto"],
        [
            "The loop that enables high voltage is open or cut.",
            "El lazo que habilita la alta tensión está abierto o cortado.",
        ],
    ),
    built_in(
        "low-voltage-disconnected",
        [
            "Low-voltage battery disconnected",
            "Batería de baja tensión desconectada",
        ],
        [
            "A terminal of the low-voltage battery is off and secured.",
            "Un borne de la batería de baja tensión está suelto y asegurado.",
        ],
    ),
    built_in(
        "high-voltage-off",
        [
            "High voltage off outside the pack",
            "Alta tensión desconectada fuera de la batería",
        ],
        [
            "The circuit outside the pack is down; the pack keeps its energy.",
            "El circuito fuera de la batería está sin tensión; la batería conserva su energía.",
        ],
    ),
    built_in(
        "raised",
        ["Raised", "Elevado"],
        [
            "At least one wheel is off the ground.",
            "Al menos una rueda no toca el suelo.",
        ],
    ),
    built_in(
        "on-stands",
        ["On stands", "Sobre soportes"],
        [
            "Stands, cribbing or blocks carry the raised vehicle.",
            "Soportes o calces sostienen el vehículo elevado.",
        ],
    )
    .needs(&["raised"]),
    built_in(
        "on-wheel-lift",
        ["On a wheel lift", "En elevador de ruedas"],
        [
            "The wheels of one end hang in a truck's wheel lift, strapped.",
            "Las ruedas de un extremo cuelgan en el elevador de un camión, atadas.",
        ],
    )
    .needs(&["raised"]),
    built_in(
        "panel-removed",
        ["Underbody panel removed", "Panel inferior retirado"],
        [
            "A panel is off and its fasteners are kept.",
            "Se ha retirado un panel y se guardan sus fijaciones.",
        ],
    ),
    built_in(
        "on-deck",
        ["On the deck", "Sobre la plataforma"],
        [
            "All wheels stand on the carrier's deck.",
            "Todas las ruedas están sobre la plataforma.",
        ],
    ),
    built_in(
        "secured",
        ["Secured", "Sujeto"],
        [
            "Every tie-down is on, tight and checked.",
            "Todas las sujeciones están puestas, tensas y comprobadas.",
        ],
    )
    .needs(&["on-deck"]),
    built_in(
        "on-dollies",
        ["On dollies", "Sobre carretillas"],
        [
            "The wheels that would touch the road stand on dollies.",
            "Las ruedas que tocarían la calzada van sobre carretillas.",
        ],
    ),
    built_in(
        "in-water",
        ["In water", "En agua"],
        ["Water reaches the underbody.", "El agua alcanza los bajos."],
    )
    .brings(&["pack-suspect"]),
    built_in(
        "smoke-or-heat",
        ["Smoke or heat", "Humo o calor"],
        [
            "Smoke, hissing, smell or heat comes from the pack.",
            "Sale humo, silbido, olor o calor de la batería.",
        ],
    )
    .brings(&["pack-suspect"]),
    built_in(
        "pack-suspect",
        ["Pack under suspicion", "Batería bajo sospecha"],
        [
            "A crash, water, smoke or heat may have hurt the pack, now or earlier, and nobody has judged it since.",
            "Un choque, agua, humo o calor pudo dañar la batería, ahora o antes, y nadie la ha examinado después.",
        ],
    ),
    built_in(
        "shift-refused",
        ["Neutral refused", "Punto muerto rechazado"],
        [
            "Low voltage is alive, and the selector does not take neutral.",
            "Hay baja tensión y el selector no admite el punto muerto.",
        ],
    ),
    built_in(
        "cord-stuck",
        ["Charging cord stuck", "Cable de carga atascado"],
        [
            "The cord stays locked when the vehicle is told to let it go.",
            "El cable sigue bloqueado cuando se ordena al vehículo soltarlo.",
        ],
    )
    .needs(&["cord-attached"]),
    built_in(
        "on-skates",
        ["On skates", "Sobre patines"],
        [
            "Every wheel that would drag stands on a skate.",
            "Cada rueda que arrastraría va sobre un patín.",
        ],
    ),
    built_in(
        "key-within-reach",
        ["Key within reach", "Llave localizable"],
        [
            "Somebody who has a key can bring it to the scene.",
            "Alguien que tiene una llave puede traerla.",
        ],
    ),
    built_in(
        "donor-at-hand",
        ["Donor at hand", "Donante disponible"],
        [
            "A low-voltage donor or booster with its cables is at the scene.",
            "Hay en el lugar un donante o arrancador de baja tensión con sus cables.",
        ],
    ),
    built_in(
        "winch-at-hand",
        ["Winch and line at hand", "Cabrestante y cable disponibles"],
        [
            "A winch with a line and bridle stands ready in front of the vehicle.",
            "Hay un cabrestante con cable y brida preparado ante el vehículo.",
        ],
    ),
    built_in(
        "skates-at-hand",
        ["Skates at hand", "Patines disponibles"],
        [
            "Skates for every wheel that does not turn are at the scene.",
            "Hay en el lugar patines para cada rueda que no gira.",
        ],
    ),
    built_in(
        "dollies-at-hand",
        ["Dollies at hand", "Carretillas disponibles"],
        [
            "Dollies rated for the axle are at the scene.",
            "Hay en el lugar carretillas con capacidad para el eje.",
        ],
    ),
];

/// Whether an id belongs to the built-in set.
pub fn is_built_in(id: &str) -> bool {
    BUILT_IN.iter().any(|c| c.id == id)
}

/// The built-in condition with this id.
pub fn find(id: &str) -> Option<&'static BuiltIn> {
    BUILT_IN.iter().find(|c| c.id == id)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_condition_named_by_another_is_built_in() {
        for condition in BUILT_IN {
            let named = condition.depends_on.iter().chain(condition.ends);
            for other in named.chain(condition.brings) {
                assert!(is_built_in(other), "{}: {other}", condition.id);
                assert_ne!(*other, condition.id);
            }
        }
    }

    #[test]
    fn every_built_in_id_is_well_formed_and_unique() {
        for (i, condition) in BUILT_IN.iter().enumerate() {
            assert!(crate::id::Id::new(condition.id).is_ok(), "{}", condition.id);
            assert!(
                BUILT_IN.iter().skip(i + 1).all(|c| c.id != condition.id),
                "{}",
                condition.id
            );
        }
    }
}

//! The rules that no way may break, whatever the profile says.

use chockstone_schema::{
    model::procedure::{Act, Purpose},
    report::Trust,
};

use crate::checks::references::{JACKS, JUMP_ORDER, LOGIC, NHTSA, PRACTICE, Rest};

/// A built-in rule; it is broken where everything in `while_holding` holds and nothing in `unless_any` does.
#[derive(Debug)]
pub struct BuiltInRule {
    /// The rule's id.
    pub id: &'static str,
    /// The rule in English and Spanish.
    pub text: [&'static str; 2],
    /// Why, in English and Spanish.
    pub why: [&'static str; 2],
    /// When it is judged.
    pub judged: Judged,
    /// The conditions that must all hold for it to apply.
    pub while_holding: &'static [&'static str],
    /// The conditions of which one is enough to make it safe.
    pub unless_any: &'static [&'static str],
    /// The title of its source, and how far that may be trusted.
    pub reference: Rest,
}

/// When a rule is judged.
#[derive(Debug)]
pub enum Judged {
    /// Before a step that is one of the acts or brings about one of the conditions.
    Before {
        /// The acts.
        acts: &'static [Act],
        /// The conditions.
        brings_about: &'static [&'static str],
    },
    /// Before any step of a procedure, and before any general act, except in procedures of these purposes.
    BeforeAnyBut(&'static [Purpose]),
    /// After a step that is one of the acts or ends one of the conditions.
    After {
        /// The acts.
        acts: &'static [Act],
        /// The conditions.
        ends: &'static [&'static str],
    },
    /// After every step.
    Always,
}

const fn before(acts: &'static [Act], brings_about: &'static [&'static str]) -> Judged {
    Judged::Before { acts, brings_about }
}

const fn after(acts: &'static [Act], ends: &'static [&'static str]) -> Judged {
    Judged::After { acts, ends }
}

const CONNECTED: Rest = (
    "IEC 62196 and IEC 61851-1: the vehicle is immobilised while a cord is connected",
    Trust::SecondHand,
);
const SUSPECT: Rest = (
    "Common practice, no source; for flooded vehicles also USFA, 2022-10-20, on NHTSA's advice: such a pack can short and burn days to weeks later",
    Trust::Practice,
);

/// Every built-in rule.
pub static BUILT_IN_RULES: &[BuiltInRule] = &[
    BuiltInRule {
        id: "control-before-neutral",
        text: [
            "Under control before neutral: chocks, a taut line or a set brake hold the vehicle first.",
            "Bajo control antes del punto muerto: primero lo sujetan calzos, un cable tenso o el freno.",
        ],
        why: [
            "A vehicle in neutral that nothing holds rolls.",
            "Un vehículo en punto muerto que nada sujeta rueda.",
        ],
        judged: before(&[Act::SelectNeutral], &["in-neutral"]),
        while_holding: &[],
        unless_any: &[
            "wheels-chocked",
            "line-taut",
            "parking-brake-set",
            "secured",
            "on-stands",
            "on-wheel-lift",
        ],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "held-in-neutral",
        text: [
            "In neutral something always holds the vehicle.",
            "En punto muerto siempre hay algo que sujeta el vehículo.",
        ],
        why: [
            "A vehicle in neutral that nothing holds rolls.",
            "Un vehículo en punto muerto que nada sujeta rueda.",
        ],
        judged: Judged::Always,
        while_holding: &["in-neutral"],
        unless_any: &[
            "wheels-chocked",
            "line-taut",
            "parking-brake-set",
            "secured",
            "on-stands",
            "on-wheel-lift",
        ],
        reference: LOGIC,
    },
    BuiltInRule {
        id: "held-on-skates",
        text: [
            "On skates a taut line or tie-downs always hold the vehicle.",
            "Sobre patines siempre sujetan el vehículo un cable tenso o las sujeciones.",
        ],
        why: [
            "Skates slide; park, brakes and chocks hold nothing there.",
            "Los patines deslizan; ahí no sujetan ni estacionamiento, ni frenos, ni calzos.",
        ],
        judged: Judged::Always,
        while_holding: &["on-skates"],
        unless_any: &["line-taut", "secured"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "line-on-a-slope",
        text: [
            "On a slope a taut line holds the vehicle before neutral; chocks alone do not.",
            "En pendiente un cable tenso sujeta el vehículo antes del punto muerto; los calzos solos no bastan.",
        ],
        why: [
            "A wheel climbs over a chock, and nobody stops the vehicle by hand.",
            "Una rueda pasa por encima del calzo y nadie detiene el vehículo a mano.",
        ],
        judged: before(&[Act::SelectNeutral], &["in-neutral"]),
        while_holding: &["on-slope"],
        unless_any: &["line-taut", "secured"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "line-stays-on-a-slope",
        text: [
            "In neutral on a slope the line stays taut until tie-downs hold the vehicle.",
            "En punto muerto y en pendiente el cable sigue tenso hasta que las sujeciones sujeten el vehículo.",
        ],
        why: [
            "A wheel climbs over a chock, and nobody stops the vehicle by hand.",
            "Una rueda pasa por encima del calzo y nadie detiene el vehículo a mano.",
        ],
        judged: Judged::Always,
        while_holding: &["on-slope", "in-neutral"],
        unless_any: &["line-taut", "secured"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "loop-closed-before-ready",
        text: [
            "The low-voltage loop is closed before the vehicle is made ready.",
            "El lazo de baja tensión se cierra antes de poner el vehículo listo.",
        ],
        why: [
            "With the loop open the vehicle will not get ready.",
            "Con el lazo abierto el vehículo no queda listo.",
        ],
        judged: before(&[], &["ready"]),
        while_holding: &["low-voltage-loop-open"],
        unless_any: &[],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "panels-before-service",
        text: [
            "Underbody panels are back on before the vehicle is made ready.",
            "Los paneles inferiores se montan antes de poner el vehículo listo.",
        ],
        why: [
            "What the panel covers is hit by stones, and a loose panel tears off.",
            "Las piedras golpean lo que el panel cubre, y un panel suelto se arranca.",
        ],
        judged: before(&[], &["ready"]),
        while_holding: &["panel-removed"],
        unless_any: &[],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "stands-before-work-under",
        text: [
            "Nobody works under a raised vehicle that stands on a jack alone.",
            "Nadie trabaja debajo de un vehículo elevado que solo sostiene un gato.",
        ],
        why: [
            "It falls off the jack and crushes.",
            "Cae del gato y aplasta.",
        ],
        judged: before(&[Act::WorkUnder], &[]),
        while_holding: &["raised"],
        unless_any: &["on-stands"],
        reference: JACKS,
    },
    BuiltInRule {
        id: "chocked-before-jack",
        text: [
            "A wheel that stays down is chocked before a jack raises a corner.",
            "Se calza una rueda apoyada antes de elevar una esquina con el gato.",
        ],
        why: [
            "The vehicle rolls off the jack; park holds only the driven wheels.",
            "El vehículo rueda y cae del gato; el estacionamiento solo frena las ruedas motrices.",
        ],
        judged: before(&[Act::RaiseJack], &[]),
        while_holding: &[],
        unless_any: &["wheels-chocked"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "one-corner-at-a-time",
        text: [
            "A raised vehicle is raised further only when stands carry it.",
            "Un vehículo elevado se eleva más solo cuando lo sostienen soportes.",
        ],
        why: [
            "It tips off the jack that carries it already.",
            "Vuelca del gato que ya lo sostiene.",
        ],
        judged: before(&[Act::RaiseJack, Act::RaiseLift], &[]),
        while_holding: &["raised"],
        unless_any: &["on-stands"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "off-before-work",
        text: [
            "The vehicle is switched off before it is winched, raised, worked under or put on skates or dollies, and before its loop is opened.",
            "El vehículo se apaga antes de arrastrarlo, elevarlo, trabajar debajo o ponerlo sobre patines o carretillas, y antes de abrir su lazo.",
        ],
        why: [
            "A vehicle that is ready can move without a sound.",
            "Un vehículo listo puede moverse sin ruido.",
        ],
        judged: before(
            &[
                Act::WinchUp,
                Act::RaiseJack,
                Act::RaiseLift,
                Act::WorkUnder,
                Act::OpenLoop,
            ],
            &["raised", "on-skates", "on-dollies"],
        ),
        while_holding: &["ready"],
        unless_any: &[],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "down-before-ready",
        text: [
            "The vehicle stands on its wheels before it is made ready.",
            "El vehículo está sobre sus ruedas antes de ponerlo listo.",
        ],
        why: [
            "A wheel that turns throws it off what carries it.",
            "Una rueda que gira lo derriba de lo que lo sostiene.",
        ],
        judged: before(&[], &["ready"]),
        while_holding: &["raised"],
        unless_any: &[],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "no-charging-while-jumping",
        text: [
            "Never charging while a jump start is connected.",
            "Nunca cargando mientras hay un arranque auxiliar conectado.",
        ],
        why: [
            "Two supplies feed one low-voltage system.",
            "Dos fuentes alimentan un mismo sistema de baja tensión.",
        ],
        judged: Judged::Always,
        while_holding: &["charging", "jump-connected"],
        unless_any: &[],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "off-before-jump",
        text: [
            "The vehicle is switched off before the first clamp goes on.",
            "El vehículo se apaga antes de poner la primera pinza.",
        ],
        why: [
            "A vehicle that is ready can move without a sound.",
            "Un vehículo listo puede moverse sin ruido.",
        ],
        judged: before(&[Act::ConnectPositiveFlat], &[]),
        while_holding: &["ready"],
        unless_any: &[],
        reference: JUMP_ORDER,
    },
    BuiltInRule {
        id: "cord-off-before-moving",
        text: [
            "The charging cord is out before the vehicle is put in neutral, winched, raised or made ready.",
            "El cable de carga se retira antes de poner el punto muerto, arrastrar, elevar o poner listo el vehículo.",
        ],
        why: [
            "The cord tears out of the inlet and leaves live parts.",
            "El cable se arranca de la toma y deja partes con tensión.",
        ],
        judged: before(
            &[Act::WinchUp],
            &[
                "on-deck",
                "on-dollies",
                "on-skates",
                "raised",
                "in-neutral",
                "ready",
            ],
        ),
        while_holding: &["cord-attached"],
        unless_any: &[],
        reference: CONNECTED,
    },
    BuiltInRule {
        id: "donor-off-before-moving",
        text: [
            "A donor is disconnected before the vehicle is winched, raised or put on a deck, skates or dollies; only a booster may ride along.",
            "El donante se desconecta antes de arrastrar o elevar el vehículo o ponerlo sobre plataforma, patines o carretillas; solo un arrancador puede ir a bordo.",
        ],
        why: [
            "The cables tear off, short and spark at the battery.",
            "Los cables se arrancan, hacen cortocircuito y chispas en la batería.",
        ],
        judged: before(
            &[Act::WinchUp],
            &["on-deck", "on-dollies", "on-skates", "raised"],
        ),
        while_holding: &["jump-connected"],
        unless_any: &["booster-aboard"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "held-when-line-comes-off",
        text: [
            "The line comes off only when tie-downs, chocks, park, a brake or a truck's wheel lift hold the vehicle.",
            "El cable se quita solo cuando lo sujetan sujeciones, calzos, estacionamiento, freno o el elevador de un camión.",
        ],
        why: [
            "It rolls off the deck or down the road.",
            "Rueda fuera de la plataforma o por la calzada.",
        ],
        judged: after(&[Act::ReleaseLine], &["line-taut"]),
        while_holding: &[],
        unless_any: &[
            "secured",
            "wheels-chocked",
            "in-park",
            "parking-brake-set",
            "on-wheel-lift",
        ],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "held-on-the-deck",
        text: [
            "On a deck the line comes off only when tie-downs or chocks hold the vehicle; park or a brake alone do not.",
            "En la plataforma el cable se quita solo cuando lo sujetan sujeciones o calzos; no bastan estacionamiento ni freno.",
        ],
        why: [
            "A deck tilts, and a wheel held by the drive or a brake slides or lets go.",
            "La plataforma se inclina, y una rueda sujeta por la transmisión o el freno desliza o se suelta.",
        ],
        judged: after(&[Act::ReleaseLine], &["line-taut"]),
        while_holding: &["on-deck"],
        unless_any: &["secured", "wheels-chocked"],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "held-when-chocks-go",
        text: [
            "Chocks go away only when a line, tie-downs, park, a brake or a truck's wheel lift hold the vehicle.",
            "Los calzos se quitan solo cuando lo sujetan un cable, sujeciones, estacionamiento, freno o el elevador de un camión.",
        ],
        why: [
            "It rolls over whoever takes them away.",
            "Rueda sobre quien los quita.",
        ],
        judged: after(&[Act::ReleaseChock], &["wheels-chocked"]),
        while_holding: &[],
        unless_any: &[
            "line-taut",
            "secured",
            "in-park",
            "parking-brake-set",
            "on-wheel-lift",
        ],
        reference: PRACTICE,
    },
    BuiltInRule {
        id: "away-from-smoke",
        text: [
            "With smoke or heat nobody works on the vehicle: away, and call the fire service.",
            "Con humo o calor nadie trabaja en el vehículo: alejarse y llamar a los bomberos.",
        ],
        why: [
            "Vented vapours can be toxic and burn at any moment.",
            "Los vapores pueden ser tóxicos e inflamarse en cualquier momento.",
        ],
        judged: Judged::BeforeAnyBut(&[Purpose::Fire]),
        while_holding: &["smoke-or-heat"],
        unless_any: &[],
        reference: NHTSA,
    },
    BuiltInRule {
        id: "out-of-the-water-first",
        text: [
            "Nothing is done to a vehicle in water but bringing it out.",
            "A un vehículo en el agua no se le hace nada más que sacarlo.",
        ],
        why: [
            "High voltage and short circuits may be under the water.",
            "Puede haber alta tensión y cortocircuitos bajo el agua.",
        ],
        judged: Judged::BeforeAnyBut(&[Purpose::Fire, Purpose::Submersion]),
        while_holding: &["in-water"],
        unless_any: &[],
        reference: NHTSA,
    },
    BuiltInRule {
        id: "suspect-pack-stays-dead",
        text: [
            "A vehicle whose pack is under suspicion is not jumped, woken, charged or made ready.",
            "Un vehículo con la batería bajo sospecha no se arranca, despierta, carga ni se pone listo.",
        ],
        why: [
            "Current through a hurt pack can start a fire.",
            "La corriente por una batería dañada puede iniciar un incendio.",
        ],
        judged: before(
            &[Act::ConnectPositiveFlat],
            &[
                "jump-connected",
                "low-voltage-alive",
                "awake",
                "ready",
                "charging",
            ],
        ),
        while_holding: &["pack-suspect"],
        unless_any: &[],
        reference: SUSPECT,
    },
];

#[cfg(test)]
mod tests {
    use super::*;
    use chockstone_schema::conditions::is_built_in;

    #[test]
    fn every_rule_names_built_in_conditions_and_has_an_id_of_its_own() {
        for (i, rule) in BUILT_IN_RULES.iter().enumerate() {
            let mut before = BUILT_IN_RULES.iter().take(i);
            assert!(before.all(|r| r.id != rule.id));
            let brings: &[&str] = match &rule.judged {
                Judged::Before { brings_about, .. } => brings_about,
                Judged::After { ends, .. } => ends,
                _ => &[],
            };
            for id in rule
                .while_holding
                .iter()
                .chain(rule.unless_any)
                .chain(brings)
            {
                assert!(is_built_in(id), "{}: {id}", rule.id);
            }
        }
    }

    #[test]
    fn no_rule_is_broken_everywhere() {
        for rule in BUILT_IN_RULES {
            assert!(
                !rule.while_holding.is_empty() || !rule.unless_any.is_empty(),
                "{}",
                rule.id
            );
        }
    }
}

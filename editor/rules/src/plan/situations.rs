//! The situations in which crews meet a vehicle.

use std::collections::BTreeSet;

use chockstone_schema::{Profile, conditions, text::Text};

use super::names::{both, condition_name};

/// A named situation: what holds at its start.
#[derive(Debug)]
pub struct Situation {
    /// The situation's id.
    pub id: &'static str,
    /// Its name in English and Spanish.
    pub name: [&'static str; 2],
    /// The conditions that hold; all others do not.
    pub given: &'static [&'static str],
}

/// Every named situation, the usual start first.
pub fn situations() -> &'static [Situation] {
    SITUATIONS
}

macro_rules! usual_with {
    ($($more:literal),* $(,)?) => {
        &["in-park", "parking-brake-set", "winch-at-hand", "donor-at-hand", $($more),*]
    };
}

static SITUATIONS: &[Situation] = &[
    Situation {
        id: "parked",
        name: ["Parked and sound", "Estacionado y en orden"],
        given: usual_with!["low-voltage-alive", "key-present"],
    },
    Situation {
        id: "low-voltage-flat",
        name: ["Low voltage flat", "Baja tensión agotada"],
        given: usual_with!["key-present"],
    },
    Situation {
        id: "no-key",
        name: ["No key", "Sin llave"],
        given: usual_with!["low-voltage-alive"],
    },
    Situation {
        id: "flat-and-no-key",
        name: [
            "Low voltage flat, no key",
            "Baja tensión agotada, sin llave",
        ],
        given: usual_with![],
    },
    Situation {
        id: "cord-attached",
        name: ["Charging cord attached", "Cable de carga conectado"],
        given: usual_with![
            "low-voltage-alive",
            "key-present",
            "cord-attached",
            "charging"
        ],
    },
    Situation {
        id: "cord-stuck",
        name: ["Charging cord stuck", "Cable de carga atascado"],
        given: usual_with![
            "low-voltage-alive",
            "key-present",
            "cord-attached",
            "cord-stuck"
        ],
    },
    Situation {
        id: "flat-and-cord-stuck",
        name: [
            "Low voltage flat, cord stuck",
            "Baja tensión agotada, cable atascado",
        ],
        given: usual_with!["key-present", "cord-attached", "cord-stuck"],
    },
    Situation {
        id: "shift-refused",
        name: ["Will not shift to neutral", "No admite el punto muerto"],
        given: usual_with!["low-voltage-alive", "key-present", "shift-refused"],
    },
    Situation {
        id: "on-slope",
        name: ["Parked on a slope", "Estacionado en pendiente"],
        given: usual_with!["low-voltage-alive", "key-present", "on-slope"],
    },
    Situation {
        id: "after-crash",
        name: [
            "After a crash, low voltage flat",
            "Tras un choque, baja tensión agotada",
        ],
        given: usual_with!["key-present", "pack-suspect"],
    },
    Situation {
        id: "in-water",
        name: ["In water", "En el agua"],
        given: usual_with!["in-water", "pack-suspect"],
    },
    Situation {
        id: "smoke-or-heat",
        name: ["Smoke or heat", "Humo o calor"],
        given: usual_with![
            "low-voltage-alive",
            "key-present",
            "smoke-or-heat",
            "pack-suspect"
        ],
    },
    Situation {
        id: "on-the-deck",
        name: ["Arrived on the deck", "Llegado sobre la plataforma"],
        given: usual_with!["low-voltage-alive", "key-present", "on-deck", "secured"],
    },
];

/// What goes wrong at once in the 64 combinations: the name, what no longer holds and what does.
static TROUBLES: &[Trouble] = &[
    (
        ["low voltage flat", "baja tensión agotada"],
        &["low-voltage-alive"],
        &[],
    ),
    (["no key", "sin llave"], &["key-present"], &[]),
    (
        ["cord stuck", "cable atascado"],
        &[],
        &["cord-attached", "cord-stuck"],
    ),
    (
        ["neutral refused", "punto muerto rechazado"],
        &[],
        &["shift-refused"],
    ),
    (["on a slope", "en pendiente"], &[], &["on-slope"]),
    (
        ["pack under suspicion", "batería bajo sospecha"],
        &[],
        &["pack-suspect"],
    ),
];

type Trouble = (
    [&'static str; 2],
    &'static [&'static str],
    &'static [&'static str],
);

/// A start: what holds before the first step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Start {
    /// The id of the named situation, if it is one.
    pub situation: Option<String>,
    /// What it is called.
    pub name: Text,
    /// The conditions that hold; all others do not.
    pub given: BTreeSet<String>,
}

impl Start {
    /// The start of a named situation.
    pub fn named(situation: &Situation) -> Self {
        Self {
            situation: Some(situation.id.to_owned()),
            name: both(situation.name),
            given: situation.given.iter().map(|id| (*id).to_owned()).collect(),
        }
    }

    /// A start of one's own, called by what makes it differ from the usual one.
    pub fn given(profile: &Profile, given: BTreeSet<String>) -> Self {
        if let Some(known) = SITUATIONS
            .iter()
            .map(Self::named)
            .find(|s| s.given == given)
        {
            return known;
        }
        let usual = SITUATIONS.first().map_or(&[] as &[_], |s| s.given);
        let more = given.iter().filter(|id| !usual.contains(&id.as_str()));
        let less = usual.iter().filter(|id| !given.contains(**id));
        let name = |id: &str, k: usize| {
            let text = condition_name(profile, id);
            let [english, spanish] = super::names::languages();
            let wanted = if k == 0 {
                [english, spanish]
            } else {
                [spanish, english]
            };
            text.pick(&wanted).to_owned()
        };
        let say = |k: usize, not: &str| {
            let held = more.clone().map(|id| name(id, k));
            let over = less.clone().map(|id| format!("{not}{}", name(id, k)));
            held.chain(over).collect::<Vec<_>>().join(", ")
        };
        let [english, spanish] = [say(0, "not: "), say(1, "no: ")];
        Self {
            situation: None,
            name: both([&english, &spanish]),
            given,
        }
    }

    /// What in the start cannot be true at once, one sentence each: two conditions that end each other, or one without
    /// what it depends on.
    pub fn contradictions(&self, profile: &Profile) -> Vec<String> {
        let mut found = Vec::new();
        let holds = |id: &str| self.given.contains(id);
        for id in &self.given {
            let built_in = conditions::find(id);
            for other in built_in.map_or(&[] as &[_], |c| c.ends) {
                if holds(other) && id.as_str() < *other {
                    found.push(format!("{id} and {other} cannot both hold."));
                }
            }
            let own = profile.conditions.iter().find(|c| c.id.as_str() == id);
            let needs = built_in
                .map_or(&[] as &[_], |c| c.depends_on)
                .iter()
                .copied();
            let own_needs = own
                .into_iter()
                .flat_map(|c| &c.depends_on)
                .map(chockstone_schema::id::ConditionRef::as_str);
            for other in needs.chain(own_needs).filter(|other| !holds(other)) {
                found.push(format!("{id} cannot hold without {other}."));
            }
        }
        found
    }
}

/// Every combination of six troubles on the usual start: 64 starts, the usual one first.
pub fn combinations() -> Vec<Start> {
    (0_u32..1 << TROUBLES.len()).map(combination).collect()
}

fn combination(which: u32) -> Start {
    let chosen = TROUBLES
        .iter()
        .enumerate()
        .filter(|(i, _)| which >> i & 1 == 1)
        .map(|(_, trouble)| trouble);
    let mut given: BTreeSet<String> = SITUATIONS
        .first()
        .map(|usual| usual.given.iter().map(|id| (*id).to_owned()).collect())
        .unwrap_or_default();
    let mut names: [Vec<&str>; 2] = [Vec::new(), Vec::new()];
    for ([english, spanish], less, more) in chosen {
        given.retain(|id| !less.contains(&id.as_str()));
        given.extend(more.iter().map(|id| (*id).to_owned()));
        let [in_english, in_spanish] = &mut names;
        in_english.push(english);
        in_spanish.push(spanish);
    }
    let known = SITUATIONS
        .iter()
        .map(Start::named)
        .find(|s| s.given == given);
    let [english, spanish] = names.map(|list| capital(&list.join(", ")));
    known.unwrap_or_else(|| Start {
        situation: None,
        name: both([&english, &spanish]),
        given,
    })
}

fn capital(text: &str) -> String {
    let mut rest = text.chars();
    rest.next()
        .map(|first| first.to_uppercase().chain(rest).collect())
        .unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_situation_names_built_in_conditions_and_contradicts_nothing() {
        let profile = crate::testing::sound_profile();
        for situation in situations() {
            assert!(situation.given.iter().all(|id| conditions::is_built_in(id)));
            assert_eq!(
                Start::named(situation).contradictions(&profile),
                Vec::<String>::new(),
                "{}",
                situation.id
            );
        }
    }

    #[test]
    fn six_troubles_give_sixty_four_different_starts() {
        let starts = combinations();
        assert_eq!(starts.len(), 64);
        let different: BTreeSet<_> = starts.iter().map(|s| s.given.clone()).collect();
        assert_eq!(different.len(), 64);
        let first = starts.first().and_then(|s| s.situation.as_deref());
        assert_eq!(first, Some("parked"));
    }

    #[test]
    fn a_start_without_what_it_depends_on_is_told() {
        let profile = crate::testing::sound_profile();
        let start = Start::given(&profile, BTreeSet::from(["awake".to_owned()]));
        assert_eq!(
            start.contradictions(&profile),
            ["awake cannot hold without low-voltage-alive."]
        );
    }
}

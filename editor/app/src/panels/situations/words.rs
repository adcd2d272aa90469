//! Times, short answers and names, in words.

use std::collections::BTreeSet;

use chockstone_rules::plan;
use chockstone_schema::{
    Profile, conditions,
    model::advice::SignalWord,
    report::{HazardCount, HoldLine, MissingFact, PartKind, PlanAnswer, PlanCell, Way},
    text::{Language, Text},
};

use crate::figures;

/// In which language texts are read.
pub(super) struct Reader {
    /// The wanted language, then what stands in for it.
    order: Vec<Language>,
}

impl Reader {
    /// Reads the wanted language; where a text lacks it, the profile's base language.
    pub(super) fn new(profile: &Profile, wanted: Option<&str>) -> Self {
        let wanted = wanted.and_then(|tag| Language::new(tag).ok());
        let base = profile.language.clone();
        let order = wanted.into_iter().chain([base]);
        Self {
            order: order.chain(Language::new("en").ok()).collect(),
        }
    }

    /// The string of a text.
    pub(super) fn text<'t>(&'t self, text: &'t Text) -> &'t str {
        text.pick(&self.order)
    }

    /// The string of a text that the program brings along.
    pub(super) fn pair(&self, [english, spanish]: [&'static str; 2]) -> &'static str {
        let known = self.order.iter().map(|l| l.as_str().split('-').next());
        let first = known.flatten().find(|l| matches!(*l, "en" | "es"));
        if first == Some("es") {
            spanish
        } else {
            english
        }
    }

    /// What a condition is called.
    pub(super) fn condition(&self, profile: &Profile, id: &str) -> String {
        self.text(&plan::condition_name(profile, id)).to_owned()
    }

    /// How a crew can tell that a condition holds.
    pub(super) fn meaning(&self, profile: &Profile, id: &str) -> String {
        if let Some(condition) = conditions::find(id) {
            return self.pair(condition.meaning).to_owned();
        }
        let own = profile.conditions.iter().find(|c| c.id.as_str() == id);
        own.map_or_else(String::new, |c| self.text(&c.meaning).to_owned())
    }

    /// What a debt is called.
    pub(super) fn debt(&self, profile: &Profile, id: &str) -> String {
        let debt = profile.debts.iter().find(|d| d.id.as_str() == id);
        debt.map_or_else(|| id.to_owned(), |d| self.text(&d.name).to_owned())
    }

    /// Conditions in one line.
    pub(super) fn conditions<'i>(
        &self,
        profile: &Profile,
        ids: impl IntoIterator<Item = &'i String>,
    ) -> String {
        let names = ids.into_iter().map(|id| self.condition(profile, id));
        names.collect::<Vec<_>>().join(", ")
    }

    /// Debts in one line.
    pub(super) fn debts<'i>(
        &self,
        profile: &Profile,
        ids: impl IntoIterator<Item = &'i String>,
    ) -> String {
        let names = ids.into_iter().map(|id| self.debt(profile, id));
        names.collect::<Vec<_>>().join("; ")
    }

    /// The word that heads a hazard message.
    pub(super) fn signal(&self, signal: SignalWord) -> &'static str {
        self.pair(match signal {
            SignalWord::Danger => ["DANGER", "PELIGRO"],
            SignalWord::Warning => ["WARNING", "ADVERTENCIA"],
            SignalWord::Caution => ["CAUTION", "PRECAUCIÓN"],
            SignalWord::Notice => ["NOTICE", "AVISO"],
        })
    }

    /// The answer of a cell in a few words.
    pub(super) fn short(&self, profile: &Profile, cell: &PlanCell) -> String {
        match (cell.answer, &cell.way) {
            (PlanAnswer::Holds, _) => "Holds".to_owned(),
            (PlanAnswer::Way, Some(way)) => length(way),
            (PlanAnswer::Way, None) => "There is a way".to_owned(),
            (PlanAnswer::WayIf, _) => self.facts(profile, &cell.missing),
            (PlanAnswer::NoWay, _) => "No way".to_owned(),
            (PlanAnswer::NotWorkedOut, _) => "Not worked out".to_owned(),
        }
    }

    fn facts(&self, profile: &Profile, missing: &[MissingFact]) -> String {
        let named = |must_hold: bool, word: &str| {
            let facts = missing.iter().filter(|fact| fact.must_hold == must_hold);
            let names = facts.map(|fact| self.condition(profile, &fact.condition));
            let names = names.collect::<Vec<_>>().join(", ");
            (!names.is_empty()).then(|| format!("{word}: {names}"))
        };
        let parts = [named(true, "If"), named(false, "If not")];
        parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
    }

    /// A condition that holds for a time, in a sentence.
    pub(super) fn hold(&self, profile: &Profile, hold: &HoldLine) -> String {
        let needed = match hold.needed_until {
            Some(until) => format!("needed until {}", time(until)),
            None => "no step needs it".to_owned(),
        };
        format!(
            "{} holds from {} until {}; {needed}: {}",
            self.condition(profile, &hold.condition),
            time(hold.from),
            time(hold.until),
            figures::verdict(hold.verdict)
        )
    }
}

/// A time in words, to the second: `14 min 30 s`.
pub(super) fn time(seconds: f64) -> String {
    let whole = seconds.max(0.0).round();
    let (hours, rest) = ((whole / 3600.0).floor(), whole % 3600.0);
    let (minutes, seconds) = ((rest / 60.0).floor(), rest % 60.0);
    let parts = [(hours, "h"), (minutes, "min"), (seconds, "s")];
    let parts = parts.into_iter().filter(|(number, _)| *number > 0.0);
    let parts: Vec<String> = parts.map(|(n, unit)| format!("{n:.0} {unit}")).collect();
    if parts.is_empty() {
        "0 min".to_owned()
    } else {
        parts.join(" ")
    }
}

/// A time and, where it differs, the time of the slowest crew.
pub(super) fn span(seconds: f64, slowest: f64) -> String {
    if (slowest - seconds).abs() < 0.5 {
        time(seconds)
    } else {
        format!("{}, at most {}", time(seconds), time(slowest))
    }
}

/// How long a way is, in a few words.
fn length(way: &Way) -> String {
    match (way.untimed_steps, way.seconds > 0.0) {
        (0, _) => time(way.seconds),
        (_, true) => format!("{} or more", time(way.seconds)),
        (_, false) => count(way.steps, "step"),
    }
}

/// A way's time, number of steps and hazard messages, in a sentence.
pub(super) fn outline(way: &Way) -> String {
    let mut parts = vec![span(way.seconds, way.slowest), count(way.steps, "step")];
    if way.untimed_steps > 0 {
        let verb = if way.untimed_steps == 1 {
            "states"
        } else {
            "state"
        };
        parts.push(format!("{} of them {verb} no time", way.untimed_steps));
    }
    parts.push(hazards(way.hazards));
    parts.join("; ")
}

fn hazards(hazards: HazardCount) -> String {
    let counts = [
        (hazards.danger, "danger"),
        (hazards.warning, "warning"),
        (hazards.caution, "caution"),
        (hazards.notice, "notice"),
    ];
    let counts = counts.into_iter().filter(|(number, _)| *number > 0);
    let counts: Vec<String> = counts.map(|(number, word)| count(number, word)).collect();
    if counts.is_empty() {
        "no hazard messages".to_owned()
    } else {
        counts.join(", ")
    }
}

/// A number of things: `1 step`, `3 steps`.
pub(super) fn count(number: usize, thing: &str) -> String {
    let ending = if number == 1 { "" } else { "s" };
    format!("{number} {thing}{ending}")
}

/// What kind of part of a way it is.
pub(super) fn part(kind: PartKind) -> &'static str {
    match kind {
        PartKind::Procedure => "Procedure",
        PartKind::GeneralAct => "General act",
        PartKind::Fact => "Brought about from outside",
    }
}

/// The conditions that a person picks from, by what they are about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Group {
    /// The vehicle itself.
    Vehicle,
    /// Where it stands, and what carries or holds it there.
    Scene,
    /// What the crew has or can get.
    AtHand,
    /// What the profile adds.
    Own,
}

const SCENE: [&str; 12] = [
    "on-slope",
    "in-water",
    "smoke-or-heat",
    "pack-suspect",
    "wheels-chocked",
    "line-taut",
    "raised",
    "on-stands",
    "on-skates",
    "on-dollies",
    "on-deck",
    "secured",
];
const AT_HAND: [&str; 6] = [
    "key-present",
    "key-within-reach",
    "donor-at-hand",
    "winch-at-hand",
    "skates-at-hand",
    "dollies-at-hand",
];

impl Group {
    pub(super) const ALL: [Self; 4] = [Self::Vehicle, Self::Scene, Self::AtHand, Self::Own];

    pub(super) fn label(self) -> &'static str {
        match self {
            Self::Vehicle => "Vehicle",
            Self::Scene => "Scene",
            Self::AtHand => "At hand",
            Self::Own => "This profile’s own",
        }
    }

    /// The group of a condition.
    pub(super) fn of(id: &str) -> Self {
        if SCENE.contains(&id) {
            Self::Scene
        } else if AT_HAND.contains(&id) {
            Self::AtHand
        } else if conditions::is_built_in(id) {
            Self::Vehicle
        } else {
            Self::Own
        }
    }
}

/// What a person changed against a situation: what came and what went.
pub(super) fn changes<'i>(
    situation: &[&'static str],
    given: &'i BTreeSet<String>,
) -> (Vec<&'i str>, Vec<&'static str>) {
    let came = given.iter().map(String::as_str);
    let came = came.filter(|id| !situation.contains(id)).collect();
    let went = situation.iter().filter(|id| !given.contains(**id));
    (came, went.copied().collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_is_told_to_the_second() {
        for (seconds, expected) in [
            (0.0, "0 min"),
            (30.0, "30 s"),
            (60.0, "1 min"),
            (870.0, "14 min 30 s"),
            (3600.0, "1 h"),
            (5430.0, "1 h 30 min 30 s"),
        ] {
            assert_eq!(time(seconds), expected);
        }
        assert_eq!(span(60.0, 60.0), "1 min");
        assert_eq!(span(60.0, 90.0), "1 min, at most 1 min 30 s");
    }

    #[test]
    fn every_condition_that_is_sorted_into_a_group_is_built_in() {
        for id in SCENE.iter().chain(&AT_HAND) {
            assert!(conditions::is_built_in(id), "{id}");
        }
        assert_eq!(Group::of("in-park"), Group::Vehicle);
        assert_eq!(Group::of("on-slope"), Group::Scene);
        assert_eq!(Group::of("key-present"), Group::AtHand);
        assert_eq!(Group::of("tailgate-down"), Group::Own);
    }

    #[test]
    fn what_a_person_changed_is_told_from_the_situation() {
        let given = ["in-park", "raised"].map(str::to_owned).into();
        let (came, went) = changes(&["in-park", "key-present"], &given);
        assert_eq!(came, ["raised"]);
        assert_eq!(went, ["key-present"]);
    }
}

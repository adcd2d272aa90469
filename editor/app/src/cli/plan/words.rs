//! What a plan names, in the words of the profile and in the language wanted.

use chockstone_rules::plan::condition_name;
use chockstone_schema::{
    Profile,
    id::VariantRef,
    model::advice::{Hazard, SignalWord},
    report::{HazardCount, MissingFact},
    text::{Language, Text},
};

use super::known::primary;

/// Tells texts of a profile in one language, with English or the profile's own where a text lacks it.
pub(super) struct Words<'w> {
    pub(super) profile: &'w Profile,
    languages: &'w [Language],
}

impl<'w> Words<'w> {
    pub(super) fn new(profile: &'w Profile, languages: &'w [Language]) -> Self {
        Self { profile, languages }
    }

    /// A text of the profile or of a report.
    pub(super) fn text<'t>(&'t self, text: &'t Text) -> &'t str {
        text.pick(self.languages)
    }

    /// Whether Spanish is wanted.
    pub(super) fn in_spanish(&self) -> bool {
        self.languages.first().is_some_and(|l| primary(l) == "es")
    }

    /// A text of the program, which has it in English and Spanish.
    pub(super) fn own(&self, [english, spanish]: [&'static str; 2]) -> &'static str {
        if self.in_spanish() { spanish } else { english }
    }

    /// The name of a condition.
    pub(super) fn condition(&self, id: &str) -> String {
        self.text(&condition_name(self.profile, id)).to_owned()
    }

    /// The names of conditions in a row.
    pub(super) fn conditions(&self, ids: &[String]) -> String {
        let names: Vec<String> = ids.iter().map(|id| self.condition(id)).collect();
        names.join(", ")
    }

    /// What settles a debt, and what happens if it is forgotten.
    pub(super) fn debt(&self, id: &str) -> String {
        let Some(debt) = self.profile.debts.iter().find(|d| d.id.as_str() == id) else {
            return id.to_owned();
        };
        let name = self.text(&debt.name);
        match &debt.why {
            Some(why) => format!("{}: {}", name.trim_end_matches('.'), self.text(why)),
            None => name.to_owned(),
        }
    }

    /// The names of points in a row, each with its id.
    pub(super) fn points(&self, ids: &[String]) -> String {
        let name = |id: &String| {
            let point = self.profile.points.iter().find(|p| p.id.as_str() == id);
            point.map_or_else(
                || id.clone(),
                |point| format!("{} ({id})", self.text(&point.name)),
            )
        };
        ids.iter().map(name).collect::<Vec<_>>().join(", ")
    }

    /// The name of a procedure with its id.
    pub(super) fn procedure(&self, id: &str) -> String {
        let mut all = self.profile.procedures.iter();
        all.find(|p| p.id.as_str() == id).map_or_else(
            || id.to_owned(),
            |procedure| format!("{} ({id})", self.text(&procedure.name)),
        )
    }

    /// The variants that a procedure is for, empty when it is for all.
    pub(super) fn variants_of(&self, procedure: &str) -> String {
        let mut all = self.profile.procedures.iter();
        let found = all.find(|p| p.id.as_str() == procedure);
        let ids = found.into_iter().flat_map(|p| &p.variants);
        ids.map(VariantRef::as_str).collect::<Vec<_>>().join(", ")
    }

    /// A hazard message: its signal word and the hazard; in full also the consequence and how to avoid it.
    pub(super) fn hazard(&self, id: &str, in_full: bool) -> (&'static str, String) {
        let mut all = self.profile.hazards.iter();
        let Some(hazard) = all.find(|h| h.id.as_str() == id) else {
            return ("HAZARD", id.to_owned());
        };
        let message = if in_full {
            self.message(hazard)
        } else {
            self.text(&hazard.hazard).to_owned()
        };
        (signal(hazard), message)
    }

    fn message(&self, hazard: &Hazard) -> String {
        let parts = [
            Some(&hazard.hazard),
            hazard.consequence.as_ref(),
            hazard.avoidance.as_ref(),
        ];
        let sentences = parts.into_iter().flatten().map(|text| self.text(text));
        sentences.collect::<Vec<_>>().join(" ")
    }

    /// Facts as a few words: `Key present; not: Neutral refused`.
    pub(super) fn facts(&self, facts: &[MissingFact]) -> String {
        let words = |fact: &MissingFact| {
            let name = self.condition(&fact.condition);
            let not = if fact.must_hold { "" } else { "not: " };
            format!("{not}{name}")
        };
        facts.iter().map(words).collect::<Vec<_>>().join("; ")
    }
}

fn signal(hazard: &Hazard) -> &'static str {
    match hazard.signal {
        SignalWord::Danger => "DANGER",
        SignalWord::Warning => "WARNING",
        SignalWord::Caution => "CAUTION",
        SignalWord::Notice => "NOTICE",
    }
}

/// A time in minutes, to a tenth of a minute: `14`, `6.5`.
pub(super) fn minutes(seconds: f64) -> String {
    let text = format!("{:.1}", seconds / 60.0);
    text.strip_suffix(".0").map_or(text.clone(), str::to_owned)
}

/// A number of things: `1 step`, `12 steps`.
pub(super) fn count(number: usize, one: &str) -> String {
    if number == 1 {
        format!("1 {one}")
    } else {
        format!("{number} {one}s")
    }
}

/// How many messages of each signal word there are, those that do not occur left out; empty when none does.
pub(super) fn messages(hazards: HazardCount) -> String {
    let kinds = [
        (hazards.danger, "danger"),
        (hazards.warning, "warning"),
        (hazards.caution, "caution"),
        (hazards.notice, "notice"),
    ];
    let told = kinds.iter().filter(|(number, _)| *number > 0);
    told.map(|(number, word)| format!("{number} {word}"))
        .collect::<Vec<_>>()
        .join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_told_in_minutes_to_a_tenth() {
        assert_eq!(minutes(840.0), "14");
        assert_eq!(minutes(390.0), "6.5");
        assert_eq!(minutes(0.0), "0");
        assert_eq!(minutes(5400.0), "90");
    }

    #[test]
    fn messages_that_do_not_occur_are_not_told() {
        let hazards = HazardCount {
            danger: 1,
            caution: 2,
            ..HazardCount::default()
        };
        assert_eq!(messages(hazards), "1 danger, 2 caution");
        assert_eq!(messages(HazardCount::default()), "");
    }

    #[test]
    fn one_thing_is_not_many() {
        assert_eq!([count(1, "step"), count(0, "step")], ["1 step", "0 steps"]);
    }
}

//! The table of checks: one rule one file.

use chockstone_schema::report::{Severity, Trust};

use crate::{
    context::{Context, EquipmentContext},
    findings::Findings,
};

pub(crate) mod references;
pub(crate) mod rules;
pub(crate) mod words;

#[cfg(test)]
use rules::CASES;
use rules::RULES;

/// One check: what it is called, how much it matters by itself, and what it rests on.
#[derive(Debug)]
pub struct Rule {
    /// Lower-case words with hyphens; a name never changes its meaning.
    pub name: &'static str,
    /// What it looks for, as a sentence.
    pub looks_for: &'static str,
    /// How much its findings matter unless they say otherwise.
    pub severity: Severity,
    /// The title and clause of its source, and how far that may be trusted.
    pub reference: (&'static str, Trust),
    pub(crate) subject: Subject,
}

/// What a check looks at.
#[derive(Clone, Copy)]
pub(crate) enum Subject {
    /// A profile.
    Profile(fn(&Context<'_>, &mut Findings)),
    /// A piece of equipment.
    Equipment(fn(&EquipmentContext<'_>, &mut Findings)),
}

impl std::fmt::Debug for Subject {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Profile(_) => "profile",
            Self::Equipment(_) => "equipment",
        })
    }
}

/// Every rule, in the table's order.
pub fn all() -> impl Iterator<Item = &'static Rule> {
    RULES.iter().copied().flatten()
}

/// The findings of the checks of these names alone.
pub(crate) fn named_findings(
    profile: &chockstone_schema::Profile,
    names: &[&str],
) -> Vec<chockstone_schema::report::Finding> {
    let context = Context::new(profile);
    let mut found = Findings::default();
    for rule in all().filter(|rule| names.contains(&rule.name)) {
        if let Subject::Profile(check) = rule.subject {
            found.enter(rule);
            check(&context, &mut found);
        }
    }
    found.sorted()
}

#[cfg(test)]
mod tests;

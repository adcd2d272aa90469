//! Collecting findings.

use chockstone_schema::report::{Finding, Reference, Severity, Trust};

use crate::checks::Rule;

/// The findings so far, and the rule that is looking.
#[derive(Default)]
pub(crate) struct Findings {
    rule: Option<&'static Rule>,
    list: Vec<Finding>,
}

impl Findings {
    /// Says which rule the next findings belong to.
    pub(crate) fn enter(&mut self, rule: &'static Rule) {
        self.rule = Some(rule);
    }

    /// Adds a finding of the present rule: the place, what is wrong as a sentence, and what would settle it.
    pub(crate) fn add(
        &mut self,
        place: impl Into<String>,
        message: impl Into<String>,
        settle: impl Into<String>,
    ) -> Draft<'_> {
        let (name, severity, (title, trust)) = match self.rule {
            Some(rule) => (rule.name, rule.severity, rule.reference),
            None => ("", Severity::Blocking, ("", Trust::Logic)),
        };
        let finding = Finding {
            check: name.to_owned(),
            severity,
            place: place.into(),
            message: message.into(),
            computed: None,
            limit: None,
            reference: Reference {
                title: title.to_owned(),
                trust,
            },
            settle: settle.into(),
        };
        self.list.push(finding);
        Draft(self.list.last_mut())
    }

    /// The findings, blocking ones first, then by place; what two variants share is told once.
    pub(crate) fn sorted(self) -> Vec<Finding> {
        let mut list = self.list;
        list.sort_by(|a, b| key(a).cmp(&key(b)));
        list.dedup();
        list
    }
}

fn key(finding: &Finding) -> (Severity, Vec<Part<'_>>, &str, &str) {
    let parts = finding.place.split('/').map(part).collect();
    (finding.severity, parts, &finding.check, &finding.message)
}

/// A part of a pointer; list positions sort as numbers.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum Part<'a> {
    Index(u64),
    Key(&'a str),
}

fn part(text: &str) -> Part<'_> {
    text.parse().map_or(Part::Key(text), Part::Index)
}

/// A finding just added, for its figures.
pub(crate) struct Draft<'a>(Option<&'a mut Finding>);

impl Draft<'_> {
    /// What was computed or found, with its unit.
    pub(crate) fn computed(self, figure: impl Into<String>) -> Self {
        self.with(|f| f.computed = Some(figure.into()))
    }

    /// What it was held against, with its unit.
    pub(crate) fn limit(self, figure: impl Into<String>) -> Self {
        self.with(|f| f.limit = Some(figure.into()))
    }

    /// Another severity than the rule's own.
    pub(crate) fn severity(self, severity: Severity) -> Self {
        self.with(|f| f.severity = severity)
    }

    fn with(mut self, change: impl FnOnce(&mut Finding)) -> Self {
        if let Some(finding) = self.0.as_deref_mut() {
            change(finding);
        }
        self
    }
}

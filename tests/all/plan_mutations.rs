//! Every step of every demo procedure dropped, swapped with the next, and done twice: whatever of these breaks a rule, as
//! an independent judge finds it, the checks must find as well.

use std::collections::BTreeMap;

use chockstone_rules::check_profile;
use chockstone_schema::{
    Profile,
    id::Id,
    report::{Finding, Severity},
};
use chockstone_tests::{demo, tell};
use rayon::prelude::*;

mod judge;

use judge::{Broken, Judge};

/// What is done to a procedure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Change {
    Drop,
    SwapWithNext,
    DoTwice,
}

/// One change at one step of one procedure.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mutation {
    pub(crate) procedure: usize,
    pub(crate) step: usize,
    pub(crate) change: Change,
}

/// What the id of a step that is done a second time ends in.
const AGAIN: &str = "-again";

impl Mutation {
    /// Every mutation of a profile's procedures.
    fn all(profile: &Profile) -> Vec<Self> {
        let mut all = Vec::new();
        for (procedure, p) in profile.procedures.iter().enumerate() {
            for step in 0..p.steps.len() {
                for change in [Change::Drop, Change::SwapWithNext, Change::DoTwice] {
                    let last = step + 1 == p.steps.len();
                    if !(last && change == Change::SwapWithNext) {
                        all.push(Self {
                            procedure,
                            step,
                            change,
                        });
                    }
                }
            }
        }
        all
    }

    /// The profile with this change made.
    pub(crate) fn made_in(self, profile: &Profile) -> Profile {
        let mut changed = profile.clone();
        let steps = &mut changed.procedures[self.procedure].steps;
        match self.change {
            Change::Drop => drop(steps.remove(self.step)),
            Change::SwapWithNext => steps.swap(self.step, self.step + 1),
            Change::DoTwice => {
                let mut again = steps[self.step].clone();
                again.id = Id::new(&format!("{}{AGAIN}", again.id)).unwrap();
                steps.insert(self.step + 1, again);
            }
        }
        changed
    }

    pub(crate) fn told(self, profile: &Profile) -> String {
        let procedure = &profile.procedures[self.procedure];
        let step = &procedure.steps[self.step];
        format!(
            "{} {}/{} {:?}",
            profile.id, procedure.id, step.id, self.change
        )
    }
}

/// A finding told without the places of steps, which a change moves: check, procedure, step by id, rest of the place.
type Told = (String, Option<usize>, String, String);

fn told(profile: &Profile, finding: &Finding) -> Told {
    let mut parts: Vec<String> = finding.place.split('/').map(str::to_owned).collect();
    let mut procedure = None;
    if parts.get(1).is_some_and(|p| p == "procedures") {
        procedure = parts.get(2).and_then(|i| i.parse::<usize>().ok());
        if let (Some(i), Some("steps")) = (procedure, parts.get(3).map(String::as_str)) {
            let step = parts.get(4).and_then(|j| j.parse::<usize>().ok());
            if let Some(step) = step.and_then(|j| profile.procedures[i].steps.get(j)) {
                step.id
                    .as_str()
                    .trim_end_matches(AGAIN)
                    .clone_into(&mut parts[4]);
            }
        }
    }
    let message = finding.message.replace(AGAIN, "");
    (finding.check.clone(), procedure, parts.join("/"), message)
}

fn counted<T: Ord>(items: impl IntoIterator<Item = T>) -> BTreeMap<T, usize> {
    let mut counts = BTreeMap::new();
    for item in items {
        *counts.entry(item).or_insert(0) += 1;
    }
    counts
}

fn new_in<T: Ord + Clone>(after: &BTreeMap<T, usize>, before: &BTreeMap<T, usize>) -> Vec<T> {
    let more = |(item, count): (&T, &usize)| {
        (*count > before.get(item).copied().unwrap_or(0)).then(|| item.clone())
    };
    after.iter().filter_map(more).collect()
}

fn findings(profile: &Profile) -> BTreeMap<Told, usize> {
    let found = check_profile(profile);
    let serious = found.iter().filter(|f| f.severity != Severity::Note);
    counted(serious.map(|f| told(profile, f)))
}

fn broken(profile: &Profile) -> BTreeMap<Broken, usize> {
    let mut found = Judge::new(profile).broken();
    for broken in &mut found {
        broken.step = broken.step.trim_end_matches(AGAIN).to_owned();
    }
    counted(found)
}

/// What a change newly breaks, and what the checks newly find at the procedures where it breaks something.
pub(crate) struct Verdict {
    pub(crate) broken: Vec<Broken>,
    pub(crate) found: Vec<Told>,
}

impl Verdict {
    /// Whether everything that is broken is found, each at its procedure.
    fn is_found(&self) -> bool {
        self.broken
            .iter()
            .all(|b| self.found.iter().any(|f| f.1 == Some(b.procedure)))
    }
}

/// A profile as it was, judged and checked once.
pub(crate) struct Original {
    pub(crate) profile: Profile,
    broken: BTreeMap<Broken, usize>,
    findings: BTreeMap<Told, usize>,
}

impl Original {
    pub(crate) fn new(profile: Profile) -> Self {
        Self {
            broken: broken(&profile),
            findings: findings(&profile),
            profile,
        }
    }

    pub(crate) fn verdict(&self, changed: &Profile) -> Verdict {
        Verdict {
            broken: new_in(&broken(changed), &self.broken),
            found: new_in(&findings(changed), &self.findings),
        }
    }
}

#[test]
fn every_mutation_of_a_demo_procedure_that_breaks_a_rule_is_found() {
    let (mut harmless, mut found, mut missed) = (0, 0, Vec::new());
    let mut kinds = BTreeMap::new();
    for path in demo::complete() {
        let original = Original::new(demo::read(&path));
        assert!(
            original.broken.is_empty(),
            "{} breaks rules as it is: {:#?}",
            demo::name(&path),
            original.broken
        );
        let all = Mutation::all(&original.profile);
        let verdicts: Vec<(Mutation, Verdict)> = all
            .into_par_iter()
            .map(|m| (m, original.verdict(&m.made_in(&original.profile))))
            .collect();
        for (mutation, verdict) in verdicts {
            for kind in verdict.broken.iter().map(|b| b.kind) {
                *kinds.entry(kind).or_insert(0) += 1;
            }
            if verdict.broken.is_empty() {
                harmless += 1;
            } else if verdict.is_found() {
                found += 1;
            } else {
                missed.push(format!(
                    "{}: {:?}",
                    mutation.told(&original.profile),
                    verdict.broken
                ));
            }
        }
    }
    tell(&format!(
        "mutations of procedures: found {found} of {} that break a rule ({kinds:?}); {harmless} break none",
        found + missed.len()
    ));

    assert!(missed.is_empty(), "the checks miss: {missed:#?}");
}

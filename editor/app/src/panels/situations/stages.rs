//! A way as a list of stages to go through, with what holds and what is owed as each begins.

use std::collections::BTreeSet;

use chockstone_schema::report::{MissingFact, PartKind, Way, WayPart, WayStep};

/// One stage: a step, or a fact that is brought about from outside.
pub(super) struct Stage<'w> {
    /// The part that it belongs to.
    pub(super) part: &'w WayPart,
    /// The number of the part.
    pub(super) of_part: usize,
    /// Whether it is the first of its part.
    pub(super) is_first: bool,
    /// The step; a fact has none.
    pub(super) step: Option<&'w WayStep>,
    /// The number of the step, from 1; a fact has none.
    pub(super) number: Option<usize>,
    /// When it begins, in seconds, and when on the clock of the slowest crew.
    pub(super) begins: [f64; 2],
    /// What holds as it begins.
    pub(super) holds: BTreeSet<&'w str>,
    /// What can no longer be counted on as it begins.
    pub(super) uncertain: BTreeSet<&'w str>,
    /// What is owed as it begins, in the order in which it came.
    pub(super) debts: Vec<&'w str>,
}

impl Stage<'_> {
    /// When it ends, in seconds, and when on the clock of the slowest crew.
    pub(super) fn ends(&self) -> [f64; 2] {
        let [begins, slowest] = self.begins;
        let Some(step) = self.step else {
            return self.begins;
        };
        let seconds = step.seconds.unwrap_or(0.0);
        [
            begins + seconds,
            slowest + step.slowest.or(step.seconds).unwrap_or(0.0),
        ]
    }
}

/// The state that the report tells step by step.
#[derive(Default)]
struct Told<'w> {
    holds: BTreeSet<&'w str>,
    uncertain: BTreeSet<&'w str>,
    debts: Vec<&'w str>,
    number: usize,
    clock: [f64; 2],
}

/// The stages of a way from a start.
pub(super) fn stages<'w>(
    way: &'w Way,
    given: &'w BTreeSet<String>,
    missing: &[MissingFact],
) -> Vec<Stage<'w>> {
    let mut told = Told {
        holds: given.iter().map(String::as_str).collect(),
        ..Told::default()
    };
    let mut stages = Vec::new();
    for (of_part, part) in way.parts.iter().enumerate() {
        if part.kind == PartKind::Fact {
            stages.push(told.stage(part, of_part, None));
            let must_hold = |fact: &&MissingFact| fact.condition == part.id;
            told.fact(
                &part.id,
                missing.iter().find(must_hold).is_none_or(|f| f.must_hold),
            );
        }
        for step in &part.steps {
            stages.push(told.stage(part, of_part, Some(step)));
            told.after(step);
        }
    }
    stages
}

impl<'w> Told<'w> {
    fn stage(&mut self, part: &'w WayPart, of_part: usize, step: Option<&'w WayStep>) -> Stage<'w> {
        self.number += usize::from(step.is_some());
        let begins = step.map_or(self.clock, |step| [step.start, step.slowest_start]);
        let is_first = match (step, part.steps.first()) {
            (Some(step), Some(first)) => std::ptr::eq(step, first),
            _ => true,
        };
        Stage {
            part,
            of_part,
            is_first,
            step,
            number: step.map(|_| self.number),
            begins,
            holds: self.holds.clone(),
            uncertain: self.uncertain.clone(),
            debts: self.debts.clone(),
        }
    }

    fn fact(&mut self, condition: &'w str, must_hold: bool) {
        self.uncertain.remove(condition);
        if must_hold {
            self.holds.insert(condition);
        } else {
            self.holds.remove(condition);
        }
    }

    fn after(&mut self, step: &'w WayStep) {
        for condition in &step.ended {
            self.fact(condition, false);
        }
        for condition in &step.now_holds {
            self.fact(condition, true);
        }
        for condition in &step.doubtful {
            self.holds.remove(condition.as_str());
            self.uncertain.insert(condition);
        }
        self.debts
            .retain(|debt| !step.settles.iter().any(|s| s == debt));
        for debt in &step.opens {
            if !self.debts.contains(&debt.as_str()) {
                self.debts.push(debt);
            }
        }
        self.clock = [
            step.start + step.seconds.unwrap_or(0.0),
            step.slowest_start + step.slowest.or(step.seconds).unwrap_or(0.0),
        ];
    }
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::*;

    fn way() -> Way {
        serde_json::from_str(
            r#"{
              "seconds": 90, "slowest": 120, "untimed_steps": 0, "steps": 2,
              "hazards": {"danger": 0, "warning": 0, "caution": 0, "notice": 0},
              "end": [],
              "parts": [
                {"kind": "fact", "id": "key-present", "name": {"en": "Key"}, "to_confirm": false},
                {"kind": "procedure", "id": "p", "name": {"en": "P"}, "to_confirm": false, "steps": [
                  {"id": "a", "text": {"en": "A"}, "start": 0, "seconds": 60, "slowest_start": 0, "slowest": 80,
                   "now_holds": ["awake"], "ended": ["in-park"], "opens": ["cap"]},
                  {"id": "b", "text": {"en": "B"}, "start": 60, "seconds": 30, "slowest_start": 80, "slowest": 40,
                   "doubtful": ["awake"], "settles": ["cap"]}
                ]},
                {"kind": "fact", "id": "on-slope", "name": {"en": "Slope"}, "to_confirm": false}
              ]
            }"#,
        )
        .unwrap()
    }

    #[test]
    fn each_stage_knows_what_holds_and_what_is_owed_as_it_begins() {
        let way = way();
        let given = ["in-park", "on-slope"].map(str::to_owned).into();
        let level = MissingFact {
            condition: "on-slope".to_owned(),
            must_hold: false,
            text: serde_json::from_str(r#"{"en": "Level"}"#).unwrap(),
        };
        let stages = stages(&way, &given, &[level]);
        let numbers: Vec<_> = stages.iter().map(|s| s.number).collect();
        assert_eq!(numbers, [None, Some(1), Some(2), None]);
        let holds = |at: usize| stages[at].holds.iter().copied().collect::<Vec<_>>();
        assert_eq!(holds(0), ["in-park", "on-slope"]);
        assert_eq!(holds(1), ["in-park", "key-present", "on-slope"]);
        assert_eq!(holds(2), ["awake", "key-present", "on-slope"]);
        assert_eq!(stages[2].debts, ["cap"]);
        assert!(stages[3].debts.is_empty());
        assert!(stages[3].uncertain.contains("awake"));
        assert!(stages[1].is_first && !stages[2].is_first && stages[3].is_first);
    }

    #[test]
    #[allow(clippy::float_cmp, reason = "whole seconds are exact")]
    fn both_clocks_run_on_over_facts() {
        let way = way();
        let given = BTreeSet::new();
        let stages = stages(&way, &given, &[]);
        assert_eq!(stages[1].ends(), [60.0, 80.0]);
        assert_eq!(stages[2].begins, [60.0, 80.0]);
        assert_eq!(stages[3].begins, [90.0, 120.0]);
        assert_eq!(stages[3].ends(), [90.0, 120.0]);
    }
}

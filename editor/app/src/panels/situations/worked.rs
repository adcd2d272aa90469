//! What the planner answered, kept until something that it depends on changes.

use std::collections::BTreeSet;

use chockstone_rules::plan::{self, Planner, Start};
use chockstone_schema::{
    Profile,
    report::{Goal, LeftOut, PlanCell, PlanChoices, PlanRow, PlanRule},
    text::Text,
};

use super::{Plan, SituationsInput};

/// Everything that a planner depends on.
#[derive(Debug, Clone, PartialEq)]
struct Key {
    file: String,
    revision: u64,
    variant: Option<String>,
    choices: PlanChoices,
}

/// The answers.
pub(super) struct Worked {
    key: Key,
    /// Every condition that a person may give.
    pub(super) conditions: Vec<(String, Text)>,
    /// Procedures that no way uses, and why.
    pub(super) left_out: Vec<LeftOut>,
    /// The rules that no way breaks.
    pub(super) rules: Vec<PlanRule>,
    /// Why nothing could be planned.
    pub(super) trouble: Option<String>,
    /// What was true at the start that the row is for.
    pub(super) given: BTreeSet<String>,
    /// What the rules say against the start as it was given.
    pub(super) contradictions: Vec<String>,
    /// The ways from the start that was chosen, one a goal.
    row: Option<PlanRow>,
    table: Table,
}

/// The rows of the table, as far as they were asked for.
#[derive(Default)]
struct Table {
    named: Option<Vec<PlanRow>>,
    combinations: Option<Vec<PlanRow>>,
}

impl Worked {
    /// The answers to a plan as it is now.
    pub(super) fn up_to_date<'w>(
        kept: &'w mut Option<Self>,
        input: &SituationsInput<'_>,
        plan: &Plan,
    ) -> &'w mut Self {
        let key = Key {
            file: input.file.to_owned(),
            revision: input.revision,
            variant: plan.variant.clone(),
            choices: plan.choices,
        };
        let old = kept.take().filter(|worked| worked.key == key);
        let worked = kept.insert(old.unwrap_or_else(|| Self::new(key, input.profile)));
        worked.ask(input.profile, plan);
        worked
    }

    fn new(key: Key, profile: &Profile) -> Self {
        let mut worked = Self {
            key,
            conditions: Vec::new(),
            left_out: Vec::new(),
            rules: Vec::new(),
            trouble: None,
            given: BTreeSet::new(),
            contradictions: Vec::new(),
            row: None,
            table: Table::default(),
        };
        match worked.planner(profile) {
            Ok(planner) => {
                let report = planner.report(Vec::new());
                worked.conditions = planner.conditions();
                worked.left_out = report.left_out;
                worked.rules = report.rules;
            }
            Err(trouble) => worked.trouble = Some(trouble),
        }
        worked
    }

    fn planner<'p>(&self, profile: &'p Profile) -> Result<Planner<'p>, String> {
        let variant = self.key.variant.as_deref();
        Planner::new(profile, variant, self.key.choices).map_err(|much| much.to_string())
    }

    /// Asks for what is looked at and was not asked for yet.
    fn ask(&mut self, profile: &Profile, plan: &Plan) {
        if self.trouble.is_some() {
            return;
        }
        let wants_row = self.row.is_none() || self.given != plan.given;
        let table = plan.view == super::View::Table;
        let wants_table = table && self.table.rows(plan.all).is_none();
        if !(wants_row || wants_table) {
            return;
        }
        let Ok(planner) = self.planner(profile) else {
            return;
        };
        if wants_row {
            let start = plan.start(profile);
            self.contradictions = start.contradictions(profile);
            self.row = Some(planner.row(&start, &Goal::ALL));
            self.given.clone_from(&plan.given);
        }
        if wants_table {
            let rows = planner.table(&starts(plan.all), &Goal::ALL);
            *self.table.kept(plan.all) = Some(rows);
        }
    }

    /// The answer for a goal.
    pub(super) fn cell(&self, goal: Goal) -> Option<&PlanCell> {
        let mut cells = self.row.iter().flat_map(|row| &row.cells);
        cells.find(|cell| cell.goal == goal)
    }

    /// The rows of the table: every named situation, or every combination.
    pub(super) fn rows(&self, all: bool) -> &[PlanRow] {
        self.table.rows(all).unwrap_or(&[])
    }
}

fn starts(all: bool) -> Vec<Start> {
    if all {
        plan::combinations()
    } else {
        plan::situations().iter().map(Start::named).collect()
    }
}

impl Table {
    fn rows(&self, all: bool) -> Option<&[PlanRow]> {
        let rows = if all { &self.combinations } else { &self.named };
        rows.as_deref()
    }

    fn kept(&mut self, all: bool) -> &mut Option<Vec<PlanRow>> {
        if all {
            &mut self.combinations
        } else {
            &mut self.named
        }
    }
}

//! The ways from every named situation to every goal.

use std::{collections::BTreeSet, fmt::Write};

use chockstone_rules::plan::{Planner, Start, condition_name, goal_name, situations};
use chockstone_schema::{
    Profile,
    report::{Effect, EffectTopic, Goal, PlanAnswer, PlanCell, PlanChoices, PlanRow},
};

use super::{Sides, Words, list};

/// Times are told to a tenth of a minute, in seconds.
const ROUNDING: f64 = 6.0;

pub(super) fn effects(sides: &Sides<'_>) -> Vec<Effect> {
    match (table(sides.before), table(sides.after)) {
        (Some(older), Some(newer)) => {
            let cells = pairs(sides, &older, &newer);
            let mut found = answers(sides, &cells);
            found.extend(times(sides, &cells));
            found
        }
        (older, newer) if older.is_none() != newer.is_none() => {
            let told = |table: &Option<Vec<PlanRow>>| {
                let words = if table.is_some() {
                    "worked out"
                } else {
                    "not worked out: the profile names too many conditions or debts"
                };
                Some(words.to_owned())
            };
            vec![Effect {
                topic: EffectTopic::Situations,
                what: "The ways from situations to goals".to_owned(),
                before: told(&older),
                after: told(&newer),
                worse: newer.is_none(),
            }]
        }
        _ => Vec::new(),
    }
}

/// The whole table, for every variant at once; `None` when the profile names more than can be worked with.
fn table(profile: &Profile) -> Option<Vec<PlanRow>> {
    let planner = Planner::new(profile, None, PlanChoices::default()).ok()?;
    let starts: Vec<Start> = situations().iter().map(Start::named).collect();
    Some(planner.table(&starts, &Goal::ALL))
}

/// The answers for one situation and one goal.
struct Cells<'t> {
    situation: String,
    goal: Goal,
    older: Answer<'t>,
    newer: Answer<'t>,
}

/// One answer, by the ids that the newer profile has.
struct Answer<'t> {
    cell: &'t PlanCell,
    missing: BTreeSet<(String, bool)>,
    debts: BTreeSet<String>,
}

impl<'t> Answer<'t> {
    fn of(cell: &'t PlanCell, now: &dyn Fn(&str, &str) -> String) -> Self {
        let missing = cell.missing.iter();
        let debts = cell.way.iter().flat_map(|way| &way.debts);
        Self {
            cell,
            missing: missing
                .map(|fact| (now("condition", &fact.condition), fact.must_hold))
                .collect(),
            debts: debts.map(|debt| now("debt", debt)).collect(),
        }
    }

    fn is_same(&self, other: &Self) -> bool {
        self.cell.answer == other.cell.answer
            && self.missing == other.missing
            && self.debts == other.debts
            && self.cell.fallback.is_some() == other.cell.fallback.is_some()
    }

    /// Whether less is possible than in the older answer, or more is asked for or left open.
    fn is_worse_than(&self, older: &Self) -> bool {
        let rank = |answer| match answer {
            PlanAnswer::Holds => 0,
            PlanAnswer::Way => 1,
            PlanAnswer::WayIf => 2,
            PlanAnswer::NotWorkedOut => 3,
            PlanAnswer::NoWay => 4,
        };
        let (was, now) = (rank(older.cell.answer), rank(self.cell.answer));
        let lost_fallback =
            now > 1 && older.cell.fallback.is_some() && self.cell.fallback.is_none();
        now > was
            || lost_fallback
            || (now == was && !self.missing.is_subset(&older.missing))
            || (now == was && !self.debts.is_subset(&older.debts))
    }

    fn told(&self, profile: &Profile, words: &Words) -> String {
        let mut told = match self.cell.answer {
            PlanAnswer::Holds => "reached already".to_owned(),
            PlanAnswer::Way => "there is a way".to_owned(),
            PlanAnswer::WayIf => format!("only if {}", self.facts(profile, words)),
            PlanAnswer::NoWay => "no way".to_owned(),
            PlanAnswer::NotWorkedOut => "not worked out: too many states".to_owned(),
        };
        if !self.debts.is_empty() {
            let names: Vec<String> = self
                .debts
                .iter()
                .map(|id| debt(profile, words, id))
                .collect();
            let _ = write!(told, ", which leaves open: {}", list(&names));
        }
        if self.cell.fallback.is_some() {
            told.push_str("; it can be moved with no wheel turning");
        }
        told
    }

    fn facts(&self, profile: &Profile, words: &Words) -> String {
        let facts = self.missing.iter().map(|(condition, must_hold)| {
            let name = condition_name(profile, condition);
            let not = if *must_hold { "" } else { "not " };
            format!("{not}“{}”", words.text(&name))
        });
        list(&facts.collect::<Vec<_>>())
    }
}

/// What a debt is called in the newer profile, or else its id.
fn debt(profile: &Profile, words: &Words, id: &str) -> String {
    let found = profile.debts.iter().find(|debt| debt.id.as_str() == id);
    found.map_or_else(
        || id.to_owned(),
        |debt| format!("“{}”", words.text(&debt.name)),
    )
}

fn pairs<'t>(sides: &Sides<'_>, older: &'t [PlanRow], newer: &'t [PlanRow]) -> Vec<Cells<'t>> {
    let now = |of: &str, id: &str| sides.renames.now(of, id).to_owned();
    let as_is = |_: &str, id: &str| id.to_owned();
    // Both tables have the same situations and goals, in one order.
    let rows = older.iter().zip(newer);
    rows.flat_map(|(a, b)| {
        let situation = sides.words.text(&b.name).to_owned();
        let cells = a.cells.iter().zip(&b.cells);
        cells.map(move |(a, b)| Cells {
            situation: situation.clone(),
            goal: b.goal,
            older: Answer::of(a, &now),
            newer: Answer::of(b, &as_is),
        })
    })
    .collect()
}

/// Answers that changed; situations that one goal changed for in one way are told together.
fn answers(sides: &Sides<'_>, cells: &[Cells<'_>]) -> Vec<Effect> {
    let mut groups: Vec<(Goal, [String; 2], bool, Vec<String>)> = Vec::new();
    for cell in cells.iter().filter(|c| !c.newer.is_same(&c.older)) {
        let told = [&cell.older, &cell.newer].map(|a| a.told(sides.after, &sides.words));
        let worse = cell.newer.is_worse_than(&cell.older);
        let name = format!("“{}”", cell.situation);
        let known = groups
            .iter_mut()
            .find(|(goal, texts, w, _)| *goal == cell.goal && *texts == told && *w == worse);
        match known {
            Some((_, _, _, names)) => names.push(name),
            None => groups.push((cell.goal, told, worse, vec![name])),
        }
    }
    let effect = |(goal, [before, after], worse, names): (_, [String; 2], _, Vec<String>)| Effect {
        topic: EffectTopic::Situations,
        what: format!(
            "The way to “{}” from {}",
            sides.words.own(goal_name(goal)),
            list(&names)
        ),
        before: Some(before),
        after: Some(after),
        worse,
    };
    groups.into_iter().map(effect).collect()
}

/// How long the way to each goal takes: the situation where it changed most stands for all.
fn times(sides: &Sides<'_>, cells: &[Cells<'_>]) -> Vec<Effect> {
    let of_goal = |goal: Goal| {
        let moved: Vec<(&Cells<'_>, [f64; 2])> = cells
            .iter()
            .filter(|cell| cell.goal == goal && cell.newer.is_same(&cell.older))
            .filter_map(|cell| {
                let way = |answer: &Answer<'_>| answer.cell.way.as_ref().map(|w| w.slowest);
                Some((cell, [way(&cell.older)?, way(&cell.newer)?]))
            })
            .filter(|(_, [a, b])| (a - b).abs() >= ROUNDING)
            .collect();
        let by = |(_, [a, b]): &(&Cells<'_>, [f64; 2])| (a - b).abs();
        let most = moved.iter().max_by(|x, y| by(x).total_cmp(&by(y)))?;
        let (cell, [before, after]) = most;
        let others = match moved.len() {
            1 => String::new(),
            2 => " (and from one other situation)".to_owned(),
            more => format!(" (and from {} other situations)", more - 1),
        };
        Some(Effect {
            topic: EffectTopic::Situations,
            what: format!(
                "Time to “{}” from “{}” with the slowest crew{others}",
                sides.words.own(goal_name(goal)),
                cell.situation
            ),
            before: Some(minutes(*before)),
            after: Some(minutes(*after)),
            worse: false,
        })
    };
    Goal::ALL.into_iter().filter_map(of_goal).collect()
}

fn minutes(seconds: f64) -> String {
    let text = format!("{:.1}", seconds / 60.0);
    format!("{} min", text.strip_suffix(".0").unwrap_or(&text))
}

//! The planner: from a start to each goal.

use chockstone_schema::{
    Profile,
    model::procedure::{Procedure, Purpose},
    report::{
        Fallback, Finding, Goal, LeftOut, MissingFact, PlanAnswer, PlanCell, PlanChoices,
        PlanReport, PlanRow, PlanRule, Reference, Severity, Way,
    },
    text::Text,
};

use rayon::prelude::*;

use super::{
    actions::{self, Action},
    built_in_rules::BUILT_IN_RULES,
    goals::{GoalCode, WHEELS_OFF_THE_GROUND, asked},
    names::{both, condition_name, fact_text},
    search::{Answer, Found, Search},
    situations::Start,
    state::State,
    way,
    world::{TooMuch, World},
};
use crate::{PROGRAM, checks::named_findings};

/// Finds the best ways through a profile's procedures.
#[derive(Debug)]
pub struct Planner<'p> {
    profile: &'p Profile,
    variant: Option<String>,
    choices: PlanChoices,
    world: World<'p>,
    actions: Vec<Action<'p>>,
    /// The actions that leave the drive as it is: what remains when the vehicle is moved with no wheel turning.
    without_neutral: Vec<Action<'p>>,
    left_out: Vec<LeftOut>,
}

/// The checks whose blocking findings keep a procedure from being used: they see an order that cannot be seen in the state.
const ORDER_CHECKS: &[&str] = &[
    "jump-order",
    "jump-removal-order",
    "jump-voltage",
    "jump-not-accepted",
    "step-contradicts-itself",
];

impl<'p> Planner<'p> {
    /// Prepares a profile, or one variant of it; refused when it names more conditions or debts than can be worked with.
    pub fn new(
        profile: &'p Profile,
        variant: Option<&str>,
        choices: PlanChoices,
    ) -> Result<Self, TooMuch> {
        let findings = named_findings(profile, ORDER_CHECKS);
        let (mut used, mut left_out) = (Vec::new(), Vec::new());
        for (i, procedure) in profile.procedures.iter().enumerate() {
            if procedure.steps.is_empty() {
                continue;
            }
            if let Some(why) = not_for(profile, procedure, variant) {
                left_out.push(LeftOut {
                    procedure: procedure.id.as_str().to_owned(),
                    place: format!("/procedures/{i}/variants"),
                    why,
                });
                continue;
            }
            match findings.iter().find(|f| blocks(f, i)) {
                Some(finding) => left_out.push(LeftOut {
                    procedure: procedure.id.as_str().to_owned(),
                    place: finding.place.clone(),
                    why: finding.message.clone(),
                }),
                None => used.push((i, procedure)),
            }
        }
        let procedures: Vec<&Procedure> = used.iter().map(|(_, p)| *p).collect();
        let world = World::new(profile, &procedures, choices.load_up)?;
        let mut actions = actions::of_procedures(&world, &used);
        actions.extend(actions::of_crew(&world, &choices));
        let facts = actions::of_facts(&world, &actions);
        actions.extend(facts);
        let neutral = world.set(["in-neutral"]);
        let leave_it = actions.iter().filter(|a| a.adds & neutral == 0);
        let without_neutral = leave_it.cloned().collect();
        Ok(Self {
            profile,
            variant: variant.map(str::to_owned),
            choices,
            world,
            actions,
            without_neutral,
            left_out,
        })
    }

    /// Every condition that a person may give, built-in ones first, with its name.
    pub fn conditions(&self) -> Vec<(String, Text)> {
        let built_in = chockstone_schema::conditions::BUILT_IN.iter().map(|c| c.id);
        let own = self.profile.conditions.iter().map(|c| c.id.as_str());
        built_in
            .chain(own)
            .map(|id| (id.to_owned(), condition_name(self.profile, id)))
            .collect()
    }

    /// The ways from one start to these goals.
    pub fn row(&self, start: &Start, goals: &[Goal]) -> PlanRow {
        let searches = self.searches(goals);
        self.row_of(start, &searches)
    }

    /// The ways from these starts to these goals.
    pub fn table(&self, starts: &[Start], goals: &[Goal]) -> Vec<PlanRow> {
        let searches = self.searches(goals);
        starts
            .par_iter()
            .map(|start| self.row_of(start, &searches))
            .collect()
    }

    /// A whole report of these rows.
    pub fn report(&self, rows: Vec<PlanRow>) -> PlanReport {
        PlanReport {
            program: PROGRAM.to_owned(),
            profile: self.profile.id.as_str().to_owned(),
            variant: self.variant.clone(),
            choices: self.choices,
            rules: self.rules(),
            left_out: self.left_out.clone(),
            rows,
        }
    }

    /// The rules that no way breaks, built-in ones first.
    pub fn rules(&self) -> Vec<PlanRule> {
        let built_in = BUILT_IN_RULES.iter().map(|rule| PlanRule {
            id: rule.id.to_owned(),
            own: false,
            text: both(rule.text),
            why: both(rule.why),
            reference: Reference {
                title: rule.reference.0.to_owned(),
                trust: rule.reference.1,
            },
        });
        let own = self.profile.safety_rules.iter().map(|rule| PlanRule {
            id: rule.id.as_str().to_owned(),
            own: true,
            text: rule.text.clone(),
            why: rule.why.clone(),
            reference: self.reference(rule.source.as_ref()),
        });
        built_in.chain(own).collect()
    }

    fn reference(&self, source: Option<&chockstone_schema::id::SourceRef>) -> Reference {
        let (title, trust) = crate::fit::rule_source(self.profile, source);
        Reference {
            title: title.into_owned(),
            trust,
        }
    }

    fn searches(&self, goals: &[Goal]) -> Searches<'_, 'p> {
        let least = self.choices.least;
        let make = |asked, actions| {
            let goal = GoalCode::new(&self.world, asked);
            (goal, Search::new(&self.world, actions, goal, least))
        };
        Searches {
            goals: goals
                .iter()
                .map(|goal| (*goal, make(asked(*goal), &self.actions)))
                .collect(),
            fallback: make(WHEELS_OFF_THE_GROUND, &self.without_neutral),
        }
    }

    fn row_of(&self, start: &Start, searches: &Searches<'_, 'p>) -> PlanRow {
        let world = &self.world;
        let given = world.set(start.given.iter().map(String::as_str));
        let state = world.start(given);
        PlanRow {
            situation: start.situation.clone(),
            name: start.name.clone(),
            given: world.ids_of(state.held),
            cells: searches
                .goals
                .iter()
                .map(|(goal, (code, search))| self.cell(*goal, code, search, &state, searches))
                .collect(),
        }
    }

    fn cell(
        &self,
        goal: Goal,
        code: &GoalCode,
        search: &Search<'_, 'p>,
        start: &State,
        searches: &Searches<'_, 'p>,
    ) -> PlanCell {
        let mut cell = PlanCell {
            goal,
            answer: PlanAnswer::NoWay,
            way: None,
            missing: Vec::new(),
            reasons: Vec::new(),
            first: self.first(start),
            fallback: None,
        };
        let answer = self.worked_out(&self.actions, code, search, start);
        cell.reasons = answer.reasons;
        cell.answer = match &answer.way {
            None => answer.without,
            Some(_) if !answer.missing.is_empty() => PlanAnswer::WayIf,
            Some(way) if way.parts.is_empty() => PlanAnswer::Holds,
            Some(_) => PlanAnswer::Way,
        };
        cell.missing = answer.missing;
        cell.way = answer.way.filter(|way| !way.parts.is_empty());
        let is_open = matches!(cell.answer, PlanAnswer::Way | PlanAnswer::Holds);
        if !is_open && matches!(goal, Goal::InNeutral | Goal::Loaded | Goal::Secured) {
            cell.fallback = self.fallback(start, searches, cell.way.as_ref());
        }
        cell
    }

    /// Asks a search, and tells the way that it found; a way that cannot be told is no way.
    fn worked_out(
        &self,
        actions: &[Action<'p>],
        goal: &GoalCode,
        search: &Search<'_, 'p>,
        start: &State,
    ) -> WorkedOut {
        let told = |answer: Answer| match answer.found {
            _ if answer.given_up => Some(WorkedOut::not()),
            None => Some(WorkedOut {
                reasons: answer.reasons,
                ..WorkedOut::default()
            }),
            Some(found) => {
                way::tell(&self.world, actions, &found, start, goal).map(|way| WorkedOut {
                    missing: self.missing(actions, &found),
                    way: Some(way),
                    reasons: answer.reasons,
                    ..WorkedOut::default()
                })
            }
        };
        told(search.answer(start))
            .or_else(|| told(search.answer_in_full(start)))
            .unwrap_or_else(WorkedOut::not)
    }

    fn missing(&self, actions: &[Action<'p>], found: &Found) -> Vec<MissingFact> {
        way::facts(actions, found)
            .map(|(bit, must_hold)| {
                let id = self.world.id(bit);
                MissingFact {
                    condition: id.to_owned(),
                    must_hold,
                    text: fact_text(self.profile, id, must_hold),
                }
            })
            .collect()
    }

    /// The way with wheels off the ground, where it is another one than the way that was found.
    fn fallback(
        &self,
        start: &State,
        searches: &Searches<'_, 'p>,
        instead_of: Option<&Way>,
    ) -> Option<Fallback> {
        let (goal, search) = &searches.fallback;
        let found = self.worked_out(&self.without_neutral, goal, search, start);
        let way = found.way.filter(|way| !way.parts.is_empty())?;
        let ids = |way: &Way| way.parts.iter().map(|p| p.id.clone()).collect::<Vec<_>>();
        let is_another = instead_of.is_none_or(|other| ids(other) != ids(&way));
        is_another.then_some(Fallback {
            missing: found.missing,
            way,
        })
    }

    /// The procedures for smoke, heat, fire or water that this start calls for.
    fn first(&self, start: &State) -> Vec<String> {
        let calls = |p: &&Procedure| {
            let condition = match p.purpose {
                Purpose::Fire => "smoke-or-heat",
                Purpose::Submersion => "in-water",
                _ => return false,
            };
            self.world.bit(condition) & start.held != 0
        };
        let found = self.profile.procedures.iter().filter(calls);
        found.map(|p| p.id.as_str().to_owned()).collect()
    }
}

/// What was found out for one start and one goal.
struct WorkedOut {
    way: Option<Way>,
    missing: Vec<MissingFact>,
    reasons: Vec<String>,
    /// What is to be said when there is no way.
    without: PlanAnswer,
}

impl WorkedOut {
    /// Nothing was found out.
    fn not() -> Self {
        Self {
            without: PlanAnswer::NotWorkedOut,
            ..Self::default()
        }
    }
}

impl Default for WorkedOut {
    fn default() -> Self {
        Self {
            way: None,
            missing: Vec::new(),
            reasons: Vec::new(),
            without: PlanAnswer::NoWay,
        }
    }
}

/// The searches of a table, prepared once.
struct Searches<'a, 'p> {
    goals: Vec<(Goal, (GoalCode, Search<'a, 'p>))>,
    fallback: (GoalCode, Search<'a, 'p>),
}

/// Why a procedure may not be used for a variant; without one, only procedures for every variant may.
fn not_for(profile: &Profile, procedure: &Procedure, variant: Option<&str>) -> Option<String> {
    let is_for = |id: &str| procedure.variants.iter().any(|v| v.as_str() == id);
    let fits = procedure.variants.is_empty()
        || match variant {
            Some(id) => is_for(id),
            None => profile.variants.iter().all(|v| is_for(v.id.as_str())),
        };
    let names: Vec<&str> = procedure
        .variants
        .iter()
        .map(chockstone_schema::id::VariantRef::as_str)
        .collect();
    (!fits).then(|| format!("It is only for: {}.", names.join(", ")))
}

/// Whether a finding blocks the procedure at this place of the list.
fn blocks(finding: &Finding, index: usize) -> bool {
    let place = format!("/procedures/{index}");
    let rest = finding.place.strip_prefix(&place);
    finding.severity == Severity::Blocking
        && rest.is_some_and(|r| r.is_empty() || r.starts_with('/'))
}

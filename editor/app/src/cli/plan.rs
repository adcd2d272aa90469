//! `chockstone plan`: the ways from situations to safe ends, or why there is none.

use std::{collections::BTreeSet, io, path::PathBuf};

use chockstone_rules::plan::{Planner, Situation, Start, combinations, situations};
use chockstone_schema::{
    Profile,
    report::{Goal, Least, PlanAnswer, PlanChoices, PlanReport, PlanRow},
    text::Language,
};
use clap::ValueEnum;

use super::{Outcome, complain, fit::read_profile, print_json, quantities};

mod known;
mod layout;
mod table;
mod way;
mod words;

use words::Words;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A profile.
    profile: PathBuf,
    /// Only the procedures of this variant; without it, those of every variant.
    #[arg(long, value_name = "ID")]
    variant: Option<String>,
    /// Start from this named situation; without it from "parked", the usual one.
    #[arg(long, value_name = "ID")]
    situation: Option<String>,
    /// Conditions that hold at the start besides those of the situation.
    #[arg(long, value_name = "COND,…", value_delimiter = ',')]
    given: Vec<String>,
    /// Conditions of the situation that do not hold at the start.
    #[arg(long, value_name = "COND,…", value_delimiter = ',')]
    without: Vec<String>,
    /// Ask for this goal only: opened, awake, cord-free, in-neutral, loaded, secured or returned-to-service.
    #[arg(long, value_name = "GOAL")]
    goal: Option<String>,
    /// Start from each of the 64 combinations of six troubles.
    #[arg(long, conflicts_with_all = ["situation", "given", "without"])]
    every: bool,
    /// Which of two ways is the better one.
    #[arg(long, value_enum, default_value = "time")]
    least: LeastWord,
    /// How long winching up takes at this scene, such as "20 min", where that is longer than the steps say.
    #[arg(long, value_name = "TIME", value_parser = quantities::time, allow_hyphen_values = true)]
    load_up: Option<f64>,
    /// How long it takes to have the key brought, such as "40 min"; 15 minutes without it.
    #[arg(long, value_name = "TIME", value_parser = quantities::time, allow_hyphen_values = true)]
    fetch_key: Option<f64>,
    /// The language of the profile's texts, such as es; without it English. A document has every language.
    #[arg(long, value_name = "TAG", value_parser = Language::new)]
    language: Option<Language>,
    /// Print one JSON document (schema/plan.schema.json).
    #[arg(long)]
    json: bool,
}

/// What is least in the best way, as a word.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum LeastWord {
    /// The quicker way; of two as quick, the one with fewer hazard messages.
    Time,
    /// The way with fewer danger messages, then fewer warnings, then fewer cautions; of two alike, the quicker.
    Hazard,
}

impl Arguments {
    fn choices(&self) -> PlanChoices {
        PlanChoices {
            least: match self.least {
                LeastWord::Time => Least::Time,
                LeastWord::Hazard => Least::Hazard,
            },
            load_up: self.load_up,
            fetch_key: self.fetch_key,
        }
    }

    /// Whether the call is about one start, rather than about every named situation or combination.
    fn names_a_start(&self) -> bool {
        let names_conditions = !self.given.is_empty() || !self.without.is_empty();
        !self.every && (self.situation.is_some() || self.goal.is_some() || names_conditions)
    }

    fn goals(&self) -> Result<Vec<Goal>, String> {
        self.goal
            .as_deref()
            .map_or(Ok(Goal::ALL.to_vec()), |word| Ok(vec![known::goal(word)?]))
    }

    fn starts(&self, profile: &Profile, planner: &Planner<'_>) -> Result<Vec<Start>, String> {
        if self.every {
            Ok(combinations())
        } else if self.names_a_start() {
            self.start(profile, planner).map(|start| vec![start])
        } else {
            Ok(situations().iter().map(Start::named).collect())
        }
    }

    /// The situation named, with the conditions given and without those taken away.
    fn start(&self, profile: &Profile, planner: &Planner<'_>) -> Result<Start, String> {
        let situation: &Situation = known::situation(self.situation.as_deref())?;
        let conditions = planner.conditions();
        let read = |option: &str, words: &[String]| -> Result<BTreeSet<String>, String> {
            let ids = words
                .iter()
                .map(|word| known::condition(option, word, &conditions));
            ids.collect()
        };
        let more = read("--given", &self.given)?;
        let less = read("--without", &self.without)?;
        if let Some(both) = more.intersection(&less).next() {
            return Err(format!(
                "{both:?} is named by --given and by --without; it holds or it does not"
            ));
        }
        let named = Start::named(situation);
        let mut given = named.given.clone();
        given.retain(|id| !less.contains(id));
        given.extend(more);
        let start = if given == named.given {
            named
        } else {
            Start::given(profile, given)
        };
        match start.contradictions(profile).as_slice() {
            [] => Ok(start),
            sentences => Err(format!(
                "nothing can start like this: {} Name what holds with --given and what does not with --without.",
                sentences.join(" ")
            )),
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let planned = Input::read(arguments).and_then(|input| {
        let report = input.plan(arguments)?;
        Ok((input, report))
    });
    match planned {
        Ok((input, report)) => {
            print(arguments, &input, &report)?;
            Ok(outcome(&report.rows))
        }
        Err(message) => {
            complain(&message);
            Ok(Outcome::Unusable)
        }
    }
}

/// What the call names, once it is known to be there.
struct Input {
    profile: Profile,
    /// The languages in which texts are told, the preferred one first.
    languages: Vec<Language>,
    goals: Vec<Goal>,
}

impl Input {
    fn read(arguments: &Arguments) -> Result<Self, String> {
        let profile = read_profile(&arguments.profile)?;
        if let Some(id) = &arguments.variant {
            known::variant(&profile, id)?;
        }
        Ok(Self {
            languages: known::languages(&profile, arguments.language.as_ref())?,
            goals: arguments.goals()?,
            profile,
        })
    }

    fn plan(&self, arguments: &Arguments) -> Result<PlanReport, String> {
        let planner = Planner::new(
            &self.profile,
            arguments.variant.as_deref(),
            arguments.choices(),
        );
        let planner =
            planner.map_err(|error| format!("{}: {error}", arguments.profile.display()))?;
        let starts = arguments.starts(&self.profile, &planner)?;
        Ok(planner.report(planner.table(&starts, &self.goals)))
    }
}

fn print(arguments: &Arguments, input: &Input, report: &PlanReport) -> io::Result<()> {
    if arguments.json {
        return print_json(report);
    }
    let words = Words::new(&input.profile, &input.languages);
    let mut out = io::stdout().lock();
    match report.rows.as_slice() {
        [row] if arguments.goal.is_some() => way::print(&mut out, &words, report, row),
        rows => table::print(&mut out, &words, report, rows),
    }
}

/// Good when every cell asked for is reached, or when any has a way: a table is information even where it says no.
fn outcome(rows: &[PlanRow]) -> Outcome {
    let answers = || {
        rows.iter()
            .flat_map(|row| &row.cells)
            .map(|cell| cell.answer)
    };
    let reached = |answer| matches!(answer, PlanAnswer::Holds | PlanAnswer::Way);
    if answers().all(reached) || answers().any(|answer| answer == PlanAnswer::Way) {
        Outcome::Good
    } else {
        Outcome::No
    }
}

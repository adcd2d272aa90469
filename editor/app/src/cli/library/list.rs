//! `chockstone library list` and `find`.

use std::{
    io::{self, Write},
    path::PathBuf,
};

use chockstone_library::shelf::{Search, Shelf, Shelved, TOPICS, says};
use chockstone_rules::PROGRAM;
use chockstone_schema::{
    report::{
        CheckDigitSaid, KeptVehicle, LibraryFindReport, LibraryListReport, ReleaseState, VinSays,
    },
    vin::Vin,
};
use clap::ValueEnum;

use super::{Outcome, shelf, tell_unread, unusable};
use crate::cli::{keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct ListArguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Only vehicles of which something is in this state.
    #[arg(long, value_enum)]
    state: Option<StateWord>,
    /// Tell what each profile covers, topic by topic.
    #[arg(long)]
    coverage: bool,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-list.schema.json).
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct FindArguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Words that must all stand somewhere in the profile.
    words: Vec<String>,
    /// A part of the maker's name.
    #[arg(long)]
    maker: Option<String>,
    /// A part of the model's name.
    #[arg(long)]
    model: Option<String>,
    /// A model year that the profile covers.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1980..=2100))]
    year: Option<u16>,
    /// A vehicle identification number that one of the profile's patterns matches.
    #[arg(long, value_name = "NUMBER", value_parser = Vin::new)]
    vin: Option<Vin>,
    /// The number is that of a bus, a truck above 10,000 lb (4,536 kg), a trailer or a motorcycle, of which the number does
    /// not tell which of two model years it is.
    #[arg(long, requires = "vin")]
    heavy: bool,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-find.schema.json).
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum StateWord {
    /// A file that differs from the last release.
    Draft,
    /// A bundle that waits for signatures.
    InReview,
    /// A release that may be used.
    Released,
    /// A release that may no longer be used.
    Withdrawn,
}

impl From<StateWord> for ReleaseState {
    fn from(word: StateWord) -> Self {
        match word {
            StateWord::Draft => Self::Draft,
            StateWord::InReview => Self::InReview,
            StateWord::Released => Self::Released,
            StateWord::Withdrawn => Self::Withdrawn,
        }
    }
}

pub(super) fn list(arguments: &ListArguments) -> io::Result<Outcome> {
    let shelf = match shelf(&arguments.library, &arguments.when) {
        Ok(shelf) => shelf,
        Err(message) => return unusable(&message),
    };
    let wanted = arguments.state.map(ReleaseState::from);
    let told = |vehicle: &&Shelved| wanted.is_none_or(|state| vehicle.kept.states.contains(&state));
    let vehicles = shelf.vehicles.iter().filter(told);
    let report = LibraryListReport {
        program: PROGRAM.to_owned(),
        library: arguments.library.display().to_string(),
        name: shelf.policy.as_ref().map(|p| p.name.to_string()),
        vehicles: vehicles.map(|v| kept(v, arguments.coverage)).collect(),
        catalogue: shelf.catalogue,
        unread: shelf.unread,
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_list(&report, arguments.coverage)?;
    }
    tell_unread(&report.unread);
    Ok(if !report.unread.is_empty() {
        Outcome::Unusable
    } else if report.catalogue.is_some_and(|c| !c.good) {
        Outcome::No
    } else {
        Outcome::Good
    })
}

fn kept(vehicle: &Shelved, coverage: bool) -> KeptVehicle {
    let mut kept = vehicle.kept.clone();
    let facts = vehicle.facts.as_ref().filter(|_| coverage);
    kept.covers = facts.map(|facts| facts.covers.clone());
    kept
}

fn print_list(report: &LibraryListReport, coverage: bool) -> io::Result<()> {
    let mut out = io::stdout().lock();
    if let Some(name) = &report.name {
        writeln!(out, "{name}")?;
    }
    match &report.catalogue {
        Some(state) if state.good => {
            let number = state.number.unwrap_or_default();
            let until = state.good_until.map(|m| m.to_string()).unwrap_or_default();
            writeln!(
                out,
                "Snapshot {number} of the catalogue, good until {until}."
            )?;
        }
        Some(state) => {
            let why = state.why.as_deref().unwrap_or_default();
            writeln!(out, "The catalogue is NOT believed: {why}.")?;
        }
        None => {}
    }
    for vehicle in &report.vehicles {
        print_vehicle(&mut out, vehicle)?;
    }
    if coverage {
        print_coverage(&mut out, &report.vehicles)?;
    }
    writeln!(out, "{} vehicles.", report.vehicles.len())
}

fn print_vehicle(out: &mut impl Write, vehicle: &KeptVehicle) -> io::Result<()> {
    let years = vehicle
        .model_years
        .map_or_else(String::new, |[first, last]| {
            if first == last {
                format!(", {first}")
            } else {
                format!(", {first} to {last}")
            }
        });
    let states: Vec<&str> = vehicle.states.iter().map(|s| word(*s)).collect();
    let KeptVehicle {
        id, maker, model, ..
    } = vehicle;
    writeln!(out, "{id}: {maker} {model}{years}; {}", states.join(", "))?;
    for release in &vehicle.releases {
        let reason = match (&release.reason, release.withdrawn_at) {
            (Some(reason), Some(at)) => format!(" on {}: {reason}", at.date()),
            _ => String::new(),
        };
        writeln!(out, "  {} {}{reason}", release.number, word(release.state))?;
    }
    Ok(())
}

fn word(state: ReleaseState) -> &'static str {
    match state {
        ReleaseState::Draft => "draft",
        ReleaseState::InReview => "in review",
        ReleaseState::Released => "released",
        ReleaseState::Withdrawn => "withdrawn",
    }
}

/// One line a vehicle: its languages and what it has nothing on.
fn print_coverage(out: &mut impl Write, vehicles: &[KeptVehicle]) -> io::Result<()> {
    let widest = vehicles
        .iter()
        .map(|v| v.id.len())
        .max()
        .unwrap_or_default();
    writeln!(out, "Covered (x), not covered (.): ")?;
    for (i, (topic, _)) in TOPICS.iter().enumerate() {
        writeln!(out, "  {:>2} {topic}", i + 1)?;
    }
    for vehicle in vehicles {
        let covers = vehicle.covers.clone().unwrap_or_default();
        let marks: Vec<&str> = TOPICS
            .iter()
            .map(|(topic, _)| {
                if covers.get(*topic) == Some(&true) {
                    " x"
                } else {
                    " ."
                }
            })
            .collect();
        let languages = vehicle.languages.join(", ");
        writeln!(
            out,
            "{:<widest$} {}  {languages}",
            vehicle.id,
            marks.concat()
        )?;
    }
    Ok(())
}

pub(super) fn find(arguments: &FindArguments) -> io::Result<Outcome> {
    let shelf: Shelf = match shelf(&arguments.library, &arguments.when) {
        Ok(shelf) => shelf,
        Err(message) => return unusable(&message),
    };
    let search = Search {
        maker: arguments.maker.clone(),
        model: arguments.model.clone(),
        year: arguments.year,
        vin: arguments.vin.clone(),
        words: arguments.words.clone(),
    };
    let found = shelf.find(&search);
    let report = LibraryFindReport {
        program: PROGRAM.to_owned(),
        library: arguments.library.display().to_string(),
        vin: arguments
            .vin
            .as_ref()
            .map(|vin| says(vin, !arguments.heavy)),
        found: found.into_iter().map(|v| v.kept.clone()).collect(),
        unread: shelf.unread,
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_found(&report)?;
    }
    tell_unread(&report.unread);
    Ok(if report.found.is_empty() {
        Outcome::No
    } else {
        Outcome::Good
    })
}

fn print_found(report: &LibraryFindReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    if let Some(vin) = &report.vin {
        print_vin(&mut out, vin)?;
    }
    for vehicle in &report.found {
        print_vehicle(&mut out, vehicle)?;
    }
    writeln!(out, "{} vehicles found.", report.found.len())
}

fn print_vin(out: &mut impl Write, vin: &VinSays) -> io::Result<()> {
    let digit = match (vin.check_digit, vin.expected) {
        (CheckDigitSaid::Right, _) => "the check digit is right, which is no proof".to_owned(),
        (CheckDigitSaid::Wrong, Some(expected)) => {
            format!(
                "the check digit is WRONG: the others ask for {expected}; read the number again"
            )
        }
        (CheckDigitSaid::Wrong, None) => {
            "the check digit is WRONG; read the number again".to_owned()
        }
        (CheckDigitSaid::None, _) => "its maker uses no check digit".to_owned(),
    };
    let years: Vec<String> = vin.model_years.iter().map(ToString::to_string).collect();
    let years = if years.is_empty() {
        "it tells no model year".to_owned()
    } else {
        format!(
            "model year {}, where its maker uses the code",
            years.join(" or ")
        )
    };
    writeln!(
        out,
        "{}: {digit}; {years}; maker's code {}.",
        vin.number, vin.maker_code
    )
}

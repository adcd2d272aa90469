//! `chockstone fit`: whether a vehicle loads, lifts, tows and holds with a crew's own equipment.

use std::{
    io,
    path::{Path, PathBuf},
};

use chockstone_library::files::{self, FileKind};
use chockstone_rules::{
    PROGRAM,
    fit::{Vehicle, general},
};
use chockstone_schema::{
    Equipment, Profile,
    read::read_file,
    report::{FitReport, FitReports, ResultsReport, Verdict},
};

use super::{Outcome, complain, print_json};

mod choices;
mod named;
mod text;

/// With equipment: lifting, carrying, towing, winching, securing and clearing, each with its limits. Without: what is
/// computed from the profile alone (lift loads, methods of moving it, what it asks of a carrier).
///
/// Trained people only. A verdict holds for the ratings and measurements in the files and for nothing else.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// A profile.
    profile: PathBuf,
    /// Equipment files, or folders that stand for all the equipment in them.
    #[arg(long, value_name = "EQUIPMENT", num_args = 1..)]
    with: Vec<PathBuf>,
    /// Only this variant; without it, every variant.
    #[arg(long, value_name = "ID")]
    variant: Option<String>,
    /// Print one JSON document in SI units (schema/fit.schema.json; without equipment schema/results.schema.json).
    #[arg(long)]
    json: bool,
    #[command(flatten)]
    choices: choices::Choices,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    match Input::read(arguments) {
        Ok(input) if input.equipment.is_empty() => without_equipment(arguments, &input),
        Ok(input) => with_equipment(arguments, &input),
        Err(message) => {
            complain(&message);
            Ok(Outcome::Unusable)
        }
    }
}

/// What the files hold that the call names.
struct Input {
    profile: Profile,
    equipment: Vec<Equipment>,
    /// The other vehicles on the deck, with their variants, in the order of the call.
    also: Vec<(Profile, Option<String>)>,
}

impl Input {
    fn read(arguments: &Arguments) -> Result<Self, String> {
        let profile = read_profile(&arguments.profile)?;
        has_variant(&arguments.profile, &profile, arguments.variant.as_deref())?;
        let equipment = read_equipment(&arguments.with)?;
        let mut also = Vec::new();
        for other in &arguments.choices.also {
            let profile = read_profile(&other.path)?;
            has_variant(&other.path, &profile, other.variant.as_deref())?;
            also.push((profile, other.variant.clone()));
        }
        arguments.choices.lead_somewhere(&profile, &equipment)?;
        Ok(Self {
            profile,
            equipment,
            also,
        })
    }

    fn vehicles(&self, variant: Option<&str>) -> Vec<Vehicle<'_>> {
        match variant {
            Some(_) => vec![Vehicle::new(&self.profile, variant)],
            None => Vehicle::all(&self.profile),
        }
    }
}

pub(super) fn read_profile(path: &Path) -> Result<Profile, String> {
    read_file(path).map_err(|e| e.to_string())
}

fn has_variant(path: &Path, profile: &Profile, variant: Option<&str>) -> Result<(), String> {
    let known: Vec<&str> = profile.variants.iter().map(|v| v.id.as_str()).collect();
    match variant {
        Some(id) if !known.contains(&id) => Err(format!(
            "{}: there is no variant {id:?}; there is {}",
            path.display(),
            list(&known)
        )),
        _ => Ok(()),
    }
}

/// Words in a row, or that there is none.
pub(super) fn list(words: &[&str]) -> String {
    if words.is_empty() {
        "none".to_owned()
    } else {
        words.join(", ")
    }
}

/// The equipment of all files and folders named; no id may come twice, since figures name their inputs by it.
pub(super) fn read_equipment(paths: &[PathBuf]) -> Result<Vec<Equipment>, String> {
    let mut found: Vec<Equipment> = Vec::new();
    for path in paths {
        for file in equipment_files(path)? {
            let equipment: Equipment = read_file(&file).map_err(|e| e.to_string())?;
            if found.iter().any(|other| other.id == equipment.id) {
                return Err(format!(
                    "{}: equipment {:?} is given twice; name each piece once",
                    file.display(),
                    equipment.id.as_str()
                ));
            }
            found.push(equipment);
        }
    }
    Ok(found)
}

fn equipment_files(path: &Path) -> Result<Vec<PathBuf>, String> {
    if !path.is_dir() {
        if FileKind::of(path) == Some(FileKind::Profile) {
            return Err(format!(
                "{}: this is a profile; --with takes equipment, --also takes other vehicles",
                path.display()
            ));
        }
        return Ok(vec![path.to_owned()]);
    }
    let inside = files::find(path)
        .map_err(|e| format!("{}: the folder could not be searched: {e}", path.display()))?;
    let equipment: Vec<PathBuf> = inside
        .into_iter()
        .filter(|(_, kind)| *kind == FileKind::Equipment)
        .map(|(file, _)| file)
        .collect();
    if equipment.is_empty() {
        return Err(format!(
            "{}: there is no equipment in this folder",
            path.display()
        ));
    }
    Ok(equipment)
}

fn with_equipment(arguments: &Arguments, input: &Input) -> io::Result<Outcome> {
    let equipment: Vec<&Equipment> = input.equipment.iter().collect();
    let others: Vec<Vehicle<'_>> = input
        .also
        .iter()
        .map(|(profile, variant)| Vehicle::new(profile, variant.as_deref()))
        .collect();
    let choices = arguments.choices.report(&input.also);
    let reports: Vec<FitReport> = input
        .vehicles(arguments.variant.as_deref())
        .iter()
        .map(|vehicle| vehicle.fit(&equipment, &others, &choices))
        .collect();
    let beyond = reports.iter().any(|r| r.verdict == Verdict::Beyond);
    if arguments.json {
        print_json(&FitReports {
            program: PROGRAM.to_owned(),
            profile: input.profile.id.to_string(),
            reports,
        })?;
    } else {
        text::reports(&input.profile, &equipment, &reports)?;
    }
    Ok(if beyond { Outcome::No } else { Outcome::Good })
}

fn without_equipment(arguments: &Arguments, input: &Input) -> io::Result<Outcome> {
    let results = match arguments.variant.as_deref() {
        None => general(&input.profile),
        Some(_) => ResultsReport {
            variants: input
                .vehicles(arguments.variant.as_deref())
                .iter()
                .map(Vehicle::general)
                .collect(),
            ..general(&input.profile)
        },
    };
    let beyond = results
        .variants
        .iter()
        .flat_map(|v| &v.lifting)
        .any(|r| r.verdict == Verdict::Beyond);
    if arguments.json {
        print_json(&results)?;
    } else {
        text::general(&input.profile, &results)?;
    }
    Ok(if beyond { Outcome::No } else { Outcome::Good })
}

//! `chockstone library index`.

use std::{
    io::{self, Write},
    path::PathBuf,
};

use chockstone_library::{in_review::keeper_refusal, keeping::index};
use chockstone_rules::PROGRAM;
use chockstone_schema::report::{LibraryIndexReport, NotListed};

use super::{KeeperKey, Outcome, rules_and_key, unusable};
use crate::cli::{keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    #[command(flatten)]
    keeper: KeeperKey,
    /// Do not ask who signed the catalogue that is there: a keeper has looked at what it says, as after a keeper's key was
    /// lost.
    #[arg(long)]
    anew: bool,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-index.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let (policy, key) = match rules_and_key(&arguments.library, &arguments.keeper.key) {
        Ok(both) => both,
        Err(message) => return unusable(&message),
    };
    let now = arguments.when.moment();
    let mut report = LibraryIndexReport {
        program: PROGRAM.to_owned(),
        library: arguments.library.display().to_string(),
        number: None,
        vehicles: 0,
        releases: 0,
        not_listed: Vec::new(),
        refused: Vec::new(),
    };
    match keeper_refusal(&policy, &key, now) {
        Err(error) => return unusable(&error.to_string()),
        Ok(Some(why)) => report
            .refused
            .push(format!("No keeper of this library: {why}.")),
        Ok(None) => match index(&arguments.library, &policy, &key, arguments.anew, now) {
            Ok(indexed) => {
                report.number = indexed.number;
                report.vehicles = indexed.vehicles;
                report.releases = indexed.releases;
                report.refused = indexed.refused;
                let not_listed = indexed.not_listed.into_iter();
                report.not_listed = not_listed
                    .map(|(file, reasons)| NotListed { file, reasons })
                    .collect();
            }
            Err(error) => report.refused.push(format!("{error}.")),
        },
    }
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    Ok(if report.number.is_some() && report.not_listed.is_empty() {
        Outcome::Good
    } else {
        Outcome::No
    })
}

fn print_text(report: &LibraryIndexReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    for not in &report.not_listed {
        writeln!(out, "Not listed: {}", not.file)?;
        for reason in &not.reasons {
            writeln!(out, "  {reason}")?;
        }
    }
    for reason in &report.refused {
        writeln!(out, "{reason}")?;
    }
    let LibraryIndexReport {
        vehicles, releases, ..
    } = report;
    match report.number {
        Some(number) => writeln!(
            out,
            "Snapshot {number} is signed: {vehicles} vehicles, {releases} releases."
        ),
        None => writeln!(out, "No snapshot was signed."),
    }
}

//! `chockstone library stale`.

use std::{
    io::{self, Write},
    path::PathBuf,
};

use chockstone_library::shelf::USUAL_MONTHS;
use chockstone_rules::PROGRAM;
use chockstone_schema::report::{FaultyPlaces, LibraryStaleReport};

use super::{Outcome, shelf, tell_unread, unusable};
use crate::cli::{keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Months after which evidence counts as old; without it, those of the library's rules, or else 24.
    #[arg(long, value_parser = clap::value_parser!(u16).range(1..=600))]
    months: Option<u16>,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-stale.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let shelf = match shelf(&arguments.library, &arguments.when) {
        Ok(shelf) => shelf,
        Err(message) => return unusable(&message),
    };
    let of_rules = shelf.policy.as_ref().and_then(|p| p.stale_after_months);
    let months = arguments.months.or(of_rules).unwrap_or(USUAL_MONTHS);
    let day = arguments.when.moment().date();
    let stale = shelf.stale(day, months);
    let is_fresh = stale.is_empty();
    let report = LibraryStaleReport {
        program: PROGRAM.to_owned(),
        library: arguments.library.display().to_string(),
        day,
        months,
        old_sources: stale.old_sources,
        newer_years: stale.newer_years,
        unsourced: stale.unsourced,
        untranslated: stale.untranslated,
        overlaps: stale.overlaps,
        unread: shelf.unread,
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    tell_unread(&report.unread);
    Ok(if !report.unread.is_empty() {
        Outcome::Unusable
    } else if is_fresh {
        Outcome::Good
    } else {
        Outcome::No
    })
}

fn print_text(report: &LibraryStaleReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let months = report.months;
    writeln!(
        out,
        "Evidence older than {months} months on {}: {}",
        report.day,
        report.old_sources.len()
    )?;
    for old in &report.old_sources {
        let rests = old.rests_on_it;
        writeln!(
            out,
            "  {}: source {} of {}; {rests} values and statements rest on it",
            old.vehicle, old.source, old.date
        )?;
    }
    writeln!(
        out,
        "A newer model year is there: {}",
        report.newer_years.len()
    )?;
    for newer in &report.newer_years {
        writeln!(
            out,
            "  {}: until {}; {} covers {}",
            newer.vehicle, newer.last_year, newer.newer, newer.newer_year
        )?;
    }
    places(
        &mut out,
        "Values and statements without a source",
        &report.unsourced,
    )?;
    places(
        &mut out,
        "Texts that are not translated",
        &report.untranslated,
    )?;
    writeln!(
        out,
        "Pairs that claim the same vehicle: {}",
        report.overlaps.len()
    )?;
    for pair in &report.overlaps {
        writeln!(
            out,
            "  {} {} and {} {}",
            pair.vehicle, pair.pattern, pair.other, pair.other_pattern
        )?;
    }
    Ok(())
}

fn places(out: &mut impl Write, what: &str, faulty: &[FaultyPlaces]) -> io::Result<()> {
    let all: usize = faulty.iter().map(|f| f.places.len()).sum();
    writeln!(out, "{what}: {all}")?;
    for one in faulty {
        writeln!(out, "  {}: {}", one.vehicle, one.places.join(", "))?;
    }
    Ok(())
}

//! `chockstone check`: every finding of profiles, equipment files or whole folders.

use std::{
    io::{self, Write},
    path::{Path, PathBuf},
};

use chockstone_library::files::{self, FileKind};
use chockstone_rules::{PROGRAM, check_equipment_on, check_profile};
use chockstone_schema::{
    Equipment, Profile,
    date::Date,
    read::{ReadError, read_file},
    report::{CheckReport, CheckedFile, Finding, Severity},
};
use rayon::prelude::*;

use super::{Outcome, complain, print_json};
use crate::figures;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// Files, or folders that are searched for *.profile.ron, *.equipment.ron and their JSON forms.
    #[arg(required = true)]
    paths: Vec<PathBuf>,
    /// Print one JSON document (schema/findings.schema.json).
    #[arg(long)]
    json: bool,
    /// The day that tests and inspections are held against; without it, today in UTC.
    #[arg(long, value_name = "YYYY-MM-DD", value_parser = Date::new)]
    date: Option<Date>,
    /// Leave the notes out of the text.
    #[arg(long)]
    no_notes: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let files = match gather(&arguments.paths) {
        Ok(files) => files,
        Err(message) => {
            complain(&message);
            return Ok(Outcome::Unusable);
        }
    };
    let today = arguments.date.unwrap_or_else(|| super::now().date());
    let checked: Vec<CheckedFile> = files
        .par_iter()
        .map(|(path, kind)| check_file(path, *kind, today))
        .collect();
    let outcome = outcome(&checked);
    if arguments.json {
        print_json(&CheckReport {
            program: PROGRAM.to_owned(),
            files: checked,
        })?;
    } else {
        print_text(&checked, !arguments.no_notes)?;
    }
    Ok(outcome)
}

/// The files that the paths name; a folder stands for all its files of record.
fn gather(paths: &[PathBuf]) -> Result<Vec<(PathBuf, FileKind)>, String> {
    let mut found = Vec::new();
    for path in paths {
        if path.is_dir() {
            let inside = files::find(path).map_err(|e| {
                format!("{}: the folder could not be searched: {e}", path.display())
            })?;
            if inside.is_empty() {
                return Err(format!(
                    "{}: there is no profile and no equipment in this folder",
                    path.display()
                ));
            }
            found.extend(inside);
        } else {
            // A file whose name tells nothing is taken for a profile, the commoner kind.
            found.push((
                path.clone(),
                FileKind::of(path).unwrap_or(FileKind::Profile),
            ));
        }
    }
    Ok(found)
}

/// Reads and checks one file.
fn check_file(path: &Path, kind: FileKind, today: Date) -> CheckedFile {
    let file = Some(path.display().to_string());
    let result = match kind {
        FileKind::Profile => {
            read_file::<Profile>(path).map(|p| (p.id.to_string(), check_profile(&p)))
        }
        FileKind::Equipment => read_file::<Equipment>(path)
            .map(|e| (e.id.to_string(), check_equipment_on(&e, Some(today)))),
    };
    match result {
        Ok((id, findings)) => CheckedFile {
            file,
            id: Some(id),
            unreadable: Vec::new(),
            findings,
        },
        Err(error) => CheckedFile {
            file,
            id: None,
            unreadable: sentences(&error),
            findings: Vec::new(),
        },
    }
}

fn sentences(error: &ReadError) -> Vec<String> {
    error.to_string().lines().map(str::to_owned).collect()
}

fn outcome(checked: &[CheckedFile]) -> Outcome {
    let blocking = |f: &Finding| f.severity == Severity::Blocking;
    if checked.iter().any(|f| !f.unreadable.is_empty()) {
        Outcome::Unusable
    } else if checked.iter().any(|f| f.findings.iter().any(blocking)) {
        Outcome::No
    } else {
        Outcome::Good
    }
}

fn print_text(checked: &[CheckedFile], notes: bool) -> io::Result<()> {
    let mut out = io::stdout().lock();
    for file in checked {
        let name = file.file.as_deref().unwrap_or_default();
        if !file.unreadable.is_empty() {
            writeln!(out, "{name}: could not be read")?;
            for line in &file.unreadable {
                writeln!(out, "  {line}")?;
            }
            continue;
        }
        writeln!(out, "{name}: {}", tally(&file.findings))?;
        for finding in file
            .findings
            .iter()
            .filter(|f| notes || f.severity != Severity::Note)
        {
            print_finding(&mut out, finding)?;
        }
    }
    Ok(())
}

/// How many findings there are of each severity, in words.
pub(super) fn tally(findings: &[Finding]) -> String {
    let count = |severity| findings.iter().filter(|f| f.severity == severity).count();
    let plural = |n: usize, one: &str| {
        if n == 1 {
            format!("1 {one}")
        } else {
            format!("{n} {one}s")
        }
    };
    if findings.is_empty() {
        return "no findings".to_owned();
    }
    let (blocking, warnings, notes) = (
        count(Severity::Blocking),
        count(Severity::Warning),
        count(Severity::Note),
    );
    format!(
        "{blocking} blocking, {}, {}",
        plural(warnings, "warning"),
        plural(notes, "note")
    )
}

fn print_finding(out: &mut impl Write, finding: &Finding) -> io::Result<()> {
    let place = if finding.place.is_empty() {
        "/"
    } else {
        &finding.place
    };
    writeln!(
        out,
        "  {} {place}  [{}]",
        severity_word(finding.severity),
        finding.check
    )?;
    writeln!(out, "    {}", finding.message)?;
    match (&finding.computed, &finding.limit) {
        (Some(computed), Some(limit)) => writeln!(out, "    found {computed}; limit {limit}")?,
        (Some(computed), None) => writeln!(out, "    found {computed}")?,
        (None, Some(limit)) => writeln!(out, "    limit {limit}")?,
        (None, None) => {}
    }
    let reference = &finding.reference;
    writeln!(
        out,
        "    rests on {}",
        figures::reference(&reference.title, reference.trust)
    )?;
    writeln!(out, "    to settle: {}", finding.settle)
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Blocking => "BLOCKING",
        Severity::Warning => "WARNING",
        Severity::Note => "NOTE",
    }
}

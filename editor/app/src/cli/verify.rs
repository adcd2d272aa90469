//! `chockstone verify`: open a bundle and look at everything in it.

use std::{
    io::{self, Write as _},
    path::PathBuf,
};

use chockstone_library::verify::{VerifyError, verify_file};
use chockstone_schema::report::VerifyReport;

use super::{Outcome, complain, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The bundle.
    bundle: PathBuf,
    /// Print one JSON document (schema/verify.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let report = match verify_file(&arguments.bundle) {
        Ok(report) => report,
        Err(error @ (VerifyError::Io { .. } | VerifyError::NotABundle { .. })) => {
            complain(&error.to_string());
            return Ok(Outcome::Unusable);
        }
    };
    let outcome = if report.good {
        Outcome::Good
    } else {
        Outcome::No
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    Ok(outcome)
}

fn print_text(report: &VerifyReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    for step in &report.steps {
        let mark = match step.good {
            Some(true) => "good",
            Some(false) => "BAD",
            None => "none",
        };
        writeln!(out, "  {mark:<5} {}: {}", step.step, step.message)?;
    }
    let what = match (&report.profile, &report.release) {
        (Some(profile), Some(release)) => format!("{profile} {release}"),
        _ => report.bundle.clone(),
    };
    writeln!(
        out,
        "{what}: {}",
        if report.good {
            "verified"
        } else {
            "NOT verified"
        }
    )
}

//! `chockstone publish`: a release in a library.

use std::{
    io::{self, Write as _},
    path::PathBuf,
};

use chockstone_library::publish::{PublishError, Request, publish};
use chockstone_rules::PROGRAM;
use chockstone_schema::{codes::ReleaseNumber, date::Moment, report::PublishReport};

use super::{Outcome, complain, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The profile to release.
    profile: PathBuf,
    /// The folder of the library; the release goes into its folder `releases`.
    #[arg(long, value_name = "DIR")]
    library: PathBuf,
    /// The release number; without it the first number grows.
    #[arg(long, value_name = "X.Y.Z", value_parser = ReleaseNumber::new)]
    version: Option<ReleaseNumber>,
    /// The moment of the release (RFC 3339); without it, now. The same moment gives the same bytes.
    #[arg(long, value_name = "RFC3339", value_parser = Moment::from_rfc3339)]
    date: Option<Moment>,
    /// Print one JSON document (schema/publish.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let request = Request {
        profile: &arguments.profile,
        library: &arguments.library,
        version: arguments.version.clone(),
        moment: arguments.date.unwrap_or_else(super::now),
    };
    let (report, outcome) = match publish(&request) {
        Ok(release) => {
            let report = PublishReport {
                program: PROGRAM.to_owned(),
                profile: release.profile.to_string(),
                release: Some(release.number.to_string()),
                bundle: Some(release.bundle.display().to_string()),
                sha256: Some(release.sha256),
                blocked_by: Vec::new(),
            };
            (report, Outcome::Good)
        }
        Err(PublishError::Blocked { profile, reasons }) => {
            let report = PublishReport {
                program: PROGRAM.to_owned(),
                profile: profile.to_string(),
                release: None,
                bundle: None,
                sha256: None,
                blocked_by: reasons,
            };
            (report, Outcome::No)
        }
        Err(error) => {
            complain(&error.to_string());
            return Ok(Outcome::Unusable);
        }
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    Ok(outcome)
}

fn print_text(report: &PublishReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    if let (Some(release), Some(bundle), Some(sha256)) =
        (&report.release, &report.bundle, &report.sha256)
    {
        writeln!(out, "{} {release} is released: {bundle}", report.profile)?;
        return writeln!(out, "SHA-256 {sha256}");
    }
    writeln!(out, "{} is not released. What blocks it:", report.profile)?;
    for reason in &report.blocked_by {
        writeln!(out, "  {reason}")?;
    }
    Ok(())
}

//! `chockstone verify`: open a bundle and look at everything in it.

use std::{
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use chockstone_library::{
    catalogue::POLICY,
    in_review::library_of,
    policy,
    verify::{Trust, verify_file_for},
};
use chockstone_schema::{Policy, report::VerifyReport, signature::AllowedSigners};

use super::{Outcome, complain, keys, keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The bundle.
    bundle: PathBuf,
    /// A file of allowed signers (ssh-keygen(1)), one of whom must have signed, and nobody else may have.
    #[arg(long, value_name = "FILE", conflicts_with = "library")]
    signers: Option<PathBuf>,
    /// Public keys that are accepted from nobody any more, one a line.
    #[arg(long, value_name = "FILE", requires = "signers")]
    revoked: Option<PathBuf>,
    /// The library whose rules must be met; without it, the one that the bundle lies in, where it has rules.
    #[arg(long, value_name = "DIR")]
    library: Option<PathBuf>,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/verify.schema.json).
    #[arg(long)]
    json: bool,
}

/// Whose signatures count, as the call says.
enum Known {
    Nobody,
    Signers(AllowedSigners),
    Library(PathBuf, Box<Policy>),
}

impl Known {
    fn read(arguments: &Arguments) -> Result<Self, String> {
        if let Some(file) = &arguments.signers {
            return keys::signers(file, arguments.revoked.as_deref()).map(Self::Signers);
        }
        let asked = arguments.library.clone();
        let Some(folder) = asked.clone().or_else(|| library_of(&arguments.bundle)) else {
            return Ok(Self::Nobody);
        };
        match policy::of_library(&folder).map_err(|e| e.to_string())? {
            Some(policy) => Ok(Self::Library(folder, Box::new(policy))),
            None if asked.is_some() => Err(format!(
                "{}: this library has no rules ({POLICY})",
                folder.display()
            )),
            None => Ok(Self::Nobody),
        }
    }

    fn trust(&self) -> Trust<'_> {
        match self {
            Self::Nobody => Trust::Nobody,
            Self::Signers(signers) => Trust::Signers(signers),
            Self::Library(folder, policy) => Trust::Library { folder, policy },
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let report = match verified(arguments, &arguments.bundle) {
        Ok(report) => report,
        Err(message) => {
            complain(&message);
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

fn verified(arguments: &Arguments, bundle: &Path) -> Result<VerifyReport, String> {
    let known = Known::read(arguments)?;
    let report = verify_file_for(bundle, known.trust(), arguments.when.moment());
    report.map_err(|error| error.to_string())
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

//! `chockstone publish`: a release in a library.

use std::{
    io::{self, Write as _},
    path::PathBuf,
};

use chockstone_library::{
    in_review::{self, InReviewError, Keys},
    publish::{PublishError, Release, Request},
    signing::SigningKey,
};
use chockstone_rules::PROGRAM;
use chockstone_schema::{codes::ReleaseNumber, date::Moment, report::PublishReport};

use super::{Outcome, complain, keys, keys::RoleWord, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The profile to release, or a bundle that waits for signatures in the library's folder `in-review`.
    #[arg(value_name = "PROFILE or BUNDLE")]
    profile: PathBuf,
    /// The folder of the library; the release goes into its folder `releases`.
    #[arg(long, value_name = "DIR")]
    library: PathBuf,
    /// The release number; without it, the least one that what changed since the last release allows.
    #[arg(long, value_name = "X.Y.Z", value_parser = ReleaseNumber::new)]
    version: Option<ReleaseNumber>,
    /// The moment of the release (RFC 3339); without it, now. The same moment gives the same bytes.
    #[arg(long, value_name = "RFC3339", value_parser = Moment::from_rfc3339)]
    date: Option<Moment>,
    /// The private key, made with ssh-keygen, that signs the release. The passphrase of a locked key is asked for, or taken
    /// from the variable CHOCKSTONE_PASSPHRASE of the environment.
    #[arg(long, value_name = "KEY")]
    key: Option<PathBuf>,
    /// The role that the key signs in.
    #[arg(long, value_enum, default_value = "author", requires = "key")]
    role: RoleWord,
    /// The private key that signs the library's catalogue; without it, the one that signs the release.
    #[arg(long, value_name = "KEY")]
    keeper: Option<PathBuf>,
    /// Print one JSON document (schema/publish.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let read = |path: &Option<PathBuf>| path.as_deref().map(keys::key).transpose();
    let (signer, keeper) = match (read(&arguments.key), read(&arguments.keeper)) {
        (Ok(signer), Ok(keeper)) => (signer, keeper),
        (Err(message), _) | (_, Err(message)) => {
            complain(&message);
            return Ok(Outcome::Unusable);
        }
    };
    let (report, outcome) = match publish(arguments, signer.as_ref(), keeper.as_ref()) {
        Ok(reported) => reported,
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

fn publish(
    arguments: &Arguments,
    signer: Option<&SigningKey>,
    keeper: Option<&SigningKey>,
) -> Result<(PublishReport, Outcome), InReviewError> {
    let request = Request {
        profile: &arguments.profile,
        library: &arguments.library,
        version: arguments.version.clone(),
        moment: arguments.date.unwrap_or_else(super::now),
    };
    let keys = Keys {
        signer,
        role: arguments.role.into(),
        keeper,
    };
    match in_review::publish(&request, &keys) {
        Ok(in_review::Outcome::Released { release, catalogue }) => {
            let mut report = of_release(&release);
            report.bundle = Some(release.bundle.display().to_string());
            report.catalogue = catalogue;
            Ok((report, Outcome::Good))
        }
        Ok(in_review::Outcome::Waiting { release, missing }) => {
            let mut report = of_release(&release);
            report.in_review = Some(release.bundle.display().to_string());
            report.missing = missing;
            Ok((report, Outcome::No))
        }
        Err(InReviewError::Publish(PublishError::Blocked { profile, reasons })) => {
            let mut report = empty(profile.to_string());
            report.blocked_by = reasons;
            Ok((report, Outcome::No))
        }
        Err(error) => Err(error),
    }
}

fn empty(profile: String) -> PublishReport {
    PublishReport {
        program: PROGRAM.to_owned(),
        profile,
        release: None,
        bundle: None,
        sha256: None,
        in_review: None,
        missing: Vec::new(),
        catalogue: None,
        blocked_by: Vec::new(),
    }
}

fn of_release(release: &Release) -> PublishReport {
    PublishReport {
        release: Some(release.number.to_string()),
        sha256: Some(release.sha256.clone()),
        ..empty(release.profile.to_string())
    }
}

fn print_text(report: &PublishReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let release = report.release.as_deref().unwrap_or_default();
    if let (Some(bundle), Some(sha256)) = (&report.bundle, &report.sha256) {
        writeln!(out, "{} {release} is released: {bundle}", report.profile)?;
        writeln!(out, "SHA-256 {sha256}")?;
        if let Some(number) = report.catalogue {
            writeln!(out, "Snapshot {number} of the catalogue lists it.")?;
        }
        return Ok(());
    }
    if let Some(bundle) = &report.in_review {
        writeln!(
            out,
            "{} {release} waits in {bundle}. What is missing:",
            report.profile
        )?;
        for missing in &report.missing {
            writeln!(out, "  {missing}")?;
        }
        return Ok(());
    }
    writeln!(out, "{} is not released. What blocks it:", report.profile)?;
    for reason in &report.blocked_by {
        writeln!(out, "  {reason}")?;
    }
    Ok(())
}

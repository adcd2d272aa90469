//! `chockstone library withdraw`.

use std::{
    io::{self, Write},
    path::PathBuf,
};

use chockstone_library::{in_review::keeper_refusal, keeping::withdraw};
use chockstone_rules::PROGRAM;
use chockstone_schema::{codes::ReleaseNumber, id::Id, report::LibraryWithdrawReport, text::Label};

use super::{KeeperKey, Outcome, rules_and_key, unusable};
use crate::cli::{keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// The profile's id.
    #[arg(value_parser = Id::new)]
    profile: Id,
    /// The release.
    #[arg(value_name = "X.Y.Z", value_parser = ReleaseNumber::new)]
    release: ReleaseNumber,
    /// Why it may no longer be used; every reader of the catalogue sees it.
    #[arg(long, value_parser = Label::new)]
    reason: Label,
    #[command(flatten)]
    keeper: KeeperKey,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-withdraw.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let (policy, key) = match rules_and_key(&arguments.library, &arguments.keeper.key) {
        Ok(both) => both,
        Err(message) => return unusable(&message),
    };
    let now = arguments.when.moment();
    let mut report = LibraryWithdrawReport {
        program: PROGRAM.to_owned(),
        profile: arguments.profile.to_string(),
        release: arguments.release.clone(),
        sha256: None,
        number: None,
        refused: None,
    };
    let which = (&arguments.profile, &arguments.release);
    match keeper_refusal(&policy, &key, now) {
        Err(error) => return unusable(&error.to_string()),
        Ok(Some(why)) => report.refused = Some(format!("No keeper of this library: {why}.")),
        Ok(None) => match withdraw(
            &arguments.library,
            &policy,
            &key,
            which,
            &arguments.reason,
            now,
        ) {
            Ok((number, sha256)) => {
                report.number = Some(number);
                report.sha256 = Some(sha256);
            }
            Err(error) => report.refused = Some(format!("{error}.")),
        },
    }
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    Ok(if report.number.is_some() {
        Outcome::Good
    } else {
        Outcome::No
    })
}

fn print_text(report: &LibraryWithdrawReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let LibraryWithdrawReport {
        profile, release, ..
    } = report;
    match (report.number, &report.refused) {
        (Some(number), _) => writeln!(
            out,
            "{profile} {release} is withdrawn: snapshot {number} says so."
        ),
        (None, why) => {
            let why = why.as_deref().unwrap_or_default();
            writeln!(out, "{profile} {release} is not withdrawn. {why}")
        }
    }
}

//! `chockstone library signers`.

use std::{
    io::{self, Write as _},
    path::PathBuf,
};

use clap::ValueEnum;

use super::{Outcome, rules, unusable};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Whose keys to print.
    #[arg(long, value_enum, default_value = "releases")]
    of: Whose,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Whose {
    /// Authors and reviewers, who sign releases.
    Releases,
    /// Keepers, who sign the catalogue.
    Catalogue,
    /// Keys that are accepted from nobody any more, for `ssh-keygen -Y verify -r`.
    Revoked,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let policy = match rules(&arguments.library) {
        Ok(policy) => policy,
        Err(message) => return unusable(&message),
    };
    let mut lines = match arguments.of {
        Whose::Releases => [policy.authors, policy.reviewers].concat(),
        Whose::Catalogue => policy.keepers,
        Whose::Revoked => policy.revoked,
    };
    lines.dedup();
    let mut out = io::stdout().lock();
    for line in lines {
        writeln!(out, "{line}")?;
    }
    Ok(Outcome::Good)
}

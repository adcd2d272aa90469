//! `chockstone sign`: add a signature to a bundle.

use std::{
    io::{self, Write as _},
    path::PathBuf,
};

use chockstone_library::in_review::{SignRequest, sign};
use chockstone_rules::PROGRAM;
use chockstone_schema::report::SignReport;

use super::{
    Outcome, complain, keys,
    keys::{RoleWord, When},
    print_json,
};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The bundle; it is written anew with the signature in it.
    bundle: PathBuf,
    /// The private key, made with ssh-keygen. The passphrase of a locked key is asked for, or taken from the variable
    /// CHOCKSTONE_PASSPHRASE of the environment.
    #[arg(long, value_name = "KEY")]
    key: PathBuf,
    /// The role that the key signs in.
    #[arg(long = "as", value_name = "ROLE", value_enum)]
    role: RoleWord,
    /// The library whose rules say who may sign; without it, the one that the bundle lies in.
    #[arg(long, value_name = "DIR")]
    library: Option<PathBuf>,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/sign.schema.json).
    #[arg(long)]
    json: bool,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let key = match keys::key(&arguments.key) {
        Ok(key) => key,
        Err(message) => {
            complain(&message);
            return Ok(Outcome::Unusable);
        }
    };
    let signed = sign(&SignRequest {
        bundle: &arguments.bundle,
        key: &key,
        role: arguments.role.into(),
        library: arguments.library.as_deref(),
        at: arguments.when.moment(),
    });
    let signed = match signed {
        Ok(signed) => signed,
        Err(error) => {
            complain(&error.to_string());
            return Ok(Outcome::Unusable);
        }
    };
    let report = SignReport {
        program: PROGRAM.to_owned(),
        bundle: arguments.bundle.display().to_string(),
        signed: signed.file.is_some(),
        file: signed.file,
        refused: signed.refused,
        signatures: signed.signatures,
        missing: signed.missing,
    };
    if arguments.json {
        print_json(&report)?;
    } else {
        print_text(&report)?;
    }
    Ok(if report.signed {
        Outcome::Good
    } else {
        Outcome::No
    })
}

fn print_text(report: &SignReport) -> io::Result<()> {
    let mut out = io::stdout().lock();
    let Some(file) = &report.file else {
        writeln!(out, "{} is not signed:", report.bundle)?;
        for reason in &report.refused {
            writeln!(out, "  {reason}")?;
        }
        return Ok(());
    };
    writeln!(out, "{} is signed; the signature is {file}.", report.bundle)?;
    if !report.missing.is_empty() {
        writeln!(out, "What the library's rules still ask for:")?;
    }
    for missing in &report.missing {
        writeln!(out, "  {missing}")?;
    }
    Ok(())
}

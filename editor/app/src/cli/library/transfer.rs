//! `chockstone library push` and `pull`.

use std::{
    io::{self, IsTerminal as _, Write as _},
    path::{Path, PathBuf},
};

use chockstone_library::{
    policy,
    stores::{self, Folder, Progress, Rules, Store},
};
use chockstone_remote::Remote;
use chockstone_rules::PROGRAM;
use chockstone_schema::{report::LibraryTransferReport, signature::AllowedSigners};

use super::{KeeperKey, Outcome, rules, rules_and_key, unusable};
use crate::cli::{keys, keys::When, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct PushArguments {
    /// The library's folder.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Where to: a folder, or s3://BUCKET/FOLDER with keys, region and endpoint from the usual AWS_… variables of the
    /// environment.
    place: String,
    #[command(flatten)]
    keeper: KeeperKey,
    /// Put this library's rules in the place of those that are there; without it, theirs stay.
    #[arg(long)]
    rules: bool,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-transfer.schema.json).
    #[arg(long)]
    json: bool,
}

#[derive(Debug, clap::Args)]
pub(super) struct PullArguments {
    /// The library's folder, which need not be there yet.
    #[arg(value_name = "DIR")]
    library: PathBuf,
    /// Where from: a folder, s3://BUCKET/FOLDER or https://HOST/FOLDER.
    place: String,
    /// A file of allowed signers (ssh-keygen(1)) with the keys of the library's keepers, from somebody you trust and not from
    /// where the library is; without it, those that the rules in the folder name.
    #[arg(long, value_name = "FILE")]
    keepers: Option<PathBuf>,
    #[command(flatten)]
    when: When,
    /// Print one JSON document (schema/library-transfer.schema.json).
    #[arg(long)]
    json: bool,
}

/// A place by its address or folder.
fn place(address: &str) -> Result<Box<dyn Store>, String> {
    if address.contains("://") {
        Ok(Box::new(Remote::open(address)?))
    } else {
        Ok(Box::new(Folder::new(Path::new(address))))
    }
}

/// A place that can be written.
fn writable(address: &str) -> Result<Box<dyn Store>, String> {
    if address.starts_with("http") && address.contains("://") {
        return Err(format!(
            "{address}: a web host can only be read; push to the folder that it serves, or to s3://BUCKET/FOLDER"
        ));
    }
    place(address)
}

fn empty(library: &Path, place: &str) -> LibraryTransferReport {
    LibraryTransferReport {
        program: PROGRAM.to_owned(),
        library: library.display().to_string(),
        place: place.to_owned(),
        bundles: 0,
        number: None,
        retries: 0,
        refused: None,
    }
}

pub(super) fn push(arguments: &PushArguments) -> io::Result<Outcome> {
    let opened = rules_and_key(&arguments.library, &arguments.keeper.key)
        .and_then(|(policy, key)| Ok((policy, key, writable(&arguments.place)?)));
    let (policy, key, there) = match opened {
        Ok(opened) => opened,
        Err(message) => return unusable(&message),
    };
    let mut report = empty(&arguments.library, &arguments.place);
    let kept = if arguments.rules {
        Rules::Ours
    } else {
        Rules::Theirs
    };
    let pushed = stores::push(
        &Folder::new(&arguments.library),
        there.as_ref(),
        &policy::keepers(&policy),
        (&key, kept),
        arguments.when.moment(),
        &mut progress("sent"),
    );
    match pushed {
        Ok(pushed) => {
            report.bundles = pushed.sent;
            report.number = Some(pushed.number);
            report.retries = pushed.retries;
        }
        Err(error) => report.refused = Some(format!("{error}.")),
    }
    finish(&report, arguments.json, "sent")
}

pub(super) fn pull(arguments: &PullArguments) -> io::Result<Outcome> {
    let opened = keepers(arguments).and_then(|keepers| Ok((keepers, place(&arguments.place)?)));
    let (keepers, there) = match opened {
        Ok(opened) => opened,
        Err(message) => return unusable(&message),
    };
    let mut report = empty(&arguments.library, &arguments.place);
    let pulled = stores::pull(
        there.as_ref(),
        &arguments.library,
        &keepers,
        arguments.when.moment(),
        &mut progress("fetched"),
    );
    match pulled {
        Ok(pulled) => {
            report.bundles = pulled.fetched;
            report.number = Some(pulled.number);
        }
        Err(error) => report.refused = Some(format!("{error}.")),
    }
    finish(&report, arguments.json, "fetched")
}

/// Whose signature of the catalogue is believed.
fn keepers(arguments: &PullArguments) -> Result<AllowedSigners, String> {
    match &arguments.keepers {
        Some(file) => keys::signers(file, None),
        None => rules(&arguments.library)
            .map(|policy| policy::keepers(&policy))
            .map_err(|why| {
                format!(
                    "{why}; for a library that is new here, give its keepers with --keepers FILE"
                )
            }),
    }
}

/// Tells how far it is, to a person at a terminal.
fn progress(done: &'static str) -> impl FnMut(Progress) -> bool {
    let is_seen = io::stderr().is_terminal();
    move |progress| {
        if is_seen {
            let mut err = io::stderr().lock();
            // Nothing can be done where even the progress cannot be printed.
            let _ = write!(
                err,
                "\r{} of {} bundles {done}",
                progress.done, progress.all
            );
            if progress.done == progress.all {
                let _ = writeln!(err);
            }
        }
        true
    }
}

fn finish(report: &LibraryTransferReport, json: bool, done: &str) -> io::Result<Outcome> {
    if json {
        print_json(report)?;
    } else {
        let mut out = io::stdout().lock();
        match (report.number, &report.refused) {
            (Some(number), _) => {
                writeln!(
                    out,
                    "{} bundles {done}; snapshot {number} holds.",
                    report.bundles
                )?;
            }
            (None, why) => {
                let why = why.as_deref().unwrap_or_default();
                writeln!(out, "Not {done}: {why}")?;
            }
        }
    }
    Ok(if report.number.is_some() {
        Outcome::Good
    } else {
        Outcome::No
    })
}

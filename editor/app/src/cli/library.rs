//! `chockstone library`: the association's work on many profiles.

use std::{
    io,
    path::{Path, PathBuf},
};

use chockstone_library::{catalogue::POLICY, policy, shelf::Shelf, signing::SigningKey};
use chockstone_schema::{Policy, report::UnreadFile};
use clap::Subcommand;

use super::{Outcome, complain, keys};

mod index;
mod list;
mod signers;
mod stale;
mod transfer;
mod withdraw;

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    #[command(subcommand)]
    work: Work,
}

#[derive(Debug, Subcommand)]
enum Work {
    /// Tell what a library has of each vehicle, and how far each has come.
    ///
    /// draft: a file that differs from the last release, or was never released. in review: a bundle that waits for
    /// signatures. released: may be used. withdrawn: may no longer be used.
    List(list::ListArguments),
    /// Find vehicles by maker, model, model year, vehicle identification number or words.
    Find(list::FindArguments),
    /// Tell what has gone stale or was never finished: old evidence, newer model years, missing sources and translations,
    /// patterns that claim the same vehicle.
    Stale(stale::Arguments),
    /// Print who may sign, as a file of allowed signers for ssh-keygen.
    Signers(signers::Arguments),
    /// Enter every release that the rules allow into the catalogue, and sign a new snapshot of it.
    Index(index::Arguments),
    /// Send what is missing of a library to a folder or an S3-compatible store, and sign the catalogue there.
    Push(transfer::PushArguments),
    /// Fetch what is missing of a library from a folder, an S3-compatible store or a web host.
    Pull(transfer::PullArguments),
    /// Withdraw a release: it stays where it is, and the catalogue says why it may no longer be used.
    Withdraw(withdraw::Arguments),
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    match &arguments.work {
        Work::List(arguments) => list::list(arguments),
        Work::Find(arguments) => list::find(arguments),
        Work::Stale(arguments) => stale::run(arguments),
        Work::Signers(arguments) => signers::run(arguments),
        Work::Index(arguments) => index::run(arguments),
        Work::Push(arguments) => transfer::push(arguments),
        Work::Pull(arguments) => transfer::pull(arguments),
        Work::Withdraw(arguments) => withdraw::run(arguments),
    }
}

/// Complains, and says that the call could not be used.
#[expect(
    clippy::unnecessary_wraps,
    reason = "every command ends with it, and their output can fail"
)]
fn unusable(message: &str) -> io::Result<Outcome> {
    complain(message);
    Ok(Outcome::Unusable)
}

/// The library in a folder, looked at as a whole.
fn shelf(library: &Path, when: &keys::When) -> Result<Shelf, String> {
    Shelf::read(library, when.moment()).map_err(|e| e.to_string())
}

/// The rules of a library that must have some.
fn rules(library: &Path) -> Result<Policy, String> {
    let rules = policy::of_library(library).map_err(|e| e.to_string())?;
    rules.ok_or_else(|| {
        format!(
            "{}: this library has no rules; write them in {POLICY} (schema/library.schema.json): what it is called, who \
             may sign, how many reviews a release needs",
            library.display()
        )
    })
}

/// The rules of a library and a keeper's key.
fn rules_and_key(library: &Path, key: &Path) -> Result<(Policy, SigningKey), String> {
    Ok((rules(library)?, keys::key(key)?))
}

/// The key that a keeper signs with.
#[derive(Debug, clap::Args)]
struct KeeperKey {
    /// A keeper's private key, made with ssh-keygen, that signs the catalogue. The passphrase of a locked key is asked for,
    /// or taken from the variable CHOCKSTONE_PASSPHRASE of the environment.
    #[arg(long, value_name = "KEY")]
    key: PathBuf,
}

/// Files that could not be read, told to the person at the terminal.
fn tell_unread(unread: &[UnreadFile]) {
    for file in unread {
        complain(&format!("{}: {}", file.file, file.why));
    }
}

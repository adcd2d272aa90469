//! The command line: one program, the window without a command.
//!
//! With `--json` a command prints one document on standard output, whose schema is in `schema/`; everything else a
//! person reads is plain words. Exit status: 0 good, 1 the answer is no, 2 the input or the call could not be used.

use std::{
    io::{self, Write as _},
    path::PathBuf,
    process::ExitCode,
};

use chockstone_schema::date::Moment;
use clap::{Parser, Subcommand};
use serde::Serialize;

mod check;
mod diff;
mod fit;
mod keys;
mod library;
mod mass;
mod merge;
mod plan;
mod publish;
mod quantities;
mod sign;
mod verify;

/// Make, check and publish handling profiles of electric vehicles, for towing and roadside crews.
///
/// Without a command it opens the window on FILE or FOLDER. Trained people only: the maker's own instructions and
/// local law come first, and nothing here replaces licensed practice.
#[derive(Debug, Parser)]
#[command(name = "chockstone", version, args_conflicts_with_subcommands = true)]
struct Call {
    #[command(subcommand)]
    command: Option<Command>,
    /// A profile, a piece of equipment or a folder of them to open in the window.
    #[arg(value_name = "FILE or FOLDER")]
    open: Option<PathBuf>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Tell every finding of profiles, equipment files or whole folders.
    Check(check::Arguments),
    /// Compute mass, centre of gravity and axle shares, with their uncertainty.
    Mass(mass::Arguments),
    /// Tell whether a vehicle loads, lifts, tows and holds with a crew's equipment.
    Fit(Box<fit::Arguments>),
    /// Find the ways from situations to safe ends, or tell why there is none.
    ///
    /// Without a goal it prints a table: situations down, goals across, each cell a way or why there is none. With a goal
    /// it tells the way from one situation step by step, with its times, hazard messages, time limits and what is left
    /// open. A way is put together from the profile's procedures and from what every crew can do, and breaks no rule.
    /// Trained people only: the maker's own instructions and local law come first.
    Plan(Box<plan::Arguments>),
    /// Tell what changed from one profile to another, and whether it can hurt somebody.
    Diff(diff::Arguments),
    /// Put together what two people changed, or choose for what it left open.
    ///
    /// BASE is the version that both began with. What only one of them changed is taken; what both changed in two ways
    /// stands as in BASE, and the file keeps all three values as a conflict: the window shows them, `check` blocks on
    /// them, and --choose takes one. The file that is written always reads.
    ///
    /// It is written in the notation of OURS. Where nothing of THEIRS had to be put in, OURS is written byte for byte, and
    /// the other way round; otherwise the text is written anew, and comments of RON are lost.
    ///
    /// Exit status: 0 when nothing is left to choose, 1 when conflicts are, 2 when the input or the call could not be used.
    ///
    /// As a merge driver of git: chockstone merge %O %A %B -o %A
    Merge(merge::Arguments),
    /// Write a release into a library, signed and reviewed as its rules ask for.
    ///
    /// A library with rules (library.ron) says who may sign as author or reviewer, and how many reviewers must sign before a
    /// release goes out. Until they have, the bundle waits in the folder `in-review`, and this command tells what is missing.
    /// Publishing the bundle from there lets it out. An author may not review.
    Publish(publish::Arguments),
    /// Add an author's or a reviewer's signature to a bundle.
    Sign(sign::Arguments),
    /// Open a bundle and look at everything in it.
    Verify(verify::Arguments),
    /// Work on a whole library: list, find, stale, index, push, pull, withdraw.
    Library(library::Arguments),
}

/// How a command ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Outcome {
    /// Everything is good.
    Good,
    /// The answer is no: a blocking finding, a verdict of beyond, no way, a refused release, a bundle that does not verify.
    No,
    /// The input or the call could not be used.
    Unusable,
}

impl From<Outcome> for ExitCode {
    fn from(outcome: Outcome) -> Self {
        ExitCode::from(match outcome {
            Outcome::Good => 0,
            Outcome::No => 1,
            Outcome::Unusable => 2,
        })
    }
}

/// Runs the program with the arguments it was called with.
pub fn main() -> ExitCode {
    let call = match Call::try_parse() {
        Ok(call) => call,
        Err(error) => {
            let code = if error.use_stderr() { 2 } else { 0 };
            // Nothing can be done where even the message cannot be printed.
            let _ = error.print();
            return ExitCode::from(code);
        }
    };
    match call.command {
        Some(command) => run(command),
        None => window(call.open),
    }
}

fn run(command: Command) -> ExitCode {
    let outcome = match command {
        Command::Check(arguments) => check::run(&arguments),
        Command::Mass(arguments) => mass::run(&arguments),
        Command::Fit(arguments) => fit::run(&arguments),
        Command::Plan(arguments) => plan::run(&arguments),
        Command::Diff(arguments) => diff::run(&arguments),
        Command::Merge(arguments) => merge::run(&arguments),
        Command::Publish(arguments) => publish::run(&arguments),
        Command::Sign(arguments) => sign::run(&arguments),
        Command::Verify(arguments) => verify::run(&arguments),
        Command::Library(arguments) => library::run(&arguments),
    };
    match outcome {
        Ok(outcome) => outcome.into(),
        // The reader of our output has gone: nobody is left to tell.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Outcome::Good.into(),
        Err(error) => {
            complain(&format!("the output could not be written: {error}"));
            Outcome::Unusable.into()
        }
    }
}

fn window(open: Option<PathBuf>) -> ExitCode {
    match crate::run_window(open) {
        Ok(()) => Outcome::Good.into(),
        Err(error) => {
            complain(&format!("{error:#}"));
            Outcome::Unusable.into()
        }
    }
}

/// Tells the person at the terminal what went wrong.
fn complain(message: &str) {
    // Nothing can be done where even the message cannot be printed.
    let _ = writeln!(io::stderr(), "chockstone: {message}");
}

/// The moment that the clock tells.
fn now() -> Moment {
    let seconds = std::time::SystemTime::now()
        .duration_since(std::time::UNIX_EPOCH)
        .map_or(0, |d| d.as_secs());
    Moment::from_unix_seconds(seconds)
}

/// Prints one JSON document.
fn print_json<T: Serialize>(document: &T) -> io::Result<()> {
    let mut out = io::stdout().lock();
    serde_json::to_writer_pretty(&mut out, document).map_err(io::Error::from)?;
    writeln!(out)
}

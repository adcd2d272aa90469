//! `chockstone diff`: what changed from one profile to another, and whether it can hurt somebody.

use std::{
    ffi::OsStr,
    io::{self, Write as _},
    path::{Path, PathBuf},
};

use chockstone_library::{
    difference::{
        difference, effects,
        report::{Side, report},
    },
    files, note,
    patch::patch,
    releases,
};
use chockstone_schema::{
    Profile,
    read::read_file,
    report::{DifferenceReport, Effect, Grade},
    text::Language,
};

use super::{Outcome, complain, print_json};

mod equipment;
mod git;
mod text;

/// A and B are profiles (RON or JSON) or bundles (.zip), which are opened and verified first. A is the older one.
///
/// Exit status: 0 when nothing that changed can hurt somebody, 1 when a change can hurt or a computed result became worse,
/// 2 when a file could not be used; with --patch 0 or 2.
///
/// It also takes the seven arguments that git gives an external diff; the exit status is then 0 whatever changed, since git
/// takes any other for a failure.
///
/// Trained people only: a difference without a change that can hurt is no proof that a profile is right.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The older and the newer one, or what git gives an external diff.
    #[arg(value_name = "A B", required = true, num_args = 1..=9)]
    given: Vec<PathBuf>,
    /// Print one JSON document (schema/difference.schema.json).
    #[arg(long)]
    json: bool,
    /// Print a JSON Patch (RFC 6902) that turns the canonical JSON of A into that of B.
    #[arg(long, conflicts_with = "json")]
    patch: bool,
    /// Write a change note that can be printed to this file: one page of HTML, in English, with what changed, why it is
    /// graded as it is, and what it does.
    #[arg(long, value_name = "FILE", conflicts_with = "patch")]
    note: Option<PathBuf>,
    /// Equipment files or folders to compute both sides with; without it the folder `equipment` of the library that B or A
    /// lies in.
    #[arg(long, value_name = "EQUIPMENT", num_args = 1.., conflicts_with = "without_effects")]
    with: Vec<PathBuf>,
    /// Leave out what is computed from both sides, which takes longest.
    #[arg(long)]
    without_effects: bool,
    /// The language of the texts, en or es; without it that of the profile B.
    #[arg(long, visible_alias = "language", value_name = "TAG", value_parser = Language::new)]
    lang: Option<Language>,
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    if let Some(call) = git::Call::of(&arguments.given) {
        return git::run(arguments, &call);
    }
    let [a, b] = arguments.given.as_slice() else {
        complain("diff compares two files: chockstone diff A B");
        return Ok(Outcome::Unusable);
    };
    let sides = read_side(a).and_then(|before| Ok((before, read_side(b)?)));
    match sides {
        Ok((before, after)) => tell(arguments, [a, b], &before, &after),
        Err(message) => {
            complain(&message);
            Ok(Outcome::Unusable)
        }
    }
}

/// Reads a profile, or opens and verifies a bundle and reads the profile in it.
fn read_side(path: &Path) -> Result<Profile, String> {
    let is_bundle = path.extension().is_some_and(|ending| ending == "zip");
    if is_bundle {
        releases::read_profile(path).map_err(|error| error.to_string())
    } else {
        read_file(path).map_err(|error| error.to_string())
    }
}

/// Prints what changed, in the form that was asked for.
fn tell(
    arguments: &Arguments,
    [a, b]: [&Path; 2],
    before: &Profile,
    after: &Profile,
) -> io::Result<Outcome> {
    if arguments.patch {
        print_json(&patch(before, after))?;
        return Ok(Outcome::Good);
    }
    let effects = if arguments.without_effects {
        Vec::new()
    } else {
        match equipment::for_sides(&arguments.with, [a, b]) {
            Ok(equipment) => effects(before, after, &equipment),
            Err(message) => {
                complain(&message);
                return Ok(Outcome::Unusable);
            }
        }
    };
    let [name_a, name_b] = [a, b].map(|path| path.display().to_string());
    let document = report(
        Side {
            file: Some(&name_a),
            profile: before,
        },
        Side {
            file: Some(&name_b),
            profile: after,
        },
        difference(before, after),
        effects,
    );
    if let Some(file) = &arguments.note
        && let Err(message) = write_note(file, after, &document)
    {
        complain(&message);
        return Ok(Outcome::Unusable);
    }
    if arguments.json {
        print_json(&document)?;
    } else {
        text::Words::new(after, arguments.lang.as_ref()).print(&document, after)?;
    }
    Ok(outcome(&document))
}

fn write_note(file: &Path, after: &Profile, document: &DifferenceReport) -> Result<(), String> {
    let page = note::html(&note::title_of(after), document);
    files::write_atomic(file, page.as_bytes()).map_err(|error| {
        format!(
            "{}: the change note could not be written: {error}",
            file.display()
        )
    })
}

fn outcome(document: &DifferenceReport) -> Outcome {
    let is_worse = |effect: &Effect| effect.worse;
    if document.worst == Some(Grade::CanHurt) || document.effects.iter().any(is_worse) {
        Outcome::No
    } else {
        Outcome::Good
    }
}

/// One line that stands for a difference that cannot be told.
fn print_line(line: &str) -> io::Result<()> {
    writeln!(io::stdout().lock(), "{line}")
}

/// Whether a file's name is that of a profile or of a bundle.
fn is_comparable(path: &Path) -> bool {
    use chockstone_library::files::FileKind;
    FileKind::of(path) == Some(FileKind::Profile) || path.extension() == Some(OsStr::new("zip"))
}

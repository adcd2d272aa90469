//! `chockstone merge`: put together what two people changed, or choose for what a merge left open.

use std::{
    fs,
    io::{self, Read as _, Write as _},
    path::{Path, PathBuf},
};

use chockstone_library::{
    files::{notation_told_by, write_atomic},
    merge::{Choice, Unresolved, merge, resolve, told},
};
use chockstone_rules::PROGRAM;
use chockstone_schema::{
    Profile,
    codes::PartPath,
    model::record::{Conflict, ConflictAbout},
    read::{LARGEST_FILE, Notation, read, to_canonical, to_ron},
    report::MergeReport,
};
use clap::ValueEnum;

use super::{Outcome, complain, print_json};

#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// BASE OURS THEIRS; with --choose the one file with conflicts. Whether they are RON or JSON is told by their contents and
    /// not by their names.
    #[arg(required = true, num_args = 1..=3, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// The file to write; it may be one of those that are read. It is left alone when the call cannot be used.
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// What to choose for the conflicts that an earlier merge left in FILE; it is written to OUT, which may be FILE itself.
    #[arg(long, value_name = "WHICH")]
    choose: Option<Chosen>,
    /// The part to choose for; without it, every conflict.
    #[arg(long, value_name = "PATH", requires = "choose", value_parser = PartPath::new)]
    part: Option<PartPath>,
    /// Print one JSON document (schema/merge.schema.json).
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Chosen {
    /// The value in the version that both began with.
    Base,
    /// The value of the one side.
    Ours,
    /// The value of the other side.
    Theirs,
    /// What stands in the file now, such as a third value entered since.
    Standing,
}

impl From<Chosen> for Choice {
    fn from(chosen: Chosen) -> Self {
        match chosen {
            Chosen::Base => Self::Base,
            Chosen::Ours => Self::Ours,
            Chosen::Theirs => Self::Theirs,
            Chosen::Standing => Self::Standing,
        }
    }
}

/// A profile, and the text that it was read from.
struct Version {
    profile: Profile,
    bytes: Vec<u8>,
    notation: Notation,
}

impl Version {
    fn read(path: &Path) -> Result<Self, String> {
        let file = path.display().to_string();
        let mut bytes = Vec::new();
        fs::File::open(path)
            .and_then(|f| f.take(LARGEST_FILE as u64 + 1).read_to_end(&mut bytes))
            .map_err(|e| format!("{file}: it could not be read: {e}"))?;
        let notation = notation_told_by(&bytes);
        let profile = read(&file, &bytes, notation).map_err(|e| e.to_string())?;
        Ok(Self {
            profile,
            bytes,
            notation,
        })
    }
}

pub(super) fn run(arguments: &Arguments) -> io::Result<Outcome> {
    let made = match (arguments.choose, arguments.files.as_slice()) {
        (None, [base, ours, theirs]) => merged(base, ours, theirs),
        (Some(choice), [file]) => chosen(file, choice.into(), arguments.part.as_ref()),
        (None, _) => Err("give three files: BASE, OURS and THEIRS".to_owned()),
        (Some(_), _) => Err("give the one file in which to choose".to_owned()),
    };
    let written = made.and_then(|(profile, bytes)| write(&arguments.output, profile, &bytes));
    match written {
        Ok(profile) => tell(arguments, &profile),
        Err(message) => {
            complain(&message);
            Ok(Outcome::Unusable)
        }
    }
}

/// The merged profile and its text.
fn merged(base: &Path, ours: &Path, theirs: &Path) -> Result<(Profile, Vec<u8>), String> {
    // Git gives an empty file where both sides added one.
    if fs::metadata(base).is_ok_and(|file| file.is_file() && file.len() == 0) {
        return Err(format!(
            "{}: it is empty: there is no version that both began with. Keep OURS or THEIRS as a whole",
            base.display()
        ));
    }
    let (base, ours) = (Version::read(base)?, Version::read(ours)?);
    let theirs = Version::read(theirs)?;
    let profile = merge(&base.profile, &ours.profile, &theirs.profile).profile;
    let bytes = if profile == ours.profile {
        ours.bytes
    } else if profile == theirs.profile && theirs.notation == ours.notation {
        theirs.bytes
    } else {
        text(&profile, ours.notation)
    };
    Ok((profile, bytes))
}

/// The profile with a choice made for one conflict or for every one, and its text.
fn chosen(
    file: &Path,
    choice: Choice,
    part: Option<&PartPath>,
) -> Result<(Profile, Vec<u8>), String> {
    let Version {
        mut profile,
        notation,
        ..
    } = Version::read(file)?;
    let file = file.display();
    let is_wanted = |conflict: &Conflict| part.is_none_or(|part| conflict.part == *part);
    if !profile.conflicts.iter().any(is_wanted) {
        return Err(match part {
            Some(part) => format!("{file}: there is no conflict about {part}"),
            None => format!("{file}: there is no conflict"),
        });
    }
    while profile.conflicts.iter().any(is_wanted) {
        profile =
            choose_one(&profile, choice, is_wanted).map_err(|why| format!("{file}: {why}"))?;
    }
    let bytes = text(&profile, notation);
    Ok((profile, bytes))
}

/// Chooses for the first conflict for which it can be done: what one choice brings another may need.
fn choose_one(
    profile: &Profile,
    choice: Choice,
    is_wanted: impl Fn(&Conflict) -> bool,
) -> Result<Profile, Unresolved> {
    let mut refused = None;
    for (index, conflict) in profile.conflicts.iter().enumerate() {
        if !is_wanted(conflict) {
            continue;
        }
        match resolve(profile, index, choice) {
            Ok(profile) => return Ok(profile),
            Err(why) => refused = refused.or(Some(why)),
        }
    }
    Err(refused.unwrap_or(Unresolved::NoConflict(0)))
}

fn text(profile: &Profile, notation: Notation) -> Vec<u8> {
    match notation {
        Notation::Ron => to_ron(profile).into_bytes(),
        Notation::Json => to_canonical(profile),
    }
}

/// Writes the file, unless it could not be read again: all conflicts together may be larger than what is read.
fn write(path: &Path, profile: Profile, bytes: &[u8]) -> Result<Profile, String> {
    let file = path.display().to_string();
    read::<Profile>(&file, bytes, notation_told_by(bytes)).map_err(|e| e.to_string())?;
    write_atomic(path, bytes).map_err(|e| format!("{file}: it could not be written: {e}"))?;
    Ok(profile)
}

fn tell(arguments: &Arguments, profile: &Profile) -> io::Result<Outcome> {
    if arguments.json {
        print_json(&MergeReport {
            program: PROGRAM.to_owned(),
            profile: profile.id.to_string(),
            file: arguments.output.display().to_string(),
            conflicts: profile.conflicts.clone(),
        })?;
    } else {
        print_text(profile)?;
    }
    Ok(if profile.conflicts.is_empty() {
        Outcome::Good
    } else {
        Outcome::No
    })
}

fn print_text(profile: &Profile) -> io::Result<()> {
    let mut out = io::stdout().lock();
    for conflict in &profile.conflicts {
        let what = match conflict.about {
            ConflictAbout::Value => "Two people changed it in two ways",
            ConflictAbout::Order => "Two people put it in two orders",
        };
        let values = told(conflict, profile.language.as_str());
        writeln!(out, "{}: {what}.", conflict.part)?;
        writeln!(out, "  before  {}", values.base)?;
        writeln!(out, "  ours    {}", values.ours)?;
        writeln!(out, "  theirs  {}", values.theirs)?;
    }
    let count = profile.conflicts.len();
    let outcome = match count {
        0 => "merged, nothing is left to choose".to_owned(),
        1 => "1 conflict is left to choose; until then the part stands as it was".to_owned(),
        _ => {
            format!("{count} conflicts are left to choose; until then the parts stand as they were")
        }
    };
    writeln!(out, "{}: {outcome}", profile.id)
}

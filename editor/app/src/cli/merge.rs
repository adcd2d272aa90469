//! `chockstone merge`: put together what two people changed, or choose for what a merge left open.

use std::{
    fs,
    io::{self, Read as _, Write as _},
    path::{Path, PathBuf},
};

use chockstone_library::{
    files::{notation_told_by, write_atomic},
    merge::{Choice, merge, resolve, told},
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
    /// BASE OURS THEIRS; with --choose the one file with conflicts. Their names tell nothing: RON and JSON are told by their
    /// contents.
    #[arg(required = true, num_args = 1..=3, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// The file to write; it may be one of those that are read. It is left alone when the call cannot be used.
    #[arg(short, long, value_name = "OUT")]
    output: PathBuf,
    /// What to choose for conflicts of an earlier merge.
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
    let wanted = |conflict: &Conflict| part.is_none_or(|part| conflict.part == *part);
    let mut made = 0;
    let mut refused = None;
    while let Some(index) = profile.conflicts.iter().position(wanted) {
        // What one choice brings another may need, so that each is tried until none can be made.
        let all = (index..profile.conflicts.len()).filter(|i| {
            let conflict = profile.conflicts.get(*i);
            conflict.is_some_and(wanted)
        });
        let mut tried = all.map(|i| resolve(&profile, i, choice));
        let first = tried.next();
        let success = first.into_iter().chain(tried).find_map(|outcome| {
            let noted = outcome.map_err(|error| refused.get_or_insert(error.to_string()).clone());
            noted.ok()
        });
        let Some(next) = success else {
            break;
        };
        (profile, made, refused) = (next, made + 1, None);
    }
    match (refused, made) {
        (Some(reason), _) => Err(format!("{}: {reason}", file.display())),
        (None, 0) => Err(match part {
            Some(part) => format!("{}: there is no conflict about {part}", file.display()),
            None => format!("{}: there is no conflict", file.display()),
        }),
        (None, _) => {
            let bytes = text(&profile, notation);
            Ok((profile, bytes))
        }
    }
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

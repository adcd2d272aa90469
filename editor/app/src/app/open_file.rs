//! The file that is open: a profile or a piece of equipment, with everything the window knows of it.

use std::{
    io::Read as _,
    path::{Path, PathBuf},
};

use chockstone_library::{
    attachments,
    files::{self, FileKind},
    merge::merge,
};
use chockstone_rules::{check_equipment_on, check_profile, mass};
use chockstone_schema::{
    Equipment, Profile,
    date::Date,
    json_schema,
    read::{self, Document as Record, Fault, Notation, notation_of},
    report::{Finding, MassResult},
};
use serde_json::Value;

use crate::{
    document::{Document, Edit, Refusal},
    form::{FormState, Node},
    pages::Belongs,
    panels::procedures::ProceduresState,
};

/// The document of an open file.
pub enum Contents {
    /// A profile.
    Profile(Document<Profile>),
    /// A piece of equipment.
    Equipment(Document<Equipment>),
}

/// Does the same with either document.
macro_rules! either {
    ($contents:expr, $document:ident => $act:expr) => {
        match $contents {
            Contents::Profile($document) => $act,
            Contents::Equipment($document) => $act,
        }
    };
}

impl Contents {
    /// The tree of values.
    pub fn value(&self) -> &Value {
        either!(self, d => d.value())
    }

    /// A number that grows with every change.
    pub fn revision(&self) -> u64 {
        either!(self, d => d.revision())
    }

    /// Whether the contents differ from the file's.
    pub fn is_modified(&self) -> bool {
        either!(self, d => d.is_modified())
    }

    /// Makes an edit.
    pub fn apply(&mut self, edit: Edit) -> Result<(), Refusal> {
        either!(self, d => d.apply(edit))
    }

    /// Takes the last step back.
    pub fn undo(&mut self) -> bool {
        either!(self, d => d.undo())
    }

    /// Makes the last step that was taken back again.
    pub fn redo(&mut self) -> bool {
        either!(self, d => d.redo())
    }

    /// Names the step that undo takes back.
    pub fn undo_name(&self) -> Option<&str> {
        either!(self, d => d.undo_name())
    }

    /// Names the step that redo makes again.
    pub fn redo_name(&self) -> Option<&str> {
        either!(self, d => d.redo_name())
    }

    /// The tree of values of what the file holds; none before it was saved first.
    pub fn saved_value(&self) -> Option<&Value> {
        either!(self, d => d.saved_value())
    }

    fn mark_saved(&mut self) {
        either!(self, d => d.mark_saved());
    }

    fn text(&self, notation: Notation) -> Vec<u8> {
        fn of<T: Record>(document: &Document<T>, notation: Notation) -> Vec<u8> {
            match notation {
                Notation::Ron => read::to_ron(document.typed()).into_bytes(),
                Notation::Json => read::to_canonical(document.typed()),
            }
        }
        either!(self, d => of(d, notation))
    }

    /// The profile, if it is one.
    pub fn profile(&self) -> Option<&Profile> {
        match self {
            Self::Profile(document) => Some(document.typed()),
            Self::Equipment(_) => None,
        }
    }

    /// The profile as its file holds it, and the revision that was saved; none before it was saved first.
    pub fn saved_profile(&self) -> Option<(&Profile, u64)> {
        match self {
            Self::Profile(document) => document.saved(),
            Self::Equipment(_) => None,
        }
    }

    /// Which pages belong to it.
    pub fn belongs(&self) -> Belongs {
        match self {
            Self::Profile(_) => Belongs::Profile,
            Self::Equipment(_) => Belongs::Equipment,
        }
    }

    /// Its annotated schema.
    pub fn schema(&self) -> Node<'static> {
        Node::root(match self {
            Self::Profile(_) => &json_schema::profile().annotated,
            Self::Equipment(_) => &json_schema::equipment().annotated,
        })
    }

    fn check(&self, today: Date) -> Vec<Finding> {
        match self {
            Self::Profile(document) => check_profile(document.typed()),
            Self::Equipment(document) => check_equipment_on(document.typed(), Some(today)),
        }
    }

    fn ending(&self) -> &'static str {
        match self {
            Self::Profile(_) => Profile::ENDING,
            Self::Equipment(_) => Equipment::ENDING,
        }
    }
}

/// Why a file could not be opened or written, as a person reads it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Trouble {
    /// What could not be done.
    pub title: String,
    /// Why, one line a fault.
    pub lines: Vec<String>,
}

/// An open file.
pub struct OpenFile {
    /// Its document.
    pub contents: Contents,
    /// Where it is; a new one is nowhere yet.
    pub path: Option<PathBuf>,
    /// What its forms remember.
    pub form: FormState,
    /// What the page of its procedures remembers.
    pub procedures: ProceduresState,
    /// The bytes on disk when it was read or written last.
    on_disk: Option<Vec<u8>>,
    /// What another program wrote and a person was told of.
    told: Option<Vec<u8>>,
    findings: Option<(u64, Vec<Finding>)>,
    masses: Option<(u64, Vec<MassResult>)>,
}

impl OpenFile {
    /// Reads a file. The kind is told by its name, else by what it holds.
    pub fn read(path: &Path) -> Result<Self, Trouble> {
        let bytes = bytes_of(path).map_err(|error| Trouble {
            title: format!("{} cannot be opened", path.display()),
            lines: vec![format!("it could not be read: {error}")],
        })?;
        let contents = parse(path, &bytes)?;
        let mut file = Self::new(contents);
        file.path = Some(path.to_owned());
        file.on_disk = Some(bytes);
        Ok(file)
    }

    /// Shows contents that no file holds yet.
    pub fn new(contents: Contents) -> Self {
        Self {
            contents,
            path: None,
            form: FormState::default(),
            procedures: ProceduresState::default(),
            on_disk: None,
            told: None,
            findings: None,
            masses: None,
        }
    }

    /// Whether closing it would lose something.
    pub fn is_unsaved(&self) -> bool {
        self.contents.is_modified() || self.form.has_drafts()
    }

    /// Whether another program changed the file since it was read or written here.
    pub fn changed_elsewhere(&self) -> bool {
        let now = self.path.as_ref().and_then(|path| bytes_of(path).ok());
        matches!((&self.on_disk, now), (Some(known), Some(now)) if *known != now)
    }

    /// Writes the contents to a file, whole or not at all.
    pub fn write(&mut self, path: &Path) -> Result<(), Trouble> {
        let bytes = self.contents.text(notation_of(path));
        files::write_atomic(path, &bytes).map_err(|error| Trouble {
            title: format!("{} cannot be written", path.display()),
            lines: vec![format!("{error}. The file is as it was.")],
        })?;
        self.on_disk = Some(bytes);
        self.path = Some(path.to_owned());
        self.contents.mark_saved();
        Ok(())
    }

    /// The SHA-256 of the file's bytes when it was read or written last; none when it was never saved.
    pub fn sha256_on_disk(&self) -> Option<String> {
        self.on_disk.as_deref().map(attachments::sha256)
    }

    /// The bytes that another program has written since the file was read or written here; each is told once.
    pub(super) fn news_on_disk(&mut self) -> Option<Vec<u8>> {
        let now = bytes_of(self.path.as_ref()?).ok()?;
        let known = self.on_disk.as_ref() == Some(&now) || self.told.as_ref() == Some(&now);
        if known {
            return None;
        }
        self.told = Some(now.clone());
        Some(now)
    }

    /// Shows what another program has written, as one step that can be taken back.
    pub(super) fn read_again(&mut self, bytes: &[u8]) -> Result<(), Trouble> {
        let theirs = self.parse_theirs(bytes)?;
        self.replace("read the file again", theirs.value().clone())?;
        self.settle_on(theirs, bytes);
        Ok(())
    }

    /// Puts what another program has written and what was changed here together.
    pub(super) fn bring_together(&mut self) -> Result<(), Trouble> {
        let path = self.path.clone().unwrap_or_default();
        let bytes = bytes_of(&path).map_err(|error| Trouble {
            title: format!("{} cannot be read", path.display()),
            lines: vec![error.to_string()],
        })?;
        let theirs = self.parse_theirs(&bytes)?;
        let together = self.together(theirs.profile());
        let together = together.ok_or_else(|| Trouble {
            title: "Only profiles are put together".to_owned(),
            lines: vec!["Save under another name instead.".to_owned()],
        })?;
        self.replace("put both versions together", together)?;
        self.settle_on(theirs, &bytes);
        Ok(())
    }

    /// Takes over what was not saved: as it is where the file is the one that it began from, else put together with it.
    pub(super) fn take_over(&mut self, base: Option<&Value>, ours: &Value) -> Result<(), String> {
        let together = match (&self.contents, base) {
            (Contents::Profile(theirs), Some(base)) if theirs.value() != base => {
                let merged = merge(&read_value(base)?, &read_value(ours)?, theirs.typed());
                read::to_value(&merged.profile)
            }
            _ => ours.clone(),
        };
        let edit = Edit::set("bring back what was not saved", "", together);
        self.contents
            .apply(edit)
            .map_err(|refusal| refusal.message())
    }

    fn together(&self, theirs: Option<&Profile>) -> Option<Value> {
        let (base, _) = self.contents.saved_profile()?;
        let merged = merge(base, self.contents.profile()?, theirs?);
        Some(read::to_value(&merged.profile))
    }

    fn parse_theirs(&self, bytes: &[u8]) -> Result<Contents, Trouble> {
        let path = self.path.clone().unwrap_or_default();
        parse(&path, bytes)
    }

    fn replace(&mut self, step: &str, value: Value) -> Result<(), Trouble> {
        let made = self.contents.apply(Edit::set(step, "", value));
        made.map_err(|refusal| Trouble {
            title: format!("{} could not be taken over", self.name()),
            lines: refusal.faults.iter().map(fault_line).collect(),
        })
    }

    /// The file holds this now.
    fn settle_on(&mut self, theirs: Contents, bytes: &[u8]) {
        match (&mut self.contents, theirs) {
            (Contents::Profile(ours), Contents::Profile(theirs)) => {
                ours.file_now_holds(theirs.typed().clone());
            }
            (Contents::Equipment(ours), Contents::Equipment(theirs)) => {
                ours.file_now_holds(theirs.typed().clone());
            }
            _ => return,
        }
        self.on_disk = Some(bytes.to_owned());
    }

    /// Whether the file may not be written.
    pub fn is_read_only(&self) -> bool {
        let path = self.path.as_ref();
        let known = path.and_then(|path| std::fs::metadata(path).ok());
        known.is_some_and(|known| known.permissions().readonly())
    }

    /// Whether the file on disk holds comments, which saving leaves out.
    pub fn has_comments(&self) -> bool {
        let is_ron = self
            .path
            .as_ref()
            .is_some_and(|p| notation_of(p) == Notation::Ron);
        let text = self.on_disk.as_deref().map(String::from_utf8_lossy);
        is_ron && text.is_some_and(|text| holds_comments(&text))
    }

    /// What the checks say of the contents as they are now.
    pub fn findings(&mut self, today: Date) -> &[Finding] {
        let revision = self.contents.revision();
        if self.findings.as_ref().is_none_or(|(of, _)| *of != revision) {
            self.findings = Some((revision, self.contents.check(today)));
        }
        self.findings.as_ref().map_or(&[], |(_, found)| found)
    }

    /// Brings up to date what the rules compute of mass and centre of gravity.
    pub fn weigh(&mut self) {
        let revision = self.contents.revision();
        if let Some(profile) = self.contents.profile()
            && self.masses.as_ref().is_none_or(|(of, _)| *of != revision)
        {
            self.masses = Some((revision, mass::all(profile)));
        }
    }

    /// What the rules computed when the file was weighed last, one result a variant.
    pub fn masses(&self) -> &[MassResult] {
        self.masses.as_ref().map_or(&[], |(_, masses)| masses)
    }

    /// What choices about it are remembered under: its path, or its id while it has none.
    pub fn remembered_as(&self) -> String {
        let id = || self.contents.value().get("id").and_then(Value::as_str);
        match &self.path {
            Some(path) => path.display().to_string(),
            None => id().unwrap_or_default().to_owned(),
        }
    }

    /// What the file is called in the window: its name, or what it is when it has none yet.
    pub fn name(&self) -> String {
        let name = self.path.as_ref().and_then(|path| path.file_name());
        name.map_or_else(
            || format!("New {}", self.noun()),
            |name| name.to_string_lossy().into_owned(),
        )
    }

    /// "profile" or "equipment".
    pub fn noun(&self) -> &'static str {
        match self.contents {
            Contents::Profile(_) => Profile::NOUN,
            Contents::Equipment(_) => Equipment::NOUN,
        }
    }

    /// What the contents are about: maker and model, or the equipment's name.
    pub fn title(&self) -> String {
        match &self.contents {
            Contents::Profile(document) => {
                let identity = &document.typed().identity;
                format!("{} {}", identity.maker, identity.model)
            }
            Contents::Equipment(document) => {
                let equipment = document.typed();
                equipment.name.pick([&equipment.language]).to_owned()
            }
        }
    }

    /// The file name proposed when it is saved for the first time.
    pub fn proposed_name(&self) -> String {
        let id = self.contents.value().get("id").and_then(Value::as_str);
        format!("{}{}", id.unwrap_or(self.noun()), self.contents.ending())
    }

    /// The base language, and the others in which the contents are meant to be complete.
    pub fn languages(&self) -> Vec<String> {
        let value = self.contents.value();
        let base = value.get("language").and_then(Value::as_str);
        let others = value.get("languages").and_then(Value::as_array);
        let others = others.into_iter().flatten().filter_map(Value::as_str);
        base.into_iter().chain(others).map(str::to_owned).collect()
    }
}

/// Reads a file up to a little more than the reader accepts, so that the reader says what is wrong with a larger one.
fn bytes_of(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let most = read::LARGEST_FILE as u64 + 1;
    std::fs::File::open(path)?
        .take(most)
        .read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn parse(path: &Path, bytes: &[u8]) -> Result<Contents, Trouble> {
    let name = path.display().to_string();
    let notation = notation_of(path);
    let profile = || {
        let read = read::read::<Profile>(&name, bytes, notation);
        read.map(|p| Contents::Profile(Document::opened(p)))
    };
    let equipment = || {
        let read = read::read::<Equipment>(&name, bytes, notation);
        read.map(|e| Contents::Equipment(Document::opened(e)))
    };
    let read = match FileKind::of(path) {
        Some(FileKind::Profile) => profile(),
        Some(FileKind::Equipment) => equipment(),
        None => profile().or_else(|error| equipment().map_err(|_| error)),
    };
    read.map_err(|error| Trouble {
        title: format!("{name} cannot be opened"),
        lines: error.faults.iter().map(fault_line).collect(),
    })
}

/// A document of a tree of values that was kept, or why it is none.
pub(super) fn read_value<T: Record>(value: &Value) -> Result<T, String> {
    read::from_value(value).map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(fault_line).collect();
        lines.join("; ")
    })
}

fn fault_line(fault: &Fault) -> String {
    let at = fault
        .at
        .map(|(line, column)| format!("line {line}, column {column}: "))
        .unwrap_or_default();
    format!("{at}{}", fault.message)
}

/// Looks for `//` and `/*` outside strings.
fn holds_comments(ron: &str) -> bool {
    let mut rest = ron;
    while let Some(at) = rest.find(['"', '/']) {
        let before = rest.get(..at).unwrap_or_default();
        let hashes = before.len() - before.trim_end_matches('#').len();
        let is_raw = before.trim_end_matches('#').ends_with('r');
        let here = rest.get(at..).unwrap_or_default();
        if here.starts_with("//") || here.starts_with("/*") {
            return true;
        }
        let inside = here.get(1..).unwrap_or_default();
        let end = match here.starts_with('"') {
            true if is_raw => inside.find(&format!("\"{}", "#".repeat(hashes))),
            true => end_of_string(inside),
            false => Some(0),
        };
        let skipped = usize::from(here.starts_with('"'));
        rest = end
            .and_then(|end| inside.get(end + skipped..))
            .unwrap_or_default();
    }
    false
}

fn end_of_string(text: &str) -> Option<usize> {
    let mut escaped = false;
    text.bytes().position(|byte| {
        let ends = byte == b'"' && !escaped;
        escaped = byte == b'\\' && !escaped;
        ends
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn comments_are_told_from_slashes_inside_strings() {
        for (text, expected) in [
            ("(a: 1) // why", true),
            ("(a: /* b */ 1)", true),
            (r#"(a: "https://example.org")"#, false),
            (r#"(a: "a \" // b")"#, false),
            (r##"(a: r#"x " // y"#)"##, false),
            (r#"(a: "x") // y"#, true),
            ("(a: 1 / 2)", false),
        ] {
            assert_eq!(holds_comments(text), expected, "{text}");
        }
    }
}

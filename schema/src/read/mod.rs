//! Reading profiles and equipment from RON and JSON, and writing them.
//!
//! A text is either read whole or refused with every fault that was found: file, line, column, JSON pointer and a plain
//! sentence. Unknown fields, duplicate keys, wrong units, NaN, infinities, impossible signs, dangling references and
//! duplicate ids are all faults.

use std::{fmt, path::Path};

use schemars::JsonSchema;
use serde::{Serialize, de::DeserializeOwned};
use serde_json::Value;

use crate::{
    canonical,
    codes::Sha256Hex,
    json_schema::{self, DocumentSchema},
    model::{Equipment, Policy, Profile},
};

mod meaning;
mod position;
mod references;

pub(crate) use references::Shape;

/// The largest file that is read, in bytes.
pub const LARGEST_FILE: usize = 10_000_000;

/// The notation of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notation {
    /// Rusty Object Notation, with implicit `Some` and unwrapped newtypes.
    Ron,
    /// JSON (RFC 8259).
    Json,
}

/// One thing wrong with a text: where, and what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// RFC 6901 pointer to the part, as far as it is known.
    pub pointer: String,
    /// Line and column in the text, both from 1, where there is a text.
    pub at: Option<(usize, usize)>,
    /// What is wrong and what to do, as a sentence without its stop.
    pub message: String,
}

impl Fault {
    /// A fault at a pointer.
    pub fn new(pointer: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            pointer: pointer.into(),
            at: None,
            message: message.into(),
        }
    }
}

/// Why a text was refused.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// The file's name, as the caller gave it.
    pub file: String,
    /// Every fault found, at least one.
    pub faults: Vec<Fault>,
}

impl std::error::Error for ReadError {}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, fault) in self.faults.iter().enumerate() {
            let separator = if i == 0 { "" } else { "\n" };
            write!(f, "{separator}{}", self.file)?;
            if let Some((line, column)) = fault.at {
                write!(f, ":{line}:{column}")?;
            }
            write!(f, ": {}", visible(&fault.message))?;
            if !fault.pointer.is_empty() {
                write!(f, " (at {})", visible(&fault.pointer))?;
            }
        }
        Ok(())
    }
}

/// The most faults of one file that are told; a person mends the first ones first.
const MOST_FAULTS: usize = 200;

/// A text from a file with its control characters spelled out, so that none reaches a terminal.
fn visible(text: &str) -> String {
    let spelled = |c: char| match c {
        '\n' => c.to_string(),
        c if c.is_control() => c.escape_unicode().to_string(),
        c => c.to_string(),
    };
    text.chars().map(spelled).collect()
}

/// A kind of file of record: a profile or a piece of equipment.
pub trait Document:
    Serialize + DeserializeOwned + JsonSchema + Clone + PartialEq + 'static
{
    /// The word for it in sentences.
    const NOUN: &'static str;
    /// The end of its files' names.
    const ENDING: &'static str;

    /// Its schema in all forms.
    fn schema() -> &'static DocumentSchema;

    /// Faults of meaning that neither types nor schema can tell.
    fn meaning_faults(&self) -> Vec<Fault>;

    /// Ids that references may name besides the document's own, by the reference's key.
    fn built_in(key: &str, id: &str) -> bool;
}

impl Document for Profile {
    const NOUN: &'static str = "profile";
    const ENDING: &'static str = ".profile.ron";

    fn schema() -> &'static DocumentSchema {
        json_schema::profile()
    }

    fn meaning_faults(&self) -> Vec<Fault> {
        meaning::profile(self)
    }

    fn built_in(key: &str, id: &str) -> bool {
        key == "condition" && crate::conditions::is_built_in(id)
    }
}

impl Document for Equipment {
    const NOUN: &'static str = "equipment";
    const ENDING: &'static str = ".equipment.ron";

    fn schema() -> &'static DocumentSchema {
        json_schema::equipment()
    }

    fn meaning_faults(&self) -> Vec<Fault> {
        meaning::equipment(self)
    }

    fn built_in(_: &str, _: &str) -> bool {
        false
    }
}

impl Document for Policy {
    const NOUN: &'static str = "library";
    const ENDING: &'static str = "library.ron";

    fn schema() -> &'static DocumentSchema {
        json_schema::policy()
    }

    fn meaning_faults(&self) -> Vec<Fault> {
        meaning::policy(self)
    }

    fn built_in(_: &str, _: &str) -> bool {
        false
    }
}

/// Reads a document from a text. `file` is only used in messages.
pub fn read<T: Document>(file: &str, bytes: &[u8], notation: Notation) -> Result<T, ReadError> {
    let refuse = |faults: Vec<Fault>| ReadError {
        file: file.to_owned(),
        faults: faults.into_iter().map(shortened).collect(),
    };
    let text = text_of(bytes).map_err(|fault| refuse(vec![fault]))?;
    let (document, value) = match notation {
        Notation::Ron => typed_ron::<T>(text),
        Notation::Json => typed_json::<T>(text),
    }
    .map_err(|fault| refuse(vec![fault]))?;
    let mut faults = faults_of(&document, &value);
    if faults.is_empty() {
        return Ok(document);
    }
    faults.truncate(MOST_FAULTS);
    position::locate_all(text, notation, &mut faults);
    Err(refuse(faults))
}

/// Leaves out the middle of a message that quotes too much of the text: nobody reads a megabyte.
fn shortened(mut fault: Fault) -> Fault {
    const KEPT: usize = 200;
    if fault.message.len() > 3 * KEPT {
        let characters: Vec<char> = fault.message.chars().collect();
        let end = characters.len().saturating_sub(KEPT);
        let middle = "…".chars();
        let parts = characters.iter().take(KEPT).copied().chain(middle);
        fault.message = parts
            .chain(characters.iter().skip(end.max(KEPT)).copied())
            .collect();
    }
    fault
}

/// Reads a document from a file on disk; the notation follows the file's name.
///
/// A directory, a missing file or one larger than [`LARGEST_FILE`] is refused like any other fault.
pub fn read_file<T: Document>(path: &Path) -> Result<T, ReadError> {
    use std::io::Read as _;
    let file = path.display().to_string();
    let mut bytes = Vec::new();
    let outcome = std::fs::File::open(path)
        .and_then(|f| f.take(LARGEST_FILE as u64 + 1).read_to_end(&mut bytes));
    if let Err(error) = outcome {
        return Err(ReadError {
            file,
            faults: vec![Fault::new("", format!("it could not be read: {error}"))],
        });
    }
    read(&file, &bytes, notation_of(path))
}

/// The notation that a file's name tells: JSON for `.json`, else RON.
pub fn notation_of(path: &Path) -> Notation {
    if path
        .extension()
        .is_some_and(|e| e.eq_ignore_ascii_case("json"))
    {
        Notation::Json
    } else {
        Notation::Ron
    }
}

/// Makes a document of a JSON value, as an editor does after each edit.
pub fn from_value<T: Document>(value: &Value) -> Result<T, Vec<Fault>> {
    let faults = schema_faults::<T>(value);
    if !faults.is_empty() {
        return Err(faults);
    }
    let document: T = serde_path_to_error::deserialize(value).map_err(|e| {
        let pointer = pointer_of(e.path());
        vec![Fault::new(pointer, e.into_inner().to_string())]
    })?;
    let faults = beyond_schema(&document, value);
    if faults.is_empty() {
        Ok(document)
    } else {
        Err(faults)
    }
}

/// The document as a JSON value. Absent parts are left out; numbers and units stay as entered.
pub fn to_value<T: Document>(document: &T) -> Value {
    serde_json::to_value(document).unwrap_or(Value::Null)
}

/// The document as RON, the form in which people keep it.
pub fn to_ron<T: Document>(document: &T) -> String {
    let pretty = ron::ser::PrettyConfig::new()
        .indentor("  ")
        .compact_arrays(false);
    let mut text = ron_options()
        .to_string_pretty(document, pretty)
        .unwrap_or_default();
    text.push('\n');
    text
}

/// The document as canonical JSON (RFC 8785).
pub fn to_canonical<T: Document>(document: &T) -> Vec<u8> {
    // Every number of the model is bounded far below 2^53, and those of extensions and conflicts are checked when they are read.
    canonical::to_vec(&to_value(document)).unwrap_or_default()
}

/// The SHA-256 of a profile's canonical JSON without its release number and its reviews: what a review is about.
pub fn contents_hash(profile: &Profile) -> Sha256Hex {
    let mut contents = to_value(profile);
    if let Some(fields) = contents.as_object_mut() {
        fields.remove("release");
        fields.remove("reviews");
    }
    let bytes = canonical::to_vec(&contents).unwrap_or_default();
    Sha256Hex::of(&bytes)
}

fn ron_options() -> ron::Options {
    use ron::extensions::Extensions;
    ron::Options::default()
        .with_default_extension(Extensions::IMPLICIT_SOME | Extensions::UNWRAP_NEWTYPES)
}

fn text_of(bytes: &[u8]) -> Result<&str, Fault> {
    if bytes.len() > LARGEST_FILE {
        return Err(Fault::new(
            "",
            format!("it is larger than {LARGEST_FILE} bytes, the most that is read"),
        ));
    }
    let text = std::str::from_utf8(bytes).map_err(|e| {
        let good = bytes.get(..e.valid_up_to()).unwrap_or_default();
        let mut fault = Fault::new("", "it is not UTF-8 text: save it again as UTF-8");
        fault.at = Some(position::end_of(&String::from_utf8_lossy(good)));
        fault
    })?;
    // A byte order mark is harmless, and some editors write one.
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

fn typed_ron<T: Document>(text: &str) -> Result<(T, Value), Fault> {
    // Following the path costs time that only a text with a fault is worth.
    let document = match ron_options().from_str::<T>(text) {
        Ok(document) => document,
        Err(_) => typed_ron_with_path(text)?,
    };
    let value = serde_json::to_value(&document).map_err(|e| Fault::new("", e.to_string()))?;
    Ok((document, value))
}

fn typed_ron_with_path<T: Document>(text: &str) -> Result<T, Fault> {
    let spanned = |e: ron::error::SpannedError, pointer: String| Fault {
        pointer,
        at: Some((e.span.start.line, e.span.start.col)),
        message: e.code.to_string(),
    };
    let mut deserializer = ron::Deserializer::from_str_with_options(text, &ron_options())
        .map_err(|e| spanned(e, String::new()))?;
    let document: T = match serde_path_to_error::deserialize(&mut deserializer) {
        Ok(document) => document,
        Err(error) => {
            let pointer = pointer_of(error.path());
            return Err(spanned(
                deserializer.span_error(error.into_inner()),
                pointer,
            ));
        }
    };
    deserializer
        .end()
        .map_err(|e| spanned(deserializer.span_error(e), String::new()))?;
    Ok(document)
}

fn typed_json<T: Document>(text: &str) -> Result<(T, Value), Fault> {
    // The raw value is read too, not made of the typed one: a null is only seen there.
    if let (Ok(document), Ok(value)) = (serde_json::from_str(text), serde_json::from_str(text)) {
        return Ok((document, value));
    }
    let at = |e: &serde_json::Error| (e.line() > 0).then(|| (e.line(), e.column().max(1)));
    let mut deserializer = serde_json::Deserializer::from_str(text);
    let document: T = serde_path_to_error::deserialize(&mut deserializer).map_err(|e| {
        let pointer = pointer_of(e.path());
        let e = e.into_inner();
        Fault {
            pointer,
            at: at(&e),
            message: without_position(&e.to_string()),
        }
    })?;
    let plain = |e: serde_json::Error| Fault {
        pointer: String::new(),
        at: at(&e),
        message: without_position(&e.to_string()),
    };
    deserializer.end().map_err(plain)?;
    let value = serde_json::from_str(text).map_err(plain)?;
    Ok((document, value))
}

fn without_position(message: &str) -> String {
    message
        .rfind(" at line ")
        .map_or(message, |cut| message.get(..cut).unwrap_or(message))
        .to_owned()
}

fn faults_of<T: Document>(document: &T, value: &Value) -> Vec<Fault> {
    let mut faults = schema_faults::<T>(value);
    faults.extend(beyond_schema(document, value));
    faults
}

fn beyond_schema<T: Document>(document: &T, value: &Value) -> Vec<Fault> {
    let mut faults = references::faults::<T>(value);
    faults.extend(document.meaning_faults());
    faults
}

fn schema_faults<T: Document>(value: &Value) -> Vec<Fault> {
    let validator = &T::schema().validator;
    if validator.is_valid(value) {
        return Vec::new();
    }
    json_schema::faults(validator, value)
}

fn pointer_of(path: &serde_path_to_error::Path) -> String {
    use serde_path_to_error::Segment;
    let mut pointer = String::new();
    for segment in path {
        match segment {
            Segment::Seq { index } => push_key(&mut pointer, &index.to_string()),
            Segment::Map { key } => push_key(&mut pointer, key),
            Segment::Enum { .. } | Segment::Unknown => {}
        }
    }
    pointer
}

fn push_key(pointer: &mut String, key: &str) {
    pointer.push('/');
    pointer.push_str(&key.replace('~', "~0").replace('/', "~1"));
}

#[cfg(test)]
pub(crate) mod tests;

//! JSON Schema (2020-12) of every document, made from the types.
//!
//! The **annotated** form carries `x-` keywords for programs that draw forms: the order of fields, kinds of values,
//! units, and the list that a reference points into. The **published** form, checked in as `*.schema.json` and put in
//! every bundle, is the same without them, so that strict validators accept it.

use std::{collections::BTreeMap, sync::LazyLock};

use jsonschema::{ValidationError, Validator, error::ValidationErrorKind};
use schemars::{JsonSchema, generate::SchemaSettings};
use serde_json::{Map, Value, json};

use crate::{
    model::{Equipment, Policy, Profile},
    read::{Fault, Shape},
    report,
};

mod order;

/// Where the published schemas say that they live. Nothing is fetched from there.
const BASE: &str = "https://chockstone.example/schema/";

/// Longer messages leave out what they are about, in bytes.
const LONGEST_MESSAGE: usize = 400;

/// The schema of one kind of document, in all forms.
pub struct DocumentSchema {
    /// With `x-` keywords.
    pub annotated: Value,
    /// Without them.
    pub published: Value,
    /// The compiled published form; formats are asserted.
    pub validator: Validator,
    pub(crate) shape: Shape,
}

impl std::fmt::Debug for DocumentSchema {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("DocumentSchema").finish_non_exhaustive()
    }
}

/// The schema of profiles.
pub fn profile() -> &'static DocumentSchema {
    static SCHEMA: LazyLock<DocumentSchema> =
        LazyLock::new(|| document::<Profile>("profile-1.0", "Vehicle handling profile"));
    &SCHEMA
}

/// The schema of equipment.
pub fn equipment() -> &'static DocumentSchema {
    static SCHEMA: LazyLock<DocumentSchema> =
        LazyLock::new(|| document::<Equipment>("equipment-1.0", "Equipment"));
    &SCHEMA
}

/// The schema of a library's rules.
pub fn policy() -> &'static DocumentSchema {
    static SCHEMA: LazyLock<DocumentSchema> =
        LazyLock::new(|| document::<Policy>("library-1.0", "Rules of a library"));
    &SCHEMA
}

/// Every published schema by its file name, as text with a final line feed: what is checked in under `schema/`.
pub fn published_files() -> BTreeMap<&'static str, String> {
    BTreeMap::from([
        ("profile.schema.json", text(&profile().published)),
        ("equipment.schema.json", text(&equipment().published)),
        (
            "catalogue.schema.json",
            plain::<report::SignedSnapshot>("catalogue-1.0", "Signed snapshot of a library"),
        ),
        ("library.schema.json", text(&policy().published)),
        (
            "findings.schema.json",
            plain::<report::CheckReport>("findings-1.0", "Findings"),
        ),
        (
            "mass.schema.json",
            plain::<report::MassReport>("mass-1.0", "Mass and centre of gravity"),
        ),
        (
            "publish.schema.json",
            plain::<report::PublishReport>("publish-1.0", "Outcome of publishing"),
        ),
        (
            "verify.schema.json",
            plain::<report::VerifyReport>("verify-1.0", "Outcome of verifying a bundle"),
        ),
        (
            "fit.schema.json",
            plain::<report::FitReports>("fit-1.0", "Fit of a vehicle to equipment"),
        ),
        (
            "results.schema.json",
            plain::<report::ResultsReport>("results-1.0", "Results computed from a profile alone"),
        ),
        (
            "plan.schema.json",
            plain::<report::PlanReport>("plan-1.0", "Ways from situations to goals"),
        ),
        (
            "difference.schema.json",
            plain::<report::DifferenceReport>("difference-1.0", "Difference of two profiles"),
        ),
        (
            "merge.schema.json",
            plain::<report::MergeReport>("merge-1.0", "What a merge left to be chosen"),
        ),
        (
            "sign.schema.json",
            plain::<report::SignReport>("sign-1.0", "Outcome of signing a bundle"),
        ),
        (
            "library-list.schema.json",
            plain::<report::LibraryListReport>("library-list-1.0", "What a library has"),
        ),
        (
            "library-find.schema.json",
            plain::<report::LibraryFindReport>("library-find-1.0", "What was found in a library"),
        ),
        (
            "library-stale.schema.json",
            plain::<report::LibraryStaleReport>("library-stale-1.0", "What has gone stale"),
        ),
        (
            "library-index.schema.json",
            plain::<report::LibraryIndexReport>("library-index-1.0", "Outcome of indexing"),
        ),
        (
            "library-transfer.schema.json",
            plain::<report::LibraryTransferReport>(
                "library-transfer-1.0",
                "Outcome of sending or fetching",
            ),
        ),
        (
            "library-withdraw.schema.json",
            plain::<report::LibraryWithdrawReport>(
                "library-withdraw-1.0",
                "Outcome of withdrawing",
            ),
        ),
    ])
}

fn plain<T: JsonSchema>(name: &str, title: &str) -> String {
    let mut schema = generate::<T>(name, title);
    strip_annotations(&mut schema);
    text(&schema)
}

fn text(value: &Value) -> String {
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}

fn document<T: JsonSchema>(name: &str, title: &str) -> DocumentSchema {
    let mut annotated = generate::<T>(name, title);
    bound_lists(&mut annotated);
    let mut published = annotated.clone();
    strip_annotations(&mut published);
    let options = jsonschema::draft202012::options().should_validate_formats(true);
    #[expect(
        clippy::expect_used,
        reason = "made from our own types and compiled by a test"
    )]
    let validator = options
        .build(&published)
        .expect("the schema made from the types is a valid schema");
    let shape = Shape::compile(&annotated);
    DocumentSchema {
        annotated,
        published,
        validator,
        shape,
    }
}

/// The most parts accepted in a list whose field states no other limit.
const LONGEST_LIST: u64 = 500;

/// Gives every list a limit, so that no file of record can keep a reader busy for ever.
fn bound_lists(value: &mut Value) {
    match value {
        Value::Object(object) => {
            if object.get("type").is_some_and(|t| t == "array")
                && object.get("items").is_some_and(Value::is_object)
            {
                object
                    .entry("maxItems")
                    .or_insert_with(|| LONGEST_LIST.into());
            }
            object.values_mut().for_each(bound_lists);
        }
        Value::Array(items) => items.iter_mut().for_each(bound_lists),
        _ => {}
    }
}

fn generate<T: JsonSchema>(name: &str, title: &str) -> Value {
    let generator = SchemaSettings::draft2020_12().into_generator();
    let mut root = generator.into_root_schema_for::<T>().to_value();
    tidy_all(&mut root);
    if let Some(object) = root.as_object_mut() {
        object.insert("$id".into(), format!("{BASE}{name}").into());
        object.insert("title".into(), title.into());
    }
    order::annotate(&mut root);
    root
}

fn tidy_all(value: &mut Value) {
    match value {
        Value::Object(object) => {
            tidy(object);
            object.values_mut().for_each(tidy_all);
        }
        Value::Array(items) => items.iter_mut().for_each(tidy_all),
        _ => {}
    }
}

/// Drops what other validators do not know or what would accept a null for an absent part.
fn tidy(object: &mut Map<String, Value>) {
    object.remove("default");
    let single = object
        .get("type")
        .and_then(Value::as_array)
        .and_then(|types| {
            let kept: Vec<&Value> = types.iter().filter(|t| *t != "null").collect();
            if let [only] = kept.as_slice() {
                Some((*only).clone())
            } else {
                None
            }
        });
    if let Some(single) = single {
        if single == "boolean" {
            // Unlike a plain boolean, an absent one is not "no" but "not stated".
            object.insert("x-kind".into(), "yes-no".into());
        }
        object.insert("type".into(), single);
    }
    if object
        .get("type")
        .is_some_and(|t| t == "integer" || t == "number")
    {
        object.remove("format");
    }
    let inner = object
        .get("anyOf")
        .and_then(Value::as_array)
        .and_then(|any| match any.as_slice() {
            [inner, null] if *null == json!({"type": "null"}) => inner.as_object().cloned(),
            _ => None,
        });
    if let Some(inner) = inner {
        object.remove("anyOf");
        for (key, value) in inner {
            object.entry(key).or_insert(value);
        }
    }
}

fn strip_annotations(value: &mut Value) {
    match value {
        Value::Object(object) => {
            object.retain(|key, _| !key.starts_with("x-"));
            object.values_mut().for_each(strip_annotations);
        }
        Value::Array(items) => items.iter_mut().for_each(strip_annotations),
        _ => {}
    }
}

/// What a validator finds wrong, as faults with pointers; of alternatives, the one that fits best is told.
pub(crate) fn faults(validator: &Validator, value: &Value) -> Vec<Fault> {
    validator
        .iter_errors(value)
        .map(|error| fault(&error))
        .collect()
}

fn fault(error: &ValidationError<'_>) -> Fault {
    let pointer = error.instance_path().as_str();
    if let ValidationErrorKind::OneOfNotValid { context } | ValidationErrorKind::AnyOf { context } =
        error.kind()
    {
        let words: Vec<String> = context.iter().flatten().filter_map(expected_word).collect();
        if words.len() == context.len() {
            let message = format!("{} is not one of {}", error.instance(), words.join(", "));
            return Fault::new(pointer, message);
        }
        let depth = |branch: &&Vec<ValidationError<'static>>| {
            branch
                .iter()
                .map(|e| e.instance_path().as_str().len())
                .max()
        };
        let best = context.iter().filter(|b| !b.is_empty()).max_by_key(depth);
        if let Some(inner) = best.and_then(|b| b.first()) {
            return Fault::new(inner.instance_path().as_str(), sentence(inner));
        }
    }
    Fault::new(pointer, sentence(error))
}

/// A validator's message. It quotes what it refuses; a whole list of corners is no message.
fn sentence(error: &ValidationError<'_>) -> String {
    let message = error.to_string();
    if message.len() <= LONGEST_MESSAGE {
        return message;
    }
    error.masked_with("it").to_string()
}

/// The word that one alternative of an enumeration accepts.
fn expected_word(error: &ValidationError<'static>) -> Option<String> {
    match error.kind() {
        ValidationErrorKind::Constant { expected_value } => {
            expected_value.as_str().map(str::to_owned)
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests;

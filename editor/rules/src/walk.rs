//! One walk over the whole document, led by the annotated schema, that collects what generic checks need: every text,
//! every sourced value, every statement that may name a source, and every reference.
//!
//! The schema knows which parts are texts, values and references, so no list of fields is kept here that could fall
//! behind the model. The document is walked by serialising it into nothing: parts without anything of interest are
//! passed over, and no tree is built.

use std::{
    collections::{BTreeMap, BTreeSet},
    rc::Rc,
    sync::LazyLock,
};

use chockstone_schema::{json_schema, read::Document};
use serde_json::{Map, Value};

mod texts;
mod visit;

pub(crate) use texts::Texts;

/// What the walk looks for in one part of a document.
enum Shape {
    Struct(Struct),
    List(Box<Shape>),
    Text,
    Reference(String),
    Plain,
}

struct Struct {
    /// Sorted by name, as the schema lists them.
    fields: Vec<(String, Shape)>,
    kind: StructKind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum StructKind {
    Plain,
    /// A value with its doubt and its source.
    Value,
    /// A part with a source of its own.
    Statement,
}

impl Shape {
    fn compile(root: &Value, schema: &Value) -> Self {
        let target = schema
            .get("$ref")
            .and_then(Value::as_str)
            .and_then(|r| root.pointer(r.trim_start_matches('#')));
        let schema = target.unwrap_or(schema);
        let kind = schema.get("x-kind").and_then(Value::as_str);
        match kind {
            Some("text") => return Self::Text,
            Some("reference") => {
                return Self::Reference(
                    schema
                        .get("x-of")
                        .and_then(Value::as_str)
                        .unwrap_or_default()
                        .to_owned(),
                );
            }
            _ => {}
        }
        if let Some(items) = schema.get("items").filter(|i| i.is_object()) {
            return match Self::compile(root, items) {
                Self::Plain => Self::Plain,
                inner => Self::List(Box::new(inner)),
            };
        }
        match schema.get("properties").and_then(Value::as_object) {
            Some(properties) => Self::compile_struct(root, properties, kind == Some("sourced")),
            None => Self::Plain,
        }
    }

    fn compile_struct(root: &Value, properties: &Map<String, Value>, value: bool) -> Self {
        let fields: Vec<(String, Self)> = properties
            .iter()
            .map(|(name, property)| (name.clone(), Self::compile(root, property)))
            .filter(|(_, shape)| !matches!(shape, Self::Plain))
            .collect();
        let kind = if value {
            StructKind::Value
        } else if properties.contains_key("source") {
            StructKind::Statement
        } else {
            StructKind::Plain
        };
        if fields.is_empty() {
            Self::Plain
        } else {
            Self::Struct(Struct { fields, kind })
        }
    }
}

static PROFILE: LazyLock<Shape> = LazyLock::new(|| {
    let root = &json_schema::profile().annotated;
    Shape::compile(root, root)
});
static EQUIPMENT: LazyLock<Shape> = LazyLock::new(|| {
    let root = &json_schema::equipment().annotated;
    Shape::compile(root, root)
});

/// A value or a statement, and the source that it rests on.
pub(crate) struct SourcedAt {
    pub(crate) place: String,
    /// The source named there, or by the part around it.
    pub(crate) source: Option<Rc<str>>,
    /// Whether a ± half-width is stated.
    pub(crate) doubt: bool,
}

/// Everything that the walk found, in the document's order.
#[derive(Default)]
pub(crate) struct Walk {
    pub(crate) texts: Texts,
    pub(crate) values: Vec<SourcedAt>,
    pub(crate) statements: Vec<SourcedAt>,
    used: BTreeMap<&'static str, BTreeSet<String>>,
}

impl Walk {
    /// Walks a profile.
    pub(crate) fn profile<T: Document>(document: &T) -> Self {
        Self::over(&PROFILE, document)
    }

    /// Walks a piece of equipment.
    pub(crate) fn equipment<T: Document>(document: &T) -> Self {
        Self::over(&EQUIPMENT, document)
    }

    fn over<T: Document>(shape: &'static Shape, document: &T) -> Self {
        let mut walk = Self::default();
        visit::visit(shape, document, &mut walk);
        walk
    }

    /// Whether anything refers to the part of this kind with this id.
    pub(crate) fn is_used(&self, of: &str, id: &str) -> bool {
        self.used.get(of).is_some_and(|ids| ids.contains(id))
    }

    fn refer(&mut self, of: &'static str, id: &str) {
        let ids = self.used.entry(of).or_default();
        if !ids.contains(id) {
            ids.insert(id.to_owned());
        }
    }
}

#[cfg(test)]
mod tests;

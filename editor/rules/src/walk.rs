//! One walk over the whole document, led by the annotated schema, that collects what generic checks need: every text,
//! every sourced value, every statement that may name a source, and every reference.
//!
//! The schema knows which parts are texts, values and references, so no list of fields is kept here that could fall
//! behind the model.

use std::{collections::BTreeSet, sync::LazyLock};

use chockstone_schema::{json_schema, read::Document};
use serde_json::{Map, Value};

/// What the walk looks for in one part of a document.
enum Shape {
    Struct(Struct),
    List(Box<Shape>),
    Text,
    Reference(String),
    Plain,
}

struct Struct {
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

/// A text and its place.
pub(crate) struct TextAt {
    pub(crate) place: String,
    /// Each language and its string, by tag; sorted, as the model keeps them.
    pub(crate) strings: Vec<(String, String)>,
}

/// A value or a statement, and the source that it rests on.
pub(crate) struct SourcedAt {
    pub(crate) place: String,
    /// The source named there, or by the part around it.
    pub(crate) source: Option<String>,
    /// Whether a ± half-width is stated.
    pub(crate) doubt: bool,
}

/// Everything that the walk found, in the document's order.
#[derive(Default)]
pub(crate) struct Walk {
    pub(crate) texts: Vec<TextAt>,
    pub(crate) values: Vec<SourcedAt>,
    pub(crate) statements: Vec<SourcedAt>,
    used: BTreeSet<(String, String)>,
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

    fn over<T: Document>(shape: &Shape, document: &T) -> Self {
        let value = chockstone_schema::read::to_value(document);
        let mut walk = Self::default();
        walk.visit(shape, value, &mut String::new(), None);
        walk
    }

    /// Whether anything refers to the part of this kind with this id.
    pub(crate) fn is_used(&self, of: &str, id: &str) -> bool {
        self.used.contains(&(of.to_owned(), id.to_owned()))
    }

    fn visit(&mut self, shape: &Shape, value: Value, place: &mut String, around: Option<&str>) {
        let length = place.len();
        match (shape, value) {
            (Shape::Struct(shape), Value::Object(map)) => {
                self.visit_struct(shape, map, place, around)
            }
            (Shape::List(inner), Value::Array(items)) => {
                for (i, item) in items.into_iter().enumerate() {
                    push(place, &i.to_string());
                    self.visit(inner, item, place, around);
                    place.truncate(length);
                }
            }
            (Shape::Text, Value::Object(map)) => {
                let strings = map.into_iter().filter_map(|(language, s)| match s {
                    Value::String(s) => Some((language, s)),
                    _ => None,
                });
                self.texts.push(TextAt {
                    place: place.clone(),
                    strings: strings.collect(),
                });
            }
            (Shape::Reference(of), Value::String(id)) => {
                self.used.insert((of.clone(), id));
            }
            _ => {}
        }
    }

    fn visit_struct(
        &mut self,
        shape: &Struct,
        mut map: Map<String, Value>,
        place: &mut String,
        around: Option<&str>,
    ) {
        let length = place.len();
        let own = map.get("source").and_then(Value::as_str).map(str::to_owned);
        let source = own.as_deref().or(around).map(str::to_owned);
        if shape.kind != StructKind::Plain {
            let list = if shape.kind == StructKind::Value {
                &mut self.values
            } else {
                &mut self.statements
            };
            list.push(SourcedAt {
                place: place.clone(),
                source: source.clone(),
                doubt: map.contains_key("plus_minus"),
            });
        }
        for (name, inner) in &shape.fields {
            if let Some(value) = map.remove(name) {
                push(place, name);
                self.visit(inner, value, place, source.as_deref());
                place.truncate(length);
            }
        }
    }
}

fn push(place: &mut String, key: &str) {
    // No field of the model holds a tilde or a slash, so nothing needs escaping (RFC 6901, section 3).
    place.push('/');
    place.push_str(key);
}

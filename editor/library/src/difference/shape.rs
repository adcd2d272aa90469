//! What the parts of a profile are, for comparing and merging: taken from the annotated schema, so that no list of fields
//! is kept here that could fall behind the model.

use std::sync::LazyLock;

use chockstone_schema::{json_schema, quantity::Dimension};
use serde_json::{Map, Value};

use super::table::{Row, UNLISTED, row};

/// What one part is.
#[derive(Debug)]
pub(crate) enum Shape {
    /// A struct.
    Struct(Struct),
    /// A list.
    List(List),
    /// A number and its unit.
    Quantity(Dimension),
    /// One string a language.
    Text,
    /// The id of a part elsewhere, by the kind of part.
    Reference(&'static str),
    /// Yes or no, and no when absent.
    Flag,
    /// A place in the vehicle's frame.
    Place,
    /// A polygon, seen along the axis that its corners lack.
    Outline(Seen),
    /// One of a few words.
    Word,
    /// Data of other programs, by name.
    Extensions,
    /// Anything else that is kept as one.
    Leaf,
}

/// From where a polygon is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Seen {
    /// From the side: corners have x and z.
    Side,
    /// From above: corners have x and y.
    Above,
}

/// A struct and its fields.
#[derive(Debug)]
pub(crate) struct Struct {
    /// Its name in the schema.
    pub(crate) name: &'static str,
    /// What one is called in a sentence.
    pub(crate) noun: String,
    /// Whether it is a value with its uncertainty and its source.
    pub(crate) sourced: bool,
    /// Its fields, in the order of the model.
    pub(crate) fields: Vec<Field>,
}

/// A field of a struct.
#[derive(Debug)]
pub(crate) struct Field {
    /// Its name.
    pub(crate) name: &'static str,
    /// What it is called in a sentence.
    pub(crate) title: String,
    /// What it holds.
    pub(crate) shape: Shape,
    /// How much it matters.
    pub(crate) row: &'static Row,
}

/// A list, and how its elements are recognised in another one.
#[derive(Debug)]
pub(crate) struct List {
    /// What each element is.
    pub(crate) item: Box<Shape>,
    /// How elements are recognised.
    pub(crate) by: By,
    /// Whether their order means something.
    pub(crate) ordered: bool,
}

/// How the elements of a list are recognised.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum By {
    /// By this field, which is an id or a reference or what the element is about.
    Field(&'static str),
    /// By being the same.
    Sameness,
    /// By being the same, and what is left by being alike.
    Likeness,
    /// The list is a line in space and changes as one.
    Line,
}

/// Fields by which elements without an id are recognised.
const KEYS: [(&str, &str); 8] = [
    ("AxleDifference", "axle"),
    ("AxleLoad", "axle"),
    ("ChangeNote", "release"),
    ("Conflict", "part"),
    ("PullDirection", "toward"),
    ("Remark", "part"),
    ("TimedHold", "condition"),
    ("VinPattern", "pattern"),
];

/// Lists whose order means something: what is done in order. Axles are listed from the front, but their positions say so.
const ORDERED: [(&str, &str); 4] = [
    ("FireAdvice", "advice"),
    ("Procedure", "steps"),
    ("StorageAdvice", "advice"),
    ("SubmersionAdvice", "advice"),
];

/// The shape of a profile.
pub(crate) fn profile() -> &'static Struct {
    static SHAPE: LazyLock<Struct> = LazyLock::new(|| {
        let root = &json_schema::profile().annotated;
        structure(root, "Profile", root)
    });
    &SHAPE
}

fn words(name: &str) -> String {
    let mut words = String::new();
    for (i, c) in name.chars().enumerate() {
        if c.is_uppercase() && i > 0 {
            words.push(' ');
        }
        words.extend(c.to_lowercase());
    }
    words.replace('_', " ")
}

fn structure(root: &'static Value, name: &'static str, schema: &'static Value) -> Struct {
    let properties = schema.get("properties").and_then(Value::as_object);
    let order = schema.get("x-order").and_then(Value::as_array);
    let sourced = name.starts_with("sourced_");
    let part = if sourced { "sourced" } else { name };
    let fields = order.into_iter().flatten().filter_map(|field| {
        let name = field.as_str()?;
        let property = properties?.get(name)?;
        Some(Field {
            name,
            title: title(name, property),
            shape: shape(root, (part, name), property),
            row: row(part, name).unwrap_or(&UNLISTED),
        })
    });
    Struct {
        name: part,
        noun: words(name),
        sourced,
        fields: fields.collect(),
    }
}

/// The title of a field as it stands inside a sentence.
fn title(name: &str, property: &Value) -> String {
    let title = property
        .get("title")
        .and_then(Value::as_str)
        .unwrap_or(name);
    let mut characters = title.chars();
    let second_is_small = title.chars().nth(1).is_none_or(|c| !c.is_uppercase());
    match characters.next() {
        Some(first) if second_is_small => first.to_lowercase().chain(characters).collect(),
        _ => title.to_owned(),
    }
}

fn shape(
    root: &'static Value,
    place: (&'static str, &'static str),
    property: &'static Value,
) -> Shape {
    let (name, schema) = target(root, property);
    // A yes-or-no that may be left unsaid is marked at the field and not at what it refers to.
    let unsaid = property.get("x-kind").is_some_and(|k| k == "yes-no");
    match schema.get("x-kind").and_then(Value::as_str) {
        Some("text") => return Shape::Text,
        Some("reference") => {
            let of = schema.get("x-of").and_then(Value::as_str);
            return Shape::Reference(of.unwrap_or_default());
        }
        Some("quantity") => return quantity(schema),
        Some("polygon") if name == "side_outline" => return Shape::Outline(Seen::Side),
        Some("polygon") => return Shape::Outline(Seen::Above),
        Some("extensions") => return Shape::Extensions,
        _ => {}
    }
    if name == "Place" {
        return Shape::Place;
    }
    if let Some(items) = schema.get("items").filter(|items| items.is_object()) {
        return Shape::List(list(root, place, items));
    }
    if schema.get("properties").is_some_and(Value::is_object) {
        return Shape::Struct(structure(root, name, schema));
    }
    if schema.get("type").is_some_and(|t| t == "boolean") && !unsaid {
        return Shape::Flag;
    }
    let is_word = schema.get("oneOf").is_some() || schema.get("enum").is_some();
    if is_word { Shape::Word } else { Shape::Leaf }
}

fn quantity(schema: &Value) -> Shape {
    let dimension = schema.get("x-dimension").and_then(Value::as_str);
    dimension
        .and_then(Dimension::from_key)
        .map_or(Shape::Leaf, Shape::Quantity)
}

fn list(root: &'static Value, place: (&'static str, &'static str), items: &'static Value) -> List {
    let item = shape(root, place, items);
    let by = match &item {
        Shape::Struct(part) => by_field(part),
        Shape::Place => By::Line,
        Shape::Text => By::Likeness,
        _ => By::Sameness,
    };
    List {
        item: Box::new(item),
        by,
        ordered: ORDERED.contains(&place),
    }
}

fn by_field(part: &Struct) -> By {
    if part.fields.iter().any(|f| f.name == "id") {
        return By::Field("id");
    }
    let key = KEYS.iter().find(|(name, _)| *name == part.name);
    key.map_or(By::Likeness, |(_, key)| By::Field(key))
}

/// The name and the definition of what a property refers to, or the property itself.
fn target(root: &'static Value, property: &'static Value) -> (&'static str, &'static Value) {
    let found = property.get("$ref").and_then(Value::as_str).and_then(|r| {
        let definition = root.pointer(r.trim_start_matches('#'))?;
        Some((r.rsplit('/').next()?, definition))
    });
    found.unwrap_or(("", property))
}

impl Struct {
    /// A field by its name.
    pub(crate) fn field(&self, name: &str) -> Option<&Field> {
        self.fields.iter().find(|f| f.name == name)
    }
}

/// The member of an object, where there is one.
pub(crate) fn member<'v>(value: Option<&'v Value>, name: &str) -> Option<&'v Value> {
    value
        .and_then(Value::as_object)
        .and_then(|o: &Map<_, _>| o.get(name))
}

/// The elements of a list; an absent list has none.
pub(crate) fn elements(value: Option<&Value>) -> &[Value] {
    let list = value.and_then(Value::as_array);
    list.map(Vec::as_slice).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::panic,
        clippy::unwrap_used,
        reason = "a panic is a failed test"
    )]

    use super::*;

    fn every_list(part: &Struct, visit: &mut impl FnMut(&Struct, &Field, &List)) {
        for field in &part.fields {
            match &field.shape {
                Shape::Struct(inner) => every_list(inner, visit),
                Shape::List(list) => {
                    visit(part, field, list);
                    if let Shape::Struct(inner) = list.item.as_ref() {
                        every_list(inner, visit);
                    }
                }
                _ => {}
            }
        }
    }

    fn description(part: &str, field: &str) -> String {
        let root = &json_schema::profile().annotated;
        let part = root.pointer(&format!("/$defs/{part}")).unwrap_or(root);
        let told = part.pointer(&format!("/properties/{field}/description"));
        told.and_then(serde_json::Value::as_str).unwrap().to_owned()
    }

    #[test]
    fn order_matters_exactly_where_the_model_says_so() {
        let mut ordered = 0;
        every_list(profile(), &mut |part, field, list| {
            let said = description(part.name, field.name);
            let says = said.contains("in order") || said.contains("corner by corner");
            assert_eq!(
                list.ordered || list.by == By::Line,
                says,
                "{}.{}: {said}",
                part.name,
                field.name
            );
            ordered += usize::from(says);
        });
        assert_eq!(ordered, ORDERED.len() + 1);
    }

    #[test]
    fn only_what_stands_beside_a_weighing_is_recognised_by_likeness() {
        let mut loose = Vec::new();
        every_list(profile(), &mut |part, field, list| {
            if list.by == By::Likeness && matches!(list.item.as_ref(), Shape::Struct(_)) {
                loose.push(format!("{}.{}", part.name, field.name));
            }
        });
        assert_eq!(loose, ["ScaleReading.on_board"]);
    }

    #[test]
    fn yes_or_no_that_may_be_left_unsaid_is_told_from_one_that_is_no_when_absent() {
        let Shape::List(points) = &profile().field("points").unwrap().shape else {
            panic!("points are a list");
        };
        let Shape::Struct(point) = points.item.as_ref() else {
            panic!("a point is a struct");
        };
        assert!(matches!(
            point.field("mirrored").unwrap().shape,
            Shape::Flag
        ));
        let Shape::Struct(energy) = &profile().field("energy").unwrap().shape else {
            panic!("energy is a struct");
        };
        let Shape::Struct(low) = &energy.field("low_voltage").unwrap().shape else {
            panic!("low voltage is a struct");
        };
        assert!(matches!(
            low.field("accepts_jump").unwrap().shape,
            Shape::Leaf
        ));
    }
}

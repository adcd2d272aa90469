//! The model as the annotated schema tells it, and a profile made from it that says everything that can be said.

use chockstone_schema::{
    json_schema,
    quantity::{Dimension, find_unit},
};
use serde_json::{Map, Value, json};

/// Fields by which the elements of lists without ids are recognised: what each element is about.
pub(super) const KEYS: [(&str, &str); 8] = [
    ("AxleDifference", "axle"),
    ("AxleLoad", "axle"),
    ("ChangeNote", "release"),
    ("Conflict", "part"),
    ("PullDirection", "toward"),
    ("Remark", "part"),
    ("TimedHold", "condition"),
    ("VinPattern", "pattern"),
];

/// What a part of the model is.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    Struct,
    Sourced,
    List,
    Quantity(Dimension),
    Text,
    /// A reference, by the list that it points into.
    Reference(&'static str),
    Flag,
    YesOrNo,
    Place,
    Outline,
    Words,
    Extensions,
    Number,
    Kept,
    /// A string, by its kind: `date`, `market`, …; empty for a line of text.
    String(&'static str),
}

/// A field of the model, or the element of a list.
#[derive(Clone, Copy, Debug)]
pub(super) struct Part {
    /// The property as it stands in its struct.
    pub(super) property: &'static Value,
    /// What it refers to, or the property itself.
    pub(super) schema: &'static Value,
    /// The name of what it refers to.
    pub(super) name: &'static str,
}

pub(super) fn root() -> &'static Value {
    &json_schema::profile().annotated
}

fn word(schema: &'static Value, key: &str) -> &'static str {
    schema.get(key).and_then(Value::as_str).unwrap_or_default()
}

impl Part {
    pub(super) fn profile() -> Self {
        Self {
            property: root(),
            schema: root(),
            name: "Profile",
        }
    }

    pub(super) fn of(property: &'static Value) -> Self {
        let reference = word(property, "$ref");
        let Some(name) = reference.strip_prefix("#/$defs/") else {
            return Self {
                property,
                schema: property,
                name: "",
            };
        };
        Self {
            property,
            schema: &root()["$defs"][name],
            name,
        }
    }

    pub(super) fn kind(self) -> Kind {
        let schema = self.schema;
        match word(schema, "x-kind") {
            "text" => return Kind::Text,
            "reference" => return Kind::Reference(word(schema, "x-list")),
            "quantity" => {
                return Kind::Quantity(Dimension::from_key(word(schema, "x-dimension")).unwrap());
            }
            "polygon" => return Kind::Outline,
            "extensions" => return Kind::Extensions,
            "kept-value" => return Kind::Kept,
            "sourced" => return Kind::Sourced,
            _ => {}
        }
        if self.name == "Place" {
            return Kind::Place;
        }
        match word(schema, "type") {
            "object" => Kind::Struct,
            "array" => Kind::List,
            "integer" => Kind::Number,
            "boolean" if word(self.property, "x-kind") == "yes-no" => Kind::YesOrNo,
            "boolean" => Kind::Flag,
            _ if !self.words().is_empty() => Kind::Words,
            _ => Kind::String(word(schema, "x-kind")),
        }
    }

    /// The fields of a struct, by name.
    pub(super) fn fields(self) -> Vec<(&'static str, Part)> {
        let properties = self.schema["properties"].as_object().unwrap().iter();
        properties
            .map(|(name, property)| (name.as_str(), Part::of(property)))
            .collect()
    }

    pub(super) fn requires(self, field: &str) -> bool {
        let required = self.schema.get("required").and_then(Value::as_array);
        required.is_some_and(|names| names.iter().any(|name| name == field))
    }

    /// The element of a list.
    pub(super) fn item(self) -> Part {
        Part::of(&self.schema["items"])
    }

    /// Whether the model says that the order of the list means something.
    pub(super) fn is_ordered(self) -> bool {
        word(self.property, "description").contains("in order")
    }

    /// What the elements of a list are recognised by, where they are structs.
    pub(super) fn key(self) -> Option<&'static str> {
        if self.schema["properties"].get("id").is_some() {
            return Some("id");
        }
        let key = KEYS.iter().find(|(name, _)| *name == self.name);
        key.map(|(_, key)| *key)
    }

    /// The words that the part can be.
    pub(super) fn words(self) -> Vec<&'static str> {
        let listed = |key| self.schema.get(key).and_then(Value::as_array);
        let constants = listed("oneOf").into_iter().flatten();
        let constants = constants.filter_map(|one| one.get("const")?.as_str());
        let plain = listed("enum")
            .into_iter()
            .flatten()
            .filter_map(Value::as_str);
        constants.chain(plain).collect()
    }

    /// The smallest and the largest number, where the schema says so.
    pub(super) fn limits(self) -> (f64, f64) {
        let numbers = self.schema.pointer("/prefixItems/0").unwrap_or(self.schema);
        let limit = |key: &str, otherwise| numbers.get(key).map_or(otherwise, |v| number(Some(v)));
        (limit("minimum", f64::MIN), limit("maximum", f64::MAX))
    }
}

pub(super) fn number(value: Option<&Value>) -> f64 {
    value.and_then(Value::as_f64).unwrap()
}

/// Factor of a quantity's unit to the SI unit.
pub(super) fn scale(dimension: Dimension, quantity: &Value) -> f64 {
    find_unit(dimension, quantity[1].as_str().unwrap())
        .unwrap()
        .scale
}

/// The profile that says everything: every field of the model, every list with several elements, all kinds of sources.
pub(super) fn everything() -> Value {
    Maker::default().part(Part::profile(), "")
}

#[derive(Default)]
struct Maker {
    made: usize,
}

impl Maker {
    fn part(&mut self, part: Part, place: &str) -> Value {
        self.made += 1;
        let made = self.made;
        match part.kind() {
            Kind::Struct | Kind::Sourced | Kind::Place => self.fields(part, place),
            Kind::List => self.list(part, place),
            Kind::Quantity(_) => quantity(part, place, made),
            Kind::Text => {
                // Texts share no words, so that none is taken for another.
                let words = |language: &str| format!("{language}{made}a {language}{made}b {made}.");
                json!({"en": words("one"), "es": words("uno")})
            }
            Kind::Reference(list) => {
                json!(format!("{}-{}", last(list), nth(place) % count(list)))
            }
            Kind::Flag | Kind::YesOrNo => json!(true),
            Kind::Outline => outline(made),
            Kind::Words => {
                let words = part.words();
                // A source's own place in the list gives its kind; so does that of other parts.
                json!(words[nth(place) % words.len()])
            }
            Kind::Extensions => json!({"org.example.shop": {"stock": made, "shelf": [1, "a"]}}),
            Kind::Number => whole_number(part, place),
            Kind::Kept => json!({"id": format!("kept-{made}"), "more": [made]}),
            Kind::String(kind) => json!(string(kind, place, made)),
        }
    }

    fn fields(&mut self, part: Part, place: &str) -> Value {
        let fields = part.fields().into_iter();
        let made: Map<String, Value> = fields
            .map(|(name, field)| {
                let place = format!("{place}/{name}");
                let value = if name == "id" && !place.starts_with("/id") {
                    let (list, index) = place
                        .rsplit_once("/id")
                        .unwrap()
                        .0
                        .rsplit_once('/')
                        .unwrap();
                    json!(format!("{}-{index}", last(list)))
                } else {
                    self.part(field, &place)
                };
                (name.to_owned(), value)
            })
            .collect();
        Value::Object(made)
    }

    fn list(&mut self, part: Part, place: &str) -> Value {
        let length = count(place);
        let items = (0..length).map(|i| self.part(part.item(), &format!("{place}/{i}")));
        Value::Array(items.collect())
    }
}

/// How many elements a list has: enough to name another one in every list of references.
fn count(list: &str) -> usize {
    match list {
        "/sources" => 6,
        "/axles" | "/conditions" | "/points" | "/hazards" | "/variants" | "/attachments"
        | "/debts" => 3,
        _ => 2,
    }
}

fn last(place: &str) -> String {
    let name = place.rsplit('/').next().unwrap_or_default();
    name.replace('_', "-")
}

/// The number of the innermost element that a place lies in.
fn nth(place: &str) -> usize {
    let mut numbers = place.split('/').filter_map(|s| s.parse::<usize>().ok());
    numbers.next_back().unwrap_or_default()
}

fn quantity(part: Part, place: &str, made: usize) -> Value {
    let units: Vec<&str> = ["x-us", "x-si"].map(|key| word(part.schema, key)).to_vec();
    let unit = units[nth(place) % 2];
    let (low, high) = part.limits();
    let number = match place.rsplit('/').next() {
        // The frame begins under the first axle, and the others follow.
        Some("value") if place.starts_with("/axles/") && place.ends_with("position/value") => {
            return json!([100 * nth(place), "in"]);
        }
        Some("plus_minus" | "place_plus_minus") => 0.5,
        _ => 20.0 + (made % 7) as f64,
    };
    let number = if number < low || number > high {
        f64::midpoint(low, high)
    } else {
        number
    };
    whole(number).map_or_else(|| json!([number, unit]), |whole| json!([whole, unit]))
}

/// Whole numbers are written without a point.
fn whole(number: f64) -> Option<i64> {
    #[expect(clippy::cast_possible_truncation, reason = "numbers here are small")]
    (number.fract() == 0.0).then_some(number as i64)
}

fn outline(made: usize) -> Value {
    let size = 100 + made;
    json!({"unit": "in", "corners": [[0, 0], [size, 0], [size, 50], [3, 40]]})
}

fn whole_number(part: Part, place: &str) -> Value {
    let (low, high) = part.limits();
    let number = match place {
        "/identity/model_years/first" => 2024,
        "/identity/model_years/last" => 2026,
        _ => 2,
    };
    assert!(
        f64::from(number) >= low && f64::from(number) <= high,
        "{place}"
    );
    json!(number)
}

fn string(kind: &str, place: &str, made: usize) -> String {
    let nth = nth(place);
    match kind {
        "format_version" => "1.0".to_owned(),
        "release_number" => format!("1.0.{nth}"),
        "language" if place == "/language" => "en".to_owned(),
        "language" => ["es", "fr"][nth % 2].to_owned(),
        "market" => ["US", "CA"][nth % 2].to_owned(),
        "media_type" => ["image/png", "text/plain"][nth % 2].to_owned(),
        "sign_code" => ["W012", "W019"][nth % 2].to_owned(),
        "sha256_hex" => format!("{made:064x}"),
        "vin_mask" => format!("1Z9BT{nth}A****774***"),
        "part_path" => format!("/points/points-{nth}/rating"),
        "id" => "everything".to_owned(),
        "date" => format!("2026-03-{:02}", 10 + nth),
        "moment" => format!("2026-03-14T09:{:02}:00Z", 10 + nth),
        "" => format!("Line {made}"),
        other => panic!("no string of the kind {other} is known here, at {place}"),
    }
}

//! The annotated schema as a form sees it: what each place holds, how it is called, and in which order fields stand.

use chockstone_schema::quantity::{Dimension, find_unit};
use serde_json::Value;

use crate::widgets::quantity_edit::FieldUnits;

/// One place of the schema: what is said of the property, and the definition that it refers to.
#[derive(Debug, Clone, Copy)]
pub struct Node<'s> {
    root: &'s Value,
    /// The property itself, with its own title and description.
    outer: &'s Value,
    /// What the property refers to; the property itself when it refers to nothing.
    inner: &'s Value,
}

/// What a place holds, as far as a form must tell it apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Kind<'s> {
    /// A number with its unit.
    Quantity(FieldUnits),
    /// A quantity with ±, source and note.
    Sourced,
    /// Text in several languages.
    Text,
    /// The name by which others refer to the part.
    Id,
    /// The name of another part: what kind of part, and the pointer of its list.
    Reference {
        /// "source", "point", …
        of: &'s str,
        /// "/sources", "/points", …
        list: &'s str,
    },
    /// Two or three coordinates in the vehicle's frame.
    Place,
    /// An outline; the name of its second coordinate.
    Polygon(&'s str),
    /// One of a few strings.
    Choice,
    /// Yes or no; absent is no.
    Flag,
    /// Yes, no, or not stated.
    YesNo,
    /// A whole number.
    Integer,
    /// Data of other programs, which forms show and do not change.
    Extensions,
    /// A value that waits to be chosen.
    Kept,
    /// A list.
    List,
    /// A group of fields.
    Struct,
    /// A line of text that is the same in every language: a name, a date, a code.
    Line,
}

/// One of the strings that a choice may take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Choice<'s> {
    /// As in the file.
    pub value: &'s str,
    /// As a person reads it.
    pub title: String,
    /// What it means.
    pub description: &'s str,
}

impl<'s> Node<'s> {
    /// The whole document.
    pub fn root(root: &'s Value) -> Self {
        Self::at(root, root)
    }

    fn at(root: &'s Value, outer: &'s Value) -> Self {
        let inner = outer
            .get("$ref")
            .and_then(Value::as_str)
            .and_then(|reference| root.pointer(reference.trim_start_matches('#')))
            .unwrap_or(outer);
        Self { root, outer, inner }
    }

    /// The node of a field.
    pub fn property(self, name: &str) -> Option<Self> {
        let outer = self.inner.get("properties")?.get(name)?;
        Some(Self::at(self.root, outer))
    }

    /// The node of a list's items.
    pub fn items(self) -> Option<Self> {
        Some(Self::at(self.root, self.inner.get("items")?))
    }

    /// The node at a pointer into a document.
    pub fn follow(self, pointer: &str) -> Option<Self> {
        let mut node = self;
        for segment in crate::pointer::segments(pointer) {
            node = match node.property(&segment) {
                Some(field) => field,
                None => node.items()?,
            };
        }
        Some(node)
    }

    /// The names of the fields in the order of the model.
    pub fn fields(self) -> Vec<&'s str> {
        if let Some(order) = self.inner.get("x-order").and_then(Value::as_array) {
            return order.iter().filter_map(Value::as_str).collect();
        }
        let properties = self.inner.get("properties").and_then(Value::as_object);
        properties.map_or_else(Vec::new, |p| p.keys().map(String::as_str).collect())
    }

    /// Whether a field must be there.
    pub fn requires(self, field: &str) -> bool {
        let required = self.inner.get("required").and_then(Value::as_array);
        required.is_some_and(|names| names.iter().any(|name| name == field))
    }

    /// How few items a list may have.
    pub fn least_items(self) -> u64 {
        let least = self.inner.get("minItems").and_then(Value::as_u64);
        least.unwrap_or(0)
    }

    /// The label of the property, in sentence case.
    pub fn title(self) -> &'s str {
        self.text("title")
    }

    /// What the property means, for its tooltip.
    pub fn description(self) -> &'s str {
        self.text("description")
    }

    /// What the definition says of every value of this kind, whatever the property adds.
    pub fn definition(self) -> &'s str {
        let own = self.inner.get("description").and_then(Value::as_str);
        own.unwrap_or_default()
    }

    /// Whether the text must follow a pattern: it is a code.
    pub fn has_pattern(self) -> bool {
        let pattern = self.inner.get("pattern").and_then(Value::as_str);
        pattern.is_some() && self.inner.get("maxLength").is_none()
    }

    fn text(self, key: &str) -> &'s str {
        let own = self.outer.get(key).or_else(|| self.inner.get(key));
        own.and_then(Value::as_str).unwrap_or_default()
    }

    /// What the place holds.
    pub fn kind(self) -> Kind<'s> {
        let mark = self.mark("x-kind");
        match mark {
            "quantity" => self.units().map_or(Kind::Line, Kind::Quantity),
            "sourced" => Kind::Sourced,
            "text" => Kind::Text,
            "id" => Kind::Id,
            "reference" => Kind::Reference {
                of: self.mark("x-of"),
                list: self.mark("x-list"),
            },
            "polygon" => Kind::Polygon(self.second_axis()),
            "yes-no" => Kind::YesNo,
            "extensions" => Kind::Extensions,
            "kept-value" => Kind::Kept,
            _ => self.plain_kind(),
        }
    }

    fn plain_kind(self) -> Kind<'s> {
        if self.inner.get("oneOf").is_some() || self.inner.get("enum").is_some() {
            return Kind::Choice;
        }
        match self.inner.get("type").and_then(Value::as_str) {
            Some("boolean") => Kind::Flag,
            Some("integer") => Kind::Integer,
            Some("array") => Kind::List,
            Some("object") if self.is_place() => Kind::Place,
            Some("object") => Kind::Struct,
            _ => Kind::Line,
        }
    }

    fn mark(self, key: &str) -> &'s str {
        let own = self.outer.get(key).or_else(|| self.inner.get(key));
        own.and_then(Value::as_str).unwrap_or_default()
    }

    fn is_place(self) -> bool {
        self.fields() == ["x", "y", "z"]
            && self
                .property("x")
                .is_some_and(|x| matches!(x.kind(), Kind::Quantity(_)))
    }

    fn second_axis(self) -> &'s str {
        let axes = self.inner.get("x-axes").and_then(Value::as_array);
        let second = axes.and_then(|axes| axes.get(1)).and_then(Value::as_str);
        second.unwrap_or("y")
    }

    fn units(self) -> Option<FieldUnits> {
        let dimension = Dimension::from_key(self.mark("x-dimension"))?;
        Some(FieldUnits {
            dimension,
            si: find_unit(dimension, self.mark("x-si"))?.symbol,
            us: find_unit(dimension, self.mark("x-us"))?.symbol,
        })
    }

    /// The strings that a choice may take.
    pub fn choices(self) -> Vec<Choice<'s>> {
        let described = self.inner.get("oneOf").and_then(Value::as_array);
        let plain = self.inner.get("enum").and_then(Value::as_array);
        let from_described = described.into_iter().flatten().filter_map(|one| {
            let value = one.get("const")?.as_str()?;
            let description = one.get("description").and_then(Value::as_str);
            Some((value, description.unwrap_or_default()))
        });
        let from_plain = plain
            .into_iter()
            .flatten()
            .filter_map(|one| Some((one.as_str()?, "")));
        from_described
            .chain(from_plain)
            .map(|(value, description)| Choice {
                value,
                title: super::words::choice_title(value),
                description,
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;

    fn profile() -> Node<'static> {
        Node::root(&chockstone_schema::json_schema::profile().annotated)
    }

    #[test]
    fn fields_stand_in_the_order_of_the_model() {
        let place = profile().follow("/points/0/place").unwrap();
        assert_eq!(place.fields(), ["x", "y", "z"]);
        let dimensions = profile().property("dimensions").unwrap();
        assert_eq!(dimensions.fields().first(), Some(&"wheelbase"));
    }

    #[test]
    fn every_place_of_the_model_is_told_apart() {
        let wheelbase = profile().follow("/dimensions/wheelbase").unwrap();
        assert_eq!(wheelbase.kind(), Kind::Sourced);
        assert_eq!(wheelbase.title(), "Wheelbase");
        let Kind::Quantity(units) = wheelbase.property("value").unwrap().kind() else {
            unreachable!("a wheelbase has a value")
        };
        assert_eq!((units.si, units.us), ("mm", "in"));
        let kind_at = |pointer: &str| profile().follow(pointer).unwrap().kind();
        assert_eq!(kind_at("/points/0/place"), Kind::Place);
        assert_eq!(kind_at("/points/0/name"), Kind::Text);
        assert_eq!(kind_at("/points/0/kind"), Kind::Choice);
        assert_eq!(kind_at("/points/0/mirrored"), Kind::Flag);
        assert_eq!(kind_at("/energy/low_voltage/accepts_jump"), Kind::YesNo);
        assert_eq!(kind_at("/points/0/id"), Kind::Id);
        assert_eq!(kind_at("/points"), Kind::List);
        assert_eq!(kind_at("/identity"), Kind::Struct);
        assert_eq!(kind_at("/identity/maker"), Kind::Line);
        assert_eq!(kind_at("/extensions"), Kind::Extensions);
        assert_eq!(kind_at("/dimensions/side_outline"), Kind::Polygon("z"));
        assert_eq!(kind_at("/dimensions/plan_outline"), Kind::Polygon("y"));
        assert_eq!(
            kind_at("/dimensions/outline_source"),
            Kind::Reference {
                of: "source",
                list: "/sources"
            }
        );
    }

    #[test]
    fn a_choice_tells_its_strings_with_their_meaning() {
        let motor = profile().follow("/axles/0/motor/kind").unwrap();
        let choices = motor.choices();
        let second = choices.get(1).unwrap();
        assert_eq!((second.value, second.title.as_str()), ("fixed", "Fixed"));
        assert!(
            second
                .description
                .contains("turns whenever the wheels turn")
        );
    }
}

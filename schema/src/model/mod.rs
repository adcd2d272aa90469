//! The data model: what a profile and a piece of equipment hold.
//!
//! Every part is a plain struct with public fields. What cannot be is refused when a file is read
//! ([`read`](crate::read)); what should not be is told by the checks, which live elsewhere.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use crate::{
    id::SourceRef,
    quantity::{Kind, Quantity},
    text::Text,
};

pub mod advice;
pub mod axle;
pub mod energy;
pub mod equipment;
pub mod geometry;
pub mod identity;
pub mod mass;
pub mod point;
pub mod policy;
pub mod procedure;
mod profile;
pub mod record;
mod variant;

pub use equipment::Equipment;
pub use policy::Policy;
pub use profile::Profile;

/// A quantity with its uncertainty and its source.
#[serde_with::skip_serializing_none]
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields, bound = "")]
pub struct Sourced<K: Kind> {
    /// The value, as entered.
    pub value: Quantity<K>,
    /// The ± half-width within which the author is confident at about 95 %.
    pub plus_minus: Option<Quantity<K::Spread>>,
    /// Where the value comes from.
    pub source: Option<SourceRef>,
    /// What must be known to read the value right.
    pub note: Option<Text>,
}

impl<K: Kind> JsonSchema for Sourced<K> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("sourced_{}", K::NAME).into()
    }
    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let with = |schema: Schema, description: &str| {
            let mut schema = schema;
            schema.insert("description".into(), description.into());
            schema
        };
        let value = generator.subschema_for::<Quantity<K>>();
        let spread = generator.subschema_for::<Quantity<K::Spread>>();
        let source = generator.subschema_for::<SourceRef>();
        let note = generator.subschema_for::<Text>();
        json_schema!({
            "type": "object", "additionalProperties": false, "required": ["value"],
            "description": format!("{} With its uncertainty and its source.", K::MEANING),
            "properties": {
                "value": with(value, "The value and its unit, as entered."),
                "plus_minus": with(spread, "The ± half-width within which the author is confident at about 95 %."),
                "source": with(source, "The id of the source that the value comes from."),
                "note": with(note, "What must be known to read the value right."),
            },
            "x-kind": "sourced",
        })
    }
}

impl<K: Kind> Clone for Sourced<K> {
    fn clone(&self) -> Self {
        Self {
            value: self.value,
            plus_minus: self.plus_minus,
            source: self.source.clone(),
            note: self.note.clone(),
        }
    }
}

impl<K: Kind> PartialEq for Sourced<K> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
            && self.plus_minus == other.plus_minus
            && self.source == other.source
            && self.note == other.note
    }
}

impl<K: Kind> std::fmt::Debug for Sourced<K> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sourced")
            .field("value", &self.value)
            .field("plus_minus", &self.plus_minus)
            .field("source", &self.source)
            .finish_non_exhaustive()
    }
}

impl<K: Kind> Sourced<K> {
    /// A value without doubt or source, for starting from.
    pub fn bare(value: Quantity<K>) -> Self {
        Self {
            value,
            plus_minus: None,
            source: None,
            note: None,
        }
    }

    /// The value in SI units.
    pub fn si(&self) -> f64 {
        self.value.si()
    }

    /// The ± half-width in SI units, if one is stated.
    pub fn plus_minus_si(&self) -> Option<f64> {
        self.plus_minus.map(Quantity::si_difference)
    }
}

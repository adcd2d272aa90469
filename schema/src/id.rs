//! Identifiers and references between the parts of a profile.

use std::fmt;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, de::Error as _};

const PATTERN: &str = "^[a-z][a-z0-9-]{0,63}$";

fn check(text: &str) -> Result<(), String> {
    let mut bytes = text.bytes();
    let good = text.len() <= 64
        && bytes.next().is_some_and(|b| b.is_ascii_lowercase())
        && bytes.all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if good {
        Ok(())
    } else {
        Err(format!(
            "{text:?} is not an id: use a lower-case letter, then up to 63 lower-case letters, digits or hyphens"
        ))
    }
}

/// The name by which other parts of the file refer to a part: lower-case letters, digits and hyphens.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(transparent)]
pub struct Id(String);

impl Id {
    /// Checks the form and makes an id.
    pub fn new(text: &str) -> Result<Self, String> {
        check(text).map(|()| Self(text.to_owned()))
    }

    /// The id as text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<'de> Deserialize<'de> for Id {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for Id {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "id".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({
            "type": "string", "pattern": PATTERN, "x-kind": "id",
            "description": "The name by which other parts of the file refer to this part: lower-case letters, digits and hyphens.",
        })
    }
}

macro_rules! references {
    ($($name:ident $key:literal $list:literal $doc:literal;)*) => {
        $(
            #[doc = $doc]
            #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
            #[serde(transparent)]
            pub struct $name(String);

            impl $name {
                /// Checks the form and makes a reference.
                pub fn new(text: &str) -> Result<Self, String> {
                    check(text).map(|()| Self(text.to_owned()))
                }

                /// The id referred to.
                pub fn as_str(&self) -> &str {
                    &self.0
                }
            }

            impl fmt::Display for $name {
                fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                    f.write_str(&self.0)
                }
            }

            impl<'de> Deserialize<'de> for $name {
                fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                    Self::new(&String::deserialize(deserializer)?).map_err(D::Error::custom)
                }
            }

            impl JsonSchema for $name {
                fn schema_name() -> std::borrow::Cow<'static, str> {
                    concat!($key, "_reference").into()
                }
                fn json_schema(_: &mut SchemaGenerator) -> Schema {
                    json_schema!({
                        "type": "string", "pattern": PATTERN, "description": $doc,
                        "x-kind": "reference", "x-of": $key, "x-list": $list,
                    })
                }
            }
        )*

        /// Where the things referred to are kept: the key of a reference and the pointer of its list.
        pub(crate) const LISTS: &[(&str, &str)] = &[$(($key, $list)),*];
    };
}

references! {
    SourceRef "source" "/sources" "The id of the source that a value or statement rests on.";
    PointRef "point" "/points" "The id of a point.";
    ZoneRef "zone" "/zones" "The id of a zone.";
    AxleRef "axle" "/axles" "The id of an axle.";
    VariantRef "variant" "/variants" "The id of a variant.";
    ItemRef "item" "/mass/items" "The id of a fitted or removable item.";
    ConditionRef "condition" "/conditions" "The id of a condition: one of the built-in set or of the profile's own.";
    ProcedureRef "procedure" "/procedures" "The id of a procedure.";
    HazardRef "hazard" "/hazards" "The id of a hazard message.";
    DebtRef "debt" "/debts" "The id of a debt: something opened or removed that must be closed or put back.";
    AttachmentRef "attachment" "/attachments" "The id of an attachment.";
}

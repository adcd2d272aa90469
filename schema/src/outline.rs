//! Polygons in the side view and the plan view.

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Deserializer, Serialize, Serializer, de::Error as _};

use crate::quantity::{Dimension, LARGEST, find_unit};

/// The most corners accepted in one polygon.
pub const MOST_CORNERS: usize = 2000;

/// The unit of all corners of one polygon.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
#[schemars(rename = "outline_unit")]
pub enum OutlineUnit {
    /// Millimetres.
    Mm,
    /// Centimetres.
    Cm,
    /// Metres.
    M,
    /// Inches.
    In,
    /// Feet.
    Ft,
}

impl OutlineUnit {
    /// The symbol, as in [`units_of`](crate::quantity::units_of).
    pub fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
            Self::In => "in",
            Self::Ft => "ft",
        }
    }

    /// Metres in one of this unit.
    pub fn metres(self) -> f64 {
        find_unit(Dimension::Length, self.symbol()).map_or(1.0, |u| u.scale)
    }
}

/// One coordinate of a corner: finite and at most [`LARGEST`] in size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CornerNumber(f64);

impl CornerNumber {
    /// Refuses numbers that are not finite or too large.
    pub fn new(value: f64) -> Result<Self, String> {
        if value.is_finite() && value.abs() <= LARGEST {
            Ok(Self(if value == 0.0 { 0.0 } else { value }))
        } else {
            Err(format!(
                "{value} is not a finite number of at most {LARGEST:e}"
            ))
        }
    }

    /// The number.
    pub fn get(self) -> f64 {
        self.0
    }
}

impl Serialize for CornerNumber {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        if self.0.fract() == 0.0 {
            #[expect(clippy::cast_possible_truncation, reason = "at most LARGEST in size")]
            serializer.serialize_i64(self.0 as i64)
        } else {
            serializer.serialize_f64(self.0)
        }
    }
}

impl<'de> Deserialize<'de> for CornerNumber {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::new(f64::deserialize(deserializer)?).map_err(D::Error::custom)
    }
}

impl JsonSchema for CornerNumber {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "corner_number".into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({"type": "number", "minimum": -LARGEST, "maximum": LARGEST})
    }
}

macro_rules! outlines {
    ($($name:ident $key:literal $second:literal $doc:literal;)*) => {$(
        #[doc = $doc]
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[serde(deny_unknown_fields)]
        pub struct $name {
            /// The unit of every corner.
            pub unit: OutlineUnit,
            /// The corners in order, either way round; the last joins the first.
            pub corners: Vec<(CornerNumber, CornerNumber)>,
        }

        impl $name {
            /// Makes an outline from corners in metres, kept in millimetres.
            pub fn from_metres(corners: &[[f64; 2]]) -> Result<Self, String> {
                let millimetres = |v: f64| CornerNumber::new((v * 1000.0).round());
                let corners = corners.iter().map(|[a, b]| Ok((millimetres(*a)?, millimetres(*b)?))).collect::<Result<_, String>>()?;
                Ok(Self { unit: OutlineUnit::Mm, corners })
            }

            /// The corners in metres.
            pub fn metres(&self) -> Vec<[f64; 2]> {
                let scale = self.unit.metres();
                self.corners.iter().map(|(a, b)| [a.get() * scale, b.get() * scale]).collect()
            }
        }

        impl JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $key.into()
            }
            fn json_schema(generator: &mut SchemaGenerator) -> Schema {
                let number = generator.subschema_for::<CornerNumber>();
                let mut unit = generator.subschema_for::<OutlineUnit>();
                unit.insert("description".into(), "The unit of every corner.".into());
                json_schema!({
                    "type": "object", "description": $doc, "additionalProperties": false,
                    "required": ["unit", "corners"],
                    "properties": {
                        "unit": unit,
                        "corners": {
                            "type": "array", "minItems": 3, "maxItems": MOST_CORNERS,
                            "description": concat!("The corners in order as pairs of x and ", $second, ", either way round; the last joins the first."),
                            "items": {
                                "type": "array", "prefixItems": [number, number], "items": false, "minItems": 2, "maxItems": 2,
                                "description": concat!("A corner: x, then ", $second, ", in the outline's unit.")
                            }
                        }
                    },
                    "x-kind": "polygon", "x-axes": ["x", $second], "x-order": ["unit", "corners"],
                })
            }
        }
    )*};
}
outlines! {
    SideOutline "side_outline" "z" "A polygon seen from the side: x rearward from the front axle, z up from the ground.";
    PlanOutline "plan_outline" "y" "A polygon seen from above: x rearward from the front axle, y to the vehicle's right.";
}

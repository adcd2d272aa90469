//! Numbers with the unit they were entered in.
//!
//! A quantity is a pair of a finite number and a unit symbol: `(7120, "lb")` in RON, `[7120, "lb"]` in JSON.
//! Nothing converts it on the way in or out. [`Quantity::si`] and the named getters (`metres`, `kilograms`, …) give
//! the SI value for computing. The type parameter says what is measured and which numbers are possible, so a mass
//! cannot be passed where a length is wanted and a wheelbase of zero is refused when the text is read.
//!
//! Exact factors: 1 lb = 0.45359237 kg, 1 in = 0.0254 m, standard gravity 9.80665 m/s² (international yard and pound
//! agreement of 1959; 3rd CGPM, 1901).

use std::{fmt, marker::PhantomData};

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{
    Deserialize, Deserializer, Serialize, Serializer,
    de::{Error as _, SeqAccess, Visitor},
    ser::SerializeTuple as _,
};

mod entry;
mod units;

pub use entry::{EntryError, convert, parse_entry, shortest};
pub use units::{STANDARD_GRAVITY, UnitInfo, find_unit, units_of};

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Dimension {
    /// SI unit: metre.
    Length,
    /// SI unit: kilogram.
    Mass,
    /// SI unit: newton. Ratings marked in kg or lb stand for that mass under standard gravity.
    Load,
    /// SI unit: radian.
    Angle,
    /// SI unit: volt.
    Voltage,
    /// SI unit: joule.
    Energy,
    /// SI unit: second.
    Duration,
    /// SI unit: metre per second.
    Speed,
    /// SI unit: kelvin.
    Temperature,
    /// SI unit: one (a fraction of one).
    Share,
    /// SI unit: pascal.
    Pressure,
    /// SI unit: watt.
    Power,
    /// SI unit: newton metre.
    Torque,
    /// SI unit: cubic metre.
    Volume,
}

impl Dimension {
    /// The word for it in a sentence: "a length", "an angle".
    pub fn phrase(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Load => "a load or force",
            Self::Angle => "an angle",
            Self::Voltage => "a voltage",
            Self::Energy => "an energy",
            Self::Duration => "a time",
            Self::Speed => "a speed",
            Self::Temperature => "a temperature",
            Self::Share => "a percentage",
            Self::Pressure => "a pressure",
            Self::Power => "a power",
            Self::Torque => "a torque",
            Self::Volume => "a volume",
        }
    }

    /// The key used for `x-dimension` in the annotated schema.
    pub fn key(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Mass => "mass",
            Self::Load => "load",
            Self::Angle => "angle",
            Self::Voltage => "voltage",
            Self::Energy => "energy",
            Self::Duration => "duration",
            Self::Speed => "speed",
            Self::Temperature => "temperature",
            Self::Share => "share",
            Self::Pressure => "pressure",
            Self::Power => "power",
            Self::Torque => "torque",
            Self::Volume => "volume",
        }
    }

    /// Every dimension, for lookups and tests.
    pub const ALL: [Self; 14] = [
        Self::Length,
        Self::Mass,
        Self::Load,
        Self::Angle,
        Self::Voltage,
        Self::Energy,
        Self::Duration,
        Self::Speed,
        Self::Temperature,
        Self::Share,
        Self::Pressure,
        Self::Power,
        Self::Torque,
        Self::Volume,
    ];

    /// Finds a dimension by its [`key`](Self::key).
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|d| d.key() == key)
    }
}

/// Which numbers a quantity may take, in the unit it was entered in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Range {
    /// Any number up to [`LARGEST`] in size.
    Signed,
    /// Zero or more.
    NotNegative,
    /// More than zero (at least [`SMALLEST`]).
    Positive,
    /// From 0 to 100 percent.
    Percent,
    /// Above absolute zero.
    Temperature,
}

/// The largest number accepted in any quantity. Beyond it a typing slip is certain and products could overflow.
pub const LARGEST: f64 = 1e9;
/// The smallest number accepted where a quantity must be positive.
pub const SMALLEST: f64 = 1e-9;

impl Range {
    fn check(self, value: f64) -> Result<(), String> {
        if !value.is_finite() {
            return Err(format!("{value} is not a finite number"));
        }
        if value.abs() > LARGEST {
            return Err(format!(
                "{value} is beyond {LARGEST:e}, the largest number accepted"
            ));
        }
        match self {
            Self::NotNegative if value < 0.0 => {
                Err(format!("{value} is negative, which is impossible here"))
            }
            Self::Positive if value < SMALLEST => Err(format!(
                "{value} is not above zero, which is impossible here"
            )),
            Self::Percent if !(0.0..=100.0).contains(&value) => {
                Err(format!("{value} is not between 0 and 100 %"))
            }
            Self::Temperature if value < -459.67 => Err(format!("{value} is below absolute zero")),
            _ => Ok(()),
        }
    }

    fn bounds(self) -> (f64, f64) {
        match self {
            Self::Signed => (-LARGEST, LARGEST),
            Self::NotNegative => (0.0, LARGEST),
            Self::Positive => (SMALLEST, LARGEST),
            Self::Percent => (0.0, 100.0),
            Self::Temperature => (-459.67, LARGEST),
        }
    }
}

/// What is measured and which numbers are possible: the type parameter of [`Quantity`].
pub trait Kind: 'static {
    /// The name in the JSON Schema's definitions.
    const NAME: &'static str;
    /// What it means, one sentence.
    const MEANING: &'static str;
    /// What it measures.
    const DIMENSION: Dimension;
    /// Which numbers it may take.
    const RANGE: Range;
    /// The unit shown to people who chose SI.
    const SI_UNIT: &'static str;
    /// The unit shown to people who chose US customary units.
    const US_UNIT: &'static str;
    /// The kind of its ± half-width.
    type Spread: Kind;
    /// The marker that decides which named getter exists.
    type Dim;
}

/// A number with the unit it was entered in.
pub struct Quantity<K> {
    value: f64,
    unit: &'static UnitInfo,
    kind: PhantomData<fn() -> K>,
}

impl<K: Kind> Quantity<K> {
    /// Makes a quantity; refuses units of another dimension and impossible numbers with a plain sentence.
    pub fn new(value: f64, unit: &str) -> Result<Self, String> {
        let unit =
            find_unit(K::DIMENSION, unit).ok_or_else(|| entry::wrong_unit(K::DIMENSION, unit))?;
        K::RANGE.check(value)?;
        let si = unit.to_si(value);
        if K::RANGE == Range::Temperature && si < 0.0 {
            return Err(format!("{value} {} is below absolute zero", unit.symbol));
        }
        // Negative zero would write differently and mean nothing.
        let value = if value == 0.0 { 0.0 } else { value };
        Ok(Self {
            value,
            unit,
            kind: PhantomData,
        })
    }

    /// The number as entered.
    pub fn value(self) -> f64 {
        self.value
    }

    /// The unit as entered.
    pub fn unit(self) -> &'static str {
        self.unit.symbol
    }

    /// The value in the SI unit of its dimension.
    pub fn si(self) -> f64 {
        self.unit.to_si(self.value)
    }

    /// The value in the SI unit, taken as a difference: without the zero shift of a temperature scale.
    pub fn si_difference(self) -> f64 {
        self.value * self.unit.scale
    }
}

impl<K> Clone for Quantity<K> {
    fn clone(&self) -> Self {
        *self
    }
}
impl<K> Copy for Quantity<K> {}
impl<K> PartialEq for Quantity<K> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value && std::ptr::eq(self.unit, other.unit)
    }
}
impl<K> fmt::Debug for Quantity<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.value, self.unit.symbol)
    }
}
impl<K> fmt::Display for Quantity<K> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", shortest(self.value), self.unit.symbol)
    }
}

impl<K> Serialize for Quantity<K> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut pair = serializer.serialize_tuple(2)?;
        // Whole numbers are written without a point, as a person would.
        if self.value.fract() == 0.0 {
            #[expect(clippy::cast_possible_truncation, reason = "at most LARGEST in size")]
            pair.serialize_element(&(self.value as i64))?;
        } else {
            pair.serialize_element(&self.value)?;
        }
        pair.serialize_element(self.unit.symbol)?;
        pair.end()
    }
}

impl<'de, K: Kind> Deserialize<'de> for Quantity<K> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Pair<K>(PhantomData<fn() -> K>);
        impl<'de, K: Kind> Visitor<'de> for Pair<K> {
            type Value = Quantity<K>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(
                    f,
                    "{} as a number and a unit, such as (1, {:?})",
                    K::DIMENSION.phrase(),
                    K::SI_UNIT
                )
            }
            fn visit_seq<A: SeqAccess<'de>>(self, mut seq: A) -> Result<Self::Value, A::Error> {
                let value: f64 = seq
                    .next_element()?
                    .ok_or_else(|| A::Error::invalid_length(0, &self))?;
                let unit: std::borrow::Cow<'de, str> = seq
                    .next_element()?
                    .ok_or_else(|| A::Error::invalid_length(1, &self))?;
                Quantity::new(value, &unit).map_err(A::Error::custom)
            }
        }
        deserializer.deserialize_tuple(2, Pair(PhantomData))
    }
}

impl<K: Kind> JsonSchema for Quantity<K> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        K::NAME.into()
    }
    fn json_schema(_: &mut SchemaGenerator) -> Schema {
        let (low, high) = K::RANGE.bounds();
        let symbols: Vec<&str> = units_of(K::DIMENSION).iter().map(|u| u.symbol).collect();
        json_schema!({
            "type": "array",
            "description": format!("{} A number and its unit, kept as entered.", K::MEANING),
            "prefixItems": [
                {"type": "number", "minimum": low, "maximum": high, "description": "The number, in the unit beside it."},
                {"type": "string", "enum": symbols, "description": "The unit of the number."}
            ],
            "items": false, "minItems": 2, "maxItems": 2,
            "x-kind": "quantity", "x-dimension": K::DIMENSION.key(), "x-units": symbols,
            "x-si": K::SI_UNIT, "x-us": K::US_UNIT,
        })
    }
}

/// Markers for the named getters, one a dimension.
pub mod dim {
    /// Marks lengths.
    pub enum Length {}
    /// Marks masses.
    pub enum Mass {}
    /// Marks loads and forces.
    pub enum Load {}
    /// Marks angles.
    pub enum Angle {}
    /// Marks voltages.
    pub enum Voltage {}
    /// Marks energies.
    pub enum Energy {}
    /// Marks times.
    pub enum Duration {}
    /// Marks speeds.
    pub enum Speed {}
    /// Marks temperatures.
    pub enum Temperature {}
    /// Marks percentages.
    pub enum Share {}
    /// Marks pressures.
    pub enum Pressure {}
    /// Marks powers.
    pub enum Power {}
    /// Marks torques.
    pub enum Torque {}
    /// Marks volumes.
    pub enum Volume {}
}

macro_rules! getters {
    ($($dim:ident $name:ident $doc:literal),* $(,)?) => {$(
        impl<K: Kind<Dim = dim::$dim>> Quantity<K> {
            #[doc = $doc]
            pub fn $name(self) -> f64 { self.si() }
        }
    )*};
}
getters! {
    Length metres "The length in metres.",
    Mass kilograms "The mass in kilograms.",
    Load newtons "The load in newtons.",
    Angle radians "The angle in radians.",
    Voltage volts "The voltage in volts.",
    Energy joules "The energy in joules.",
    Duration seconds "The time in seconds.",
    Speed metres_per_second "The speed in metres per second.",
    Temperature kelvins "The temperature in kelvins.",
    Share fraction "The percentage as a fraction of one.",
    Pressure pascals "The pressure in pascals.",
    Power watts "The power in watts.",
    Torque newton_metres "The torque in newton metres.",
    Volume cubic_metres "The volume in cubic metres.",
}

macro_rules! kinds {
    ($($name:ident $marker:ident $key:literal $dim:ident $range:ident $si:literal $us:literal $spread:ident $doc:literal;)*) => {$(
        #[doc = concat!("Marks [`", stringify!($name), "`].")]
        #[derive(Debug)]
        pub enum $marker {}
        impl Kind for $marker {
            const NAME: &'static str = $key;
            const MEANING: &'static str = $doc;
            const DIMENSION: Dimension = Dimension::$dim;
            const RANGE: Range = Range::$range;
            const SI_UNIT: &'static str = $si;
            const US_UNIT: &'static str = $us;
            type Spread = $spread;
            type Dim = dim::$dim;
        }
        #[doc = $doc]
        pub type $name = Quantity<$marker>;
    )*};
}
kinds! {
    Coordinate CoordinateKind "coordinate" Length Signed "mm" "in" DistanceKind "A coordinate in the vehicle's frame: a length of either sign.";
    Size SizeKind "size" Length Positive "mm" "in" DistanceKind "A length above zero.";
    Distance DistanceKind "distance" Length NotNegative "mm" "in" DistanceKind "A length of zero or more.";
    Way WayKind "way" Length NotNegative "m" "ft" WayKind "A distance along the ground or over a road.";
    Mass MassKind "mass" Mass Positive "kg" "lb" MassSpreadKind "A mass above zero.";
    MassReading MassReadingKind "mass_reading" Mass NotNegative "kg" "lb" MassSpreadKind "What a scale showed: a mass of zero or more.";
    MassSpread MassSpreadKind "mass_spread" Mass NotNegative "kg" "lb" MassSpreadKind "A mass of zero or more: a scale division, a tolerance or a half-width.";
    Load LoadKind "load" Load Positive "kN" "lbf" LoadSpreadKind "A load, force or working load limit above zero; marked in kg or lb it stands for that mass under standard gravity.";
    LoadSpread LoadSpreadKind "load_spread" Load NotNegative "kN" "lbf" LoadSpreadKind "A load of zero or more.";
    Angle AngleKind "angle" Angle Signed "deg" "deg" AngleSpreadKind "An angle of either sign.";
    AngleSpread AngleSpreadKind "angle_spread" Angle NotNegative "deg" "deg" AngleSpreadKind "An angle of zero or more.";
    Voltage VoltageKind "voltage" Voltage Positive "V" "V" VoltageSpreadKind "A voltage above zero.";
    VoltageSpread VoltageSpreadKind "voltage_spread" Voltage NotNegative "V" "V" VoltageSpreadKind "A voltage of zero or more.";
    StoredEnergy StoredEnergyKind "stored_energy" Energy Positive "kWh" "kWh" EnergySpreadKind "An amount of energy above zero.";
    EnergySpread EnergySpreadKind "energy_spread" Energy NotNegative "kWh" "kWh" EnergySpreadKind "An amount of energy of zero or more.";
    Duration DurationKind "duration" Duration NotNegative "min" "min" DurationKind "A time of zero or more.";
    Speed SpeedKind "speed" Speed Positive "km/h" "mph" SpeedSpreadKind "A speed above zero.";
    SpeedSpread SpeedSpreadKind "speed_spread" Speed NotNegative "km/h" "mph" SpeedSpreadKind "A speed of zero or more.";
    Temperature TemperatureKind "temperature" Temperature Temperature "degC" "degF" TemperatureSpreadKind "A temperature.";
    TemperatureSpread TemperatureSpreadKind "temperature_spread" Temperature NotNegative "K" "degF" TemperatureSpreadKind "A difference of temperature.";
    Share ShareKind "share" Share Percent "%" "%" ShareKind "A percentage from 0 to 100.";
    Pressure PressureKind "pressure" Pressure Positive "kPa" "psi" PressureSpreadKind "A pressure above zero.";
    PressureSpread PressureSpreadKind "pressure_spread" Pressure NotNegative "kPa" "psi" PressureSpreadKind "A pressure of zero or more.";
    Power PowerKind "power" Power Positive "kW" "kW" PowerSpreadKind "A power above zero.";
    PowerSpread PowerSpreadKind "power_spread" Power NotNegative "kW" "kW" PowerSpreadKind "A power of zero or more.";
    Torque TorqueKind "torque" Torque Positive "Nm" "lbf-ft" TorqueSpreadKind "A tightening torque above zero.";
    TorqueSpread TorqueSpreadKind "torque_spread" Torque NotNegative "Nm" "lbf-ft" TorqueSpreadKind "A torque of zero or more.";
    Volume VolumeKind "volume" Volume Positive "L" "gal" VolumeSpreadKind "A volume above zero.";
    VolumeSpread VolumeSpreadKind "volume_spread" Volume NotNegative "L" "gal" VolumeSpreadKind "A volume of zero or more.";
}

#[cfg(test)]
#[expect(
    clippy::unwrap_used,
    clippy::float_cmp,
    reason = "tests state exact facts"
)]
mod tests {
    use super::*;

    #[test]
    fn a_mass_is_kept_as_entered_in_both_texts() {
        let mass: Mass = serde_json::from_str(r#"[7120, "lb"]"#).unwrap();
        assert_eq!(serde_json::to_string(&mass).unwrap(), r#"[7120,"lb"]"#);
        // International yard and pound agreement of 1959: 1 lb = 0.45359237 kg exactly.
        assert_eq!(mass.kilograms(), 7120.0 * 0.453_592_37);
        let ron: Mass = ron::from_str("(7120, \"lb\")").unwrap();
        assert_eq!(ron, mass);
    }

    #[test]
    fn a_wrong_kind_of_unit_is_refused_with_a_sentence() {
        let error = serde_json::from_str::<Size>(r#"[5, "kg"]"#)
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("\"kg\" is a unit of mass; a length is wanted here"),
            "{error}"
        );
    }

    #[test]
    fn impossible_numbers_are_refused() {
        for text in [
            "(NaN, \"kg\")",
            "(inf, \"kg\")",
            "(-1, \"kg\")",
            "(0, \"kg\")",
            "(1e12, \"kg\")",
        ] {
            assert!(ron::from_str::<Mass>(text).is_err(), "{text}");
        }
        assert!(Quantity::<TemperatureKind>::new(-300.0, "degC").is_err());
        assert!(Quantity::<CoordinateKind>::new(-300.0, "mm").is_ok());
    }

    #[test]
    fn negative_zero_is_written_as_zero() {
        let zero = Quantity::<CoordinateKind>::new(-0.0, "mm").unwrap();
        assert_eq!(serde_json::to_string(&zero).unwrap(), r#"[0,"mm"]"#);
    }

    #[test]
    fn a_pair_with_three_elements_is_refused() {
        assert!(serde_json::from_str::<Mass>(r#"[5, "kg", 1]"#).is_err());
        assert!(serde_json::from_str::<Mass>(r"[5]").is_err());
    }
}

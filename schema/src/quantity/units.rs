//! The table of units.

use super::Dimension;

/// Standard gravity in m/s² (3rd CGPM, 1901).
pub const STANDARD_GRAVITY: f64 = 9.806_65;
const POUND: f64 = 0.453_592_37;
const INCH: f64 = 0.0254;

/// One unit: its symbol and how to reach the SI unit.
#[derive(Debug, PartialEq)]
pub struct UnitInfo {
    /// The symbol in a file.
    pub symbol: &'static str,
    /// SI value = number × scale + offset.
    pub scale: f64,
    /// Only temperatures have one.
    pub offset: f64,
    /// Other ways people type it.
    pub spellings: &'static [&'static str],
}

impl UnitInfo {
    /// The SI value of a number in this unit.
    pub fn to_si(&self, value: f64) -> f64 {
        value * self.scale + self.offset
    }

    /// The number in this unit of an SI value.
    pub fn from_si(&self, si: f64) -> f64 {
        (si - self.offset) / self.scale
    }
}

const fn unit(symbol: &'static str, scale: f64, spellings: &'static [&'static str]) -> UnitInfo {
    UnitInfo {
        symbol,
        scale,
        offset: 0.0,
        spellings,
    }
}

static LENGTH: [UnitInfo; 8] = [
    unit("mm", 0.001, &["millimetre", "millimeter"]),
    unit("cm", 0.01, &[]),
    unit("m", 1.0, &["metre", "meter"]),
    unit("km", 1000.0, &[]),
    unit("in", INCH, &["inch", "inches", "\"", "″"]),
    unit("ft", 12.0 * INCH, &["foot", "feet", "'", "′"]),
    unit("yd", 36.0 * INCH, &["yard", "yards"]),
    unit("mi", 63360.0 * INCH, &["mile", "miles"]),
];
static MASS: [UnitInfo; 4] = [
    unit("kg", 1.0, &["kgs"]),
    unit("g", 0.001, &[]),
    unit("t", 1000.0, &["tonne", "tonnes"]),
    unit("lb", POUND, &["lbs", "pound", "pounds"]),
];
static LOAD: [UnitInfo; 7] = [
    unit("N", 1.0, &[]),
    unit("daN", 10.0, &[]),
    unit("kN", 1000.0, &[]),
    unit("kgf", STANDARD_GRAVITY, &[]),
    unit("lbf", POUND * STANDARD_GRAVITY, &[]),
    unit("kg", STANDARD_GRAVITY, &[]),
    unit("lb", POUND * STANDARD_GRAVITY, &["lbs"]),
];
static ANGLE: [UnitInfo; 2] = [
    unit(
        "deg",
        std::f64::consts::PI / 180.0,
        &["°", "degree", "degrees"],
    ),
    unit("rad", 1.0, &[]),
];
static VOLTAGE: [UnitInfo; 2] = [
    unit("V", 1.0, &["volt", "volts", "v"]),
    unit("kV", 1000.0, &[]),
];
static ENERGY: [UnitInfo; 5] = [
    unit("kWh", 3.6e6, &["kwh", "KWh"]),
    unit("Wh", 3600.0, &["wh"]),
    unit("MJ", 1e6, &[]),
    unit("kJ", 1000.0, &[]),
    unit("J", 1.0, &[]),
];
static DURATION: [UnitInfo; 4] = [
    unit("s", 1.0, &["sec", "second", "seconds"]),
    unit("min", 60.0, &["minute", "minutes"]),
    unit("h", 3600.0, &["hour", "hours", "hr"]),
    unit("d", 86400.0, &["day", "days"]),
];
static SPEED: [UnitInfo; 3] = [
    unit("km/h", 1.0 / 3.6, &["kmh", "kph"]),
    unit("mph", 63360.0 * INCH / 3600.0, &["mi/h"]),
    unit("m/s", 1.0, &[]),
];
static TEMPERATURE: [UnitInfo; 3] = [
    UnitInfo {
        symbol: "degC",
        scale: 1.0,
        offset: 273.15,
        spellings: &["°C", "C"],
    },
    UnitInfo {
        symbol: "degF",
        scale: 5.0 / 9.0,
        offset: 459.67 * 5.0 / 9.0,
        spellings: &["°F", "F"],
    },
    UnitInfo {
        symbol: "K",
        scale: 1.0,
        offset: 0.0,
        spellings: &[],
    },
];
static SHARE: [UnitInfo; 1] = [unit("%", 0.01, &["percent"])];
static PRESSURE: [UnitInfo; 4] = [
    unit("kPa", 1000.0, &["kpa"]),
    unit("bar", 1e5, &[]),
    // One pound-force on one square inch.
    unit("psi", POUND * STANDARD_GRAVITY / (INCH * INCH), &["PSI"]),
    unit("MPa", 1e6, &[]),
];
static POWER: [UnitInfo; 2] = [unit("kW", 1000.0, &["kw"]), unit("W", 1.0, &[])];
static TORQUE: [UnitInfo; 2] = [
    unit("Nm", 1.0, &["N·m", "N m"]),
    unit(
        "lbf-ft",
        POUND * STANDARD_GRAVITY * 12.0 * INCH,
        &["lb-ft", "ft-lb", "ft-lbf", "lbf·ft"],
    ),
];
static VOLUME: [UnitInfo; 3] = [
    unit("L", 0.001, &["l", "litre", "liter"]),
    unit("m3", 1.0, &["m³"]),
    // The US gallon is 231 cubic inches (NIST Handbook 44, appendix C).
    unit("gal", 231.0 * INCH * INCH * INCH, &["gallon", "gallons"]),
];

/// The units accepted for a dimension, the SI family first.
pub fn units_of(dimension: Dimension) -> &'static [UnitInfo] {
    match dimension {
        Dimension::Length => &LENGTH,
        Dimension::Mass => &MASS,
        Dimension::Load => &LOAD,
        Dimension::Angle => &ANGLE,
        Dimension::Voltage => &VOLTAGE,
        Dimension::Energy => &ENERGY,
        Dimension::Duration => &DURATION,
        Dimension::Speed => &SPEED,
        Dimension::Temperature => &TEMPERATURE,
        Dimension::Share => &SHARE,
        Dimension::Pressure => &PRESSURE,
        Dimension::Power => &POWER,
        Dimension::Torque => &TORQUE,
        Dimension::Volume => &VOLUME,
    }
}

/// Finds a unit of a dimension by its exact symbol.
pub fn find_unit(dimension: Dimension, symbol: &str) -> Option<&'static UnitInfo> {
    units_of(dimension).iter().find(|u| u.symbol == symbol)
}

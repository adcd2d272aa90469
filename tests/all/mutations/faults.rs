//! The single faults, each with its name.

use serde_json::json;

use super::Change::{self, *};

type Named = (&'static str, Change);

/// Faults that the published schema tells.
pub(crate) fn schema_faults() -> Vec<Named> {
    [
        missing(),
        unknown(),
        types(),
        quantities(),
        words(),
        forms(),
        counts(),
    ]
    .concat()
}

fn missing() -> Vec<Named> {
    vec![
        ("no format", Drop("/format")),
        ("no id", Drop("/id")),
        ("no language", Drop("/language")),
        ("no identity", Drop("/identity")),
        ("no dimensions", Drop("/dimensions")),
        ("no mass", Drop("/mass")),
        ("no energy", Drop("/energy")),
        ("no emergency", Drop("/emergency")),
        ("no transport", Drop("/transport")),
        ("no maker", Drop("/identity/maker")),
        ("no body style", Drop("/identity/body_style")),
        ("no propulsion", Drop("/identity/propulsion")),
        ("an axle without an id", Drop("/axles/*/id")),
        ("an axle without a position", Drop("/axles/*/position")),
        (
            "a wheelbase without a value",
            Drop("/dimensions/wheelbase/value"),
        ),
        ("a point without a place", Drop("/points/*/place")),
        ("a place without y", Drop("/points/*/place/y")),
        ("a step without a text", Drop("/procedures/*/steps/*/text")),
        ("a hazard without a signal word", Drop("/hazards/*/signal")),
        ("a source without a kind", Drop("/sources/*/kind")),
        (
            "a disconnect without an explanation",
            Drop("/energy/disconnects/*/explanation"),
        ),
    ]
}

fn unknown() -> Vec<Named> {
    vec![
        (
            "an unknown field at the top",
            Add("", "colour", json!("red")),
        ),
        (
            "an unknown field of the identity",
            Add("/identity", "nickname", json!("x")),
        ),
        (
            "an unknown field of an axle",
            Add("/axles/*", "load", json!([1, "kg"])),
        ),
        (
            "an unknown field of a value",
            Add("/dimensions/wheelbase", "unit", json!("in")),
        ),
        (
            "an unknown field of a point",
            Add("/points/*", "x", json!(1)),
        ),
        (
            "an unknown field of a place",
            Add("/points/*/place", "w", json!([1, "mm"])),
        ),
        (
            "an unknown field of a step",
            Add("/procedures/*/steps/*", "then", json!("x")),
        ),
        (
            "an unknown field of a source",
            Add("/sources/*", "author", json!("x")),
        ),
        (
            "an unknown field of the mass",
            Add("/mass", "weight", json!([1, "kg"])),
        ),
    ]
}

fn types() -> Vec<Named> {
    vec![
        ("a number for the format", Set("/format", json!(1.0))),
        ("a number for an id", Set("/id", json!(7))),
        ("a list for the identity", Set("/identity", json!([]))),
        ("an object for the axles", Set("/axles", json!({}))),
        (
            "null for an optional text",
            Set("/identity/recognition", json!(null)),
        ),
        (
            "null for the wheelbase",
            Set("/dimensions/wheelbase", json!(null)),
        ),
        (
            "a plain string for a note",
            Set("/sources/*/note", json!("by eye")),
        ),
        (
            "a plain string for a text",
            Set("/points/*/name", json!("left front")),
        ),
        (
            "a list for a text",
            Set("/points/*/name", json!(["left front"])),
        ),
        ("a number inside a text", Set("/points/*/name/*", json!(5))),
        (
            "a string for the steered mark",
            Set("/axles/*/steered", json!("yes")),
        ),
        (
            "a number for the mirrored mark",
            Set("/points/*/mirrored", json!(1)),
        ),
        ("a string for the points", Set("/points", json!("none"))),
        (
            "a string for a model year",
            Set("/identity/model_years/first", json!("2024")),
        ),
        (
            "a fraction for a model year",
            Set("/identity/model_years/first", json!(2024.5)),
        ),
    ]
}

fn quantities() -> Vec<Named> {
    vec![
        (
            "a bare number for a length",
            Set("/dimensions/wheelbase/value", json!(131)),
        ),
        (
            "a string for a quantity",
            Set("/dimensions/wheelbase/value", json!("131 in")),
        ),
        (
            "an object for a quantity",
            Set(
                "/dimensions/wheelbase/value",
                json!({"number": 131, "unit": "in"}),
            ),
        ),
        (
            "a quantity without a unit",
            Set("/dimensions/wheelbase/value", json!([131])),
        ),
        (
            "a quantity with two units",
            Set("/dimensions/wheelbase/value", json!([131, "in", "mm"])),
        ),
        (
            "unit and number the wrong way round",
            Set("/dimensions/wheelbase/value", json!(["in", 131])),
        ),
        (
            "a string for a number",
            Set("/dimensions/wheelbase/value/0", json!("131")),
        ),
        (
            "null for a number",
            Set("/dimensions/wheelbase/value/0", json!(null)),
        ),
        (
            "a unit of mass for a length",
            Set("/dimensions/wheelbase/value/1", json!("kg")),
        ),
        (
            "a unit of length for a mass",
            Set("/mass/gvwr/value/1", json!("mm")),
        ),
        (
            "a unit that nobody knows",
            Set("/mass/gvwr/value/1", json!("stone")),
        ),
        (
            "a unit in capitals",
            Set("/dimensions/wheelbase/value/1", json!("MM")),
        ),
        (
            "a unit with a blank",
            Set("/dimensions/wheelbase/value/1", json!(" mm")),
        ),
        (
            "an empty unit",
            Set("/dimensions/wheelbase/value/1", json!("")),
        ),
        (
            "a negative length",
            Set("/dimensions/wheelbase/value/0", json!(-131)),
        ),
        (
            "a length of zero",
            Set("/dimensions/wheelbase/value/0", json!(0)),
        ),
        (
            "a length beyond any vehicle",
            Set("/dimensions/wheelbase/value/0", json!(1e10)),
        ),
        ("a mass of zero", Set("/mass/gvwr/value/0", json!(0))),
        ("a negative mass", Set("/mass/gvwr/value/0", json!(-2500))),
        (
            "a negative scale reading",
            Set("/mass/readings/*/loads/*/*/0", json!(-1)),
        ),
        (
            "a negative half-width",
            Set("/dimensions/*/plus_minus/0", json!(-1)),
        ),
        (
            "a coordinate beyond any vehicle",
            Set("/points/*/place/x/0", json!(-1e10)),
        ),
        (
            "a negative voltage",
            Set("/energy/high_voltage/maximum_voltage/value/0", json!(-400)),
        ),
        (
            "a unit of voltage for an energy",
            Set("/energy/high_voltage/capacity/value/1", json!("V")),
        ),
        ("a negative time", Set("/energy/waits/*/value/0", json!(-1))),
    ]
}

fn words() -> Vec<Named> {
    vec![
        (
            "a body style that is none",
            Set("/identity/body_style", json!("rocket")),
        ),
        (
            "a body style in capitals",
            Set("/identity/body_style", json!("Pickup")),
        ),
        (
            "a propulsion that is none",
            Set("/identity/propulsion", json!("steam")),
        ),
        (
            "a kind of point that is none",
            Set("/points/*/kind", json!("hook")),
        ),
        ("a use that is none", Set("/points/*/uses/*", json!("hang"))),
        (
            "a kind of zone that is none",
            Set("/zones/*/kinds/*", json!("danger")),
        ),
        (
            "a purpose that is none",
            Set("/procedures/*/purpose", json!("drive")),
        ),
        (
            "an act that is none",
            Set("/procedures/*/steps/*/act", json!("jump")),
        ),
        (
            "a signal word that is none",
            Set("/hazards/*/signal", json!("attention")),
        ),
        ("a harm that is none", Set("/hazards/*/harm", json!("pain"))),
        (
            "a kind of source that is none",
            Set("/sources/*/kind", json!("rumour")),
        ),
        (
            "a method of moving that is none",
            Set("/transport/rules/*/method", json!("fly")),
        ),
        (
            "a permission that is none",
            Set("/transport/rules/*/permission", json!("maybe")),
        ),
        (
            "a current that is none",
            Set("/energy/high_voltage/current", json!("xc")),
        ),
        (
            "a way of shutting off that is none",
            Set("/energy/disconnects/*/method", json!("hammer")),
        ),
        (
            "a motor that is none",
            Set("/axles/*/motor/kind", json!("magic")),
        ),
        (
            "an outline unit that is none",
            Set("/dimensions/side_outline/unit", json!("furlong")),
        ),
    ]
}

fn forms() -> Vec<Named> {
    vec![
        ("a format of the future", Set("/format", json!("2.0"))),
        ("a release of two numbers", Set("/release", json!("1.0"))),
        (
            "a release with a leading zero",
            Set("/release", json!("1.01.0")),
        ),
        ("an id in capitals", Set("/id", json!("Pickup"))),
        ("an empty id", Set("/id", json!(""))),
        ("an id with a blank", Set("/id", json!("a b"))),
        ("an id with an underscore", Set("/id", json!("a_b"))),
        ("an id that begins with a digit", Set("/id", json!("1a"))),
        ("an id of 65 characters", Set("/id", json!("a".repeat(65)))),
        (
            "a reference that is no id",
            Set("/points/*/source", json!("The tape")),
        ),
        (
            "a language that is a word",
            Set("/language", json!("english")),
        ),
        (
            "a text in a language that is a word",
            Add("/points/*/name", "english", json!("left")),
        ),
        ("an empty text", Set("/points/*/name/*", json!(""))),
        ("a text of blanks", Set("/points/*/name/*", json!("   "))),
        (
            "a text with a control character",
            Set("/points/*/name/*", json!("left\u{7}")),
        ),
        ("a text in no language", Set("/points/*/name", json!({}))),
        (
            "a text of 4001 characters",
            Set("/points/*/name/*", json!("a".repeat(4001))),
        ),
        (
            "a label with a line feed",
            Set("/identity/maker", json!("Two\nlines")),
        ),
        (
            "a label that ends with a blank",
            Set("/identity/maker", json!("Works ")),
        ),
        ("an empty label", Set("/identity/model", json!(""))),
        (
            "a date with a month 13",
            Set("/sources/*/date", json!("2026-13-01")),
        ),
        (
            "a date that no calendar has",
            Set("/sources/*/date", json!("2026-02-30")),
        ),
        (
            "a date in words",
            Set("/sources/*/date", json!("14 March 2026")),
        ),
        (
            "a VIN pattern with the letter I",
            Set(
                "/identity/vin_patterns/*/pattern",
                json!("I****************"),
            ),
        ),
        (
            "a VIN pattern of 16 characters",
            Set(
                "/identity/vin_patterns/*/pattern",
                json!("****************"),
            ),
        ),
        (
            "a sign of an unknown kind",
            Set("/hazards/*/sign", json!("X001")),
        ),
        (
            "a sign of four figures",
            Set("/hazards/*/sign", json!("W0012")),
        ),
        (
            "an extension without a domain",
            Add("", "extensions", json!({"mine": 1})),
        ),
    ]
}

fn counts() -> Vec<Named> {
    vec![
        ("no axle at all", Set("/axles", json!([]))),
        ("one axle", Keep("/axles", 1)),
        ("nine axles", Fill("/axles", 9)),
        (
            "an outline of two corners",
            Keep("/dimensions/side_outline/corners", 2),
        ),
        (
            "an outline of 2001 corners",
            Fill("/dimensions/side_outline/corners", 2001),
        ),
        (
            "a corner of one number",
            Set("/dimensions/side_outline/corners/0", json!([1])),
        ),
        (
            "a corner of three numbers",
            Set("/dimensions/side_outline/corners/0", json!([1, 2, 3])),
        ),
        (
            "a corner beyond any vehicle",
            Set("/dimensions/side_outline/corners/0/0", json!(1e10)),
        ),
        ("a zone of no kind", Set("/zones/*/kinds", json!([]))),
        (
            "a model year before cars",
            Set("/identity/model_years/first", json!(1066)),
        ),
        (
            "no motor where there is one",
            Set("/axles/*/motor/count", json!(0)),
        ),
        (
            "three wheels on a side",
            Set("/axles/*/tyre/wheels_per_side", json!(3)),
        ),
    ]
}

/// Faults of references, of order and of meaning, which the published schema cannot tell.
pub(super) fn reference_faults() -> Vec<Named> {
    vec![
        (
            "a value from a source that is not there",
            Set("/dimensions/wheelbase/source", json!("nobody")),
        ),
        (
            "a point from a source that is not there",
            Set("/points/*/source", json!("nobody")),
        ),
        (
            "a reading of an axle that is not there",
            Set("/mass/readings/*/loads/*/axle", json!("nowhere")),
        ),
        (
            "a step at a point that is not there",
            Set("/procedures/*/steps/*/points/*", json!("nowhere")),
        ),
        (
            "a step with a condition that is not there",
            Set("/procedures/*/steps/*/requires/*", json!("no-condition")),
        ),
        (
            "a result that is no condition",
            Set("/procedures/*/steps/*/establishes/*", json!("no-condition")),
        ),
        (
            "a hazard that is not there",
            Set("/procedures/*/steps/*/hazards/*", json!("no-hazard")),
        ),
        (
            "a way to shut off at a point that is not there",
            Set("/energy/disconnects/*/point", json!("nowhere")),
        ),
        (
            "a low-voltage battery that is not there",
            Set("/energy/low_voltage/point", json!("nowhere")),
        ),
        ("two axles with one id", Repeat("/axles", "id")),
        ("two points with one id", Repeat("/points", "id")),
        ("two sources with one id", Repeat("/sources", "id")),
        ("two procedures with one id", Repeat("/procedures", "id")),
        ("two steps with one id", Repeat("/procedures/*/steps", "id")),
        ("axles from the rear", Swap("/axles")),
        (
            "a front axle that is not at zero",
            Set("/axles/0/position/value/0", json!(5)),
        ),
        (
            "a rear axle in front of the front axle",
            Set("/axles/1/position/value/0", json!(-5)),
        ),
        (
            "a last model year before the first",
            Set("/identity/model_years/last", json!(1981)),
        ),
        (
            "an integer that canonical JSON cannot hold",
            Add(
                "",
                "extensions",
                json!({"org.example": 9_007_199_254_740_993_u64}),
            ),
        ),
    ]
}

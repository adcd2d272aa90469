//! Numbers as a person would have typed them, after a pointer or a key moved them.

use chockstone_schema::{
    outline::OutlineUnit,
    quantity::{Dimension, find_unit},
};
use serde_json::{Value, json};

/// A length as it is kept in a file: a number and the symbol of its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Entry {
    /// The number.
    pub value: f64,
    /// The unit's symbol.
    pub unit: &'static str,
}

/// Decimals that a dragged length keeps in a unit: 1 mm, 0.1 in, and what comes near these in other units.
fn decimals(unit: &str) -> i32 {
    match unit {
        "mm" => 0,
        "cm" | "in" => 1,
        "m" => 3,
        "km" | "mi" => 6,
        _ => 2,
    }
}

/// What one press of an arrow key moves, in the unit: 1 mm in metric units, 1/8 in in the others.
fn nudge_step(unit: &str) -> f64 {
    let metres = match unit {
        "mm" | "cm" | "m" | "km" => 0.001,
        _ => 0.0254 / 8.0,
    };
    metres / metres_in(unit)
}

fn metres_in(unit: &str) -> f64 {
    find_unit(Dimension::Length, unit).map_or(1.0, |u| u.scale)
}

fn rounded(value: f64, decimals: i32) -> f64 {
    let factor = 10f64.powi(decimals);
    let rounded = (value * factor).round() / factor;
    if rounded == 0.0 { 0.0 } else { rounded }
}

impl Entry {
    /// A length in metres in the unit that the coordinate was entered in, rounded to a sensible step.
    pub fn near(metres: f64, unit: &'static str) -> Self {
        Self {
            value: rounded(metres / metres_in(unit), decimals(unit)),
            unit,
        }
    }

    /// The length in metres.
    pub fn metres(self) -> f64 {
        self.value * metres_in(self.unit)
    }

    /// Moved by a number of key presses; ten digits after the point are enough for any chain of eighths.
    #[must_use]
    pub fn nudged(self, presses: f64) -> Self {
        Self {
            value: rounded(self.value + presses * nudge_step(self.unit), 9),
            unit: self.unit,
        }
    }

    /// On the other side of zero.
    #[must_use]
    pub fn negated(self) -> Self {
        Self {
            value: if self.value == 0.0 { 0.0 } else { -self.value },
            unit: self.unit,
        }
    }

    /// As JSON: `[3683, "mm"]`, whole numbers without a point.
    pub fn to_json(self) -> Value {
        json!([number(self.value), self.unit])
    }
}

/// A number as JSON; whole ones are written without a point, as a person would.
pub fn number(value: f64) -> Value {
    #[expect(
        clippy::cast_possible_truncation,
        reason = "only for whole numbers far below 2^53"
    )]
    if value.fract() == 0.0 && value.abs() < 1e15 {
        json!(value as i64)
    } else {
        json!(value)
    }
}

/// A corner in an outline's unit near a place in metres.
pub fn corner_near([across, up]: [f64; 2], unit: OutlineUnit) -> [f64; 2] {
    let near = |metres: f64| Entry::near(metres, unit.symbol()).value;
    [near(across), near(up)]
}

/// A corner moved by key presses, in its outline's unit.
pub fn corner_nudged([across, up]: [f64; 2], unit: OutlineUnit, [du, dv]: [f64; 2]) -> [f64; 2] {
    let moved = |value, presses| {
        Entry {
            value,
            unit: unit.symbol(),
        }
        .nudged(presses)
        .value
    };
    [moved(across, du), moved(up, dv)]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "what a person would have typed is exact")]
    use super::*;

    #[test]
    fn a_dragged_length_keeps_its_unit_and_a_sensible_step() {
        assert_eq!(
            Entry::near(1.234_56, "mm"),
            Entry {
                value: 1235.0,
                unit: "mm"
            }
        );
        assert_eq!(
            Entry::near(1.234_56, "in"),
            Entry {
                value: 48.6,
                unit: "in"
            }
        );
        assert_eq!(
            Entry::near(1.234_56, "m"),
            Entry {
                value: 1.235,
                unit: "m"
            }
        );
        assert_eq!(
            Entry::near(1.234_56, "cm"),
            Entry {
                value: 123.5,
                unit: "cm"
            }
        );
        assert_eq!(
            Entry::near(1.234_56, "ft"),
            Entry {
                value: 4.05,
                unit: "ft"
            }
        );
        assert_eq!(Entry::near(-0.000_01, "mm").to_json(), json!([0, "mm"]));
    }

    #[test]
    fn a_nudge_is_a_millimetre_or_an_eighth_of_an_inch() {
        let metric = Entry {
            value: 1200.0,
            unit: "mm",
        };
        assert_eq!(metric.nudged(1.0).value, 1201.0);
        assert_eq!(metric.nudged(-10.0).value, 1190.0);
        let inches = Entry {
            value: 24.5,
            unit: "in",
        };
        assert_eq!(inches.nudged(1.0).value, 24.625);
        assert_eq!(inches.nudged(-10.0).value, 23.25);
        let metres = Entry {
            value: 1.2,
            unit: "m",
        };
        assert_eq!(metres.nudged(1.0).value, 1.201);
    }

    #[test]
    fn a_hundred_nudges_there_and_back_leave_the_number() {
        for unit in ["mm", "cm", "m", "in", "ft"] {
            let start = Entry { value: 12.3, unit };
            let mut entry = start;
            for _ in 0..100 {
                entry = entry.nudged(1.0);
            }
            for _ in 0..100 {
                entry = entry.nudged(-1.0);
            }
            assert_eq!(entry, start, "{unit}");
        }
    }

    #[test]
    fn the_other_side_of_zero_is_exact() {
        let entry = Entry {
            value: 24.5,
            unit: "in",
        };
        assert_eq!(entry.negated().negated(), entry);
        assert_eq!(
            Entry {
                value: 0.0,
                unit: "mm"
            }
            .negated()
            .to_json(),
            json!([0, "mm"])
        );
    }

    #[test]
    fn whole_numbers_are_written_without_a_point() {
        assert_eq!(number(3683.0).to_string(), "3683");
        assert_eq!(number(24.5).to_string(), "24.5");
    }
}

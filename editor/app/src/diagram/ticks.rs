//! Round steps for rulers, grid and scale bar, and lengths as a person reads them.

use chockstone_schema::quantity::Dimension;

/// In which units rulers, grid and readings are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Measure {
    /// Millimetres.
    #[default]
    Si,
    /// Inches, and feet where inches grow too many.
    UsCustomary,
}

const INCH: f64 = 0.0254;
/// Steps in inches that a tape has marks for: halves down to 1/8 in, then parts and multiples of a foot.
const INCH_STEPS: [f64; 12] = [
    0.125, 0.25, 0.5, 1.0, 3.0, 6.0, 12.0, 24.0, 60.0, 120.0, 240.0, 600.0,
];

/// The marks of a ruler: a labelled step and a finer one without labels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ticks {
    /// Between labelled marks, in metres.
    pub major: f64,
    /// Between all marks, in metres; a whole number of them makes a major step.
    pub minor: f64,
    /// The unit of the labels.
    pub unit: &'static str,
    metres_in_unit: f64,
}

impl Ticks {
    /// Chooses the finest round step whose labels stand at least `spacing` points apart at `scale` points a metre.
    pub fn new(measure: Measure, scale: f64, spacing: f64) -> Self {
        let least = spacing / scale;
        match measure {
            Measure::Si => si_ticks(least),
            Measure::UsCustomary => inch_ticks(least),
        }
    }

    /// The labelled marks between two coordinates in metres, with their labels.
    pub fn labelled(&self, from: f64, to: f64) -> Vec<(f64, String)> {
        multiples(self.major, from, to)
            .map(|at| (at, plain_number(at / self.metres_in_unit)))
            .collect()
    }

    /// Every mark between two coordinates in metres.
    pub fn all(&self, from: f64, to: f64) -> Vec<f64> {
        multiples(self.minor, from, to).collect()
    }

    /// A length for the scale bar: its metres and its label with unit.
    pub fn scale_bar(measure: Measure, scale: f64, most: f64) -> (f64, String) {
        let ticks = Self::new(measure, scale, most * 0.4);
        let length = if ticks.major * scale <= most {
            ticks.major
        } else {
            ticks.minor
        };
        let (value, unit) = match measure {
            Measure::Si if length >= 0.999 => (length, "m"),
            Measure::Si => (length * 1000.0, "mm"),
            Measure::UsCustomary if length >= 11.99 * INCH => (length / (12.0 * INCH), "ft"),
            Measure::UsCustomary => (length / INCH, "in"),
        };
        (length, format!("{} {unit}", plain_number(value)))
    }
}

fn si_ticks(least: f64) -> Ticks {
    // Whole multiples of a millimetre only: nobody measures a vehicle finer.
    let mut step = 0.001;
    let mut minor = 0.001;
    'found: for power in 0..9 {
        for (factor, parts) in [(1.0, 5.0), (2.0, 4.0), (5.0, 5.0)] {
            step = factor * 10f64.powi(power) / 1000.0;
            minor = (step / parts).max(0.001);
            if step >= least {
                break 'found;
            }
        }
    }
    Ticks {
        major: step,
        minor,
        unit: "mm",
        metres_in_unit: 0.001,
    }
}

fn inch_ticks(least: f64) -> Ticks {
    let fits = INCH_STEPS.iter().position(|step| step * INCH >= least);
    let at = fits.unwrap_or(INCH_STEPS.len() - 1);
    let inches = INCH_STEPS.get(at).copied().unwrap_or(12.0);
    let minor = match inches {
        i if i < 0.2 => inches,
        i if i < 0.9 => inches / 2.0,
        1.0 => 0.25,
        3.0 | 6.0 => 1.0,
        12.0 => 3.0,
        24.0 => 6.0,
        _ => inches / 5.0,
    };
    let (unit, metres_in_unit) = if inches >= 120.0 {
        ("ft", 12.0 * INCH)
    } else {
        ("in", INCH)
    };
    Ticks {
        major: inches * INCH,
        minor: minor * INCH,
        unit,
        metres_in_unit,
    }
}

/// The multiples of `step` between two values. At most a few thousand, whatever the arguments.
fn multiples(step: f64, from: f64, to: f64) -> impl Iterator<Item = f64> {
    let first = (from / step).ceil();
    let count = ((to / step).floor() - first + 1.0).clamp(0.0, 5000.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped above"
    )]
    let count = if count.is_finite() { count as usize } else { 0 };
    (0..count).map(move |i| (first + i as f64) * step)
}

/// A number without trailing zeros and without the noise of floating point.
pub fn plain_number(value: f64) -> String {
    let rounded = (value * 1000.0).round() / 1000.0;
    let text = format!("{}", if rounded == 0.0 { 0.0 } else { rounded });
    text.replace('-', "\u{2212}")
}

/// A length in metres as it is read aloud: whole millimetres, or tenths of an inch.
pub fn length_text(measure: Measure, metres: f64) -> String {
    match measure {
        Measure::Si => format!("{} mm", plain_number((metres * 1000.0).round())),
        Measure::UsCustomary => {
            format!("{} in", plain_number((metres / INCH * 10.0).round() / 10.0))
        }
    }
}

/// A length with its ± half-width in one unit: `1638 ± 5 mm`.
pub fn length_with_doubt(measure: Measure, metres: f64, doubt: Option<f64>) -> String {
    let text = length_text(measure, metres);
    let Some(doubt) = doubt else { return text };
    let doubt = length_text(measure, doubt);
    match (text.split_once(' '), doubt.split_once(' ')) {
        (Some((value, unit)), Some((half, _))) => format!("{value} ± {half} {unit}"),
        _ => text,
    }
}

/// A mass in kilograms with its ± half-width: `1612 ± 6 kg`, or in pounds.
pub fn mass_with_doubt(measure: Measure, kilograms: f64, doubt: Option<f64>) -> String {
    let unit = match measure {
        Measure::Si => "kg",
        Measure::UsCustomary => "lb",
    };
    let show = |mass: f64| {
        let value = chockstone_schema::quantity::convert(mass, Dimension::Mass, "kg", unit);
        plain_number(value.unwrap_or(mass).round())
    };
    match doubt {
        Some(doubt) => format!("{} ± {} {unit}", show(kilograms), show(doubt)),
        None => format!("{} {unit}", show(kilograms)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check_step(measure: Measure, scale: f64, major: f64, unit: &str) {
        let ticks = Ticks::new(measure, scale, 60.0);
        assert!((ticks.major - major).abs() < 1e-9, "{} m", ticks.major);
        assert_eq!(ticks.unit, unit);
        let parts = ticks.major / ticks.minor;
        assert!(
            (parts - parts.round()).abs() < 1e-9,
            "{parts} minor steps in a major one"
        );
    }

    #[test]
    fn steps_are_round_in_millimetres() {
        check_step(Measure::Si, 100.0, 1.0, "mm");
        check_step(Measure::Si, 130.0, 0.5, "mm");
        check_step(Measure::Si, 700.0, 0.1, "mm");
        check_step(Measure::Si, 10_000.0, 0.01, "mm");
    }

    #[test]
    fn steps_are_inches_then_parts_of_a_foot_then_feet() {
        check_step(Measure::UsCustomary, 10_000.0, 0.25 * INCH, "in");
        check_step(Measure::UsCustomary, 1_000.0, 3.0 * INCH, "in");
        check_step(Measure::UsCustomary, 200.0, 12.0 * INCH, "in");
        check_step(Measure::UsCustomary, 100.0, 24.0 * INCH, "in");
        check_step(Measure::UsCustomary, 20.0, 120.0 * INCH, "ft");
    }

    #[test]
    fn every_scale_gives_steps_at_least_as_wide_as_asked() {
        let mut scale = super::super::projection::SMALLEST_SCALE;
        while scale < super::super::projection::LARGEST_SCALE {
            for measure in [Measure::Si, Measure::UsCustomary] {
                let ticks = Ticks::new(measure, scale, 60.0);
                assert!(ticks.major * scale >= 60.0, "{measure:?} at {scale}");
                assert!(ticks.major * scale <= 60.0 * 12.0, "{measure:?} at {scale}");
                let parts = ticks.major / ticks.minor;
                assert!(
                    (parts - parts.round()).abs() < 1e-9,
                    "{measure:?} at {scale}"
                );
            }
            scale *= 1.07;
        }
    }

    #[test]
    fn labels_are_exact_in_their_unit() {
        let ticks = Ticks::new(Measure::UsCustomary, 200.0, 60.0);
        let labels: Vec<String> = ticks
            .labelled(-0.4, 0.7)
            .into_iter()
            .map(|(_, l)| l)
            .collect();
        assert_eq!(labels, ["−12", "0", "12", "24"]);
        let ticks = Ticks::new(Measure::Si, 700.0, 60.0);
        let labels: Vec<String> = ticks
            .labelled(0.25, 0.51)
            .into_iter()
            .map(|(_, l)| l)
            .collect();
        assert_eq!(labels, ["300", "400", "500"]);
    }

    #[test]
    fn the_scale_bar_is_a_round_length_that_fits() {
        for measure in [Measure::Si, Measure::UsCustomary] {
            for scale in [8.0, 57.0, 100.0, 460.0, 3000.0] {
                let (length, label) = Ticks::scale_bar(measure, scale, 160.0);
                assert!(length * scale <= 160.0, "{label} at {scale}");
                assert!(length * scale >= 10.0, "{label} at {scale}");
            }
        }
        assert_eq!(Ticks::scale_bar(Measure::Si, 100.0, 160.0).1, "1 m");
        assert_eq!(
            Ticks::scale_bar(Measure::UsCustomary, 100.0, 160.0).1,
            "5 ft"
        );
    }

    #[test]
    fn lengths_and_masses_are_shown_in_the_chosen_units() {
        assert_eq!(length_text(Measure::Si, 1.638_4), "1638 mm");
        assert_eq!(length_text(Measure::UsCustomary, 1.638_3), "64.5 in");
        assert_eq!(
            length_with_doubt(Measure::Si, 1.638, Some(0.005)),
            "1638 ± 5 mm"
        );
        assert_eq!(
            mass_with_doubt(Measure::Si, 1612.3, Some(6.2)),
            "1612 ± 6 kg"
        );
        assert_eq!(
            mass_with_doubt(Measure::UsCustomary, 453.592_37, None),
            "1000 lb"
        );
    }

    #[test]
    fn nonsense_ranges_give_no_endless_ruler() {
        let ticks = Ticks::new(Measure::Si, 100.0, 60.0);
        assert!(ticks.all(0.0, f64::INFINITY).len() <= 5000);
        assert!(ticks.all(f64::NAN, 1.0).is_empty());
        assert!(ticks.all(2.0, 1.0).is_empty());
    }
}

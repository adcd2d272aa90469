//! Figures in words.

/// A number with at most this many decimals, without trailing zeros.
pub(crate) fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Metres, to the millimetre.
pub(crate) fn metres(value: f64) -> String {
    format!("{} m", number(value, 3))
}

/// Kilograms, to the tenth.
pub(crate) fn kilograms(value: f64) -> String {
    format!("{} kg", number(value, 1))
}

/// Kilonewtons, to ten newtons.
pub(crate) fn kilonewtons(newtons: f64) -> String {
    format!("{} kN", number(newtons / 1000.0, 2))
}

/// Volts.
pub(crate) fn volts(value: f64) -> String {
    format!("{} V", number(value, 1))
}

/// A time in the unit that suits it.
pub(crate) fn time(seconds: f64) -> String {
    if seconds >= 2.0 * 86400.0 {
        format!("{} d", number(seconds / 86400.0, 1))
    } else if seconds >= 2.0 * 3600.0 {
        format!("{} h", number(seconds / 3600.0, 1))
    } else if seconds >= 120.0 {
        format!("{} min", number(seconds / 60.0, 1))
    } else {
        format!("{} s", number(seconds, 1))
    }
}

/// Value ± half-width in one unit.
pub(crate) fn with_doubt(value: f64, plus_minus: f64, unit: &str, decimals: usize) -> String {
    if plus_minus > 0.0 {
        format!(
            "{} ± {} {unit}",
            number(value, decimals),
            number(plus_minus, decimals)
        )
    } else {
        format!("{} {unit}", number(value, decimals))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_carry_no_idle_zeros() {
        assert_eq!(metres(2.5), "2.5 m");
        assert_eq!(number(-0.000_01, 2), "0");
        assert_eq!(number(1200.0, 0), "1200");
        assert_eq!(time(90.0), "90 s");
        assert_eq!(time(300.0), "5 min");
        assert_eq!(with_doubt(1.5, 0.25, "m", 2), "1.5 ± 0.25 m");
    }
}

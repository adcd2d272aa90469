//! The size of a tyre from the marking on its sidewall.

/// What a marking such as `275/65R20` tells, in metres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TyreSize {
    /// The section width.
    pub width: f64,
    /// The height of the sidewall.
    pub sidewall: f64,
    /// The diameter of the rim.
    pub rim: f64,
}

impl TyreSize {
    /// Reads width in mm, aspect ratio in percent and rim in inches; other forms of marking give `None`.
    ///
    /// This is how metric sizes are marked on the sidewall (49 CFR 575.6 and the trade's own tables; from memory).
    pub fn parse(marking: &str) -> Option<Self> {
        let marking = marking.trim_start_matches(|c: char| !c.is_ascii_digit());
        let (width, rest) = marking.split_once('/')?;
        let rest = rest.trim_start();
        let aspect = leading_number(rest)?;
        let after = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let rim =
            after.trim_start_matches(|c: char| c.is_ascii_alphabetic() || c == ' ' || c == '-');
        let (width, rim) = (leading_number(width)?, leading_number(rim)?);
        let plausible = (80.0..500.0).contains(&width)
            && (15.0..100.0).contains(&aspect)
            && (8.0..30.0).contains(&rim);
        plausible.then_some(Self {
            width: width / 1000.0,
            sidewall: width / 1000.0 * aspect / 100.0,
            rim: rim * 0.0254,
        })
    }

    /// The radius without load.
    pub fn free_radius(self) -> f64 {
        self.rim / 2.0 + self.sidewall
    }
}

fn leading_number(text: &str) -> Option<f64> {
    let end = text
        .find(|c: char| !c.is_ascii_digit() && c != '.')
        .unwrap_or(text.len());
    text.get(..end)?.parse().ok()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is the failed test")]
    use super::*;

    #[track_caller]
    fn check(marking: &str, width: f64, free_diameter_mm: f64) {
        let size = TyreSize::parse(marking).unwrap();
        assert!((size.width - width).abs() < 1e-9, "{marking}");
        // Arithmetic from the marking: rim × 25.4 + 2 × width × aspect.
        assert!(
            (size.free_radius() * 2000.0 - free_diameter_mm).abs() < 0.1,
            "{marking}"
        );
    }

    #[test]
    fn metric_markings_are_read() {
        check("275/65R20", 0.275, 865.5);
        check("LT275/65R20 126/123S", 0.275, 865.5);
        check("225/75 R 16 C", 0.225, 743.9);
        check("195/55R16 87H", 0.195, 620.9);
        check("225/75R16C", 0.225, 743.9);
    }

    #[test]
    fn other_markings_are_left_alone() {
        for marking in [
            "",
            "11R22.5",
            "tyre",
            "275/",
            "9999/65R20",
            "275/65R",
            "1/1R1",
            "/",
        ] {
            assert_eq!(TyreSize::parse(marking), None, "{marking}");
        }
    }
}

//! Pulling a dragged place onto lines that matter: the centre plane, the ground, axles and other points.

/// A line that a coordinate can be pulled onto.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Whether the line fixes the first coordinate shown (x) or the second (y or z).
    pub across: bool,
    /// Where, in metres.
    pub at: f64,
}

/// The result: the place, and the lines that it was pulled onto.
#[derive(Clone, Debug, PartialEq)]
pub struct Snapped {
    /// The two coordinates shown, in metres.
    pub flat: [f64; 2],
    /// The lines to show.
    pub lines: Vec<Line>,
}

/// Pulls each of the two coordinates onto the nearest line within `reach` metres.
pub fn snap([across, up]: [f64; 2], lines: &[Line], reach: f64) -> Snapped {
    let nearest = |value: f64, across: bool| {
        lines
            .iter()
            .filter(|line| line.across == across && (line.at - value).abs() <= reach)
            .min_by(|a, b| (a.at - value).abs().total_cmp(&(b.at - value).abs()))
            .copied()
    };
    let (x_line, up_line) = (nearest(across, true), nearest(up, false));
    Snapped {
        flat: [
            x_line.map_or(across, |l| l.at),
            up_line.map_or(up, |l| l.at),
        ],
        lines: x_line.into_iter().chain(up_line).collect(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "a line is taken over exactly")]
    use super::*;

    const LINES: [Line; 3] = [
        Line {
            across: true,
            at: 3.683,
        },
        Line {
            across: true,
            at: 3.69,
        },
        Line {
            across: false,
            at: 0.0,
        },
    ];

    #[test]
    fn each_coordinate_is_pulled_onto_the_nearest_line_within_reach() {
        let snapped = snap([3.680, 0.02], &LINES, 0.03);
        assert_eq!(snapped.flat, [3.683, 0.0]);
        assert_eq!(snapped.lines.len(), 2);
    }

    #[test]
    fn beyond_reach_nothing_moves() {
        let snapped = snap([3.5, 0.5], &LINES, 0.03);
        assert_eq!(snapped.flat, [3.5, 0.5]);
        assert!(snapped.lines.is_empty());
    }

    #[test]
    fn a_line_of_the_other_coordinate_does_not_pull() {
        assert_eq!(snap([0.01, 3.68], &LINES, 0.03).flat, [0.01, 3.68]);
    }
}

//! A wheel's line where the ground is too rough for neighbouring pieces to tell it.
//!
//! Between two dips that are close together a wheel does not reach the piece between them. Then the
//! centre's height over every x is the greatest of what each piece and each corner asks for.

use super::plane::{Chain, Vector};
use super::ride::{Span, Touch};

/// One thing that may carry the wheel, over the range of x in which it can.
#[derive(Debug, Clone, Copy)]
struct Candidate {
    touch: Touch,
    from: f64,
    to: f64,
    form: Form,
}

#[derive(Debug, Clone, Copy)]
enum Form {
    Line { start: Vector, slope: f64 },
    Arc { centre: Vector, radius: f64 },
}

impl Candidate {
    fn height(&self, x: f64) -> f64 {
        if x < self.from || x > self.to {
            return f64::NEG_INFINITY;
        }
        match self.form {
            Form::Line { start, slope } => start.z + slope * (x - start.x),
            Form::Arc { centre, radius } => {
                let aside = x - centre.x;
                centre.z + (radius * radius - aside * aside).max(0.0).sqrt()
            }
        }
    }

    fn span(&self, from: f64, to: f64) -> Span {
        match self.form {
            Form::Line { .. } => Span::Line {
                start: Vector::new(from, self.height(from)),
                end: Vector::new(to, self.height(to)),
            },
            Form::Arc { centre, radius } => {
                let angle = |x: f64| ((x - centre.x) / radius).clamp(-1.0, 1.0).asin();
                Span::Arc {
                    centre,
                    radius,
                    angles: [angle(from), angle(to)],
                }
            }
        }
    }
}

/// Rolls a wheel over any ground.
pub(super) fn rolled(ground: &Chain, radius: f64) -> Vec<(Touch, Span)> {
    let candidates = candidates(ground, radius);
    let mut marks: Vec<f64> = candidates.iter().flat_map(|c| [c.from, c.to]).collect();
    for (index, a) in candidates.iter().enumerate() {
        for b in candidates.iter().skip(index + 1) {
            crossings(a.form, b.form, &mut marks);
        }
    }
    marks.retain(|x| x.is_finite());
    marks.sort_by(f64::total_cmp);
    let mut stretches: Vec<(Candidate, f64, f64)> = Vec::new();
    for pair in marks.windows(2) {
        let &[from, to] = pair else { continue };
        let middle = from.midpoint(to);
        let highest = candidates
            .iter()
            .max_by(|a, b| a.height(middle).total_cmp(&b.height(middle)));
        let Some(highest) = highest.filter(|c| to - from > 1e-12 && c.height(middle).is_finite())
        else {
            continue;
        };
        match stretches.last_mut() {
            Some((last, _, end)) if last.touch == highest.touch => *end = to,
            _ => stretches.push((*highest, from, to)),
        }
    }
    stretches
        .iter()
        .map(|(candidate, from, to)| (candidate.touch, candidate.span(*from, *to)))
        .collect()
}

fn candidates(ground: &Chain, radius: f64) -> Vec<Candidate> {
    let mut all = Vec::with_capacity(2 * ground.pieces.len());
    for (index, piece) in ground.pieces.iter().enumerate() {
        let lifted = piece.normal * radius;
        let (start, end) = (piece.start + lifted, piece.end + lifted);
        all.push(Candidate {
            touch: Touch::Piece(index),
            from: start.x,
            to: end.x,
            form: Form::Line {
                start,
                slope: piece.along.z / piece.along.x,
            },
        });
        if index + 1 < ground.pieces.len() {
            all.push(Candidate {
                touch: Touch::CornerAfter(index),
                from: piece.end.x - radius,
                to: piece.end.x + radius,
                form: Form::Arc {
                    centre: piece.end,
                    radius,
                },
            });
        }
    }
    all
}

/// Adds every x at which two forms may cross; a wrong one costs a little time and nothing else.
fn crossings(a: Form, b: Form, marks: &mut Vec<f64>) {
    match (a, b) {
        (
            Form::Line { start, slope },
            Form::Line {
                start: other,
                slope: other_slope,
            },
        ) => {
            let apart = other.z - start.z + other_slope * (start.x - other.x);
            marks.push(start.x + apart / (slope - other_slope));
        }
        (Form::Line { start, slope }, Form::Arc { centre, radius })
        | (Form::Arc { centre, radius }, Form::Line { start, slope }) => {
            let along = Vector::new(1.0, slope).unit();
            let apart = centre - start;
            let foot = start + along * along.dot(apart);
            let aside = along.cross(apart);
            let half = (radius * radius - aside * aside).sqrt();
            marks.extend([foot.x - along.x * half, foot.x + along.x * half]);
        }
        (Form::Arc { centre, radius }, Form::Arc { centre: other, .. }) => {
            let apart = other - centre;
            let half = apart.length() / 2.0;
            let up = (radius * radius - half * half).sqrt();
            let middle = (centre + other) * 0.5;
            let square = apart.left() * (up / apart.length());
            marks.extend([middle.x - square.x, middle.x + square.x]);
        }
    }
}

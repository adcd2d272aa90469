//! Whether the arms of a two-post lift reach the points, with the vehicle at its best place between the posts.
//!
//! Seen from above the posts stand at (p, ±B/2), B their clear width. Each point is reached from the post of its side;
//! the place p is where the longest of those distances is shortest. The arm is taken to turn at the post's inner face,
//! at the height of its pads.

use std::rc::Rc;

use chockstone_mechanics::propagation::Tracked;
use chockstone_schema::{
    model::equipment::VehicleLift,
    report::{Judged, Trust},
};

use super::super::work::{Gear, Job, Known};
use super::body::all_missing;
use super::gear::{Bound, hardest};
use super::supports::Support;
use crate::checks::references::Rest;

const PLANE: Rest = ("Distance in the plane; arithmetic", Trust::Arithmetic);
const FORMULA: &str = "√((x − p)² + (B/2 − |y|)²): p the posts' place along the vehicle that keeps the longest reach shortest, B the clear width between them, the arm turning at the post's inner face";

/// Reach against the longest and the shortest arm, for what the lift states of them.
pub(super) fn rows(
    job: &mut Job<'_>,
    gear: Gear<'_>,
    lift: &VehicleLift,
    supports: &[Rc<Support>],
) -> Vec<Judged> {
    let (longest, shortest) = (&lift.longest_reach, &lift.shortest_reach);
    if supports.is_empty() || (longest.is_none() && shortest.is_none()) {
        return Vec::new();
    }
    let between = job.of(
        &gear,
        lift.between_posts.as_ref(),
        "the clear width between the posts",
        "/vehicle_lift/between_posts",
    );
    let reaches = between.and_then(|between| reaches(&between, supports));
    let limits = [
        ("arm-reach", "longest", longest, Bound::AtMost),
        ("arm-shortest-reach", "shortest", shortest, Bound::AtLeast),
    ];
    let mut rows = Vec::new();
    for (name, which, stated, bound) in limits {
        if stated.is_none() {
            continue;
        }
        let pointer = format!("/vehicle_lift/{which}_reach");
        let limit = job.of(
            &gear,
            stated.as_ref(),
            &format!("the {which} reach"),
            &pointer,
        );
        let (label, reach) = told(&reaches, supports, bound, &limit);
        let row = job.row(name, label, &reach, "m", FORMULA, PLANE);
        let from = gear.place(&pointer);
        rows.push(match bound {
            Bound::AtMost => row.at_most(&limit, from),
            Bound::AtLeast => row.at_least(&limit, from),
        });
    }
    rows
}

/// The reach that is hardest on a limit, with its label.
fn told(
    reaches: &Result<Vec<Tracked>, Vec<String>>,
    supports: &[Rc<Support>],
    bound: Bound,
    limit: &Known,
) -> (String, Known) {
    let all = reaches.as_ref().map_err(Clone::clone);
    let chosen = all.and_then(|reaches| {
        let intervals = reaches.iter().map(|r| Some(r.uncertain().interval()));
        let index = hardest(intervals, bound, limit);
        let found = index.and_then(|i| supports.get(i).zip(reaches.get(i)));
        found.ok_or_else(Vec::new)
    });
    match chosen {
        Ok((support, reach)) => {
            let label = format!("Reach of the arm to “{}”", support.words);
            (label, Ok(reach.clone()))
        }
        Err(sentences) => ("Reach of the arms".to_owned(), Err(sentences)),
    }
}

/// The distance of every support from its post, the posts at their best place along the vehicle.
fn reaches(between: &Tracked, supports: &[Rc<Support>]) -> Result<Vec<Tracked>, Vec<String>> {
    let across: Vec<Tracked> = supports
        .iter()
        .map(|support| {
            let y = &support.spot.y;
            let outward = if y.value() < 0.0 { -y } else { y.clone() };
            between / 2.0 - outward
        })
        .collect();
    let places: Vec<(f64, f64)> = supports
        .iter()
        .zip(&across)
        .map(|(support, across)| (support.x(), across.value()))
        .collect();
    let Some(best) = best_place(&places) else {
        return Err(all_missing([]));
    };
    let along = best.tracked(supports, &across);
    Ok(supports
        .iter()
        .zip(&across)
        .map(|(support, across)| {
            let x = &support.spot.x - &along;
            let square = &x * &x + across * across;
            // Straight under the post the square root has no slope; the reach then is zero, exactly.
            if square.value() > 0.0 {
                square.sqrt()
            } else {
                Tracked::exact(0.0)
            }
        })
        .collect())
}

/// Where the posts stand best: beside one support, or as far from one as from another.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Best {
    Beside(usize),
    Between(usize, usize),
}

impl Best {
    fn plain(self, places: &[(f64, f64)]) -> Option<f64> {
        match self {
            Self::Beside(i) => places.get(i).map(|(x, _)| *x),
            Self::Between(i, j) => {
                let (one, other) = (places.get(i)?, places.get(j)?);
                let apart = other.0 - one.0;
                let farther = other.1 * other.1 - one.1 * one.1;
                let middle = f64::midpoint(one.0, other.0);
                (apart.abs() > 1e-9).then(|| middle + farther / (2.0 * apart))
            }
        }
    }

    fn tracked(self, supports: &[Rc<Support>], across: &[Tracked]) -> Tracked {
        let x = |i: usize| supports.get(i).map(|s| s.spot.x.clone());
        let found = match self {
            Self::Beside(i) => x(i),
            Self::Between(i, j) => x(i).zip(x(j)).map(|(one, other)| {
                let square = |at: usize| across.get(at).map(|d| d * d);
                let farther = square(j).zip(square(i)).map(|(far, near)| far - near);
                let farther = farther.unwrap_or(Tracked::exact(0.0));
                (&one + &other) / 2.0 + farther / ((other - one) * 2.0)
            }),
        };
        found.unwrap_or(Tracked::exact(0.0))
    }
}

/// The place with the least longest distance: one of the feet and bisectors, since the distance is convex.
fn best_place(places: &[(f64, f64)]) -> Option<Best> {
    let count = places.len();
    let pairs = (0..count).flat_map(|i| (i + 1..count).map(move |j| Best::Between(i, j)));
    let longest = |p: f64| {
        let reach = places.iter().map(|(x, across)| (x - p).hypot(*across));
        reach.fold(0.0, f64::max)
    };
    (0..count)
        .map(Best::Beside)
        .chain(pairs)
        .filter_map(|best| Some((longest(best.plain(places)?), best)))
        .min_by(|(a, _), (b, _)| a.total_cmp(b))
        .map(|(_, best)| best)
}

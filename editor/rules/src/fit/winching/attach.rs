//! Where the line is made fast on the vehicle: a single point, or a pair of points with a bridle.

use chockstone_mechanics::{
    propagation::Tracked,
    winching::{Bridle, BridleLegs, Cone, MIN_LEG_ANGLE, bridle, nearest_cone},
};
use chockstone_schema::{
    model::point::{Fitting, Point, PointUse, Toward},
    report::{Facing, Judged, Trust, Verdict},
};

use crate::{
    checks::references::Rest,
    fit::{
        Job,
        carrying::{missing_of, with},
        work::{Gear, Known, missing, refused},
    },
};

const BRIDLE: Rest = (
    "Sling load-factor charts: tension = pull / (2 x sine of the leg's angle); never below 30 degrees",
    Trust::SecondHand,
);
const SINGLE: Rest = ("Statics: the point carries the pull", Trust::Arithmetic);
const DIRECTION: Rest = (
    "Geometry: line from the point to the fairlead when the vehicle stands at the foot of the deck",
    Trust::Arithmetic,
);

/// The ways in which the line can be made fast, the preferred first, or why it cannot be.
///
/// A bridle that was given is preferred, then the way that uses the points least.
pub(super) struct Attachment {
    ways: Result<Vec<Way>, Vec<String>>,
}

/// One way to make it fast.
struct Way {
    label: String,
    point: usize,
    /// What the point, or each of the pair, carries of the pull.
    share: Known,
    rating: Known,
    /// With a bridle: the angle of its legs and what they may carry, with its place.
    legs: Option<Legs>,
    /// Angle to the middle of the nearest allowed cone, and that cone's half angle.
    lean: Option<(f64, Known)>,
    /// For the order of preference: the use of the rating per newton, more without a bridle, most the wrong way.
    score: f64,
}

struct Legs {
    angle: Known,
    rating: Known,
    place: String,
}

/// Finds the ways to make the line fast.
pub(super) fn ways(job: &mut Job<'_>, winch: Gear<'_>) -> Attachment {
    let profile = job.view.profile;
    let rise = elevation(job, winch);
    let bridles: Vec<Gear<'_>> = super::having(job, |gear| gear.equipment.bridle.is_some());
    let mut ways = Vec::new();
    for (index, point) in profile.points.iter().enumerate() {
        if !is_usable(job, point) {
            continue;
        }
        let fitting = |gear: &&Gear<'_>| {
            let bridle = gear.equipment.bridle.as_ref();
            point.mirrored && bridle.is_some_and(|b| fits(&b.fittings, &point.fittings))
        };
        let fitting_ones: Vec<Gear<'_>> = bridles.iter().filter(fitting).copied().collect();
        for gear in fitting_ones.iter().copied() {
            ways.push(with_bridle(job, index, point, gear, rise));
        }
        if fitting_ones.is_empty() {
            ways.push(single(job, index, point, rise));
        }
    }
    ways.sort_by(|a, b| a.score.total_cmp(&b.score));
    let end = end_words(job.choices.facing);
    Attachment {
        ways: if ways.is_empty() {
            Err(vec![format!(
                "Points: none of the vehicle's points at its {end} may be winched at; /points needs one with the use winch."
            )])
        } else {
            Ok(ways)
        },
    }
}

fn end_words(facing: Facing) -> &'static str {
    match facing {
        Facing::NoseFirst => "front",
        Facing::TailFirst => "rear",
    }
}

/// The vehicle's way along x as it is pulled.
fn ahead(facing: Facing) -> f64 {
    match facing {
        Facing::NoseFirst => -1.0,
        Facing::TailFirst => 1.0,
    }
}

/// Whether a point may be winched at, exists in the variant, and lies at the end that goes first.
fn is_usable(job: &Job<'_>, point: &Point) -> bool {
    let middle = job.view.last_axle().unwrap_or(0.0) / 2.0;
    let is_ahead = (point.place.x.si() - middle) * ahead(job.choices.facing) > 0.0;
    point.uses.contains(&PointUse::Winch)
        && !point.forbidden.contains(&PointUse::Winch)
        && job.view.has(&point.variants)
        && is_ahead
}

/// Whether two lists of fittings have one in common; an empty list says nothing.
pub(in crate::fit) fn fits(given: &[Fitting], taken: &[Fitting]) -> bool {
    given.is_empty() || taken.is_empty() || given.iter().any(|fitting| taken.contains(fitting))
}

/// How steeply the line rises from a point near the ground at the foot of the tilted deck to the fairlead, radians;
/// along the ground where the deck's length, angle or fairlead is not stated.
fn elevation(job: &Job<'_>, winch: Gear<'_>) -> f64 {
    let deck = winch.equipment.deck.as_ref();
    let stated = deck.and_then(|deck| {
        let height = winch.equipment.winch.as_ref()?.height.as_ref()?.si();
        Some((
            deck.length.as_ref()?.si(),
            deck.tilt_angle.as_ref()?.si(),
            height,
        ))
    });
    let Some((length, tilt, height)) = stated else {
        return 0.0;
    };
    let usual_point = job
        .view
        .ground_clearance
        .as_ref()
        .map_or(0.2, crate::view::At::si);
    let (sine, cosine) = tilt.sin_cos();
    (length * sine + height * cosine - usual_point).atan2(length * cosine)
}

fn rating(job: &mut Job<'_>, index: usize, point: &Point) -> Known {
    let pointer = format!("/points/{index}/rating");
    let Some(rating) = &point.rating else {
        return Err(missing(
            &format!("the rating of the point {}", point.id),
            &pointer,
        ));
    };
    job.number(
        &pointer,
        "N",
        rating.si(),
        rating.plus_minus_si().unwrap_or(0.0),
    )
}

fn single(job: &mut Job<'_>, index: usize, point: &Point, rise: f64) -> Way {
    let ahead = ahead(job.choices.facing);
    let pull = [ahead * rise.cos(), 0.0, rise.sin()];
    way(
        job,
        index,
        point,
        pull,
        (
            format!("Load of the point {}", point.id),
            Ok(Tracked::exact(1.0)),
            None,
        ),
    )
}

fn with_bridle(job: &mut Job<'_>, index: usize, point: &Point, gear: Gear<'_>, rise: f64) -> Way {
    let legs = legs(job, index, point, gear, rise);
    let (angle, share) = match &legs {
        Ok(legs) => (Ok(legs.angle.clone()), Ok(legs.right.clone())),
        Err(sentences) => (Err(sentences.clone()), Err(sentences.clone())),
    };
    let ahead = ahead(job.choices.facing);
    // The bridle's directions: along the pull, to the side, up. Both points are alike, so the right one stands for both.
    let pull = legs.as_ref().map_or([ahead, 0.0, 0.0], |legs| {
        let [along, _, up] = legs.right_direction;
        let inward = legs.left_direction[1].abs();
        [ahead * along, -inward, up]
    });
    let rating = gear.equipment.bridle.as_ref().map_or_else(
        || Err(missing("the bridle", &gear.place("/bridle"))),
        |bridle| {
            job.of(
                &gear,
                bridle.leg_rating.as_ref(),
                "the working load limit of a bridle leg",
                "/bridle/leg_rating",
            )
        },
    );
    let label = format!("Load of each point {}, with {}", point.id, gear.id());
    let bridle = Legs {
        angle,
        rating,
        place: gear.place("/bridle/leg_rating"),
    };
    way(job, index, point, pull, (label, share, Some(bridle)))
}

/// The legs of the bridle under a pull of one newton.
fn legs(
    job: &mut Job<'_>,
    index: usize,
    point: &Point,
    gear: Gear<'_>,
    rise: f64,
) -> Result<BridleLegs, Vec<String>> {
    let length = gear.equipment.bridle.as_ref().map_or_else(
        || Err(missing("the bridle", &gear.place("/bridle"))),
        |bridle| {
            job.of(
                &gear,
                bridle.leg_length.as_ref(),
                "the length of a bridle leg",
                "/bridle/leg_length",
            )
        },
    );
    let spread = place_plus_minus(point);
    let y = job.number(
        &format!("/points/{index}/place/y"),
        "m",
        point.place.y.si().abs(),
        spread,
    );
    match (&length, &y) {
        (Ok(length), Ok(y)) => bridle(&Bridle {
            spread: y * 2.0,
            leg_length: length.clone(),
            pull: Tracked::exact(1.0),
            off_centre: Tracked::exact(0.0),
            elevation: Tracked::exact(rise),
        })
        .map_err(|error| refused(&error)),
        _ => Err(missing_of(&[&length, &y])),
    }
}

/// The ± half-width of a point's coordinates, m.
pub(in crate::fit) fn place_plus_minus(point: &Point) -> f64 {
    point
        .place_plus_minus
        .map_or(0.0, chockstone_schema::quantity::Quantity::si)
}

/// Puts a way together: direction, rating and rank.
fn way(
    job: &mut Job<'_>,
    index: usize,
    point: &Point,
    pull: [f64; 3],
    (label, share, legs): (String, Known, Option<Legs>),
) -> Way {
    let rating = rating(job, index, point);
    let side = if point.mirrored {
        1.0
    } else {
        point.place.y.si().signum()
    };
    let fit = nearest_cone(pull, &cones(point, side)).ok().flatten();
    let lean = fit.map(|fit| {
        let pointer = format!("/points/{index}/directions/{}/within", fit.cone);
        (fit.angle, job.number(&pointer, "rad", fit.allowed, 0.0))
    });
    let wrong_way = fit.is_some_and(|fit| !fit.is_inside());
    let used = match (&share, &rating) {
        (Ok(share), Ok(rating)) => share.value() / rating.value(),
        _ => 1.0,
    };
    let rank = if legs.is_some() { 0.0 } else { 1.0 };
    Way {
        label,
        point: index,
        share,
        rating,
        legs,
        lean,
        score: used + rank + if wrong_way { 10.0 } else { 0.0 },
    }
}

impl Way {
    /// Whether the values alone keep to every limit; no verdict, only for choosing between ways.
    fn keeps(&self, pull: &Known) -> bool {
        let (Ok(pull), Ok(share), Ok(rating)) = (pull, &self.share, &self.rating) else {
            return false;
        };
        let load = pull.value() * share.value();
        let legs_keep = self.legs.as_ref().is_none_or(|legs| {
            let strong = legs
                .rating
                .as_ref()
                .is_ok_and(|rating| load <= rating.value());
            let steep = legs
                .angle
                .as_ref()
                .is_ok_and(|a| a.value() >= MIN_LEG_ANGLE);
            strong && steep
        });
        let lean_keeps = self.lean.as_ref().is_none_or(|(angle, allowed)| {
            allowed
                .as_ref()
                .is_ok_and(|allowed| *angle <= allowed.value())
        });
        load <= rating.value() && legs_keep && lean_keeps
    }
}

/// The directions in which a point may be loaded, in the vehicle's frame; `side` is 1 for its right side.
pub(in crate::fit) fn cones(point: &Point, side: f64) -> Vec<Cone> {
    point
        .directions
        .iter()
        .map(|direction| Cone {
            axis: match direction.toward {
                Toward::Forward => [-1.0, 0.0, 0.0],
                Toward::Rearward => [1.0, 0.0, 0.0],
                Toward::Outboard => [0.0, side, 0.0],
                Toward::Inboard => [0.0, -side, 0.0],
                Toward::Up => [0.0, 0.0, 1.0],
                Toward::Down => [0.0, 0.0, -1.0],
            },
            half_angle: direction.within.si(),
        })
        .collect()
}

impl Attachment {
    /// The rows for a pull on the vehicle.
    pub(super) fn rows(&self, job: &Job<'_>, pull: &Known) -> Vec<Judged> {
        let way = match &self.ways {
            Ok(ways) => ways.iter().find(|way| way.keeps(pull)).or(ways.first()),
            Err(_) => None,
        };
        let way = match (way, &self.ways) {
            (Some(way), _) => way,
            (None, ways) => {
                let none = Err(ways.as_ref().err().cloned().unwrap_or_default());
                let row = job.row(
                    "point-load",
                    "Load of the vehicle's point",
                    &none,
                    "N",
                    "",
                    SINGLE,
                );
                let mut row = row.told();
                row.verdict = Some(Verdict::NotKnown);
                return vec![row];
            }
        };
        let load = with(pull, &way.share, |pull, share| pull * share);
        let mut rows = Vec::new();
        let mut formula = ("pull", SINGLE);
        if let Some(legs) = &way.legs {
            formula = ("pull / (2 x sine of the leg's angle)", BRIDLE);
            rows.push(
                job.row(
                    "bridle-angle",
                    "Angle of the bridle's legs to the line between the points",
                    &legs.angle,
                    "rad",
                    "arc tangent of the bridle's reach over half the distance of the points",
                    BRIDLE,
                )
                .at_least(
                    &Ok(Tracked::exact(MIN_LEG_ANGLE)),
                    "30 degrees, the least of sling charts",
                ),
            );
            rows.push(
                job.row(
                    "bridle-leg",
                    "Tension of each bridle leg",
                    &load,
                    "N",
                    formula.0,
                    BRIDLE,
                )
                .at_most(&legs.rating, legs.place.clone()),
            );
        }
        rows.push(
            job.row(
                "point-load",
                way.label.clone(),
                &load,
                "N",
                formula.0,
                formula.1,
            )
            .at_most(&way.rating, format!("/points/{}/rating", way.point)),
        );
        if let Some((angle, allowed)) = &way.lean {
            let label = "Angle of the pull to the middle of the directions allowed";
            let angle = Ok(Tracked::exact(*angle));
            rows.push(
                job.row(
                    "point-direction",
                    label,
                    &angle,
                    "rad",
                    "arc cosine of the pull along the middle of the directions",
                    DIRECTION,
                )
                .at_most(allowed, format!("/points/{}/directions", way.point)),
            );
        }
        rows
    }
}

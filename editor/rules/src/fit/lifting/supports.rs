//! Where the vehicle is carried: its points, on both sides where they are mirrored, and its wheels.

use std::rc::Rc;

use chockstone_mechanics::{
    STANDARD_GRAVITY,
    lifting::{Corner, Spot, Wheels},
    propagation::Tracked,
};
use chockstone_schema::{
    model::point::{Point, PointKind, PointUse},
    report::Side,
};

use super::super::work::{Job, Known, capital};
use super::body::all_missing;
use crate::view::At;

/// The least number of places on which a vehicle stands.
pub(super) const LEAST_SUPPORTS: usize = 3;

/// Nearer to the centre plane than this, in m, a point is in the middle.
const MIDDLE: f64 = 1e-6;

/// One place that carries the vehicle.
#[derive(Clone, Debug)]
pub(super) struct Support {
    /// What it is, with its side, in words.
    pub(super) words: String,
    /// The id of the point or axle.
    pub(super) id: String,
    pub(super) side: Side,
    pub(super) spot: Spot,
    /// Above the ground with the vehicle on its wheels, in m.
    pub(super) height: Known,
    /// The most that it may carry in kg, where a source states it, and the pointer of that.
    pub(super) rating: Option<(Known, String)>,
    pub(super) is_wheel: bool,
}

impl Support {
    pub(super) fn x(&self) -> f64 {
        self.spot.x.value()
    }

    pub(super) fn y(&self) -> f64 {
        self.spot.y.value()
    }
}

/// The lift points that are used all at once.
pub(super) fn lift_points(job: &mut Job<'_>) -> Vec<Rc<Support>> {
    preferred(job, PointKind::Lift, PointUse::Lift)
}

/// The places for stands that are used all at once.
pub(super) fn stand_points(job: &mut Job<'_>) -> Vec<Rc<Support>> {
    preferred(job, PointKind::Stand, PointUse::Stand)
}

/// The places for jacks.
pub(super) fn jack_points(job: &mut Job<'_>) -> Vec<Rc<Support>> {
    preferred(job, PointKind::Jack, PointUse::Jack)
}

/// The points of a kind where they are enough, else also those that may be used so: a vehicle stands on one set.
fn preferred(job: &mut Job<'_>, kind: PointKind, usage: PointUse) -> Vec<Rc<Support>> {
    let by_kind = points(job, |point| {
        point.kind == kind && !point.forbidden.contains(&usage)
    });
    if by_kind.len() >= LEAST_SUPPORTS {
        return by_kind;
    }
    points(job, |point| {
        (point.kind == kind || point.uses.contains(&usage)) && !point.forbidden.contains(&usage)
    })
}

fn points(job: &mut Job<'_>, is_wanted: impl Fn(&Point) -> bool) -> Vec<Rc<Support>> {
    let view = job.view;
    let all = view.profile.points.iter().enumerate();
    let wanted = all.filter(|(_, point)| view.has(&point.variants) && is_wanted(point));
    wanted
        .flat_map(|(index, point)| at_point(job, index, point))
        .collect()
}

/// A point as one support, or two where it is mirrored: both sides move together with its uncertainty.
fn at_point(job: &mut Job<'_>, index: usize, point: &Point) -> Vec<Rc<Support>> {
    let place = format!("/points/{index}/place");
    let plus_minus = point
        .place_plus_minus
        .map_or(0.0, chockstone_schema::quantity::Quantity::metres);
    let mut coordinate =
        |axis: &str, value: f64| job.number(&format!("{place}/{axis}"), "m", value, plus_minus);
    let x = coordinate("x", point.place.x.metres());
    let y = coordinate("y", point.place.y.metres());
    let height = match point.place.z {
        Some(z) => coordinate("z", z.metres()),
        None => Err(super::super::work::missing(
            "the height of the point",
            &format!("{place}/z"),
        )),
    };
    let (Ok(x), Ok(y)) = (x, y) else {
        return Vec::new();
    };
    let rating = rating(job, index, point);
    let name = point.name.pick([&job.view.profile.language]);
    let other = point.mirrored.then(|| -&y);
    std::iter::once(y)
        .chain(other)
        .map(|y| Support {
            words: format!("{name}{}", side_words(side(&y))),
            id: point.id.to_string(),
            side: side(&y),
            spot: Spot::new(x.clone(), y),
            height: height.clone(),
            rating: rating.clone(),
            is_wheel: false,
        })
        .map(Rc::new)
        .collect()
}

/// A point's rating as a load in kg.
fn rating(job: &mut Job<'_>, index: usize, point: &Point) -> Option<(Known, String)> {
    let at = At {
        value: point.rating.as_ref()?,
        place: format!("/points/{index}/rating"),
    };
    let newtons = job.own(Some(&at), "the rating of the point", &at.place);
    Some((newtons.map(|force| force / STANDARD_GRAVITY), at.place))
}

fn side(y: &Tracked) -> Side {
    if y.value().abs() <= MIDDLE {
        Side::Middle
    } else if y.value() < 0.0 {
        Side::Left
    } else {
        Side::Right
    }
}

fn side_words(side: Side) -> &'static str {
    match side {
        Side::Left => ", left",
        Side::Middle => "",
        Side::Right => ", right",
    }
}

/// The four wheels of a two-axle vehicle, or what is missing of their places.
pub(super) fn wheels(job: &mut Job<'_>) -> Result<Wheels, Vec<String>> {
    let view = job.view;
    let [front, rear] = view.axles.as_slice() else {
        return Err(vec![format!(
            "The loads of a jacked vehicle are computed for two axles; /axles has {}.",
            view.axles.len()
        )]);
    };
    let wheelbase = job.axle_x(1);
    let front = job.own(
        front.track.as_ref(),
        "the track of the front axle",
        "/axles/0/track",
    );
    let rear = job.own(
        rear.track.as_ref(),
        "the track of the rear axle",
        "/axles/1/track",
    );
    match (wheelbase, front, rear) {
        (Ok(wheelbase), Ok(front), Ok(rear)) => Wheels::new(wheelbase, &front, &rear)
            .map_err(|error| vec![format!("Impossible: {error}.")]),
        (wheelbase, front, rear) => Err(all_missing([&wheelbase, &front, &rear])),
    }
}

/// A wheel as a support.
pub(super) fn wheel(job: &Job<'_>, corner: Corner, spot: Spot) -> Support {
    let axle = job.view.axles.get(usize::from(!corner.is_front()));
    Support {
        words: format!("{} wheel", capital(&corner.to_string())),
        id: axle.map_or_else(String::new, |a| a.axle.id.to_string()),
        side: side(&spot.y),
        spot,
        height: Ok(Tracked::exact(0.0)),
        rating: None,
        is_wheel: true,
    }
}

//! A corner, a side or an end raised at the jack points, the other wheels on the ground.

use std::rc::Rc;

use chockstone_mechanics::lifting::{self as statics, Corner, Raised, Spot, Wheels};
use chockstone_schema::{
    model::equipment::Jack,
    report::{Judged, LiftWay, LiftingResult},
};

use super::super::work::{Gear, Job, capital};
use super::body::Body;
use super::case::{BALANCE, Case, POINT_HEIGHT, Solved};
use super::supports::{Support, jack_points, wheel, wheels};

/// Nearer to the centre plane than this, in m, one jack raises an end.
const CENTRAL: f64 = 0.15;

/// The ways of raising a part of the vehicle, with what is raised.
const WAYS: [(LiftWay, Raised); 8] = [
    (LiftWay::FrontLeft, Raised::Corner(Corner::FrontLeft)),
    (LiftWay::FrontRight, Raised::Corner(Corner::FrontRight)),
    (LiftWay::RearLeft, Raised::Corner(Corner::RearLeft)),
    (LiftWay::RearRight, Raised::Corner(Corner::RearRight)),
    (LiftWay::LeftSide, Raised::LeftSide),
    (LiftWay::RightSide, Raised::RightSide),
    (LiftWay::FrontEnd, Raised::FrontEnd),
    (LiftWay::RearEnd, Raised::RearEnd),
];

/// Every way of raising a part of the vehicle that its jack points allow.
pub(super) fn cases(job: &mut Job<'_>) -> Vec<Case> {
    let points = jack_points(job);
    let body = Rc::new(Body::of(job));
    let Ok(wheels) = wheels(job) else {
        return Vec::new();
    };
    let grounded = all_wheels(job, &wheels);
    let choose = |raised| chosen(&points, &wheels, &body, raised);
    WAYS.iter()
        .filter_map(|&(way, raised)| {
            let jacks = choose(raised).filter(|jacks| !jacks.is_empty())?;
            let title = title(raised, jacks.len());
            Some(Case {
                way,
                title,
                equipment: None,
                taken_out: Vec::new(),
                body: body.clone(),
                supports: with_wheels(&grounded, raised, &jacks),
            })
        })
        .collect()
}

/// Every way with one jack against that jack.
pub(super) fn on(job: &mut Job<'_>, gear: Gear<'_>, jack: &Jack) -> Vec<LiftingResult> {
    let name = gear
        .equipment
        .name
        .pick([&gear.equipment.language])
        .to_owned();
    let one_jack = |case: &Case| case.supports.iter().filter(|s| !s.is_wheel).count() == 1;
    cases(job)
        .into_iter()
        .filter(one_jack)
        .map(|mut case| {
            case.title = format!("{}, with “{name}”", case.title);
            case.equipment = Some(gear.id().to_owned());
            let solved = case.solved();
            let rows = rows(job, gear, jack, &solved);
            solved.finish(job, rows)
        })
        .collect()
}

fn rows(job: &mut Job<'_>, gear: Gear<'_>, jack: &Jack, solved: &Solved) -> Vec<Judged> {
    let capacity = job.of(
        &gear,
        jack.capacity.as_ref(),
        "the capacity of the jack",
        "/jack/capacity",
    );
    let lowest = job.of(
        &gear,
        jack.lowest.as_ref(),
        "the lowest height of the jack",
        "/jack/lowest",
    );
    let supports = &solved.case.supports;
    let Some((index, jacked)) = supports.iter().enumerate().find(|(_, s)| !s.is_wheel) else {
        return Vec::new();
    };
    let label = format!("Load on the jack at “{}”", jacked.words);
    let load = solved.load(job, index, "jack-load", label);
    let label = format!("Height of “{}” over the lowered jack", jacked.words);
    let height = job.row(
        "jack-height",
        label,
        &jacked.height,
        "m",
        POINT_HEIGHT,
        BALANCE,
    );
    vec![
        load.at_most(&capacity, gear.place("/jack/capacity")),
        height.at_least(&lowest, gear.place("/jack/lowest")),
    ]
}

fn title(raised: Raised, jacks: usize) -> String {
    let what = match raised {
        Raised::Corner(corner) => format!("{corner} corner"),
        Raised::LeftSide => "left side".to_owned(),
        Raised::RightSide => "right side".to_owned(),
        Raised::FrontEnd => "front end".to_owned(),
        Raised::RearEnd => "rear end".to_owned(),
    };
    let on = if jacks == 1 {
        "one jack"
    } else {
        "a jack or stand at each side"
    };
    format!("{} on {on}", capital(&what))
}

/// The jack points that a way takes.
fn chosen(
    points: &[Rc<Support>],
    wheels: &Wheels,
    body: &Body,
    raised: Raised,
) -> Option<Vec<Rc<Support>>> {
    let one = |point: Option<&Rc<Support>>| point.map(|p| vec![Rc::clone(p)]);
    match raised {
        Raised::Corner(corner) => one(at_corner(points, wheels, corner)),
        Raised::LeftSide => one(at_side(points, wheels, body, raised, -1.0)),
        Raised::RightSide => one(at_side(points, wheels, body, raised, 1.0)),
        Raised::FrontEnd => at_end(points, wheels, [Corner::FrontLeft, Corner::FrontRight]),
        Raised::RearEnd => at_end(points, wheels, [Corner::RearLeft, Corner::RearRight]),
    }
}

/// The jack point nearest to a wheel, in its quarter of the vehicle.
fn at_corner<'s>(
    points: &'s [Rc<Support>],
    wheels: &Wheels,
    corner: Corner,
) -> Option<&'s Rc<Support>> {
    let spot = wheels.spot(corner);
    let (x, y) = (spot.x.value(), spot.y.value());
    let in_quarter = |p: &&Rc<Support>| is_front(p, wheels) == corner.is_front() && p.y() * y > 0.0;
    let distance = |p: &Rc<Support>| (p.x() - x).hypot(p.y() - y);
    points
        .iter()
        .filter(in_quarter)
        .filter(|p| p.y().abs() > CENTRAL)
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
}

fn is_front(point: &Support, wheels: &Wheels) -> bool {
    point.x() < wheels.spot(Corner::RearLeft).x.value() / 2.0
}

/// The jack point of a side at which the vehicle stands steadiest; `sign` is that of y there.
fn at_side<'s>(
    points: &'s [Rc<Support>],
    wheels: &Wheels,
    body: &Body,
    raised: Raised,
    sign: f64,
) -> Option<&'s Rc<Support>> {
    let centre = body.centre().ok();
    let margin = |point: &Support| {
        let supports = wheels
            .jacked(raised, std::slice::from_ref(&point.spot))
            .ok()?;
        let spots: Vec<Spot> = supports.into_iter().map(|s| s.spot).collect();
        let stability = statics::stability(centre.as_ref()?, &spots).ok()?;
        Some(stability.smallest.margin.value())
    };
    let spare = |point: &Rc<Support>| margin(point).unwrap_or(f64::NEG_INFINITY);
    points
        .iter()
        .filter(|p| p.y() * sign > CENTRAL)
        .max_by(|a, b| spare(a).total_cmp(&spare(b)))
}

/// The jack points of an end: one in the middle, or one on either side.
fn at_end(
    points: &[Rc<Support>],
    wheels: &Wheels,
    corners: [Corner; 2],
) -> Option<Vec<Rc<Support>>> {
    let [left, right] = corners;
    let central = points
        .iter()
        .find(|p| p.y().abs() <= CENTRAL && is_front(p, wheels) == left.is_front());
    if let Some(central) = central {
        return Some(vec![central.clone()]);
    }
    let left = at_corner(points, wheels, left)?;
    let right = at_corner(points, wheels, right)?;
    Some(vec![left.clone(), right.clone()])
}

/// Every wheel as a support, with its corner.
pub(super) fn all_wheels(job: &Job<'_>, wheels: &Wheels) -> Vec<(Corner, Rc<Support>)> {
    let corners = Corner::ALL.into_iter();
    corners
        .map(|corner| (corner, Rc::new(wheel(job, corner, wheels.spot(corner)))))
        .collect()
}

/// Jacks first, then the wheels that stay on the ground.
pub(super) fn with_wheels(
    wheels: &[(Corner, Rc<Support>)],
    raised: Raised,
    jacks: &[Rc<Support>],
) -> Vec<Rc<Support>> {
    let grounded = wheels.iter().filter(|(corner, _)| !raised.raises(*corner));
    let wheels = grounded.map(|(_, wheel)| wheel);
    jacks.iter().chain(wheels).map(Rc::clone).collect()
}

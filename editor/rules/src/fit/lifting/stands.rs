//! The vehicle, or one end of it, on stands.

use std::rc::Rc;

use chockstone_mechanics::lifting::{Corner, Raised, Wheels};
use chockstone_schema::{
    model::equipment::Stands,
    report::{Judged, LiftWay, LiftingResult},
};

use super::super::work::{Gear, Job};
use super::body::Body;
use super::case::{Case, Solved};
use super::gear::{Bound, hardest};
use super::jacks::{all_wheels, with_wheels};
use super::supports::{LEAST_SUPPORTS, Support, stand_points, wheels};

/// The whole vehicle and each end on the stands, as far as there are stands and places enough.
pub(super) fn on(job: &mut Job<'_>, gear: Gear<'_>, stands: &Stands) -> Vec<LiftingResult> {
    let points = stand_points(job);
    let body = Rc::new(Body::of(job));
    let name = gear
        .equipment
        .name
        .pick([&gear.equipment.language])
        .to_owned();
    let case = |way, what: &str, supports| Case {
        way,
        title: format!("{what}, with “{name}”"),
        equipment: Some(gear.id().to_owned()),
        taken_out: Vec::new(),
        body: body.clone(),
        supports,
    };
    let count = usize::from(stands.count);
    let mut cases = Vec::new();
    if (LEAST_SUPPORTS..=count).contains(&points.len()) {
        cases.push(case(LiftWay::Stands, "On stands", points.clone()));
    }
    if let Ok(wheels) = wheels(job) {
        let grounded = all_wheels(job, &wheels);
        for (way, raised, what) in [
            (LiftWay::FrontEnd, Raised::FrontEnd, "Front end on stands"),
            (LiftWay::RearEnd, Raised::RearEnd, "Rear end on stands"),
        ] {
            let at_end = of_end(&points, &wheels, raised);
            if (2..=count).contains(&at_end.len()) {
                let supports = with_wheels(&grounded, raised, &at_end);
                cases.push(case(way, what, supports));
            }
        }
    }
    cases
        .into_iter()
        .map(|case| {
            let solved = case.solved();
            let rows = rows(job, gear, stands, &solved);
            solved.finish(job, rows)
        })
        .collect()
}

/// The places of the front or rear half.
fn of_end(points: &[Rc<Support>], wheels: &Wheels, raised: Raised) -> Vec<Rc<Support>> {
    let middle = wheels.spot(Corner::RearLeft).x.value() / 2.0;
    let is_front = raised == Raised::FrontEnd;
    let of_end = points.iter().filter(|p| (p.x() < middle) == is_front);
    of_end.cloned().collect()
}

fn rows(job: &mut Job<'_>, gear: Gear<'_>, stands: &Stands, solved: &Solved) -> Vec<Judged> {
    let capacity = job.of(
        &gear,
        stands.capacity.as_ref(),
        "the capacity of a stand",
        "/stands/capacity",
    );
    let supports = || {
        let all = solved.case.supports.iter().enumerate();
        all.filter(|(_, support)| !support.is_wheel)
    };
    let intervals = supports().map(|(index, _)| solved.interval(index));
    let hardest = hardest(intervals, Bound::AtMost, &capacity).and_then(|n| supports().nth(n));
    hardest
        .map(|(index, support)| {
            let label = format!("Load on the stand at “{}”", support.words);
            let load = solved.load(job, index, "stand-load", label);
            load.at_most(&capacity, gear.place("/stands/capacity"))
        })
        .into_iter()
        .collect()
}

//! The vehicle on a vehicle lift: arms under its lift points, or runways under its wheels.

use std::rc::Rc;

use chockstone_schema::{
    model::equipment::{LiftKind, VehicleLift},
    report::{Judged, LiftWay, LiftingResult},
};

use super::super::work::{Gear, Job};
use super::body::Body;
use super::case::{BALANCE, Case, POINT_HEIGHT, Solved};
use super::gear::{Bound, hardest, interval};
use super::jacks::all_wheels;
use super::supports::{Support, wheels};
use super::{at_lift_points, pads, reach};

/// The vehicle on one lift, as it stands and, on arms, with each heavy part taken out.
pub(super) fn on(job: &mut Job<'_>, gear: Gear<'_>, lift: &VehicleLift) -> Vec<LiftingResult> {
    let name = gear
        .equipment
        .name
        .pick([&gear.equipment.language])
        .to_owned();
    let has_arms = lift.kind == LiftKind::TwoPost;
    let cases = if has_arms {
        at_lift_points(job)
    } else {
        vec![on_wheels(job)]
    };
    cases
        .into_iter()
        .map(|mut case| {
            case.title = format!("{}, with “{name}”", case.title);
            case.equipment = Some(gear.id().to_owned());
            let solved = case.solved();
            let mut rows = vec![capacity(job, gear, lift, &solved)];
            if has_arms {
                rows.extend(hardest_arm(job, gear, lift, &solved));
            }
            // Taking a part out moves no pad and no post.
            if solved.case.taken_out.is_empty() {
                rows.extend(places(job, gear, lift, &solved));
            }
            solved.finish(job, rows)
        })
        .collect()
}

/// On its wheels; where their places are not known, with no supports, which says so.
fn on_wheels(job: &mut Job<'_>) -> Case {
    let wheels = wheels(job);
    let supports = wheels.as_ref().map_or_else(
        |_| Vec::new(),
        |wheels| {
            let all = all_wheels(job, wheels);
            all.into_iter().map(|(_, wheel)| wheel).collect()
        },
    );
    let mut body = Body::of(job);
    if let Err(sentences) = wheels {
        body.x = Err(sentences);
    }
    Case {
        way: LiftWay::Runways,
        title: "On its wheels".to_owned(),
        equipment: None,
        taken_out: Vec::new(),
        body: Rc::new(body),
        supports,
    }
}

fn capacity(job: &mut Job<'_>, gear: Gear<'_>, lift: &VehicleLift, solved: &Solved) -> Judged {
    let capacity = job.of(
        &gear,
        lift.capacity.as_ref(),
        "the capacity of the lift",
        "/vehicle_lift/capacity",
    );
    let mass = &solved.case.body.mass;
    let label = "Mass on the lift";
    job.row(
        "lift-load",
        label,
        mass,
        "kg",
        "Mass of the vehicle",
        BALANCE,
    )
    .at_most(&capacity, gear.place("/vehicle_lift/capacity"))
}

fn hardest_arm(
    job: &mut Job<'_>,
    gear: Gear<'_>,
    lift: &VehicleLift,
    solved: &Solved,
) -> Option<Judged> {
    let capacity = job.of(
        &gear,
        lift.arm_capacity.as_ref(),
        "the capacity of an arm",
        "/vehicle_lift/arm_capacity",
    );
    let supports = &solved.case.supports;
    let intervals = (0..supports.len()).map(|index| solved.interval(index));
    let index = hardest(intervals, Bound::AtMost, &capacity)?;
    let label = format!("Load on the arm under “{}”", supports.get(index)?.words);
    let load = solved.load(job, index, "arm-load", label);
    Some(load.at_most(&capacity, gear.place("/vehicle_lift/arm_capacity")))
}

/// Whether the lift goes round and under the vehicle: pads beside zones, reach, height under it, width.
fn places(job: &mut Job<'_>, gear: Gear<'_>, lift: &VehicleLift, solved: &Solved) -> Vec<Judged> {
    let supports = &solved.case.supports;
    let mut rows = Vec::new();
    if lift.kind == LiftKind::TwoPost {
        rows.extend(pads::distances(job, gear, lift, supports));
        rows.extend(reach::rows(job, gear, lift, supports));
        rows.extend(pad_height(job, gear, lift, supports));
    }
    if lift.kind != LiftKind::Scissor {
        rows.push(between_posts(job, gear, lift));
    }
    rows
}

/// The lowest point above the lowered pads, where the lift states their height.
fn pad_height(
    job: &mut Job<'_>,
    gear: Gear<'_>,
    lift: &VehicleLift,
    supports: &[Rc<Support>],
) -> Option<Judged> {
    let pads = Some(lift.pad_height.as_ref()?);
    let pointer = "/vehicle_lift/pad_height";
    let lowest = job.of(&gear, pads, "the lowest height of the pads", pointer);
    let intervals = supports.iter().map(|support| interval(&support.height));
    let support = supports.get(hardest(intervals, Bound::AtLeast, &lowest)?)?;
    let label = format!("Height of “{}” over lowered pads", support.words);
    let height = job.row(
        "pad-height",
        label,
        &support.height,
        "m",
        POINT_HEIGHT,
        BALANCE,
    );
    Some(height.at_least(&lowest, gear.place(pointer)))
}

/// The vehicle's width, with its mirrors where that is stated, between the posts.
fn between_posts(job: &mut Job<'_>, gear: Gear<'_>, lift: &VehicleLift) -> Judged {
    let profile = job.view.profile;
    let with_mirrors = profile.dimensions.width_with_mirrors.as_ref();
    let width = with_mirrors.map(|value| crate::view::At {
        value,
        place: "/dimensions/width_with_mirrors".to_owned(),
    });
    let width = width.or_else(|| job.view.width.clone());
    let width = job.own(width.as_ref(), "the vehicle's width", "/dimensions/width");
    let between = job.of(
        &gear,
        lift.between_posts.as_ref(),
        "the clear width between the posts",
        "/vehicle_lift/between_posts",
    );
    let (name, label) = (
        "width-between-posts",
        "Width of the vehicle between the posts",
    );
    job.row(name, label, &width, "m", "Overall width", BALANCE)
        .at_most(&between, gear.place("/vehicle_lift/between_posts"))
}

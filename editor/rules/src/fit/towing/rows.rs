//! The rows of one way of towing: lift, wrecker, dollies and the whole.

use chockstone_mechanics::{
    propagation::Tracked,
    towing::{LiftLimit, WreckerLoads, lift_angle},
};
use chockstone_schema::report::{Judged, Trust, VehicleEnd};

use super::{
    dollies, legal, lifted_axle,
    setup::{Lift, Towed},
};
use crate::{
    checks::references::{LOGIC, Rest},
    fit::{
        Job,
        carrying::{missing_of, sum_of, with},
        work::{Gear, Known, refused},
    },
};

const LIFT_LOAD: Rest = (
    "Moment balance of a vehicle on two supports; arithmetic from the formula",
    Trust::Arithmetic,
);
const WRECKER: Rest = (
    "Trade magazine, Vehicle Control (2013): moment balance about the rear axle; it warns that the formula's origin is not known",
    Trust::Primary,
);
const STEERING: Rest = (
    "Share of load kept for steering: a contract and industry rule, no federal percentage was found",
    Trust::Practice,
);

/// One wrecker at one end of the vehicle.
pub(super) struct Tow<'t> {
    pub(super) wrecker: Gear<'t>,
    pub(super) lift: &'t Lift,
    pub(super) towed: &'t Towed,
    pub(super) end: VehicleEnd,
}

/// The rows that do not depend on what the other wheels stand on.
pub(super) fn shared(job: &mut Job<'_>, tow: &Tow<'_>) -> Vec<Judged> {
    let (lift, down) = level(tow);
    let mut rows = lift_rows(job, tow, &lift);
    rows.extend(fit_rows(job, tow));
    let loads = wrecker_loads(tow, &lift);
    rows.extend(wrecker_rows(job, tow, &loads));
    rows.extend(legal::bridge(job, tow, &loads, &down));
    rows
}

/// The rows of the other wheels on the ground, or on a set of dollies, and of the whole.
pub(super) fn of_other_wheels(
    job: &mut Job<'_>,
    tow: &Tow<'_>,
    set: Option<Gear<'_>>,
) -> Vec<Judged> {
    let (_, down) = level(tow);
    let (lifted, lifted_down) = lifted(job, tow, set);
    let mut rows = vec![lifted_row(job, &lifted)];
    rows.extend(nose_down_rows(job, tow, &lifted));
    match set {
        Some(set) => rows.extend(dollies::rows(
            job,
            set,
            tow.towed,
            tow.end,
            &down,
            Some(&lifted_down),
        )),
        None => rows.push(
            job.row(
                "ground-load",
                "load of the wheels on the ground",
                &down,
                "kg",
                "m x (L - b) / L, level",
                LIFT_LOAD,
            )
            .told(),
        ),
    }
    rows.push(combination(job, tow, set));
    rows
}

/// Lift load and the load of the axle that stays down, level.
fn level(tow: &Tow<'_>) -> (Known, Known) {
    match tow.towed.level(lifted_axle(tow.end)) {
        Ok(loads) => (Ok(loads.lift), Ok(loads.down)),
        Err(sentences) => (Err(sentences.clone()), Err(sentences)),
    }
}

/// The same with the vehicle at the angle that lift and dollies give it.
fn lifted(job: &mut Job<'_>, tow: &Tow<'_>, set: Option<Gear<'_>>) -> (Known, Known) {
    let under_other = match set {
        None => Ok(Tracked::exact(0.0)),
        Some(set) => {
            let field = set
                .equipment
                .dollies
                .as_ref()
                .and_then(|set| set.raise.as_ref());
            job.of(
                &set,
                field,
                "the height to which the dollies carry the wheels",
                "/dollies/raise",
            )
        }
    };
    let rise = with(&tow.lift.height, &under_other, |lift, under| lift - under);
    let loads = match (&rise, &tow.towed.wheelbase) {
        (Ok(rise), Ok(wheelbase)) => lift_angle(rise, wheelbase)
            .map_err(|error| refused(&error))
            .and_then(|angle| tow.towed.lifted(lifted_axle(tow.end), &angle)),
        (rise, wheelbase) => Err(missing_of(&[rise, wheelbase])),
    };
    match loads {
        Ok(loads) => (Ok(loads.lift), Ok(loads.down)),
        Err(sentences) => (Err(sentences.clone()), Err(sentences)),
    }
}

fn lift_rows(job: &Job<'_>, tow: &Tow<'_>, level: &Known) -> Vec<Judged> {
    let (gear, lift) = (tow.wrecker, tow.lift);
    vec![
        job.row(
            "lift-load",
            "load on the wheel lift, level",
            level,
            "kg",
            "P = m x b / L, b from the centre of gravity to the axle that stays down",
            LIFT_LOAD,
        )
        .at_most(&lift.rating, gear.place("/wheel_lift/rating")),
        job.row(
            "towed-mass",
            "mass of the towed vehicle",
            &tow.towed.mass,
            "kg",
            "mass of the vehicle",
            LOGIC,
        )
        .at_most(&lift.tow_rating, gear.place("/wheel_lift/tow_rating")),
    ]
}

fn lifted_row(job: &Job<'_>, lifted: &Known) -> Judged {
    job.row(
        "lift-load-lifted",
        "load on the wheel lift, lifted",
        lifted,
        "kg",
        "P = m x (b - h x tan phi) / L, sin phi = (lift height - raise of the dollies) / L",
        LIFT_LOAD,
    )
    .told()
}

/// The lift and the truck with the lifted end lower than the other, where more hangs on the lift than level.
fn nose_down_rows(job: &Job<'_>, tow: &Tow<'_>, lifted: &Known) -> Vec<Judged> {
    let (level, _) = level(tow);
    let more = level.as_ref().ok().zip(lifted.as_ref().ok());
    if more.is_none_or(|(level, lifted)| lifted.value() <= level.value()) {
        return Vec::new();
    }
    let gear = tow.wrecker;
    let lift_row = job
        .row(
            "lift-load-nose-down",
            "load on the wheel lift, its end lower than the other",
            lifted,
            "kg",
            "P = m x (b - h x tan phi) / L, phi below zero",
            LIFT_LOAD,
        )
        .at_most(&tow.lift.rating, gear.place("/wheel_lift/rating"));
    let loads = wrecker_loads(tow, lifted);
    let of_truck = wrecker_rows(job, tow, &loads).into_iter();
    let judged = of_truck.filter(|row| row.limit.is_some());
    let renamed = judged.map(|mut row| {
        row.label = format!("{}, the lifted end lower than the other", row.label).into();
        row
    });
    std::iter::once(lift_row).chain(renamed).collect()
}

/// Whether the vehicle's end fits the lift.
fn fit_rows(job: &Job<'_>, tow: &Tow<'_>) -> Vec<Judged> {
    let (gear, lift) = (tow.wrecker, tow.lift);
    let end = tow.towed.end(tow.end);
    let row = |name, label: &'static str, value: &Known, formula: &'static str| {
        job.row(name, label, value, "m", formula, LOGIC)
    };
    vec![
        row(
            "lifted-tyre-width",
            "width of the tyres on the lift",
            &end.tyre_width,
            "section width in the size marking",
        )
        .at_most(&lift.tyre_width, gear.place("/wheel_lift/tyre_width")),
        row(
            "lifted-overhang",
            "overhang of the lifted end, against the lift's reach",
            &end.overhang,
            "overhang of the lifted end; the truck's tail takes some of the reach, so look at it too",
        )
        .at_most(&lift.reach, gear.place("/wheel_lift/reach")),
    ]
}

fn wrecker_loads(tow: &Tow<'_>, lift_load: &Known) -> Result<WreckerLoads, Vec<String>> {
    let lift_load = lift_load.as_ref().map_err(Clone::clone)?;
    let (truck, lift) = (&tow.lift.truck, tow.lift);
    let missing = missing_of(&[
        &truck.wheelbase,
        &truck.front_empty,
        &truck.rear_empty,
        &lift.reach,
    ]);
    if !missing.is_empty() {
        return Err(missing);
    }
    lift.wrecker()
        .loads(lift_load)
        .map_err(|error| refused(&error))
}

fn wrecker_rows(
    job: &Job<'_>,
    tow: &Tow<'_>,
    loads: &Result<WreckerLoads, Vec<String>>,
) -> Vec<Judged> {
    let (gear, truck) = (tow.wrecker, &tow.lift.truck);
    let of = |pick: fn(&WreckerLoads) -> &Tracked| -> Known {
        loads
            .as_ref()
            .map(|loads| pick(loads).clone())
            .map_err(Clone::clone)
    };
    let kept = with(&truck.front_empty, &truck.steering_share, |empty, share| {
        empty * share
    });
    vec![
        job.row(
            "wrecker-rear-axle",
            "rear axle of the wrecker",
            &of(|loads| &loads.rear),
            "kg",
            "R0 + P x (reach + WB) / WB",
            WRECKER,
        )
        .at_most(&truck.rear_rating, gear.place("/chassis/rear_gawr")),
        job.row(
            "wrecker-steering",
            "front axle load kept for steering",
            &of(|loads| &loads.front),
            "kg",
            "F0 - P x reach / WB",
            STEERING,
        )
        .at_least(&kept, gear.place("/chassis/steering_share")),
        job.row(
            "wrecker-steering-share",
            "share of its empty load that the front axle keeps",
            &of(|loads| &loads.steering),
            "1",
            "(F0 - P x reach / WB) / F0",
            WRECKER,
        )
        .told(),
        job.row(
            "wrecker-gross",
            "gross weight of the wrecker with what hangs on it",
            &of(|loads| &loads.gross),
            "kg",
            "F0 + R0 + P",
            WRECKER,
        )
        .at_most(&truck.gross_rating, gear.place("/chassis/gvwr")),
        greatest_lift(job, tow),
    ]
}

/// The most that may hang on this lift, and what sets it.
fn greatest_lift(job: &Job<'_>, tow: &Tow<'_>) -> Judged {
    let needs = [
        &tow.lift.truck.wheelbase,
        &tow.lift.truck.front_empty,
        &tow.lift.truck.rear_empty,
        &tow.lift.truck.rear_rating,
        &tow.lift.truck.gross_rating,
        &tow.lift.truck.steering_share,
        &tow.lift.reach,
        &tow.lift.rating,
    ];
    let missing = missing_of(&needs);
    let limits = tow.lift.wrecker().greatest_lift();
    let strictest = limits.as_ref().ok().and_then(|limits| limits.strictest());
    let (most, formula) = match (strictest, &limits) {
        (_, Err(error)) => (Err(refused(error)), ""),
        (Some((limit, most)), Ok(_)) if missing.is_empty() => (Ok(most.clone()), formula_of(limit)),
        _ => (Err(missing), ""),
    };
    job.row(
        "greatest-lift",
        "the most that may hang on the lift by the truck's ratings and its own",
        &most,
        "kg",
        formula,
        WRECKER,
    )
    .told()
}

fn formula_of(limit: LiftLimit) -> &'static str {
    match limit {
        LiftLimit::Steering => "set by steering: (1 - k) x F0 x WB / reach",
        LiftLimit::RearAxle => "set by the rear axle: (rear rating - R0) x WB / (reach + WB)",
        LiftLimit::Gross => "set by the gross rating: gross rating - F0 - R0",
        LiftLimit::LiftRating => "set by the rating of the lift at its reach",
        LiftLimit::TowRating => "set by the heaviest vehicle that the lift may tow",
    }
}

fn combination(job: &mut Job<'_>, tow: &Tow<'_>, set: Option<Gear<'_>>) -> Judged {
    let truck = &tow.lift.truck;
    let mut parts = vec![&truck.front_empty, &truck.rear_empty, &tow.towed.mass];
    let dollies = set.map(|set| {
        let field = set
            .equipment
            .dollies
            .as_ref()
            .and_then(|set| set.own_mass.as_ref());
        job.of(&set, field, "the mass of the dollies", "/dollies/own_mass")
    });
    parts.extend(&dollies);
    job.row(
        "combination",
        "mass of the whole combination",
        &sum_of(&parts),
        "kg",
        "F0 + R0 + m + mass of the dollies",
        LOGIC,
    )
    .told()
}

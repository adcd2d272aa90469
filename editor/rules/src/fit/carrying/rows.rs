//! The rows of one carrier: each figure against its rating.

use chockstone_mechanics::{
    carrying::{Rating, Side},
    propagation::Tracked,
};
use chockstone_schema::report::{Judged, Trust};

use super::{
    known::{missing_of, needed, sum_of, with},
    setup::{Carrier, Case},
};
use crate::{
    checks::references::{LOGIC, Rest},
    fit::{
        Job,
        work::{Known, missing},
    },
};

/// Load distribution on two supports.
pub(in crate::fit) const AXLE_LOADS: Rest = (
    "Heavy-truck body builder manual (2014), App. B: weight distribution",
    Trust::Primary,
);
/// What ratings mean.
const RATINGS: Rest = (
    "49 CFR 571.3 as read in NHTSA interpretation letters nht74-3.36 and aiam0613",
    Trust::Primary,
);
/// Keeping load on the front axle.
pub(in crate::fit) const STEERING: Rest = (
    "Share of load kept for steering: a contract and industry rule, no federal percentage was found; the balance is body builder manual (2014), App. B",
    Trust::Practice,
);

/// How the front axle's load comes about.
const FRONT: &str = "F0 + sum of m x (WB - X) / WB, X = deck's front edge + placement + centre behind the vehicle's foremost place";

/// The name of the row that judges a rating.
pub(super) fn name(rating: Rating) -> &'static str {
    match rating {
        Rating::FrontAxle => "front-axle",
        Rating::RearAxle => "rear-axle",
        Rating::Gross => "gross",
        Rating::Steering => "steering",
        Rating::FrontOnRoad => "front-on-road",
        Rating::DeckCapacity => "deck-capacity",
        Rating::DeckFront => "deck-front",
        Rating::RearOverhang => "rear-overhang",
        Rating::FirstTyres => "first-tyres",
        Rating::LastTyres => "last-tyres",
        Rating::BehindNeighbour(_) | Rating::AheadOfNeighbour(_) => "room-beside",
    }
}

/// What the row that judges a rating is called.
pub(super) fn label(rating: Rating) -> &'static str {
    match rating {
        Rating::FrontAxle => "front axle of the truck",
        Rating::RearAxle => "rear axle of the truck",
        Rating::Gross => "gross weight of the truck",
        Rating::Steering => "front axle load kept for steering",
        Rating::FrontOnRoad => "front axle load",
        Rating::DeckCapacity => "load of the deck",
        Rating::DeckFront => "vehicle behind the deck's front edge",
        Rating::RearOverhang => "overhang behind the deck",
        Rating::FirstTyres => "tyres nearest the cab on the deck",
        Rating::LastTyres => "tyres nearest the tail on the deck",
        Rating::BehindNeighbour(_) | Rating::AheadOfNeighbour(_) => "room beside the other vehicle",
    }
}

/// All rows of one carrier, one way round, at the case's placement.
pub(super) fn rows(job: &mut Job<'_>, carrier: &Carrier<'_>, case: &Case) -> Vec<Judged> {
    let mut rows = Vec::new();
    if case.deck_is_too_short() {
        rows.push(too_short(job, carrier, case));
    } else {
        rows.extend(axle_rows(job, carrier, case));
    }
    rows.extend(weight_rows(job, carrier, case));
    if case.placements.is_ok() {
        rows.extend(place_rows(job, carrier, case));
    }
    rows.push(overall_height(job, carrier));
    rows
}

fn too_short(job: &Job<'_>, carrier: &Carrier<'_>, case: &Case) -> Judged {
    let between = case
        .standing
        .as_ref()
        .map(|standing| &standing.last_tyres - &standing.first_tyres)
        .map_err(super::setup::Problem::sentences);
    job.row(
        "wheelbase-on-deck",
        "wheelbase of the vehicle on the deck",
        &between,
        "m",
        "distance between the first and the last axle",
        LOGIC,
    )
    .at_most(&carrier.length, carrier.gear.place("/deck/length"))
}

/// Axle loads at the placement, or what keeps them from being known.
fn axle_loads(carrier: &Carrier<'_>, case: &Case) -> (Known, Known) {
    let truck = &carrier.truck;
    let rear_needs = [&truck.wheelbase, &truck.rear_empty, &carrier.front_edge];
    let front_needs = [
        &truck.wheelbase,
        &truck.front_empty,
        &truck.rear_empty,
        &carrier.front_edge,
    ];
    match (&case.placements, case.placement()) {
        (Ok(placements), Some(s)) => {
            let or_missing =
                |load: Option<Tracked>, needs: &[&Known]| load.ok_or_else(|| missing_of(needs));
            (
                or_missing(placements.front_load(s), &front_needs),
                or_missing(placements.rear_load(s), &rear_needs),
            )
        }
        (Err(problem), _) => {
            let lacking = |needs: &[&Known]| {
                let mut sentences = problem.sentences();
                sentences.extend(missing_of(needs));
                Err(sentences)
            };
            (lacking(&front_needs), lacking(&rear_needs))
        }
        (Ok(_), None) => (Err(Vec::new()), Err(Vec::new())),
    }
}

fn axle_rows(job: &Job<'_>, carrier: &Carrier<'_>, case: &Case) -> Vec<Judged> {
    let (truck, gear) = (&carrier.truck, &carrier.gear);
    let (front, rear) = axle_loads(carrier, case);
    let row = |rating: Rating, value: &Known, formula: &'static str, rest: Rest| {
        job.row(name(rating), label(rating), value, "kg", formula, rest)
    };
    let kept = with(&truck.front_empty, &truck.steering_share, |empty, share| {
        empty * share
    });
    let mut rows = vec![
        row(
            Rating::RearAxle,
            &rear,
            "R0 + sum of m x X / WB, X = deck's front edge + placement + centre behind the vehicle's foremost place",
            AXLE_LOADS,
        )
        .at_most(&truck.rear_rating, gear.place("/chassis/rear_gawr")),
        row(Rating::FrontAxle, &front, FRONT, AXLE_LOADS)
            .at_most(&truck.front_rating, gear.place("/chassis/front_gawr")),
        row(Rating::Steering, &front, FRONT, STEERING)
            .at_least(&kept, gear.place("/chassis/steering_share")),
    ];
    if kept.is_err() {
        rows.push(
            row(Rating::FrontOnRoad, &front, FRONT, AXLE_LOADS)
                .at_least(&Ok(Tracked::exact(0.0)), "a front axle cannot pull down"),
        );
    }
    let share = with(&front, &truck.front_empty, |front, empty| front / empty);
    rows.push(
        job.row(
            "steering-share",
            "share of its empty load that the front axle keeps",
            &share,
            "1",
            "loaded front axle load / empty front axle load",
            AXLE_LOADS,
        )
        .told(),
    );
    rows
}

fn weight_rows(job: &Job<'_>, carrier: &Carrier<'_>, case: &Case) -> Vec<Judged> {
    let (truck, gear) = (&carrier.truck, &carrier.gear);
    let gross = sum_of(&[&truck.front_empty, &truck.rear_empty, &case.on_deck]);
    vec![
        job.row(
            name(Rating::Gross),
            label(Rating::Gross),
            &gross,
            "kg",
            "F0 + R0 + sum of m",
            RATINGS,
        )
        .at_most(&truck.gross_rating, gear.place("/chassis/gvwr")),
        job.row(
            name(Rating::DeckCapacity),
            label(Rating::DeckCapacity),
            &case.on_deck,
            "kg",
            "sum of m on the deck",
            LOGIC,
        )
        .at_most(&carrier.capacity, gear.place("/deck/capacity")),
    ]
}

/// Where the vehicle stands on the deck, and what else stands there.
fn place_rows(job: &Job<'_>, carrier: &Carrier<'_>, case: &Case) -> Vec<Judged> {
    let (Ok(standing), Some(s)) = (&case.standing, case.placement()) else {
        return Vec::new();
    };
    let gear = &carrier.gear;
    let zero = Ok(Tracked::exact(0.0));
    let row = |rating: Rating, value: &Known, formula: &'static str| {
        job.row(name(rating), label(rating), value, "m", formula, LOGIC)
    };
    let overhang = needed(&[&carrier.length], || &standing.length + s)
        .and_then(|end| Ok(end - carrier.length.clone()?));
    let last_tyres = Ok(&standing.last_tyres + s);
    let mut rows = vec![
        row(
            Rating::DeckFront,
            &Ok(Tracked::exact(s)),
            "placement as chosen",
        )
        .at_least(&zero, "the deck's front edge"),
        row(
            Rating::LastTyres,
            &last_tyres,
            "placement + last axle behind the vehicle's foremost place",
        )
        .at_most(&carrier.length, gear.place("/deck/length")),
        row(
            Rating::RearOverhang,
            &overhang,
            "placement + vehicle's length - deck's length",
        )
        .at_most(
            &carrier.overhang_allowed,
            gear.place("/deck/rear_overhang_allowed"),
        ),
    ];
    for (index, (id, neighbour)) in case.neighbours.iter().enumerate() {
        let (rating, room) = match neighbour.side {
            Side::TowardCab => (Rating::BehindNeighbour(index), s - &neighbour.edge),
            Side::TowardTail => (
                Rating::AheadOfNeighbour(index),
                &neighbour.edge - s - &standing.length,
            ),
        };
        let room = row(
            rating,
            &Ok(room),
            "distance between the two vehicles' edges",
        );
        rows.push(room.at_least(&zero, format!("{id} beside it")));
    }
    rows
}

fn overall_height(job: &mut Job<'_>, carrier: &Carrier<'_>) -> Judged {
    let view = job.view;
    let height = match &view.height {
        Some(height) => job.own(Some(height), "the vehicle's height", "/dimensions/height"),
        None => Err(missing("the vehicle's height", "/dimensions/height")),
    };
    let overall = with(&carrier.height, &height, |deck, vehicle| deck + vehicle);
    job.row(
        "overall-height",
        "overall height with the vehicle on the deck",
        &overall,
        "m",
        "deck's height + vehicle's height; springs that settle are not counted",
        LOGIC,
    )
    .told()
}

//! Ratings and sizes of equipment that contradict each other, or that a computation needs and are missing.
//!
//! Plain logic where figures contradict; common practice, no source, where one part is weaker than the one that pulls it.

use super::prelude::*;
use chockstone_schema::{
    Sourced,
    quantity::{Dimension, Kind},
};

pub(super) static RULES: &[Rule] = &[
    equipment(
        "equipment-empty",
        "A file without any piece of equipment.",
        Blocking,
        LOGIC,
        empty,
    ),
    equipment(
        "equipment-bounds-reversed",
        "A least value that is not below its greatest.",
        Blocking,
        LOGIC,
        reversed,
    ),
    equipment(
        "equipment-rating-missing",
        "A part without the rating that its use needs.",
        Blocking,
        LOGIC,
        ratings,
    ),
    equipment(
        "truck-axle-overloaded",
        "A truck axle beyond its rating when empty.",
        Blocking,
        LOGIC,
        axle,
    ),
    equipment(
        "truck-ratings-below-gvwr",
        "Truck axle ratings that add up to less than its GVWR.",
        Warning,
        PRACTICE,
        gvwr,
    ),
    equipment(
        "truck-over-gvwr",
        "A truck at or above its GVWR when empty.",
        Blocking,
        LOGIC,
        empty_mass,
    ),
    equipment(
        "winch-line-weaker",
        "A winch line or bridle weaker than the winch.",
        Warning,
        PRACTICE,
        line,
    ),
    equipment(
        "dolly-tyres-weaker",
        "Dolly tyres that carry less than the set's rating.",
        Warning,
        LOGIC,
        dolly,
    ),
    equipment(
        "anchor-off-deck",
        "A deck anchor outside the deck.",
        Warning,
        LOGIC,
        anchors,
    ),
    equipment(
        "arms-weaker",
        "Lift arms that carry less than the lift's rating together.",
        Note,
        PRACTICE,
        arms,
    ),
];

fn empty(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let e = ctx.equipment;
    let parts = [
        e.chassis.is_some(),
        e.deck.is_some(),
        e.wheel_lift.is_some(),
        e.winch.is_some(),
        e.dollies.is_some(),
        e.vehicle_lift.is_some(),
        e.jack.is_some(),
        e.stands.is_some(),
        e.straps.is_some(),
        e.chains.is_some(),
        e.bridle.is_some(),
        e.snatch_block.is_some(),
        e.skates.is_some(),
        e.gloves.is_some(),
    ];
    if !parts.contains(&true) {
        found.add(
            "",
            "The file describes no piece of equipment.",
            "Add a deck, a winch, straps or another part.",
        );
    }
}

fn pair<A: Kind, B: Kind>(
    low: Option<&Sourced<A>>,
    high: Option<&Sourced<B>>,
    place: &str,
    found: &mut Findings,
) {
    if let (Some(low), Some(high)) = (low, high)
        && A::DIMENSION == Dimension::Length
        && low.si() >= high.si()
    {
        found
            .add(
                format!("{place}/value"),
                "The least value is not below the greatest.",
                "Look at both figures; they may be swapped.",
            )
            .computed(low.value.to_string())
            .limit(high.value.to_string());
    }
}

fn reversed(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let e = ctx.equipment;
    if let Some(jack) = &e.jack {
        pair(
            jack.lowest.as_ref(),
            jack.highest.as_ref(),
            "/jack/lowest",
            found,
        );
    }
    if let Some(stands) = &e.stands {
        pair(
            stands.lowest.as_ref(),
            stands.highest.as_ref(),
            "/stands/lowest",
            found,
        );
    }
    if let Some(lift) = &e.vehicle_lift {
        pair(
            lift.shortest_reach.as_ref(),
            lift.longest_reach.as_ref(),
            "/vehicle_lift/shortest_reach",
            found,
        );
    }
    if let Some(dollies) = &e.dollies {
        pair(
            dollies.min_track.as_ref(),
            dollies.max_track.as_ref(),
            "/dollies/min_track",
            found,
        );
    }
}

fn ratings(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let e = ctx.equipment;
    let rows = [
        (
            e.deck.as_ref().map(|d| d.capacity.is_some()),
            "/deck",
            "capacity of the deck",
        ),
        (
            e.wheel_lift.as_ref().map(|w| w.rating.is_some()),
            "/wheel_lift",
            "rating of the wheel lift",
        ),
        (
            e.winch.as_ref().map(|w| w.line_pull.is_some()),
            "/winch",
            "line pull of the winch",
        ),
        (
            e.dollies.as_ref().map(|d| d.rating.is_some()),
            "/dollies",
            "rating of the dollies",
        ),
        (
            e.vehicle_lift.as_ref().map(|l| l.capacity.is_some()),
            "/vehicle_lift",
            "capacity of the lift",
        ),
        (
            e.jack.as_ref().map(|j| j.capacity.is_some()),
            "/jack",
            "capacity of the jack, which must be marked on it (29 CFR 1910.244(a))",
        ),
        (
            e.stands.as_ref().map(|s| s.capacity.is_some()),
            "/stands",
            "capacity of the stands",
        ),
        (
            e.straps.as_ref().map(|s| s.working_load_limit.is_some()),
            "/straps",
            "working load limit of the straps",
        ),
        (
            e.chains.as_ref().map(|c| c.working_load_limit.is_some()),
            "/chains",
            "working load limit of the chains",
        ),
        (
            e.bridle.as_ref().map(|b| b.leg_rating.is_some()),
            "/bridle",
            "rating of the bridle's legs",
        ),
        (
            e.snatch_block.as_ref().map(|b| b.rating.is_some()),
            "/snatch_block",
            "rating of the snatch block",
        ),
        (
            e.skates.as_ref().map(|s| s.rating.is_some()),
            "/skates",
            "rating of the skates",
        ),
        (
            e.chassis.as_ref().map(|c| c.gvwr.is_some()),
            "/chassis",
            "gross vehicle weight rating of the truck",
        ),
    ];
    for (_, place, what) in rows.iter().filter(|(have, ..)| *have == Some(false)) {
        found.add(
            *place,
            format!("The {what} is not stated."),
            "Enter it from the plate or the maker's document.",
        );
    }
}

fn axle(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(c) = &ctx.equipment.chassis else {
        return;
    };
    let rows = [
        ("front", &c.front_axle_mass, &c.front_gawr),
        ("rear", &c.rear_axle_mass, &c.rear_gawr),
    ];
    for (end, mass, rating) in rows {
        if let (Some(mass), Some(rating)) = (mass, rating)
            && mass.si() > rating.si()
        {
            found
                .add(
                    format!("/chassis/{end}_axle_mass/value"),
                    format!("The {end} axle carries more than its rating with the truck empty."),
                    "Look at both figures.",
                )
                .computed(mass.value.to_string())
                .limit(rating.value.to_string());
        }
    }
}

fn gvwr(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if let Some(c) = &ctx.equipment.chassis
        && let (Some(front), Some(rear), Some(gvwr)) = (&c.front_gawr, &c.rear_gawr, &c.gvwr)
        && front.si() + rear.si() < gvwr.si() - 1e-6
    {
        found
            .add(
                "/chassis/gvwr/value",
                "The axle ratings add up to less than the gross vehicle weight rating.",
                "Look at the ratings on the label.",
            )
            .computed(format::kilograms(front.si() + rear.si()))
            .limit(gvwr.value.to_string());
    }
}

fn empty_mass(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if let Some(c) = &ctx.equipment.chassis
        && let (Some(front), Some(rear), Some(gvwr)) =
            (&c.front_axle_mass, &c.rear_axle_mass, &c.gvwr)
        && front.si() + rear.si() >= gvwr.si()
    {
        found
            .add(
                "/chassis/gvwr/value",
                "The empty truck is not below its gross vehicle weight rating.",
                "Look at the masses and at the label.",
            )
            .computed(format::kilograms(front.si() + rear.si()))
            .limit(gvwr.value.to_string());
    }
}

fn line(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(winch) = &ctx.equipment.winch else {
        return;
    };
    let Some(pull) = &winch.line_pull else {
        return;
    };
    // Two legs share the pull, and each carries at least half of it at any angle.
    let legs = ctx
        .equipment
        .bridle
        .as_ref()
        .and_then(|b| b.leg_rating.as_ref());
    let rows = [
        (
            winch.line_rating.as_ref(),
            "/winch/line_rating/value",
            1.0,
            "line",
        ),
        (legs, "/bridle/leg_rating/value", 0.5, "leg of the bridle"),
    ];
    for (rating, place, share, what) in rows {
        if let Some(rating) = rating.filter(|r| r.si() < share * pull.si() - 1e-6) {
            found
                .add(
                    place,
                    format!("The {what} is weaker than what the winch can pull on it."),
                    "Use a stronger one, or keep the pull below its rating.",
                )
                .computed(rating.value.to_string())
                .limit(format::kilonewtons(share * pull.si()));
        }
    }
}

fn dolly(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if let Some(d) = &ctx.equipment.dollies
        && let (Some(tyre), Some(count), Some(rating)) = (&d.tyre_rating, d.tyres, &d.rating)
    {
        let sum = f64::from(count) * tyre.si();
        if sum < rating.si() - 1e-6 {
            found
                .add(
                    "/dollies/rating/value",
                    "The dolly's tyres carry less than the set's rating.",
                    "Use the tyres' figure.",
                )
                .computed(format::kilograms(sum))
                .limit(rating.value.to_string());
        }
    }
}

fn anchors(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(deck) = &ctx.equipment.deck else {
        return;
    };
    // Anchors may sit on the rail, a hand's breadth off the usable deck.
    let slack = 0.15;
    for (i, anchor) in deck.anchors.iter().enumerate() {
        let x = anchor.x.metres();
        let along = deck
            .length
            .as_ref()
            .is_some_and(|l| x < -slack || x > l.si() + slack);
        let across = deck
            .width
            .as_ref()
            .is_some_and(|w| anchor.y.metres().abs() > w.si() / 2.0 + slack);
        if along || across {
            found
                .add(
                    format!("/deck/anchors/{i}"),
                    format!("The anchor {} lies outside the deck.", anchor.id),
                    "Measure from the deck's front edge and from its middle.",
                )
                .computed(format!("x {}, y {}", anchor.x, anchor.y));
        }
    }
}

fn arms(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if let Some(l) = &ctx.equipment.vehicle_lift
        && let (Some(arm), Some(capacity)) = (&l.arm_capacity, &l.capacity)
        && 4.0 * arm.si() < capacity.si() - 1e-6
    {
        found
            .add(
                "/vehicle_lift/arm_capacity/value",
                "Four arms together carry less than the lift's rating.",
                "Judge each arm by its own figure.",
            )
            .computed(format::kilograms(4.0 * arm.si()))
            .limit(capacity.value.to_string());
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "equipment-empty",
        "nothing",
        r#"{"/chassis": null, "/deck": null, "/winch": null, "/wheel_lift": null, "/dollies": null, "/vehicle_lift": null, "/jack": null, "/stands": null, "/straps": null, "/bridle": null, "/snatch_block": null, "/gloves": null}"#,
        "",
    ),
    pass("equipment-empty", "parts", "{}"),
    fail(
        "equipment-bounds-reversed",
        "a jack upside down",
        r#"{"/jack/lowest/value": [600, "mm"]}"#,
        "/jack/lowest/value",
    ),
    fail(
        "equipment-bounds-reversed",
        "dollies upside down",
        r#"{"/dollies/min_track/value": [2, "m"]}"#,
        "/dollies/min_track/value",
    ),
    pass("equipment-bounds-reversed", "right way up", "{}"),
    fail(
        "equipment-rating-missing",
        "straps without limit",
        r#"{"/straps/working_load_limit": null}"#,
        "/straps",
    ),
    pass("equipment-rating-missing", "ratings", "{}"),
    fail(
        "truck-axle-overloaded",
        "a heavy front",
        r#"{"/chassis/front_axle_mass/value": [5500, "kg"]}"#,
        "/chassis/front_axle_mass/value",
    ),
    pass("truck-axle-overloaded", "a light front", "{}"),
    fail(
        "truck-ratings-below-gvwr",
        "weak axles",
        r#"{"/chassis/rear_gawr/value": [6000, "kg"]}"#,
        "/chassis/gvwr/value",
    ),
    pass("truck-ratings-below-gvwr", "strong axles", "{}"),
    fail(
        "truck-over-gvwr",
        "a low rating",
        r#"{"/chassis/gvwr/value": [6900, "kg"]}"#,
        "/chassis/gvwr/value",
    ),
    pass("truck-over-gvwr", "a high rating", "{}"),
    fail(
        "winch-line-weaker",
        "a thin line",
        r#"{"/winch/line_rating/value": [30, "kN"]}"#,
        "/winch/line_rating/value",
    ),
    fail(
        "winch-line-weaker",
        "a thin bridle",
        r#"{"/bridle/leg_rating/value": [17, "kN"]}"#,
        "/bridle/leg_rating/value",
    ),
    pass("winch-line-weaker", "a good line", "{}"),
    fail(
        "dolly-tyres-weaker",
        "weak tyres",
        r#"{"/dollies/tyre_rating/value": [400, "kg"]}"#,
        "/dollies/rating/value",
    ),
    pass("dolly-tyres-weaker", "good tyres", "{}"),
    fail(
        "anchor-off-deck",
        "an anchor behind",
        r#"{"/deck/anchors/0/x": [7, "m"]}"#,
        "/deck/anchors/0",
    ),
    pass("anchor-off-deck", "an anchor on the deck", "{}"),
    fail(
        "arms-weaker",
        "weak arms",
        r#"{"/vehicle_lift/arm_capacity/value": [1000, "kg"]}"#,
        "/vehicle_lift/arm_capacity/value",
    ),
    pass("arms-weaker", "good arms", "{}"),
];

//! What a point may be used for: never both allowed and forbidden, and fitting what the point is.
//!
//! Plain logic; which use fits which kind is common practice, no source. A slot for long-haul transporters is not a winch
//! point.

use super::prelude::*;
use chockstone_schema::model::point::{Point, PointKind, PointUse};

pub(super) static RULES: &[Rule] = &[
    profile(
        "use-allowed-and-forbidden",
        "A use both allowed and forbidden at one point.",
        Blocking,
        LOGIC,
        both,
    ),
    profile(
        "use-not-fitting",
        "A use that does not fit what the point is.",
        Warning,
        PRACTICE,
        fitting,
    ),
    profile(
        "pull-point-without-rating",
        "A point to pull or tie at without a rating.",
        Note,
        PRACTICE,
        rating,
    ),
];

fn each<'p>(ctx: &Context<'p>) -> impl Iterator<Item = (usize, &'p Point)> {
    ctx.profile.points.iter().enumerate()
}

fn both(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point) in each(ctx) {
        for (j, used) in point
            .forbidden
            .iter()
            .enumerate()
            .filter(|(_, u)| point.uses.contains(u))
        {
            found.add(
                format!("/points/{i}/forbidden/{j}"),
                format!(
                    "The point {} both allows and forbids {}.",
                    point.id,
                    word(*used)
                ),
                "Keep the one that the source states.",
            );
        }
    }
}

fn word(used: PointUse) -> &'static str {
    match used {
        PointUse::Lift => "lifting",
        PointUse::Jack => "jacking",
        PointUse::Stand => "a stand",
        PointUse::TieDown => "tying down",
        PointUse::TieDownLongHaul => "tying down on a long-haul transporter",
        PointUse::Winch => "winching",
        PointUse::Recover => "recovery",
        PointUse::Tow => "towing",
        PointUse::JumpStart => "a jump start",
        PointUse::Disconnect => "disconnecting",
        PointUse::Open => "opening",
        PointUse::Carry => "carrying a part",
    }
}

/// Uses that make no sense at a kind of point.
fn fits(kind: PointKind, used: PointUse) -> bool {
    use PointKind as K;
    use PointUse as U;
    let structural = matches!(
        used,
        U::Lift
            | U::Jack
            | U::Stand
            | U::TieDown
            | U::TieDownLongHaul
            | U::Winch
            | U::Recover
            | U::Tow
    );
    match kind {
        K::Lift | K::Jack | K::Stand => matches!(used, U::Lift | U::Jack | U::Stand | U::TieDown),
        K::TieDown => matches!(
            used,
            U::TieDown | U::TieDownLongHaul | U::Winch | U::Recover | U::Jack | U::Lift
        ),
        K::Winch | K::RecoveryEye | K::TowEyeSocket => {
            matches!(used, U::Winch | U::Recover | U::Tow | U::TieDown)
        }
        K::BatteryPositive | K::BatteryGround => matches!(used, U::JumpStart | U::Disconnect),
        K::LowVoltageBattery => matches!(used, U::JumpStart | U::Disconnect | U::Carry | U::Open),
        K::ServiceDisconnect | K::CutLoop | K::LowVoltageLoop => used == U::Disconnect,
        K::ChargePort
        | K::ChargePortRelease
        | K::KeyLock
        | K::DoorRelease
        | K::FrontCoverRelease
        | K::RearCoverRelease => !structural && used != U::JumpStart,
        K::SpareWheel | K::PanelFasteners => matches!(used, U::Carry | U::Open),
        K::Other => true,
    }
}

fn fitting(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point) in each(ctx) {
        let long_haul = point.uses.contains(&PointUse::TieDownLongHaul);
        for (j, used) in point.uses.iter().enumerate() {
            let pulls = matches!(
                used,
                PointUse::Winch | PointUse::Recover | PointUse::Tow | PointUse::Lift
            );
            if !fits(point.kind, *used) {
                found.add(
                    format!("/points/{i}/uses/{j}"),
                    format!(
                        "The use {} does not fit what the point {} is.",
                        word(*used),
                        point.id
                    ),
                    "Correct the kind or the use, or forbid the use.",
                );
            } else if long_haul && pulls {
                found.add(format!("/points/{i}/uses/{j}"), format!("A slot for long-haul transporters is not meant for {}.", word(*used)), "Forbid the use, or give the source that allows it and take the long-haul use away.");
            }
        }
    }
}

fn rating(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point) in each(ctx) {
        let pulls = point.uses.iter().any(|u| {
            matches!(
                u,
                PointUse::TieDown | PointUse::Winch | PointUse::Recover | PointUse::Tow
            )
        });
        if pulls && point.rating.is_none() {
            found.add(
                format!("/points/{i}"),
                format!(
                    "No source states what the point {} may be loaded with.",
                    point.id
                ),
                "Ask the maker for the rating.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "use-allowed-and-forbidden",
        "winching both ways",
        r#"{"/points/2/uses": ["tie_down", "winch"]}"#,
        "/points/2/forbidden/0",
    ),
    pass("use-allowed-and-forbidden", "winching forbidden", "{}"),
    fail(
        "use-not-fitting",
        "lifting at a jump post",
        r#"{"/points/5/uses": ["jump_start", "lift"]}"#,
        "/points/5/uses/1",
    ),
    fail(
        "use-not-fitting",
        "winching at a long-haul slot",
        r#"{"/points/2/uses": ["tie_down_long_haul", "winch"], "/points/2/forbidden": []}"#,
        "/points/2/uses/1",
    ),
    pass("use-not-fitting", "jacking at a lift point", "{}"),
    fail(
        "pull-point-without-rating",
        "a slot without rating",
        r#"{"/points/2/rating": null}"#,
        "/points/2",
    ),
    pass("pull-point-without-rating", "a slot with rating", "{}"),
];

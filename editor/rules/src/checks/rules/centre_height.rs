//! The height of the centre of gravity: known at all, within usual bounds, and its axle lift done well.
//!
//! Usual bounds: a public compilation of NHTSA measurements, second-hand, widened for packs under the floor. The lift: ISO
//! 10392 excerpts (suspension blocked, three or more steps), course notes (more than 15 degrees).

use super::prelude::*;
use chockstone_mechanics::{
    mass::{HeightFlag, LIGHT_VEHICLE_HEIGHT, LIGHT_VEHICLE_STABILITY, static_stability_factor},
    propagation::Tracked,
    verdict::Verdict,
};
use chockstone_schema::model::{identity::BodyStyle, mass::HeightMethod};

pub(super) static RULES: &[Rule] = &[
    profile(
        "centre-height-missing",
        "A height of the centre of gravity that is not known.",
        Note,
        PRACTICE,
        missing,
    ),
    profile(
        "centre-height-unusual",
        "A height of the centre of gravity outside the usual range.",
        Warning,
        STABILITY,
        unusual,
    ),
    profile(
        "stability-unusual",
        "A static stability factor outside the usual range.",
        Warning,
        STABILITY,
        stability,
    ),
    profile(
        "centre-above-roof",
        "A centre of gravity above the vehicle.",
        Blocking,
        LOGIC,
        above,
    ),
    profile(
        "lift-step-odd",
        "A lift step at a shallow angle, or whose load did not rise.",
        Warning,
        LIFT_ANGLE,
        odd,
    ),
    profile(
        "lift-steps-disagree",
        "Lift steps that differ by more than their uncertainty explains.",
        Warning,
        AGREEMENT,
        disagree,
    ),
    profile(
        "lift-suspension-free",
        "A lift step with free suspension.",
        Warning,
        FREE_SUSPENSION,
        free,
    ),
    profile(
        "few-lift-steps",
        "An axle lift of fewer than three steps.",
        Note,
        AXLE_LIFT,
        few,
    ),
];

const PLACE: &str = "/mass/centre_height";

fn is_light(view: &View<'_>) -> bool {
    !matches!(
        view.profile.identity.body_style,
        BodyStyle::Bus | BodyStyle::BoxTruck | BodyStyle::ChassisCab | BodyStyle::Other
    )
}

fn missing(ctx: &Context<'_>, found: &mut Findings) {
    let known = ctx.masses.iter().any(|m| m.z.is_some());
    if !known {
        let place = if ctx.profile.mass.centre_height.is_some() {
            PLACE
        } else {
            "/mass"
        };
        found.add(place, "The height of the centre of gravity is not known, so slopes and stability cannot be judged.", "Lift one axle and read the other, or give the maker's figure.");
    }
}

fn unusual(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed().filter(|(v, _)| is_light(v)) {
        let range = LIGHT_VEHICLE_HEIGHT;
        if let Some(z) = computed
            .z
            .as_ref()
            .filter(|z| range.verdict(z.uncertain()) == Verdict::Beyond)
        {
            found
                .add(
                    PLACE,
                    format!(
                        "The height of the centre of gravity{} is unusual for a light vehicle.",
                        view.of_variant()
                    ),
                    "Look at the inputs: unit, wheel radius, angle, which axle was raised.",
                )
                .computed(format::with_doubt(z.value(), 2.0 * z.u(), "m", 3))
                .limit(format!("{} to {} m", range.low, range.high));
        }
    }
}

fn stability(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed().filter(|(v, _)| is_light(v)) {
        let tracks: Vec<f64> = view
            .axles
            .iter()
            .filter_map(|a| a.track.as_ref().map(At::si))
            .collect();
        let (Some(z), false) = (&computed.z, tracks.is_empty()) else {
            continue;
        };
        let mean = Tracked::exact(tracks.iter().sum::<f64>() / tracks.len() as f64);
        let range = LIGHT_VEHICLE_STABILITY;
        let factor = static_stability_factor(&mean, z)
            .ok()
            .filter(|f| range.verdict(f.uncertain()) == Verdict::Beyond);
        if let Some(factor) = factor {
            found
                .add(PLACE, format!("Half the track over the height of the centre of gravity{} is unusual for a light vehicle.", view.of_variant()), "Look at tracks and height.")
                .computed(format::number(factor.value(), 3))
                .limit(format!("{} to {}", range.low, range.high));
        }
    }
}

fn above(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        if let (Some(z), Some(height)) = (&computed.z, &view.height)
            && z.value() >= height.si()
        {
            found
                .add(
                    PLACE,
                    format!(
                        "The centre of gravity{} lies above the vehicle.",
                        view.of_variant()
                    ),
                    "Look at the inputs of the height.",
                )
                .computed(format::metres(z.value()))
                .limit(height.value.value.to_string());
        }
    }
}

fn odd(ctx: &Context<'_>, found: &mut Findings) {
    for lift in ctx.masses.iter().flat_map(|m| &m.lifts) {
        let place = format!("{PLACE}/lifts/{}", lift.index);
        for flag in &lift.flags {
            match flag {
                HeightFlag::ShallowAngle { angle, .. } => {
                    found
                        .add(&place, "The angle is shallow, so a small error of the scale is a large error of the height.", "Raise the axle further.")
                        .computed(format!("{}°", format::number(angle.to_degrees(), 1)))
                        .limit("15°");
                }
                HeightFlag::LoadDidNotRise { .. } => {
                    found.add(
                        &place,
                        "The load on the axle left down did not rise; the readings may be swapped.",
                        "Look at both readings.",
                    );
                }
                HeightFlag::StepsDisagree(_) | HeightFlag::OutsideUsual(_) => {}
            }
        }
    }
}

fn disagree(ctx: &Context<'_>, found: &mut Findings) {
    let heights = ctx.masses.iter().map(|computed| {
        let lifts = computed.lifts.iter();
        lifts.map(|l| (l.index, l.height.clone())).unzip()
    });
    for d in super::scale_readings::worst_disagreements(&heights.collect::<Vec<_>>()) {
        found
            .add(format!("{PLACE}/lifts/{}", d.second), "This step gives another height than an earlier one, by more than their uncertainty explains.", "Look for moving suspension, brakes left on, or a reading mistaken.")
            .computed(format!("{} against {PLACE}/lifts/{}, ratio {}", format::metres(d.difference), d.first, format::number(d.ratio, 1)))
            .limit("ratio 1");
    }
}

fn lifts<'p>(ctx: &Context<'p>) -> &'p [chockstone_schema::model::mass::AxleLift] {
    let height = ctx
        .profile
        .mass
        .centre_height
        .as_ref()
        .filter(|h| h.method == HeightMethod::AxleLift);
    height.map(|h| h.lifts.as_slice()).unwrap_or_default()
}

fn free(ctx: &Context<'_>, found: &mut Findings) {
    for (i, lift) in lifts(ctx)
        .iter()
        .enumerate()
        .filter(|(_, l)| !l.suspension_blocked)
    {
        found.add(format!("{PLACE}/lifts/{i}"), format!("The suspension was free in the step {}; the height may be wrong by a fifth and more.", lift.id), "Block the suspension and lift again.");
    }
}

fn few(ctx: &Context<'_>, found: &mut Findings) {
    let steps = lifts(ctx);
    if (1..3).contains(&steps.len()) {
        found
            .add(
                format!("{PLACE}/lifts"),
                "Three or more steps are recommended.",
                "Lift in further steps.",
            )
            .computed(steps.len().to_string())
            .limit("3");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "centre-height-missing",
        "a height not known",
        r#"{"/mass/centre_height": {"method": "not_known"}}"#,
        "/mass/centre_height",
    ),
    pass("centre-height-missing", "a declared height", "{}"),
    fail(
        "centre-height-unusual",
        "1.3 m",
        r#"{"/mass/centre_height/declared/value": [1.3, "m"]}"#,
        "/mass/centre_height",
    ),
    pass(
        "centre-height-unusual",
        "1.3 m on a box truck",
        r#"{"/mass/centre_height/declared/value": [1.3, "m"], "/identity/body_style": "box_truck"}"#,
    ),
    fail(
        "stability-unusual",
        "1.6 m of track and 1.0 m high",
        r#"{"/mass/centre_height/declared": {"value": [1.0, "m"], "source": "manual"}}"#,
        "/mass/centre_height",
    ),
    pass("stability-unusual", "1.6 m of track and 0.64 m high", "{}"),
    fail(
        "centre-above-roof",
        "2 m in a vehicle of 1.9 m",
        r#"{"/mass/centre_height/declared/value": [2, "m"]}"#,
        "/mass/centre_height",
    ),
    pass("centre-above-roof", "0.64 m", "{}"),
    fail(
        "lift-step-odd",
        "5 degrees",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [5, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1144, "kg"], "total": [2100, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/0",
    ),
    fail(
        "lift-step-odd",
        "swapped loads",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1100, "kg"], "total": [2100, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/0",
    ),
    pass(
        "lift-step-odd",
        "20 degrees",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201.5, "kg"], "total": [2100, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
    ),
    fail(
        "lift-steps-disagree",
        "two heights apart",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "a", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "total": [2100, "kg"], "scale": {"division": [1, "kg"]}, "source": "scale"}, {"id": "b", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1240, "kg"], "total": [2100, "kg"], "scale": {"division": [1, "kg"]}, "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/1",
    ),
    pass(
        "lift-steps-disagree",
        "two heights alike",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "a", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "total": [2100, "kg"], "scale": {"division": [2, "kg"]}, "source": "scale"}, {"id": "b", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1202, "kg"], "total": [2100, "kg"], "scale": {"division": [2, "kg"]}, "source": "scale"}]}}"#,
    ),
    fail(
        "lift-suspension-free",
        "free springs",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/0",
    ),
    pass(
        "lift-suspension-free",
        "blocked springs",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
    ),
    fail(
        "few-lift-steps",
        "one step",
        r#"{"/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "source": "scale"}]}}"#,
        "/mass/centre_height/lifts",
    ),
    pass("few-lift-steps", "a declared height", "{}"),
];

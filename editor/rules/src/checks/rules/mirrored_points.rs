//! Mirrored points lie on the vehicle's right and off the centre plane; pairs measured by themselves mirror each other.
//!
//! Plain logic; the allowance of 20 mm between two measured sides is common practice, no source.

use super::prelude::*;
use chockstone_schema::model::point::Point;

pub(super) static RULES: &[Rule] = &[
    profile(
        "mirrored-on-centre-plane",
        "A mirrored point on the centre plane or on the vehicle's left.",
        Warning,
        LOGIC,
        on_plane,
    ),
    profile(
        "mirror-pair-apart",
        "A pair of points that do not mirror each other.",
        Warning,
        PRACTICE,
        apart,
    ),
    profile(
        "mirror-pair-one-sided",
        "A point that names a partner which does not name it.",
        Warning,
        LOGIC,
        one_sided,
    ),
    profile(
        "mirror-pair-impossible",
        "A point that is its own partner, or mirrored and paired at once.",
        Blocking,
        LOGIC,
        impossible,
    ),
];

fn on_plane(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point) in ctx
        .profile
        .points
        .iter()
        .enumerate()
        .filter(|(_, p)| p.mirrored)
    {
        let y = point.place.y.metres();
        if y.abs() < 0.001 {
            found
                .add(format!("/points/{i}/place/y"), format!("The point {} is mirrored, and lies on the centre plane: its image is itself.", point.id), "Enter its distance from the centre plane, or take the mirror away.")
                .computed(point.place.y.to_string())
                .limit("above 0");
        } else if y < 0.0 {
            found
                .add(
                    format!("/points/{i}/place/y"),
                    format!(
                        "The point {} is mirrored, and its place is on the vehicle's left.",
                        point.id
                    ),
                    "Enter the place of the one on the right: a positive number.",
                )
                .computed(point.place.y.to_string())
                .limit("above 0");
        }
    }
}

/// Each point with its partner.
fn pairs<'p>(ctx: &Context<'p>) -> impl Iterator<Item = (usize, &'p Point, &'p Point)> {
    let points = &ctx.profile.points;
    points.iter().enumerate().filter_map(move |(i, point)| {
        let id = point.mirror_of.as_ref()?.as_str();
        Some((i, point, points.iter().find(|p| p.id.as_str() == id)?))
    })
}

fn apart(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point, partner) in pairs(ctx).filter(|(_, a, b)| a.id != b.id) {
        let (a, b) = (&point.place, &partner.place);
        let along = (a.x.metres() - b.x.metres()).abs();
        let across = (a.y.metres() + b.y.metres()).abs();
        let up =
            a.z.zip(b.z)
                .map_or(0.0, |(a, b)| (a.metres() - b.metres()).abs());
        let worst = along.max(across).max(up);
        let doubt = |p: &Point| {
            p.place_plus_minus
                .map_or(0.0, chockstone_schema::quantity::Quantity::metres)
        };
        let slack = 0.02 + doubt(point) + doubt(partner);
        if worst > slack {
            found
                .add(
                    format!("/points/{i}/place"),
                    format!(
                        "The points {} and {} are a pair, and do not mirror each other.",
                        point.id, partner.id
                    ),
                    "Measure both again, or take the pairing away.",
                )
                .computed(format::metres(worst))
                .limit(format::metres(slack));
        }
    }
}

fn one_sided(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point, partner) in pairs(ctx) {
        if partner
            .mirror_of
            .as_ref()
            .is_none_or(|back| back.as_str() != point.id.as_str())
        {
            found.add(
                format!("/points/{i}/mirror_of"),
                format!(
                    "The point {} names {} as its partner, and not the other way round.",
                    point.id, partner.id
                ),
                format!("Name {} at {} too.", point.id, partner.id),
            );
        }
    }
}

fn impossible(ctx: &Context<'_>, found: &mut Findings) {
    for (i, point, partner) in pairs(ctx) {
        if point.id == partner.id {
            found.add(
                format!("/points/{i}/mirror_of"),
                format!("The point {} is its own partner.", point.id),
                "Name the point on the other side.",
            );
        } else if point.mirrored {
            found.add(
                format!("/points/{i}/mirrored"),
                format!(
                    "The point {} is mirrored, and has a partner of its own too.",
                    point.id
                ),
                "Keep one of the two.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "mirrored-on-centre-plane",
        "y of zero",
        r#"{"/points/2/place/y": [0, "mm"]}"#,
        "/points/2/place/y",
    ),
    fail(
        "mirrored-on-centre-plane",
        "y on the left",
        r#"{"/points/2/place/y": [-500, "mm"]}"#,
        "/points/2/place/y",
    ),
    pass("mirrored-on-centre-plane", "y on the right", "{}"),
    fail(
        "mirror-pair-apart",
        "30 mm apart",
        r#"{"/points/5/mirror_of": "ground", "/points/6/mirror_of": "plus", "/points/5/place/x": [-330, "mm"]}"#,
        "/points/5/place",
    ),
    pass(
        "mirror-pair-apart",
        "10 mm apart",
        r#"{"/points/5/mirror_of": "ground", "/points/6/mirror_of": "plus", "/points/5/place/x": [-310, "mm"]}"#,
    ),
    fail(
        "mirror-pair-one-sided",
        "one name",
        r#"{"/points/5/mirror_of": "ground"}"#,
        "/points/5/mirror_of",
    ),
    pass(
        "mirror-pair-one-sided",
        "both names",
        r#"{"/points/5/mirror_of": "ground", "/points/6/mirror_of": "plus"}"#,
    ),
    fail(
        "mirror-pair-impossible",
        "itself",
        r#"{"/points/5/mirror_of": "plus"}"#,
        "/points/5/mirror_of",
    ),
    fail(
        "mirror-pair-impossible",
        "mirrored and paired",
        r#"{"/points/5/mirror_of": "ground", "/points/5/mirrored": true}"#,
        "/points/5/mirrored",
    ),
    pass(
        "mirror-pair-impossible",
        "a pair",
        r#"{"/points/5/mirror_of": "ground", "/points/6/mirror_of": "plus"}"#,
    ),
];

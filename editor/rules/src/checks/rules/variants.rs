//! Variants that nobody can tell apart, or that differ in nothing; components whose variants are not named.
//!
//! Plain logic; component positions: BS ISO 17840:2013 preview, second-hand (versions whose component positions differ
//! need their own sheet).

use super::prelude::*;
use chockstone_schema::model::{
    identity::{Variant, VinPattern},
    point::PointKind,
};

pub(super) static RULES: &[Rule] = &[
    profile(
        "variant-vin-overlap",
        "Two variants that one vehicle number fits.",
        Warning,
        VIN,
        overlap,
    ),
    profile(
        "variant-vin-outside",
        "A variant's vehicle numbers that the profile does not cover.",
        Warning,
        VIN,
        outside,
    ),
    profile(
        "vin-pattern-open",
        "A pattern that any vehicle number fits.",
        Warning,
        VIN,
        open,
    ),
    profile(
        "variant-without-difference",
        "A variant that differs in nothing.",
        Warning,
        LOGIC,
        same,
    ),
    profile(
        "component-scope",
        "One place of a high-voltage component for bodies that differ.",
        Warning,
        ONE_POSITION,
        scope,
    ),
];

/// Whether one vehicle number can fit both patterns.
fn meet(a: &VinPattern, b: &VinPattern) -> bool {
    let pairs = a.pattern.as_str().bytes().zip(b.pattern.as_str().bytes());
    pairs
        .into_iter()
        .all(|(a, b)| a == b || a == b'*' || b == b'*')
}

fn overlap(ctx: &Context<'_>, found: &mut Findings) {
    let variants = &ctx.profile.variants;
    for (j, later) in variants.iter().enumerate() {
        for (k, pattern) in later.vin_patterns.iter().enumerate() {
            let other = variants
                .iter()
                .take(j)
                .find(|v| v.vin_patterns.iter().any(|p| meet(p, pattern)));
            if let Some(other) = other {
                found
                    .add(
                        format!("/variants/{j}/vin_patterns/{k}/pattern"),
                        format!(
                            "A vehicle number can fit both {} and {}.",
                            other.id, later.id
                        ),
                        "Fix a position that tells the variants apart.",
                    )
                    .computed(pattern.pattern.as_str());
            }
        }
    }
}

fn outside(ctx: &Context<'_>, found: &mut Findings) {
    let own = &ctx.profile.identity.vin_patterns;
    for (j, variant) in ctx
        .profile
        .variants
        .iter()
        .enumerate()
        .filter(|_| !own.is_empty())
    {
        for (k, pattern) in variant.vin_patterns.iter().enumerate() {
            if !own.iter().any(|p| meet(p, pattern)) {
                found
                    .add(
                        format!("/variants/{j}/vin_patterns/{k}/pattern"),
                        format!(
                            "No vehicle number of the variant {} fits the profile's own patterns.",
                            variant.id
                        ),
                        "Correct one of the patterns.",
                    )
                    .computed(pattern.pattern.as_str());
            }
        }
    }
}

fn open(ctx: &Context<'_>, found: &mut Findings) {
    let own = ctx
        .profile
        .identity
        .vin_patterns
        .iter()
        .enumerate()
        .map(|(i, p)| (format!("/identity/vin_patterns/{i}/pattern"), p));
    let variants = ctx.profile.variants.iter().enumerate().flat_map(|(j, v)| {
        v.vin_patterns
            .iter()
            .enumerate()
            .map(move |(k, p)| (format!("/variants/{j}/vin_patterns/{k}/pattern"), p))
    });
    for (place, pattern) in own.chain(variants) {
        if pattern.pattern.as_str().bytes().take(8).all(|b| b == b'*') {
            found
                .add(
                    place,
                    "The first eight positions, which tell maker and model, are all open.",
                    "Fix the positions that every vehicle of the profile shares.",
                )
                .computed(pattern.pattern.as_str());
        }
    }
}

/// Whether a variant states any difference of its own.
fn differs(variant: &Variant) -> bool {
    let labels = [&variant.battery, &variant.cab, &variant.bed]
        .into_iter()
        .any(Option::is_some);
    let values =
        variant.curb_mass.is_some() || variant.gvwr.is_some() || variant.ground_clearance.is_some();
    labels
        || values
        || variant.drive_layout.is_some()
        || body(variant)
        || !variant.axles.is_empty()
        || variant.energy.is_some()
}

/// Whether a variant's body differs.
fn body(variant: &Variant) -> bool {
    let sizes = [&variant.wheelbase, &variant.length, &variant.height]
        .into_iter()
        .any(Option::is_some);
    sizes
        || variant.side_outline.is_some()
        || variant.plan_outline.is_some()
        || variant.cab.is_some()
        || variant.bed.is_some()
}

fn named(ctx: &Context<'_>, variant: &Variant) -> bool {
    ctx.walk.is_used("variant", variant.id.as_str())
}

fn same(ctx: &Context<'_>, found: &mut Findings) {
    for (i, variant) in ctx.profile.variants.iter().enumerate() {
        if !differs(variant) && !named(ctx, variant) {
            found.add(
                format!("/variants/{i}"),
                format!(
                    "The variant {} differs in nothing, and nothing is only for it.",
                    variant.id
                ),
                "State what differs, or take the variant away.",
            );
        }
    }
}

fn scope(ctx: &Context<'_>, found: &mut Findings) {
    let profile = ctx.profile;
    if !profile.variants.iter().any(body) || profile.variants.len() < 2 {
        return;
    }
    let packs = profile
        .energy
        .high_voltage
        .iter()
        .flat_map(|h| h.packs.iter().enumerate());
    let packs = packs
        .filter(|(_, p)| p.variants.is_empty())
        .map(|(i, p)| (format!("/energy/high_voltage/packs/{i}"), &p.id));
    let points = profile.points.iter().enumerate().filter(|(_, p)| {
        matches!(p.kind, PointKind::ServiceDisconnect | PointKind::CutLoop) && p.variants.is_empty()
    });
    let points = points.map(|(i, p)| (format!("/points/{i}"), &p.id));
    for (place, id) in packs.chain(points) {
        found.add(
            place,
            format!("The variants differ in body, and {id} has one place for all of them."),
            "Name the variants that it holds for, all of them if it is so, or split it.",
        );
    }
}

#[cfg(test)]
const TWO: &str = r#"{"/variants": [{"id": "short", "name": {"en": "Short"}, "bed": "Short", "vin_patterns": [{"pattern": "1ZZAB1C2*A*******"}]}, {"id": "long", "name": {"en": "Long"}, "bed": "Long", "vin_patterns": [{"pattern": "1ZZAB1C2*A*******"}]}]}"#;
#[cfg(test)]
const APART: &str = r#"{"/variants": [{"id": "short", "name": {"en": "Short"}, "battery": "A", "vin_patterns": [{"pattern": "1ZZAB1C2*A*******"}]}, {"id": "long", "name": {"en": "Long"}, "battery": "B", "vin_patterns": [{"pattern": "1ZZAB1C2*B*******"}]}]}"#;

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "variant-vin-overlap",
        "one pattern twice",
        TWO,
        "/variants/1/vin_patterns/0/pattern",
    ),
    pass("variant-vin-overlap", "patterns apart", APART),
    fail(
        "variant-vin-outside",
        "another maker",
        r#"{"/variants": [{"id": "short", "name": {"en": "Short"}, "bed": "Short", "vin_patterns": [{"pattern": "2ZZAB1C2*A*******"}]}]}"#,
        "/variants/0/vin_patterns/0/pattern",
    ),
    pass("variant-vin-outside", "the same maker", APART),
    fail(
        "vin-pattern-open",
        "all positions open",
        r#"{"/identity/vin_patterns/0/pattern": "*****************"}"#,
        "/identity/vin_patterns/0/pattern",
    ),
    pass("vin-pattern-open", "eight positions fixed", "{}"),
    fail(
        "variant-without-difference",
        "a name alone",
        r#"{"/variants": [{"id": "plain", "name": {"en": "Plain"}}]}"#,
        "/variants/0",
    ),
    pass("variant-without-difference", "another battery", APART),
    fail(
        "component-scope",
        "one pack in two beds",
        TWO,
        "/energy/high_voltage/packs/0",
    ),
    pass("component-scope", "one body with two batteries", APART),
];

//! Weighings and lift steps that name no variant although the variants weigh or measure differently.
//!
//! Plain logic: one reading cannot be right for vehicles of different mass, wheelbase or wheel radius.

use super::prelude::*;
use chockstone_schema::model::mass::{HeightMethod, ItemState};

pub(super) static RULES: &[Rule] = &[
    profile(
        "reading-without-variant",
        "A weighing that names no variant where the variants differ.",
        Warning,
        LOGIC,
        readings,
    ),
    profile(
        "lift-without-variant",
        "A lift step that names no variant where the variants differ.",
        Warning,
        LOGIC,
        lifts,
    ),
];

/// Masses and lengths closer than this, in kilograms and metres, are the same as written.
const SAME: f64 = 1e-6;

/// Whether any two views state different figures; where one of them states none there is nothing to compare.
fn differ(ctx: &Context<'_>, figures: impl Fn(&View<'_>) -> Vec<Option<f64>>) -> bool {
    let all: Vec<Vec<Option<f64>>> = ctx.views.iter().map(figures).collect();
    all.iter().enumerate().any(|(i, later)| {
        let apart =
            |a: &Option<f64>, b: &Option<f64>| a.zip(*b).is_some_and(|(a, b)| (a - b).abs() > SAME);
        all.iter()
            .take(i)
            .any(|earlier| earlier.iter().zip(later).any(|(a, b)| apart(a, b)))
    })
}

fn masses_differ(ctx: &Context<'_>) -> bool {
    let built_in = |view: &View<'_>| {
        let items = ctx.profile.mass.items.iter();
        let own = items.filter(|i| i.state == ItemState::Included && view.has(&i.variants));
        own.map(|i| i.mass.si()).sum::<f64>()
    };
    differ(ctx, |v| {
        vec![v.curb_mass.as_ref().map(At::si), Some(built_in(v))]
    })
}

fn wheelbases_differ(ctx: &Context<'_>) -> bool {
    differ(ctx, |v| vec![v.wheelbase.as_ref().map(At::si)])
        || differ(ctx, |v| {
            v.axles.iter().map(|a| Some(a.position.si())).collect()
        })
}

fn tracks_differ(ctx: &Context<'_>) -> bool {
    differ(ctx, |v| {
        let tracks = v.axles.iter().map(|a| a.track.as_ref().map(At::si));
        tracks.collect()
    })
}

fn wheels_differ(ctx: &Context<'_>) -> bool {
    differ(ctx, |v| {
        let tyres = v.axles.iter().map(|a| a.tyre.as_ref());
        let radius = tyres.map(|t| Some(t?.value.static_loaded_radius.as_ref()?.si()));
        radius.collect()
    })
}

/// What variants may differ in, in words, and whether they do.
type Difference<'w> = (&'w str, fn(&Context<'_>) -> bool);

/// What the variants differ in, as a sentence names it; empty when they differ in nothing that matters here.
fn named(ctx: &Context<'_>, of: &[Difference<'_>]) -> String {
    let which = of.iter().filter(|(_, differ)| differ(ctx));
    which.map(|(word, _)| *word).collect::<Vec<_>>().join(", ")
}

fn readings(ctx: &Context<'_>, found: &mut Findings) {
    let apart = named(
        ctx,
        &[
            ("mass", masses_differ),
            ("axle positions", wheelbases_differ),
            ("track", tracks_differ),
        ],
    );
    let readings = ctx.profile.mass.readings.iter().enumerate();
    for (i, reading) in readings.filter(|(_, r)| !apart.is_empty() && r.variant.is_none()) {
        found
            .add(
                format!("/mass/readings/{i}"),
                format!("The weighing {} names no variant, so it stands for every variant although they differ.", reading.id),
                "Name the variant that was weighed.",
            )
            .computed(format!("variants differ in {apart}"));
    }
}

fn lifts(ctx: &Context<'_>, found: &mut Findings) {
    let height = ctx.profile.mass.centre_height.as_ref();
    let Some(height) = height.filter(|h| h.method == HeightMethod::AxleLift) else {
        return;
    };
    let apart = named(
        ctx,
        &[
            ("mass", masses_differ),
            ("axle positions", wheelbases_differ),
            ("wheel radius", wheels_differ),
        ],
    );
    let steps = height.lifts.iter().enumerate();
    for (i, step) in steps.filter(|(_, l)| !apart.is_empty() && l.variants.is_empty()) {
        found
            .add(
                format!("/mass/centre_height/lifts/{i}"),
                format!("The lift step {} names no variant, so it stands for every variant although they differ.", step.id),
                "Name the variants that the step holds for.",
            )
            .computed(format!("variants differ in {apart}"));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "reading-without-variant",
        "two curb masses",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "curb_mass": {"value": [2150, "kg"], "source": "manual"}}]}"#,
        "/mass/readings/0",
    ),
    fail(
        "reading-without-variant",
        "two axle positions",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "axles": [{"axle": "rear", "position": {"value": [3.5, "m"], "source": "tape"}}]}]}"#,
        "/mass/readings/0",
    ),
    fail(
        "reading-without-variant",
        "a pack that one variant lacks",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B"}], "/mass/items/0/variants": ["a"]}"#,
        "/mass/readings/0",
    ),
    pass(
        "reading-without-variant",
        "two curb masses and a named variant",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "curb_mass": {"value": [2150, "kg"], "source": "manual"}}], "/mass/readings/0/variant": "a"}"#,
    ),
    pass(
        "reading-without-variant",
        "variants that weigh the same",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B"}]}"#,
    ),
    pass(
        "reading-without-variant",
        "a single variant",
        r#"{"/variants": [{"id": "b", "name": {"en": "B"}, "battery": "B", "curb_mass": {"value": [2150, "kg"], "source": "manual"}}]}"#,
    ),
    fail(
        "lift-without-variant",
        "two curb masses",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "curb_mass": {"value": [2150, "kg"], "source": "manual"}}], "/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/0",
    ),
    fail(
        "lift-without-variant",
        "two wheel radii",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "axles": [{"axle": "rear", "tyre": {"size": "235/65 R17", "static_loaded_radius": {"value": [340, "mm"], "source": "tape"}}}]}], "/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
        "/mass/centre_height/lifts/0",
    ),
    pass(
        "lift-without-variant",
        "two curb masses and a named variant",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B", "curb_mass": {"value": [2150, "kg"], "source": "manual"}}], "/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "variants": ["a"], "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
    ),
    pass(
        "lift-without-variant",
        "variants that weigh the same",
        r#"{"/variants": [{"id": "a", "name": {"en": "A"}, "battery": "A"}, {"id": "b", "name": {"en": "B"}, "battery": "B"}], "/mass/centre_height": {"method": "axle_lift", "lifts": [{"id": "up", "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"}, "level_load": [1120, "kg"], "raised_load": [1201, "kg"], "suspension_blocked": true, "source": "scale"}]}}"#,
    ),
];

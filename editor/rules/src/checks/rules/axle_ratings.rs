//! What axles carry against their ratings.
//!
//! Plain logic: an empty vehicle that overloads an axle is described wrong. That ratings add up to the vehicle's own is
//! common practice, no source.

use super::prelude::*;
use chockstone_mechanics::verdict::{Limit, Verdict};

pub(super) static RULES: &[Rule] = &[
    profile(
        "axle-load-beyond-rating",
        "A weighed axle load beyond the axle's rating.",
        Blocking,
        LOGIC,
        beyond,
    ),
    profile(
        "axle-ratings-below-vehicle",
        "Axle ratings that add up to less than the vehicle's.",
        Warning,
        PRACTICE,
        sum,
    ),
];

fn beyond(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        for (axle, (_, load)) in view.axles.iter().zip(&computed.axles) {
            let (Some(gawr), Some(load)) = (&axle.gawr, load) else {
                continue;
            };
            let severity = match Limit::AtMost(gawr.si()).verdict(Some(load.uncertain())) {
                Verdict::Beyond => Blocking,
                Verdict::TooCloseToCall => Warning,
                Verdict::Within | Verdict::NotKnown => continue,
            };
            let how = if severity == Blocking {
                "is beyond"
            } else {
                "may be beyond"
            };
            found
                .add(
                    gawr.number(),
                    format!(
                        "The load on the axle {}{} {how} its rating with the vehicle empty.",
                        axle.axle.id,
                        view.of_variant()
                    ),
                    "Look at the weighing and at the rating on the label.",
                )
                .computed(format::with_doubt(load.value(), 2.0 * load.u(), "kg", 1))
                .limit(gawr.value.value.to_string())
                .severity(severity);
        }
    }
}

fn sum(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        let ratings: Option<Vec<f64>> = view
            .axles
            .iter()
            .map(|a| a.gawr.as_ref().map(At::si))
            .collect();
        let (Some(ratings), Some(gvwr)) = (ratings, &view.gvwr) else {
            continue;
        };
        let sum: f64 = ratings.iter().sum();
        if sum < gvwr.si() - 1e-6 {
            found
                .add(
                    gvwr.number(),
                    "The axle ratings add up to less than the gross vehicle weight rating.",
                    "Look at the ratings on the label.",
                )
                .computed(format::kilograms(sum))
                .limit(gvwr.value.value.to_string());
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "axle-load-beyond-rating",
        "1,120 kg on 1,000",
        r#"{"/axles/0/gawr/value": [1000, "kg"]}"#,
        "/axles/0/gawr/value",
    ),
    fail(
        "axle-load-beyond-rating",
        "a load too close to call",
        r#"{"/axles/0/gawr/value": [1119, "kg"]}"#,
        "/axles/0/gawr/value",
    )
    .worth(Warning),
    pass("axle-load-beyond-rating", "1,120 kg on 1,450", "{}"),
    fail(
        "axle-ratings-below-vehicle",
        "2,900 of 3,000 kg",
        r#"{"/axles/0/gawr/value": [1250, "kg"]}"#,
        "/mass/gvwr/value",
    ),
    pass(
        "axle-ratings-below-vehicle",
        "3,000 of 3,000 kg",
        r#"{"/axles/0/gawr/value": [1350, "kg"]}"#,
    ),
];

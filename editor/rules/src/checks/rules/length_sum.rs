//! Length is front overhang, wheelbase and rear overhang; the wheelbase is where the axles are.
//!
//! L103 = L104 + L101 + L105: SAE J1100 codes from memory, the sum is arithmetic. Wheelbase to the middle of several rear
//! axles: SAE J1100, second-hand.

use chockstone_schema::{Sourced, model::identity::Variant, quantity::DistanceKind};

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[
    profile(
        "length-sum",
        "A length that is not the sum of overhangs and wheelbase.",
        Blocking,
        LENGTH_SUM,
        sum,
    ),
    profile(
        "wheelbase-against-axles",
        "A wheelbase that differs from the positions of the axles.",
        Blocking,
        LENGTH_SUM,
        axles,
    ),
];

/// What rounding of entered figures explains, in metres, beside their stated doubt.
const ROUNDING: f64 = 0.005;

fn sum(ctx: &Context<'_>, found: &mut Findings) {
    let d = &ctx.profile.dimensions;
    for view in &ctx.views {
        let own = |f: fn(&Variant) -> Option<&Sourced<DistanceKind>>| view.variant.and_then(f);
        let front = own(|v| v.front_overhang.as_ref()).or(d.front_overhang.as_ref());
        let rear = own(|v| v.rear_overhang.as_ref()).or(d.rear_overhang.as_ref());
        let (Some(front), Some(rear)) = (front, rear) else {
            continue;
        };
        let (Some(length), Some(wheelbase)) = (&view.length, &view.wheelbase) else {
            continue;
        };
        let sum = front.si() + wheelbase.si() + rear.si();
        let doubts = [
            front.plus_minus_si(),
            rear.plus_minus_si(),
            Some(length.doubt()),
            Some(wheelbase.doubt()),
        ];
        let slack = ROUNDING + doubts.into_iter().flatten().sum::<f64>();
        if (sum - length.si()).abs() > slack {
            found
                .add(
                    length.number(),
                    format!(
                        "The length{} is not front overhang, wheelbase and rear overhang together.",
                        of_own(view, &length.place)
                    ),
                    "Measure again; one of the four is wrong.",
                )
                .computed(format!(
                    "{} + {} + {} = {}",
                    front.value,
                    wheelbase.value.value,
                    rear.value,
                    format::metres(sum)
                ))
                .limit(format!(
                    "{} ± {}",
                    length.value.value,
                    format::metres(slack)
                ));
        }
    }
}

fn of_own(view: &View<'_>, place: &str) -> String {
    if place.starts_with("/variants") {
        view.of_variant()
    } else {
        String::new()
    }
}

fn axles(ctx: &Context<'_>, found: &mut Findings) {
    for view in &ctx.views {
        let rear: Vec<f64> = view.axles.iter().skip(1).map(|a| a.position.si()).collect();
        let (Some(wheelbase), false) = (&view.wheelbase, rear.is_empty()) else {
            continue;
        };
        let middle = rear.iter().sum::<f64>() / rear.len() as f64;
        let doubt = wheelbase.doubt() + view.axles.last().map_or(0.0, |a| a.position.doubt());
        let slack = ROUNDING + doubt;
        // A second steered front axle moves the figure that makers state; only plain layouts are judged.
        let plain = rear.len() == 1
            || view
                .axles
                .iter()
                .skip(1)
                .all(|a| !a.axle.steered || a.index + 1 == view.axles.len());
        if plain && (middle - wheelbase.si()).abs() > slack {
            found
                .add(
                    wheelbase.number(),
                    "The wheelbase differs from the positions of the axles.",
                    "Correct the wheelbase or the axle's position.",
                )
                .computed(format::metres(middle))
                .limit(format!(
                    "{} ± {}",
                    wheelbase.value.value,
                    format::metres(slack)
                ));
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "length-sum",
        "4,900 of 4,800 mm",
        r#"{"/dimensions/rear_overhang/value": [1050, "mm"]}"#,
        "/dimensions/length/value",
    ),
    pass("length-sum", "4,800 mm", "{}"),
    pass(
        "length-sum",
        "a difference within the doubt",
        r#"{"/dimensions/rear_overhang/value": [960, "mm"]}"#,
    ),
    fail(
        "wheelbase-against-axles",
        "3,100 against 3,000 mm",
        r#"{"/dimensions/wheelbase/value": [3100, "mm"]}"#,
        "/dimensions/wheelbase/value",
    ),
    pass(
        "wheelbase-against-axles",
        "the same in inches",
        r#"{"/dimensions/wheelbase/value": [118.1, "in"]}"#,
    ),
];

//! Weighings that cannot be used, contradict themselves or disagree with each other.
//!
//! Plain logic; disagreement by the normalised difference of ISO/IEC 17043 and ISO 13528, from memory: above 1.

use std::collections::BTreeMap;

use super::prelude::*;
use chockstone_mechanics::{
    mass::{Disagreement, disagreements},
    propagation::Tracked,
};
use chockstone_schema::model::mass::{AxleLoad, Scale, ScaleReading};

pub(super) static RULES: &[Rule] = &[
    profile(
        "reading-axle-missing",
        "A weighing without a load for every axle.",
        Warning,
        LOGIC,
        missing,
    ),
    profile(
        "reading-axle-twice",
        "A weighing that names an axle twice.",
        Blocking,
        LOGIC,
        twice,
    ),
    profile(
        "reading-sum-wrong",
        "Wheel readings that do not add up to the axle's.",
        Blocking,
        LOGIC,
        sums,
    ),
    profile(
        "readings-disagree",
        "Weighings that differ by more than their uncertainty explains.",
        Warning,
        AGREEMENT,
        disagree,
    ),
    profile(
        "declared-against-weighed",
        "A declared curb mass far from the weighed one.",
        Warning,
        PRACTICE,
        declared,
    ),
    profile(
        "reading-without-scale",
        "A weighing without the scale's division or tolerance.",
        Note,
        PRACTICE,
        without_scale,
    ),
    profile(
        "inputs-refused",
        "Inputs that the mass formulas refuse.",
        Blocking,
        LOGIC,
        refused,
    ),
];

fn readings<'p>(ctx: &Context<'p>) -> impl Iterator<Item = (String, &'p ScaleReading)> {
    ctx.profile
        .mass
        .readings
        .iter()
        .enumerate()
        .map(|(i, r)| (format!("/mass/readings/{i}"), r))
}

fn has_load(load: &AxleLoad) -> bool {
    load.total.is_some() || (load.left.is_some() && load.right.is_some())
}

fn missing(ctx: &Context<'_>, found: &mut Findings) {
    for (place, reading) in readings(ctx) {
        let loads_place = if reading.loads.is_empty() {
            place
        } else {
            format!("{place}/loads")
        };
        for axle in &ctx.profile.axles {
            if !reading
                .loads
                .iter()
                .any(|l| l.axle.as_str() == axle.id.as_str() && has_load(l))
            {
                found.add(
                    &loads_place,
                    format!(
                        "The reading {} has no load for the axle {}, so it is not used.",
                        reading.id, axle.id
                    ),
                    "Weigh every axle, or enter both wheels where one is missing.",
                );
            }
        }
    }
}

fn twice(ctx: &Context<'_>, found: &mut Findings) {
    for (place, reading) in readings(ctx) {
        for (i, load) in reading.loads.iter().enumerate() {
            if reading
                .loads
                .iter()
                .take(i)
                .any(|earlier| earlier.axle == load.axle)
            {
                found.add(
                    format!("{place}/loads/{i}/axle"),
                    format!("The axle {} stands twice in one weighing.", load.axle),
                    "Keep one, or make a second weighing of it.",
                );
            }
        }
    }
}

/// How far three readings of one scale may miss each other's sum.
fn slack(scale: Option<&Scale>) -> f64 {
    let division = scale
        .and_then(|s| s.division)
        .map_or(0.0, chockstone_schema::quantity::Quantity::kilograms);
    let tolerance = scale
        .and_then(|s| s.tolerance)
        .map_or(0.0, chockstone_schema::quantity::Quantity::kilograms);
    // Half a division on each of three readings, and the tolerance on each.
    (1.5 * division + 3.0 * tolerance).max(1.0)
}

fn sums(ctx: &Context<'_>, found: &mut Findings) {
    for (place, reading) in readings(ctx) {
        for (i, load) in reading.loads.iter().enumerate() {
            let (Some(total), Some(left), Some(right)) = (load.total, load.left, load.right) else {
                continue;
            };
            let sum = left.kilograms() + right.kilograms();
            let slack = slack(reading.scale.as_ref());
            if (sum - total.kilograms()).abs() > slack + 1e-6 {
                found
                    .add(
                        format!("{place}/loads/{i}/total"),
                        "Left and right do not add up to the whole axle.",
                        "Look at the ticket, or weigh again.",
                    )
                    .computed(format!("{} + {} = {}", left, right, format::kilograms(sum)))
                    .limit(format!("{total} ± {}", format::kilograms(slack)));
            }
        }
    }
}

/// The worst disagreement of each later reading, so that many readings do not make a finding for each pair of them.
///
/// Each list holds the places of the readings in the profile and what was read, for one variant.
pub(super) fn worst_disagreements(lists: &[(Vec<usize>, Vec<Tracked>)]) -> Vec<Disagreement> {
    let mut worst: BTreeMap<usize, Disagreement> = BTreeMap::new();
    for (places, values) in lists {
        for d in disagreements(values) {
            let (Some(&first), Some(&second)) = (places.get(d.first), places.get(d.second)) else {
                continue;
            };
            if worst.get(&second).is_none_or(|w| w.ratio < d.ratio) {
                worst.insert(second, Disagreement { first, second, ..d });
            }
        }
    }
    worst.into_values().collect()
}

fn disagree(ctx: &Context<'_>, found: &mut Findings) {
    let masses = ctx.masses.iter().map(|computed| {
        let weighings = computed.weighings.iter();
        weighings.map(|w| (w.index, w.mass.clone())).unzip()
    });
    for d in worst_disagreements(&masses.collect::<Vec<_>>()) {
        found
            .add(format!("/mass/readings/{}", d.second), "This weighing differs from an earlier one by more than their uncertainty explains.", "Look at what was on board, which variant it was and at the scale; weigh again if need be.")
            .computed(format!("{} against /mass/readings/{}, ratio {}", format::kilograms(d.difference), d.first, format::number(d.ratio, 1)))
            .limit("ratio 1");
    }
}

/// Declared and weighed masses differ by equipment, fuel and what counts as empty: this much is usual.
const USUAL: f64 = 0.05;

fn declared(ctx: &Context<'_>, found: &mut Findings) {
    for (view, computed) in ctx.weighed() {
        let (Some(curb), Some(mass), true) = (&view.curb_mass, &computed.base, computed.is_weighed)
        else {
            continue;
        };
        let difference = mass.value() - curb.si();
        let doubt = (2.0 * mass.u()).hypot(curb.doubt());
        if difference.abs() > (USUAL * curb.si()).max(doubt) {
            found
                .add(curb.number(), format!("The weighed mass{} is far from the declared curb mass.", view.of_variant()), "Look at what was on board, at the variant and at what the declared mass includes.")
                .computed(format!("{}, {} %", format::with_doubt(mass.value(), 2.0 * mass.u(), "kg", 1), format::number(100.0 * difference / curb.si(), 1)))
                .limit(format!("{} ± 5 %", curb.value.value));
        }
    }
}

fn without_scale(ctx: &Context<'_>, found: &mut Findings) {
    for (place, reading) in readings(ctx) {
        let known = reading
            .scale
            .as_ref()
            .is_some_and(|s| s.division.is_some() || s.tolerance.is_some());
        if !known {
            found.add(place, format!("The uncertainty of the reading {} is not known: neither division nor tolerance of the scale is stated.", reading.id), "Enter the scale's division, and its tolerance if it is known.");
        }
    }
}

fn refused(ctx: &Context<'_>, found: &mut Findings) {
    for computed in &ctx.masses {
        for (place, why) in &computed.refused {
            found.add(
                place,
                format!("Mass or centre of gravity cannot be computed from this: {why}."),
                "Correct the input that the sentence names.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "reading-axle-missing",
        "one axle",
        r#"{"/mass/readings/0/loads/1": null}"#,
        "/mass/readings/0/loads",
    ),
    fail(
        "reading-axle-missing",
        "one wheel",
        r#"{"/mass/readings/0/loads/1/right": null}"#,
        "/mass/readings/0/loads",
    ),
    pass("reading-axle-missing", "both axles", "{}"),
    fail(
        "reading-axle-twice",
        "the rear twice",
        r#"{"/mass/readings/0/loads/-": {"axle": "rear", "total": [980, "kg"]}}"#,
        "/mass/readings/0/loads/2/axle",
    ),
    pass("reading-axle-twice", "each once", "{}"),
    fail(
        "reading-sum-wrong",
        "560 + 560 against 1,300",
        r#"{"/mass/readings/0/loads/0/total": [1300, "kg"]}"#,
        "/mass/readings/0/loads/0/total",
    ),
    pass(
        "reading-sum-wrong",
        "560 + 560 against 1,125",
        r#"{"/mass/readings/0/loads/0/total": [1125, "kg"]}"#,
    ),
    fail(
        "readings-disagree",
        "a second weighing 200 kg heavier",
        r#"{"/mass/readings/-": {"id": "second", "scale": {"division": [5, "kg"]}, "loads": [{"axle": "front", "total": [1220, "kg"]}, {"axle": "rear", "total": [1080, "kg"]}], "source": "scale"}}"#,
        "/mass/readings/1",
    ),
    pass(
        "readings-disagree",
        "a second weighing 5 kg heavier",
        r#"{"/mass/readings/-": {"id": "second", "scale": {"division": [5, "kg"]}, "loads": [{"axle": "front", "total": [1125, "kg"]}, {"axle": "rear", "total": [980, "kg"]}], "source": "scale"}}"#,
    ),
    fail(
        "declared-against-weighed",
        "1,900 kg declared",
        r#"{"/mass/curb_mass/value": [1900, "kg"]}"#,
        "/mass/curb_mass/value",
    ),
    pass(
        "declared-against-weighed",
        "2,050 kg declared",
        r#"{"/mass/curb_mass/value": [2050, "kg"]}"#,
    ),
    fail(
        "reading-without-scale",
        "no scale",
        r#"{"/mass/readings/0/scale": null}"#,
        "/mass/readings/0",
    ),
    pass("reading-without-scale", "a scale", "{}"),
    fail(
        "inputs-refused",
        "an axle that carries nothing",
        r#"{"/mass/readings/0/loads/1": {"axle": "rear", "total": [0, "kg"]}}"#,
        "/mass/readings/0",
    ),
    fail(
        "inputs-refused",
        "more on board than there is",
        r#"{"/mass/readings/0/on_board": [{"what": {"en": "Driver"}, "mass": [5000, "kg"]}]}"#,
        "/mass/readings/0/on_board",
    ),
    pass("inputs-refused", "good loads", "{}"),
];

#[cfg(test)]
mod tests {
    #![allow(clippy::panic, reason = "a panic is a failed test")]

    use chockstone_schema::{Profile, read, report::Finding};
    use serde_json::{Value, json};

    use crate::testing::{set, sound_profile};

    fn findings(check: &str, pointer: &str, new: Value) -> Vec<Finding> {
        let mut value = read::to_value(&sound_profile());
        set(&mut value, pointer, new);
        let profile: Profile = read::from_value(&value).unwrap_or_else(|f| panic!("{f:#?}"));
        let mut found = crate::check_profile(&profile);
        found.retain(|f| f.check == check);
        found
    }

    /// Two readings of 5 kg divisions each: u = 5/√12·√2 = 2.0412 kg, of a difference 2.8868, doubled 5.7735 kg. 2,104
    /// against 2,100 is within that; 2,200 is 100/5.7735 = 17.3 from the first and 96/5.7735 = 16.6 from the second.
    /// Arithmetic from the formula, no citation.
    #[test]
    fn a_weighing_is_told_once_with_its_worst_disagreement() {
        let weighing = |id: &str, front: f64| {
            json!({"id": id, "scale": {"division": [5, "kg"]}, "source": "scale",
                "loads": [{"axle": "front", "total": [front, "kg"]}, {"axle": "rear", "total": [980, "kg"]}]})
        };
        let three = json!([
            weighing("a", 1120.0),
            weighing("b", 1124.0),
            weighing("c", 1220.0)
        ]);
        let found = findings("readings-disagree", "/mass/readings", three);
        let told: Vec<_> = found
            .iter()
            .map(|f| (f.place.as_str(), f.computed.as_deref()))
            .collect();
        let expected = "100 kg against /mass/readings/0, ratio 17.3";
        assert_eq!(told, [("/mass/readings/2", Some(expected))]);
    }

    /// Rises of 81, 82 and 120 kg at 20°: the third step is told once, though it disagrees with both others.
    #[test]
    fn a_lift_step_is_told_once_with_its_worst_disagreement() {
        let step = |id: &str, raised: f64| {
            json!({"id": id, "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"},
                "level_load": [1120, "kg"], "raised_load": [raised, "kg"], "total": [2100, "kg"],
                "scale": {"division": [2, "kg"]}, "suspension_blocked": true, "source": "scale"})
        };
        let lifts = json!([step("a", 1201.0), step("b", 1202.0), step("c", 1240.0)]);
        let height = json!({"method": "axle_lift", "lifts": lifts});
        let found = findings("lift-steps-disagree", "/mass/centre_height", height);
        let places: Vec<_> = found.iter().map(|f| f.place.as_str()).collect();
        assert_eq!(places, ["/mass/centre_height/lifts/2"]);
    }
}

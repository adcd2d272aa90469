//! Tie-downs as the author states them: working load limits, both ends, the rule set, and the forces.
//!
//! FMCSA Driver's Handbook ch. 9, read: limits add up to half the weight; at least two at both the front and rear; the
//! light-vehicle rule ends at 10,000 lb. 49 CFR 393.102(a), one edition, read: 0.8 g, 0.5 g, 0.5 g.

use super::prelude::*;
use chockstone_mechanics::STANDARD_GRAVITY;
use chockstone_schema::model::advice::{Securing, SecuringRules};

pub(super) static RULES: &[Rule] = &[
    profile(
        "tiedown-limits-too-low",
        "Working load limits that add up to less than half the weight.",
        Blocking,
        HALF_WEIGHT,
        sum,
    ),
    profile(
        "tiedown-ends",
        "An end without tie-downs, or with one alone.",
        Blocking,
        TWO_AND_TWO,
        ends,
    ),
    profile(
        "light-vehicle-rule-too-heavy",
        "The light-vehicle rule for a vehicle above 10,000 lb.",
        Blocking,
        LIGHT_LIMIT,
        light,
    ),
    profile(
        "securing-forces",
        "The forces that securing must hold, from the mass.",
        Note,
        SECURING_FORCES,
        forces,
    ),
];

/// 10,000 lb in kilograms.
const LIGHT: f64 = 10_000.0 * 0.453_592_37;

/// The heaviest stated or weighed mass of any variant, in kilograms.
fn heaviest(ctx: &Context<'_>) -> Option<f64> {
    let masses = ctx.weighed().filter_map(|(v, c)| {
        let mass = c
            .mass
            .as_ref()
            .map(chockstone_mechanics::propagation::Tracked::value);
        let curb = v.curb_mass.as_ref().map(At::si);
        mass.into_iter().chain(curb).max_by(f64::total_cmp)
    });
    masses.max_by(f64::total_cmp)
}

fn stated<'p>(ctx: &Context<'p>) -> Option<&'p Securing> {
    ctx.profile.transport.securing.as_ref()
}

fn is_us(securing: &Securing) -> bool {
    matches!(
        securing.rule_set,
        SecuringRules::UsLightVehicle | SecuringRules::UsHeavyVehicle
    )
}

fn sum(ctx: &Context<'_>, found: &mut Findings) {
    let Some(securing) = stated(ctx).filter(|s| is_us(s)) else {
        return;
    };
    let (Some(limit), Some(mass)) = (&securing.working_load_limit, heaviest(ctx)) else {
        return;
    };
    let count = u32::from(securing.front_tiedowns) + u32::from(securing.rear_tiedowns);
    let sum = f64::from(count) * limit.si() / STANDARD_GRAVITY;
    if sum < mass / 2.0 - 1e-6 {
        found
            .add(
                "/transport/securing/working_load_limit/value",
                "The working load limits of all tie-downs add up to less than half the vehicle's weight.",
                "Use more tie-downs or stronger ones.",
            )
            .computed(format!("{count} × {} = {}", limit.value, format::kilograms(sum)))
            .limit(format!("{} of {}", format::kilograms(mass / 2.0), format::kilograms(mass)));
    }
}

fn ends(ctx: &Context<'_>, found: &mut Findings) {
    let Some(securing) = stated(ctx).filter(|s| is_us(s)) else {
        return;
    };
    for (end, count) in [
        ("front", securing.front_tiedowns),
        ("rear", securing.rear_tiedowns),
    ] {
        let place = format!("/transport/securing/{end}_tiedowns");
        if count == 0 {
            found
                .add(
                    place,
                    format!("The {end} is not tied down."),
                    format!("Tie the {end} down with two."),
                )
                .computed("0")
                .limit("2");
        } else if count == 1 {
            found
                .add(
                    place,
                    format!("The {end} has one tie-down."),
                    "Use two at each end.",
                )
                .computed("1")
                .limit("2")
                .severity(Warning);
        }
    }
}

fn light(ctx: &Context<'_>, found: &mut Findings) {
    let heavy = heaviest(ctx).filter(|m| *m > LIGHT + 1e-6);
    if let (Some(mass), Some(SecuringRules::UsLightVehicle)) =
        (heavy, stated(ctx).map(|s| s.rule_set))
    {
        found
            .add(
                "/transport/securing/rule_set",
                "The rule for cars, light trucks and vans ends at 10,000 lb.",
                "Follow the rule for heavy vehicles.",
            )
            .computed(format::kilograms(mass))
            .limit("10,000 lb (4,536 kg)");
    }
}

fn forces(ctx: &Context<'_>, found: &mut Findings) {
    if let Some(mass) = heaviest(ctx) {
        let newtons = |share: f64| format::kilonewtons(share * mass * STANDARD_GRAVITY);
        found
            .add(
                "/mass",
                "Securing must hold these forces, each by itself.",
                "Nothing to do: the figures are for whoever chooses tie-downs.",
            )
            .computed(format!(
                "{} forward, {} rearward, {} to each side",
                newtons(0.8),
                newtons(0.5),
                newtons(0.5)
            ))
            .limit(format!(
                "0.8 g, 0.5 g and 0.5 g of {}",
                format::kilograms(mass)
            ));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    pass(
        "tiedown-limits-too-low",
        "4 × 300 kg for 2,268 kg",
        r#"{"/mass/curb_mass/value": [2268, "kg"], "/mass/readings": [], "/transport/securing/working_load_limit/value": [300, "kg"]}"#,
    ),
    fail(
        "tiedown-limits-too-low",
        "3 × 300 kg for 2,268 kg",
        r#"{"/mass/curb_mass/value": [2268, "kg"], "/mass/readings": [], "/transport/securing/rear_tiedowns": 1, "/transport/securing/working_load_limit/value": [300, "kg"]}"#,
        "/transport/securing/working_load_limit/value",
    ),
    fail(
        "tiedown-ends",
        "front 2, rear 0",
        r#"{"/transport/securing/rear_tiedowns": 0}"#,
        "/transport/securing/rear_tiedowns",
    ),
    fail(
        "tiedown-ends",
        "front 1, rear 1",
        r#"{"/transport/securing/rear_tiedowns": 1, "/transport/securing/front_tiedowns": 1}"#,
        "/transport/securing/front_tiedowns",
    )
    .worth(Warning),
    pass("tiedown-ends", "front 2, rear 2", "{}"),
    fail(
        "light-vehicle-rule-too-heavy",
        "4,600 kg",
        r#"{"/mass/curb_mass/value": [4600, "kg"], "/mass/readings": []}"#,
        "/transport/securing/rule_set",
    ),
    pass(
        "light-vehicle-rule-too-heavy",
        "10,000 lb",
        r#"{"/mass/curb_mass/value": [10000, "lb"], "/mass/readings": []}"#,
    ),
    fail("securing-forces", "a mass", "{}", "/mass"),
    pass(
        "securing-forces",
        "no mass",
        r#"{"/mass/curb_mass": null, "/mass/readings": []}"#,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// 49 CFR 393.102(a)(1), one edition, read; the products are arithmetic.
    #[test]
    fn a_vehicle_of_2268_kg_wants_17_8_and_11_1_kn() {
        let case = fail(
            "securing-forces",
            "2,268 kg",
            r#"{"/mass/curb_mass/value": [2268, "kg"], "/mass/readings": []}"#,
            "/mass",
        );
        let (_, findings) = case.findings(true);
        let figure = findings
            .iter()
            .find(|f| f.check == "securing-forces")
            .and_then(|f| f.computed.clone());
        assert_eq!(
            figure.as_deref(),
            Some("17.79 kN forward, 11.12 kN rearward, 11.12 kN to each side")
        );
    }
}

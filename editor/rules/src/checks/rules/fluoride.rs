//! A bound for hydrogen fluoride from a pack that burns out, to rank vehicles and never to promise a dose.
//!
//! Larsson et al., Scientific Reports 7:10018 (2017), abstract, read: 20 to 200 mg per Wh in cell tests.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[profile(
    "fluoride-bound",
    "The bound for hydrogen fluoride from a burnt pack.",
    Note,
    FLUORIDE,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    for capacity in ctx.views.iter().filter_map(|v| v.capacity.as_ref()) {
        let watt_hours = capacity.si() / 3600.0;
        let kilograms = |per_hour: f64| format::number(watt_hours * per_hour / 1e6, 2);
        found
            .add(
                capacity.number(),
                "A pack of this energy that burns out may give off this much hydrogen fluoride; a bound from cell tests, not a dose.",
                "Nothing to do: the figure ranks vehicles for the fire service.",
            )
            .computed(format!("{} to {} kg", kilograms(20.0), kilograms(200.0)))
            .limit("20 to 200 mg/Wh");
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "fluoride-bound",
        "a pack",
        "{}",
        "/energy/high_voltage/capacity/value",
    ),
    pass(
        "fluoride-bound",
        "no energy stated",
        r#"{"/energy/high_voltage/capacity": null}"#,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic from the published range.
    #[test]
    fn sixty_kilowatt_hours_give_1_2_to_12_kg() {
        let case = fail(
            "fluoride-bound",
            "60 kWh",
            r#"{"/energy/high_voltage/capacity/value": [60, "kWh"]}"#,
            "",
        );
        let (_, findings) = case.findings(true);
        let figure = findings
            .iter()
            .find(|f| f.check == "fluoride-bound")
            .and_then(|f| f.computed.clone());
        assert_eq!(figure.as_deref(), Some("1.2 to 12 kg"));
    }
}

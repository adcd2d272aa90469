//! How much insulation resistance the rule asks of a sound vehicle: a note for whoever measures.
//!
//! UN R100, 5.1.3, quoted: 100 ohm per volt of working voltage with separate circuits, 500 where they are joined.

use super::prelude::*;
use chockstone_schema::model::energy::Buses;

pub(super) static RULES: &[Rule] = &[profile(
    "least-insulation",
    "The least insulation resistance in use, from voltage and circuits.",
    Note,
    ISOLATION,
    check,
)];

fn check(ctx: &Context<'_>, found: &mut Findings) {
    let Some(buses) = ctx
        .profile
        .energy
        .high_voltage
        .as_ref()
        .and_then(|h| h.buses)
    else {
        return;
    };
    let (per_volt, how) = match buses {
        Buses::Separate => (100.0, "separate"),
        Buses::Joined => (500.0, "joined"),
    };
    for voltage in ctx.views.iter().filter_map(|v| v.working_voltage.as_ref()) {
        found
            .add(
                voltage.number(),
                format!("With {how} circuits a sound vehicle has at least this insulation resistance in use."),
                "Nothing to do: the figure is for whoever measures.",
            )
            .computed(format!("{} kΩ", format::number(per_volt * voltage.si() / 1000.0, 1)))
            .limit(format!("{per_volt} Ω/V"));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "least-insulation",
        "separate circuits",
        "{}",
        "/energy/high_voltage/working_voltage/value",
    ),
    fail(
        "least-insulation",
        "joined circuits",
        r#"{"/energy/high_voltage/buses": "joined"}"#,
        "/energy/high_voltage/working_voltage/value",
    ),
    pass(
        "least-insulation",
        "circuits not stated",
        r#"{"/energy/high_voltage/buses": null}"#,
    ),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(volts: u32, buses: &'static str, expected: &str) {
        let edits = format!(
            r#"{{"/energy/high_voltage/working_voltage/value": [{volts}, "V"], "/energy/high_voltage/maximum_voltage": null, "/energy/high_voltage/buses": "{buses}"}}"#
        );
        let case = fail(
            "least-insulation",
            "a voltage",
            Box::leak(edits.into_boxed_str()),
            "",
        );
        let (_, findings) = case.findings(true);
        let figure = findings
            .iter()
            .find(|f| f.check == "least-insulation")
            .and_then(|f| f.computed.clone());
        assert_eq!(figure.as_deref(), Some(expected));
    }

    /// UN R100, 5.1.3, quoted; the products are arithmetic.
    #[test]
    fn four_hundred_volts_want_40_or_200_kilohm() {
        check(400, "separate", "40 kΩ");
        check(400, "joined", "200 kΩ");
        check(800, "separate", "80 kΩ");
        check(800, "joined", "400 kΩ");
    }
}

//! Insulating gloves: their test dates and what their class is for.
//!
//! 29 CFR 1910.137(c)(2) and Table I-5, second-hand: tested every 6 months, and not first issued more than 12 months after a
//! test. Voltages of the classes: AC from trade tables, second-hand; DC from memory except class 0.

use super::prelude::*;
use chockstone_schema::{date::Date, model::equipment::GloveClass};
use jiff::ToSpan as _;

pub(super) static RULES: &[Rule] = &[
    equipment(
        "glove-test-expired",
        "Gloves whose test is older than 6 months.",
        Blocking,
        GLOVE_TESTS,
        expired,
    ),
    equipment(
        "glove-storage-expired",
        "Gloves not issued yet whose test is older than 12 months.",
        Blocking,
        GLOVE_TESTS,
        storage,
    ),
    equipment(
        "glove-issued-late",
        "Gloves first issued more than 12 months after their test, or before it.",
        Blocking,
        GLOVE_TESTS,
        issued,
    ),
    equipment(
        "glove-last-day",
        "The last day on which gloves may be used.",
        Note,
        GLOVE_TESTS,
        last_day,
    ),
    equipment(
        "glove-test-unknown",
        "Gloves without the day of their test.",
        Blocking,
        GLOVE_TESTS,
        unknown,
    ),
    equipment(
        "glove-class-limit",
        "The voltage that the gloves' class is for.",
        Note,
        GLOVE_CLASSES,
        class_limit,
    ),
];

const PLACE: &str = "/gloves";
const RENEW: &str = "Have the gloves tested, or replace them.";

/// The same day some months later; the last day of the month where there is none.
fn after(date: Date, months: i32) -> Option<jiff::civil::Date> {
    date.civil().checked_add(months.months()).ok()
}

fn expired(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(gloves) = &ctx.equipment.gloves else {
        return;
    };
    // Gloves in store follow the longer rule.
    if let (Some(tested), Some(_), Some(today)) = (gloves.tested, gloves.issued, ctx.today)
        && let Some(last) = after(tested, 6)
        && today.civil() > last
    {
        found
            .add(
                format!("{PLACE}/tested"),
                format!(
                    "The gloves were last tested more than 6 months ago; {last} was the last day."
                ),
                RENEW,
            )
            .computed(today.to_string())
            .limit(last.to_string());
    }
}

fn storage(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(gloves) = &ctx.equipment.gloves else {
        return;
    };
    if let (Some(tested), None, Some(today)) = (gloves.tested, gloves.issued, ctx.today)
        && let Some(last) = after(tested, 12)
        && today.civil() > last
    {
        found.add(format!("{PLACE}/tested"), format!("The gloves lie in store and were tested more than 12 months ago; {last} was the last day to issue them."), RENEW).computed(today.to_string()).limit(last.to_string());
    }
}

fn issued(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some((tested, issued)) = ctx
        .equipment
        .gloves
        .as_ref()
        .and_then(|g| Some((g.tested?, g.issued?)))
    else {
        return;
    };
    // A later test than the first issue is the usual case for gloves in use, and says nothing of the first one.
    if let Some(last) = after(tested, 12)
        && issued.civil() > last
    {
        found
            .add(
                format!("{PLACE}/issued"),
                "The gloves were issued more than 12 months after their test.",
                RENEW,
            )
            .computed(issued.to_string())
            .limit(last.to_string());
    }
}

fn last_day(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let Some(gloves) = &ctx.equipment.gloves else {
        return;
    };
    let (months, what) = if gloves.issued.is_some() {
        (6, "used")
    } else {
        (12, "first issued")
    };
    if let (Some(tested), None) = (gloves.tested, ctx.today)
        && let Some(last) = after(tested, months)
    {
        found
            .add(
                format!("{PLACE}/tested"),
                format!(
                    "{last} is the last day on which the gloves may be {what} without another test."
                ),
                "Compare it with the day of use.",
            )
            .limit(last.to_string());
    }
}

fn unknown(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if ctx
        .equipment
        .gloves
        .as_ref()
        .is_some_and(|g| g.tested.is_none())
    {
        found.add(
            PLACE,
            "When the gloves were last tested is not stated.",
            "Enter the day stamped on them or on the test report.",
        );
    }
}

/// The highest voltages of a class: alternating, direct.
pub(crate) fn limits(class: GloveClass) -> (u32, u32) {
    match class {
        GloveClass::Class00 => (500, 750),
        GloveClass::Class0 => (1_000, 1_500),
        GloveClass::Class1 => (7_500, 11_250),
        GloveClass::Class2 => (17_000, 25_500),
        GloveClass::Class3 => (26_500, 39_750),
        GloveClass::Class4 => (36_000, 54_000),
    }
}

fn class_limit(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    if let Some(gloves) = &ctx.equipment.gloves {
        let (alternating, direct) = limits(gloves.class);
        found
            .add(format!("{PLACE}/class"), "Gloves of this class are for voltages up to the limit; inspect and air-test them before each day's use.", "Compare it with the vehicle's maximum voltage.")
            .limit(format!("{alternating} V AC, {direct} V DC"));
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    pass(
        "glove-test-expired",
        "a test of 2026-05-02, used on 2026-11-02",
        r#"{"/gloves/tested": "2026-05-02"}"#,
    ),
    fail(
        "glove-test-expired",
        "a test of 2026-05-01, used on 2026-11-02",
        r#"{"/gloves/tested": "2026-05-01"}"#,
        "/gloves/tested",
    ),
    fail(
        "glove-storage-expired",
        "a test 13 months ago, not issued",
        r#"{"/gloves/tested": "2025-10-01", "/gloves/issued": null}"#,
        "/gloves/tested",
    ),
    pass(
        "glove-storage-expired",
        "a test 11 months ago, not issued",
        r#"{"/gloves/tested": "2025-12-01", "/gloves/issued": null}"#,
    ),
    fail(
        "glove-issued-late",
        "issued 13 months after the test",
        r#"{"/gloves/tested": "2025-06-01", "/gloves/issued": "2026-07-01"}"#,
        "/gloves/issued",
    ),
    pass("glove-issued-late", "issued at once", "{}"),
    fail("glove-last-day", "no day of use", "{}", "/gloves/tested"),
    pass("glove-last-day", "no gloves", r#"{"/gloves": null}"#),
    fail(
        "glove-test-unknown",
        "no day of test",
        r#"{"/gloves/tested": null}"#,
        "/gloves",
    ),
    pass("glove-test-unknown", "a day of test", "{}"),
    fail("glove-class-limit", "class 0", "{}", "/gloves/class"),
    pass("glove-class-limit", "no gloves", r#"{"/gloves": null}"#),
];

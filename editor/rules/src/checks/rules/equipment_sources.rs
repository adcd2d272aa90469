//! Ratings of equipment name their source; texts have a string in the base language.
//!
//! Plain logic: a rating that nobody vouches for cannot be relied on.

use super::prelude::*;
use chockstone_schema::model::record::SourceKind;

pub(super) static RULES: &[Rule] = &[
    equipment(
        "equipment-value-without-source",
        "A value of equipment without a source.",
        Warning,
        LOGIC,
        values,
    ),
    equipment(
        "equipment-source-unused",
        "A source that nothing refers to.",
        Note,
        LOGIC,
        unused,
    ),
    equipment(
        "equipment-source-without-date",
        "A source of equipment without a date.",
        Note,
        LOGIC,
        dates,
    ),
    equipment(
        "equipment-text-without-base-language",
        "A text without a string in the base language.",
        Blocking,
        LOGIC,
        base,
    ),
];

fn values(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    for value in ctx.walk.values.iter().filter(|v| v.source.is_none()) {
        found.add(
            &value.place,
            "The value names no source.",
            "Name the plate, the label or the maker's document.",
        );
    }
}

fn unused(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    for (i, source) in ctx
        .equipment
        .sources
        .iter()
        .enumerate()
        .filter(|(_, s)| !ctx.walk.is_used("source", s.id.as_str()))
    {
        found.add(
            format!("/sources/{i}"),
            format!("Nothing refers to the source {}.", source.id),
            "Name it where it belongs, or take it away.",
        );
    }
}

fn dates(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    for (i, source) in ctx.equipment.sources.iter().enumerate() {
        if source.date.is_none() && source.kind != SourceKind::Estimate {
            found.add(
                format!("/sources/{i}"),
                format!("The source {} has no date.", source.id),
                "Enter the day of the measurement or of the edition.",
            );
        }
    }
}

fn base(ctx: &EquipmentContext<'_>, found: &mut Findings) {
    let language = ctx.equipment.language.as_str();
    for place in ctx.walk.texts.without(language) {
        found.add(
            place,
            format!("The text has no string in the language {language}."),
            format!("Write it in {language}."),
        );
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "equipment-value-without-source",
        "a pull without source",
        r#"{"/winch/line_pull/source": null}"#,
        "/winch/line_pull",
    ),
    pass("equipment-value-without-source", "sources everywhere", "{}"),
    fail(
        "equipment-source-unused",
        "an idle source",
        r#"{"/sources/-": {"id": "idle", "kind": "estimate", "title": {"en": "Idle"}}}"#,
        "/sources/1",
    ),
    pass("equipment-source-unused", "a busy source", "{}"),
    fail(
        "equipment-source-without-date",
        "no date",
        r#"{"/sources/0/date": null}"#,
        "/sources/0",
    ),
    pass("equipment-source-without-date", "a date", "{}"),
    fail(
        "equipment-text-without-base-language",
        "a Spanish name",
        r#"{"/name": {"es": "Grúa"}}"#,
        "/name",
    ),
    pass(
        "equipment-text-without-base-language",
        "an English name",
        "{}",
    ),
];

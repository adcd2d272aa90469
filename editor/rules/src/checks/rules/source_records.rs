//! Sources without a date, and parts that nothing refers to.
//!
//! Dates: USFA and NHTSA, Response Operations Guide of 2025-07-29, read. The rest is plain logic.

use super::prelude::*;
use chockstone_schema::model::record::SourceKind;

pub(super) static RULES: &[Rule] = &[
    profile(
        "source-without-date",
        "A source without the day of measuring or of the edition.",
        Warning,
        SOURCES_DIFFER,
        dates,
    ),
    profile(
        "estimate-unexplained",
        "An estimate used for more than the outlines that does not say how it was made.",
        Note,
        LOGIC,
        estimates,
    ),
    profile(
        "source-unused",
        "A source that nothing refers to.",
        Note,
        LOGIC,
        sources,
    ),
    profile(
        "attachment-unused",
        "An attachment that nothing refers to.",
        Note,
        LOGIC,
        attachments,
    ),
    profile(
        "hazard-unused",
        "A hazard message that applies to nothing.",
        Note,
        LOGIC,
        hazards,
    ),
    profile(
        "condition-unused",
        "A condition of the profile's own that nothing refers to.",
        Note,
        LOGIC,
        conditions,
    ),
];

fn dates(ctx: &Context<'_>, found: &mut Findings) {
    for (i, source) in ctx.profile.sources.iter().enumerate() {
        if source.date.is_none() && source.kind != SourceKind::Estimate {
            let what = if source.kind == SourceKind::Measured {
                "the day of the measurement"
            } else {
                "the day of the edition"
            };
            found.add(
                format!("/sources/{i}"),
                format!("The source {} does not tell {what}.", source.id),
                format!("Enter {what}."),
            );
        }
    }
}

fn estimates(ctx: &Context<'_>, found: &mut Findings) {
    for (i, source) in ctx.profile.sources.iter().enumerate() {
        let valued = ctx
            .walk
            .values
            .iter()
            .chain(&ctx.walk.statements)
            .any(|v| v.source.as_deref() == Some(source.id.as_str()));
        if source.kind == SourceKind::Estimate && source.note.is_none() && valued {
            found.add(
                format!("/sources/{i}"),
                format!("The estimate {} does not say how it was made.", source.id),
                "Say in its note how it was made and how far it may be trusted.",
            );
        }
    }
}

fn unused<'a>(
    ctx: &Context<'_>,
    of: &str,
    list: &str,
    ids: impl Iterator<Item = &'a str>,
    settle: &str,
    found: &mut Findings,
) {
    for (i, id) in ids.enumerate() {
        if !ctx.walk.is_used(of, id) {
            found.add(
                format!("{list}/{i}"),
                format!("Nothing refers to the {of} {id}."),
                settle,
            );
        }
    }
}

fn sources(ctx: &Context<'_>, found: &mut Findings) {
    unused(
        ctx,
        "source",
        "/sources",
        ctx.profile.sources.iter().map(|s| s.id.as_str()),
        "Name it where it belongs, or take it away.",
        found,
    );
}

fn attachments(ctx: &Context<'_>, found: &mut Findings) {
    unused(
        ctx,
        "attachment",
        "/attachments",
        ctx.profile.attachments.iter().map(|a| a.id.as_str()),
        "Name it at the source, point or step that it shows, or take it away.",
        found,
    );
}

fn conditions(ctx: &Context<'_>, found: &mut Findings) {
    unused(
        ctx,
        "condition",
        "/conditions",
        ctx.profile.conditions.iter().map(|c| c.id.as_str()),
        "Name it at the steps that need or make it, or take it away.",
        found,
    );
}

fn hazards(ctx: &Context<'_>, found: &mut Findings) {
    for (i, hazard) in ctx.profile.hazards.iter().enumerate() {
        if hazard.topics.is_empty() && !ctx.walk.is_used("hazard", hazard.id.as_str()) {
            found.add(
                format!("/hazards/{i}"),
                format!("The hazard message {} applies to nothing.", hazard.id),
                "Choose its topics, or name it at steps, points or zones.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "source-without-date",
        "a tape without a day",
        r#"{"/sources/0/date": null}"#,
        "/sources/0",
    ),
    pass("source-without-date", "days everywhere", "{}"),
    fail(
        "estimate-unexplained",
        "an estimate without a note",
        r#"{"/sources/2/kind": "estimate"}"#,
        "/sources/2",
    ),
    pass(
        "estimate-unexplained",
        "an estimate with a note",
        r#"{"/sources/2/kind": "estimate", "/sources/2/note": {"en": "Scaled from a drawing."}}"#,
    ),
    fail(
        "source-unused",
        "an idle source",
        r#"{"/sources/-": {"id": "idle", "kind": "guidance", "title": {"en": "Idle"}, "date": "2020-01-01"}}"#,
        "/sources/4",
    ),
    pass("source-unused", "busy sources", "{}"),
    fail(
        "attachment-unused",
        "an idle file",
        r#"{"/attachments": [{"id": "photo", "title": {"en": "Photo"}, "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "size": 3, "media_type": "image/png"}]}"#,
        "/attachments/0",
    ),
    pass(
        "attachment-unused",
        "a file named at a point",
        r#"{"/points/0/pictures": ["photo"], "/attachments": [{"id": "photo", "title": {"en": "Photo"}, "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "size": 3, "media_type": "image/png"}]}"#,
    ),
    fail(
        "hazard-unused",
        "a message for nothing",
        r#"{"/hazards/-": {"id": "idle", "signal": "notice", "harm": "property", "hazard": {"en": "Paint."}, "consequence": {"en": "Scratches."}, "avoidance": {"en": "Pad it."}, "source": "guidance"}}"#,
        "/hazards/3",
    ),
    pass("hazard-unused", "messages with topics", "{}"),
    fail(
        "condition-unused",
        "an idle condition",
        r#"{"/conditions": [{"id": "idle", "name": {"en": "Idle"}, "meaning": {"en": "Nothing."}}]}"#,
        "/conditions/0",
    ),
    pass(
        "condition-unused",
        "a condition that a step needs",
        r#"{"/conditions": [{"id": "dry", "name": {"en": "Dry"}, "meaning": {"en": "No water."}}], "/procedures/0/starts_with": ["key-present", "dry"]}"#,
    ),
];

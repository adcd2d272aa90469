//! Every text has a string in the base language and in each language that the profile promises.
//!
//! Plain logic: a sheet in a language that is not complete would be silent somewhere.

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[
    profile(
        "text-without-base-language",
        "A text without a string in the base language.",
        Blocking,
        LOGIC,
        base,
    ),
    profile(
        "text-untranslated",
        "A text without a string in a language that the profile promises.",
        Warning,
        LOGIC,
        promised,
    ),
    profile(
        "language-unlisted",
        "Strings in a language that the profile does not promise.",
        Note,
        LOGIC,
        unlisted,
    ),
    profile(
        "language-twice",
        "A promised language that is the base language, or stands twice.",
        Warning,
        LOGIC,
        twice,
    ),
];

fn without(ctx: &Context<'_>, language: &str, found: &mut Findings) {
    for place in ctx.walk.texts.without(language) {
        found.add(
            place,
            format!("The text has no string in the language {language}."),
            format!("Write it in {language}."),
        );
    }
}

fn base(ctx: &Context<'_>, found: &mut Findings) {
    without(ctx, ctx.profile.language.as_str(), found);
}

fn promised(ctx: &Context<'_>, found: &mut Findings) {
    for language in ctx
        .profile
        .languages
        .iter()
        .filter(|l| **l != ctx.profile.language)
    {
        without(ctx, language.as_str(), found);
    }
}

fn unlisted(ctx: &Context<'_>, found: &mut Findings) {
    let listed = |l: &str| {
        ctx.profile.language.as_str() == l
            || ctx.profile.languages.iter().any(|own| own.as_str() == l)
    };
    for (language, count) in ctx
        .walk
        .texts
        .counts()
        .into_iter()
        .filter(|(l, _)| !listed(l))
    {
        found
            .add("/language", format!("{count} of {} texts have a string in {language}, which the profile does not promise.", ctx.walk.texts.len()), format!("Add {language} to the languages, or take the strings away."))
            .computed(count.to_string());
    }
}

fn twice(ctx: &Context<'_>, found: &mut Findings) {
    let languages = &ctx.profile.languages;
    for (i, language) in languages.iter().enumerate() {
        if *language == ctx.profile.language || languages.iter().take(i).any(|l| l == language) {
            found.add(
                format!("/languages/{i}"),
                format!("The language {language} stands twice."),
                "Take it out of the list.",
            );
        }
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "text-without-base-language",
        "a text in Spanish alone",
        r#"{"/points/0/name": {"es": "Punto"}}"#,
        "/points/0/name",
    ),
    pass("text-without-base-language", "texts in English", "{}"),
    fail(
        "text-untranslated",
        "Spanish promised",
        r#"{"/languages": ["es"]}"#,
        "/points/0/name",
    ),
    pass("text-untranslated", "nothing promised", "{}"),
    fail(
        "language-unlisted",
        "a Spanish string",
        r#"{"/points/0/name": {"en": "Point", "es": "Punto"}}"#,
        "/language",
    ),
    pass("language-unlisted", "English alone", "{}"),
    fail(
        "language-twice",
        "the base language again",
        r#"{"/languages": ["en"]}"#,
        "/languages/0",
    ),
    pass(
        "language-twice",
        "another language",
        r#"{"/languages": ["es"]}"#,
    ),
];

//! What stands between a profile and its release besides its contents: questions that nobody answered, values that a merge
//! left to be chosen; and reviews of other contents.
//!
//! Common practice, no source: whoever asks is answered before the thing is used, and a review is worth what was reviewed.

use chockstone_schema::{
    model::record::{Decision, Review},
    read::contents_hash,
};

use super::prelude::*;

pub(super) static RULES: &[Rule] = &[
    profile(
        "open-question",
        "A reviewer's question that nobody answered.",
        Blocking,
        PRACTICE,
        questions,
    ),
    profile(
        "open-conflict",
        "A part that two people changed in two ways and for which neither was chosen.",
        Blocking,
        LOGIC,
        conflicts,
    ),
    profile(
        "review-stale",
        "A review of other contents than these.",
        Note,
        PRACTICE,
        stale,
    ),
];

fn questions(ctx: &Context<'_>, found: &mut Findings) {
    for (i, review) in ctx.profile.reviews.iter().enumerate() {
        if review.decision == Decision::Question
            && review.answer.is_none()
            && (review.comment.is_some() || review.remarks.is_empty())
        {
            ask(
                found,
                format!("/reviews/{i}"),
                review,
                "about the whole profile",
            );
        }
        let asked = review.remarks.iter().enumerate();
        for (j, remark) in asked
            .filter(|(_, remark)| remark.decision == Decision::Question && remark.answer.is_none())
        {
            let what = format!("about {}", remark.part);
            ask(found, format!("/reviews/{i}/remarks/{j}"), review, &what);
        }
    }
}

fn ask(found: &mut Findings, place: String, review: &Review, what: &str) {
    found.add(
        place,
        format!(
            "{} ({}) asked a question {what} that nobody answered.",
            review.who, review.role
        ),
        "Answer it, after changing the profile where the question is right.",
    );
}

fn conflicts(ctx: &Context<'_>, found: &mut Findings) {
    for (i, conflict) in ctx.profile.conflicts.iter().enumerate() {
        found.add(
            format!("/conflicts/{i}"),
            format!("Two people changed {} in two ways.", conflict.part),
            "Choose one of the values, or enter a third one.",
        );
    }
}

fn stale(ctx: &Context<'_>, found: &mut Findings) {
    if ctx.profile.reviews.is_empty() {
        return;
    }
    let now = contents_hash(ctx.profile);
    let reviews = ctx.profile.reviews.iter().enumerate();
    for (i, review) in reviews.filter(|(_, review)| review.over != now) {
        found.add(
            format!("/reviews/{i}/over"),
            format!(
                "The review of {} by {} is about other contents than these.",
                review.at, review.who
            ),
            "Let it be reviewed again where the library asks for a review of these contents.",
        );
    }
}

#[cfg(test)]
pub(super) static CASES: &[Case] = &[
    fail(
        "open-question",
        "a question about a part",
        r#"{"/reviews": [{"id": "first", "who": "Ana Ruiz", "role": "reviewer", "at": "2026-03-01T09:00:00Z", "over": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "decision": "question", "remarks": [{"part": "/points/lift-front/place", "decision": "question", "comment": {"en": "From which end?"}}]}]}"#,
        "/reviews/0/remarks/0",
    ),
    fail(
        "open-question",
        "a question about the whole",
        r#"{"/reviews": [{"id": "first", "who": "Ana Ruiz", "role": "reviewer", "at": "2026-03-01T09:00:00Z", "over": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "decision": "question"}]}"#,
        "/reviews/0",
    ),
    pass(
        "open-question",
        "a question that was answered",
        r#"{"/reviews": [{"id": "first", "who": "Ana Ruiz", "role": "reviewer", "at": "2026-03-01T09:00:00Z", "over": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "decision": "question", "remarks": [{"part": "/points/lift-front/place", "decision": "question", "comment": {"en": "From which end?"}, "answer": {"who": "Lena Ott", "at": "2026-03-02T09:00:00Z", "text": {"en": "From the front axle, as everywhere."}}}]}]}"#,
    ),
    fail(
        "open-conflict",
        "a conflict",
        r#"{"/conflicts": [{"part": "/mass/gvwr/value", "about": "value", "base": [8500, "lb"], "ours": [8600, "lb"], "theirs": [8700, "lb"]}]}"#,
        "/conflicts/0",
    ),
    pass("open-conflict", "none", "{}"),
    fail(
        "review-stale",
        "a review of other contents",
        r#"{"/reviews": [{"id": "first", "who": "Ana Ruiz", "role": "reviewer", "at": "2026-03-01T09:00:00Z", "over": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", "decision": "accept"}]}"#,
        "/reviews/0/over",
    ),
    pass("review-stale", "no review", "{}"),
];

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use chockstone_schema::{Profile, read::to_value};
    use serde_json::{from_value, json};

    use super::*;
    use crate::testing::sound_profile;

    fn reviewed(change: impl Fn(&mut serde_json::Value)) -> Vec<String> {
        let sound = sound_profile();
        let mut document = to_value(&sound);
        change(&mut document);
        document["reviews"] = json!([{"id": "first", "who": "Ana Ruiz", "role": "reviewer",
            "at": "2026-03-01T09:00:00Z", "over": contents_hash(&sound).as_str(), "decision": "accept"}]);
        let profile: Profile = from_value(document).unwrap();
        let found = crate::check_profile(&profile).into_iter();
        found
            .filter(|f| f.check == "review-stale")
            .map(|f| f.place)
            .collect()
    }

    #[test]
    fn a_review_stays_good_over_its_own_contents_and_a_release_number() {
        assert_eq!(reviewed(|_| ()), [] as [&str; 0]);
        assert_eq!(reviewed(|p| p["release"] = json!("4.0.0")), [] as [&str; 0]);
        let other = reviewed(|p| p["identity"]["model"] = json!("Other"));
        assert_eq!(other, ["/reviews/0/over"]);
    }
}

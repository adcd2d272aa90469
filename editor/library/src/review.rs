//! What a reviewer says to each change, put together into a review that is kept with the profile.
//!
//! Common practice, no source: a review is an acceptance only when everything that can hurt somebody was looked at and
//! accepted, and nothing was asked. What nobody looked at is never counted as accepted.

use chockstone_schema::{
    Profile,
    codes::PartPath,
    date::Moment,
    id::Id,
    model::record::{Decision, Remark, Review},
    read::{contents_hash, to_value},
    report::{Change, Grade},
    text::{Label, Text},
};
use serde_json::Value;

use crate::part;

/// Who reviews.
#[derive(Clone, Copy, Debug)]
pub struct Reviewer<'r> {
    /// The name.
    pub who: &'r str,
    /// The role.
    pub role: &'r str,
    /// When.
    pub at: Moment,
}

/// What a reviewer said to one change.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// The change.
    pub change: Change,
    /// What was decided.
    pub decision: Decision,
    /// Why, or what is asked; may be blank for an acceptance.
    pub comment: String,
}

/// How far a review has come.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// How many changes there are.
    pub changes: usize,
    /// How many of them have a decision.
    pub decided: usize,
    /// How many of those that can hurt have none.
    pub hurting_left: usize,
    /// How many questions were asked.
    pub asked: usize,
}

impl Progress {
    /// What the whole review would decide.
    pub fn decision(&self) -> Decision {
        if self.hurting_left == 0 && self.asked == 0 {
            Decision::Accept
        } else {
            Decision::Question
        }
    }
}

/// Whether a review is about a change. It is over the contents without the release number and the reviews themselves, as
/// [`contents_hash`] takes them.
pub fn is_about(change: &Change) -> bool {
    let place = change.place();
    let fields = ["/release", "/reviews"];
    !fields.iter().any(|field| {
        let rest = place.strip_prefix(field);
        rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
    })
}

/// How far a review of these changes has come.
pub fn progress(changes: &[Change], verdicts: &[Verdict]) -> Progress {
    let said = |change: &Change| verdicts.iter().find(|v| v.change == *change);
    let reviewed = changes.iter().filter(|change| is_about(change));
    let decisions = reviewed.map(|change| (change, said(change)));
    let mut progress = Progress {
        changes: 0,
        decided: 0,
        hurting_left: 0,
        asked: 0,
    };
    for (change, verdict) in decisions {
        progress.changes += 1;
        match verdict.map(|v| v.decision) {
            Some(Decision::Question) => {
                progress.decided += 1;
                progress.asked += 1;
            }
            Some(Decision::Accept) => progress.decided += 1,
            None => progress.hurting_left += usize::from(change.grade == Grade::CanHurt),
        }
    }
    progress
}

/// The review of the newer profile against the older one. Refuses a review without a name, a role or any decision, and a
/// question without words.
///
/// `changes` is the difference of the two; verdicts on anything else are left out.
pub fn record(
    (older, newer): (&Profile, &Profile),
    changes: &[Change],
    verdicts: &[Verdict],
    reviewer: Reviewer<'_>,
) -> Result<Review, String> {
    let label = |what: &str, text: &str| {
        let text = text.trim();
        if text.is_empty() {
            return Err(format!("Say {what}."));
        }
        Label::new(text)
    };
    let who = label("who reviews", reviewer.who)?;
    let role = label("in which role", reviewer.role)?;
    let progress = progress(changes, verdicts);
    if progress.decided == 0 {
        return Err("No change has a decision yet: accept or ask first.".to_owned());
    }
    let values = [to_value(older), to_value(newer)];
    let known = verdicts
        .iter()
        .filter(|v| is_about(&v.change) && changes.contains(&v.change));
    let mut remarks: Vec<Remark> = Vec::new();
    for verdict in known {
        add(&mut remarks, remark(&values, newer, verdict)?);
    }
    Ok(Review {
        id: new_id(newer, reviewer.at),
        who,
        role,
        at: reviewer.at,
        over: contents_hash(newer),
        against: Some(contents_hash(older)),
        decision: progress.decision(),
        comment: None,
        answer: None,
        remarks,
    })
}

fn remark(
    [older, newer]: &[Value; 2],
    profile: &Profile,
    verdict: &Verdict,
) -> Result<Remark, String> {
    let change = &verdict.change;
    let part = match (&change.after_place, &change.before_place) {
        (Some(place), _) => named(newer, place),
        (None, Some(place)) => named(older, place),
        (None, None) => None,
    };
    let part = part.ok_or_else(|| format!("{} cannot be named.", change.place()))?;
    let comment = verdict.comment.trim();
    let asks = verdict.decision == Decision::Question;
    if comment.is_empty() && asks {
        return Err("A question needs words: say what is asked.".to_owned());
    }
    let comment = (!comment.is_empty())
        .then(|| Text::new(&profile.language, comment))
        .transpose()?;
    Ok(Remark {
        part,
        decision: verdict.decision,
        comment,
        answer: None,
    })
}

/// The path of a part, or of the nearest part around it that can be named.
fn named(profile: &Value, place: &str) -> Option<PartPath> {
    let mut place = place;
    loop {
        if let Some(path) = part::path_of(profile, place) {
            return Some(path);
        }
        (place, _) = place.rsplit_once('/')?;
    }
}

/// Adds a remark. Of two about one part, such as a step that moved and changed, a question stays beside an acceptance,
/// and equal acceptances become one.
fn add(remarks: &mut Vec<Remark>, remark: Remark) {
    if !remarks.contains(&remark) {
        remarks.push(remark);
    }
}

fn new_id(profile: &Profile, at: Moment) -> Id {
    let day = at.date().to_string();
    let taken = |id: &Id| profile.reviews.iter().any(|r| r.id == *id);
    let ids = (1_u32..).map(|n| match n {
        1 => format!("review-{day}"),
        n => format!("review-{day}-{n}"),
    });
    let mut free = ids
        .filter_map(|id| Id::new(&id).ok())
        .filter(|id| !taken(id));
    free.next().unwrap_or_else(|| profile.id.clone())
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]
    use chockstone_schema::read::from_value;
    use serde_json::json;

    use super::*;
    use crate::{difference::difference, testing::small};

    fn reviewer() -> Reviewer<'static> {
        Reviewer {
            who: "Ana Ruiz",
            role: "trainer",
            at: Moment::new("2026-03-14T09:30:00Z").unwrap(),
        }
    }

    /// The small profile, and one whose wheelbase and model are others.
    fn pair() -> (Profile, Profile) {
        let mut value = to_value(&small());
        value["identity"]["model"] = json!("Two");
        value["mass"]["gvwr"] = json!({"value": [9000, "lb"]});
        (small(), from_value(&value).unwrap())
    }

    fn verdict(change: &Change, decision: Decision, comment: &str) -> Verdict {
        Verdict {
            change: change.clone(),
            decision,
            comment: comment.to_owned(),
        }
    }

    fn accept(change: &Change) -> Verdict {
        verdict(change, Decision::Accept, "")
    }

    #[test]
    fn accepting_everything_accepts_the_whole_over_both_hashes() {
        let (older, newer) = pair();
        let changes = difference(&older, &newer).changes;
        assert!(changes.len() >= 2, "{changes:?}");
        let all: Vec<Verdict> = changes.iter().map(accept).collect();
        let review = record((&older, &newer), &changes, &all, reviewer()).unwrap();
        assert_eq!(review.decision, Decision::Accept);
        assert_eq!(review.over, contents_hash(&newer));
        assert_eq!(review.against, Some(contents_hash(&older)));
        assert_eq!(review.remarks.len(), changes.len());
        assert_eq!(review.id.as_str(), "review-2026-03-14");
    }

    #[test]
    fn what_can_hurt_and_was_not_looked_at_is_never_accepted() {
        let (older, newer) = pair();
        let changes = difference(&older, &newer).changes;
        let mild: Vec<Verdict> = changes
            .iter()
            .filter(|c| c.grade != Grade::CanHurt)
            .map(accept)
            .collect();
        let hurting = changes.len() - mild.len();
        assert!(hurting > 0, "{changes:?}");
        assert_eq!(progress(&changes, &mild).hurting_left, hurting);
        assert_eq!(progress(&changes, &mild).decision(), Decision::Question);
    }

    #[test]
    fn one_question_makes_the_whole_a_question_and_needs_words() {
        let (older, newer) = pair();
        let changes = difference(&older, &newer).changes;
        let mut all: Vec<Verdict> = changes.iter().map(accept).collect();
        let first = changes.first().unwrap();
        all[0] = verdict(first, Decision::Question, " From which end? ");
        let review = record((&older, &newer), &changes, &all, reviewer()).unwrap();
        assert_eq!(review.decision, Decision::Question);
        let asked = review.remarks.first().unwrap();
        let comment = asked.comment.as_ref().unwrap();
        assert_eq!(comment.pick([&newer.language]), "From which end?");
        all[0].comment = " ".to_owned();
        let refused = record((&older, &newer), &changes, &all, reviewer()).unwrap_err();
        assert!(refused.contains("needs words"), "{refused}");
    }

    #[test]
    fn a_review_needs_a_name_a_role_and_a_decision() {
        let (older, newer) = pair();
        let changes = difference(&older, &newer).changes;
        let all: Vec<Verdict> = changes.iter().map(accept).collect();
        let refused = |verdicts: &[Verdict], who, role| {
            let by = Reviewer {
                who,
                role,
                ..reviewer()
            };
            record((&older, &newer), &changes, verdicts, by).unwrap_err()
        };
        assert_eq!(refused(&all, " ", "trainer"), "Say who reviews.");
        assert_eq!(refused(&all, "Ana", ""), "Say in which role.");
        assert!(refused(&[], "Ana", "trainer").contains("No change has a decision"));
    }

    #[test]
    fn a_second_review_of_one_day_has_an_id_of_its_own() {
        let (older, mut newer) = pair();
        let changes = difference(&older, &newer).changes;
        let all: Vec<Verdict> = changes.iter().map(accept).collect();
        let first = record((&older, &newer), &changes, &all, reviewer()).unwrap();
        newer.reviews.push(first);
        let second = record((&older, &newer), &changes, &all, reviewer()).unwrap();
        assert_eq!(second.id.as_str(), "review-2026-03-14-2");
        let with_review = difference(&older, &newer).changes;
        assert_eq!(with_review.len(), changes.len() + 1);
        assert_eq!(progress(&with_review, &all), progress(&changes, &all));
        // The first review does not change what the second is over.
        assert_eq!(Some(&second.over), newer.reviews.first().map(|r| &r.over));
    }
}

//! What a call may name, and the refusal of what is not there, with the nearest of what is.

use chockstone_rules::plan::{Situation, situations};
use chockstone_schema::{
    Profile,
    report::Goal,
    text::{Language, Text},
};

use crate::cli::fit::list;

/// A goal's word on the command line.
pub(super) fn goal_word(goal: Goal) -> &'static str {
    match goal {
        Goal::Opened => "opened",
        Goal::Awake => "awake",
        Goal::CordFree => "cord-free",
        Goal::InNeutral => "in-neutral",
        Goal::Loaded => "loaded",
        Goal::Secured => "secured",
        Goal::ReturnedToService => "returned-to-service",
    }
}

/// The goal of a word.
pub(super) fn goal(word: &str) -> Result<Goal, String> {
    let found = Goal::ALL.into_iter().find(|goal| goal_word(*goal) == word);
    found.ok_or_else(|| unknown("--goal", "goal", word, &Goal::ALL.map(goal_word)))
}

/// The situation of an id, the usual one without.
pub(super) fn situation(id: Option<&str>) -> Result<&'static Situation, String> {
    let all = situations();
    let found = match id {
        None => all.first(),
        Some(id) => all.iter().find(|situation| situation.id == id),
    };
    found.ok_or_else(|| {
        let known: Vec<&str> = all.iter().map(|situation| situation.id).collect();
        unknown("--situation", "situation", id.unwrap_or_default(), &known)
    })
}

/// The id of a condition that a person may give.
pub(super) fn condition(
    option: &str,
    word: &str,
    known: &[(String, Text)],
) -> Result<String, String> {
    let word = word.trim();
    let found = known.iter().find(|(id, _)| id == word);
    found.map(|(id, _)| id.clone()).ok_or_else(|| {
        let known: Vec<&str> = known.iter().map(|(id, _)| id.as_str()).collect();
        unknown(option, "condition", word, &known)
    })
}

/// Refuses a variant that the profile does not have.
pub(super) fn variant(profile: &Profile, id: &str) -> Result<(), String> {
    let known: Vec<&str> = profile.variants.iter().map(|v| v.id.as_str()).collect();
    if known.contains(&id) {
        Ok(())
    } else {
        Err(unknown("--variant", "variant", id, &known))
    }
}

/// The languages in which texts are told, the preferred one first: the one wanted or its language without the region, then
/// English and the profile's own.
pub(super) fn languages(
    profile: &Profile,
    wanted: Option<&Language>,
) -> Result<Vec<Language>, String> {
    let own: Vec<&Language> = std::iter::once(&profile.language)
        .chain(&profile.languages)
        .collect();
    let mut languages = Vec::new();
    if let Some(wanted) = wanted {
        let tags = [wanted.as_str(), primary(wanted)];
        let found = tags
            .iter()
            .find_map(|tag| own.iter().find(|language| language.as_str() == *tag));
        let known: Vec<&str> = own.iter().map(|language| language.as_str()).collect();
        let found = found
            .ok_or_else(|| unknown("--language", "text of the profile in", tags[0], &known))?;
        languages.push((*found).clone());
    }
    languages.extend(Language::new("en"));
    languages.push(profile.language.clone());
    Ok(languages)
}

/// A language without its script and region.
pub(super) fn primary(language: &Language) -> &str {
    language.as_str().split('-').next().unwrap_or_default()
}

fn unknown(option: &str, what: &str, word: &str, known: &[&str]) -> String {
    let nearest = nearest(word, known)
        .map(|near| format!("; did you mean {near:?}?"))
        .unwrap_or_default();
    let known = list(known);
    if nearest.is_empty() {
        format!("{option}: there is no {what} {word:?}; there is {known}")
    } else {
        format!("{option}: there is no {what} {word:?}{nearest} There is {known}")
    }
}

/// The known word that is most like this one, if any is like it at all.
fn nearest<'k>(word: &str, known: &[&'k str]) -> Option<&'k str> {
    let wanted = plain(word);
    if wanted.is_empty() {
        return None;
    }
    let most = wanted.len().div_ceil(3).min(4);
    let near = known
        .iter()
        .map(|other| (slips(&wanted, &plain(other)), *other));
    let near = near.filter(|(slips, _)| *slips <= most).min();
    let part = || {
        let part = known.iter().find(|other| other.contains(word));
        part.filter(|_| wanted.len() > 2).copied()
    };
    near.map(|(_, other)| other).or_else(part)
}

/// A word as people mean it: capitals, spaces and lines under words are no slips.
fn plain(word: &str) -> Vec<char> {
    let folded = word.chars().flat_map(char::to_lowercase);
    folded
        .map(|c| if matches!(c, '_' | ' ') { '-' } else { c })
        .collect()
}

/// How many letters must be put in, taken out or changed to make one word of another.
///
/// Source of the recurrence: R. A. Wagner and M. J. Fischer, "The string-to-string correction problem", Journal of the ACM 21
/// (1974), from memory.
fn slips(one: &[char], other: &[char]) -> usize {
    let mut above: Vec<usize> = (0..=other.len()).collect();
    for (row, letter) in one.iter().enumerate() {
        let mut left = row + 1;
        let mut line = vec![left];
        for (pair, known) in above.windows(2).zip(other) {
            let [diagonal, over] = pair else { continue };
            left = (diagonal + usize::from(letter != known))
                .min(over + 1)
                .min(left + 1);
            line.push(left);
        }
        above = line;
    }
    above.last().copied().unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn count(one: &str, other: &str, expected: usize) {
        assert_eq!(slips(&plain(one), &plain(other)), expected);
        assert_eq!(slips(&plain(other), &plain(one)), expected);
    }

    #[test]
    fn slips_are_counted() {
        // "kitten" and "sitting" are the usual worked example of the distance: from memory.
        count("kitten", "sitting", 3);
        count("", "park", 4);
        count("key_present", "Key-Present", 0);
    }

    #[test]
    fn the_nearest_word_is_named_and_a_strange_one_has_none() {
        let known = ["in-park", "in-neutral", "key-present", "key-within-reach"];
        assert_eq!(nearest("key-presnt", &known), Some("key-present"));
        assert_eq!(nearest("IN NEUTRAL", &known), Some("in-neutral"));
        assert_eq!(nearest("neutral", &known), Some("in-neutral"));
        assert_eq!(nearest("bananas", &known), None);
        assert_eq!(nearest("", &known), None);
    }

    #[test]
    fn every_goal_is_read_by_its_word() {
        for known in Goal::ALL {
            assert_eq!(goal(goal_word(known)), Ok(known));
        }
        let error = goal("in-neutrla").err().unwrap_or_default();
        assert!(error.contains("did you mean \"in-neutral\"?"), "{error}");
        assert!(error.contains("There is opened, awake, "), "{error}");
    }
}

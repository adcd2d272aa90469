//! Looking for words in texts, in English and Spanish. Patterns are few and plain, so that an innocent sentence is
//! seldom blamed; a sentence in another language is not looked at.

/// The string in lower case, line feeds as blanks.
pub(crate) fn plain(string: &str) -> String {
    string.to_lowercase().replace('\n', " ")
}

/// Whether a lower-case text holds one of these words or word beginnings (a pattern that ends with `*`).
pub(crate) fn has(text: &str, patterns: &[&str]) -> bool {
    patterns.iter().any(|p| find(text, p))
}

/// Whether one of its sentences holds a word of every one of the lists.
pub(crate) fn sentence_has(text: &str, lists: &[&[&str]]) -> bool {
    sentences(text).any(|s| lists.iter().all(|list| has(s, list)))
}

/// Whether one of its sentences holds a word of each list and none of the last one.
pub(crate) fn sentence_has_without(text: &str, lists: &[&[&str]], without: &[&str]) -> bool {
    sentences(text).any(|s| lists.iter().all(|list| has(s, list)) && !has(s, without))
}

fn sentences(text: &str) -> impl Iterator<Item = &str> {
    text.split(['.', '!', '?', ';'])
}

/// Words that turn a sentence round. "Without" and "only" do not: "touching it without gloves kills" speaks of death.
pub(crate) const NEGATIONS: &[&str] = &[
    "not", "never", "no", "cannot", "don't", "doesn't", "nunca", "jamás", "ni", "tampoco", "isn't",
    "aren't", "won't", "can't",
];

fn find(text: &str, pattern: &str) -> bool {
    let (word, open) = match pattern.strip_suffix('*') {
        Some(beginning) => (beginning, true),
        None => (pattern, false),
    };
    text.match_indices(word).any(|(at, _)| {
        let before = text.get(..at).and_then(|t| t.chars().next_back());
        let after = text.get(at + word.len()..).and_then(|t| t.chars().next());
        let edge = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
        edge(before) && (open || edge(after))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_whole_unless_open() {
        assert!(has("may be fatal", &["fatal"]));
        assert!(!has("the fatality", &["fatal"]));
        assert!(has("the fatality", &["fatal*"]));
        assert!(!has("unsafe", &["safe"]));
        assert!(has(&plain("PELIGRO DE MUERTE"), &["muerte"]));
    }

    #[test]
    fn a_negation_counts_in_its_own_sentence_only() {
        let lists: &[&[&str]] = &[&["safe"]];
        assert!(sentence_has_without(
            "do not touch. the pack is safe",
            lists,
            NEGATIONS
        ));
        assert!(!sentence_has_without(
            "the pack is not safe",
            lists,
            NEGATIONS
        ));
    }
}

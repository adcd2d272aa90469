//! Arithmetic with numbers that may be missing: what is missing is collected, each sentence once.

use chockstone_mechanics::propagation::Tracked;

use crate::fit::work::Known;

/// The sentences of everything that is missing, each once.
pub(in crate::fit) fn missing_of(parts: &[&Known]) -> Vec<String> {
    let mut missing: Vec<String> = Vec::new();
    for sentence in parts
        .iter()
        .filter_map(|part| part.as_ref().err())
        .flatten()
    {
        if !missing.contains(sentence) {
            missing.push(sentence.clone());
        }
    }
    missing
}

/// The sum, if every part is known.
pub(in crate::fit) fn sum_of(parts: &[&Known]) -> Known {
    needed(parts, || {
        Tracked::sum(parts.iter().filter_map(|part| part.as_ref().ok()))
    })
}

/// A number that needs all of these to be known.
pub(in crate::fit) fn needed(parts: &[&Known], number: impl FnOnce() -> Tracked) -> Known {
    let missing = missing_of(parts);
    if missing.is_empty() {
        Ok(number())
    } else {
        Err(missing)
    }
}

/// A formula of two numbers, if both are known.
pub(in crate::fit) fn with(
    a: &Known,
    b: &Known,
    formula: impl FnOnce(&Tracked, &Tracked) -> Tracked,
) -> Known {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok(formula(a, b)),
        _ => Err(missing_of(&[a, b])),
    }
}

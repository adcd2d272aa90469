//! One limit judged: the verdict, its numbers, or what is missing.

use super::error::TowingField;
use crate::carrying::Figures;
use crate::verdict::Verdict;

/// One limit judged; `L` says which kind of limit.
#[derive(Debug, Clone, PartialEq)]
pub struct TowingJudgement<L> {
    /// Which limit.
    pub limit: L,
    /// The verdict on the whole interval of the margin.
    pub verdict: Verdict,
    /// The numbers, where they are known.
    pub figures: Option<Figures>,
    /// What is missing, where it is not all known.
    pub missing: Vec<TowingField>,
}

/// What a formula gives, or the names of what is missing.
pub(super) type Known<T> = Result<T, Vec<TowingField>>;

impl<L> TowingJudgement<L> {
    pub(super) fn new(limit: L, figures: Known<Figures>) -> Self {
        match figures {
            Ok(figures) => Self {
                limit,
                verdict: figures.verdict(),
                figures: Some(figures),
                missing: Vec::new(),
            },
            Err(missing) => Self {
                limit,
                verdict: Verdict::NotKnown,
                figures: None,
                missing,
            },
        }
    }
}

/// Joins two parts of a formula, or the names of everything that either lacks.
pub(super) fn pair<A, B>(a: Known<A>, b: Known<B>) -> Known<(A, B)> {
    match (a, b) {
        (Ok(a), Ok(b)) => Ok((a, b)),
        (Err(missing), Ok(_)) | (Ok(_), Err(missing)) => Err(missing),
        (Err(mut missing), Err(more)) => {
            missing.extend(more);
            missing.sort_unstable();
            missing.dedup();
            Err(missing)
        }
    }
}

//! A bound on the work that one answer may cost, whatever a profile holds.

use std::cell::Cell;

/// The most work for one start and one goal, in actions tried and estimates made: about a tenth of a second. The hardest
/// answer of a whole vehicle's profile takes a small part of it; a profile made of dozens of conditions that come and go
/// in any order has more states than any computer could go through.
const MOST_WORK: u32 = 120_000;

/// What is left of the work for one answer.
#[derive(Debug)]
pub(crate) struct Budget {
    left: Cell<u32>,
}

impl Budget {
    /// Before any work is done.
    pub(crate) fn new() -> Self {
        Self {
            left: Cell::new(MOST_WORK),
        }
    }

    /// Counts one piece of work; false when there is nothing left for it.
    pub(crate) fn spend(&self) -> bool {
        let left = self.left.get();
        self.left.set(left.saturating_sub(1));
        left > 0
    }

    /// Whether all is spent: what was found since may be wrong, and what was not found may be there.
    pub(crate) fn is_spent(&self) -> bool {
        self.left.get() == 0
    }
}

//! The smallest set of available straps that holds.
//!
//! The search takes candidates (a strap, or a mirrored pair, on given points and anchors), what each
//! adds to every requirement, and what must come together. It is exact: it looks at every set of one
//! strap, then of two and so on, and leaves out only branches which the best remaining candidates
//! could not bring to the need. Of the sets with the fewest straps it returns the one with the largest
//! margin, the least of what comes together over what is needed; of equals the first found. When
//! no set holds, it says which requirement fails by itself, or which ones fail only together.
//!
//! # Valid for
//! Requirements that add up. Give needs at the upper end of their interval and capacities at the
//! lower end, so that a proposal holds with its uncertainty.

use super::error::{Quantity, SecuringError};

/// Sets that one search looks at before it gives up.
const MOST_SETS: u32 = 10_000;

/// Rounding that a sum may lack of its need.
const ROUNDING: f64 = 1e-12;

/// One strap, or a few that only come together.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// How many straps it takes, one or more.
    pub straps: u32,
    /// Which kind of strap, an index of [`Requirements::available`].
    pub kind: usize,
    /// Places that it takes, one bit each: no two candidates of a set share a bit.
    pub occupies: u128,
    /// What it adds to each need, zero or more.
    pub gives: Vec<f64>,
    /// What it adds to each count.
    pub counts: Vec<u32>,
}

/// What a set must bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Requirements {
    /// What must come together, such as a force in each direction; the margin is over these.
    pub needs: Vec<f64>,
    /// Numbers to reach, such as straps in all and at each end; without part in the margin.
    pub counts: Vec<u32>,
    /// Straps at hand of each kind.
    pub available: Vec<u32>,
}

/// A set that holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// Indices of the candidates, ascending.
    pub candidates: Vec<usize>,
    /// Straps in all.
    pub straps: u32,
    /// The least of what comes together over what is needed; 1 just holds, infinite without needs.
    pub margin: f64,
    /// Whether every other set of as many straps was looked at.
    pub is_proven: bool,
}

/// A requirement that no set meets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shortfall {
    /// Index: the needs first, then the counts.
    pub requirement: usize,
    /// The most that comes together: of all sets, or of those that meet all else.
    pub most: f64,
    /// What is needed.
    pub needed: f64,
}

/// What the search found.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// A set that holds.
    Found(Found),
    /// No set meets these, even when it is made for one of them alone.
    Fails(Vec<Shortfall>),
    /// Each can be met, but not all at once: without any one of these a set would hold. Empty when
    /// more than one would have to go, or no such set was found among those looked at.
    FailsTogether(Vec<Shortfall>),
    /// There were too many sets to look at: nothing was found so far, or nothing can be said on why
    /// none holds.
    Unfinished,
}

/// Finds the smallest set of candidates that meets all requirements.
///
/// # Errors
/// Figures that are negative or not finite, candidates without straps or of no kind at hand, and
/// candidates that do not have one figure for each requirement.
pub fn propose(
    candidates: &[Candidate],
    requirements: &Requirements,
) -> Result<Outcome, SecuringError> {
    check(candidates, requirements)?;
    let needs = all_needs(requirements);
    let scored = requirements.needs.len();
    let items = items(candidates, &needs);
    let search = Search::run(&items, &needs, scored, &requirements.available);
    if let Some(found) = search.found(&items) {
        return Ok(Outcome::Found(found));
    }
    if !search.is_finished() {
        return Ok(Outcome::Unfinished);
    }
    let (alone, all_finished) = shortfalls(candidates, &needs, &requirements.available);
    Ok(if !alone.is_empty() {
        Outcome::Fails(alone)
    } else if all_finished {
        let together = left_out(&items, &needs, scored, &requirements.available);
        Outcome::FailsTogether(together)
    } else {
        Outcome::Unfinished
    })
}

fn check(candidates: &[Candidate], requirements: &Requirements) -> Result<(), SecuringError> {
    let sound = |value: &f64| value.is_finite() && *value >= 0.0;
    let quantity = Quantity::Search;
    if !requirements.needs.iter().all(sound) {
        return Err(SecuringError::NotFinite { quantity });
    }
    for (index, candidate) in candidates.iter().enumerate() {
        let even = candidate.gives.len() == requirements.needs.len()
            && candidate.counts.len() == requirements.counts.len()
            && candidate.kind < requirements.available.len()
            && candidate.straps > 0;
        if !even {
            return Err(SecuringError::UnevenCandidate { candidate: index });
        }
        if !candidate.gives.iter().all(sound) {
            return Err(SecuringError::NotFinite { quantity });
        }
    }
    Ok(())
}

fn all_needs(requirements: &Requirements) -> Vec<f64> {
    let counts = requirements.counts.iter().map(|count| f64::from(*count));
    requirements.needs.iter().copied().chain(counts).collect()
}

/// A candidate with needs and counts in one row.
#[derive(Debug, Clone)]
struct Item {
    index: usize,
    straps: u32,
    kind: usize,
    occupies: u128,
    gives: Vec<f64>,
}

impl Item {
    /// Says whether `other` can stand in for this one in any set: as many straps of the same kind, no
    /// place more, nothing less. A place in common keeps both out of one set.
    fn is_dominated_by(&self, other: &Self) -> bool {
        self.kind == other.kind
            && self.straps == other.straps
            && other.occupies != 0
            && other.occupies & !self.occupies == 0
            && self.gives.iter().zip(&other.gives).all(|(a, b)| a <= b)
    }

    /// What it adds to all needs together, for the order of the search.
    fn worth(&self, needs: &[f64]) -> f64 {
        let shares = self.gives.iter().zip(needs);
        shares
            .filter(|(_, need)| **need > 0.0)
            .map(|(gives, need)| (gives / need).min(1.0))
            .sum::<f64>()
            / f64::from(self.straps)
    }
}

/// Returns the candidates that can matter, the most useful first.
fn items(candidates: &[Candidate], needs: &[f64]) -> Vec<Item> {
    let mut kept: Vec<Item> = Vec::with_capacity(candidates.len());
    for (index, candidate) in candidates.iter().enumerate() {
        let counts = candidate.counts.iter().map(|count| f64::from(*count));
        let item = Item {
            index,
            straps: candidate.straps,
            kind: candidate.kind,
            occupies: candidate.occupies,
            gives: candidate.gives.iter().copied().chain(counts).collect(),
        };
        if kept.iter().any(|other| item.is_dominated_by(other)) {
            continue;
        }
        kept.retain(|other| !other.is_dominated_by(&item));
        kept.push(item);
    }
    kept.sort_by(|a, b| b.worth(needs).total_cmp(&a.worth(needs)));
    kept
}

/// The most straps that a set can have: as many as are at hand, and as all items together take.
fn most_straps(items: &[Item], available: &[u32]) -> u32 {
    let sum = |numbers: &mut dyn Iterator<Item = u32>| numbers.fold(0, u32::saturating_add);
    let at_hand = sum(&mut available.iter().copied());
    at_hand.min(sum(&mut items.iter().map(|item| item.straps)))
}

/// A walk over all sets of a given number of straps.
struct Search<'a> {
    items: &'a [Item],
    needs: &'a [f64],
    /// The first of the needs count in the margin.
    scored: usize,
    /// Whether a set has to meet the needs, or is only compared by its margin.
    must_meet: bool,
    /// For each item, what the best of it and those after it give for each strap.
    ahead: Vec<Vec<f64>>,
    stock: Vec<u32>,
    sums: Vec<f64>,
    chosen: Vec<usize>,
    best: Option<(Vec<usize>, f64)>,
    sets: u32,
}

impl<'a> Search<'a> {
    /// Looks for the smallest set that meets the needs.
    fn run(items: &'a [Item], needs: &'a [f64], scored: usize, available: &[u32]) -> Self {
        let mut search = Self::new(items, needs, scored, available, true);
        for straps in 0..=most_straps(items, available) {
            search.walk(0, straps, 0);
            if search.best.is_some() || !search.is_finished() {
                break;
            }
        }
        search
    }

    /// Looks for the set with the largest margin, of any size, whether it meets the needs or not.
    fn run_for_most(items: &'a [Item], needs: &'a [f64], available: &[u32]) -> Self {
        let mut search = Self::new(items, needs, needs.len(), available, false);
        for straps in 0..=most_straps(items, available) {
            search.walk(0, straps, 0);
            if !search.is_finished() {
                break;
            }
        }
        search
    }

    fn new(
        items: &'a [Item],
        needs: &'a [f64],
        scored: usize,
        available: &[u32],
        must_meet: bool,
    ) -> Self {
        let mut ahead = Vec::with_capacity(items.len());
        let mut best = vec![0.0; needs.len()];
        for item in items.iter().rev() {
            for (best, gives) in best.iter_mut().zip(&item.gives) {
                *best = f64::max(*best, gives / f64::from(item.straps));
            }
            ahead.push(best.clone());
        }
        ahead.reverse();
        Self {
            items,
            needs,
            scored,
            must_meet,
            ahead,
            stock: available.to_vec(),
            sums: vec![0.0; needs.len()],
            chosen: Vec::new(),
            best: None,
            sets: 0,
        }
    }

    fn is_finished(&self) -> bool {
        self.sets <= MOST_SETS
    }

    fn found(&self, items: &[Item]) -> Option<Found> {
        let (chosen, margin) = self.best.as_ref()?;
        let picked = || chosen.iter().filter_map(|place| items.get(*place));
        let mut candidates: Vec<_> = picked().map(|item| item.index).collect();
        candidates.sort_unstable();
        Some(Found {
            candidates,
            straps: picked().map(|item| item.straps).sum(),
            margin: *margin,
            is_proven: self.is_finished(),
        })
    }

    /// Adds items from a place on until no straps are left.
    fn walk(&mut self, from: usize, left: u32, used: u128) {
        self.sets = self.sets.saturating_add(1);
        if left == 0 {
            self.compare();
            return;
        }
        let items = self.items;
        for (place, item) in items.iter().enumerate().skip(from) {
            if !self.is_finished() || !self.can_reach(place, left) {
                return;
            }
            let stock = self.stock.get(item.kind).copied().unwrap_or(0);
            if item.straps > left || item.straps > stock || item.occupies & used != 0 {
                continue;
            }
            self.take(item, stock - item.straps, 1.0);
            self.chosen.push(place);
            self.walk(place + 1, left - item.straps, used | item.occupies);
            self.chosen.pop();
            self.take(item, stock, -1.0);
        }
    }

    /// Adds an item to the sums, or takes it out again.
    fn take(&mut self, item: &Item, stock_left: u32, sign: f64) {
        if let Some(stock) = self.stock.get_mut(item.kind) {
            *stock = stock_left;
        }
        for (sum, gives) in self.sums.iter_mut().zip(&item.gives) {
            *sum += sign * gives;
        }
    }

    /// Says whether the items from a place on could still bring this set to the needs, and beyond the
    /// best margin so far.
    fn can_reach(&self, place: usize, left: u32) -> bool {
        let Some(ahead) = self.ahead.get(place) else {
            return false;
        };
        let best = self.best.as_ref().map(|(_, margin)| *margin);
        let rows = self.sums.iter().zip(ahead).zip(self.needs);
        rows.enumerate().all(|(row, ((sum, ahead), need))| {
            let most = sum + ahead * f64::from(left);
            let slack = ROUNDING * (need + most);
            let meets = !self.must_meet || most + slack >= *need;
            let beats = row >= self.scored || best.is_none_or(|best| most + slack > best * need);
            meets && (beats || *need <= 0.0)
        })
    }

    /// Keeps the present set when it holds and beats the best.
    fn compare(&mut self) {
        let meets = |(sum, need): (&f64, &f64)| *sum + ROUNDING * need >= *need;
        if self.must_meet && !self.sums.iter().zip(self.needs).all(meets) {
            return;
        }
        let margin = self
            .sums
            .iter()
            .zip(self.needs)
            .take(self.scored)
            .filter(|(_, need)| **need > 0.0)
            .map(|(sum, need)| sum / need)
            .fold(f64::INFINITY, f64::min);
        let beats = |best: f64| margin > best * (1.0 + ROUNDING);
        if self.best.as_ref().is_none_or(|(_, best)| beats(*best)) {
            self.best = Some((self.chosen.clone(), margin));
        }
    }
}

/// Finds the requirements that no set meets even when it is made for one of them alone, and says
/// whether every set was looked at for each of the others.
fn shortfalls(
    candidates: &[Candidate],
    needs: &[f64],
    available: &[u32],
) -> (Vec<Shortfall>, bool) {
    let mut all_finished = true;
    let mut alone = |requirement: usize, needed: f64| {
        let only = [needed];
        let mut items = items(candidates, needs);
        for item in &mut items {
            item.gives = item.gives.get(requirement).copied().into_iter().collect();
        }
        items.sort_by(|a, b| b.worth(&only).total_cmp(&a.worth(&only)));
        let search = Search::run_for_most(&items, &only, available);
        let most = search
            .best
            .as_ref()
            .map_or(0.0, |(_, margin)| margin * needed);
        let short = most + ROUNDING * needed < needed;
        if short && !search.is_finished() {
            all_finished = false;
            return None;
        }
        short.then_some(Shortfall {
            requirement,
            most,
            needed,
        })
    };
    let short = needs
        .iter()
        .enumerate()
        .filter(|(_, needed)| **needed > 0.0)
        .filter_map(|(requirement, needed)| alone(requirement, *needed))
        .collect();
    (short, all_finished)
}

/// Finds the requirements without which a set would hold.
fn left_out(items: &[Item], needs: &[f64], scored: usize, available: &[u32]) -> Vec<Shortfall> {
    let without = |requirement: usize, needed: f64| {
        let mut rest = needs.to_vec();
        *rest.get_mut(requirement)? = 0.0;
        let search = Search::run(items, &rest, scored, available);
        let (chosen, _) = search.best?;
        let gives = |place: &usize| items.get(*place)?.gives.get(requirement).copied();
        Some(Shortfall {
            requirement,
            most: chosen.iter().filter_map(gives).sum(),
            needed,
        })
    };
    needs
        .iter()
        .enumerate()
        .filter(|(_, needed)| **needed > 0.0)
        .filter_map(|(requirement, needed)| without(requirement, *needed))
        .collect()
}

#[cfg(test)]
mod tests;

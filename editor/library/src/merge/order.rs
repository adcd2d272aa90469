//! The order of a merged list.

use std::collections::{BTreeMap, BTreeSet};

/// The orders that three versions give the elements of a merged list, by numbers that stand for the elements. An element
/// may be missing from any of them, but not from all.
pub(super) struct Orders {
    pub(super) base: Vec<usize>,
    pub(super) ours: Vec<usize>,
    pub(super) theirs: Vec<usize>,
}

/// The order that came of them.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Ordered {
    /// Every element once.
    pub(super) elements: Vec<usize>,
    /// Whether both sides put in order what the other put in another order.
    pub(super) torn: bool,
}

/// Merges three orders; `bytes` tells elements apart in a way that does not depend on the sides.
pub(super) fn merge(orders: &Orders, bytes: &[Vec<u8>]) -> Ordered {
    let (mut elements, torn) = skeleton(orders, bytes);
    elements = weave(&elements, &orders.base);
    let runs = [&orders.ours, &orders.theirs].map(|side| runs(&elements, side));
    let mut all: Vec<usize> = Vec::new();
    for anchor in std::iter::once(None).chain(elements.iter().copied().map(Some)) {
        all.extend(anchor);
        let mut here: Vec<&Vec<usize>> = runs.iter().filter_map(|r| r.get(&anchor)).collect();
        here.sort_by_cached_key(|run| told(run, bytes));
        all.extend(here.into_iter().flatten());
    }
    Ordered {
        elements: all,
        torn,
    }
}

/// The order of what both sides have, and whether they disagree about it.
fn skeleton(orders: &Orders, bytes: &[Vec<u8>]) -> (Vec<usize>, bool) {
    let both = common(&orders.ours, &orders.theirs);
    let kept = |order: &[usize], in_base: bool| -> Vec<usize> {
        let wanted = |x: &&usize| both.contains(x) && (!in_base || orders.base.contains(x));
        order.iter().filter(wanted).copied().collect()
    };
    let (ours, theirs) = (kept(&orders.ours, false), kept(&orders.theirs, false));
    if ours == theirs {
        return (ours, false);
    }
    let [before, old_ours, old_theirs] =
        [&orders.base, &orders.ours, &orders.theirs].map(|order| kept(order, true));
    let smaller = if told(&ours, bytes) <= told(&theirs, bytes) {
        &ours
    } else {
        &theirs
    };
    if old_ours == old_theirs {
        return (smaller.clone(), true);
    }
    if old_ours == before {
        return (theirs, false);
    }
    if old_theirs == before {
        return (ours, false);
    }
    (weave(&before, smaller), true)
}

fn common(a: &[usize], b: &[usize]) -> BTreeSet<usize> {
    let other: BTreeSet<&usize> = b.iter().collect();
    a.iter().filter(|x| other.contains(x)).copied().collect()
}

fn told(run: &[usize], bytes: &[Vec<u8>]) -> Vec<u8> {
    let known = run.iter().filter_map(|x| bytes.get(*x));
    known.flatten().copied().collect()
}

/// Puts what only `other` has after the element that it stands after there.
pub(super) fn weave(order: &[usize], other: &[usize]) -> Vec<usize> {
    let runs = runs(order, other);
    let anchors = std::iter::once(None).chain(order.iter().copied().map(Some));
    let mut all = Vec::new();
    for anchor in anchors {
        all.extend(anchor);
        all.extend(runs.get(&anchor).into_iter().flatten());
    }
    all
}

/// What only `other` has, by the element of `order` that it stands after.
fn runs(order: &[usize], other: &[usize]) -> BTreeMap<Option<usize>, Vec<usize>> {
    let known: BTreeSet<usize> = order.iter().copied().collect();
    let mut runs: BTreeMap<Option<usize>, Vec<usize>> = BTreeMap::new();
    let mut anchor = None;
    for element in other {
        if known.contains(element) {
            anchor = Some(*element);
        } else {
            runs.entry(anchor).or_default().push(*element);
        }
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(base: &[usize], ours: &[usize], theirs: &[usize], expected: &[usize], torn: bool) {
        let bytes: Vec<Vec<u8>> = (0..10).map(|x: u8| vec![x]).collect();
        for (ours, theirs) in [(ours, theirs), (theirs, ours)] {
            let orders = Orders {
                base: base.to_vec(),
                ours: ours.to_vec(),
                theirs: theirs.to_vec(),
            };
            let elements = expected.to_vec();
            assert_eq!(merge(&orders, &bytes), Ordered { elements, torn });
        }
    }

    #[test]
    fn the_order_of_the_side_that_changed_it_is_taken() {
        check(&[1, 2, 3], &[3, 1, 2], &[1, 2, 3], &[3, 1, 2], false);
        check(&[1, 2, 3], &[3, 1, 2], &[3, 1, 2], &[3, 1, 2], false);
    }

    #[test]
    fn two_new_orders_leave_the_order_of_the_base() {
        check(&[1, 2, 3], &[3, 1, 2], &[2, 1, 3], &[1, 2, 3], true);
    }

    #[test]
    fn what_was_inserted_stays_beside_its_neighbour() {
        check(&[1, 2], &[1, 5, 2], &[1, 2, 6], &[1, 5, 2, 6], false);
        check(&[1, 2], &[7, 1, 2], &[2, 6, 1], &[7, 2, 6, 1], false);
        check(&[1, 2], &[1, 9, 3, 2], &[1, 4, 2], &[1, 4, 9, 3, 2], false);
    }

    #[test]
    fn one_element_that_both_inserted_at_two_places_is_asked_about() {
        check(&[1, 2], &[1, 5, 2], &[1, 2, 5], &[1, 2, 5], true);
        check(&[1, 2], &[1, 5, 2], &[1, 5, 2, 6], &[1, 5, 2, 6], false);
    }

    #[test]
    fn what_one_side_removed_and_stands_all_the_same_stands_where_it_stood() {
        check(&[1, 2, 3], &[1, 3], &[1, 2, 3], &[1, 2, 3], false);
        check(&[1, 2, 3], &[3, 1], &[1, 2, 3], &[3, 1, 2], false);
    }
}

//! The state of the vehicle and the scene: what holds, what can no longer be counted on, what is owed, what runs out.

use smallvec::SmallVec;

/// A set of conditions or debts, one bit each.
pub(crate) type Set = u128;

/// The most conditions, or debts, that one world can hold.
pub(crate) const MOST: usize = Set::BITS as usize;

/// A timed condition that is not running.
pub(crate) const IDLE: u32 = u32::MAX;

/// What is true at one moment. A condition in none of the sets is known not to hold.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub(crate) struct State {
    /// Conditions that hold.
    pub(crate) held: Set,
    /// Conditions that may have ended by themselves: neither they nor their absence can be counted on.
    pub(crate) doubtful: Set,
    /// Conditions of which nobody has said anything; only where one procedure is looked at alone.
    pub(crate) open: Set,
    /// Debts that are open.
    pub(crate) debts: Set,
    /// The milliseconds that are left of each timed condition, by its slot.
    pub(crate) left: SmallVec<[u32; 4]>,
}

impl State {
    /// Whether any timed condition is running.
    pub(crate) fn is_timed(&self) -> bool {
        self.left.iter().any(|left| *left != IDLE)
    }

    /// Makes conditions doubtful.
    pub(crate) fn doubt(&mut self, conditions: Set) {
        self.held &= !conditions;
        self.open &= !conditions;
        self.doubtful |= conditions;
    }
}

/// The bits of a set, lowest first.
pub(crate) fn bits(mut set: Set) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let bit = set.trailing_zeros() as usize;
        (set != 0).then(|| {
            set &= set - 1;
            bit
        })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bits_come_lowest_first() {
        assert_eq!(bits(1 | 1 << 5 | 1 << 127).collect::<Vec<_>>(), [0, 5, 127]);
        assert_eq!(bits(0).count(), 0);
    }

    #[test]
    fn a_doubtful_condition_neither_holds_nor_is_open() {
        let mut state = State {
            held: 0b01,
            open: 0b10,
            ..State::default()
        };
        state.doubt(0b11);
        assert_eq!((state.held, state.open, state.doubtful), (0, 0, 0b11));
    }
}

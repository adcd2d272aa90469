//! What a way costs.

use std::ops::Add;

use chockstone_schema::report::{HazardCount, Least};
use pathfinding::num_traits::Zero;

use super::actions::{Action, Origin};

/// What a way costs: facts first, and of as many those that a crew can bring rather than those that others must judge;
/// then what was asked to be least, then the other, then the number of actions.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Cost {
    pub(crate) facts: u32,
    /// The facts among them that something is over.
    pub(crate) over: u32,
    pub(crate) first: u64,
    pub(crate) second: u64,
    pub(crate) actions: u32,
}

impl Cost {
    /// What an action costs.
    pub(crate) fn of(action: &Action<'_>, least: Least) -> Self {
        let (time, hazards) = (action.time, packed(action.hazards));
        let (first, second) = match least {
            Least::Time => (time, hazards),
            Least::Hazard => (hazards, time),
        };
        let over = matches!(
            action.origin,
            Origin::Fact {
                must_hold: false,
                ..
            }
        );
        Self {
            facts: u32::from(action.is_fact()),
            over: u32::from(over),
            first,
            second,
            actions: 1,
        }
    }

    /// The same where every way that is compared has the same facts.
    pub(crate) fn without_facts(self) -> Self {
        Self {
            facts: 0,
            over: 0,
            ..self
        }
    }
}

impl Add for Cost {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self {
            facts: self.facts + other.facts,
            over: self.over + other.over,
            first: self.first + other.first,
            second: self.second + other.second,
            actions: self.actions + other.actions,
        }
    }
}

impl Zero for Cost {
    fn zero() -> Self {
        Self::default()
    }
    fn is_zero(&self) -> bool {
        *self == Self::default()
    }
}

/// Dangers, then warnings, then cautions, in one number that adds up: at most a million of each.
fn packed(hazards: HazardCount) -> u64 {
    let [danger, warning, caution] =
        [hazards.danger, hazards.warning, hazards.caution].map(|n| n as u64);
    danger << 40 | warning << 20 | caution
}

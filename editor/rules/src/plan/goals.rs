//! What each goal asks of the state.

use chockstone_schema::report::Goal;

use super::{
    state::{Set, State},
    world::World,
};

/// A goal as bits.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct GoalCode {
    /// Conditions that must all hold.
    pub(crate) all: Set,
    /// Conditions of which one must hold, unless there is none.
    pub(crate) any: Set,
    /// Conditions that must not hold.
    pub(crate) none: Set,
    /// Whether every debt must be settled.
    pub(crate) settled: bool,
}

/// What must hold, of which one must hold, and what must not, for a goal.
pub(crate) type Asked = (
    &'static [&'static str],
    &'static [&'static str],
    &'static [&'static str],
    bool,
);

/// What a goal asks for.
pub(crate) fn asked(goal: Goal) -> Asked {
    match goal {
        Goal::Opened => (&["doors-open"], &[], &[], false),
        Goal::Awake => (&["awake"], &[], &[], false),
        Goal::CordFree => (&[], &[], &["cord-attached", "charging"], false),
        Goal::InNeutral => (
            &["in-neutral"],
            &["line-taut", "wheels-chocked"],
            &["on-deck"],
            false,
        ),
        Goal::Loaded => (&["on-deck"], &[], &["ready"], false),
        Goal::Secured => (
            &["on-deck", "secured"],
            &[],
            &[
                "ready",
                "raised",
                "cord-attached",
                "charging",
                "jump-connected",
                "front-cover-open",
            ],
            false,
        ),
        Goal::ReturnedToService => (
            &["ready", "low-voltage-alive", "in-park"],
            &[],
            IN_THE_WAY_OF_SERVICE,
            true,
        ),
    }
}

/// With one of these a vehicle is not back in service.
const IN_THE_WAY_OF_SERVICE: &[&str] = &[
    "cord-attached",
    "charging",
    "jump-connected",
    "low-voltage-loop-open",
    "low-voltage-disconnected",
    "high-voltage-off",
    "panel-removed",
    "front-cover-open",
    "raised",
    "on-stands",
    "on-deck",
    "on-dollies",
    "on-skates",
    "secured",
    "line-taut",
    "wheels-chocked",
    "smoke-or-heat",
    "in-water",
    "pack-suspect",
];

/// Moved with no wheel turning: on a deck or on dollies.
pub(crate) const WHEELS_OFF_THE_GROUND: Asked = (&[], &["on-deck", "on-dollies"], &[], false);

impl GoalCode {
    pub(crate) fn new(world: &World<'_>, (all, any, none, settled): Asked) -> Self {
        Self {
            all: world.set(all.iter().copied()),
            any: world.set(any.iter().copied()),
            none: world.set(none.iter().copied()),
            settled,
        }
    }

    /// Whether the goal is reached: what is doubtful does not count either way, and no rule is broken that always holds.
    pub(crate) fn reached(&self, world: &World<'_>, state: &State) -> bool {
        self.is_there(state) && world.broken(state) == 0
    }

    fn is_there(&self, state: &State) -> bool {
        self.all & !state.held == 0
            && (self.any == 0 || self.any & state.held != 0)
            && self.none & (state.held | state.doubtful) == 0
            && !(self.settled && state.debts != 0)
    }
}

//! From any situation to a safe end: procedures carried out step by step, and the best ways through them.
//!
//! A **state** says of each condition whether it holds, does not hold, or is doubtful; which debts are open; and how long
//! each timed condition still holds. A **step** needs what it requires, breaks no rule, takes its time on the clock of the
//! slowest crew, and then has its effects. [`walk`] carries out one procedure alone, for the checks and the editor.
//! [`Planner`] searches the least-cost way from a start to a goal over procedures, general acts and facts that could be
//! brought about from outside. A way never counts on a condition after its time, nor on what the vehicle then does by itself.

mod actions;
mod budget;
mod built_in_rules;
mod choose;
mod cost;
mod data;
mod distance;
mod engine;
mod execute;
mod general_acts;
mod goals;
mod names;
mod planner;
mod reasons;
mod search;
mod situations;
mod state;
mod walk;
mod way;
mod world;

pub use built_in_rules::{BUILT_IN_RULES, BuiltInRule, Judged};
pub use data::data;
pub use general_acts::{GENERAL_ACTS, GeneralAct};
pub use names::{condition_name, goal_meaning, goal_name};
pub use planner::Planner;
pub use situations::{Situation, Start, combinations, situations};
pub use walk::{FaultKind, Snapshot, StepFault, Walked, walk};
pub use world::TooMuch;

#[cfg(test)]
mod tests;

//! Axle loads of a carrier with vehicles on its deck, and where on the deck they may stand.
//!
//! # Free body
//! Seen from the side, the truck is a beam on two supports: its front axle at 0 and its rear axle,
//! or the middle of its tandem, WB behind it. The empty truck puts F₀ and R₀ on them. A load of mass
//! m acts at X behind the front axle; on a deck whose front edge lies e behind the front axle, a
//! vehicle whose foremost edge stands s behind that edge and whose centre of gravity lies c behind
//! its own foremost edge acts at X = e + s + c. Two supports and two balances: determinate.
//!
//! ```text
//!   rear  = R₀ + Σ m·X / WB                front = F₀ + Σ m·(WB − X) / WB
//!   gross = front + rear = F₀ + R₀ + Σ m   steering share kept = front / F₀
//! ```
//!
//! Symbols: F₀, R₀ empty axle loads (kg); WB wheelbase, e, s, c, X lengths (m). Source: heavy-truck
//! body builder manual (2014), App. B: weight distribution; read. A load behind the rear axle gives a
//! negative share to the front axle: it takes load off the steering wheels, and that is kept as it is.
//!
//! # The window of placements
//! Both axle loads, the gross weight, the load of the deck and the overhang are linear in s, so each
//! rating allows a half-line of s, all of it or none, and the placements that keep every rating are
//! one interval, the [`Window`]. Its uncertain twin, the *sure* window, keeps every rating with twice the
//! standard uncertainty to spare: the variance of a margin is quadratic in s, so its ends are roots of a
//! quadratic. See [`Placements`].
//!
//! # Valid for
//! Level ground, a deck that does not shift, one rear axle or a tandem that shares its load evenly and
//! counts as one support at its middle (NAVEDTRA 14233, ch. 4; read). Axles on separate springs are
//! statically indeterminate: [`spring_loads`] computes them for a named set of springs.

mod axles;
mod chassis;
mod condition;
mod error;
mod planning;
mod springs;
mod standing;
#[cfg(test)]
pub(crate) mod testing;
mod window;

pub use axles::{CarrierLoads, Load, SupportLoads, loaded, overall_height, shared};
pub use chassis::{Chassis, Deck, least_gross_rating, spare_of_axle_ratings};
pub(crate) use condition::verdict_on_margin;
pub use condition::{Condition, Figures, Judgement, Line, Rating, Sense, Unknown};
pub use error::{CarryingError, Field};
pub use planning::{ClassOutcome, LeastClass, PlanningClass, PlanningRule, least_among};
pub use springs::{SpringAxle, spring_loads};
pub use standing::{Neighbour, Placements, Side, Standing, Vehicle, WayRound};
pub use window::{End, Shut, Window};

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
//!
//! # Example
//! ```
//! use chockstone_mechanics::carrying::{Chassis, Deck, Placements, Rating, Vehicle, WayRound};
//! use chockstone_mechanics::propagation::Tracked;
//!
//! let known = |value: f64| Some(Tracked::exact(value));
//! let chassis = Chassis {
//!     wheelbase: known(4.8), front_empty: known(2900.0), rear_empty: known(3800.0),
//!     front_rating: known(3900.0), rear_rating: known(6200.0), gross_rating: known(10_000.0),
//!     steering_share: known(0.5),
//! };
//! let deck = Deck {
//!     front_edge: known(1.9), length: known(6.1), overhang_allowed: known(0.9), capacity: known(5400.0),
//! };
//! let car = Vehicle {
//!     mass: Tracked::exact(2400.0), centre: Tracked::exact(1.4), wheelbase: Tracked::exact(2.9),
//!     front: Tracked::exact(-0.9), rear: Tracked::exact(4.0),
//! };
//! let standing = car.standing(WayRound::NoseFirst)?;
//! let window = Placements::new(&chassis, &deck, &standing, &[])?.window().expect("it is open");
//! // 3800 + 2400 · (1.9 + s + 2.3) / 4.8 reaches the rear rating of 6200 kg at s = 0.6 m.
//! let last = window.last.expect("the deck ends somewhere");
//! assert_eq!(last.rating, Rating::RearAxle);
//! assert!((last.place.value - 0.6).abs() < 1e-12);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

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
pub use planning::{
    ClassOutcome, LeastClass, PlanningClass, PlanningFactors, PlanningRule, SHARE_UNCERTAINTY,
    least_among,
};
pub use springs::{SpringAxle, spring_loads};
pub use standing::{Neighbour, Placements, Side, Standing, Vehicle, WayRound};
pub use window::{End, Shut, Window};

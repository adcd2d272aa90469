//! Wheel lift and dollies: what the truck, the lift and the dollies carry.
//!
//! # Free body of the truck
//! Seen from the side, the wrecker is a beam on two supports: its front axle and its rear axle (or the
//! middle of its tandem) WB behind it. The lifted wheels press down with P on the lift, OH behind the
//! rear axle. The rear axle is the pivot of a lever: what hangs behind it takes load off the front axle.
//!
//! ```text
//!   front = F₀ − P·OH / WB          rear = R₀ + P·(OH + WB) / WB          gross = F₀ + R₀ + P
//!
//!   P ≤ (1 − k)·F₀·WB / OH          the front axle keeps the share k of its empty load
//!   P ≤ (rear rating − R₀)·WB / (OH + WB)
//!   P ≤ gross rating − F₀ − R₀      and P ≤ what the lift is rated for at that reach
//! ```
//!
//! Symbols: F₀, R₀ empty axle loads, P lift load (kg); WB wheelbase, OH reach of the lift (m). Source:
//! trade magazine, "Vehicle Control" (2013), read: it warns that the formula's origin is not known and
//! that it leaves out gross rating, tyres and friction; the balance itself is statics. k = 0.5 is a
//! contract and industry rule (California law-enforcement rotation-tow agreement, second-hand); no
//! federal percentage was found.
//!
//! # Free body of the towed vehicle
//! It stands on the wheels that stay on the ground, or on dollies, and hangs on the lift: two supports,
//! its wheelbase L apart. Its weight acts b from the axle that stays down, at the height h.
//!
//! ```text
//!   level:               P = m·b / L
//!   lifted by angle φ:   P = m·(b − h·tan φ) / (L − h_l·tan φ)
//! ```
//!
//! Lifting moves the weight toward the axle that stays down, so the level figure is on the safe side
//! for truck and lift, and the lifted one for the dollies, while φ ≥ 0 and h_l / L ≤ h / b. With the
//! lifted end *lower* than the other (φ < 0: dollies higher than the lift), or with a lift point higher
//! than that, the lifted figure is the greater one, and truck and lift must be judged by it. h and h_l (the height of the lift point) are
//! counted from the point about which the vehicle turns; see [`TowedVehicle`]. Statics; no citation.
//!
//! # Valid for
//! Standing still or driving steadily on level ground. Braking, bumps and a lift that is longer than its
//! rating's reach are not in it.
//!
//! # Example
//! ```
//! use chockstone_mechanics::carrying::Chassis;
//! use chockstone_mechanics::propagation::Tracked;
//! use chockstone_mechanics::towing::{LiftLimit, Wrecker};
//!
//! let known = |value: f64| Some(Tracked::exact(value));
//! let wrecker = Wrecker {
//!     chassis: Chassis {
//!         wheelbase: known(3.2), front_empty: known(2000.0), rear_empty: known(2400.0),
//!         steering_share: known(0.5), ..Chassis::default()
//!     },
//!     reach: known(1.6),
//!     ..Wrecker::default()
//! };
//! // Half of the front axle's load may go: (1 − 0.5) · 2000 · 3.2 / 1.6.
//! let limits = wrecker.greatest_lift()?;
//! let (limit, most) = limits.strictest().expect("steering is known");
//! assert_eq!((limit, most.value()), (LiftLimit::Steering, 2000.0));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod dolly;
mod error;
mod judgement;
mod law;
mod towed;
mod truck;

pub use dolly::{DollyLimit, DollySet};
pub use error::{TowingError, TowingField};
pub use judgement::TowingJudgement;
pub use law::{
    AxleGroup, LicenceGroup, bridge_groups, bridge_limit_pounds, combination_rating_pounds,
    licence_group,
};
pub use towed::{LiftLoads, LiftedAxle, TowedVehicle, lift_angle};
pub use truck::{LiftLimit, LiftLimits, Wrecker, WreckerLoads};

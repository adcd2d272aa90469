//! What each support of a lifted or jacked vehicle carries, and what it takes to tip it.
//!
//! # Free body
//! A rigid vehicle stands level on n supports (lift pads, a jack, stands, wheels left on the
//! ground). Its weight W acts straight down at the centre of gravity C, seen in plan; each support i
//! at sᵢ pushes straight up with Fᵢ ≥ 0: it can press, never pull. Three balances hold:
//!
//! - Σ Fᵢ = W, Σ Fᵢ·xᵢ = W·x, Σ Fᵢ·yᵢ = W·y.
//!
//! With three supports they decide everything. With four and more the loads are statically
//! indeterminate (Jazar, *Vehicle Dynamics* (2008), Ex. 45, read second-hand): a shim of a few
//! millimetres under one pad moves load from one diagonal to the other. So there are three answers,
//! and never one alone:
//!
//! | symbol | meaning | formula |
//! | --- | --- | --- |
//! | low, high | least and most that support i can carry, whatever the stiffnesses | below |
//! | Fᵢ | its share if all supports give alike (equal stiffness k) | Fᵢ = k·(z + a·xᵢ + b·yᵢ) |
//! | d(e) | distance of C inside edge e of the support polygon, m | cross product / edge length |
//!
//! - Equal stiffness: the plane through the balances, least squares; from a note on elastic supports,
//!   read second-hand. A support on which the plane would pull has lifted off; of all sets of supports
//!   that only press, the one with the least stored energy (least Σ Fᵢ²) is taken. For four corners
//!   of a convex quadrilateral that is the usual rule "drop the negative one and solve again", and for
//!   a rectangle the outrigger rule of Shapiro and Shapiro, *Cranes and Derricks*, ch. 5, read
//!   second-hand.
//! - high = W · min over the edges e of the support polygon that do not pass through sᵢ of d(C)/d(sᵢ).
//! - low = W · max(0, max over the edges of the polygon of the *other* supports which sᵢ lies outside
//!   of, of d(C)/d(sᵢ)). Both are the linear programme "largest and smallest Fᵢ under the three
//!   balances" solved by its dual; arithmetic, no citation.
//! - Tipping about edge e: a horizontal push P at height h above the supports tips at P·h = W·d; a
//!   downward push p beyond the edge by the overhang o tips at p·o = W·d; a tilt of all supports
//!   together tips at tan θ = d/h. Arithmetic from the moment balance, no citation.
//!
//! # Valid for
//! A rigid vehicle held level, at rest, on supports at one height, without side force. The body of a
//! jacked vehicle leans, which moves C by about its height times the lean towards the low side; and
//! wheels give more than a jack. The bounds hold for any stiffness, the equal share only for alike
//! supports. The numbers never permit anything: the maker's lift points and instructions, the lift's
//! or jack's own manual and stands under a raised vehicle come first.
//!
//! | function | answers |
//! | --- | --- |
//! | [`support_loads`] | low, equal share, high on each of 3 to 8 supports |
//! | [`stability`] | how far inside the polygon of support the centre lies, edge by edge |
//! | [`tilt_angle`], [`tipping_force`], [`tipping_load`] | the tilt and the pushes that tip it |
//! | [`Wheels::jacked`] | which supports there are with a corner, a side or an end raised |
//! | [`pad_distance`] | how far a round pad stays clear of a region seen in plan |
//!
//! ```
//! use chockstone_mechanics::lifting::{self, Spot};
//! use chockstone_mechanics::propagation::Tracked;
//!
//! let pads = [[0.4, -0.7], [0.4, 0.7], [2.0, -0.7], [2.0, 0.7]].map(|[x, y]| Spot::exact(x, y));
//! let centre = Spot::exact(1.2, 0.0);
//! let loads = lifting::support_loads(&Tracked::exact(2000.0), &centre, &pads)?;
//! for load in &loads {
//!     assert!((load.equal_share.value() - 500.0).abs() < 1e-9);
//!     // With a shim under one pad, two pads may carry nearly all of it.
//!     assert!((load.high.value() - 1000.0).abs() < 1e-9);
//! }
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod bounds;
mod error;
mod jacking;
mod loads;
mod pad;
mod place;
mod polygon;
mod shares;
mod stability;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod published;
#[cfg(test)]
mod testing;

pub use error::{LiftError, LiftQuantity};
pub use jacking::{Corner, JackedSupport, Raised, SupportKind, Wheels};
pub use loads::{MAX_SUPPORTS, SupportLoad, support_loads};
pub use pad::{PadDistance, pad_distance};
pub use place::Spot;
pub use stability::{
    Edge, Stability, TippingLoad, stability, tilt_angle, tipping_force, tipping_load,
};

//! Statics as pure functions over plain numbers with uncertainty.
//!
//! This crate knows no profile, no file and no unit but SI: metres, kilograms, newtons, radians. It
//! turns numbers with a standard uncertainty into numbers with a standard uncertainty, and says how
//! much each input contributed. It has no dependency.
//!
//! | module | what it answers |
//! | --- | --- |
//! | [`uncertain`] | a value and its standard uncertainty; the interval that a verdict looks at |
//! | [`propagation`] | how uncertainty passes through a formula, shared inputs included |
//! | [`verdict`] | is that within a limit: within, beyond, too close to call, not known |
//!
//! # Frame
//! Origin on the ground under the centre of the front axle; x rearward, y to the vehicle's right,
//! z up. "Load" always means the reading of a scale in kilograms; multiply by
//! [`STANDARD_GRAVITY`] for newtons.

pub mod propagation;
pub mod uncertain;
pub mod verdict;

/// Standard acceleration of free fall, m/s². Defined value, third CGPM (1901); from memory.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

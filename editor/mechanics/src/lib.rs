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
//! | [`mass`] | total mass, centre of gravity, height by axle lift, fitted items, axle loads |
//! | [`lifting`] | what each support of a lifted vehicle carries, and what tips it |
//! | [`carrying`] | axle loads of a carrier, and where on its deck a vehicle may stand |
//! | [`towing`] | what truck, wheel lift and dollies carry |
//! | [`winching`] | line pull, blocks, drum layers, bridles, holding back |
//! | [`securing`] | what tie-downs hold in each direction and together |
//! | [`clearing`] | the smallest clearance over ramp, hinge and deck |
//!
//! # Frame
//! Origin on the ground under the centre of the front axle; x rearward, y to the vehicle's right,
//! z up. "Load" always means the reading of a scale in kilograms; multiply by
//! [`STANDARD_GRAVITY`] for newtons.
//!
//! # From readings to a centre of gravity
//! ```
//! use chockstone_mechanics::mass::{self, AxleLoad, AxleReading};
//! use chockstone_mechanics::propagation::Inputs;
//! use chockstone_mechanics::uncertain::Uncertain;
//!
//! let mut inputs = Inputs::new();
//! let front = inputs.add("front axle reading", Uncertain::new(911.4, 2.6))?;
//! let rear = inputs.add("rear axle reading", Uncertain::new(629.6, 2.6))?;
//! let wheelbase = inputs.add("wheelbase", Uncertain::new(2.667, 0.002))?;
//!
//! let plane = mass::from_axle_readings(&[
//!     AxleReading::front(AxleLoad::Total(front)),
//!     AxleReading::at(wheelbase, AxleLoad::Total(rear)),
//! ])?;
//! assert!((plane.total.value() - 1541.0).abs() < 1e-9);
//! assert!((plane.x.value() - 1.0897).abs() < 1e-4);
//! // What to measure better, in order: here a reading, and not the tape.
//! let (label, strongest) = inputs.contributions(&plane.x)[0];
//! assert_eq!(*label, "rear axle reading");
//! assert!(strongest.share > 0.5);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

pub mod carrying;
pub mod clearing;
pub mod lifting;
pub mod mass;
pub mod propagation;
pub mod securing;
pub mod towing;
pub mod uncertain;
pub mod verdict;
pub mod winching;

/// Standard acceleration of free fall, m/s². Defined value, third CGPM (1901); from memory.
pub const STANDARD_GRAVITY: f64 = 9.806_65;

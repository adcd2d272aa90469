//! The side view and the plan view of a vehicle, drawn to scale from the profile.

pub mod edits;
pub mod glyph;
pub mod labels;
pub mod polygon;
pub mod projection;
pub mod rounding;
pub mod scene;
pub mod snap;
pub mod ticks;
pub mod tyre;

#[cfg(test)]
mod edits_tests;
#[cfg(test)]
mod fixture;

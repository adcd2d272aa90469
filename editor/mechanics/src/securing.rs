//! What tie-downs hold, in each direction and together.
//!
//! # Free body
//! A vehicle of the weight W stands on a deck. When the truck brakes, speeds up, turns or bounces, the
//! vehicle wants to move forward, rearward, sideways or up with the force c·W. A leg runs from a place
//! on the vehicle to an anchor on the deck; its tension T pulls the vehicle toward the anchor along
//! the unit vector u. A leg holds against a movement only when the movement would stretch it. Then it
//! gives T times the part of u against the movement.
//!
//! # Frame
//! The *truck's*: x toward the truck's rear, y to its right, z up, metres. "Forward" is the truck's
//! forward, whichever way round the vehicle stands. Forces and limits in newtons, masses in
//! kilograms, angles in radians.
//!
//! Published rules differ in what they ask for, in how they count a tie-down and in how many they
//! want. Each is a named rule set with `name()` and `source()`.
//!
//! | function | answers |
//! | --- | --- |
//! | [`BalanceRules`] | how hard each direction is pulled, and against what it is held |
//! | [`holding`], [`leg_forces`] | what a set of legs holds in a direction, and what each carries |
//! | [`CountingRules`], [`aggregate`] | the aggregate working load limit and its half of the weight |
//! | [`weakest_part`] | the limit of strap, tensioner, point and anchor together |
//! | [`MinimumRules`], [`minimum_by_length`] | how many tie-downs there must be |
//! | [`chain_default`], [`webbing_default`], [`wire_rope_default`] | limits of what is not marked |
//! | [`FrictionLashingRules`], [`stands_by_itself`] | tie-downs over the top; tipping |
//! | [`FrictionPair`] | friction of surfaces that are swept clean |
//! | [`TyreStrap`], [`eight_point_legs`] | the legs of straps over the tyres |
//! | [`propose`] | the smallest set of available straps that holds |

mod balance;
mod counting;
mod default_limits;
mod error;
mod friction;
mod lashing;
mod layout;
mod minimum;
mod proposal;
mod tyre_strap;
mod weakest;

#[cfg(test)]
mod properties;
#[cfg(test)]
mod testing;

pub use balance::{BalanceRules, Direction, Held, LashingKind};
pub use counting::{Aggregate, CountedTieDown, CountingRules, Path, aggregate};
pub use default_limits::{
    ChainGrade, PrintedLimit, chain_default, webbing_default, wire_rope_default,
};
pub use error::{Quantity, SecuringError};
pub use friction::{FrictionPair, RUBBER_MAT, UNCLEAN};
pub use lashing::{
    FrictionLashing, FrictionLashingRules, Tilting, friction_lashing_force, friction_lashings,
    stands_by_itself,
};
pub use layout::{DIRECT_FRICTION_SHARE, Holding, Leg, LegUse, holding, leg_forces, plain_shares};
pub use minimum::{
    LIGHT_VEHICLE_LIMIT, MinimumRules, SectionMinimum, VehicleSection, minimum_by_length,
};
pub use proposal::{Candidate, Found, Outcome, Requirements, Shortfall, propose};
pub use tyre_strap::{TyreStrap, eight_point_legs};
pub use weakest::weakest_part;

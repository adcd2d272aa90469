//! The pull that brings a vehicle up a deck or holds it back, and what line, block and bridle carry.
//!
//! All forces are in newtons, masses and axle loads in kilograms, angles in radians, lengths in
//! metres. Functions take [`Tracked`](crate::propagation::Tracked) numbers and refuse what cannot
//! be: they never return NaN.
//!
//! Published sets of figures disagree with each other (a hard road takes 0.04 or 0.10 of the weight,
//! a block loses 10 % in three different ways). Each set is therefore a named rule set, with
//! `name()` and `source()`, and none is mixed with another.
//!
//! | function | answers |
//! | --- | --- |
//! | [`line_pull`] | pull up a slope, each axle rolling, dragging or on skates |
//! | [`ResistanceRules`], [`GradeRule`] | the published figures for surfaces and slopes |
//! | [`line_force`], [`dead_line_force`] | parts of line that a load needs, and what each carries |
//! | [`redirect_load`], [`moving_block`] | what a block carries, what it saves and loses |
//! | [`layer_pull`], [`Drum`] | what a winch pulls on the layer of line in use |
//! | [`bridle`], [`leg_factor`] | tension and direction of the legs of a bridle |
//! | [`angle_between`], [`Cone`] | whether a point may be loaded in a direction |
//! | [`holding_back`], [`tow_grade`] | the way down, and slopes that are too steep to tow on |

mod blocks;
mod bridle;
mod drum;
mod error;
mod grade;
mod holding;
mod line_force;
mod point_load;
mod pull;
mod resistance;
mod wire_rope;

#[cfg(test)]
mod testing;

pub use blocks::{BlockRule, moving_block, redirect_load};
pub use bridle::{Bridle, BridleLegs, MIN_LEG_ANGLE, bridle, leg_factor, leg_factor_by_lengths};
pub use drum::{Drum, LayerInUse, MIN_WRAPS, PACKING_LOOSE, PACKING_TIGHT, layer_pull};
pub use error::{Quantity, WinchingError};
pub use grade::GradeRule;
pub use holding::{
    HoldingBack, TOW_GRADE_NEVER, TOW_GRADE_PERMISSION, TowGrade, holding_back, tow_grade,
};
pub use line_force::{
    LOSS_PER_SHEAVE, LineForce, Reduction, dead_line_force, line_force, load_resistance,
};
pub use point_load::{Cone, ConeFit, angle_between, nearest_cone, unit_toward};
pub use pull::{AxleOnSlope, LinePull, Wheels, line_pull};
pub use resistance::{ResistanceRules, Surface};
pub use wire_rope::{SHARP_BEND_LOSS, field_rule_limit};

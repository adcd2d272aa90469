//! What changed from one profile to another, by meaning, and whether it can hurt somebody.
//!
//! Parts are recognised by their ids wherever they stand, and a part with a new id by what it says; values are compared
//! across units within the rounding that they were written with; order counts where things are done in order and nowhere
//! else; texts are compared by word, places in millimetres, files by their hash. Each change is told once, with its place on
//! both sides, and graded by the [`table`].
//!
//! ```
//! # fn example(older: &chockstone_schema::Profile, newer: &chockstone_schema::Profile) {
//! let difference = chockstone_library::difference::difference(older, newer);
//! for change in &difference.changes {
//!     println!("{:?} {}: {:?}", change.grade, change.place(), change.sentence);
//! }
//! # }
//! ```

use chockstone_schema::{Profile, read::to_value, report::Difference};
use serde_json::Value;

pub mod effects;
pub(crate) mod geometry;
pub(crate) mod matching;
pub mod report;
pub(crate) mod sentence;
pub(crate) mod shape;
pub mod table;
pub(crate) mod values;
mod walk;
mod words;

pub use effects::effects;

/// Everything that changed from the older profile `a` to the newer profile `b`, worst first.
pub fn difference(a: &Profile, b: &Profile) -> Difference {
    if a == b {
        return Difference::default();
    }
    of_values(&to_value(a), &to_value(b))
}

/// Like [`difference`], for profiles as JSON values, as [`to_value`] gives them.
pub fn of_values(a: &Value, b: &Value) -> Difference {
    Difference {
        changes: walk::Walk::new(a, b).over(shape::profile(), a, b),
    }
}

#[cfg(test)]
mod tests;

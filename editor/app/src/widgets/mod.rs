//! Parts of the window that show a value and say what a person made of it. None of them changes anything by itself.

pub mod entry;
pub mod grade;
pub mod icon;
pub mod quantity_edit;
pub mod severity;
pub mod verdict;

pub use entry::{Entry, EntryOutcome};
pub use quantity_edit::{QuantityEdit, QuantityOutcome, UnitSystem};

//! What crosses crates, and checks against outside references.

//! What each support of a lifted or jacked vehicle carries, and what it takes to tip it.

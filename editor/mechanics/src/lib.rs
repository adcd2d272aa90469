//! Statics as pure functions over plain numbers with uncertainty.

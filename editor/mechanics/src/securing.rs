//! What tie-downs hold, in each direction and together.

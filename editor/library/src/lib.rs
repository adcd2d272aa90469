//! Releases of profiles and the association's collection of them.

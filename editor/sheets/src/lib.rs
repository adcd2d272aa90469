//! The printed and on-screen sheets: a place kept for them.
//!
//! A sheet is made of a profile and computed results, never of the window's state. Nothing is here yet; the program
//! offers no sheets, and bundles already accept a folder `sheets`.

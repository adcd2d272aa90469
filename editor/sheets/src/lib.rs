//! The printed and on-screen sheets.

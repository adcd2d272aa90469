//! The Chockstone window and command line.

pub mod document;
pub mod history;
pub mod pointer;
pub mod theme;
pub mod widgets;

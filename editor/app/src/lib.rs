//! The Chockstone window and command line.

pub mod app;
pub mod cli;
pub mod command;
pub mod diagram;
pub mod document;
pub mod figures;
pub mod form;
pub mod history;
pub mod job;
pub mod pages;
/// Stand-alone pages and dialogs for the window: library list, mass summary, new profile, publish.
pub mod panels;
pub mod pointer;
pub mod ports;
pub mod preferences;
pub mod theme;
pub mod widgets;
mod window;

pub use window::run_window;

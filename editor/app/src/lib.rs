//! The Chockstone window and command line.

use std::path::PathBuf;

pub mod cli;
pub mod command;
pub mod diagram;
pub mod document;
pub mod form;
pub mod history;
pub mod pages;
/// Stand-alone pages and dialogs for the window: library list, mass summary, new profile, publish.
pub mod panels;
pub mod pointer;
pub mod theme;
pub mod widgets;

/// Opens the window on a file or a folder, else on the demo library.
pub fn run_window(_open: Option<PathBuf>) -> anyhow::Result<()> {
    anyhow::bail!(
        "there is no display to open the window on; `chockstone --help` tells what the command line can do"
    )
}

//! What the tests that cross crates share: the outside references, the program, the demo library, measuring, random
//! numbers, archives written by hand and listings of folders.
//!
//! Everything here panics with a sentence when it cannot do its work: a test has nobody to hand an error to.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::missing_panics_doc,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a helper of tests fails the test by panicking"
)]

use std::{
    io::Write as _,
    path::{Path, PathBuf},
};

pub mod association;
pub mod demo;
pub mod listing;
pub mod measure;
pub mod outside;
pub mod program;
pub mod random;
pub mod raw_zip;
pub mod server;

/// The top folder of the project.
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.parent()
        .expect("the tests lie in a folder of the project")
        .to_owned()
}

/// Prints a line that shows even when the test passes: the test runner only keeps what the print macros write.
pub fn tell(line: &str) {
    let mut text = line.to_owned();
    text.push('\n');
    // One write, so that lines of tests that run side by side do not mix. Nothing can be done where it fails.
    let _ = std::io::stderr().write_all(text.as_bytes());
}

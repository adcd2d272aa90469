//! The demo library, for the tests of this crate. Its vehicles and equipment are invented.

#![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

use std::path::Path;

use chockstone_schema::{
    Equipment, Profile,
    read::{Document, read_file},
};

fn file<D: Document>(name: &str) -> D {
    let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../profiles"));
    read_file(&folder.join(name)).unwrap()
}

/// A demo profile by its id.
pub(in crate::fit) fn profile(id: &str) -> Profile {
    file(&format!("{id}.profile.ron"))
}

/// A piece of demo equipment by its id.
pub(in crate::fit) fn equipment(id: &str) -> Equipment {
    file(&format!("equipment/{id}.equipment.ron"))
}

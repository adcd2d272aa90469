//! Releases of profiles and the association's collection of them.
//!
//! [`publish`] turns a profile that nothing blocks into a bundle; [`verify`] opens a bundle and looks at everything in
//! it; [`files`] finds the profiles and equipment of a folder and writes files so that none is ever half written.
//! [`difference`] tells what changed from one profile to another and whether it can hurt somebody, [`merge`] puts two people's changes together;
//! [`part`] names a part so that the name outlives an edit.
//!
//! [`policy`] says whose signatures a release needs, [`in_review`] collects them, [`catalogue`] and [`keeping`] list what is
//! released, [`unsaved`] keeps what was not saved yet, [`stores`] sends a library to others and fetches theirs, and [`shelf`] looks at all of it at once.

pub mod attachments;
pub mod catalogue;
pub mod contents;
pub mod difference;
pub mod equipment;
pub mod files;
pub mod in_review;
pub mod keeping;
pub mod merge;
pub mod note;
pub mod part;
pub mod patch;
pub mod policy;
pub mod publish;
pub mod releases;
pub mod review;
pub mod shelf;
pub mod signing;
pub mod stores;
pub mod unsaved;
pub mod verify;

#[cfg(test)]
mod testing;

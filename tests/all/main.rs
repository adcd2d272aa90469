//! Every test that crosses crates, in one test program.

#![allow(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    reason = "tests state facts and fail by panicking"
)]

mod association;
mod cli;
mod diff_calls;
mod fit_calls;
mod fit_cars;
mod fit_clearing;
mod fit_demo;
mod fit_figures;
mod fit_lifting;
mod fit_practice;
mod fit_properties;
mod fit_securing;
mod fit_support;
mod malformed;
mod mass_outside;
mod mass_profiles;
mod merge_calls;
mod merge_git;
mod mutations;
mod patch_outside;
mod plan_calls;
mod plan_mutations;
mod plan_practice;
mod plan_reference;
mod published;
mod tidy;
mod tracked;
mod two_releases;
mod unsaved_kill;

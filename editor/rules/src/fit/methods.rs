//! Which methods of moving the vehicle may be used, and why.

use chockstone_schema::report::MethodResult;

use super::Job;

/// The table of methods.
pub(crate) fn table(_job: &mut Job<'_>) -> Vec<MethodResult> {
    Vec::new()
}

//! Line pull up the deck and holding back.

use chockstone_schema::report::WinchingResult;

use super::Job;

/// Every case of winching with each winch given.
pub(crate) fn fit(_job: &mut Job<'_>) -> Vec<WinchingResult> {
    Vec::new()
}

//! Which files the payload of a bundle has.

use super::{BundleError, Files};

/// The canonical profile in the payload.
pub const PROFILE_JSON: &str = "profile.json";
/// The profile as people keep it.
pub const PROFILE_RON: &str = "profile.ron";
/// The JSON Schema of the profile.
pub const PROFILE_SCHEMA: &str = "profile.schema.json";
/// The findings, with the program's version.
pub const FINDINGS: &str = "findings.json";
/// What the bundle is, with the cautions.
pub const README: &str = "README.txt";
/// The folder of attachments in the payload, each named by the SHA-256 of its bytes and its ending.
pub const ATTACHMENTS: &str = "attachments";
/// Computed results; optional.
pub const RESULTS: &str = "results.json";
/// The difference from the release before; optional.
pub const DIFFERENCE: &str = "difference.json";
/// The folder of sheets; optional.
pub const SHEETS: &str = "sheets";

const REQUIRED: [&str; 5] = [PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, FINDINGS, README];
const OPTIONAL: [&str; 2] = [RESULTS, DIFFERENCE];
const FOLDERS: [&str; 2] = [ATTACHMENTS, SHEETS];

/// Refuses a payload with a file too few or too many.
///
/// Whether an attachment is the one that the profile means is not asked here: that takes the profile.
pub(super) fn check(payload: &Files) -> Result<(), BundleError> {
    let bad = |name: &str, why| Err(BundleError::bag(&format!("data/{name}"), why));
    if let Some(missing) = REQUIRED.iter().find(|n| !payload.contains_key(**n)) {
        return bad(missing, "it is missing");
    }
    match payload.keys().find(|n| !is_known(n)) {
        Some(name) => bad(name, "a bundle has no such file"),
        None => Ok(()),
    }
}

fn is_known(name: &str) -> bool {
    match name.split_once('/') {
        None => REQUIRED.contains(&name) || OPTIONAL.contains(&name),
        Some((folder, file)) => FOLDERS.contains(&folder) && !file.contains('/'),
    }
}

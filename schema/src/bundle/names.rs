//! Names that every file system and every BagIt program agrees on.

use std::collections::BTreeSet;

use super::{BundleError, Limits};

/// Refuses a name that some file system would read in another way. `%` is among them: one BagIt program does not decode
/// it as RFC 8493 asks.
pub(super) fn check(name: &str, limits: &Limits) -> Result<(), BundleError> {
    let bad = |why| {
        Err(BundleError::BadName {
            name: name.to_owned(),
            why,
        })
    };
    if name.len() > limits.name {
        return bad("it is too long");
    }
    if name.starts_with('/') {
        return bad("it is an absolute path");
    }
    if !name
        .bytes()
        .all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'_' | b'-' | b'/'))
    {
        return bad("use letters, digits, points, hyphens, underscores and slashes");
    }
    let parts: Vec<&str> = name.split('/').collect();
    if parts.len() > limits.depth + 1 {
        return bad("it lies in too many folders");
    }
    for part in parts {
        if part.is_empty() {
            return bad("a part of it is empty");
        }
        if part.starts_with('.') || part.ends_with('.') {
            return bad("a part of it begins or ends with a point");
        }
        if is_device(part) {
            return bad("it names a device on some systems");
        }
    }
    Ok(())
}

/// Names that open a device instead of a file on Windows, with any ending.
fn is_device(part: &str) -> bool {
    let stem = part
        .split('.')
        .next()
        .unwrap_or_default()
        .to_ascii_lowercase();
    let numbered = |prefix: &str| {
        stem.strip_prefix(prefix)
            .is_some_and(|n| n.len() == 1 && n != "0" && n.bytes().all(|b| b.is_ascii_digit()))
    };
    matches!(stem.as_str(), "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
}

/// Refuses two names that are one on a file system without upper and lower case.
pub(super) fn check_collisions<'n>(
    names: impl Iterator<Item = &'n String>,
) -> Result<(), BundleError> {
    let mut seen = BTreeSet::new();
    for name in names {
        if !seen.insert(name.to_ascii_lowercase()) {
            return Err(BundleError::BadName {
                name: name.clone(),
                why: "another file has the same name but for upper and lower case",
            });
        }
    }
    Ok(())
}

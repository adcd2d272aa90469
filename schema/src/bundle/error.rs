//! Why a bundle is refused.

/// Why a bundle was refused, or could not be made: what, where, and what to do.
///
/// Names and texts out of a refused file are escaped, so they can be shown on a terminal.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BundleError {
    /// The bytes are no zip archive, or not a whole one.
    #[error("it is not a readable zip archive: {why}. Get the file again as it was published")]
    NotAZip {
        /// What was found instead.
        why: String,
    },
    /// A stated limit is exceeded.
    #[error(
        "{what} is {found}, beyond the limit of {limit}. Leave out or shrink attachments, or open it with limits that allow more"
    )]
    BeyondLimit {
        /// What is too large.
        what: String,
        /// How large it is.
        found: u64,
        /// The limit.
        limit: u64,
    },
    /// A file's name is not allowed.
    #[error(
        "the name \"{name}\" is not allowed in a bundle: {why}. Give it a name of letters, digits, points, hyphens and underscores"
    )]
    BadName {
        /// The name, escaped and cut where it is very long.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// An entry is something else than a plain stored file.
    #[error("the entry \"{name}\" {why}. Get the bundle again as it was published")]
    BadEntry {
        /// The entry's name, escaped and cut where it is very long.
        name: String,
        /// What is wrong with it.
        why: &'static str,
    },
    /// The archive holds bytes that belong to no file of it.
    #[error(
        "the bytes from {at} on belong to no file of the archive. Get the bundle again as it was published"
    )]
    Unaccounted {
        /// The first such byte, counted from 0.
        at: usize,
    },
    /// The bag breaks RFC 8493 or the rules of a bundle.
    #[error("{file}{}: {why}. Get the bundle again as it was published", at_line(*line))]
    BadBag {
        /// The file at fault, by its name under the top folder.
        file: String,
        /// The line at fault, counted from 1, where the file is text.
        line: Option<usize>,
        /// What is wrong.
        why: String,
    },
    /// A file does not have the hash that its manifest lists.
    #[error(
        "{file} was changed: its SHA-256 is {found}, but {manifest} lists {listed}. Get the bundle again as it was published"
    )]
    Changed {
        /// The file.
        file: String,
        /// The manifest that lists it.
        manifest: &'static str,
        /// The hash listed.
        listed: String,
        /// The hash found.
        found: String,
    },
}

impl BundleError {
    /// Whether the bundle could be opened and what is in it is not what it says: a failed verification, not an input
    /// that could not be used.
    pub fn is_failed_verification(&self) -> bool {
        matches!(self, Self::Changed { .. })
    }

    pub(super) fn zip(why: impl Into<String>) -> Self {
        Self::NotAZip { why: why.into() }
    }

    pub(super) fn name(name: &[u8], why: &'static str) -> Self {
        Self::BadName {
            name: shown(name),
            why,
        }
    }

    pub(super) fn entry(name: &[u8], why: &'static str) -> Self {
        Self::BadEntry {
            name: shown(name),
            why,
        }
    }

    pub(super) fn bag(file: &str, why: impl Into<String>) -> Self {
        Self::BadBag {
            file: file.to_owned(),
            line: None,
            why: why.into(),
        }
    }

    pub(super) fn line(file: &str, line: usize, why: impl Into<String>) -> Self {
        Self::BadBag {
            file: file.to_owned(),
            line: Some(line),
            why: why.into(),
        }
    }
}

fn at_line(line: Option<usize>) -> String {
    line.map_or_else(String::new, |line| format!(", line {line}"))
}

/// Bytes from outside as text that is safe on a terminal and not longer than a line.
pub(super) fn shown(bytes: &[u8]) -> String {
    const LONGEST: usize = 80;
    let text = bytes.get(..LONGEST).unwrap_or(bytes).escape_ascii();
    let more = if bytes.len() > LONGEST { "…" } else { "" };
    format!("{text}{more}")
}

/// Refuses what is beyond a limit.
pub(super) fn within(
    what: impl FnOnce() -> String,
    found: usize,
    limit: u64,
) -> Result<(), BundleError> {
    let found = found as u64;
    if found > limit {
        Err(BundleError::BeyondLimit {
            what: what(),
            found,
            limit,
        })
    } else {
        Ok(())
    }
}

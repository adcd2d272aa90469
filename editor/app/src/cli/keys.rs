//! Keys and moments that commands take.

use std::{env, fs, path::Path};

use chockstone_library::{policy::Role, signing::SigningKey};
use chockstone_schema::{
    date::Moment,
    signature::{AllowedSigners, SignerFault},
};
use clap::ValueEnum;

/// The variable of the environment that holds a passphrase.
const PASSPHRASE: &str = "CHOCKSTONE_PASSPHRASE";

/// The moment of what is done.
#[derive(Debug, clap::Args)]
pub(super) struct When {
    /// The moment at which keys and catalogues are judged (RFC 3339); without it, now.
    #[arg(long, value_name = "RFC3339", value_parser = Moment::from_rfc3339)]
    date: Option<Moment>,
}

impl When {
    pub(super) fn moment(&self) -> Moment {
        self.date.unwrap_or_else(super::now)
    }
}

/// In which role a key signs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum RoleWord {
    /// As the one who made the release.
    Author,
    /// As one who looked at it.
    Reviewer,
}

impl From<RoleWord> for Role {
    fn from(word: RoleWord) -> Self {
        match word {
            RoleWord::Author => Self::Author,
            RoleWord::Reviewer => Self::Reviewer,
        }
    }
}

/// Reads a private key; asks for its passphrase where it is locked and the environment holds none.
pub(super) fn key(path: &Path) -> Result<SigningKey, String> {
    let bytes = fs::read(path)
        .map_err(|e| format!("{}: the key could not be read: {e}", path.display()))?;
    let passphrase = || {
        let ask = || {
            let prompt = format!("Passphrase of {}: ", path.display());
            rpassword::prompt_password(prompt).ok()
        };
        env::var(PASSPHRASE).ok().or_else(ask)
    };
    SigningKey::read(&bytes, passphrase).map_err(|e| format!("{}: {e}", path.display()))
}

/// Reads a file of allowed signers, and one of revoked keys.
pub(super) fn signers(path: &Path, revoked: Option<&Path>) -> Result<AllowedSigners, String> {
    let read = |path: &Path| {
        fs::read_to_string(path)
            .map_err(|e| format!("{}: it could not be read: {e}", path.display()))
    };
    let told = |path: &Path, faults: Vec<SignerFault>| {
        let told: Vec<String> = faults.iter().map(ToString::to_string).collect();
        format!("{}: {}", path.display(), told.join("; "))
    };
    let signers = AllowedSigners::parse(&read(path)?).map_err(|faults| told(path, faults))?;
    match revoked {
        None => Ok(signers),
        Some(path) => signers
            .revoking(&read(path)?)
            .map_err(|faults| told(path, faults)),
    }
}

//! Signatures over a bundle, by ordinary OpenSSH keys, and who may sign.
//!
//! Signatures are in the format of OpenSSH's `PROTOCOL.sshsig`, over [`OpenBundle::tag_manifest`](crate::bundle::OpenBundle),
//! in the namespace [`RELEASE`]. `ssh-keygen -Y verify -n release@chockstone -f allowed_signers` accepts the same; the file of
//! allowed signers is that of `ssh-keygen(1)`, of which a strict part is read: every signer by name, times in UTC. All
//! cryptography is that of the crate `ssh-key`. RSA keys are refused: its stable release cannot sign with them.

use ssh_key::{Algorithm, HashAlg, LineEnding, PublicKey, SshSig};

use crate::date::Moment;

mod signers;

pub use signers::{AllowedSigner, AllowedSigners, SignerFault};

/// The namespace of signatures over releases: no signature made for anything else is accepted.
pub const RELEASE: &str = "release@chockstone";

/// The namespace of signatures over a library's snapshot.
pub const SNAPSHOT: &str = "snapshot@chockstone";

/// Whose signature it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Signed {
    /// The names that the key stands under.
    pub names: Vec<String>,
    /// The key's fingerprint: `SHA256:…`.
    pub fingerprint: String,
}

/// Why a signature is not accepted.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SignatureError {
    /// There is no signature.
    #[error("nobody signed it")]
    Nobody,
    /// It is no signature in this format.
    #[error("it is no OpenSSH signature: {0}")]
    Format(String),
    /// It was made for something else.
    #[error("it was made for {found:?}, not for {wanted:?}")]
    Namespace {
        /// What it was made for.
        found: String,
        /// What it had to be made for.
        wanted: String,
    },
    /// The kind of key is not accepted.
    #[error("keys of the kind {0} are not accepted: use an Ed25519 or ECDSA key")]
    Kind(String),
    /// The key is revoked.
    #[error("the key {0} is revoked")]
    Revoked(String),
    /// Nobody who may sign has this key.
    #[error("the key {0} is not among those who may sign")]
    Unlisted(String),
    /// The key may not sign for this.
    #[error("the key {key} may sign only for {only}")]
    NotForThis {
        /// Its fingerprint.
        key: String,
        /// What it may sign for.
        only: String,
    },
    /// The key was not yet, or is no longer, to be used.
    #[error("the key {key} may be used only {when}, and it is {at}")]
    Time {
        /// Its fingerprint.
        key: String,
        /// When it may be used.
        when: String,
        /// The moment that was asked about.
        at: Moment,
    },
    /// The signature does not belong to these bytes.
    #[error("it does not belong to these bytes: they were changed, or it was made over others")]
    Forged,
}

impl AllowedSigners {
    /// Whose signature over `message` it is, for use at a moment; an error when it is not accepted.
    pub fn verify(
        &self,
        signature: &[u8],
        namespace: &str,
        message: &[u8],
        at: Moment,
    ) -> Result<Signed, SignatureError> {
        let format = |e: ssh_key::Error| SignatureError::Format(e.to_string());
        let armour = signature;
        let signature = SshSig::from_pem(armour).map_err(format)?;
        // The crate reads over lengths that do not fit; only what would be written the same is one signature.
        let written = signature.to_pem(LineEnding::LF).map_err(format)?;
        if body(armour) != body(written.as_bytes()) {
            let why = "it is not written as such a signature is";
            return Err(SignatureError::Format(why.to_owned()));
        }
        // Neither is covered by the signature itself.
        if signature.version() != SshSig::VERSION || !signature.reserved().is_empty() {
            let why = "its version is not 1, or its reserved part is not empty";
            return Err(SignatureError::Format(why.to_owned()));
        }
        if signature.namespace() != namespace {
            return Err(SignatureError::Namespace {
                found: signature.namespace().to_owned(),
                wanted: namespace.to_owned(),
            });
        }
        let key = PublicKey::from(signature.public_key().clone());
        accepted_kind(&key)?;
        let fingerprint = fingerprint(&key);
        if self.revoked.iter().any(|k| k.key_data() == key.key_data()) {
            return Err(SignatureError::Revoked(fingerprint));
        }
        let listed = self.listed(&key, &fingerprint, namespace, at)?;
        // Before the names are told: a signature that is none is nobody's.
        key.verify(namespace, message, &signature)
            .map_err(|_| SignatureError::Forged)?;
        Ok(Signed {
            names: listed.names.clone(),
            fingerprint,
        })
    }

    /// The line of a key that may sign for this now, or why there is none.
    fn listed(
        &self,
        key: &PublicKey,
        fingerprint: &str,
        namespace: &str,
        at: Moment,
    ) -> Result<&AllowedSigner, SignatureError> {
        let mut refused = SignatureError::Unlisted(fingerprint.to_owned());
        for signer in self
            .signers
            .iter()
            .filter(|s| s.key.key_data() == key.key_data())
        {
            match signer.refusal(fingerprint, namespace, at) {
                None => return Ok(signer),
                Some(why) => refused = why,
            }
        }
        Err(refused)
    }
}

impl AllowedSigner {
    fn refusal(&self, key: &str, namespace: &str, at: Moment) -> Option<SignatureError> {
        let for_this = |names: &Vec<String>| names.iter().any(|n| n == namespace);
        if let Some(only) = self.namespaces.as_ref().filter(|names| !for_this(names)) {
            return Some(SignatureError::NotForThis {
                key: key.to_owned(),
                only: only.join(", "),
            });
        }
        let early = self.valid_after.filter(|after| at < *after);
        let late = self.valid_before.filter(|before| at > *before);
        let when = early
            .map(|after| format!("from {after} on"))
            .or_else(|| late.map(|before| format!("until {before}")))?;
        Some(SignatureError::Time {
            key: key.to_owned(),
            when,
            at,
        })
    }
}

/// The letters of an armoured signature, whatever the length of its lines.
fn body(armour: &[u8]) -> Vec<u8> {
    let letters = armour.iter().copied();
    letters.filter(|b| !b.is_ascii_whitespace()).collect()
}

/// The fingerprint of a key, as `ssh-keygen -l` prints it.
pub fn fingerprint(key: &PublicKey) -> String {
    key.fingerprint(HashAlg::Sha256).to_string()
}

/// Refuses kinds of keys that are not accepted.
fn accepted_kind(key: &PublicKey) -> Result<(), SignatureError> {
    match key.algorithm() {
        Algorithm::Ed25519 | Algorithm::Ecdsa { .. } => Ok(()),
        other => Err(SignatureError::Kind(other.to_string())),
    }
}

#[cfg(test)]
mod tests;

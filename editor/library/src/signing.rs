//! Signing bundles with ordinary OpenSSH keys.

use chockstone_schema::{
    bundle::{BundleError, Limits, open},
    signature::RELEASE,
};
use ssh_key::{HashAlg, LineEnding, PrivateKey};

/// The largest key file that is read, in bytes.
const LARGEST_KEY: usize = 64_000;

/// Why a key cannot be used, or a bundle not be signed.
#[derive(Debug, thiserror::Error)]
pub enum SigningError {
    /// The file holds no private key in OpenSSH's format, or one of those ECDSA keys that `ssh-key` cannot read: whose number
    /// begins with zeros, one in 256, of nistp521 every second one.
    #[error(
        "this is no private key in the format of OpenSSH, or an ECDSA key of a form that cannot be read here: {0}. Make one \
         with: ssh-keygen -t ed25519"
    )]
    Key(String),
    /// The key is locked, and no passphrase was given.
    #[error("the key is locked by a passphrase, and none was given")]
    Locked,
    /// The passphrase does not unlock the key.
    #[error("the passphrase does not unlock the key")]
    Passphrase,
    /// The kind of key cannot sign here.
    #[error(
        "keys of the kind {0} cannot be used here: use an Ed25519 or ECDSA key, or sign with ssh-keygen -Y sign"
    )]
    Kind(String),
    /// The bundle cannot be opened or written.
    #[error(transparent)]
    Bundle(#[from] BundleError),
}

/// A key that can sign. It is never printed.
pub struct SigningKey(PrivateKey);

impl std::fmt::Debug for SigningKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("SigningKey(…)")
    }
}

impl SigningKey {
    /// Reads a key as `ssh-keygen` writes it. `passphrase` is asked for only when the key is locked.
    ///
    /// # Errors
    /// See [`SigningError`].
    pub fn read(
        bytes: &[u8],
        passphrase: impl FnOnce() -> Option<String>,
    ) -> Result<Self, SigningError> {
        let too_long = bytes.len() > LARGEST_KEY;
        let text = std::str::from_utf8(bytes).ok().filter(|_| !too_long);
        let text =
            text.ok_or_else(|| SigningError::Key("it is no text of that size".to_owned()))?;
        let key = PrivateKey::from_openssh(text).map_err(|e| SigningError::Key(e.to_string()))?;
        let key = if key.is_encrypted() {
            let passphrase = passphrase().ok_or(SigningError::Locked)?;
            key.decrypt(passphrase)
                .map_err(|_| SigningError::Passphrase)?
        } else {
            key
        };
        match key.algorithm() {
            ssh_key::Algorithm::Ed25519 | ssh_key::Algorithm::Ecdsa { .. } => Ok(Self(key)),
            other => Err(SigningError::Kind(other.to_string())),
        }
    }

    /// Signs bytes for a purpose; the signature in the armour that `ssh-keygen -Y verify` reads.
    ///
    /// # Errors
    /// When the kind of key cannot sign.
    pub fn sign(&self, namespace: &str, message: &[u8]) -> Result<Vec<u8>, SigningError> {
        let kind = || SigningError::Kind(self.0.algorithm().to_string());
        let signature = self.0.sign(namespace, HashAlg::Sha512, message);
        let armour = signature.map_err(|_| kind())?.to_pem(LineEnding::LF);
        Ok(armour.map_err(|_| kind())?.into_bytes())
    }

    /// The name that the key's signature gets in a bundle: its comment in letters, digits, hyphens and underscores, and
    /// the beginning of its fingerprint, so that no key takes another's place.
    pub fn name(&self) -> String {
        let plain = |c: char| {
            if c.is_ascii_alphanumeric() || c == '_' {
                c
            } else {
                '-'
            }
        };
        let comment = self.0.comment().trim().chars().take(60).map(plain);
        let fingerprint = self.0.fingerprint(HashAlg::Sha256).to_string();
        let start = fingerprint.trim_start_matches("SHA256:").chars();
        let start: String = start.take(8).map(plain).collect();
        let comment: String = comment.collect();
        format!("{comment}-{start}").trim_matches('-').to_owned()
    }
}

/// The bundle with one more signature over its tag manifest. One of the same name is replaced; nothing else moves.
///
/// # Errors
/// When the bundle does not open, or the key cannot sign.
pub fn sign_bundle(bundle: &[u8], key: &SigningKey) -> Result<Vec<u8>, SigningError> {
    let mut open = open(bundle, &Limits::default())?;
    let signature = key.sign(RELEASE, &open.tag_manifest)?;
    open.signatures.insert(key.name(), signature);
    Ok(open.to_zip()?)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use chockstone_schema::{
        date::Moment,
        signature::{AllowedSigners, SignatureError},
    };

    use super::*;
    use crate::{
        contents,
        testing::{attachments, day, key, number, small},
    };

    fn bundle() -> Vec<u8> {
        contents::bundle(&small(), &number("1.0.0"), day(), &attachments(), None).unwrap()
    }

    fn readable(key: &SigningKey) -> AllowedSigners {
        let public = key.0.public_key().to_openssh().unwrap();
        AllowedSigners::parse(&format!("ana@example.org {public}")).unwrap()
    }

    #[test]
    fn a_signed_bundle_opens_and_its_signature_is_the_signers() {
        let (key, other) = (
            SigningKey(key(1, "ana@example.org")),
            SigningKey(key(2, "")),
        );
        let twice = sign_bundle(&sign_bundle(&bundle(), &key).unwrap(), &other).unwrap();
        let found = open(&twice, &Limits::default()).unwrap();
        assert_eq!(found.signatures.len(), 2, "{:?}", found.signatures.keys());
        let at = Moment::new("2026-06-01T00:00:00Z").unwrap();
        let verify = |name: &str| {
            let bytes = found.signatures.get(name).unwrap();
            readable(&key).verify(bytes, RELEASE, &found.tag_manifest, at)
        };
        assert!(key.name().starts_with("ana-example-org-"), "{}", key.name());
        assert_eq!(verify(&key.name()).unwrap().names, ["ana@example.org"]);
        let unlisted = verify(&other.name()).unwrap_err();
        assert!(
            matches!(unlisted, SignatureError::Unlisted(_)),
            "{unlisted}"
        );
    }

    #[test]
    fn signing_again_changes_nothing() {
        let key = SigningKey(key(1, "ana"));
        let once = sign_bundle(&bundle(), &key).unwrap();
        assert_eq!(sign_bundle(&once, &key).unwrap(), once);
    }

    #[test]
    fn what_is_no_key_is_refused_with_what_to_do() {
        for bytes in [
            b"" as &[u8],
            b"hello",
            &[0xff; 30],
            "a".repeat(70_000).as_bytes(),
        ] {
            let error = SigningKey::read(bytes, || None).unwrap_err();
            assert!(
                error.to_string().contains("ssh-keygen -t ed25519"),
                "{error}"
            );
        }
    }
}

//! What a reader asks of an opened bundle: who signed it, and what is in it.

use super::{OpenBundle, PROFILE_JSON};
use crate::{
    Profile,
    date::Moment,
    read::{Notation, ReadError, read},
    signature::{AllowedSigners, RELEASE, SignatureError, Signed},
};

impl OpenBundle {
    /// Whose signatures it has, as keys stand at a moment, in the order of the names of their files.
    ///
    /// How many must have signed, and in which role, a library's rules say; here every one of `signers` is as good.
    ///
    /// # Errors
    /// When nobody signed it, or when a signature is not accepted.
    pub fn signed_by(
        &self,
        signers: &AllowedSigners,
        at: Moment,
    ) -> Result<Vec<Signed>, SignatureError> {
        if self.signatures.is_empty() {
            return Err(SignatureError::Nobody);
        }
        let signatures = self.signatures.values();
        signatures
            .map(|bytes| signers.verify(bytes, RELEASE, &self.tag_manifest, at))
            .collect()
    }

    /// The profile in it.
    ///
    /// # Errors
    /// When it is no valid profile.
    pub fn profile(&self) -> Result<Profile, ReadError> {
        // Opening refuses a bundle without this file.
        let json = self.payload.get(PROFILE_JSON).map(Vec::as_slice);
        read(PROFILE_JSON, json.unwrap_or_default(), Notation::Json)
    }
}

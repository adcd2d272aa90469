#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    reason = "a panic is a failed test"
)]

use ssh_key::{PrivateKey, private::Ed25519Keypair};

use super::*;

const MESSAGE: &[u8] = b"the tag manifest";

/// A key that is the same in every run; never a key of anybody.
fn key(seed: u8) -> PrivateKey {
    PrivateKey::from(Ed25519Keypair::from_seed(&[seed; 32]))
}

fn line(key: &PrivateKey, names: &str, options: &str) -> String {
    format!(
        "{names} {options} {}",
        key.public_key().to_openssh().unwrap()
    )
}

fn signed(key: &PrivateKey, namespace: &str, message: &[u8]) -> Vec<u8> {
    let signature = key.sign(namespace, HashAlg::Sha512, message).unwrap();
    signature.to_pem(LineEnding::LF).unwrap().into_bytes()
}

fn at(text: &str) -> Moment {
    Moment::new(text).unwrap()
}

fn verify(signers: &str, signature: &[u8], message: &[u8]) -> Result<Signed, SignatureError> {
    let signers = AllowedSigners::parse(signers).unwrap();
    signers.verify(signature, RELEASE, message, at("2026-06-01T00:00:00Z"))
}

#[test]
fn a_signature_of_a_listed_key_is_its_owners() {
    let ana = key(1);
    let signers = format!(
        "# who may sign\n\n{}\n{}\n",
        line(&key(2), "ben@example.org", ""),
        line(
            &ana,
            "ana@example.org,reviews@example.org",
            "namespaces=\"release@chockstone\""
        )
    );
    let found = verify(&signers, &signed(&ana, RELEASE, MESSAGE), MESSAGE).unwrap();
    assert_eq!(found.names, ["ana@example.org", "reviews@example.org"]);
    assert!(found.fingerprint.starts_with("SHA256:"));
}

#[test]
fn other_bytes_another_purpose_and_another_key_are_refused() {
    let ana = key(1);
    let signers = line(&ana, "ana@example.org", "");
    let good = signed(&ana, RELEASE, MESSAGE);
    assert_eq!(
        verify(&signers, &good, b"other"),
        Err(SignatureError::Forged)
    );
    let mail = verify(&signers, &signed(&ana, "file", MESSAGE), MESSAGE);
    assert!(
        matches!(mail, Err(SignatureError::Namespace { .. })),
        "{mail:?}"
    );
    let other = verify(&signers, &signed(&key(2), RELEASE, MESSAGE), MESSAGE);
    assert!(
        matches!(other, Err(SignatureError::Unlisted(_))),
        "{other:?}"
    );
    let none = verify(&signers, b"-----BEGIN SSH SIGNATURE-----\n", MESSAGE);
    assert!(matches!(none, Err(SignatureError::Format(_))), "{none:?}");
}

#[test]
fn a_key_is_used_only_for_what_and_when_it_may() {
    let ana = key(1);
    let good = signed(&ana, RELEASE, MESSAGE);
    let check = |options: &str| verify(&line(&ana, "ana@example.org", options), &good, MESSAGE);
    assert!(matches!(
        check("namespaces=\"file,git\""),
        Err(SignatureError::NotForThis { .. })
    ));
    assert!(matches!(
        check("valid-after=20270101Z"),
        Err(SignatureError::Time { .. })
    ));
    assert!(matches!(
        check("valid-before=20260531Z"),
        Err(SignatureError::Time { .. })
    ));
    assert!(check("valid-after=20260531Z,valid-before=\"20260602000000Z\"").is_ok());
    // The second line of the same key lets it sign.
    let twice = format!(
        "{}\n{}",
        line(&ana, "ana@example.org", "valid-before=20200101Z"),
        line(&ana, "ana@example.org", "")
    );
    assert!(verify(&twice, &good, MESSAGE).is_ok());
}

#[test]
fn a_revoked_key_is_accepted_from_nobody() {
    let ana = key(1);
    let signers = AllowedSigners::parse(&line(&ana, "ana@example.org", "")).unwrap();
    let revoked = ana.public_key().to_openssh().unwrap();
    let signers = signers.revoking(&revoked).unwrap();
    let found = signers.verify(
        &signed(&ana, RELEASE, MESSAGE),
        RELEASE,
        MESSAGE,
        at("2026-06-01T00:00:00Z"),
    );
    assert!(
        matches!(found, Err(SignatureError::Revoked(_))),
        "{found:?}"
    );
}

#[test]
fn every_line_that_cannot_be_used_is_told() {
    let public = key(1).public_key().to_openssh().unwrap();
    let text = format!(
        "*@example.org {public}\nana@example.org cert-authority {public}\nana@example.org valid-after=20260101 {public}\n\
         ana@example.org\nana@example.org ssh-ed25519 AAAA\n"
    );
    let faults = AllowedSigners::parse(&text).unwrap_err();
    let lines: Vec<usize> = faults.iter().map(|f| f.line).collect();
    assert_eq!(lines, [1, 2, 3, 4, 5], "{faults:?}");
    assert!(faults[2].why.contains("time zone"), "{faults:?}");
}

#[test]
fn every_flipped_bit_of_a_signature_is_refused() {
    let ana = key(1);
    let signers = line(&ana, "ana@example.org", "");
    let good = signed(&ana, RELEASE, MESSAGE);
    for i in 0..good.len() {
        for bit in 0..8 {
            let mut bad = good.clone();
            bad[i] ^= 1 << bit;
            // Another kind of line break is still a line break.
            let is_break = good[i].is_ascii_whitespace() && bad[i].is_ascii_whitespace();
            let accepted = verify(&signers, &bad, MESSAGE).is_ok();
            assert!(!accepted || is_break, "byte {i} bit {bit}");
        }
    }
}

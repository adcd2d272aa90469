//! A small profile for the tests of this crate.

use chockstone_schema::{
    Profile,
    codes::ReleaseNumber,
    date::Date,
    read::{Notation, read},
};

const SMALL: &str = r#"{
  "format": "1.0", "id": "small", "language": "en",
  "identity": {"maker": "Example Works", "model": "One", "body_style": "van", "propulsion": "electric"},
  "dimensions": {},
  "axles": [
    {"id": "front", "position": {"value": [0, "mm"]}},
    {"id": "rear", "position": {"value": [131, "in"]}}
  ],
  "mass": {}, "energy": {}, "emergency": {}, "transport": {},
  "attachments": [{
    "id": "ticket", "title": {"en": "Scale ticket"}, "size": 3, "media_type": "text/plain",
    "sha256": "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
  }]
}"#;

#[expect(clippy::unwrap_used, reason = "the text above is a good profile")]
pub(crate) fn small() -> Profile {
    read("small.json", SMALL.as_bytes(), Notation::Json).unwrap()
}

/// The bytes of its one attachment: FIPS 180-4's example.
pub(crate) fn attachments() -> std::collections::BTreeMap<String, Vec<u8>> {
    small()
        .attachments
        .iter()
        .map(|a| (crate::attachments::file_name(a), b"abc".to_vec()))
        .collect()
}

#[expect(clippy::unwrap_used, reason = "a good number")]
pub(crate) fn number(text: &str) -> ReleaseNumber {
    ReleaseNumber::new(text).unwrap()
}

#[expect(clippy::unwrap_used, reason = "a good day")]
pub(crate) fn day() -> Date {
    Date::new("2026-03-14").unwrap()
}

/// A key that is the same in every run; never a key of anybody.
pub(crate) fn key(seed: u8, comment: &str) -> ssh_key::PrivateKey {
    let pair = ssh_key::private::Ed25519Keypair::from_seed(&[seed; 32]);
    let mut key = ssh_key::PrivateKey::from(pair);
    key.set_comment(comment);
    key
}

/// Every profile of the demo library as JSON, by its file's name.
#[expect(clippy::unwrap_used, reason = "the demo library is there and is good")]
pub(crate) fn demo_values() -> Vec<(String, serde_json::Value)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    let files = crate::files::find(&folder).unwrap();
    let profiles = files
        .iter()
        .filter(|(_, kind)| *kind == crate::files::FileKind::Profile);
    profiles
        .map(|(path, _)| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let profile = chockstone_schema::read::read_file::<Profile>(path).unwrap();
            (name, chockstone_schema::read::to_value(&profile))
        })
        .collect()
}

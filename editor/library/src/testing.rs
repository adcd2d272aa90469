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

/// A key as `ssh-keygen` writes it, and its line of allowed signers.
#[expect(clippy::unwrap_used, reason = "keys made here are good")]
pub(crate) fn person(seed: u8, name: &str) -> (crate::signing::SigningKey, String) {
    let key = key(seed, name);
    let line = format!("{name} {}", key.public_key().to_openssh().unwrap());
    let text = key.to_openssh(ssh_key::LineEnding::LF).unwrap();
    let key = crate::signing::SigningKey::read(text.as_bytes(), || None).unwrap();
    (key, line)
}

/// The moment of everything that these tests do.
#[expect(clippy::unwrap_used, reason = "a good moment")]
pub(crate) fn now() -> chockstone_schema::date::Moment {
    chockstone_schema::date::Moment::new("2026-06-01T00:00:00Z").unwrap()
}

/// A demo profile that nothing blocks.
pub(crate) fn complete() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../profiles/sorrelby-tindle.profile.ron")
}

/// A library whose author is Ana, whose reviewers are Ben and Eva, and whose keeper is Kim: keys 1 to 4. Every release needs
/// so many reviews.
#[expect(clippy::unwrap_used, reason = "a folder of the test's own")]
pub(crate) fn association(reviews: u8) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    write_rules(folder.path(), reviews, &[1], &[2, 3], &[]);
    folder
}

/// Writes rules with these authors, reviewers and revoked keys.
#[expect(clippy::unwrap_used, reason = "a folder of the test's own")]
pub(crate) fn write_rules(
    library: &std::path::Path,
    reviews: u8,
    authors: &[u8],
    reviewers: &[u8],
    revoked: &[u8],
) {
    let line = |seed: &u8| format!("{:?}", person(*seed, &name_of(*seed)).1);
    let lines = |seeds: &[u8]| seeds.iter().map(line).collect::<Vec<_>>().join(", ");
    let keys: Vec<String> = revoked
        .iter()
        .map(|seed| format!("{:?}", key(*seed, "").public_key().to_openssh().unwrap()))
        .collect();
    let rules = format!(
        r#"(format: "1.0", name: "Example library", authors: [{}], reviewers: [{}], keepers: [{}], revoked: [{}],
        reviews: (first_release: {reviews}, can_hurt: {reviews}, new_to_know: {reviews}, wording: {reviews}))"#,
        lines(authors),
        lines(reviewers),
        lines(&[4]),
        keys.join(", "),
    );
    std::fs::write(library.join("library.ron"), rules).unwrap();
}

/// The name of whoever has a key here.
pub(crate) fn name_of(seed: u8) -> String {
    let name = match seed {
        1 => "ana",
        2 => "ben",
        3 => "eva",
        4 => "kim",
        _ => "nobody",
    };
    format!("{name}@example.org")
}

/// The key with this seed, under its owner's name.
pub(crate) fn signing(seed: u8) -> crate::signing::SigningKey {
    person(seed, &name_of(seed)).0
}

#![expect(clippy::unwrap_used, reason = "tests state facts")]

use super::*;

pub(crate) const SMALL_JSON: &str = r#"{
  "format": "1.0", "id": "small", "language": "en",
  "identity": {"maker": "Example Works", "model": "One", "body_style": "van", "propulsion": "electric"},
  "dimensions": {"wheelbase": {"value": [131, "in"], "source": "tape"}},
  "axles": [
    {"id": "front", "position": {"value": [0, "mm"]}},
    {"id": "rear", "position": {"value": [131, "in"]}}
  ],
  "mass": {}, "energy": {}, "emergency": {}, "transport": {},
  "sources": [{"id": "tape", "kind": "measured", "title": {"en": "Steel tape"}}]
}"#;

fn small() -> Profile {
    read("small.json", SMALL_JSON.as_bytes(), Notation::Json).unwrap()
}

/// Changes one part of the small profile's text and tells the error, which must name the line.
#[track_caller]
fn refused(from: &str, to: &str, part: &str) {
    assert!(SMALL_JSON.contains(from), "{from}");
    let json = SMALL_JSON.replacen(from, to, 1);
    let error = read::<Profile>("small.json", json.as_bytes(), Notation::Json).unwrap_err();
    assert!(error.to_string().contains(part), "{error}");
    assert!(error.faults.iter().all(|f| f.at.is_some()), "{error}");
}

#[test]
fn a_profile_comes_back_the_same_through_ron_and_json() {
    let profile = small();
    let ron = to_ron(&profile);
    assert_eq!(
        read::<Profile>("a", ron.as_bytes(), Notation::Ron).unwrap(),
        profile
    );
    let canonical = to_canonical(&profile);
    assert_eq!(
        read::<Profile>("a", &canonical, Notation::Json).unwrap(),
        profile
    );
    assert_eq!(from_value::<Profile>(&to_value(&profile)).unwrap(), profile);
}

#[test]
fn faults_of_json_tell_line_and_sentence() {
    refused("\"in\"]", "\"kg\"]", "a unit of mass; a length is wanted");
    refused("131", "-131", "impossible");
    refused("131", "0", "not above zero");
    refused(
        "\"mass\": {}",
        "\"mass\": {\"weight\": 1}",
        "unknown field `weight`",
    );
    refused(
        "\"mass\": {}",
        "\"mass\": {}, \"mass\": {}",
        "duplicate field",
    );
    refused("\"tape\"}", "\"ruler\"}", "no source with the id \"ruler\"");
    refused("\"rear\"", "\"front\"", "used twice");
    refused("\"small\"", "\"Small\"", "not an id");
    refused("\"measured\"", "\"guessed\"", "unknown variant `guessed`");
    refused(
        "\"id\": \"small\"",
        "\"release\": null, \"id\": \"small\"",
        "null",
    );
    refused("[0, \"mm\"]", "[5, \"mm\"]", "0 by definition");
    refused(
        "{}, \"energy\"",
        "{}, \"extensions\": {\"org.example\": 9007199254740993}, \"energy\"",
        "cannot be held exactly",
    );
    refused(
        "{}, \"energy\"",
        "{}, \"conflicts\": [{\"part\": \"/mass\", \"about\": \"value\", \"ours\": 9007199254740993}], \"energy\"",
        "cannot be held exactly",
    );
}

#[test]
fn a_message_never_quotes_a_whole_file() {
    for text in ["a".repeat(100_000), "é(".repeat(50_000)] {
        let error = read::<Profile>("a", text.as_bytes(), Notation::Ron).unwrap_err();
        assert!(error.to_string().chars().count() < 700, "{error}");
    }
}

#[test]
fn faults_of_ron_tell_line_column_and_pointer() {
    let ron = to_ron(&small()).replace("source: \"tape\"", "source: \"ruler\"");
    let error = read::<Profile>("small.profile.ron", ron.as_bytes(), Notation::Ron).unwrap_err();
    let fault = error.faults.first().unwrap();
    let line = ron.lines().position(|l| l.contains("ruler")).unwrap() + 1;
    assert_eq!(fault.pointer, "/dimensions/wheelbase/source");
    assert_eq!(fault.at.unwrap().0, line);
    assert!(
        error
            .to_string()
            .starts_with(&format!("small.profile.ron:{line}:")),
        "{error}"
    );
}

#[test]
fn several_faults_are_told_together() {
    let json = SMALL_JSON
        .replace("\"tape\"}", "\"ruler\"}")
        .replace("\"rear\"", "\"front\"");
    let error = read::<Profile>("small.json", json.as_bytes(), Notation::Json).unwrap_err();
    assert_eq!(error.faults.len(), 2, "{error}");
}

#[test]
fn not_a_number_and_infinity_never_get_past_ron() {
    for bad in ["NaN", "inf", "-inf", "1e400"] {
        let ron = to_ron(&small()).replacen("131", bad, 1);
        assert!(
            read::<Profile>("a", ron.as_bytes(), Notation::Ron).is_err(),
            "{bad}"
        );
    }
}

#[test]
fn text_that_is_not_utf_8_is_told_where() {
    let mut bytes = SMALL_JSON.as_bytes().to_vec();
    let place = SMALL_JSON.find("Works").unwrap();
    if let Some(byte) = bytes.get_mut(place) {
        *byte = 0xff;
    }
    let error = read::<Profile>("a.json", &bytes, Notation::Json).unwrap_err();
    assert!(error.to_string().starts_with("a.json:3:"), "{error}");
}

#[test]
fn a_byte_order_mark_is_accepted() {
    let text = format!("\u{feff}{SMALL_JSON}");
    assert!(read::<Profile>("a.json", text.as_bytes(), Notation::Json).is_ok());
}

#[test]
fn deep_nesting_is_an_error_not_a_crash() {
    for (open, notation) in [
        ("[", Notation::Json),
        ("[", Notation::Ron),
        ("(a:", Notation::Ron),
        ("{\"a\":", Notation::Json),
    ] {
        let text = open.repeat(100_000);
        assert!(read::<Profile>("deep", text.as_bytes(), notation).is_err());
    }
    let deep = format!(
        "{{\"extensions\": {{\"org.example\": {}",
        "[".repeat(100_000)
    );
    assert!(read::<Profile>("deep", deep.as_bytes(), Notation::Json).is_err());
}

#[test]
fn comments_in_ron_are_accepted() {
    let ron = format!("// a note\n{}", to_ron(&small()));
    assert!(read::<Profile>("a", ron.as_bytes(), Notation::Ron).is_ok());
}

//! A reader of bundles that shares no code with the project.

use std::fs;

use chockstone_schema::{
    bundle::{Limits, open},
    date::Moment,
    signature::AllowedSigners,
};
use chockstone_tests::{demo, outside, random::Random, root};
use serde_json::{Value, json};

use super::{DATE, RELEASED, fresh, text};

/// What the reader in Python says of bundles.
fn read_all(bundles: &[Value]) -> Option<Vec<Value>> {
    if !outside::tool("ssh-keygen") {
        return None;
    }
    let script = outside::python("read_bundle.py")?;
    let schema = root().join("schema/profile.schema.json");
    let answer = script.ask(&json!({"schema": schema, "bundles": bundles}));
    Some(answer["results"].as_array().unwrap().clone())
}

#[test]
fn a_reader_in_python_that_shares_no_code_verifies_and_reads_every_release() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let folder = fresh("reading");
    let signers = folder.join("allowed_signers");
    let lines = released
        .people
        .run(&["library", "signers", text(&released.library)])
        .stdout;
    fs::write(&signers, lines).unwrap();
    let question: Vec<Value> = released
        .bundles
        .iter()
        .map(|b| json!({"bundle": b, "allowed_signers": signers}))
        .collect();
    let Some(results) = read_all(&question) else {
        return;
    };
    for (bundle, result) in released.bundles.iter().zip(&results) {
        assert_eq!(result["error"], Value::Null, "{result}");
        let name = format!(
            "{}-{}.zip",
            result["id"].as_str().unwrap(),
            result["release"].as_str().unwrap()
        );
        assert_eq!(name, demo::name(bundle));
        let who = json!(["ana@example.org", "ben@example.org", "eva@example.org"]);
        assert_eq!(result["signed_by"], who, "{result}");
    }
}

#[test]
fn that_reader_refuses_what_is_unsigned_or_changed() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let folder = fresh("refused");
    let (signers, nobody) = (folder.join("allowed_signers"), folder.join("nobody"));
    let lines = released
        .people
        .run(&["library", "signers", text(&released.library)])
        .stdout;
    fs::write(&signers, lines).unwrap();
    fs::write(&nobody, released.people.line("zoe", "")).unwrap();
    let good = fs::read(&released.bundles[0]).unwrap();
    let mut bundle = open(&good, &Limits::default()).unwrap();
    bundle.signatures.clear();
    let unsigned = folder.join("unsigned.zip");
    fs::write(&unsigned, bundle.to_zip().unwrap()).unwrap();
    let mut question = vec![
        json!({"bundle": unsigned, "allowed_signers": signers}),
        json!({"bundle": released.bundles[0], "allowed_signers": nobody}),
    ];
    let mut random = Random::new(8493);
    for i in 0..20 {
        // The bytes of some file: those of the archive's own fields are Python's to judge.
        let contents = bundle
            .payload
            .values()
            .nth(random.below(bundle.payload.len()))
            .unwrap();
        let start = good
            .windows(contents.len())
            .position(|w| w == &contents[..])
            .unwrap();
        let mut bytes = good.clone();
        bytes[start + random.below(contents.len())] ^= 1 << random.below(8);
        let file = folder.join(format!("changed-{i}.zip"));
        fs::write(&file, bytes).unwrap();
        question.push(json!({"bundle": file, "allowed_signers": signers}));
    }
    let Some(results) = read_all(&question) else {
        return;
    };
    for result in &results {
        assert_ne!(result["error"], Value::Null, "{result}");
    }
    assert!(
        results[0]["error"]
            .as_str()
            .unwrap()
            .contains("nobody signed it")
    );
}

/// A release made by the first version of the format opens in every later one.
#[test]
fn the_kept_release_of_each_format_is_opened_verified_and_read() {
    let kept = root().join("tests/fixtures/format-1.0");
    let file = kept.join("sorrelby-tindle-1.0.0.zip");
    let bundle = open(&fs::read(&file).unwrap(), &Limits::default()).unwrap();
    let lines = fs::read_to_string(kept.join("allowed_signers")).unwrap();
    let signers = AllowedSigners::parse(&lines).unwrap();
    let signed = bundle
        .signed_by(&signers, Moment::new(DATE).unwrap())
        .unwrap();
    assert_eq!(signed[0].names, ["ana@example.org"]);
    let profile = bundle.profile().unwrap();
    assert_eq!(profile.id.as_str(), "sorrelby-tindle");
    let ran = chockstone_tests::program::run([
        "verify".as_ref(),
        file.as_os_str(),
        "--signers".as_ref(),
        kept.join("allowed_signers").as_os_str(),
        "--json".as_ref(),
    ]);
    let report = ran.json();
    let steps = report["steps"].as_array().unwrap();
    let is_good = |name: &str| steps.iter().any(|s| s["step"] == name && s["good"] == true);
    for step in [
        "bag",
        "schema",
        "canonical form",
        "same profile",
        "signature",
    ] {
        assert!(is_good(step), "{step}: {report}");
    }
}

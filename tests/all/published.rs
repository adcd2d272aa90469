//! Releases of the demo profiles, made by the program and opened by others.

use std::{
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

use chockstone_library::verify::verify;
use chockstone_schema::{
    CAUTIONS,
    bundle::{
        Bag, FINDINGS, Limits, OpenBundle, PROFILE_JSON, PROFILE_RON, PROFILE_SCHEMA, README,
        RESULTS, open,
    },
    read::{to_canonical, to_value},
};
use chockstone_tests::{demo, outside, program, random::Random, raw_zip, root, tell};
use serde_json::{Value, json};

/// The moment of every release here; only its day goes into a bundle.
pub(crate) const DATE: &str = "2026-03-14T09:26:53Z";

/// Runs `publish` with a fixed moment.
pub(crate) fn publish(profile: &Path, library: &Path) -> program::Ran {
    program::run([
        "publish".as_ref(),
        profile.as_os_str(),
        "--library".as_ref(),
        library.as_os_str(),
        "--date".as_ref(),
        DATE.as_ref(),
        "--json".as_ref(),
    ])
}

/// One published demo profile.
struct Published {
    profile: PathBuf,
    bundle: PathBuf,
    bytes: Vec<u8>,
}

impl Published {
    fn opened(&self) -> OpenBundle {
        open(&self.bytes, &Limits::default()).unwrap()
    }

    fn name(&self) -> String {
        demo::name(&self.bundle)
    }

    fn json(&self, file: &str) -> Value {
        serde_json::from_slice(&self.opened().payload[file]).unwrap()
    }
}

/// A folder of this test program's own, emptied first.
fn fresh_folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    fs::create_dir_all(&folder).unwrap();
    folder
}

fn publish_all(library: &Path) -> Vec<Published> {
    let publish_one = |profile: PathBuf| {
        let ran = publish(&profile, library);
        let bundle = PathBuf::from(ran.expect(0).json()["bundle"].as_str().unwrap());
        let bytes = fs::read(&bundle).unwrap();
        Published {
            profile,
            bundle,
            bytes,
        }
    };
    demo::complete().into_iter().map(publish_one).collect()
}

/// The complete demo profiles, published once for all tests here.
static PUBLISHED: LazyLock<Vec<Published>> =
    LazyLock::new(|| publish_all(&fresh_folder("published")));

#[test]
fn the_same_profile_and_date_give_the_same_bytes() {
    let again = publish_all(&fresh_folder("published-again"));
    for (first, second) in PUBLISHED.iter().zip(&again) {
        assert_ne!(first.bundle, second.bundle);
        assert_eq!(first.name(), second.name());
        assert!(
            first.bytes == second.bytes,
            "{} differs between two runs",
            first.name()
        );
    }
    let sizes: Vec<String> = again
        .iter()
        .map(|p| format!("{} {} bytes", p.name(), p.bytes.len()))
        .collect();
    tell(&format!("published: {}", sizes.join(", ")));
}

#[test]
fn every_release_verifies() {
    for published in PUBLISHED.iter() {
        let ran = program::run([
            "verify".as_ref(),
            published.bundle.as_os_str(),
            "--json".as_ref(),
        ]);
        let report = ran.expect(0).json();
        assert_eq!(report["good"], true, "{report}");
        assert_eq!(report["release"], "1.0.0", "{report}");
    }
}

#[test]
fn bagit_accepts_every_bag_and_notices_a_change_in_any_file() {
    let Some(script) = outside::python("bag_validate.py") else {
        return;
    };
    let folder = fresh_folder("unpacked");
    let question: Vec<Value> = PUBLISHED
        .iter()
        .map(|p| json!({"bundle": p.bundle, "into": folder.join(p.name())}))
        .collect();
    let answer = script.ask(&json!({"bundles": question}));
    let mut files = 0;
    for (published, result) in PUBLISHED.iter().zip(answer["results"].as_array().unwrap()) {
        let name = published.name();
        assert_eq!(result["valid"], true, "{name}: {}", result["error"]);
        assert_eq!(result["accepted_changed"], json!([]), "{name}");
        let unpacked = Path::new(result["folder"].as_str().unwrap());
        assert_eq!(demo::name(unpacked), name.trim_end_matches(".zip"));
        for (file, bytes) in published.opened().payload {
            let other = fs::read(unpacked.join("data").join(&file)).unwrap();
            assert!(
                other == bytes,
                "{name}: {file} is another file to Python's zipfile"
            );
        }
        files += result["files"].as_array().unwrap().len();
    }
    tell(&format!(
        "published: bagit accepts {} bags and notices a changed byte in each of {files} files",
        PUBLISHED.len()
    ));
}

#[test]
fn the_profile_inside_is_valid_against_the_schema_inside() {
    let checked_in: Value = serde_json::from_str(
        &fs::read_to_string(root().join("schema/profile.schema.json")).unwrap(),
    )
    .unwrap();
    for published in PUBLISHED.iter() {
        let schema = published.json(PROFILE_SCHEMA);
        assert!(
            schema == checked_in,
            "{} holds another schema",
            published.name()
        );
        outside::assert_all_valid(&schema, &[(published.name(), published.json(PROFILE_JSON))]);
    }
}

#[test]
fn the_canonical_bytes_are_those_of_the_rfc8785_package() {
    let Some(script) = outside::python("canonical_rfc8785.py") else {
        return;
    };
    let mut documents = Vec::new();
    for published in PUBLISHED.iter() {
        documents.push((
            published.name(),
            published.opened().payload[PROFILE_JSON].clone(),
        ));
    }
    for path in demo::complete().iter().chain([&demo::draft()]) {
        documents.push((demo::name(path), to_canonical(&demo::read(path))));
    }
    let question: Vec<Value> = documents
        .iter()
        .map(|(name, bytes)| json!({"name": name, "text": String::from_utf8(bytes.clone()).unwrap()}))
        .collect();
    let answer = script.ask(&json!({"documents": question}));
    for ((name, bytes), result) in documents.iter().zip(answer["results"].as_array().unwrap()) {
        assert!(
            result["canonical"].as_str().unwrap().as_bytes() == bytes,
            "{name} is not canonical"
        );
    }
}

#[test]
fn the_profile_inside_is_the_demo_profile_with_a_release_number() {
    for published in PUBLISHED.iter() {
        let mut expected = to_value(&demo::read(&published.profile));
        expected["release"] = json!("1.0.0");
        assert_eq!(
            published.json(PROFILE_JSON),
            expected,
            "{}",
            published.name()
        );
    }
}

#[test]
fn the_findings_inside_are_valid_and_block_nothing() {
    let schema = fs::read_to_string(root().join("schema/findings.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let findings: Vec<(String, Value)> = PUBLISHED
        .iter()
        .map(|p| (p.name(), p.json(FINDINGS)))
        .collect();
    outside::assert_all_valid(&schema, &findings);
    for (name, report) in &findings {
        let all = report["files"][0]["findings"].as_array().unwrap();
        assert!(
            all.iter().all(|f| f["severity"] != "blocking"),
            "{name}: {report}"
        );
    }
}

#[test]
fn the_results_inside_are_valid_and_of_every_variant() {
    let schema = fs::read_to_string(root().join("schema/results.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&schema).unwrap();
    let results: Vec<(String, Value)> = PUBLISHED
        .iter()
        .map(|p| (p.name(), p.json(RESULTS)))
        .collect();
    outside::assert_all_valid(&schema, &results);
    for (published, (name, report)) in PUBLISHED.iter().zip(&results) {
        let profile = published.json(PROFILE_JSON);
        assert_eq!(report["profile"], profile["id"], "{name}");
        let variants = profile["variants"].as_array().map_or(1, Vec::len);
        assert_eq!(
            report["variants"].as_array().unwrap().len(),
            variants,
            "{name}"
        );
        assert!(
            report["rules"]["balance"].is_string(),
            "{name}: the rule sets are named"
        );
    }
}

#[test]
fn the_cautions_stand_in_every_release() {
    for published in PUBLISHED.iter() {
        let text = String::from_utf8(published.opened().payload[README].clone()).unwrap();
        for caution in CAUTIONS {
            assert!(text.contains(caution), "{}: {text}", published.name());
        }
    }
}

/// Writes a bundle into a folder and verifies it through the program.
fn verify_bytes(folder: &Path, bytes: &[u8]) -> program::Ran {
    let path = folder.join("tampered.zip");
    fs::write(&path, bytes).unwrap();
    program::run(["verify".as_ref(), path.as_os_str(), "--json".as_ref()])
}

#[test]
fn a_release_with_one_changed_file_does_not_verify() {
    let folder = tempfile::tempdir().unwrap();
    let published = &PUBLISHED[0];
    let bundle = published.opened();
    for file in bundle.payload.keys() {
        let mut bytes = published.bytes.clone();
        raw_zip::change(&mut bytes, &format!("{}/data/{file}", bundle.top), |data| {
            data[data.len() / 2] ^= 1;
        });
        let ran = verify_bytes(folder.path(), &bytes);
        let report = ran.expect(1).json();
        assert_eq!(report["good"], false, "{report}");
        let told = report["steps"][0]["message"].as_str().unwrap();
        assert!(
            told.contains(file) && told.contains("was changed"),
            "{told}"
        );
    }
}

/// Makes a bag that is in order by itself, but holds something else than it should.
fn forged(published: &Published, forge: impl FnOnce(&mut Bag)) -> Vec<u8> {
    let OpenBundle {
        top,
        mut info,
        payload,
        ..
    } = published.opened();
    info.retain(|(label, _)| label != "Payload-Oxum");
    let mut bag = Bag { top, info, payload };
    assert!(
        bag.to_zip().unwrap() == published.bytes,
        "the bag is the published one until it is forged"
    );
    forge(&mut bag);
    bag.to_zip().unwrap()
}

#[test]
fn a_forged_release_does_not_verify_and_the_step_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let (one, other) = (&PUBLISHED[0], &PUBLISHED[1]);
    let text = |published: &Published, file: &str| {
        String::from_utf8(published.opened().payload[file].clone()).unwrap()
    };
    let put = |file: &'static str, text: String| {
        move |bag: &mut Bag| drop(bag.payload.insert(file.into(), text.into_bytes()))
    };
    let pretty = serde_json::to_string_pretty(&one.json(PROFILE_JSON)).unwrap();
    let mut blocking = one.json(FINDINGS);
    blocking["files"][0]["findings"] = json!([{
        "check": "made-up", "severity": "blocking", "place": "", "message": "x", "settle": "x",
        "reference": {"title": "x", "trust": "logic"},
    }]);
    let mut results = one.json(RESULTS);
    results["variants"][0]["carrier"]["least_gvwr"] = json!(4000.5);
    let forgeries = [
        ("canonical form", forged(one, put(PROFILE_JSON, pretty))),
        (
            "same profile",
            forged(one, put(PROFILE_RON, text(other, PROFILE_RON))),
        ),
        (
            "schema",
            forged(
                one,
                put(
                    PROFILE_JSON,
                    text(one, PROFILE_JSON).replacen("\"format\"", "\"formal\"", 1),
                ),
            ),
        ),
        ("cautions", forged(one, put(README, "Nothing.\n".into()))),
        ("findings", forged(one, put(FINDINGS, blocking.to_string()))),
        ("results", forged(one, put(RESULTS, results.to_string()))),
        (
            "release",
            forged(one, |bag| bag.top = bag.top.replace("1.0.0", "1.0.1")),
        ),
        (
            "attachments",
            forged(one, |bag| {
                bag.payload
                    .insert("attachments/more.txt".into(), b"x".to_vec());
            }),
        ),
    ];
    for (step, bytes) in forgeries {
        let report = verify_bytes(folder.path(), &bytes).expect(1).json();
        let bad: Vec<&Value> = report["steps"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|s| s["good"] == false)
            .collect();
        assert!(
            bad.iter().any(|s| s["step"] == step),
            "{step} is not told: {report}"
        );
    }
}

#[test]
fn no_flipped_bit_goes_unseen() {
    let smallest = PUBLISHED.iter().min_by_key(|p| p.bytes.len()).unwrap();
    let mut random = Random::new(8493);
    let flips = 400;
    for _ in 0..flips {
        let mut bytes = smallest.bytes.clone();
        let place = random.below(bytes.len());
        bytes[place] ^= 1 << random.below(8);
        let good = verify("flipped", &bytes).is_ok_and(|report| report.good);
        assert!(
            !good,
            "a changed bit in byte {place} of {} goes unseen",
            smallest.name()
        );
    }
    tell(&format!(
        "published: {flips} sampled bit flips are all refused"
    ));
}

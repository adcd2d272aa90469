//! The command line as other programs see it: exit status and JSON documents.

use std::{fs, path::Path};

use chockstone_tests::{
    demo,
    listing::{assert_unchanged, list},
    outside,
    program::{self, Ran, run},
    root,
};
use serde_json::Value;

use crate::published::{DATE, publish};

fn check(path: &Path) -> Ran {
    run(["check".as_ref(), path.as_os_str(), "--json".as_ref()])
}

fn schema(name: &str) -> Value {
    let text = fs::read_to_string(root().join("schema").join(name)).unwrap();
    serde_json::from_str(&text).unwrap()
}

#[test]
fn checking_a_complete_profile_ends_with_0() {
    for path in demo::complete() {
        check(&path).expect(0);
    }
}

#[test]
fn checking_equipment_ends_with_0() {
    for path in demo::equipment() {
        check(&path).expect(0);
    }
}

#[test]
fn checking_the_draft_ends_with_1_and_tells_blocking_findings() {
    let ran = check(&demo::draft());
    let report = ran.expect(1).json();
    let findings = report["files"][0]["findings"].as_array().unwrap();
    assert!(
        findings.iter().any(|f| f["severity"] == "blocking"),
        "{report}"
    );
}

#[test]
fn checking_the_whole_library_ends_with_1_and_names_every_file() {
    let report = check(&demo::library()).expect(1).json();
    let files = report["files"].as_array().unwrap();
    let expected = demo::complete().len() + demo::equipment().len() + 1;
    assert_eq!(files.len(), expected, "{report}");
}

#[test]
fn findings_say_where_why_and_what_settles_them() {
    let report = check(&demo::library()).json();
    for file in report["files"].as_array().unwrap() {
        let path = Path::new(file["file"].as_str().unwrap());
        for finding in file["findings"].as_array().unwrap() {
            for key in ["check", "message", "settle"] {
                assert!(
                    !finding[key].as_str().unwrap().is_empty(),
                    "{}: {finding}",
                    path.display()
                );
            }
            assert!(
                !finding["reference"]["title"].as_str().unwrap().is_empty(),
                "{finding}"
            );
        }
    }
}

/// Every place that a finding names must be in the file, or be a part of something in it that could be added.
#[test]
fn the_place_of_every_finding_leads_into_the_profile() {
    for path in demo::complete().iter().chain([&demo::draft()]) {
        let value = chockstone_schema::read::to_value(&demo::read(path));
        for finding in check(path).json()["files"][0]["findings"]
            .as_array()
            .unwrap()
        {
            let place = finding["place"].as_str().unwrap();
            let parent = place.rsplit_once('/').map_or("", |(parent, _)| parent);
            let grandparent = parent.rsplit_once('/').map_or("", |(parent, _)| parent);
            let leads = [place, parent, grandparent]
                .iter()
                .any(|p| value.pointer(p).is_some());
            assert!(leads, "{}: {finding}", demo::name(path));
        }
    }
}

#[test]
fn a_file_that_is_missing_ends_every_command_with_2() {
    let folder = tempfile::tempdir().unwrap();
    let missing = folder.path().join("missing.profile.ron");
    let library = folder.path().join("library");
    let before = list(folder.path());
    for ran in [
        check(&missing),
        run(["mass".as_ref(), missing.as_os_str()]),
        publish(&missing, &library),
        run(["verify".as_ref(), missing.as_os_str()]),
    ] {
        ran.expect(2);
        assert!(ran.both().contains("missing.profile.ron"), "{}", ran.both());
    }
    assert_unchanged(folder.path(), &before);
}

#[test]
fn a_call_that_cannot_be_understood_ends_with_2() {
    for arguments in [
        vec!["check"],
        vec!["mass"],
        vec!["publish", "a.profile.ron"],
        vec!["verify", "--signed"],
        vec![
            "publish",
            "a.profile.ron",
            "--library",
            "x",
            "--version",
            "1",
        ],
        vec![
            "publish",
            "a.profile.ron",
            "--library",
            "x",
            "--date",
            "yesterday",
        ],
    ] {
        let ran = run(&arguments);
        ran.expect(2);
        assert!(!ran.stderr.is_empty(), "{arguments:?}");
    }
    run(["--help"]).expect(0);
    run(["--version"]).expect(0);
}

#[test]
fn a_variant_that_is_not_there_ends_with_2() {
    let path = &demo::complete()[0];
    let ran = run([
        "mass".as_ref(),
        path.as_os_str(),
        "--variant".as_ref(),
        "no-such-variant".as_ref(),
    ]);
    ran.expect(2);
    assert!(ran.stderr.contains("no-such-variant"), "{}", ran.stderr);
}

#[test]
fn every_json_document_is_valid_against_its_schema() {
    let folder = tempfile::tempdir().unwrap();
    let (mut masses, mut releases, mut verdicts) = (Vec::new(), Vec::new(), Vec::new());
    for path in demo::complete() {
        let name = demo::name(&path);
        masses.push((
            name.clone(),
            run(["mass".as_ref(), path.as_os_str(), "--json".as_ref()])
                .expect(0)
                .json(),
        ));
        let release = publish(&path, folder.path()).expect(0).json();
        let bundle = release["bundle"].as_str().unwrap().to_owned();
        releases.push((name.clone(), release));
        verdicts.push((name, run(["verify", &bundle, "--json"]).expect(0).json()));
    }
    releases.push((
        "the draft".into(),
        publish(&demo::draft(), folder.path()).expect(1).json(),
    ));
    let broken = folder.path().join("broken.profile.ron");
    fs::write(&broken, "(").unwrap();
    let findings = vec![
        ("the whole library".into(), check(&demo::library()).json()),
        ("an unreadable file".into(), check(&broken).expect(2).json()),
    ];
    outside::assert_all_valid(&schema("findings.schema.json"), &findings);
    outside::assert_all_valid(&schema("mass.schema.json"), &masses);
    outside::assert_all_valid(&schema("publish.schema.json"), &releases);
    outside::assert_all_valid(&schema("verify.schema.json"), &verdicts);
}

#[test]
fn the_json_schemas_are_valid_for_the_demo_equipment() {
    let documents: Vec<(String, Value)> = demo::equipment()
        .iter()
        .map(|path| {
            let equipment: chockstone_schema::Equipment =
                chockstone_schema::read::read_file(path).unwrap_or_else(|e| panic!("{e}"));
            (
                demo::name(path),
                chockstone_schema::read::to_value(&equipment),
            )
        })
        .collect();
    outside::assert_all_valid(&schema("equipment.schema.json"), &documents);
}

#[test]
fn a_draft_is_not_published_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let before = list(folder.path());
    let ran = publish(&demo::draft(), &folder.path().join("library"));
    let report = ran.expect(1).json();
    assert!(
        !report["blocked_by"].as_array().unwrap().is_empty(),
        "{report}"
    );
    assert!(report.get("bundle").is_none(), "{report}");
    assert_unchanged(folder.path(), &before);
}

#[test]
fn a_version_is_published_only_once() {
    let folder = tempfile::tempdir().unwrap();
    let profile = &demo::complete()[0];
    let publish = || {
        program::run([
            "publish".as_ref(),
            profile.as_os_str(),
            "--library".as_ref(),
            folder.path().as_os_str(),
            "--version".as_ref(),
            "1.4.0".as_ref(),
            "--date".as_ref(),
            DATE.as_ref(),
        ])
    };
    publish().expect(0);
    let before = list(folder.path());
    let ran = publish();
    ran.expect(1);
    assert!(ran.both().contains("1.4.0"), "{}", ran.both());
    assert_unchanged(folder.path(), &before);
}

#[test]
fn without_a_display_the_window_says_what_to_do_instead() {
    let ran = run([demo::library().as_os_str()]);
    ran.expect(2);
    assert!(ran.stderr.contains("chockstone check"), "{}", ran.stderr);
}

#[test]
fn text_for_people_and_json_tell_the_same_number_of_files() {
    let text = run(["check".as_ref(), demo::library().as_os_str()]);
    text.expect(1);
    for path in demo::complete().iter().chain([&demo::draft()]) {
        assert!(text.stdout.contains(&demo::name(path)), "{}", text.stdout);
    }
}

//! The commands on a library: what they say, their exit status and their documents.

use std::fs;

use chockstone_tests::{association::Association, demo, outside, root};
use serde_json::Value;

use super::{DATE, RELEASED, fresh, publish, review, text};

fn schema(name: &str) -> Value {
    let file = root().join("schema").join(format!("{name}.schema.json"));
    serde_json::from_str(&fs::read_to_string(file).unwrap()).unwrap()
}

#[track_caller]
fn assert_valid(name: &str, document: &Value) {
    outside::assert_all_valid(&schema(name), &[(name.to_owned(), document.clone())]);
}

#[test]
fn a_release_goes_from_draft_to_withdrawal_and_every_document_is_as_published() {
    let Some(people) = Association::new(&fresh("story")) else {
        return;
    };
    let library = people.library("library", 1);
    let profile = library.join(demo::name(&demo::complete()[0]));
    let id = demo::read(&profile).id.to_string();
    let waiting = publish(&people, 1, &profile, &library);
    assert_valid("publish", &waiting);
    assert_eq!(
        waiting["missing"][0],
        "1 reviewer must sign it besides its author, 0 did."
    );
    let bundle = waiting["in_review"].as_str().unwrap();
    let unfinished = people.json(1, &["verify", bundle, "--date", DATE]);
    assert_eq!(unfinished["missing"], waiting["missing"]);
    assert_valid("verify", &unfinished);
    let by_author = people.json(
        1,
        &[
            "sign", bundle, "--key", "ana", "--as", "reviewer", "--date", DATE,
        ],
    );
    assert_valid("sign", &by_author);
    let by_nobody = people.json(
        1,
        &[
            "sign", bundle, "--key", "kim", "--as", "reviewer", "--date", DATE,
        ],
    );
    assert!(
        by_nobody["refused"][0]
            .as_str()
            .unwrap()
            .contains("not among those who may sign")
    );
    let signed = review(&people, bundle, "ben");
    assert_valid("sign", &signed);
    let released = publish(&people, 0, bundle.as_ref(), &library);
    assert_valid("publish", &released);
    assert_eq!(released["catalogue"], 1);
    let release = released["bundle"].as_str().unwrap();
    let verified = people.json(0, &["verify", release, "--date", DATE]);
    assert_valid("verify", &verified);
    assert_eq!(verified["signatures"][1]["role"], "reviewer");
    let reason = [
        "--reason",
        "Measured wrongly.",
        "--key",
        "kim",
        "--date",
        DATE,
    ];
    let withdraw = [
        &["library", "withdraw", "library", &id, "1.0.0"][..],
        &reason,
    ]
    .concat();
    let withdrawn = people.json(0, &withdraw);
    assert_valid("library-withdraw", &withdrawn);
    assert_valid("library-withdraw", &people.json(1, &withdraw));
    let told = people.json(1, &["verify", release, "--date", DATE]);
    let steps = told["steps"].as_array().unwrap();
    assert!(
        steps
            .iter()
            .any(|s| s["step"] == "catalogue" && s["good"] == false),
        "{told}"
    );
    assert!(
        library
            .join("releases")
            .join(&id)
            .join(format!("{id}-1.0.0.zip"))
            .exists()
    );
    let index = people.json(
        0,
        &[
            "library", "index", "library", "--key", "kim", "--date", DATE,
        ],
    );
    assert_valid("library-index", &index);
    let list = people.json(
        0,
        &["library", "list", "library", "--coverage", "--date", DATE],
    );
    assert_valid("library-list", &list);
    let vehicles = list["vehicles"].as_array().unwrap();
    let own = vehicles.iter().find(|v| v["id"] == id.as_str()).unwrap();
    assert_eq!(own["releases"][0]["state"], "withdrawn");
    assert_eq!(own["releases"][0]["reason"], "Measured wrongly.");
    let push = people.json(
        0,
        &[
            "library", "push", "library", "place", "--key", "kim", "--date", DATE,
        ],
    );
    assert_valid("library-transfer", &push);
}

#[test]
fn vehicles_are_found_by_number_and_the_check_digit_is_told() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let library = text(&released.library);
    let all = released
        .people
        .json(0, &["library", "find", library, "--date", DATE]);
    let mut documents = vec![("all".to_owned(), all.clone())];
    for vehicle in all["found"].as_array().unwrap() {
        for pattern in vehicle["vin_patterns"].as_array().unwrap() {
            let number = pattern.as_str().unwrap().replace('*', "1");
            let found = released
                .people
                .run(&["library", "find", library, "--vin", &number, "--json"]);
            let report = found.json();
            let ids = report["found"].as_array().unwrap();
            assert!(
                ids.iter().any(|v| v["id"] == vehicle["id"]),
                "{number}: {report}"
            );
            documents.push((number, report));
        }
    }
    outside::assert_all_valid(&schema("library-find"), &documents);
    // 49 CFR 565, Table V of an earlier edition: a right check digit, of no vehicle here.
    let report = released.people.json(
        1,
        &["library", "find", library, "--vin", "1G4AH59H45G118341"],
    );
    assert_eq!(report["vin"]["check_digit"], "right", "{report}");
    let wrong = released.people.json(
        1,
        &["library", "find", library, "--vin", "1G4AH59H45G118342"],
    );
    assert_eq!(wrong["vin"]["check_digit"], "wrong", "{wrong}");
    released
        .people
        .run(&["library", "find", library, "--vin", "1G4AH59H45G11834O"])
        .expect(2);
}

#[test]
fn what_is_stale_is_told_and_ends_with_1() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let library = text(&released.library);
    let report = released.people.json(
        1,
        &[
            "library",
            "stale",
            library,
            "--date",
            "2036-01-01T00:00:00Z",
        ],
    );
    assert_valid("library-stale", &report);
    assert_eq!(report["months"], 12);
    assert!(!report["old_sources"].as_array().unwrap().is_empty());
}

#[test]
fn calls_that_cannot_be_used_end_with_2_and_say_why() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let library = text(&released.library);
    let profile = text(&released.library).to_owned() + "/none.profile.ron";
    for (arguments, why) in [
        (
            &["library", "index", "nowhere", "--key", "kim"][..],
            "has no rules",
        ),
        (
            &["library", "index", library, "--key", "kim.pub"],
            "no private key",
        ),
        (
            &[
                "library",
                "push",
                library,
                "https://example.org/x",
                "--key",
                "kim",
            ],
            "can only be read",
        ),
        (
            &[
                "library",
                "push",
                library,
                "ftp://example.org/x",
                "--key",
                "kim",
            ],
            "no address of a library",
        ),
        (
            &["library", "pull", "new-folder", "place"],
            "--keepers FILE",
        ),
        (&["library", "list", "nowhere"], "nowhere"),
        (
            &[
                "publish",
                &profile,
                "--library",
                library,
                "--key",
                "nobodys-key",
            ],
            "nobodys-key",
        ),
    ] {
        let ran = released.people.run(arguments);
        ran.expect(2);
        assert!(ran.stderr.contains(why), "{arguments:?}: {}", ran.stderr);
    }
}

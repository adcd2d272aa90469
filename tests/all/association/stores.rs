//! Two publishers and readers at an S3-compatible store (PyPI's `moto`) and on a web host.

use std::{
    fs,
    path::{Path, PathBuf},
    thread,
    time::Duration,
};

use chockstone_tests::{
    association::Association, demo, program, random::Random, server::Server, tell,
};
use serde_json::{Value, json};

use super::{DATE, fresh, publish, text};

/// Releases of each publisher.
const EACH: usize = 100;

/// A publisher's own library with one profile under many ids.
fn write_vehicle(library: &Path, name: &str) -> PathBuf {
    let from = demo::complete()
        .into_iter()
        .find(|p| demo::name(p).starts_with("sorrelby-tindle"));
    let text = fs::read_to_string(from.unwrap()).unwrap();
    let renamed = text.replacen("\"sorrelby-tindle\"", &format!("{name:?}"), 1);
    assert_ne!(text, renamed);
    let file = library.join(format!("{name}.profile.ron"));
    fs::write(&file, renamed).unwrap();
    file
}

/// The program with the variables that lead to a store.
fn at_store(people: &Association, server: &Server, arguments: &[&str]) -> std::process::Command {
    let variables = [
        ("AWS_ACCESS_KEY_ID", "test"),
        ("AWS_SECRET_ACCESS_KEY", "test"),
        ("AWS_REGION", "us-east-1"),
        ("AWS_ENDPOINT_URL", server.address.as_str()),
    ];
    program::command(people.folder(), &variables, arguments)
}

#[track_caller]
fn json_of(mut command: std::process::Command, status: i32) -> Value {
    let output = command.output().unwrap();
    let both = format!(
        "{}{}",
        String::from_utf8_lossy(&output.stdout),
        String::from_utf8_lossy(&output.stderr)
    );
    assert_eq!(output.status.code(), Some(status), "{both}");
    serde_json::from_slice(&output.stdout).unwrap_or_else(|e| panic!("{e}: {both}"))
}

/// Fetches everything into a new folder; how many bundles there are.
#[track_caller]
fn mirrored(people: &Association, server: &Server, mirror: &str) -> usize {
    let pull = [
        "library",
        "pull",
        mirror,
        "s3://shelf/library",
        "--keepers",
        "keepers",
        "--date",
        DATE,
        "--json",
    ];
    let report = json_of(at_store(people, server, &pull), 0);
    let bundles = usize::try_from(report["bundles"].as_u64().unwrap()).unwrap();
    let folder = people.folder().join(mirror);
    let is_there = |id: &fs::DirEntry| fs::read_dir(id.path()).unwrap().count();
    let found: usize = fs::read_dir(folder.join("releases"))
        .unwrap()
        .map(|e| is_there(&e.unwrap()))
        .sum();
    assert_eq!(found, bundles);
    fs::remove_dir_all(folder).unwrap();
    bundles
}

fn push(library: &str) -> [&str; 9] {
    [
        "library",
        "push",
        library,
        "s3://shelf/library",
        "--key",
        "kim",
        "--date",
        DATE,
        "--json",
    ]
}

#[test]
fn two_publishers_race_at_a_store_and_a_killed_push_leaves_a_whole_library() {
    let Some(people) = Association::new(&fresh("store")) else {
        return;
    };
    let Some(server) = Server::start(&json!({"kind": "s3", "bucket": "shelf"})) else {
        return;
    };
    fs::write(people.folder().join("keepers"), people.line("kim", "")).unwrap();
    let work = |who: &str| -> u64 {
        let library = people.bare_library(who, 0);
        let mut retries = 0;
        for i in 0..EACH {
            let profile = write_vehicle(&library, &format!("{who}-{i}"));
            publish(&people, 0, &profile, &library);
            let report = json_of(at_store(&people, &server, &push(text(&library))), 0);
            assert_eq!(report["bundles"], 1, "{report}");
            retries += report["retries"].as_u64().unwrap();
        }
        retries
    };
    let retries = thread::scope(|scope| {
        let first = scope.spawn(|| work("first"));
        let second = work("second");
        first.join().unwrap() + second
    });
    assert_eq!(mirrored(&people, &server, "mirror"), 2 * EACH);
    tell(&format!(
        "association: {} releases by two publishers at a store, none lost, {retries} times the other was quicker",
        2 * EACH
    ));
    killed_in_the_middle(&people, &server);
}

/// A third publisher's push is killed again and again; whoever reads sees what was there before, or everything.
fn killed_in_the_middle(people: &Association, server: &Server) {
    let third = people.bare_library("third", 0);
    for i in 0..20 {
        let profile = write_vehicle(&third, &format!("third-{i}"));
        publish(people, 0, &profile, &third);
    }
    let mut random = Random::new(6);
    let mut broke_off = 0;
    for round in 0..8 {
        let mut child = at_store(people, server, &push(text(&third)))
            .spawn()
            .unwrap();
        thread::sleep(Duration::from_millis(
            15 + 40 * round + random.below(30) as u64,
        ));
        let is_done = child.try_wait().unwrap().is_some();
        // It may have ended just now.
        let _ = child.kill();
        child.wait().unwrap();
        broke_off += usize::from(!is_done);
        let seen = mirrored(people, server, "mirror");
        assert!(
            seen == 2 * EACH || seen == 2 * EACH + 20,
            "{seen} releases are seen"
        );
    }
    assert!(broke_off > 0, "no push was killed in its middle");
    json_of(at_store(people, server, &push(text(&third))), 0);
    assert_eq!(mirrored(people, server, "mirror"), 2 * EACH + 20);
    tell(&format!(
        "association: {broke_off} pushes killed in their middle, each time a whole library was seen"
    ));
}

#[test]
fn a_library_on_a_web_host_is_read_and_held_against_its_catalogue() {
    let Some(people) = Association::new(&fresh("web")) else {
        return;
    };
    let library = people.library("library", 0);
    publish(
        &people,
        0,
        &library.join(demo::name(&demo::complete()[0])),
        &library,
    );
    people.json(
        0,
        &[
            "library", "push", "library", "place", "--key", "kim", "--date", DATE,
        ],
    );
    fs::write(people.folder().join("keepers"), people.line("kim", "")).unwrap();
    let place = people.folder().join("place");
    let Some(server) = Server::start(&json!({"kind": "web", "folder": place})) else {
        return;
    };
    let pull = |mirror| {
        [
            "library",
            "pull",
            mirror,
            server.address.as_str(),
            "--keepers",
            "keepers",
            "--date",
            DATE,
        ]
    };
    assert_eq!(people.json(0, &pull("mirror"))["bundles"], 1);
    let snapshot = place.join("catalogue/snapshot.json");
    let text = fs::read_to_string(&snapshot).unwrap();
    fs::write(&snapshot, text.replacen("\"number\":1", "\"number\":2", 1)).unwrap();
    let told = people.json(1, &pull("other"));
    assert!(
        told["refused"]
            .as_str()
            .unwrap()
            .contains("not signed by a keeper"),
        "{told}"
    );
    assert!(!people.folder().join("other").exists());
}

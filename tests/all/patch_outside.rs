//! JSON patches (RFC 6902) of `chockstone diff --patch`, applied by programs that know nothing of this one: the PyPI
//! package `jsonpatch` (BSD licence) and the npm package `fast-json-patch` (MIT licence). The older side's canonical JSON
//! with the patch applied, written as canonical JSON, must be the newer side's, byte for byte; bytes are compared by SHA-256.

use std::{fs, path::Path};

use chockstone_library::{attachments::sha256, patch::patch, releases::read_profile};
use chockstone_schema::{Profile, read::to_canonical};
use chockstone_tests::{
    demo,
    outside::{Script, node, python},
    program::run,
    random::Random,
    tell,
};
use rayon::prelude::*;
use serde_json::{Value, json};

use crate::two_releases::bundle;

mod edits;

/// One older profile, and patches from it with the SHA-256 that each must lead to.
struct Group {
    before: Vec<u8>,
    patches: Vec<Value>,
    expected: Vec<String>,
}

impl Group {
    fn line(&self) -> String {
        let before = String::from_utf8(self.before.clone()).unwrap();
        let patches = Value::Array(self.patches.clone());
        format!("{{\"before\":{before},\"patches\":{patches}}}\n")
    }
}

/// The programs that apply patches, by name, as far as they are installed.
fn appliers() -> Vec<(&'static str, Script)> {
    let all = [
        ("jsonpatch", python("patch_jsonpatch.py")),
        ("fast-json-patch", node("patch_fast_json_patch.mjs")),
    ];
    all.into_iter()
        .filter_map(|(name, script)| Some((name, script?)))
        .collect()
}

/// Hands all groups to each program in one file, and compares every result.
#[track_caller]
fn check(groups: &[Group], what: &str) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("patches.jsonl");
    fs::write(&file, groups.iter().map(Group::line).collect::<String>()).unwrap();
    for (name, script) in appliers() {
        let answer = script.ask(&json!({"file": file}));
        let results = answer["results"].as_array().unwrap();
        assert_eq!(results.len(), groups.len(), "{name}");
        let mut count = 0;
        for (number, (group, result)) in groups.iter().zip(results).enumerate() {
            let result: Vec<&str> = result
                .as_array()
                .unwrap()
                .iter()
                .map(|r| r.as_str().unwrap())
                .collect();
            assert_eq!(result.len(), group.patches.len(), "{name}");
            for ((hash, expected), patch) in result.iter().zip(&group.expected).zip(&group.patches)
            {
                assert_eq!(hash, expected, "{name}, group {number}: {patch}");
                count += 1;
            }
        }
        tell(&format!(
            "patches: {name} gets from one side to the other byte for byte, {count} of {count} {what}"
        ));
    }
}

fn printed_patch(a: &Path, b: &Path) -> Value {
    run([
        "diff".as_ref(),
        a.as_os_str(),
        b.as_os_str(),
        "--patch".as_ref(),
    ])
    .expect(0)
    .json()
}

#[test]
fn other_programs_get_from_either_demo_release_to_the_other() {
    let both = [bundle("1.0.0"), bundle("2.0.0")];
    let profiles = both.each_ref().map(|file| read_profile(file).unwrap());
    let bytes = profiles.each_ref().map(to_canonical);
    let group = |from: usize, to: usize| Group {
        before: bytes[from].clone(),
        patches: vec![printed_patch(&both[from], &both[to])],
        expected: vec![sha256(&bytes[to])],
    };
    let groups = [group(0, 1), group(1, 0)];
    assert!(
        groups
            .iter()
            .all(|g| g.patches[0].as_array().unwrap().len() > 30)
    );
    check(&groups, "ways between the demo releases");
}

/// Older profiles and, for each, newer ones.
const GROUPS: u64 = 200;
const NEWER: usize = 10;

/// An edited demo profile with fewer procedures, and edited profiles after it.
fn random_group(demo: &[Value], seed: u64) -> Group {
    let mut random = Random::new(seed);
    let mut start = random.pick(demo).clone();
    edits::thin_out(&mut start, &mut random);
    let (value, before) = edits::edited(&start, &mut random);
    let after: Vec<Profile> = (0..NEWER)
        .map(|_| edits::edited(&value, &mut random).1)
        .collect();
    Group {
        before: to_canonical(&before),
        patches: after.iter().map(|b| patch(&before, b)).collect(),
        expected: after.iter().map(|b| sha256(&to_canonical(b))).collect(),
    }
}

#[test]
fn other_programs_get_from_one_random_profile_to_another() {
    let demo: Vec<Value> = demo::complete()
        .iter()
        .map(|path| chockstone_schema::read::to_value(&demo::read(path)))
        .collect();
    let groups: Vec<Group> = (0..GROUPS)
        .into_par_iter()
        .map(|number| random_group(&demo, 6902 + number))
        .collect();
    let operations = |op: &str| {
        let all = groups.iter().flat_map(|g| &g.patches);
        all.flat_map(|p| p.as_array().unwrap())
            .filter(|o| o["op"] == op)
            .count()
    };
    let counts = ["add", "remove", "replace"].map(operations);
    // A generator that only replaced numbers would prove little.
    assert!(counts.iter().all(|count| *count >= 1000), "{counts:?}");
    check(&groups, "random pairs");
}

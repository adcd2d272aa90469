//! Calls of `chockstone merge`: what is written, the exit status, and choosing for what a merge left open.

use std::{
    ffi::{OsStr, OsString},
    fs,
    path::{Path, PathBuf},
};

use chockstone_schema::{
    Profile,
    read::{from_value, read_file, to_canonical, to_ron, to_value},
};
use chockstone_tests::{
    demo, outside,
    program::{Ran, run},
    root,
};
use serde_json::{Value, json};

/// The demo library's van.
fn van() -> PathBuf {
    let mut all = demo::complete().into_iter();
    all.find(|path| demo::name(path).contains("gantwell"))
        .expect("the demo library has the van")
}

/// The van after an edit, which must still read.
fn edited(edit: impl FnOnce(&mut Value)) -> Profile {
    let mut value = to_value(&demo::read(&van()));
    edit(&mut value);
    from_value(&value).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// The van with another curb mass.
fn weighing(kilograms: u32) -> Profile {
    edited(|van| van["mass"]["curb_mass"]["value"] = json!([kilograms, "kg"]))
}

/// The van with another width.
fn wide(millimetres: u32) -> Profile {
    edited(|van| van["dimensions"]["width"]["value"] = json!([millimetres, "mm"]))
}

/// A folder with three versions, and the file to write, which is not there yet.
struct Folder(tempfile::TempDir);

impl Folder {
    fn with(ours: &Profile, theirs: &Profile) -> Self {
        let folder = Self(tempfile::tempdir().unwrap());
        fs::copy(van(), folder.file("base")).unwrap();
        fs::write(folder.file("ours"), to_ron(ours)).unwrap();
        fs::write(folder.file("theirs"), to_ron(theirs)).unwrap();
        folder
    }

    fn file(&self, name: &str) -> PathBuf {
        self.0.path().join(format!("{name}.profile.ron"))
    }

    fn merge(&self, options: &[&str]) -> Ran {
        let files = ["base", "ours", "theirs"].map(|name| self.file(name));
        merge(&files, &self.file("out"), options)
    }

    /// Chooses in what was written, and writes it there again.
    fn choose(&self, options: &[&str]) -> Ran {
        let out = self.file("out");
        merge(std::slice::from_ref(&out), &out, options)
    }

    fn written(&self) -> Value {
        to_value(&read_file::<Profile>(&self.file("out")).unwrap_or_else(|e| panic!("{e}")))
    }

    fn bytes(&self) -> Vec<u8> {
        fs::read(self.file("out")).unwrap()
    }
}

fn merge(files: &[PathBuf], out: &Path, options: &[&str]) -> Ran {
    let mut call: Vec<OsString> = vec!["merge".into()];
    call.extend(files.iter().map(OsString::from));
    call.extend(options.iter().map(OsString::from));
    call.extend([OsStr::new("-o").to_owned(), out.into()]);
    run(call)
}

/// What `check` says of a file about open conflicts.
fn open_conflicts(file: &Path) -> (i32, Vec<String>) {
    let ran = run(["check".as_ref(), file.as_os_str(), "--json".as_ref()]);
    let report = ran.json();
    let findings = report["files"][0]["findings"].as_array().unwrap();
    let about = findings.iter().filter(|f| f["check"] == "open-conflict");
    let places = about.map(|f| {
        assert_eq!(f["severity"], "blocking", "{f}");
        f["place"].as_str().unwrap().to_owned()
    });
    (ran.status, places.collect())
}

/// Two weighings that two people entered, and one width.
fn torn() -> Folder {
    let theirs = edited(|van| {
        van["mass"]["curb_mass"]["value"] = json!([2440, "kg"]);
        van["dimensions"]["width"]["value"] = json!([2035, "mm"]);
    });
    Folder::with(&weighing(2430), &theirs)
}

#[test]
fn changes_of_two_people_in_two_places_come_together_with_0() {
    let folder = Folder::with(&weighing(2430), &wide(2035));
    let ran = folder.merge(&[]);
    ran.expect(0);
    assert!(
        ran.stdout.contains("nothing is left to choose"),
        "{}",
        ran.both()
    );
    let expected = edited(|van| {
        van["mass"]["curb_mass"]["value"] = json!([2430, "kg"]);
        van["dimensions"]["width"]["value"] = json!([2035, "mm"]);
    });
    assert_eq!(folder.written(), to_value(&expected));
    let (_, conflicts) = open_conflicts(&folder.file("out"));
    assert!(conflicts.is_empty(), "{conflicts:?}");
}

#[test]
fn where_only_one_side_changed_its_file_is_written_byte_for_byte() {
    let folder = Folder::with(&weighing(2430), &demo::read(&van()));
    let commented = format!("// Weighed again.\n{}", to_ron(&weighing(2430)));
    for (changed, other) in [("ours", "theirs"), ("theirs", "ours")] {
        fs::write(folder.file(changed), &commented).unwrap();
        fs::copy(folder.file("base"), folder.file(other)).unwrap();
        folder.merge(&[]).expect(0);
        assert_eq!(folder.bytes(), commented.as_bytes(), "{changed}");
    }
}

#[test]
fn one_value_changed_in_two_ways_ends_with_1_and_a_file_that_keeps_all_three() {
    let folder = torn();
    let ran = folder.merge(&[]);
    ran.expect(1);
    for words in [
        "/mass/curb_mass",
        "2430 kg",
        "2440 kg",
        "1 conflict is left to choose",
    ] {
        assert!(ran.stdout.contains(words), "{words}: {}", ran.both());
    }
    let before = to_value(&demo::read(&van()));
    let written = folder.written();
    let conflict = &written["conflicts"][0];
    assert_eq!(written["conflicts"].as_array().unwrap().len(), 1);
    assert_eq!(conflict["part"], "/mass/curb_mass");
    assert_eq!(conflict["base"], before["mass"]["curb_mass"]);
    assert_eq!(conflict["ours"]["value"], json!([2430, "kg"]));
    assert_eq!(conflict["theirs"]["value"], json!([2440, "kg"]));
    // The part stands as it was, and what only one side changed is taken.
    assert_eq!(written["mass"]["curb_mass"], before["mass"]["curb_mass"]);
    assert_eq!(written["dimensions"]["width"]["value"], json!([2035, "mm"]));
    let (status, places) = open_conflicts(&folder.file("out"));
    assert_eq!((status, places), (1, vec!["/conflicts/0".to_owned()]));
}

#[test]
fn the_json_document_is_valid_and_holds_the_conflicts_of_the_file() {
    let folder = torn();
    let with = folder.merge(&["--json"]).expect(1).json();
    assert_eq!(with["conflicts"], folder.written()["conflicts"]);
    assert_eq!(with["profile"], "gantwell-ostler");
    let without = folder
        .choose(&["--choose", "ours", "--json"])
        .expect(0)
        .json();
    assert_eq!(without["conflicts"], json!([]));
    let text = fs::read_to_string(root().join("schema/merge.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&text).unwrap();
    let mut broken = with.clone();
    broken["conflicts"][0]["about"] = json!("weather");
    for (name, script) in outside::schema_validators() {
        let documents = [with.clone(), without.clone(), broken.clone()];
        let documents = documents.map(|document| ("merge".to_owned(), document));
        let verdicts = outside::verdicts(&script, &schema, &documents);
        let good: Vec<bool> = verdicts.iter().map(|(_, why)| why.is_none()).collect();
        assert_eq!(good, [true, true, false], "{name}: {verdicts:?}");
    }
}

#[test]
fn each_choice_puts_its_value_in_place_and_leaves_nothing_open() {
    for (choice, kilograms) in [
        ("base", 2420),
        ("ours", 2430),
        ("theirs", 2440),
        ("standing", 2420),
    ] {
        let folder = torn();
        folder.merge(&[]).expect(1);
        let ran = folder.choose(&["--choose", choice]);
        ran.expect(0);
        let written = folder.written();
        assert_eq!(
            written["mass"]["curb_mass"]["value"],
            json!([kilograms, "kg"]),
            "{choice}"
        );
        assert_eq!(written["dimensions"]["width"]["value"], json!([2035, "mm"]));
        assert_eq!(written.get("conflicts"), None, "{choice}");
        let (_, places) = open_conflicts(&folder.file("out"));
        assert!(places.is_empty(), "{choice}: {places:?}");
    }
}

#[test]
fn a_third_value_that_was_entered_since_is_kept_as_what_stands() {
    let folder = torn();
    folder.merge(&[]).expect(1);
    let mut third = folder.written();
    third["mass"]["curb_mass"]["value"] = json!([2435, "kg"]);
    let third: Profile = from_value(&third).unwrap();
    fs::write(folder.file("out"), to_ron(&third)).unwrap();
    folder.choose(&["--choose", "standing"]).expect(0);
    let expected = edited(|van| {
        van["mass"]["curb_mass"]["value"] = json!([2435, "kg"]);
        van["dimensions"]["width"]["value"] = json!([2035, "mm"]);
    });
    assert_eq!(folder.written(), to_value(&expected));
}

/// Two weighings and two widths.
fn torn_twice() -> Folder {
    let both = |kilograms: u32, millimetres: u32| {
        edited(|van| {
            van["mass"]["curb_mass"]["value"] = json!([kilograms, "kg"]);
            van["dimensions"]["width"]["value"] = json!([millimetres, "mm"]);
        })
    };
    Folder::with(&both(2430, 2035), &both(2440, 2040))
}

#[test]
fn a_choice_for_one_part_leaves_the_others_open() {
    let folder = torn_twice();
    folder.merge(&[]).expect(1);
    let ran = folder.choose(&["--choose", "theirs", "--part", "/dimensions/width"]);
    ran.expect(1);
    assert!(ran.stdout.contains("1 conflict is left"), "{}", ran.both());
    let written = folder.written();
    assert_eq!(written["dimensions"]["width"]["value"], json!([2040, "mm"]));
    assert_eq!(written["conflicts"][0]["part"], "/mass/curb_mass");
    folder
        .choose(&["--choose", "ours", "--part", "/mass/curb_mass"])
        .expect(0);
    let expected = edited(|van| {
        van["mass"]["curb_mass"]["value"] = json!([2430, "kg"]);
        van["dimensions"]["width"]["value"] = json!([2040, "mm"]);
    });
    assert_eq!(folder.written(), to_value(&expected));
}

#[test]
fn a_choice_that_cannot_be_made_ends_with_2_and_leaves_the_file() {
    let folder = torn();
    folder.merge(&[]).expect(1);
    let before = folder.bytes();
    for (options, words) in [
        (&["--choose", "mine"][..], "mine"),
        (
            &["--choose", "ours", "--part", "/dimensions/width"],
            "there is no conflict about /dimensions/width",
        ),
        (&["--choose", "ours", "--part", "width"], "width"),
        (&["--part", "/mass/curb_mass"], "--choose"),
        (&[], "three files"),
    ] {
        let ran = folder.choose(options);
        ran.expect(2);
        assert!(ran.stderr.contains(words), "{options:?}: {}", ran.both());
        assert_eq!(folder.bytes(), before, "{options:?}");
    }
    folder.choose(&["--choose", "ours"]).expect(0);
    let chosen = folder.bytes();
    let ran = folder.choose(&["--choose", "ours"]);
    ran.expect(2);
    assert!(
        ran.stderr.contains("there is no conflict"),
        "{}",
        ran.both()
    );
    assert_eq!(folder.bytes(), chosen);
    folder.merge(&["--choose", "ours"]).expect(2);
    assert_eq!(folder.bytes(), chosen);
}

#[test]
fn a_choice_that_would_not_read_is_refused_until_the_other_one_is_made() {
    // One removed a danger; the other described it in other words and named it at one more point.
    let hazard = |van: &Value| van["hazards"][0]["id"].as_str().unwrap().to_owned();
    let removed = edited(|van| {
        let id = hazard(van);
        van["hazards"].as_array_mut().unwrap().remove(0);
        forget(van, &id);
    });
    let changed = edited(|van| {
        let id = hazard(van);
        van["hazards"][0]["hazard"]["en"] = json!("The same danger, described in other words.");
        van["points"][0]["hazards"] = json!([id]);
        van["points"][0]["name"]["en"] = json!("A point with a danger");
    });
    let folder = Folder::with(&removed, &changed);
    folder.merge(&[]).expect(1);
    let before = folder.bytes();
    let part = folder.written()["conflicts"][0]["part"].clone();
    let part = part.as_str().unwrap();
    assert!(part.starts_with("/hazards/"), "{part}");
    let ran = folder.choose(&["--choose", "ours", "--part", part]);
    ran.expect(2);
    assert!(ran.stderr.contains("there is no hazard"), "{}", ran.both());
    assert_eq!(folder.bytes(), before);
    folder.choose(&["--choose", "theirs"]).expect(0);
}

/// Takes every mention of a hazard away.
fn forget(value: &mut Value, id: &str) {
    match value {
        Value::Object(fields) => {
            for (name, inner) in fields.iter_mut() {
                if name == "hazards"
                    && let Some(named) = inner.as_array_mut()
                {
                    named.retain(|one| one != id);
                }
                forget(inner, id);
            }
            fields.retain(|name, inner| name != "hazards" || *inner != json!([]));
        }
        Value::Array(items) => items.iter_mut().for_each(|item| forget(item, id)),
        _ => {}
    }
}

#[test]
fn input_that_cannot_be_used_ends_with_2_and_leaves_the_file() {
    let folder = Folder::with(&weighing(2430), &wide(2035));
    fs::write(folder.file("out"), "what stood there").unwrap();
    let kept = |ran: &Ran, words: &str| {
        ran.expect(2);
        assert!(ran.stderr.contains(words), "{words}: {}", ran.both());
        assert!(ran.stdout.is_empty(), "{}", ran.stdout);
        assert_eq!(folder.bytes(), b"what stood there");
    };
    for broken in ["base", "ours", "theirs"] {
        let good = fs::read(folder.file(broken)).unwrap();
        let name = format!("{broken}.profile.ron");
        for bad in ["", "(", "(format: \"1.0\")", "{}"] {
            fs::write(folder.file(broken), bad).unwrap();
            kept(&folder.merge(&[]), &name);
        }
        fs::remove_file(folder.file(broken)).unwrap();
        kept(&folder.merge(&["--json"]), &name);
        fs::write(folder.file(broken), good).unwrap();
    }
    fs::write(folder.file("base"), "").unwrap();
    kept(&folder.merge(&[]), "no version that both began with");
    fs::copy(van(), folder.file("base")).unwrap();
    let files = ["base", "ours"].map(|name| folder.file(name));
    kept(&merge(&files, &folder.file("out"), &[]), "three files");
    let nowhere = folder.0.path().join("no-such-folder/out.profile.ron");
    let files = ["base", "ours", "theirs"].map(|name| folder.file(name));
    kept(&merge(&files, &nowhere, &[]), "it could not be written");
    run(["merge", "a", "b", "c"]).expect(2);
}

#[test]
fn the_file_written_may_be_one_that_is_read_and_names_tell_nothing() {
    // Git gives temporary files without an ending, and takes the result from the second one.
    let folder = tempfile::tempdir().unwrap();
    let file = |name: &str| folder.path().join(name);
    let files = [
        file(".merge_file_a"),
        file(".merge_file_b"),
        file(".merge_file_c"),
    ];
    fs::copy(van(), &files[0]).unwrap();
    fs::write(&files[1], to_canonical(&weighing(2430))).unwrap();
    fs::write(&files[2], to_ron(&wide(2035))).unwrap();
    merge(&files, &files[1], &[]).expect(0);
    let expected = edited(|van| {
        van["mass"]["curb_mass"]["value"] = json!([2430, "kg"]);
        van["dimensions"]["width"]["value"] = json!([2035, "mm"]);
    });
    // In the notation of ours.
    assert_eq!(fs::read(&files[1]).unwrap(), to_canonical(&expected));
}

/// The parts of a list of conflicts.
fn parts(conflicts: &Value) -> Vec<&str> {
    let conflicts = conflicts.as_array().unwrap();
    let parts = conflicts.iter().map(|c| c["part"].as_str().unwrap());
    parts.collect()
}

#[test]
fn conflicts_of_an_earlier_merge_stay_and_are_told_beside_the_new_ones() {
    let folder = torn();
    folder.merge(&[]).expect(1);
    let with_conflict = folder.written();
    let write = |name: &str, width: u32| {
        let mut value = with_conflict.clone();
        value["dimensions"]["width"]["value"] = json!([width, "mm"]);
        let profile: Profile = from_value(&value).unwrap();
        fs::write(folder.file(name), to_ron(&profile)).unwrap();
    };
    write("base", 2035);
    write("ours", 2035);
    write("theirs", 2040);
    let told = folder.merge(&["--json"]).expect(1).json();
    assert_eq!(parts(&told["conflicts"]), ["/mass/curb_mass"]);
    write("ours", 2050);
    let ran = folder.merge(&[]);
    ran.expect(1);
    assert!(
        ran.stdout.contains("2 conflicts are left to choose"),
        "{}",
        ran.both()
    );
    let written = folder.written();
    let expected = ["/mass/curb_mass", "/dimensions/width"];
    assert_eq!(parts(&written["conflicts"]), expected);
}

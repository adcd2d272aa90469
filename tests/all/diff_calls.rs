//! Calls of `chockstone diff`: every option, the exit status, what git makes of it, and the numbers of releases.

use std::{
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
};

use chockstone_schema::{
    Profile,
    canonical::to_vec,
    read::{from_value, to_canonical, to_ron, to_value},
};
use chockstone_tests::{
    demo, outside,
    program::{self, Ran, run},
    root,
};
use serde_json::{Value, json};

use crate::published::DATE;

fn pickup() -> PathBuf {
    let mut all = demo::complete().into_iter();
    all.find(|path| demo::name(path).contains("brackwater"))
        .expect("the demo library has the pickup")
}

/// The pickup after an edit, which must still read.
fn edited(edit: impl FnOnce(&mut Value)) -> Profile {
    let mut value = to_value(&demo::read(&pickup()));
    edit(&mut value);
    from_value(&value).unwrap_or_else(|faults| panic!("{faults:?}"))
}

/// A lower rating of a point: the row `Point.rating` of the grading table, which can hurt.
fn weaker() -> Profile {
    edited(|p| p["points"][0]["rating"]["value"] = json!([3500, "lb"]))
}

/// One more title word: the row `Source.title`, which is wording.
fn reworded() -> Profile {
    edited(|p| p["sources"][0]["title"]["en"] = "The same document, cited in other words".into())
}

fn write(folder: &Path, name: &str, profile: &Profile) -> PathBuf {
    let path = folder.join(name);
    fs::write(&path, to_ron(profile)).unwrap();
    path
}

/// Compares without the computed results, which take seconds in a build for tests.
fn quick(a: &Path, b: &Path, options: &[&str]) -> Ran {
    let mut call = vec!["diff".as_ref(), a.as_os_str(), b.as_os_str()];
    call.extend(options.iter().map(|o| std::ffi::OsStr::new(*o)));
    call.push("--without-effects".as_ref());
    run(call)
}

#[test]
fn what_can_hurt_ends_with_1_and_what_cannot_with_0() {
    let folder = tempfile::tempdir().unwrap();
    let hurt = write(folder.path(), "weaker.profile.ron", &weaker());
    let wording = write(folder.path(), "reworded.profile.ron", &reworded());
    let ran = quick(&pickup(), &hurt, &[]);
    ran.expect(1);
    for words in [
        "Can hurt: 1",
        "/points/0/rating/value",
        "was 4000 lb, is now 3500 lb (500 lb less)",
        "1 can hurt, 0 new to know, 0 wording",
        "Trained people only",
    ] {
        assert!(ran.stdout.contains(words), "{words}: {}", ran.stdout);
    }
    quick(&pickup(), &hurt, &["--json"]).expect(1);
    let ran = quick(&pickup(), &wording, &[]);
    ran.expect(0);
    assert!(ran.stdout.contains("Wording: 1"), "{}", ran.stdout);
    let same = quick(&pickup(), &pickup(), &[]);
    same.expect(0);
    assert!(
        same.stdout.contains("Nothing has changed."),
        "{}",
        same.stdout
    );
}

#[test]
fn worse_changes_come_first() {
    let folder = tempfile::tempdir().unwrap();
    let both = edited(|p| {
        p["points"][0]["rating"]["value"] = json!([3500, "lb"]);
        p["sources"][0]["title"]["en"] = "The same document, cited in other words".into();
    });
    let ran = quick(
        &pickup(),
        &write(folder.path(), "b.profile.ron", &both),
        &[],
    );
    let at = |words: &str| {
        ran.stdout
            .find(words)
            .unwrap_or_else(|| panic!("{}", ran.stdout))
    };
    assert!(at("Can hurt: 1") < at("Wording: 1"), "{}", ran.stdout);
}

#[test]
fn texts_are_told_in_spanish_on_demand() {
    let folder = tempfile::tempdir().unwrap();
    let b = write(folder.path(), "b.profile.ron", &weaker());
    let ran = quick(&pickup(), &b, &["--lang", "es"]);
    ran.expect(1);
    for words in ["Puede dañar: 1", "Solo personal capacitado"] {
        assert!(ran.stdout.contains(words), "{words}: {}", ran.stdout);
    }
}

#[test]
fn a_change_note_holds_every_change_and_asks_for_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let both = edited(|p| {
        p["points"][0]["rating"]["value"] = json!([3500, "lb"]);
        p["identity"]["model"] = json!("<b>Crew</b>");
    });
    let b = write(folder.path(), "b.profile.ron", &both);
    let page = folder.path().join("note.html");
    let ran = quick(&pickup(), &b, &["--json", "--note", page.to_str().unwrap()]);
    let changes = ran.expect(1).json()["changes"].clone();
    let note = fs::read_to_string(&page).unwrap();
    for change in changes.as_array().unwrap() {
        let place = change["after_place"].as_str().unwrap();
        assert!(note.contains(place), "{place}: {note}");
    }
    assert!(note.contains("&lt;b&gt;Crew&lt;/b&gt;"), "{note}");
    for never in ["<b>Crew", "<script", "http:", "https:", "src="] {
        assert!(!note.contains(never), "{never}: {note}");
    }
    let nowhere = folder.path().join("missing/note.html");
    let ran = quick(&pickup(), &b, &["--note", nowhere.to_str().unwrap()]);
    ran.expect(2);
    assert!(ran.stderr.contains("note.html"), "{}", ran.both());
}

#[test]
fn input_that_cannot_be_used_ends_with_2() {
    let folder = tempfile::tempdir().unwrap();
    let broken = folder.path().join("broken.profile.ron");
    fs::write(&broken, "(").unwrap();
    let archive = folder.path().join("van-1.0.0.zip");
    fs::write(&archive, "PK").unwrap();
    let missing = folder.path().join("missing.profile.ron");
    for (file, words) in [
        (&broken, "broken.profile.ron"),
        (&archive, "it is not a whole bundle"),
        (&missing, "missing.profile.ron"),
    ] {
        for ran in [
            quick(&pickup(), file, &[]),
            quick(file, &pickup(), &["--json"]),
        ] {
            ran.expect(2);
            assert!(ran.stderr.contains(words), "{}", ran.both());
            assert!(ran.stdout.is_empty(), "{}", ran.stdout);
        }
    }
    for call in [
        vec!["diff"],
        vec!["diff", "a"],
        vec!["diff", "a", "b", "c"],
        vec!["diff", "a", "b", "--json", "--patch"],
    ] {
        run(&call).expect(2);
    }
}

#[test]
fn two_different_vehicles_are_said_to_be_two() {
    let other = demo::complete()
        .into_iter()
        .find(|p| *p != pickup())
        .unwrap();
    let ran = quick(&pickup(), &other, &[]);
    ran.expect(1);
    assert!(
        ran.stdout.contains("two different profiles"),
        "{}",
        ran.stdout
    );
}

#[test]
fn the_json_document_is_valid_and_holds_changes_and_effects() {
    let folder = tempfile::tempdir().unwrap();
    let heavy = edited(|p| p["variants"][1]["curb_mass"]["value"] = json!([12000, "lb"]));
    let b = write(folder.path(), "heavy.profile.ron", &heavy);
    let pickup = pickup();
    let with_effects = run([
        "diff".as_ref(),
        pickup.as_os_str(),
        b.as_os_str(),
        "--json".as_ref(),
        "--with".as_ref(),
        demo::library()
            .join("equipment/carrier-19500.equipment.ron")
            .as_os_str(),
    ]);
    let report = with_effects.expect(1).json();
    assert_eq!(report["worst"], "can_hurt", "{report}");
    let effects = report["effects"].as_array().unwrap();
    let blocks = effects
        .iter()
        .find(|e| e["topic"] == "findings" && e["worse"] == true);
    assert!(blocks.is_some(), "{report}");
    let without = quick(&pickup, &b, &["--json"]).expect(1).json();
    assert!(without.get("effects").is_none(), "{without}");
    assert_eq!(without["changes"], report["changes"]);
    let text = fs::read_to_string(root().join("schema/difference.schema.json")).unwrap();
    let schema: Value = serde_json::from_str(&text).unwrap();
    let documents = [("with".to_owned(), report), ("without".to_owned(), without)];
    outside::assert_all_valid(&schema, &documents);
}

#[test]
fn a_patch_turns_the_one_canonical_json_into_the_other() {
    let folder = tempfile::tempdir().unwrap();
    for (name, b) in [("weaker", weaker()), ("reworded", reworded())] {
        let newer = write(folder.path(), &format!("{name}.profile.ron"), &b);
        // A patch is no answer to whether it can hurt.
        let patch = quick(&pickup(), &newer, &["--patch"]).expect(0).json();
        let mut value: Value =
            serde_json::from_slice(&to_canonical(&demo::read(&pickup()))).unwrap();
        for operation in patch.as_array().unwrap() {
            // These edits replace leaves and do nothing else (RFC 6902, 4.3).
            assert_eq!(operation["op"], "replace", "{patch}");
            let place = operation["path"].as_str().unwrap();
            *value.pointer_mut(place).unwrap() = operation["value"].clone();
        }
        assert_eq!(to_vec(&value).unwrap(), to_canonical(&b));
    }
}

fn publish(profile: &Path, library: &Path, number: Option<&str>) -> Ran {
    let mut call = vec![
        "publish".as_ref(),
        profile.as_os_str(),
        "--library".as_ref(),
        library.as_os_str(),
        "--date".as_ref(),
        DATE.as_ref(),
        "--json".as_ref(),
    ];
    if let Some(number) = number {
        call.extend([std::ffi::OsStr::new("--version"), number.as_ref()]);
    }
    run(call)
}

/// A library with the pickup's attachments and its first release, and a place for its file.
fn library() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let attachments = folder.path().join("attachments");
    fs::create_dir(&attachments).unwrap();
    for entry in fs::read_dir(demo::library().join("attachments")).unwrap() {
        let entry = entry.unwrap();
        fs::copy(entry.path(), attachments.join(entry.file_name())).unwrap();
    }
    let file = write(folder.path(), "pickup.profile.ron", &demo::read(&pickup()));
    publish(&file, folder.path(), None).expect(0);
    (folder, file)
}

#[test]
fn a_release_takes_the_least_number_and_no_lower_one() {
    let (folder, file) = library();
    write(folder.path(), "pickup.profile.ron", &reworded());
    let second = publish(&file, folder.path(), None).expect(0).json();
    assert_eq!(second["release"], "1.0.1", "{second}");
    let stronger = edited(|p| {
        p["sources"][0]["title"]["en"] = "The same document, cited in other words".into();
        p["points"][0]["rating"]["value"] = json!([3900, "lb"]);
    });
    write(folder.path(), "pickup.profile.ron", &stronger);
    let low = publish(&file, folder.path(), Some("1.1.0"))
        .expect(1)
        .json();
    let reasons = low["blocked_by"].to_string();
    for words in [
        "the least number after 1.0.1 is 2.0.0",
        "was 4000 lb, is now 3900 lb",
    ] {
        assert!(reasons.contains(words), "{words}: {reasons}");
    }
    let third = publish(&file, folder.path(), None).expect(0).json();
    assert_eq!(third["release"], "2.0.0", "{third}");
}

#[test]
fn two_bundles_are_compared_and_the_newer_one_holds_the_same_difference() {
    let (folder, file) = library();
    write(folder.path(), "pickup.profile.ron", &reworded());
    let second = publish(&file, folder.path(), None).expect(0).json();
    let newer = PathBuf::from(second["bundle"].as_str().unwrap());
    let older = newer.with_file_name(demo::name(&newer).replace("1.0.1", "1.0.0"));
    let report = quick(&older, &newer, &["--json"]).expect(0).json();
    assert_eq!(report["before"]["release"], "1.0.0", "{report}");
    assert_eq!(report["least_release"], "1.0.1", "{report}");
    let verified = run(["verify".as_ref(), newer.as_os_str(), "--json".as_ref()]);
    let steps = verified.expect(0).json()["steps"].clone();
    let step = steps
        .as_array()
        .unwrap()
        .iter()
        .find(|s| s["step"] == "difference");
    assert_eq!(step.unwrap()["good"], true, "{steps}");
    let bytes = fs::read(&newer).unwrap();
    let limits = chockstone_schema::bundle::Limits::default();
    let bundle = chockstone_schema::bundle::open(&bytes, &limits).unwrap();
    let kept: Value = serde_json::from_slice(&bundle.payload["difference.json"]).unwrap();
    for key in ["changes", "worst", "least_release"] {
        assert_eq!(kept[key], report[key], "{key}");
    }
    assert_eq!(kept["after"]["sha256"], report["after"]["sha256"]);
}

/// Runs git in a repository, without the settings of this machine.
fn git(folder: &Path, arguments: &[&str]) -> Output {
    Command::new("git")
        .args(["-c", "user.name=Test", "-c", "user.email=test@example.org"])
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env_remove("GIT_EXTERNAL_DIFF")
        .output()
        .expect("git is installed")
}

#[track_caller]
fn good(output: &Output) -> String {
    let stderr = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{stderr}");
    assert!(stderr.is_empty(), "{stderr}");
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// A repository with the pickup, in which git calls the program for profiles.
fn repository() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let here = folder.path();
    good(&git(here, &["init", "--quiet"]));
    write(here, "pickup.profile.ron", &demo::read(&pickup()));
    fs::write(
        here.join(".gitattributes"),
        "*.profile.ron diff=chockstone\n",
    )
    .unwrap();
    let command = format!("'{}' diff --without-effects", program::path().display());
    good(&git(here, &["config", "diff.chockstone.command", &command]));
    good(&git(here, &["add", "."]));
    good(&git(here, &["commit", "--quiet", "-m", "Begin"]));
    folder
}

#[test]
fn git_shows_the_difference_by_meaning_and_goes_on_whatever_changed() {
    let folder = repository();
    let here = folder.path();
    write(here, "pickup.profile.ron", &weaker());
    write(here, "second.profile.ron", &reworded());
    fs::write(here.join("notes.txt"), "plain\n").unwrap();
    good(&git(here, &["add", "."]));
    let shown = good(&git(here, &["diff", "--cached", "--ext-diff"]));
    for words in [
        "Can hurt: 1",
        "was 4000 lb, is now 3500 lb",
        "second.profile.ron: the profile brackwater-tolliver-crew is new",
        "+plain",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    good(&git(here, &["commit", "--quiet", "-m", "Lower"]));
    good(&git(here, &["rm", "--quiet", "second.profile.ron"]));
    fs::write(here.join("pickup.profile.ron"), "(broken").unwrap();
    good(&git(here, &["add", "."]));
    let shown = good(&git(here, &["diff", "--cached"]));
    assert!(shown.contains("is gone"), "{shown}");
    assert!(shown.contains("the newer side cannot be read"), "{shown}");
}

#[test]
fn git_calls_it_for_every_file_when_the_environment_says_so() {
    let folder = repository();
    let here = folder.path();
    write(here, "pickup.profile.ron", &weaker());
    fs::write(here.join(".gitattributes"), "# none\n").unwrap();
    let output = Command::new("git")
        .args(["diff"])
        .current_dir(here)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env(
            "GIT_EXTERNAL_DIFF",
            format!("'{}' diff --without-effects", program::path().display()),
        )
        .output()
        .unwrap();
    let shown = good(&output);
    assert!(shown.contains("Can hurt: 1"), "{shown}");
    assert!(
        shown.contains(".gitattributes: it is no profile"),
        "{shown}"
    );
}

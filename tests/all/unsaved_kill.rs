//! A program that is killed in the middle of keeping and saving: what it had kept is there, and no file is broken.

use std::{
    fs,
    io::{BufRead as _, BufReader},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Duration,
};

use chockstone_library::{
    files::write_atomic,
    unsaved::{Keeper, Unsaved},
};
use chockstone_schema::{
    Profile,
    date::Moment,
    read::{read_file, to_ron, to_value},
    text::Label,
};
use chockstone_tests::{demo, random::Random};
use serde_json::Value;

/// Names the folder for the program that will be killed.
const FOLDER: &str = "CHOCKSTONE_TEST_KILLED_IN";
/// How often it is killed.
const KILLS: u64 = 200;

fn paths(folder: &Path) -> (PathBuf, Keeper) {
    (
        folder.join("van.profile.ron"),
        Keeper::new(folder.join("own")),
    )
}

/// Keeps and saves numbered contents until it is killed, and tells each number once it is kept. Only as the other program.
#[test]
fn keeps_and_saves_until_it_is_killed() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let (file, keeper) = paths(Path::new(&folder));
    let place = keeper.place(Some(&file)).expect("a free place");
    let path = demo::complete().into_iter().next().expect("a demo profile");
    let mut profile: Profile = demo::read(&path);
    let mut unsaved = Unsaved {
        program: "test".to_owned(),
        at: Moment::new("2026-03-14T09:30:00Z").expect("a moment"),
        is_profile: true,
        file: Some(file.clone()),
        base: Some(to_value(&profile)),
        base_sha256: None,
        contents: Value::Null,
        unfinished: Value::Null,
        typing: Vec::new(),
    };
    for number in 0_u64.. {
        profile.identity.model = Label::new(&format!("Number {number}")).expect("a name");
        unsaved.contents = to_value(&profile);
        place.keep(&unsaved).expect("a copy is kept");
        println!("kept {number}");
        if number.is_multiple_of(3) {
            write_atomic(&file, to_ron(&profile).as_bytes()).expect("the file is saved");
        }
    }
}

/// Starts the program, kills it a while after it has told its first number, and gives the last one that it told.
fn killed_after(folder: &Path, wait: Duration) -> u64 {
    let writer = "unsaved_kill::keeps_and_saves_until_it_is_killed";
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", writer, "--nocapture"])
        .env(FOLDER, folder)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let lines = BufReader::new(child.stdout.take().unwrap()).lines();
    // The test program's own words stand before the first number.
    let number = |line: String| line.rsplit_once("kept ")?.1.parse::<u64>().ok();
    let mut numbers = lines.map_while(Result::ok).filter_map(number);
    let first = numbers.next().expect("it tells a number");
    std::thread::sleep(wait);
    child.kill().unwrap();
    child.wait().unwrap();
    numbers.last().unwrap_or(first)
}

#[test]
fn whatever_the_moment_of_a_kill_the_last_copy_reads_and_no_file_is_broken() {
    let folder = tempfile::tempdir().unwrap();
    let (file, keeper) = paths(folder.path());
    let mut random = Random::new(20_260_314);
    for kill in 0..KILLS {
        // Keeping and saving take some milliseconds each: the kill comes in the middle of either.
        let told = killed_after(folder.path(), Duration::from_micros(random.bits() % 25_000));
        let left = keeper.left_behind(Some(&file));
        let found = left.first();
        let found = found.unwrap_or_else(|| panic!("kill {kill}: no copy of {told}"));
        let unsaved = found.unsaved.as_ref();
        let unsaved = unsaved.unwrap_or_else(|e| panic!("kill {kill}: {e}"));
        let model = unsaved.contents["identity"]["model"].as_str().unwrap();
        let kept: u64 = model.trim_start_matches("Number ").parse().unwrap();
        assert!(
            kept == told || kept == told + 1,
            "kill {kill}: {kept} after {told}"
        );
        found.place.forget().unwrap();
        if file.exists() {
            read_file::<Profile>(&file).unwrap_or_else(|e| panic!("kill {kill}: {e}"));
        }
    }
    assert!(file.exists(), "some kills came after the file was saved");
    // Of a file that was being written, its other name may be left, and nothing else.
    let names = fs::read_dir(folder.path())
        .unwrap()
        .map(|e| e.unwrap().file_name());
    for name in names {
        let name = name.to_string_lossy().into_owned();
        let known = ["own", "van.profile.ron"].contains(&name.as_str());
        assert!(known || name.starts_with(".tmp-"), "{name}");
    }
}

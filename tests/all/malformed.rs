//! Inputs that cannot be used, through the real program: each is refused with status 2, the file's name and, in a text,
//! line and column; nothing panics and nothing is written.

use std::{
    ffi::OsString,
    fs,
    path::{Path, PathBuf},
};

use chockstone_tests::{
    listing::{Listing, assert_unchanged, list},
    program::{Ran, run},
    tell,
};

use crate::published::DATE;

mod archives;
mod texts;

/// One input: its file's name and its bytes.
pub(crate) struct Input {
    name: String,
    bytes: Vec<u8>,
    /// Whether it is text whose fault has a line and a column.
    has_place: bool,
}

impl Input {
    fn text(name: impl Into<String>, text: impl AsRef<[u8]>) -> Self {
        Self {
            name: name.into(),
            bytes: text.as_ref().to_vec(),
            has_place: true,
        }
    }

    fn binary(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self {
            name: name.into(),
            bytes: bytes.into(),
            has_place: false,
        }
    }

    /// Looks at everything that a refusal must be.
    #[track_caller]
    fn refused_by(&self, ran: &Ran) {
        let (name, output) = (&self.name, ran.both());
        assert!(!output.contains("panicked"), "{name}: {output}");
        assert_eq!(ran.status, 2, "{name}: {output}");
        assert!(output.contains(name), "{name} is not named: {output}");
        if self.has_place {
            let placed = output.lines().any(|line| tells_place(line, name));
            assert!(placed, "{name}: no line and column: {output}");
        }
    }
}

/// Inputs laid out in a folder, and what the folder held then.
struct Laid {
    folder: tempfile::TempDir,
    inputs: Vec<Input>,
    before: Listing,
}

impl Laid {
    fn out(inputs: Vec<Input>) -> Self {
        let folder = tempfile::tempdir().unwrap();
        for input in &inputs {
            let path = folder.path().join(&input.name);
            assert!(!path.exists(), "two inputs are called {}", input.name);
            fs::write(path, &input.bytes).unwrap();
        }
        let before = list(folder.path());
        Self {
            folder,
            inputs,
            before,
        }
    }

    fn path(&self, input: &Input) -> PathBuf {
        self.folder.path().join(&input.name)
    }
}

/// Whether a line holds `NAME:LINE:COLUMN: `, with both numbers from 1.
fn tells_place(line: &str, name: &str) -> bool {
    let Some((_, rest)) = line.split_once(&format!("{name}:")) else {
        return false;
    };
    let mut parts = rest.splitn(3, ':');
    let mut number = || {
        parts
            .next()
            .and_then(|n| n.parse::<usize>().ok())
            .is_some_and(|n| n > 0)
    };
    number() && number()
}

/// The command line of one command on one file; a release would go into a library beside the file.
fn call(command: &str, path: &Path) -> Vec<OsString> {
    let mut arguments = vec![OsString::from(command), path.into()];
    if command == "publish" {
        let library = path.parent().unwrap().join("library");
        arguments.extend([
            "--library".into(),
            library.into(),
            "--date".into(),
            DATE.into(),
        ]);
    }
    arguments
}

#[test]
fn check_refuses_every_malformed_text_and_names_each() {
    let laid = Laid::out(texts::all());
    let count = laid.inputs.len();
    assert!(count >= 200, "{count}");
    let mut arguments = vec![OsString::from("check"), "--json".into()];
    arguments.extend(laid.inputs.iter().map(|i| laid.path(i).into_os_string()));
    let ran = run(&arguments);
    let report = ran.expect(2).json();
    let files = report["files"].as_array().unwrap();
    assert_eq!(files.len(), count);
    for (input, file) in laid.inputs.iter().zip(files) {
        let lines: Vec<&str> = file["unreadable"]
            .as_array()
            .unwrap_or_else(|| panic!("{} was read: {file}", input.name))
            .iter()
            .map(|line| line.as_str().unwrap())
            .collect();
        assert!(
            lines.iter().all(|line| line.contains(&input.name)),
            "{}: {lines:?}",
            input.name
        );
        let placed = lines.iter().all(|line| tells_place(line, &input.name));
        assert!(
            placed || !input.has_place,
            "{}: no line and column: {lines:?}",
            input.name
        );
        assert!(
            lines.iter().all(|line| line.len() < 2000),
            "{}: a message is too long to read",
            input.name
        );
    }
    assert_unchanged(laid.folder.path(), &laid.before);
    tell(&format!(
        "malformed: check refuses {count} inputs, each by name"
    ));
}

#[test]
fn check_tells_people_the_same() {
    let laid = Laid::out(texts::all().into_iter().step_by(5).collect());
    let mut arguments = vec![OsString::from("check")];
    arguments.extend(laid.inputs.iter().map(|i| laid.path(i).into_os_string()));
    let ran = run(&arguments);
    for input in &laid.inputs {
        input.refused_by(&ran);
    }
    assert_unchanged(laid.folder.path(), &laid.before);
}

#[test]
fn mass_and_publish_refuse_malformed_texts_and_write_nothing() {
    for command in ["mass", "publish"] {
        // Equipment is no profile at all, so these two would refuse it anyhow.
        let profiles = texts::all()
            .into_iter()
            .filter(|i| !i.name.contains(".equipment."));
        let laid = Laid::out(profiles.step_by(4).collect());
        for input in &laid.inputs {
            input.refused_by(&run(call(command, &laid.path(input))));
        }
        assert_unchanged(laid.folder.path(), &laid.before);
        tell(&format!(
            "malformed: {command} refuses {} inputs and writes nothing",
            laid.inputs.len()
        ));
    }
}

#[test]
fn verify_refuses_every_evil_archive_and_writes_nothing() {
    let laid = Laid::out(archives::all());
    for input in &laid.inputs {
        input.refused_by(&run(call("verify", &laid.path(input))));
    }
    assert_unchanged(laid.folder.path(), &laid.before);
    tell(&format!(
        "malformed: verify refuses {} archives and writes nothing",
        laid.inputs.len()
    ));
}

#[test]
fn folders_in_place_of_files_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("folder.profile.ron");
    fs::create_dir(&path).unwrap();
    let before = list(folder.path());
    for command in ["check", "mass", "publish", "verify"] {
        let ran = run(call(command, &path));
        ran.expect(2);
        assert!(ran.both().contains("folder.profile.ron"), "{}", ran.both());
    }
    assert_unchanged(folder.path(), &before);
}

#[test]
fn a_file_in_place_of_the_library_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("library");
    fs::write(&path, "not a folder").unwrap();
    let before = list(folder.path());
    let profile = &chockstone_tests::demo::complete()[0];
    let ran = crate::published::publish(profile, &path);
    ran.expect(2);
    assert!(ran.stderr.contains("library"), "{}", ran.stderr);
    assert_unchanged(folder.path(), &before);
}

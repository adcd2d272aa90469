//! The program `chockstone` as a person or another program runs it.

use std::{
    env,
    ffi::OsStr,
    fs,
    io::Read,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    sync::LazyLock,
    thread,
    time::{Duration, Instant, SystemTime},
};

use serde_json::Value;

use crate::root;

/// No command of these tests takes this long, even unoptimised on a busy machine.
const LONGEST_RUN: Duration = Duration::from_mins(3);

/// What a run of the program left behind.
#[derive(Clone, Debug)]
pub struct Ran {
    /// The exit status.
    pub status: i32,
    /// Standard output.
    pub stdout: String,
    /// Standard error.
    pub stderr: String,
}

impl Ran {
    /// Both outputs, for searching and for messages.
    pub fn both(&self) -> String {
        format!("{}{}", self.stdout, self.stderr)
    }

    /// Asserts the exit status.
    #[track_caller]
    pub fn expect(&self, status: i32) -> &Self {
        assert!(!self.both().contains("panicked"), "{}", self.both());
        assert_eq!(self.status, status, "{}", self.both());
        self
    }

    /// The one JSON document on standard output.
    #[track_caller]
    pub fn json(&self) -> Value {
        serde_json::from_str(&self.stdout)
            .unwrap_or_else(|e| panic!("standard output is no JSON document: {e}\n{}", self.both()))
    }
}

/// Runs the program without a display.
pub fn run<A: AsRef<OsStr>>(arguments: impl IntoIterator<Item = A>) -> Ran {
    run_in(&root(), arguments)
}

/// Runs the program in a folder, without a display.
pub fn run_in<A: AsRef<OsStr>>(folder: &Path, arguments: impl IntoIterator<Item = A>) -> Ran {
    run_with(folder, &[], arguments)
}

/// The program with arguments in a folder, without a display and with these variables, not started yet.
pub fn command<A: AsRef<OsStr>>(
    folder: &Path,
    variables: &[(&str, &str)],
    arguments: impl IntoIterator<Item = A>,
) -> Command {
    let mut command = Command::new(path());
    command
        .args(arguments)
        .current_dir(folder)
        .env_remove("DISPLAY")
        .env_remove("WAYLAND_DISPLAY")
        .env_remove("WAYLAND_SOCKET")
        .env_remove("RUST_BACKTRACE")
        .envs(variables.iter().copied())
        .stdin(Stdio::null());
    command
}

/// Runs the program in a folder, without a display and with these variables of the environment.
pub fn run_with<A: AsRef<OsStr>>(
    folder: &Path,
    variables: &[(&str, &str)],
    arguments: impl IntoIterator<Item = A>,
) -> Ran {
    let mut child = command(folder, variables, arguments)
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let stdout = collect(child.stdout.take().expect("standard output is piped"));
    let stderr = collect(child.stderr.take().expect("standard error is piped"));
    let started = Instant::now();
    let status = loop {
        if let Some(status) = child.try_wait().expect("the program can be waited for") {
            break status;
        }
        if started.elapsed() > LONGEST_RUN {
            child.kill().expect("the program can be stopped");
            panic!("the program did not end within {LONGEST_RUN:?}");
        }
        thread::sleep(Duration::from_millis(2));
    };
    Ran {
        status: status
            .code()
            .expect("the program was not killed by a signal"),
        stdout: stdout.join().expect("the reader does not panic"),
        stderr: stderr.join().expect("the reader does not panic"),
    }
}

fn collect(mut from: impl Read + Send + 'static) -> thread::JoinHandle<String> {
    thread::spawn(move || {
        let mut bytes = Vec::new();
        from.read_to_end(&mut bytes)
            .expect("the output can be read");
        String::from_utf8(bytes).expect("the program writes UTF-8")
    })
}

/// The program's file: the one that `CHOCKSTONE_PROGRAM` names, or else the one beside the test programs, built first
/// when it is missing or older than its source.
pub fn path() -> &'static Path {
    static PATH: LazyLock<PathBuf> = LazyLock::new(|| {
        if let Some(path) = env::var_os("CHOCKSTONE_PROGRAM") {
            return PathBuf::from(path);
        }
        let here = env::current_exe().expect("the test program has a path");
        let profile = here
            .parent()
            .and_then(Path::parent)
            .expect("it lies in target/PROFILE/deps");
        let path = profile.join(format!("chockstone{}", env::consts::EXE_SUFFIX));
        if !is_current(&path) {
            build(profile);
        }
        assert!(path.exists(), "{} was not built", path.display());
        path
    });
    &PATH
}

fn build(profile: &Path) {
    let mut cargo = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    cargo.args([
        "build",
        "--quiet",
        "--package",
        "chockstone",
        "--bin",
        "chockstone",
    ]);
    if profile.ends_with("release") {
        cargo.arg("--release");
    }
    let target = profile
        .parent()
        .expect("a profile lies in the target folder");
    let status = cargo
        .arg("--target-dir")
        .arg(target)
        .current_dir(root())
        .status();
    assert!(
        status.expect("cargo starts").success(),
        "the program could not be built"
    );
}

/// Whether the program is there and no source file is newer.
fn is_current(path: &Path) -> bool {
    let Ok(built) = fs::metadata(path).and_then(|m| m.modified()) else {
        return false;
    };
    ["schema", "editor"]
        .iter()
        .all(|folder| newest(&root().join(folder)) <= built)
}

fn newest(folder: &Path) -> SystemTime {
    let mut newest = SystemTime::UNIX_EPOCH;
    for entry in fs::read_dir(folder).expect("a source folder is readable") {
        let entry = entry.expect("a source folder is readable");
        let path = entry.path();
        let time = if path.is_dir() {
            newest_or_never(&path)
        } else if path.extension().is_some_and(|e| e == "rs" || e == "toml") {
            entry
                .metadata()
                .and_then(|m| m.modified())
                .unwrap_or(SystemTime::UNIX_EPOCH)
        } else {
            SystemTime::UNIX_EPOCH
        };
        newest = newest.max(time);
    }
    newest
}

/// Tests do not go into the program, so a change in them is no reason to build it.
fn newest_or_never(folder: &Path) -> SystemTime {
    if folder.ends_with("tests") {
        SystemTime::UNIX_EPOCH
    } else {
        newest(folder)
    }
}

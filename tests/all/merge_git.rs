//! The four lines of README.md make git compare and merge profiles by meaning: they are read from there and tried in a real
//! repository with two branches.
//!
//! What git does with them is in its own manual: gitattributes(5), "Generating diff text" and "Defining a custom merge driver".

use std::{
    env, fs,
    path::PathBuf,
    process::{Command, Output},
};

use chockstone_schema::{
    Profile,
    read::{read_file, to_value},
};
use chockstone_tests::{
    demo, program,
    program::{Ran, run_in},
    root,
};
use serde_json::{Value, json};

/// The profile in the repository: the demo library's van as it was written by hand.
const VAN: &str = "gantwell-ostler.profile.ron";

/// The lines of README.md: those of `.gitattributes`, and the commands.
fn four_lines() -> (Vec<String>, Vec<String>) {
    let text = fs::read_to_string(root().join("README.md")).unwrap();
    let (_, section) = text.split_once("\n## With git\n").expect("a section");
    let (section, _) = section.split_once("\n## ").expect("another section");
    let lines = |fits: fn(&&str) -> bool| section.lines().filter(fits).map(str::to_owned).collect();
    let attributes: Vec<String> = lines(|line| line.contains(" merge=") && line.starts_with('*'));
    let commands: Vec<String> = lines(|line| line.starts_with("git config "));
    assert_eq!((attributes.len(), commands.len()), (2, 2), "{section}");
    (attributes, commands)
}

/// A repository that knows nothing of the machine's settings.
struct Repository {
    folder: tempfile::TempDir,
    /// Where git would look for a person's settings.
    home: tempfile::TempDir,
}

impl Repository {
    /// With the van on the branch `main`, and with the lines of README.md.
    fn new() -> Self {
        let repository = Self {
            folder: tempfile::tempdir().unwrap(),
            home: tempfile::tempdir().unwrap(),
        };
        let (attributes, commands) = four_lines();
        repository.git("init --quiet --initial-branch=main");
        let text = attributes.join("\n") + "\n";
        fs::write(repository.folder.path().join(".gitattributes"), text).unwrap();
        for command in commands {
            good(&repository.command("sh", &["-c", &command]));
        }
        fs::copy(demo::library().join(VAN), repository.van()).unwrap();
        repository.commit("Begin");
        repository
    }

    /// A copy in which the two commands were never run.
    fn without_commands(&self) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (from, to) = (self.folder.path(), folder.path());
        let call = [
            "clone",
            "--quiet",
            from.to_str().unwrap(),
            to.to_str().unwrap(),
        ];
        good(&self.command("git", &call));
        let home = tempfile::tempdir().unwrap();
        Self { folder, home }
    }

    fn van(&self) -> PathBuf {
        self.folder.path().join(VAN)
    }

    fn command(&self, program: &str, arguments: &[&str]) -> Output {
        let mut command = Command::new(program);
        command.args(arguments).current_dir(self.folder.path());
        for (name, _) in env::vars_os() {
            if name.to_string_lossy().starts_with("GIT_") {
                command.env_remove(name);
            }
        }
        let ours = program::path()
            .parent()
            .expect("the program is in a folder");
        let usual = env::var_os("PATH").unwrap_or_default();
        let path = env::join_paths(
            [ours.to_owned()]
                .into_iter()
                .chain(env::split_paths(&usual)),
        );
        command
            .env("PATH", path.unwrap())
            .env("HOME", self.home.path())
            .env("XDG_CONFIG_HOME", self.home.path())
            .env("GIT_CONFIG_GLOBAL", self.home.path().join("none"))
            .env("GIT_CONFIG_NOSYSTEM", "1")
            .env("GIT_ATTR_NOSYSTEM", "1")
            .env("GIT_AUTHOR_NAME", "Ana Ruiz")
            .env("GIT_AUTHOR_EMAIL", "ana@example.org")
            .env("GIT_COMMITTER_NAME", "Ana Ruiz")
            .env("GIT_COMMITTER_EMAIL", "ana@example.org")
            .env("GIT_EDITOR", "true")
            .env("LC_ALL", "C")
            .output()
            .unwrap_or_else(|e| panic!("{program} did not start: {e}"))
    }

    fn try_git(&self, call: &str) -> Output {
        self.command("git", &call.split(' ').collect::<Vec<_>>())
    }

    #[track_caller]
    fn git(&self, call: &str) -> String {
        good(&self.try_git(call))
    }

    #[track_caller]
    fn commit(&self, subject: &str) {
        self.git("add .");
        self.git(&format!("commit --quiet -m {subject}"));
    }

    /// A branch from `main` on which one text stands for another in the van's file, as if typed.
    #[track_caller]
    fn branch(&self, name: &str, changes: &[(&str, &str)]) {
        self.git(&format!("checkout --quiet -b {name} main"));
        let mut text = fs::read_to_string(self.van()).unwrap();
        for (old, new) in changes {
            assert!(text.contains(old), "{old}");
            text = text.replacen(old, new, 1);
        }
        fs::write(self.van(), text).unwrap();
        self.commit(name);
    }

    /// The van as it stands, which must read.
    #[track_caller]
    fn read(&self) -> Value {
        to_value(&read_file::<Profile>(&self.van()).unwrap_or_else(|e| panic!("{e}")))
    }

    fn chockstone(&self, call: &str) -> Ran {
        run_in(self.folder.path(), call.split(' '))
    }

    /// The places at which `check` finds an open conflict.
    fn open_conflicts(&self) -> Vec<Value> {
        let report = self.chockstone(&format!("check {VAN} --json")).json();
        let findings = report["files"][0]["findings"].as_array().unwrap().clone();
        let about = findings
            .into_iter()
            .filter(|f| f["check"] == "open-conflict");
        about.map(|f| f["place"].clone()).collect()
    }
}

#[track_caller]
fn good(output: &Output) -> String {
    let stderr = String::from_utf8_lossy(&output.stderr);
    let stdout = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{stdout}{stderr}");
    stdout
}

/// The van's width, in its file.
const WIDTH: &str = r#"width: (value: (2030, "mm")"#;
/// The van's width with mirrors, on the next line.
const MIRRORS: &str = r#"width_with_mirrors: (value: (2430, "mm")"#;
/// The van's curb mass.
const MASS: &str = r#"value: (2420, "kg"), plus_minus: (25, "kg"), source: "body-data", note"#;

/// A repository whose two branches changed two parts on neighbouring lines.
fn two_parts() -> Repository {
    let repository = Repository::new();
    repository.branch("ours", &[(WIDTH, r#"width: (value: (2035, "mm")"#)]);
    repository.branch(
        "theirs",
        &[(MIRRORS, r#"width_with_mirrors: (value: (2440, "mm")"#)],
    );
    repository
}

/// A repository whose two branches changed the curb mass in two ways, and one of them the width besides.
fn one_part() -> Repository {
    let repository = Repository::new();
    let weighing = |kilograms: &str| MASS.replace("2420", kilograms);
    repository.branch("ours", &[(MASS, &weighing("2430"))]);
    repository.branch(
        "theirs",
        &[
            (MASS, &weighing("2480")),
            (WIDTH, r#"width: (value: (2035, "mm")"#),
        ],
    );
    repository.git("checkout --quiet ours");
    repository
}

#[test]
fn git_merges_two_parts_on_neighbouring_lines_which_it_cannot_by_itself() {
    let repository = two_parts();
    let mut expected = repository.read();
    expected["dimensions"]["width"]["value"] = json!([2035, "mm"]);
    let by_itself = repository.without_commands();
    by_itself.git("checkout --quiet ours");
    let output = by_itself.try_git("merge --quiet origin/theirs");
    assert_eq!(output.status.code(), Some(1), "lines need no help here");
    let unread = read_file::<Profile>(&by_itself.van());
    assert!(unread.is_err(), "git's markers read");
    repository.git("checkout --quiet ours");
    repository.git("merge --quiet --no-edit theirs");
    assert_eq!(repository.read(), expected);
    assert_eq!(repository.git("status --porcelain"), "");
    assert_eq!(
        repository.git("rev-list --count --merges main..HEAD"),
        "1\n"
    );
    assert!(repository.open_conflicts().is_empty());
}

#[test]
fn git_stops_at_a_conflict_with_a_file_that_reads_and_goes_on_after_a_choice() {
    let repository = one_part();
    let output = repository.try_git("merge --no-edit theirs");
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(said.contains(&format!("Merge conflict in {VAN}")), "{said}");
    assert!(
        said.contains("/mass/curb_mass: Two people changed it"),
        "{said}"
    );
    assert_eq!(
        repository.git("diff --name-only --diff-filter=U"),
        format!("{VAN}\n")
    );
    let stopped = repository.read();
    let conflict = &stopped["conflicts"][0];
    assert_eq!(stopped["conflicts"].as_array().unwrap().len(), 1);
    assert_eq!(conflict["part"], "/mass/curb_mass");
    assert_eq!(conflict["ours"]["value"], json!([2430, "kg"]));
    assert_eq!(conflict["theirs"]["value"], json!([2480, "kg"]));
    assert_eq!(stopped["mass"]["curb_mass"]["value"], json!([2420, "kg"]));
    assert_eq!(stopped["dimensions"]["width"]["value"], json!([2035, "mm"]));
    assert_eq!(repository.open_conflicts(), [json!("/conflicts/0")]);
    repository.chockstone(&format!("check {VAN}")).expect(1);
    // Git compares what is not merged yet by itself (`git diff`), but for what is to be committed it asks.
    let shown = repository.git("diff --cached");
    assert!(shown.contains("it is not merged yet"), "{shown}");
    let choose = format!("merge {VAN} --choose theirs --part /mass/curb_mass -o {VAN}");
    repository.chockstone(&choose).expect(0);
    assert!(repository.open_conflicts().is_empty());
    repository.commit("Merged");
    let parents = repository.git("rev-list --parents -n 1 HEAD");
    assert_eq!(parents.split_whitespace().count(), 3, "{parents}");
    assert_eq!(repository.git("status --porcelain"), "");
    let chosen = repository.read();
    repository.git("checkout --quiet theirs");
    assert_eq!(
        chosen,
        repository.read(),
        "every change of theirs was chosen"
    );
}

#[test]
fn git_merges_into_a_branch_what_was_chosen_in_another() {
    let repository = one_part();
    assert_eq!(
        repository.try_git("merge --no-edit theirs").status.code(),
        Some(1)
    );
    repository
        .chockstone(&format!("merge {VAN} --choose ours -o {VAN}"))
        .expect(0);
    repository.commit("Merged");
    let chosen = repository.read();
    assert_eq!(chosen["mass"]["curb_mass"]["value"], json!([2430, "kg"]));
    repository.git("checkout --quiet theirs");
    repository.git("merge --quiet --no-edit ours");
    assert_eq!(repository.read(), chosen);
}

#[test]
fn git_tells_between_branches_what_can_hurt() {
    let repository = one_part();
    let shown = repository.git("diff main theirs");
    for words in [
        "Can hurt: 1",
        "New to know: 1",
        "was 2420 kg, is now 2480 kg",
        "was 2030 mm, is now 2035 mm",
        "Trained people only",
    ] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(!shown.contains("@@"), "{shown}");
    let lines = repository.git("diff --no-ext-diff main theirs");
    assert!(lines.contains("@@"), "{lines}");
    let log = repository.git("log -p --ext-diff -n 1 theirs");
    assert!(log.contains("was 2420 kg, is now 2480 kg"), "{log}");
}

#[test]
fn git_keeps_both_files_where_both_added_one_or_one_does_not_read() {
    let repository = two_parts();
    let add = |branch: &str, text: &str| {
        repository.git(&format!("checkout --quiet {branch}"));
        fs::write(repository.folder.path().join("new.profile.ron"), text).unwrap();
        repository.commit("Add");
    };
    let van = fs::read_to_string(repository.van()).unwrap();
    add("theirs", &van);
    add("ours", &format!("// Another one.\n{van}"));
    assert_unmerged(
        &repository,
        "new.profile.ron",
        "there is no version that both began with",
    );
    repository.git("merge --abort");
    repository.git("checkout --quiet -b broken theirs");
    fs::write(repository.van(), "(format: \"1.0\"").unwrap();
    repository.git("rm --quiet new.profile.ron");
    repository.commit("Break");
    repository.git("branch --force theirs broken");
    repository.git("checkout --quiet ours");
    assert_unmerged(&repository, VAN, "chockstone: ");
}

/// Git stops, says why, keeps theirs beside ours in its index, and ours stands in the file.
#[track_caller]
fn assert_unmerged(repository: &Repository, name: &str, why: &str) {
    let path = repository.folder.path().join(name);
    let ours = fs::read(&path).unwrap();
    let output = repository.try_git("merge --no-edit theirs");
    assert_eq!(output.status.code(), Some(1), "{output:?}");
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains(why), "{said}");
    let unmerged = repository.git("diff --name-only --diff-filter=U");
    assert_eq!(unmerged, format!("{name}\n"));
    assert_eq!(fs::read(&path).unwrap(), ours);
    let kept = repository.git(&format!("show :3:{name}"));
    assert_eq!(kept, repository.git(&format!("show theirs:{name}")));
}

//! An invented association with keys that `ssh-keygen` makes: Ana writes, Ben and Eva review, Kim keeps the catalogue.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use serde_json::Value;

use crate::{
    demo, outside,
    program::{Ran, run_with},
};

/// The passphrase of Ben's key; the others have none.
pub const PASSPHRASE: &str = "a long walk to the quarry";

/// Who there is, with the kind of their key. Of ECDSA keys the program cannot sign with every one, so those who sign by it have
/// none.
const PEOPLE: [(&str, &[&str]); 7] = [
    ("ana", &["-t", "ed25519"]),
    ("ben", &["-t", "ed25519"]),
    ("eva", &["-t", "ed25519"]),
    ("kim", &["-t", "ed25519"]),
    ("ivo", &["-t", "ecdsa", "-b", "256"]),
    ("uma", &["-t", "ecdsa", "-b", "384"]),
    ("zoe", &["-t", "ecdsa", "-b", "521"]),
];

/// A folder with keys and libraries.
#[derive(Debug)]
pub struct Association {
    folder: PathBuf,
}

impl Association {
    /// Makes the keys of everybody in an empty folder; those of Ivo, Uma and Zoe are listed nowhere. `None` where there is no `ssh-keygen`.
    pub fn new(folder: &Path) -> Option<Self> {
        if !outside::tool("ssh-keygen") {
            return None;
        }
        for (name, kind) in PEOPLE {
            let passphrase = if name == "ben" { PASSPHRASE } else { "" };
            let comment = format!("{name}@example.org");
            let made = Command::new("ssh-keygen")
                .arg("-q")
                .args(kind)
                .args(["-N", passphrase, "-C", &comment, "-f", name])
                .current_dir(folder)
                .status()
                .expect("ssh-keygen starts");
            assert!(made.success(), "the key of {name} was not made");
        }
        Some(Self {
            folder: folder.to_owned(),
        })
    }

    /// The folder.
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Somebody's public key without its comment.
    pub fn public(&self, name: &str) -> String {
        let text = fs::read_to_string(self.folder.join(format!("{name}.pub")));
        let text = text.expect("a key was made");
        let parts: Vec<&str> = text.split_whitespace().take(2).collect();
        parts.join(" ")
    }

    /// Somebody's line of allowed signers, with options.
    pub fn line(&self, name: &str, options: &str) -> String {
        let key = self.public(name);
        format!("{name}@example.org {options} {key}")
    }

    /// A new library in a folder of this name with every demo profile, where each release needs so many reviews.
    pub fn library(&self, name: &str, reviews: u8) -> PathBuf {
        let library = self.bare_library(name, reviews);
        for profile in demo::complete().iter().chain([&demo::draft()]) {
            fs::copy(profile, library.join(demo::name(profile))).expect("a demo profile is copied");
        }
        library
    }

    /// The same without any profile.
    pub fn bare_library(&self, name: &str, reviews: u8) -> PathBuf {
        let library = self.folder.join(name);
        let attachments = library.join("attachments");
        fs::create_dir_all(&attachments).expect("a folder is made");
        let from = demo::library().join("attachments");
        for entry in fs::read_dir(from).expect("the demo library has attachments") {
            let path = entry.expect("the folder is readable").path();
            fs::copy(&path, attachments.join(demo::name(&path))).expect("an attachment is copied");
        }
        fs::write(library.join("library.ron"), self.rules(reviews)).expect("rules are written");
        library
    }

    /// The rules of a library.
    pub fn rules(&self, reviews: u8) -> String {
        let line = |name| format!("{:?}", self.line(name, "namespaces=\"release@chockstone\""));
        let keeper = self.line("kim", "namespaces=\"snapshot@chockstone\"");
        format!(
            "(format: \"1.0\", name: \"Example association\", authors: [{}], reviewers: [{}, {}], keepers: [{keeper:?}],
            reviews: (first_release: {reviews}, can_hurt: {reviews}, new_to_know: {reviews}, wording: 0),
            stale_after_months: 12, catalogue_days: 30)",
            line("ana"),
            line("ben"),
            line("eva"),
        )
    }

    /// Runs the program in this folder, with Ben's passphrase.
    pub fn run(&self, arguments: &[&str]) -> Ran {
        run_with(
            &self.folder,
            &[("CHOCKSTONE_PASSPHRASE", PASSPHRASE)],
            arguments,
        )
    }

    /// Runs it with `--json`, asserts the exit status, and gives the document.
    #[track_caller]
    pub fn json(&self, status: i32, arguments: &[&str]) -> Value {
        let ran = self.run(&[arguments, &["--json"]].concat());
        ran.expect(status).json()
    }
}

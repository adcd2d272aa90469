//! Outside references: Python and npm packages that know nothing of this project.
//!
//! `tests/run` installs them at pinned versions and sets `CHOCKSTONE_PYTHON` and `CHOCKSTONE_NODE_MODULES`; without
//! these the folder `target/reference` is looked into. Where one is missing the check is skipped with a loud line,
//! or fails when `CI=true`.

use std::{
    env,
    io::Write as _,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    thread,
};

use serde_json::Value;

use crate::{root, tell};

/// One script of `tests/reference/` and what runs it: it reads one JSON document and prints one.
#[derive(Clone, Debug)]
pub struct Script {
    interpreter: PathBuf,
    arguments: Vec<PathBuf>,
}

/// A script in Python, or `None` when Python's packages are not installed.
pub fn python(script: &str) -> Option<Script> {
    let interpreter = named_or("CHOCKSTONE_PYTHON", "venv/bin/python");
    available(&interpreter, script).then(|| Script {
        interpreter,
        arguments: vec![path_of(script)],
    })
}

/// A script for Node, or `None` when the npm packages are not installed.
pub fn node(script: &str) -> Option<Script> {
    let modules = named_or("CHOCKSTONE_NODE_MODULES", "node/node_modules");
    available(&modules, script).then(|| Script {
        interpreter: PathBuf::from("node"),
        arguments: vec![path_of(script), modules],
    })
}

/// Whether a program of the system is there; where it is not, the check is skipped or fails as for a script.
pub fn tool(name: &str) -> bool {
    let paths = env::var_os("PATH").unwrap_or_default();
    let found = env::split_paths(&paths).map(|folder| folder.join(name));
    let found = found.into_iter().find(|path| path.exists());
    available(&found.unwrap_or_else(|| PathBuf::from(name)), name)
}

fn path_of(script: &str) -> PathBuf {
    root().join("tests/reference").join(script)
}

fn named_or(variable: &str, usual: &str) -> PathBuf {
    let usual = || root().join("target/reference").join(usual);
    env::var_os(variable).map_or_else(usual, PathBuf::from)
}

fn available(what: &Path, script: &str) -> bool {
    if what.exists() {
        return true;
    }
    let message = format!(
        "{script}: the outside reference is not installed ({} is missing); tests/run installs it",
        what.display()
    );
    assert!(env::var_os("CI").is_none_or(|ci| ci != "true"), "{message}");
    tell(&format!("SKIPPED: {message}"));
    false
}

impl Script {
    /// The command that runs it, not started yet.
    pub fn command(&self) -> Command {
        let mut command = Command::new(&self.interpreter);
        command.args(&self.arguments);
        command
    }

    /// Hands the script a question and gives its answer.
    pub fn ask(&self, question: &Value) -> Value {
        let mut child = self
            .command()
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap_or_else(|e| panic!("{} did not start: {e}", self.interpreter.display()));
        let mut input = child.stdin.take().expect("standard input is piped");
        let text = question.to_string();
        // The script may answer before it has read everything: writing and reading must not wait for each other.
        let writer = thread::spawn(move || input.write_all(text.as_bytes()));
        let output = child
            .wait_with_output()
            .expect("the script's output is readable");
        let complaint = String::from_utf8_lossy(&output.stderr);
        assert!(
            output.status.success(),
            "{:?} failed:\n{complaint}",
            self.arguments
        );
        writer
            .join()
            .expect("the writer does not panic")
            .expect("the question was read");
        serde_json::from_slice(&output.stdout)
            .unwrap_or_else(|e| panic!("{:?} answered no JSON: {e}\n{complaint}", self.arguments))
    }
}

/// The two JSON Schema validators, by name, as far as they are installed.
pub fn schema_validators() -> Vec<(&'static str, Script)> {
    [
        ("Python jsonschema", python("validate_jsonschema.py")),
        ("ajv", node("validate_ajv.mjs")),
    ]
    .into_iter()
    .filter_map(|(name, script)| Some((name, script?)))
    .collect()
}

/// Asserts that every installed validator accepts the documents against a schema, and gives how many checks that were.
#[track_caller]
pub fn assert_all_valid(schema: &Value, documents: &[(String, Value)]) -> usize {
    let mut checks = 0;
    for (validator, script) in schema_validators() {
        for (name, error) in verdicts(&script, schema, documents) {
            assert_eq!(error, None, "{validator} refuses {name}");
            checks += 1;
        }
    }
    checks
}

/// What a validator says of each document: its name, and why it is refused if it is.
pub fn verdicts(
    script: &Script,
    schema: &Value,
    documents: &[(String, Value)],
) -> Vec<(String, Option<String>)> {
    let documents: Vec<Value> = documents
        .iter()
        .map(|(name, document)| serde_json::json!({"name": name, "document": document}))
        .collect();
    let answer = script.ask(&serde_json::json!({"schema": schema, "documents": documents}));
    let results = answer["results"]
        .as_array()
        .expect("the answer has results");
    assert_eq!(results.len(), documents.len());
    results
        .iter()
        .map(|result| {
            let name = result["name"].as_str().expect("a result has a name");
            let valid = result["valid"].as_bool().expect("a result has a verdict");
            let error = result["error"].as_str().unwrap_or("no reason given");
            (name.to_owned(), (!valid).then(|| error.to_owned()))
        })
        .collect()
}

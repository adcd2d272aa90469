//! Rules of the house that no compiler knows.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use chockstone_tests::root;

/// Every file of the project: what git tracks, or everything outside `target` where there is no repository.
fn files() -> Vec<PathBuf> {
    let listed = Command::new("git")
        .args(["ls-files", "-z"])
        .current_dir(root())
        .output();
    let tracked = match listed {
        Ok(output) if output.status.success() => {
            let text = String::from_utf8(output.stdout).expect("names are UTF-8");
            text.split('\0')
                .filter(|n| !n.is_empty())
                .map(PathBuf::from)
                .collect()
        }
        _ => walked(&root(), Path::new("")),
    };
    assert!(
        tracked.len() > 50,
        "the project's files were not found: {tracked:?}"
    );
    // A file that was just deleted is still tracked until the next commit.
    tracked
        .into_iter()
        .filter(|path| root().join(path).exists())
        .collect()
}

fn walked(folder: &Path, name: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = name.join(entry.file_name());
        if !entry.path().is_dir() {
            found.push(name);
        } else if name != Path::new("target") && name != Path::new(".git") {
            found.extend(walked(&entry.path(), &name));
        }
    }
    found
}

fn text(path: &Path) -> Option<String> {
    String::from_utf8(fs::read(root().join(path)).unwrap()).ok()
}

/// Lines of the project's text files, `Cargo.lock` left out, that hold one of some words.
fn lines_with(words: &[&str], fits: impl Fn(&Path) -> bool) -> Vec<String> {
    let mut found = Vec::new();
    for path in files()
        .iter()
        .filter(|p| *p != Path::new("Cargo.lock") && fits(p))
    {
        let text = text(path).unwrap_or_default();
        for (number, line) in text.lines().enumerate() {
            if words.iter().any(|word| line.contains(word)) {
                found.push(format!("{}:{}: {line}", path.display(), number + 1));
            }
        }
    }
    found
}

fn is_rust(path: &Path) -> bool {
    path.extension().is_some_and(|e| e == "rs")
}

#[test]
fn every_file_of_these_tests_is_compiled() {
    let declared = |parent: &str, stem: &str| {
        let text = fs::read_to_string(root().join("tests/all").join(parent)).unwrap_or_default();
        text.lines().any(|line| line == format!("mod {stem};"))
    };
    for path in files() {
        let Ok(inside) = path.strip_prefix("tests/all") else {
            continue;
        };
        if !is_rust(inside) || inside == Path::new("main.rs") {
            continue;
        }
        let stem = inside.file_stem().unwrap().to_str().unwrap();
        let folder = inside.parent().unwrap().to_str().unwrap();
        let parent = if folder.is_empty() {
            "main.rs".to_owned()
        } else {
            format!("{folder}.rs")
        };
        assert!(
            declared(&parent, stem),
            "{} is forgotten: tests/all/{parent} needs `mod {stem};`",
            path.display()
        );
    }
}

#[test]
fn the_top_level_holds_what_it_should() {
    let allowed = [
        ".ci",
        ".gitignore",
        "Cargo.lock",
        "Cargo.toml",
        "DEVELOPERS.md",
        "LICENSE",
        "README.md",
        "editor",
        "profiles",
        "schema",
        "tests",
    ];
    let found: BTreeSet<String> = files()
        .iter()
        .filter_map(|path| path.iter().next())
        .map(|part| part.to_string_lossy().into_owned())
        .collect();
    let extra: Vec<_> = found
        .iter()
        .filter(|name| !allowed.contains(&name.as_str()))
        .collect();
    assert!(
        extra.is_empty(),
        "these do not belong to the top level: {extra:?}"
    );
    for name in [
        "Cargo.lock",
        "Cargo.toml",
        "LICENSE",
        "editor",
        "schema",
        "tests",
    ] {
        assert!(found.contains(name), "{name} is missing");
    }
}

/// What a crate's manifest depends on, for running, building or testing.
fn dependencies(manifest: &str) -> BTreeSet<String> {
    let text =
        fs::read_to_string(root().join(manifest)).unwrap_or_else(|e| panic!("{manifest}: {e}"));
    let mut inside = false;
    let mut found = BTreeSet::new();
    for line in text.lines() {
        if line.starts_with('[') {
            inside = line.trim_end().ends_with("dependencies]");
        } else if inside && let Some((name, _)) = line.split_once('=') {
            let name = name.split('.').next().unwrap_or_default();
            found.insert(name.trim().trim_matches('"').to_owned());
        }
    }
    found
}

#[test]
fn arrows_between_crates_run_one_way() {
    let house: [(&str, &[&str]); 7] = [
        ("schema", &[]),
        ("editor/mechanics", &[]),
        (
            "editor/rules",
            &["chockstone-schema", "chockstone-mechanics"],
        ),
        ("editor/library", &["chockstone-schema", "chockstone-rules"]),
        (
            "editor/remote",
            &["chockstone-schema", "chockstone-library"],
        ),
        ("editor/sheets", &["chockstone-schema", "chockstone-rules"]),
        (
            "editor/app",
            &[
                "chockstone-remote",
                "chockstone-schema",
                "chockstone-mechanics",
                "chockstone-rules",
                "chockstone-library",
                "chockstone-sheets",
            ],
        ),
    ];
    for (folder, allowed) in house {
        for name in dependencies(&format!("{folder}/Cargo.toml")) {
            let ours = name.starts_with("chockstone");
            assert!(
                !ours || allowed.contains(&name.as_str()),
                "{folder} may not depend on {name}"
            );
        }
    }
}

#[test]
fn only_the_app_knows_a_window_and_only_remote_a_network() {
    let window = ["egui", "eframe", "egui_kittest", "rfd", "winit", "wgpu"];
    let network = [
        "object_store",
        "tokio",
        "reqwest",
        "hyper",
        "ureq",
        "curl",
        "rustls",
        "native-tls",
    ];
    for folder in [
        "schema",
        "editor/mechanics",
        "editor/rules",
        "editor/library",
        "editor/remote",
        "editor/sheets",
        "editor/app",
    ] {
        for name in dependencies(&format!("{folder}/Cargo.toml")) {
            assert!(
                folder == "editor/remote" || !network.contains(&name.as_str()),
                "{folder} may not use {name}"
            );
            let windowed = window.contains(&name.as_str());
            assert!(
                !windowed || folder == "editor/app",
                "{folder} may not use {name}"
            );
        }
    }
}

/// Every crate that a package of ours is made of when it runs here, its own name included. Other systems' crates are
/// not asked for: a machine that only built the project never fetched them.
fn made_of(package: &str) -> BTreeSet<String> {
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let output = Command::new(cargo)
        .args(["tree", "--offline", "--locked", "--package", package])
        .args(["--edges", "normal", "--prefix", "none", "--format", "{p}"])
        .current_dir(root())
        .output()
        .expect("cargo starts");
    let complaint = String::from_utf8_lossy(&output.stderr);
    assert!(
        output.status.success(),
        "cargo tree of {package}: {complaint}"
    );
    let text = String::from_utf8(output.stdout).expect("names are UTF-8");
    text.lines()
        .filter_map(|line| line.split_whitespace().next())
        .map(str::to_owned)
        .collect()
}

#[test]
fn no_window_or_network_comes_in_through_another_crate() {
    let banned = [
        "egui",
        "eframe",
        "winit",
        "wgpu",
        "rfd",
        "tokio",
        "mio",
        "object_store",
        "socket2",
        "reqwest",
        "hyper",
        "ureq",
        "rustls",
        "native-tls",
    ];
    for name in ["schema", "mechanics", "rules", "library", "sheets"] {
        let package = format!("chockstone-{name}");
        let parts = made_of(&package);
        assert!(
            parts.contains(&package),
            "cargo tree did not list {package}"
        );
        let found: Vec<_> = banned
            .into_iter()
            .filter(|part| parts.contains(*part))
            .collect();
        assert!(found.is_empty(), "{package} is made of {found:?}");
    }
    // A list that finds a window nowhere would be looking for the wrong names.
    let app = made_of("chockstone");
    assert!(app.contains("winit") && app.contains("rustls"));
    let mechanics = BTreeSet::from(["chockstone-mechanics".to_owned()]);
    assert_eq!(
        made_of("chockstone-mechanics"),
        mechanics,
        "mechanics needs no crate"
    );
}

#[test]
fn outside_references_are_pinned_exactly() {
    let list = text(Path::new("tests/reference/requirements.txt")).expect("the list is text");
    let lines: Vec<_> = list.lines().filter(|line| !line.starts_with('#')).collect();
    assert!(lines.len() > 4, "{lines:?}");
    for line in lines {
        let (name, version) = line.split_once("==").unwrap_or_default();
        let exact =
            version.starts_with(|c: char| c.is_ascii_digit()) && !version.contains(['*', ',', ' ']);
        assert!(!name.is_empty() && exact, "`{line}` pins no exact version");
    }
    let package = text(Path::new("tests/reference/package.json")).expect("the list is text");
    let package: serde_json::Value = serde_json::from_str(&package).expect("it is JSON");
    let wanted = package["dependencies"]
        .as_object()
        .expect("it names packages");
    for (name, version) in wanted {
        let exact = version.as_str().unwrap_or_default();
        assert!(
            !exact.is_empty() && exact.chars().all(|c| c.is_ascii_digit() || c == '.'),
            "{name} {version} is no exact version"
        );
    }
}

#[cfg(unix)]
#[test]
fn commands_may_be_run() {
    use std::os::unix::fs::PermissionsExt as _;
    for name in ["tests/run", ".ci/run"] {
        let mode = fs::metadata(root().join(name))
            .unwrap()
            .permissions()
            .mode();
        assert_eq!(mode & 0o111, 0o111, "{name} is not executable");
    }
}

#[test]
fn no_file_names_a_machine_or_a_registry() {
    // Each word is put together here, so that this file does not hold it.
    let words = [
        concat!("/wo", "rk/"),
        concat!("/ro", "ot/"),
        concat!("/ho", "me/"),
        concat!("/tmp/ba", "sh"),
        concat!("/tmp/tar", "get"),
        concat!("crates", ".io"),
        concat!("npmjs", ".org"),
        concat!("pypi", ".org"),
        concat!("python", "hosted"),
        concat!("\"reso", "lved\""),
    ];
    let found = lines_with(&words, |_| true);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn nothing_is_left_to_do_and_no_test_is_left_out() {
    let words = [
        concat!("to", "do!"),
        concat!("unimple", "mented!"),
        concat!("db", "g!("),
        concat!("#[ig", "nore"),
        concat!("FIX", "ME"),
        concat!("TO", "DO"),
    ];
    let found = lines_with(&words, is_rust);
    assert!(found.is_empty(), "{}", found.join("\n"));
}

#[test]
fn every_crate_begins_with_what_it_is_for() {
    let crates: Vec<_> = files()
        .into_iter()
        .filter(|p| p.ends_with("src/lib.rs"))
        .collect();
    assert_eq!(crates.len(), 8, "{crates:?}");
    for path in crates {
        let text = text(&path).unwrap();
        assert!(
            text.starts_with("//! "),
            "{} has no documentation of the crate",
            path.display()
        );
    }
}

#[test]
fn files_end_with_one_line_feed_and_hold_no_carriage_return() {
    let endings = ["rs", "toml", "md", "py", "mjs", "json", "ron"];
    for path in files() {
        let ending = path
            .extension()
            .and_then(|e| e.to_str())
            .unwrap_or_default();
        if !endings.contains(&ending) {
            continue;
        }
        let text = text(&path).unwrap_or_else(|| panic!("{} is not UTF-8", path.display()));
        assert!(
            !text.contains('\r'),
            "{} holds a carriage return",
            path.display()
        );
        assert!(
            text.is_empty() || text.ends_with('\n'),
            "{} does not end with a line feed",
            path.display()
        );
    }
}

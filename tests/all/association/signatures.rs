//! Signatures, held against `ssh-keygen` of OpenSSH.

use std::{
    collections::BTreeMap,
    fs,
    io::Write as _,
    path::{Path, PathBuf},
    process::{Command, Output, Stdio},
};

use chockstone_library::verify::{Trust, verify_for};
use chockstone_schema::{
    bundle::{Limits, README, open},
    date::Moment,
    signature::AllowedSigners,
};
use chockstone_tests::{association::Association, demo, outside, random::Random, root, tell};
use rayon::prelude::*;
use serde_json::{Value, json};

use super::{DATE, RELEASED, fresh, text};

/// The commands that a bundle's README prints: its indented lines after the words that introduce them.
fn commands(readme: &str) -> String {
    let (_, after) = readme.split_once("Who signed it:").unwrap();
    let indented = after.lines().filter(|line| line.starts_with("    "));
    indented.collect::<Vec<_>>().join("\n")
}

/// Runs the commands in a bag's folder with these lists of keys.
fn run_commands(bag: &Path, commands: &str, signers: &str, revoked: &str) -> Output {
    fs::write(bag.join("allowed_signers"), signers).unwrap();
    fs::write(bag.join("revoked_keys"), revoked).unwrap();
    let output = Command::new("sh")
        .args(["-e", "-c", commands])
        .current_dir(bag)
        .output();
    for list in ["allowed_signers", "revoked_keys"] {
        fs::remove_file(bag.join(list)).unwrap();
    }
    output.unwrap()
}

/// Unpacks bundles with Python's `zipfile` and has `bagit` validate them; the folder of each bag.
fn unpacked(bundles: &[PathBuf], into: &Path) -> Option<Vec<PathBuf>> {
    let script = outside::python("bag_validate.py")?;
    let question: Vec<Value> = bundles
        .iter()
        .map(|b| json!({"bundle": b, "into": into.join(demo::name(b))}))
        .collect();
    let answer = script.ask(&json!({"bundles": question}));
    let results = answer["results"].as_array().unwrap().iter();
    let folder = |result: &Value| {
        assert_eq!(result["valid"], true, "{result}");
        let unseen = result["accepted_changed"].as_array().unwrap();
        // BagIt knows nothing of signatures, which no manifest lists.
        assert!(
            unseen.iter().all(|name| name
                .as_str()
                .unwrap()
                .starts_with("tagmanifest-sha256.txt.")),
            "{result}"
        );
        PathBuf::from(result["folder"].as_str().unwrap())
    };
    Some(results.map(folder).collect())
}

#[test]
fn ssh_keygen_and_bagit_accept_every_release_by_the_commands_of_its_readme() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let Some(bags) = unpacked(&released.bundles, &fresh("unpacked")) else {
        return;
    };
    let library = text(&released.library);
    let list = |of| {
        released
            .people
            .run(&["library", "signers", library, "--of", of])
            .stdout
    };
    let (signers, revoked) = (list("releases"), list("revoked"));
    for bag in &bags {
        let commands = commands(&fs::read_to_string(bag.join("data").join(README)).unwrap());
        let ran = run_commands(bag, &commands, &signers, &revoked);
        let said = String::from_utf8_lossy(&ran.stdout);
        assert!(
            ran.status.success(),
            "{said}{}",
            String::from_utf8_lossy(&ran.stderr)
        );
        for who in ["ana", "ben", "eva"] {
            let line = format!("Good \"release@chockstone\" signature for {who}@example.org");
            assert!(said.contains(&line), "{said}");
        }
        let ben = released.people.public("ben");
        let others: Vec<&str> = signers.lines().filter(|l| !l.starts_with("ben")).collect();
        let without_ben = others.join(
            "
",
        );
        for (signers, revoked) in [("", ""), (&without_ben, ""), (&signers, ben.as_str())] {
            let ran = run_commands(bag, &commands, signers, revoked);
            assert!(
                !ran.status.success(),
                "{}",
                String::from_utf8_lossy(&ran.stdout)
            );
        }
        let profile = bag.join("data/profile.json");
        let good = fs::read(&profile).unwrap();
        fs::write(&profile, [&good[..], b" "].concat()).unwrap();
        assert!(
            !run_commands(bag, &commands, &signers, &revoked)
                .status
                .success()
        );
        fs::write(&profile, good).unwrap();
    }
    tell(&format!(
        "association: ssh-keygen and bagit accept {} releases",
        bags.len()
    ));
}

/// One signature and who is asked about it.
struct Case {
    name: &'static str,
    signer: &'static str,
    namespace: &'static str,
    /// Options of `ssh-keygen -Y sign`.
    options: &'static [&'static str],
    /// Options in the line of allowed signers; `None` where the key is not listed.
    listed: Option<&'static str>,
    is_revoked: bool,
    /// What the program says; `None` where it accepts the signature.
    why: Option<&'static str>,
}

impl Case {
    const fn good(name: &'static str, signer: &'static str) -> Self {
        Self {
            name,
            signer,
            namespace: "release@chockstone",
            options: &[],
            listed: Some(""),
            is_revoked: false,
            why: None,
        }
    }

    const fn because(mut self, why: &'static str) -> Self {
        self.why = Some(why);
        self
    }
}

fn cases() -> Vec<Case> {
    let good = Case::good;
    let listed = |name, listed| Case {
        listed: Some(listed),
        ..good(name, "ana")
    };
    let made_for = |name, namespace| Case {
        namespace,
        ..good(name, "ana").because("it was made for")
    };
    vec![
        good("an Ed25519 key", "ana"),
        good("an ECDSA key of 256 bits", "ivo"),
        good("an ECDSA key of 384 bits", "uma"),
        good("an ECDSA key of 521 bits", "zoe"),
        Case {
            options: &["-O", "hashalg=sha256"],
            ..good("over a SHA-256", "ana")
        },
        listed("a key for this alone", "namespaces=\"release@chockstone\""),
        listed(
            "a key in its time",
            "valid-after=\"20260101Z\",valid-before=\"20270101Z\"",
        ),
        made_for("made for files", "file"),
        made_for("made for the catalogue", "snapshot@chockstone"),
        made_for(
            "made for a namespace that is longer",
            "release@chockstone.example",
        ),
        listed(
            "a key for something else",
            "namespaces=\"snapshot@chockstone\"",
        )
        .because("may sign only for"),
        listed("an expired key", "valid-before=\"20260313Z\"").because("may be used only until"),
        listed("a key that is not good yet", "valid-after=\"20260315Z\"")
            .because("may be used only from"),
        Case {
            listed: None,
            ..good("an unlisted key", "zoe").because("is not among those who may sign")
        },
        Case {
            is_revoked: true,
            ..good("a revoked key", "ana").because("is revoked")
        },
    ]
}

/// Signs bytes by `ssh-keygen`.
fn sign(people: &Association, case: &Case, message: &Path) -> Vec<u8> {
    let signed = Command::new("ssh-keygen")
        .args(["-Y", "sign", "-f", case.signer, "-n", case.namespace])
        .args(case.options)
        .arg(message)
        .current_dir(people.folder())
        .output()
        .unwrap();
    assert!(
        signed.status.success(),
        "{}",
        String::from_utf8_lossy(&signed.stderr)
    );
    let file = message.with_extension("txt.sig");
    let signature = fs::read(&file).unwrap();
    fs::remove_file(file).unwrap();
    signature
}

/// Whether `ssh-keygen` accepts a signature at the moment of these tests.
fn accepts(people: &Association, case: &Case, signature: &Path, message: &[u8]) -> bool {
    let who = format!("{}@example.org", case.signer);
    let mut child = Command::new("ssh-keygen")
        .args(["-Y", "verify", "-f", "signers", "-r", "revoked", "-I", &who])
        .args([
            "-n",
            "release@chockstone",
            "-O",
            "verify-time=20260314092653Z",
            "-s",
        ])
        .arg(signature)
        .current_dir(people.folder())
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    // It may refuse before it has read everything.
    let _ = child.stdin.take().unwrap().write_all(message);
    child.wait().unwrap().success()
}

#[test]
fn what_ssh_keygen_accepts_or_refuses_the_program_accepts_or_refuses() {
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let folder = fresh("cases");
    let Some(people) = Association::new(&folder) else {
        return;
    };
    let mut bundle = open(&fs::read(&released.bundles[0]).unwrap(), &Limits::default()).unwrap();
    let message = folder.join("message.txt");
    fs::write(&message, &bundle.tag_manifest).unwrap();
    for case in cases() {
        let line = case
            .listed
            .map_or_else(String::new, |options| people.line(case.signer, options));
        fs::write(folder.join("signers"), line).unwrap();
        let revoked = if case.is_revoked {
            people.public(case.signer)
        } else {
            String::new()
        };
        fs::write(folder.join("revoked"), revoked).unwrap();
        let signature = sign(&people, &case, &message);
        let file = folder.join("signature");
        fs::write(&file, &signature).unwrap();
        assert_eq!(
            accepts(&people, &case, &file, &bundle.tag_manifest),
            case.why.is_none(),
            "ssh-keygen: {}",
            case.name
        );
        bundle.signatures = BTreeMap::from([("somebody".to_owned(), signature)]);
        fs::write(folder.join("bundle.zip"), bundle.to_zip().unwrap()).unwrap();
        let status = i32::from(case.why.is_some());
        let lists = [
            "--signers",
            "signers",
            "--revoked",
            "revoked",
            "--date",
            DATE,
        ];
        let report = people.json(status, &[&["verify", "bundle.zip"][..], &lists].concat());
        let told = report["signatures"][0]["why"].as_str();
        let as_expected = case
            .why
            .is_none_or(|why| told.is_some_and(|told| told.contains(why)));
        assert!(as_expected, "{}: {report}", case.name);
    }
    tell(&format!(
        "association: {} kinds of signatures are judged as by ssh-keygen",
        cases().len()
    ));
}

#[test]
fn an_ecdsa_key_signs_as_ssh_keygen_accepts_or_is_refused_with_what_to_do() {
    let folder = fresh("ecdsa");
    let Some(people) = Association::new(&folder) else {
        return;
    };
    let kept = root().join("tests/fixtures/format-1.0/sorrelby-tindle-1.0.0.zip");
    let mut bundle = open(&fs::read(kept).unwrap(), &Limits::default()).unwrap();
    bundle.signatures.clear();
    for case in cases()
        .iter()
        .filter(|case| case.name.starts_with("an ECDSA key of"))
    {
        fs::write(folder.join("bundle.zip"), bundle.to_zip().unwrap()).unwrap();
        let ran = people.run(&["sign", "bundle.zip", "--key", case.signer, "--as", "author"]);
        if ran.status == 2 {
            // Its number begins with zeros: of 521 bits every second one does, of the others one in 256.
            assert!(
                ran.stderr.contains("ssh-keygen -t ed25519"),
                "{}",
                ran.stderr
            );
            continue;
        }
        ran.expect(0);
        let signed = open(
            &fs::read(folder.join("bundle.zip")).unwrap(),
            &Limits::default(),
        )
        .unwrap();
        let signature = folder.join("signature");
        fs::write(&signature, signed.signatures.values().next().unwrap()).unwrap();
        fs::write(folder.join("signers"), people.line(case.signer, "")).unwrap();
        fs::write(folder.join("revoked"), "").unwrap();
        assert!(
            accepts(&people, case, &signature, &bundle.tag_manifest),
            "{}",
            case.name
        );
    }
}

#[test]
fn no_flipped_byte_of_a_signed_release_goes_unseen() {
    const FLIPS: usize = 6000;
    let Some(released) = RELEASED.as_ref() else {
        return;
    };
    let smallest = released
        .bundles
        .iter()
        .min_by_key(|b| fs::metadata(b).unwrap().len());
    let good = fs::read(smallest.unwrap()).unwrap();
    let people = &released.people;
    let lines: Vec<String> = ["ana", "ben", "eva"]
        .map(|who| people.line(who, ""))
        .to_vec();
    let signers = AllowedSigners::parse(&lines.join("\n")).unwrap();
    let at = Moment::new(DATE).unwrap();
    let verified = |bytes: &[u8]| {
        verify_for("flipped", bytes, Trust::Signers(&signers), at).is_ok_and(|report| report.good)
    };
    assert!(verified(&good));
    let mut random = Random::new(5656);
    // Half of them anywhere, half outside the payload: headers, tag files and signatures are a small part of the bytes.
    let places = outside_payload(&good);
    let flips: Vec<(usize, u8)> = (0..FLIPS)
        .map(|i| {
            let place = if i % 2 == 0 {
                random.below(good.len())
            } else {
                *random.pick(&places)
            };
            (place, u8::try_from(1 + random.below(255)).unwrap())
        })
        .collect();
    let unseen: Vec<usize> = flips
        .par_iter()
        .filter(|(place, change)| {
            let mut bytes = good.clone();
            bytes[*place] ^= change;
            verified(&bytes)
        })
        .map(|(place, _)| *place)
        .collect();
    assert_eq!(unseen, [] as [usize; 0], "changed bytes that go unseen");
    tell(&format!(
        "association: {FLIPS} sampled flips of one byte are all refused"
    ));
}

/// The places of bytes that belong to no file of the payload.
fn outside_payload(bytes: &[u8]) -> Vec<usize> {
    let bundle = open(bytes, &Limits::default()).unwrap();
    let mut is_payload = vec![false; bytes.len()];
    for contents in bundle.payload.values().filter(|c| c.len() > 64) {
        let start = bytes
            .windows(contents.len())
            .position(|w| w == &contents[..])
            .unwrap();
        is_payload[start..start + contents.len()].fill(true);
    }
    let places: Vec<usize> = (0..bytes.len()).filter(|i| !is_payload[*i]).collect();
    assert!(places.len() > 2000 && places.len() < bytes.len() / 4);
    places
}

//! Calls of `chockstone plan`: every option, every refusal, the exit status, and what a person reads.

use std::{
    collections::BTreeSet,
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

use chockstone_schema::conditions::BUILT_IN;
use chockstone_tests::{
    demo, outside,
    program::{Ran, run},
    root, tell,
};
use rayon::prelude::*;
use serde_json::{Value, json};

/// The most columns of a line of the table.
const COLUMNS: usize = 120;
const GOALS: [&str; 7] = [
    "opened",
    "awake",
    "cord-free",
    "in-neutral",
    "loaded",
    "secured",
    "returned-to-service",
];

fn pickup() -> PathBuf {
    let mut all = demo::complete().into_iter();
    all.find(|path| demo::name(path).contains("brackwater"))
        .expect("the demo library has the pickup")
}

fn plan_of(profile: &Path, options: &[&str]) -> Ran {
    let mut call = vec!["plan".as_ref(), profile.as_os_str()];
    call.extend(options.iter().map(|o| std::ffi::OsStr::new(*o)));
    run(call)
}

fn plan(options: &[&str]) -> Ran {
    plan_of(&pickup(), options)
}

/// The document of a call, with its exit status; the text of the same call ends with the same status.
#[track_caller]
fn document(options: &[&str]) -> (Value, i32) {
    let text = plan(options);
    let with_json: Vec<&str> = options.iter().copied().chain(["--json"]).collect();
    let ran = plan(&with_json);
    text.expect(ran.status);
    ran.expect(ran.status);
    (ran.json(), ran.status)
}

#[track_caller]
fn refused(options: &[&str], because: &[&str]) {
    let ran = plan(options);
    ran.expect(2);
    for words in because {
        assert!(ran.stderr.contains(words), "{words}: {}", ran.stderr);
    }
    assert!(ran.stdout.is_empty(), "{}", ran.stdout);
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

fn cells(document: &Value) -> Vec<&Value> {
    let rows = list(document, "rows").iter();
    rows.flat_map(|row| list(row, "cells")).collect()
}

fn words<'v>(value: &'v Value, key: &str) -> BTreeSet<&'v str> {
    list(value, key)
        .iter()
        .map(|word| word.as_str().unwrap())
        .collect()
}

/// The one cell of a document.
#[track_caller]
fn only(document: &Value) -> &Value {
    let cells = cells(document);
    assert_eq!(cells.len(), 1, "{document}");
    cells[0]
}

/// The whole table and all combinations of one profile, for people in both languages and for programs.
struct Tables {
    name: String,
    texts: Vec<Ran>,
    documents: Vec<Ran>,
}

static TABLES: LazyLock<Vec<Tables>> = LazyLock::new(|| {
    let profiles = demo::complete().into_iter().chain([demo::draft()]);
    let profiles: Vec<PathBuf> = profiles.collect();
    profiles.par_iter().map(|path| tables(path)).collect()
});

fn tables(path: &Path) -> Tables {
    let texts = [
        &[] as &[&str],
        &["--language", "es"],
        &["--every"],
        &["--every", "--language", "es", "--goal", "loaded"],
        &["--situation", "low-voltage-flat"],
    ];
    let documents = [&["--json"] as &[&str], &["--every", "--json"]];
    Tables {
        name: demo::name(path),
        texts: texts.iter().map(|o| plan_of(path, o)).collect(),
        documents: documents.iter().map(|o| plan_of(path, o)).collect(),
    }
}

#[test]
fn the_table_has_every_situation_and_goal_and_its_documents_are_valid() {
    let mut documents = Vec::new();
    for tables in TABLES.iter() {
        let [named, every] = [0, 1].map(|i| tables.documents[i].json());
        let ids: BTreeSet<&str> = list(&named, "rows")
            .iter()
            .map(|row| row["situation"].as_str().unwrap())
            .collect();
        assert!(
            ids.contains("parked") && ids.contains("cord-stuck"),
            "{ids:?}"
        );
        assert!(ids.len() >= 10 && ids.len() == list(&named, "rows").len());
        assert_eq!(list(&every, "rows").len(), 64, "{}", tables.name);
        for row in list(&named, "rows").iter().chain(list(&every, "rows")) {
            let goals: Vec<&str> = list(row, "cells")
                .iter()
                .map(|cell| cell["goal"].as_str().unwrap())
                .collect();
            assert_eq!(goals, GOALS.map(|goal| goal.replace('-', "_")));
        }
        documents.push((format!("{}, named", tables.name), named));
        documents.push((format!("{}, every", tables.name), every));
    }
    let one = document(&["--situation", "cord-stuck", "--goal", "secured"]).0;
    documents.push(("one way".to_owned(), one));
    let schema = fs::read_to_string(root().join("schema/plan.schema.json")).unwrap();
    let schema = serde_json::from_str(&schema).unwrap();
    let checks = outside::assert_all_valid(&schema, &documents);
    tell(&format!(
        "plan: {} documents of demo vehicles, {checks} validations, none refused",
        documents.len()
    ));
}

#[test]
fn no_line_is_wider_than_a_hundred_and_twenty_columns() {
    let mut lines = 0;
    let ways = GOALS.map(|goal| plan(&["--situation", "cord-stuck", "--goal", goal]));
    let tables = TABLES.iter().flat_map(|tables| &tables.texts);
    for ran in tables.chain(&ways) {
        for line in ran.stdout.lines() {
            assert!(line.chars().count() <= COLUMNS, "{line}");
            assert_eq!(line, line.trim_end(), "blanks behind a line");
            lines += 1;
        }
    }
    assert!(lines > 1000, "only {lines} lines");
}

#[test]
fn a_table_ends_with_1_only_when_no_cell_has_a_way() {
    for tables in TABLES.iter() {
        for (ran, text) in tables.documents.iter().zip([0, 2]) {
            let document = ran.json();
            let way = cells(&document).iter().any(|cell| cell["answer"] == "way");
            ran.expect(i32::from(!way));
            tables.texts[text].expect(i32::from(!way));
        }
    }
    for tables in TABLES.iter().filter(|t| !t.name.contains("-draft")) {
        tables.documents[0].expect(0);
    }
}

#[test]
fn a_profile_whose_procedures_have_no_steps_has_no_way_and_says_so() {
    let mut value = chockstone_schema::read::to_value(&demo::read(&pickup()));
    for procedure in value["procedures"].as_array_mut().unwrap() {
        procedure["steps"] = json!([]);
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bare.profile.json");
    fs::write(&path, value.to_string()).unwrap();
    let table = plan_of(&path, &["--goal", "awake", "--every"]);
    table.expect(1);
    assert!(table.stdout.contains("no way (1)"), "{}", table.stdout);
    let one = plan_of(&path, &["--goal", "awake"]);
    one.expect(1);
    let because = "because: Nothing in this profile brings about: Awake.";
    assert!(one.stdout.contains(because), "{}", one.stdout);
}

#[test]
fn every_cell_of_the_table_is_told_in_words() {
    for tables in TABLES.iter() {
        let document = tables.documents[0].json();
        let text = &tables.texts[0].stdout;
        for (answer, words) in [
            ("holds", "holds"),
            ("way", " min"),
            ("way_if", "if: "),
            ("no_way", "no way ("),
        ] {
            let told = cells(&document).iter().any(|cell| cell["answer"] == answer);
            let grid = text.split("In the table").next().unwrap();
            assert_eq!(grid.contains(words), told, "{}: {answer}", tables.name);
        }
        for cell in cells(&document) {
            if cell["answer"] == "no_way" {
                let reasons = words(cell, "reasons");
                assert!(!reasons.is_empty(), "{}: {cell}", tables.name);
            }
            for debt in list(&cell["way"], "debts") {
                assert!(text.contains("Still owed"), "{}: {debt}", tables.name);
            }
        }
    }
}

#[test]
fn the_caution_stands_under_everything_and_in_spanish_where_spanish_is_read() {
    let [english, spanish] = chockstone_schema::CAUTIONS.map(plain);
    for tables in TABLES.iter() {
        for (i, ran) in tables.texts.iter().enumerate() {
            let text = plain(&ran.stdout);
            assert!(text.contains(&english), "{}", ran.stdout);
            assert_eq!(text.contains(&spanish), i == 1 || i == 3, "{}", ran.stdout);
        }
    }
}

/// A text as one line, since the program breaks its lines where they end.
fn plain(text: impl AsRef<str>) -> String {
    let words: Vec<&str> = text.as_ref().split_whitespace().collect();
    words.join(" ")
}

#[test]
fn texts_of_the_profile_come_in_the_language_wanted() {
    let way = |language: &str| {
        let options = [
            "--situation",
            "low-voltage-flat",
            "--goal",
            "awake",
            "--language",
            language,
        ];
        let ran = plan(&options);
        plain(&ran.expect(0).stdout)
    };
    let (english, spanish, mexican) = (way("en"), way("es"), way("es-MX"));
    assert!(english.contains("1st clamp, red: positive post of this vehicle."));
    assert!(spanish.contains("1.ª pinza, roja: borne positivo de este vehículo."));
    assert!(!spanish.contains("1st clamp") && !english.contains("pinza"));
    assert_eq!(mexican, spanish);
    assert!(spanish.contains("Baja tensión agotada") && spanish.contains("Despierto"));
    let table = plain(&TABLES[0].texts[1].stdout);
    assert!(table.contains("Cable de carga"), "{table}");
}

#[test]
fn a_way_tells_hazards_before_the_step_and_times_and_what_holds_after_it() {
    let options = ["--situation", "low-voltage-flat", "--goal", "awake"];
    let ran = plan(&options);
    let text = &ran.expect(0).stdout;
    for words in [
        "Start: Low voltage flat",
        "Goal: Awake",
        "Answer: there is a way",
        "hazard messages on the way: ",
        "Part 1: ",
        "   1. ",
        "time: from minute 0; takes ",
        "tools: ",
        "at: ",
        "now holds: ",
        "Holds at the end",
    ] {
        assert!(text.contains(words), "{words} is missing:\n{text}");
    }
    let (document, _) = document(&options);
    let cell = only(&document);
    assert_steps_in_order(text, &cell["way"]);
}

#[test]
fn time_limits_stand_with_their_verdict_and_debts_with_what_settles_them() {
    let options = ["--situation", "low-voltage-flat", "--goal", "in-neutral"];
    let text = plain(&plan(&options).expect(0).stdout);
    let (document, _) = document(&options);
    let way = &only(&document)["way"];
    let minutes = |seconds: &Value| {
        let text = format!("{:.1}", seconds.as_f64().unwrap() / 60.0);
        text.trim_end_matches(".0").to_owned()
    };
    let holds = list(way, "holds");
    let neutral = holds.iter().find(|hold| hold["condition"] == "in-neutral");
    let neutral = neutral.expect("neutral holds for a time only");
    assert_eq!(neutral["verdict"], "within", "{neutral}");
    let line = format!(
        "In neutral: from minute {} to {}, needed until {}: within",
        minutes(&neutral["from"]),
        minutes(&neutral["until"]),
        minutes(&neutral["needed_until"])
    );
    assert!(text.contains(&line), "{line} is missing: {text}");
    let profile = demo::read(&pickup());
    let english = chockstone_schema::text::Language::new("en").unwrap();
    let owed = text.split("Still owed at the end").nth(1);
    let debts = list(way, "debts");
    assert_eq!(owed.is_some(), !debts.is_empty(), "{text}");
    for id in debts {
        let debt = profile.debts.iter().find(|d| d.id.as_str() == id).unwrap();
        let name = debt.name.get(&english).unwrap().trim_end_matches('.');
        assert!(owed.unwrap().contains(name), "{name}: {text}");
    }
}

#[test]
fn where_there_is_no_way_the_vehicle_may_be_moved_with_its_wheels_off_the_ground() {
    let options = ["--situation", "after-crash", "--goal", "in-neutral"];
    let text = plan(&options).expect(1).stdout.clone();
    let (document, _) = document(&options);
    let cell = only(&document);
    let instead = text
        .split("Instead: move it with its wheels off the ground")
        .nth(1);
    let instead = instead.expect("there is a fallback");
    assert!(cell["fallback"]["way"].is_object(), "{cell}");
    for fact in list(&cell["fallback"], "missing") {
        let needed = format!("needed: {}", fact["text"]["en"].as_str().unwrap());
        assert!(instead.contains(&needed), "{needed}: {instead}");
    }
    for reason in list(cell, "reasons") {
        let because = format!("because: {}", reason.as_str().unwrap());
        assert!(plain(&text).contains(&plain(&because)), "{because}: {text}");
    }
}

/// Each step of a way stands in the text under its number, after its hazard messages and cautions.
fn assert_steps_in_order(text: &str, way: &Value) {
    let profile = demo::read(&pickup());
    let text = plain(text);
    let mut at = text.find("Part 1: ").unwrap();
    let mut next = |words: &str| {
        let words = plain(words);
        let found = text[at..].find(&words);
        at += found.unwrap_or_else(|| panic!("{words} does not come next:\n{}", &text[at..]));
    };
    let mut number = 0;
    for part in list(way, "parts") {
        next(part["name"]["en"].as_str().unwrap());
        for step in list(part, "steps") {
            for id in list(step, "hazards") {
                let hazard = profile.hazards.iter().find(|h| h.id.as_str() == id);
                let english = chockstone_schema::text::Language::new("en").unwrap();
                next(hazard.unwrap().hazard.get(&english).unwrap());
            }
            for caution in list(step, "cautions") {
                next(&format!("beware: {}", caution["en"].as_str().unwrap()));
            }
            number += 1;
            next(&format!(
                "{number}. {}",
                step["text"]["en"].as_str().unwrap()
            ));
        }
    }
    assert!(number > 5, "only {number} steps");
}

#[test]
fn one_goal_from_one_start_ends_with_the_answer() {
    let from = |options: &[&str], answers: &[&str], status: i32| {
        let (document, ended) = document(options);
        let answer = only(&document)["answer"].as_str().unwrap().to_owned();
        assert!(answers.contains(&answer.as_str()), "{options:?}: {answer}");
        assert_eq!(ended, status, "{options:?}");
    };
    from(&["--goal", "cord-free"], &["holds"], 0);
    from(
        &["--situation", "parked", "--goal", "in-neutral"],
        &["way"],
        0,
    );
    from(
        &["--situation", "on-the-deck", "--goal", "secured"],
        &["holds"],
        0,
    );
    // Nothing wakes a vehicle whose low voltage is flat without a donor.
    let flat = [
        "--situation",
        "low-voltage-flat",
        "--without",
        "donor-at-hand",
    ];
    let awake = [flat.as_slice(), &["--goal", "awake"]].concat();
    from(&awake, &["way_if", "no_way"], 1);
    from(
        &["--situation", "smoke-or-heat", "--goal", "loaded"],
        &["way_if", "no_way"],
        1,
    );
}

#[test]
fn a_missing_fact_is_named_in_words() {
    let options = ["--without", "winch-at-hand", "--goal", "loaded"];
    let (document, status) = document(&options);
    let cell = only(&document);
    assert_eq!((status, &cell["answer"]), (1, &json!("way_if")), "{cell}");
    assert_eq!(cell["missing"][0]["condition"], "winch-at-hand", "{cell}");
    let text = plan(&options).stdout;
    let needed = format!(
        "needed: {}",
        cell["missing"][0]["text"]["en"].as_str().unwrap()
    );
    assert!(text.contains(&needed), "{text}");
    assert!(text.contains("to be brought about from outside"), "{text}");
}

#[test]
fn smoke_comes_before_anything_else() {
    let options = ["--situation", "smoke-or-heat", "--goal", "opened"];
    let text = plan(&options).stdout;
    assert!(text.contains("Before anything else"), "{text}");
    let table = &TABLES[0].texts[0].stdout;
    assert!(table.contains("! Smoke or heat"), "{table}");
}

#[test]
fn conditions_are_given_and_taken_away() {
    let start = |options: &[&str]| {
        let (document, _) = document(options);
        document["rows"][0].clone()
    };
    let usual = start(&["--goal", "opened"]);
    assert_eq!(usual["situation"], "parked");
    let row = start(&[
        "--given",
        "on-slope, cord-attached",
        "--given=doors-open",
        "--without",
        "key-present,winch-at-hand",
    ]);
    let mut expected = words(&usual, "given");
    expected.extend(["on-slope", "cord-attached", "doors-open"]);
    expected.retain(|id| !["key-present", "winch-at-hand"].contains(id));
    assert_eq!(words(&row, "given"), expected);
    assert_eq!(list(&row, "cells").len(), 7);
    assert!(row["situation"].is_null(), "{row}");
    // What makes a start the same as a named one makes it that one.
    let flat = start(&["--without", "low-voltage-alive"]);
    assert_eq!(flat["situation"], "low-voltage-flat");
    let same = start(&["--situation", "no-key", "--given", "key-present"]);
    assert_eq!(same["situation"], "parked");
}

#[test]
fn a_condition_of_the_profiles_own_may_be_given() {
    let profile = demo::read(&pickup());
    let own = profile.conditions.iter().find(|c| c.depends_on.is_empty());
    let own = own.expect("the pickup defines conditions").id.as_str();
    let (document, _) = document(&["--given", own, "--goal", "opened"]);
    assert!(words(&document["rows"][0], "given").contains(own));
}

#[test]
fn choices_reach_the_report_in_seconds_and_change_the_way() {
    let (usual, _) = document(&["--goal", "loaded"]);
    let (slow, _) = document(&[
        "--goal",
        "loaded",
        "--load-up",
        "45 min",
        "--fetch-key",
        "0.5 h",
    ]);
    assert_eq!(
        slow["choices"],
        json!({"least": "time", "load_up": 2700.0, "fetch_key": 1800.0})
    );
    assert_eq!(usual["choices"], json!({"least": "time"}));
    let seconds = |document: &Value| only(document)["way"]["seconds"].as_f64().unwrap();
    assert!(
        seconds(&slow) > seconds(&usual) + 600.0,
        "{} and {}",
        seconds(&slow),
        seconds(&usual)
    );
    let key = [
        "--situation",
        "no-key",
        "--given",
        "key-within-reach",
        "--goal",
        "awake",
    ];
    let (usual, _) = document(&key);
    let (slow, _) = document(&[key.as_slice(), &["--fetch-key", "40 min"]].concat());
    // 40 minutes in place of the usual 15.
    assert!((seconds(&slow) - seconds(&usual) - 1500.0).abs() < 1e-9);
}

#[test]
fn the_least_hazardous_way_meets_no_worse_messages_than_the_quickest() {
    let quick = plan(&["--every", "--json"]).json();
    let safe = plan(&["--every", "--least", "hazard", "--json"]).json();
    assert_eq!(safe["choices"]["least"], "hazard");
    let mut compared = 0;
    for (quick, safe) in cells(&quick).into_iter().zip(cells(&safe)) {
        assert_eq!(quick["answer"], safe["answer"]);
        if quick["answer"] != "way" {
            continue;
        }
        let messages = |cell: &Value| {
            let count = |word: &str| cell["way"]["hazards"][word].as_u64().unwrap();
            ["danger", "warning", "caution"].map(count)
        };
        let seconds = |cell: &Value| cell["way"]["seconds"].as_f64().unwrap();
        assert!(messages(safe) <= messages(quick), "{safe}\n{quick}");
        assert!(seconds(safe) >= seconds(quick), "{safe}\n{quick}");
        compared += 1;
    }
    assert!(compared > 50, "only {compared} ways were compared");
}

#[test]
fn a_variant_reaches_the_report() {
    let (document, _) = document(&["--variant", "extended", "--goal", "opened"]);
    assert_eq!(document["variant"], "extended");
    let text = plan(&["--variant", "extended", "--goal", "opened"]).stdout;
    assert!(text.contains("variant extended"), "{text}");
}

#[test]
fn what_is_for_some_variants_only_says_so() {
    let mut all = demo::complete().into_iter();
    let van = all.find(|path| demo::name(path).contains("gantwell"));
    let van = van.expect("the demo library has the van");
    let options = ["--situation", "low-voltage-flat", "--goal", "in-neutral"];
    let whole = plan_of(&van, &options);
    assert!(
        whole.stdout.contains("No variant was chosen"),
        "{}",
        whole.stdout
    );
    let document = plan_of(&van, &[options.as_slice(), &["--json"]].concat()).json();
    let profile = demo::read(&van);
    let parts = list(&only(&document)["way"], "parts");
    for part in parts.iter().filter(|part| part["kind"] == "procedure") {
        let mut all = profile.procedures.iter();
        let procedure = all.find(|p| p.id.as_str() == part["id"]).unwrap();
        for variant in &procedure.variants {
            let mark = format!("ONLY FOR: variant {}", variant.as_str());
            assert!(whole.stdout.contains(&mark), "{}", whole.stdout);
        }
    }
    for variant in &profile.variants {
        let options = [options.as_slice(), &["--variant", variant.id.as_str()]].concat();
        let one = plan_of(&van, &options).stdout;
        assert!(!one.contains("No variant was chosen"), "{one}");
    }
}

#[test]
fn a_starting_text_that_nobody_confirmed_is_marked() {
    let mut value = chockstone_schema::read::to_value(&demo::read(&pickup()));
    for procedure in value["procedures"].as_array_mut().unwrap() {
        procedure["to_confirm"] = json!(true);
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("starting.profile.json");
    fs::write(&path, value.to_string()).unwrap();
    let options = ["--situation", "low-voltage-flat", "--goal", "awake"];
    let marked = plan_of(&path, &options);
    marked.expect(0);
    assert!(
        marked.stdout.contains("NOT CONFIRMED: "),
        "{}",
        marked.stdout
    );
    assert!(!plan(&options).stdout.contains("NOT CONFIRMED: "));
}

#[test]
fn a_procedure_in_the_wrong_order_is_left_out_and_told() {
    let draft = plan_of(&demo::draft(), &[]);
    assert!(
        draft.stdout.contains("Procedures that no way uses"),
        "{}",
        draft.stdout
    );
    assert!(
        !TABLES[0].texts[0]
            .stdout
            .contains("Procedures that no way uses")
    );
}

#[test]
fn what_is_not_known_is_refused_with_the_nearest_and_all_that_is() {
    refused(
        &["--goal", "in-neutrla"],
        &[
            "--goal",
            "did you mean \"in-neutral\"?",
            "returned-to-service",
        ],
    );
    refused(
        &["--goal", "bananas"],
        &["there is opened, awake, cord-free"],
    );
    refused(
        &["--situation", "flat"],
        &[
            "--situation",
            "did you mean \"low-voltage-flat\"?",
            "on-the-deck",
        ],
    );
    refused(
        &["--variant", "extendd"],
        &["did you mean \"extended\"?", "extended-work"],
    );
    refused(&["--language", "fr"], &["\"fr\"", "en, es"]);
    refused(&["--language", "Spanish"], &["not a language tag"]);
    for option in ["--given", "--without"] {
        refused(
            &[option, "key_present"],
            &[option, "did you mean \"key-present\"?"],
        );
        let all: Vec<&str> = BUILT_IN.iter().map(|condition| condition.id).collect();
        refused(&[option, "no-such-thing"], &all);
        refused(&[option, "key-present,"], &["no condition \"\""]);
    }
}

#[test]
fn a_start_that_cannot_be_is_refused() {
    refused(
        &["--given", "on-slope", "--without", "on-slope"],
        &["on-slope", "it holds or it does not"],
    );
    refused(&["--given", "in-neutral"], &["in-park", "cannot both hold"]);
    refused(
        &["--situation", "cord-stuck", "--without", "cord-attached"],
        &["cord-stuck cannot hold without cord-attached"],
    );
}

#[test]
fn numbers_and_options_that_do_not_fit_are_refused() {
    refused(&["--load-up", "12"], &["with its unit (s, min, h, d)"]);
    refused(&["--load-up=-3 min"], &["negative"]);
    refused(&["--fetch-key", "3 km"], &["a time is wanted"]);
    refused(&["--least", "effort"], &["time", "hazard"]);
    for option in [
        ["--situation", "parked"],
        ["--given", "on-slope"],
        ["--without", "in-park"],
    ] {
        refused(&["--every", option[0], option[1]], &["cannot be used with"]);
    }
    run(["plan"]).expect(2);
    let missing = plan_of(Path::new("missing.profile.ron"), &[]);
    missing.expect(2);
    assert!(missing.stderr.contains("missing.profile.ron"));
}

#[test]
fn the_help_names_every_goal_and_the_cautions() {
    let help = run(["plan", "--help"]);
    assert!(plain(&help.stdout).contains("Trained people only"));
    for goal in GOALS {
        assert!(help.expect(0).stdout.contains(goal), "{goal}");
    }
}

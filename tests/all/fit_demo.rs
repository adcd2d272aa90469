//! `chockstone fit` on each demo vehicle with each piece of equipment, for people and for programs.

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    sync::LazyLock,
};

use chockstone_schema::{
    Equipment,
    read::{read_file, to_value},
};
use chockstone_tests::{demo, outside, program, root, tell};
use rayon::prelude::*;
use serde_json::Value;

/// One run of the command.
struct Fitted {
    name: String,
    status: i32,
    text: String,
    document: Value,
}

fn fit(profile: &Path, with: &[PathBuf]) -> Fitted {
    let run = |json: bool| {
        let mut call = vec!["fit".as_ref(), profile.as_os_str()];
        if !with.is_empty() {
            call.push("--with".as_ref());
            call.extend(with.iter().map(|path| path.as_os_str()));
        }
        if json {
            call.push("--json".as_ref());
        }
        program::run(call)
    };
    let (text, json) = (run(false), run(true));
    let names: Vec<String> = with.iter().map(|path| demo::name(path)).collect();
    let name = format!("{} with {}", demo::name(profile), names.join(", "));
    assert_eq!(text.status, json.status, "{name}: {}", json.both());
    json.expect(json.status);
    Fitted {
        document: json.json(),
        text: text.expect(json.status).stdout.clone(),
        status: json.status,
        name,
    }
}

/// Every profile, the draft too, with each piece of equipment and with all of it.
static FITTED: LazyLock<Vec<Fitted>> = LazyLock::new(|| {
    let mut calls = Vec::new();
    for profile in profiles() {
        let pieces = demo::equipment().into_iter().map(|piece| vec![piece]);
        for with in pieces.chain([vec![demo::library().join("equipment")]]) {
            calls.push((profile.clone(), with));
        }
    }
    calls
        .par_iter()
        .map(|(profile, with)| fit(profile, with))
        .collect()
});

/// Every profile by itself.
static GENERAL: LazyLock<Vec<Fitted>> =
    LazyLock::new(|| profiles().iter().map(|profile| fit(profile, &[])).collect());

fn profiles() -> Vec<PathBuf> {
    demo::complete()
        .into_iter()
        .chain([demo::draft()])
        .collect()
}

fn schema(name: &str) -> Value {
    serde_json::from_str(&fs::read_to_string(root().join("schema").join(name)).unwrap()).unwrap()
}

fn list<'v>(value: &'v Value, key: &str) -> &'v [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

/// Every row of a document, with the place where it stands.
fn rows<'v>(value: &'v Value, place: &str, found: &mut Vec<(String, &'v Value)>) {
    match value {
        Value::Object(object) => {
            if object.contains_key("label")
                && object.contains_key("name")
                && !object.contains_key("at_from")
            {
                found.push((place.to_owned(), value));
            }
            for (key, inner) in object {
                rows(inner, &format!("{place}/{key}"), found);
            }
        }
        Value::Array(items) => {
            for (i, inner) in items.iter().enumerate() {
                rows(inner, &format!("{place}/{i}"), found);
            }
        }
        _ => {}
    }
}

/// Calls for every row of every document.
fn each_row(mut look: impl FnMut(&str, &Value)) -> usize {
    let mut count = 0;
    for fitted in FITTED.iter().chain(GENERAL.iter()) {
        let mut found = Vec::new();
        rows(&fitted.document, "", &mut found);
        count += found.len();
        for (place, row) in found {
            look(&format!("{} {place}", fitted.name), row);
        }
    }
    count
}

#[test]
fn every_document_is_valid_against_its_schema() {
    let documents = |fitted: &[Fitted]| -> Vec<(String, Value)> {
        let all = fitted.iter();
        all.map(|f| (f.name.clone(), f.document.clone())).collect()
    };
    let checks = outside::assert_all_valid(&schema("fit.schema.json"), &documents(&FITTED))
        + outside::assert_all_valid(&schema("results.schema.json"), &documents(&GENERAL));
    tell(&format!(
        "fit: {} documents of demo vehicles with demo equipment, {checks} validations, none refused",
        FITTED.len() + GENERAL.len()
    ));
}

#[test]
fn the_exit_status_is_1_when_a_verdict_is_beyond_and_0_otherwise() {
    for fitted in FITTED.iter() {
        let beyond = list(&fitted.document, "reports")
            .iter()
            .any(|report| report["verdict"] == "beyond");
        assert_eq!(fitted.status, i32::from(beyond), "{}", fitted.name);
    }
    assert!(FITTED.iter().any(|f| f.status == 0) && FITTED.iter().any(|f| f.status == 1));
}

#[test]
fn the_answer_of_the_whole_is_that_of_its_worst_topic() {
    let order = ["within", "too_close_to_call", "not_known", "beyond"];
    let rank = |verdict: &Value| order.iter().position(|word| verdict == word).unwrap();
    for fitted in FITTED.iter() {
        for report in list(&fitted.document, "reports") {
            let topics = list(report, "topics").iter().map(|t| rank(&t["verdict"]));
            assert_eq!(
                rank(&report["verdict"]),
                topics.max().unwrap_or(0),
                "{}: {}",
                fitted.name,
                report["topics"]
            );
        }
    }
}

#[test]
fn all_equipment_together_answers_every_topic() {
    for fitted in FITTED.iter().filter(|f| f.name.ends_with("equipment")) {
        for report in list(&fitted.document, "reports") {
            let topics: Vec<&str> = list(report, "topics")
                .iter()
                .map(|t| t["topic"].as_str().unwrap())
                .collect();
            for topic in [
                "lifting",
                "carrying",
                "towing",
                "winching",
                "securing",
                "clearing",
                "protection",
            ] {
                assert!(topics.contains(&topic), "{}: {topics:?}", fitted.name);
            }
        }
    }
}

#[test]
fn a_verdict_has_its_figure_and_limit_or_says_what_is_missing() {
    let rows = each_row(|place, row| {
        let missing = list(row, "not_known");
        for sentence in missing {
            let sentence = sentence.as_str().unwrap();
            assert!(
                sentence.len() > 10 && sentence.ends_with('.'),
                "{place}: {sentence}"
            );
        }
        match row["verdict"].as_str() {
            Some("not_known") => assert!(!missing.is_empty(), "{place}: {row}"),
            _ => assert!(
                row["figure"].is_object() || !missing.is_empty(),
                "{place}: {row}"
            ),
        }
    });
    assert!(rows > 2000, "only {rows} rows");
    tell(&format!(
        "fit: {rows} rows, each with a figure or what is missing"
    ));
}

#[test]
fn every_figure_tells_formula_source_and_inputs_that_can_be() {
    each_row(|place, row| {
        let Some(figure) = row["figure"].as_object() else {
            return;
        };
        for key in ["formula", "reference"] {
            assert!(
                figure[key].as_str().is_some_and(|t| !t.is_empty()),
                "{place}: {row}"
            );
        }
        let units = ["kg", "m", "N", "rad", "m/s", "V", "1", ""];
        let unit = figure["unit"].as_str().unwrap();
        assert!(units.contains(&unit), "{place}: {row}");
        let number = |key: &str| figure.get(key).and_then(Value::as_f64);
        assert!(
            number("plus_minus").is_none_or(|pm| pm > 0.0),
            "{place}: {row}"
        );
        if let Some((low, high)) = number("low").zip(number("high")) {
            assert!(low <= high, "{place}: {row}");
        }
        let parts: f64 = list(&row["figure"], "inputs")
            .iter()
            .filter_map(|input| input["part"].as_f64())
            .sum();
        // The parts are of the variance; correlated inputs of one scale may count against each other.
        assert!(parts < 1.5, "{place}: parts come to {parts}: {row}");
    });
}

/// Places as figures name them lead into the profile or into the equipment named.
#[test]
fn the_inputs_of_every_figure_lead_into_a_file() {
    let mut files: BTreeMap<String, Value> = BTreeMap::new();
    for path in demo::equipment() {
        let equipment: Equipment = read_file(&path).unwrap();
        files.insert(equipment.id.to_string(), to_value(&equipment));
    }
    let profiles: BTreeMap<String, Value> = profiles()
        .iter()
        .map(|path| (demo::name(path), to_value(&demo::read(path))))
        .collect();
    let mut led = 0;
    each_row(|place, row| {
        for input in list(&row["figure"], "inputs") {
            let words = input["input"].as_str().unwrap();
            let (file, pointer) = match words.split_once('#') {
                Some((id, pointer)) => (&files[id], pointer),
                None if words.starts_with('/') => {
                    (&profiles[place.split(' ').next().unwrap()], words)
                }
                None => continue,
            };
            let pointer = pointer.split(' ').next().unwrap();
            assert!(
                file.pointer(pointer).is_some(),
                "{place}: {words} leads nowhere"
            );
            led += 1;
        }
    });
    assert!(led > 5000, "only {led} inputs lead into files");
}

#[test]
fn the_text_tells_the_verdicts_and_answers_and_the_caution() {
    for fitted in FITTED.iter() {
        let text = &fitted.text;
        assert!(!text.contains("NaN") && !text.contains("inf "), "{text}");
        assert!(text.contains("Trained people only"), "{text}");
        for report in list(&fitted.document, "reports") {
            for topic in list(report, "topics") {
                let answer = topic["answer"].as_str().unwrap();
                assert!(
                    answer.len() > 10 && text.contains(answer),
                    "{}: {answer}",
                    fitted.name
                );
            }
            if let Some(variant) = report["variant"].as_str() {
                assert!(text.contains(&format!("variant {variant}")), "{text}");
            }
        }
    }
}

#[test]
fn findings_of_a_fit_say_what_settles_them_and_block_when_beyond() {
    for fitted in FITTED.iter() {
        for report in list(&fitted.document, "reports") {
            for finding in list(report, "findings") {
                for key in ["check", "message", "settle"] {
                    assert!(!finding[key].as_str().unwrap().is_empty(), "{finding}");
                }
            }
            let blocking = list(report, "findings")
                .iter()
                .any(|f| f["severity"] == "blocking");
            assert!(
                blocking || report["verdict"] != "beyond",
                "{}: beyond without a finding that says so",
                fitted.name
            );
        }
    }
}

#[test]
fn without_equipment_the_profile_alone_is_computed() {
    for fitted in GENERAL.iter() {
        let variants = list(&fitted.document, "variants");
        assert!(!variants.is_empty(), "{}", fitted.name);
        for variant in variants {
            assert_eq!(list(variant, "methods").len(), 9, "{}", fitted.name);
            let answer = variant["carrier"]["answer"].as_str().unwrap();
            assert!(
                answer.len() > 10 && fitted.text.contains(answer),
                "{answer}"
            );
        }
    }
}

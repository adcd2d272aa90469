//! The table of rules is walked: names, cases, places, severities.

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use std::collections::BTreeSet;

use chockstone_schema::{
    read,
    report::{Finding, Severity, Trust},
};
use serde_json::Value;

use super::{CASES, Rule, Subject, all};
use crate::testing::{Case, TODAY, sound_equipment, sound_profile};

fn cases() -> impl Iterator<Item = &'static Case> {
    CASES.iter().copied().flatten()
}

fn rule(name: &str) -> &'static Rule {
    all()
        .find(|r| r.name == name)
        .unwrap_or_else(|| panic!("no rule is called {name}"))
}

/// A place exists, or is the parent of what is missing.
fn exists(value: &Value, place: &str) -> bool {
    value.pointer(place).is_some()
}

#[test]
fn names_are_unique_and_well_formed() {
    let mut names = BTreeSet::new();
    for rule in all() {
        assert!(names.insert(rule.name), "{} stands twice", rule.name);
        let good = rule
            .name
            .bytes()
            .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
        assert!(good, "{}", rule.name);
        assert!(
            rule.looks_for.ends_with('.') && !rule.reference.0.is_empty(),
            "{}",
            rule.name
        );
    }
}

#[test]
fn nothing_from_memory_blocks() {
    for rule in all() {
        assert!(
            rule.severity != Severity::Blocking || rule.reference.1 != Trust::Memory,
            "{} blocks and rests on memory",
            rule.name
        );
    }
}

#[test]
fn the_sound_profile_has_no_finding_that_blocks_or_warns() {
    let bad: Vec<Finding> = crate::check_profile(&sound_profile())
        .into_iter()
        .filter(|f| f.severity != Severity::Note)
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn the_sound_equipment_has_no_finding_that_blocks_or_warns() {
    let today = chockstone_schema::date::Date::new(TODAY).unwrap();
    let found = crate::check_equipment_on(&sound_equipment(), Some(today));
    let bad: Vec<Finding> = found
        .into_iter()
        .filter(|f| f.severity != Severity::Note)
        .collect();
    assert!(bad.is_empty(), "{bad:#?}");
}

#[test]
fn every_rule_has_a_case_that_fails_and_one_that_passes() {
    let of = |fails: bool| -> BTreeSet<&str> {
        cases()
            .filter(|c| c.place.is_some() == fails)
            .map(|c| c.rule)
            .collect()
    };
    let (failing, passing) = (of(true), of(false));
    let missing: Vec<&str> = all()
        .map(|r| r.name)
        .filter(|n| !failing.contains(n) || !passing.contains(n))
        .collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_case_comes_out_as_its_row_says() {
    let mut wrong = Vec::new();
    for case in cases() {
        let rule = rule(case.rule);
        let (value, findings) = case.findings(matches!(rule.subject, Subject::Profile(_)));
        let own: Vec<&Finding> = findings.iter().filter(|f| f.check == case.rule).collect();
        let good = match case.place {
            None => own.is_empty(),
            Some(place) => own
                .iter()
                .any(|f| f.place == place && f.severity == case.severity.unwrap_or(rule.severity)),
        };
        if !good {
            let seen: Vec<_> = own
                .iter()
                .map(|f| (f.severity, f.place.as_str(), f.message.as_str()))
                .collect();
            wrong.push(format!(
                "{} with {}: wanted {:?}, found {seen:?}",
                case.rule, case.with, case.place
            ));
        }
        wrong.extend(misplaced(case, &value, &findings));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Findings whose place does not exist in the document, or that lack words.
fn misplaced(case: &Case, value: &Value, findings: &[Finding]) -> Vec<String> {
    let bad = findings.iter().filter(|f| {
        !exists(value, &f.place) || !f.message.ends_with(['.', '?']) || f.settle.is_empty()
    });
    bad.map(|f| {
        format!(
            "{} with {}: {} at {:?}: {}",
            case.rule, case.with, f.check, f.place, f.message
        )
    })
    .collect()
}

#[test]
fn findings_come_worst_first_then_by_place_and_always_the_same() {
    for case in cases().filter(|c| matches!(rule(c.rule).subject, Subject::Profile(_))) {
        let (_, findings) = case.findings(true);
        assert!(findings.is_sorted_by_key(|f| f.severity), "{}", case.with);
        assert_eq!(findings, case.findings(true).1, "{}", case.with);
    }
}

#[test]
fn the_sound_documents_survive_a_round_trip() {
    let profile = sound_profile();
    assert_eq!(
        read::from_value::<chockstone_schema::Profile>(&read::to_value(&profile)).unwrap(),
        profile
    );
}

//! Vehicle identification numbers, held against the PyPI package `vininfo`.

use chockstone_schema::vin::{CheckDigit, Vin};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::json;

/// What may stand in a number.
const CHARACTERS: &[u8] = b"0123456789ABCDEFGHJKLMNPRSTUVWXYZ";

/// What may stand in the ninth place, and a letter that may not.
const CHECK_DIGITS: &[u8] = b"0123456789XA";

/// Numbers at random, each with every check digit.
fn numbers() -> Vec<String> {
    let mut random = Random::new(565);
    let mut numbers = Vec::new();
    for _ in 0..500 {
        let mut number: Vec<u8> = (0..17).map(|_| *random.pick(CHARACTERS)).collect();
        for digit in CHECK_DIGITS {
            number[8] = *digit;
            numbers.push(String::from_utf8(number.clone()).unwrap());
        }
    }
    numbers
}

#[test]
fn check_digits_and_model_years_are_those_of_an_independent_package() {
    let Some(script) = outside::python("vin_vininfo.py") else {
        return;
    };
    let numbers = numbers();
    let answer = script.ask(&json!({"numbers": numbers}));
    let until = answer["until"].as_u64().unwrap();
    let mut judged = 0;
    for (number, result) in numbers.iter().zip(answer["results"].as_array().unwrap()) {
        if result["judges"] == false {
            continue;
        }
        judged += 1;
        let vin = Vin::new(number).unwrap();
        let is_right = vin.check_digit() == CheckDigit::Right;
        assert_eq!(
            result["right"],
            is_right,
            "{number}: {:?}",
            vin.check_digit()
        );
        let mut years = vin.model_years(false);
        years.retain(|year| u64::from(*year) <= until);
        years.reverse();
        assert_eq!(result["years"], json!(years), "{number}");
    }
    assert!(judged > numbers.len() / 2, "{judged}");
    tell(&format!(
        "association: {judged} vehicle identification numbers are judged as by vininfo"
    ));
}

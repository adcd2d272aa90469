//! `chockstone mass --json` of the demo profiles against figures computed again from their JSON by a script that shares
//! nothing with the program (`tests/reference/profile_mass.py`).

use chockstone_schema::read::to_value;
use chockstone_tests::{demo, outside, program, tell};
use serde_json::{Value, json};

/// Compares one figure; both sides must know it or neither, and give the same half-width.
#[track_caller]
fn compare(what: &str, ours: &Value, theirs: &Value) -> usize {
    let Some(pair) = theirs.as_array() else {
        assert!(
            ours.is_null(),
            "{what}: {ours}, the reference does not know it"
        );
        return 0;
    };
    let (value, half_width) = (pair[0].as_f64().unwrap(), pair[1].as_f64().unwrap());
    let our_value = ours["value"]
        .as_f64()
        .unwrap_or_else(|| panic!("{what}: not known; the reference says {theirs}"));
    // An absent half-width says that no input has a doubt.
    let our_half_width = ours["plus_minus"].as_f64().unwrap_or(0.0);
    let scale = value.abs().max(half_width);
    assert!(
        (our_value - value).abs() <= 1e-9 * scale,
        "{what}: {our_value}, the reference says {value}"
    );
    let off = (our_half_width - half_width).abs();
    assert!(
        off <= 1e-6 * half_width + 1e-9,
        "{what}: ± {our_half_width}, the reference says ± {half_width}"
    );
    2
}

fn compare_result(name: &str, ours: &Value, theirs: &Value) -> usize {
    assert_eq!(ours["variant"], theirs["variant"], "{name}");
    let name = format!("{name}, variant {}", ours["variant"]);
    let mut compared = 0;
    for key in ["mass", "centre_x", "centre_y", "centre_z"] {
        compared += compare(&format!("{name}, {key}"), &ours[key], &theirs[key]);
    }
    let none = Vec::new();
    let our_axles = ours["axles"].as_array().unwrap_or(&none);
    let their_axles = theirs["axles"].as_array().unwrap();
    assert_eq!(
        our_axles.len(),
        their_axles.len(),
        "{name}: {our_axles:?}, the reference says {their_axles:?}"
    );
    for (ours, theirs) in our_axles.iter().zip(their_axles) {
        assert_eq!(ours["axle"], theirs[0], "{name}");
        compared += compare(
            &format!("{name}, load on {}", theirs[0]),
            &ours["load"],
            &theirs[1],
        );
        compared += compare(
            &format!("{name}, part on {}", theirs[0]),
            &ours["part"],
            &theirs[2],
        );
    }
    compared
}

#[test]
fn the_mass_of_every_demo_profile_is_found_again_by_another_program() {
    let Some(script) = outside::python("profile_mass.py") else {
        return;
    };
    let mut paths = demo::complete();
    paths.push(demo::draft());
    let profiles: Vec<Value> = paths
        .iter()
        .map(|path| to_value(&demo::read(path)))
        .collect();
    let answer = script.ask(&json!({"profiles": profiles}));
    let mut compared = 0;
    for (path, theirs) in paths.iter().zip(answer["results"].as_array().unwrap()) {
        let name = demo::name(path);
        let ran = program::run(["mass".as_ref(), path.as_os_str(), "--json".as_ref()]);
        let ours = ran.json();
        let (ours, theirs) = (
            ours["results"].as_array().unwrap(),
            theirs.as_array().unwrap(),
        );
        assert_eq!(ours.len(), theirs.len(), "{name}");
        compared += ours
            .iter()
            .zip(theirs)
            .map(|(o, t)| compare_result(&name, o, t))
            .sum::<usize>();
    }
    assert!(
        compared > 50,
        "only {compared} numbers were there to compare"
    );
    tell(&format!(
        "mass: {compared} numbers of {} demo profiles are found again by another program",
        paths.len()
    ));
}

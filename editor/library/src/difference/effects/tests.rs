#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use std::path::Path;

use chockstone_schema::{
    read::{Document, from_value, read_file},
    report::EffectTopic,
};
use serde_json::{Value, json};

use super::*;

fn demo<D: Document>(file: &str) -> D {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../profiles");
    read_file(&folder.join(file)).unwrap()
}

fn pickup() -> Profile {
    demo("brackwater-tolliver-crew.profile.ron")
}

fn edited(edit: impl FnOnce(&mut Value)) -> Profile {
    let mut value = to_value(&pickup());
    edit(&mut value);
    from_value(&value).unwrap_or_else(|faults| panic!("{faults:?}"))
}

#[test]
fn the_same_profile_has_no_effects() {
    assert!(effects(&pickup(), &pickup(), &[]).is_empty());
}

/// The pickup with every reading of the two weighings of its variant "extended" multiplied.
fn weighing(times: f64) -> Profile {
    edited(|p| {
        for reading in 0..2 {
            for axle in 0..2 {
                for load in ["left", "right", "total"] {
                    let place = format!("/mass/readings/{reading}/loads/{axle}/{load}/0");
                    if let Some(number) = p.pointer_mut(&place) {
                        *number = json!((number.as_f64().unwrap() * times).round());
                    }
                }
            }
        }
    })
}

#[track_caller]
fn find<'e>(effects: &'e [Effect], topic: EffectTopic, words: &str) -> &'e Effect {
    let mut of_topic = effects.iter().filter(|e| e.topic == topic);
    let found = of_topic.find(|e| e.what.contains(words));
    found.unwrap_or_else(|| panic!("nothing about {words}: {effects:#?}"))
}

#[test]
fn a_heavier_vehicle_no_longer_loads_on_a_light_carrier_and_a_lighter_one_does_again() {
    // Arithmetic: the empty truck weighs 5,600 + 7,300 = 12,900 lb and is rated 19,500 lb; with 7,120 lb it is 20,020 lb,
    // with four fifths of that 18,596 lb.
    let truck: Equipment = demo("equipment/carrier-19500.equipment.ron");
    let (light, heavy) = (weighing(0.8), pickup());
    let there = effects(&light, &heavy, std::slice::from_ref(&truck));
    let carried = find(&there, EffectTopic::Methods, "Carried on");
    assert!(carried.what.contains("(carrier-19500)"), "{carried:?}");
    assert!(carried.what.contains("“Extended battery”"), "{carried:?}");
    assert_eq!(carried.before.as_deref(), Some("loads within every limit"));
    let after = carried.after.as_deref().unwrap();
    assert!(after.starts_with("no longer loads"), "{after}");
    assert!(after.contains("gross weight of the truck"), "{after}");
    assert!(carried.worse);
    let back = effects(&heavy, &light, &[truck]);
    let carried = find(&back, EffectTopic::Methods, "Carried on");
    assert_eq!(carried.after.as_deref(), Some("loads within every limit"));
    assert!(!carried.worse);
}

#[test]
fn masses_are_told_in_both_units_where_they_moved_beyond_their_rounding() {
    let found = effects(&weighing(0.8), &pickup(), &[]);
    let mass = find(&found, EffectTopic::Mass, "Mass");
    // 1810 + 1790 + 1765 + 1755 lb = 7,120 lb = 3,230 kg (1 lb = 0.45359237 kg).
    let after = mass.after.as_deref().unwrap();
    assert!(
        after.starts_with("3230 ± ") && after.contains("(7120 ± "),
        "{mass:?}"
    );
    let hardly = edited(|p| p["variants"][2]["curb_mass"]["value"] = json!([7241, "lb"]));
    let found = effects(&pickup(), &hardly, &[]);
    assert!(
        found.iter().all(|e| e.topic != EffectTopic::Mass),
        "{found:#?}"
    );
}

#[test]
fn a_mass_that_is_no_longer_known_is_worse() {
    let bare = edited(|p| p["mass"]["readings"] = json!([]));
    let found = effects(&pickup(), &bare, &[]);
    let centre = find(&found, EffectTopic::Mass, "behind the front axle");
    assert_eq!(centre.after.as_deref(), Some("no longer known"));
    assert!(centre.worse);
    let back = effects(&bare, &pickup(), &[]);
    let centre = find(&back, EffectTopic::Mass, "behind the front axle");
    assert_eq!((centre.before.as_deref(), centre.worse), (None, false));
}

#[test]
fn a_method_that_is_forbidden_is_worse_and_one_that_is_allowed_is_not() {
    let rule = |permission: &str| {
        edited(|p| {
            let rules = p["transport"]["rules"].as_array_mut().unwrap();
            let deck = rules.iter_mut().find(|r| r["id"] == "deck").unwrap();
            deck["permission"] = permission.into();
        })
    };
    let there = effects(&rule("allowed"), &rule("forbidden"), &[]);
    let deck = find(&there, EffectTopic::Methods, "on a carrier’s deck");
    assert_eq!(deck.after.as_deref(), Some("not allowed"));
    assert!(deck.worse);
    let back = effects(&rule("forbidden"), &rule("allowed"), &[]);
    assert!(!find(&back, EffectTopic::Methods, "on a carrier’s deck").worse);
}

#[test]
fn a_procedure_that_is_gone_closes_ways_and_is_told_once_for_every_situation_alike() {
    let without = edited(|p| {
        p["procedures"]
            .as_array_mut()
            .unwrap()
            .retain(|p| p["id"] != "open-flat");
    });
    let found = effects(&pickup(), &without, &[]);
    let opened = find(&found, EffectTopic::Situations, "“Opened”");
    assert!(opened.worse, "{opened:?}");
    assert!(
        opened
            .before
            .as_deref()
            .unwrap()
            .starts_with("there is a way"),
        "{opened:?}"
    );
    let mut told: Vec<_> = found
        .iter()
        .map(|e| (&e.what, &e.before, &e.after))
        .collect();
    told.sort();
    let count = told.len();
    told.dedup();
    assert_eq!(told.len(), count, "{found:#?}");
    let back = effects(&without, &pickup(), &[]);
    assert!(!find(&back, EffectTopic::Situations, "“Opened”").worse);
}

#[test]
fn a_step_that_takes_longer_is_told_with_the_time_of_the_slowest_way() {
    let slow = edited(|p| {
        for procedure in p["procedures"].as_array_mut().unwrap() {
            for step in procedure["steps"].as_array_mut().unwrap() {
                if let Some(time) = step.pointer_mut("/time/value") {
                    *time = json!([time[0].as_f64().unwrap() * 3.0, time[1]]);
                }
            }
        }
    });
    let found = effects(&pickup(), &slow, &[]);
    let time = find(&found, EffectTopic::Situations, "Time to “");
    assert!(time.after.as_deref().unwrap().ends_with(" min"), "{time:?}");
}

#[test]
fn a_finding_that_blocks_is_worse_and_its_part_is_named_by_its_id() {
    let heavy = edited(|p| p["variants"][1]["curb_mass"]["value"] = json!([12000, "lb"]));
    let found = effects(&pickup(), &heavy, &[]);
    let blocks = find(&found, EffectTopic::Findings, "curb-mass-reaches-gvwr");
    assert!(
        blocks.what.contains("/variants/extended/curb_mass"),
        "{blocks:?}"
    );
    assert_eq!((blocks.before.as_deref(), blocks.worse), (None, true));
    let back = effects(&heavy, &pickup(), &[]);
    let gone = find(&back, EffectTopic::Findings, "curb-mass-reaches-gvwr");
    assert_eq!((gone.after.as_deref(), gone.worse), (None, false));
}

#[test]
fn another_order_or_another_id_has_no_effect() {
    let turned = edited(|p| {
        p["variants"].as_array_mut().unwrap().reverse();
        p["points"].as_array_mut().unwrap().reverse();
    });
    let found = effects(&pickup(), &turned, &[]);
    assert!(found.is_empty(), "{found:#?}");
    let renamed = edited(|p| {
        let text = p.to_string().replace("\"extended\"", "\"large-pack\"");
        *p = serde_json::from_str(&text).unwrap();
    });
    let found = effects(&pickup(), &renamed, &[]);
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn worse_effects_come_first() {
    let found = effects(&weighing(0.8), &weighing(1.2), &[]);
    let worse: Vec<bool> = found.iter().map(|e| e.worse).collect();
    assert!(
        worse.contains(&true) && worse.contains(&false),
        "{found:#?}"
    );
    assert!(worse.is_sorted_by(|a, b| a >= b), "{found:#?}");
}

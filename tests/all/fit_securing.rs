//! What tie-downs hold against an independent script written from the published formulas
//! (`tests/reference/lashing.py`): each direction by four rule sets, straps over the top, tipping, the sum of limits,
//! and the smallest set of straps against a look at every set.

use std::collections::BTreeMap;

use chockstone_mechanics::{
    propagation::Tracked,
    securing::{
        BalanceRules, Candidate, CountedTieDown, CountingRules, Direction, FrictionLashing,
        FrictionLashingRules, Leg, Outcome, Path, Requirements, aggregate, friction_lashing_force,
        holding, propose, stands_by_itself,
    },
};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::{Map, Value, json};

use crate::tracked::{Named, Tally};

/// Puts an input with an uncertainty of up to `most_u` among the others.
fn put(inputs: &mut Map<String, Value>, random: &mut Random, name: &str, value: f64, most_u: f64) {
    inputs.insert(
        name.into(),
        json!([value, most_u * random.between(0.05, 1.0)]),
    );
}

/// Legs from places on a vehicle to anchors about it, most of them pulling down.
fn random_layout(random: &mut Random) -> Value {
    let mut inputs = Map::new();
    let legs = 2 + random.below(7);
    let mass = random.between(800.0, 4500.0);
    put(&mut inputs, random, "mass", mass, 20.0);
    let friction = random.between(0.05, 0.6);
    put(&mut inputs, random, "friction", friction, 0.03);
    for leg in 0..legs {
        for (axis, from, reach) in [
            ("X", random.between(-2.5, 2.5), 1.5),
            ("Y", random.between(-0.8, 0.8), 0.6),
        ] {
            let to = from + random.between(-reach, reach);
            put(&mut inputs, random, &format!("{leg}f{axis}"), from, 0.01);
            put(&mut inputs, random, &format!("{leg}t{axis}"), to, 0.01);
        }
        let (from, to) = (random.between(0.15, 0.7), random.between(-0.05, 0.2));
        put(&mut inputs, random, &format!("{leg}fZ"), from, 0.01);
        put(&mut inputs, random, &format!("{leg}tZ"), to, 0.01);
        let limit = random.between(4e3, 3e4);
        put(&mut inputs, random, &format!("{leg}l"), limit, 300.0);
    }
    json!({"inputs": inputs, "legs": legs})
}

fn legs(case: &Value, named: &Named) -> Vec<Leg> {
    let place = |leg: u64, end: char| ['X', 'Y', 'Z'].map(|a| named.get(&format!("{leg}{end}{a}")));
    let count = case["legs"].as_u64().unwrap();
    (0..count)
        .map(|leg| Leg {
            from: place(leg, 'f'),
            to: place(leg, 't'),
            limit: named.get(&format!("{leg}l")),
        })
        .collect()
}

fn way(direction: Direction) -> &'static str {
    match direction {
        Direction::Forward => "forward",
        Direction::Rearward => "rearward",
        Direction::Left => "left",
        Direction::Right => "right",
        Direction::Up => "up",
    }
}

fn held(case: &Value, named: &Named) -> BTreeMap<String, Tracked> {
    let legs = legs(case, named);
    let (mass, friction) = (named.get("mass"), named.get("friction"));
    let mut values = BTreeMap::new();
    for rules in BalanceRules::ALL {
        for direction in Direction::ALL {
            let Some(held) = holding(&mass, &legs, direction, rules, &friction).unwrap() else {
                continue;
            };
            let key = format!("{}/{}", rules.name(), way(direction));
            values.insert(format!("{key}/needed"), held.needed);
            values.insert(format!("{key}/capacity"), held.capacity);
            values.insert(format!("{key}/friction"), held.friction);
            if let Some(weakest) = held.weakest {
                values.insert(format!("{key}/weakest"), weakest.share);
            }
        }
    }
    values
}

fn random_top(random: &mut Random) -> Value {
    let mut inputs = Map::new();
    for (name, low, high) in [
        ("mass", 500.0, 6000.0),
        ("friction", 0.1, 0.7),
        ("angle", 0.5, 1.5),
        ("tension", 2000.0, 6000.0),
        ("height", 0.3, 1.5),
        ("distance", 0.4, 2.0),
    ] {
        let value = random.between(low, high);
        put(&mut inputs, random, name, value, 0.02 * value);
    }
    json!({"inputs": inputs})
}

fn lashed(named: &Named) -> BTreeMap<String, Tracked> {
    let load = FrictionLashing {
        mass: named.get("mass"),
        friction: named.get("friction"),
        angle: named.get("angle"),
        tension: named.get("tension"),
    };
    let (height, distance) = (named.get("height"), named.get("distance"));
    let mut values = BTreeMap::new();
    for direction in [Direction::Forward, Direction::Rearward, Direction::Left] {
        let way = way(direction);
        for (set, rules) in [
            ("standard", FrictionLashingRules::Standard2010),
            ("insurers", FrictionLashingRules::InsurersRounded),
            ("2004", FrictionLashingRules::Superseded2004),
        ] {
            let straps = friction_lashing_force(&load, direction, rules).unwrap();
            values.insert(format!("{set}/{way}"), straps);
        }
        for (key, stable) in [("tips", true), ("tips, not stable", false)] {
            let tilting = stands_by_itself(&height, &distance, direction, stable).unwrap();
            values.insert(format!("{key}/{way}"), tilting.share);
        }
    }
    values
}

fn compare(tally: &mut Tally, case: &Value, ours: &BTreeMap<String, Tracked>, theirs: &Value) {
    let named_case = Named::of(case);
    let theirs = theirs.as_object().unwrap();
    // Both maps are sorted.
    assert!(ours.keys().eq(theirs.keys()), "other quantities of {case}");
    for (key, value) in ours {
        tally.compare(
            &format!("{key} of {case}"),
            &named_case,
            value,
            &theirs[key],
        );
    }
}

fn ask(question: Value) -> Option<Value> {
    let mut whole = json!({"layouts": [], "tops": [], "sums": [], "searches": []});
    let Value::Object(parts) = question else {
        panic!("a question has parts")
    };
    whole.as_object_mut().unwrap().extend(parts);
    Some(outside::python("lashing.py")?.ask(&whole))
}

#[test]
fn directions_agree_with_the_published_formulas() {
    let mut random = Random::new(12_195);
    let cases: Vec<Value> = (0..150).map(|_| random_layout(&mut random)).collect();
    let Some(answer) = ask(json!({"layouts": cases})) else {
        return;
    };
    let mut tally = Tally::default();
    for (case, theirs) in cases.iter().zip(answer["layouts"].as_array().unwrap()) {
        compare(&mut tally, case, &held(case, &Named::of(case)), theirs);
    }
    tell(&format!(
        "securing: {} random layouts, {} numbers agree with the lashing script; worst relative difference {:.1e}",
        cases.len(),
        tally.compared,
        tally.worst
    ));
}

#[test]
fn straps_over_the_top_and_tipping_agree_with_the_published_formulas() {
    let mut random = Random::new(2011);
    let cases: Vec<Value> = (0..300).map(|_| random_top(&mut random)).collect();
    let Some(answer) = ask(json!({"tops": cases})) else {
        return;
    };
    let mut tally = Tally::default();
    for (case, theirs) in cases.iter().zip(answer["tops"].as_array().unwrap()) {
        compare(&mut tally, case, &lashed(&Named::of(case)), theirs);
    }
    tell(&format!(
        "securing: {} loads under straps, {} numbers agree with the lashing script; worst relative difference {:.1e}",
        cases.len(),
        tally.compared,
        tally.worst
    ));
}

#[test]
fn the_sum_of_limits_is_counted_as_each_rule_set_says() {
    let mut random = Random::new(393_106);
    let paths = [
        ("direct", Path::Direct),
        ("same side", Path::SameSide),
        ("other side", Path::OtherSide),
    ];
    let mut drawn = Vec::new();
    for _ in 0..100 {
        let tie_downs: Vec<(f64, (&str, Path))> = (0..random.below(9))
            .map(|_| (random.between(4e3, 3e4), *random.pick(&paths)))
            .collect();
        drawn.push((random.between(500.0, 9000.0), tie_downs));
    }
    let cases: Vec<Value> = drawn
        .iter()
        .map(|(mass, tie_downs)| {
            let told: Vec<Value> = tie_downs.iter().map(|(l, (p, _))| json!([l, p])).collect();
            json!({"mass": mass, "tie_downs": told})
        })
        .collect();
    let Some(answer) = ask(json!({"sums": cases})) else {
        return;
    };
    for ((mass, tie_downs), theirs) in drawn.iter().zip(answer["sums"].as_array().unwrap()) {
        let counted: Vec<CountedTieDown> = tie_downs
            .iter()
            .map(|(limit, (_, path))| CountedTieDown {
                limit: Tracked::exact(*limit),
                path: *path,
            })
            .collect();
        for (key, rules) in [
            ("us", CountingRules::UsRegulation),
            ("canada", CountingRules::CanadaStandard),
            ("handbook", CountingRules::UsHandbook),
        ] {
            let ours = aggregate(&Tracked::exact(*mass), &counted, rules).unwrap();
            let (ours, theirs) = (ours.counted.value(), theirs[key].as_f64().unwrap());
            assert!(
                (ours - theirs).abs() < 1e-6,
                "{key} of {tie_downs:?}: {ours}, {theirs}"
            );
        }
    }
}

/// One to three kinds of straps, up to eleven candidates on few places, so that they get in each other's way.
fn random_search(random: &mut Random) -> Value {
    let kinds = 1 + random.below(3);
    let candidates: Vec<Value> = (0..3 + random.below(9))
        .map(|_| {
            let straps = 1 + random.below(2);
            let gives: Vec<f64> = (0..4)
                .map(|_| {
                    if random.chance(0.3) {
                        0.0
                    } else {
                        straps as f64 * random.between(0.2, 2.0)
                    }
                })
                .collect();
            let first = random.below(14);
            let places = if straps == 2 {
                vec![first, 14 + random.below(6)]
            } else {
                vec![first]
            };
            json!({
                "straps": straps, "kind": random.below(kinds), "places": places, "gives": gives,
                "counts": [straps, random.below(2)],
            })
        })
        .collect();
    let needs: Vec<f64> = (0..4).map(|_| random.between(0.5, 4.0)).collect();
    let available: Vec<usize> = (0..kinds).map(|_| 1 + random.below(6)).collect();
    json!({
        "candidates": candidates, "needs": needs, "available": available,
        "counts": [random.below(5), random.below(2)],
    })
}

fn whole(list: &Value) -> Vec<u32> {
    let list = list.as_array().unwrap().iter();
    list.map(|n| u32::try_from(n.as_u64().unwrap()).unwrap())
        .collect()
}

fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().unwrap().iter();
    list.map(|n| n.as_f64().unwrap()).collect()
}

fn searched(case: &Value) -> Outcome {
    let candidates: Vec<Candidate> = case["candidates"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| Candidate {
            straps: u32::try_from(one["straps"].as_u64().unwrap()).unwrap(),
            kind: usize::try_from(one["kind"].as_u64().unwrap()).unwrap(),
            occupies: whole(&one["places"])
                .iter()
                .fold(0, |bits, place| bits | 1 << place),
            gives: numbers(&one["gives"]),
            counts: whole(&one["counts"]),
        })
        .collect();
    let requirements = Requirements {
        needs: numbers(&case["needs"]),
        counts: whole(&case["counts"]),
        available: whole(&case["available"]),
    };
    propose(&candidates, &requirements).unwrap()
}

#[test]
fn no_smaller_set_of_straps_holds_than_the_one_proposed() {
    let mut random = Random::new(393_128);
    let cases: Vec<Value> = (0..300).map(|_| random_search(&mut random)).collect();
    let Some(answer) = ask(json!({"searches": cases})) else {
        return;
    };
    let mut holding = 0;
    for (case, theirs) in cases.iter().zip(answer["searches"].as_array().unwrap()) {
        match searched(case) {
            Outcome::Found(found) => {
                holding += 1;
                assert_eq!(
                    Some(u64::from(found.straps)),
                    theirs["straps"].as_u64(),
                    "{case}"
                );
                let margin = theirs["margin"].as_f64().unwrap();
                assert!(
                    (found.margin - margin).abs() < 1e-9 * margin && found.is_proven,
                    "{found:?}, the script's margin is {margin}: {case}"
                );
            }
            Outcome::Unfinished => panic!("so few sets can be looked at: {case}"),
            Outcome::Fails(_) | Outcome::FailsTogether(_) => {
                assert!(theirs["straps"].is_null(), "the script finds a set: {case}");
            }
        }
    }
    assert!(
        holding > 60 && holding < 240,
        "{holding} hold: both kinds are wanted"
    );
    tell(&format!(
        "securing: {} searches end as a look at every set does; {holding} find a set",
        cases.len()
    ));
}

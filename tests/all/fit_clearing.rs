//! The smallest clearance over ramp, hinge and deck against a sweep by `shapely`
//! (`tests/reference/clearing_sweep.py`), which places the body anew every centimetre, and finer about the best places.

use chockstone_mechanics::{
    clearing::{Direction, Tail, Vehicle, Way, Wheel, clear},
    propagation::Tracked,
};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::{Value, json};

/// A tenth of a millimetre: what the sweep's steps and its drawn arcs are good for.
const TOLERANCE: f64 = 1e-4;

/// A vehicle with a bumpy underside, some with a wheel on a skate, before a deck with or without a tail ramp.
fn random_drive(random: &mut Random) -> Value {
    let wheelbase = random.between(2.3, 3.9);
    let (nose, tail) = (random.between(0.6, 1.1), random.between(0.6, 1.3));
    let below = random.between(0.1, 0.25);
    let mut under = vec![[-nose, random.between(0.12, 0.4)]];
    for part in [-0.7, 0.15, 0.4, 0.6, 0.85] {
        let x = if part < 0.0 {
            part * nose
        } else {
            part * wheelbase
        };
        under.push([x, below + random.between(0.0, 0.15)]);
    }
    under.push([wheelbase + 0.7 * tail, below + random.between(0.05, 0.25)]);
    under.push([wheelbase + tail, random.between(0.25, 0.5)]);
    under.extend([[wheelbase + tail, 1.6], [-nose, 1.6]]);
    let mut wheel = |x: f64| {
        let raise = if random.chance(0.3) {
            random.between(0.0, 0.08)
        } else {
            0.0
        };
        [x, random.between(0.28, 0.42), raise]
    };
    let (front, rear) = (wheel(0.0), wheel(wheelbase));
    let tilt = random.between(0.08, 0.28);
    let ramp = random
        .chance(0.5)
        .then(|| [random.between(0.3, 2.0), tilt * random.between(0.3, 1.0)]);
    json!({
        "outline": under, "front": front, "rear": rear, "tilt": tilt, "tail": ramp,
        "tail_first": random.chance(0.5),
    })
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn wheel(axle: &Value) -> Wheel {
    Wheel {
        x: Tracked::exact(number(&axle[0])),
        radius: Tracked::exact(number(&axle[1])),
        raise: Tracked::exact(number(&axle[2])),
    }
}

/// The smallest clearance as the program has it, in m.
fn smallest(drive: &Value) -> f64 {
    let corners = drive["outline"].as_array().unwrap().iter();
    let vehicle = Vehicle {
        outline: corners.map(|c| [number(&c[0]), number(&c[1])]).collect(),
        outline_error: Tracked::exact(0.0),
        front: wheel(&drive["front"]),
        rear: wheel(&drive["rear"]),
    };
    let way = Way {
        laid: None,
        tail: drive["tail"].as_array().map(|tail| Tail {
            length: Tracked::exact(number(&tail[0])),
            angle: Tracked::exact(number(&tail[1])),
        }),
        tilt: Tracked::exact(number(&drive["tilt"])),
        deck_length: None,
        level_after: None,
    };
    let direction = if drive["tail_first"] == true {
        Direction::TailFirst
    } else {
        Direction::NoseFirst
    };
    let clearing = clear(&vehicle, &way, direction).unwrap();
    clearing.tightest().unwrap().clearance.value()
}

/// Compares one drive and gives the difference; where it touches, only that.
fn compare(drive: &Value, theirs: &Value) -> Option<f64> {
    let ours = smallest(drive);
    if theirs["touches"] == true {
        assert!(ours < TOLERANCE, "{drive}: {ours}, the sweep touches");
        return None;
    }
    let off = (ours - number(&theirs["clearance"])).abs();
    assert!(off < TOLERANCE, "{drive}: {ours}, the sweep finds {theirs}");
    Some(off)
}

#[test]
fn the_smallest_clearance_is_that_of_a_sweep() {
    let Some(script) = outside::python("clearing_sweep.py") else {
        return;
    };
    let mut random = Random::new(523);
    let drives: Vec<Value> = (0..60).map(|_| random_drive(&mut random)).collect();
    let answer = script.ask(&json!({"drives": drives}));
    let mut clear = Vec::new();
    for (drive, theirs) in drives.iter().zip(answer["drives"].as_array().unwrap()) {
        clear.extend(compare(drive, theirs));
    }
    let touching = drives.len() - clear.len();
    assert!(
        touching > 5 && clear.len() > 15,
        "{touching} touch: both kinds are wanted"
    );
    tell(&format!(
        "clearing: {} drives agree with a sweep by shapely, {touching} of them touch; worst difference {:.1e} m",
        drives.len(),
        clear.iter().copied().fold(0.0, f64::max)
    ));
}

#[test]
fn a_wheel_that_is_told_raised_would_be_noticed() {
    let Some(script) = outside::python("clearing_sweep.py") else {
        return;
    };
    let ours = json!({
        "outline": [[-0.7, 0.4], [1.5, 0.2], [3.7, 0.4], [3.7, 1.5], [-0.7, 1.5]],
        "front": [0.0, 0.35, 0.0], "rear": [3.0, 0.35, 0.0],
        "tilt": 0.15, "tail": [1.0, 0.08], "tail_first": false,
    });
    let mut told = ours.clone();
    told["front"][2] = json!(0.003);
    let answer = script.ask(&json!({"drives": [told]}));
    let outcome = std::panic::catch_unwind(|| compare(&ours, &answer["drives"][0]));
    assert!(outcome.is_err());
}

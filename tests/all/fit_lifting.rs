//! Loads on the supports of a lifted vehicle and distances in plan, against `scipy` and `shapely`
//! (`tests/reference/lifting_supports.py`).

use chockstone_mechanics::{
    lifting::{LiftError, Spot, pad_distance, stability, support_loads},
    propagation::Tracked,
};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::{Value, json};

/// The largest difference that is let pass, beside the mass: the linear programmes stop at 1e-7.
const LOADS: f64 = 1e-6;
/// The largest difference of lengths in metres; both sides compute in binary64.
const LENGTHS: f64 = 1e-9;

/// Supports within what lifts can be: corners of a box that are moved, and more supports along its sides.
fn random_lift(random: &mut Random) -> Value {
    let count = 3 + random.below(6);
    let (length, width) = (random.between(1.0, 4.0), random.between(0.9, 2.2));
    let corners = [[0.0, -0.5], [1.0, 0.5], [0.0, 0.5], [1.0, -0.5]];
    let supports: Vec<[f64; 2]> = (0..count)
        .map(|i| {
            let [x, y] = corners
                .get(i)
                .copied()
                .unwrap_or([random.between(0.1, 0.9), random.between(-0.5, 0.5)]);
            [
                length * x + random.between(-0.2, 0.2),
                width * y + random.between(-0.15, 0.15),
            ]
        })
        .collect();
    // About one in six lies outside and would tip.
    let centre = [
        length * random.between(-0.05, 1.05),
        width * random.between(-0.45, 0.45),
    ];
    json!({"mass": random.between(300.0, 4000.0), "centre": centre, "supports": supports})
}

/// A pad near a region that is convex or has a bay.
fn random_pad(random: &mut Random) -> Value {
    let (length, width) = (random.between(0.05, 2.5), random.between(0.05, 1.5));
    let mut region = vec![[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
    if random.chance(0.5) {
        let bay = [
            length * random.between(0.2, 0.8),
            width * random.between(0.2, 0.8),
        ];
        region.insert(3, bay);
    }
    if random.chance(0.5) {
        region.reverse();
    }
    let centre = [random.between(-0.5, 3.0), random.between(-0.5, 2.0)];
    json!({"centre": centre, "diameter": random.between(0.02, 0.2), "region": region})
}

fn spot(place: &Value) -> Spot {
    let [x, y] = pair(place);
    Spot::exact(x, y)
}

fn pair(place: &Value) -> [f64; 2] {
    [place[0].as_f64().unwrap(), place[1].as_f64().unwrap()]
}

fn numbers(list: &Value) -> Vec<f64> {
    let list = list.as_array().expect("the reference found loads");
    list.iter().map(|n| n.as_f64().unwrap()).collect()
}

/// The worst difference met, and where.
#[derive(Default)]
struct Worst {
    compared: usize,
    off: f64,
}

impl Worst {
    #[track_caller]
    fn note(&mut self, what: &str, ours: f64, theirs: f64, tolerance: f64) {
        let off = (ours - theirs).abs();
        self.compared += 1;
        self.off = self.off.max(off / tolerance);
        assert!(
            off <= tolerance,
            "{what}: {ours}, the reference says {theirs}"
        );
    }
}

/// Compares one lift; true when it stands.
fn compare_lift(worst: &mut Worst, lift: &Value, theirs: &Value) -> bool {
    let mass = lift["mass"].as_f64().unwrap();
    let supports: Vec<Spot> = lift["supports"]
        .as_array()
        .unwrap()
        .iter()
        .map(spot)
        .collect();
    let centre = spot(&lift["centre"]);
    let margin = stability(&centre, &supports).unwrap().smallest.margin;
    worst.note(
        &format!("margin of {lift}"),
        margin.value(),
        theirs["margin"].as_f64().unwrap(),
        LENGTHS,
    );
    match support_loads(&Tracked::exact(mass), &centre, &supports) {
        Ok(loads) => {
            let (low, high) = (numbers(&theirs["low"]), numbers(&theirs["high"]));
            let equal = numbers(&theirs["equal"]);
            for (i, load) in loads.iter().enumerate() {
                for (name, ours, theirs) in [
                    ("low", &load.low, low[i]),
                    ("equal share", &load.equal_share, equal[i]),
                    ("high", &load.high, high[i]),
                ] {
                    let what = format!("{name} of support {i} of {lift}");
                    worst.note(&what, ours.value(), theirs, LOADS * mass);
                }
            }
            true
        }
        Err(LiftError::CentreOutside { .. }) => {
            assert!(theirs["equal"].is_null(), "{lift}: the reference stands");
            false
        }
        Err(error) => panic!("{lift}: {error}"),
    }
}

#[test]
fn bounds_and_shares_of_supports_are_those_of_linear_programmes() {
    let Some(script) = outside::python("lifting_supports.py") else {
        return;
    };
    let mut random = Random::new(1947);
    let lifts: Vec<Value> = (0..400).map(|_| random_lift(&mut random)).collect();
    let answer = script.ask(&json!({"lifts": lifts, "pads": []}));
    let mut worst = Worst::default();
    let mut standing = 0;
    for (lift, theirs) in lifts.iter().zip(answer["lifts"].as_array().unwrap()) {
        standing += usize::from(compare_lift(&mut worst, lift, theirs));
    }
    assert!(
        standing > 250 && standing < lifts.len(),
        "{standing} stand: both kinds are wanted"
    );
    tell(&format!(
        "lifting: {} numbers of {} lifts agree with scipy and shapely; {standing} stand; worst difference {:.1e} of what is let pass",
        worst.compared,
        lifts.len(),
        worst.off
    ));
}

#[test]
fn distances_of_pads_from_regions_are_those_of_shapely() {
    let Some(script) = outside::python("lifting_supports.py") else {
        return;
    };
    let mut random = Random::new(2026);
    let pads: Vec<Value> = (0..600).map(|_| random_pad(&mut random)).collect();
    let answer = script.ask(&json!({"lifts": [], "pads": pads}));
    let mut worst = Worst::default();
    let mut inside = 0;
    for (pad, theirs) in pads.iter().zip(answer["pads"].as_array().unwrap()) {
        let region: Vec<(f64, f64)> = pad["region"]
            .as_array()
            .unwrap()
            .iter()
            .map(|corner| pair(corner).into())
            .collect();
        let diameter = Tracked::exact(pad["diameter"].as_f64().unwrap());
        let ours = pad_distance(&spot(&pad["centre"]), &diameter, &region).unwrap();
        let distance = theirs["distance"].as_f64().unwrap();
        worst.note(
            &format!("distance of {pad}"),
            ours.distance.value(),
            distance,
            LENGTHS,
        );
        inside += usize::from(distance < 0.0);
        let [x, y] = pair(&theirs["nearest"]);
        let apart = (ours.nearest.0 - x).hypot(ours.nearest.1 - y);
        worst.note(&format!("nearest place of {pad}"), apart, 0.0, LENGTHS);
    }
    assert!(
        inside > 50 && inside < 550,
        "{inside} overlap: both kinds are wanted"
    );
    tell(&format!(
        "lifting: {} pads beside regions agree with shapely; worst difference {:.1e} of what is let pass",
        pads.len(),
        worst.off
    ));
}

/// A reference that agreed with everything would be no reference.
#[test]
fn a_support_that_is_moved_by_a_millimetre_would_be_noticed() {
    let Some(script) = outside::python("lifting_supports.py") else {
        return;
    };
    let ours = json!({
        "mass": 2000.0, "centre": [1.3, 0.02],
        "supports": [[0.4, -0.7], [0.4, 0.7], [2.1, -0.7], [2.1, 0.7]],
    });
    let mut told = ours.clone();
    told["supports"][2][0] = json!(2.101);
    let answer = script.ask(&json!({"lifts": [told], "pads": []}));
    let outcome = std::panic::catch_unwind(|| {
        compare_lift(&mut Worst::default(), &ours, &answer["lifts"][0])
    });
    assert!(outcome.is_err());
}

//! Figures of carrying, towing and winching, their uncertainties and every input's part in them, against the PyPI
//! package `uncertainties` (`tests/reference/uncertainties_fit.py`).

use std::collections::BTreeMap;

use chockstone_mechanics::{
    carrying::{Chassis, Deck, Neighbour, Placements, Side, Vehicle, WayRound},
    propagation::Tracked,
    towing::{DollyLimit, DollySet, LiftLimit, LiftedAxle, TowedVehicle, Wrecker, lift_angle},
    winching::{
        AxleOnSlope, BlockRule, Bridle, GradeRule, Wheels, bridle, holding_back, layer_pull,
        line_pull, moving_block, redirect_load,
    },
};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::{Map, Value, json};

use crate::tracked::{Named, Tally};

/// What was computed for a case.
#[derive(Default)]
struct Solved {
    values: BTreeMap<String, Tracked>,
    numbers: BTreeMap<String, f64>,
}

impl Solved {
    fn of(case: &Value, named: &Named) -> Self {
        let mut solved = Self::default();
        match case["kind"].as_str().unwrap() {
            "carrier" => solved.carry(case, named),
            "wrecker" => solved.tow(case, named),
            _ => solved.winch(case, named),
        }
        solved
    }

    fn put(&mut self, key: impl Into<String>, value: Tracked) {
        self.values.insert(key.into(), value);
    }

    fn carry(&mut self, case: &Value, named: &Named) {
        let vehicle = Vehicle {
            mass: named.get("mass"),
            centre: named.get("centre"),
            wheelbase: named.get("axle"),
            front: named.get("nose"),
            rear: named.get("tail"),
        };
        let way = if case["tail_first"] == true {
            WayRound::TailFirst
        } else {
            WayRound::NoseFirst
        };
        let deck = Deck {
            front_edge: Some(named.get("edge")),
            length: Some(named.get("length")),
            overhang_allowed: Some(named.get("overhang")),
            capacity: Some(named.get("capacity")),
        };
        let other = Neighbour {
            mass: named.get("other_mass"),
            centre: named.get("other_centre"),
            edge: named.get("other_edge"),
            side: Side::TowardTail,
        };
        let standing = vehicle.standing(way).unwrap();
        let truck = Chassis {
            front_rating: Some(named.get("front_rating")),
            ..chassis(named)
        };
        let placements = Placements::new(&truck, &deck, &standing, &[other]).unwrap();
        let place = case["placement"].as_f64().unwrap();
        self.put("front", placements.front_load(place).unwrap());
        self.put("rear", placements.rear_load(place).unwrap());
        for judgement in placements.at(place) {
            let margin = judgement.figures.unwrap().margin;
            self.put(format!("margin/{}", judgement.rating), margin);
        }
        self.windows(&placements);
    }

    fn windows(&mut self, placements: &Placements) {
        let Ok(window) = placements.window() else {
            return;
        };
        for (key, end) in [("first", window.first), ("last", window.last)] {
            let place = end.unwrap().place;
            self.numbers.insert(format!("window/{key}"), place.value);
            self.numbers.insert(format!("window/{key}, u"), place.u);
        }
        let Ok(sure) = placements.sure_window() else {
            return;
        };
        for (key, end) in [("first", sure.first), ("last", sure.last)] {
            self.numbers
                .insert(format!("sure/{key}"), end.unwrap().place.value);
        }
    }

    fn tow(&mut self, case: &Value, named: &Named) {
        let towed = TowedVehicle {
            mass: named.get("mass"),
            centre: named.get("centre"),
            wheelbase: named.get("axle"),
        };
        let end = if case["rear"] == true {
            LiftedAxle::Rear
        } else {
            LiftedAxle::Front
        };
        let level = towed.level(end).unwrap().lift;
        let angle = lift_angle(&named.get("rise"), &named.get("axle")).unwrap();
        let lifted = towed
            .lifted(end, &angle, &named.get("height"), &Tracked::exact(0.0))
            .unwrap();
        let truck = Wrecker {
            chassis: chassis(named),
            reach: Some(named.get("reach")),
            ..Wrecker::default()
        };
        let loads = truck.loads(&level).unwrap();
        self.put("level", level);
        self.put("lifted", lifted.lift);
        self.put("front", loads.front);
        self.put("rear", loads.rear);
        self.put("steering", loads.steering);
        for (limit, most) in truck.greatest_lift().unwrap().limits {
            let key = match limit {
                LiftLimit::Steering => "most/steering",
                LiftLimit::RearAxle => "most/rear",
                LiftLimit::Gross => "most/gross",
                LiftLimit::LiftRating | LiftLimit::TowRating => continue,
            };
            self.put(key, most.unwrap());
        }
        self.dollies(case, named, &lifted.down);
        self.put("down", lifted.down);
    }

    fn dollies(&mut self, case: &Value, named: &Named, down: &Tracked) {
        let dollies = DollySet {
            tyres: Some(u8::try_from(case["tyres"].as_u64().unwrap()).unwrap()),
            tyre_rating: Some(Tracked::exact(900.0)),
            own_mass: Some(named.get("own")),
            rating: None,
        };
        let judged = dollies.judge(down).unwrap();
        let tyre = judged.into_iter().find(|j| j.limit == DollyLimit::Tyre);
        self.put("tyre", tyre.unwrap().figures.unwrap().value);
    }

    fn winch(&mut self, case: &Value, named: &Named) {
        let axles = [
            AxleOnSlope {
                load: named.get("front"),
                wheels: Wheels::Rolling(named.get("roll")),
            },
            AxleOnSlope {
                load: named.get("rear"),
                wheels: Wheels::Dragging(named.get("drag")),
            },
        ];
        let slope = named.get("slope");
        let pull = line_pull(&axles, &slope, GradeRule::Exact).unwrap().total;
        let sixtieths = line_pull(&axles, &slope, GradeRule::SixtiethRule).unwrap();
        self.put("pull by sixtieths", sixtieths.total);
        let mass = named.get("front") + named.get("rear");
        let held = holding_back(&mass, &slope, Some(&named.get("roll"))).unwrap();
        self.put("holding", held.cautious);
        self.put("holding less rolling", held.expected.unwrap());
        let legs = bridle(&Bridle {
            spread: named.get("spread"),
            leg_length: named.get("leg"),
            pull: pull.clone(),
            off_centre: named.get("off_centre"),
            elevation: named.get("elevation"),
        })
        .unwrap();
        self.put("left", legs.left);
        self.put("right", legs.right);
        let (efficiency, between) = (named.get("efficiency"), named.get("between"));
        self.put("block", redirect_load(&pull, &between).unwrap());
        for (key, rule) in [
            ("whole loss", BlockRule::WholeLoss),
            ("load share", BlockRule::LoadShare),
            ("far part", BlockRule::FarPart),
        ] {
            self.put(
                key,
                moving_block(&pull, &efficiency, &between, rule).unwrap(),
            );
        }
        self.put("pull", pull);
        let layer = u32::try_from(case["layer"].as_u64().unwrap()).unwrap();
        let (rated, drum) = (named.get("rated"), named.get("drum"));
        self.put(
            "layer",
            layer_pull(&rated, &drum, &named.get("line"), layer).unwrap(),
        );
    }
}

fn chassis(named: &Named) -> Chassis {
    Chassis {
        wheelbase: Some(named.get("wheelbase")),
        front_empty: Some(named.get("front_empty")),
        rear_empty: Some(named.get("rear_empty")),
        front_rating: None,
        rear_rating: Some(named.get("rear_rating")),
        gross_rating: Some(named.get("gross_rating")),
        steering_share: Some(named.get("share")),
    }
}

/// Inputs by name, each with a standard uncertainty of up to a hundredth of its size.
struct Draw<'r> {
    random: &'r mut Random,
    inputs: Map<String, Value>,
}

impl Draw<'_> {
    fn one(&mut self, name: &str, low: f64, high: f64) -> f64 {
        let value = self.random.between(low, high);
        let u = (0.01 * value.abs()).max(1e-4) * self.random.between(0.05, 1.0);
        self.inputs.insert(name.into(), json!([value, u]));
        value
    }

    fn truck(&mut self) {
        self.one("wheelbase", 3.5, 6.0);
        let front = self.one("front_empty", 2000.0, 3600.0);
        let rear = self.one("rear_empty", 2300.0, 4200.0);
        self.one("rear_rating", rear + 1500.0, rear + 6000.0);
        self.one("gross_rating", front + rear + 2000.0, front + rear + 7000.0);
        self.one("share", 0.3, 0.7);
    }

    fn towed(&mut self) {
        self.one("mass", 900.0, 3500.0);
        let axle = self.one("axle", 2.3, 3.9);
        self.one("centre", 0.35 * axle, 0.65 * axle);
    }
}

fn carrier(random: &mut Random) -> Value {
    let (tail_first, placement) = (random.chance(0.5), random.between(-0.5, 3.0));
    let mut draw = Draw {
        random,
        inputs: Map::new(),
    };
    draw.truck();
    draw.towed();
    draw.one("front_rating", 3000.0, 6000.0);
    draw.one("edge", 1.2, 2.4);
    let length = draw.one("length", 5.5, 9.0);
    draw.one("overhang", 0.3, 1.2);
    draw.one("capacity", 3000.0, 9000.0);
    draw.one("nose", -1.1, -0.7);
    let axle = draw.inputs["axle"][0].as_f64().unwrap();
    draw.one("tail", axle + 0.6, axle + 1.4);
    draw.one("other_mass", 200.0, 1200.0);
    draw.one("other_centre", length - 0.5, length + 0.5);
    draw.one("other_edge", length - 1.0, length);
    json!({"kind": "carrier", "tail_first": tail_first, "placement": placement, "inputs": draw.inputs})
}

fn wrecker(random: &mut Random) -> Value {
    let (rear, tyres) = (random.chance(0.5), 2 + 2 * random.below(4));
    let mut draw = Draw {
        random,
        inputs: Map::new(),
    };
    draw.truck();
    draw.towed();
    draw.one("reach", 1.2, 2.6);
    draw.one("height", 0.2, 0.8);
    draw.one("rise", 0.05, 0.5);
    draw.one("own", 80.0, 300.0);
    json!({"kind": "wrecker", "rear": rear, "tyres": tyres, "inputs": draw.inputs})
}

fn winch(random: &mut Random) -> Value {
    let layer = 1 + random.below(6);
    let mut draw = Draw {
        random,
        inputs: Map::new(),
    };
    for (name, low, high) in [
        ("front", 400.0, 2000.0),
        ("rear", 400.0, 2000.0),
        ("roll", 0.01, 0.3),
        ("drag", 0.3, 0.9),
        ("slope", 0.02, 0.6),
        ("spread", 0.5, 1.1),
        ("leg", 0.7, 2.5),
        ("off_centre", -0.5, 0.5),
        ("elevation", -0.2, 0.3),
        ("efficiency", 0.8, 0.99),
        ("between", 0.01, 2.0),
        ("rated", 2e4, 6e4),
        ("drum", 0.06, 0.15),
        ("line", 0.006, 0.014),
    ] {
        draw.one(name, low, high);
    }
    json!({"kind": "winch", "layer": layer, "inputs": draw.inputs})
}

fn compare(tally: &mut Tally, case: &Value, theirs: &Value) {
    let named = Named::of(case);
    let solved = Solved::of(case, &named);
    let what = |key: &str| format!("{key} of {case}");
    let mut values = theirs["values"].as_object().unwrap().clone();
    let mut numbers = theirs["numbers"].as_object().unwrap().clone();
    // The ends of a window are plain numbers with their uncertainty here.
    for key in ["window/first", "window/last"] {
        if let Some(end) = values.remove(key) {
            numbers.insert(key.into(), end["value"].clone());
            numbers.insert(format!("{key}, u"), end["u"].clone());
        }
    }
    // Both maps are sorted.
    assert!(
        solved.values.keys().eq(values.keys()),
        "other quantities of {case}: {:?} and {:?}",
        solved.values.keys(),
        values.keys()
    );
    for (key, value) in &solved.values {
        tally.compare(&what(key), &named, value, &values[key]);
    }
    assert!(
        solved.numbers.keys().eq(numbers.keys()),
        "other windows of {case}: {:?} and {numbers:?}",
        solved.numbers
    );
    for (key, number) in &solved.numbers {
        tally.note(&what(key), *number, numbers[key].as_f64().unwrap(), 1.0);
    }
}

fn agree(name: &str, seed: u64, cases: usize, draw: fn(&mut Random) -> Value) {
    let Some(script) = outside::python("uncertainties_fit.py") else {
        return;
    };
    let mut random = Random::new(seed);
    let cases: Vec<Value> = (0..cases).map(|_| draw(&mut random)).collect();
    let answer = script.ask(&json!({"cases": cases}));
    let mut tally = Tally::default();
    for (case, theirs) in cases.iter().zip(answer["results"].as_array().unwrap()) {
        compare(&mut tally, case, theirs);
    }
    let windows = answer["results"].as_array().unwrap().iter();
    let windows = windows.filter(|r| r["numbers"].get("sure/first").is_some());
    let open = windows.count();
    assert!(
        name != "carrying" || (open > 20 && open < cases.len() - 20),
        "{open} windows: both kinds are wanted"
    );
    tell(&format!(
        "{name}: {} random cases, {} numbers agree with the uncertainties package; worst relative difference {:.1e}",
        cases.len(),
        tally.compared,
        tally.worst
    ));
}

#[test]
fn carrying_agrees_with_the_uncertainties_package() {
    agree("carrying", 393, 250, carrier);
}

#[test]
fn towing_agrees_with_the_uncertainties_package() {
    agree("towing", 571, 300, wrecker);
}

#[test]
fn winching_agrees_with_the_uncertainties_package() {
    agree("winching", 706, 300, winch);
}

#[test]
fn a_reach_that_is_told_longer_would_be_noticed() {
    let Some(script) = outside::python("uncertainties_fit.py") else {
        return;
    };
    let ours = wrecker(&mut Random::new(1));
    let mut told = ours.clone();
    let reach = &mut told["inputs"]["reach"][0];
    *reach = json!(reach.as_f64().unwrap() + 0.001);
    let answer = script.ask(&json!({"cases": [told]}));
    let outcome = std::panic::catch_unwind(|| {
        compare(&mut Tally::default(), &ours, &answer["results"][0]);
    });
    assert!(outcome.is_err());
}

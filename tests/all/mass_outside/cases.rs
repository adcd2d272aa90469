//! Cases of weighing: some written down, and any number of random ones within what vehicles can be.

use chockstone_tests::random::Random;
use serde_json::{Map, Value, json};

/// Cases that cover each kind of input once. The figures are invented.
pub(super) fn fixed() -> Vec<Value> {
    vec![
        json!({
            "name": "two axles by wheel, two lift steps, items on and off",
            "inputs": {
                "fl": [612.0, 0.8], "fr": [608.5, 0.8], "rl": [701.0, 0.9], "rr": [699.5, 0.9],
                "track": [1.62, 0.002], "rear": [3.05, 0.0015], "radius": [0.352, 0.002],
                "load 1": [1331.0, 1.2], "angle 1": [0.12, 0.001],
                "load 2": [1301.5, 1.2], "height 2": [0.42, 0.002],
                "pack": [480.0, 5.0], "pack x": [1.6, 0.01], "pack z": [0.32, 0.01], "winch": [41.0, 0.5]
            },
            "axles": [
                {"x": 0, "left": "fl", "right": "fr", "track": "track"},
                {"x": "rear", "left": "rl", "right": "rr", "track": "track"}
            ],
            "lift": {
                "wheelbase": "rear", "radius_front": "radius", "radius_rear": "radius",
                "combination": "least_squares",
                "steps": [
                    {"raised": "rear", "load": "load 1", "angle": "angle 1"},
                    {"raised": "rear", "load": "load 2", "elevation": "height 2"}
                ]
            },
            "items": [
                {"change": "removed", "mass": "pack", "x": "pack x", "y": 0, "z": "pack z"},
                {"change": "fitted", "mass": "winch", "x": -0.7, "y": 0.1, "z": 0.6}
            ],
            "track": "track"
        }),
        json!({
            "name": "three axles as a whole",
            "inputs": {"one": [3100.0, 5.0], "two": [4520.0, 5.0], "three": [4410.0, 5.0], "x2": [3.9, 0.003]},
            "axles": [{"x": 0, "load": "one"}, {"x": "x2", "load": "two"}, {"x": 5.2, "load": "three"}],
            "items": [{"change": "fitted", "mass": 80, "x": "x2", "y": null, "z": null}]
        }),
        json!({
            "name": "three readings of one quantity, one of them twice the doubt",
            "inputs": {"a": [2621.0, 2.0], "b": [2624.5, 2.0], "c": [2616.0, 4.0]},
            "readings": ["a", "b", "c"]
        }),
        json!({"name": "one reading", "inputs": {"a": [2621.0, 2.0]}, "readings": ["a"]}),
    ]
}

/// A random case: two to six axles, by wheel or whole, up to six lift steps, up to four items, up to seven readings.
pub(super) fn random(number: usize, random: &mut Random) -> Value {
    let mut case = Case {
        random,
        inputs: Map::new(),
    };
    let (axles, places, loads) = case.axles();
    let lift = if axles.len() == 2 && case.random.chance(0.85) {
        case.lift(&axles, &places, &loads)
    } else {
        None
    };
    let track = lift.is_some().then(|| case.track()).flatten();
    let items = case.random.chance(0.8).then(|| case.items(&places, &loads));
    let readings = case.random.chance(0.5).then(|| case.readings());
    let mut whole =
        json!({"name": format!("case {number}"), "inputs": case.inputs, "axles": axles});
    let parts = [
        ("lift", lift),
        ("track", track),
        ("items", items),
        ("readings", readings),
    ];
    for (key, part) in parts {
        if let Some(part) = part {
            whole[key] = part;
        }
    }
    whole
}

struct Case<'r> {
    random: &'r mut Random,
    inputs: Map<String, Value>,
}

impl Case<'_> {
    /// An input with its doubt; now and then it is exact, and then perhaps a plain number.
    fn input(&mut self, name: &str, value: f64, u: f64) -> Value {
        if self.random.chance(0.08) {
            return json!(value);
        }
        let u = if self.random.chance(0.15) { 0.0 } else { u };
        self.inputs.insert(name.to_owned(), json!([value, u]));
        json!(name)
    }

    fn axles(&mut self) -> (Vec<Value>, Vec<f64>, Vec<f64>) {
        let count = if self.random.chance(0.7) {
            2
        } else {
            3 + self.random.below(4)
        };
        let by_wheel = self.random.chance(0.6);
        let (mut axles, mut places, mut loads) = (Vec::new(), Vec::new(), Vec::new());
        let mut place = 0.0;
        for i in 0..count {
            let x = if i == 0 {
                json!(0)
            } else {
                self.input(&format!("x{i}"), place, 0.002)
            };
            let (axle, load) = self.axle(i, &x, by_wheel);
            axles.push(axle);
            places.push(place);
            loads.push(load);
            place += if count == 2 {
                self.random.between(1.8, 6.0)
            } else {
                self.random.between(0.9, 3.5)
            };
        }
        (axles, places, loads)
    }

    fn axle(&mut self, i: usize, x: &Value, by_wheel: bool) -> (Value, f64) {
        if !by_wheel && !self.random.chance(0.2) {
            let load = self.random.between(200.0, 6000.0);
            let u = self.random.between(0.5, 20.0);
            return (
                json!({"x": x, "load": self.input(&format!("w{i}"), load, u)}),
                load,
            );
        }
        let sides = [
            self.random.between(100.0, 3000.0),
            self.random.between(100.0, 3000.0),
        ];
        let u = self.random.between(0.5, 10.0);
        let [left, right] = [("l", sides[0]), ("r", sides[1])]
            .map(|(side, load)| self.input(&format!("{side}{i}"), load, u));
        // One measured track for both axles is common, and ties them together.
        let track = if self.inputs.contains_key("track") && self.random.chance(0.5) {
            json!("track")
        } else {
            let name = if i == 0 {
                "track".to_owned()
            } else {
                format!("t{i}")
            };
            let width = self.random.between(1.2, 2.1);
            self.input(&name, width, 0.003)
        };
        (
            json!({"x": x, "left": left, "right": right, "track": track}),
            sides[0] + sides[1],
        )
    }

    fn lift(&mut self, axles: &[Value], places: &[f64], loads: &[f64]) -> Option<Value> {
        let radius = self.random.between(0.25, 0.4);
        let front = self.input("radius", radius, 0.002);
        let rear = if self.random.chance(0.5) {
            front.clone()
        } else {
            let other = radius + self.random.between(-0.05, 0.05);
            self.input("radius_rear", other, 0.002)
        };
        let height = self.random.between(0.45, 1.4);
        let count = 1 + self.random.below(6);
        let steps: Vec<Value> = (0..count)
            .filter_map(|s| self.step(s, places[1], loads, height - radius))
            .collect();
        let how = *self.random.pick(&["mean", "least_squares"]);
        (!steps.is_empty()).then(|| {
            json!({
                "wheelbase": axles[1]["x"], "radius_front": front, "radius_rear": rear,
                "combination": how, "steps": steps,
            })
        })
    }

    /// A lift step that fits a centre of gravity this far above the hubs; `None` where the vehicle would tip over.
    fn step(&mut self, number: usize, wheelbase: f64, loads: &[f64], above: f64) -> Option<Value> {
        let total: f64 = loads.iter().sum();
        let angle = self.random.between(3.0, 30.0).to_radians();
        let raised = *self.random.pick(&["front", "rear"]);
        let level = if raised == "rear" { loads[0] } else { loads[1] };
        let load = level + total * angle.tan() * above / wheelbase;
        if load >= 0.98 * total {
            return None;
        }
        let u = self.random.between(0.5, 8.0);
        let mut step =
            json!({"raised": raised, "load": self.input(&format!("s{number}"), load, u)});
        if self.random.chance(0.5) {
            step["angle"] = self.input(&format!("a{number}"), angle, 0.002);
        } else {
            step["elevation"] = self.input(&format!("e{number}"), wheelbase * angle.sin(), 0.003);
        }
        Some(step)
    }

    fn track(&mut self) -> Option<Value> {
        if !self.random.chance(0.7) {
            return None;
        }
        Some(if self.inputs.contains_key("track") {
            json!("track")
        } else {
            self.input("T", 1.55, 0.003)
        })
    }

    fn items(&mut self, places: &[f64], loads: &[f64]) -> Value {
        let total: f64 = loads.iter().sum();
        let x = loads.iter().zip(places).map(|(w, x)| w * x).sum::<f64>() / total;
        let count = self.random.below(5);
        let items: Vec<Value> = (0..count).map(|i| self.item(i, total, x)).collect();
        json!(items)
    }

    fn item(&mut self, number: usize, total: f64, x: f64) -> Value {
        let change = *self.random.pick(&["fitted", "removed"]);
        let mass = self.random.between(0.002, 0.05) * total;
        let x = x + self.random.between(-0.3, 0.3);
        let mut place = |key: &str, low: f64, high: f64| {
            if self.random.chance(0.1) {
                return Value::Null;
            }
            let at = self.random.between(low, high);
            self.input(&format!("i{key}{number}"), at, 0.02)
        };
        let (y, z) = (place("y", -0.5, 0.5), place("z", 0.2, 1.5));
        let mass = self.input(&format!("m{number}"), mass, 0.3);
        json!({"change": change, "mass": mass, "x": self.input(&format!("ix{number}"), x, 0.02), "y": y, "z": z})
    }

    fn readings(&mut self) -> Value {
        let count = 1 + self.random.below(6);
        let mut names: Vec<String> = (0..count).map(|i| format!("q{i}")).collect();
        for name in &names {
            // Every reading has a doubt: without one it cannot be weighted.
            let (value, u) = (
                1500.0 + self.random.between(-9.0, 9.0),
                self.random.between(0.5, 8.0),
            );
            self.inputs.insert(name.clone(), json!([value, u]));
        }
        if self.random.chance(0.2) {
            names.push("q0".to_owned());
        }
        json!(names)
    }
}

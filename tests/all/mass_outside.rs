//! Mass and centre of gravity against the PyPI package `uncertainties` (`tests/reference/uncertainties_mass.py`):
//! every value, its standard uncertainty and each input's part in it.

use std::collections::BTreeMap;

use chockstone_mechanics::{mass::*, propagation::Tracked};
use chockstone_tests::{outside, random::Random, tell};
use serde_json::{Value, json};

use crate::tracked::{Named, Tally};

mod cases;

/// What was computed for a case.
struct Solved {
    solver: Solver,
    values: BTreeMap<String, Tracked>,
    numbers: BTreeMap<String, f64>,
}

/// Turns a case's parts into what the program takes.
struct Solver(Named);

impl Solver {
    fn number(&self, reference: &Value) -> Tracked {
        match reference {
            Value::String(name) => self.0.get(name),
            other => Tracked::exact(other.as_f64().unwrap()),
        }
    }

    fn maybe(&self, reference: &Value) -> Option<Tracked> {
        (!reference.is_null()).then(|| self.number(reference))
    }

    fn axle(&self, axle: &Value) -> AxleReading {
        let load = if axle["load"].is_null() {
            AxleLoad::Wheels {
                left: self.number(&axle["left"]),
                right: self.number(&axle["right"]),
                track: Some(self.number(&axle["track"])),
            }
        } else {
            AxleLoad::Total(self.number(&axle["load"]))
        };
        AxleReading::at(self.number(&axle["x"]), load)
    }

    fn lift_step(&self, step: &Value) -> LiftStep {
        LiftStep {
            raised: if step["raised"] == "rear" {
                Axle::Rear
            } else {
                Axle::Front
            },
            load_on_other: self.number(&step["load"]),
            angle: if step["angle"].is_null() {
                LiftAngle::Elevation(self.number(&step["elevation"]))
            } else {
                LiftAngle::Angle(self.number(&step["angle"]))
            },
        }
    }

    fn lift(&self, lift: &Value, plane: &HorizontalMass) -> LiftedHeight {
        let steps = lift["steps"].as_array().unwrap();
        let lifted = AxleLift {
            level: LevelSplit::Loads {
                front: plane.axle_loads[0].clone(),
                rear: plane.axle_loads[1].clone(),
            },
            wheelbase: self.number(&lift["wheelbase"]),
            radius_front: self.number(&lift["radius_front"]),
            radius_rear: self.number(&lift["radius_rear"]),
            steps: steps.iter().map(|step| self.lift_step(step)).collect(),
        };
        let how = if lift["combination"] == "mean" {
            StepCombination::Mean
        } else {
            StepCombination::LeastSquares
        };
        height_by_axle_lift(&lifted, how, None).unwrap()
    }

    fn item(&self, item: &Value) -> Item {
        Item {
            change: if item["change"] == "fitted" {
                Change::Fitted
            } else {
                Change::Removed
            },
            mass: self.number(&item["mass"]),
            x: self.number(&item["x"]),
            y: self.maybe(&item["y"]),
            z: self.maybe(&item["z"]),
        }
    }
}

impl Solved {
    fn of(case: &Value) -> Self {
        let mut solved = Self {
            solver: Solver(Named::of(case)),
            values: BTreeMap::new(),
            numbers: BTreeMap::new(),
        };
        if let Some(axles) = case["axles"].as_array() {
            solved.weigh(case, axles);
        }
        if let Some(readings) = case["readings"].as_array() {
            solved.combine(readings);
        }
        solved
    }

    fn put(&mut self, key: impl Into<String>, value: Tracked) {
        self.values.insert(key.into(), value);
    }

    fn weigh(&mut self, case: &Value, axles: &[Value]) {
        let readings: Vec<_> = axles.iter().map(|axle| self.solver.axle(axle)).collect();
        let plane = from_axle_readings(&readings).unwrap();
        self.put("total", plane.total.clone());
        self.put("x", plane.x.clone());
        if let Some(y) = plane.y.clone() {
            self.put("y", y);
        }
        for (i, (load, share)) in plane.axle_loads.iter().zip(&plane.axle_shares).enumerate() {
            self.put(format!("load/{i}"), load.clone());
            self.put(format!("share/{i}"), share.clone());
        }
        let height = case["lift"]
            .is_object()
            .then(|| self.raise(&case["lift"], &plane));
        if let Some(track) = self.solver.maybe(&case["track"]) {
            let factor = static_stability_factor(&track, height.as_ref().unwrap()).unwrap();
            self.put("tip_angle", tip_angle(&factor).unwrap());
            self.put("stability", factor);
        }
        if let Some(items) = case["items"].as_array() {
            self.fit(items, &plane.body(height), &readings);
        }
    }

    fn raise(&mut self, lift: &Value, plane: &HorizontalMass) -> Tracked {
        let lifted = self.solver.lift(lift, plane);
        for (i, step) in lifted.steps.iter().enumerate() {
            self.put(format!("step/{i}"), step.height.clone());
        }
        self.put("height", lifted.height.clone());
        self.put("above_hubs", lifted.above_hubs);
        lifted.height
    }

    fn fit(&mut self, items: &[Value], body: &Body, readings: &[AxleReading]) {
        let items: Vec<_> = items.iter().map(|item| self.solver.item(item)).collect();
        let body = with_items(body, &items).unwrap();
        if let [_, rear] = readings {
            let loads = axle_loads(&body.mass, &body.x, &rear.x).unwrap();
            self.put("variant/front", loads.front);
            self.put("variant/rear", loads.rear);
        }
        self.put("variant/mass", body.mass);
        self.put("variant/x", body.x);
        for (key, place) in [("variant/y", body.y), ("variant/z", body.z)] {
            if let Some(place) = place {
                self.put(key, place);
            }
        }
    }

    fn combine(&mut self, readings: &[Value]) {
        let readings: Vec<_> = readings.iter().map(|r| self.solver.number(r)).collect();
        let combined = weighted_mean(&readings).unwrap();
        self.put("mean", combined.mean);
        self.numbers
            .insert("internal_u".into(), combined.internal_u);
        let chi_square = combined.consistency.map_or(0.0, |c| c.chi_square);
        self.numbers.insert("chi_square".into(), chi_square);
        if let Some(consistency) = combined.consistency {
            self.numbers
                .insert("external_u".into(), consistency.external_u);
        }
        for (j, later) in readings.iter().enumerate() {
            for (i, earlier) in readings.iter().enumerate().take(j) {
                self.put(format!("difference/{i}/{j}"), later - earlier);
                if let Some(ratio) = normalised_difference(earlier, later) {
                    self.numbers.insert(format!("normalised/{i}/{j}"), ratio);
                }
            }
        }
    }
}

/// Compares everything that a case gives.
fn compare(tally: &mut Tally, case: &Value, theirs: &Value) {
    let name = case["name"].as_str().unwrap();
    let solved = Solved::of(case);
    let values = theirs["values"].as_object().unwrap();
    // Sorted on both sides by serde_json's map.
    assert!(
        solved.values.keys().eq(values.keys()),
        "{name}: other quantities than the reference's"
    );
    for (key, value) in &solved.values {
        tally.compare(
            &format!("{name}, {key}"),
            &solved.solver.0,
            value,
            &values[key],
        );
    }
    let numbers = theirs["numbers"].as_object().unwrap();
    assert!(
        solved.numbers.keys().eq(numbers.keys()),
        "{name}: other numbers than the reference's"
    );
    for (key, number) in &solved.numbers {
        let theirs = numbers[key].as_f64().unwrap();
        tally.note(
            &format!("{name}, {key}"),
            *number,
            theirs,
            theirs.abs().max(1e-3),
        );
    }
}

fn compare_all(cases: &[Value]) -> Option<Tally> {
    let script = outside::python("uncertainties_mass.py")?;
    let answer = script.ask(&json!({"cases": cases}));
    let results = answer["results"].as_array().unwrap();
    assert_eq!(results.len(), cases.len());
    let mut tally = Tally::default();
    for (case, result) in cases.iter().zip(results) {
        compare(&mut tally, case, result);
    }
    Some(tally)
}

#[test]
fn mass_agrees_with_the_uncertainties_package_on_fixed_cases() {
    let cases = cases::fixed();
    let Some(tally) = compare_all(&cases) else {
        return;
    };
    assert!(tally.compared > 100, "{}", tally.compared);
}

#[test]
fn mass_agrees_with_the_uncertainties_package_on_random_cases() {
    let mut random = Random::new(20_261_125);
    let cases: Vec<Value> = (0..600).map(|n| cases::random(n, &mut random)).collect();
    let Some(tally) = compare_all(&cases) else {
        return;
    };
    tell(&format!(
        "mass: {} random cases, {} numbers agree with the uncertainties package; worst relative difference {:.1e} ({})",
        cases.len(),
        tally.compared,
        tally.worst,
        tally.worst_what
    ));
}

#[test]
fn a_wrong_formula_would_be_noticed() {
    let Some(script) = outside::python("uncertainties_mass.py") else {
        return;
    };
    let mut cases = cases::fixed();
    // The reference is told of a rear axle 2 mm further back, the program is not.
    let told = cases.clone();
    let place = &mut cases[0]["inputs"]["rear"][0];
    *place = json!(place.as_f64().unwrap() + 0.002);
    let answer = script.ask(&json!({"cases": cases}));
    let outcome = std::panic::catch_unwind(|| {
        compare(&mut Tally::default(), &told[0], &answer["results"][0]);
    });
    assert!(outcome.is_err());
}

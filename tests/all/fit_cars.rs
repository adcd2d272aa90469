//! Mass and axle loads of the cars in the PyPI package `commonroad-vehicle-models`
//! (`tests/reference/measured_cars.py`): put together from their sprung and unsprung masses, and taken apart again
//! from the loads under which the package's model stands on its tyres.

use chockstone_mechanics::{
    mass::{AxleLoad, AxleReading, Body, Change, Item, axle_loads, from_axle_readings, with_items},
    propagation::Tracked,
    towing::{LiftedAxle, TowedVehicle},
};
use chockstone_tests::{outside, tell};
use serde_json::{Value, json};

/// The largest relative difference: the package's own masses differ by up to 5e-7 from the sums of their parts.
const TOLERANCE: f64 = 1e-6;

fn number(value: &Value) -> Tracked {
    Tracked::exact(value.as_f64().unwrap())
}

#[track_caller]
fn close(what: &str, ours: &Tracked, theirs: &Value) {
    let (ours, theirs) = (ours.value(), theirs.as_f64().unwrap());
    assert!(
        (ours - theirs).abs() <= TOLERANCE * theirs.abs(),
        "{what}: {ours}, the package says {theirs}"
    );
}

/// The sprung mass with the unsprung masses fitted at the axles.
fn put_together(car: &Value) -> Body {
    let unsprung = |part: &Value, x: Tracked| Item {
        change: Change::Fitted,
        mass: number(&part["mass"]),
        x,
        y: None,
        z: None,
    };
    let sprung = Body {
        mass: number(&car["sprung"]["mass"]),
        x: number(&car["sprung"]["x"]),
        y: None,
        z: None,
    };
    let items = [
        unsprung(&car["front"], Tracked::exact(0.0)),
        unsprung(&car["rear"], number(&car["wheelbase"])),
    ];
    with_items(&sprung, &items).unwrap()
}

fn compare_whole(car: &Value) {
    let name = format!("car {}", car["number"]);
    let wheelbase = number(&car["wheelbase"]);
    let body = put_together(car);
    close(&format!("{name}, mass"), &body.mass, &car["mass"]);
    let loads = axle_loads(&body.mass, &body.x, &wheelbase).unwrap();
    close(&format!("{name}, front"), &loads.front, &car["loads"][0]);
    close(&format!("{name}, rear"), &loads.rear, &car["loads"][1]);
    // A wheel lift takes the whole load of the axle that it lifts level.
    let towed = TowedVehicle {
        mass: body.mass.clone(),
        centre: body.x.clone(),
        wheelbase: wheelbase.clone(),
    };
    let lifted = towed.level(LiftedAxle::Rear).unwrap();
    close(
        &format!("{name}, rear lifted"),
        &lifted.lift,
        &car["loads"][1],
    );
    // And back: the loads give the mass and its place.
    let plane = from_axle_readings(&[
        AxleReading::front(AxleLoad::Total(number(&car["loads"][0]))),
        AxleReading::at(wheelbase, AxleLoad::Total(number(&car["loads"][1]))),
    ])
    .unwrap();
    close(&format!("{name}, mass weighed"), &plane.total, &car["mass"]);
    let x = json!(body.x.value());
    close(&format!("{name}, centre weighed"), &plane.x, &x);
}

/// The fourth set of the package names no mass: a truck's tractor, only its places.
fn compare_shares(car: &Value) {
    let ahead = number(&car["ahead"]);
    let loads = axle_loads(&Tracked::exact(1.0), &ahead, &number(&car["wheelbase"])).unwrap();
    let share = car["ahead"].as_f64().unwrap() / car["wheelbase"].as_f64().unwrap();
    close("share of the rear axle", &loads.rear, &json!(share));
}

#[test]
fn mass_and_axle_loads_of_cars_measured_by_others_are_found_again() {
    let Some(script) = outside::python("measured_cars.py") else {
        return;
    };
    let answer = script.ask(&json!({}));
    let cars = answer["cars"].as_array().unwrap();
    let (weighed, placed): (Vec<_>, Vec<_>) = cars.iter().partition(|c| c["mass"].is_number());
    assert_eq!((weighed.len(), placed.len()), (3, 1), "{answer}");
    for car in weighed {
        compare_whole(car);
    }
    for car in placed {
        compare_shares(car);
    }
    tell(
        "cars: the masses and axle loads of three cars and the shares of a fourth are those of commonroad-vehicle-models",
    );
}

//! Which errors two readings share. Every figure: arithmetic from the formula, no citation.

use serde_json::{Value, json};

use super::{close, doubt, result};

/// A rear axle at exactly 3 m and tracks of exactly 1.6 m, so that scales alone make the doubt.
fn exact_lengths() -> Vec<(&'static str, Value)> {
    let length = |metres: f64| json!({"value": [metres, "m"], "source": "tape"});
    vec![
        ("/axles/1/position", length(3.0)),
        ("/axles/0/track", length(1.6)),
        ("/axles/1/track", length(1.6)),
    ]
}

fn weighing(id: &str, scale: &str) -> Value {
    json!({"id": id, "scale": {"tolerance": [5, "kg"], "name": scale}, "source": "scale",
        "loads": [{"axle": "front", "total": [1120, "kg"]}, {"axle": "rear", "total": [980, "kg"]}]})
}

/// Pads of ± 5 kg: u = 5/√3 = 2.88675 kg each, four independent ones. u(m) = 2·2.88675; y = 0.8·Σ(R − L)/m, so
/// u(y) = 0.8·2·2.88675/2100; x = 3·R/m, so u(x) = √(2·1.4² + 2·1.6²)·2.88675/2100. One shared error would give
/// u(m) = 4·2.88675 and no doubt of y at all.
#[test]
fn each_wheel_pad_is_off_on_its_own() {
    let mut edits = exact_lengths();
    edits.push((
        "/mass/readings/0/scale",
        json!({"tolerance": [5, "kg"], "name": "Pads"}),
    ));
    let found = result(&edits);
    doubt(found.mass.as_ref(), 2.0 * 5.773_503, 1e-5);
    doubt(found.centre_y.as_ref(), 2.0 * 0.002_199_43, 1e-7);
    doubt(found.centre_x.as_ref(), 2.0 * 0.004_133_10, 1e-7);
    let inputs: Vec<String> = found
        .centre_y
        .map(|y| y.doubt_from.into_iter().map(|s| s.input).collect())
        .unwrap_or_default();
    assert_eq!(inputs.len(), 4, "{inputs:?}");
    let expected = "/mass/readings/0/scale/tolerance (rear, left)".to_owned();
    assert!(inputs.contains(&expected), "{inputs:?}");
}

/// Both axles on one scale of ± 5 kg: u(m) = 2·2.88675 kg. Weighing twice on it changes nothing; on two scales the mean
/// has 1/√2 of that, 4.08248 kg.
#[test]
fn weighing_again_on_the_same_scale_does_not_make_it_truer() {
    let twice = |scale: &str| {
        let mut edits = exact_lengths();
        edits.push((
            "/mass/readings",
            json!([weighing("a", "Scale A"), weighing("b", scale)]),
        ));
        result(&edits)
    };
    doubt(twice("Scale A").mass.as_ref(), 2.0 * 5.773_503, 1e-5);
    doubt(twice("Scale B").mass.as_ref(), 2.0 * 4.082_483, 1e-5);
}

/// A scale without a name is the same within one weighing, and cannot be known again in the next.
#[test]
fn scales_without_a_name_are_not_taken_for_one() {
    let unnamed = |id: &str| {
        let mut reading = weighing(id, "none");
        crate::testing::set(&mut reading, "/scale/name", Value::Null);
        reading
    };
    let mut edits = exact_lengths();
    edits.push(("/mass/readings", json!([unnamed("a"), unnamed("b")])));
    doubt(result(&edits).mass.as_ref(), 2.0 * 4.082_483, 1e-5);
}

/// Four pads weighed on twice are still the same four pads: u(m) = 2·2.88675 kg, not 1/√2 of it.
#[test]
fn a_set_of_pads_is_known_again_wheel_by_wheel() {
    let wheels = |axle: &str, kilograms: f64| json!({"axle": axle, "left": [kilograms, "kg"], "right": [kilograms, "kg"]});
    let pads = |id: &str| {
        json!({"id": id, "scale": {"tolerance": [5, "kg"], "name": "Pads"}, "source": "scale",
            "loads": [wheels("front", 560.0), wheels("rear", 490.0)]})
    };
    let mut edits = exact_lengths();
    edits.push(("/mass/readings", json!([pads("a"), pads("b")])));
    let found = result(&edits);
    doubt(found.mass.as_ref(), 2.0 * 5.773_503, 1e-5);
    doubt(found.centre_y.as_ref(), 2.0 * 0.002_199_43, 1e-7);
}

/// Rear raised by 20°, 80 kg more in front of 2,100 kg, radius 0.32 m: h = 0.32 + 3·80/(2100·tan 20°) = 0.633997 m. The
/// scale's error e cancels in the rise and stays in the mass: u(h) = 0.313997·2.88675/2100 = 0.000431638 m for one step,
/// and as much for the mean of steps on the same scale, even where the level reading was taken anew.
#[test]
fn the_steps_of_a_lift_share_the_error_of_their_scale() {
    let radius = json!({"value": [0.32, "m"], "source": "tape"});
    let step = |id: &str, total: f64, name: Value| {
        let mut step = json!({"id": id, "raised": "rear", "angle": {"value": [20, "deg"], "source": "tape"},
            "level_load": [1120, "kg"], "raised_load": [1200, "kg"], "total": [total, "kg"],
            "scale": {"tolerance": [5, "kg"], "name": "Pads"}, "suspension_blocked": true, "source": "scale"});
        crate::testing::set(&mut step, "/scale/name", name);
        step
    };
    let lifted = |lifts: Value| {
        let mut edits = exact_lengths();
        edits.push(("/axles/0/tyre/static_loaded_radius", radius.clone()));
        edits.push(("/axles/1/tyre/static_loaded_radius", radius.clone()));
        edits.push((
            "/mass/centre_height",
            json!({"method": "axle_lift", "lifts": lifts}),
        ));
        result(&edits)
    };
    for name in [json!("Pads"), Value::Null] {
        // The totals differ by a gram, so the second step's level readings are its own.
        let found = lifted(json!([
            step("a", 2100.0, name.clone()),
            step("b", 2100.001, name)
        ]));
        close(found.centre_z.as_ref(), 0.633_997, 1e-6);
        doubt(found.centre_z.as_ref(), 2.0 * 0.000_431_638, 1e-6);
    }
}

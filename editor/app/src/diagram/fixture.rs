//! A small invented vehicle for the tests of the diagram.

use chockstone_schema::{
    Profile,
    read::{self, Notation},
    report::{AxleShare, Estimate, MassResult},
};

/// An invented pickup with a little of everything.
pub(super) const PICKUP: &str = r#"{
  "format": "1.0", "id": "example-pickup", "language": "en",
  "identity": {"maker": "Example Works", "model": "Pickup", "body_style": "pickup", "propulsion": "electric"},
  "dimensions": {
    "side_outline": {"unit": "mm", "corners": [
      [-880, 520], [-900, 900], [-780, 1080], [600, 1180], [1250, 1850], [2600, 1880], [2950, 1250], [4900, 1230],
      [4930, 620], [4100, 560], [3950, 850], [3683, 930], [3400, 850], [3250, 420], [500, 400], [380, 800],
      [0, 920], [-380, 800], [-520, 470]]},
    "plan_outline": {"unit": "mm", "corners": [
      [-900, -600], [-780, -900], [-300, -1000], [4800, -1010], [4930, -940], [4930, 940], [4800, 1010],
      [-300, 1000], [-780, 900], [-900, 600]]}
  },
  "axles": [
    {"id": "front", "name": {"en": "Front axle"}, "position": {"value": [0, "mm"]}, "track": {"value": [1735, "mm"]},
     "tyre": {"size": "275/65R20", "static_loaded_radius": {"value": [412, "mm"]}}, "steered": true,
     "motor": {"kind": "fixed"}},
    {"id": "rear", "name": {"en": "Rear axle"}, "position": {"value": [145, "in"]}, "track": {"value": [1735, "mm"]},
     "tyre": {"size": "275/65R20", "static_loaded_radius": {"value": [412, "mm"]}},
     "motor": {"kind": "disconnectable"}}
  ],
  "mass": {},
  "points": [
    {"id": "lift-front", "name": {"en": "Front lift point"}, "kind": "lift", "mirrored": true,
     "place": {"x": [640, "mm"], "y": [760, "mm"], "z": [330, "mm"]}},
    {"id": "lift-rear", "name": {"en": "Rear lift point"}, "kind": "lift", "mirrored": true,
     "place": {"x": [121.5, "in"], "y": [30, "in"], "z": [13, "in"]}},
    {"id": "eye", "name": {"en": "Front eye"}, "kind": "recovery_eye",
     "place": {"x": [-860, "mm"], "y": [-380, "mm"], "z": [560, "mm"]}},
    {"id": "loop", "name": {"en": "Front cut loop"}, "kind": "cut_loop",
     "place": {"x": [-420, "mm"], "y": [450, "mm"], "z": [980, "mm"]}},
    {"id": "port", "name": {"en": "Charge port"}, "kind": "charge_port",
     "place": {"x": [-300, "mm"], "y": [-960, "mm"], "z": [1000, "mm"]}},
    {"id": "slot", "name": {"en": "Rear slot"}, "kind": "tie_down", "mirrored": true,
     "place": {"x": [4560, "mm"], "y": [520, "mm"]}}
  ],
  "zones": [
    {"id": "sill", "name": {"en": "Sill"}, "kinds": ["no_lifting"], "mirrored": true,
     "plan": {"unit": "mm", "corners": [[900, 820], [2900, 820], [2900, 960], [900, 960]]},
     "bottom": [360, "mm"], "top": [520, "mm"]},
    {"id": "post", "name": {"en": "Rear post"}, "kinds": ["high_strength", "inflator"],
     "side": {"unit": "mm", "corners": [[2450, 1150], [2750, 1150], [2560, 1820], [2400, 1820]]}}
  ],
  "energy": {
    "high_voltage": {"current": "dc",
      "packs": [{"id": "pack", "name": {"en": "Pack"},
        "side": {"unit": "mm", "corners": [[720, 420], [2980, 420], [2980, 640], [720, 640]]},
        "plan": {"unit": "mm", "corners": [[720, -700], [2980, -700], [2980, 700], [720, 700]]}}],
      "cables": [{"id": "cable", "name": {"en": "Pack to front motor"}, "path": [
        {"x": [720, "mm"], "y": [150, "mm"], "z": [560, "mm"]},
        {"x": [300, "mm"], "y": [150, "mm"], "z": [700, "mm"]},
        {"x": [0, "mm"], "y": [0, "mm"], "z": [480, "mm"]}]}]},
    "disconnects": [{"id": "cut", "method": "cut_loop", "point": "loop",
      "explanation": {"en": "Opens the contactors of the pack."}}]
  },
  "emergency": {}, "transport": {},
  "procedures": []
}"#;

/// The pickup as a profile.
#[expect(
    clippy::panic,
    reason = "a fixture that cannot be read is the failed test"
)]
pub(super) fn pickup() -> Profile {
    read::read("pickup.json", PICKUP.as_bytes(), Notation::Json).unwrap_or_else(|e| panic!("{e}"))
}

/// Figures such as the rules compute from scale readings.
pub(super) fn mass() -> MassResult {
    let estimate = |value: f64, half: f64, unit: &str| Estimate {
        value,
        plus_minus: Some(half),
        unit: unit.to_owned(),
        formula: "axle readings".to_owned(),
        doubt_from: Vec::new(),
    };
    let share = |axle: &str, load: f64| AxleShare {
        axle: axle.to_owned(),
        load: estimate(load, 8.0, "kg"),
        part: estimate(load / 3210.0, 0.002, "1"),
    };
    MassResult {
        variant: None,
        basis: "one weighing".to_owned(),
        mass: Some(estimate(3210.0, 11.0, "kg")),
        centre_x: Some(estimate(1.79, 0.06, "m")),
        centre_y: Some(estimate(0.02, 0.04, "m")),
        centre_z: Some(estimate(0.7, 0.09, "m")),
        axles: vec![share("front", 1650.0), share("rear", 1560.0)],
        not_known: Vec::new(),
    }
}

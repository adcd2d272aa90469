//! What the drawings of a fit show, as plain lengths in metres: truck and deck, the vehicle's shape, and where it stands.
//!
//! The drawings of a deck share one frame: x rearward from the deck's front edge, so that a placement of the reports is
//! a coordinate; y to the right; z up from the ground from the side, and from the deck's surface in reports of tie-downs.
//! What a file does not state is drawn at a usual size and named in [`Truck::assumed`] or [`VehicleShape::assumed`];
//! nothing is computed from a drawing.

use chockstone_mechanics::{propagation::Tracked, uncertain::COVERAGE_FACTOR};
use chockstone_schema::{
    Equipment, Sourced,
    model::equipment::{Chassis, Deck, RearAxles},
    report::{Facing, Judged},
};

use super::Vehicle;
use crate::view::At;

/// How large the wheels of a truck are drawn; no file states it.
const TRUCK_WHEEL_RADIUS: f64 = 0.48;
/// Half the distance of the axles of a tandem as it is drawn.
const TANDEM_HALF: f64 = 0.66;
/// A deck's height where none is stated.
const USUAL_DECK_HEIGHT: f64 = 1.1;
/// A deck's width where none is stated.
const USUAL_DECK_WIDTH: f64 = 2.5;
/// A truck's height where none is stated.
const USUAL_TRUCK_HEIGHT: f64 = 2.6;
/// A truck's front overhang where none is stated.
const USUAL_TRUCK_OVERHANG: f64 = 0.9;
/// A tyre's radius where none is stated.
const USUAL_RADIUS: f64 = 0.35;
/// A track where none is stated.
const USUAL_TRACK: f64 = 1.6;

/// A wheel seen from the side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Its centre along.
    pub x: f64,
    /// Its centre above the ground.
    pub z: f64,
    /// Its radius.
    pub radius: f64,
    /// Whether its size is data; an assumed size is drawn dashed.
    pub stated: bool,
}

/// An anchor of a deck, one side of a pair.
#[derive(Clone, Debug, PartialEq)]
pub struct AnchorMark {
    /// Its id, with its side where there are two.
    pub name: String,
    /// Rearward from the deck's front edge, and right of its middle.
    pub place: [f64; 2],
}

/// A carrier as it is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct Truck {
    /// The cab seen from the side; none where the deck's place on the truck is not stated.
    pub cab: Option<Vec<[f64; 2]>>,
    /// The wheels; none where the chassis is not stated.
    pub wheels: Vec<Wheel>,
    /// The deck's usable length.
    pub length: f64,
    /// The deck's width.
    pub width: f64,
    /// The deck's surface above the ground.
    pub height: f64,
    /// How far a load may stand out behind the deck, where it is stated.
    pub overhang: Option<f64>,
    /// The anchors, both sides.
    pub anchors: Vec<AnchorMark>,
    /// What is drawn at a usual size because the file does not state it.
    pub assumed: Vec<&'static str>,
}

impl Truck {
    /// What to draw of a carrier; `None` without a deck whose length is stated.
    pub fn of(equipment: &Equipment) -> Option<Self> {
        let deck = equipment.deck.as_ref()?;
        let length = deck.length.as_ref()?.si();
        let mut assumed = Vec::new();
        let mut or_usual = |value: Option<f64>, usual: f64, what| {
            value.unwrap_or_else(|| {
                assumed.push(what);
                usual
            })
        };
        let height = or_usual(si(deck.height.as_ref()), USUAL_DECK_HEIGHT, "deck height");
        let width = or_usual(si(deck.width.as_ref()), USUAL_DECK_WIDTH, "deck width");
        let chassis = equipment.chassis.as_ref();
        let front_axle = deck.front_edge.as_ref().map(|edge| -edge.si());
        let cab = chassis.zip(front_axle).map(|(chassis, axle)| {
            let overhang = or_usual(
                si(chassis.front_overhang.as_ref()),
                USUAL_TRUCK_OVERHANG,
                "front overhang",
            );
            let top = or_usual(
                si(chassis.overall_height.as_ref()),
                USUAL_TRUCK_HEIGHT,
                "cab height",
            );
            cab([axle - overhang, top])
        });
        if cab.is_some() {
            assumed.push("truck wheels");
        }
        Some(Self {
            cab,
            wheels: chassis
                .zip(front_axle)
                .map(|(chassis, axle)| truck_wheels(chassis, axle))
                .unwrap_or_default(),
            length,
            width,
            height,
            overhang: si(deck.rear_overhang_allowed.as_ref()),
            anchors: anchors(deck),
            assumed,
        })
    }

    /// The least and the greatest place of the whole, from the side.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let cab = self.cab.iter().flatten();
        let mut bounds = [[0.0, 0.0], [self.length, self.height]];
        for place in cab {
            widen(&mut bounds, *place);
        }
        for wheel in &self.wheels {
            widen(&mut bounds, [wheel.x + wheel.radius, wheel.z]);
            widen(&mut bounds, [wheel.x - wheel.radius, wheel.z]);
        }
        bounds
    }
}

/// A plain cab: bonnet, sloping windscreen, roof, ending a hand's breadth before the deck.
fn cab([front, top]: [f64; 2]) -> Vec<[f64; 2]> {
    let back = -0.12_f64.min(-front / 4.0);
    let length = (back - front).max(0.3);
    let at = |share: f64| front + share * length;
    let (sill, bonnet) = (0.5_f64.min(top / 3.0), top * 0.52);
    vec![
        [front, sill],
        [front, bonnet * 0.9],
        [at(0.3), bonnet],
        [at(0.5), top],
        [back, top],
        [back, sill],
    ]
}

fn truck_wheels(chassis: &Chassis, front_axle: f64) -> Vec<Wheel> {
    let wheel = |x: f64| Wheel {
        x,
        z: TRUCK_WHEEL_RADIUS,
        radius: TRUCK_WHEEL_RADIUS,
        stated: false,
    };
    let mut wheels = vec![wheel(front_axle)];
    if let Some(wheelbase) = si(chassis.wheelbase.as_ref()) {
        let rear = front_axle + wheelbase;
        match chassis.rear_axles {
            Some(RearAxles::Tandem) => {
                wheels.extend([wheel(rear - TANDEM_HALF), wheel(rear + TANDEM_HALF)]);
            }
            _ => wheels.push(wheel(rear)),
        }
    }
    wheels
}

fn anchors(deck: &Deck) -> Vec<AnchorMark> {
    let mut marks = Vec::new();
    for anchor in &deck.anchors {
        let (x, y) = (anchor.x.si(), anchor.y.si());
        let mut mark = |name: String, y: f64| {
            marks.push(AnchorMark {
                name,
                place: [x, y],
            });
        };
        if anchor.mirrored && y != 0.0 {
            mark(format!("{}, right", anchor.id), y.abs());
            mark(format!("{}, left", anchor.id), -y.abs());
        } else {
            mark(anchor.id.to_string(), y);
        }
    }
    marks
}

/// A wheel of the vehicle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct VehicleWheel {
    /// The wheel from the side, standing on level ground.
    pub side: Wheel,
    /// Half of the axle's track.
    pub half_track: f64,
}

/// A coordinate and its ± half-width at about 95 %.
pub type Spread = (f64, Option<f64>);

/// The centre of gravity as far as it is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CentreMark {
    /// Behind the front axle.
    pub x: Spread,
    /// Right of the middle.
    pub y: Option<Spread>,
    /// Above the ground.
    pub z: Option<Spread>,
}

/// The vehicle's shape in its own frame: x rearward from the front axle, y to its right, z up from the ground.
#[derive(Clone, Debug, PartialEq)]
pub struct VehicleShape {
    /// Its outline from the side.
    pub side: Vec<[f64; 2]>,
    /// Its outline from above.
    pub plan: Vec<[f64; 2]>,
    /// One wheel an axle.
    pub wheels: Vec<VehicleWheel>,
    /// The centre of gravity, where it is known along the vehicle.
    pub centre: Option<CentreMark>,
    /// Its foremost place.
    pub front: f64,
    /// Its rearmost place.
    pub rear: f64,
    /// What is drawn at a usual size because the file does not state it.
    pub assumed: Vec<&'static str>,
}

impl Vehicle<'_> {
    /// What to draw of the vehicle; where it has no outline, a box of its dimensions.
    pub fn shape(&self) -> VehicleShape {
        let mut assumed = Vec::new();
        let [front, rear] = self.ends(&mut assumed);
        let view = &self.view;
        let side = view.side_outline.as_ref().map_or_else(
            || {
                let top = view.height.as_ref().map_or(1.6, At::si);
                let bottom = view.ground_clearance.as_ref().map_or(0.2, At::si);
                rectangle([front, bottom], [rear, top])
            },
            |outline| outline.value.metres(),
        );
        let plan = view.plan_outline.as_ref().map_or_else(
            || {
                let half = view.width.as_ref().map_or(0.9, |w| w.si() / 2.0);
                rectangle([front, -half], [rear, half])
            },
            |outline| outline.value.metres(),
        );
        if view.side_outline.is_none() {
            assumed.push("side outline");
        }
        if view.plan_outline.is_none() {
            assumed.push("plan outline");
        }
        VehicleShape {
            side,
            plan,
            wheels: self.wheels(),
            centre: self.centre_mark(),
            front,
            rear,
            assumed,
        }
    }

    fn ends(&self, assumed: &mut Vec<&'static str>) -> [f64; 2] {
        let view = &self.view;
        let outlines = [
            view.side_outline.as_ref().map(|o| o.value.metres()),
            view.plan_outline.as_ref().map(|o| o.value.metres()),
        ];
        let drawn = outlines.iter().flatten().find(|corners| corners.len() > 2);
        let last = view.last_axle().unwrap_or(0.0);
        let dimensions = &view.profile.dimensions;
        let front = si(dimensions.front_overhang.as_ref()).map(|d| -d);
        let length = view.length.as_ref().map(At::si);
        let rear = si(dimensions.rear_overhang.as_ref()).map(|d| last + d);
        if let Some(corners) = drawn {
            let xs = || corners.iter().map(|[x, _]| *x);
            return [
                front.unwrap_or_else(|| xs().fold(f64::INFINITY, f64::min)),
                front
                    .zip(length)
                    .map(|(front, length)| front + length)
                    .or(rear)
                    .unwrap_or_else(|| xs().fold(f64::NEG_INFINITY, f64::max)),
            ];
        }
        if front.is_none() || (length.is_none() && rear.is_none()) {
            assumed.push("overhangs");
        }
        let front = front.unwrap_or(-0.9);
        [
            front,
            length.map(|l| front + l).or(rear).unwrap_or(last + 1.0),
        ]
    }

    fn wheels(&self) -> Vec<VehicleWheel> {
        let axles = self.view.axles.iter();
        axles
            .map(|axle| {
                let tyre = axle.tyre.as_ref();
                let radius = tyre.and_then(|t| Some(t.value.static_loaded_radius.as_ref()?.si()));
                let drawn = radius.unwrap_or(USUAL_RADIUS);
                let track = axle.track.as_ref().map_or(USUAL_TRACK, At::si);
                VehicleWheel {
                    side: Wheel {
                        x: axle.position.si(),
                        z: drawn,
                        radius: drawn,
                        stated: radius.is_some(),
                    },
                    half_track: track / 2.0,
                }
            })
            .collect()
    }

    fn centre_mark(&self) -> Option<CentreMark> {
        let spread = |t: &Tracked| {
            let u = t.u();
            (t.value(), (u > 0.0).then_some(COVERAGE_FACTOR * u))
        };
        Some(CentreMark {
            x: spread(self.computed.x.as_ref()?),
            y: self.computed.y.as_ref().map(spread),
            z: self.computed.z.as_ref().map(spread),
        })
    }
}

/// Where a vehicle stands on a deck, and which way round: from its frame to the deck's.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Standing {
    offset: f64,
    sign: f64,
}

impl Standing {
    /// The vehicle with its foremost place on the truck `placement` metres behind the deck's front edge.
    pub fn new(shape: &VehicleShape, facing: Facing, placement: f64) -> Self {
        match facing {
            Facing::NoseFirst => Self {
                offset: placement - shape.front,
                sign: 1.0,
            },
            Facing::TailFirst => Self {
                offset: placement + shape.rear,
                sign: -1.0,
            },
        }
    }

    /// A place along the vehicle, rearward from the deck's front edge.
    pub fn along(&self, x: f64) -> f64 {
        self.offset + self.sign * x
    }

    /// A place of the plan: along and to the right of the deck's middle.
    pub fn plan(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.along(x), self.sign * y]
    }
}

/// How much of its limit a figure takes up, where it has one that it must not exceed.
pub fn share_used(row: &Judged) -> Option<f64> {
    let most = row.limit.as_ref()?.at_most?;
    let share = row.figure.as_ref()?.value / most;
    share.is_finite().then_some(share)
}

fn si<K: chockstone_schema::quantity::Kind>(field: Option<&Sourced<K>>) -> Option<f64> {
    field.map(Sourced::si)
}

fn rectangle([x0, y0]: [f64; 2], [x1, y1]: [f64; 2]) -> Vec<[f64; 2]> {
    vec![[x0, y0], [x1, y0], [x1, y1], [x0, y1]]
}

fn widen(bounds: &mut [[f64; 2]; 2], [x, z]: [f64; 2]) {
    let [[x0, z0], [x1, z1]] = bounds;
    *x0 = x0.min(x);
    *x1 = x1.max(x);
    *z0 = z0.min(z);
    *z1 = z1.max(z);
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]
    use chockstone_schema::read::{Notation, read};

    use super::*;
    use crate::testing;

    fn carrier() -> Equipment {
        let text = r#"(
            format: "1.0", id: "carrier", language: "en", name: {"en": "Carrier"},
            chassis: (
                wheelbase: (value: (5, "m")), rear_axles: tandem,
                front_overhang: (value: (1, "m")), overall_height: (value: (2.5, "m")),
            ),
            deck: (
                front_edge: (value: (2, "m")), length: (value: (6.5, "m")),
                anchors: [
                    (id: "corner", x: (0.2, "m"), y: (1.1, "m"), z: (0, "m"), mirrored: true),
                    (id: "middle", x: (3, "m"), y: (0, "m"), z: (0, "m")),
                ],
            ),
        )"#;
        read("carrier", text.as_bytes(), Notation::Ron).unwrap()
    }

    #[test]
    fn a_carrier_is_drawn_from_its_decks_front_edge() {
        let truck = Truck::of(&carrier()).unwrap();
        // Plain logic: the deck's edge is 2 m behind the front axle, the tandem's middle 5 m behind it.
        let places: Vec<f64> = truck.wheels.iter().map(|w| w.x).collect();
        assert_eq!(places.len(), 3);
        assert!((places[0] + 2.0).abs() < 1e-12);
        assert!((f64::midpoint(places[1], places[2]) - 3.0).abs() < 1e-12);
        let [[front, _], [rear, top]] = truck.bounds();
        assert!((front + 3.0).abs() < 1e-12 && (top - 2.5).abs() < 1e-12);
        assert!((rear - 6.5).abs() < 1e-12);
        let cab = truck.cab.unwrap();
        assert!(
            cab.iter().all(|[x, _]| *x < 0.0),
            "the cab is before the deck"
        );
    }

    #[test]
    fn what_a_carrier_does_not_state_is_named() {
        let truck = Truck::of(&carrier()).unwrap();
        assert_eq!(truck.assumed, ["deck height", "deck width", "truck wheels"]);
        let mut bare = carrier();
        bare.deck.as_mut().unwrap().length = None;
        assert_eq!(Truck::of(&bare), None, "nothing can be placed");
    }

    #[test]
    fn a_pair_of_anchors_has_both_sides() {
        let truck = Truck::of(&carrier()).unwrap();
        let places: Vec<[f64; 2]> = truck.anchors.iter().map(|a| a.place).collect();
        assert_eq!(places, [[0.2, 1.1], [0.2, -1.1], [3.0, 0.0]]);
    }

    #[test]
    fn the_foremost_place_on_the_truck_is_the_placement_both_ways_round() {
        let profile = testing::sound_profile();
        let shape = Vehicle::new(&profile, None).shape();
        for facing in [Facing::NoseFirst, Facing::TailFirst] {
            let standing = Standing::new(&shape, facing, 0.4);
            let ends = [shape.front, shape.rear].map(|x| standing.along(x));
            let foremost = ends[0].min(ends[1]);
            assert!((foremost - 0.4).abs() < 1e-12, "{facing:?}");
            assert!(((ends[0] - ends[1]).abs() - (shape.rear - shape.front)).abs() < 1e-12);
        }
    }

    #[test]
    fn turned_round_the_vehicles_right_is_the_decks_left() {
        let profile = testing::sound_profile();
        let shape = Vehicle::new(&profile, None).shape();
        let [_, y] = Standing::new(&shape, Facing::TailFirst, 0.0).plan([0.0, 0.7]);
        assert!((y + 0.7).abs() < 1e-12);
        let [_, y] = Standing::new(&shape, Facing::NoseFirst, 0.0).plan([0.0, 0.7]);
        assert!((y - 0.7).abs() < 1e-12);
    }

    #[test]
    fn a_vehicle_without_outlines_is_a_box_of_its_dimensions() {
        let mut profile = testing::sound_profile();
        profile.dimensions.side_outline = None;
        profile.dimensions.plan_outline = None;
        let shape = Vehicle::new(&profile, None).shape();
        assert!(shape.assumed.contains(&"side outline"));
        assert!(shape.side.len() == 4 && shape.plan.len() == 4);
        assert!(shape.front < 0.0 && shape.rear > 0.0);
    }
}

//! The drawn shape of each kind of point.
//!
//! The shapes are this program's own. Each is told from every other by its shape alone, so that a grey print or a
//! colour-blind reader loses nothing; colour only repeats the group.

#[allow(clippy::enum_glob_use, reason = "the tables below name every kind")]
use chockstone_schema::model::point::PointKind::{self, *};

/// A part of a shape, in a box from −1 to 1 with y down.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// A filled convex polygon.
    Solid(&'static [[f32; 2]]),
    /// A closed line around the background's colour.
    Frame(&'static [[f32; 2]]),
    /// An open line.
    Stroke(&'static [[f32; 2]]),
    /// A circle's line around the background's colour: middle and radius.
    Ring([f32; 2], f32),
    /// A filled circle: middle and radius.
    Disc([f32; 2], f32),
}

use Part::{Disc, Frame, Ring, Solid, Stroke};

/// What a kind of point is for, roughly: the colour follows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Group {
    /// Carries the vehicle.
    Support,
    /// Is pulled on.
    Pull,
    /// Belongs to a supply of electricity.
    Electric,
    /// Opens or unlocks something.
    Opening,
    /// Anything else.
    Other,
}

/// Every kind, in the order of menus and the legend.
pub const ALL: [PointKind; 22] = [
    Lift,
    Jack,
    Stand,
    TieDown,
    Winch,
    RecoveryEye,
    TowEyeSocket,
    BatteryPositive,
    BatteryGround,
    LowVoltageBattery,
    ServiceDisconnect,
    CutLoop,
    LowVoltageLoop,
    ChargePort,
    ChargePortRelease,
    KeyLock,
    DoorRelease,
    FrontCoverRelease,
    RearCoverRelease,
    SpareWheel,
    PanelFasteners,
    Other,
];

/// What a kind is called.
pub fn name(kind: PointKind) -> &'static str {
    match kind {
        Lift => "Lift point",
        Jack => "Jack point",
        Stand => "Stand place",
        TieDown => "Tie-down",
        Winch => "Winch point",
        RecoveryEye => "Recovery eye",
        TowEyeSocket => "Tow eye socket",
        BatteryPositive => "Jump start positive",
        BatteryGround => "Jump start ground",
        LowVoltageBattery => "Low-voltage battery",
        ServiceDisconnect => "Service disconnect",
        CutLoop => "Cut loop",
        LowVoltageLoop => "Low-voltage loop",
        ChargePort => "Charge port",
        ChargePortRelease => "Charge port release",
        KeyLock => "Key lock",
        DoorRelease => "Door release",
        FrontCoverRelease => "Front cover release",
        RearCoverRelease => "Rear cover release",
        SpareWheel => "Spare wheel",
        PanelFasteners => "Panel fasteners",
        Other => "Other point",
    }
}

/// The group of a kind.
pub fn group(kind: PointKind) -> Group {
    match kind {
        Lift | Jack | Stand => Group::Support,
        TieDown | Winch | RecoveryEye | TowEyeSocket => Group::Pull,
        BatteryPositive | BatteryGround | LowVoltageBattery | ServiceDisconnect | CutLoop
        | LowVoltageLoop | ChargePort => Group::Electric,
        ChargePortRelease | KeyLock | DoorRelease | FrontCoverRelease | RearCoverRelease => {
            Group::Opening
        }
        SpareWheel | PanelFasteners | Other => Group::Other,
    }
}

/// The parts of a kind's shape, drawn in order.
pub fn parts(kind: PointKind) -> &'static [Part] {
    match group(kind) {
        Group::Support => support(kind),
        Group::Pull => pull(kind),
        Group::Electric => electric(kind),
        Group::Opening => opening(kind),
        Group::Other => other(kind),
    }
}

const SQUARE: Part = Frame(&[[-0.85, -0.85], [0.85, -0.85], [0.85, 0.85], [-0.85, 0.85]]);
const PORT: Part = Frame(&[
    [-0.8, -0.95],
    [0.8, -0.95],
    [0.8, 0.25],
    [0.0, 1.0],
    [-0.8, 0.25],
]);

fn support(kind: PointKind) -> &'static [Part] {
    match kind {
        // A pad under an arrow head: pushed up from below.
        Lift => &[
            Solid(&[[0.0, -0.95], [0.9, 0.45], [-0.9, 0.45]]),
            Solid(&[[-0.9, 0.65], [0.9, 0.65], [0.9, 0.95], [-0.9, 0.95]]),
        ],
        // A scissor jack from the side.
        Jack => &[
            Frame(&[[0.0, -1.0], [1.0, 0.0], [0.0, 1.0], [-1.0, 0.0]]),
            Stroke(&[[-1.0, 0.0], [1.0, 0.0]]),
        ],
        // A stand with its saddle.
        _ => &[
            Solid(&[[-0.3, -0.3], [0.3, -0.3], [0.95, 0.95], [-0.95, 0.95]]),
            Solid(&[[-0.6, -0.95], [0.6, -0.95], [0.6, -0.55], [-0.6, -0.55]]),
        ],
    }
}

fn pull(kind: PointKind) -> &'static [Part] {
    match kind {
        // A slot.
        TieDown => &[
            Frame(&[[-1.0, -0.6], [1.0, -0.6], [1.0, 0.6], [-1.0, 0.6]]),
            Solid(&[[-0.6, -0.2], [0.6, -0.2], [0.6, 0.2], [-0.6, 0.2]]),
        ],
        // An arrow along the line.
        Winch => &[
            Solid(&[[-1.0, 0.0], [0.0, -0.85], [0.0, 0.85]]),
            Solid(&[[0.0, -0.3], [1.0, -0.3], [1.0, 0.3], [0.0, 0.3]]),
        ],
        // A ring.
        RecoveryEye => &[Ring([0.0, 0.0], 0.92), Ring([0.0, 0.0], 0.42)],
        // A threaded hole in a hexagon.
        _ => &[
            Frame(&[
                [-0.5, -0.87],
                [0.5, -0.87],
                [1.0, 0.0],
                [0.5, 0.87],
                [-0.5, 0.87],
                [-1.0, 0.0],
            ]),
            Disc([0.0, 0.0], 0.42),
        ],
    }
}

fn electric(kind: PointKind) -> &'static [Part] {
    match kind {
        BatteryPositive => &[
            SQUARE,
            Stroke(&[[-0.5, 0.0], [0.5, 0.0]]),
            Stroke(&[[0.0, -0.5], [0.0, 0.5]]),
        ],
        // The three bars of an earth symbol (drawn as circuit diagrams do).
        BatteryGround => &[
            SQUARE,
            Stroke(&[[-0.55, -0.25], [0.55, -0.25]]),
            Stroke(&[[-0.35, 0.1], [0.35, 0.1]]),
            Stroke(&[[-0.15, 0.45], [0.15, 0.45]]),
        ],
        LowVoltageBattery => &[
            Solid(&[[-1.0, -0.45], [1.0, -0.45], [1.0, 0.85], [-1.0, 0.85]]),
            Solid(&[[-0.7, -0.85], [-0.3, -0.85], [-0.3, -0.45], [-0.7, -0.45]]),
            Solid(&[[0.3, -0.85], [0.7, -0.85], [0.7, -0.45], [0.3, -0.45]]),
        ],
        // An open switch in an octagon.
        ServiceDisconnect => &[
            Frame(&[
                [-0.41, -1.0],
                [0.41, -1.0],
                [1.0, -0.41],
                [1.0, 0.41],
                [0.41, 1.0],
                [-0.41, 1.0],
                [-1.0, 0.41],
                [-1.0, -0.41],
            ]),
            Stroke(&[[-0.75, 0.25], [-0.3, 0.25], [0.4, -0.5]]),
            Stroke(&[[0.35, 0.25], [0.75, 0.25]]),
        ],
        // Cut right through.
        CutLoop => &[
            Ring([0.0, 0.0], 0.75),
            Stroke(&[[-1.0, 1.0], [1.0, -1.0]]),
            Stroke(&[[-1.0, -1.0], [1.0, 1.0]]),
        ],
        // A loop with a gap that can close again.
        LowVoltageLoop => &[
            Stroke(&[
                [0.55, -0.65],
                [0.1, -0.84],
                [-0.36, -0.77],
                [-0.72, -0.45],
                [-0.85, 0.0],
                [-0.72, 0.45],
                [-0.36, 0.77],
                [0.1, 0.84],
                [0.55, 0.65],
            ]),
            Disc([0.6, -0.55], 0.3),
            Disc([0.6, 0.55], 0.3),
        ],
        _ => &[
            PORT,
            Disc([-0.35, -0.4], 0.22),
            Disc([0.35, -0.4], 0.22),
            Disc([0.0, 0.25], 0.22),
        ],
    }
}

fn opening(kind: PointKind) -> &'static [Part] {
    match kind {
        // A pull cord.
        ChargePortRelease => &[
            PORT,
            Stroke(&[[0.0, -0.6], [0.0, 0.5]]),
            Stroke(&[[-0.4, 0.05], [0.0, 0.5], [0.4, 0.05]]),
        ],
        // A keyhole.
        KeyLock => &[
            Disc([0.0, -0.4], 0.55),
            Solid(&[[-0.2, -0.1], [0.2, -0.1], [0.55, 0.95], [-0.55, 0.95]]),
        ],
        // A door leaf with its handle.
        DoorRelease => &[
            Frame(&[[-0.65, -1.0], [0.65, -1.0], [0.65, 1.0], [-0.65, 1.0]]),
            Solid(&[[-0.4, -0.15], [0.2, -0.15], [0.2, 0.15], [-0.4, 0.15]]),
        ],
        // A lid open toward the front, which is left.
        FrontCoverRelease => &[
            Solid(&[[-1.0, 0.35], [1.0, 0.35], [1.0, 0.85], [-1.0, 0.85]]),
            Stroke(&[[0.95, 0.2], [-0.75, -0.9]]),
        ],
        // A lid open toward the rear.
        _ => &[
            Solid(&[[-1.0, 0.35], [1.0, 0.35], [1.0, 0.85], [-1.0, 0.85]]),
            Stroke(&[[-0.95, 0.2], [0.75, -0.9]]),
        ],
    }
}

fn other(kind: PointKind) -> &'static [Part] {
    match kind {
        SpareWheel => &[
            Ring([0.0, 0.0], 0.95),
            Stroke(&[[-0.95, 0.0], [0.95, 0.0]]),
            Stroke(&[[0.0, -0.95], [0.0, 0.95]]),
            Disc([0.0, 0.0], 0.3),
        ],
        PanelFasteners => &[
            Disc([-0.6, -0.6], 0.34),
            Disc([0.6, -0.6], 0.34),
            Disc([-0.6, 0.6], 0.34),
            Disc([0.6, 0.6], 0.34),
        ],
        // A star of four points.
        _ => &[
            Solid(&[[0.0, -1.0], [0.3, 0.0], [0.0, 1.0], [-0.3, 0.0]]),
            Solid(&[[-1.0, 0.0], [0.0, -0.3], [1.0, 0.0], [0.0, 0.3]]),
        ],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagram::polygon;
    use egui::{Pos2, pos2};

    /// Which cells of a 15 × 15 raster a shape inks, as it is drawn at its smallest: about 15 points across.
    fn raster(kind: PointKind) -> Vec<bool> {
        let cell = |i: u16| (f32::from(i) + 0.5) / 7.5 - 1.0;
        let cells = (0..15_u16).flat_map(|row| (0..15_u16).map(move |column| (row, column)));
        cells
            .map(|(row, column)| inked(parts(kind), pos2(cell(column), cell(row))))
            .collect()
    }

    fn inked(parts: &[Part], at: Pos2) -> bool {
        let half_line = 0.1;
        parts.iter().fold(false, |ink, part| match part {
            Solid(corners) => ink || polygon::contains(&points(corners), at),
            Disc(middle, radius) => ink || at.distance(Pos2::from(*middle)) <= *radius,
            Stroke(corners) => {
                let points = points(corners);
                let pairs = points.iter().zip(points.iter().skip(1));
                ink || pairs
                    .into_iter()
                    .any(|(a, b)| polygon::distance_to_segment(*a, *b, at) <= half_line)
            }
            Frame(corners) => {
                let points = points(corners);
                let inside = polygon::contains(&points, at);
                polygon::distance_to_edge(&points, at) <= half_line || (ink && !inside)
            }
            Ring(middle, radius) => {
                let distance = at.distance(Pos2::from(*middle));
                (distance - radius).abs() <= half_line || (ink && distance > *radius)
            }
        })
    }

    fn points(corners: &[[f32; 2]]) -> Vec<Pos2> {
        corners.iter().map(|c| Pos2::from(*c)).collect()
    }

    #[test]
    fn every_two_kinds_differ_in_shape_without_colour() {
        for (i, a) in ALL.iter().enumerate() {
            for b in ALL.iter().skip(i + 1) {
                let pairs = raster(*a).into_iter().zip(raster(*b));
                let different = pairs.filter(|(a, b)| a != b).count();
                assert!(
                    different >= 12,
                    "{a:?} and {b:?} differ in {different} of 225 cells"
                );
            }
        }
    }

    #[test]
    fn the_list_has_every_kind_of_the_model_once() {
        let schema = &chockstone_schema::json_schema::profile().annotated;
        let of_schema = strings_beside(schema, "tie_down");
        let mut named: Vec<String> = ALL
            .iter()
            .filter_map(|k| Some(serde_json::to_value(k).ok()?.as_str()?.to_owned()))
            .collect();
        named.sort();
        named.dedup();
        assert_eq!(named.len(), ALL.len());
        assert!(of_schema.contains(&named), "{of_schema:?}");
    }

    /// Every set of constants of the schema that holds this one.
    fn strings_beside(value: &serde_json::Value, wanted: &str) -> Vec<Vec<String>> {
        let mut found = Vec::new();
        let inner: Vec<&serde_json::Value> = match value {
            serde_json::Value::Array(items) => items.iter().collect(),
            serde_json::Value::Object(fields) => fields.values().collect(),
            _ => return found,
        };
        let constant =
            |v: &serde_json::Value| Some(v.get("const").unwrap_or(v).as_str()?.to_owned());
        let mut here: Vec<String> = inner.iter().filter_map(|v| constant(v)).collect();
        here.sort();
        if here.iter().any(|s| s == wanted) {
            found.push(here);
        }
        found.extend(inner.into_iter().flat_map(|v| strings_beside(v, wanted)));
        found
    }

    #[test]
    fn every_kind_has_its_own_name() {
        let mut names: Vec<&str> = ALL.iter().map(|k| name(*k)).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), ALL.len());
    }
}

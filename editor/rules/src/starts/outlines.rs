//! The drawings behind the starts: a few corners as shares of the vehicle's dimensions.

use super::BodyStart;
use crate::geometry::Spot;

/// What a drawing scales with, in metres.
pub(super) struct Frame {
    pub(super) wheelbase: f64,
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) front_overhang: Option<f64>,
    pub(super) rear_overhang: Option<f64>,
}

/// Corners over the roof from the front bumper's lower edge to the rear's: share of the length behind the front end,
/// share of the height.
fn contour(start: BodyStart) -> &'static [Spot] {
    match start {
        BodyStart::Hatch => &[
            [0.0, 0.3],
            [0.01, 0.42],
            [0.05, 0.5],
            [0.26, 0.62],
            [0.42, 0.97],
            [0.58, 1.0],
            [0.88, 0.93],
            [0.97, 0.62],
            [1.0, 0.45],
            [0.99, 0.27],
        ],
        BodyStart::Sedan => &[
            [0.0, 0.32],
            [0.01, 0.45],
            [0.05, 0.52],
            [0.28, 0.64],
            [0.43, 0.97],
            [0.56, 1.0],
            [0.7, 0.95],
            [0.85, 0.71],
            [0.98, 0.67],
            [1.0, 0.45],
            [0.99, 0.28],
        ],
        BodyStart::Suv => &[
            [0.0, 0.32],
            [0.01, 0.48],
            [0.04, 0.56],
            [0.24, 0.64],
            [0.36, 0.95],
            [0.5, 1.0],
            [0.86, 0.98],
            [0.96, 0.64],
            [1.0, 0.48],
            [0.99, 0.3],
        ],
        BodyStart::Pickup => &[
            [0.0, 0.34],
            [0.01, 0.52],
            [0.03, 0.6],
            [0.22, 0.66],
            [0.33, 0.97],
            [0.42, 1.0],
            [0.58, 0.98],
            [0.64, 0.64],
            [0.99, 0.63],
            [1.0, 0.45],
            [0.99, 0.34],
        ],
        BodyStart::Van => &[
            [0.0, 0.25],
            [0.01, 0.38],
            [0.04, 0.44],
            [0.16, 0.54],
            [0.28, 0.94],
            [0.36, 1.0],
            [0.97, 1.0],
            [0.99, 0.92],
            [1.0, 0.3],
            [0.99, 0.22],
        ],
        BodyStart::Bus => &[
            [0.0, 0.2],
            [0.005, 0.45],
            [0.03, 0.92],
            [0.06, 0.99],
            [0.1, 1.0],
            [0.98, 1.0],
            [0.995, 0.93],
            [1.0, 0.3],
            [0.995, 0.2],
        ],
        BodyStart::BoxTruck => &[
            [0.0, 0.22],
            [0.01, 0.3],
            [0.04, 0.37],
            [0.11, 0.42],
            [0.17, 0.62],
            [0.24, 0.66],
            [0.27, 0.66],
            [0.27, 1.0],
            [1.0, 1.0],
            [1.0, 0.26],
        ],
    }
}

/// The underbody's height as a share of the whole.
fn floor(start: BodyStart) -> f64 {
    match start {
        BodyStart::Hatch | BodyStart::Sedan | BodyStart::Bus => 0.1,
        BodyStart::Suv | BodyStart::Van => 0.115,
        BodyStart::Pickup => 0.14,
        BodyStart::BoxTruck => 0.16,
    }
}

/// The part of both overhangs together that lies before the front axle, where the front overhang is not stated.
fn front_part(start: BodyStart) -> f64 {
    match start {
        BodyStart::Hatch => 0.54,
        BodyStart::Sedan | BodyStart::Bus => 0.45,
        BodyStart::Suv => 0.46,
        BodyStart::Pickup => 0.42,
        BodyStart::Van => 0.47,
        BodyStart::BoxTruck => 0.4,
    }
}

impl Frame {
    /// Where the vehicle's front end is, behind the front axle: a negative number.
    fn front_end(&self, start: BodyStart) -> f64 {
        let overhangs = self.length - self.wheelbase;
        let front = match (self.front_overhang, self.rear_overhang) {
            (Some(front), _) => front,
            (None, Some(rear)) => overhangs - rear,
            (None, None) => overhangs * front_part(start),
        };
        -front
    }
}

/// The side outline in metres: over the roof, then back along the underbody with an arch over each axle.
pub(super) fn side(start: BodyStart, frame: &Frame) -> Vec<Spot> {
    let front = frame.front_end(start);
    let floor = floor(start) * frame.height;
    let mut corners: Vec<Spot> = contour(start)
        .iter()
        .map(|[s, z]| [front + s * frame.length, z * frame.height])
        .collect();
    let sill = |s: f64| [front + s * frame.length, floor];
    corners.push(sill(0.97));
    if let Some(radius) = arch_radius(front, frame) {
        corners.extend(arch(frame.wheelbase, floor, radius));
        corners.extend(arch(0.0, floor, radius));
    }
    corners.push(sill(0.03));
    corners
}

/// The radius of the wheel arches; none where the dimensions leave no room for them.
fn arch_radius(front: f64, frame: &Frame) -> Option<f64> {
    let front_room = -front - 0.03 * frame.length;
    let rear_room = front + 0.97 * frame.length - frame.wheelbase;
    let room = front_room.min(rear_room).min(frame.wheelbase / 2.0);
    let radius = (0.24 * frame.height).min(0.55).min(0.9 * room);
    // The arch must stay below the lowest corner of the bumpers.
    let radius = radius.min(0.5 * frame.height);
    (radius > 0.1).then_some(radius)
}

/// An arch from rear to front as five corners, flattened so that it stays under every contour.
fn arch(x: f64, floor: f64, radius: f64) -> [Spot; 5] {
    let rise = 0.8 * radius;
    [
        [x + radius, floor],
        [x + 0.8 * radius, floor + 0.6 * rise],
        [x, floor + rise],
        [x - 0.8 * radius, floor + 0.6 * rise],
        [x - radius, floor],
    ]
}

/// The plan outline in metres, the same on both sides.
pub(super) fn plan(start: BodyStart, frame: &Frame) -> Vec<Spot> {
    let front = frame.front_end(start);
    let half: &[Spot] = match start {
        BodyStart::Bus | BodyStart::BoxTruck => &[
            [0.0, 0.9],
            [0.01, 0.97],
            [0.03, 1.0],
            [0.99, 1.0],
            [1.0, 0.98],
        ],
        BodyStart::Van => &[
            [0.0, 0.7],
            [0.015, 0.86],
            [0.08, 0.97],
            [0.18, 1.0],
            [0.98, 0.99],
            [1.0, 0.95],
        ],
        _ => &[
            [0.0, 0.66],
            [0.02, 0.83],
            [0.08, 0.95],
            [0.2, 1.0],
            [0.84, 1.0],
            [0.96, 0.94],
            [1.0, 0.78],
        ],
    };
    let place = |[s, w]: &Spot, side: f64| [front + s * frame.length, side * w * frame.width / 2.0];
    let right = half.iter().map(|c| place(c, 1.0));
    let left = half.iter().rev().map(|c| place(c, -1.0));
    right.chain(left).collect()
}

//! The classic angles: approach, departure, breakover, what a crest takes, the bed's own angle.
//!
//! - Point form of the breakover angle: 2·atan(2·GC/L). A trade article, read second-hand.
//! - Angle of the tangent from a tyre to a point: asin(r/s) − atan((r − z)/d), s = √(d² + (r − z)²);
//!   arithmetic from the geometry, no citation.
//! - Approach and departure angle: the smallest tangent angle over all points ahead of the front or
//!   behind the rear tyres; the wording of 49 CFR 523.2, read second-hand.
//! - Breakover angle: the smallest sum of the tangent angles from both tyres to one point of the
//!   underside; 49 CFR 523.2, from memory.
//! - What a crest takes from the ground clearance: a·b·sin δ / √(a² + b² + 2ab·cos δ), the height of
//!   a hinge over the chord between the wheels; arithmetic, no citation.
//! - Bed angle: asin(hinge height / bed length); arithmetic, no citation.

use super::{ClearingError, Vehicle, Wheel};
use crate::propagation::Tracked;

/// An angle and the point of the body that sets it.
#[derive(Debug, Clone, PartialEq)]
pub struct AngleAt {
    /// Radians.
    pub angle: Tracked,
    /// In the frame of the vehicle: x rearward, z up.
    pub spot: [f64; 2],
}

/// Computes the breakover angle of a belly at mid-wheelbase by its point alone, radians.
///
/// # Errors
/// Lengths that are not more than zero.
pub fn point_breakover(
    ground_clearance: &Tracked,
    wheelbase: &Tracked,
) -> Result<Tracked, ClearingError> {
    positive(ground_clearance, "ground clearance")?;
    positive(wheelbase, "wheelbase")?;
    Ok(2.0 * (2.0 * ground_clearance / wheelbase).atan())
}

/// Computes the angle to the level of the line that touches a tyre below and passes a point.
///
/// `distance` is that of the point from the wheel's centre along the vehicle, `height` that above
/// the ground; metres, result in radians.
///
/// # Errors
/// Lengths that are not possible, and a point inside the wheel.
pub fn tyre_tangent(
    distance: &Tracked,
    height: &Tracked,
    radius: &Tracked,
) -> Result<Tracked, ClearingError> {
    positive(distance, "distance from the wheel")?;
    positive(radius, "wheel radius")?;
    let below = radius - height;
    let to_centre = (distance * distance + &below * &below).sqrt();
    let (apart, reach) = (to_centre.value(), radius.value());
    if !height.is_finite() {
        let what = "height of the point";
        return Err(ClearingError::NotFinite { what });
    }
    if apart <= reach {
        return Err(ClearingError::PointInWheel {
            distance: apart,
            radius: reach,
        });
    }
    Ok((radius / &to_centre).asin() - (below / distance).atan())
}

/// Computes the approach angle from the outline.
///
/// # Errors
/// An outline without a point ahead of the front tyres.
pub fn approach_angle(vehicle: &Vehicle) -> Result<AngleAt, ClearingError> {
    overhang_angle(vehicle, &vehicle.front, -1.0)
}

/// Computes the departure angle from the outline.
///
/// # Errors
/// An outline without a point behind the rear tyres.
pub fn departure_angle(vehicle: &Vehicle) -> Result<AngleAt, ClearingError> {
    overhang_angle(vehicle, &vehicle.rear, 1.0)
}

fn overhang_angle(vehicle: &Vehicle, wheel: &Wheel, side: f64) -> Result<AngleAt, ClearingError> {
    let points = vehicle.outline.iter().filter_map(|&[x, z]| {
        let distance = side * (x - wheel.x.value());
        Some((tangent(distance, z, wheel.radius.value())?, [x, z]))
    });
    let least = points.min_by(|a, b| a.0.total_cmp(&b.0));
    let (_, spot) = least.ok_or(ClearingError::NoPoint)?;
    Ok(AngleAt {
        angle: tracked_tangent(vehicle, wheel, spot)?,
        spot,
    })
}

/// Computes the breakover angle from the outline: the sharpest crest that the belly clears.
///
/// # Errors
/// An outline without a point between the tyres.
pub fn breakover_angle(vehicle: &Vehicle) -> Result<AngleAt, ClearingError> {
    let sum = |spot: [f64; 2]| both_tangents(vehicle, spot);
    let edges = vehicle
        .outline
        .iter()
        .zip(vehicle.outline.iter().cycle().skip(1));
    let least = edges
        .filter_map(|(&a, &b)| least_on_edge(between(vehicle, a, b)?, sum))
        .min_by(|a, b| a.0.total_cmp(&b.0));
    let (_, spot) = least.ok_or(ClearingError::NoPoint)?;
    let front = tracked_tangent(vehicle, &vehicle.front, spot)?;
    let rear = tracked_tangent(vehicle, &vehicle.rear, spot)?;
    Ok(AngleAt {
        angle: front + rear,
        spot,
    })
}

/// Computes how far a crest stands above the line between the wheels' points of contact, metres.
///
/// `behind` and `ahead` are the distances of the crest from the two contacts, `change` is the change
/// of slope in radians. The clearance at the crest is the local ground clearance less this.
///
/// # Errors
/// Lengths that are not more than zero.
pub fn crest_intrusion(
    behind: &Tracked,
    ahead: &Tracked,
    change: &Tracked,
) -> Result<Tracked, ClearingError> {
    positive(behind, "distance of the crest from the rear wheels")?;
    positive(ahead, "distance of the crest from the front wheels")?;
    let chord = (behind * behind + ahead * ahead + 2.0 * (behind * ahead) * change.cos()).sqrt();
    positive(&chord, "distance between the wheels")?;
    Ok(behind * ahead * change.sin() / chord)
}

/// Computes the angle of a bed whose end is on the ground from the height of its hinge, radians.
///
/// # Errors
/// Lengths that are not more than zero, and a hinge higher than the bed is long.
pub fn bed_angle(hinge_height: &Tracked, bed_length: &Tracked) -> Result<Tracked, ClearingError> {
    positive(hinge_height, "height of the hinge")?;
    positive(bed_length, "length of the bed")?;
    let sine = hinge_height / bed_length;
    if sine.value() >= 1.0 {
        let (what, value) = ("height of the hinge", hinge_height.value());
        return Err(ClearingError::OutOfRange { what, value });
    }
    Ok(sine.asin())
}

fn positive(number: &Tracked, what: &'static str) -> Result<(), ClearingError> {
    let value = number.value();
    if !number.is_finite() {
        Err(ClearingError::NotFinite { what })
    } else if value <= 0.0 {
        Err(ClearingError::OutOfRange { what, value })
    } else {
        Ok(())
    }
}

/// The tangent angle in plain numbers; `None` for a point that is not beyond the tyre.
fn tangent(distance: f64, height: f64, radius: f64) -> Option<f64> {
    let below = radius - height;
    let apart = distance.hypot(below);
    (distance > 0.0 && apart > radius).then(|| (radius / apart).asin() - (below / distance).atan())
}

fn both_tangents(vehicle: &Vehicle, [x, z]: [f64; 2]) -> Option<f64> {
    let (front, rear) = (&vehicle.front, &vehicle.rear);
    let ahead = tangent(x - front.x.value(), z, front.radius.value())?;
    Some(ahead + tangent(rear.x.value() - x, z, rear.radius.value())?)
}

/// The tangent angle with its uncertainty; the outline's own error moves the point square to the
/// tangent.
fn tracked_tangent(
    vehicle: &Vehicle,
    wheel: &Wheel,
    [x, z]: [f64; 2],
) -> Result<Tracked, ClearingError> {
    let distance = if x < wheel.x.value() {
        &wheel.x - x
    } else {
        x - &wheel.x
    };
    let angle = tyre_tangent(&distance, &Tracked::exact(z), &wheel.radius)?;
    let below = wheel.radius.value() - z;
    let length = (distance.value().powi(2) + below * below - wheel.radius.value().powi(2)).sqrt();
    Ok(angle - &vehicle.outline_error / length.max(1e-3))
}

/// The part of an edge that lies between the axles.
fn between(vehicle: &Vehicle, a: [f64; 2], b: [f64; 2]) -> Option<[[f64; 2]; 2]> {
    let (front, rear) = (vehicle.front.x.value(), vehicle.rear.x.value());
    let (low, high) = if a[0] <= b[0] { (a, b) } else { (b, a) };
    let at = |x: f64| {
        let width = high[0] - low[0];
        let part = if width > 0.0 {
            (x - low[0]) / width
        } else {
            0.0
        };
        [x, low[1] + (high[1] - low[1]) * part]
    };
    if high[0] <= front || low[0] >= rear {
        return None;
    }
    let start = if low[0] < front { at(front) } else { low };
    let end = if high[0] > rear { at(rear) } else { high };
    Some([start, end])
}

/// The least of a function along an edge, by samples and a golden section between the best.
fn least_on_edge(
    [a, b]: [[f64; 2]; 2],
    value: impl Fn([f64; 2]) -> Option<f64>,
) -> Option<(f64, [f64; 2])> {
    const SAMPLES: u32 = 16;
    let at = |part: f64| [a[0] + (b[0] - a[0]) * part, a[1] + (b[1] - a[1]) * part];
    let of = |part: f64| value(at(part)).unwrap_or(f64::INFINITY);
    let step = f64::from(SAMPLES).recip();
    let parts = (0..=SAMPLES).map(|index| f64::from(index) * step);
    let best = parts.min_by(|x, y| of(*x).total_cmp(&of(*y)))?;
    let golden = (5f64.sqrt() - 1.0) / 2.0;
    let (mut from, mut to) = ((best - step).max(0.0), (best + step).min(1.0));
    while to - from > 1e-9 {
        let (left, right) = (to - golden * (to - from), from + golden * (to - from));
        if of(left) <= of(right) {
            to = right;
        } else {
            from = left;
        }
    }
    let part = [best, from.midpoint(to)]
        .into_iter()
        .min_by(|x, y| of(*x).total_cmp(&of(*y)))?;
    Some((of(part), at(part))).filter(|(value, _)| value.is_finite())
}

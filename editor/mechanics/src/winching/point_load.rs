//! Whether a point may be loaded in the direction in which a line pulls it.
//!
//! # Geometry
//! A point's maker allows directions within cones: an axis and a half angle. The angle between a pull
//! and an axis is atan2(|a × b|, a · b), which keeps its accuracy near 0 and 180°. A direction is
//! allowed when it lies in at least one of the cones.
//!
//! # Valid for
//! Directions taken as exact. Beside the half angles that makers state, the error of a direction from
//! places that are known to a centimetre is small for legs of a metre; where it is not, widen the
//! angle by it before judging.

use super::error::{Quantity, WinchingError};
use std::f64::consts::PI;

/// A cone of directions in which a point may be loaded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cone {
    /// The middle of the cone; any length but zero.
    pub axis: [f64; 3],
    /// The half angle, radians, from 0 to 180°.
    pub half_angle: f64,
}

/// How a pull lies to the cone that suits it best.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ConeFit {
    /// Which of the cones, counted from zero.
    pub cone: usize,
    /// The angle between the pull and the cone's axis, radians.
    pub angle: f64,
    /// The cone's half angle, radians.
    pub allowed: f64,
}

impl ConeFit {
    /// Says whether the pull lies inside the cone, its surface included.
    pub fn is_inside(self) -> bool {
        self.angle <= self.allowed
    }
}

/// Returns the unit vector from one place to another.
///
/// # Errors
/// Places that are not finite or lie on each other.
pub fn unit_toward(from: [f64; 3], to: [f64; 3]) -> Result<[f64; 3], WinchingError> {
    let [fx, fy, fz] = from;
    let [tx, ty, tz] = to;
    unit([tx - fx, ty - fy, tz - fz])
}

/// Returns the angle between two directions, radians from 0 to π.
///
/// # Errors
/// Directions that are not finite or have no length.
pub fn angle_between(a: [f64; 3], b: [f64; 3]) -> Result<f64, WinchingError> {
    // Products of very long or very short directions leave the range of numbers.
    let [ax, ay, az] = unit(a)?;
    let [bx, by, bz] = unit(b)?;
    let across = length([ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx]);
    Ok(across.atan2(ax * bx + ay * by + az * bz))
}

/// Finds the cone that a pull suits best: the one with the most room, or that it misses by the least.
///
/// No cones give `None`: nothing limits the direction.
///
/// # Errors
/// A pull or axis without length, a half angle that is not from 0 to 180°, and what is not finite.
pub fn nearest_cone(pull: [f64; 3], cones: &[Cone]) -> Result<Option<ConeFit>, WinchingError> {
    let mut best: Option<ConeFit> = None;
    for (index, cone) in cones.iter().enumerate() {
        if !(0.0..=PI).contains(&cone.half_angle) {
            let (quantity, value) = (Quantity::ConeAngle, cone.half_angle);
            let (low, high) = (0.0, PI);
            return Err(WinchingError::OutOfRange {
                quantity,
                value,
                low,
                high,
            });
        }
        let fit = ConeFit {
            cone: index,
            angle: angle_between(pull, cone.axis)?,
            allowed: cone.half_angle,
        };
        if best.is_none_or(|best| fit.angle - fit.allowed < best.angle - best.allowed) {
            best = Some(fit);
        }
    }
    Ok(best)
}

fn length([x, y, z]: [f64; 3]) -> f64 {
    x.hypot(y).hypot(z)
}

/// Brings a direction to the length 1.
fn unit(vector: [f64; 3]) -> Result<[f64; 3], WinchingError> {
    let quantity = Quantity::Direction;
    // The greatest part first: even the length of a vector of finite parts can be out of range.
    let greatest = vector
        .iter()
        .fold(0.0f64, |most, part| most.max(part.abs()));
    if !vector.iter().all(|part| part.is_finite()) {
        return Err(WinchingError::NotFinite { quantity });
    }
    if greatest <= 0.0 {
        let value = greatest;
        return Err(WinchingError::NotPositive { quantity, value });
    }
    let scaled = vector.map(|part| part / greatest);
    let length = length(scaled);
    Ok(scaled.map(|part| part / length))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::close;
    use super::*;
    use proptest::prelude::*;

    const FORWARD: [f64; 3] = [-1.0, 0.0, 0.0];

    fn cone(axis: [f64; 3], degrees: f64) -> Cone {
        Cone {
            axis,
            half_angle: degrees.to_radians(),
        }
    }

    #[test]
    fn angles_from_nothing_to_straight_back() {
        let angle = |to| angle_between(FORWARD, to).unwrap().to_degrees();
        close(angle([-2.0, 0.0, 0.0]), 0.0, 0.0);
        close(angle([-1.0, 1.0, 0.0]), 45.0, 1e-12);
        close(angle([0.0, 0.0, 3.0]), 90.0, 1e-12);
        close(angle([1.0, 0.0, 0.0]), 180.0, 1e-12);
        close(angle([-1.0, 1e-9, 0.0]), 1e-9f64.to_degrees(), 1e-20);
    }

    #[test]
    fn a_pull_needs_one_cone_only() {
        let cones = [cone(FORWARD, 20.0), cone([0.0, 0.0, -1.0], 30.0)];
        let fit = |pull| nearest_cone(pull, &cones).unwrap().unwrap();
        assert!(fit([-1.0, 0.3, 0.0]).is_inside());
        let down = fit([0.0, 0.1, -1.0]);
        assert_eq!((down.cone, down.is_inside()), (1, true));
        let between = fit([-1.0, 0.0, -1.0]);
        assert!(!between.is_inside());
        assert_eq!(between.cone, 1, "missed by 15 degrees instead of 25");
        assert_eq!(nearest_cone(FORWARD, &[]), Ok(None));
    }

    #[test]
    fn very_long_and_very_short_directions_keep_their_angle() {
        for size in [1e-310, 1e-200, 1e200, 1e308] {
            let angle = angle_between([0.0, size, 0.0], FORWARD).unwrap();
            close(angle.to_degrees(), 90.0, 1e-12);
            let angle = angle_between([-size, size, 0.0], FORWARD).unwrap();
            close(angle.to_degrees(), 45.0, 1e-6);
            let unit = unit_toward([0.0; 3], [size, size, size]).unwrap();
            close(length(unit), 1.0, 1e-6);
        }
    }

    #[test]
    fn what_is_no_direction_is_refused() {
        for bad in [[0.0; 3], [f64::NAN, 1.0, 0.0], [f64::INFINITY, 1.0, 0.0]] {
            assert!(angle_between(bad, FORWARD).is_err());
            assert!(angle_between(FORWARD, bad).is_err());
            assert!(unit_toward([0.0; 3], bad).is_err());
            assert!(nearest_cone(bad, &[cone(FORWARD, 10.0)]).is_err());
        }
        for degrees in [-1.0, 181.0, f64::NAN] {
            assert!(nearest_cone(FORWARD, &[cone(FORWARD, degrees)]).is_err());
        }
    }

    proptest! {
        #[test]
        fn length_and_mirror_do_not_matter(
            x in -1.0..1.0f64, y in 0.1..1.0f64, z in -1.0..1.0f64, by in 0.1..10.0f64,
        ) {
            let angle = angle_between([x, y, z], FORWARD).unwrap();
            let scaled = angle_between([x * by, y * by, z * by], FORWARD).unwrap();
            let mirrored = angle_between([x, -y, z], FORWARD).unwrap();
            prop_assert!((angle - scaled).abs() < 1e-12 && (angle - mirrored).abs() < 1e-12);
            let unit = unit_toward([1.0, 2.0, 3.0], [1.0 + x, 2.0 + y, 3.0 + z]).unwrap();
            prop_assert!((unit.map(|part| part * part).iter().sum::<f64>() - 1.0).abs() < 1e-12);
        }
    }
}

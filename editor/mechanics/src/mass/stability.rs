//! Static stability factor, the angle at which a rigid body tips, and usual values.
//!
//! # Free body
//! A rigid vehicle of track T stands across a slope. It begins to tip when its weight, acting at
//! height h, points just outside the lower wheels: at tan θ = T/2h. "One half the track width, t,
//! divided by h, the height of the center of gravity above the road": NHTSA rollover docket, ch. V,
//! read. Tyres and springs give way before that, so the angle is an upper bound and never a permission.

use super::error::{MassError, Quantity, check_positive, positive};
use crate::propagation::Tracked;
use crate::uncertain::Uncertain;
use crate::verdict::{Limit, Verdict};

/// Computes the static stability factor T / 2h; both in metres.
///
/// # Errors
/// A track or height that is not more than zero, and anything that is not finite.
pub fn static_stability_factor(track: &Tracked, height: &Tracked) -> Result<Tracked, MassError> {
    check_positive(track, Quantity::VehicleTrack)?;
    check_positive(height, Quantity::Height)?;
    positive(track / (2.0 * height), Quantity::StabilityFactor)
}

/// Computes the side slope, in radians, at which a rigid body of this stability factor tips.
///
/// # Errors
/// A factor that is not more than zero or not finite.
pub fn tip_angle(stability_factor: &Tracked) -> Result<Tracked, MassError> {
    check_positive(stability_factor, Quantity::StabilityFactor)?;
    Ok(stability_factor.atan())
}

/// A range in which a quantity usually lies, and who says so. For warnings, never for refusals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlausibleRange {
    /// What it is a range of.
    pub what: &'static str,
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// Where the range comes from, with how it was read.
    pub source: &'static str,
}

impl PlausibleRange {
    /// Judges a value by its expanded interval.
    pub fn verdict(&self, value: Uncertain) -> Verdict {
        Limit::Between(self.low, self.high).verdict(Some(value))
    }
}

/// Static stability factors of 73 unballasted cars.
pub const CAR_STABILITY: PlausibleRange = PlausibleRange {
    what: "static stability factor of cars",
    low: 1.220,
    high: 1.435,
    source: "public compilation of NHTSA data to 1998, 73 cars, mean 1.341; read second-hand",
};

/// Static stability factors of 131 unballasted light trucks, vans and sport-utility vehicles.
pub const LIGHT_TRUCK_STABILITY: PlausibleRange = PlausibleRange {
    what: "static stability factor of light trucks, vans and sport-utility vehicles",
    low: 0.964,
    high: 1.478,
    source: "public compilation of NHTSA data to 1998, 131 vehicles, mean 1.140; read second-hand",
};

/// Static stability factors outside which a light vehicle deserves a second look.
///
/// Wider than the two above, because packs under the floor lie low: battery-electric cars and
/// sport-utility vehicles of the same compilation reach 1.83.
pub const LIGHT_VEHICLE_STABILITY: PlausibleRange = PlausibleRange {
    what: "static stability factor of light vehicles, battery-electric ones included",
    low: 0.95,
    high: 1.9,
    source: "public compilation of NHTSA data (0.964 to 1.8275), read second-hand, widened; the \
             widening is common practice, no source",
};

/// Mean heights of the centre of gravity of cars, by decade.
pub const CAR_HEIGHT: PlausibleRange = PlausibleRange {
    what: "mean height of the centre of gravity of cars, metres",
    low: 0.524,
    high: 0.553,
    source: "public compilation of NHTSA data, means by decade; read second-hand",
};

/// Mean heights of the centre of gravity of light trucks, by decade.
pub const LIGHT_TRUCK_HEIGHT: PlausibleRange = PlausibleRange {
    what: "mean height of the centre of gravity of light trucks, metres",
    low: 0.662,
    high: 0.736,
    source: "public compilation of NHTSA data, means by decade; read second-hand",
};

/// Heights of the centre of gravity outside which a light vehicle deserves a second look, metres.
pub const LIGHT_VEHICLE_HEIGHT: PlausibleRange = PlausibleRange {
    what: "height of the centre of gravity of light vehicles, metres",
    low: 0.40,
    high: 1.00,
    source: "rows of the public compilation of NHTSA data (0.4585 to 0.7923), read second-hand, \
             widened; the widening is common practice, no source",
};

/// The two populations of the published regression of height on mass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LightVehicle {
    /// Cars.
    Car,
    /// Light trucks, vans and sport-utility vehicles.
    Truck,
}

/// Returns the height, in metres, that the published regression gives for a mass in kilograms.
///
/// Cars 0.00005·m + 0.46983, trucks 0.00014·m + 0.40760: public compilation of NHTSA data, read
/// second-hand. A rough expectation from about 900 to 2700 kg with burning engines; single vehicles
/// differ by 0.1 m, and battery-electric ones lie lower.
pub fn expected_height(vehicle: LightVehicle, mass: f64) -> f64 {
    match vehicle {
        LightVehicle::Car => 0.000_05 * mass + 0.469_83,
        LightVehicle::Truck => 0.000_14 * mass + 0.407_60,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::super::testing::{Bench, close, exact};
    use super::*;

    /// Midsize sedan of the NHTSA NCAP rollover measurements (row 28); arithmetic from the formula,
    /// no citation, computed with GTC.
    #[test]
    fn the_scale_decides_how_sure_the_stability_factor_is() {
        let mut bench = Bench::default();
        let track = bench.input(1.5164, 0.002);
        let height = bench.input(0.5545, 0.024_04);
        let factor = static_stability_factor(&track, &height).unwrap();
        close(factor.value(), 1.3674, 5e-5);
        close(factor.u(), 0.0593, 5e-5);
        let better = bench.input(0.5545, 0.005_545);
        let factor = static_stability_factor(&track, &better).unwrap();
        close(factor.u(), 0.0138, 5e-5);
    }

    /// Same vehicle; arithmetic from the formula, no citation.
    #[test]
    fn tip_angle_of_a_rigid_midsize_sedan() {
        let factor = static_stability_factor(&exact(1.5164), &exact(0.5545)).unwrap();
        close(
            tip_angle(&factor).unwrap().value().to_degrees(),
            53.82,
            5e-3,
        );
    }

    /// Battery-electric rows of the public compilation of NHTSA data, read second-hand: mass, height,
    /// printed factor, and a track that is arithmetic from the two.
    #[test]
    fn battery_electric_vehicles_stay_inside_the_wide_ranges() {
        let rows = [
            (2032.7, 0.4585, 1.8275, 1.6757),
            (1837.8, 0.4628, 1.7129, 1.5854),
            (1672.3, 0.5136, 1.468, 1.5079),
            (2694.9, 0.5484, 1.5003, 1.6455),
            (2415.4, 0.5761, 1.4872, 1.7135),
        ];
        for (mass, height, printed, track) in rows {
            let factor = static_stability_factor(&exact(track), &exact(height)).unwrap();
            close(factor.value(), printed, 2e-4);
            let factor = factor.uncertain();
            assert_eq!(LIGHT_VEHICLE_STABILITY.verdict(factor), Verdict::Within);
            assert_eq!(CAR_STABILITY.verdict(factor), Verdict::Beyond);
            let height = Uncertain::exact(height);
            assert_eq!(LIGHT_VEHICLE_HEIGHT.verdict(height), Verdict::Within);
            assert!(height.value < expected_height(LightVehicle::Truck, mass));
        }
    }

    #[test]
    fn a_range_is_left_only_by_the_whole_interval() {
        let verdict = |value, u| LIGHT_VEHICLE_HEIGHT.verdict(Uncertain::new(value, u));
        assert_eq!(verdict(1.05, 0.05), Verdict::TooCloseToCall);
        assert_eq!(verdict(1.05, 0.02), Verdict::Beyond);
    }

    #[test]
    fn impossible_inputs_are_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(static_stability_factor(&exact(bad), &exact(0.5)).is_err());
            assert!(static_stability_factor(&exact(1.5), &exact(bad)).is_err());
            assert!(tip_angle(&exact(bad)).is_err());
        }
    }
}

//! Total mass and centre of gravity in the horizontal plane, from level axle or wheel readings.
//!
//! # Free body
//! The vehicle stands level and at rest. Its weight W acts downward at the centre of gravity, x
//! behind the front axle and y to the right of the centre plane. The ground pushes upward under each
//! axle i with Wᵢ at xᵢ, and, if read by wheel, with Lᵢ and Rᵢ at half the track Tᵢ to the left and
//! to the right.
//!
//! - forces: W = Σ Wᵢ
//! - moments about the y axis: x = Σ Wᵢ·xᵢ / W; for two axles `x = L·W_rear / W`. Jazar, *Vehicle
//!   Dynamics* (2008), eqs 2.15-2.16, read second-hand.
//! - moments about the x axis: y = Σ Tᵢ·(Rᵢ − Lᵢ) / 2W. Course notes "Vehicle Inertial
//!   Measurements" for equal tracks; the form for unequal tracks is arithmetic, no citation.
//!
//! # Valid for
//! Two or more axles, all read with the vehicle level and in the same state of load. Read one axle at
//! a time only where the ground is level with the scale, or the readings belong to different
//! attitudes. An axle that carries nothing (a raised tag axle) is left out. Twin wheels count as one,
//! with the track to the middle of the pair.

use super::error::{MassError, Quantity, check_finite, check_positive, finite, positive};
use super::items::Body;
use crate::propagation::Tracked;

/// What a scale showed for one axle. An axle's load and a wheel's load are kept apart on purpose.
#[derive(Debug, Clone, PartialEq)]
pub enum AxleLoad {
    /// The whole axle, kilograms.
    Total(Tracked),
    /// Each end of the axle, kilograms.
    Wheels {
        /// Load of the left wheel or twin wheels.
        left: Tracked,
        /// Load of the right wheel or twin wheels.
        right: Tracked,
        /// Distance between the two, metres; without it the lateral offset stays unknown.
        track: Option<Tracked>,
    },
}

/// One axle's place and reading.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleReading {
    /// Metres behind the front axle.
    pub x: Tracked,
    /// What the scale showed.
    pub load: AxleLoad,
}

impl AxleReading {
    /// Makes the reading of the front axle, at x = 0 exactly.
    pub fn front(load: AxleLoad) -> Self {
        Self::at(Tracked::exact(0.0), load)
    }

    /// Makes the reading of an axle `x` metres behind the front axle.
    pub fn at(x: Tracked, load: AxleLoad) -> Self {
        Self { x, load }
    }
}

/// Mass and centre of gravity in the horizontal plane.
#[derive(Debug, Clone, PartialEq)]
pub struct HorizontalMass {
    /// Total mass, kilograms.
    pub total: Tracked,
    /// Centre of gravity, metres behind the front axle.
    pub x: Tracked,
    /// Centre of gravity, metres to the vehicle's right; `None` unless every axle was read by wheel
    /// and its track is given.
    pub y: Option<Tracked>,
    /// Load of each axle, kilograms, in the order given.
    pub axle_loads: Vec<Tracked>,
    /// Share of each axle in the total, 0 to 1, in the order given.
    pub axle_shares: Vec<Tracked>,
}

impl HorizontalMass {
    /// Returns mass and centre of gravity as a body to fit items to, with its height if known.
    pub fn body(&self, height: Option<Tracked>) -> Body {
        Body {
            mass: self.total.clone(),
            x: self.x.clone(),
            y: self.y.clone(),
            z: height,
        }
    }
}

/// Computes total mass, centre of gravity along and across, and axle shares.
///
/// Axles are listed from front to rear. Positions are relative to any one point; with the front
/// axle at 0 the result is in the vehicle frame.
///
/// # Errors
/// Fewer than two axles, positions that do not increase, loads or tracks that are not more than
/// zero, and anything that is not finite.
pub fn from_axle_readings(readings: &[AxleReading]) -> Result<HorizontalMass, MassError> {
    if readings.len() < 2 {
        let given = readings.len();
        return Err(MassError::TooFewAxles { given });
    }
    check_positions(readings)?;
    let axle_loads = readings
        .iter()
        .enumerate()
        .map(|(axle, reading)| whole_axle(axle, &reading.load))
        .collect::<Result<Vec<_>, _>>()?;
    let total = positive(Tracked::sum(&axle_loads), Quantity::TotalMass)?;
    let moments: Vec<_> = axle_loads
        .iter()
        .zip(readings)
        .map(|(load, reading)| load * &reading.x)
        .collect();
    let x = finite(
        Tracked::sum(&moments) / &total,
        Quantity::DistanceBehindFrontAxle,
    )?;
    let y = lateral_offset(readings, &total)?;
    let axle_shares = axle_loads
        .iter()
        .enumerate()
        .map(|(axle, load)| finite(load / &total, Quantity::AxleLoad(axle)))
        .collect::<Result<Vec<_>, _>>()?;
    Ok(HorizontalMass {
        total,
        x,
        y,
        axle_loads,
        axle_shares,
    })
}

fn check_positions(readings: &[AxleReading]) -> Result<(), MassError> {
    let mut previous = f64::NEG_INFINITY;
    for (axle, reading) in readings.iter().enumerate() {
        check_finite(&reading.x, Quantity::AxlePosition(axle))?;
        if reading.x.value() <= previous {
            return Err(MassError::AxlesOutOfOrder { axle });
        }
        previous = reading.x.value();
    }
    Ok(())
}

fn whole_axle(axle: usize, load: &AxleLoad) -> Result<Tracked, MassError> {
    match load {
        AxleLoad::Total(total) => positive(total.clone(), Quantity::AxleLoad(axle)),
        AxleLoad::Wheels { left, right, track } => {
            check_positive(left, Quantity::LeftLoad(axle))?;
            check_positive(right, Quantity::RightLoad(axle))?;
            if let Some(track) = track {
                check_positive(track, Quantity::Track(axle))?;
            }
            finite(left + right, Quantity::AxleLoad(axle))
        }
    }
}

/// Returns y = Σ T·(R − L) / 2W, or `None` if an axle was not read by wheel.
fn lateral_offset(readings: &[AxleReading], total: &Tracked) -> Result<Option<Tracked>, MassError> {
    let moments: Option<Vec<Tracked>> = readings
        .iter()
        .map(|reading| match &reading.load {
            AxleLoad::Wheels {
                left,
                right,
                track: Some(track),
            } => Some(track * (right - left)),
            _ => None,
        })
        .collect();
    moments
        .map(|moments| {
            let offset = Tracked::sum(&moments) / (2.0 * total);
            finite(offset, Quantity::LateralOffset)
        })
        .transpose()
}

#[cfg(test)]
mod tests {
    #![allow(
        clippy::unwrap_used,
        clippy::indexing_slicing,
        reason = "a panic is a failed test"
    )]

    use super::super::testing::{Bench, close, exact};
    use super::*;
    use proptest::prelude::*;

    fn two_axles(front: Tracked, rear: Tracked, wheelbase: Tracked) -> Vec<AxleReading> {
        vec![
            AxleReading::front(AxleLoad::Total(front)),
            AxleReading::at(wheelbase, AxleLoad::Total(rear)),
        ]
    }

    fn wheels(left: f64, right: f64, track: f64) -> AxleLoad {
        AxleLoad::Wheels {
            left: exact(left),
            right: exact(right),
            track: Some(exact(track)),
        }
    }

    /// Jazar, *Vehicle Dynamics*, Ex. 40; read second-hand. The loads there are per wheel.
    #[test]
    fn jazar_example_40_distance_behind_the_front_axle() {
        let (front, rear) = (exact(2.0 * 2000.0), exact(2.0 * 1800.0));
        let plane = from_axle_readings(&two_axles(front, rear, exact(2.34))).unwrap();
        close(plane.x.value(), 1.1084, 5e-5);
        close(2.34 - plane.x.value(), 1.2316, 5e-5);
    }

    /// Uncertainty of a = L·Wr/W with 20 lb divisions; arithmetic from the formula, no citation,
    /// computed with GTC.
    #[test]
    fn shared_readings_are_counted_once_in_the_distance() {
        let mut bench = Bench::default();
        let front = bench.input(911.4, 2.618_82);
        let rear = bench.input(629.6, 2.618_82);
        let wheelbase = bench.input(2.667, 0.002);
        let plane = from_axle_readings(&two_axles(front, rear, wheelbase)).unwrap();
        close(plane.x.value(), 1.089_65, 1e-5);
        close(plane.x.u(), 3.36e-3, 5e-6);
        close(plane.total.u(), 2.618_82 * 2f64.sqrt(), 1e-9);
    }

    /// Lift-planning example L2: 1100 and 1000 kg on a wheelbase of 2.9 m; arithmetic from the
    /// formula, no citation.
    #[test]
    fn plain_axle_loads_give_the_distance() {
        let plane =
            from_axle_readings(&two_axles(exact(1100.0), exact(1000.0), exact(2.9))).unwrap();
        close(plane.x.value(), 1.381, 5e-4);
        close(plane.axle_shares[0].value(), 0.5238, 5e-5);
    }

    /// Three axles at 0, 4.50 and 5.80 m with the loads of an equal-spring solution for 20 000 kg at
    /// 3.60 m; arithmetic from the formula, no citation.
    #[test]
    fn three_axles_give_back_the_place_they_were_computed_from() {
        let readings: Vec<_> = [(0.0, 6048.938), (4.5, 6858.582), (5.8, 7092.479)]
            .into_iter()
            .map(|(x, load)| AxleReading::at(exact(x), AxleLoad::Total(exact(load))))
            .collect();
        let plane = from_axle_readings(&readings).unwrap();
        close(plane.total.value(), 20_000.0, 2e-3);
        close(plane.x.value(), 3.6, 1e-6);
        assert_eq!(plane.axle_loads.len(), 3);
    }

    /// Balancing sheet of a vehicle lift, case 1 (3500 lb at 40 in, 5500 lb at 195 in: 134.72 in),
    /// read second-hand. Its second case prints 157.52 in by a slip; 2 410 600 / 15 300 = 157.556.
    #[test]
    fn a_balancing_sheet_is_the_same_moment_sum() {
        let balance = |front: f64, x_front: f64, rear: f64, x_rear: f64| {
            let readings = [
                AxleReading::at(exact(x_front), AxleLoad::Total(exact(front))),
                AxleReading::at(exact(x_rear), AxleLoad::Total(exact(rear))),
            ];
            from_axle_readings(&readings).unwrap().x.value()
        };
        close(balance(3500.0, 40.0, 5500.0, 195.0), 134.72, 5e-3);
        close(balance(5800.0, 52.0, 9500.0, 222.0), 157.556, 5e-4);
    }

    /// 4205.4 lb on a track of 61.7 in, one inch off centre; arithmetic from the formula, no
    /// citation.
    #[test]
    fn the_lateral_offset_is_positive_to_the_heavy_right() {
        let heavy_right = [
            AxleReading::front(wheels(1017.27, 1085.43, 61.7)),
            AxleReading::at(exact(109.9), wheels(1017.27, 1085.43, 61.7)),
        ];
        let plane = from_axle_readings(&heavy_right).unwrap();
        close(plane.y.unwrap().value(), 1.0, 1e-4);
    }

    /// Unequal tracks: y = [Tf·(FR−FL) + Tr·(RR−RL)] / 2W; arithmetic from the formula, no citation.
    #[test]
    fn unequal_tracks_weigh_each_axle_by_its_own() {
        let readings = [
            AxleReading::front(wheels(500.0, 520.0, 1.6)),
            AxleReading::at(exact(2.8), wheels(410.0, 400.0, 1.5)),
        ];
        let plane = from_axle_readings(&readings).unwrap();
        let expected = (1.6 * 20.0 - 1.5 * 10.0) / (2.0 * 1830.0);
        close(plane.y.unwrap().value(), expected, 1e-15);
    }

    #[test]
    fn one_axle_without_wheel_readings_or_track_leaves_the_offset_unknown() {
        let without_track = AxleLoad::Wheels {
            left: exact(400.0),
            right: exact(410.0),
            track: None,
        };
        for rear in [AxleLoad::Total(exact(810.0)), without_track] {
            let readings = [
                AxleReading::front(wheels(500.0, 520.0, 1.6)),
                AxleReading::at(exact(2.8), rear),
            ];
            let plane = from_axle_readings(&readings).unwrap();
            assert_eq!(plane.y, None);
            close(plane.total.value(), 1830.0, 1e-9);
        }
    }

    #[track_caller]
    fn refused(readings: &[AxleReading], expected: MassError) {
        assert_eq!(from_axle_readings(readings), Err(expected));
    }

    #[test]
    fn impossible_readings_are_refused_with_their_place() {
        let good = two_axles(exact(900.0), exact(600.0), exact(2.7));
        refused(&[], MassError::TooFewAxles { given: 0 });
        refused(&good[..1], MassError::TooFewAxles { given: 1 });
        for wheelbase in [0.0, -2.7] {
            let readings = two_axles(exact(900.0), exact(600.0), exact(wheelbase));
            refused(&readings, MassError::AxlesOutOfOrder { axle: 1 });
        }
        for load in [0.0, -1.0] {
            let expected = MassError::NotPositive {
                quantity: Quantity::AxleLoad(1),
                value: load,
            };
            refused(&two_axles(exact(900.0), exact(load), exact(2.7)), expected);
        }
        let mut one_wheel_up = good.clone();
        one_wheel_up[1].load = wheels(0.0, 600.0, 1.5);
        let expected = MassError::NotPositive {
            quantity: Quantity::LeftLoad(1),
            value: 0.0,
        };
        refused(&one_wheel_up, expected);
    }

    #[test]
    fn no_input_gives_a_result_that_is_not_a_number() {
        let odd = [f64::NAN, f64::INFINITY, 1e308, 1e-320, 900.0];
        for front in odd {
            for rear in odd {
                for wheelbase in odd {
                    let readings = two_axles(exact(front), exact(rear), exact(wheelbase));
                    if let Ok(plane) = from_axle_readings(&readings) {
                        assert!(plane.total.is_finite() && plane.x.is_finite(), "{plane:?}");
                        assert!(
                            plane.axle_shares.iter().all(Tracked::is_finite),
                            "{plane:?}"
                        );
                    }
                }
            }
        }
        let not_finite = |quantity| MassError::NotFinite { quantity };
        refused(
            &two_axles(exact(f64::NAN), exact(1.0), exact(1.0)),
            not_finite(Quantity::AxleLoad(0)),
        );
        refused(
            &two_axles(exact(1.0), exact(1.0), exact(f64::INFINITY)),
            not_finite(Quantity::AxlePosition(1)),
        );
    }

    fn wheel_loads() -> impl Strategy<Value = Vec<(f64, f64, f64, f64)>> {
        let axle = (50.0..5000.0f64, 50.0..5000.0f64, 1.2..2.2f64, 0.5..6.0f64);
        prop::collection::vec(axle, 2..6)
    }

    /// Places the axles one `gap` behind the other and scales masses and lengths.
    fn build(
        bench: &mut Bench,
        axles: &[(f64, f64, f64, f64)],
        mass_unit: f64,
        length_unit: f64,
    ) -> Vec<AxleReading> {
        let mut x = 0.0;
        let mut readings = Vec::new();
        for (left, right, track, gap) in axles {
            let load = AxleLoad::Wheels {
                left: bench.input(left * mass_unit, 3.0 * mass_unit),
                right: bench.input(right * mass_unit, 3.0 * mass_unit),
                track: Some(bench.input(track * length_unit, 0.003 * length_unit)),
            };
            readings.push(AxleReading::at(
                bench.input(x * length_unit, 0.002 * length_unit),
                load,
            ));
            x += gap;
        }
        readings
    }

    proptest! {
        #[test]
        fn axle_loads_add_up_to_the_mass_and_shares_to_one(axles in wheel_loads()) {
            let plane = from_axle_readings(&build(&mut Bench::default(), &axles, 1.0, 1.0)).unwrap();
            let loads = Tracked::sum(&plane.axle_loads);
            let shares = Tracked::sum(&plane.axle_shares);
            prop_assert!((&loads - &plane.total).uncertain().interval().contains(0.0));
            prop_assert!((&loads - &plane.total).u() < 1e-9);
            prop_assert!((shares.value() - 1.0).abs() < 1e-12);
            prop_assert!(shares.u() < 1e-12, "the sum of shares is one, without doubt");
            prop_assert!(plane.x.value() >= 0.0);
            prop_assert!(plane.x.u() >= 0.0 && plane.total.u() >= 0.0);
        }

        #[test]
        fn a_mirrored_vehicle_has_a_mirrored_offset(axles in wheel_loads()) {
            let mirrored: Vec<_> = axles.iter().map(|&(l, r, t, gap)| (r, l, t, gap)).collect();
            let plane = from_axle_readings(&build(&mut Bench::default(), &axles, 1.0, 1.0)).unwrap();
            let mirror =
                from_axle_readings(&build(&mut Bench::default(), &mirrored, 1.0, 1.0)).unwrap();
            let (y, mirror_y) = (plane.y.unwrap(), mirror.y.unwrap());
            prop_assert!((y.value() + mirror_y.value()).abs() < 1e-12);
            prop_assert!((y.u() - mirror_y.u()).abs() < 1e-12);
            prop_assert!((plane.x.value() - mirror.x.value()).abs() < 1e-12);
        }

        #[test]
        fn units_scale_out(axles in wheel_loads(), pounds in 0.1..10.0f64, feet in 0.1..10.0f64) {
            let plane = from_axle_readings(&build(&mut Bench::default(), &axles, 1.0, 1.0)).unwrap();
            let scaled =
                from_axle_readings(&build(&mut Bench::default(), &axles, pounds, feet)).unwrap();
            let same = |a: &Tracked, b: &Tracked, unit: f64| {
                (a.value() * unit - b.value()).abs() <= 1e-9 * unit * (1.0 + a.value().abs())
                    && (a.u() * unit - b.u()).abs() <= 1e-9 * unit
            };
            prop_assert!(same(&plane.total, &scaled.total, pounds));
            prop_assert!(same(&plane.x, &scaled.x, feet));
            prop_assert!(same(&plane.y.unwrap(), &scaled.y.unwrap(), feet));
        }
    }
}

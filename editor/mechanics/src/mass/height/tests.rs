#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a panic is a failed test"
)]

use super::super::stability::LIGHT_VEHICLE_HEIGHT;
use super::super::testing::{Bench, INCH, close, exact};
use super::*;
use proptest::prelude::*;

/// Midsize sedan of the NHTSA NCAP rollover measurements (row 28), read second-hand, with a tyre
/// radius of our own choice.
mod sedan {
    pub(super) const MASS: f64 = 1541.0;
    pub(super) const WHEELBASE: f64 = 2.667;
    pub(super) const FRONT: f64 = 911.368;
    pub(super) const RADIUS: f64 = 0.310;
    pub(super) const HEIGHT: f64 = 0.5545;
}

fn sedan_lift(steps: Vec<LiftStep>) -> AxleLift {
    AxleLift {
        level: LevelSplit::Loads {
            front: exact(sedan::FRONT),
            rear: exact(sedan::MASS - sedan::FRONT),
        },
        wheelbase: exact(sedan::WHEELBASE),
        radius_front: exact(sedan::RADIUS),
        radius_rear: exact(sedan::RADIUS),
        steps,
    }
}

fn rear_raised(load: f64, angle: LiftAngle) -> LiftStep {
    LiftStep {
        raised: Axle::Rear,
        load_on_other: exact(load),
        angle,
    }
}

fn degrees(angle: f64) -> LiftAngle {
    LiftAngle::Angle(exact(angle.to_radians()))
}

fn mean(lift: &AxleLift) -> Result<LiftedHeight, MassError> {
    height_by_axle_lift(lift, StepCombination::Mean, None)
}

#[track_caller]
fn height_of(lift: &AxleLift) -> f64 {
    mean(lift).unwrap().height.value()
}

/// Angle in degrees, elevation of the wheels, rise of the front load: forward solution of the
/// formula for the sedan; arithmetic from the formula, no citation.
const COLUMNS: [(f64, f64, f64); 5] = [
    (5.0, 0.2324, 12.360),
    (10.0, 0.4631, 24.910),
    (15.0, 0.6903, 37.854),
    (20.0, 0.9122, 51.419),
    (25.0, 1.1271, 65.877),
];

#[test]
fn each_column_of_rounded_rises_gives_the_height_back() {
    for (angle, elevation, rise) in COLUMNS {
        for angle in [degrees(angle), LiftAngle::Elevation(exact(elevation))] {
            let lift = sedan_lift(vec![rear_raised(sedan::FRONT + rise, angle)]);
            close(height_of(&lift), sedan::HEIGHT, 2e-4);
        }
    }
}

#[test]
fn each_column_of_unrounded_rises_gives_the_height_back() {
    for (angle, _, _) in COLUMNS {
        let arm = (sedan::HEIGHT - sedan::RADIUS) * angle.to_radians().tan();
        let load = sedan::FRONT + sedan::MASS * arm / sedan::WHEELBASE;
        let by_angle = sedan_lift(vec![rear_raised(load, degrees(angle))]);
        close(height_of(&by_angle), sedan::HEIGHT, 1e-6);
        let elevation = sedan::WHEELBASE * angle.to_radians().sin();
        let by_elevation = LiftAngle::Elevation(exact(elevation));
        close(
            height_of(&sedan_lift(vec![rear_raised(load, by_elevation)])),
            sedan::HEIGHT,
            1e-6,
        );
    }
}

/// Body builder guideline for a 3.5 t van, read: the same height by another way, from the load of
/// the *raised* front axle. Sedan at 15 degrees; arithmetic from both, no citation.
#[test]
fn the_body_builder_form_agrees_with_the_front_raised() {
    let (angle, rise) = (15f64.to_radians(), 37.854);
    let step = LiftStep {
        raised: Axle::Front,
        load_on_other: exact(sedan::MASS - sedan::FRONT + rise),
        angle: LiftAngle::Angle(exact(angle)),
    };
    let result = mean(&sedan_lift(vec![step])).unwrap();
    close(result.above_hubs.value(), 0.24450, 1e-4);
    close(result.height.value(), 0.55450, 1e-4);

    let (wheelbase, raised_by) = (sedan::WHEELBASE, sedan::WHEELBASE * angle.sin());
    let level_arm = sedan::FRONT * wheelbase / sedan::MASS;
    let base = (wheelbase.powi(2) - raised_by.powi(2)).sqrt();
    let tilted_arm = (sedan::FRONT - rise) * base / sedan::MASS;
    let drop = raised_by * tilted_arm / base;
    let short = level_arm - drop.hypot(tilted_arm);
    let above_hubs = short * (raised_by / wheelbase).acos().tan();
    close(result.above_hubs.value(), above_hubs, 1e-12);
}

/// Front radius 0.300, rear 0.330, 15 degrees; arithmetic from the formula, no citation.
#[test]
fn unequal_radii_weigh_the_hub_line_under_the_centre_of_gravity() {
    let mut lift = sedan_lift(vec![rear_raised(sedan::FRONT + 37.504, degrees(15.0))]);
    lift.radius_front = exact(0.300);
    lift.radius_rear = exact(0.330);
    let result = mean(&lift).unwrap();
    close(result.height.value(), sedan::HEIGHT, 2e-4);
    let hub_line = result.height.value() - result.above_hubs.value();
    close(hub_line, 0.312_26, 5e-6);
}

/// The small-angle form puts H/L for tan θ and reads too high by 1/cos θ: 0.38 % at 5, 3.5 % at 15,
/// 10.3 % at 25 degrees. Arithmetic from the formula, no citation.
#[test]
fn elevation_is_a_sine_and_not_a_tangent() {
    for (angle, excess) in [(5.0f64, 0.0038), (15.0, 0.035), (25.0, 0.103)] {
        let elevation = sedan::WHEELBASE * angle.to_radians().sin();
        let load = sedan::FRONT + 30.0;
        let lift = sedan_lift(vec![rear_raised(
            load,
            LiftAngle::Elevation(exact(elevation)),
        )]);
        let right = mean(&lift).unwrap().above_hubs.value();
        let small_angle = 30.0 * sedan::WHEELBASE.powi(2) / (sedan::MASS * elevation);
        close(small_angle / right - 1.0, excess, 5e-4);
    }
}

/// Jazar, *Vehicle Dynamics* p. 44, read second-hand, prints "h = 34 cm", which his own formula does
/// not give; it gives 1.8763 m at g = 9.81. No oracle, but a good case for the warning.
#[test]
fn a_car_as_tall_as_its_roof_is_flagged() {
    let lift = |load_newtons: f64| AxleLift {
        level: LevelSplit::Declared {
            mass: exact(2000.0),
            front_to_centre: exact(1.10),
            centre_to_rear: exact(1.20),
        },
        wheelbase: exact(2.30),
        radius_front: exact(0.30),
        radius_rear: exact(0.30),
        steps: vec![rear_raised(load_newtons / 9.81, degrees(30.0))],
    };
    let usual = Some(&LIGHT_VEHICLE_HEIGHT);
    let tall = height_by_axle_lift(&lift(18_000.0), StepCombination::Mean, usual).unwrap();
    close(tall.height.value(), 1.8763, 5e-5);
    assert_eq!(tall.flags, [HeightFlag::OutsideUsual(LIGHT_VEHICLE_HEIGHT)]);
    close(height_of(&lift(10_433.5)), 0.34, 5e-5);
}

/// A formula page, read, prints 37.61537 m for these inputs. The arithmetic is right and the physics
/// impossible: the tilted load exceeds the mass, and the distances miss the wheelbase.
#[test]
fn impossible_inputs_of_a_formula_page_are_refused_for_both_reasons() {
    let page = |front_to_centre: f64, load: f64| AxleLift {
        level: LevelSplit::Declared {
            mass: exact(55.0),
            front_to_centre: exact(front_to_centre),
            centre_to_rear: exact(30.0 * INCH),
        },
        wheelbase: exact(2.7),
        radius_front: exact(11.0 * INCH),
        radius_rear: exact(15.0 * INCH),
        steps: vec![rear_raised(load, degrees(10.0))],
    };
    let error = mean(&page(27.0 * INCH, 150.0)).unwrap_err();
    assert!(
        matches!(error, MassError::DistancesMissWheelbase { .. }),
        "{error}"
    );
    let distances_mended = page(2.7 - 30.0 * INCH, 150.0);
    let expected = MassError::TiltedLoadAboveTotal {
        step: 0,
        load: 150.0,
        total: 55.0,
    };
    assert_eq!(mean(&distances_mended), Err(expected));
    let load_mended = mean(&page(27.0 * INCH, 50.0)).unwrap_err();
    assert!(
        matches!(load_mended, MassError::DistancesMissWheelbase { .. }),
        "{load_mended}"
    );
    assert!(mean(&page(2.7 - 30.0 * INCH, 20.0)).is_ok());
}

#[test]
fn declared_distances_may_miss_the_wheelbase_by_their_uncertainty() {
    let mut bench = Bench::default();
    let mut lift = sedan_lift(vec![rear_raised(950.0, degrees(15.0))]);
    let mut declared = |miss: f64, u: f64| LevelSplit::Declared {
        mass: exact(sedan::MASS),
        front_to_centre: bench.input(1.0897 + miss, u),
        centre_to_rear: exact(2.667 - 1.0897),
    };
    lift.level = declared(0.0009, 0.0);
    assert!(mean(&lift).is_ok());
    lift.level = declared(0.005, 0.003);
    assert!(mean(&lift).is_ok());
    lift.level = declared(0.005, 0.002);
    assert!(matches!(
        mean(&lift),
        Err(MassError::DistancesMissWheelbase { .. })
    ));
}

/// Sedan at 15 degrees with 20 lb divisions on each reading, 3 mm on H, 2 mm on L and r; arithmetic
/// from the formula, no citation, agrees with GTC 1.5.1. The rise and the total count as independent
/// measurements there, so they are the inputs here.
fn error_budget(u_rise: f64) -> (Bench, LiftedHeight) {
    let mut bench = Bench::default();
    let rise = bench.input(37.854, u_rise);
    let total = bench.input(sedan::MASS, 3.703_57);
    let elevation = bench.input(sedan::WHEELBASE * 15f64.to_radians().sin(), 0.003);
    let wheelbase = bench.input(sedan::WHEELBASE, 0.002);
    let radius = bench.input(sedan::RADIUS, 0.002);
    let lift = AxleLift {
        level: LevelSplit::Loads {
            front: exact(sedan::FRONT),
            rear: total - sedan::FRONT,
        },
        wheelbase,
        radius_front: radius.clone(),
        radius_rear: radius,
        steps: vec![LiftStep {
            raised: Axle::Rear,
            load_on_other: sedan::FRONT + rise,
            angle: LiftAngle::Elevation(elevation),
        }],
    };
    let result = mean(&lift).unwrap();
    (bench, result)
}

#[test]
fn the_error_budget_names_the_scale() {
    let (bench, result) = error_budget(3.703_57);
    close(result.height.u(), 24.04e-3, 5e-6);
    for (input, millimetres) in [23.92, 0.59, 1.14, 0.38, 2.00].into_iter().enumerate() {
        close(
            bench.amount(&result.height, input).abs() * 1e3,
            millimetres,
            5e-3,
        );
    }
    let sensitivity = |input: usize, u: f64| bench.amount(&result.height, input) / u;
    close(sensitivity(0, 3.703_57), 0.006_46, 5e-6);
    close(sensitivity(1, 3.703_57), -0.000_16, 5e-6);
    close(sensitivity(2, 0.003), -0.379_64, 5e-5);
    close(sensitivity(3, 0.002), 0.189_93, 5e-5);
    close(sensitivity(4, 0.002), 1.0, 1e-12);
    close(error_budget(1.0).1.height.u(), 6.89e-3, 5e-6);
    close(error_budget(0.5).1.height.u(), 4.03e-3, 5e-6);
}

#[test]
fn a_level_reading_enters_rise_and_total_and_is_counted_once() {
    let build = |front: f64, rear: f64, load: f64| {
        let mut lift = sedan_lift(vec![rear_raised(load, degrees(15.0))]);
        lift.level = LevelSplit::Loads {
            front: exact(front),
            rear: exact(rear),
        };
        height_of(&lift)
    };
    let (front, rear, load, u, step) = (911.368, 629.632, 949.222, 2.618_82, 1e-3);
    let slope = |plus: f64, minus: f64| u * (plus - minus) / (2.0 * step);
    let by_front = slope(
        build(front + step, rear, load),
        build(front - step, rear, load),
    );
    let by_rear = slope(
        build(front, rear + step, load),
        build(front, rear - step, load),
    );
    let by_load = slope(
        build(front, rear, load + step),
        build(front, rear, load - step),
    );

    let mut bench = Bench::default();
    let mut lift = sedan_lift(Vec::new());
    lift.level = LevelSplit::Loads {
        front: bench.input(front, u),
        rear: bench.input(rear, u),
    };
    lift.steps.push(LiftStep {
        raised: Axle::Rear,
        load_on_other: bench.input(load, u),
        angle: degrees(15.0),
    });
    let height = mean(&lift).unwrap().height;
    close(height.u(), by_front.hypot(by_rear).hypot(by_load), 1e-8);
}

#[test]
fn several_steps_are_averaged_or_fitted() {
    let steps: Vec<_> = COLUMNS
        .into_iter()
        .map(|(angle, _, rise)| rear_raised(sedan::FRONT + rise, degrees(angle)))
        .collect();
    let lift = sedan_lift(steps);
    for combination in [StepCombination::Mean, StepCombination::LeastSquares] {
        let result = height_by_axle_lift(&lift, combination, None).unwrap();
        close(result.height.value(), sedan::HEIGHT, 1e-4);
        assert_eq!(result.steps.len(), 5);
        let shallow: Vec<_> = result
            .flags
            .iter()
            .map(|flag| match flag {
                HeightFlag::ShallowAngle { step, .. } => *step,
                other => panic!("unexpected {other:?}"),
            })
            .collect();
        assert_eq!(shallow, [0, 1]);
    }
}

#[test]
fn the_fit_trusts_steep_steps_and_sure_loads_more() {
    let mut bench = Bench::default();
    let step = |bench: &mut Bench, wrong: f64, u: f64, angle: f64| {
        let arm = (sedan::HEIGHT - sedan::RADIUS) * angle.to_radians().tan();
        let rise = sedan::MASS * arm / sedan::WHEELBASE;
        LiftStep {
            raised: Axle::Rear,
            load_on_other: bench.input(sedan::FRONT + rise + wrong, u),
            angle: degrees(angle),
        }
    };
    let lift = sedan_lift(vec![
        step(&mut bench, 5.0, 2.0, 10.0),
        step(&mut bench, 0.0, 2.0, 25.0),
    ]);
    let error = |combination| {
        let result = height_by_axle_lift(&lift, combination, None).unwrap();
        (result.height.value() - sedan::HEIGHT, result.height.u())
    };
    let (mean_error, mean_u) = error(StepCombination::Mean);
    let (fit_error, fit_u) = error(StepCombination::LeastSquares);
    assert!(fit_error < mean_error / 2.0, "{fit_error} {mean_error}");
    assert!(fit_u < mean_u, "{fit_u} {mean_u}");
    // Arithmetic from the formula: slope error = Σ w·t·Δ / Σ w·t², Δ = 5 kg · L/W in the first step.
    let (t1, t2) = (10f64.to_radians().tan(), 25f64.to_radians().tan());
    let delta = 5.0 * sedan::WHEELBASE / sedan::MASS;
    close(fit_error, t1 * delta / (t1 * t1 + t2 * t2), 1e-6);
}

#[test]
fn steps_that_disagree_are_flagged_by_pair() {
    let mut bench = Bench::default();
    let mut step = |load: f64| LiftStep {
        raised: Axle::Rear,
        load_on_other: bench.input(load, 1.0),
        angle: degrees(20.0),
    };
    let lift = sedan_lift(vec![step(962.8), step(963.0), step(980.0)]);
    let result = mean(&lift).unwrap();
    let pairs: Vec<_> = result
        .flags
        .iter()
        .map(|flag| match flag {
            HeightFlag::StepsDisagree(pair) => (pair.first, pair.second),
            other => panic!("unexpected {other:?}"),
        })
        .collect();
    assert_eq!(pairs, [(0, 2), (1, 2)]);
}

#[test]
fn a_load_that_does_not_rise_is_flagged() {
    let lift = sedan_lift(vec![rear_raised(sedan::FRONT - 5.0, degrees(20.0))]);
    let result = mean(&lift).unwrap();
    assert_eq!(result.flags, [HeightFlag::LoadDidNotRise { step: 0 }]);
    assert!(result.above_hubs.value() < 0.0);
    let below_ground = sedan_lift(vec![rear_raised(sedan::FRONT - 90.0, degrees(20.0))]);
    assert!(matches!(
        mean(&below_ground),
        Err(MassError::NotPositive {
            quantity: Quantity::Height,
            ..
        })
    ));
}

#[test]
fn angles_that_cannot_be_are_refused() {
    let refused =
        |angle: LiftAngle| mean(&sedan_lift(vec![rear_raised(950.0, angle)])).unwrap_err();
    let quantity = Quantity::LiftAngle(0);
    for angle in [0.0, -5.0] {
        assert!(matches!(
            refused(degrees(angle)),
            MassError::NotPositive { quantity: q, .. } if q == quantity
        ));
    }
    assert_eq!(
        refused(degrees(f64::NAN)),
        MassError::NotFinite { quantity }
    );
    for angle in [90.0, 200.0] {
        let error = refused(degrees(angle));
        assert!(
            matches!(error, MassError::AngleTooSteep { step: 0, .. }),
            "{error}"
        );
    }
    let quantity = Quantity::WheelElevation(0);
    assert_eq!(
        refused(LiftAngle::Elevation(exact(0.0))),
        MassError::NotPositive {
            quantity,
            value: 0.0
        }
    );
    assert_eq!(
        refused(LiftAngle::Elevation(exact(2.667))),
        MassError::ElevationBeyondWheelbase {
            step: 0,
            elevation: 2.667
        }
    );
    assert_eq!(mean(&sedan_lift(Vec::new())), Err(MassError::NoLiftSteps));
}

/// Puts a bad number into one place of a good lift.
type Spoil = fn(&mut AxleLift, Tracked);

#[test]
fn lengths_and_loads_that_cannot_be_are_refused() {
    let good = sedan_lift(vec![rear_raised(950.0, degrees(15.0))]);
    let spoilers: [(Spoil, Quantity); 6] = [
        (|lift, bad| lift.wheelbase = bad, Quantity::Wheelbase),
        (
            |lift, bad| lift.radius_front = bad,
            Quantity::WheelRadius(Axle::Front),
        ),
        (
            |lift, bad| lift.radius_rear = bad,
            Quantity::WheelRadius(Axle::Rear),
        ),
        (
            |lift, bad| lift.steps[0].load_on_other = bad,
            Quantity::TiltedLoad(0),
        ),
        (
            |lift, bad| {
                lift.level = LevelSplit::Loads {
                    front: bad,
                    rear: exact(600.0),
                };
            },
            Quantity::LevelLoad(Axle::Front),
        ),
        (
            |lift, bad| {
                lift.level = LevelSplit::Declared {
                    mass: bad,
                    front_to_centre: exact(1.0),
                    centre_to_rear: exact(1.667),
                };
            },
            Quantity::TotalMass,
        ),
    ];
    for (spoil, quantity) in spoilers {
        for value in [0.0, -1.0] {
            let mut lift = good.clone();
            spoil(&mut lift, exact(value));
            assert_eq!(mean(&lift), Err(MassError::NotPositive { quantity, value }));
        }
        for value in [f64::NAN, f64::INFINITY] {
            let mut lift = good.clone();
            spoil(&mut lift, exact(value));
            assert_eq!(mean(&lift), Err(MassError::NotFinite { quantity }));
        }
    }
}

/// Load on the axle left down by turning a rigid vehicle, point by point, about the hub that stays.
fn turned_load(raised: Axle, x: f64, height: f64, radii: (f64, f64), angle: f64) -> f64 {
    let (down, up, reach) = match raised {
        Axle::Rear => (radii.0, radii.1, x),
        Axle::Front => (radii.1, radii.0, sedan::WHEELBASE - x),
    };
    let turned_reach = |along: f64, above: f64| along * angle.cos() - above * angle.sin();
    let far_hub = turned_reach(sedan::WHEELBASE, up - down);
    let centre = turned_reach(reach, height - down);
    sedan::MASS * (far_hub - centre) / far_hub
}

proptest! {
    #[test]
    fn turning_a_rigid_vehicle_and_back_gives_its_height(
        x in 0.6..2.0f64, height in 0.42..0.9f64, radius in 0.25..0.4f64,
        wider in -0.03..0.03f64, angle in 3.0..40.0f64, front in any::<bool>(),
    ) {
        let raised = if front { Axle::Front } else { Axle::Rear };
        let radii = (radius, radius + wider);
        let load = turned_load(raised, x, height, radii, angle.to_radians());
        let rear = sedan::MASS * x / sedan::WHEELBASE;
        let lift = AxleLift {
            level: LevelSplit::Loads { front: exact(sedan::MASS - rear), rear: exact(rear) },
            wheelbase: exact(sedan::WHEELBASE),
            radius_front: exact(radii.0),
            radius_rear: exact(radii.1),
            steps: vec![LiftStep { raised, load_on_other: exact(load), angle: degrees(angle) }],
        };
        let result = mean(&lift).unwrap();
        // What the published formula for unequal radii leaves out; zero for equal radii.
        let raised_wider = if front { -wider } else { wider };
        let left_out = raised_wider * result.steps[0].load_rise.value() / sedan::MASS;
        prop_assert!((result.height.value() - height - left_out).abs() < 1e-9);
        prop_assert!(left_out.abs() < 0.007, "millimetres even for the tallest and steepest");
    }

    #[test]
    fn units_scale_out_of_the_height(
        pounds in 0.1..10.0f64, feet in 0.1..10.0f64, angle in 5.0..40.0f64, rise in 5.0..120.0f64,
    ) {
        let lift = |mass_unit: f64, length_unit: f64| {
            let mut bench = Bench::default();
            let lift = AxleLift {
                level: LevelSplit::Loads {
                    front: bench.input(911.0 * mass_unit, 2.6 * mass_unit),
                    rear: bench.input(630.0 * mass_unit, 2.6 * mass_unit),
                },
                wheelbase: bench.input(2.667 * length_unit, 0.002 * length_unit),
                radius_front: bench.input(0.31 * length_unit, 0.002 * length_unit),
                radius_rear: bench.input(0.32 * length_unit, 0.002 * length_unit),
                steps: vec![LiftStep {
                    raised: Axle::Rear,
                    load_on_other: bench.input((911.0 + rise) * mass_unit, 2.6 * mass_unit),
                    angle: LiftAngle::Angle(bench.input(angle.to_radians(), 0.003)),
                }],
            };
            height_by_axle_lift(&lift, StepCombination::LeastSquares, None).unwrap().height
        };
        let (plain, scaled) = (lift(1.0, 1.0), lift(pounds, feet));
        prop_assert!((plain.value() * feet - scaled.value()).abs() < 1e-9 * feet);
        prop_assert!((plain.u() * feet - scaled.u()).abs() < 1e-9 * feet);
        prop_assert!(plain.u() >= 0.0);
    }

    #[test]
    fn one_step_averaged_or_fitted_is_the_same(angle in 5.0..40.0f64, rise in 5.0..120.0f64) {
        let lift = sedan_lift(vec![rear_raised(sedan::FRONT + rise, degrees(angle))]);
        let fit = height_by_axle_lift(&lift, StepCombination::LeastSquares, None).unwrap();
        prop_assert!((fit.height.value() - height_of(&lift)).abs() < 1e-12);
    }
}

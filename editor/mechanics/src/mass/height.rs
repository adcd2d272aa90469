//! Height of the centre of gravity by lifting one axle.
//!
//! # Free body
//! A two-axle vehicle stands with one axle on a scale and the other raised by θ, brakes off, gear in
//! neutral, suspension blocked. Weight W acts downward at the centre of gravity; the ground pushes
//! straight up under both axles. Tilting moves a centre of gravity that lies h − r above the line of
//! the hubs toward the axle left down, whose load rises from F (level) to F′. Moments about the
//! raised axle, symbols as below:
//!
//! - equal radii r: h = r + L·(F′ − F) / (W·tan θ). Course notes "Vehicle Inertial Measurements".
//! - unequal radii: h = Rf·b/L + Rr·a/L + (F′·L − W·b) / (W·tan θ), rear raised; with R′ and a for a
//!   raised front. A formula page, read; Milliken & Milliken, *Race Car Vehicle Dynamics*, ch. 18,
//!   from memory. That formulas differ when radii differ: SAE 2004-01-1076, abstract.
//! - angle from the wheels' elevation H: sin θ = H/L (same course notes).
//!
//! L wheelbase, a and b the distances from the centre of gravity to front and rear axle, W = total,
//! all loads in kilograms, lengths in metres, θ in radians.
//!
//! # Several steps
//! ISO 10392:2011, 6.2 (excerpt) recommends three or more steps up and then down, load plotted
//! against tan θ or the single results averaged, and the same again with the other axle raised. Steps
//! of both axles may be mixed here, since each obeys (F′ − F)·L/W = (h − r)·tan θ.
//!
//! # Valid for
//! 0 < θ < 90°; best above 15° (course notes). Accuracy "a few percent" (ISO 10392:2011, scope); with
//! an unlocked suspension or poor instruments 20-50 % wrong (SAE Congress 1998, "Vehicle CG Height
//! Measurement Errors", abstract). Do not put H/L for tan θ: at 15° that alone gives 3.5 % too much.
//! With unequal radii the published formula differs from the full rotation of a rigid vehicle by
//! `(R_raised − R_down)·(F′ − F)/W`, for a car with radii 3 cm apart 1.3 mm at 25°; and H/L is the
//! sine to within `(R_raised − R_down)·(1 − cos θ)/L`.

use super::combine::{Disagreement, disagreements};
use super::error::{Axle, MassError, Quantity, check_positive, finite, positive};
use super::stability::PlausibleRange;
use crate::propagation::Tracked;
use crate::verdict::Verdict;
use std::f64::consts::{FRAC_PI_2, PI};

/// Lift angles under this are flagged: 15 degrees in radians.
///
/// Course notes "Vehicle Inertial Measurements": use lift angles above 15 degrees.
pub const SHALLOW_LIFT_ANGLE: f64 = 15.0 * (PI / 180.0);

/// How far a + b may miss the wheelbase, metres, where no uncertainty allows more. Common practice,
/// no source.
const DISTANCE_SLACK: f64 = 0.001;

/// How the level vehicle divides its mass between the axles.
#[derive(Debug, Clone, PartialEq)]
pub enum LevelSplit {
    /// Both axles were read.
    Loads {
        /// Load of the whole front axle, kilograms.
        front: Tracked,
        /// Load of the whole rear axle, kilograms.
        rear: Tracked,
    },
    /// Mass and place of the centre of gravity are stated.
    Declared {
        /// Total mass, kilograms.
        mass: Tracked,
        /// a: from the front axle back to the centre of gravity, metres.
        front_to_centre: Tracked,
        /// b: from the centre of gravity back to the rear axle, metres.
        centre_to_rear: Tracked,
    },
}

/// How far the axle was raised.
#[derive(Debug, Clone, PartialEq)]
pub enum LiftAngle {
    /// Tilt of the vehicle against level, radians.
    Angle(Tracked),
    /// H: how much higher the raised wheels stand than the others, metres.
    Elevation(Tracked),
}

/// One reading with an axle raised.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftStep {
    /// Which axle was raised.
    pub raised: Axle,
    /// Load on the axle left down, kilograms.
    pub load_on_other: Tracked,
    /// How far.
    pub angle: LiftAngle,
}

/// All that was measured in an axle lift of a two-axle vehicle.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleLift {
    /// The level vehicle, in the same state of load.
    pub level: LevelSplit,
    /// Distance between the axles, metres.
    pub wheelbase: Tracked,
    /// Static loaded radius of the front wheels, metres.
    pub radius_front: Tracked,
    /// Static loaded radius of the rear wheels, metres. Where both are one measurement, pass the
    /// same number twice.
    pub radius_rear: Tracked,
    /// One or more readings, up and down, either axle.
    pub steps: Vec<LiftStep>,
}

/// How several steps become one height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StepCombination {
    /// Mean of the single results.
    Mean,
    /// Straight line through the level reading, load rise against tan θ, each step weighted by
    /// 1/u² of its load (all alike when one load has no uncertainty). Steep steps count more.
    LeastSquares,
}

/// The result of one step.
#[derive(Debug, Clone, PartialEq)]
pub struct StepResult {
    /// Height of the centre of gravity above the ground by this step alone, metres.
    pub height: Tracked,
    /// Lift angle, radians.
    pub angle: Tracked,
    /// F′ − F: how much the load on the axle left down rose, kilograms.
    pub load_rise: Tracked,
}

/// Something odd about a lift that does not forbid the result. Steps count from zero.
#[derive(Debug, Clone, PartialEq)]
pub enum HeightFlag {
    /// The angle is below [`SHALLOW_LIFT_ANGLE`], so a small error of the scale is a large error of
    /// the height.
    ShallowAngle {
        /// Which step.
        step: usize,
        /// Its angle, radians.
        angle: f64,
    },
    /// The load on the axle left down did not rise: the centre of gravity would lie no higher than
    /// the hubs. More likely two readings were swapped.
    LoadDidNotRise {
        /// Which step.
        step: usize,
    },
    /// Two steps differ by more than their uncertainty explains: moving suspension, brakes on, or a
    /// reading mistaken.
    StepsDisagree(Disagreement),
    /// The whole interval lies outside the usual range that was asked for.
    OutsideUsual(PlausibleRange),
}

/// Height of the centre of gravity with all that led to it.
#[derive(Debug, Clone, PartialEq)]
pub struct LiftedHeight {
    /// Height above the ground, metres.
    pub height: Tracked,
    /// Height above the line of the hubs, metres.
    pub above_hubs: Tracked,
    /// Each step by itself, in the order given.
    pub steps: Vec<StepResult>,
    /// What a person should look at, if anything.
    pub flags: Vec<HeightFlag>,
}

/// Computes the height of the centre of gravity of a two-axle vehicle from one or more lift steps.
///
/// `usual` is a range of heights to be expected, such as
/// [`LIGHT_VEHICLE_HEIGHT`](super::LIGHT_VEHICLE_HEIGHT); outside it the result is flagged.
///
/// # Errors
/// No steps; loads, lengths, radii or angles that are not more than zero; 90 degrees and more; wheels
/// raised by the wheelbase and more; a tilted load of the whole mass and more; declared distances
/// that miss the wheelbase by more than 1 mm and more than their uncertainty allows; a height that
/// comes out zero or negative; anything that is not finite.
pub fn height_by_axle_lift(
    lift: &AxleLift,
    combination: StepCombination,
    usual: Option<&PlausibleRange>,
) -> Result<LiftedHeight, MassError> {
    let level = Level::new(lift)?;
    let rises = lift
        .steps
        .iter()
        .enumerate()
        .map(|(index, step)| CheckedStep::new(index, step, &level))
        .collect::<Result<Vec<_>, _>>()?;
    let above_hubs = finite(combine(&rises, combination)?, Quantity::Height)?;
    let height = positive(&level.hub_height + &above_hubs, Quantity::Height)?;
    let steps = rises
        .into_iter()
        .map(|rise| rise.into_step(&level))
        .collect::<Result<Vec<_>, _>>()?;
    let flags = find_flags(&height, &steps, usual);
    Ok(LiftedHeight {
        height,
        above_hubs,
        steps,
        flags,
    })
}

/// What the level vehicle says, checked.
struct Level<'a> {
    front: Tracked,
    rear: Tracked,
    total: Tracked,
    wheelbase: &'a Tracked,
    /// L / W, metres per kilogram.
    lever: Tracked,
    /// Height of the line of the hubs under the centre of gravity.
    hub_height: Tracked,
}

impl<'a> Level<'a> {
    fn new(lift: &'a AxleLift) -> Result<Self, MassError> {
        let wheelbase = &lift.wheelbase;
        check_positive(wheelbase, Quantity::Wheelbase)?;
        check_positive(&lift.radius_front, Quantity::WheelRadius(Axle::Front))?;
        check_positive(&lift.radius_rear, Quantity::WheelRadius(Axle::Rear))?;
        let (front, rear, total) = match &lift.level {
            LevelSplit::Loads { front, rear } => (front.clone(), rear.clone(), front + rear),
            LevelSplit::Declared {
                mass,
                front_to_centre,
                centre_to_rear,
            } => declared_loads(mass, front_to_centre, centre_to_rear, wheelbase)?,
        };
        check_positive(&front, Quantity::LevelLoad(Axle::Front))?;
        check_positive(&rear, Quantity::LevelLoad(Axle::Rear))?;
        check_positive(&total, Quantity::TotalMass)?;
        let hub_height = (&lift.radius_front * &front + &lift.radius_rear * &rear) / &total;
        Ok(Self {
            hub_height: finite(hub_height, Quantity::Height)?,
            lever: positive(wheelbase / &total, Quantity::Wheelbase)?,
            front,
            rear,
            total,
            wheelbase,
        })
    }

    /// Level load of the axle that stays down when `raised` goes up.
    fn load_opposite(&self, raised: Axle) -> &Tracked {
        match raised {
            Axle::Front => &self.rear,
            Axle::Rear => &self.front,
        }
    }
}

fn declared_loads(
    mass: &Tracked,
    front_to_centre: &Tracked,
    centre_to_rear: &Tracked,
    wheelbase: &Tracked,
) -> Result<(Tracked, Tracked, Tracked), MassError> {
    check_positive(mass, Quantity::TotalMass)?;
    check_positive(front_to_centre, Quantity::DistanceBehindFrontAxle)?;
    check_positive(centre_to_rear, Quantity::DistanceAheadOfRearAxle)?;
    let sum = front_to_centre + centre_to_rear;
    let shortfall = wheelbase - &sum;
    if shortfall.value().abs() > DISTANCE_SLACK && !shortfall.uncertain().interval().contains(0.0) {
        return Err(MassError::DistancesMissWheelbase {
            sum: sum.value(),
            wheelbase: wheelbase.value(),
        });
    }
    let front = mass * centre_to_rear / wheelbase;
    let rear = mass * front_to_centre / wheelbase;
    Ok((front, rear, mass.clone()))
}

/// One step, checked: by how much the load rose, and at which angle.
struct CheckedStep {
    load_rise: Tracked,
    angle: Tracked,
    tangent: Tracked,
    /// (F′ − F)·L/W, metres: rises with tan θ.
    shift: Tracked,
    load_u: f64,
}

impl CheckedStep {
    fn new(index: usize, step: &LiftStep, level: &Level) -> Result<Self, MassError> {
        let load = &step.load_on_other;
        check_positive(load, Quantity::TiltedLoad(index))?;
        if load.value() >= level.total.value() {
            return Err(MassError::TiltedLoadAboveTotal {
                step: index,
                load: load.value(),
                total: level.total.value(),
            });
        }
        let angle = lift_angle(index, &step.angle, level.wheelbase)?;
        let load_rise = load - level.load_opposite(step.raised);
        Ok(Self {
            tangent: positive(angle.tan(), Quantity::LiftAngle(index))?,
            shift: finite(&load_rise * &level.lever, Quantity::TiltedLoad(index))?,
            load_u: load.u(),
            load_rise,
            angle,
        })
    }

    fn above_hubs(&self) -> Tracked {
        &self.shift / &self.tangent
    }

    fn into_step(self, level: &Level) -> Result<StepResult, MassError> {
        Ok(StepResult {
            height: finite(&level.hub_height + self.above_hubs(), Quantity::Height)?,
            angle: self.angle,
            load_rise: self.load_rise,
        })
    }
}

fn lift_angle(index: usize, angle: &LiftAngle, wheelbase: &Tracked) -> Result<Tracked, MassError> {
    let angle = match angle {
        LiftAngle::Angle(angle) => angle.clone(),
        LiftAngle::Elevation(elevation) => {
            check_positive(elevation, Quantity::WheelElevation(index))?;
            if elevation.value() >= wheelbase.value() {
                return Err(MassError::ElevationBeyondWheelbase {
                    step: index,
                    elevation: elevation.value(),
                });
            }
            (elevation / wheelbase).asin()
        }
    };
    check_positive(&angle, Quantity::LiftAngle(index))?;
    if angle.value() >= FRAC_PI_2 {
        return Err(MassError::AngleTooSteep {
            step: index,
            angle: angle.value(),
        });
    }
    Ok(angle)
}

/// Returns the height above the hubs from all steps together.
fn combine(rises: &[CheckedStep], combination: StepCombination) -> Result<Tracked, MassError> {
    if rises.is_empty() {
        return Err(MassError::NoLiftSteps);
    }
    Ok(match combination {
        StepCombination::Mean => {
            let single: Vec<_> = rises.iter().map(CheckedStep::above_hubs).collect();
            Tracked::sum(&single) / rises.len() as f64
        }
        StepCombination::LeastSquares => slope_through_origin(rises),
    })
}

/// Returns Σ w·t·s / Σ w·t² with t = tan θ, s the shift and w = 1/u² of the load.
///
/// The weights count as exact numbers: which weights one chooses does not make the result uncertain.
fn slope_through_origin(rises: &[CheckedStep]) -> Tracked {
    let weighted = rises.iter().all(|rise| rise.load_u > 0.0);
    let weight = |rise: &CheckedStep| {
        if weighted { rise.load_u.powi(-2) } else { 1.0 }
    };
    let mut numerator = Tracked::exact(0.0);
    let mut denominator = Tracked::exact(0.0);
    for rise in rises {
        numerator = numerator + weight(rise) * (&rise.tangent * &rise.shift);
        denominator = denominator + weight(rise) * (&rise.tangent * &rise.tangent);
    }
    numerator / denominator
}

fn find_flags(
    height: &Tracked,
    steps: &[StepResult],
    usual: Option<&PlausibleRange>,
) -> Vec<HeightFlag> {
    let mut flags = Vec::new();
    for (step, result) in steps.iter().enumerate() {
        let angle = result.angle.value();
        if angle < SHALLOW_LIFT_ANGLE {
            flags.push(HeightFlag::ShallowAngle { step, angle });
        }
        if result.load_rise.value() <= 0.0 {
            flags.push(HeightFlag::LoadDidNotRise { step });
        }
    }
    let heights: Vec<_> = steps.iter().map(|step| step.height.clone()).collect();
    flags.extend(
        disagreements(&heights)
            .into_iter()
            .map(HeightFlag::StepsDisagree),
    );
    let outside = usual.filter(|range| range.verdict(height.uncertain()) == Verdict::Beyond);
    flags.extend(outside.copied().map(HeightFlag::OutsideUsual));
    flags
}

#[cfg(test)]
mod tests;

//! How the smallest clearance moves with each uncertain input.

use super::course::{Course, Drive, Numbers, Tightest};
use super::search::Found;
use super::{Direction, Vehicle, Way};
use crate::propagation::Tracked;

/// An input that moves the wheels or the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Input {
    FrontX,
    FrontRadius,
    FrontRaise,
    RearX,
    RearRadius,
    RearRaise,
    TailLength,
    TailAngle,
    Tilt,
}

impl Input {
    pub(super) const ALL: [Self; 9] = [
        Self::FrontX,
        Self::FrontRadius,
        Self::FrontRaise,
        Self::RearX,
        Self::RearRadius,
        Self::RearRaise,
        Self::TailLength,
        Self::TailAngle,
        Self::Tilt,
    ];

    /// The input itself, if there is one.
    pub(super) fn of<'a>(self, vehicle: &'a Vehicle, way: &'a Way) -> Option<&'a Tracked> {
        Some(match self {
            Self::FrontX => &vehicle.front.x,
            Self::FrontRadius => &vehicle.front.radius,
            Self::FrontRaise => &vehicle.front.raise,
            Self::RearX => &vehicle.rear.x,
            Self::RearRadius => &vehicle.rear.radius,
            Self::RearRaise => &vehicle.rear.raise,
            Self::TailLength => &way.tail.as_ref()?.length,
            Self::TailAngle => &way.tail.as_ref()?.angle,
            Self::Tilt => &way.tilt,
        })
    }

    fn moved(self, numbers: &Numbers, by: f64) -> Numbers {
        let mut moved = *numbers;
        match self {
            Self::FrontX => moved.front.x += by,
            Self::FrontRadius => moved.front.radius += by,
            Self::FrontRaise => moved.front.raise += by,
            Self::RearX => moved.rear.x += by,
            Self::RearRadius => moved.rear.radius += by,
            Self::RearRaise => moved.rear.raise += by,
            Self::TailLength => {
                moved.way.tail = moved.way.tail.map(|(length, angle)| (length + by, angle));
            }
            Self::TailAngle => {
                moved.way.tail = moved.way.tail.map(|(length, angle)| (length, angle + by));
            }
            Self::Tilt => moved.way.tilt += by,
        }
        moved
    }
}

/// Half the distance of the two samples, metres or radians: small beside every length, large beside
/// the rounding of the clearance.
const STEP: f64 = 1e-5;

/// What was found, with what is needed to find it again after a change.
pub(super) struct Spot<'a> {
    course: &'a Course,
    found: &'a Found,
}

impl<'a> Spot<'a> {
    pub(super) fn new(course: &'a Course, found: &'a Found) -> Self {
        Self { course, found }
    }

    /// The clearance of the same spot, at the same share of the same stretch of a changed path.
    fn again(&self, drive: &Drive) -> Option<f64> {
        let leg = self.course.drive.motion.legs.get(self.found.leg)?;
        let touches = (leg.lead.touch, leg.trail.touch);
        let same = drive
            .motion
            .legs
            .iter()
            .find(|other| (other.lead.touch, other.trail.touch) == touches)?;
        let share = (self.found.s - leg.from) / (leg.to - leg.from);
        let s = same.from + share * (same.to - same.from);
        let attitude = drive.motion.at(same, s);
        let scene = drive.scene(&self.course.underside);
        Some(scene.clearance(self.found.task, &attitude)).filter(|c| c.is_finite())
    }
}

/// The derivatives of several clearances by one input; zero where the clearance has none.
pub(super) fn slopes(
    spots: &[Spot<'_>],
    numbers: &Numbers,
    direction: Direction,
    input: Input,
) -> Vec<f64> {
    let changed = |by: f64| {
        let underside = &spots.first()?.course.underside;
        Drive::new(&input.moved(numbers, by), underside, direction).ok()
    };
    let (less, more) = (changed(-STEP), changed(STEP));
    let slope = |spot: &Spot<'_>| {
        let here = spot.found.clearance;
        let at = |drive: &Option<Drive>| drive.as_ref().and_then(|drive| spot.again(drive));
        match (at(&less), at(&more)) {
            (Some(less), Some(more)) => (more - less) / (2.0 * STEP),
            (None, Some(more)) => (more - here) / STEP,
            (Some(less), None) => (here - less) / STEP,
            (None, None) => 0.0,
        }
    };
    spots.iter().map(slope).collect()
}

/// The tightest place of each part, with its uncertainty.
pub(super) fn tightest(vehicle: &Vehicle, way: &Way, course: &Course) -> Vec<Tightest> {
    let scene = course.drive.scene(&course.underside);
    let found: Vec<Found> = scene.of_parts().into_iter().flatten().collect();
    let spots: Vec<Spot<'_>> = found.iter().map(|found| Spot::new(course, found)).collect();
    let numbers = Numbers::new(vehicle, way);
    let mut partials: Vec<Vec<(f64, &Tracked)>> = spots
        .iter()
        .map(|_| vec![(-1.0, &vehicle.outline_error)])
        .collect();
    for input in Input::ALL {
        let Some(number) = input.of(vehicle, way) else {
            continue;
        };
        // An exact input moves nothing, but it was used.
        let slopes = if number.u() > 0.0 {
            slopes(&spots, &numbers, course.direction, input)
        } else {
            vec![0.0; spots.len()]
        };
        for (partials, slope) in partials.iter_mut().zip(slopes) {
            partials.push((slope, number));
        }
    }
    let parts = found.iter().zip(partials);
    parts
        .filter_map(|(found, partials)| {
            let value = found.clearance - vehicle.outline_error.value();
            course.describe(found, Tracked::from_partials(value, partials))
        })
        .collect()
}

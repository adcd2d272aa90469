//! The steepest deck that a vehicle still clears.

use super::body::{BodyPart, Underside};
use super::course::{Course, Drive, Numbers};
use super::search::Found;
use super::sensitivity::{Input, Spot, slopes};
use super::{ClearingError, Direction, Vehicle, Way};
use crate::propagation::Tracked;

/// Decks are not tilted further than this, radians: the search ends here.
const STEEPEST: f64 = std::f64::consts::FRAC_PI_4;

/// Angles are tried in steps of this until one touches, radians: two degrees.
const STRIDE: f64 = std::f64::consts::PI / 90.0;

/// The step that touches is halved to this, radians; from there the clearance is as good as straight.
const NEAR: f64 = 5e-4;

/// How close the answer is to the angle at which it touches, radians.
const FINEST: f64 = 1e-7;

/// The steepest deck that clears.
#[derive(Debug, Clone, PartialEq)]
pub enum Steepest {
    /// It clears up to this angle.
    Angle {
        /// Radians.
        angle: Tracked,
        /// What touches first.
        part: BodyPart,
    },
    /// It clears as far as was looked.
    BeyondSearch {
        /// The greatest angle tried, radians.
        tried: f64,
    },
    /// It touches even before the deck is tilted.
    Never,
}

/// Finds the steepest tilt with a clearance of at least `least` metres, everything else unchanged.
///
/// It is the largest angle below which all smaller ones clear as well: angles are tried upward in
/// steps of two degrees, the first step that touches is halved, and the rest found along the slope
/// of the clearance, to a ten-millionth of a radian. A touch that comes and goes within two degrees
/// could be missed. The way's own tilt is
/// not used, nor its uncertainty.
///
/// # Errors
/// As [`clear`](super::clear).
pub fn steepest_tilt(
    vehicle: &Vehicle,
    way: &Way,
    direction: Direction,
    least: f64,
) -> Result<Steepest, ClearingError> {
    let course = Course::new(vehicle, way, direction)?;
    let floor = least + vehicle.outline_error.value();
    let numbers = Numbers::new(vehicle, way);
    let clears = |angle: f64| clears(&numbers, &course.underside, direction, angle, floor);
    // A laid ramp needs some slope behind it before it can be driven at all.
    let steps = || (0..).map(|step| f64::from(step) * STRIDE);
    let first = steps()
        .take_while(|angle| *angle < STEEPEST)
        .find_map(|angle| Some((angle, clears(angle)?)));
    let Some((mut good, true)) = first else {
        return Ok(Steepest::Never);
    };
    loop {
        let next: f64 = good + STRIDE;
        match clears(next) {
            Some(true) if next < STEEPEST => good = next,
            Some(false) => break,
            _ => return Ok(Steepest::BeyondSearch { tried: good }),
        }
    }
    let mut bad = good + STRIDE;
    while bad - good > NEAR {
        let middle = good.midpoint(bad);
        if clears(middle) == Some(true) {
            good = middle;
        } else {
            bad = middle;
        }
    }
    let found = |angle: f64| Limit::new(&course, &numbers, angle, floor);
    let mut limit = found(good.midpoint(bad))?;
    while bad - good > FINEST && limit.excess.abs() > FINEST {
        if limit.excess > 0.0 {
            good = limit.angle;
        } else {
            bad = limit.angle;
        }
        let straight = limit.angle - limit.excess / limit.slope(Input::Tilt);
        // Where the slope leads outside, halving still comes nearer.
        let inside = good < straight && straight < bad;
        limit = found(if inside { straight } else { good.midpoint(bad) })?;
    }
    limit.told(vehicle, way)
}

/// Whether a tilt clears; `None` where it cannot be driven.
fn clears(
    numbers: &Numbers,
    underside: &Underside,
    direction: Direction,
    angle: f64,
    floor: f64,
) -> Option<bool> {
    let mut tilted = *numbers;
    tilted.way.tilt = angle;
    let drive = Drive::new(&tilted, underside, direction).ok()?;
    Some(!drive.scene(underside).comes_below(floor))
}

/// The tightest place at one tilt.
struct Limit {
    angle: f64,
    course: Course,
    found: Found,
    /// Clearance above the one asked for.
    excess: f64,
    numbers: Numbers,
}

impl Limit {
    fn new(
        course: &Course,
        numbers: &Numbers,
        angle: f64,
        floor: f64,
    ) -> Result<Self, ClearingError> {
        let mut numbers = *numbers;
        numbers.way.tilt = angle;
        let course = course.over(&numbers)?;
        let least = course.drive.scene(&course.underside).tightest();
        let found = least.ok_or(ClearingError::NoOutline)?;
        Ok(Self {
            angle,
            excess: found.clearance - floor,
            numbers,
            course,
            found,
        })
    }

    fn slope(&self, input: Input) -> f64 {
        let spot = [Spot::new(&self.course, &self.found)];
        let slopes = slopes(&spot, &self.numbers, self.course.direction, input);
        slopes.first().copied().unwrap_or(0.0)
    }

    /// What touches, and how the angle moves with the inputs: along the line on which the clearance
    /// stays the same, ∂angle/∂p = −(∂c/∂p)/(∂c/∂angle).
    fn told(&self, vehicle: &Vehicle, way: &Way) -> Result<Steepest, ClearingError> {
        let by_tilt = self.slope(Input::Tilt);
        let mut partials = Vec::new();
        if by_tilt < -1e-9 {
            partials.push((1.0 / by_tilt, &vehicle.outline_error));
            for input in Input::ALL {
                if let Some(number) = input.of(vehicle, way).filter(|_| input != Input::Tilt) {
                    let uncertain = number.u() > 0.0;
                    let slope = if uncertain { self.slope(input) } else { 0.0 };
                    partials.push((-slope / by_tilt, number));
                }
            }
        }
        let clearance = Tracked::exact(self.found.clearance);
        let described = self.course.describe(&self.found, clearance);
        let part = described.ok_or(ClearingError::NoOutline)?.part;
        let angle = Tracked::from_partials(self.angle, partials);
        Ok(Steepest::Angle { angle, part })
    }
}

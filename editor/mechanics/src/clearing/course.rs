//! One vehicle on one way in one direction: its path, its poses, its tightest places.

use super::body::{BodyPart, Underside, part_at, upright};
use super::ground::{Ground, Surface, WayNumbers};
use super::motion::{Attitude, Leg, Motion, Roller};
use super::plane::Vector;
use super::ride::{Part, Touch};
use super::search::{Found, Scene, Task};
use super::{ClearingError, Direction, Vehicle, Way, Wheel};
use crate::propagation::Tracked;
use std::sync::Arc;

/// The tightest place of one part of the body.
#[derive(Debug, Clone, PartialEq)]
pub struct Tightest {
    /// Which part of the body.
    pub part: BodyPart,
    /// The clearance, metres; below zero it touches.
    pub clearance: Tracked,
    /// The spot of the body, in the frame of the vehicle: x rearward, z up.
    pub spot: [f64; 2],
    /// What the spot is nearest to.
    pub against: Against,
    /// Where the vehicle then is.
    pub place: Place,
}

/// What a spot of the body is nearest to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Against {
    /// A surface of the way.
    Surface(Surface),
    /// The edge between two surfaces.
    Edge(Surface, Surface),
}

/// Where a vehicle is on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Path of the leading wheel's centre beyond the foot, metres.
    pub travel: f64,
    /// What the leading wheels stand on.
    pub leading: Standing,
    /// What the trailing wheels stand on.
    pub trailing: Standing,
}

/// What a wheel stands on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// On one surface.
    On(Surface),
    /// In the dip or on the edge between two surfaces.
    Between(Surface, Surface),
}

/// A vehicle's place in the side view of the ground: x along the travel from the foot, z up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Centre of the front wheel.
    pub front: [f64; 2],
    /// Centre of the rear wheel.
    pub rear: [f64; 2],
    /// Turn of the body, radians, positive where the leading end is up.
    pub pitch: f64,
    direction: Direction,
    attitude: [Vector; 3],
}

impl Pose {
    /// Moves a point of the vehicle's frame (x rearward, z up) into that of the ground.
    pub fn of_vehicle(&self, [x, z]: [f64; 2]) -> [f64; 2] {
        let [centre, turn, origin] = self.attitude;
        let attitude = Attitude {
            centre,
            turn,
            origin,
        };
        let point = attitude.of_body(Vector::new(self.direction.along(x), z));
        [point.x, point.z]
    }
}

/// The numbers of one axle's wheels, without uncertainty.
#[derive(Debug, Clone, Copy)]
pub(super) struct WheelNumbers {
    pub(super) x: f64,
    pub(super) radius: f64,
    pub(super) raise: f64,
}

impl WheelNumbers {
    fn roller(self, direction: Direction) -> Roller {
        Roller {
            centre: Vector::new(direction.along(self.x), self.radius),
            ride_radius: self.radius + self.raise,
        }
    }

    fn check(&self, what: &'static str) -> Result<(), ClearingError> {
        let value = self.radius;
        if !(value > 0.0 && value < 10.0) {
            return Err(ClearingError::OutOfRange { what, value });
        }
        let value = self.raise;
        if !(0.0..10.0).contains(&value) {
            let what = "raise of a wheel";
            return Err(ClearingError::OutOfRange { what, value });
        }
        Ok(())
    }
}

/// Everything that moves the wheels, without uncertainty.
#[derive(Debug, Clone, Copy)]
pub(super) struct Numbers {
    pub(super) front: WheelNumbers,
    pub(super) rear: WheelNumbers,
    pub(super) way: WayNumbers,
}

impl Numbers {
    pub(super) fn new(vehicle: &Vehicle, way: &Way) -> Self {
        let wheel = |wheel: &Wheel| WheelNumbers {
            x: wheel.x.value(),
            radius: wheel.radius.value(),
            raise: wheel.raise.value(),
        };
        Self {
            front: wheel(&vehicle.front),
            rear: wheel(&vehicle.rear),
            way: WayNumbers {
                laid: way.laid,
                tail: way
                    .tail
                    .as_ref()
                    .map(|t| (t.length.value(), t.angle.value())),
                tilt: way.tilt.value(),
                deck_length: way.deck_length,
                level_after: way.level_after,
            },
        }
    }

    pub(super) fn axles(&self) -> (f64, f64) {
        (self.front.x, self.rear.x)
    }

    fn check(&self) -> Result<(), ClearingError> {
        let what = "place of an axle";
        for value in [self.front.x, self.rear.x] {
            if !value.is_finite() {
                return Err(ClearingError::NotFinite { what });
            }
            if value.abs() > 100.0 {
                return Err(ClearingError::OutOfRange { what, value });
            }
        }
        self.front.check("radius of the front wheels")?;
        self.rear.check("radius of the rear wheels")?;
        if self.rear.x - self.front.x < 1e-3 {
            return Err(ClearingError::AxlesReversed);
        }
        Ok(())
    }
}

/// Ground and motion: what follows from [`Numbers`].
#[derive(Debug, Clone)]
pub(super) struct Drive {
    pub(super) ground: Ground,
    pub(super) motion: Motion,
}

impl Drive {
    pub(super) fn new(
        numbers: &Numbers,
        underside: &Underside,
        direction: Direction,
    ) -> Result<Self, ClearingError> {
        numbers.check()?;
        let ground = Ground::new(&numbers.way)?;
        let (front, rear) = (
            numbers.front.roller(direction),
            numbers.rear.roller(direction),
        );
        let (lead, trail) = match direction {
            Direction::NoseFirst => (front, rear),
            Direction::TailFirst => (rear, front),
        };
        let ahead = underside.reach.1 - lead.centre.x;
        let behind = trail.centre.x - underside.reach.0;
        let motion = Motion::new(&ground, lead, trail, ahead, behind.max(0.0))
            .ok_or(ClearingError::WayTooShort)?;
        Ok(Self { ground, motion })
    }

    pub(super) fn scene<'a>(&'a self, underside: &'a Underside) -> Scene<'a> {
        Scene {
            ground: &self.ground,
            underside,
            motion: &self.motion,
        }
    }
}

/// A vehicle's whole path up a way in one direction.
#[derive(Debug, Clone)]
pub struct Course {
    pub(super) direction: Direction,
    pub(super) axles: (f64, f64),
    pub(super) underside: Arc<Underside>,
    pub(super) drive: Drive,
    /// How much further out the body is than its outline.
    outline_error: f64,
}

impl PartialEq for Course {
    /// Two courses are equal when they are driven the same way over the same ground.
    fn eq(&self, other: &Self) -> bool {
        self.direction == other.direction
            && self.axles == other.axles
            && self.range() == other.range()
            && self.ground(0.0, 1.0) == other.ground(0.0, 1.0)
    }
}

impl Course {
    /// Lays out the path.
    ///
    /// # Errors
    /// As [`clear`](super::clear).
    pub fn new(vehicle: &Vehicle, way: &Way, direction: Direction) -> Result<Self, ClearingError> {
        let numbers = Numbers::new(vehicle, way);
        let axles = numbers.axles();
        if !vehicle.outline_error.is_finite() {
            let what = "uncertainty of the outline";
            return Err(ClearingError::NotFinite { what });
        }
        let underside = Arc::new(Underside::new(&vehicle.outline, axles, direction)?);
        let drive = Drive::new(&numbers, &underside, direction)?;
        Ok(Self {
            direction,
            axles,
            underside,
            drive,
            outline_error: vehicle.outline_error.value(),
        })
    }

    /// The same vehicle over another ground.
    pub(super) fn over(&self, numbers: &Numbers) -> Result<Self, ClearingError> {
        Ok(Self {
            drive: Drive::new(numbers, &self.underside, self.direction)?,
            underside: Arc::clone(&self.underside),
            ..*self
        })
    }

    /// Returns the first and the last travel of the path.
    pub fn range(&self) -> (f64, f64) {
        self.drive.motion.range().unwrap_or((0.0, 0.0))
    }

    /// Returns the pose at a travel; one outside the range is taken to its end.
    pub fn pose_at(&self, travel: f64) -> Option<Pose> {
        let (leg, s) = self.leg_at(travel)?;
        let attitude = self.drive.motion.at(leg, s);
        let trail = self.drive.motion.trail(leg, s).1;
        let (lead, trail) = ([attitude.centre.x, attitude.centre.z], [trail.x, trail.z]);
        let (front, rear) = match self.direction {
            Direction::NoseFirst => (lead, trail),
            Direction::TailFirst => (trail, lead),
        };
        Some(Pose {
            front,
            rear,
            pitch: attitude.turn.z.atan2(attitude.turn.x),
            direction: self.direction,
            attitude: [attitude.centre, attitude.turn, attitude.origin],
        })
    }

    /// Returns the clearance at a travel, metres.
    pub fn clearance_at(&self, travel: f64) -> Option<f64> {
        let (leg, s) = self.leg_at(travel)?;
        let attitude = self.drive.motion.at(leg, s);
        let least = self.drive.scene(&self.underside).least(&attitude);
        Some(least - self.outline_error)
    }

    /// Returns the line of the ground from `behind` before the foot to `beyond` after the last
    /// corner, in the frame of the poses.
    pub fn ground(&self, behind: f64, beyond: f64) -> Vec<[f64; 2]> {
        let pieces = &self.drive.ground.chain.pieces;
        let foot = self.drive.ground.foot;
        let mut line = vec![[foot.x - behind, foot.z]];
        line.extend(pieces.iter().skip(1).map(|p| [p.start.x, p.start.z]));
        if let Some(last) = pieces.last() {
            let end = last.start + last.along * beyond;
            line.push([end.x, end.z]);
        }
        line
    }

    fn leg_at(&self, travel: f64) -> Option<(&Leg, f64)> {
        let (first, last) = self.drive.motion.range()?;
        if !travel.is_finite() {
            return None;
        }
        let s = travel.clamp(first, last);
        let leg = self.drive.motion.legs.iter().find(|leg| s <= leg.to)?;
        Some((leg, s))
    }

    /// Describes what the search found.
    pub(super) fn describe(&self, found: &Found, clearance: Tracked) -> Option<Tightest> {
        let leg = self.drive.motion.legs.get(found.leg)?;
        let attitude = self.drive.motion.at(leg, found.s);
        let (spot, against) = self.spot(found.task, &attitude)?;
        let x = self.direction.along(spot.x);
        let trail = self.drive.motion.trail(leg, found.s).0;
        Some(Tightest {
            part: part_at(x, self.axles),
            clearance,
            spot: [x, spot.z],
            against,
            place: Place {
                travel: found.s,
                leading: self.standing(&leg.lead, found.s),
                trailing: self.standing(&leg.trail, trail),
            },
        })
    }

    fn spot(&self, task: Task, attitude: &Attitude) -> Option<(Vector, Against)> {
        let ground = &self.drive.ground;
        match task {
            Task::Corner(index) => {
                let corner = self.underside.corners.get(index)?.0;
                let nearest = ground.chain.nearest(attitude.of_body(corner), None);
                let surface = ground.surfaces.get(nearest.piece)?;
                Some((corner, Against::Surface(*surface)))
            }
            Task::Crest(index, part) => {
                let crest = attitude.seen_by_body(*ground.chain.crests.get(index)?);
                let (a, b) = ground.beside_crest(index)?;
                let spot = self.underside.nearest_spot(crest, part);
                Some((spot, Against::Edge(a, b)))
            }
        }
    }

    fn standing(&self, part: &Part, s: f64) -> Standing {
        let surface = |index: usize| {
            let surfaces = &self.drive.ground.surfaces;
            surfaces.get(index).copied().unwrap_or(Surface::Ground)
        };
        match part.touch {
            Touch::CornerAfter(index) => Standing::Between(surface(index), surface(index + 1)),
            Touch::Piece(index) => {
                let dip = |piece: usize| !self.drive.ground.crest_before(piece);
                if s - part.from < 1e-6 && index > 0 && dip(index) {
                    Standing::Between(surface(index - 1), surface(index))
                } else if part.to() - s < 1e-6 && dip(index + 1) {
                    Standing::Between(surface(index), surface(index + 1))
                } else {
                    Standing::On(surface(index))
                }
            }
        }
    }
}

impl Underside {
    /// The spot of one part of the body that is nearest to a point, in the frame of the body.
    fn nearest_spot(&self, point: Vector, part: usize) -> Vector {
        let to_edge = self.chain.nearest(upright(point), Some(part));
        let corner = self
            .corners
            .iter()
            .filter(|corner| corner.1 == part)
            .map(|corner| ((corner.0 - point).length(), corner.0))
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let edge = self.chain.pieces.get(to_edge.piece);
        match (corner, edge) {
            (Some((distance, corner)), _) if distance < to_edge.distance => corner,
            (_, Some(edge)) => {
                let aside = edge.normal * edge.normal.dot(upright(point) - edge.start);
                upright(upright(point) - aside)
            }
            (Some((_, corner)), None) => corner,
            (None, None) => point,
        }
    }
}

//! Two wheels on their lines, a wheelbase apart: the pose of the body for each place on the path.

use super::ground::Ground;
use super::plane::Vector;
use super::ride::{Part, Ride};

/// One of two wheels in the direction of travel, in the frame of the body.
#[derive(Debug, Clone, Copy)]
pub(super) struct Roller {
    /// Centre: along the travel, and up from the ground of a level vehicle.
    pub(super) centre: Vector,
    /// From the ground to the centre, with whatever raises the wheel.
    pub(super) ride_radius: f64,
}

/// Where the body is: the leading wheel's centre, and the turn of the body.
#[derive(Debug, Clone, Copy)]
pub(super) struct Attitude {
    pub(super) centre: Vector,
    /// Unit vector at the angle of pitch.
    pub(super) turn: Vector,
    /// The leading wheel's centre in the frame of the body.
    pub(super) origin: Vector,
}

impl Attitude {
    /// Moves a point of the body into the frame of the ground.
    pub(super) fn of_body(&self, point: Vector) -> Vector {
        self.centre + (point - self.origin).turned(self.turn)
    }

    /// Moves a point of the ground into the frame of the body.
    pub(super) fn seen_by_body(&self, point: Vector) -> Vector {
        self.origin + (point - self.centre).turned_back(self.turn)
    }
}

/// A stretch of the path on which both wheels stay on one part of their lines.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) lead: Part,
    pub(super) trail: Part,
    bends: Bends,
}

/// Bounds on how the body moves per metre of the leading wheel's path.
#[derive(Debug, Clone, Copy, Default)]
struct Bends {
    /// Acceleration of the leading wheel's centre.
    centre: f64,
    /// Turning.
    turning: f64,
    /// Change of the turning.
    change: f64,
}

impl Leg {
    /// How far a point of the body, `arm` from the leading wheel's centre, may stray from a straight
    /// way over a stretch of the path.
    pub(super) fn strays(&self, arm: f64, stretch: f64) -> f64 {
        let Bends {
            centre,
            turning,
            change,
        } = self.bends;
        (centre + arm * (turning * turning + change)) * stretch * stretch / 8.0
    }

    /// The same for a point of the ground, as the body sees it.
    pub(super) fn strays_in_body(&self, arm: f64, stretch: f64) -> f64 {
        // The arm grows by at most the stretch; the last term is the turning of the seen velocity.
        let turning = self.bends.turning;
        self.strays(arm + stretch, stretch) + turning * stretch * stretch / 4.0
    }
}

/// The path of one vehicle over one ground.
#[derive(Debug, Clone)]
pub(super) struct Motion {
    pub(super) legs: Vec<Leg>,
    /// Between the two wheel centres.
    distance: f64,
    /// Unit vector between them when the body is level.
    level: Vector,
    origin: Vector,
}

impl Motion {
    /// Drives from level ground, `ahead` of the body before the foot, until `behind` of the body is
    /// on the last piece, or to the end of the deck. `None` when the deck ends before that begins.
    pub(super) fn new(
        ground: &Ground,
        lead: Roller,
        trail: Roller,
        ahead: f64,
        behind: f64,
    ) -> Option<Self> {
        let chain = &ground.chain;
        let lead_ride = Ride::new(chain, lead.ride_radius, ground.foot);
        let trail_ride = if (lead.ride_radius - trail.ride_radius).abs() > 0.0 {
            Ride::new(chain, trail.ride_radius, ground.foot)
        } else {
            lead_ride.clone()
        };
        let between = lead.centre - trail.centre;
        let mut motion = Self {
            legs: Vec::new(),
            distance: between.length(),
            level: between.unit(),
            origin: lead.centre,
        };
        let start = -(ahead.max(lead.ride_radius) + MARGIN);
        let end = motion.end(ground, &lead_ride, &trail_ride, behind)?;
        let bend = bends(
            ground.spread + (lead.ride_radius - trail.ride_radius).abs() / motion.distance,
            motion.distance,
        );
        motion.legs = motion.legs(&lead_ride, &trail_ride, start..end, bend)?;
        Some(motion)
    }

    /// The attitude at a place of a leg.
    pub(super) fn at(&self, leg: &Leg, s: f64) -> Attitude {
        let centre = leg.lead.at(s);
        let behind = self.trail(leg, s).1;
        let turn = (centre - behind).unit().turned_back(self.level);
        Attitude {
            centre,
            turn,
            origin: self.origin,
        }
    }

    /// The trailing wheel's own path distance and its centre.
    pub(super) fn trail(&self, leg: &Leg, s: f64) -> (f64, Vector) {
        let own = leg.trail.at_distance(leg.lead.at(s), self.distance, false);
        (own, leg.trail.at(own))
    }

    /// The first and the last place of the path.
    pub(super) fn range(&self) -> Option<(f64, f64)> {
        Some((self.legs.first()?.from, self.legs.last()?.to))
    }

    fn end(&self, ground: &Ground, lead: &Ride, trail: &Ride, behind: f64) -> Option<f64> {
        let last = lead.parts.last()?;
        let trail_last = trail.parts.last()?;
        let through = trail_last.at(trail_last.from + behind + MARGIN);
        let whole = last.at_distance(through, self.distance, true);
        let deck = ground.chain.pieces.last()?;
        // The part of the last piece that the wheel cannot reach in a dip is part of its length.
        let cut = (last.at(last.from) - deck.start).dot(deck.along);
        Some(ground.last_length.map_or(whole, |length| {
            whole.min(last.from + (length - cut).max(0.0))
        }))
    }

    fn legs(
        &self,
        lead: &Ride,
        trail: &Ride,
        range: std::ops::Range<f64>,
        bend: impl Fn(&Part, &Part) -> Bends,
    ) -> Option<Vec<Leg>> {
        let mut marks: Vec<f64> = lead.parts.iter().skip(1).map(|part| part.from).collect();
        let joints = trail.parts.iter().skip(1).map(|part| part.at(part.from));
        marks.extend(joints.filter_map(|joint| self.lead_ahead_of(lead, joint)));
        marks.retain(|s| range.contains(s));
        marks.extend([range.start, range.end]);
        marks.sort_by(f64::total_cmp);
        let mut legs = Vec::with_capacity(marks.len());
        for pair in marks.windows(2) {
            let &[from, to] = pair else { continue };
            if to - from < 1e-12 {
                continue;
            }
            let middle = from.midpoint(to);
            let lead = *lead.parts.iter().find(|part| middle <= part.to())?;
            let trail = *self.trail_behind(trail, lead.at(middle))?;
            let bends = bend(&lead, &trail);
            legs.push(Leg {
                from,
                to,
                lead,
                trail,
                bends,
            });
        }
        (!legs.is_empty()).then_some(legs)
    }

    /// Where the leading wheel is when the trailing one is at a joint.
    fn lead_ahead_of(&self, lead: &Ride, joint: Vector) -> Option<f64> {
        lead.parts
            .iter()
            .find(|part| {
                let end = part.at(part.to());
                end.x > joint.x && (end - joint).length() >= self.distance
            })
            .map(|part| part.at_distance(joint, self.distance, true))
    }

    /// The part on which the trailing wheel is.
    fn trail_behind<'r>(&self, trail: &'r Ride, centre: Vector) -> Option<&'r Part> {
        trail.parts.iter().rev().find(|part| {
            let start = part.at(part.from);
            start.x < centre.x && (start - centre).length() >= self.distance
        })
    }
}

/// Further than the body before it begins and after it ends, metres.
const MARGIN: f64 = 0.3;

/// Bounds the bending of the body's motion.
///
/// With w the direction between the wheel centres A and B, D apart, t and κ tangent and curvature of
/// each line, and Θ the greatest angle between any of them: from |A − B| = D follow
/// B's speed σ = w·t_A / w·t_B ≤ 1/cos Θ; the turning ω = w⊥·(A′ − B′)/D ≤ (1 + σ) sin Θ / D; and
/// from the second derivative σ′ ≤ (κ_A sin Θ + D ω² + σ² κ_B sin Θ)/cos Θ and
/// ω′ ≤ (κ_A + |σ′| sin Θ + σ² κ_B)/D.
fn bends(angle: f64, distance: f64) -> impl Fn(&Part, &Part) -> Bends {
    let (sine, cosine) = angle.min(1.5).sin_cos();
    move |lead, trail| {
        if let (Some(a), Some(b)) = (lead.direction(), trail.direction())
            && a.cross(b).abs() < 1e-14
        {
            // Two parallel lines only shift the body.
            return Bends::default();
        }
        let (bend_a, bend_b) = (lead.curvature(), trail.curvature());
        let speed = cosine.recip();
        let turning = (1.0 + speed) * sine / distance;
        let along =
            (bend_a * sine + distance * turning * turning + speed * speed * bend_b * sine) / cosine;
        let change = (bend_a + along * sine + speed * speed * bend_b) / distance;
        Bends {
            centre: bend_a,
            turning,
            change,
        }
    }
}

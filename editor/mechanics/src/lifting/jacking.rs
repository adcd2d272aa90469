//! Which supports there are when a part of the vehicle is raised and the rest stands on its wheels.

use super::error::{LiftError, LiftQuantity, check_positive};
use super::place::Spot;
use crate::propagation::Tracked;
use std::fmt;

/// A corner of a two-axle vehicle.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Corner {
    /// Front left.
    FrontLeft,
    /// Front right.
    FrontRight,
    /// Rear left.
    RearLeft,
    /// Rear right.
    RearRight,
}

impl Corner {
    /// All four corners.
    pub const ALL: [Self; 4] = [
        Self::FrontLeft,
        Self::FrontRight,
        Self::RearLeft,
        Self::RearRight,
    ];

    /// Says whether it is one of the two at the front.
    pub fn is_front(self) -> bool {
        matches!(self, Self::FrontLeft | Self::FrontRight)
    }

    /// Says whether it is one of the two on the left.
    pub fn is_left(self) -> bool {
        matches!(self, Self::FrontLeft | Self::RearLeft)
    }
}

impl fmt::Display for Corner {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::FrontLeft => "front left",
            Self::FrontRight => "front right",
            Self::RearLeft => "rear left",
            Self::RearRight => "rear right",
        })
    }
}

/// The part of the vehicle whose wheels leave the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Raised {
    /// One wheel.
    Corner(Corner),
    /// Both wheels on the left.
    LeftSide,
    /// Both wheels on the right.
    RightSide,
    /// Both front wheels.
    FrontEnd,
    /// Both rear wheels.
    RearEnd,
}

impl Raised {
    /// Says whether the wheel at this corner leaves the ground.
    pub fn raises(self, corner: Corner) -> bool {
        match self {
            Self::Corner(raised) => raised == corner,
            Self::LeftSide => corner.is_left(),
            Self::RightSide => !corner.is_left(),
            Self::FrontEnd => corner.is_front(),
            Self::RearEnd => !corner.is_front(),
        }
    }
}

/// What a support is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SupportKind {
    /// One of the jacks or stands, by its index.
    Jack(usize),
    /// A wheel on the ground.
    Wheel(Corner),
}

/// A support with what it is.
#[derive(Debug, Clone, PartialEq)]
pub struct JackedSupport {
    /// What carries there.
    pub kind: SupportKind,
    /// Where it is.
    pub spot: Spot,
}

/// The wheels of a two-axle vehicle, in the vehicle's frame: x rearward from the front axle, y to the
/// right. A dual wheel counts as one, at the middle of its pair.
#[derive(Debug, Clone, PartialEq)]
pub struct Wheels {
    wheelbase: Tracked,
    front_half: Tracked,
    rear_half: Tracked,
}

impl Wheels {
    /// Places the four wheels from the wheelbase and both tracks, metres.
    ///
    /// # Errors
    /// Lengths that are not more than zero or not finite.
    pub fn new(
        wheelbase: Tracked,
        front_track: &Tracked,
        rear_track: &Tracked,
    ) -> Result<Self, LiftError> {
        check_positive(&wheelbase, LiftQuantity::Wheelbase)?;
        check_positive(front_track, LiftQuantity::FrontTrack)?;
        check_positive(rear_track, LiftQuantity::RearTrack)?;
        Ok(Self {
            wheelbase,
            front_half: front_track / 2.0,
            rear_half: rear_track / 2.0,
        })
    }

    /// Returns where a wheel stands.
    pub fn spot(&self, corner: Corner) -> Spot {
        let (x, half) = if corner.is_front() {
            (Tracked::exact(0.0), &self.front_half)
        } else {
            (self.wheelbase.clone(), &self.rear_half)
        };
        let y = if corner.is_left() {
            -half
        } else {
            half.clone()
        };
        Spot::new(x, y)
    }

    /// Lists the supports with one part raised: the jacks first, then the wheels left on the ground.
    ///
    /// With one jack under a side or an end there are three and the loads are determinate; under a
    /// corner there are four. The raised wheels are just off the ground and the vehicle still level.
    ///
    /// # Errors
    /// No jack at all, and places that are not finite.
    pub fn jacked(&self, raised: Raised, jacks: &[Spot]) -> Result<Vec<JackedSupport>, LiftError> {
        if jacks.is_empty() {
            return Err(LiftError::NoJack);
        }
        let mut supports = Vec::with_capacity(jacks.len() + 3);
        for (index, jack) in jacks.iter().enumerate() {
            jack.check(LiftQuantity::Support(index))?;
            let (kind, spot) = (SupportKind::Jack(index), jack.clone());
            supports.push(JackedSupport { kind, spot });
        }
        let grounded = Corner::ALL.into_iter().filter(|c| !raised.raises(*c));
        supports.extend(grounded.map(|corner| JackedSupport {
            kind: SupportKind::Wheel(corner),
            spot: self.spot(corner),
        }));
        Ok(supports)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a failed unwrap is a failed test")]

    use super::*;

    fn wheels() -> Wheels {
        let track = Tracked::exact(1.5);
        Wheels::new(Tracked::exact(2.7), &track, &Tracked::exact(1.6)).unwrap()
    }

    #[track_caller]
    fn grounded(raised: Raised, expected: &[Corner]) {
        let supports = wheels().jacked(raised, &[Spot::exact(1.0, 0.0)]).unwrap();
        let kinds: Vec<_> = supports.iter().map(|support| support.kind).collect();
        let wheels = expected.iter().map(|corner| SupportKind::Wheel(*corner));
        let expected: Vec<_> = std::iter::once(SupportKind::Jack(0))
            .chain(wheels)
            .collect();
        assert_eq!(kinds, expected);
    }

    #[test]
    fn what_is_raised_stands_on_the_jack_and_the_rest_on_its_wheels() {
        use Corner::{FrontLeft, FrontRight, RearLeft, RearRight};
        grounded(
            Raised::Corner(FrontLeft),
            &[FrontRight, RearLeft, RearRight],
        );
        grounded(Raised::LeftSide, &[FrontRight, RearRight]);
        grounded(Raised::RightSide, &[FrontLeft, RearLeft]);
        grounded(Raised::FrontEnd, &[RearLeft, RearRight]);
        grounded(Raised::RearEnd, &[FrontLeft, FrontRight]);
    }

    #[test]
    fn wheels_stand_half_a_track_to_either_side() {
        assert_eq!(wheels().spot(Corner::FrontLeft), Spot::exact(0.0, -0.75));
        assert_eq!(wheels().spot(Corner::RearRight), Spot::exact(2.7, 0.8));
    }

    #[test]
    fn a_raised_vehicle_without_a_jack_is_refused() {
        assert_eq!(
            wheels().jacked(Raised::FrontEnd, &[]),
            Err(LiftError::NoJack)
        );
        let nowhere = [Spot::exact(f64::NAN, 0.0)];
        assert!(wheels().jacked(Raised::FrontEnd, &nowhere).is_err());
        let one = Tracked::exact(1.0);
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let bad = Tracked::exact(bad);
            assert!(Wheels::new(bad.clone(), &one, &one).is_err());
            assert!(Wheels::new(one.clone(), &bad, &one).is_err());
            assert!(Wheels::new(one.clone(), &one, &bad).is_err());
        }
    }
}

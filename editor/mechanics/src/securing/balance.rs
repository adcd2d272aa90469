//! How hard a load is pulled in each direction, and against what it is held.
//!
//! Force = c·W, each direction by itself. The factors c:
//!
//! | rule set | forward | rearward | sideways | up | compared with |
//! | --- | --- | --- | --- | --- | --- |
//! | US, working load limit | 0.435 | 0.5 | 0.25 | 0.2 | working load limit |
//! | US, breaking strength | 0.8 | 0.5 | 0.5 | 0.2 | breaking strength |
//! | Quebec | 0.8 | 0.5 | 0.5 | 0.2 | working load limit |
//! | EN 12195-1 | 0.8 | 0.5 | 0.5 | – | lashing capacity, friction counted |
//!
//! 49 CFR 393.102 (FMCSA text), read; Quebec C-24.2 r.30 s.3, read; GDV Ladungssicherungshandbuch
//! 4.1.6 (DIN EN 12195-1:2011), read. Both limbs of the US rule hold at once.

use super::error::{Quantity, SecuringError, check_positive, finite};
use crate::STANDARD_GRAVITY;
use crate::propagation::Tracked;

/// A movement of the load that tie-downs prevent, seen from the truck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Direction {
    /// Toward the truck's front, when it brakes.
    Forward,
    /// Toward the truck's rear, when it speeds up or is hit.
    Rearward,
    /// To the truck's left.
    Left,
    /// To the truck's right.
    Right,
    /// Up, off the deck.
    Up,
}

impl Direction {
    /// Every direction.
    pub const ALL: [Self; 5] = [
        Self::Forward,
        Self::Rearward,
        Self::Left,
        Self::Right,
        Self::Up,
    ];

    /// Returns the direction's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::Forward => "forward",
            Self::Rearward => "rearward",
            Self::Left => "left",
            Self::Right => "right",
            Self::Up => "up",
        }
    }

    /// Returns the movement's axis (0 = x, 1 = y, 2 = z) and its sign along it.
    pub(super) fn axis_and_sign(self) -> (usize, f64) {
        match self {
            Self::Forward => (0, -1.0),
            Self::Rearward => (0, 1.0),
            Self::Left => (1, -1.0),
            Self::Right => (1, 1.0),
            Self::Up => (2, 1.0),
        }
    }
}

/// What a rule set compares the forces with.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Held {
    /// The working load limit of each tie-down.
    WorkingLoadLimit,
    /// The breaking strength that its maker states.
    BreakingStrength,
    /// The lashing capacity, together with friction.
    LashingCapacity,
}

/// A published set of securing forces.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum BalanceRules {
    /// 49 CFR 393.102(a)(2).
    UsWorkingLoad,
    /// 49 CFR 393.102(a)(1).
    UsBreakingStrength,
    /// Quebec C-24.2 r.30 s.3.
    Quebec,
    /// EN 12195-1:2010.
    En12195,
}

impl BalanceRules {
    /// Every set.
    pub const ALL: [Self; 4] = [
        Self::UsWorkingLoad,
        Self::UsBreakingStrength,
        Self::Quebec,
        Self::En12195,
    ];

    /// Returns the set's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::UsWorkingLoad => "US, working load limit",
            Self::UsBreakingStrength => "US, breaking strength",
            Self::Quebec => "Quebec",
            Self::En12195 => "EN 12195-1",
        }
    }

    /// Returns where the set comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::UsWorkingLoad => "49 CFR 393.102(a)(2) and (b), read",
            Self::UsBreakingStrength => "49 CFR 393.102(a)(1) and (b), read",
            Self::Quebec => "Quebec, Cargo Securement Standards Regulation C-24.2 r.30 s.3, read",
            Self::En12195 => "GDV Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011), read",
        }
    }

    /// Returns what the forces are compared with.
    pub fn held_against(self) -> Held {
        match self {
            Self::UsWorkingLoad | Self::Quebec => Held::WorkingLoadLimit,
            Self::UsBreakingStrength => Held::BreakingStrength,
            Self::En12195 => Held::LashingCapacity,
        }
    }

    /// Returns the factor of a direction, or `None` where the set asks for nothing.
    pub fn factor(self, direction: Direction) -> Option<f64> {
        let (forward, sideways) = match self {
            Self::UsWorkingLoad => (0.435, 0.25),
            Self::UsBreakingStrength | Self::Quebec | Self::En12195 => (0.8, 0.5),
        };
        match direction {
            Direction::Forward => Some(forward),
            Direction::Rearward => Some(0.5),
            Direction::Left | Direction::Right => Some(sideways),
            Direction::Up => (self != Self::En12195).then_some(0.2),
        }
    }

    /// Returns the force to be held in a direction, newtons, or `None` where the set asks for
    /// nothing. `mass` in kilograms.
    ///
    /// # Errors
    /// A mass that is not more than zero or not finite.
    pub fn needed(
        self,
        mass: &Tracked,
        direction: Direction,
    ) -> Result<Option<Tracked>, SecuringError> {
        check_positive(mass, Quantity::Mass)?;
        self.factor(direction)
            .map(|factor| finite(mass * (factor * STANDARD_GRAVITY), Quantity::Mass))
            .transpose()
    }
}

/// What a tie-down is made of, for the breaking strength that its limit implies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LashingKind {
    /// Webbing.
    Webbing,
    /// Chain.
    Chain,
    /// Wire rope used once.
    WireRopeOnce,
    /// Wire rope used again and again.
    WireRopeReused,
    /// Fibre rope.
    FibreRope,
    /// Shackle, ring or turnbuckle of mild steel.
    Fitting,
    /// Steel band.
    SteelBand,
}

impl LashingKind {
    /// Returns how often the working load limit goes into the breaking strength: webbing 3, chain 4,
    /// from memory; wire rope 4 by 49 CFR 393.108(e), read. `None` where no factor is known here.
    pub fn design_factor(self) -> Option<f64> {
        match self {
            Self::Webbing => Some(3.0),
            Self::Chain | Self::WireRopeOnce | Self::WireRopeReused => Some(4.0),
            Self::FibreRope | Self::Fitting | Self::SteelBand => None,
        }
    }

    /// Returns the share of its breaking strength that a lashing without another marking may carry:
    /// IMO CSS Code Annex 13 Table 1, read. In a row the least governs.
    pub fn securing_share(self) -> f64 {
        match self {
            Self::Webbing | Self::Chain | Self::Fitting => 0.50,
            Self::WireRopeOnce => 0.80,
            Self::WireRopeReused => 0.30,
            Self::FibreRope => 0.33,
            Self::SteelBand => 0.70,
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::{POUND, close, exact};
    use super::super::weakest::weakest_part;
    use super::*;

    fn pounds(rules: BalanceRules, direction: Direction) -> Option<f64> {
        rules
            .needed(&exact(4200.0 * POUND), direction)
            .unwrap()
            .map(|force| force.value() / STANDARD_GRAVITY / POUND)
    }

    /// 49 CFR 393.102, read, with W = 4,200 lb; arithmetic from the factors, no citation.
    #[test]
    fn us_forces_on_4200_lb() {
        let check = |rules, forward, rearward, sideways| {
            close(pounds(rules, Direction::Forward).unwrap(), forward, 0.5);
            close(pounds(rules, Direction::Rearward).unwrap(), rearward, 0.5);
            close(pounds(rules, Direction::Left).unwrap(), sideways, 0.5);
            close(pounds(rules, Direction::Right).unwrap(), sideways, 0.5);
            close(pounds(rules, Direction::Up).unwrap(), 840.0, 0.5);
        };
        check(BalanceRules::UsWorkingLoad, 1827.0, 2100.0, 1050.0);
        check(BalanceRules::UsBreakingStrength, 3360.0, 2100.0, 2100.0);
    }

    #[test]
    fn quebec_holds_the_greater_forces_within_the_working_load_limit() {
        for direction in Direction::ALL {
            assert_eq!(
                BalanceRules::Quebec.factor(direction),
                BalanceRules::UsBreakingStrength.factor(direction)
            );
        }
        assert_eq!(BalanceRules::Quebec.held_against(), Held::WorkingLoadLimit);
    }

    #[test]
    fn en_12195_asks_for_no_upward_force() {
        assert_eq!(pounds(BalanceRules::En12195, Direction::Up), None);
        assert_eq!(BalanceRules::En12195.factor(Direction::Forward), Some(0.8));
    }

    /// IMO CSS Code Annex 13 Table 1, read; arithmetic from its shares: webbing of 5,000 daN → 2,500,
    /// re-used wire of 10,000 daN → 3,000; a shackle of 4,000 daN in a row with them governs: 2,000.
    #[test]
    fn securing_shares_of_breaking_strengths() {
        let limit = |kind: LashingKind, strength: f64| kind.securing_share() * strength;
        close(limit(LashingKind::Webbing, 5000.0), 2500.0, 1e-9);
        close(limit(LashingKind::WireRopeReused, 10_000.0), 3000.0, 1e-9);
        let parts = [
            exact(limit(LashingKind::Webbing, 5000.0)),
            exact(limit(LashingKind::WireRopeReused, 10_000.0)),
            exact(limit(LashingKind::Fitting, 4000.0)),
        ];
        let (weakest, limit) = weakest_part(&parts).unwrap();
        assert_eq!((weakest, limit.value()), (2, 2000.0));
    }

    #[test]
    fn a_mass_that_is_none_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let needed = BalanceRules::Quebec.needed(&exact(bad), Direction::Forward);
            assert!(needed.is_err());
        }
    }
}

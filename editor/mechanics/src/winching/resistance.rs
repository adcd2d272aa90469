//! Published figures for the resistance of surfaces, as shares of the weight.
//!
//! Resistance = coefficient × weight pressed on the surface. The sets disagree by a factor of five on
//! a hard road, since they mean different things: the army figures plan a recovery of a damaged
//! vehicle, the handbook figures are of sound tyres that roll. A surface that a set lacks stays not
//! known: no figure is borrowed from another set.

use crate::uncertain::Uncertain;

/// What the wheels stand or lie on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Hard road or deck, sound wheels turning.
    Hard,
    /// New asphalt or concrete.
    HardNew,
    /// Hard surface with all wheels locked.
    AllWheelsLocked,
    /// Grass.
    Grass,
    /// Gravel, loose.
    Gravel,
    /// Gravel, newly rolled.
    GravelRolled,
    /// Soil of medium hardness.
    Soil,
    /// Sand of any kind.
    Sand,
    /// Hard wet sand.
    SandHardWet,
    /// Soft wet sand.
    SandSoftWet,
    /// Soft dry sand.
    SandSoftDry,
    /// Shallow mud.
    MudShallow,
    /// Bog or marsh.
    Bog,
    /// Clay.
    Clay,
    /// Mired to the wheel hubs.
    MiredToWheels,
    /// Mired to the fenders.
    MiredToFenders,
    /// Mired to the cab.
    MiredToCab,
}

impl Surface {
    /// Every surface of every set.
    pub const ALL: [Self; 17] = [
        Self::Hard,
        Self::HardNew,
        Self::AllWheelsLocked,
        Self::Grass,
        Self::Gravel,
        Self::GravelRolled,
        Self::Soil,
        Self::Sand,
        Self::SandHardWet,
        Self::SandSoftWet,
        Self::SandSoftDry,
        Self::MudShallow,
        Self::Bog,
        Self::Clay,
        Self::MiredToWheels,
        Self::MiredToFenders,
        Self::MiredToCab,
    ];

    /// Returns the surface's name, to stand in a sentence.
    pub fn name(self) -> &'static str {
        match self {
            Self::Hard => "hard surface",
            Self::HardNew => "new asphalt or concrete",
            Self::AllWheelsLocked => "hard surface, all wheels locked",
            Self::Grass => "grass",
            Self::Gravel => "loose gravel",
            Self::GravelRolled => "newly rolled gravel",
            Self::Soil => "soil of medium hardness",
            Self::Sand => "sand",
            Self::SandHardWet => "hard wet sand",
            Self::SandSoftWet => "soft wet sand",
            Self::SandSoftDry => "soft dry sand",
            Self::MudShallow => "shallow mud",
            Self::Bog => "bog or marsh",
            Self::Clay => "clay",
            Self::MiredToWheels => "mired to the wheel hubs",
            Self::MiredToFenders => "mired to the fenders",
            Self::MiredToCab => "mired to the cab",
        }
    }
}

/// A published set of resistance figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ResistanceRules {
    /// Planning figures of US Army recovery doctrine.
    ArmyDoctrine,
    /// Figures of a winch maker's brochure.
    WinchBrochure,
    /// Rolling resistance of pneumatic tyres from an engineer's handbook.
    RollingHandbook,
}

impl ResistanceRules {
    /// Every set, the most cautious on a hard surface first.
    pub const ALL: [Self; 3] = [
        Self::ArmyDoctrine,
        Self::WinchBrochure,
        Self::RollingHandbook,
    ];

    /// Returns the set's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::ArmyDoctrine => "Army recovery doctrine",
            Self::WinchBrochure => "Winch maker's brochure",
            Self::RollingHandbook => "Rolling resistance from a handbook",
        }
    }

    /// Returns where the set comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::ArmyDoctrine => {
                "winch operating guide (secondary source) and trade magazine, Surface resistance \
                 when winching (2013), read second-hand; attributed to US Army FM 20-22, from memory"
            }
            Self::WinchBrochure => {
                "winch maker's brochure, p. 34 (secondary source), read second-hand"
            }
            Self::RollingHandbook => {
                "Carvill, Mechanical Engineer's Data Handbook (1993), read second-hand"
            }
        }
    }

    /// Returns the share of the weight, or `None` for a surface that the set lacks.
    ///
    /// A range that the set prints becomes its middle with a rectangular uncertainty.
    pub fn coefficient(self, surface: Surface) -> Option<Uncertain> {
        let figures = match self {
            Self::ArmyDoctrine => ARMY,
            Self::WinchBrochure => BROCHURE,
            Self::RollingHandbook => HANDBOOK,
        };
        figures
            .iter()
            .find(|(of, _, _)| *of == surface)
            .map(|(_, low, high)| {
                Uncertain::rectangular_tolerance(low.midpoint(*high), (high - low) / 2.0)
            })
    }

    /// Returns the surfaces that the set has a figure for.
    pub fn surfaces(self) -> impl Iterator<Item = Surface> {
        Surface::ALL
            .into_iter()
            .filter(move |surface| self.coefficient(*surface).is_some())
    }
}

/// A surface, and the least and the most that the set prints for it.
type Figure = (Surface, f64, f64);

/// Mire: to the hubs, fenders, cab: once, twice, three times the weight.
const ARMY: &[Figure] = &[
    (Surface::Hard, 0.10, 0.10),
    (Surface::Grass, 0.33, 0.33),
    (Surface::Gravel, 0.33, 0.33),
    (Surface::AllWheelsLocked, 0.67, 0.67),
    (Surface::MiredToWheels, 1.0, 1.0),
    (Surface::MiredToFenders, 2.0, 2.0),
    (Surface::MiredToCab, 3.0, 3.0),
];

const BROCHURE: &[Figure] = &[
    (Surface::Hard, 0.04, 0.04),
    (Surface::Grass, 0.145, 0.145),
    (Surface::SandHardWet, 0.17, 0.17),
    (Surface::Gravel, 0.20, 0.20),
    (Surface::SandSoftWet, 0.20, 0.20),
    (Surface::SandSoftDry, 0.25, 0.25),
    (Surface::MudShallow, 0.33, 0.33),
    (Surface::Bog, 0.5, 0.5),
    (Surface::Clay, 0.5, 0.5),
];

/// The handbook's "worn" asphalt or concrete is the hard surface here.
const HANDBOOK: &[Figure] = &[
    (Surface::HardNew, 0.01, 0.01),
    (Surface::Hard, 0.02, 0.02),
    (Surface::GravelRolled, 0.01, 0.01),
    (Surface::Gravel, 0.04, 0.04),
    (Surface::Soil, 0.08, 0.08),
    (Surface::Sand, 0.1, 0.2),
];

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::testing::close;
    use super::*;

    /// Trade magazine, Surface resistance when winching (2013), read: 4,000 lb take 400 lb on a hard
    /// surface and 1,320 lb on grass or gravel.
    #[test]
    fn trade_magazine_pulls_of_a_4000_lb_vehicle() {
        let pull = |surface| {
            4000.0
                * ResistanceRules::ArmyDoctrine
                    .coefficient(surface)
                    .unwrap()
                    .value
        };
        close(pull(Surface::Hard), 400.0, 1e-9);
        close(pull(Surface::Grass), 1320.0, 1e-9);
        close(pull(Surface::Gravel), 1320.0, 1e-9);
        assert!(
            pull(Surface::MiredToCab) <= 3.0 * 4000.0,
            "mud takes up to 300 %"
        );
    }

    #[test]
    fn the_sets_disagree_on_a_hard_surface() {
        let hard = |rules: ResistanceRules| rules.coefficient(Surface::Hard).unwrap().value;
        for (rules, expected) in ResistanceRules::ALL.into_iter().zip([0.10, 0.04, 0.02]) {
            close(hard(rules), expected, 0.0);
        }
    }

    #[test]
    fn a_surface_that_a_set_lacks_is_not_known() {
        assert_eq!(
            ResistanceRules::ArmyDoctrine.coefficient(Surface::Clay),
            None
        );
        assert_eq!(
            ResistanceRules::WinchBrochure.coefficient(Surface::AllWheelsLocked),
            None
        );
        assert_eq!(
            ResistanceRules::RollingHandbook.coefficient(Surface::Grass),
            None
        );
    }

    #[test]
    fn each_set_lists_its_surfaces_and_each_surface_is_in_a_set() {
        assert_eq!(ResistanceRules::ArmyDoctrine.surfaces().count(), ARMY.len());
        assert_eq!(
            ResistanceRules::WinchBrochure.surfaces().count(),
            BROCHURE.len()
        );
        assert_eq!(
            ResistanceRules::RollingHandbook.surfaces().count(),
            HANDBOOK.len()
        );
        for surface in Surface::ALL {
            let known = ResistanceRules::ALL
                .iter()
                .any(|rules| rules.coefficient(surface).is_some());
            assert!(known, "{}", surface.name());
        }
    }

    #[test]
    fn a_printed_range_is_its_middle_with_an_uncertainty() {
        let sand = ResistanceRules::RollingHandbook
            .coefficient(Surface::Sand)
            .unwrap();
        close(sand.value, 0.15, 1e-12);
        close(sand.u, 0.05 / 3f64.sqrt(), 1e-12);
        assert!(sand.interval().contains(0.1) && sand.interval().contains(0.2));
    }
}

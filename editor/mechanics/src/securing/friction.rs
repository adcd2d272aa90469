//! Friction factors of surfaces that are swept clean.
//!
//! CTU Code Annex 7 Appendix 2 (UNECE), read; static values. A direct lashing counts 75 % of them. A
//! tyre on a steel or aluminium deck is in no table that was found: it stays an input, and zero is
//! the cautious value.

/// Friction of an anti-slip rubber mat; a German tie-down practice page, read second-hand.
pub const RUBBER_MAT: f64 = 0.6;

/// The most to count where surfaces are not swept clean, or are icy or greasy: CTU Code, from memory.
pub const UNCLEAN: f64 = 0.2;

/// Two surfaces that touch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FrictionPair {
    /// Sawn timber on plywood or laminate.
    SawnTimberPlywood,
    /// Sawn timber on grooved aluminium.
    SawnTimberGroovedAluminium,
    /// Sawn timber on stainless sheet.
    SawnTimberStainless,
    /// Planed wood on plywood.
    PlanedWoodPlywood,
    /// Planed wood on stainless sheet.
    PlanedWoodStainless,
    /// Plastic pallet on plywood.
    PlasticPalletPlywood,
    /// Rough unpainted metal on the same.
    RoughUnpaintedMetal,
    /// Rough painted metal on the same.
    RoughPaintedMetal,
    /// Smooth painted metal on the same.
    SmoothPaintedMetal,
    /// Smooth metal on smooth metal.
    SmoothMetal,
    /// Steel crate on plywood.
    SteelCratePlywood,
    /// Steel crate on grooved aluminium.
    SteelCrateGroovedAluminium,
    /// Steel crate on stainless sheet.
    SteelCrateStainless,
}

impl FrictionPair {
    /// Returns the factor, dry or wet; `None` where the table has no wet value.
    pub fn factor(self, wet: bool) -> Option<f64> {
        let (dry, holds_wet) = match self {
            Self::SawnTimberPlywood | Self::SteelCratePlywood => (0.45, true),
            Self::SawnTimberGroovedAluminium => (0.4, true),
            Self::SawnTimberStainless
            | Self::PlanedWoodPlywood
            | Self::SteelCrateGroovedAluminium => (0.3, true),
            Self::PlanedWoodStainless | Self::PlasticPalletPlywood | Self::SteelCrateStainless => {
                (0.2, true)
            }
            Self::RoughUnpaintedMetal => (0.4, false),
            Self::RoughPaintedMetal => (0.3, false),
            Self::SmoothPaintedMetal | Self::SmoothMetal => (0.2, false),
        };
        (!wet || holds_wet).then_some(dry)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// CTU Code Annex 7 Appendix 2 (UNECE), read.
    #[test]
    fn printed_factors() {
        for (pair, dry, wet) in [
            (FrictionPair::SawnTimberPlywood, 0.45, Some(0.45)),
            (FrictionPair::SawnTimberGroovedAluminium, 0.4, Some(0.4)),
            (FrictionPair::SawnTimberStainless, 0.3, Some(0.3)),
            (FrictionPair::PlanedWoodPlywood, 0.3, Some(0.3)),
            (FrictionPair::PlanedWoodStainless, 0.2, Some(0.2)),
            (FrictionPair::PlasticPalletPlywood, 0.2, Some(0.2)),
            (FrictionPair::RoughUnpaintedMetal, 0.4, None),
            (FrictionPair::RoughPaintedMetal, 0.3, None),
            (FrictionPair::SmoothPaintedMetal, 0.2, None),
            (FrictionPair::SmoothMetal, 0.2, None),
            (FrictionPair::SteelCratePlywood, 0.45, Some(0.45)),
            (FrictionPair::SteelCrateGroovedAluminium, 0.3, Some(0.3)),
            (FrictionPair::SteelCrateStainless, 0.2, Some(0.2)),
        ] {
            assert_eq!(pair.factor(false), Some(dry), "{pair:?}");
            assert_eq!(pair.factor(true), wet, "{pair:?}");
        }
    }
}

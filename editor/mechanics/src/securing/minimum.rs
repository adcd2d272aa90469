//! How many tie-downs there must be, whatever they can carry.
//!
//! - By length and weight (49 CFR 393.110; thresholds from the FMCSA Driver's Handbook, second-hand;
//!   paragraph letters from memory).
//! - For cars, light trucks and vans up to 10,000 lb (393.128; NSC Standard 10 s.88, quoted): two in
//!   all, one at each end. The FMCSA handbook ch. 9 (read) can be taken as two at *each* end;
//!   California Vehicle Code 29004(a)(3) (quoted) wants four.
//! - For heavy vehicles from 10,000 lb (393.130, quoted): four, near the corners. At exactly
//!   10,000 lb either section may be chosen.

use super::error::{Quantity, SecuringError, check_positive};
use crate::propagation::Tracked;

/// Kilograms in a pound, and metres in a foot; exact by definition.
const POUND: f64 = 0.453_592_37;
const FOOT: f64 = 0.3048;

/// The weight that parts light from heavy vehicles: 10,000 lb, in kilograms.
pub const LIGHT_VEHICLE_LIMIT: f64 = 10_000.0 * POUND;

/// Rounding of a conversion, so that 5 ft given in metres are still 5 ft.
const ROUNDING: f64 = 1e-9;

/// Returns the least number of tie-downs of an article by its length and weight.
///
/// `length` in metres, `mass` in kilograms; `blocked` says that a headboard, bulkhead or other load
/// keeps it from moving forward. The thresholds are the printed feet and pounds, and length and mass
/// count at the upper ends of their intervals.
///
/// # Errors
/// A length or mass that is not more than zero or not finite.
pub fn minimum_by_length(
    length: &Tracked,
    mass: &Tracked,
    blocked: bool,
) -> Result<u32, SecuringError> {
    check_positive(length, Quantity::Length)?;
    check_positive(mass, Quantity::Mass)?;
    let high = |number: &Tracked| number.uncertain().interval().high;
    let (feet, pounds) = (high(length) / FOOT, high(mass) / POUND);
    let at_most = |value: f64, limit: f64| value <= limit * (1.0 + ROUNDING);
    let tens = |feet: f64| whole((feet / 10.0) * (1.0 - ROUNDING));
    Ok(if blocked {
        tens(feet).max(1)
    } else if at_most(feet, 5.0) && at_most(pounds, 1100.0) {
        1
    } else if at_most(feet, 10.0) {
        2
    } else {
        2 + tens(feet - 10.0)
    })
}

/// Rounds a count up to a whole number.
fn whole(count: f64) -> u32 {
    /// Longer than any load, and exact in both types.
    const MOST: f64 = 1e6;
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "clamped to a range that fits"
    )]
    let whole = count.ceil().clamp(0.0, MOST) as u32;
    whole
}

/// A published reading of how many tie-downs a vehicle needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MinimumRules {
    /// Two in all for a light vehicle.
    UsRegulation,
    /// Two at the front and two at the rear.
    UsHandbook,
    /// Four in all.
    California,
}

/// A section of the US rules for vehicles as loads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum VehicleSection {
    /// 49 CFR 393.128: cars, light trucks and vans.
    Light,
    /// 49 CFR 393.130: heavy vehicles, equipment and machinery.
    Heavy,
}

/// The least number of tie-downs under one section.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct SectionMinimum {
    /// The section.
    pub section: VehicleSection,
    /// In all.
    pub total: u32,
    /// At the vehicle's end toward the truck's front.
    pub front: u32,
    /// At the other end.
    pub rear: u32,
}

impl MinimumRules {
    /// Every reading, the default first.
    pub const ALL: [Self; 3] = [Self::UsRegulation, Self::UsHandbook, Self::California];

    /// Returns the reading's name.
    pub fn name(self) -> &'static str {
        match self {
            Self::UsRegulation => "US regulation, two in all",
            Self::UsHandbook => "US driver's handbook, two at each end",
            Self::California => "California, four",
        }
    }

    /// Returns where the reading comes from and how far that was read.
    pub fn source(self) -> &'static str {
        match self {
            Self::UsRegulation => {
                "49 CFR 393.128 (wording from memory; NSC Standard 10 s.88 is the same, quoted)"
            }
            Self::UsHandbook => "FMCSA Driver's Handbook on Cargo Securement, ch. 9 (2014), read",
            Self::California => "California Vehicle Code 29004(a)(3), quoted, read second-hand",
        }
    }

    /// Returns the minimum under a section; two at each end of a heavy vehicle follow from four near
    /// its corners.
    pub fn under(self, section: VehicleSection) -> SectionMinimum {
        let (total, each_end) = match (section, self) {
            (VehicleSection::Light, Self::UsRegulation) => (2, 1),
            (VehicleSection::Light, Self::California) => (4, 1),
            (VehicleSection::Light, Self::UsHandbook) | (VehicleSection::Heavy, _) => (4, 2),
        };
        SectionMinimum {
            section,
            total,
            front: each_end,
            rear: each_end,
        }
    }

    /// Returns the sections that can apply to a vehicle, by the whole interval of its mass.
    ///
    /// Two entries mean that either may be chosen (exactly 10,000 lb) or that the mass is not known
    /// well enough; then the heavy section is the safe choice.
    ///
    /// # Errors
    /// A mass that is not more than zero or not finite.
    pub fn for_vehicle(self, mass: &Tracked) -> Result<Vec<SectionMinimum>, SecuringError> {
        check_positive(mass, Quantity::Mass)?;
        let interval = mass.uncertain().interval();
        let light = interval.low <= LIGHT_VEHICLE_LIMIT * (1.0 + ROUNDING);
        let heavy = interval.high >= LIGHT_VEHICLE_LIMIT * (1.0 - ROUNDING);
        let sections = [
            light.then_some(VehicleSection::Light),
            heavy.then_some(VehicleSection::Heavy),
        ];
        Ok(sections
            .into_iter()
            .flatten()
            .map(|section| self.under(section))
            .collect())
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a panic is a failed test")]

    use super::super::counting::{CountedTieDown, CountingRules, Path, aggregate};
    use super::super::testing::{exact, input};
    use super::*;
    use crate::STANDARD_GRAVITY;
    use crate::verdict::Verdict;

    #[track_caller]
    fn check(feet: f64, pounds: f64, blocked: bool, expected: u32) {
        let count =
            minimum_by_length(&exact(feet * FOOT), &exact(pounds * POUND), blocked).unwrap();
        assert_eq!(count, expected, "{feet} ft, {pounds} lb, {blocked}");
    }

    /// 49 CFR 393.110, thresholds second-hand; arithmetic, no citation.
    #[test]
    fn counts_by_length_and_weight() {
        for (feet, pounds, count) in [
            (5.0, 1100.0, 1),
            (5.0, 1101.0, 2),
            (4.0, 1500.0, 2),
            (10.0, 9000.0, 2),
            (10.01, 9000.0, 3),
            (12.0, 9000.0, 3),
            (20.0, 9000.0, 3),
            (20.1, 9000.0, 4),
        ] {
            check(feet, pounds, false, count);
        }
        for (feet, count) in [(9.0, 1), (10.0, 1), (11.0, 2), (30.0, 3)] {
            check(feet, 9000.0, true, count);
        }
    }

    /// Driving Commercial Vehicles Manual (BC), ch. 5 p. 95, read: 3.65 m and 600 kg, free to move
    /// forward, take 3 tie-downs of 100 kg; 6 of 50 kg; and still 3 of 200 kg.
    #[test]
    fn the_driving_manual_s_worked_example() {
        let mass = exact(600.0);
        let by_length = minimum_by_length(&exact(3.65), &mass, false).unwrap();
        // The manual counts the whole limit of each, as for straps that cross to the other side.
        let holds = |straps: usize, limit: f64| {
            let strap = CountedTieDown {
                limit: exact(limit * STANDARD_GRAVITY),
                path: Path::OtherSide,
            };
            let sum = aggregate(&mass, &vec![strap; straps], CountingRules::UsRegulation).unwrap();
            sum.verdict == Verdict::Within
        };
        let least = |limit: f64| {
            let by_sum = (1..=20).find(|straps| holds(*straps, limit)).unwrap();
            u32::try_from(by_sum).unwrap().max(by_length)
        };
        assert_eq!([least(100.0), least(50.0), least(200.0)], [3, 6, 3]);
    }

    #[test]
    fn a_length_that_may_be_above_a_threshold_counts_as_above() {
        let count =
            |length: Tracked, mass: Tracked| minimum_by_length(&length, &mass, false).unwrap();
        assert_eq!(count(input(3.04, 0.2), exact(4000.0)), 3);
        assert_eq!(count(input(3.0, 0.01), exact(4000.0)), 2);
        assert_eq!(count(exact(1.5), input(495.0, 10.0)), 2);
        assert_eq!(count(exact(1.5), input(450.0, 10.0)), 1);
    }

    /// 49 CFR 393.128 and 393.130, second-hand and from memory; arithmetic, no citation.
    #[test]
    fn at_10000_lb_either_section_may_be_chosen() {
        let totals = |rules: MinimumRules, pounds: f64| -> Vec<u32> {
            let sections = rules.for_vehicle(&exact(pounds * POUND)).unwrap();
            sections.iter().map(|minimum| minimum.total).collect()
        };
        assert_eq!(totals(MinimumRules::UsRegulation, 10_000.0), [2, 4]);
        assert_eq!(totals(MinimumRules::UsRegulation, 10_001.0), [4]);
        assert_eq!(totals(MinimumRules::UsRegulation, 9999.0), [2]);
        assert_eq!(totals(MinimumRules::UsHandbook, 9999.0), [4]);
        assert_eq!(totals(MinimumRules::California, 9999.0), [4]);
        assert_eq!(totals(MinimumRules::California, 10_001.0), [4]);
    }

    #[test]
    fn a_mass_that_may_lie_on_either_side_names_both_sections() {
        let near = input(LIGHT_VEHICLE_LIMIT - 10.0, 10.0);
        let sections = MinimumRules::UsRegulation.for_vehicle(&near).unwrap();
        assert_eq!(sections.len(), 2);
        let sure = input(LIGHT_VEHICLE_LIMIT - 30.0, 10.0);
        let sections = MinimumRules::UsRegulation.for_vehicle(&sure).unwrap();
        assert_eq!(sections.len(), 1);
    }

    #[test]
    fn the_readings_differ_in_what_they_want_at_each_end() {
        let ends = |rules: MinimumRules| {
            let minimum = rules.under(VehicleSection::Light);
            (minimum.front, minimum.rear)
        };
        assert_eq!(ends(MinimumRules::UsRegulation), (1, 1));
        assert_eq!(ends(MinimumRules::UsHandbook), (2, 2));
        assert_eq!(ends(MinimumRules::California), (1, 1));
    }

    #[test]
    fn what_cannot_be_is_refused() {
        for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert!(minimum_by_length(&exact(bad), &exact(1.0), true).is_err());
            assert!(minimum_by_length(&exact(1.0), &exact(bad), true).is_err());
            assert!(MinimumRules::California.for_vehicle(&exact(bad)).is_err());
        }
        let endless = minimum_by_length(&exact(1e300), &exact(1.0), false).unwrap();
        assert!(endless >= 1_000_000);
    }
}

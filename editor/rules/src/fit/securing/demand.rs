//! What a layout has to bring: forces in each direction, the sum, and numbers.

use chockstone_mechanics::{
    propagation::Tracked,
    securing::{
        BalanceRules, CountingRules, DIRECT_FRICTION_SHARE, Direction, MinimumRules,
        SectionMinimum, Shortfall,
    },
};
use chockstone_schema::report::{
    BalanceRules as ChosenBalance, CountingRules as ChosenCounting, NumberRules,
};

use super::{layout::high, parts::Hold};
use crate::fit::{Job, work::amount};

/// What a need is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Limb {
    /// A direction, against working load limits or lashing capacities.
    Working(Direction),
    /// A direction, against breaking strengths.
    Breaking(Direction),
    /// The aggregate working load limit.
    Aggregate,
}

/// A need at the upper end of its interval, N.
pub(super) struct Need {
    pub(super) limb: Limb,
    pub(super) needed: f64,
}

/// What is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Count {
    /// Tie-downs in all.
    All,
    /// At the end toward the truck's front.
    TruckFront,
    /// At the other end.
    TruckRear,
    /// At the vehicle's front, as its author states.
    StatedFront,
    /// At the vehicle's rear, as its author states.
    StatedRear,
}

impl Count {
    /// Whether a tie-down at this hold counts.
    pub(super) fn counts(self, hold: &Hold<'_>) -> bool {
        match self {
            Self::All => true,
            Self::TruckFront => hold.at_truck_front,
            Self::TruckRear => !hold.at_truck_front,
            Self::StatedFront => hold.at_vehicle_front,
            Self::StatedRear => !hold.at_vehicle_front,
        }
    }

    pub(super) fn label(self) -> &'static str {
        match self {
            Self::All => "Tie-downs in all",
            Self::TruckFront => "Tie-downs at the end toward the cab",
            Self::TruckRear => "Tie-downs at the end away from the cab",
            Self::StatedFront => "Tie-downs at the vehicle's front, as its author states",
            Self::StatedRear => "Tie-downs at the vehicle's rear, as its author states",
        }
    }

    pub(super) fn name(self) -> &'static str {
        match self {
            Self::All => "number",
            Self::TruckFront => "number-cab-end",
            Self::TruckRear => "number-other-end",
            Self::StatedFront => "stated-front",
            Self::StatedRear => "stated-rear",
        }
    }
}

/// Everything that a layout has to bring, and how it is counted.
pub(super) struct Demand {
    pub(super) needs: Vec<Need>,
    pub(super) counts: Vec<(Count, u32)>,
    pub(super) counting: CountingRules,
    /// The friction factor that counts beside the legs.
    pub(super) counted_friction: f64,
    /// Whether the needs by breaking strength are asked for, working load limits counting in place of the strengths,
    /// which nobody states. A set that meets them so surely holds; where none does it is not known.
    pub(super) asks_breaking: bool,
}

impl Demand {
    pub(super) fn of(job: &Job<'_>, mass: &Tracked, minimum: Option<SectionMinimum>) -> Self {
        let friction = friction(job);
        let mut needs = Vec::new();
        for rules in balance(job) {
            let counted = friction_of(*rules, friction);
            for direction in Direction::ALL {
                let Ok(Some(needed)) = rules.needed(mass, direction) else {
                    continue;
                };
                let limb = match (*rules, direction) {
                    // The same force as against working load limits, which are less.
                    (BalanceRules::UsBreakingStrength, Direction::Up) => continue,
                    (BalanceRules::UsBreakingStrength, _) => Limb::Breaking(direction),
                    _ => Limb::Working(direction),
                };
                let by_friction = mass * (counted * chockstone_mechanics::STANDARD_GRAVITY);
                needs.push(Need {
                    limb,
                    needed: high(&(needed - by_friction)).max(0.0),
                });
            }
        }
        let half = mass * (0.5 * chockstone_mechanics::STANDARD_GRAVITY);
        needs.push(Need {
            limb: Limb::Aggregate,
            needed: high(&half),
        });
        Self {
            needs,
            counts: counts(job, minimum),
            counting: counting(job),
            counted_friction: balance(job)
                .first()
                .map_or(0.0, |rules| friction_of(*rules, friction)),
            asks_breaking: true,
        }
    }

    /// What a set has to bring to a need, N; nothing for one that is not asked for.
    pub(super) fn asked(&self, need: &Need) -> f64 {
        match need.limb {
            Limb::Breaking(_) if !self.asks_breaking => 0.0,
            _ => need.needed,
        }
    }

    /// A shortfall as a sentence.
    pub(super) fn sentence(&self, short: &Shortfall, how: &str) -> String {
        let Some(need) = self.needs.get(short.requirement) else {
            let count = self.counts.get(short.requirement - self.needs.len());
            let label = count.map_or("Tie-downs", |(count, _)| count.label());
            let (most, needed) = (short.most, short.needed);
            return format!("{label}: {how} {most:.0}; {needed:.0} are needed.");
        };
        let what = match need.limb {
            Limb::Working(direction) => direction.name().to_owned(),
            Limb::Breaking(direction) => format!("{} (breaking strength)", direction.name()),
            Limb::Aggregate => "the sum of working load limits".to_owned(),
        };
        format!(
            "For {what}, {how} {}; {} are needed.",
            amount(short.most, None, "N"),
            amount(short.needed, None, "N")
        )
    }
}

/// The friction that was chosen, in the range that a factor can have.
pub(super) fn friction(job: &Job<'_>) -> f64 {
    job.choices
        .friction
        .filter(|friction| (0.0..=1.0).contains(friction))
        .unwrap_or(0.0)
}

/// The part of a friction factor that a rule set counts beside direct lashings.
pub(super) fn friction_of(rules: BalanceRules, friction: f64) -> f64 {
    if rules == BalanceRules::En12195 {
        friction * DIRECT_FRICTION_SHARE
    } else {
        0.0
    }
}

/// The sets of forces that were chosen, the one that governs first.
pub(super) fn balance(job: &Job<'_>) -> &'static [BalanceRules] {
    match job.choices.rules.balance {
        ChosenBalance::UsRegulation => &[
            BalanceRules::UsWorkingLoad,
            BalanceRules::UsBreakingStrength,
        ],
        ChosenBalance::Quebec => &[BalanceRules::Quebec],
        ChosenBalance::En12195 => &[BalanceRules::En12195],
    }
}

pub(super) fn counting(job: &Job<'_>) -> CountingRules {
    match job.choices.rules.counting {
        ChosenCounting::UsRegulation => CountingRules::UsRegulation,
        ChosenCounting::CanadaStandard => CountingRules::CanadaStandard,
        ChosenCounting::UsHandbook => CountingRules::UsHandbook,
    }
}

pub(super) fn number(job: &Job<'_>) -> MinimumRules {
    match job.choices.rules.number {
        NumberRules::UsHandbook => MinimumRules::UsHandbook,
        NumberRules::UsRegulation => MinimumRules::UsRegulation,
        NumberRules::California => MinimumRules::California,
    }
}

/// The numbers to reach: those of the rule set, and those that the author of the profile states.
fn counts(job: &Job<'_>, minimum: Option<SectionMinimum>) -> Vec<(Count, u32)> {
    let mut counts = Vec::new();
    if let Some(minimum) = minimum {
        counts.push((Count::All, minimum.total));
        counts.push((Count::TruckFront, minimum.front));
        counts.push((Count::TruckRear, minimum.rear));
    }
    if let Some(stated) = &job.view.profile.transport.securing {
        counts.push((Count::StatedFront, u32::from(stated.front_tiedowns)));
        counts.push((Count::StatedRear, u32::from(stated.rear_tiedowns)));
    }
    counts
}

/// The minimum that applies: where two sections may be chosen the lesser, where the mass leaves it open the greater.
pub(super) fn minimum(job: &Job<'_>, mass: &Tracked) -> Option<SectionMinimum> {
    let sections = number(job).for_vehicle(mass).ok()?;
    let by_total = |minimum: &SectionMinimum| minimum.total;
    if mass.u() > 0.0 {
        sections.into_iter().max_by_key(by_total)
    } else {
        sections.into_iter().min_by_key(by_total)
    }
}

//! What the line has to pull: slope and resistance, or the hold on the way down; and what skates carry.

use chockstone_mechanics::{
    propagation::Tracked,
    winching::{
        self, AxleOnSlope, LinePull, ResistanceRules, Surface as Ground, Wheels, holding_back,
        line_pull,
    },
};
use chockstone_schema::report::{Judged, ResistanceRules as Chosen, Surface, Trust, WheelState};

use super::grade_rule;
use crate::{
    checks::references::Rest,
    fit::{
        Job,
        carrying::{missing_of, needed as all_of},
        work::{Gear, Known, refused},
    },
};

const UP: Rest = (
    "Statics: part of the weight along the slope and resistance of each axle; the resistance by its rule set",
    Trust::Arithmetic,
);
const DOWN: Rest = (
    "Statics: part of the weight along the slope",
    Trust::Arithmetic,
);
const UP_FORMULA: &str =
    "weight x slope share + sum over axles of resistance x load x share on the wheels";
const DOWN_FORMULA: &str = "weight x sine of the slope; resistance counts as none";

/// What the wheels do, in words that complete a title.
pub(super) fn words(state: WheelState) -> &'static str {
    match state {
        WheelState::Rolling => "all wheels rolling",
        WheelState::FrontLocked => "front wheels locked",
        WheelState::RearLocked => "rear wheels locked",
        WheelState::AllLocked => "all wheels locked",
        WheelState::OnSkates => "on skates",
    }
}

/// The pull in N that moves the vehicle up.
pub(super) fn needed(
    job: &mut Job<'_>,
    state: WheelState,
    skates: Option<&Gear<'_>>,
    slope: &Known,
) -> Known {
    let axles = axles(job, state, skates);
    match (axles, slope) {
        (Ok(axles), Ok(slope)) => line_pull(&axles, slope, grade_rule(job.choices.rules.grade))
            .map(|LinePull { total, .. }| total)
            .map_err(|error| refused(&error)),
        (axles, slope) => Err(axles
            .err()
            .into_iter()
            .chain(slope.clone().err())
            .flatten()
            .collect()),
    }
}

/// Each axle with what its wheels do; where all do the same the whole mass stands for them.
fn axles(
    job: &mut Job<'_>,
    state: WheelState,
    skates: Option<&Gear<'_>>,
) -> Result<Vec<AxleOnSlope>, Vec<String>> {
    let whole = |load: Known, share: Known, wheels: fn(Tracked) -> Wheels| {
        let parts = missing_of(&[&load, &share]);
        match (load, share) {
            (Ok(load), Ok(share)) => Ok(vec![AxleOnSlope {
                load,
                wheels: wheels(share),
            }]),
            _ => Err(parts),
        }
    };
    match state {
        WheelState::Rolling => whole(job.mass(), rolling(job), Wheels::Rolling),
        WheelState::AllLocked => whole(job.mass(), locked(job), Wheels::Dragging),
        WheelState::OnSkates => whole(job.mass(), skate_share(job, skates), Wheels::OnSkates),
        WheelState::FrontLocked | WheelState::RearLocked => {
            let front = state == WheelState::FrontLocked;
            some_locked(job, |index| (index == 0) == front)
        }
    }
}

fn some_locked(
    job: &mut Job<'_>,
    is_locked: impl Fn(usize) -> bool,
) -> Result<Vec<AxleOnSlope>, Vec<String>> {
    let (free, held) = (rolling(job), locked(job));
    let loads: Vec<Known> = (0..job.view.axles.len())
        .map(|index| job.axle_load(index))
        .collect();
    let parts: Vec<&Known> = loads.iter().chain([&free, &held]).collect();
    let missing = missing_of(&parts);
    let (Ok(free), Ok(held), true) = (&free, &held, missing.is_empty()) else {
        return Err(missing);
    };
    Ok(loads
        .into_iter()
        .flatten()
        .enumerate()
        .map(|(index, load)| AxleOnSlope {
            load,
            wheels: if is_locked(index) {
                Wheels::Dragging(held.clone())
            } else {
                Wheels::Rolling(free.clone())
            },
        })
        .collect())
}

/// The rule set that was chosen.
fn rules(job: &Job<'_>) -> ResistanceRules {
    match job.choices.rules.resistance {
        Chosen::ArmyDoctrine => ResistanceRules::ArmyDoctrine,
        Chosen::WinchMaker => ResistanceRules::WinchBrochure,
        Chosen::EngineersHandbook => ResistanceRules::RollingHandbook,
    }
}

fn ground(surface: Surface) -> Ground {
    match surface {
        Surface::Hard => Ground::Hard,
        Surface::Grass => Ground::Grass,
        Surface::Gravel => Ground::Gravel,
        Surface::Soil => Ground::Soil,
        Surface::SandHardWet => Ground::SandHardWet,
        Surface::SandSoftWet => Ground::SandSoftWet,
        Surface::SandSoftDry => Ground::SandSoftDry,
        Surface::ShallowMud => Ground::MudShallow,
        Surface::Bog => Ground::Bog,
        Surface::Clay => Ground::Clay,
        Surface::MireToWheels => Ground::MiredToWheels,
        Surface::MireToFenders => Ground::MiredToFenders,
        Surface::MireToCab => Ground::MiredToCab,
    }
}

/// The resistance of wheels that turn, by surface and rule set.
fn rolling(job: &mut Job<'_>) -> Known {
    let surface = ground(job.choices.surface.unwrap_or(Surface::Hard));
    from_rules(job, surface)
}

/// The friction of wheels that are locked; never less than that of the surface.
fn locked(job: &mut Job<'_>) -> Known {
    let (dragging, turning) = (from_rules(job, Ground::AllWheelsLocked)?, rolling(job)?);
    Ok(if turning.value() > dragging.value() {
        turning
    } else {
        dragging
    })
}

fn from_rules(job: &mut Job<'_>, surface: Ground) -> Known {
    let rules = rules(job);
    let Some(share) = rules.coefficient(surface) else {
        return Err(vec![format!(
            "Resistance: the rule set \"{}\" has no figure for {}; choose another rule set or surface.",
            rules.name(),
            surface.name()
        )]);
    };
    let place = format!("{}: {}", rules.name(), surface.name());
    job.number(&place, "1", share.value, 2.0 * share.u)
}

fn skate_share(job: &mut Job<'_>, skates: Option<&Gear<'_>>) -> Known {
    let Some((gear, skates)) = skates.and_then(|g| Some((g, g.equipment.skates.as_ref()?))) else {
        return Err(vec!["Skates: none are among the equipment.".to_owned()]);
    };
    job.of(
        gear,
        skates.resistance.as_ref(),
        "the resistance of the skates",
        "/skates/resistance",
    )
}

/// The row of the pull itself.
pub(super) fn row(
    job: &Job<'_>,
    state: WheelState,
    skates: Option<&Gear<'_>>,
    pull: &Known,
) -> Judged {
    let by = match (state, skates) {
        (WheelState::OnSkates, _) => "the skates' own resistance",
        _ => rules(job).name(),
    };
    job.row(
        "pull",
        format!(
            "Pull that moves it up ({by}; {})",
            grade_rule(job.choices.rules.grade).name()
        ),
        pull,
        "N",
        UP_FORMULA,
        UP,
    )
    .told()
}

/// The force in N that holds the vehicle back on the slope.
pub(super) fn held_back(job: &Job<'_>, slope: &Known) -> Known {
    let mass = job.mass();
    match (&mass, slope) {
        (Ok(mass), Ok(slope)) => holding_back(mass, slope, None)
            .map(|held: winching::HoldingBack| held.cautious)
            .map_err(|error| refused(&error)),
        _ => Err(missing_of(&[&mass, slope])),
    }
}

/// The row of the hold itself.
pub(super) fn held_row(job: &Job<'_>, held: &Known) -> Judged {
    job.row(
        "hold",
        "Force that holds it back on the way down",
        held,
        "N",
        DOWN_FORMULA,
        DOWN,
    )
    .told()
}

const SKATE: Rest = ("Statics: half of the heavier axle", Trust::Arithmetic);

/// What a skate carries, and whether there are enough.
pub(super) fn skate_rows(job: &mut Job<'_>, gear: Gear<'_>) -> Vec<Judged> {
    let Some(skates) = &gear.equipment.skates else {
        return Vec::new();
    };
    let rating = job.of(
        &gear,
        skates.rating.as_ref(),
        "the rating of each skate",
        "/skates/rating",
    );
    let loads: Vec<Known> = (0..job.view.axles.len())
        .map(|index| job.axle_load(index))
        .collect();
    let parts: Vec<&Known> = loads.iter().collect();
    let heaviest = all_of(&parts, || {
        loads
            .iter()
            .flatten()
            .max_by(|a, b| a.value().total_cmp(&b.value()))
            .map_or_else(|| Tracked::exact(0.0), |load| load / 2.0)
    });
    let wheels = 2 * u32::try_from(job.view.axles.len()).unwrap_or(u32::MAX / 2);
    let count = job.number(
        &gear.place("/skates/count"),
        "",
        f64::from(skates.count),
        0.0,
    );
    vec![
        job.row(
            "skate-load",
            "Load on a skate under the heavier axle",
            &heaviest,
            "kg",
            "axle load / 2",
            SKATE,
        )
        .at_most(&rating, gear.place("/skates/rating")),
        job.row(
            "skate-count",
            "Skates, one a wheel that does not turn",
            &count,
            "",
            "skates given",
            crate::checks::references::LOGIC,
        )
        .at_least(&Ok(Tracked::exact(f64::from(wheels))), "one a wheel"),
    ]
}

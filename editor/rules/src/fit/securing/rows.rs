//! The rows of a layout: every direction, the sum, the numbers, and what its author states.

use std::borrow::Cow;

use chockstone_mechanics::{
    propagation::Tracked,
    securing::{
        BalanceRules, CountedTieDown, Direction, Leg, aggregate, holding, leg_forces, plain_shares,
    },
};
use chockstone_schema::report::{Judged, TieDownLeg, Trust, Verdict};

use super::{
    choose::path,
    demand::{Demand, balance, counting, friction, friction_of, number},
    layout::{BuiltLeg, Strap, is_allowed, values},
    parts::Parts,
};
use crate::{
    checks::references::{LOGIC, Rest},
    fit::{
        Job,
        carrying::missing_of,
        work::{Known, refused},
    },
};

const US_WORKING: Rest = ("49 CFR 393.102(a)(2) and (b)", Trust::Primary);
const US_BREAKING: Rest = (
    "49 CFR 393.102(a)(1); working load limits in place of breaking strengths that nobody states",
    Trust::Primary,
);
const QUEBEC: Rest = (
    "Quebec, Cargo Securement Standards Regulation C-24.2 r.30 s.3",
    Trust::Primary,
);
const EN_12195: Rest = (
    "GDV Ladungssicherungshandbuch 4.1.6 (DIN EN 12195-1:2011)",
    Trust::Primary,
);
const BOTH_ENDS: Rest = (
    "NSC Standard 10 s.88 and 49 CFR 393.128: restrained at front and rear against lateral movement; quoted",
    Trust::SecondHand,
);
const SHARED: Rest = (
    "Statics: the vehicle shifts without turning, legs as stiff as they are strong stretch together",
    Trust::Arithmetic,
);
const WEAKEST: Rest = ("49 CFR 393.108(a): the least of any part", Trust::Primary);
const LEGS_FORMULA: &str =
    "sum over the legs that the movement stretches of limit x part along the movement / length";
const FRICTION_FORMULA: &str = "0.75 x friction x weight + sum over the legs that the movement stretches of limit x (part along the movement + 0.75 x friction x part down) / length";

/// A layout, worked out.
pub(super) struct Judgement {
    pub(super) legs: Vec<TieDownLeg>,
    pub(super) rows: Vec<Judged>,
    /// Sentences on what no rule set judges.
    pub(super) warnings: Vec<String>,
}

/// Judges a layout.
pub(super) fn judge(
    job: &mut Job<'_>,
    parts: &Parts<'_>,
    straps: &[Strap],
    mass: &Known,
    demand: Option<&Demand>,
) -> Judgement {
    let mut impossible = Vec::new();
    let mut built = Vec::new();
    for strap in straps {
        match strap.legs(parts) {
            Ok(legs) => built.extend(legs),
            Err(sentences) => impossible.extend(sentences),
        }
    }
    let load = Load {
        mass: mass.clone(),
        friction: friction_input(job),
        impossible,
    };
    let mut rows = Vec::new();
    for rules in balance(job) {
        let legs = legs_for(&built, &load);
        for direction in Direction::ALL {
            rows.extend(direction_row(job, &load, &legs, *rules, direction));
        }
    }
    for direction in [Direction::Left, Direction::Right] {
        rows.push(ends_row(job, parts, &built, direction));
    }
    rows.push(aggregate_row(job, parts, straps, &load));
    rows.extend(count_rows(job, parts, straps, demand));
    rows.extend(stated_limit(job, parts, straps));
    rows.extend(allowed_rows(job, &built));
    let (legs, warnings) = legs(job, &load, &built);
    Judgement {
        legs,
        rows,
        warnings,
    }
}

/// The vehicle and what holds it beside the legs.
struct Load {
    mass: Known,
    friction: Tracked,
    /// Why a strap of the layout cannot run.
    impossible: Vec<String>,
}

fn friction_input(job: &mut Job<'_>) -> Tracked {
    let chosen = friction(job);
    if chosen > 0.0 {
        job.number("friction as chosen", "1", chosen, 0.0)
            .unwrap_or_else(|_| Tracked::exact(0.0))
    } else {
        Tracked::exact(0.0)
    }
}

/// The legs with their limits, or what is not known of them.
fn legs_for(built: &[BuiltLeg<'_, '_>], load: &Load) -> Result<Vec<Leg>, Vec<String>> {
    let limits: Vec<Known> = built.iter().map(|leg| leg.limit.clone()).collect();
    let mut missing = load.impossible.clone();
    missing.extend(missing_of(&limits.iter().collect::<Vec<_>>()));
    if !missing.is_empty() {
        return Err(missing);
    }
    Ok(built
        .iter()
        .zip(limits.into_iter().flatten())
        .map(|(leg, limit)| Leg {
            from: leg.from.clone(),
            to: leg.to.clone(),
            limit,
        })
        .collect())
}

fn direction_row(
    job: &Job<'_>,
    load: &Load,
    legs: &Result<Vec<Leg>, Vec<String>>,
    rules: BalanceRules,
    direction: Direction,
) -> Option<Judged> {
    let is_breaking = rules == BalanceRules::UsBreakingStrength;
    if is_breaking && direction == Direction::Up {
        return None;
    }
    rules.factor(direction)?;
    let (name, rest) = named(rules, direction);
    let against = match rules {
        BalanceRules::UsBreakingStrength => ", by breaking strength",
        BalanceRules::En12195 => ", by lashing capacity",
        _ => "",
    };
    let label = format!("Held {}{against}", direction.name());
    let formula = if rules == BalanceRules::En12195 {
        FRICTION_FORMULA
    } else {
        LEGS_FORMULA
    };
    let (held, needed) = held(load, legs, rules, direction);
    let row = job
        .row(name, label, &held, "N", formula, rest)
        .at_least(&needed, rules.source());
    Some(if is_breaking { by_limits(row) } else { row })
}

/// Whether legs hold the vehicle sideways both ahead of its centre of gravity and behind it: held at one end only, it
/// swings round that end whatever the sum is.
fn ends_row(
    job: &Job<'_>,
    parts: &Parts<'_>,
    built: &[BuiltLeg<'_, '_>],
    direction: Direction,
) -> Judged {
    let (name, label) = if direction == Direction::Left {
        ("ends-left", "Ends of the vehicle held against moving left")
    } else {
        (
            "ends-right",
            "Ends of the vehicle held against moving right",
        )
    };
    let ends = parts.centre.clone().map(|centre| {
        let holding = || built.iter().filter(|leg| holds_sideways(leg, direction));
        let ahead = holding().any(|leg| values(&leg.from)[0] < centre.value());
        let behind = holding().any(|leg| values(&leg.from)[0] > centre.value());
        Tracked::exact(f64::from(u8::from(ahead) + u8::from(behind)))
    });
    let formula = "ahead of and behind the centre of gravity, legs of which a tenth or more of the length lies against the movement";
    job.row(name, label, &ends, "", formula, BOTH_ENDS)
        .at_least(&Ok(Tracked::exact(2.0)), "held at both ends")
}

/// Whether enough of a leg lies against a sideways movement to count for its end.
fn holds_sideways(leg: &BuiltLeg<'_, '_>, direction: Direction) -> bool {
    const LEAST_PART: f64 = 0.1;
    let [x, y, z] = way(leg);
    let against = if direction == Direction::Left { y } else { -y };
    against >= LEAST_PART * x.hypot(y).hypot(z)
}

/// Nobody states breaking strengths. They are no less than the limits, so what the limits hold is within; what they do
/// not hold is not known.
fn by_limits(mut row: Judged) -> Judged {
    if row.verdict != Some(Verdict::Within) && row.not_known.is_empty() {
        row.verdict = Some(Verdict::NotKnown);
        row.not_known.push(
            "The makers' breaking strengths are not stated; the figure takes the working load limits, which are less."
                .to_owned(),
        );
    }
    row
}

fn held(
    load: &Load,
    legs: &Result<Vec<Leg>, Vec<String>>,
    rules: BalanceRules,
    direction: Direction,
) -> (Known, Known) {
    let both = |sentences: Vec<String>| (Err(sentences.clone()), Err(sentences));
    match (&load.mass, legs) {
        (Ok(mass), Ok(legs)) => match holding(mass, legs, direction, rules, &load.friction) {
            Ok(Some(held)) => (Ok(held.capacity), Ok(held.needed)),
            Ok(None) => both(Vec::new()),
            Err(error) => both(refused(&error)),
        },
        (mass, legs) => {
            let mut sentences = mass.clone().err().unwrap_or_default();
            sentences.extend(legs.as_ref().err().into_iter().flatten().cloned());
            both(sentences)
        }
    }
}

fn named(rules: BalanceRules, direction: Direction) -> (&'static str, Rest) {
    use BalanceRules::{En12195, Quebec, UsBreakingStrength, UsWorkingLoad};
    let name = match (rules, direction) {
        (UsBreakingStrength, Direction::Forward) => "breaking-forward",
        (UsBreakingStrength, Direction::Rearward) => "breaking-rearward",
        (UsBreakingStrength, Direction::Left) => "breaking-left",
        (UsBreakingStrength, _) => "breaking-right",
        (_, Direction::Forward) => "held-forward",
        (_, Direction::Rearward) => "held-rearward",
        (_, Direction::Left) => "held-left",
        (_, Direction::Right) => "held-right",
        (_, Direction::Up) => "held-up",
    };
    let rest = match rules {
        UsWorkingLoad => US_WORKING,
        UsBreakingStrength => US_BREAKING,
        Quebec => QUEBEC,
        En12195 => EN_12195,
    };
    (name, rest)
}

fn aggregate_row(job: &Job<'_>, parts: &Parts<'_>, straps: &[Strap], load: &Load) -> Judged {
    let rules = counting(job);
    let limits: Vec<Known> = straps.iter().map(|strap| strap.limit(parts)).collect();
    let mut all: Vec<&Known> = limits.iter().collect();
    all.push(&load.mass);
    let missing = missing_of(&all);
    let sum = match (&load.mass, missing.is_empty()) {
        (Ok(mass), true) => {
            let counted: Vec<CountedTieDown> = straps
                .iter()
                .zip(limits.iter().flatten())
                .map(|(strap, limit)| CountedTieDown {
                    limit: limit.clone(),
                    path: path(strap),
                })
                .collect();
            aggregate(mass, &counted, rules).map_err(|error| refused(&error))
        }
        _ => Err(missing),
    };
    let (counted, needed) = match sum {
        Ok(sum) => (Ok(sum.counted), Ok(sum.needed)),
        Err(sentences) => (Err(sentences.clone()), Err(sentences)),
    };
    let rest = (rules.source(), Trust::SecondHand);
    let label = format!("Aggregate working load limit ({})", rules.name());
    job.row(
        "aggregate",
        label,
        &counted,
        "N",
        "sum of counted share x limit of each tie-down; direct and same side count half by the US regulation",
        rest,
    )
    .at_least(&needed, "half of the weight")
}

fn count_rows(
    job: &Job<'_>,
    parts: &Parts<'_>,
    straps: &[Strap],
    demand: Option<&Demand>,
) -> Vec<Judged> {
    let Some(demand) = demand else {
        return Vec::new();
    };
    let of_rules: Rest = (number(job).source(), Trust::SecondHand);
    let holds = || {
        straps
            .iter()
            .filter_map(|strap| parts.holds.get(strap.hold))
    };
    demand
        .counts
        .iter()
        .map(|(count, least)| {
            let have = u32::try_from(holds().filter(|hold| count.counts(hold)).count());
            let have = f64::from(have.unwrap_or(u32::MAX));
            let stated = count.name().starts_with("stated");
            let (rest, from) = if stated {
                (LOGIC, Cow::Borrowed("/transport/securing"))
            } else {
                (of_rules, Cow::Borrowed(number(job).name()))
            };
            let have = Ok(Tracked::exact(have));
            job.row(
                count.name(),
                count.label(),
                &have,
                "",
                "tie-downs of the layout",
                rest,
            )
            .at_least(&Ok(Tracked::exact(f64::from(*least))), from)
        })
        .collect()
}

/// The weakest tie-down against the limit that the profile's author states for each.
fn stated_limit(job: &mut Job<'_>, parts: &Parts<'_>, straps: &[Strap]) -> Option<Judged> {
    let profile = job.view.profile;
    let stated = profile.transport.securing.as_ref()?;
    let limit = stated.working_load_limit.as_ref()?;
    let place = "/transport/securing/working_load_limit";
    let needed = job.number(place, "N", limit.si(), limit.plus_minus_si().unwrap_or(0.0));
    let limits: Vec<Known> = straps.iter().map(|strap| strap.limit(parts)).collect();
    let missing = missing_of(&limits.iter().collect::<Vec<_>>());
    let least = limits
        .into_iter()
        .flatten()
        .min_by(|a, b| a.value().total_cmp(&b.value()));
    let least = match least {
        Some(least) if missing.is_empty() => Ok(least),
        Some(_) => Err(missing),
        None => return None,
    };
    Some(
        job.row(
            "stated-limit",
            "Least tie-down, against the limit that the author states for each",
            &least,
            "N",
            "least limit of the layout",
            WEAKEST,
        )
        .at_least(&needed, place),
    )
}

/// A row for every point that a leg pulls in a direction that it does not allow.
fn allowed_rows(job: &Job<'_>, built: &[BuiltLeg<'_, '_>]) -> Vec<Judged> {
    let outside = |leg: &&BuiltLeg<'_, '_>| !is_allowed(leg.hold, way(leg));
    built
        .iter()
        .filter(outside)
        .filter_map(|leg| {
            let fit = chockstone_mechanics::winching::nearest_cone(way(leg), &leg.hold.cones);
            let fit = fit.ok().flatten()?;
            let label = format!("Direction of the pull on the point {}", leg.hold.id);
            let angle = Ok(Tracked::exact(fit.angle));
            let row = job.row(
                "direction",
                label,
                &angle,
                "rad",
                "angle to the middle of the directions allowed",
                LOGIC,
            );
            let limit = Ok(Tracked::exact(fit.allowed));
            Some(row.at_most(&limit, leg.hold.pointer.replace("/rating", "/directions")))
        })
        .collect()
}

fn way(leg: &BuiltLeg<'_, '_>) -> [f64; 3] {
    let [fx, fy, fz] = values(&leg.from);
    let [tx, ty, tz] = values(&leg.to);
    [tx - fx, ty - fy, tz - fz]
}

/// The direction of the first rule set whose need takes up most of what is held.
fn governing(load: &Load, legs: &[Leg], rules: BalanceRules) -> Option<(Direction, Vec<Tracked>)> {
    let mass = load.mass.as_ref().ok()?;
    let counted = friction_of(rules, load.friction.value());
    let mut capacity = [0.0; 5];
    for leg in legs {
        let shares = plain_shares(values(&leg.from), values(&leg.to), counted)?;
        for (sum, share) in capacity.iter_mut().zip(shares) {
            *sum += share * leg.limit.value();
        }
    }
    let mut most: Option<(f64, Direction)> = None;
    for (direction, capacity) in Direction::ALL.into_iter().zip(capacity) {
        let Some(factor) = rules.factor(direction) else {
            continue;
        };
        let used = (factor - counted) * mass.value() / capacity;
        if used.is_finite() && most.is_none_or(|(best, _)| used > best) {
            most = Some((used, direction));
        }
    }
    let (_, direction) = most?;
    let forces = leg_forces(mass, legs, direction, rules, &load.friction);
    Some((direction, forces.ok().flatten()?))
}

/// The legs as the report tells them, the weakest marked.
fn legs(job: &Job<'_>, load: &Load, built: &[BuiltLeg<'_, '_>]) -> (Vec<TieDownLeg>, Vec<String>) {
    let rules = balance(job).first().copied();
    let legs = legs_for(built, load).ok();
    let governed = rules
        .zip(legs)
        .and_then(|(rules, legs)| governing(load, &legs, rules));
    let share = |index: usize, leg: &BuiltLeg<'_, '_>| {
        let (_, forces) = governed.as_ref()?;
        Some(forces.get(index)?.value() / leg.limit.as_ref().ok()?.value())
    };
    let most = built
        .iter()
        .enumerate()
        .filter_map(|(index, leg)| share(index, leg))
        .fold(0.0f64, f64::max);
    let mut warnings = Vec::new();
    let told_legs = built
        .iter()
        .enumerate()
        .map(|(index, leg)| {
            let used = share(index, leg).unwrap_or(0.0);
            let force = force(job, governed.as_ref(), index, leg);
            if used > 1.0 {
                warnings.push(format!(
                    "The leg from {} to {} would carry {:.0} % of its limit if all legs stretched together; no rule set asks for that, but legs of like length and direction share better.",
                    leg.hold.id,
                    leg.anchor.id,
                    used * 100.0
                ));
            }
            TieDownLeg {
                from: leg.hold.id.to_owned(),
                from_side: leg.hold.side,
                to: leg.anchor.id.to_owned(),
                to_side: leg.anchor.side,
                with: leg.tie.gear.id().to_owned(),
                from_place: values(&leg.from),
                to_place: values(&leg.to),
                weakest_part: leg.weakest.clone(),
                limit: job
                    .row(
                        "leg-limit",
                        "Working load limit of the whole",
                        &leg.limit,
                        "N",
                        "least of strap, point and anchor",
                        WEAKEST,
                    )
                    .told(),
                force,
                weakest: most > 0.0 && used >= most * (1.0 - 1e-9),
            }
        })
        .collect();
    (told_legs, warnings)
}

fn force(
    job: &Job<'_>,
    governed: Option<&(Direction, Vec<Tracked>)>,
    index: usize,
    leg: &BuiltLeg<'_, '_>,
) -> Judged {
    let force = governed
        .and_then(|(_, forces)| forces.get(index).cloned())
        .ok_or_else(Vec::new);
    let label = governed.map_or(Cow::Borrowed("Force of the leg"), |(direction, _)| {
        Cow::Owned(format!("Force of the leg when held {}", direction.name()))
    });
    let formula = "need x stretch x limit / sum over legs of stretch x part along x limit";
    let row = job.row("leg-force", label, &force, "N", formula, SHARED);
    let mut judged = row.at_most(&leg.limit, leg.weakest.clone());
    if judged.verdict == Some(Verdict::Beyond) {
        // No published rule asks how legs share, and the model is only one of how they may: it casts doubt and does
        // not forbid.
        judged.verdict = Some(Verdict::TooCloseToCall);
    }
    if judged.verdict == Some(Verdict::NotKnown) {
        judged.verdict = None;
    }
    judged
}

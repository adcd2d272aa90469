//! Wheel lift and dollies.
//!
//! Each wheel lift given is tried at either end of the vehicle, with the other wheels on the ground and on each set of
//! dollies given. Loads are those of [`chockstone_mechanics::towing`]; which axle turns, and whether it may, is
//! [`methods`](super::methods)' answer.

use chockstone_mechanics::towing::LiftedAxle;
use chockstone_schema::{
    model::advice::TransportMethod,
    report::{FitTopic, Judged, TowingResult, VehicleEnd, Verdict},
};

use super::{Job, answer, best, work::Gear};

mod dollies;
mod legal;
mod rows;
mod setup;
#[cfg(test)]
mod tests;
mod turning;

use setup::{Lift, Towed};

/// The vehicle behind each wrecker given, by either end, with and without each set of dollies given.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<TowingResult> {
    let wreckers: Vec<Gear<'_>> = gear_with(job, |gear| gear.equipment.wheel_lift.is_some());
    if wreckers.is_empty() {
        return Vec::new();
    }
    let sets: Vec<Gear<'_>> = gear_with(job, |gear| gear.equipment.dollies.is_some());
    let towed = Towed::of(job);
    let mut results = Vec::new();
    for wrecker in wreckers {
        let lift = Lift::of(job, wrecker);
        for end in [VehicleEnd::Front, VehicleEnd::Rear] {
            let tow = rows::Tow {
                wrecker,
                lift: &lift,
                towed: &towed,
                end,
            };
            let shared = rows::shared(job, &tow);
            let none = std::iter::once(None);
            for set in none.chain(sets.iter().copied().map(Some)) {
                results.push(result(job, &tow, &shared, set));
            }
        }
    }
    tell(job, &results);
    results
}

fn gear_with<'a>(job: &Job<'a>, has: impl Fn(&Gear<'_>) -> bool) -> Vec<Gear<'a>> {
    job.gear.iter().copied().filter(|gear| has(gear)).collect()
}

/// A set of dollies under the end that is not lifted, without a wrecker: its own ratings only.
pub(in crate::fit) fn rows_of_dollies(
    job: &mut Job<'_>,
    set: Gear<'_>,
    lifted: VehicleEnd,
) -> Vec<Judged> {
    let towed = Towed::of(job);
    let level = towed.level(lifted_axle(lifted));
    let load = level.map(|loads| loads.down);
    dollies::rows(job, set, &towed, lifted, &load, None)
}

fn result(
    job: &mut Job<'_>,
    tow: &rows::Tow<'_>,
    shared: &[Judged],
    set: Option<Gear<'_>>,
) -> TowingResult {
    let rows::Tow { wrecker, end, .. } = *tow;
    let title = title(wrecker, end, set);
    let method = method(end, set.is_some());
    let axles = turning::axles(job, &title, end, method);
    let mut rows = shared.to_vec();
    rows.extend(rows::of_other_wheels(job, tow, set));
    rows.extend(axles.ban);
    let speed_of_set = set
        .and_then(|set| set.equipment.dollies.as_ref()?.max_speed.as_ref())
        .map(chockstone_schema::Sourced::si);
    let verdicts = rows.iter().filter_map(|row| row.verdict);
    let turning_verdicts = axles.turning.iter().filter(|axle| axle.turns);
    let verdict = super::worst(verdicts.chain(turning_verdicts.map(|axle| axle.verdict)));
    let mut before = axles.before;
    before.extend(legal::licence(job, wrecker));
    TowingResult {
        title,
        wrecker: wrecker.id().to_owned(),
        end,
        dollies: set.map(|set| set.id().to_owned()),
        verdict,
        rows,
        turning: axles.turning,
        max_speed: super::methods::lesser(axles.max_speed, speed_of_set),
        max_distance: axles.max_distance,
        before,
    }
}

fn title(wrecker: Gear<'_>, end: VehicleEnd, set: Option<Gear<'_>>) -> String {
    let (lifted, other) = match end {
        VehicleEnd::Front => ("front", "rear"),
        VehicleEnd::Rear => ("rear", "front"),
    };
    match set {
        None => format!(
            "Behind {} by its {lifted} wheels, {other} wheels on the ground",
            wrecker.id()
        ),
        Some(set) => format!(
            "Behind {} by its {lifted} wheels, {other} wheels on {}",
            wrecker.id(),
            set.id()
        ),
    }
}

fn method(end: VehicleEnd, with_dollies: bool) -> TransportMethod {
    match (end, with_dollies) {
        (VehicleEnd::Front, false) => TransportMethod::FrontLift,
        (VehicleEnd::Front, true) => TransportMethod::FrontLiftDollies,
        (VehicleEnd::Rear, false) => TransportMethod::RearLift,
        (VehicleEnd::Rear, true) => TransportMethod::RearLiftDollies,
    }
}

pub(super) fn lifted_axle(end: VehicleEnd) -> LiftedAxle {
    match end {
        VehicleEnd::Front => LiftedAxle::Front,
        VehicleEnd::Rear => LiftedAxle::Rear,
    }
}

/// Adds the topic's answer: the best of the ways.
fn tell(job: &mut Job<'_>, results: &[TowingResult]) {
    let verdict = best(results.iter().map(|result| result.verdict));
    let ways: Vec<&str> = results
        .iter()
        .filter(|result| result.verdict == verdict)
        .map(|result| result.title.as_str())
        .collect();
    let (first, more) = (
        ways.first().copied().unwrap_or_default(),
        ways.len().saturating_sub(1),
    );
    let others = match more {
        0 => String::new(),
        1 => " One other way gives the same.".to_owned(),
        more => format!(" {more} other ways give the same."),
    };
    let sentence = match verdict {
        Verdict::Within => format!("{first}: within every rating, and no wheel turns that must not.{others}"),
        Verdict::TooCloseToCall => format!("{first}: too close to call.{others}"),
        Verdict::NotKnown => format!("{first}: something is not known.{others}"),
        Verdict::Beyond => {
            "No way with what is given: each is beyond a rating, forbidden, or turns a wheel that must not turn."
                .to_owned()
        }
    };
    job.topics.push(answer(FitTopic::Towing, verdict, sentence));
}

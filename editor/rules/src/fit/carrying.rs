//! The vehicle on a carrier's deck.
//!
//! What is known of truck, deck and vehicle becomes conditions on the placement
//! ([`chockstone_mechanics::carrying`]); what is not known leaves its rows without a verdict and is named in them.

use chockstone_schema::report::{CarryingResult, Facing, FitTopic, Verdict};

use super::{Job, answer, best, work::Gear};

#[cfg(test)]
pub(in crate::fit) mod demo;
mod known;
mod need;
mod rows;
mod setup;
#[cfg(test)]
mod tests;
mod windows;

pub(in crate::fit) use known::{missing_of, needed, sum_of, with};
pub(crate) use need::need;
use setup::{Carrier, Case};
pub(in crate::fit) use setup::{Truck, ends};

/// The vehicle on each carrier given, both ways round.
///
/// A placement that was chosen is for the way round that was chosen; the other way round stands at its own best. Where
/// none was chosen, a place where the vehicle can be tied down too goes before the middle of the window.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<CarryingResult> {
    let carriers: Vec<Gear<'_>> = job
        .gear
        .iter()
        .copied()
        .filter(|gear| gear.equipment.deck.is_some())
        .collect();
    if carriers.is_empty() {
        return Vec::new();
    }
    let vehicle = setup::vehicle(job);
    let mut results = Vec::with_capacity(2 * carriers.len());
    for gear in carriers {
        let carrier = Carrier::of(job, gear);
        for facing in both_ways(job.choices.facing) {
            let placement = job.start(gear.id(), facing);
            let case = Case::new(job, &carrier, &vehicle, facing, placement);
            results.push(result(job, &carrier, &case));
        }
    }
    tell(job, &results);
    results
}

/// The chosen way first.
fn both_ways(chosen: Facing) -> [Facing; 2] {
    match chosen {
        Facing::NoseFirst => [Facing::NoseFirst, Facing::TailFirst],
        Facing::TailFirst => [Facing::TailFirst, Facing::NoseFirst],
    }
}

fn result(job: &mut Job<'_>, carrier: &Carrier<'_>, case: &Case) -> CarryingResult {
    let title = format!("On {}, {}", carrier.gear.id(), words_for(case.facing));
    if let Some(impossible) = case.impossible() {
        job.findings.push(impossible.finding(&title));
    }
    let rows = rows::rows(job, carrier, case);
    let windows = windows::of(carrier, case);
    CarryingResult {
        title,
        carrier: carrier.gear.id().to_owned(),
        facing: case.facing,
        placement: case.placement(),
        verdict: super::work::worst_of(&rows),
        rows,
        window: windows.window,
        sure_window: windows.sure,
        no_window: windows.none,
        chart: windows::chart(carrier, case),
    }
}

/// How a way round is told in sentences.
pub(in crate::fit) fn words_for(facing: Facing) -> &'static str {
    match facing {
        Facing::NoseFirst => "nose first",
        Facing::TailFirst => "tail first",
    }
}

/// Adds the topic's answer: the best of the ways, or of those as they were chosen.
fn tell(job: &mut Job<'_>, results: &[CarryingResult]) {
    let chosen = |result: &&CarryingResult| {
        job.choices.placement.is_none() || result.facing == job.choices.facing
    };
    let counted: Vec<&CarryingResult> = results.iter().filter(chosen).collect();
    let verdict = best(counted.iter().map(|result| result.verdict));
    let best_way = counted.iter().find(|result| result.verdict == verdict);
    let sentence = best_way.map_or_else(String::new, |result| {
        let how = format!("{}, {}", result.carrier, words_for(result.facing));
        match verdict {
            Verdict::Within => format!("It rides within every rating: {how}."),
            Verdict::TooCloseToCall => {
                format!("{how}: {} too close to call.", culprits(result))
            }
            Verdict::NotKnown => format!("{how}: {} not known.", culprits(result)),
            Verdict::Beyond => format!(
                "No carrier given takes it; {how}: {} beyond.",
                culprits(result)
            ),
        }
    });
    let least = need::least_given(job, &counted);
    let sentence = least.map_or(sentence.clone(), |least| format!("{sentence} {least}"));
    job.topics
        .push(answer(FitTopic::Carrying, verdict, sentence));
}

/// The labels of the rows that have the result's verdict, with their verb.
fn culprits(result: &CarryingResult) -> String {
    let labels: Vec<&str> = result
        .rows
        .iter()
        .filter(|row| row.verdict == Some(result.verdict))
        .map(|row| row.label.as_ref())
        .collect();
    let verb = if labels.len() == 1 { "is" } else { "are" };
    format!("{} {verb}", labels.join(", "))
}

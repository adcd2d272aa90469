//! Clearance over ramp, hinge and deck.
//!
//! The vehicle's side outline goes up each deck given, nose first and tail first; again on skates where skates are given,
//! and over a ramp laid at the foot where a height of blocks was chosen. Nothing may touch: the least clearance is zero.
//! An outline states no uncertainty of its own, so that of the ground clearance is taken for it. Of several axles the
//! first and the last carry the outline.

use chockstone_mechanics::{
    clearing::{self as path, Clearing, ClearingError, Direction, Steepest},
    propagation::Tracked,
};
use chockstone_schema::report::{ClearingResult, Facing, FitTopic, Judged, Trust, Verdict};

use super::{
    Job, answer, best,
    work::{Gear, Known, worst_of},
};
use crate::checks::references::Rest;

mod angles;
mod setup;
#[cfg(test)]
mod tests;
mod words;

use setup::{Body, Means};

const PATH: Rest = (
    "Geometry of rigid wheels on straight pieces and arcs; arithmetic, no citation",
    Trust::Arithmetic,
);

/// How the clearance comes about.
const FORMULA: &str = "smallest distance of the side outline from ground, tail and deck over the whole path; both wheels on the ground, static loaded radius, springs as on the level";

/// The vehicle over the ramp of each deck given, both ways round.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<ClearingResult> {
    let gear = job.gear.clone();
    let decks = gear.iter().filter(|gear| gear.equipment.deck.is_some());
    let carriers: Vec<Gear<'_>> = decks.copied().collect();
    if carriers.is_empty() {
        return Vec::new();
    }
    let body = setup::body(job);
    if let Ok(body) = &body {
        angles::compare(job, body);
    }
    let mut results = Vec::new();
    for carrier in &carriers {
        for means in setup::means(job, *carrier) {
            for facing in [Facing::NoseFirst, Facing::TailFirst] {
                results.push(result(job, *carrier, &body, &means, facing));
            }
        }
    }
    tell(job, &results);
    results
}

/// One way up one deck.
fn result(
    job: &mut Job<'_>,
    carrier: Gear<'_>,
    body: &Result<Body, Vec<String>>,
    means: &Means,
    facing: Facing,
) -> ClearingResult {
    let direction = direction(facing);
    let driven = setup::vehicle_on(body, means).and_then(|(vehicle, way)| {
        let clearing = path::clear(&vehicle, &way, direction).map_err(|e| words::sentence(&e))?;
        let steepest = steepest(path::steepest_tilt(&vehicle, &way, direction, 0.0));
        Ok((vehicle, clearing, steepest))
    });
    let (rows, tightest) = match &driven {
        Ok((vehicle, clearing, steepest)) => (
            rows(job, clearing, steepest),
            words::tightest(vehicle, clearing),
        ),
        Err(sentences) => (vec![smallest(job, &Err(sentences.clone()))], None),
    };
    ClearingResult {
        title: format!("Onto {}, {}", carrier.id(), words::facing(facing)),
        carrier: carrier.id().to_owned(),
        facing,
        with: means.words.clone(),
        verdict: worst_of(&rows),
        rows,
        tightest,
    }
}

fn direction(facing: Facing) -> Direction {
    match facing {
        Facing::NoseFirst => Direction::NoseFirst,
        Facing::TailFirst => Direction::TailFirst,
    }
}

/// The smallest clearance of all, that of each part of the body, and the steepest deck.
fn rows(job: &Job<'_>, clearing: &Clearing, steepest: &Known) -> Vec<Judged> {
    let tightest = clearing.tightest();
    let least = tightest.map(|t| t.clearance.clone());
    let mut rows = vec![smallest(job, &least.ok_or_else(Vec::new))];
    for part in &clearing.parts {
        let (name, label) = words::part_row(part.part);
        let row = job.row(name, label, &Ok(part.clearance.clone()), "m", FORMULA, PATH);
        let uncertain = part.clearance.uncertain().interval().low < 0.0;
        // The tightest part is judged already; another one matters if it may touch too.
        rows.push(if uncertain && tightest != Some(part) {
            row.at_least(&Ok(touching()), MUST_NOT_TOUCH)
        } else {
            row.told()
        });
    }
    rows.push(
        job.row(
            "steepest-deck",
            "steepest deck that clears",
            steepest,
            "rad",
            "the tilt at which the smallest clearance is zero, all smaller ones clearing; everything else unchanged",
            PATH,
        )
        .told(),
    );
    rows
}

const MUST_NOT_TOUCH: &str = "nothing may touch";

fn touching() -> Tracked {
    Tracked::exact(0.0)
}

fn smallest(job: &Job<'_>, clearance: &Known) -> Judged {
    job.row(
        "smallest-clearance",
        "smallest clearance",
        clearance,
        "m",
        FORMULA,
        PATH,
    )
    .at_least(&Ok(touching()), MUST_NOT_TOUCH)
}

fn steepest(found: Result<Steepest, ClearingError>) -> Known {
    match found {
        Ok(Steepest::Angle { angle, .. }) => Ok(angle),
        Ok(Steepest::BeyondSearch { tried }) => Err(vec![format!(
            "It clears up to {:.0}°, as far as was looked.",
            tried.to_degrees()
        )]),
        Ok(Steepest::Never) => Err(vec!["It touches even with the deck level.".to_owned()]),
        Err(error) => Err(words::sentence(&error)),
    }
}

/// Adds the topic's answer: the best of the ways up, the plain ones first.
fn tell(job: &mut Job<'_>, results: &[ClearingResult]) {
    let verdict = best(results.iter().map(|result| result.verdict));
    let Some(way) = results.iter().find(|result| result.verdict == verdict) else {
        return;
    };
    let with = way
        .with
        .as_ref()
        .map_or_else(String::new, |with| format!(", with {with}"));
    let title = format!("{}{with}", way.title);
    let row = way.rows.first();
    let by = row.and_then(|row| row.figure.as_ref()).map(Job::words);
    let spot = way.tightest.as_ref().map_or("", |t| t.what.as_str());
    let sentence = match (verdict, by) {
        (Verdict::NotKnown, _) | (_, None) => {
            let missing = row.map(|row| row.not_known.join(" ")).unwrap_or_default();
            format!("{title}: not known. {missing}")
        }
        (Verdict::Within, Some(by)) => format!("{title}: clears by {by} ({spot})."),
        (Verdict::TooCloseToCall, Some(by)) => {
            format!("{title}: {by} at the tightest, too close to call ({spot}).")
        }
        (Verdict::Beyond, Some(by)) => format!("{title}: touches, {by} ({spot})."),
    };
    job.topics
        .push(answer(FitTopic::Clearing, verdict, sentence));
}

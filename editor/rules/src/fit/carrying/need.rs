//! The least carrier: among those given, or for planning without one.

use chockstone_mechanics::{
    carrying::{PlanningClass, PlanningFactors, PlanningRule, SHARE_UNCERTAINTY, least_among},
    verdict::Verdict as Judgement,
};
use chockstone_schema::report::{CarrierNeed, CarryingResult, Judged, Verdict};

use crate::{
    checks::references::PRACTICE,
    fit::{
        Job,
        work::{Known, amount, capital},
    },
};

/// What the vehicle asks of a carrier, by planning proportions.
pub(crate) fn need(job: &mut Job<'_>) -> CarrierNeed {
    let rule = PlanningRule::two_axle_carriers();
    let proportions = proportions(&rule);
    let mass = job.mass();
    let result = mass.and_then(|mass| {
        rule.least_class(&mass, &factors(job)?)
            .map_err(|error| vec![format!("Impossible: {error}.")])
    });
    let result = match result {
        Ok(result) => result,
        Err(why) => {
            return CarrierNeed {
                least_gvwr: None,
                answer: format!("Not known. {}", why.join(" ")),
                proportions,
                rows: Vec::new(),
            };
        }
    };
    let least = result
        .least
        .and_then(|index| rule.classes.get(index))
        .map(|class| class.gross_rating);
    let rows = result
        .outcomes
        .iter()
        .map(|outcome| {
            let rating = Ok(outcome.rear.limit.clone());
            row(
                job,
                &outcome.class,
                &Ok(outcome.rear.value.clone()),
                &rating,
            )
        })
        .collect();
    CarrierNeed {
        least_gvwr: least,
        answer: answer(least),
        proportions,
        rows,
    }
}

/// What the shares of a real carrier may differ by, as inputs of their own.
fn factors(job: &mut Job<'_>) -> Result<PlanningFactors, Vec<String>> {
    let planned = PlanningFactors::planned();
    let mut factor = |place| job.number(place, "1", planned.value, 2.0 * planned.u);
    Ok(PlanningFactors {
        empty: factor("planning share: empty mass")?,
        rear_part: factor("planning share: empty mass on the rear axle")?,
        rear_rating: factor("planning share: rating of the rear axle")?,
    })
}

fn answer(least: Option<f64>) -> String {
    let check = "A planning rule of common practice, never a proof: check it on the truck that comes, with its rating plate and a scale.";
    match least {
        Some(rating) => format!(
            "Plan for a carrier with a gross rating of {} or more. {check}",
            amount(rating, None, "kg")
        ),
        None => format!("No two-axle carrier of the sizes looked at takes it. {check}"),
    }
}

fn proportions(rule: &PlanningRule) -> String {
    let mut parts: Vec<String> = Vec::new();
    for class in &rule.classes {
        let shares = format!(
            "empty mass {:.0} % of the gross rating, {:.1} % of it on the rear axle, rear rating {:.0} % of the gross rating",
            100.0 * class.empty_share,
            100.0 * class.rear_part,
            100.0 * class.rear_rating_share
        );
        let pounds = format!("{:.0} lb", class.gross_rating / 0.453_592_37);
        match parts.last_mut() {
            Some(last) if last.ends_with(&shares) => {
                *last = format!("{pounds}, {last}");
            }
            _ => parts.push(format!("{pounds}: {shares}")),
        }
    }
    format!(
        "{} ({}), each share ± {:.0} %, the vehicle wholly on the rear axle and its centre not behind it. {}.",
        capital(rule.name),
        rule.source,
        200.0 * SHARE_UNCERTAINTY,
        parts.join("; ")
    )
}

fn row(job: &Job<'_>, class: &PlanningClass, value: &Known, rating: &Known) -> Judged {
    let pounds = (class.gross_rating / 0.453_592_37).round();
    job.row(
        "planned-rear-axle",
        format!("rear axle of a carrier of {pounds:.0} lb"),
        value,
        "kg",
        "gross rating x empty share x rear part + m",
        PRACTICE,
    )
    .at_most(rating, "gross rating x rear rating share")
}

/// The sentence that names the least of several carriers given which takes the vehicle.
pub(super) fn least_given(job: &Job<'_>, results: &[&CarryingResult]) -> Option<String> {
    let carriers: Vec<(Option<f64>, Judgement)> = results
        .iter()
        .map(|result| {
            let gear = job.gear.iter().find(|gear| gear.id() == result.carrier);
            let rating = gear
                .and_then(|gear| gear.equipment.chassis.as_ref()?.gvwr.as_ref())
                .map(chockstone_schema::Sourced::si);
            let verdict = match result.verdict {
                Verdict::Within => Judgement::Within,
                _ => Judgement::Beyond,
            };
            (rating, verdict)
        })
        .collect();
    let first = results.first()?;
    let several = results.iter().any(|result| result.carrier != first.carrier);
    let least = least_among(&carriers).filter(|_| several)?;
    let (result, (rating, _)) = results.get(least).zip(carriers.get(least))?;
    Some(format!(
        "The least of those given that takes it is {}, with a gross rating of {}.",
        result.carrier,
        amount((*rating)?, None, "kg")
    ))
}

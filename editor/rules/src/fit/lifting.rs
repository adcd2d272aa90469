//! Lift and jack loads, and what tips the vehicle.
//!
//! Without equipment: at the lift points, as it stands and after each heavy part is taken out; a side, an end and a
//! corner raised at the jack points. With equipment: what each lift, jack and set of stands given has to carry. Nothing
//! here permits a lift: the maker's points and instructions, the lift's own manual and stands under a raised vehicle
//! come first.

use std::rc::Rc;

use chockstone_schema::report::{FitTopic, LiftWay, LiftingResult, TopicAnswer, Verdict};

use super::Job;

mod body;
mod case;
mod gear;
mod jacks;
mod lifts;
mod pads;
mod reach;
mod stands;
mod supports;
#[cfg(test)]
mod tests;

use body::Body;
use case::Case;

/// Loads of every way of lifting, against the lifts, jacks and stands given; none without such equipment.
pub(crate) fn fit(job: &mut Job<'_>) -> Vec<LiftingResult> {
    let mut results = Vec::new();
    let mut any_asked = false;
    for gear in job.gear.clone() {
        let equipment = gear.equipment;
        if let Some(lift) = &equipment.vehicle_lift {
            results.extend(lifts::on(job, gear, lift));
        }
        if let Some(jack) = &equipment.jack {
            results.extend(jacks::on(job, gear, jack));
        }
        if let Some(stands) = &equipment.stands {
            results.extend(stands::on(job, gear, stands));
        }
        any_asked |= equipment.vehicle_lift.is_some()
            || equipment.jack.is_some()
            || equipment.stands.is_some();
    }
    if any_asked {
        let answer = answer(job, &results);
        job.topics.push(answer);
    }
    results
}

/// Loads of every way of lifting without any equipment.
pub(crate) fn general(job: &mut Job<'_>) -> Vec<LiftingResult> {
    let mut results = Vec::new();
    for case in at_lift_points(job) {
        results.push(case.solved().finish(job, Vec::new()));
    }
    for case in jacks::cases(job) {
        results.push(case.solved().finish(job, Vec::new()));
    }
    results
}

/// The vehicle at its lift points, as it stands and with each heavy part taken out.
fn at_lift_points(job: &mut Job<'_>) -> Vec<Case> {
    let points = supports::lift_points(job);
    let whole = Rc::new(Body::of(job));
    let mut cases = vec![Case {
        way: LiftWay::LiftPoints,
        title: "At its lift points".to_owned(),
        equipment: None,
        taken_out: Vec::new(),
        body: whole.clone(),
        supports: points.clone(),
    }];
    for (index, item) in body::heavy_items(job, &whole) {
        let name = item.name.pick([&job.view.profile.language]);
        cases.push(Case {
            way: LiftWay::LiftPoints,
            title: format!("At its lift points, without {name}"),
            equipment: None,
            taken_out: vec![item.id.to_string()],
            body: Rc::new(whole.without(job, index, item)),
            supports: points.clone(),
        });
    }
    cases
}

/// The answer of the best way with everything in the vehicle, and what taking a part out changes.
fn answer(job: &mut Job<'_>, results: &[LiftingResult]) -> TopicAnswer {
    let whole = results.iter().filter(|result| result.taken_out.is_empty());
    let Some(best) = whole.min_by_key(|result| result.verdict) else {
        let none = || vec!["The profile has no points for this equipment: see /points.".to_owned()];
        let sentences = supports::wheels(job).err().unwrap_or_else(none);
        return super::answer(FitTopic::Lifting, Verdict::NotKnown, sentences.join(" "));
    };
    let mut sentence = format!("{}: {}.", best.title, outcome(best.verdict));
    for after in results.iter().filter(|r| !r.taken_out.is_empty()) {
        if after.way == best.way
            && after.equipment == best.equipment
            && after.verdict > best.verdict
        {
            let more = format!(" {}: {}.", after.title, outcome(after.verdict));
            sentence.push_str(&more);
        }
    }
    super::answer(FitTopic::Lifting, best.verdict, sentence)
}

fn outcome(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Within => "every limit is kept",
        Verdict::TooCloseToCall => "too close to a limit to call",
        Verdict::NotKnown => "not known",
        Verdict::Beyond => "beyond a limit",
    }
}

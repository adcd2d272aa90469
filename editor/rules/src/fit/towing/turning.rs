//! What happens to each axle while the vehicle is towed, and what must be done before.

use std::borrow::Cow;

use chockstone_schema::{
    model::advice::TransportMethod,
    report::{
        AxleTurning, Finding, Judged, MethodAnswer, Reference, Severity, VehicleEnd, Verdict,
    },
};

use crate::{
    fit::{
        Job,
        methods::{
            self, Outcome, STEERED, lesser, outcome,
            turning::{self, AxleAnswer, Pace, Rolling, releases},
        },
    },
    view::{AxleView, View},
};

/// The axles of one way of towing.
#[derive(Debug, Default)]
pub(super) struct Axles {
    pub(super) turning: Vec<AxleTurning>,
    pub(super) max_speed: Option<f64>,
    pub(super) max_distance: Option<f64>,
    pub(super) before: Vec<String>,
    /// The row that tells that the author forbids the method.
    pub(super) ban: Option<Judged>,
}

/// Every axle under a method, with the limits that hold for the whole.
pub(super) fn axles(
    job: &mut Job<'_>,
    title: &str,
    end: VehicleEnd,
    method: TransportMethod,
) -> Axles {
    let view = job.view;
    let count = view.axles.len();
    let mut axles = Axles::default();
    let outcome = outcome(view, method);
    let by_rule = matches!(
        outcome.answer,
        MethodAnswer::Allowed | MethodAnswer::Limited
    );
    for axle in &view.axles {
        match turning::pace(method, axle.index, count) {
            Some(_) => {
                let mut answer = turning::answer(view, axle, Pace::Road);
                if answer.rolling == Rolling::Unknown && by_rule {
                    answer.rolling = Rolling::Limited;
                    answer
                        .reason
                        .push_str(" The author's rule for this method allows it.");
                }
                turns(job, &mut axles, title, axle, &answer);
            }
            None => rests(&mut axles, axle, end, method, count),
        }
    }
    author(view, &mut axles, &outcome, method);
    axles
}

fn turns(
    job: &mut Job<'_>,
    axles: &mut Axles,
    title: &str,
    axle: &AxleView<'_>,
    answer: &AxleAnswer,
) {
    let verdict = match answer.rolling {
        Rolling::Free | Rolling::Limited => Verdict::Within,
        Rolling::Unknown => Verdict::NotKnown,
        Rolling::Never => Verdict::Beyond,
    };
    if verdict == Verdict::Beyond {
        job.findings
            .push(finding("fit-towing-turning", title, answer));
    }
    axles.max_speed = lesser(axles.max_speed, answer.max_speed);
    axles.max_distance = lesser(axles.max_distance, answer.max_distance);
    if verdict == Verdict::Within {
        axles.before.extend(releases(axle));
    }
    if axle.axle.steered {
        axles.before.push(steering(axle));
    }
    axles.turning.push(AxleTurning {
        axle: axle.axle.id.to_string(),
        turns: true,
        verdict,
        reason: answer.reason.clone(),
        place: Some(answer.place.clone()),
    });
}

/// What to do with a steered axle on the ground.
fn steering(axle: &AxleView<'_>) -> String {
    match &axle.axle.steering_lock {
        Some(lock) => {
            let words = lock.iter().next().map_or("", |(_, words)| words);
            format!("{STEERED} Its lock: {words}")
        }
        None => format!("{STEERED} Whether the steering locks by itself is not stated."),
    }
}

fn rests(
    axles: &mut Axles,
    axle: &AxleView<'_>,
    end: VehicleEnd,
    method: TransportMethod,
    count: usize,
) {
    let is_front = axle.index == 0;
    let on_lift = match end {
        VehicleEnd::Front => is_front,
        VehicleEnd::Rear => !is_front,
    };
    let on_dollies = !on_lift
        && matches!(
            method,
            TransportMethod::FrontLiftDollies | TransportMethod::RearLiftDollies
        );
    if on_dollies {
        axles.before.push(format!(
            "Set the dollies under the axle {} before the vehicle moves at all.",
            axle.axle.id
        ));
        if axle.axle.steered {
            axles
                .before
                .push("Straighten the steered wheels before they go onto the dollies.".to_owned());
        }
    }
    let tandem = count > 2 && on_lift && !is_front;
    let reason = match (on_dollies, tandem) {
        (true, _) => "It rides on dollies.",
        (false, true) => "It is taken as lifted with the other rear axle.",
        (false, false) => "It hangs on the wheel lift.",
    };
    axles.turning.push(AxleTurning {
        axle: axle.axle.id.to_string(),
        turns: false,
        verdict: Verdict::Within,
        reason: reason.to_owned(),
        place: None,
    });
}

/// The author's limits on the method, and his ban as a row that is beyond.
fn author(view: &View<'_>, axles: &mut Axles, outcome: &Outcome, method: TransportMethod) {
    axles.max_speed = lesser(axles.max_speed, outcome.max_speed);
    axles.max_distance = lesser(axles.max_distance, outcome.max_distance);
    axles.ban = methods::ban(view, method).map(|words| Judged {
        name: Cow::Borrowed("authors-rule"),
        label: Cow::Borrowed("the author's rule for this method"),
        figure: None,
        limit: None,
        verdict: Some(Verdict::Beyond),
        not_known: vec![format!("The author forbids it: {words}")],
    });
}

fn finding(check: &str, title: &str, answer: &AxleAnswer) -> Finding {
    Finding {
        check: check.to_owned(),
        severity: Severity::Blocking,
        place: answer.place.clone(),
        message: format!("{title}: {}", answer.reason),
        computed: None,
        limit: None,
        reference: Reference {
            title: answer.rest.0.to_owned(),
            trust: answer.rest.1,
        },
        settle: "Use dollies under it, lift the other end, or use a carrier.".to_owned(),
    }
}

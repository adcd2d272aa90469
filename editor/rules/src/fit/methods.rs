//! Which methods of moving the vehicle may be used, and why.
//!
//! Two voices are heard: what the axles' data imply, and the author's rules. The stricter one wins, and where they
//! contradict each other that is told. A method for which nothing speaks is not known: do not use it.

use chockstone_schema::{
    model::advice::{Permission, TransportMethod, TransportRule},
    report::{
        Finding, MethodAnswer, MethodReason, MethodResult, Reference, Severity, VehicleEnd, Verdict,
    },
};
use std::borrow::Cow;

use super::{Job, rule_source, towing};
use crate::{
    checks::references::{LOGIC, PRACTICE, Rest},
    view::View,
};

pub(in crate::fit) mod turning;

#[cfg(test)]
mod tests;

use turning::{Pace, Rolling};

/// Every method, in the order of the table.
const METHODS: [TransportMethod; 9] = [
    TransportMethod::Carrier,
    TransportMethod::FrontLift,
    TransportMethod::FrontLiftDollies,
    TransportMethod::RearLift,
    TransportMethod::RearLiftDollies,
    TransportMethod::AllWheelsGround,
    TransportMethod::WinchRolling,
    TransportMethod::WinchSkates,
    TransportMethod::Push,
];

/// The table of methods. Equipment adds whether the dollies given are rated for the vehicle.
pub(crate) fn table(job: &mut Job<'_>) -> Vec<MethodResult> {
    let view = job.view;
    let mut rows: Vec<MethodResult> = METHODS
        .into_iter()
        .map(|method| {
            let outcome = outcome(view, method);
            if let Some(finding) = outcome.contradiction(method) {
                job.findings.push(finding);
            }
            outcome.result(method)
        })
        .collect();
    for (plain, with_dollies) in [
        (
            TransportMethod::FrontLift,
            TransportMethod::FrontLiftDollies,
        ),
        (TransportMethod::RearLift, TransportMethod::RearLiftDollies),
    ] {
        let dollies_help = find(&rows, with_dollies).is_some_and(|row| may(row.answer));
        let given = given_dollies(job, with_dollies);
        let none_holds = !given.is_empty() && !given.iter().any(|g| g.verdict == Verdict::Within);
        if let Some(row) = find_mut(&mut rows, with_dollies) {
            hold_against(row, given);
        }
        if let Some(row) = find_mut(&mut rows, plain).filter(|row| !may(row.answer) && dollies_help)
        {
            row.answer = MethodAnswer::OnlyWithDollies;
            row.reasons.push(reason(
                "With dollies under the other end no wheel turns on the road; they are set before it moves at all.",
                PRACTICE,
            ));
            if none_holds {
                row.reasons.push(reason(
                    "None of the dollies given holds it within its ratings.",
                    LOGIC,
                ));
            }
        }
    }
    rows
}

fn find(rows: &[MethodResult], method: TransportMethod) -> Option<&MethodResult> {
    rows.iter().find(|row| row.method == method)
}

fn find_mut(rows: &mut [MethodResult], method: TransportMethod) -> Option<&mut MethodResult> {
    rows.iter_mut().find(|row| row.method == method)
}

fn may(answer: MethodAnswer) -> bool {
    matches!(answer, MethodAnswer::Allowed | MethodAnswer::Limited)
}

fn reason(sentence: impl Into<String>, rest: Rest) -> MethodReason {
    MethodReason {
        reason: sentence.into(),
        place: None,
        reference: Cow::Borrowed(rest.0),
        trust: rest.1,
    }
}

/// How strict an answer is.
fn strictness(answer: MethodAnswer) -> u8 {
    match answer {
        MethodAnswer::Allowed => 0,
        MethodAnswer::Limited => 1,
        MethodAnswer::NotKnown => 2,
        MethodAnswer::OnlyWithDollies => 3,
        MethodAnswer::NotAllowed => 4,
    }
}

/// The answer to one method while it is being put together.
#[derive(Debug)]
pub(in crate::fit) struct Outcome {
    pub(in crate::fit) answer: MethodAnswer,
    pub(in crate::fit) max_speed: Option<f64>,
    pub(in crate::fit) max_distance: Option<f64>,
    pub(in crate::fit) reasons: Vec<MethodReason>,
    /// The pointer of a rule that the axles' data contradict, and how.
    contradicted: Option<(String, String)>,
}

impl Outcome {
    fn limit(&mut self, max_speed: Option<f64>, max_distance: Option<f64>) {
        self.max_speed = lesser(self.max_speed, max_speed);
        self.max_distance = lesser(self.max_distance, max_distance);
    }

    fn restrict(&mut self, answer: MethodAnswer) {
        if strictness(answer) > strictness(self.answer) {
            self.answer = answer;
        }
    }

    fn contradiction(&self, method: TransportMethod) -> Option<Finding> {
        let (place, message) = self.contradicted.clone()?;
        Some(Finding {
            check: "fit-methods-contradiction".to_owned(),
            severity: Severity::Warning,
            place,
            message,
            computed: Some(format!("{method:?}").to_lowercase()),
            limit: None,
            reference: Reference {
                title: LOGIC.0.to_owned(),
                trust: LOGIC.1,
            },
            settle: "Correct the rule or the axle, whichever the maker's document contradicts."
                .to_owned(),
        })
    }

    fn result(self, method: TransportMethod) -> MethodResult {
        let stops = !may(self.answer);
        MethodResult {
            method,
            answer: self.answer,
            max_speed: self.max_speed.filter(|_| !stops),
            max_distance: self.max_distance.filter(|_| !stops),
            reasons: self.reasons,
        }
    }
}

/// The smaller of two limits that may each be absent.
pub(in crate::fit) fn lesser(a: Option<f64>, b: Option<f64>) -> Option<f64> {
    match (a, b) {
        (Some(a), Some(b)) => Some(a.min(b)),
        (only, None) | (None, only) => only,
    }
}

/// The answer to one method from axles and rules, without any equipment.
pub(in crate::fit) fn outcome(view: &View<'_>, method: TransportMethod) -> Outcome {
    let mut outcome = by_axles(view, method);
    let by_axles = outcome.answer;
    let rules = view.profile.transport.rules.iter().enumerate();
    for (index, rule) in rules.filter(|(_, r)| r.method == method && view.has(&r.variants)) {
        hear(view, &mut outcome, by_axles, index, rule);
    }
    outcome
}

/// What the axles' data alone imply.
fn by_axles(view: &View<'_>, method: TransportMethod) -> Outcome {
    let mut outcome = Outcome {
        answer: MethodAnswer::Allowed,
        max_speed: None,
        max_distance: None,
        reasons: Vec::new(),
        contradicted: None,
    };
    let count = view.axles.len();
    if count == 0 {
        outcome.answer = MethodAnswer::NotKnown;
        outcome.reasons.push(reason("No axle is described.", LOGIC));
        return outcome;
    }
    let mut turns = false;
    for axle in &view.axles {
        let Some(pace) = turning::pace(method, axle.index, count) else {
            continue;
        };
        turns = true;
        let answer = turning::answer(view, axle, pace);
        outcome.restrict(match answer.rolling {
            Rolling::Free => MethodAnswer::Allowed,
            Rolling::Limited => MethodAnswer::Limited,
            Rolling::Unknown => MethodAnswer::NotKnown,
            Rolling::Never => MethodAnswer::NotAllowed,
        });
        outcome.limit(answer.max_speed, answer.max_distance);
        outcome.reasons.push(MethodReason {
            reason: answer.reason,
            place: Some(answer.place),
            reference: Cow::Borrowed(answer.rest.0),
            trust: answer.rest.1,
        });
        if pace == Pace::Road && axle.axle.steered && method == TransportMethod::RearLift {
            outcome.reasons.push(reason(STEERED, PRACTICE));
        }
    }
    if !turns {
        outcome
            .reasons
            .push(reason("No wheel turns on the road.", LOGIC));
    }
    outcome
}

/// What a steered axle on the ground asks for.
pub(in crate::fit) const STEERED: &str =
    "The wheels on the ground steer: they must be straight and held so.";

/// Hears one rule of the author; the stricter of rule and axles holds.
fn hear(
    view: &View<'_>,
    outcome: &mut Outcome,
    by_axles: MethodAnswer,
    index: usize,
    rule: &TransportRule,
) {
    let words = rule.reason.pick([&view.profile.language]);
    let place = format!("/transport/rules/{index}");
    let allows = rule.permission != Permission::Forbidden;
    let sentence = match rule.permission {
        Permission::Allowed => format!("The author allows it: {words}"),
        Permission::Limited => format!("The author allows it within limits: {words}"),
        Permission::Forbidden => format!("The author forbids it: {words}"),
    };
    let (reference, trust) = rule_source(view.profile, rule.source.as_ref());
    outcome.reasons.push(MethodReason {
        reason: sentence,
        place: Some(place.clone()),
        reference,
        trust,
    });
    match rule.permission {
        Permission::Forbidden => outcome.restrict(MethodAnswer::NotAllowed),
        Permission::Allowed | Permission::Limited if by_axles == MethodAnswer::NotAllowed => {
            let message = format!(
                "The rule {} allows what the axle's data forbid; the stricter holds.",
                rule.id
            );
            outcome.reasons.push(MethodReason {
                reason: format!("Contradiction: {message}"),
                place: Some(place.clone()),
                reference: Cow::Borrowed(LOGIC.0),
                trust: LOGIC.1,
            });
            outcome.contradicted = Some((place, message));
        }
        // A rule with its source says what the axles' data leave open.
        Permission::Allowed if outcome.answer == MethodAnswer::NotKnown => {
            outcome.answer = MethodAnswer::Allowed;
        }
        Permission::Limited if outcome.answer == MethodAnswer::NotKnown => {
            outcome.answer = MethodAnswer::Limited;
        }
        Permission::Allowed => {}
        Permission::Limited => outcome.restrict(MethodAnswer::Limited),
    }
    if allows {
        let speed = rule.max_speed.as_ref().map(chockstone_schema::Sourced::si);
        let distance = rule
            .max_distance
            .as_ref()
            .map(chockstone_schema::Sourced::si);
        outcome.limit(speed, distance);
        if speed.is_some() || distance.is_some() {
            outcome.restrict(MethodAnswer::Limited);
        }
    }
}

/// The author's reason for forbidding a method, in the profile's language.
pub(in crate::fit) fn ban<'p>(view: &View<'p>, method: TransportMethod) -> Option<&'p str> {
    let profile = view.profile;
    let mut rules = profile.transport.rules.iter();
    let rule = rules.find(|rule| {
        rule.method == method
            && rule.permission == Permission::Forbidden
            && view.has(&rule.variants)
    })?;
    Some(rule.reason.pick([&profile.language]))
}

/// A set of dollies that was given, held against the vehicle.
struct GivenDollies {
    id: String,
    verdict: Verdict,
    why: String,
}

/// Every set of dollies given, under the end that the method puts on them.
fn given_dollies(job: &mut Job<'_>, method: TransportMethod) -> Vec<GivenDollies> {
    let lifted = match method {
        TransportMethod::FrontLiftDollies => VehicleEnd::Front,
        _ => VehicleEnd::Rear,
    };
    let sets: Vec<_> = job
        .gear
        .iter()
        .copied()
        .filter(|gear| gear.equipment.dollies.is_some())
        .collect();
    sets.into_iter()
        .map(|gear| {
            let rows = towing::rows_of_dollies(job, gear, lifted);
            let verdict = super::work::worst_of(&rows);
            let labels: Vec<&str> = rows
                .iter()
                .filter(|row| row.verdict == Some(verdict))
                .map(|row| row.label.as_ref())
                .collect();
            GivenDollies {
                id: gear.id().to_owned(),
                verdict,
                why: labels.join(", "),
            }
        })
        .collect()
}

/// Adds what the dollies given say; where none holds, the method is out with them.
fn hold_against(row: &mut MethodResult, given: Vec<GivenDollies>) {
    let Some(best) = given.iter().map(|dollies| dollies.verdict).min() else {
        return;
    };
    for dollies in given {
        let GivenDollies { id, why, .. } = &dollies;
        let sentence = match dollies.verdict {
            Verdict::Within => format!("The dollies {id} carry it within their ratings."),
            Verdict::TooCloseToCall => format!("The dollies {id} are too close to call: {why}."),
            Verdict::NotKnown => format!("Whether the dollies {id} carry it is not known: {why}."),
            Verdict::Beyond => format!("The dollies {id} are not rated for it: {why}."),
        };
        row.reasons.push(reason(sentence, LOGIC));
    }
    if may(row.answer) {
        match best {
            Verdict::Within => {}
            Verdict::Beyond => row.answer = MethodAnswer::NotAllowed,
            Verdict::TooCloseToCall | Verdict::NotKnown => row.answer = MethodAnswer::NotKnown,
        }
        if !may(row.answer) {
            row.max_speed = None;
            row.max_distance = None;
        }
    }
}

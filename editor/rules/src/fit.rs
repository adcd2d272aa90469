//! Whether a vehicle loads, lifts, tows and holds with a crew's own equipment.
//!
//! [`Vehicle`] is what a profile says of one variant, worked out once; [`Vehicle::fit`] holds it against equipment and is
//! quick enough for every frame of a drag. [`general`] is what needs no equipment and goes into every release. Each topic
//! is a module that turns fields into inputs of [`chockstone_mechanics`] and results into rows with a verdict.
//!
//! A topic's answer is that of its best way: a vehicle that loads nose-first and not tail-first loads. The answer of the
//! whole is that of its worst topic.

use chockstone_schema::{
    Equipment, Profile,
    id::Id,
    report::{
        CarryingResult, FitChoices, FitReport, FitTopic, GeneralResult, ResultsReport,
        SecuringResult, TopicAnswer, Verdict,
    },
};

use crate::{PROGRAM, mass::Computed, view::View};

mod carrying;
mod clearing;
pub mod drawing;
mod findings;
mod lifting;
mod methods;
mod protection;
mod securing;
mod sources;
mod towing;
mod winching;
mod work;

pub(crate) use sources::rule_source;
pub use sources::{InputSource, source_of};
pub(crate) use work::Job;

/// What a profile says of one variant, worked out once for any number of fits.
#[derive(Debug)]
pub struct Vehicle<'p> {
    view: View<'p>,
    computed: Computed,
}

impl<'p> Vehicle<'p> {
    /// The vehicle as one variant by its id, or the profile in general.
    ///
    /// An id that the profile does not have gives the general vehicle.
    pub fn new(profile: &'p Profile, variant: Option<&str>) -> Self {
        let index =
            variant.and_then(|id| profile.variants.iter().position(|v| v.id.as_str() == id));
        Self::of(View::new(profile, index))
    }

    /// One vehicle a variant, or a single one for a profile without variants.
    pub fn all(profile: &'p Profile) -> Vec<Self> {
        View::all(profile).into_iter().map(Self::of).collect()
    }

    fn of(view: View<'p>) -> Self {
        let computed = Computed::of(&view);
        Self { view, computed }
    }

    /// The profile.
    pub fn profile(&self) -> &'p Profile {
        self.view.profile
    }

    /// The variant's id.
    pub fn variant(&self) -> Option<&'p str> {
        self.view.id().map(Id::as_str)
    }

    /// Holds the vehicle against equipment; `others` are the vehicles that [`FitChoices::also`] names.
    ///
    /// Equipment without the part that a topic needs takes no part in it; a part without a rating gives "not known" and
    /// names the field.
    pub fn fit(
        &self,
        equipment: &[&Equipment],
        others: &[Vehicle<'_>],
        choices: &FitChoices,
    ) -> FitReport {
        let mut job = Job::new(&self.view, &self.computed, equipment, others, choices);
        let (carrying, securing) = carried_and_secured(&mut job);
        let winching = winching::fit(&mut job);
        let clearing = clearing::fit(&mut job);
        let lifting = lifting::fit(&mut job);
        let towing = towing::fit(&mut job);
        let methods = methods::table(&mut job);
        let protection = protection::fit(&mut job);
        let topics = std::mem::take(&mut job.topics);
        let mut report = FitReport {
            program: PROGRAM.to_owned(),
            profile: self.view.profile.id.to_string(),
            variant: self.variant().map(ToOwned::to_owned),
            equipment: equipment.iter().map(|e| e.id.to_string()).collect(),
            choices: choices.clone(),
            verdict: worst(topics.iter().map(|t| t.verdict)),
            topics,
            lifting,
            carrying,
            towing,
            methods,
            winching,
            securing,
            clearing,
            protection,
            findings: std::mem::take(&mut job.findings),
        };
        findings::add(&mut report);
        report
    }

    /// What is computed without any equipment.
    pub fn general(&self) -> GeneralResult {
        let choices = FitChoices::default();
        let mut job = Job::new(&self.view, &self.computed, &[], &[], &choices);
        GeneralResult {
            variant: self.variant().map(ToOwned::to_owned),
            mass: self.computed.report(),
            lifting: lifting::general(&mut job),
            methods: methods::table(&mut job),
            carrier: carrying::need(&mut job),
        }
    }
}

/// Where no placement was chosen, the vehicle stands where it can be tied down too, if there is such a place.
fn carried_and_secured(job: &mut Job<'_>) -> (Vec<CarryingResult>, Vec<SecuringResult>) {
    let carrying = carrying::fit(job);
    let securing = securing::fit(job, &carrying);
    if job.starts.is_empty() {
        return (carrying, securing);
    }
    job.topics.clear();
    job.findings.clear();
    let carrying = carrying::fit(job);
    let securing = securing::fit(job, &carrying);
    (carrying, securing)
}

/// What is computed from a profile alone: `results.json` in a bundle.
pub fn general(profile: &Profile) -> ResultsReport {
    ResultsReport {
        program: PROGRAM.to_owned(),
        profile: profile.id.to_string(),
        rules: FitChoices::default().rules,
        variants: Vehicle::all(profile).iter().map(Vehicle::general).collect(),
    }
}

/// The verdict that stands for several which must all hold: `Beyond` outweighs `NotKnown`, which outweighs
/// `TooCloseToCall`. None at all gives `Within`: nothing was asked.
pub(crate) fn worst(verdicts: impl IntoIterator<Item = Verdict>) -> Verdict {
    verdicts.into_iter().max().unwrap_or(Verdict::Within)
}

/// The verdict that stands for several of which one is enough; none at all gives `NotKnown`.
pub(crate) fn best(verdicts: impl IntoIterator<Item = Verdict>) -> Verdict {
    verdicts.into_iter().min().unwrap_or(Verdict::NotKnown)
}

/// The answer to one topic.
pub(crate) fn answer(topic: FitTopic, verdict: Verdict, answer: impl Into<String>) -> TopicAnswer {
    TopicAnswer {
        topic,
        verdict,
        answer: answer.into(),
    }
}

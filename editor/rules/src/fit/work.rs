//! What every topic works with: inputs that know their place, figures that know their inputs, rows with a verdict.

use std::{borrow::Cow, fmt::Display, sync::Arc};

use chockstone_mechanics::{
    propagation::Tracked,
    uncertain::COVERAGE_FACTOR,
    verdict::{Limit, Verdict as Judgement},
};
use chockstone_schema::{
    Equipment, Sourced,
    quantity::Kind,
    report::{
        Facing, Figure, FigureInput, Finding, FitChoices, FitLimit, Judged, TopicAnswer, Verdict,
        Words,
    },
};

use super::Vehicle;
use crate::{
    checks::references::Rest,
    mass::{Computed, si_unit},
    view::{At, View},
};

/// A number, or what is missing or impossible: one sentence each.
pub(crate) type Known = Result<Tracked, Vec<String>>;

/// Parts of the variance below this are not told.
const SMALLEST_PART: f64 = 0.001;

/// One piece of equipment of a fit.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Gear<'a> {
    pub(crate) equipment: &'a Equipment,
}

impl<'a> Gear<'a> {
    pub(crate) fn id(self) -> &'a str {
        self.equipment.id.as_str()
    }

    /// The name of a field of this equipment, as figures tell it.
    pub(crate) fn place(self, pointer: &str) -> String {
        format!("{}#{pointer}", self.id())
    }
}

/// One fit: the vehicle, the equipment, what was chosen, and what has been found so far.
pub(crate) struct Job<'a> {
    pub(crate) view: &'a View<'a>,
    pub(crate) computed: Computed,
    pub(crate) gear: Vec<Gear<'a>>,
    pub(crate) others: &'a [Vehicle<'a>],
    pub(crate) choices: &'a FitChoices,
    pub(crate) topics: Vec<TopicAnswer>,
    pub(crate) findings: Vec<Finding>,
    /// Where on a carrier, one way round, the vehicle can be tied down when it cannot where carrying would put it.
    pub(crate) starts: Vec<(String, Facing, f64)>,
}

impl<'a> Job<'a> {
    pub(crate) fn new(
        view: &'a View<'a>,
        computed: &Computed,
        equipment: &[&'a Equipment],
        others: &'a [Vehicle<'a>],
        choices: &'a FitChoices,
    ) -> Self {
        Self {
            view,
            computed: computed.clone(),
            gear: equipment
                .iter()
                .map(|equipment| Gear { equipment })
                .collect(),
            others,
            choices,
            topics: Vec::new(),
            findings: Vec::new(),
            starts: Vec::new(),
        }
    }

    /// Where the vehicle stands on a carrier, if a person chose it or it can be tied down only elsewhere than where
    /// carrying would put it.
    pub(crate) fn start(&self, carrier: &str, facing: Facing) -> Option<f64> {
        let chosen = self
            .choices
            .placement
            .filter(|_| facing == self.choices.facing);
        let found = self
            .starts
            .iter()
            .find(|(id, way, _)| id == carrier && *way == facing);
        chosen.or_else(|| found.map(|(_, _, placement)| *placement))
    }

    /// A field of the profile; `what` names it in the sentence that tells that it is missing.
    pub(crate) fn own<K: Kind>(
        &mut self,
        field: Option<&At<'_, Sourced<K>>>,
        what: &str,
        pointer: &str,
    ) -> Known {
        let at = field.ok_or_else(|| missing(what, pointer))?;
        self.computed
            .sourced(at)
            .ok_or_else(|| missing(what, pointer))
    }

    /// A field of a piece of equipment, by its pointer there.
    #[expect(
        clippy::trivially_copy_pass_by_ref,
        reason = "what equipment is made of may grow; callers hold a reference"
    )]
    pub(crate) fn of<K: Kind>(
        &mut self,
        gear: &Gear<'_>,
        field: Option<&Sourced<K>>,
        what: &str,
        pointer: &str,
    ) -> Known {
        let place = gear.place(pointer);
        let value = field.ok_or_else(|| missing(what, &place))?;
        self.number(
            &place,
            si_unit(K::DIMENSION),
            value.si(),
            value.plus_minus_si().unwrap_or(0.0),
        )
    }

    /// A number that is no `Sourced` field: a coordinate of an anchor, a choice, a constant of a rule set.
    pub(crate) fn number(
        &mut self,
        place: &str,
        unit: &'static str,
        value: f64,
        plus_minus: f64,
    ) -> Known {
        self.computed
            .known_value(place, unit, value, plus_minus)
            .ok_or_else(|| vec![format!("{place} is not a usable number.")])
    }

    /// The vehicle's mass in kg.
    pub(crate) fn mass(&self) -> Known {
        self.computed
            .mass
            .clone()
            .ok_or_else(|| missing("the vehicle's mass", "/mass/readings and /mass/curb_mass"))
    }

    /// The centre of gravity behind the front axle in m.
    pub(crate) fn centre_x(&self) -> Known {
        self.computed
            .x
            .clone()
            .ok_or_else(|| missing("the centre of gravity along the vehicle", "/mass/readings"))
    }

    /// The centre of gravity right of the middle in m.
    pub(crate) fn centre_y(&self) -> Known {
        self.computed
            .y
            .clone()
            .ok_or_else(|| missing("the centre of gravity across the vehicle", "/mass/readings"))
    }

    /// The centre of gravity above the ground in m.
    pub(crate) fn centre_z(&self) -> Known {
        self.computed
            .z
            .clone()
            .ok_or_else(|| missing("the height of the centre of gravity", "/mass/centre_height"))
    }

    /// The position of an axle behind the front axle in m, by its place in the list.
    pub(crate) fn axle_x(&mut self, index: usize) -> Known {
        let pointer = format!("/axles/{index}/position");
        if index == 0 {
            return Ok(Tracked::exact(0.0));
        }
        let field = self.view.axles.get(index).map(|a| a.position.clone());
        self.own(field.as_ref(), "the position of the axle", &pointer)
    }

    /// The load of an axle in kg, by its place in the list.
    pub(crate) fn axle_load(&self, index: usize) -> Known {
        self.computed
            .axles
            .get(index)
            .and_then(|(_, load)| load.clone())
            .ok_or_else(|| missing("the load of the axle", "/mass/readings"))
    }

    /// A figure with its formula, inputs and source.
    pub(crate) fn figure(
        &self,
        value: &Tracked,
        unit: impl Into<Words>,
        formula: impl Into<Words>,
        rest: Rest,
    ) -> Figure {
        let u = value.u();
        Figure {
            value: value.value(),
            plus_minus: (u > 0.0).then_some(COVERAGE_FACTOR * u),
            low: None,
            high: None,
            unit: unit.into(),
            formula: formula.into(),
            inputs: self.inputs_of(value),
            reference: Cow::Borrowed(rest.0),
            trust: rest.1,
        }
    }

    fn inputs_of(&self, value: &Tracked) -> Vec<FigureInput> {
        let mut inputs: Vec<FigureInput> = value
            .parts()
            .filter_map(|(id, part)| {
                let name = self.computed.inputs.label(id)?;
                let entered = self.computed.inputs.value(id)?;
                Some(FigureInput {
                    input: Arc::clone(&name.place),
                    value: entered.value,
                    plus_minus: (entered.u > 0.0).then_some(COVERAGE_FACTOR * entered.u),
                    unit: Cow::Borrowed(name.unit),
                    part: Some(part).filter(|part| *part >= SMALLEST_PART),
                })
            })
            .collect();
        inputs.sort_by(|a, b| b.part.unwrap_or(0.0).total_cmp(&a.part.unwrap_or(0.0)));
        inputs
    }

    /// A row: a figure without a limit, to which one can be added.
    pub(crate) fn row(
        &self,
        name: &'static str,
        label: impl Into<Words>,
        value: &Known,
        unit: &'static str,
        formula: impl Into<Words>,
        rest: Rest,
    ) -> Row {
        let figure = value
            .as_ref()
            .ok()
            .map(|v| self.figure(v, unit, formula, rest));
        Row {
            judged: Judged {
                name: Cow::Borrowed(name),
                label: label.into(),
                figure,
                limit: None,
                verdict: None,
                not_known: value.as_ref().err().cloned().unwrap_or_default(),
            },
            value: value.as_ref().ok().cloned(),
        }
    }
}

/// A row that is being made.
pub(crate) struct Row {
    judged: Judged,
    value: Option<Tracked>,
}

impl Row {
    /// Gives what statics leave open: the least and the most, uncertainty included.
    pub(crate) fn between(mut self, low: f64, high: f64) -> Self {
        if let Some(figure) = &mut self.judged.figure {
            figure.low = Some(low);
            figure.high = Some(high);
        }
        self
    }

    /// Holds it against the most that is allowed; `from` tells where the limit is written.
    pub(crate) fn at_most(self, limit: &Known, from: impl Into<Words>) -> Judged {
        self.against(limit, from.into(), true)
    }

    /// Holds it against the least that is allowed.
    pub(crate) fn at_least(self, limit: &Known, from: impl Into<Words>) -> Judged {
        self.against(limit, from.into(), false)
    }

    /// A figure that has no limit.
    pub(crate) fn told(self) -> Judged {
        self.judged
    }

    fn against(mut self, limit: &Known, from: Words, is_most: bool) -> Judged {
        let limit = match limit {
            Ok(limit) => limit,
            Err(sentences) => {
                for sentence in sentences {
                    if !self.judged.not_known.contains(sentence) {
                        self.judged.not_known.push(sentence.clone());
                    }
                }
                self.judged.verdict = Some(Verdict::NotKnown);
                return self.judged;
            }
        };
        let u = limit.u();
        self.judged.limit = Some(FitLimit {
            at_least: (!is_most).then_some(limit.value()),
            at_most: is_most.then_some(limit.value()),
            plus_minus: (u > 0.0).then_some(COVERAGE_FACTOR * u),
            from,
        });
        self.judged.verdict = Some(self.verdict(limit, is_most));
        self.judged
    }

    /// The difference is judged, so that what value and limit share cancels; bounds are judged by their ends.
    fn verdict(&self, limit: &Tracked, is_most: bool) -> Verdict {
        let Some(value) = &self.value else {
            return Verdict::NotKnown;
        };
        let zero = if is_most {
            Limit::AtMost(0.0)
        } else {
            Limit::AtLeast(0.0)
        };
        let by_value = zero.verdict(Some((value - limit).uncertain()));
        let bounds = self.judged.figure.as_ref().and_then(|f| f.low.zip(f.high));
        let by_bounds = bounds.map_or(by_value, |(low, high)| {
            let spread = COVERAGE_FACTOR * limit.u();
            zero.verdict_on_interval(chockstone_mechanics::uncertain::Interval {
                low: low - limit.value() - spread,
                high: high - limit.value() + spread,
            })
        });
        told(by_bounds)
    }
}

/// A verdict of the mechanics, as the report tells it.
pub(crate) fn told(judgement: Judgement) -> Verdict {
    match judgement {
        Judgement::Within => Verdict::Within,
        Judgement::Beyond => Verdict::Beyond,
        Judgement::TooCloseToCall => Verdict::TooCloseToCall,
        Judgement::NotKnown => Verdict::NotKnown,
    }
}

/// The worst verdict of rows that have one.
pub(crate) fn worst_of<'r>(rows: impl IntoIterator<Item = &'r Judged>) -> Verdict {
    super::worst(rows.into_iter().filter_map(|row| row.verdict))
}

/// The sentence for a field that is missing.
pub(crate) fn missing(what: &str, pointer: &str) -> Vec<String> {
    vec![format!("{}: {pointer} is not stated.", capital(what))]
}

/// What the mechanics refused, as a sentence.
pub(crate) fn refused(error: &impl Display) -> Vec<String> {
    vec![format!("{}.", capital(&error.to_string()))]
}

/// Words that begin a sentence.
pub(crate) fn capital(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}

impl Job<'_> {
    /// A figure in words, with its unit and ±.
    pub(crate) fn words(figure: &Figure) -> String {
        match figure.low.zip(figure.high) {
            Some((low, high)) => format!(
                "{} (from {} to {})",
                amount(figure.value, figure.plus_minus, &figure.unit),
                amount(low, None, &figure.unit),
                amount(high, None, &figure.unit)
            ),
            None => amount(figure.value, figure.plus_minus, &figure.unit),
        }
    }
}

/// A value in units that people use, both families where there are two.
pub(crate) fn amount(value: f64, plus_minus: Option<f64>, unit: &str) -> String {
    let shown: &[(&str, f64, usize)] = match unit {
        "kg" => &[("kg", 1.0, 0), ("lb", 1.0 / 0.453_592_37, 0)],
        "m" => &[("mm", 1000.0, 0), ("in", 1.0 / 0.0254, 1)],
        "N" => &[("N", 1.0, 0), ("lbf", 1.0 / 4.448_221_615_260_5, 0)],
        "rad" => &[("°", 180.0 / std::f64::consts::PI, 1)],
        "1" => &[("%", 100.0, 1)],
        "m/s" => &[("km/h", 3.6, 0), ("mph", 1.0 / 0.447_04, 0)],
        other => &[(other, 1.0, 0)],
    };
    let one = |&(unit, factor, decimals): &(&str, f64, usize)| {
        let value = value * factor;
        plus_minus.map_or_else(
            || format!("{value:.decimals$} {unit}"),
            |pm| format!("{value:.decimals$} ± {:.decimals$} {unit}", pm * factor),
        )
    };
    shown.iter().map(one).collect::<Vec<_>>().join(" = ")
}

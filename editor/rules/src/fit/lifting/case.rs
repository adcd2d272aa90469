//! One way of lifting, solved: loads, margin, and what tips the vehicle.

use std::rc::Rc;

use chockstone_mechanics::{
    lifting::{self as statics, Edge, LiftError, Spot, Stability},
    propagation::Tracked,
    uncertain::Interval,
    verdict::Limit,
};
use chockstone_schema::report::{Judged, LiftWay, LiftingResult, SupportLoad, Trust};

use super::super::work::{Job, Known, Row, told, worst_of};
use super::body::{Body, all_missing};
use super::supports::{LEAST_SUPPORTS, Support};
use crate::checks::references::Rest;

pub(super) const EQUAL_SHARE: Rest = (
    "Loads of a rigid body on equally stiff supports, from a note on elastic supports, second-hand; their bounds by the balances alone are arithmetic",
    Trust::SecondHand,
);
pub(super) const BALANCE: Rest = (
    "Balance of forces and moments of a rigid body; arithmetic",
    Trust::Arithmetic,
);

/// What the height of a point is.
pub(super) const POINT_HEIGHT: &str = "Height of the point with the vehicle on its wheels";

const SHARE_FORMULA: &str = "F = k·(z + a·x + b·y) on every support, k alike, with Σ F = W, Σ F·x = W·x, Σ F·y = W·y; least and most by those three balances alone";
const THREE_FORMULA: &str = "Three supports: Σ F = W, Σ F·x = W·x, Σ F·y = W·y";
const MARGIN_FORMULA: &str =
    "Distance of the centre of gravity inside the line through two supports, seen from above";
const WEIGHT_FORMULA: &str = "W · margin / overhang of the body's outline beyond the line";
const PUSH_FORMULA: &str = "W · g · margin / height of the roof above the supports";
const TILT_FORMULA: &str = "atan(margin / height of the centre of gravity above the supports)";

/// One way of lifting, with everything that decides it.
#[derive(Clone, Debug)]
pub(super) struct Case {
    pub(super) way: LiftWay,
    pub(super) title: String,
    pub(super) equipment: Option<String>,
    pub(super) taken_out: Vec<String>,
    pub(super) body: Rc<Body>,
    pub(super) supports: Vec<Rc<Support>>,
}

/// A way of lifting with its loads and margins, or why there are none.
pub(super) struct Solved {
    pub(super) case: Case,
    spots: Vec<Spot>,
    loads: Result<Vec<statics::SupportLoad>, Vec<String>>,
    stability: Result<Stability, Vec<String>>,
}

impl Case {
    pub(super) fn solved(self) -> Solved {
        let spots: Vec<Spot> = self.supports.iter().map(|s| s.spot.clone()).collect();
        let too_few = (spots.len() < LEAST_SUPPORTS).then(|| {
            let count = spots.len();
            vec![format!(
                "Where it is carried: /points gives {count} places for this, and three or more are needed."
            )]
        });
        let centre = too_few.map_or_else(|| self.body.centre(), Err);
        let stability = centre.as_ref().map_err(Clone::clone).and_then(|centre| {
            statics::stability(centre, &spots).map_err(|error| self.sentence(&error))
        });
        let loads = match (&self.body.mass, &centre) {
            (Ok(mass), Ok(centre)) => {
                statics::support_loads(mass, centre, &spots).map_err(|error| self.sentence(&error))
            }
            (mass, centre) => {
                let mut sentences = all_missing([mass]);
                sentences.extend(centre.as_ref().err().cloned().unwrap_or_default());
                Err(sentences)
            }
        };
        Solved {
            case: self,
            spots,
            loads,
            stability,
        }
    }

    /// An error with the supports by name.
    fn sentence(&self, error: &LiftError) -> Vec<String> {
        vec![match *error {
            LiftError::CentreOutside { from, to, margin } => format!(
                "Impossible: the centre of gravity lies {:.0} mm outside the line {}, so the vehicle tips over it.",
                -margin * 1000.0,
                self.line(from, to)
            ),
            other => format!("Impossible: {other}."),
        }]
    }

    /// "from … to …" by the names of two supports.
    fn line(&self, from: usize, to: usize) -> String {
        let name = |index: usize| self.supports.get(index).map_or("", |s| s.words.as_str());
        format!("from “{}” to “{}”", name(from), name(to))
    }

    /// Whether all supports bear at the body, or all at the wheels, so that they lie about level.
    fn is_level(&self) -> bool {
        matches!(
            self.way,
            LiftWay::LiftPoints | LiftWay::Runways | LiftWay::Stands
        )
    }
}

impl Solved {
    /// What a support carries, with its bounds, still without a limit.
    pub(super) fn load(
        &self,
        job: &Job<'_>,
        index: usize,
        name: &'static str,
        label: String,
    ) -> Row {
        let missing = || vec!["Impossible: there is no such support.".to_owned()];
        let load = self.loads.as_ref().map_err(Clone::clone);
        let load = load.and_then(|loads| loads.get(index).ok_or_else(missing));
        let share: Known = load
            .as_ref()
            .map(|l| l.equal_share.clone())
            .map_err(Clone::clone);
        if self.case.supports.len() <= LEAST_SUPPORTS {
            return job.row(name, label, &share, "kg", THREE_FORMULA, BALANCE);
        }
        let row = job.row(name, label, &share, "kg", SHARE_FORMULA, EQUAL_SHARE);
        match load {
            Ok(load) => row.between(load.interval.low, load.interval.high),
            Err(_) => row,
        }
    }

    /// Where the load of a support may lie, or `None` where it is not known.
    pub(super) fn interval(&self, index: usize) -> Option<Interval> {
        self.loads.as_ref().ok()?.get(index).map(|l| l.interval)
    }

    /// The result: each support against its own rating, the margin, what tips it, and the rows of the equipment.
    pub(super) fn finish(self, job: &mut Job<'_>, of_equipment: Vec<Judged>) -> LiftingResult {
        let supports: Vec<SupportLoad> = (0..self.case.supports.len())
            .filter_map(|index| self.support(job, index))
            .collect();
        let mut rows = vec![self.margin(job), self.tipping_weight(job)];
        if self.case.is_level() {
            rows.push(self.tipping_push(job));
            rows.push(self.tilt(job));
        }
        rows.extend(of_equipment);
        LiftingResult {
            title: self.case.title,
            way: self.case.way,
            equipment: self.case.equipment,
            taken_out: self.case.taken_out,
            verdict: worst_of(supports.iter().map(|s| &s.load).chain(&rows)),
            supports,
            rows,
        }
    }

    fn support(&self, job: &Job<'_>, index: usize) -> Option<SupportLoad> {
        let support = self.case.supports.get(index)?;
        let label = format!("Load on “{}”", support.words);
        let row = self.load(job, index, "support-load", label);
        Some(SupportLoad {
            support: support.words.clone(),
            id: support.id.clone(),
            side: support.side,
            x: support.x(),
            y: support.y(),
            load: match &support.rating {
                Some((rating, place)) => row.at_most(rating, place.clone()),
                None => row.told(),
            },
        })
    }

    /// The edge over which the vehicle tips first, uncertainty included.
    fn weakest_edge(&self) -> Result<&Edge, Vec<String>> {
        let stability = self.stability.as_ref().map_err(Clone::clone)?;
        let inside = Limit::AtLeast(0.0);
        let rank = |edge: &&Edge| told(inside.verdict(Some(edge.margin.uncertain())));
        let worst = stability.edges.iter().map(|e| rank(&e)).max();
        let by_margin = |a: &&Edge, b: &&Edge| a.margin.value().total_cmp(&b.margin.value());
        let weakest = stability.edges.iter().filter(|e| Some(rank(e)) == worst);
        Ok(weakest.min_by(by_margin).unwrap_or(&stability.smallest))
    }

    fn margin(&self, job: &Job<'_>) -> Judged {
        let edge = self.weakest_edge();
        let label = edge.as_ref().map_or_else(
            |_| "Centre of gravity inside the supports".to_owned(),
            |edge| {
                let line = self.case.line(edge.from, edge.to);
                format!("Centre of gravity inside the line {line}")
            },
        );
        let margin: Known = edge.map(|edge| edge.margin.clone());
        job.row(
            "tipping-margin",
            label,
            &margin,
            "m",
            MARGIN_FORMULA,
            BALANCE,
        )
        .at_least(
            &Ok(Tracked::exact(0.0)),
            "Plain logic: outside it the vehicle tips",
        )
    }

    fn tipping_weight(&self, job: &Job<'_>) -> Judged {
        let mut label = "Smallest extra weight on the body that tips it".to_owned();
        let weight = self.smallest_weight(job).map(|(line, weight)| {
            label = format!("{label}, over the line {line}");
            weight
        });
        let formula = WEIGHT_FORMULA;
        job.row("tipping-weight", label, &weight, "kg", formula, BALANCE)
            .told()
    }

    fn smallest_weight(&self, job: &Job<'_>) -> Result<(String, Tracked), Vec<String>> {
        let mass = self.case.body.mass.as_ref().map_err(Clone::clone)?;
        let stability = self.stability.as_ref().map_err(Clone::clone)?;
        let outline = job.view.plan_outline.as_ref().ok_or_else(|| {
            super::super::work::missing("the body seen from above", "/dimensions/plan_outline")
        })?;
        let corners = outline.value.metres().into_iter().map(|[x, y]| (x, y));
        let corners: Vec<(f64, f64)> = corners.collect();
        let push = statics::tipping_load(mass, stability, &self.spots, &corners)
            .map_err(|error| self.case.sentence(&error))?
            .ok_or_else(|| {
                vec!["No part of the body stands out beyond its supports.".to_owned()]
            })?;
        Ok((self.case.line(push.from, push.to), push.load))
    }

    fn tipping_push(&self, job: &mut Job<'_>) -> Judged {
        let height = job.view.height.clone();
        let roof = job.own(
            height.as_ref(),
            "the vehicle's height",
            "/dimensions/height",
        );
        let force = self.push_at(&roof);
        let label = "Smallest level push at the roof that tips it";
        job.row("tipping-push", label, &force, "N", PUSH_FORMULA, BALANCE)
            .told()
    }

    fn push_at(&self, roof: &Known) -> Known {
        let edge = self.weakest_edge()?;
        let foot = self.foot(edge);
        let (Ok(mass), Ok(roof), Ok(foot)) = (&self.case.body.mass, roof, &foot) else {
            return Err(all_missing([&self.case.body.mass, roof, &foot]));
        };
        statics::tipping_force(mass, edge, &(roof - foot))
            .map_err(|error| self.case.sentence(&error))
    }

    fn tilt(&self, job: &Job<'_>) -> Judged {
        let label = "Tilt of the supports together at which it tips, if nothing slides";
        let angle = self.tilt_angle();
        job.row("tipping-tilt", label, &angle, "rad", TILT_FORMULA, BALANCE)
            .told()
    }

    fn tilt_angle(&self) -> Known {
        let edge = self.weakest_edge()?;
        let foot = self.foot(edge);
        let (Ok(centre), Ok(foot)) = (&self.case.body.z, &foot) else {
            return Err(all_missing([&self.case.body.z, &foot]));
        };
        statics::tilt_angle(edge, &(centre - foot)).map_err(|error| self.case.sentence(&error))
    }

    /// The height on the body of the edge that it tips over: that of the lower end, to be cautious.
    fn foot(&self, edge: &Edge) -> Known {
        let height = |index: usize| self.case.supports.get(index).map(|s| s.height.clone());
        match (height(edge.from), height(edge.to)) {
            (Some(Ok(a)), Some(Ok(b))) => Ok(if a.value() <= b.value() { a } else { b }),
            (a, b) => Err(all_missing(a.iter().chain(&b))),
        }
    }
}

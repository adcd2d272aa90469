//! Mass and centre of gravity of a profile: from what scales showed, or from what is declared, with doubt.
//!
//! Readings become loads with a standard uncertainty (scale division: d/√12; tolerance: t/√3, shared by all readings of
//! one scale or wheel pad; an author's ±: half of it), loads become mass and centre of gravity, several weighings are combined with weights
//! 1/u², what was on board is taken off and what is fitted on top is added. The formulas and their references are those
//! of [`chockstone_mechanics::mass`].

use std::{collections::HashMap, sync::Arc};

use chockstone_mechanics::{
    mass::{self as statics, Body, Change, HeightFlag, Item},
    propagation::{Inputs, Tracked},
    uncertain::Uncertain,
};
use chockstone_schema::{
    Profile, Sourced,
    quantity::{Dimension, Kind},
    report::MassResult,
};

use crate::view::{At, View};

mod diagram;
mod fitted;
mod height;
mod readings;
mod report;
mod scales;
#[cfg(test)]
mod tests;

pub use diagram::{Diagram, DiagramAxle, Figure, diagram};

/// Mass and centre of gravity for one variant by its id, or for the profile in general.
///
/// An id that the profile does not have gives the general result. What cannot be computed is named in
/// [`MassResult::not_known`] with the place of the missing input.
pub fn result(profile: &Profile, variant: Option<&str>) -> MassResult {
    let index = variant.and_then(|id| profile.variants.iter().position(|v| v.id.as_str() == id));
    Computed::of(&View::new(profile, index)).report()
}

/// One result for each variant, or a single one for a profile without variants.
pub fn all(profile: &Profile) -> Vec<MassResult> {
    View::all(profile)
        .iter()
        .map(|v| Computed::of(v).report())
        .collect()
}

/// What an input is: its place, or words for what is in no file, and its SI unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct InputName {
    pub(crate) place: Arc<str>,
    pub(crate) unit: &'static str,
}

impl InputName {
    pub(crate) fn kilograms(place: String) -> Self {
        Self {
            place: place.into(),
            unit: "kg",
        }
    }
}

/// Everything that was computed for one view, numbers still knowing their inputs.
#[derive(Clone, Debug, Default)]
pub(crate) struct Computed {
    pub(crate) inputs: Inputs<InputName>,
    /// Values that were registered already: the same field counts as one input however often it is used.
    known: HashMap<String, Tracked>,
    /// The error of each scale, or pad, that was read so far.
    scale_errors: Vec<scales::KnownError>,
    pub(crate) variant: Option<String>,
    pub(crate) weighings: Vec<Weighing>,
    /// Whole mass without what is fitted on top, and whether it was weighed.
    pub(crate) base: Option<Tracked>,
    pub(crate) is_weighed: bool,
    pub(crate) mass: Option<Tracked>,
    pub(crate) x: Option<Tracked>,
    pub(crate) y: Option<Tracked>,
    pub(crate) z: Option<Tracked>,
    pub(crate) axles: Vec<(String, Option<Tracked>)>,
    /// Each lift step by its position in the list, with its height and what is odd about it.
    pub(crate) lifts: Vec<LiftOutcome>,
    pub(crate) added: usize,
    pub(crate) height_basis: &'static str,
    pub(crate) not_known: Vec<String>,
    /// Inputs that the formulas refused: place and reason.
    pub(crate) refused: Vec<(String, String)>,
}

/// What one weighing gives after what was on board is taken off.
#[derive(Clone, Debug)]
pub(crate) struct Weighing {
    pub(crate) index: usize,
    pub(crate) mass: Tracked,
    pub(crate) x: Option<Tracked>,
    pub(crate) y: Option<Tracked>,
    /// What the scale showed under each axle, in the order of the axles.
    pub(crate) loads: Vec<Tracked>,
    pub(crate) had_on_board: bool,
}

/// One step of an axle lift.
#[derive(Clone, Debug)]
pub(crate) struct LiftOutcome {
    pub(crate) index: usize,
    pub(crate) height: Tracked,
    pub(crate) flags: Vec<HeightFlag>,
}

impl Computed {
    /// Computes mass and centre of gravity of a view.
    pub(crate) fn of(view: &View<'_>) -> Self {
        let mut computed = Self {
            variant: view.id().map(ToString::to_string),
            ..Self::default()
        };
        let axles = computed.axle_inputs(view);
        computed.weigh(view, &axles);
        computed.combine_weighings();
        if computed.base.is_none() {
            computed.fall_back_on_declared(view);
        }
        computed.find_height(view, &axles);
        computed.fit_items(view);
        computed.find_axle_loads(view, &axles);
        computed
    }

    /// Registers a value with its doubt; `None` when it is no number, which reading a file rules out.
    pub(crate) fn sourced<K: Kind>(&mut self, at: &At<'_, Sourced<K>>) -> Option<Tracked> {
        self.known_value(&at.place, si_unit(K::DIMENSION), at.si(), at.doubt())
    }

    /// Registers the value of a field, or finds it where it was registered before.
    pub(crate) fn known_value(
        &mut self,
        place: &str,
        unit: &'static str,
        value: f64,
        plus_minus: f64,
    ) -> Option<Tracked> {
        // A place of no file, such as a placement that is tried, may come again with another number: another input.
        let same = |known: &&Tracked| known.value().to_bits() == value.to_bits();
        if let Some(known) = self.known.get(place).filter(same) {
            return Some(known.clone());
        }
        let number = self.input(place.to_owned(), unit, value, plus_minus)?;
        self.known.insert(place.to_owned(), number.clone());
        Some(number)
    }

    /// Registers a value with the author's ± half-width, two standard uncertainties.
    pub(crate) fn input(
        &mut self,
        place: String,
        unit: &'static str,
        value: f64,
        plus_minus: f64,
    ) -> Option<Tracked> {
        self.inputs
            .add(
                InputName {
                    place: place.into(),
                    unit,
                },
                Uncertain::new(value, plus_minus / 2.0),
            )
            .ok()
    }

    fn axle_inputs(&mut self, view: &View<'_>) -> Vec<AxleInputs> {
        view.axles
            .iter()
            .map(|axle| AxleInputs {
                x: if axle.index == 0 {
                    Some(Tracked::exact(0.0))
                } else {
                    self.sourced(&axle.position)
                },
                track: axle.track.as_ref().and_then(|t| self.sourced(t)),
            })
            .collect()
    }

    fn combine_weighings(&mut self) {
        let of = |pick: fn(&Weighing) -> Option<&Tracked>| -> Vec<Tracked> {
            self.weighings.iter().filter_map(pick).cloned().collect()
        };
        let (masses, xs, ys) = (
            of(|w| Some(&w.mass)),
            of(|w| w.x.as_ref()),
            of(|w| w.y.as_ref()),
        );
        self.base = self.combined(&masses);
        self.x = self.combined(&xs);
        self.y = self.combined(&ys);
        self.is_weighed = self.base.is_some();
    }

    /// The mean of several readings of one quantity; readings that scatter more than their doubt explains widen it.
    pub(crate) fn combined(&mut self, values: &[Tracked]) -> Option<Tracked> {
        if let [only] = values {
            return Some(only.clone());
        }
        let (mean, cautious_u) = match statics::weighted_mean(values) {
            Ok(combined) => {
                let u = combined.cautious().u;
                (combined.mean, u)
            }
            Err(_) if values.is_empty() => return None,
            Err(_) => plain_mean(values),
        };
        let missing = (cautious_u * cautious_u - mean.variance()).max(0.0).sqrt();
        if missing <= 1e-12 * mean.value().abs() {
            return Some(mean);
        }
        let scatter = self
            .inputs
            .add(
                InputName::kilograms("scatter between readings".to_owned()),
                Uncertain::new(0.0, missing),
            )
            .ok()?;
        Some(mean + scatter)
    }

    fn fall_back_on_declared(&mut self, view: &View<'_>) {
        let whose = view.of_variant();
        match &view.curb_mass {
            Some(curb) => {
                self.base = self.sourced(curb);
                self.not_known.push(format!(
                    "The centre of gravity is not known: no complete scale reading fits{}; /mass/readings needs one with a load for every axle.",
                    if whose.is_empty() { " the vehicle".to_owned() } else { whose.trim_start_matches(" of").to_owned() }
                ));
            }
            None => self.not_known.push(format!(
                "Mass and centre of gravity{whose} are not known: /mass/readings has no complete reading and /mass/curb_mass is not stated."
            )),
        }
    }

    fn find_axle_loads(&mut self, view: &View<'_>, axles: &[AxleInputs]) {
        let ids: Vec<String> = view.axles.iter().map(|a| a.axle.id.to_string()).collect();
        let loads: Vec<Option<Tracked>> = match (&self.mass, &self.x, axles) {
            (Some(mass), Some(x), [_, AxleInputs { x: Some(rear), .. }]) => {
                match statics::axle_loads(mass, x, rear) {
                    Ok(loads) => vec![Some(loads.front), Some(loads.rear)],
                    Err(error) => {
                        self.refused.push(("/mass".to_owned(), error.to_string()));
                        vec![None; 2]
                    }
                }
            }
            (Some(_), Some(_), more) if more.len() > 2 => self.loads_of_many_axles(more.len()),
            _ => vec![None; ids.len()],
        };
        self.axles = ids.into_iter().zip(loads).collect();
    }

    /// Three and more axles are statically indeterminate: only what a scale showed under them can be told.
    fn loads_of_many_axles(&mut self, count: usize) -> Vec<Option<Tracked>> {
        if self.added > 0 || self.weighings.iter().any(|w| w.had_on_board) {
            self.not_known.push(
                "The load of each axle is not known: with three or more axles what is fitted or was on board shares out as the springs decide; weigh the vehicle as it is used."
                    .to_owned(),
            );
            return vec![None; count];
        }
        (0..count)
            .map(|i| {
                let of_axle: Vec<Tracked> = self
                    .weighings
                    .iter()
                    .filter_map(|w| w.loads.get(i).cloned())
                    .collect();
                self.combined(&of_axle)
            })
            .collect()
    }
}

/// The unit of a value that `si()` returns, which is not always the one that people are shown.
pub(crate) fn si_unit(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "m",
        Dimension::Mass => "kg",
        Dimension::Load => "N",
        Dimension::Angle => "rad",
        Dimension::Voltage => "V",
        Dimension::Energy => "J",
        Dimension::Duration => "s",
        Dimension::Speed => "m/s",
        Dimension::Temperature => "K",
        Dimension::Share => "1",
        Dimension::Pressure => "Pa",
        Dimension::Power => "W",
        Dimension::Torque => "N m",
        Dimension::Volume => "m³",
    }
}

/// The mean of readings that cannot be weighted, and the larger of its doubt and its scatter.
fn plain_mean(values: &[Tracked]) -> (Tracked, f64) {
    let count = values.len() as f64;
    let mean = Tracked::sum(values) / count;
    let squares: f64 = values
        .iter()
        .map(|v| (v.value() - mean.value()).powi(2))
        .sum();
    let scatter = (squares / (count * (count - 1.0).max(1.0))).sqrt();
    let u = mean.u().max(scatter);
    (mean, u)
}

/// What is known of one axle's place.
#[derive(Debug)]
pub(crate) struct AxleInputs {
    pub(crate) x: Option<Tracked>,
    pub(crate) track: Option<Tracked>,
}

/// Takes items off a body or puts them on, as far as their places are known.
pub(crate) fn shifted(
    mass: &Tracked,
    centre: [Option<&Tracked>; 3],
    changes: &[(Change, Tracked, [Option<Tracked>; 3])],
) -> Result<(Tracked, [Option<Tracked>; 3]), statics::MassError> {
    let [x, y, z] = centre;
    let all_placed = changes.iter().all(|(_, _, place)| place[0].is_some());
    // Without a place along the vehicle only the mass can be told; the datum then does not matter.
    let body = Body {
        mass: mass.clone(),
        x: x.cloned().unwrap_or_else(|| Tracked::exact(0.0)),
        y: y.cloned(),
        z: z.cloned(),
    };
    let items: Vec<Item> = changes
        .iter()
        .map(|(change, mass, [x, y, z])| Item {
            change: *change,
            mass: mass.clone(),
            x: x.clone().unwrap_or_else(|| Tracked::exact(0.0)),
            y: y.clone(),
            z: z.clone(),
        })
        .collect();
    let body = statics::with_items(&body, &items)?;
    let x = (all_placed && x.is_some()).then_some(body.x);
    Ok((body.mass, [x, body.y, body.z]))
}
